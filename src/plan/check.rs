//! An independent look at a plan: walks slot by slot what is placed and compares it with what is asked.
//!
//! In: a problem and a plan, as their files have them. Out: every breach, and the objective's parts.
//! Deliberately naive, and shares nothing with the planner, so that an error in one of them shows.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Activity, At, Link, Plan, Problem, Tail};

/// What a plan does that the problem forbids.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Breach {
    /// What kind of requirement is broken.
    pub kind: BreachKind,
    /// The activity, link, worker or resource concerned.
    pub id: String,
    /// First slot at which it shows.
    pub at: i32,
    /// For how many slots, or by how many slots or units.
    pub by: i64,
    /// In words made of the ids.
    pub text: String,
}

/// Kinds of breach.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BreachKind {
    /// Not placed, or with a wrong number of segments, workers or modes.
    Missing,
    /// Outside a window of its worker or calendar, or of the horizon.
    Window,
    /// Somebody is in two places.
    Clash,
    /// A limit over a span is exceeded.
    Limit,
    /// A place or a piece of equipment is overfull.
    Overfull,
    /// A rest is too short.
    TooShort,
    /// A rest is too long: past its keeping limit.
    TooLong,
    /// Before `earliest` or after `latest`.
    OutOfTime,
    /// Not where it is pinned.
    Pin,
}

/// The weighted parts of the objective.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Parts {
    /// Lateness.
    pub late: i64,
    /// Load on places.
    pub load: i64,
    /// Age of what rests.
    pub age: i64,
    /// Long evenings.
    pub evening: i64,
    /// Distance from the plan shown before.
    pub stability: i64,
    /// Unwelcome modes.
    pub mode: i64,
    /// Their sum.
    pub total: i64,
}

/// The checker's verdict.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Report {
    /// Empty: the plan is sound.
    pub breaches: Vec<Breach>,
    /// What it costs.
    pub parts: Parts,
}

/// Checks every requirement of the problem and scores the plan.
pub fn check(problem: &Problem, plan: &Plan) -> Report {
    let mut walk = Walk::new(problem);
    for activity in &problem.activities {
        walk.activity(activity, plan);
    }
    walk.limits();
    for link in &problem.links {
        walk.link(link, plan);
    }
    walk.places();
    walk.finish()
}

/// What is found while walking.
struct Walk<'a> {
    problem: &'a Problem,
    breaches: Vec<Breach>,
    /// Start of the first and end of the last segment of every placed activity.
    ends: BTreeMap<&'a str, (i32, i32)>,
    /// Units taken of each resource at each slot.
    taken: BTreeMap<&'a str, Vec<i64>>,
    /// Who does what at each slot.
    rota: BTreeMap<&'a str, Vec<Option<&'a str>>>,
    /// Slots of work in each window of each worker.
    worked: BTreeMap<&'a str, Vec<i64>>,
    /// Slots counted against each limit of each worker.
    counted: BTreeMap<&'a str, Vec<i64>>,
    late: i64,
    load: i64,
    age: i64,
    stability: i64,
    mode: i64,
}

impl<'a> Walk<'a> {
    fn new(problem: &'a Problem) -> Self {
        let slots = usize::try_from(problem.horizon.max(0)).unwrap_or(0);
        let mut walk = Self {
            problem,
            breaches: Vec::new(),
            ends: BTreeMap::new(),
            taken: BTreeMap::new(),
            rota: BTreeMap::new(),
            worked: BTreeMap::new(),
            counted: BTreeMap::new(),
            late: 0,
            load: 0,
            age: 0,
            stability: 0,
            mode: 0,
        };
        for resource in &problem.resources {
            walk.taken.insert(&resource.id, vec![0; slots]);
            for &(from, to, amount) in &resource.busy {
                walk.take(&resource.id, from, to, amount);
            }
        }
        for worker in &problem.workers {
            walk.rota.insert(&worker.id, vec![None; slots]);
            walk.worked.insert(&worker.id, vec![0; worker.windows.len()]);
            walk.counted.insert(&worker.id, vec![0; worker.limits.len()]);
        }
        walk
    }

    fn breach(&mut self, kind: BreachKind, id: &str, at: i32, by: i64, text: String) {
        self.breaches.push(Breach { kind, id: id.to_owned(), at, by, text });
    }

    /// Fills slots `[from, to)` of a resource, as far as they lie in the horizon.
    fn take(&mut self, resource: &str, from: i32, to: i32, amount: i64) {
        let Some(profile) = self.taken.get_mut(resource) else { return };
        for slot in from.max(0)..to.min(self.problem.horizon) {
            if let Some(units) = usize::try_from(slot).ok().and_then(|slot| profile.get_mut(slot)) {
                *units += amount;
            }
        }
    }

    fn load_weight(&self, resource: &str) -> i64 {
        self.problem.resources.iter().find(|r| r.id == resource).map_or(0, |r| r.load_weight)
    }

    /// Stores `amounts` over `[from, to)`: they take room and they weigh.
    fn store(&mut self, amounts: &[(String, i64)], from: i32, to: i32) {
        for (resource, amount) in amounts {
            self.load += self.load_weight(resource) * amount * i64::from((to - from).max(0));
            self.take(resource, from, to, *amount);
        }
    }

    fn calendar(&self, name: &str) -> &'a [(i32, i32)] {
        self.problem.calendars.get(name).map_or(&[], Vec::as_slice)
    }

    fn activity(&mut self, activity: &'a Activity, plan: &'a Plan) {
        let id = activity.id.as_str();
        let starts = match plan.starts.get(id) {
            Some(starts) if starts.len() == activity.segments.len() => starts.as_slice(),
            _ => {
                let text =
                    format!("{id}: no start for each of its {} segments", activity.segments.len());
                return self.breach(BreachKind::Missing, id, 0, 0, text);
            }
        };
        let horizon = self.problem.horizon;
        if let Some(&far) = starts.iter().find(|&&start| start < 0 || start > horizon) {
            let text = format!("{id}: start {far} lies outside the horizon [0,{horizon})");
            return self.breach(BreachKind::Missing, id, far, 0, text);
        }
        let ends: Vec<i32> = starts.iter().zip(&activity.segments).map(|(s, n)| s + n).collect();
        let (Some(&start), Some(&end)) = (starts.first(), ends.last()) else { return };
        self.ends.insert(id, (start, end));
        if end > horizon {
            let text = format!("{id}: ends at {end}, after the horizon {horizon}");
            self.breach(BreachKind::Window, id, end, i64::from(end - horizon), text);
        }
        for (index, (&from, &to)) in starts.iter().zip(&ends).enumerate() {
            self.segment(activity, index, from, to, plan);
        }
        for (&before, &after) in ends.iter().zip(starts.iter().skip(1)) {
            let pause = after - before;
            if pause < 0 {
                let text = format!(
                    "{id}: a segment starts at {after}, before the one before it ends at {before}"
                );
                self.breach(BreachKind::TooShort, id, after, i64::from(-pause), text);
            }
            if let Some(most) = activity.gap_max.filter(|&most| pause > most) {
                let text = format!("{id}: pause of {pause} slots from {before}, at most {most}");
                self.breach(BreachKind::TooLong, id, before, i64::from(pause - most), text);
            }
            self.store(&activity.hold, before, after);
        }
        self.times(activity, starts, start, end);
    }

    /// Calendar points, bounds, pin, lateness and distance of a whole activity.
    fn times(&mut self, activity: &Activity, starts: &[i32], start: i32, end: i32) {
        let id = activity.id.as_str();
        if let Some(name) = &activity.start_in
            && !self.calendar(name).iter().any(|&(from, to)| from <= start && start < to)
        {
            let text = format!("{id}: starts at {start}, not in a window of {name}");
            self.breach(BreachKind::Window, id, start, 0, text);
        }
        if let Some(name) = &activity.end_in
            && !self.calendar(name).iter().any(|&(from, to)| from <= end && end <= to)
        {
            let text = format!("{id}: ends at {end}, not in a window of {name}");
            self.breach(BreachKind::Window, id, end, 0, text);
        }
        if let Some(earliest) = activity.earliest.filter(|&earliest| start < earliest) {
            let text = format!("{id}: starts at {start}, before its earliest {earliest}");
            self.breach(BreachKind::OutOfTime, id, start, i64::from(earliest - start), text);
        }
        if let Some(latest) = activity.latest.filter(|&latest| end > latest) {
            let text = format!("{id}: ends at {end}, after its latest {latest}");
            self.breach(BreachKind::OutOfTime, id, latest, i64::from(end - latest), text);
        }
        if let Some(pin) = activity.pin.as_ref().filter(|pin| pin.as_slice() != starts) {
            let text = format!("{id}: pinned to {pin:?}, placed at {starts:?}");
            self.breach(BreachKind::Pin, id, start, 0, text);
        }
        if let Some(due) = activity.due {
            self.late += activity.late_weight * i64::from((end - due).max(0));
        }
        if let Some(shown) = activity.reference.as_ref().and_then(|shown| shown.first()) {
            self.stability += activity.stab_weight * i64::from((start - shown).abs());
        }
    }

    fn segment(
        &mut self,
        activity: &'a Activity,
        index: usize,
        from: i32,
        to: i32,
        plan: &'a Plan,
    ) {
        let id = activity.id.as_str();
        if let Some(name) = &activity.within
            && !self.calendar(name).iter().any(|&(a, b)| a <= from && to <= b)
        {
            let text = format!("{id}.{index}: [{from},{to}) is not inside one window of {name}");
            self.breach(BreachKind::Window, id, from, i64::from(to - from), text);
        }
        for (resource, amount) in &activity.uses {
            self.take(resource, from, to, *amount);
        }
        if activity.workers.is_empty() {
            return;
        }
        let who = plan.worker.get(id).and_then(|who| who.get(index)).and_then(Option::as_deref);
        let worker = who
            .filter(|who| activity.workers.iter().any(|worker| worker == who))
            .and_then(|who| self.problem.workers.iter().find(|worker| worker.id == who));
        let Some(worker) = worker else {
            let text =
                format!("{id}.{index}: done by {who:?}, not by one of {:?}", activity.workers);
            return self.breach(BreachKind::Missing, id, from, i64::from(to - from), text);
        };
        if let Some(window) = worker.windows.iter().position(|&(a, b)| a <= from && to <= b) {
            if let Some(sum) =
                self.worked.get_mut(worker.id.as_str()).and_then(|w| w.get_mut(window))
            {
                *sum += i64::from(to - from);
            }
        } else {
            let text =
                format!("{id}.{index}: [{from},{to}) is not inside one window of {}", worker.id);
            self.breach(BreachKind::Window, id, from, i64::from(to - from), text);
        }
        for (limit, counted) in
            worker.limits.iter().zip(self.counted.entry(&worker.id).or_default().iter_mut())
        {
            let kind_counts = limit.kinds.as_ref().is_none_or(|kinds| {
                activity.kind.as_ref().is_some_and(|kind| kinds.contains(kind))
            });
            if kind_counts && limit.from <= from && from < limit.to {
                *counted += i64::from(to - from);
            }
        }
        let mut clash: Option<(i32, &str, i64)> = None;
        if let Some(rota) = self.rota.get_mut(worker.id.as_str()) {
            for slot in from..to.min(self.problem.horizon) {
                let Some(entry) = usize::try_from(slot).ok().and_then(|slot| rota.get_mut(slot))
                else {
                    continue;
                };
                match entry {
                    Some(other) => {
                        clash =
                            Some(clash.map_or((slot, *other, 1), |(at, who, n)| (at, who, n + 1)));
                    }
                    None => *entry = Some(id),
                }
            }
        }
        if let Some((at, other, by)) = clash {
            let text = format!("{id}.{index}: {} is busy with {other} at {at}", worker.id);
            self.breach(BreachKind::Clash, id, at, by, text);
        }
    }

    fn limits(&mut self) {
        for worker in &self.problem.workers {
            let sums = self.counted.remove(worker.id.as_str()).unwrap_or_default();
            for (limit, sum) in worker.limits.iter().zip(sums) {
                if sum > limit.max {
                    let kinds =
                        limit.kinds.as_ref().map_or_else(|| "any".to_owned(), |k| k.join(", "));
                    let text = format!(
                        "{}: {sum} slots of work ({kinds}) in [{},{}), at most {}",
                        worker.id, limit.from, limit.to, limit.max
                    );
                    self.breach(BreachKind::Limit, &worker.id, limit.from, sum - limit.max, text);
                }
            }
        }
    }

    fn link(&mut self, link: &Link, plan: &Plan) {
        let (Some(&from), Some(&to)) =
            (self.ends.get(link.from.as_str()), self.ends.get(link.to.as_str()))
        else {
            return;
        };
        let at = |ends: (i32, i32), which: At| match which {
            At::S => ends.0,
            At::E => ends.1,
        };
        let (from, to) = (at(from, link.from_at), at(to, link.to_at));
        let lag = i64::from(to - from);
        if link.modes.is_empty() {
            self.lag(&link.id, "", lag, (link.min, link.max), from);
            self.age += link.age_weight * lag;
            self.store(&link.store, from, to);
            return;
        }
        let chosen = plan.modes.get(&link.id);
        let Some(mode) = link.modes.iter().find(|mode| Some(&mode.name) == chosen) else {
            let text = format!("{}: chosen mode is {chosen:?}, not one of its modes", link.id);
            return self.breach(BreachKind::Missing, &link.id, from, 0, text);
        };
        self.lag(&link.id, &mode.name, lag, (mode.min, mode.max), from);
        self.age += mode.age_weight * lag;
        self.mode += mode.cost;
        let none = Tail::default();
        let tail = mode.tail.as_ref().unwrap_or(&none);
        self.store(&mode.store, from, to - tail.len);
        self.store(&tail.store, to - tail.len, to);
    }

    fn lag(&mut self, id: &str, mode: &str, lag: i64, (min, max): (i32, Option<i32>), from: i32) {
        let name = if mode.is_empty() { String::new() } else { format!(" ({mode})") };
        if lag < i64::from(min) {
            let text = format!("{id}{name}: {lag} slots from {from}, at least {min}");
            self.breach(BreachKind::TooShort, id, from, i64::from(min) - lag, text);
        }
        if let Some(max) = max.filter(|&max| lag > i64::from(max)) {
            let text = format!("{id}{name}: {lag} slots from {from}, at most {max}");
            self.breach(BreachKind::TooLong, id, from + max, lag - i64::from(max), text);
        }
    }

    /// Overfull stretches, one breach for each.
    fn places(&mut self) {
        for resource in &self.problem.resources {
            let profile = self.taken.remove(resource.id.as_str()).unwrap_or_default();
            let mut slot = 0;
            while slot < profile.len() {
                let stretch =
                    profile[slot..].iter().take_while(|&&units| units > resource.capacity);
                let (length, most) =
                    stretch.fold((0, 0), |(n, most), &units| (n + 1, most.max(units)));
                if length > 0 {
                    let at = i32::try_from(slot).unwrap_or(i32::MAX);
                    let text = format!(
                        "{}: {most} of {} in [{at},{})",
                        resource.id,
                        resource.capacity,
                        slot + length
                    );
                    self.breach(
                        BreachKind::Overfull,
                        &resource.id,
                        at,
                        most - resource.capacity,
                        text,
                    );
                }
                slot += length.max(1);
            }
        }
    }

    fn finish(self) -> Report {
        let weights = &self.problem.weights;
        let mut evening = 0;
        for worker in &self.problem.workers {
            if let Some(worked) = self.worked.get(worker.id.as_str()) {
                evening +=
                    worked.iter().zip(&worker.soft).map(|(n, soft)| (n - soft).max(0)).sum::<i64>();
            }
        }
        let mut parts = Parts {
            late: weights.late * self.late,
            load: weights.load * self.load,
            age: weights.age * self.age,
            evening: weights.evening * evening,
            stability: weights.stability * self.stability,
            mode: weights.mode * self.mode,
            total: 0,
        };
        parts.total =
            parts.late + parts.load + parts.age + parts.evening + parts.stability + parts.mode;
        Report { breaches: self.breaches, parts }
    }
}
