//! Proofs that a problem has no sound plan.
//!
//! In: a problem and how much may be spent. Out: true only if it is proven. Passes bounds along lags,
//! through windows, rests, rooms, and the worker's time and limits until nothing changes, and splits
//! cases when that is not enough. Leaves preferences aside and finds no plans.

use super::net::{Lag, Net};
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
pub(super) struct Bounds {
    pub(super) low: Vec<i32>,
    pub(super) high: Vec<i32>,
    steps: u32,
}

/// No plan exists within these bounds.
#[derive(Debug)]
pub(super) struct Contradiction;

pub(super) type Held = Result<bool, Contradiction>;

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
    pub(super) fn of(&self, task: usize) -> (i32, i32) {
        (self.low.get(task).copied().unwrap_or(0), self.high.get(task).copied().unwrap_or(0))
    }

    /// Narrows a task and snaps it into its domain; whether anything changed.
    pub(super) fn narrow(&mut self, net: &Net, task: usize, low: i32, high: i32) -> Held {
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
    pub(super) fn lag(&mut self, net: &Net, lag: Lag) -> Result<[Option<usize>; 2], Contradiction> {
        let (from, to) = (self.of(lag.from), self.of(lag.to));
        let later =
            self.narrow(net, lag.to, from.0 + lag.least, from.1.saturating_add(lag.most))?;
        let to = if later { self.of(lag.to) } else { to };
        let earlier =
            self.narrow(net, lag.from, to.0.saturating_sub(lag.most), to.1 - lag.least)?;
        Ok([later.then_some(lag.to), earlier.then_some(lag.from)])
    }
}
