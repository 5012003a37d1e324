//! Who and what is where in a plan.
//!
//! In: a problem and a plan. Out: spans, lags, and what is taken of every resource, with single segments
//! lifted out and put back. Judges nothing: [`super::against`] does.

use std::collections::BTreeMap;

use crate::arrange::{Arrange, map_of};
use crate::{Activity, At, Link, Mode, Plan, Problem};

/// A stretch of a resource that is taken: which one, from, to, how much.
type Demand = (usize, i32, i32, i64);

/// A plan laid out for looking things up.
pub(super) struct Ledger<'a> {
    pub(super) problem: &'a Problem,
    pub(super) plan: &'a Plan,
    index: BTreeMap<&'a str, usize>,
    resources: BTreeMap<&'a str, usize>,
    /// Of each activity its segments' starts and ends; empty when it is not placed.
    spans: Vec<Vec<(i32, i32)>>,
    /// Units taken of each resource at each slot.
    pub(super) taken: Vec<Vec<i64>>,
    /// Of each activity the links that touch it.
    links: Vec<Vec<&'a Link>>,
}

impl<'a> Ledger<'a> {
    pub(super) fn of(problem: &'a Problem, plan: &'a Plan) -> Self {
        let index = map_of(problem.activities.iter().enumerate().map(|(i, a)| (a.id.as_str(), i)));
        let resources =
            map_of(problem.resources.iter().enumerate().map(|(i, r)| (r.id.as_str(), i)));
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
    pub(super) fn worker(&self, index: usize, segment: usize) -> Option<&'a str> {
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
        all.arrange_by_key(|mode| Some(&mode.name) != chosen);
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
    pub(super) fn demands(&self, index: usize, segment: usize, start: i32) -> Vec<Demand> {
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
    pub(super) fn lags(
        &self,
        index: usize,
        segment: usize,
        start: i32,
    ) -> Vec<(&'a Link, i32, i32)> {
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
}

fn spans(activity: &Activity, plan: &Plan) -> Vec<(i32, i32)> {
    let starts = plan.starts.get(&activity.id).map_or(&[][..], Vec::as_slice);
    if starts.len() != activity.segments.len() {
        return Vec::new();
    }
    starts.iter().zip(&activity.segments).map(|(start, length)| (*start, start + length)).collect()
}
