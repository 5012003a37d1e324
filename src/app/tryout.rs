//! A change tried on a copy of the book: what the week would be with it, before anything has changed.
//!
//! In: commands, and the week on screen. Out: the copy with its outlook, to be planned in the worker
//! ([`crate::app::planner::Question::Mend`]), and what a plan for it is made into for the views.

use std::sync::Arc;

use leptos::prelude::*;
use rackweek::plan::check::Report;
use rackweek::plan::{Plan, Problem, Progress};
use rackweek::record::{Book, Command, Outlook, PackedCheck, PlanInput};
use rackweek::week::shown_before;

use super::AppState;
use super::state::PlannedWeek;

/// The book after some commands, with everything shown where it was seen; none when one of them is refused.
pub(crate) fn with_commands(
    app: AppState,
    seen: &Outlook,
    commands: &[Command],
) -> Option<(Arc<Book>, Arc<Outlook>)> {
    let mut book = Book::clone(&app.book.read_untracked());
    for command in commands {
        book.apply(command.clone()).ok()?;
    }
    book.shown = Some(shown_before(&book, seen));
    let now = app.now.get_untracked();
    let now = now.plus_minutes(-i64::from(now.minute_of_day() % 15));
    let outlook = Outlook::of(&book, &PlanInput { now, zone: app.zone.get_value() })?;
    Some((Arc::new(book), Arc::new(outlook)))
}

/// A plan that was mended for an outlook, as the views read it.
pub(crate) fn tried(outlook: Arc<Outlook>, plan: &Plan) -> PlannedWeek {
    let plan = plan.clone();
    let plan = if plan.objective.is_some() { outlook.assembled.relieved(plan) } else { plan };
    let objective = plan.objective;
    PlannedWeek {
        outlook,
        plan,
        report: Report::default(),
        progress: Progress { evaluations: 0, objective, bound: 0, finished: false },
    }
}

/// Whether everything stands at every moment of a plan.
pub(crate) fn is_packed(outlook: &Outlook, plan: &Plan) -> bool {
    let assembled = &outlook.assembled;
    let Some(standings) = &assembled.standings else { return true };
    PackedCheck::new(standings).holds(&assembled.problem, plan)
}

/// The plan with everything where it was shown, as far as that is known.
pub(crate) fn as_seen(problem: &Problem, mut plan: Plan) -> Plan {
    for activity in &problem.activities {
        if let Some(seen) = &activity.reference {
            plan.starts.insert(activity.id.clone(), seen.clone());
        }
    }
    plan
}
