//! Steps, rests, kitchen and time → the neutral planning problem, and the way back.
//!
//! Rounding is always to the safe side: work and least times up to the grid, windows and greatest
//! times down.

use std::collections::BTreeMap;

use crate::calendar::{Elapsed, Horizon, MyTime, Windows};
use crate::card::StepKind;
use crate::kitchen::Kitchen;
use crate::plan::arrange::{Arrange, map_of};
use crate::plan::check::check;
use crate::plan::explain::HELPER;
use crate::plan::{Activity, Limit, Plan, Problem, Resource, Weights, Worker};

use super::cuts::Cut;
use super::grid::{GRID, down, length, minutes_of, nearest, slots_of, up};
use super::past::State;
use super::standing::Standings;
use super::stores::Stores;
use super::{Note, Step, StepId, StepNeed, Work};

const SLOTS_PER_DAY: u16 = 96;
/// The one who works.
const BAKER: &str = "baker";
/// When somebody is awake at home.
pub(super) const HOME: &str = "home";
/// When somebody may open the oven door.
const AT_HAND: &str = "at-hand";
/// Share of a window in per cent that may be worked without it counting as a long evening.
const SOFT_SHARE: i32 = 75;
/// Work in so many slots before leaving is crunch.
const CRUNCH_SLOTS: i32 = 96;
const CRUNCH_WEIGHT: i64 = 4;

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
    /// Steps under way: the start of each sitting that was begun. What is left of them is placed anew, unless it is
    /// fixed too.
    pub begun: &'a BTreeMap<StepId, Vec<Elapsed>>,
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
    /// What can stand where, for packing a plan; none: nothing is packed.
    pub standings: Option<Standings>,
    /// What was found not to stand together, in the order of the numbers that its resources have in the
    /// problem; none before a plan was packed.
    pub cuts: Vec<Cut>,
}

impl Assembled {
    /// Start of each sitting of each step, in elapsed minutes; for what has happened, the real one.
    pub fn starts(&self, plan: &Plan) -> BTreeMap<StepId, Vec<Elapsed>> {
        let grid = i32::from(self.problem.grid_minutes);
        let mut starts: BTreeMap<StepId, Vec<Elapsed>> =
            map_of(plan.starts.iter().map(|(id, starts)| {
                let starts = starts.iter().map(|slot| Elapsed(slot.saturating_mul(grid)));
                (StepId(id.clone()), starts.collect())
            }));
        for (id, real) in &self.past {
            // A step that is all behind has no kind in the problem, and no other sittings there.
            let whole = self
                .problem
                .activities
                .iter()
                .any(|activity| activity.id == id.0 && activity.kind.is_none());
            let planned = starts.remove(id).filter(|_| !whole).unwrap_or_default();
            starts.insert(id.clone(), real.iter().copied().chain(planned).collect());
        }
        starts
    }

    /// A sound plan in which a helper does what they may and have time for, where it stands: what costs nothing need
    /// not be the baker's. The longest first.
    #[must_use]
    pub fn relieved(&self, plan: Plan) -> Plan {
        let problem = &self.problem;
        let Some(helper) = problem.workers.iter().find(|of| of.id == HELPER) else { return plan };
        let mut plan = plan;
        let mut theirs: Vec<(i32, i32)> = Vec::new();
        let mut hers: Vec<(i32, i32, String, usize)> = Vec::new();
        for of in problem.activities.iter().filter(|of| of.workers.iter().any(|id| id == HELPER)) {
            let starts = plan.starts.get(&of.id).map_or(&[][..], Vec::as_slice);
            let who = plan.worker.get(&of.id).map_or(&[][..], Vec::as_slice);
            for (at, ((&start, &length), who)) in
                starts.iter().zip(&of.segments).zip(who).enumerate()
            {
                match who.as_deref() {
                    Some(HELPER) => theirs.push((start, start + length)),
                    Some(BAKER) => hers.push((start, start + length, of.id.clone(), at)),
                    _ => {}
                }
            }
        }
        hers.arrange_by_key(|(start, end, id, at)| (start - end, *start, id.clone(), *at));
        for (start, end, id, at) in hers {
            let there = helper.windows.iter().any(|&(from, to)| from <= start && end <= to);
            let free = theirs.iter().all(|&(from, to)| end <= from || to <= start);
            if let Some(who) = plan.worker.get_mut(&id).filter(|_| there && free) {
                who[at] = Some(HELPER.to_owned());
                theirs.push((start, end));
            }
        }
        plan.objective = plan.objective.and(Some(check(problem, &plan).parts.total));
        plan
    }
}

/// Makes the problem. Lengths are rounded up to the grid of 15 minutes; limits are rounded down.
pub fn assemble(input: &Assembly<'_>) -> Assembled {
    let mut assembler = Assembler {
        input,
        stores: Stores::of(input.kitchen, input.horizon),
        notes: Vec::new(),
        states: BTreeMap::new(),
        past_work: Vec::new(),
    };
    assembler.look_back();
    assembler.problem()
}

pub(super) struct Assembler<'a> {
    pub(super) input: &'a Assembly<'a>,
    pub(super) stores: Stores<'a>,
    notes: Vec<Note>,
    pub(super) states: BTreeMap<&'a StepId, State>,
    /// Start, minutes and kind of hands-on work behind: it counts in its day's limits.
    pub(super) past_work: Vec<(Elapsed, u32, StepKind)>,
}

impl Assembler<'_> {
    fn problem(mut self) -> Assembled {
        let input = self.input;
        let free = slots_of(&input.windows.free);
        let home = slots_of(&input.windows.home);
        let mut calendars =
            map_of([(HOME.to_owned(), home.clone()), (AT_HAND.to_owned(), free.clone())]);
        let hands = self.windows_left(&free);
        let worker = Worker {
            id: BAKER.to_owned(),
            soft: hands.iter().map(|(s, e)| i64::from((e - s) * SOFT_SHARE / 100)).collect(),
            windows: hands,
            limits: self.limits(),
        };
        let helped = slots_of(&input.windows.helped);
        let helper = (!helped.is_empty()).then(|| Worker {
            id: HELPER.to_owned(),
            windows: helped,
            ..Worker::default()
        });
        let workers: Vec<Worker> = std::iter::once(worker).chain(helper).collect();
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
        self.end_begun_limits(&mut activities);
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
        let past = map_of(self.states.iter().filter_map(|(id, state)| {
            let real = input.fixed.get(*id).or_else(|| input.begun.get(*id))?;
            match state {
                State::Past { .. } => Some(((*id).clone(), real.clone())),
                State::Begun { from, .. } => {
                    Some(((*id).clone(), real.iter().take(*from).copied().collect()))
                }
                _ => None,
            }
        }));
        let problem = Problem {
            format: "makeahead-sched/2".to_owned(),
            name: format!("week of {}", input.horizon.start),
            grid_minutes: GRID,
            slots_per_day: SLOTS_PER_DAY,
            horizon: down(input.horizon.len().0),
            calendars,
            workers,
            resources,
            activities,
            links,
            weights: WEIGHTS,
        };
        let now = input.now;
        let standings = Standings::of(input.work, input.kitchen, input.horizon, now, &problem);
        Assembled { problem, notes: self.notes, past, standings: Some(standings), cuts: Vec::new() }
    }

    /// Free windows without the sitting that is running now: hands that are busy take on nothing else.
    fn windows_left(&self, free: &[(i32, i32)]) -> Vec<(i32, i32)> {
        let now = self.input.now;
        let busy_until = self
            .past_work
            .iter()
            .map(|(start, minutes, _)| start.plus(minutes_of(*minutes)))
            .filter(|end| now < *end)
            .map(|end| up(end.0))
            .max();
        let Some(until) = busy_until else { return free.to_vec() };
        let from = down(now.0);
        free.iter()
            .flat_map(|(start, end)| [(*start, (*end).min(from)), ((*start).max(until), *end)])
            .filter(|(start, end)| start < end)
            .collect()
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
            State::Past { from, to, .. } => {
                activity.kind = None;
                activity.segments = vec![to - from];
                activity.pin = Some(vec![from]);
                if from < to {
                    self.takes(step, &mut activity);
                }
                return Some(activity);
            }
            State::Pinned(slots) => {
                activity.segments = segments;
                activity.pin = Some(slots);
            }
            State::Begun { from, slots } => {
                activity.segments = segments.into_iter().skip(from).collect();
                if slots.is_none() {
                    activity.earliest = Some(up(self.input.now.0).max(0));
                    activity.latest = self.pause_ends(step, from, &activity.segments);
                }
                activity.pin = slots;
            }
            State::Open => {
                activity.segments = segments;
                activity.earliest = Some(up(self.input.now.0).max(0));
            }
        }
        if activity.pin.is_none()
            && let Some(shown) = self.input.shown.get(&step.id)
            && shown.len() == step.sittings.len()
        {
            // Of a step under way only what is left.
            let from = step.sittings.len() - activity.segments.len();
            let left = shown.iter().skip(from);
            activity.reference = Some(left.map(|start| nearest(start.0)).collect());
            activity.stab_weight = 1;
        }
        match step.kind {
            StepKind::Plain | StepKind::Fine => {
                activity.workers = vec![BAKER.to_owned()];
                // Fine handwork stays hers.
                if step.kind == StepKind::Plain && !self.input.windows.helped.is_empty() {
                    activity.workers.push(HELPER.to_owned());
                }
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
        self.takes(step, &mut activity);
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

    /// What a step takes while it runs.
    fn takes(&mut self, step: &Step, activity: &mut Activity) {
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

    fn trouble(&mut self, step: &Step, trouble: Option<String>) {
        if let Some(trouble) = trouble {
            self.note(step, format!("{}: {trouble}", step.product), true);
        }
    }

    pub(super) fn note(&mut self, step: &Step, text: String, problem: bool) {
        let note = Note { order: step.order, item: Some(step.item), text, problem };
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
    }
}

fn resource(id: &str, capacity: i64) -> Resource {
    Resource { id: id.to_owned(), capacity, load_weight: 0, busy: Vec::new() }
}

fn kind_name(kind: StepKind) -> &'static str {
    match kind {
        StepKind::Plain => "plain",
        StepKind::Fine => "fine",
        StepKind::Oven => "oven",
        StepKind::Wait => "wait",
    }
}
