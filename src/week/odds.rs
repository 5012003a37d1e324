//! How likely a plan works, in words and in tenths.
//!
//! In: a week and what [`crate::plan::explain::risk`] counted. Out: chances of handovers, evenings that may run
//! over, and where half an hour more helps.

use std::collections::BTreeMap;

use crate::calendar::Elapsed;
use crate::order::OrderId;
use crate::plan::Problem;
use crate::plan::arrange::{Arrange, map_of};
use crate::plan::explain::{HandTimes, Risk};
use crate::record::Settings;

use super::view::{Context, WeekInput};
use super::why::Words;
use super::words::{duration, full_day, time_of};

/// Evenings that are named at most.
const EVENINGS_MOST: usize = 3;

/// How likely a plan works.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Odds {
    /// Each handover, in order of time.
    pub handovers: Vec<HandoverOdds>,
    /// Evenings that are most likely to run over, for example "Thursday 26 Nov runs past 22:45 about 3 in 10
    /// times, then by 25 min".
    pub evenings: Vec<String>,
    /// Where half an hour more helps most, at most two.
    pub helps: Vec<String>,
}

/// One handover.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HandoverOdds {
    /// Whose.
    pub order: OrderId,
    /// Two letters.
    pub mark: String,
    /// The client's name.
    pub title: String,
    /// "Saturday 28 Nov 15:00".
    pub leaves: String,
    /// Its chance to be on time.
    pub chance: Chance,
    /// "done by Friday 27 Nov 21:40, 8 in 10 times".
    pub ready: String,
}

/// A chance to be on time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Chance {
    on_time: u32,
    runs: u32,
}

impl Chance {
    /// So many of so many.
    pub fn of(on_time: u32, runs: u32) -> Self {
        Self { on_time: on_time.min(runs), runs }
    }

    /// For the picture: filled dots of ten, rounded down, so that ten mean "nearly always".
    pub fn tenths(self) -> u32 {
        let tenths = u64::from(self.on_time) * 10 / u64::from(self.runs.max(1));
        let nearly_all = 0 < self.runs && self.on_time * 200 >= self.runs * 199;
        if nearly_all { 10 } else { u32::try_from(tenths).unwrap_or(0).min(9) }
    }

    /// "9 in 10", "nearly always", "hardly ever": what chance decides is never certain.
    pub fn words(self) -> String {
        match self.tenths() {
            10 => "nearly always".to_owned(),
            0 => "less than 1 in 10".to_owned(),
            tenths => format!("{tenths} in 10"),
        }
    }

    /// So low that something should be done about it: below 8 in 10.
    pub fn is_low(self) -> bool {
        self.tenths() < 8
    }
}

/// How hand times vary in the runs: as usual, with the time before a handover that is kept free as grace.
pub fn hand_times(settings: &Settings, problem: &Problem) -> HandTimes {
    let grid = u32::from(problem.grid_minutes.max(1));
    let grace = i32::try_from(settings.safety_margin / grid).unwrap_or(0);
    HandTimes { grace, ..HandTimes::default() }
}

/// Everything about it in words.
pub fn odds(input: WeekInput<'_>, risk: &Risk) -> Odds {
    let context = Context::of(input);
    let words = Words::of(&context);
    let mut handovers: Vec<(Elapsed, HandoverOdds)> = Vec::new();
    for point in &input.outlook.work.handovers {
        let Some(found) = risk.handovers.iter().find(|of| of.activity == point.id.0) else {
            continue;
        };
        let leaves = context.horizon.elapsed(point.leaves);
        let ready = Elapsed(found.ready_by.get(1).copied().unwrap_or(0));
        let moment = |at: Elapsed| {
            let wall = context.horizon.wall(at);
            format!("{} {}", full_day(wall.date()), time_of(wall))
        };
        handovers.push((
            leaves,
            HandoverOdds {
                order: point.order,
                mark: context.mark(point.order),
                title: context.order_title(point.order),
                leaves: moment(leaves),
                chance: Chance::of(found.on_time, risk.runs),
                ready: format!("done by {}, 8 in 10 times", moment(ready)),
            },
        ));
    }
    handovers.arrange_by_key(|(leaves, odds)| (*leaves, odds.order));
    let window = |worker: &str, index: usize| {
        let problem = &input.outlook.assembled.problem;
        let of = problem.workers.iter().find(|of| of.id == worker)?;
        of.windows.get(index).copied()
    };
    let day = |slot: i32| full_day(context.horizon.wall(words.at(slot)).date());
    let evenings = risk
        .windows
        .iter()
        .filter(|over| over.over * 20 >= risk.runs)
        .filter_map(|over| {
            let (from, to) = window(&over.worker, over.window)?;
            let end = time_of(context.horizon.wall(words.at(to)));
            let often = Chance::of(over.over, risk.runs).tenths().clamp(1, 9);
            let by = duration(over.minutes_over);
            Some(format!("{} runs past {end} about {often} in 10 times, then by {by}", day(from)))
        })
        .take(EVENINGS_MOST)
        .collect();
    let helps = risk
        .helps
        .iter()
        .filter(|help| help.gained >= 10)
        .filter_map(|help| {
            let (from, _) = window(&help.worker, help.window)?;
            let more = help.gained.div_euclid(10);
            Some(format!("{}: {more} more of 100 handovers on time", day(from)))
        })
        .take(2)
        .collect();
    Odds { handovers: handovers.into_iter().map(|(_, odds)| odds).collect(), evenings, helps }
}

/// Each order's chance of being on time, by its handover's id.
pub fn chances(risk: &Risk) -> BTreeMap<&str, Chance> {
    let of = risk
        .handovers
        .iter()
        .map(|handover| (handover.activity.as_str(), Chance::of(handover.on_time, risk.runs)));
    map_of(of)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tenths_are_rounded_down_and_never_promise() {
        let of = |on_time| Chance::of(on_time, 2_000);
        assert_eq!(of(2_000).tenths(), 10);
        assert_eq!(of(1_990).tenths(), 10);
        assert_eq!(of(1_989).tenths(), 9);
        assert_eq!(of(1_799).tenths(), 8);
        assert_eq!((of(0).tenths(), of(199).tenths()), (0, 0));
        assert_eq!(of(1_800).words(), "9 in 10");
        assert_eq!(of(2_000).words(), "nearly always");
        assert_eq!(of(100).words(), "less than 1 in 10");
        assert!(of(1_599).is_low() && !of(1_600).is_low());
        assert_eq!(Chance::of(0, 0).tenths(), 0, "nothing was played: nothing is promised");
    }
}
