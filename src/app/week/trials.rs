//! When the week does not hold: what cannot be, and ways out, each tried before it is offered.
//!
//! The worker finds the conflict and what gives way in the planner's terms; the book's own ways (a day off,
//! fewer spares) are suggested by the library. Whatever a command can do is done to a copy of the book and
//! planned; only what then has a sound plan is offered.

use std::collections::{BTreeSet, VecDeque};
use std::sync::Arc;

use leptos::prelude::*;
use rackweek::plan::Plan;
use rackweek::plan::arrange::{Arrange, set_of};
use rackweek::plan::check::check;
use rackweek::plan::explain::{Conflict, Remedy, Tried};
use rackweek::record::{Book, Command, Outlook};
use rackweek::week::{
    BlockKey, Moved, Starts, conflict_headline, conflict_words, moved, remedy_command,
    remedy_commands, remedy_words, seen_before, suggestions, trial_words,
};

use super::model::{WeekModel, with_planned};
use crate::app::AppState;
use crate::app::planner::{Answer, Kind, Question};
use crate::app::state::{PlannedWeek, PlanningState};
use crate::app::tryout::{as_seen, is_packed, tried, with_commands};

/// More ways out than anybody compares.
const ENOUGH: usize = 6;

/// What cannot be, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Trouble {
    /// In one sentence.
    pub(super) headline: String,
    /// What cannot hold together.
    pub(super) lines: Vec<String>,
}

/// A way out that was tried: with it the week holds.
#[derive(Debug, Clone)]
pub(super) struct Offer {
    /// For example "1 h more on Thursday 26 Nov, 22:45–23:45".
    pub(super) words: String,
    /// What it would mean.
    pub(super) clauses: Vec<String>,
    /// What gives it; none when the book has no place for it and she arranges it herself.
    commands: Option<Vec<Command>>,
    /// The book with it.
    pub(super) book: Arc<Book>,
    /// The week with it.
    pub(super) planned: Arc<PlannedWeek>,
    /// What would stand elsewhere.
    pub(super) moved: Vec<Moved>,
    /// The gentler, the smaller.
    rank: usize,
}

/// A way out that is still to be tried.
struct Candidate {
    words: String,
    commands: Vec<Command>,
    near: Plan,
    rank: usize,
}

/// The handle.
#[derive(Clone, Copy)]
pub(super) struct Trials {
    app: AppState,
    /// None while the week holds, or it is not known yet why not.
    pub(super) trouble: RwSignal<Option<Arc<Trouble>>>,
    /// What helps, the gentlest first.
    pub(super) offers: RwSignal<Vec<Arc<Offer>>>,
    /// Something is still being tried.
    pub(super) trying: RwSignal<bool>,
    /// The one whose week is on screen in place of the real one.
    pub(super) shown: RwSignal<Option<Arc<Offer>>>,
    state: StoredValue<State, LocalStorage>,
}

#[derive(Default)]
struct State {
    queue: VecDeque<Candidate>,
    seen: Vec<Remedy>,
    suggested: bool,
    /// The worker mends one for a candidate.
    mending: bool,
    /// The worker has nothing more to tell.
    told_all: bool,
}

impl Trials {
    pub(super) fn new(app: AppState) -> Self {
        Self {
            app,
            trouble: RwSignal::new(None),
            offers: RwSignal::default(),
            trying: RwSignal::new(false),
            shown: RwSignal::new(None),
            state: StoredValue::new_local(State::default()),
        }
    }

    /// Asks whenever a finished plan does not hold.
    pub(super) fn follow(&self, model: &WeekModel) {
        let (trials, model) = (*self, *model);
        Effect::new(move |_| {
            let idle = trials.app.planning.get() == PlanningState::Idle;
            let planned = trials.app.plan.get();
            trials.forget();
            if let Some(planned) = planned.filter(|p| idle && !p.report.breaches.is_empty()) {
                trials.ask(&model, &planned);
            }
        });
        on_cleanup(move || trials.leave());
    }

    /// Nobody waits for answers any more.
    fn leave(&self) {
        if let Some(desk) = self.app.desk() {
            desk.leave(Kind::WhyNot);
            desk.leave(Kind::Mend);
        }
    }

    fn forget(&self) {
        self.leave();
        self.state.set_value(State::default());
        self.shown.set(None);
        if self.trouble.with_untracked(Option::is_some) {
            self.trouble.set(None);
        }
        if self.offers.with_untracked(|offers| !offers.is_empty()) {
            self.offers.set(Vec::new());
        }
        self.trying.set(false);
    }

    fn ask(&self, model: &WeekModel, planned: &Arc<PlannedWeek>) {
        let Some(desk) = self.app.desk() else { return };
        let problem = &planned.outlook.assembled.problem;
        let grid = i32::from(problem.grid_minutes.max(1));
        let now = planned.outlook.horizon.elapsed(self.app.now.get_untracked());
        let question = Question::WhyNot { not_before: now.0.div_euclid(grid) + 1 };
        self.trying.set(true);
        let (trials, model, asked) = (*self, *model, Arc::clone(planned));
        desk.about(problem, &planned.plan, question, move |answer| {
            if let Answer::WhyNot { conflict, remedies, done } = answer {
                trials.learn(&model, &asked, &conflict, &remedies, done);
            }
        });
    }

    fn learn(
        &self,
        model: &WeekModel,
        asked: &Arc<PlannedWeek>,
        conflict: &Conflict,
        remedies: &[Tried],
        done: bool,
    ) {
        let told = model.with(|input| {
            let headline = conflict_headline(input, conflict);
            Trouble { headline, lines: conflict_words(input, conflict) }
        });
        let Some(told) = told else { return };
        self.trouble.set(Some(Arc::new(told)));
        let seen = self.state.with_value(|state| state.seen.clone());
        for tried in remedies.iter().filter(|tried| !seen.contains(&tried.remedy)) {
            self.consider(model, asked, tried);
        }
        let more = self.state.try_update_value(|state| {
            state.seen = remedies.iter().map(|tried| tried.remedy.clone()).collect();
            state.told_all = done;
            !std::mem::replace(&mut state.suggested, true)
        });
        if more == Some(true) {
            let found = model.with(|input| suggestions(input, conflict)).unwrap_or_default();
            let rest = found.into_iter().enumerate().map(|(index, suggestion)| Candidate {
                words: suggestion.words,
                commands: vec![suggestion.command],
                near: asked.plan.clone(),
                rank: 1_000 + index,
            });
            self.state.update_value(|state| state.queue.extend(rest));
        }
        self.pump(model, asked);
    }

    /// Takes up what the worker has found in the planner's terms.
    fn consider(&self, model: &WeekModel, asked: &Arc<PlannedWeek>, tried: &Tried) {
        let found =
            model.with(|input| (remedy_words(input, tried), remedy_commands(input, &tried.remedy)));
        let Some((words, commands)) = found else { return };
        let rank = match tried.remedy {
            Remedy::Unpin { .. } => 0,
            Remedy::MoreTime { ref windows, .. } => 100 * windows.len(),
            Remedy::Helper { .. } | Remedy::Room { .. } => 500,
            Remedy::EarlierStart { .. } | Remedy::LaterEnd { .. } => 900,
            Remedy::Together(_) => 950,
        };
        // Hours that are not hers help nobody, beside other things neither.
        let hers = tried.remedy.parts().iter().all(|part| {
            let time = matches!(part, Remedy::MoreTime { .. });
            !time || model.with(|input| remedy_command(input, part)).flatten().is_some()
        });
        match (commands, &tried.remedy) {
            (Some(commands), _) => {
                let near = tried.plan.clone();
                let candidate = Candidate { words, commands, near, rank };
                // Before what is only suggested: this is known to help.
                self.state.update_value(|state| state.queue.push_front(candidate));
            }
            (None, Remedy::Room { .. } | Remedy::Together(_))
                if hers && is_packed(&asked.outlook, &tried.plan) =>
            {
                let book = self.app.book.get_untracked();
                let outlook = Arc::clone(&asked.outlook);
                self.offer(
                    model,
                    Offering { words, commands: None, rank, book, outlook },
                    &tried.plan,
                );
            }
            // Hours that are not hers.
            (None, _) => {}
        }
    }

    /// Tries what waits, one after another.
    fn pump(&self, model: &WeekModel, asked: &Arc<PlannedWeek>) {
        loop {
            let enough = self.offers.with_untracked(|offers| offers.len() >= ENOUGH);
            let next = self.state.try_update_value(|state| {
                if state.mending || enough { None } else { state.queue.pop_front() }
            });
            let Some(Some(candidate)) = next else { break };
            self.try_out(model, asked, candidate);
        }
        let busy = self.state.with_value(|state| {
            state.mending || (!state.told_all && self.offers.read_untracked().len() < ENOUGH)
        });
        self.trying.set(busy);
    }

    fn try_out(&self, model: &WeekModel, asked: &Arc<PlannedWeek>, candidate: Candidate) {
        let Candidate { words, commands, near, rank } = candidate;
        // What she saw while it held is where things should stay.
        let Some((book, outlook)) = with_commands(self.app, &asked.outlook, &commands) else {
            return;
        };
        let offering =
            Offering { words, commands: Some(commands), rank, book, outlook: Arc::clone(&outlook) };
        let Some(desk) = self.app.desk() else { return };
        self.state.update_value(|state| state.mending = true);
        // Mended from where she saw everything, so that little moves; at worst it stays as it was tried.
        let problem = &outlook.assembled.problem;
        let sound = check(problem, &near).breaches.is_empty() && is_packed(&outlook, &near);
        let known = sound.then(|| near.clone());
        let near = as_seen(problem, near);
        let (trials, model, asked) = (*self, *model, Arc::clone(asked));
        let question = Question::Mend {
            standings: outlook.assembled.standings.clone().map(Box::new),
            patient: false,
        };
        desk.about(problem, &near, question, move |answer| {
            if let Answer::Mended(plan) = answer {
                trials.state.update_value(|state| state.mending = false);
                if let Some(plan) = plan.or_else(|| known.clone()) {
                    trials.offer(&model, offering.clone(), &plan);
                }
                trials.pump(&model, &asked);
            }
        });
    }

    fn offer(&self, model: &WeekModel, offering: Offering, plan: &Plan) {
        let Offering { words, commands, rank, book, outlook } = offering;
        let before = seen_before(&outlook);
        let after: Starts = outlook.shown_from(plan).starts;
        let planned = tried(outlook, plan);
        let told = untrack(|| {
            with_planned(model, &book, &planned, |input| {
                (trial_words(input, &before), moved(input, &before, &after))
            })
        });
        let (clauses, moved) = told;
        let planned = Arc::new(planned);
        let offer = Arc::new(Offer { words, clauses, commands, book, planned, moved, rank });
        self.offers.update(|offers| {
            offers.push(offer);
            offers.arrange_by(|a, b| (a.rank, &a.words).cmp(&(b.rank, &b.words)));
        });
    }

    /// Does it: the week becomes what the trial showed, and "Undo" takes it back.
    pub(super) fn take(&self, model: &WeekModel, offer: &Offer) {
        let Some(commands) = offer.commands.clone() else { return };
        self.shown.set(None);
        let shown = offer.planned.outlook.shown_from(&offer.planned.plan);
        let words = match commands.len() {
            1 => format!("Done: {}", offer.words),
            many => format!("Done: {}. Undo takes it back in {many} steps", offer.words),
        };
        if commands.into_iter().all(|command| model.run(command, words.clone())) {
            // The week that was shown is the one to stay near. Not undone by itself.
            let _ = self.app.apply(Command::Show(shown));
        }
    }

    /// Which sittings the trial on screen has moved.
    pub(super) fn moved_keys(&self) -> BTreeSet<BlockKey> {
        self.shown.with(|shown| {
            set_of(shown.iter().flat_map(|offer| &offer.moved).map(|moved| moved.key.clone()))
        })
    }
}

/// What an offer is made of, before its plan.
#[derive(Clone)]
struct Offering {
    words: String,
    commands: Option<Vec<Command>>,
    rank: usize,
    book: Arc<Book>,
    outlook: Arc<Outlook>,
}

impl Offer {
    /// Whether the book can hold it.
    pub(super) fn can_be_taken(&self) -> bool {
        self.commands.is_some()
    }
}
