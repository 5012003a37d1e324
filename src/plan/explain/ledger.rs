//! Who and what is where in a plan, and what speaks against a segment starting elsewhere while
//! everything else stays.
//!
//! In: a problem and a plan. Out: the causes that forbid a start, the weightiest first. Looks at one
//! start at a time and searches nothing.

use std::collections::BTreeMap;

use super::why_here::Cause;
use crate::plan::{Activity, At, Limit, Link, Mode, Plan, Problem};

/// A stretch of a resource that is taken: which one, from, to, how much.
type Demand = (usize, i32, i32, i64);

/// A plan laid out for looking things up.
pub(super) struct Ledger<'a> {
    pub(super) problem: &'a Problem,
    plan: &'a Plan,
    index: BTreeMap<&'a str, usize>,
    resources: BTreeMap<&'a str, usize>,
    /// Of each activity its segments' starts and ends; empty when it is not placed.
    spans: Vec<Vec<(i32, i32)>>,
    /// Units taken of each resource at each slot.
    taken: Vec<Vec<i64>>,
    /// Of each activity the links that touch it.
    links: Vec<Vec<&'a Link>>,
}

impl<'a> Ledger<'a> {
    pub(super) fn of(problem: &'a Problem, plan: &'a Plan) -> Self {
        let index: BTreeMap<&str, usize> =
            problem.activities.iter().enumerate().map(|(i, a)| (a.id.as_str(), i)).collect();
        let resources =
            problem.resources.iter().enumerate().map(|(i, r)| (r.id.as_str(), i)).collect();
        let spans = problem.activities.iter().map(|activity| spans(activity, plan)).collect();
        let mut links = vec![Vec::new(); problem.activities.len()];
        for link in &problem.links {
            let ends = [index.get(link.from.as_str()), index.get(link.to.as_str())];
            for (k, &end) in ends.into_iter().flatten().enumerate() {
                if let (true, Some(of)) = (k == 0 || link.from != link.to, links.get_mut(end)) {
                    of.push(link);
                }
            }
        }
        let slots = usize::try_from(problem.horizon).unwrap_or(0);
        let taken = vec![vec![0; slots]; problem.resources.len()];
        let mut ledger = Self { problem, plan, index, resources, spans, taken, links };
        ledger.fill();
        ledger
    }

    fn fill(&mut self) {
        let mut all: Vec<Demand> = Vec::new();
        for (k, resource) in self.problem.resources.iter().enumerate() {
            all.extend(resource.busy.iter().map(|&(from, to, amount)| (k, from, to, amount)));
        }
        for (k, activity) in self.problem.activities.iter().enumerate() {
            let spans = self.spans_of(k);
            for &(from, to) in spans {
                self.want(&activity.uses, from, to, &mut all);
            }
            for pair in spans.windows(2) {
                if let [before, after] = pair {
                    self.want(&activity.hold, before.1, after.0, &mut all);
                }
            }
        }
        for link in &self.problem.links {
            let ends = [&link.from, &link.to].map(|id| self.index.get(id.as_str()).copied());
            if let [Some(from), Some(to)] = ends
                && let (Some(from), Some(to)) =
                    (self.moment(from, link.from_at), self.moment(to, link.to_at))
            {
                self.stored(link, from, to, &mut all);
            }
        }
        self.take(&all, 1);
    }

    /// Stretches in which a resource holds more than it can: from, to, by how many units at most.
    pub(super) fn overfull(&self, resource: &str) -> Vec<(i32, i32, i64)> {
        let mut out: Vec<(i32, i32, i64)> = Vec::new();
        let Some(&index) = self.resources.get(resource) else { return out };
        let capacity = self.problem.resources.get(index).map_or(0, |of| of.capacity);
        for (slot, units) in (0..).zip(self.taken.get(index).into_iter().flatten()) {
            let over = units - capacity;
            match out.last_mut() {
                _ if over <= 0 => {}
                Some(last) if last.1 == slot => *last = (last.0, slot + 1, last.2.max(over)),
                _ => out.push((slot, slot + 1, over)),
            }
        }
        out
    }

    /// Index of an activity.
    pub(super) fn find(&self, id: &str) -> Option<usize> {
        self.index.get(id).copied()
    }

    pub(super) fn activity(&self, index: usize) -> Option<&'a Activity> {
        self.problem.activities.get(index)
    }

    pub(super) fn spans_of(&self, index: usize) -> &[(i32, i32)] {
        self.spans.get(index).map_or(&[], Vec::as_slice)
    }

    pub(super) fn span(&self, index: usize, segment: usize) -> Option<(i32, i32)> {
        self.spans_of(index).get(segment).copied()
    }

    /// Start or end of a placed activity.
    pub(super) fn moment(&self, index: usize, at: At) -> Option<i32> {
        let spans = self.spans_of(index);
        match at {
            At::S => spans.first().map(|span| span.0),
            At::E => spans.last().map(|span| span.1),
        }
    }

    /// The worker who does a segment.
    fn worker(&self, index: usize, segment: usize) -> Option<&'a str> {
        let who = self.plan.worker.get(self.activity(index)?.id.as_str())?;
        who.get(segment)?.as_deref()
    }

    fn want(&self, amounts: &[(String, i64)], from: i32, to: i32, out: &mut Vec<Demand>) {
        for (name, amount) in amounts {
            if let (true, Some(&resource)) = (from < to, self.resources.get(name.as_str())) {
                out.push((resource, from, to, *amount));
            }
        }
    }

    /// The mode that the plan chose, or, when it does not allow the lag, the first that does.
    fn mode(&self, link: &'a Link, lag: i32) -> Option<&'a Mode> {
        let chosen = self.plan.modes.get(&link.id);
        let mut all: Vec<&Mode> = link.modes.iter().collect();
        all.sort_by_key(|mode| Some(&mode.name) != chosen);
        all.into_iter().find(|mode| mode.min <= lag && mode.max.is_none_or(|max| lag <= max))
    }

    fn stored(&self, link: &'a Link, from: i32, to: i32, out: &mut Vec<Demand>) {
        if link.modes.is_empty() {
            return self.want(&link.store, from, to, out);
        }
        let Some(mode) = self.mode(link, to - from) else { return };
        let tail = mode.tail.as_ref().map_or(0, |tail| tail.len);
        self.want(&mode.store, from, to - tail, out);
        if let Some(tail) = &mode.tail {
            self.want(&tail.store, to - tail.len, to, out);
        }
    }

    fn take(&mut self, demands: &[Demand], times: i64) {
        for &(resource, from, to, amount) in demands {
            let Some(slots) = self.taken.get_mut(resource) else { continue };
            let most = i32::try_from(slots.len()).unwrap_or(i32::MAX);
            let range = from.clamp(0, most)..to.clamp(0, most);
            for slot in range {
                if let Some(units) = usize::try_from(slot).ok().and_then(|slot| slots.get_mut(slot))
                {
                    *units += amount * times;
                }
            }
        }
    }

    /// All that a segment takes, or lets others take, when it starts at `start`.
    fn demands(&self, index: usize, segment: usize, start: i32) -> Vec<Demand> {
        let mut out = Vec::new();
        let Some(activity) = self.activity(index) else { return out };
        let end = start + activity.segments.get(segment).copied().unwrap_or(0);
        self.want(&activity.uses, start, end, &mut out);
        if let Some(before) = segment.checked_sub(1).and_then(|k| self.span(index, k)) {
            self.want(&activity.hold, before.1, start, &mut out);
        }
        if let Some(after) = self.span(index, segment + 1) {
            self.want(&activity.hold, end, after.0, &mut out);
        }
        for (link, from, to) in self.lags(index, segment, start) {
            self.stored(link, from, to, &mut out);
        }
        out
    }

    /// The links whose lag depends on a segment, with both their moments.
    fn lags(&self, index: usize, segment: usize, start: i32) -> Vec<(&'a Link, i32, i32)> {
        let Some(activity) = self.activity(index) else { return Vec::new() };
        let end = start + activity.segments.get(segment).copied().unwrap_or(0);
        let last = segment + 1 == activity.segments.len();
        let own = |at: At| match at {
            At::S if segment == 0 => Some(start),
            At::E if last => Some(end),
            _ => None,
        };
        let mut out = Vec::new();
        for &link in self.links.get(index).map_or(&[][..], Vec::as_slice) {
            let side = |id: &str, at: At| {
                if id == activity.id {
                    own(at).or_else(|| self.moment(index, at))
                } else {
                    self.find(id).and_then(|other| self.moment(other, at))
                }
            };
            let touched = (link.from == activity.id && own(link.from_at).is_some())
                || (link.to == activity.id && own(link.to_at).is_some());
            if let (true, Some(from), Some(to)) =
                (touched, side(&link.from, link.from_at), side(&link.to, link.to_at))
            {
                out.push((link, from, to));
            }
        }
        out
    }

    /// Takes a segment out (`true`), so that starts can be tried, or puts it back.
    pub(super) fn lift(&mut self, index: usize, segment: usize, out: bool) {
        if let Some((start, _)) = self.span(index, segment) {
            let demands = self.demands(index, segment, start);
            self.take(&demands, if out { -1 } else { 1 });
        }
    }

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

fn spans(activity: &Activity, plan: &Plan) -> Vec<(i32, i32)> {
    let starts = plan.starts.get(&activity.id).map_or(&[][..], Vec::as_slice);
    if starts.len() != activity.segments.len() {
        return Vec::new();
    }
    starts.iter().zip(&activity.segments).map(|(start, length)| (*start, start + length)).collect()
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
