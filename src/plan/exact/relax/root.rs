//! The least cost of any plan, as far as a linear relaxation proves it.
//!
//! In: the model compiled for proofs. Out: a lower bound that grows with the effort spent, or a refutation. Rows that
//! are broken are added as long as that helps; then cases are told apart: a task starts in its earlier or in its
//! later cells, the case of least bound first. Works in slices, so that nobody waits for it. Everything here is
//! a proof: it may say too little, never too much.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::super::super::model::Model;
use super::super::super::spread::Spread;
use super::cases::{Case, Mark, Order};
use super::cells::{Cell, cells};
use super::cuts::{self, Cut};
use super::narrow::Trial;
use super::net::Net;
use super::places;
use super::rows::Layout;
use super::{Bound, Outcome, Relaxation};
use crate::arrange::Arrange;

/// Rows added in one round.
const ROUND: usize = 200;
/// Rounds without a gain before cases are told apart.
const STALE: usize = 3;
/// The relaxation of a planning problem at work.
#[derive(Debug, Clone)]
pub(crate) struct Root {
    pub(super) layout: Layout,
    pub(super) net: Net,
    pub(super) relaxation: Relaxation,
    pub(super) base: usize,
    /// How much it matters when a task starts.
    pub(super) weight: Vec<i64>,
    /// The least cost that is proven.
    pub(super) least: i64,
    /// Bound at the last round, for judging gains.
    pub(super) last: i64,
    pub(super) rounds: usize,
    pub(super) stale: usize,
    pub(super) state: State,
    pub(super) cases: Vec<Case>,
    pub(super) orders: Vec<Order>,
    pub(super) open: BinaryHeap<Reverse<(i64, usize)>>,
    /// The case in hand, and the rounds of rows that it has had.
    pub(super) current: Option<usize>,
    pub(super) tried: usize,
    pub(super) own_effort: u64,
    /// The least bound among cases that nothing here can tell apart further, or that were given up since
    /// no better plan can lie in them.
    pub(super) settled: i64,
    /// Cells as the case in hand has them.
    pub(super) allowed: Vec<u64>,
    /// Cells in which a plan cheaper than `fixed` can lie at all.
    pub(super) left: Vec<u64>,
    pub(super) fixed: i64,
    /// The best bound without any case.
    pub(super) whole: Option<Bound>,
    /// Cells being tried one by one.
    pub(super) trial: Option<Trial>,
    /// Trials ended of which nobody has been told.
    pub(super) news: bool,
    /// Effort spent on trials so far, and the cost of the best plan known when the last ones began.
    pub(super) trials: (u64, i64),
}

/// Where the work stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum State {
    /// More effort may prove more.
    Open,
    /// Nothing more will come.
    Done,
    /// Proven: no sound plan exists.
    Refuted,
}

impl Root {
    /// Sets the relaxation up; what is proven at once may be that no plan exists.
    pub(crate) fn new(model: &Model) -> Option<Self> {
        if model.broken {
            return None;
        }
        let mut spread = Spread::new(model);
        if !spread.settle_root(model) {
            return None;
        }
        Self::of(model, cells(model, &spread.root)?)
    }

    /// With these cells.
    pub(super) fn of(model: &Model, cells: Vec<Vec<Cell>>) -> Option<Self> {
        let net = Net::new(model, &cells);
        let layout = Layout::new(model, cells)?;
        let relaxation = layout.relaxation();
        let mut weight: Vec<i64> =
            model.tasks.iter().map(|of| 1 + of.late + of.stability).collect();
        for rest in &model.rests {
            for task in [rest.from, rest.to] {
                weight[task] += rest.modes.iter().map(|mode| mode.slope).max().unwrap_or(0);
            }
        }
        Some(Self {
            base: relaxation.rows(),
            relaxation,
            allowed: net.all.clone(),
            left: net.all.clone(),
            fixed: i64::MAX,
            whole: None,
            net,
            layout,
            weight,
            least: i64::MIN,
            last: i64::MIN,
            rounds: 0,
            stale: 0,
            state: State::Open,
            cases: Vec::new(),
            orders: Vec::new(),
            open: BinaryHeap::new(),
            current: None,
            tried: 0,
            own_effort: 0,
            settled: i64::MAX,
            trial: None,
            news: false,
            trials: (0, i64::MAX),
        })
    }

    /// No sound plan costs less; `i64::MIN` before anything is proven.
    pub(crate) fn least(&self) -> i64 {
        self.least
    }

    /// Works on for about so much effort, in numbers touched. `upper`: what the best plan known costs; none: no
    /// plan is known. Once nothing better than it can be, the bound reaches it.
    pub(crate) fn work(&mut self, model: &Model, effort: u64, upper: Option<i64>) -> State {
        let upper = upper.unwrap_or(i64::MAX);
        let end = self.effort().saturating_add(effort);
        if upper < self.fixed && !self.cases.is_empty() && self.state == State::Open {
            self.fix(model, upper);
        }
        while self.state == State::Open && self.effort() < end {
            if self.trial.is_some() || self.wants_trials(upper) {
                self.narrow(model, end, upper);
                self.sum_up(upper);
                continue;
            }
            if !self.cases.is_empty() && self.current.is_none() {
                self.own_effort += 8 * self.layout.cells.len() as u64;
                if !self.next(model, upper) {
                    continue;
                }
            }
            match self.relaxation.solve_within(end.saturating_sub(self.effort())) {
                Outcome::Bound(bound) => {
                    let proven = bound.least.saturating_add(self.layout.constant);
                    self.own_effort += 4 * self.layout.low.len() as u64;
                    if self.cases.is_empty() {
                        self.least = self.least.max(proven.min(self.fixed));
                        if self.whole.as_ref().is_none_or(|known| bound.least >= known.least) {
                            self.whole = Some(bound);
                        }
                        self.round(model, proven);
                    } else {
                        self.judge(model, proven, upper);
                    }
                }
                Outcome::Conflict(_) if self.cases.is_empty() => self.nothing_left(),
                Outcome::Conflict(_) => {
                    self.settled = self.settled.min(self.fixed);
                    self.current = None;
                }
                // Rounding left nothing to go on with, unless it was only time to stop.
                Outcome::Unfinished(_) if self.effort() < end => match self.current.take() {
                    Some(case) => self.settled = self.settled.min(self.cases[case].bound),
                    None => self.state = State::Done,
                },
                Outcome::Unfinished(_) => {}
            }
            self.sum_up(upper);
        }
        self.state
    }

    /// Nothing cheaper than the best plan known is left at all; without one: nothing.
    pub(super) fn nothing_left(&mut self) {
        self.least = self.least.max(self.fixed);
        self.state = if self.fixed == i64::MAX { State::Refuted } else { State::Done };
    }

    /// Effort so far.
    pub(super) fn effort(&self) -> u64 {
        self.relaxation.effort() + self.own_effort
    }

    /// The least bound of all cases.
    pub(super) fn sum_up(&mut self, upper: i64) {
        if self.cases.is_empty() || self.state != State::Open {
            return;
        }
        let mut least = self.settled;
        if let Some(case) = self.current {
            least = least.min(self.cases[case].bound);
        }
        if let Some(Reverse((bound, _))) = self.open.peek() {
            least = least.min(*bound);
        }
        if least == i64::MAX {
            self.state = State::Refuted;
            return;
        }
        // Cells were taken away on the ground that no plan in them is cheaper than this.
        self.least = self.least.max(least.min(self.fixed));
        let all = self.current.is_none() && self.open.is_empty();
        if all || self.settled <= self.least || self.least >= upper {
            self.state = State::Done;
        }
    }

    /// Drops added rows that do not matter at the point.
    pub(super) fn drop_idle_rows(&mut self) {
        let (base, orders) = (self.base, &self.orders);
        let keep = |row: usize| row < base || orders.iter().any(|order| order.row == row);
        let kept = self.relaxation.drop_idle_rows(keep);
        let mut number = vec![0; kept.len()];
        let mut next = 0;
        for (row, &kept) in kept.iter().enumerate() {
            number[row] = next;
            next += usize::from(kept);
        }
        for order in &mut self.orders {
            order.row = number[order.row];
        }
    }

    pub(super) fn broken(&self, model: &Model, point: &[f64], most: usize) -> Vec<Cut> {
        let mut cuts: Vec<Cut> = Vec::new();
        cuts::orders(model, &self.layout, point, &mut cuts);
        cuts::pieces(&self.layout, point, &mut cuts);
        cuts::spans(model, &self.layout, point, &mut cuts);
        cuts::lags(model, &self.layout, point, &mut cuts);
        places::places(model, &self.layout, point, &mut cuts);
        // Stable: equally deep ones in the order in which they were found.
        cuts.arrange_by(|a, b| b.depth.total_cmp(&a.depth));
        cuts.truncate(most);
        cuts
    }

    /// Looks for broken rows and adds them; when that no longer helps, tells the first cases apart.
    fn round(&mut self, model: &Model, proven: i64) {
        let gain = proven.saturating_sub(self.last);
        self.stale = if gain > self.last.saturating_abs() / 2000 { 0 } else { self.stale + 1 };
        self.last = self.last.max(proven);
        self.rounds += 1;
        let point = self.relaxation.point();
        let cuts = if self.stale >= STALE { Vec::new() } else { self.broken(model, &point, ROUND) };
        if cuts.is_empty() {
            self.drop_idle_rows();
            self.cases.push(Case { parent: usize::MAX, mark: Mark::None, bound: self.least });
            self.branch(model, 0, self.least, &point);
            self.sum_up(i64::MAX);
            return;
        }
        if self.rounds.is_multiple_of(5) {
            self.drop_idle_rows();
        }
        for cut in &cuts {
            self.relaxation.add_row(&cut.row);
        }
    }
}
