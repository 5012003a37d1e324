//! The net's tasks, lags, stands and limits out of a problem.

use std::collections::BTreeMap;

use super::against::counts;
use super::net::{Domain, FAR, Lag, Limits, Net, Stand, Task, Way};
use super::proof_clash::clashes;
use super::supply::Supply;
use crate::arrange::map_of;
use crate::model::{join, meet};
use crate::{Activity, At, Link, Problem};

impl Net {
    pub(super) fn of(problem: &Problem) -> Self {
        let slots = usize::try_from(problem.horizon).unwrap_or(0);
        let mut net = Self {
            tasks: Vec::new(),
            lags: Vec::new(),
            lags_of: Vec::new(),
            stands: Vec::new(),
            own: vec![Vec::new(); problem.workers.len()],
            limits: Vec::new(),
            pool: (Vec::new(), Vec::new()),
            capacity: problem.resources.iter().map(|of| of.capacity).collect(),
            takers: vec![(Vec::new(), Vec::new()); problem.resources.len()],
            busy: vec![vec![0; slots]; problem.resources.len()],
            free: Vec::new(),
            broken: false,
        };
        for (resource, busy) in problem.resources.iter().zip(&mut net.busy) {
            for &(from, to, amount) in &resource.busy {
                for slot in from.max(0)..to.min(problem.horizon) {
                    if let Some(units) = usize::try_from(slot).ok().and_then(|s| busy.get_mut(s)) {
                        *units += amount;
                    }
                }
            }
        }
        let filled = net.busy.iter().zip(&net.capacity);
        net.broken = filled.into_iter().any(|(busy, most)| busy.iter().any(|units| units > most));
        let still = |(busy, &most): (&Vec<i64>, &i64)| {
            let mut sum = 0;
            let slots = busy.iter().map(|units| (most - units).clamp(0, i64::from(i32::MAX)));
            std::iter::once(0)
                .chain(slots.map(|units| {
                    sum += units;
                    sum
                }))
                .collect()
        };
        net.free = net.busy.iter().zip(&net.capacity).map(still).collect();
        let names = map_of(problem.resources.iter().enumerate().map(|(i, r)| (r.id.as_str(), i)));
        let mut builder = Builder { problem, net, names, first: BTreeMap::new() };
        for activity in &problem.activities {
            builder.activity(activity);
        }
        for link in &problem.links {
            builder.link(link);
        }
        builder.limits();
        let mut net = builder.net;
        net.lags_of = vec![Vec::new(); net.tasks.len()];
        for (index, lag) in net.lags.iter().enumerate() {
            for end in [lag.from, lag.to] {
                if let Some(of) = net.lags_of.get_mut(end) {
                    of.push(index);
                }
            }
        }
        for (resource, (tasks, stands)) in net.takers.iter_mut().enumerate() {
            let takes = |list: &[(usize, i64)]| list.iter().any(|(of, _)| *of == resource);
            let uses = net.tasks.iter().enumerate().filter(|(_, task)| takes(&task.uses));
            tasks.extend(uses.map(|(index, _)| index));
            let stores = net.stands.iter().enumerate().filter(|(_, stand)| {
                stand.ways.iter().any(|way| takes(&way.store) || takes(&way.tail_store))
            });
            stands.extend(stores.map(|(index, _)| index));
        }
        clashes(&mut net);
        if problem.workers.len() > 1 {
            let hands = net.tasks.iter().enumerate().filter(|(_, task)| !task.who.is_empty());
            let tasks = hands.map(|(index, _)| index).collect();
            let supplies = problem.workers.iter().map(|of| Supply::of(&of.windows, &[])).collect();
            net.pool = (tasks, supplies);
        }
        for (index, task) in net.tasks.iter().enumerate() {
            if let Some(own) = task.worker.and_then(|worker| net.own.get_mut(worker)) {
                own.push(index);
            }
        }
        net
    }
}

struct Builder<'a> {
    problem: &'a Problem,
    net: Net,
    names: BTreeMap<&'a str, usize>,
    /// First task and number of tasks of each activity.
    first: BTreeMap<&'a str, (usize, usize)>,
}

impl<'a> Builder<'a> {
    fn amounts(&self, list: &[(String, i64)]) -> Vec<(usize, i64)> {
        let mut out: BTreeMap<usize, i64> = BTreeMap::new();
        for (name, amount) in list {
            if let Some(&resource) = self.names.get(name.as_str()) {
                *out.entry(resource).or_default() += amount;
            }
        }
        out.into_iter().filter(|(_, amount)| *amount > 0).collect()
    }

    fn activity(&mut self, activity: &'a Activity) {
        let first = self.net.tasks.len();
        self.first.insert(&activity.id, (first, activity.segments.len()));
        let total: i32 = activity.segments.iter().sum();
        let latest =
            activity.latest.map_or(self.problem.horizon, |at| at.min(self.problem.horizon));
        let uses = self.amounts(&activity.uses);
        let mut before = 0;
        for (k, &length) in activity.segments.iter().enumerate() {
            let low = activity.earliest.unwrap_or(0).max(0) + before;
            let high = latest - (total - before);
            before += length;
            let last = k + 1 == activity.segments.len();
            let mut domain = if low <= high { vec![(low, high)] } else { Vec::new() };
            if let Some(at) = activity.pin.as_ref().and_then(|pin| pin.get(k)) {
                domain = meet(&domain, &[(*at, *at)]);
            }
            domain = self.in_calendars(activity, (k == 0, last), length, domain);
            let who: Vec<usize> = (0..self.problem.workers.len())
                .filter(|&w| {
                    self.problem.workers.get(w).is_some_and(|w| activity.workers.contains(&w.id))
                })
                .collect();
            if !activity.workers.is_empty() {
                let windows = who.iter().filter_map(|&w| self.problem.workers.get(w));
                let fits = windows.flat_map(|w| &w.windows).map(|&(a, b)| (a, b - length));
                domain = meet(&domain, &join(fits.filter(|&(a, b)| a <= b).collect()));
            }
            let who: Vec<(usize, Domain)> = who
                .into_iter()
                .filter(|_| length > 0)
                .filter_map(|w| {
                    let windows = self.problem.workers.get(w)?.windows.iter();
                    let fits = windows.map(|&(a, b)| (a, b - length)).filter(|&(a, b)| a <= b);
                    let own = meet(&domain, &join(fits.collect()));
                    (!own.is_empty()).then_some((w, own))
                })
                .collect();
            let worker = match who.as_slice() {
                [(only, _)] => Some(*only),
                _ => None,
            };
            let uses = if length > 0 { uses.clone() } else { Vec::new() };
            self.net.tasks.push(Task { length, domain, worker, who, uses });
        }
        let hold = self.amounts(&activity.hold);
        for (k, &length) in activity.segments.iter().enumerate().skip(1) {
            let before = activity.segments.get(k - 1).copied().unwrap_or(length);
            let most = activity.gap_max.unwrap_or(FAR / 2);
            let (from, to) = (first + k - 1, first + k);
            self.lag(from, to, before, most.saturating_add(before));
            if !hold.is_empty() {
                let way =
                    Way { least: 0, most, tail: 0, store: hold.clone(), tail_store: Vec::new() };
                self.net.stands.push(Stand { from, to, offsets: (before, 0), ways: vec![way] });
            }
        }
    }

    fn in_calendars(
        &self,
        activity: &Activity,
        (is_first, is_last): (bool, bool),
        length: i32,
        mut domain: Domain,
    ) -> Domain {
        let windows = |name: &Option<String>| {
            let name = name.as_ref()?;
            Some(self.problem.calendars.get(name).map_or(&[][..], Vec::as_slice))
        };
        let mut allow = |windows: Option<&[(i32, i32)]>,
                         starts: &dyn Fn(i32, i32) -> (i32, i32)| {
            if let Some(windows) = windows {
                let fits = windows.iter().map(|&(a, b)| starts(a, b)).filter(|&(a, b)| a <= b);
                domain = meet(&domain, &join(fits.collect()));
            }
        };
        allow(windows(&activity.within), &|a, b| (a, b - length));
        if is_first {
            allow(windows(&activity.start_in), &|a, b| (a, b - 1));
        }
        if is_last {
            allow(windows(&activity.end_in), &|a, b| (a - length, b - length));
        }
        domain
    }

    fn lag(&mut self, from: usize, to: usize, least: i32, most: i32) {
        if from == to {
            self.net.broken |= !(least..=most).contains(&0);
        } else {
            self.net.lags.push(Lag { from, to, least, most });
        }
    }

    fn end(&self, id: &str, at: At) -> Option<(usize, i32)> {
        let &(first, count) = self.first.get(id)?;
        match at {
            At::S => Some((first, 0)),
            At::E => {
                let task = first + count.checked_sub(1)?;
                Some((task, self.net.tasks.get(task)?.length))
            }
        }
    }

    fn link(&mut self, link: &Link) {
        let (Some((from, a)), Some((to, b))) =
            (self.end(&link.from, link.from_at), self.end(&link.to, link.to_at))
        else {
            return;
        };
        let mut ways: Vec<Way> = link
            .modes
            .iter()
            .map(|mode| Way {
                least: mode.min,
                most: mode.max.unwrap_or(FAR / 2),
                tail: mode.tail.as_ref().map_or(0, |tail| tail.len),
                store: self.amounts(&mode.store),
                tail_store: mode.tail.as_ref().map_or_else(Vec::new, |t| self.amounts(&t.store)),
            })
            .collect();
        if ways.is_empty() {
            let (least, most) = (link.min.max(-FAR / 2), link.max.unwrap_or(FAR / 2));
            let store = self.amounts(&link.store);
            ways.push(Way { least, most, tail: 0, store, tail_store: Vec::new() });
        }
        let least = ways.iter().map(|way| way.least).min().unwrap_or(0);
        let most = ways.iter().map(|way| way.most).max().unwrap_or(FAR / 2);
        self.lag(from, to, least + a - b, most + a - b);
        let stands = ways.iter().any(|way| !way.store.is_empty() || !way.tail_store.is_empty());
        if from != to && (stands || ways.len() > 1) {
            self.net.stands.push(Stand { from, to, offsets: (a, b), ways });
        }
    }

    fn limits(&mut self) {
        for (worker, of) in self.problem.workers.iter().enumerate() {
            let mut groups: Vec<(&Option<Vec<String>>, Limits)> = Vec::new();
            for limit in &of.limits {
                let span = (limit.from, limit.to, limit.max);
                let known = groups.iter_mut().find(|(kinds, group)| {
                    **kinds == limit.kinds
                        && group.spans.iter().all(|s| s.1 <= limit.from || limit.to <= s.0)
                });
                if let Some((_, group)) = known {
                    group.spans.push(span);
                    continue;
                }
                let mut tasks = Vec::new();
                for activity in &self.problem.activities {
                    let Some(&(first, count)) = self.first.get(activity.id.as_str()) else {
                        continue;
                    };
                    let any = crate::Limit { from: 0, to: 1, ..limit.clone() };
                    let own = |task: &usize| {
                        self.net.tasks.get(*task).is_some_and(|t| t.worker == Some(worker))
                    };
                    if counts(&any, activity, 0) {
                        tasks.extend((first..first + count).filter(own));
                    }
                }
                let supply = Supply::default();
                groups.push((&limit.kinds, Limits { tasks, spans: vec![span], supply }));
            }
            // The windows alone bound the work too, without any limit.
            let own = self.net.tasks.iter().enumerate().filter(|(_, t)| t.worker == Some(worker));
            let tasks: Vec<usize> = own.map(|(index, _)| index).collect();
            let alone = Limits { tasks, spans: Vec::new(), supply: Supply::default() };
            for mut group in groups.into_iter().map(|(_, group)| group).chain([alone]) {
                group.supply = Supply::of(&of.windows, &group.spans);
                self.net.limits.push(group);
            }
        }
    }
}
