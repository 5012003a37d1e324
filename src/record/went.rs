//! What she did, as planning takes it: real starts and lengths in place of planned ones.
//!
//! In: progress in seconds of universal time, the work, the horizon. Out: steps whose sittings are as long as they
//! were, or as long as what is left of them, and when those were begun. Nothing of it is guessed but the end of a
//! sitting that runs: as long as planned, or some minutes from now once that is over.

use std::collections::BTreeMap;

use super::{Book, Progress};
use crate::breakdown::{Step, StepId, Work};
use crate::calendar::{Elapsed, Horizon};

/// How far ahead of the clock what she did may lie: planning looks at the clock every quarter of an hour.
const AHEAD: i32 = 15;
/// What is left at least of a sitting that is paused, minutes.
const LEFT_MIN: u32 = 5;

/// What has happened, on the horizon's clock.
pub(super) struct Went {
    /// Now, or the minute after she began something last.
    pub(super) now: Elapsed,
    /// The starts of the sittings that are done or running, of each step that was begun. A step that is merely
    /// paused in its first sitting has none of them.
    pub(super) begun: BTreeMap<StepId, Vec<Elapsed>>,
    /// The lengths that were reckoned of each step that was begun, before the real ones took their place.
    pub(super) reckoned: BTreeMap<StepId, Vec<u32>>,
}

impl Went {
    /// Reads the progress of every step of the work, and makes the sittings as long as they really are.
    pub(super) fn of(book: &Book, work: &mut Work, horizon: &Horizon, clock: Elapsed) -> Self {
        let minute = |seconds: i64| horizon.at_utc(seconds.div_euclid(60));
        let known = |step: &Step| book.progress.get(&step.id).filter(|p| !p.sittings.is_empty());
        let latest = work.steps.iter().filter_map(known).filter_map(|progress| {
            let at = minute(progress.latest()?);
            Some(if progress.running().is_some() { at.plus(1) } else { at })
        });
        let now = latest.filter(|at| *at <= clock.plus(AHEAD)).fold(clock, Elapsed::max);
        let (mut begun, mut reckoned) = (BTreeMap::new(), BTreeMap::new());
        for step in &mut work.steps {
            let Some(progress) = known(step).cloned() else { continue };
            reckoned.insert(step.id.clone(), step.sittings.clone());
            begun.insert(step.id.clone(), take_up(step, &progress, now, minute));
        }
        Self { now, begun, reckoned }
    }

    /// Whether all of a step has been begun at least.
    pub(super) fn whole(&self, step: &Step) -> bool {
        self.begun.get(&step.id).is_some_and(|starts| starts.len() >= step.sittings.len())
    }
}

/// Gives a step its real lengths; answers the starts of what is done or running.
fn take_up(
    step: &mut Step,
    progress: &Progress,
    now: Elapsed,
    minute: impl Fn(i64) -> Elapsed,
) -> Vec<Elapsed> {
    let mut starts = Vec::new();
    let count = |minutes: i32| u32::try_from(minutes.max(1)).unwrap_or(1);
    for (index, worked) in progress.sittings.iter().enumerate() {
        let planned = step.sittings.get(index).copied().unwrap_or(LEFT_MIN);
        // Of a clock that was set back since, only the order of things is believed.
        let start = minute(worked.began()).min(now.plus(-1));
        let at_work = u32::try_from(worked.seconds(worked.began()) / 60).unwrap_or(0);
        let length = match worked.left() {
            Some(left) if worked.done => count(minute(left).min(now).since(start)),
            Some(_) => planned.saturating_sub(at_work).max(LEFT_MIN),
            None => {
                let last = worked.stretches.last().map_or(start, |stretch| minute(stretch.from));
                let left = planned.saturating_sub(at_work).max(LEFT_MIN);
                let end = last.plus(i32::try_from(left).unwrap_or(i32::MAX));
                count(end.max(now.plus(1)).since(start))
            }
        };
        match step.sittings.get_mut(index) {
            Some(sitting) => *sitting = length,
            None => step.sittings.push(length),
        }
        if worked.done || worked.left().is_none() {
            starts.push(start);
        }
    }
    starts
}
