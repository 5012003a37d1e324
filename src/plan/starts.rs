//! Where a segment could start.

use super::{Plan, Problem};

/// Starts of `segment` of `activity` that its windows, its links to pinned and passive neighbours, and
/// the others' room to move do not rule out, as sorted disjoint half-open intervals of slots.
/// Everything that is not pinned may move. A start outside is impossible; a start inside is likely.
pub fn possible_starts(
    problem: &Problem,
    plan: &Plan,
    activity: &str,
    segment: usize,
) -> Vec<(i32, i32)> {
    let _ = (problem, plan, activity, segment);
    Vec::new()
}
