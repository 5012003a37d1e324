//! What a kitchen must be before anything is planned in it, and how to measure one.

use super::{Counter, Kitchen, Oven, Rack, Shelf};
use crate::refusal::Refusal;

/// Most shelves of one place; protects the page from a damaged file.
const SHELVES_MAX: usize = 40;
const RACKS_MAX: usize = 20;
const NAME_MAX: usize = 60;

/// How to measure, one sentence for each group of fields: the group, then the sentence.
pub const HOW_TO_MEASURE: &[(&str, &str)] = &[
    (
        "fridge",
        "Measure each shelf inside, between the walls and from the back wall to the closed door, and \
         the clear height up to the shelf or light above it; then say how much of it your household \
         needs",
    ),
    (
        "freezer",
        "Pull a drawer out and measure inside it at its floor, where it is narrowest; the clear height \
         is up to the drawer's rim or the shelf above, whichever is lower",
    ),
    (
        "racks",
        "Count the levels on which a tray stands with a hand's breadth of air above it, and measure \
         the flat floor of a tray, not its rim",
    ),
    (
        "counter",
        "Measure the clear worktop without sink and hob, and the width that you keep free for your \
         hands while you work",
    ),
    (
        "room",
        "Measure shelves in a dry, cool room, away from oven, radiator and sun, in the same way as \
         the fridge's",
    ),
    (
        "oven",
        "Count the levels that bake evenly at the same time, not those that the oven has, and the \
         trays that lie side by side on one level with air around them",
    ),
    ("mixers", "Count the mixers, or bowls with a whisk, that you can run at once"),
];

/// The sentence for one group of fields, for example `fridge`; empty for an unknown group.
pub fn how_to_measure(group: &str) -> &'static str {
    HOW_TO_MEASURE.iter().find(|(name, _)| *name == group).map_or("", |(_, sentence)| sentence)
}

impl Kitchen {
    /// Everything that is not right, by field (`fridge.0.width`); empty when it can be used.
    pub fn validate(&self) -> Vec<Refusal> {
        let mut checks = Checks::default();
        for (place, shelves) in
            [("fridge", &self.fridge), ("freezer", &self.freezer), ("room", &self.room)]
        {
            checks.at_most(place, shelves.len(), SHELVES_MAX, "shelves");
            for (index, shelf) in shelves.iter().enumerate() {
                checks.shelf(&format!("{place}.{index}"), shelf);
            }
        }
        checks.at_most("racks", self.racks.len(), RACKS_MAX, "racks");
        for (index, rack) in self.racks.iter().enumerate() {
            checks.rack(&format!("racks.{index}"), rack);
        }
        checks.counter(&self.counter);
        checks.oven(&self.oven);
        checks.count("mixers", self.mixers, 1, 4, 1);
        checks.refusals
    }
}

#[derive(Default)]
struct Checks {
    refusals: Vec<Refusal>,
}

impl Checks {
    fn shelf(&mut self, field: &str, shelf: &Shelf) {
        self.name(field, &shelf.name, "top shelf");
        self.length(&format!("{field}.width"), shelf.width, 50, 2000, 470);
        self.length(&format!("{field}.depth"), shelf.depth, 50, 1200, 330);
        self.length(&format!("{field}.height"), shelf.height, 20, 2000, 220);
        if shelf.household > 100 {
            self.refusals.push(Refusal::of(
                format!("{field}.household"),
                format!(
                    "{} % is more than the whole shelf; write 0 to 100, for example 50",
                    shelf.household
                ),
            ));
        }
    }

    fn rack(&mut self, field: &str, rack: &Rack) {
        self.name(field, &rack.name, "drying rack");
        self.count(&format!("{field}.levels"), rack.levels, 1, 40, 8);
        self.length(&format!("{field}.tray_width"), rack.tray_width, 100, 1000, 450);
        self.length(&format!("{field}.tray_depth"), rack.tray_depth, 100, 1000, 330);
    }

    fn counter(&mut self, counter: &Counter) {
        self.length("counter.width", counter.width, 300, 10_000, 1800);
        self.length("counter.depth", counter.depth, 200, 2000, 600);
        if counter.work_zone > counter.width {
            self.refusals.push(Refusal::of(
                "counter.work_zone",
                format!(
                    "{} mm is wider than the counter's {} mm; write what you keep clear for work, \
                     for example 600",
                    counter.work_zone, counter.width
                ),
            ));
        }
    }

    fn oven(&mut self, oven: &Oven) {
        self.count("oven.decks", oven.decks, 1, 4, 2);
        self.count("oven.trays_per_deck", oven.trays_per_deck, 1, 4, 1);
    }

    fn name(&mut self, field: &str, name: &str, example: &str) {
        if name.trim().is_empty() || name.chars().count() > NAME_MAX {
            self.refusals.push(Refusal::of(
                format!("{field}.name"),
                format!("needs 1 to {NAME_MAX} letters, for example {example}"),
            ));
        }
    }

    fn length(&mut self, field: &str, mm: u16, least: u16, greatest: u16, example: u16) {
        if !(least..=greatest).contains(&mm) {
            self.refusals.push(Refusal::of(
                field,
                format!(
                    "{mm} mm cannot be right; measure in millimetres, {least} to {greatest}, for \
                     example {example}"
                ),
            ));
        }
    }

    fn count(&mut self, field: &str, count: u8, least: u8, greatest: u8, example: u8) {
        if !(least..=greatest).contains(&count) {
            self.refusals.push(Refusal::of(
                field,
                format!(
                    "{count} is not possible; write {least} to {greatest}, for example {example}"
                ),
            ));
        }
    }

    fn at_most(&mut self, field: &str, count: usize, greatest: usize, what: &str) {
        if count > greatest {
            self.refusals
                .push(Refusal::of(field, format!("has {count} {what}; keep at most {greatest}")));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kitchen::presets;

    fn kitchen() -> Kitchen {
        presets().remove(0).kitchen
    }

    fn fields(kitchen: &Kitchen) -> Vec<String> {
        kitchen.validate().into_iter().map(|refusal| refusal.field).collect()
    }

    #[test]
    fn every_field_is_checked_at_both_ends_of_its_range() {
        type Change = fn(&mut Kitchen, u16);
        type Count = fn(&mut Kitchen, u8);
        let lengths: [(&str, u16, u16, Change); 8] = [
            ("fridge.0.width", 50, 2000, |k, v| k.fridge[0].width = v),
            ("fridge.1.depth", 50, 1200, |k, v| k.fridge[1].depth = v),
            ("freezer.0.height", 20, 2000, |k, v| k.freezer[0].height = v),
            ("room.0.width", 50, 2000, |k, v| k.room[0].width = v),
            ("racks.0.tray_width", 100, 1000, |k, v| k.racks[0].tray_width = v),
            ("racks.0.tray_depth", 100, 1000, |k, v| k.racks[0].tray_depth = v),
            ("counter.depth", 200, 2000, |k, v| k.counter.depth = v),
            ("counter.width", 800, 10_000, |k, v| k.counter.width = v),
        ];
        for (field, least, greatest, change) in lengths {
            for good in [least, greatest] {
                let mut kitchen = kitchen();
                change(&mut kitchen, good);
                assert_eq!(fields(&kitchen), [""; 0], "{field} = {good}");
            }
            for bad in [0, greatest + 1, u16::MAX] {
                let mut kitchen = kitchen();
                change(&mut kitchen, bad);
                assert!(fields(&kitchen).contains(&field.to_owned()), "{field} = {bad}");
            }
        }
        let counts: [(&str, u8, u8, Count); 4] = [
            ("racks.0.levels", 1, 40, |k, v| k.racks[0].levels = v),
            ("oven.decks", 1, 4, |k, v| k.oven.decks = v),
            ("oven.trays_per_deck", 1, 4, |k, v| k.oven.trays_per_deck = v),
            ("mixers", 1, 4, |k, v| k.mixers = v),
        ];
        for (field, least, greatest, change) in counts {
            for (value, refused) in [(least, false), (greatest, false), (0, true), (41, true)] {
                let mut kitchen = kitchen();
                change(&mut kitchen, value);
                assert_eq!(fields(&kitchen) == [field], refused, "{field} = {value}");
            }
        }
    }

    #[test]
    fn a_fridge_three_metres_deep_is_refused_with_an_example() {
        let mut kitchen = kitchen();
        kitchen.fridge[2].depth = 3000;
        let refusals = kitchen.validate();
        assert_eq!(refusals.len(), 1);
        assert_eq!(refusals[0].field, "fridge.2.depth");
        for part in ["3000 mm", "50 to 1200", "for example 330"] {
            assert!(refusals[0].message.contains(part), "{}", refusals[0]);
        }
    }

    #[test]
    fn shares_names_and_work_zone_are_checked() {
        let mut kitchen = kitchen();
        kitchen.fridge[0].household = 101;
        kitchen.fridge[1].name = " ".into();
        kitchen.racks[0].name = "x".repeat(61);
        kitchen.counter.work_zone = kitchen.counter.width + 1;
        assert_eq!(
            fields(&kitchen),
            ["fridge.0.household", "fridge.1.name", "racks.0.name", "counter.work_zone"]
        );
        kitchen =
            Kitchen { fridge: Vec::new(), freezer: Vec::new(), ..presets().remove(0).kitchen };
        assert_eq!(fields(&kitchen), [""; 0], "a kitchen without a fridge is no mistake");
    }

    #[test]
    fn each_group_says_how_to_measure_it() {
        for group in ["fridge", "freezer", "racks", "counter", "room", "oven", "mixers"] {
            assert!(how_to_measure(group).len() > 30, "{group}");
            assert!(!how_to_measure(group).ends_with('.'), "{group}");
        }
        assert_eq!(how_to_measure("cellar"), "");
    }
}
