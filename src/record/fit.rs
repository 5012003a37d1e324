//! The fit check: what the week would be with one more order.
//!
//! In: a book, a moment, an order that is not agreed yet, and how much may be spent. Out: whether it fits, with the
//! plan that shows it; else what would make it fit and the earliest handover at which it would, each
//! found by planning it. Changes nothing: it works on a copy.

use std::collections::BTreeMap;

use super::{Book, Outlook, PlanInput};
use crate::breakdown::StepId;
use crate::calendar::Wall;
use crate::order::{ItemId, Order, OrderId, Stage};
use crate::plan::check::{Report, check};
use crate::plan::explain::{Conflict, Tried, WhyNot, impossible};
use crate::plan::{Plan, Planner, Problem};

/// Most days by which a later handover is tried.
const DAYS_LATER_MOST: i64 = 42;
/// Days tried one by one, before the steps grow.
const DAYS_ONE_BY_ONE: i64 = 7;
/// Evaluations for one handover date.
const EVALUATIONS_A_DATE: u64 = 160;
/// Evaluations for the least bad plan of what is proven impossible.
const LEAST_BAD: u64 = 60;
/// Cases of proofs for the conflict.
const CASES: u64 = 800;

/// The short answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// A sound plan holds everything.
    Fits,
    /// It fits if one of the remedies is taken.
    FitsIf,
    /// It fits at a later handover only.
    NotBefore,
    /// No way was found. That is a proof only where the conflict says so.
    NoWay,
    /// It is not planned at all: its handover lies behind or too far ahead, or it cannot be made as asked.
    /// The notes say why.
    NotPlanned,
    /// The week has no sound plan even without it.
    TroubleWithout,
}

/// Fewer spares of one item, so that it fits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FewerSpares {
    /// Which item of the order.
    pub item: ItemId,
    /// How many spares are left.
    pub spares: u32,
}

/// The whole answer.
#[derive(Debug, Clone)]
pub struct FitAnswer {
    /// In short.
    pub fit: Fit,
    /// The book's outlook with the order in it.
    pub outlook: Outlook,
    /// The plan that shows that it fits, or the least bad one.
    pub plan: Plan,
    /// What separate code found wrong with that plan.
    pub report: Report,
    /// Steps of other orders that would start elsewhere than in the plan shown last.
    pub moved: Vec<StepId>,
    /// What cannot hold together, when it does not fit.
    pub conflict: Conflict,
    /// What was found to help, the cheapest first.
    pub remedies: Vec<Tried>,
    /// Fewer spares that would be enough.
    pub spares: Vec<FewerSpares>,
    /// The earliest later handover found, at the same time of day, at which it fits as it is. Every date that
    /// was tried before it failed; later dates are taken to be no harder.
    pub not_before: Option<Wall>,
    /// Why the order cannot be made or planned as asked.
    pub notes: Vec<String>,
}

/// Checks whether an order fits. None while kitchen or time are not set up. `evaluations` bounds what is
/// spent: a quarter on the plan, two on remedies, one on later dates. 1500 take about as long as a person
/// waits.
pub fn fit_check(
    book: &Book,
    input: &PlanInput,
    enquiry: &Order,
    evaluations: u64,
) -> Option<FitAnswer> {
    let share = evaluations / 4;
    let tried = Trial::of(book, input, enquiry, share)?;
    let order = enquiry.id;
    let plan = tried.plan.unwrap_or_else(|| tried.planner.plan());
    let report = check(&tried.outlook.assembled.problem, &plan);
    let notes = notes(&tried.outlook, order);
    let planned = tried.outlook.work.handovers.iter().any(|point| point.order == order);
    let moved = moved(&tried.outlook, &plan, order);
    let mut answer = FitAnswer {
        fit: Fit::Fits,
        outlook: tried.outlook,
        plan,
        report,
        moved,
        conflict: Conflict::NotProven,
        remedies: Vec::new(),
        spares: Vec::new(),
        not_before: None,
        notes,
    };
    if !planned {
        answer.fit = Fit::NotPlanned;
    } else if !answer.report.breaches.is_empty() {
        answer.fit = answer.what_else(book, input, enquiry, share);
    } else if !answer.notes.is_empty() {
        answer.fit = Fit::NotPlanned;
    }
    Some(answer)
}

impl FitAnswer {
    fn what_else(&mut self, book: &Book, input: &PlanInput, enquiry: &Order, share: u64) -> Fit {
        let without = Order { stage: Stage::Declined, ..enquiry.clone() };
        if Trial::of(book, input, &without, share).is_none_or(|trial| trial.plan.is_none()) {
            return Fit::TroubleWithout;
        }
        let problem = &self.outlook.assembled.problem;
        let grid = i32::from(problem.grid_minutes.max(1));
        let now = self.outlook.horizon.elapsed(input.now).0.div_euclid(grid) + 1;
        let mut why = WhyNot::new(problem, &self.plan, now, CASES);
        why.refine(2 * share);
        self.conflict = why.conflict().clone();
        self.remedies = why.remedies().to_vec();
        self.spares = fewer_spares(book, input, enquiry, share / 4);
        self.not_before = earliest(book, input, enquiry, share);
        if !self.remedies.is_empty() || !self.spares.is_empty() {
            Fit::FitsIf
        } else if self.not_before.is_some() {
            Fit::NotBefore
        } else {
            Fit::NoWay
        }
    }
}

/// A book with the order in some form.
struct Trial {
    outlook: Outlook,
    /// Found sound, if it was.
    plan: Option<Plan>,
    planner: Planner,
}

impl Trial {
    /// The order counts as agreed, unless it is declined. Stops at the first sound plan.
    fn of(book: &Book, input: &PlanInput, order: &Order, evaluations: u64) -> Option<Self> {
        let (outlook, shown) = Self::outlook(book, input, order)?;
        let problem = &outlook.assembled.problem;
        let mut planner = Planner::warm(problem, 0, &shown).ok()?;
        // What cannot be sound is only to be shown.
        let evaluations =
            if impossible(problem, 1) { evaluations.min(LEAST_BAD) } else { evaluations };
        let mut spent = 0;
        let mut progress = planner.improve(0);
        while progress.objective.is_none() && !progress.finished && spent < evaluations {
            let slice = 20.min(evaluations - spent);
            progress = planner.improve(slice);
            spent += slice;
        }
        let plan = progress.objective.map(|_| planner.plan());
        let plan = plan.filter(|plan| check(problem, plan).breaches.is_empty());
        Some(Self { outlook, plan, planner })
    }

    fn outlook(book: &Book, input: &PlanInput, order: &Order) -> Option<(Outlook, Plan)> {
        let mut with = book.clone();
        let stage = if order.stage == Stage::Declined { order.stage } else { Stage::Confirmed };
        with.orders.insert(order.id, Order { stage, ..order.clone() });
        let outlook = Outlook::of(&with, input)?;
        let modes = with.shown.as_ref().map(|shown| &shown.modes);
        let shown = shown_plan(&outlook.assembled.problem, modes);
        Some((outlook, shown))
    }

    /// Whether the order is planned, and soundly. What is proven impossible is not planned at all, and
    /// costs nothing.
    fn fits(book: &Book, input: &PlanInput, order: &Order, left: &mut u64) -> bool {
        let Some((outlook, _)) = Self::outlook(book, input, order) else { return false };
        let planned = outlook.work.handovers.iter().any(|point| point.order == order.id);
        if !planned || *left == 0 || impossible(&outlook.assembled.problem, 1) {
            return false;
        }
        let evaluations = EVALUATIONS_A_DATE.min(*left);
        *left -= evaluations;
        Self::of(book, input, order, evaluations).is_some_and(|trial| trial.plan.is_some())
    }
}

/// The plan shown last, as far as the problem remembers it.
fn shown_plan(problem: &Problem, modes: Option<&BTreeMap<String, String>>) -> Plan {
    let mut plan = Plan { modes: modes.cloned().unwrap_or_default(), ..Plan::default() };
    for activity in &problem.activities {
        let known = activity.pin.as_ref().or(activity.reference.as_ref());
        let Some(starts) = known.filter(|starts| starts.len() == activity.segments.len()) else {
            continue;
        };
        plan.starts.insert(activity.id.clone(), starts.clone());
        let who = activity.workers.first().cloned();
        plan.worker.insert(activity.id.clone(), vec![who; starts.len()]);
    }
    plan
}

fn notes(outlook: &Outlook, order: OrderId) -> Vec<String> {
    let all = outlook.work.notes.iter().chain(&outlook.assembled.notes);
    let planned = outlook.work.handovers.iter().any(|point| point.order == order);
    all.filter(|note| note.order == order && (note.problem || !planned))
        .map(|note| note.text.clone())
        .collect()
}

/// Steps of other orders that start elsewhere than where they were shown.
fn moved(outlook: &Outlook, plan: &Plan, order: OrderId) -> Vec<StepId> {
    let own = format!("o{}", order.0);
    let elsewhere = outlook.assembled.problem.activities.iter().filter(|activity| {
        activity.order.as_ref() != Some(&own)
            && activity.reference.is_some()
            && activity.reference.as_ref() != plan.starts.get(&activity.id)
    });
    elsewhere.map(|activity| StepId(activity.id.clone())).collect()
}

/// Items that, with half their spares or with none, make it fit.
fn fewer_spares(
    book: &Book,
    input: &PlanInput,
    enquiry: &Order,
    evaluations: u64,
) -> Vec<FewerSpares> {
    let mut left = evaluations;
    let mut out = Vec::new();
    for (index, item) in enquiry.items.iter().enumerate().filter(|(_, item)| item.spares > 0) {
        let mut amounts = vec![item.spares / 2, 0];
        amounts.dedup();
        for spares in amounts {
            let mut order = enquiry.clone();
            if let Some(item) = order.items.get_mut(index) {
                item.spares = spares;
            }
            if Trial::fits(book, input, &order, &mut left) {
                out.push(FewerSpares { item: item.id, spares });
                break;
            }
        }
    }
    out
}

/// The earliest later handover at which the order fits: day by day for a week, then in growing steps that
/// are halved again.
fn earliest(book: &Book, input: &PlanInput, enquiry: &Order, evaluations: u64) -> Option<Wall> {
    let mut left = evaluations;
    let mut fits = |days: i64| Trial::fits(book, input, &later(enquiry, days), &mut left);
    let mut failed = 0;
    let mut found = None;
    while found.is_none() && failed < DAYS_LATER_MOST {
        let step = if failed < DAYS_ONE_BY_ONE { 1 } else { failed / 2 };
        let days = (failed + step).min(DAYS_LATER_MOST);
        if fits(days) {
            found = Some(days);
        } else {
            failed = days;
        }
    }
    let mut works = found?;
    while works - failed > 1 {
        let middle = i64::midpoint(failed, works);
        if fits(middle) {
            works = middle;
        } else {
            failed = middle;
        }
    }
    Some(later(enquiry, works).handover.at)
}

fn later(order: &Order, days: i64) -> Order {
    let mut later = order.clone();
    let at = order.handover.at;
    later.handover.at = at.date().plus_days(days).at(at.minute_of_day());
    later
}
