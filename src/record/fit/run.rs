//! Planning a copy of the book in slices, up to the first sound plan and a little beyond it.
//!
//! In: a book, a moment, an order in some form, and how much may be spent. Out: a plan that was packed
//! and that separate code found sound, or none.

use std::collections::BTreeSet;

use crate::order::{Order, OrderId, Stage};
use crate::plan::arrange::set_of;
use crate::plan::check::check;
use crate::plan::explain::impossible;
use crate::plan::{Plan, Problem};
use crate::record::{Book, Outlook, PackedPlanner, PlanInput};

/// Evaluations in one slice.
const SLICE: u64 = 20;
/// Evaluations for the least bad plan of what is proven impossible.
const LEAST_BAD: u64 = 60;

/// A book with the order in some form, being planned.
pub(super) struct Run {
    pub(super) outlook: Outlook,
    planner: PackedPlanner,
    left: u64,
    /// Spent on making a sound plan better.
    polish: u64,
    begun: bool,
    sound: bool,
}

impl Run {
    /// The order counts as agreed, unless it is declined. After the first sound plan it is improved by
    /// `polish` evaluations.
    pub(super) fn of(
        book: &Book,
        input: &PlanInput,
        order: &Order,
        evaluations: u64,
        polish: u64,
    ) -> Option<Self> {
        let (outlook, shown) = outlook(book, input, order)?;
        let problem = outlook.assembled.problem.clone();
        Self::plan_for(outlook, &problem, &shown, evaluations, polish)
    }

    /// The same, with everything else left where it was shown, but for what stands on some days of the horizon:
    /// what need not move does not.
    pub(super) fn in_place(
        book: &Book,
        input: &PlanInput,
        order: &Order,
        free: &BTreeSet<i32>,
        evaluations: u64,
        polish: u64,
    ) -> Option<Self> {
        let (outlook, shown) = outlook(book, input, order)?;
        let held = in_place(&outlook.assembled.problem, order.id, free);
        Self::plan_for(outlook, &held, &shown, evaluations, polish)
    }

    fn plan_for(
        outlook: Outlook,
        problem: &Problem,
        shown: &Plan,
        evaluations: u64,
        polish: u64,
    ) -> Option<Self> {
        let stands = outlook.assembled.standings.as_ref();
        let planner = PackedPlanner::new(problem, 0, stands, Some(shown)).ok()?;
        // What cannot be sound is only to be shown.
        let left = if impossible(problem, 1) { evaluations.min(LEAST_BAD) } else { evaluations };
        Some(Self { outlook, planner, left, polish, begun: false, sound: false })
    }

    /// The same, but none where the order would not be planned or is proven not to fit: that costs nothing.
    pub(super) fn worth_it(
        book: &Book,
        input: &PlanInput,
        order: &Order,
        evaluations: u64,
    ) -> Option<Self> {
        let run = Self::of(book, input, order, evaluations, 0)?;
        let planned = run.outlook.work.handovers.iter().any(|point| point.order == order.id);
        (planned && !impossible(&run.outlook.assembled.problem, 1)).then_some(run)
    }

    /// Plans a slice; false when it is over.
    pub(super) fn step(&mut self) -> bool {
        let slice = if !self.begun {
            0
        } else if self.sound {
            SLICE.min(self.polish)
        } else {
            SLICE.min(self.left)
        };
        self.begun = true;
        let purse = if self.sound { &mut self.polish } else { &mut self.left };
        *purse -= slice;
        let progress = self.planner.improve(slice);
        self.sound = progress.objective.is_some();
        let more = if self.sound { self.polish } else { self.left };
        !progress.finished && more > 0
    }

    /// Days of the horizon on which its plan breaks a rule.
    pub(super) fn broken_days(&mut self) -> BTreeSet<i32> {
        let plan = self.planner.plan();
        let with_cuts = self.outlook();
        let problem = &with_cuts.assembled.problem;
        let breaches = check(problem, &plan).breaches;
        set_of(breaches.iter().map(|breach| day_of(problem, breach.at)))
    }

    /// Whether a sound plan was found.
    pub(super) fn is_sound(&self) -> bool {
        self.sound
    }

    /// The best plan, sound or not.
    pub(super) fn plan(&mut self) -> Plan {
        self.planner.plan()
    }

    /// The outlook with what was found not to stand together.
    pub(super) fn outlook(&self) -> Outlook {
        self.outlook.with_cuts(self.planner.cuts())
    }

    /// The plan, if it is sound; looked at by separate code.
    pub(super) fn sound_plan(&mut self) -> Option<Plan> {
        let plan = self.sound.then(|| self.planner.plan())?;
        check(&self.outlook().assembled.problem, &plan).breaches.is_empty().then_some(plan)
    }
}

fn outlook(book: &Book, input: &PlanInput, order: &Order) -> Option<(Outlook, Plan)> {
    let mut with = book.clone();
    let stage = if order.stage == Stage::Declined { order.stage } else { Stage::Confirmed };
    with.orders.insert(order.id, Order { stage, ..order.clone() });
    let outlook = Outlook::of(&with, input)?;
    let modes = with.shown.as_ref().map(|shown| &shown.modes);
    let mut shown = outlook.assembled.problem.shown().unwrap_or_default();
    shown.modes = modes.cloned().unwrap_or_default();
    Some((outlook, shown))
}

fn day_of(problem: &Problem, slot: i32) -> i32 {
    slot.div_euclid(i32::from(problem.slots_per_day.max(1)))
}

/// The problem in which nothing of other orders may move, as far as it still can stay, but for what stands on the
/// days that are `free`.
fn in_place(problem: &Problem, order: OrderId, free: &BTreeSet<i32>) -> Problem {
    let own = format!("o{}", order.0);
    let mut held = problem.clone();
    let others = held.activities.iter_mut().filter(|of| of.order.as_ref() != Some(&own));
    for activity in others.filter(|of| of.pin.is_none()) {
        let stays = activity.reference.as_ref().is_some_and(|starts| {
            starts.len() == activity.segments.len()
                && activity.earliest.is_none_or(|earliest| starts.first() >= Some(&earliest))
                && !starts.iter().any(|start| free.contains(&day_of(problem, *start)))
        });
        if stays {
            activity.pin.clone_from(&activity.reference);
        }
    }
    held
}
