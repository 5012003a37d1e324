//! What speaks against a segment starting elsewhere while everything else stays.
//!
//! In: a plan laid out, with the segment lifted. Out: the causes that forbid a start, the weightiest first.
//! Looks at one start at a time and searches nothing.

use std::collections::BTreeMap;

use super::ledger::Ledger;
use super::why_here::Cause;
use crate::{Activity, Limit, Link};

impl Ledger<'_> {
    /// What forbids a lifted segment to start at `start`; the weightiest first.
    pub(super) fn against(&self, index: usize, segment: usize, start: i32) -> Vec<Cause> {
        let mut out = Vec::new();
        let Some(activity) = self.activity(index) else { return out };
        let end = start + activity.segments.get(segment).copied().unwrap_or(0);
        let pin = activity.pin.as_ref().and_then(|pin| pin.get(segment)).copied();
        if let Some(at) = pin.filter(|&at| at != start) {
            out.push(Cause::Pinned { at });
        }
        for (link, from, to) in self.lags(index, segment, start) {
            Self::lag_against(activity, link, from, to, &mut out);
        }
        self.siblings_against(index, segment, (start, end), &mut out);
        let worker = self.worker(index, segment);
        if let Some(worker) = worker.filter(|_| start < end) {
            self.busy_against(worker, (index, segment), (start, end), &mut out);
        }
        self.room_against(index, segment, start, &mut out);
        if let Some(worker) = worker {
            self.limits_against(worker, (index, segment), start, &mut out);
        }
        if let Some(at) = activity.earliest.filter(|&at| segment == 0 && start < at) {
            out.push(Cause::Earliest { at });
        }
        let last = segment + 1 == activity.segments.len();
        if let Some(at) = activity.latest.filter(|&at| last && end > at) {
            out.push(Cause::Latest { at });
        }
        if start < 0 || end > self.problem.horizon {
            out.push(Cause::Horizon);
        }
        self.windows_against(activity, segment, worker, (start, end), &mut out);
        out
    }

    fn lag_against(activity: &Activity, link: &Link, from: i32, to: i32, out: &mut Vec<Cause>) {
        let lag = to - from;
        let modes = link.modes.iter().map(|mode| (mode.min, mode.max));
        let ranges: Vec<(i32, Option<i32>)> =
            if link.modes.is_empty() { vec![(link.min, link.max)] } else { modes.collect() };
        let inside =
            |&(min, max): &(i32, Option<i32>)| min <= lag && max.is_none_or(|max: i32| lag <= max);
        if ranges.iter().any(inside) {
            return;
        }
        let here_is_from = link.from == activity.id;
        let (other, other_at) = if here_is_from { (&link.to, to) } else { (&link.from, from) };
        // Too short for every way to rest that is not already too short: the nearest bound counts.
        let least = ranges.iter().map(|range| range.0).filter(|&min| lag < min).min();
        let most = ranges.iter().filter_map(|range| range.1).filter(|&max| max < lag).max();
        let (link, other) = (link.id.clone(), other.clone());
        if let Some(least) = least {
            out.push(Cause::LeastLag { link, other, other_at, lag: least });
        } else if let Some(most) = most {
            out.push(Cause::GreatestLag { link, other, other_at, lag: most });
        }
    }

    fn siblings_against(
        &self,
        index: usize,
        segment: usize,
        (start, end): (i32, i32),
        out: &mut Vec<Cause>,
    ) {
        let most = self.activity(index).and_then(|activity| activity.gap_max);
        let before = segment.checked_sub(1).and_then(|k| self.span(index, k));
        let pauses = [
            before.map(|(_, at)| (segment.wrapping_sub(1), at, start - at)),
            self.span(index, segment + 1).map(|(at, _)| (segment + 1, at, at - end)),
        ];
        for (segment, at, pause) in pauses.into_iter().flatten() {
            if pause < 0 {
                out.push(Cause::Segment { segment, at });
            } else if let Some(most) = most.filter(|&most| pause > most) {
                out.push(Cause::Pause { segment, at, most });
            }
        }
    }

    fn busy_against(
        &self,
        worker: &str,
        own: (usize, usize),
        (start, end): (i32, i32),
        out: &mut Vec<Cause>,
    ) {
        for (index, activity) in self.problem.activities.iter().enumerate() {
            for (segment, &(from, to)) in self.spans_of(index).iter().enumerate() {
                if from < end
                    && start < to
                    && from < to
                    && (index, segment) != own
                    && self.worker(index, segment) == Some(worker)
                {
                    let (worker, other) = (worker.to_owned(), activity.id.clone());
                    out.push(Cause::Busy { worker, other, segment, from, to });
                }
            }
        }
    }

    fn room_against(&self, index: usize, segment: usize, start: i32, out: &mut Vec<Cause>) {
        let mut wanted: BTreeMap<(usize, i32), i64> = BTreeMap::new();
        for (resource, from, to, amount) in self.demands(index, segment, start) {
            for slot in from.max(0)..to.min(self.problem.horizon) {
                *wanted.entry((resource, slot)).or_default() += amount;
            }
        }
        let mut last = None;
        for ((resource, slot), amount) in wanted {
            let slots = self.taken.get(resource).map_or(&[][..], Vec::as_slice);
            let taken = usize::try_from(slot).ok().and_then(|slot| slots.get(slot));
            let Some(of) = self.problem.resources.get(resource) else { continue };
            let missing = taken.copied().unwrap_or(0) + amount - of.capacity;
            if missing > 0 && last != Some(resource) {
                last = Some(resource);
                out.push(Cause::Full { resource: of.id.clone(), at: slot, missing });
            }
        }
    }

    fn limits_against(&self, worker: &str, own: (usize, usize), start: i32, out: &mut Vec<Cause>) {
        let Some(of) = self.problem.workers.iter().find(|of| of.id == worker) else { return };
        let Some(activity) = self.activity(own.0) else { return };
        let length = activity.segments.get(own.1).copied().unwrap_or(0);
        for (limit, cap) in of.limits.iter().enumerate() {
            if length == 0 || !counts(cap, activity, start) {
                continue;
            }
            let mut sum = i64::from(length);
            for (index, other) in self.problem.activities.iter().enumerate() {
                for (segment, &(from, to)) in self.spans_of(index).iter().enumerate() {
                    if (index, segment) != own
                        && self.worker(index, segment) == Some(worker)
                        && counts(cap, other, from)
                    {
                        sum += i64::from(to - from);
                    }
                }
            }
            if sum > cap.max {
                out.push(Cause::Limit { worker: worker.to_owned(), limit });
            }
        }
    }

    fn windows_against(
        &self,
        activity: &Activity,
        segment: usize,
        worker: Option<&str>,
        (start, end): (i32, i32),
        out: &mut Vec<Cause>,
    ) {
        let of = worker.and_then(|id| self.problem.workers.iter().find(|of| of.id == id));
        if let Some(of) = of.filter(|of| !inside(&of.windows, start, end)) {
            out.push(Cause::Window { worker: of.id.clone() });
        }
        let last = segment + 1 == activity.segments.len();
        let calendar =
            |name: &String| self.problem.calendars.get(name).map_or(&[][..], Vec::as_slice);
        let broken = [
            activity.within.as_ref().filter(|name| !inside(calendar(name), start, end)),
            activity.start_in.as_ref().filter(|name| {
                segment == 0 && !calendar(name).iter().any(|&(a, b)| a <= start && start < b)
            }),
            activity.end_in.as_ref().filter(|name| last && !inside(calendar(name), end, end)),
        ];
        if let Some(name) = broken.into_iter().flatten().next() {
            out.push(Cause::Calendar { name: name.clone() });
        }
    }
}

fn inside(windows: &[(i32, i32)], start: i32, end: i32) -> bool {
    windows.iter().any(|&(a, b)| a <= start && end <= b)
}

/// Whether work of an activity that starts at `start` counts in a limit.
pub(super) fn counts(limit: &Limit, activity: &Activity, start: i32) -> bool {
    let kind = limit
        .kinds
        .as_ref()
        .is_none_or(|kinds| activity.kind.as_ref().is_some_and(|kind| kinds.contains(kind)));
    kind && limit.from <= start && start < limit.to
}
