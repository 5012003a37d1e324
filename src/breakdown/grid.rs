//! Minutes and slots: work and least times go up to the grid, windows and greatest times down.

use crate::calendar::Span;

/// Length of a slot in minutes.
pub(super) const GRID: u16 = 15;

/// Windows on the grid: starts rounded up, ends down, what is left of none dropped.
pub(super) fn slots_of(spans: &[Span]) -> Vec<(i32, i32)> {
    let rounded = spans.iter().map(|span| (up(span.start.0), down(span.end.0)));
    rounded.filter(|(start, end)| start < end).collect()
}

pub(super) fn minutes_of(minutes: u32) -> i32 {
    i32::try_from(minutes).unwrap_or(i32::MAX / 2)
}

/// Slots of a stretch of work.
pub(super) fn length(minutes: u32) -> i32 {
    up(minutes_of(minutes))
}

pub(super) fn up(minutes: i32) -> i32 {
    let grid = i32::from(GRID);
    minutes.div_euclid(grid) + i32::from(minutes.rem_euclid(grid) != 0)
}

pub(super) fn down(minutes: i32) -> i32 {
    minutes.div_euclid(i32::from(GRID))
}

pub(super) fn nearest(minutes: i32) -> i32 {
    down(minutes.saturating_add(i32::from(GRID) / 2)).max(0)
}
