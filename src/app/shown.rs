//! The week on screen, as the pages beside the week read it.

use std::collections::BTreeSet;
use std::sync::Arc;

use leptos::prelude::*;
use rackweek::plan::{Plan, check::Report};
use rackweek::week::WeekInput;

use super::AppState;

/// Reads the plan on screen, or the outlook alone before the first plan. Does not follow the clock: a minute
/// moves no box.
pub(crate) fn with_input<R>(app: AppState, read: impl FnOnce(WeekInput<'_>) -> R) -> Option<R> {
    let book = app.book.get();
    let planned = app.plan.get();
    let outlook = match &planned {
        Some(planned) => Arc::clone(&planned.outlook),
        None => app.outlook.get()?,
    };
    let (plan, report) = match &planned {
        Some(planned) => (planned.plan.clone(), planned.report.clone()),
        None => (Plan::default(), Report::default()),
    };
    Some(read(WeekInput {
        book: &book,
        outlook: &outlook,
        plan: &plan,
        report: &report,
        now: app.now.get_untracked(),
        first_day: 0,
        unfolded: &BTreeSet::new(),
    }))
}
