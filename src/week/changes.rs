//! What another plan would change for her, in hours and in words.
//!
//! In: the plan on screen and another one for the same problem. Out: short clauses, such as “2 h more in the
//! fridge”, the weightiest first.

use std::collections::BTreeMap;

use crate::breakdown::StepId;
use crate::kitchen::Place;
use crate::plan::Plan;
use crate::plan::arrange::Arrange;
use crate::plan::explain::{Account, Preference, account, crunch};

use super::standing::placed_rests;
use super::view::{Context, WeekInput};
use super::why::Words;
use super::words::{at_place, day_name, duration};

/// What another plan changes, besides where `moved` stands itself; empty: nothing that counts.
pub fn changes(input: WeekInput<'_>, other: &Plan, moved: &StepId) -> Vec<String> {
    let (before, after) = (Side::of(input), Side::of(WeekInput { plan: other, ..input }));
    let mut clauses = Vec::new();
    let mut compare = |more: i64, than: &str| {
        if more != 0 {
            let by = duration(i32::try_from(more.abs()).unwrap_or(i32::MAX));
            let way = if more > 0 { "more" } else { "less" };
            clauses.push(format!("{by} {way} {than}"));
        }
    };
    let differs = |of: fn(&Side) -> i64| of(&after) - of(&before);
    compare(differs(|side| side.late), "late at the handover");
    compare(differs(|side| side.crunch), "work in the last 24 h");
    for place in [Place::Fridge, Place::Freezer] {
        let resting = |side: &Side| side.resting.get(&place).copied().unwrap_or(0);
        compare(resting(&after) - resting(&before), at_place(place));
    }
    compare(differs(|side| side.waiting), "waiting for the handover, finished");
    let mut evenings: Vec<(i32, i64)> = after.evenings.iter().map(|(k, v)| (*k, *v)).collect();
    for (window, was) in &before.evenings {
        match evenings.iter_mut().find(|(k, _)| k == window) {
            Some(entry) => entry.1 -= was,
            None => evenings.push((*window, -was)),
        }
    }
    evenings.arrange();
    let context = Context::of(input);
    for (start, more) in evenings.into_iter().filter(|(_, more)| *more != 0) {
        let day = day_name(context.horizon.wall(Words::of(&context).at(start)).date());
        let by = duration(i32::try_from(more.abs()).unwrap_or(i32::MAX));
        let way = if more > 0 { "longer" } else { "shorter" };
        clauses.push(format!("{day} {by} {way}"));
    }
    let elsewhere = other
        .starts
        .iter()
        .filter(|(id, starts)| **id != moved.0 && input.plan.starts.get(*id) != Some(*starts))
        .count();
    match elsewhere {
        0 => {}
        1 => clauses.push("1 other step moves".to_owned()),
        many => clauses.push(format!("{many} other steps move")),
    }
    clauses
}

/// What is compared, in minutes.
struct Side {
    late: i64,
    crunch: i64,
    waiting: i64,
    /// All rests that stand in a place, added up.
    resting: BTreeMap<Place, i64>,
    /// Beyond what is easy, by the window's first slot.
    evenings: BTreeMap<i32, i64>,
}

impl Side {
    fn of(input: WeekInput<'_>) -> Self {
        let problem = &input.outlook.assembled.problem;
        let account = account(problem, input.plan);
        let grid = i64::from(problem.grid_minutes.max(1));
        let minutes = |of: fn(&Preference) -> bool| account.amount(of) * grid;
        let mut resting: BTreeMap<Place, i64> = BTreeMap::new();
        for placed in placed_rests(&Context::of(input)) {
            for (span, stay) in placed.parts() {
                if let Some(stay) = stay {
                    *resting.entry(stay.place).or_default() += i64::from(span.minutes());
                }
            }
        }
        Self {
            late: minutes(|p| matches!(p, Preference::OnTime(_))),
            // The account counts how late a step ends; she counts the work.
            crunch: crunch(problem, input.plan) * grid,
            waiting: minutes(|p| matches!(p, Preference::Fresh(_))),
            resting,
            evenings: evenings(input, &account),
        }
    }
}

/// Minutes of work beyond what is easy, by the window's first slot.
fn evenings(input: WeekInput<'_>, account: &Account) -> BTreeMap<i32, i64> {
    let problem = &input.outlook.assembled.problem;
    let grid = i64::from(problem.grid_minutes.max(1));
    let found = account.entries.iter().filter_map(|entry| {
        let Preference::ShortEvening(worker, window) = &entry.preference else { return None };
        let worker = problem.workers.iter().find(|of| &of.id == worker)?;
        Some((worker.windows.get(*window)?.0, entry.amount * grid))
    });
    let mut sums = BTreeMap::new();
    for (start, minutes) in found {
        *sums.entry(start).or_default() += minutes;
    }
    sums
}
