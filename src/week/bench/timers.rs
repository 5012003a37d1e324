//! What rings: her own timers, what is in the oven, what rests.
//!
//! All ends are instants. A device that slept finds them where they are, and says for how long they have been over.

use crate::breakdown::Step;
use crate::card::StepKind;
use crate::record::{Progress, Timer};
use crate::week::standing::chosen;
use crate::week::view::{Context, WeekInput};
use crate::week::words::duration;

/// A rest longer than this ends without a sound: nobody waits beside it, and it may end at night. Minutes.
const WAITED_FOR: u32 = 180;
/// How long something that ended is still shown, seconds.
const SHOWN_FOR: i64 = 12 * 3600;

/// Something that ends at an instant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ring {
    /// As in [`Timer::id`].
    pub id: String,
    /// "Bake", "base-coated cookies: dry on the rack".
    pub name: String,
    /// Seconds of universal time.
    pub ends: i64,
    /// Sounds when it ends.
    pub loud: bool,
    /// She has heard it, or stopped it.
    pub heard: bool,
    /// Her own; it can be taken away.
    pub own: bool,
}

impl Ring {
    /// Has ended, and she has not said that she heard it.
    pub fn calls(&self, now: i64) -> bool {
        self.loud && !self.heard && self.ends <= now
    }
}

/// All that run or have ended lately, the first to end first. `now`: seconds of universal time.
pub fn rings(input: WeekInput<'_>, now: i64) -> Vec<Ring> {
    let context = Context::of(input);
    let book = input.book;
    let mut all: Vec<Ring> = Vec::new();
    for step in &input.outlook.work.steps {
        let Some(went) = book.progress.get(&step.id) else { continue };
        if step.kind == StepKind::Oven
            && let Some(ends) = oven_ends(&context, step, went)
        {
            let id = format!("{}~{ends}", step.id.0);
            all.push(ring(&context, id, format!("{}, {}", step.name, step.product), ends, true));
        }
    }
    for rest in &input.outlook.work.rests {
        let Some(step) = context.step(&rest.from) else { continue };
        let Some(went) = book.progress.get(&rest.from) else { continue };
        let reckoned = input.outlook.reckoned.get(&rest.from).map_or(0, Vec::len);
        let whole = went.done() >= step.sittings.len().max(reckoned).max(1);
        let follows = book.progress.get(&rest.to).is_some_and(|next| !next.sittings.is_empty())
            || book.pins.get(&rest.to).is_some_and(|pin| pin.done);
        let Some(choice) = chosen(&context, rest) else { continue };
        let (Some(left), true, false) = (went.latest(), whole, follows) else { continue };
        if choice.least > 0 {
            let ends = left + i64::from(choice.least) * 60;
            let name = format!("{}: {}", rest.what, choice.name);
            let id = format!("{}~{ends}", rest.id);
            all.push(ring(&context, id, name, ends, choice.least <= WAITED_FOR));
        }
        if let Some(most) = choice.greatest.filter(|most| choice.safety && *most <= WAITED_FOR) {
            let ends = left + i64::from(most) * 60;
            let name = format!("{}: no longer {}", rest.what, choice.name);
            let id = format!("{}.most~{ends}", rest.id);
            all.push(ring(&context, id, name, ends, true));
        }
    }
    for timer in book.timers.list.iter().filter(|timer| timer.id.starts_with("own-")) {
        let Timer { id, name, ends, heard } = timer.clone();
        all.push(Ring { id, name, ends, loud: true, heard, own: true });
    }
    all.retain(|ring| now < ring.ends || (!ring.heard && now < ring.ends + SHOWN_FOR));
    all.sort_by(|a, b| (a.ends, &a.id).cmp(&(b.ends, &b.id)));
    all
}

fn ring(context: &Context<'_>, id: String, name: String, ends: i64, loud: bool) -> Ring {
    let known = context.input.book.timers.list.iter().find(|timer| timer.id == id);
    let heard = known.is_some_and(|timer| timer.heard);
    let name: String = name.chars().take(60).collect();
    Ring { id, name, ends, loud, heard, own: false }
}

/// When a sitting that runs has had its minutes.
fn oven_ends(context: &Context<'_>, step: &Step, went: &Progress) -> Option<i64> {
    let index = went.running()?;
    let worked = went.sittings.get(index)?;
    let last = worked.stretches.last()?;
    // Before the planner has taken up that it was begun, the step still has its reckoned minutes.
    let reckoned = context.input.outlook.reckoned.get(&step.id).unwrap_or(&step.sittings);
    let minutes = *reckoned.get(index)?;
    let before = worked.seconds(last.from);
    Some(last.from + (i64::from(minutes) * 60 - before).max(0))
}

/// "12:05", "1:02:05", "ended 12 min ago", "ended just now".
pub fn left_words(ends: i64, now: i64) -> String {
    let left = ends - now;
    if left > 0 {
        let (hours, minutes, seconds) = (left / 3600, left / 60 % 60, left % 60);
        return if hours > 0 {
            format!("{hours}:{minutes:02}:{seconds:02}")
        } else {
            format!("{minutes}:{seconds:02}")
        };
    }
    match i32::try_from(-left / 60).unwrap_or(i32::MAX) {
        0 => "ended just now".to_owned(),
        ago => format!("ended {} ago", duration(ago)),
    }
}
