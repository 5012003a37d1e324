//! The state of the search: bounds, the trail that they were reached by, and constraints.
//!
//! Knows nothing of planning. A bound is raised with a *reason*, which is turned into literals only when a
//! conflict asks for it; all constraints see bounds as lower bounds of views ([`super::literal`]).

use super::clause::{Clauses, Watch};
use super::cumulative::Places;
use super::disjunctive::Hands;
use super::domain::Domain;
use super::linear::Rows;
use super::literal::{Lit, ix, no};
use super::order::Order;

/// No index.
pub(super) const NONE: u32 = u32::MAX;
/// No demand on a view.
pub(super) const NOTHING: i32 = i32::MIN;

/// Why a bound was raised.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Reason {
    /// Decided, or true without any condition.
    Free,
    Clause(u32),
    /// A least distance; see [`Arc`].
    Arc(u32),
    /// A linear row.
    Row(u32),
    /// One pair of hands: see [`super::disjunctive`].
    Pair(u32),
    /// An item of a place has no room at a time: see [`super::cumulative`].
    Place {
        item: u32,
        time: i32,
    },
    /// The cheapest of several ways: see [`super::choice`].
    Choice(u32),
    /// Prices add up to no more than can be paid: see [`super::price`].
    Price(u32),
}

/// One raised bound.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    pub(super) view: u32,
    pub(super) old: i32,
    pub(super) new: i32,
    /// The view's step before this one.
    pub(super) before: u32,
    pub(super) reason: Reason,
}

/// `to >= from + by`, of views.
#[derive(Debug, Clone, Copy)]
pub(super) struct Arc {
    pub(super) from: u32,
    pub(super) to: u32,
    pub(super) by: i32,
}

/// Which constraint is to be looked at again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Task {
    Row(u32),
    Hand(u32),
    Place(u32),
    Choice(u32),
    Price(u32),
}

/// See the module.
#[derive(Debug, Clone)]
pub(super) struct Engine {
    /// Lower bound of each view; the upper bound of a variable is the other view's, negated.
    pub(super) low: Vec<i32>,
    /// The same before anything was decided.
    pub(super) root: Vec<i32>,
    pub(super) domains: Vec<Domain>,
    pub(super) trail: Vec<Step>,
    /// The last step of each view.
    pub(super) head: Vec<u32>,
    /// Length of the trail at which each decision was taken.
    pub(super) levels: Vec<u32>,
    /// First step that constraints have not seen.
    pub(super) next: usize,
    pub(super) clauses: Clauses,
    pub(super) watches: Vec<Vec<Watch>>,
    pub(super) arcs: Vec<Arc>,
    pub(super) arcs_of: Vec<Vec<u32>>,
    pub(super) rows: Rows,
    pub(super) hands: Hands,
    pub(super) places: Places,
    pub(super) choices: Vec<super::choice::Choice>,
    pub(super) prices: super::price::Prices,
    /// Least prices of the parts of one sum.
    pub(super) floors: Vec<i64>,
    pub(super) wakes: Vec<Vec<Task>>,
    pub(super) queue: super::propagate::Queue,
    /// Literals that are true and cannot be so together.
    pub(super) conflict: Vec<Lit>,
    pub(super) scratch: Vec<Lit>,
    pub(super) order: Order,
    pub(super) conflicts: u64,
    /// Effort so far, in small steps.
    pub(super) work: u64,
    pub(super) analysis: super::analyze::Analysis,
    /// A solution that everything learnt must allow; only tests set it.
    #[cfg(test)]
    pub(super) witness: Option<Vec<i32>>,
}

impl Engine {
    /// Without variables but for the constant.
    pub(super) fn new() -> Self {
        let mut engine = Self {
            low: Vec::new(),
            root: Vec::new(),
            domains: Vec::new(),
            trail: Vec::new(),
            head: Vec::new(),
            levels: Vec::new(),
            next: 0,
            clauses: Clauses::default(),
            watches: Vec::new(),
            arcs: Vec::new(),
            arcs_of: Vec::new(),
            rows: Rows::default(),
            hands: Hands::default(),
            places: Places::default(),
            choices: Vec::new(),
            prices: super::price::Prices::default(),
            floors: Vec::new(),
            wakes: Vec::new(),
            queue: super::propagate::Queue::default(),
            conflict: Vec::new(),
            scratch: Vec::new(),
            order: Order::default(),
            conflicts: 0,
            work: 0,
            analysis: super::analyze::Analysis::default(),
            #[cfg(test)]
            witness: None,
        };
        engine.variable(Domain::range(1, 1));
        engine
    }

    /// A new variable. Its domain is not empty.
    pub(super) fn variable(&mut self, domain: Domain) -> u32 {
        let variable = no(self.domains.len());
        for low in [domain.low(), -domain.high()] {
            self.low.push(low);
            self.root.push(low);
            self.head.push(NONE);
            self.watches.push(Vec::new());
            self.arcs_of.push(Vec::new());
            self.wakes.push(Vec::new());
            self.analysis.need.push(NOTHING);
        }
        self.domains.push(domain);
        self.order.push(variable);
        variable
    }

    #[inline]
    pub(super) fn lower(&self, view: u32) -> i32 {
        self.low[ix(view)]
    }

    #[inline]
    pub(super) fn upper(&self, view: u32) -> i32 {
        -self.low[ix(view ^ 1)]
    }

    #[inline]
    pub(super) fn holds(&self, lit: Lit) -> bool {
        self.low[ix(lit.view)] >= lit.least
    }

    #[inline]
    pub(super) fn fails(&self, lit: Lit) -> bool {
        self.upper(lit.view) < lit.least
    }

    /// True whatever is decided.
    #[inline]
    pub(super) fn granted(&self, lit: Lit) -> bool {
        self.root[ix(lit.view)] >= lit.least
    }

    /// The least value of the view's domain that is at least this; `i32::MAX` if there is none.
    #[inline]
    pub(super) fn snap(&self, view: u32, value: i32) -> i32 {
        let domain = &self.domains[ix(view / 2)];
        if view & 1 == 0 {
            domain.at_or_after(value).unwrap_or(i32::MAX)
        } else {
            domain.at_or_before(-value).map_or(i32::MAX, |value| -value)
        }
    }

    /// The weakest bound that says the same as `view >= value`.
    #[inline]
    pub(super) fn weakest(&self, view: u32, value: i32) -> i32 {
        // One more than the greatest value of the domain below it.
        let below = -self.snap(view ^ 1, 1 - value);
        if below == -i32::MAX { value } else { below + 1 }
    }

    /// The view's bound when the trail was `steps` long.
    #[inline]
    pub(super) fn low_at(&self, view: u32, steps: usize) -> i32 {
        let mut low = self.low[ix(view)];
        let mut step = self.head[ix(view)];
        while step != NONE && ix(step) >= steps {
            low = self.trail[ix(step)].old;
            step = self.trail[ix(step)].before;
        }
        low
    }

    /// The step by which `lit`, which holds, came to hold; none if it always did.
    #[inline]
    pub(super) fn step_of(&self, lit: Lit) -> u32 {
        let mut step = self.head[ix(lit.view)];
        while step != NONE && self.trail[ix(step)].old >= lit.least {
            step = self.trail[ix(step)].before;
        }
        step
    }

    /// Raises a bound. On a contradiction fills `conflict` and says no.
    pub(super) fn raise(&mut self, view: u32, value: i32, reason: Reason) -> bool {
        let old = self.low[ix(view)];
        if value <= old {
            return true;
        }
        let high = self.upper(view);
        if value > high {
            let lit = Lit { view, least: self.weakest(view, high + 1) };
            let mut conflict = std::mem::take(&mut self.conflict);
            conflict.clear();
            self.explain(lit, reason, self.trail.len(), &mut conflict);
            conflict.push(lit.not());
            self.conflict = conflict;
            return false;
        }
        let new = self.snap(view, value);
        let step = no(self.trail.len());
        let before = std::mem::replace(&mut self.head[ix(view)], step);
        self.low[ix(view)] = new;
        self.trail.push(Step { view, old, new, before, reason });
        if self.levels.is_empty() {
            self.root[ix(view)] = new;
        }
        true
    }

    /// Takes the last step back.
    #[inline]
    pub(super) fn undo(&mut self) {
        if let Some(step) = self.trail.pop() {
            self.low[ix(step.view)] = step.old;
            self.head[ix(step.view)] = step.before;
            self.order.insert(step.view / 2);
        }
    }

    /// Takes back everything above a level.
    pub(super) fn cancel(&mut self, level: usize) {
        if level < self.levels.len() {
            let length = ix(self.levels[level]);
            while self.trail.len() > length {
                self.undo();
            }
            self.levels.truncate(level);
            self.queue.clear();
        }
        self.next = self.next.min(self.trail.len());
        if self.levels.is_empty() && self.next == self.trail.len() {
            // Nothing refers to what is true for ever.
            for step in self.trail.drain(..) {
                self.head[ix(step.view)] = NONE;
            }
            self.next = 0;
        }
    }

    /// Decides a literal on a level of its own.
    pub(super) fn decide(&mut self, lit: Lit) -> bool {
        self.levels.push(no(self.trail.len()));
        self.raise(lit.view, lit.least, Reason::Free)
    }

    /// Literals that held when the trail was `at` long and that, with the constraint named, entail `lit`.
    pub(super) fn explain(&self, lit: Lit, reason: Reason, at: usize, out: &mut Vec<Lit>) {
        let start = out.len();
        match reason {
            Reason::Free => {}
            Reason::Clause(clause) => {
                for &other in self.clauses.lits(clause) {
                    if other.view != lit.view {
                        out.push(other.not());
                    }
                }
            }
            Reason::Arc(arc) => {
                let arc = self.arcs[ix(arc)];
                out.push(Lit { view: arc.from, least: lit.least - arc.by });
            }
            Reason::Row(row) => self.explain_row(row, lit, at, out),
            Reason::Pair(pair) => self.explain_pair(pair, lit, at, out),
            Reason::Place { item, time } => self.explain_place(item, time, lit, at, out),
            Reason::Choice(choice) => self.explain_choice(choice, lit, at, out),
            Reason::Price(price) => self.explain_price(price, lit, at, out),
        }
        for &given in out.get(start..).filter(|_| cfg!(debug_assertions)).unwrap_or_default() {
            assert!(
                self.low_at(given.view, at) >= given.least,
                "{given:?} did not hold when it was to explain {lit:?} by {reason:?}"
            );
        }
        #[cfg(test)]
        self.test_explanation(lit, reason, &out[start..]);
    }

    #[cfg(test)]
    fn test_explanation(&self, lit: Lit, reason: Reason, given: &[Lit]) {
        let Some(witness) = &self.witness else { return };
        let holds = |lit: Lit| {
            let value = witness[ix(lit.variable())];
            if lit.view & 1 == 0 { value >= lit.least } else { -value >= lit.least }
        };
        assert!(
            reason == Reason::Free || !given.iter().all(|&lit| holds(lit)) || holds(lit),
            "{given:?} does not entail {lit:?} by {reason:?}"
        );
    }

    /// Adds a clause; at the root, before the search runs. No two literals have the same view. Says no if
    /// nothing is left of it.
    pub(super) fn clause(&mut self, lits: &[Lit]) -> bool {
        if lits.iter().any(|&lit| self.holds(lit)) {
            return true;
        }
        let left: Vec<Lit> = lits.iter().copied().filter(|&lit| !self.fails(lit)).collect();
        match left[..] {
            [] => false,
            [lit] => self.raise(lit.view, lit.least, Reason::Free),
            _ => {
                self.attach(&left, 0);
                true
            }
        }
    }

    /// Adds a clause of at least two literals and watches the first two.
    pub(super) fn attach(&mut self, lits: &[Lit], levels: u32) -> u32 {
        let clause = self.clauses.push(lits, levels, self.conflicts);
        self.watch(clause);
        clause
    }

    pub(super) fn watch(&mut self, clause: u32) {
        let lits = self.clauses.lits(clause);
        let (a, b) = (lits[0], lits[1]);
        self.watches[ix(a.view ^ 1)].push(Watch { mark: 1 - a.least, clause, hint: b });
        self.watches[ix(b.view ^ 1)].push(Watch { mark: 1 - b.least, clause, hint: a });
    }

    /// Adds `to >= from + by`, of views.
    pub(super) fn arc(&mut self, from: u32, to: u32, by: i32) {
        for arc in [Arc { from, to, by }, Arc { from: to ^ 1, to: from ^ 1, by }] {
            self.arcs_of[ix(arc.from)].push(no(self.arcs.len()));
            self.arcs.push(arc);
        }
    }

    /// Has a constraint looked at whenever the view's bound rises.
    pub(super) fn wake(&mut self, view: u32, task: Task) {
        let list = &mut self.wakes[ix(view)];
        if !list.contains(&task) {
            list.push(task);
        }
    }
}
