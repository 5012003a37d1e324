//! Proofs that a problem has no sound plan.
//!
//! In: a problem and how much may be spent. Out: true only if it is proven. Passes bounds along lags,
//! through windows, rests, rooms, and the worker's time and limits until nothing changes, and splits
//! cases when that is not enough. Leaves preferences aside and finds no plans.

use super::net::{Lag, Net, Stand, Way};
use crate::plan::Problem;

/// Steps after which a single propagation gives up; a circle of lags that wins a slot a round needs many.
const STEPS_MOST: u32 = 400_000;

/// Whether it can be proven within so many cases that the problem has no sound plan.
pub(super) fn refuted(problem: &Problem, cases: u64) -> bool {
    refuted_within(problem, &mut cases.max(1))
}

/// As [`refuted`]; takes the cases that it needed off the count.
pub(super) fn refuted_within(problem: &Problem, cases: &mut u64) -> bool {
    let net = Net::of(problem);
    if net.broken || net.tasks.iter().any(|task| task.domain.is_empty()) {
        return true;
    }
    let low = net.tasks.iter().map(|task| task.domain.first().map_or(0, |d| d.0)).collect();
    let high = net.tasks.iter().map(|task| task.domain.last().map_or(0, |d| d.1)).collect();
    contradicts(&net, Bounds { low, high, steps: 0 }, cases)
}

/// Least and greatest start of every task.
#[derive(Debug, Clone)]
struct Bounds {
    low: Vec<i32>,
    high: Vec<i32>,
    steps: u32,
}

/// No plan exists within these bounds.
#[derive(Debug)]
struct Contradiction;

type Held = Result<bool, Contradiction>;

fn contradicts(net: &Net, mut bounds: Bounds, cases: &mut u64) -> bool {
    if *cases == 0 {
        return false;
    }
    *cases -= 1;
    if bounds.settle(net).is_err() {
        return true;
    }
    let room = |task: usize| {
        let (low, high) = bounds.of(task);
        let domain = net.tasks.get(task).map_or(&[][..], |task| task.domain.as_slice());
        let slots = |d: &(i32, i32)| i64::from((d.1.min(high) - d.0.max(low) + 1).max(0));
        domain.iter().map(slots).sum::<i64>()
    };
    let open = (0..net.tasks.len()).filter(|&task| bounds.low.get(task) < bounds.high.get(task));
    let Some(task) = open.min_by_key(|&task| room(task)) else {
        return !bounds.staffed(net);
    };
    let (low, high) = bounds.of(task);
    let domain = net.tasks.get(task).map_or(&[][..], |task| task.domain.as_slice());
    let inside: Vec<_> = domain.iter().filter(|d| d.0 <= high && low <= d.1).collect();
    let cut = match inside.as_slice() {
        [] | [_] => low.midpoint(high),
        many => many.get((many.len() - 1) / 2).map_or(low, |d| d.1),
    };
    let mut first = bounds.clone();
    first.high[task] = cut;
    first.steps = 0;
    let mut second = bounds;
    second.low[task] = cut + 1;
    second.steps = 0;
    contradicts(net, first, cases) && contradicts(net, second, cases)
}

impl Bounds {
    fn of(&self, task: usize) -> (i32, i32) {
        (self.low.get(task).copied().unwrap_or(0), self.high.get(task).copied().unwrap_or(0))
    }

    /// Narrows a task and snaps it into its domain; whether anything changed.
    fn narrow(&mut self, net: &Net, task: usize, low: i32, high: i32) -> Held {
        let (old_low, old_high) = self.of(task);
        let (mut low, mut high) = (old_low.max(low), old_high.min(high));
        let domain = net.tasks.get(task).map_or(&[][..], |task| task.domain.as_slice());
        let up = domain.partition_point(|d| d.1 < low);
        low = domain.get(up).map_or(i32::MAX, |d| d.0.max(low));
        let down = domain.partition_point(|d| d.0 <= high);
        high = match down.checked_sub(1).and_then(|k| domain.get(k)) {
            Some(d) => d.1.min(high),
            None => i32::MIN,
        };
        if low > high {
            return Err(Contradiction);
        }
        self.low[task] = low;
        self.high[task] = high;
        self.steps += 1;
        Ok((low, high) != (old_low, old_high))
    }

    /// Everything, until nothing changes.
    fn settle(&mut self, net: &Net) -> Result<(), Contradiction> {
        for task in 0..net.tasks.len() {
            self.narrow(net, task, i32::MIN, i32::MAX)?;
        }
        self.lags(net, &mut (0..net.lags.len()).collect())?;
        loop {
            let mut changed = false;
            for stand in &net.stands {
                changed |= self.ways(net, stand)?;
            }
            changed |= self.rooms(net)?;
            for (worker, own) in net.own.iter().enumerate() {
                let bound = self.left_to(net, worker);
                if bound.is_empty() {
                    changed |= self.one_at_a_time(net, own)?;
                } else {
                    changed |= self.one_at_a_time(net, &[own.as_slice(), &bound].concat())?;
                }
            }
            changed |= self.day_limits(net)?;
            if self.steps > STEPS_MOST {
                return Ok(());
            }
            if !changed {
                break;
            }
            self.lags(net, &mut (0..net.lags.len()).collect())?;
        }
        self.enough_time(net)
    }

    fn lags(&mut self, net: &Net, queue: &mut Vec<usize>) -> Result<(), Contradiction> {
        let mut queued = vec![false; net.lags.len()];
        for &lag in queue.iter() {
            queued[lag] = true;
        }
        while let Some(index) = queue.pop() {
            queued[index] = false;
            if self.steps > STEPS_MOST {
                return Ok(());
            }
            let Some(&lag) = net.lags.get(index) else { continue };
            for task in self.lag(net, lag)?.into_iter().flatten() {
                for &other in net.lags_of.get(task).map_or(&[][..], Vec::as_slice) {
                    if other != index && !queued[other] {
                        queued[other] = true;
                        queue.push(other);
                    }
                }
            }
        }
        Ok(())
    }

    /// Passes bounds over one lag; the tasks that changed.
    fn lag(&mut self, net: &Net, lag: Lag) -> Result<[Option<usize>; 2], Contradiction> {
        let (from, to) = (self.of(lag.from), self.of(lag.to));
        let later =
            self.narrow(net, lag.to, from.0 + lag.least, from.1.saturating_add(lag.most))?;
        let to = if later { self.of(lag.to) } else { to };
        let earlier =
            self.narrow(net, lag.from, to.0.saturating_sub(lag.most), to.1 - lag.least)?;
        Ok([later.then_some(lag.to), earlier.then_some(lag.from)])
    }

    /// End of the producer and start of the consumer.
    fn ends(&self, stand: &Stand) -> ((i32, i32), (i32, i32)) {
        let ((a, b), (from, to)) = (stand.offsets, (self.of(stand.from), self.of(stand.to)));
        ((from.0 + a, from.1 + a), (to.0 + b, to.1 + b))
    }

    /// Ways to rest that the bounds still allow.
    fn left<'a>(&self, stand: &'a Stand) -> impl Iterator<Item = &'a Way> {
        let (end, start) = self.ends(stand);
        let (low, high) = (start.0 - end.1, start.1 - end.0);
        stand.ways.iter().filter(move |way| low.max(way.least) <= high.min(way.most))
    }

    fn ways(&mut self, net: &Net, stand: &Stand) -> Held {
        if stand.ways.len() < 2 {
            return Ok(false);
        }
        let least = self.left(stand).map(|way| way.least).min().ok_or(Contradiction)?;
        let most = self.left(stand).map(|way| way.most).max().ok_or(Contradiction)?;
        let (a, b) = stand.offsets;
        let lag = Lag { from: stand.from, to: stand.to, least: least + a - b, most: most + a - b };
        Ok(self.lag(net, lag)?.into_iter().flatten().next().is_some())
    }

    /// What surely stands: from, to, and the tail before the latter.
    fn surely(&self, stand: &Stand, resource: usize) -> (i64, i32, i64) {
        let amount = |list: &[(usize, i64)]| {
            list.iter().find(|(of, _)| *of == resource).map_or(0, |(_, amount)| *amount)
        };
        let main = self.left(stand).map(|way| amount(&way.store)).min().unwrap_or(0);
        let tail = self.left(stand).map(|way| way.tail).max().unwrap_or(0);
        let mut ways = self.left(stand);
        let last = match (ways.next(), ways.next()) {
            (Some(only), None) => amount(&only.tail_store),
            _ => 0,
        };
        (main, tail, last)
    }

    /// Nothing is overfull by what surely takes room, and nothing goes where it has none.
    fn rooms(&mut self, net: &Net) -> Held {
        let mut changed = false;
        for (resource, (&capacity, busy)) in net.capacity.iter().zip(&net.busy).enumerate() {
            if capacity > i64::from(i32::MAX) {
                continue;
            }
            let mut taken = busy.clone();
            let mut add = |from: i32, to: i32, amount: i64| {
                let most = i32::try_from(taken.len()).unwrap_or(i32::MAX);
                for slot in from.clamp(0, most)..to.clamp(0, most) {
                    taken[index(slot)] += amount;
                }
            };
            let used = |task: &super::net::Task| {
                task.uses.iter().find(|(of, _)| *of == resource).map(|(_, amount)| *amount)
            };
            for (task, of) in net.tasks.iter().enumerate() {
                if let Some(amount) = used(of) {
                    let (low, high) = self.of(task);
                    add(high, low + of.length, amount);
                }
            }
            for stand in &net.stands {
                let (main, tail, last) = self.surely(stand, resource);
                let (end, start) = self.ends(stand);
                add(end.1, start.0 - tail, main);
                add((start.1 - tail).max(end.1), start.0, last);
            }
            if taken.iter().any(|&units| units > capacity) {
                return Err(Contradiction);
            }
            for (task, of) in net.tasks.iter().enumerate() {
                if let Some(amount) = used(of) {
                    changed |= self.fit_use(net, task, (amount, capacity), &taken)?;
                }
            }
            for stand in &net.stands {
                let (main, tail, _) = self.surely(stand, resource);
                if main > 0 {
                    changed |= self.fit_stand(net, stand, tail, (main, capacity), &taken)?;
                }
            }
        }
        Ok(changed)
    }

    fn fit_use(
        &mut self,
        net: &Net,
        task: usize,
        (amount, capacity): (i64, i64),
        taken: &[i64],
    ) -> Held {
        let length = net.tasks.get(task).map_or(0, |of| of.length);
        let (low, high) = self.of(task);
        let own = high..low + length;
        let full = |slot: i32| {
            let mine = if own.contains(&slot) { amount } else { 0 };
            taken.get(index(slot)).is_some_and(|units| units - mine + amount > capacity)
        };
        let mut changed = false;
        if let Some(last) = (low..low + length).rev().find(|&slot| full(slot)) {
            changed |= self.narrow(net, task, last + 1, i32::MAX)?;
        }
        if let Some(first) = (high..high + length).find(|&slot| full(slot)) {
            changed |= self.narrow(net, task, i32::MIN, first - length)?;
        }
        Ok(changed)
    }

    fn fit_stand(
        &mut self,
        net: &Net,
        stand: &Stand,
        tail: i32,
        (amount, capacity): (i64, i64),
        taken: &[i64],
    ) -> Held {
        let (end, start) = self.ends(stand);
        let (a, b) = stand.offsets;
        let full =
            |slot: &i32| taken.get(index(*slot)).is_some_and(|units| units + amount > capacity);
        let mut changed = false;
        let last = (end.0..end.1.min(start.0 - tail)).rev().find(full);
        if let Some(last) = last {
            changed |= self.narrow(net, stand.from, last + 1 - a, i32::MAX)?;
        }
        let first = (end.1.max(start.0 - tail)..start.1 - tail).find(full);
        if let Some(first) = first {
            changed |= self.narrow(net, stand.to, i32::MIN, first + tail - b)?;
        }
        Ok(changed)
    }

    /// Tasks that several may do, of whom the bounds leave only this one.
    fn left_to(&self, net: &Net, worker: usize) -> Vec<usize> {
        let only = |(task, of): (usize, &super::net::Task)| {
            let (low, high) = self.of(task);
            let can = |domain: &[(i32, i32)]| domain.iter().any(|d| d.0 <= high && low <= d.1);
            let mut able = of.who.iter().filter(|(_, domain)| can(domain));
            let first = able.next()?;
            (first.0 == worker && able.next().is_none()).then_some(task)
        };
        let several = net.tasks.iter().enumerate().filter(|(_, of)| of.who.len() > 1);
        several.filter_map(only).collect()
    }

    /// Whether every placed task can have one of its workers to itself; only where all are placed.
    fn staffed(&self, net: &Net) -> bool {
        let mut open: Vec<usize> = (0..net.tasks.len())
            .filter(|&t| net.tasks.get(t).is_some_and(|t| !t.who.is_empty()))
            .collect();
        open.sort_unstable_by_key(|&task| self.of(task).0);
        self.staff(net, &open, &mut Vec::new(), &mut 2_000)
    }

    /// Gives the first open task one of its workers, and so on; true also when that takes too long.
    fn staff(
        &self,
        net: &Net,
        open: &[usize],
        given: &mut Vec<(usize, usize)>,
        left: &mut u32,
    ) -> bool {
        let Some((&task, rest)) = open.split_first() else { return true };
        if *left == 0 {
            return true;
        }
        *left -= 1;
        let start = self.of(task).0;
        let Some(of) = net.tasks.get(task) else { return true };
        for (worker, domain) in &of.who {
            let inside = domain.iter().any(|d| d.0 <= start && start <= d.1);
            let busy = given.iter().any(|&(other, who)| {
                let from = self.of(other).0;
                let length = net.tasks.get(other).map_or(0, |of| of.length);
                who == *worker && from < start + of.length && start < from + length
            });
            if inside && !busy {
                given.push((task, *worker));
                if self.staff(net, rest, given, left) {
                    return true;
                }
                given.pop();
            }
        }
        false
    }

    /// Of two tasks of one worker one comes first.
    fn one_at_a_time(&mut self, net: &Net, own: &[usize]) -> Held {
        let mut changed = false;
        let length = |task: usize| net.tasks.get(task).map_or(0, |of| of.length);
        for (k, &one) in own.iter().enumerate() {
            for &other in own.iter().skip(k + 1) {
                let before = |a: usize, b: usize| self.of(a).0 + length(a) <= self.of(b).1;
                let (first, second) = match (before(one, other), before(other, one)) {
                    (true, true) => continue,
                    (true, false) => (one, other),
                    (false, true) => (other, one),
                    (false, false) => return Err(Contradiction),
                };
                let lag = Lag { from: first, to: second, least: length(first), most: i32::MAX / 4 };
                changed |= self.lag(net, lag)?.into_iter().flatten().next().is_some();
            }
        }
        Ok(changed)
    }

    /// What must start in a limit's span fits into it; what then has no room goes elsewhere.
    fn day_limits(&mut self, net: &Net) -> Held {
        let mut changed = false;
        for limits in &net.limits {
            for &(from, to, most) in &limits.spans {
                let length = |task: usize| net.tasks.get(task).map_or(0, |of| i64::from(of.length));
                let inside = |(low, high): (i32, i32)| from <= low && high < to;
                let sum: i64 = limits
                    .tasks
                    .iter()
                    .filter(|&&task| inside(self.of(task)))
                    .map(|&task| length(task))
                    .sum();
                if sum > most {
                    return Err(Contradiction);
                }
                for &task in &limits.tasks {
                    let (low, high) = self.of(task);
                    if inside((low, high)) || sum + length(task) <= most {
                        continue;
                    }
                    if from <= low && low < to {
                        changed |= self.narrow(net, task, to, i32::MAX)?;
                    }
                    if from <= high && high < to {
                        changed |= self.narrow(net, task, i32::MIN, from - 1)?;
                    }
                }
            }
        }
        Ok(changed)
    }

    /// Between any two moments there is as much time as the work needs that lies between them.
    fn enough_time(&self, net: &Net) -> Result<(), Contradiction> {
        for limits in &net.limits {
            self.enough(net, &limits.tasks, |from, to| limits.supply.between(from, to))?;
        }
        let (tasks, supplies) = &net.pool;
        let together = |from, to| supplies.iter().map(|of| of.between(from, to)).sum();
        self.enough(net, tasks, together)
    }

    fn enough(
        &self,
        net: &Net,
        tasks: &[usize],
        supply: impl Fn(i32, i32) -> i64,
    ) -> Result<(), Contradiction> {
        let mut work: Vec<(i32, i32, i64)> = tasks
            .iter()
            .map(|&task| {
                let (low, high) = self.of(task);
                let length = net.tasks.get(task).map_or(0, |of| of.length);
                (low, high + length, i64::from(length))
            })
            .collect();
        work.sort_unstable_by_key(|&(_, end, _)| end);
        let mut starts: Vec<i32> = work.iter().map(|&(low, _, _)| low).collect();
        starts.sort_unstable();
        starts.dedup();
        for from in starts {
            let mut sum = 0;
            for &(_, end, length) in work.iter().filter(|(low, _, _)| from <= *low) {
                sum += length;
                if sum > supply(from, end) {
                    return Err(Contradiction);
                }
            }
        }
        Ok(())
    }
}

fn index(slot: i32) -> usize {
    usize::try_from(slot).unwrap_or(usize::MAX)
}
