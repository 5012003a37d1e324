//! The values that a variable may take at all: sorted, disjoint, inclusive intervals.
//!
//! Calendars live here, so that they cost no constraint.

use crate::model::{join, meet};

/// Values of a variable. Never changed once the search runs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Domain {
    parts: Vec<(i32, i32)>,
}

impl Domain {
    /// All of `low..=high`.
    pub(super) fn range(low: i32, high: i32) -> Self {
        Self::of(vec![(low, high)])
    }

    /// A union of intervals, empty ones left out.
    pub(super) fn of(mut parts: Vec<(i32, i32)>) -> Self {
        parts.retain(|part| part.0 <= part.1);
        Self { parts: join(parts) }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.parts.is_empty()
    }

    pub(super) fn low(&self) -> i32 {
        self.parts.first().map_or(0, |part| part.0)
    }

    pub(super) fn high(&self) -> i32 {
        self.parts.last().map_or(0, |part| part.1)
    }

    #[cfg(test)]
    fn contains(&self, value: i32) -> bool {
        self.at_or_after(value) == Some(value)
    }

    /// Least value that is not less.
    #[inline]
    pub(super) fn at_or_after(&self, value: i32) -> Option<i32> {
        if let [(low, high)] = self.parts[..] {
            return (value <= high).then_some(value.max(low));
        }
        let part = self.parts.partition_point(|part| part.1 < value);
        self.parts.get(part).map(|part| part.0.max(value))
    }

    /// Greatest value that is not greater.
    #[inline]
    pub(super) fn at_or_before(&self, value: i32) -> Option<i32> {
        if let [(low, high)] = self.parts[..] {
            return (value >= low).then_some(value.min(high));
        }
        let part = self.parts.partition_point(|part| part.0 <= value);
        part.checked_sub(1).map(|part| self.parts[part].1.min(value))
    }

    pub(super) fn met(&self, other: &Self) -> Self {
        Self { parts: meet(&self.parts, &other.parts) }
    }

    /// Each value plus anything in `low..=high`.
    pub(super) fn spread(&self, low: i32, high: i32) -> Self {
        let moved = |part: &(i32, i32)| (part.0.saturating_add(low), part.1.saturating_add(high));
        Self::of(self.parts.iter().map(moved).collect())
    }

    /// Differences `a - b`.
    pub(super) fn less(&self, other: &Self) -> Self {
        let mut parts = Vec::new();
        for a in &self.parts {
            parts.extend(other.parts.iter().map(|b| (a.0 - b.1, a.1 - b.0)));
        }
        Self::of(parts)
    }

    /// Distances from `centre`.
    pub(super) fn distance(&self, centre: i32) -> Self {
        let mut parts = Vec::new();
        for &(low, high) in &self.parts {
            parts.push((low.max(centre) - centre, high - centre));
            parts.push((centre - high.min(centre), centre - low));
        }
        Self::of(parts)
    }

    /// What lies beyond `mark`, and 0 if anything does not.
    pub(super) fn beyond(&self, mark: i32) -> Self {
        let parts = self.parts.iter();
        Self::of(parts.map(|part| ((part.0 - mark).max(0), (part.1 - mark).max(0))).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_values_jump_over_gaps() {
        let domain = Domain::of(vec![(8, 9), (0, 2)]);
        assert_eq!(domain.at_or_after(3), Some(8));
        assert_eq!(domain.at_or_after(1), Some(1));
        assert_eq!(domain.at_or_after(10), None);
        assert_eq!(domain.at_or_before(7), Some(2));
        assert_eq!(domain.at_or_before(-1), None);
        assert!(domain.contains(9) && !domain.contains(5));
    }

    #[test]
    fn distances_and_differences_keep_gaps() {
        let domain = Domain::of(vec![(0, 2), (8, 9)]);
        assert_eq!(domain.distance(5), Domain::of(vec![(3, 5)]));
        assert_eq!(domain.distance(1), Domain::of(vec![(0, 1), (7, 8)]));
        assert_eq!(domain.beyond(4), Domain::of(vec![(0, 0), (4, 5)]));
        assert_eq!(domain.less(&Domain::range(0, 0)), domain);
        assert_eq!(domain.spread(0, 5), Domain::of(vec![(0, 14)]));
    }
}
