//! What really happened of a step: when its sittings were begun, paused and done, and what came out.
//!
//! In: what she presses, with the instant of it. Out: the record that planning keeps to. Instants are seconds of
//! universal time, so that a clock that is set, a night in which clocks change and a device that slept leave them true.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::refusal::Refusal;

/// Most sittings of one step, as for pins.
const SITTINGS_MAX: usize = 100;
/// Most stretches of one sitting: nobody pauses as often.
const STRETCHES_MAX: usize = 200;
/// The instants that can be true: 2020 to 2200.
const INSTANTS: std::ops::RangeInclusive<i64> = 1_577_836_800..=7_258_118_400;
/// Most pieces that came out.
const PIECES_MAX: u32 = 100_000;
/// Longest work that is told afterwards, minutes.
const TOOK_MAX: u32 = 1440;
/// Most timers at once.
const TIMERS_MAX: usize = 60;

/// One step as it went.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Progress {
    /// The sittings that were begun, the first one first.
    pub sittings: Vec<Worked>,
    /// At this instant she said that nothing more of it had happened, whatever a plan had for the time before.
    pub open_at: Option<i64>,
}

/// One sitting as it went.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Worked {
    /// In order; never empty. The last one has no end while hands are at it.
    pub stretches: Vec<Stretch>,
    /// Whether it is done, not merely paused.
    pub done: bool,
    /// Pieces of the batch that were whole after it, as she counted them.
    pub came_out: Option<u32>,
    /// Minutes that it took, told afterwards; goes before what the clock says.
    pub took: Option<u32>,
}

/// Work without a pause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stretch {
    /// Its start.
    pub from: i64,
    /// Its end; none while it lasts.
    pub to: Option<i64>,
}

/// What is done with the sitting at hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deed {
    /// Begins the next sitting, or goes on with the one that is paused.
    Start,
    /// Stops for a while.
    Pause,
    /// Ends the sitting, begun or paused.
    Done,
    /// So many pieces were whole after the sitting that was begun last.
    CameOut(u32),
    /// The sitting that was begun last took so many minutes.
    Took(u32),
    /// A sitting that nobody timed was worked on from the instant of the deed until this one, and is done.
    Was(i64),
}

impl Deed {
    /// For "Undo …".
    pub(super) fn verb(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Pause => "pause",
            Self::Done => "finish",
            Self::CameOut(_) => "count the pieces of",
            Self::Took(_) => "time",
            Self::Was(_) => "note as done",
        }
    }
}

impl Worked {
    /// When it was begun.
    pub fn began(&self) -> i64 {
        self.stretches.first().map_or(0, |stretch| stretch.from)
    }

    /// When hands left it last; none while they are at it.
    pub fn left(&self) -> Option<i64> {
        self.stretches.last().and_then(|stretch| stretch.to)
    }

    /// Seconds of work until an instant, pauses left out.
    pub fn seconds(&self, now: i64) -> i64 {
        let until = |stretch: &Stretch| stretch.to.unwrap_or(now.max(stretch.from)) - stretch.from;
        self.stretches.iter().map(until).sum()
    }

    /// Minutes that it took: as told, else as timed, rounded. None before it is done.
    pub fn minutes(&self) -> Option<u32> {
        let timed = u32::try_from((self.seconds(0) + 30) / 60).unwrap_or(u32::MAX);
        self.done.then(|| self.took.unwrap_or(timed))
    }
}

impl Progress {
    /// The sitting that hands are at, counted from 0.
    pub fn running(&self) -> Option<usize> {
        let last = self.sittings.last().filter(|last| !last.done && last.left().is_none());
        last.map(|_| self.sittings.len() - 1)
    }

    /// How many sittings are done.
    pub fn done(&self) -> usize {
        self.sittings.iter().filter(|sitting| sitting.done).count()
    }

    /// The pieces counted last.
    pub fn came_out(&self) -> Option<u32> {
        self.sittings.iter().rev().find_map(|sitting| sitting.came_out)
    }

    /// The latest instant in it.
    pub fn latest(&self) -> Option<i64> {
        let last = self.sittings.last()?;
        Some(last.left().unwrap_or_else(|| last.stretches.last().map_or(0, |s| s.from)))
    }

    /// Does a deed at an instant. An instant before the last one, as after a clock was set back, counts as
    /// that one.
    ///
    /// # Errors
    ///
    /// In words, when the sitting is not in a state for it.
    pub fn after(&self, deed: Deed, at: i64) -> Result<Self, String> {
        let mut next = self.clone();
        let at = self.latest().map_or(at, |latest| at.max(latest));
        let last = next.sittings.last_mut();
        match (deed, last) {
            (Deed::Start, Some(last)) if !last.done => {
                if last.left().is_none() {
                    return Err("It is running already; press Pause or Done".to_owned());
                }
                last.stretches.push(Stretch { from: at, to: None });
            }
            (Deed::Start, _) => next.sittings.push(Worked {
                stretches: vec![Stretch { from: at, to: None }],
                done: false,
                came_out: None,
                took: None,
            }),
            (Deed::Pause, Some(last)) if !last.done => last.stop(at),
            (Deed::Done, Some(last)) if !last.done => {
                last.stop(at);
                last.done = true;
            }
            (Deed::CameOut(pieces), Some(last)) => last.came_out = Some(pieces),
            (Deed::Took(minutes), Some(last)) if last.done => last.took = Some(minutes),
            (Deed::Was(_), Some(last)) if !last.done => {
                return Err("It has been started already; press Done".to_owned());
            }
            (Deed::Was(until), _) => next.sittings.push(Worked {
                stretches: vec![Stretch { from: at, to: Some(until.max(at)) }],
                done: true,
                came_out: None,
                took: None,
            }),
            _ => return Err("It has not been started; press Start first".to_owned()),
        }
        Ok(next)
    }

    /// Everything that cannot be true.
    pub fn validate(&self) -> Vec<Refusal> {
        let mut refusals = Vec::new();
        if SITTINGS_MAX < self.sittings.len() {
            refusals.push(Refusal::of("sittings", format!("are more than {SITTINGS_MAX}")));
        }
        let mut at = *INSTANTS.start();
        let many = self.sittings.len();
        for (index, sitting) in self.sittings.iter().enumerate() {
            let stretches = &sitting.stretches;
            let mut ordered = !stretches.is_empty() && stretches.len() <= STRETCHES_MAX;
            for (number, stretch) in stretches.iter().enumerate() {
                let last = number + 1 == stretches.len();
                let open = !sitting.done && last && index + 1 == many;
                let to = stretch.to.unwrap_or(stretch.from);
                ordered &= at <= stretch.from && stretch.from <= to;
                ordered &= to <= *INSTANTS.end() && (stretch.to.is_some() || open);
                at = to;
            }
            if !(ordered && (sitting.done || index + 1 == many)) {
                let text = "are not in order of time; each begins when the one before has ended";
                refusals.push(Refusal::of(format!("sittings.{index}.stretches"), text));
            }
            if sitting.came_out.is_some_and(|pieces| PIECES_MAX < pieces) {
                let text = format!("is more than {PIECES_MAX}; write for example 24");
                refusals.push(Refusal::of(format!("sittings.{index}.came_out"), text));
            }
            if sitting.took.is_some_and(|took| !(1..=TOOK_MAX).contains(&took)) {
                let text = format!("is not 1 to {TOOK_MAX} minutes; write for example 45");
                refusals.push(Refusal::of(format!("sittings.{index}.took"), text));
            }
        }
        if self.open_at.is_some_and(|at| !INSTANTS.contains(&at)) {
            refusals.push(Refusal::of("open_at", "is no time of this century"));
        }
        refusals
    }
}

impl Worked {
    fn stop(&mut self, at: i64) {
        if let Some(last) = self.stretches.last_mut()
            && last.to.is_none()
        {
            last.to = Some(at);
        }
    }
}

/// What rings, or has rung.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Timer {
    /// Unique: `own-3`, or what it runs for and since when.
    pub id: String,
    /// What it is for, 1 to 60 letters.
    pub name: String,
    /// When it ends, seconds of universal time.
    pub ends: i64,
    /// She has heard it, or stopped it.
    pub heard: bool,
}

/// Her timers; one record.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Timers {
    /// Her own, and what she changed of those that run for a step or a rest.
    pub list: Vec<Timer>,
}

impl Timers {
    /// An id for a timer of her own.
    pub fn next_own(&self) -> String {
        let own = self.list.iter().filter_map(|timer| timer.id.strip_prefix("own-")?.parse().ok());
        format!("own-{}", own.max().unwrap_or(0_u32) + 1)
    }

    /// Puts a timer in, in place of the one of its id. Those that ended a day or longer before `now` are forgotten,
    /// whether she has heard them or not: they are shown no more, and would only fill the list.
    pub fn put(&mut self, timer: Timer, now: i64) {
        self.list.retain(|old| old.id != timer.id && now - 86_400 <= old.ends);
        self.list.push(timer);
    }

    /// Everything that cannot be.
    pub fn validate(&self) -> Vec<Refusal> {
        let mut refusals = Vec::new();
        if TIMERS_MAX < self.list.len() {
            refusals.push(Refusal::of(
                "list",
                format!("has more than {TIMERS_MAX} timers; stop some first"),
            ));
        }
        let mut ids = BTreeSet::new();
        for (index, timer) in self.list.iter().enumerate() {
            if !(1..=60).contains(&timer.name.trim().chars().count()) {
                let text = "needs a name of at most 60 letters, for example syrup";
                refusals.push(Refusal::of(format!("list.{index}.name"), text));
            }
            if !INSTANTS.contains(&timer.ends) {
                let text = "ends at no time of this century";
                refusals.push(Refusal::of(format!("list.{index}.ends"), text));
            }
            if !ids.insert(&timer.id) {
                refusals.push(Refusal::of(format!("list.{index}.id"), "is there twice"));
            }
        }
        refusals
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 2026-12-01 18:00 universal time.
    const SIX: i64 = 1_796_148_000;

    fn went(deeds: &[(Deed, i64)]) -> Progress {
        deeds.iter().fold(Progress::default(), |progress, (deed, minute)| {
            progress.after(*deed, SIX + minute * 60).expect("is possible")
        })
    }

    #[test]
    fn a_sitting_is_begun_paused_gone_on_with_and_done() {
        let paused = went(&[(Deed::Start, 0), (Deed::Pause, 20)]);
        assert_eq!((paused.running(), paused.done()), (None, 0));
        let again = paused.after(Deed::Start, SIX + 30 * 60).expect("goes on");
        assert_eq!(again.running(), Some(0));
        assert_eq!(again.sittings[0].seconds(SIX + 35 * 60), 25 * 60);
        let done = again.after(Deed::Done, SIX + 50 * 60).expect("ends");
        assert_eq!(done.sittings[0].minutes(), Some(40), "the pause is left out");
        assert_eq!((done.sittings[0].began(), done.sittings[0].left()), (SIX, Some(SIX + 3000)));
        let next = done.after(Deed::Start, SIX + 60 * 60).expect("the second sitting");
        assert_eq!((next.running(), next.done()), (Some(1), 1));
        for progress in [paused, again, done, next] {
            assert_eq!(progress.validate(), []);
        }
    }

    #[test]
    fn what_is_paused_can_be_done_without_going_on() {
        let done = went(&[(Deed::Start, 0), (Deed::Pause, 20), (Deed::Done, 90)]);
        assert_eq!(done.sittings[0].left(), Some(SIX + 20 * 60), "it ended when hands left it");
    }

    #[test]
    fn what_nobody_timed_is_noted_as_it_was_planned() {
        let was = went(&[(Deed::Was(SIX + 2700), 0)]);
        assert_eq!((was.done(), was.sittings[0].minutes()), (1, Some(45)));
        assert_eq!(was.validate(), []);
        // It cannot have begun before the one before it ended.
        let next = was.after(Deed::Was(SIX + 60), SIX).expect("is noted");
        assert_eq!((next.done(), next.sittings[1].minutes()), (2, Some(0)));
        assert_eq!(next.validate(), []);
        let running = went(&[(Deed::Start, 0)]);
        assert!(running.after(Deed::Was(SIX + 60), SIX).expect_err("runs").contains("Done"));
    }

    #[test]
    fn what_makes_no_sense_is_refused() {
        let running = went(&[(Deed::Start, 0)]);
        assert!(running.after(Deed::Start, SIX).expect_err("runs").contains("running"));
        for deed in [Deed::Pause, Deed::Done, Deed::CameOut(3)] {
            assert!(Progress::default().after(deed, SIX).is_err(), "{deed:?}");
        }
        let done = running.after(Deed::Done, SIX + 60).expect("ends");
        assert!(done.after(Deed::Pause, SIX + 120).is_err());
        assert!(running.after(Deed::Took(5), SIX).is_err(), "is not done yet");
        assert_eq!(done.after(Deed::Took(45), SIX).expect("told").sittings[0].minutes(), Some(45));
    }

    #[test]
    fn a_clock_that_is_set_back_makes_nothing_negative() {
        let progress = went(&[(Deed::Start, 0), (Deed::Done, -600)]);
        assert_eq!(progress.sittings[0].minutes(), Some(0));
        assert_eq!(progress.validate(), []);
        assert_eq!(went(&[(Deed::Start, 0)]).sittings[0].seconds(SIX - 99), 0);
    }

    #[test]
    fn pieces_counted_last_count() {
        let deeds = [(Deed::Start, 0), (Deed::CameOut(27), 9), (Deed::Done, 10), (Deed::Start, 20)];
        let progress = went(&deeds);
        assert_eq!(progress.came_out(), Some(27));
        let after = progress.after(Deed::CameOut(25), SIX + 1800).expect("counts");
        assert_eq!(after.came_out(), Some(25));
    }

    #[test]
    fn damaged_progress_is_refused_at_its_field() {
        let good = went(&[(Deed::Start, 0), (Deed::Done, 10), (Deed::Start, 20)]);
        let fields = |change: fn(&mut Progress)| -> Vec<String> {
            let mut progress = good.clone();
            change(&mut progress);
            progress.validate().into_iter().map(|refusal| refusal.field).collect()
        };
        assert_eq!(fields(|_| ()), Vec::<String>::new());
        let first = ["sittings.0.stretches"];
        assert_eq!(fields(|p| p.sittings[0].done = false), first);
        assert_eq!(fields(|p| p.sittings[0].stretches.clear()), first);
        assert_eq!(fields(|p| p.sittings[0].stretches[0].to = None), first);
        assert_eq!(fields(|p| p.sittings[0].stretches[0].from = 5), first);
        assert_eq!(fields(|p| p.sittings[1].stretches[0].from = SIX), ["sittings.1.stretches"]);
        assert_eq!(fields(|p| p.sittings[1].took = Some(0)), ["sittings.1.took"]);
        assert_eq!(fields(|p| p.sittings[1].came_out = Some(100_001)), ["sittings.1.came_out"]);
        assert_eq!(fields(|p| p.open_at = Some(-1)), ["open_at"]);
    }

    #[test]
    fn timers_have_names_and_ids_of_their_own() {
        let timer =
            |id: &str, ends| Timer { id: id.into(), name: "syrup".into(), ends, heard: true };
        let mut timers = Timers::default();
        assert_eq!(timers.next_own(), "own-1");
        timers.put(timer("own-1", SIX), SIX);
        timers.put(timer("own-1", SIX + 60), SIX);
        assert_eq!((timers.list.len(), timers.next_own().as_str()), (1, "own-2"));
        timers.put(timer("own-2", SIX), SIX + 86_461);
        assert_eq!(timers.list.len(), 1, "what was heard a day ago is forgotten");
        timers.list[0].heard = false;
        timers.put(timer("own-2", SIX + 86_400), SIX + 86_400);
        assert_eq!(timers.list.len(), 1, "its own place is taken");
        timers.list.push(Timer { heard: false, ..timer("own-3", SIX - 60) });
        timers.put(timer("own-2", SIX + 86_400), SIX + 86_400);
        assert_eq!(timers.list.len(), 1, "what nobody heard for a day is forgotten too");
        assert_eq!(timers.validate(), []);
        timers.list.push(Timer { name: " ".into(), ..timer("own-2", 0) });
        let fields: Vec<String> = timers.validate().into_iter().map(|r| r.field).collect();
        assert_eq!(fields, ["list.1.name", "list.1.ends", "list.1.id"]);
    }
}
