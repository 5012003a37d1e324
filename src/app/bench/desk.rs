//! What the parts of the bench share: the sheet, what rings, and the second hand.

use std::sync::Arc;

use gloo_timers::callback::Interval;
use leptos::prelude::*;
use rackweek::breakdown::StepId;
use rackweek::record::{Command, Deed, Timer};
use rackweek::week::{Bench, Job, Ring, WeekInput, make_again, not_done, rings};

use crate::app::shown::with_input;
use crate::app::state::words as refused;
use crate::app::{AppState, clock};

/// How often the second hand is looked at, ms.
const SECOND_MS: u32 = 1_000;

/// The handle; lives as long as the app, so that what runs rings on every page.
#[derive(Clone, Copy)]
pub(crate) struct BenchDesk {
    pub(super) app: AppState,
    /// Seconds of universal time, moved on each second.
    pub(super) seconds: RwSignal<i64>,
    /// What runs or has ended, the first to end first.
    pub(super) rings: Memo<Arc<Vec<Ring>>>,
    /// Those that have ended and that she has not heard yet.
    pub(super) calling: Memo<Vec<Ring>>,
}

impl BenchDesk {
    pub(crate) fn new(app: AppState) -> Self {
        let seconds = RwSignal::new(clock::seconds_now());
        Interval::new(SECOND_MS, move || {
            let now = clock::seconds_now();
            if now != seconds.get_untracked() {
                seconds.set(now);
            }
        })
        .forget();
        let rings = Memo::new(move |_| {
            app.now.track();
            let idle =
                app.book.with(|book| book.progress.is_empty() && book.timers.list.is_empty());
            let found =
                (!idle).then(|| with_input(app, |input| rings(input, clock::seconds_now())));
            Arc::new(found.flatten().unwrap_or_default())
        });
        let calling = Memo::new(move |_| {
            let now = seconds.get();
            rings.with(|rings| rings.iter().filter(|ring| ring.calls(now)).cloned().collect())
        });
        Self { app, seconds, rings, calling }
    }

    /// The sheet as it stands; follows the minute.
    pub(super) fn sheet(&self) -> Option<Bench> {
        self.app.now.track();
        with_input(self.app, Bench::of)
    }

    /// Does a command and says what it did, or why it could not.
    pub(super) fn run(&self, command: Command, words: impl Into<String>) -> bool {
        let answer = self.app.apply(command);
        match &answer {
            Ok(()) => self.app.say(words, true),
            Err(refusals) => self.app.say(refused(refusals), false),
        }
        answer.is_ok()
    }

    /// Does something with a sitting, now.
    pub(super) fn deed(&self, step: &StepId, deed: Deed, words: impl Into<String>) -> bool {
        self.run(Command::Work(step.clone(), deed, clock::seconds_now()), words)
    }

    /// A sitting was worked on as it was planned.
    pub(super) fn was_done(&self, job: &Job) -> bool {
        let from = job.start_utc * 60;
        let until = (from + i64::from(job.minutes) * 60).min(clock::seconds_now());
        let words = format!("{} is done", job.name);
        self.run(Command::Work(job.key.step.clone(), Deed::Was(until), from), words)
    }

    /// A sitting that nobody started is done just now.
    pub(super) fn is_done_now(&self, job: &Job) -> bool {
        let now = clock::seconds_now();
        let from = now - i64::from(job.minutes) * 60;
        let words = format!("{} is done", job.name);
        self.run(Command::Work(job.key.step.clone(), Deed::Was(now), from), words)
    }

    /// It has not happened: it is placed anew.
    pub(super) fn was_not_done(&self, job: &Job) -> bool {
        self.anew(not_done, job, "is placed anew")
    }

    /// It and all that led to it have to happen again.
    pub(super) fn make_again(&self, job: &Job) -> bool {
        self.anew(make_again, job, "is made again: its steps are placed anew")
    }

    fn anew(
        &self,
        command: impl FnOnce(WeekInput<'_>, &StepId, i64) -> Command,
        job: &Job,
        words: &str,
    ) -> bool {
        let now = clock::seconds_now();
        let command = untrack(|| with_input(self.app, |input| command(input, &job.key.step, now)));
        command.is_some_and(|command| self.run(command, format!("{} {words}", job.name)))
    }

    /// Puts a timer in, in place of the one of its id.
    pub(super) fn put_timer(&self, timer: Timer, words: impl Into<String>) -> bool {
        let mut timers = self.app.book.with_untracked(|book| book.timers.clone());
        timers.put(timer, clock::seconds_now());
        let answer = self.app.apply(Command::SetTimers(Box::new(timers)));
        match &answer {
            Ok(()) => self.app.say(words, false),
            Err(refusals) => self.app.say(refused(refusals), false),
        }
        answer.is_ok()
    }

    /// Stops one that runs, or says that it was heard.
    pub(super) fn hear(&self, ring: &Ring) {
        let over = ring.ends <= clock::seconds_now();
        let (id, name, ends) = (ring.id.clone(), ring.name.clone(), ring.ends);
        // One that is stopped early has its end now: what is over is forgotten some day.
        let ends = if ring.own && !over { clock::seconds_now() } else { ends };
        let words = format!("{name}: {}", if over { "heard" } else { "stopped" });
        self.put_timer(Timer { id, name, ends, heard: true }, words);
    }
}
