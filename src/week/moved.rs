//! What stands elsewhere than it did.
//!
//! In: a week and the starts of two plans for it. Out: a line for each step that moved, in order of time.

use std::collections::BTreeMap;

use crate::breakdown::StepId;
use crate::calendar::Wall;
use crate::plan::arrange::Arrange;

use super::blocks::BlockKey;
use super::view::{Context, WeekInput};
use super::words::{day_short, time_of};

/// A sitting that stands elsewhere.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moved {
    /// Which.
    pub key: BlockKey,
    /// For example "Flood the base coat, Mira Holm".
    pub what: String,
    /// "Thu 18:30".
    pub from: String,
    /// "Fri 19:00".
    pub to: String,
}

/// Starts of the sittings of each step, on the wall clock.
pub type Starts = BTreeMap<StepId, Vec<Wall>>;

/// What stands elsewhere in `after` than in `before`. A step that is new, gone, or cut anew has not moved.
pub fn moved(input: WeekInput<'_>, before: &Starts, after: &Starts) -> Vec<Moved> {
    let context = Context::of(input);
    let mut found: Vec<(Wall, Moved)> = Vec::new();
    for (id, now) in after {
        let Some(was) = before.get(id).filter(|was| was.len() == now.len()) else { continue };
        let Some(step) = context.step(id) else { continue };
        for (sitting, (from, to)) in was.iter().zip(now).enumerate().filter(|(_, (a, b))| a != b) {
            let line = Moved {
                key: BlockKey { step: id.clone(), sitting },
                what: format!("{}, {}", step.name, context.order_title(step.order)),
                from: short(*from),
                to: short(*to),
            };
            found.push((*to, line));
        }
    }
    found.arrange_by(|a, b| (a.0, &a.1.key).cmp(&(b.0, &b.1.key)));
    found.into_iter().map(|(_, line)| line).collect()
}

/// "3 sittings moved", "1 sitting moved".
pub fn moved_words(count: usize) -> String {
    match count {
        1 => "1 sitting moved".to_owned(),
        many => format!("{many} sittings moved"),
    }
}

fn short(wall: Wall) -> String {
    format!("{} {}", day_short(wall.date()), time_of(wall))
}
