//! What listed containers and measured sizes must be.

use super::{Boxes, Container, Measured};
use crate::refusal::Refusal;

/// Most containers, and most measured sizes; protects the page from a damaged file.
const CONTAINERS_MAX: usize = 80;
const MEASURED_MAX: usize = 400;
const NAME_MAX: usize = 60;
/// Longest id or size of a measured thing.
const TEXT_MAX: usize = 160;

impl Boxes {
    /// Everything that is not right, by field (`boxes.containers.2.width`); empty when it can be used.
    pub fn validate(&self) -> Vec<Refusal> {
        let mut refusals = Vec::new();
        let mut at_most = |field: &str, count: usize, most: usize, what: &str| {
            if count > most {
                let message = format!("has {count} {what}; keep at most {most}");
                refusals.push(Refusal::of(field, message));
            }
        };
        at_most("boxes.containers", self.containers.len(), CONTAINERS_MAX, "boxes and tubs");
        at_most("boxes.measured", self.measured.len(), MEASURED_MAX, "measured sizes");
        for (index, container) in self.containers.iter().enumerate() {
            let field = format!("boxes.containers.{index}");
            self.name(&field, index, container, &mut refusals);
            sizes(&field, container, &mut refusals);
        }
        for (index, measured) in self.measured.iter().enumerate() {
            own(&format!("boxes.measured.{index}"), measured, &mut refusals);
        }
        refusals
    }

    fn name(&self, field: &str, index: usize, container: &Container, refusals: &mut Vec<Refusal>) {
        let name = container.name.trim();
        let mut refuse = |message: String| {
            refusals.push(Refusal::of(format!("{field}.name"), message));
        };
        if name.is_empty() || name.chars().count() > NAME_MAX {
            refuse(format!("needs 1 to {NAME_MAX} letters, for example 10 × 10 × 5 in box"));
        } else if self.containers[..index].iter().any(|other| other.name.trim() == name) {
            refuse(format!(
                "“{name}” is in the list already; give it another name, for example {name}, low"
            ));
        }
    }
}

fn sizes(field: &str, container: &Container, refusals: &mut Vec<Refusal>) {
    // Short, as the fields are narrow; what was written stands right above.
    let mut length = |part: &str, mm: u16, least: u16, most: u16, example: u16| {
        if !(least..=most).contains(&mm) {
            refusals.push(Refusal::of(
                format!("{field}.{part}"),
                format!("must be {least} to {most} mm, for example {example}"),
            ));
        }
    };
    length("width", container.width, 20, 1000, 254);
    length("depth", container.depth, 20, 1000, 254);
    length("height", container.height, 2, 1000, 127);
    length("wall", u16::from(container.wall), 0, 40, 3);
    if !(1..=20).contains(&container.pile) {
        refusals.push(Refusal::of(
            format!("{field}.pile"),
            "must be 1 to 20, for example 3; 1 means nothing on top",
        ));
    }
}

fn own(field: &str, measured: &Measured, refusals: &mut Vec<Refusal>) {
    for (part, mm) in
        [("width", measured.width), ("depth", measured.depth), ("height", measured.height)]
    {
        if !(5..=2000).contains(&mm) {
            refusals.push(Refusal::of(
                format!("{field}.{part}"),
                "must be 5 to 2000 mm, for example 240",
            ));
        }
    }
    for (part, text) in
        [("card", &measured.card), ("thing", &measured.thing), ("size", &measured.size)]
    {
        if text.is_empty() || text.chars().count() > TEXT_MAX {
            refusals.push(Refusal::of(
                format!("{field}.{part}"),
                format!("needs 1 to {TEXT_MAX} letters, for example boxed"),
            ));
        }
    }
}
