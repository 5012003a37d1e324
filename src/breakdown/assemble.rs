//! Steps, rests, kitchen and time → the neutral planning problem, and the way back.
//!
//! Rounding is always to the safe side: work and least times up to the grid, windows and greatest
//! times down.

use std::collections::BTreeMap;

use crate::calendar::{Elapsed, Horizon, MyTime, Span, Windows};
use crate::card::StepKind;
use crate::kitchen::Kitchen;
use crate::plan::{
    Activity, At, Limit, Link, Mode, Plan, Problem, Resource, Tail, Weights, Worker,
};

use super::stores::Stores;
use super::{AgeLimit, Note, Rest, RestChoice, Step, StepId, StepNeed, Work};

/// Length of a slot in minutes.
const GRID: u16 = 15;
const SLOTS_PER_DAY: u16 = 96;
/// The one who works.
const BAKER: &str = "baker";
/// When somebody is awake at home.
const HOME: &str = "home";
/// When somebody may open the oven door.
const AT_HAND: &str = "at-hand";
/// Share of a window in per cent that may be worked without it counting as a long evening.
const SOFT_SHARE: i32 = 75;
/// Work in so many slots before leaving is crunch.
const CRUNCH_SLOTS: i32 = 96;
const CRUNCH_WEIGHT: i64 = 4;
/// What is lost when a product has used up all of its keeping time.
const FRESHNESS: i64 = 20_000;
/// A product without a limit ages as slowly as one that keeps for a month.
const UNLIMITED_SLOTS: i64 = 30 * 96;

/// One unit of load is a cm² of fridge for a slot; a cake box takes some 600 of them. The others are
/// set against that in the order in which they matter: late, stable, crunch and cold, fresh, evening.
const WEIGHTS: Weights =
    Weights { late: 100, load: 1, age: 1, evening: 600, stability: 800, mode: 5_000 };
/// Cost of a slot late at the handover, in units of [`Weights::late`].
const LATE_WEIGHT: i64 = 400;

/// What goes into a problem besides the work.
#[derive(Debug, Clone)]
pub struct Assembly<'a> {
    /// What there is to do.
    pub work: &'a Work,
    /// Where.
    pub kitchen: &'a Kitchen,
    /// Day limits.
    pub time: &'a MyTime,
    /// Free windows.
    pub windows: &'a Windows,
    /// The days.
    pub horizon: &'a Horizon,
    /// Nothing that is not done may start before.
    pub now: Elapsed,
    /// Minutes between "all boxed" and leaving.
    pub safety_margin: u32,
    /// Steps placed by hand, or done: the start of each sitting.
    pub fixed: &'a BTreeMap<StepId, Vec<Elapsed>>,
    /// The plan shown before: the start of each sitting.
    pub shown: &'a BTreeMap<StepId, Vec<Elapsed>>,
}

/// The problem, and the way back from it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Assembled {
    /// For the planner.
    pub problem: Problem,
    /// What the kitchen or the calendar cannot give.
    pub notes: Vec<Note>,
    /// Sittings that lie behind, wholly or in part: their real starts, up to the first planned one.
    pub past: BTreeMap<StepId, Vec<Elapsed>>,
}

impl Assembled {
    /// Start of each sitting of each step, in elapsed minutes; for what has happened, the real one.
    pub fn starts(&self, plan: &Plan) -> BTreeMap<StepId, Vec<Elapsed>> {
        let grid = i32::from(self.problem.grid_minutes);
        let mut starts: BTreeMap<StepId, Vec<Elapsed>> = plan
            .starts
            .iter()
            .map(|(id, starts)| {
                let starts = starts.iter().map(|slot| Elapsed(slot.saturating_mul(grid)));
                (StepId(id.clone()), starts.collect())
            })
            .collect();
        for (id, real) in &self.past {
            // A step that is all behind is a point in the problem; it has no other sittings there.
            let whole = self
                .problem
                .activities
                .iter()
                .any(|activity| activity.id == id.0 && activity.segments == [0]);
            let planned = starts.remove(id).filter(|_| !whole).unwrap_or_default();
            starts.insert(id.clone(), real.iter().copied().chain(planned).collect());
        }
        starts
    }
}

/// Makes the problem. Lengths are rounded up to the grid of 15 minutes; limits are rounded down.
pub fn assemble(input: &Assembly<'_>) -> Assembled {
    let mut assembler = Assembler {
        input,
        stores: Stores::of(input.kitchen),
        notes: Vec::new(),
        states: BTreeMap::new(),
        past_work: Vec::new(),
    };
    assembler.look_back();
    assembler.problem()
}

/// Where a step stands.
#[derive(Debug, Clone, PartialEq, Eq)]
enum State {
    /// To be placed.
    Open,
    /// Placed by hand, at these slots.
    Pinned(Vec<i32>),
    /// All behind: the slot that stands for its end, and its real end in minutes.
    Past { slot: i32, end: i32 },
    /// Sittings from this one on lie ahead, at these slots.
    Begun { from: usize, slots: Vec<i32> },
    /// Nobody ticked it, but what comes after it has happened.
    Skipped,
}

struct Assembler<'a> {
    input: &'a Assembly<'a>,
    stores: Stores<'a>,
    notes: Vec<Note>,
    states: BTreeMap<&'a StepId, State>,
    /// Start, minutes and kind of hands-on work behind: it counts in its day's limits.
    past_work: Vec<(Elapsed, u32, StepKind)>,
}

impl Assembler<'_> {
    /// Finds the state of every step.
    fn look_back(&mut self) {
        let now = self.input.now;
        for step in &self.input.work.steps {
            let mut state = State::Open;
            if let Some(starts) = self.input.fixed.get(&step.id).filter(|starts| !starts.is_empty())
            {
                state = self.state(step, starts);
            }
            if matches!(step.kind, StepKind::Plain | StepKind::Fine)
                && let Some(starts) = self.input.fixed.get(&step.id)
            {
                let behind = starts.iter().zip(&step.sittings).filter(|(start, _)| **start < now);
                self.past_work.extend(behind.map(|(start, len)| (*start, *len, step.kind)));
            }
            self.states.insert(&step.id, state);
        }
        // What has happened needed what comes before it, ticked or not.
        let mut open: Vec<&StepId> = self
            .states
            .iter()
            .filter(|(_, state)| matches!(state, State::Past { .. } | State::Begun { .. }))
            .map(|(id, _)| *id)
            .collect();
        while let Some(id) = open.pop() {
            for rest in self.input.work.rests.iter().filter(|rest| rest.to == *id) {
                if let Some(state) = self.states.get_mut(&rest.from)
                    && matches!(state, State::Open | State::Pinned(_))
                {
                    *state = State::Skipped;
                    open.push(&rest.from);
                }
            }
        }
    }

    fn state(&mut self, step: &Step, starts: &[Elapsed]) -> State {
        let now = self.input.now;
        let last = starts.last().copied().unwrap_or(now);
        if last < now {
            let length = step.sittings.last().copied().unwrap_or(0);
            let end = last.plus(i32::try_from(length).unwrap_or(i32::MAX)).0;
            // The point that stands for it lies inside the horizon; lags are corrected for the rest.
            let slot = down(end).clamp(0, up(now.0).max(0));
            return State::Past { slot, end };
        }
        if starts.len() != step.sittings.len() {
            self.note(
                step,
                format!(
                    "“{}” was pinned in {} sittings and now takes {}; it is planned anew",
                    step.name,
                    starts.len(),
                    step.sittings.len()
                ),
                false,
            );
            return State::Open;
        }
        let from = starts.iter().position(|start| now <= *start).unwrap_or(0);
        let slots: Vec<i32> = starts.iter().skip(from).map(|start| nearest(start.0)).collect();
        if from == 0 { State::Pinned(slots) } else { State::Begun { from, slots } }
    }

    fn problem(mut self) -> Assembled {
        let input = self.input;
        let free = slots_of(&input.windows.free);
        let home = slots_of(&input.windows.home);
        let mut calendars =
            BTreeMap::from([(HOME.to_owned(), home.clone()), (AT_HAND.to_owned(), free.clone())]);
        let worker = Worker {
            id: BAKER.to_owned(),
            soft: free.iter().map(|(s, e)| i64::from((e - s) * SOFT_SHARE / 100)).collect(),
            windows: free,
            limits: self.limits(),
        };
        let mut activities = Vec::new();
        for step in &input.work.steps {
            let Some(mut activity) = self.activity(step) else { continue };
            if activity.pin.is_none() {
                activity.start_in =
                    self.taken_out(step, &home, &mut calendars).or(activity.start_in);
            }
            activities.push(activity);
        }
        let handovers = self.handovers();
        activities.extend(handovers);
        let mut links = Vec::new();
        for rest in &input.work.rests {
            links.extend(self.link(rest));
        }
        for limit in &input.work.limits {
            links.extend(self.age_limit(limit));
        }
        let mut resources = vec![
            resource("oven", i64::from(input.kitchen.oven_trays())),
            resource("mixer", i64::from(input.kitchen.mixers)),
        ];
        resources.extend(self.stores.resources());
        let past = self
            .states
            .iter()
            .filter_map(|(id, state)| {
                let real = input.fixed.get(*id)?;
                match state {
                    State::Past { .. } => Some(((*id).clone(), real.clone())),
                    State::Begun { from, .. } => {
                        Some(((*id).clone(), real.iter().take(*from).copied().collect()))
                    }
                    _ => None,
                }
            })
            .collect();
        let problem = Problem {
            format: "makeahead-sched/2".to_owned(),
            name: format!("week of {}", input.horizon.start),
            grid_minutes: GRID,
            slots_per_day: SLOTS_PER_DAY,
            horizon: down(input.horizon.len().0),
            calendars,
            workers: vec![worker],
            resources,
            activities,
            links,
            weights: WEIGHTS,
        };
        Assembled { problem, notes: self.notes, past }
    }

    /// Two limits for each civil day: all hands-on work, and fine handwork. Work behind is taken off.
    fn limits(&self) -> Vec<Limit> {
        let input = self.input;
        let mut limits = Vec::new();
        for day in 0..input.horizon.days {
            let span = input.horizon.day_span(day);
            let (from, to) = (down(span.start.0), down(span.end.0));
            let done = |fine_only: bool| -> i64 {
                self.past_work
                    .iter()
                    .filter(|(start, _, kind)| {
                        span.contains(*start) && (!fine_only || *kind == StepKind::Fine)
                    })
                    .map(|(_, minutes, _)| i64::from(length(*minutes)))
                    .sum()
            };
            let all = i64::from(input.time.hands_on_limit(input.horizon.date(day)) / GRID);
            let fine = i64::from(input.time.limits.fine / GRID);
            limits.push(Limit { from, to, kinds: None, max: (all - done(false)).max(0) });
            let kinds = Some(vec![kind_name(StepKind::Fine).to_owned()]);
            limits.push(Limit { from, to, kinds, max: (fine - done(true)).max(0) });
        }
        limits
    }

    fn activity(&mut self, step: &Step) -> Option<Activity> {
        let state = self.states.get(&step.id)?.clone();
        let mut activity = Activity {
            id: step.id.0.clone(),
            order: Some(format!("o{}", step.order.0)),
            kind: Some(kind_name(step.kind).to_owned()),
            ..Activity::default()
        };
        let segments: Vec<i32> = step.sittings.iter().map(|minutes| length(*minutes)).collect();
        match state {
            State::Skipped => {
                self.note(
                    step,
                    format!("“{}” counts as done, because what follows it is done", step.name),
                    false,
                );
                return None;
            }
            State::Past { slot, .. } => {
                activity.segments = vec![0];
                activity.pin = Some(vec![slot]);
                return Some(activity);
            }
            State::Pinned(slots) => {
                activity.segments = segments;
                activity.pin = Some(slots);
            }
            State::Begun { from, slots } => {
                activity.segments = segments.into_iter().skip(from).collect();
                activity.pin = Some(slots);
            }
            State::Open => {
                activity.segments = segments;
                activity.earliest = Some(up(self.input.now.0).max(0));
            }
        }
        if activity.pin.is_none()
            && let Some(shown) = self.input.shown.get(&step.id)
            && shown.len() == activity.segments.len()
        {
            activity.reference = Some(shown.iter().map(|start| nearest(start.0)).collect());
            activity.stab_weight = 1;
        }
        match step.kind {
            StepKind::Plain | StepKind::Fine => {
                activity.workers = vec![BAKER.to_owned()];
                if let Some(leaves) = self.leaves(step) {
                    activity.due = Some((leaves - CRUNCH_SLOTS).max(0));
                    activity.late_weight = CRUNCH_WEIGHT;
                }
            }
            StepKind::Oven => {
                // Between two loads the trays are changed, so somebody stays at hand all the time.
                let attended = step.needs.contains(&StepNeed::AtHand);
                activity.within = Some(if attended { AT_HAND } else { HOME }.to_owned());
                activity.start_in = Some(AT_HAND.to_owned());
                activity.end_in = Some(AT_HAND.to_owned());
            }
            StepKind::Wait => {}
        }
        for need in &step.needs {
            match need {
                StepNeed::Mixer => activity.uses.push(("mixer".to_owned(), 1)),
                StepNeed::Oven(trays) => activity.uses.push(("oven".to_owned(), i64::from(*trays))),
                StepNeed::AtHand => {}
                StepNeed::Stand(stay) => {
                    let (amounts, trouble) = self.stores.amounts(stay);
                    activity.uses.extend(amounts);
                    self.trouble(step, trouble);
                }
            }
        }
        if 1 < activity.segments.len() {
            activity.gap_max = step.pause_max.map(|minutes| down(minutes_of(minutes)));
            if let Some(stay) = &step.pause_at {
                let (amounts, trouble) = self.stores.amounts(stay);
                activity.hold = amounts;
                self.trouble(step, trouble);
            }
        }
        Some(activity)
    }

    /// The calendar of starts for which somebody is home to take out what the step needs: an hour
    /// before, or whatever the last stretch of a rest takes. Only the usual way of a rest counts; what
    /// thaws in the fridge for a day is moved at the same hour of the day before.
    fn taken_out(
        &self,
        step: &Step,
        home: &[(i32, i32)],
        calendars: &mut BTreeMap<String, Vec<(i32, i32)>>,
    ) -> Option<String> {
        let rests = self.input.work.rests.iter().filter(|rest| rest.to == step.id);
        let mut tails: Vec<i32> = rests
            .filter(|rest| !matches!(self.states.get(&rest.from), Some(State::Skipped) | None))
            .filter_map(|rest| rest.choices.first()?.tail.as_ref())
            .map(|(minutes, _)| length(*minutes))
            .collect();
        tails.sort_unstable();
        tails.dedup();
        if tails.is_empty() {
            return None;
        }
        let names: Vec<String> = tails.iter().map(i32::to_string).collect();
        let name = format!("{HOME}-{}-slots-before", names.join("-and-"));
        if !calendars.contains_key(&name) {
            let later = |by: i32| home.iter().map(move |(start, end)| (start + by, end + by));
            let mut windows: Vec<(i32, i32)> = vec![(0, i32::MAX)];
            for tail in tails {
                windows = windows
                    .iter()
                    .flat_map(|(s, e)| later(tail).map(|(a, b)| (a.max(*s), b.min(*e))))
                    .filter(|(start, end)| start < end)
                    .collect();
            }
            let last = down(self.input.horizon.len().0);
            let windows = windows.into_iter().map(|(start, end)| (start, end.min(last)));
            calendars.insert(name.clone(), windows.filter(|(start, end)| start < end).collect());
        }
        Some(name)
    }

    fn handovers(&mut self) -> Vec<Activity> {
        let mut activities = Vec::new();
        for point in &self.input.work.handovers {
            let leaves = down(self.input.horizon.elapsed(point.leaves).0);
            if leaves < down(self.input.now.0) {
                self.notes.push(Note {
                    order: point.order,
                    item: None,
                    text: "Its handover lies behind; hand it over or move it".to_owned(),
                    problem: true,
                });
            }
            let slot = leaves.clamp(0, down(self.input.horizon.len().0));
            activities.push(Activity {
                id: point.id.0.clone(),
                order: Some(format!("o{}", point.order.0)),
                segments: vec![0],
                earliest: Some(slot),
                latest: Some(slot),
                due: Some(slot),
                late_weight: LATE_WEIGHT,
                ..Activity::default()
            });
        }
        activities
    }

    /// The slot at which a step's order leaves.
    fn leaves(&self, step: &Step) -> Option<i32> {
        let point = self.input.work.handovers.iter().find(|point| point.order == step.order)?;
        Some(down(self.input.horizon.elapsed(point.leaves).0))
    }

    fn link(&mut self, rest: &Rest) -> Option<Link> {
        let correction = self.correction(&rest.from)?;
        let handover = self.input.work.handovers.iter().any(|point| point.id == rest.to);
        if !handover && !self.ahead(&rest.to) {
            return None;
        }
        let margin = if handover { self.input.safety_margin } else { 0 };
        let step = self.input.work.steps.iter().find(|step| step.id == rest.from);
        let mut modes = Vec::new();
        let mut troubles = Vec::new();
        for choice in &rest.choices {
            let (mode, trouble) = self.mode(choice, correction, margin, handover);
            modes.push((mode, trouble.is_none()));
            troubles.extend(trouble);
        }
        // A way that no shelf can take is left out while there is another.
        let some_fit = modes.iter().any(|(_, fits)| *fits);
        let modes: Vec<Mode> = modes
            .into_iter()
            .filter(|(_, fits)| *fits || !some_fit)
            .map(|(mode, _)| mode)
            .collect();
        if let Some(step) = step {
            for trouble in troubles {
                self.note(step, format!("{}: {trouble}", rest.what), !some_fit);
            }
        }
        let mut link = Link {
            id: rest.id.clone(),
            from: rest.from.0.clone(),
            from_at: At::E,
            to: rest.to.0.clone(),
            to_at: At::S,
            min: 0,
            max: None,
            store: Vec::new(),
            age_weight: 0,
            modes: Vec::new(),
        };
        match modes.as_slice() {
            [only] if only.tail.is_none() && rest.choices.len() == 1 => {
                link.min = only.min;
                link.max = only.max;
                link.store.clone_from(&only.store);
                link.age_weight = only.age_weight;
            }
            _ => link.modes = modes,
        }
        Some(link)
    }

    fn mode(
        &self,
        choice: &RestChoice,
        correction: Correction,
        margin: u32,
        keeps: bool,
    ) -> (Mode, Option<String>) {
        let mut trouble = None;
        let mut store = |stay: Option<&super::RestStay>| {
            stay.map_or_else(Vec::new, |stay| {
                let (amounts, problem) = self.stores.amounts(stay);
                trouble = trouble.take().or(problem);
                amounts
            })
        };
        let tail = choice
            .tail
            .as_ref()
            .map(|(minutes, stay)| Tail { len: length(*minutes), store: store(stay.as_ref()) });
        let store = store(choice.stay.as_ref());
        let least = minutes_of(choice.least.max(margin));
        let shortest = tail.as_ref().map_or(0, |tail| tail.len);
        let min = correction.least(least).max(shortest);
        // A limit that ran out in the past stays unkept all the same: the work ahead is after it.
        let max =
            choice.greatest.map(|greatest| correction.greatest(minutes_of(greatest)).max(min));
        let age_weight = if keeps {
            let keeps = max.map_or(UNLIMITED_SLOTS, i64::from).max(1);
            (FRESHNESS / keeps).max(1)
        } else {
            0
        };
        let cost = i64::from(choice.cost);
        (Mode { name: choice.name.clone(), min, max, store, tail, age_weight, cost }, trouble)
    }

    fn age_limit(&self, limit: &AgeLimit) -> Option<Link> {
        let correction = if limit.from_start {
            self.start_correction(&limit.from)?
        } else {
            self.correction(&limit.from)?
        };
        let handover = self.input.work.handovers.iter().any(|point| point.id == limit.to);
        if !handover && !self.ahead(&limit.to) {
            return None;
        }
        Some(Link {
            id: limit.id.clone(),
            from: limit.from.0.clone(),
            from_at: if limit.from_start { At::S } else { At::E },
            to: limit.to.0.clone(),
            to_at: At::E,
            min: 0,
            max: Some(correction.greatest(minutes_of(limit.greatest)).max(0)),
            store: Vec::new(),
            age_weight: 0,
            modes: Vec::new(),
        })
    }

    /// How a step's real end lies to the end that the problem has for it; none when it is not there.
    fn correction(&self, id: &StepId) -> Option<Correction> {
        match self.states.get(id)? {
            State::Skipped => None,
            State::Past { slot, end } => {
                Some(Correction { early: 0, behind: end - slot * i32::from(GRID) })
            }
            State::Open | State::Pinned(_) | State::Begun { .. } => {
                let step = self.input.work.steps.iter().find(|step| step.id == *id)?;
                let last = step.sittings.last().copied().unwrap_or(0);
                let early = length(last) * i32::from(GRID) - minutes_of(last);
                Some(Correction { early, behind: 0 })
            }
        }
    }

    /// The same for its start.
    fn start_correction(&self, id: &StepId) -> Option<Correction> {
        let slot = match self.states.get(id)? {
            State::Skipped => return None,
            State::Open | State::Pinned(_) => return Some(Correction { early: 0, behind: 0 }),
            State::Past { slot, .. } => *slot,
            State::Begun { slots, .. } => slots.first().copied()?,
        };
        let real = self.input.fixed.get(id)?.first()?;
        Some(Correction { early: 0, behind: real.0 - slot * i32::from(GRID) })
    }

    /// Whether a step's first sitting lies ahead, so that rests before it still count.
    fn ahead(&self, id: &StepId) -> bool {
        matches!(self.states.get(id), Some(State::Open | State::Pinned(_)))
    }

    fn trouble(&mut self, step: &Step, trouble: Option<String>) {
        if let Some(trouble) = trouble {
            self.note(step, format!("{}: {trouble}", step.product), true);
        }
    }

    fn note(&mut self, step: &Step, text: String, problem: bool) {
        let note = Note { order: step.order, item: Some(step.item), text, problem };
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
    }
}

/// How the real end of a step differs from the end on the grid.
#[derive(Debug, Clone, Copy)]
struct Correction {
    /// Minutes by which work ends before its last slot does, so that a rest really begins earlier.
    early: i32,
    /// For what is past: its real end less the slot that stands for it, in minutes.
    behind: i32,
}

impl Correction {
    /// Least lag in slots; never shorter than the real one, and never negative.
    fn least(self, minutes: i32) -> i32 {
        up(minutes.saturating_add(self.behind)).max(0)
    }

    /// Greatest lag in slots; never longer than the real one.
    fn greatest(self, minutes: i32) -> i32 {
        down(minutes.saturating_add(self.behind).saturating_sub(self.early))
    }
}

fn resource(id: &str, capacity: i64) -> Resource {
    Resource { id: id.to_owned(), capacity, load_weight: 0, busy: Vec::new() }
}

/// Windows on the grid: starts rounded up, ends down, what is left of none dropped.
fn slots_of(spans: &[Span]) -> Vec<(i32, i32)> {
    let rounded = spans.iter().map(|span| (up(span.start.0), down(span.end.0)));
    rounded.filter(|(start, end)| start < end).collect()
}

fn kind_name(kind: StepKind) -> &'static str {
    match kind {
        StepKind::Plain => "plain",
        StepKind::Fine => "fine",
        StepKind::Oven => "oven",
        StepKind::Wait => "wait",
    }
}

fn minutes_of(minutes: u32) -> i32 {
    i32::try_from(minutes).unwrap_or(i32::MAX / 2)
}

/// Slots of a stretch of work.
fn length(minutes: u32) -> i32 {
    up(minutes_of(minutes))
}

fn up(minutes: i32) -> i32 {
    let grid = i32::from(GRID);
    minutes.div_euclid(grid) + i32::from(minutes.rem_euclid(grid) != 0)
}

fn down(minutes: i32) -> i32 {
    minutes.div_euclid(i32::from(GRID))
}

fn nearest(minutes: i32) -> i32 {
    down(minutes.saturating_add(i32::from(GRID) / 2)).max(0)
}
