//! Proofs that a problem has no sound plan.
//!
//! In: a problem and how much may be spent. Out: true only if it is proven. Passes bounds along lags,
//! through windows, rests, rooms, and the worker's time and limits until nothing changes, and splits
//! cases when that is not enough. Leaves preferences aside and finds no plans.

use super::net::{Lag, Net};
use crate::exact::{Exact, Finished};
use crate::{Problem, Weights};

/// Steps after which a single propagation gives up; a circle of lags that wins a slot a round needs many.
const STEPS_MOST: u32 = 400_000;

/// Small steps of the exact search that take about as long as a case, and cases for which it runs at a time.
const STEPS_A_CASE: u64 = 500;
const SLICE: u64 = 10;

/// Cases of the first search; each later one has four times as many.
const FIRST_SEARCH: u64 = 30;

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
    let mut prover = Prover { net: &net, weight: vec![1; net.tasks.len()], left: *cases };
    let mut bounds = Bounds { low, high, steps: 0 };
    if prover.settle(&mut bounds).is_err() {
        *cases = prover.left;
        return true;
    }
    // Clauses learnt from contradictions prove most, and a plan found on the way ends the question.
    let known = decided(problem, &mut prover.left);
    let refuted = known.unwrap_or_else(|| prover.prove(bounds));
    *cases = prover.left;
    refuted
}

/// Asks the exact search, with all preferences left aside, for half of the cases: whether no plan exists.
fn decided(problem: &Problem, cases: &mut u64) -> Option<bool> {
    let most = *cases / 2;
    if most == 0 {
        return None;
    }
    let wished = Problem { weights: Weights::default(), ..problem.clone() };
    let mut exact = Exact::new(&wished, None);
    let mut spent = 0;
    while spent < most {
        let slice = SLICE.min(most - spent);
        let finished = exact.run(slice * STEPS_A_CASE);
        spent += slice;
        *cases -= slice;
        if finished == Finished::Infeasible {
            return Some(true);
        }
        if exact.cost().is_some() {
            return Some(false);
        }
    }
    None
}

/// Least and greatest start of every task.
#[derive(Debug, Clone)]
pub(super) struct Bounds {
    pub(super) low: Vec<i32>,
    pub(super) high: Vec<i32>,
    steps: u32,
}

/// No plan exists within these bounds: the tasks at which that showed.
#[derive(Debug)]
pub(super) struct Contradiction(pub(super) Vec<usize>);

pub(super) type Held = Result<bool, Contradiction>;

/// What splitting cases found.
enum Split {
    Refuted,
    /// Everything is placed, or nothing more can be told: no proof is to be had this way.
    Open,
    /// The cases were spent.
    Spent,
}

/// Splits cases, first where contradictions showed before (the domain over weighted degree of F. Boussemart
/// and others, "Boosting systematic search by weighting constraints", ECAI 2004).
struct Prover<'a> {
    net: &'a Net,
    /// How often a task took part in a contradiction.
    weight: Vec<u64>,
    left: u64,
}

impl Prover<'_> {
    fn prove(&mut self, mut bounds: Bounds) -> bool {
        // Short searches learn the weights; between them the ends of all bounds are probed.
        let mut most = FIRST_SEARCH;
        while self.left > 0 {
            let whole = self.left;
            self.left = whole.min(most);
            let given = self.left;
            let found = self.split(bounds.clone());
            self.left += whole - given;
            match found {
                Split::Refuted => return true,
                Split::Open => return false,
                Split::Spent => {}
            }
            if self.shave(&mut bounds).is_err() {
                return true;
            }
            most *= 4;
        }
        false
    }

    /// One case: everything that follows from the bounds.
    fn settle(&mut self, bounds: &mut Bounds) -> Result<(), Contradiction> {
        self.left = self.left.saturating_sub(1);
        bounds.steps = 0;
        let held = bounds.settle(self.net);
        if let Err(Contradiction(tasks)) = &held {
            for &task in tasks {
                if let Some(weight) = self.weight.get_mut(task) {
                    *weight += 1;
                }
            }
        }
        held
    }

    /// The stretches of a task's domain that its bounds leave.
    fn pieces(&self, bounds: &Bounds, task: usize) -> impl DoubleEndedIterator<Item = (i32, i32)> {
        let (low, high) = bounds.of(task);
        let domain = self.net.tasks.get(task).map_or(&[][..], |task| task.domain.as_slice());
        let inside = domain.iter().filter(move |d| d.0 <= high && low <= d.1);
        inside.map(move |d| (d.0.max(low), d.1.min(high)))
    }

    fn split(&mut self, bounds: Bounds) -> Split {
        let room = |task: usize| -> i64 {
            self.pieces(&bounds, task).map(|d| i64::from(d.1 - d.0 + 1)).sum()
        };
        let open =
            (0..self.net.tasks.len()).filter(|&task| bounds.low.get(task) < bounds.high.get(task));
        let weight =
            |task: usize| self.weight.get(task).map_or(1, |&w| i64::try_from(w).unwrap_or(1));
        // Room over weight, compared without dividing.
        let Some(task) =
            open.min_by(|&a, &b| (room(a) * weight(b)).cmp(&(room(b) * weight(a))).then(a.cmp(&b)))
        else {
            return if bounds.staffed(self.net) { Split::Open } else { Split::Refuted };
        };
        let pieces: Vec<_> = self.pieces(&bounds, task).collect();
        let cut = match pieces.as_slice() {
            [] => return Split::Refuted,
            [only] => only.0.midpoint(only.1),
            many => many.get((many.len() - 1) / 2).map_or(0, |d| d.1),
        };
        let mut second = bounds.clone();
        let mut first = bounds;
        first.high[task] = cut;
        second.low[task] = cut + 1;
        for mut part in [first, second] {
            if self.left == 0 {
                return Split::Spent;
            }
            if self.settle(&mut part).is_err() {
                continue;
            }
            match self.split(part) {
                Split::Refuted => {}
                other => return other,
            }
        }
        Split::Refuted
    }

    /// Probes the first and the last stretch of every task and cuts off what contradicts the rest.
    fn shave(&mut self, bounds: &mut Bounds) -> Result<(), Contradiction> {
        loop {
            let mut changed = false;
            for task in 0..self.net.tasks.len() {
                while let Some((low, high)) = self.ends(bounds, task) {
                    let mut first = bounds.clone();
                    first.high[task] = low;
                    let mut last = bounds.clone();
                    last.low[task] = high;
                    if self.left < 2 {
                        return Ok(());
                    }
                    let cut = [self.settle(&mut first).is_err(), self.settle(&mut last).is_err()];
                    if cut[0] {
                        bounds.low[task] = low + 1;
                    }
                    if cut[1] {
                        bounds.high[task] = high - 1;
                    }
                    if cut == [false, false] {
                        break;
                    }
                    changed = true;
                    self.settle(bounds)?;
                }
            }
            if !changed {
                return Ok(());
            }
        }
    }

    /// Where the first stretch ends and the last one begins; a single one is halved.
    fn ends(&self, bounds: &Bounds, task: usize) -> Option<(i32, i32)> {
        let mut pieces = self.pieces(bounds, task);
        let first = pieces.next()?;
        match pieces.next_back() {
            Some(last) => Some((first.1, last.0)),
            None if first.0 < first.1 => {
                let middle = first.0.midpoint(first.1);
                Some((middle, middle + 1))
            }
            None => None,
        }
    }
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
            return Err(Contradiction(vec![task]));
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
        self.enough_time(net)?;
        self.enough_room(net)
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
