//! What the parts of the week share: the view, what is selected, and what is being moved.

use std::collections::BTreeSet;
use std::sync::Arc;
use std::time::Duration;

use leptos::prelude::*;
use rackweek::calendar::Elapsed;
use rackweek::plan::{Plan, check::Report};
use rackweek::record::{Book, Command, Outlook};
use rackweek::week::{
    BlockKey, FoldKey, Landing, Nudge, Reach, Sheet, WeekInput, WeekView, WhyWords,
    first_day_of_week_with,
};

use super::dom;
use super::elsewhere::Starts;
use super::trials::Trials;
use crate::app::AppState;
use crate::app::state::{PlannedWeek, Role, words as refused};

/// How a sitting is being moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum By {
    /// Held by its grip.
    Grip,
    /// Waiting for a tap where it should go.
    Tap,
    /// By the arrow keys.
    Keys,
}

/// A sitting on the move. The view stands still meanwhile.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Moving {
    pub(super) reach: Reach,
    pub(super) by: By,
}

/// Where it would land.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Target {
    /// Which of the seven days.
    pub(super) column: usize,
    pub(super) landing: Landing,
}

/// The handle of the week's parts.
#[derive(Clone, Copy)]
pub(super) struct WeekModel {
    pub(super) app: AppState,
    /// None while kitchen or time are not set up.
    pub(super) view: Memo<Option<Arc<WeekView>>>,
    /// First day shown, of the horizon; none: the week that it is now.
    first_day: RwSignal<Option<i32>>,
    /// Which of the seven days a narrow window shows.
    pub(super) chosen: RwSignal<usize>,
    unfolded: RwSignal<BTreeSet<FoldKey>>,
    /// Whose sheet is open.
    pub(super) selected: RwSignal<Option<BlockKey>>,
    /// The day whose places are shown.
    pub(super) places_of: RwSignal<Option<usize>>,
    /// Whether the list of problems is open.
    pub(super) problems_open: RwSignal<bool>,
    /// Whether it is told what the plan costs and how surely it works.
    pub(super) goodness_open: RwSignal<bool>,
    /// Whether it is told what moved.
    pub(super) moved_open: RwSignal<bool>,
    /// Whether rests are drawn.
    pub(super) rests_shown: RwSignal<bool>,
    pub(super) moving: RwSignal<Option<Arc<Moving>>>,
    pub(super) target: RwSignal<Option<Target>>,
    /// What is known of where it could go.
    pub(super) starts: Starts,
    /// Ways out when the week does not hold.
    pub(super) trials: Trials,
    /// Sittings that the trial on screen has moved.
    pub(super) displaced_keys: Memo<BTreeSet<BlockKey>>,
    /// Whether it is told why the week does not hold.
    pub(super) why_not_open: RwSignal<bool>,
}

impl WeekModel {
    pub(super) fn new(app: AppState) -> Self {
        let first_day = RwSignal::new(None);
        let unfolded = RwSignal::new(BTreeSet::new());
        let moving: RwSignal<Option<Arc<Moving>>> = RwSignal::new(None);
        let trials = Trials::new(app);
        let view = Memo::new(move |before: Option<&Option<Arc<WeekView>>>| {
            // Nothing may shift under a finger: better plans wait until the sitting is put down.
            if moving.read().is_some()
                && let Some(Some(before)) = before
            {
                return Some(Arc::clone(before));
            }
            with_input(app, &trials, first_day.get(), &unfolded.read(), |input| {
                Arc::new(WeekView::of(input))
            })
        });
        let today = view.with_untracked(|view| {
            view.as_ref().and_then(|view| view.days.iter().position(|day| day.today))
        });
        Self {
            app,
            view,
            first_day,
            chosen: RwSignal::new(today.unwrap_or(0)),
            unfolded,
            selected: RwSignal::new(None),
            places_of: RwSignal::new(None),
            problems_open: RwSignal::new(false),
            goodness_open: RwSignal::new(false),
            moved_open: RwSignal::new(false),
            rests_shown: RwSignal::new(true),
            moving,
            target: RwSignal::new(None),
            starts: Starts::new(app),
            trials,
            displaced_keys: Memo::new(move |_| trials.moved_keys()),
            why_not_open: RwSignal::new(false),
        }
    }

    /// Whether this window may change anything, and shows what is to be changed.
    pub(super) fn may_write(&self) -> bool {
        self.app.role.get() == Role::Writer && self.trials.shown.read().is_none()
    }

    fn first_shown(&self) -> i32 {
        self.view.with_untracked(|view| {
            view.as_ref().and_then(|view| view.days.first()).map_or(0, |day| day.day)
        })
    }

    /// Whether there is a week `weeks` later (earlier when negative) in the horizon.
    pub(super) fn has_week(&self, weeks: i32) -> bool {
        self.view.track();
        let first = self.first_shown() + 7 * weeks;
        let days = self.app.outlook.read().as_ref().map_or(0, |outlook| outlook.horizon.days);
        first >= 0 && first < i32::from(days)
    }

    pub(super) fn go_weeks(&self, weeks: i32) {
        self.first_day.set(Some(self.first_shown() + 7 * weeks));
    }

    pub(super) fn go_today(&self) {
        self.first_day.set(None);
        let today = self.view.with_untracked(|view| {
            view.as_ref().and_then(|view| view.days.iter().position(|day| day.today))
        });
        self.chosen.set(today.unwrap_or(0));
        if let Some(column) = today {
            after_drawing(move || dom::show_day(column));
        }
    }

    /// Folds or unfolds a strip.
    pub(super) fn toggle(&self, fold: FoldKey) {
        self.unfolded.update(|unfolded| {
            if !unfolded.remove(&fold) {
                unfolded.insert(fold);
            }
        });
    }

    /// Shows a sitting and puts the focus on it.
    pub(super) fn jump(&self, key: BlockKey, day: Option<i32>) {
        if self.view.with_untracked(|v| v.as_ref().is_none_or(|v| v.block(&key).is_none()))
            && let Some(day) = day
        {
            self.first_day.set(Some(day.max(0) / 7 * 7));
        }
        self.focus_later(key);
    }

    /// Focuses a block once it is drawn, on the day that it is then on.
    pub(super) fn focus_later(&self, key: BlockKey) {
        let model = *self;
        after_drawing(move || {
            let column = model.view.try_with_untracked(|view| {
                view.as_ref().and_then(|view| view.block(&key)).map(|(column, _)| column)
            });
            if let Some(Some(column)) = column {
                model.chosen.try_set(column);
                after_drawing(move || dom::focus_block(&key.to_string()));
            }
        });
    }

    /// The input of what is on screen.
    pub(super) fn with<R>(&self, read: impl FnOnce(WeekInput<'_>) -> R) -> Option<R> {
        let unfolded = self.unfolded.get_untracked();
        let first = Some(self.first_shown());
        untrack(|| with_input(self.app, &self.trials, first, &unfolded, read))
    }

    /// Everything about a sitting, newly read whenever the view changes.
    pub(super) fn sheet(&self, key: &BlockKey) -> Option<Sheet> {
        let view = self.view.get()?;
        self.with(|input| Sheet::of(input, &view, key)).flatten()
    }

    /// What holds a sitting where it is; none for what lies behind.
    pub(super) fn why(&self, key: &BlockKey) -> Option<WhyWords> {
        self.with(|input| WhyWords::of(input, key)).flatten()
    }

    /// Where a sitting may go; says why when it may go nowhere.
    fn reach(&self, key: &BlockKey) -> Option<Reach> {
        if !self.may_write_untracked() {
            self.app.say("Another window is open and writes; move sittings there", false);
            return None;
        }
        if self.trials.shown.read_untracked().is_some() {
            self.app.say("This is a trial; go back to the week, or do it, to move sittings", false);
            return None;
        }
        let reach = self.with(|input| Reach::of(input, key)).flatten();
        if reach.is_none() {
            self.app.say("This step is done or under way; let it go first to move it", false);
        }
        reach
    }

    fn may_write_untracked(&self) -> bool {
        self.app.role.get_untracked() == Role::Writer
    }

    /// Picks a sitting up. False: it cannot be moved, and why was said.
    pub(super) fn pick_up(&self, key: &BlockKey, by: By) -> bool {
        let Some(reach) = self.reach(key) else { return false };
        self.target.set(None);
        if by == By::Keys {
            self.aim(&reach, reach.from);
        }
        self.moving.set(Some(Arc::new(Moving { reach, by })));
        self.starts.ask(self, key);
        true
    }

    /// Aims at a height of a day; none: at nothing.
    pub(super) fn hover(&self, spot: Option<(usize, i32)>) {
        let Some(moving) = self.moving.get_untracked() else { return };
        let target = spot.and_then(|(column, y)| {
            self.view.with_untracked(|view| {
                let day = view.as_ref()?.days.get(column)?;
                Some(Target { column, landing: moving.reach.land(day, y) })
            })
        });
        if self.target.with_untracked(|before| *before != target) {
            self.target.set(target);
            self.look_at_target();
        }
    }

    /// Aims at a start; turns to the week that holds it.
    fn aim(&self, reach: &Reach, start: Elapsed) {
        let target = self.view.with_untracked(|view| {
            let view = view.as_ref()?;
            let column = view.days.iter().position(|day| day.axis.span.contains(start))?;
            let axis = &view.days.get(column)?.axis;
            let (top, bottom) = (axis.y_of(start), axis.y_of(start.plus(reach.length)));
            let words = reach.words_at(start);
            let landing = Landing::Here { start, top, height: bottom - top, words };
            Some(Target { column, landing })
        });
        if let Some(target) = &target {
            self.chosen.set(target.column);
            let column = target.column;
            after_drawing(move || dom::show_target(column));
        }
        self.target.set(target);
        self.look_at_target();
    }

    /// Finds out what exactly changes where the sitting would land now.
    fn look_at_target(&self) {
        let target = self.target;
        let aimed_at = move || {
            target.try_with_untracked(|target| match target {
                Some(Target { landing: Landing::Here { start, .. }, .. }) => Some(*start),
                _ => None,
            })
        };
        if let Some(Some(start)) = aimed_at() {
            self.starts.look_at(start, move || aimed_at() == Some(Some(start)));
        }
    }

    /// What it costs where the sitting would land now; none where it is not known at all.
    pub(super) fn target_cost(&self) -> Option<String> {
        let start = self.target.with(|target| match target {
            Some(Target { landing: Landing::Here { start, .. }, .. }) => Some(*start),
            _ => None,
        })?;
        if self.moving.read().as_ref().is_some_and(|moving| moving.reach.from == start) {
            return Some("where it is now".to_owned());
        }
        self.starts.words(start)
    }

    /// Moves the aim by a step of the keyboard. The aim stays within the week shown.
    pub(super) fn nudge_aim(&self, nudge: Nudge) {
        let Some(moving) = self.moving.get_untracked() else { return };
        let from = self.target.with_untracked(|target| match target {
            Some(Target { landing: Landing::Here { start, .. }, .. }) => *start,
            _ => moving.reach.from,
        });
        let next = moving.reach.nudge(from, nudge);
        let shown = next.filter(|start| {
            self.view.with_untracked(|view| {
                view.as_ref()
                    .is_some_and(|v| v.days.iter().any(|day| day.axis.span.contains(*start)))
            })
        });
        match shown {
            Some(start) => self.aim(&moving.reach, start),
            None => self.app.say("Nothing else is possible that way in this week", false),
        }
    }

    /// Puts the sitting down where it aims. Away from any start: it stays where it was.
    pub(super) fn drop(&self) {
        let (moving, target) = (self.moving.get_untracked(), self.target.get_untracked());
        let Some(moving) = moving else { return };
        match target.map(|target| target.landing) {
            Some(Landing::Here { start, .. }) => {
                self.clear();
                self.commit(moving.reach.clone(), start);
            }
            Some(Landing::NotPossible { reason }) if moving.by == By::Grip => {
                self.clear();
                self.app.say(format!("Not moved: {reason}"), false);
            }
            Some(Landing::NotPossible { .. }) => {}
            None => self.cancel(),
        }
    }

    /// Back to where it was.
    pub(super) fn cancel(&self) {
        if let Some(moving) = self.moving.get_untracked() {
            self.clear();
            self.app.say(format!("{} stays where it was", moving.reach.name), false);
            if moving.by != By::Grip {
                self.focus_later(moving.reach.key.clone());
            }
        }
    }

    fn clear(&self) {
        self.moving.set(None);
        self.target.set(None);
        self.starts.leave();
    }

    /// Moves a sitting to one of its possible starts.
    pub(super) fn move_to(&self, key: &BlockKey, start: Elapsed) {
        if let Some(reach) = self.reach(key) {
            self.commit(reach, start);
        }
    }

    /// One step of the keyboard or of the sheet's buttons, at once.
    pub(super) fn step(&self, key: &BlockKey, nudge: Nudge) {
        let Some(reach) = self.reach(key) else { return };
        match reach.nudge(reach.from, nudge) {
            Some(start) => self.commit(reach, start),
            None => self.app.say("Nothing else is possible that way", false),
        }
    }

    /// Pins the step. In a later task, so that no element goes while its own handler runs.
    fn commit(&self, reach: Reach, start: Elapsed) {
        let model = *self;
        set_timeout(
            move || {
                if start == reach.from {
                    model.app.say(format!("{} stays where it was", reach.name), false);
                } else {
                    let words = format!("{} moved to {}", reach.name, reach.words_at(start));
                    model.run(reach.command(start), words);
                }
                if model.selected.with_untracked(Option::is_none) {
                    model.focus_later(reach.key.clone());
                }
            },
            Duration::ZERO,
        );
    }

    /// Applies a command and says what it did, or why it could not.
    pub(super) fn run(&self, command: Command, words: String) -> bool {
        let answer = self.app.apply(command);
        match &answer {
            Ok(()) => self.app.say(words, true),
            Err(refusals) => self.app.say(refused(refusals), false),
        }
        answer.is_ok()
    }
}

/// Runs once what was changed just now has been drawn.
pub(super) fn after_drawing(run: impl FnOnce() + 'static) {
    request_animation_frame(move || request_animation_frame(run));
}

/// The week's input from another book and its plan, as a trial has them.
pub(super) fn with_planned<R>(
    model: &WeekModel,
    book: &Book,
    planned: &PlannedWeek,
    read: impl FnOnce(WeekInput<'_>) -> R,
) -> R {
    let (outlook, plan, report) = (&planned.outlook, &planned.plan, &planned.report);
    let (now, first_day) = (model.app.now.get_untracked(), model.first_shown());
    let unfolded = &BTreeSet::new();
    read(WeekInput { book, outlook, plan, report, now, first_day, unfolded })
}

/// The week's input from the plan on screen, or from the outlook alone before the first plan.
fn with_input<R>(
    app: AppState,
    trials: &Trials,
    first_day: Option<i32>,
    unfolded: &BTreeSet<FoldKey>,
    read: impl FnOnce(WeekInput<'_>) -> R,
) -> Option<R> {
    let trial = trials.shown.get();
    let (real, now) = (app.book.get(), app.now.get());
    let book = trial.as_ref().map_or(real, |offer| Arc::clone(&offer.book));
    let make = |outlook: &Outlook, plan: &Plan, report: &Report| {
        let now_week = || first_day_of_week_with(&outlook.horizon, now.date());
        let first_day = first_day.unwrap_or_else(now_week).max(0);
        read(WeekInput { book: &book, outlook, plan, report, now, first_day, unfolded })
    };
    let real: Option<Arc<PlannedWeek>> = app.plan.get();
    let planned = trial.map_or(real, |offer| Some(Arc::clone(&offer.planned)));
    if let Some(planned) = planned {
        return Some(make(&planned.outlook, &planned.plan, &planned.report));
    }
    let outlook = app.outlook.get()?;
    Some(make(&outlook, &Plan::default(), &Report::default()))
}
