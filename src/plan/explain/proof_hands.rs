//! Proofs by hands: nobody does two things at once, more than a day may hold, or more than there is time for.
//!
//! In: bounds. Out: narrower bounds, or a contradiction.

use super::net::{Lag, Net, Task};
use super::proof::{Bounds, Contradiction, Held};
use crate::arrange::Arrange;

impl Bounds {
    /// Tasks that several may do, of whom the bounds leave only this one.
    pub(super) fn left_to(&self, net: &Net, worker: usize) -> Vec<usize> {
        let only = |(task, of): (usize, &Task)| {
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
    pub(super) fn staffed(&self, net: &Net) -> bool {
        let mut open: Vec<usize> = (0..net.tasks.len())
            .filter(|&t| net.tasks.get(t).is_some_and(|t| !t.who.is_empty()))
            .collect();
        open.arrange_by_key(|&task| self.of(task).0);
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
    pub(super) fn one_at_a_time(&mut self, net: &Net, own: &[usize]) -> Held {
        let mut changed = false;
        let length = |task: usize| net.tasks.get(task).map_or(0, |of| of.length);
        for (k, &one) in own.iter().enumerate() {
            for &other in own.iter().skip(k + 1) {
                let before = |a: usize, b: usize| self.of(a).0 + length(a) <= self.of(b).1;
                let (first, second) = match (before(one, other), before(other, one)) {
                    (true, true) => continue,
                    (true, false) => (one, other),
                    (false, true) => (other, one),
                    (false, false) => return Err(Contradiction(vec![one, other])),
                };
                let lag = Lag { from: first, to: second, least: length(first), most: i32::MAX / 4 };
                changed |= self.lag(net, lag)?.into_iter().flatten().next().is_some();
            }
        }
        Ok(changed)
    }

    /// What must start in a limit's span fits into it; what then has no room goes elsewhere.
    pub(super) fn day_limits(&mut self, net: &Net) -> Held {
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
                    let mut there = limits.tasks.clone();
                    there.retain(|&task| inside(self.of(task)));
                    return Err(Contradiction(there));
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
    pub(super) fn enough_time(&self, net: &Net) -> Result<(), Contradiction> {
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
        let load = |&task: &usize| {
            let (low, high) = self.of(task);
            let length = net.tasks.get(task).map_or(0, |of| of.length);
            Load { from: low, to: high + length, size: i64::from(length), task }
        };
        enough(tasks.iter().map(load).collect(), supply)
    }
}

/// Something that takes so much in all, between two moments.
#[derive(Debug, Clone, Copy)]
pub(super) struct Load {
    pub(super) from: i32,
    pub(super) to: i32,
    pub(super) size: i64,
    pub(super) task: usize,
}

/// Whether between any two moments there is as much as must be taken there.
pub(super) fn enough(
    mut loads: Vec<Load>,
    supply: impl Fn(i32, i32) -> i64,
) -> Result<(), Contradiction> {
    loads.arrange_by_key(|load| (load.to, load.task));
    let mut starts: Vec<i32> = loads.iter().map(|load| load.from).collect();
    starts.arrange();
    starts.dedup();
    for from in starts {
        let mut sum = 0;
        for load in loads.iter().filter(|load| from <= load.from) {
            sum += load.size;
            if sum > supply(from, load.to) {
                let there = loads.iter().filter(|of| from <= of.from && of.to <= load.to);
                return Err(Contradiction(there.map(|of| of.task).collect()));
            }
        }
    }
    Ok(())
}
