//! The planning problem as variables and constraints.
//!
//! In: the compiled model. Out: an engine, and which variable says what. Segments at a fixed distance share
//! a variable. Which window somebody works in is said by 0/1 variables, one for each segment and *cell*: a
//! window cut where limits begin and end.

use super::choice::{Choice, Way};
use super::cumulative::Item;
use super::disjunctive::Piece;
use super::domain::Domain;
use super::engine::Engine;
use super::literal::{Lit, ix, no};
use crate::arrange::Arrange;
use crate::model::{FAR, Model};

/// No more than this can be told apart by an objective; a dearer plan is never found.
pub(super) const DEAREST: i32 = 1_000_000_000;

/// A segment's work in a cell.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell {
    pub(super) way: usize,
    pub(super) window: usize,
    /// Starts, of the segment.
    pub(super) from: i32,
    pub(super) to: i32,
    /// 0/1 variable.
    pub(super) inside: u32,
}

/// A cost in the objective.
#[derive(Debug, Clone, Copy)]
pub(super) enum Cost {
    /// Of a rest, whose lag it is.
    Lag {
        rest: usize,
    },
    /// Of a rest with a choice.
    Choice {
        rest: usize,
    },
    Late {
        task: usize,
    },
    Away {
        task: usize,
    },
    Over {
        window: usize,
    },
}

/// A variable derived from placements.
#[derive(Debug, Clone, Copy)]
pub(super) struct Derived {
    pub(super) variable: u32,
    pub(super) cost: Cost,
}

/// The engine and what its variables mean.
#[derive(Debug, Clone)]
pub(super) struct Built {
    pub(super) engine: Engine,
    /// Of each segment: starts at this variable plus the number.
    pub(super) start: Vec<(u32, i32)>,
    /// Of each segment with a choice of hands: a 0/1 variable for each way.
    pub(super) hands: Vec<Vec<u32>>,
    pub(super) cells: Vec<Vec<Cell>>,
    /// Of each rest with a choice: a 0/1 variable for each mode.
    pub(super) modes: Vec<Vec<u32>>,
    /// Of each rest that has one.
    pub(super) lag: Vec<Option<u32>>,
    pub(super) derived: Vec<Derived>,
    pub(super) objective: u32,
    /// Weight and variable; the objective is their sum and `base`.
    pub(super) terms: Vec<(i64, u32)>,
    pub(super) base: i64,
    /// Some plan may cost more than the objective's variable can say.
    pub(super) limited: bool,
}

struct Builder<'a> {
    model: &'a Model,
    built: Built,
    /// Work in each window, and under each limit: length and variable.
    window: Vec<Vec<(i64, u32)>>,
    limit: Vec<Vec<(i64, u32)>>,
}

/// Builds; nothing if the bounds alone contradict each other.
pub(super) fn build(model: &Model) -> Option<Built> {
    if model.broken {
        return None;
    }
    let mut engine = Engine::new();
    let start = starts(model, &mut engine)?;
    let built = Built {
        engine,
        start,
        hands: vec![Vec::new(); model.tasks.len()],
        cells: vec![Vec::new(); model.tasks.len()],
        modes: vec![Vec::new(); model.rests.len()],
        lag: vec![None; model.rests.len()],
        derived: Vec::new(),
        objective: 0,
        terms: Vec::new(),
        base: 0,
        limited: false,
    };
    let mut builder = Builder {
        model,
        built,
        window: vec![Vec::new(); model.windows.len()],
        limit: vec![Vec::new(); model.limits.len()],
    };
    builder.rooms();
    let sound = builder.arcs()
        && (0..model.tasks.len()).all(|task| builder.task(task))
        && (0..model.rests.len()).all(|rest| builder.rest(rest))
        && builder.windows();
    sound.then(|| builder.objective())
}

/// Variables of the segments' starts, with all values taken out that a lag to another one forbids.
fn starts(model: &Model, engine: &mut Engine) -> Option<Vec<(u32, i32)>> {
    let count = model.tasks.len();
    // Each segment's group, and by how much it starts later than the group's first.
    let mut group: Vec<(usize, i32)> = (0..count).map(|task| (task, 0)).collect();
    for task in 0..count {
        for arc in model.arcs[task].iter().filter(|arc| arc.min == arc.max) {
            let ((a, by), (b, other)) = (group[task], group[arc.other]);
            if a == b {
                continue;
            }
            // start(other) = start(task) + min
            let shift = by + arc.min - other;
            for member in group.iter_mut().filter(|member| member.0 == b) {
                *member = (a, member.1 + shift);
            }
        }
    }
    let mut domains: Vec<Domain> = vec![Domain::range(-FAR / 4, FAR / 4); count];
    for task in 0..count {
        let (group, by) = group[task];
        let own = Domain::of(model.tasks[task].domain.clone()).spread(-by, -by);
        domains[group] = domains[group].met(&own);
    }
    for _ in 0..40 {
        let mut changed = false;
        for task in 0..count {
            for arc in &model.arcs[task] {
                let ((a, a_by), (b, b_by)) = (group[task], group[arc.other]);
                let low = arc.min.saturating_add(a_by - b_by);
                let high = arc.max.saturating_add(a_by - b_by);
                if a == b {
                    if !(low..=high).contains(&0) {
                        return None;
                    }
                    continue;
                }
                let met = domains[b].met(&domains[a].spread(low, high));
                if met != domains[b] {
                    domains[b] = met;
                    changed = true;
                }
            }
        }
        if domains.iter().any(Domain::is_empty) {
            return None;
        }
        if !changed {
            break;
        }
    }
    let mut variable = vec![0; count];
    for task in (0..count).filter(|&task| group[task].0 == task) {
        variable[task] = engine.variable(domains[task].clone());
    }
    Some(group.iter().map(|&(group, by)| (variable[group], by)).collect())
}

impl Builder<'_> {
    fn domain(&self, task: usize) -> Domain {
        let (variable, by) = self.built.start[task];
        self.built.engine.domains[ix(variable)].spread(by, by)
    }

    fn rooms(&mut self) {
        let slots = usize::try_from(self.model.horizon).unwrap_or(0);
        if slots == 0 {
            return;
        }
        for room in self.model.room.chunks(slots) {
            let mut parts: Vec<(i32, i32)> = Vec::new();
            for (time, &left) in (0..).zip(room) {
                if parts.last().is_none_or(|last| last.1 != left) {
                    parts.push((time, left));
                }
            }
            self.built.engine.places.place(parts);
        }
    }

    fn arcs(&mut self) -> bool {
        for task in 0..self.model.tasks.len() {
            let (from, by) = self.built.start[task];
            for arc in &self.model.arcs[task] {
                let (to, other) = self.built.start[arc.other];
                if from != to && arc.min > -FAR / 2 {
                    // Each arc is listed from both of its ends, with its least distance at one of them.
                    self.built.engine.arc(from * 2, to * 2, arc.min + by - other);
                }
            }
        }
        true
    }

    fn task(&mut self, index: usize) -> bool {
        let task = &self.model.tasks[index];
        let start = self.built.start[index];
        for &(place, amount) in &task.uses {
            self.built.engine.item(Item {
                start,
                end: (start.0, start.1 + task.length),
                amount,
                given: Lit::TRUE,
                place: no(place),
            });
        }
        let domain = self.domain(index);
        if task.late > 0 {
            let late = domain.beyond(task.due);
            if late.high() > 0 {
                let variable = self.cost(late, task.late, Cost::Late { task: index });
                self.built.engine.arc(start.0 * 2, variable * 2, start.1 - task.due);
            }
        }
        if task.stability > 0 {
            let away = domain.distance(task.shown);
            let variable = self.cost(away, task.stability, Cost::Away { task: index });
            self.built.engine.arc(start.0 * 2, variable * 2, start.1 - task.shown);
            self.built.engine.arc(start.0 * 2 + 1, variable * 2, task.shown - start.1);
        }
        if task.length == 0 || task.ways.iter().all(|way| way.worker == usize::MAX) {
            return true;
        }
        self.work(index, &domain)
    }

    /// A variable of the objective.
    fn cost(&mut self, domain: Domain, weight: i64, cost: Cost) -> u32 {
        let variable = self.built.engine.variable(domain);
        self.built.derived.push(Derived { variable, cost });
        self.built.terms.push((weight, variable));
        variable
    }

    /// Whose hands, and in which window.
    fn work(&mut self, index: usize, domain: &Domain) -> bool {
        let task = &self.model.tasks[index];
        let (variable, by) = self.built.start[index];
        let several = task.ways.len() > 1;
        let mut hands = Vec::new();
        for (way, of) in task.ways.iter().enumerate() {
            let given = if several {
                let given = self.built.engine.variable(Domain::range(0, 1));
                hands.push(given);
                Lit::at_least(given, 1)
            } else {
                Lit::TRUE
            };
            self.built.engine.piece(Piece {
                variable,
                offset: by,
                length: task.length,
                given,
                worker: no(of.worker),
            });
            self.cells(index, way, domain);
        }
        let mut cells = std::mem::take(&mut self.built.cells[index]);
        cells.arrange_by_key(|cell| cell.from);
        let engine = &mut self.built.engine;
        let mut sound = true;
        for (way, &given) in hands.iter().enumerate() {
            let mut any = vec![Lit::at_most(given, 0)];
            for cell in cells.iter().filter(|cell| cell.way == way) {
                let inside = Lit::at_least(cell.inside, 1);
                sound &= engine.clause(&[inside.not(), Lit::at_least(given, 1)]);
                any.push(inside);
            }
            sound &= engine.clause(&any);
            for &other in &hands[..way] {
                sound &= engine.clause(&[Lit::at_most(given, 0), Lit::at_most(other, 0)]);
            }
        }
        let some: Vec<Lit> = cells.iter().map(|cell| Lit::at_least(cell.inside, 1)).collect();
        sound &= engine.clause(&some);
        for cell in &cells {
            let out = Lit::at_most(cell.inside, 0);
            sound &= engine.clause(&[out, Lit::at_least(variable, cell.from - by)]);
            sound &= engine.clause(&[out, Lit::at_most(variable, cell.to - by)]);
        }
        // Whatever start lies in a piece of time belongs to one of the cells that cover it.
        let mut cuts: Vec<i32> = cells.iter().flat_map(|cell| [cell.from, cell.to + 1]).collect();
        cuts.arrange();
        cuts.dedup();
        for cut in cuts.windows(2) {
            let covers = |cell: &&Cell| cell.from <= cut[0] && cut[1] <= cell.to + 1;
            let mut any: Vec<Lit> =
                cells.iter().filter(covers).map(|cell| Lit::at_least(cell.inside, 1)).collect();
            if any.is_empty() {
                continue;
            }
            any.push(Lit::at_most(variable, cut[0] - 1 - by));
            any.push(Lit::at_least(variable, cut[1] - by));
            sound &= engine.clause(&any);
        }
        self.built.cells[index] = cells;
        self.built.hands[index] = hands;
        sound
    }

    /// The cells of one way to do a segment.
    fn cells(&mut self, index: usize, way: usize, domain: &Domain) {
        let of = &self.model.tasks[index].ways[way];
        let length = i64::from(self.model.tasks[index].length);
        for spot in &of.spots {
            let mut cuts = vec![spot.from, spot.to + 1];
            for &limit in &of.limits {
                let limit = self.model.limits[limit];
                cuts.extend([limit.from, limit.to]);
            }
            cuts.retain(|&cut| spot.from <= cut && cut <= spot.to + 1);
            cuts.arrange();
            cuts.dedup();
            for cut in cuts.windows(2) {
                let inside = domain.met(&Domain::range(cut[0], cut[1] - 1));
                if inside.is_empty() {
                    continue;
                }
                let (from, to) = (inside.low(), inside.high());
                let variable = self.built.engine.variable(Domain::range(0, 1));
                let cell = Cell { way, window: spot.window, from, to, inside: variable };
                self.built.cells[index].push(cell);
                if spot.window < self.window.len() {
                    self.window[spot.window].push((length, variable));
                }
                for &limit in &of.limits {
                    let cap = self.model.limits[limit];
                    if cap.from <= from && from < cap.to {
                        self.limit[limit].push((length, variable));
                    }
                }
            }
        }
    }

    /// Lag, cost and stores of a rest.
    fn rest(&mut self, index: usize) -> bool {
        let rest = &self.model.rests[index];
        let (from, to) = (self.built.start[rest.from], self.built.start[rest.to]);
        let several = rest.modes.len() > 1;
        let varies = from.0 != to.0;
        let domain = if varies {
            let hull = (
                rest.modes.iter().map(|mode| mode.min).min().unwrap_or(0),
                rest.modes.iter().map(|mode| mode.max).max().unwrap_or(0),
            );
            let domain = self.domain(rest.to).less(&self.domain(rest.from));
            domain.spread(rest.offset, rest.offset).met(&Domain::range(hull.0, hull.1))
        } else {
            let lag = to.1 - from.1 + rest.offset;
            Domain::range(lag, lag)
        };
        if domain.is_empty() {
            return false;
        }
        let costs = several || rest.modes.iter().any(|mode| mode.slope != 0);
        let lag = costs.then(|| {
            let lag = self.built.engine.variable(domain);
            if varies {
                let by = i64::from(to.1 - from.1 + rest.offset);
                self.built.engine.row(&[(1, lag), (-1, to.0), (1, from.0)], by);
                self.built.engine.row(&[(-1, lag), (1, to.0), (-1, from.0)], -by);
            }
            lag
        });
        self.built.lag[index] = lag;
        let mut sound = true;
        if several {
            sound &= self.modes(index);
        } else if let (Some(lag), Some(mode)) = (lag, rest.modes.first()) {
            self.built.derived.push(Derived { variable: lag, cost: Cost::Lag { rest: index } });
            self.built.terms.push((mode.slope, lag));
            self.built.base += mode.base;
        } else {
            self.built.base += rest.modes.first().map_or(0, |mode| mode.base);
        }
        let start = (from.0, from.1 - rest.offset);
        for (way, mode) in rest.modes.iter().enumerate() {
            let given =
                self.built.modes[index].get(way).map_or(Lit::TRUE, |&mode| Lit::at_least(mode, 1));
            let cut = (to.0, to.1 - mode.tail);
            let stores = mode.store.iter().map(|store| (store, start, cut));
            let tails = mode.tail_store.iter().map(|store| (store, cut, to));
            for (&(place, amount), start, end) in stores.chain(tails) {
                if start != end {
                    let place = no(place);
                    self.built.engine.item(Item { start, end, amount, given, place });
                }
            }
        }
        sound
    }

    fn modes(&mut self, index: usize) -> bool {
        let rest = &self.model.rests[index];
        let lag = self.built.lag[index].unwrap_or(0);
        let low = rest.modes.iter().map(|mode| mode.cost(mode.min)).min().unwrap_or(0);
        let longest = self.built.engine.upper(lag * 2);
        let high = rest.modes.iter().map(|mode| mode.cost(mode.max.min(longest).max(mode.min)));
        let (high, least) = (high.max().unwrap_or(0), i64::from(DEAREST));
        let range = |cost: i64| i32::try_from(cost.clamp(-least, least)).unwrap_or(0);
        let domain = Domain::range(range(low), range(high));
        let cost = self.cost(domain, 1, Cost::Choice { rest: index });
        let mut chosen = Vec::new();
        let mut sound = true;
        let mut ways = Vec::new();
        for mode in &rest.modes {
            let variable = self.built.engine.variable(Domain::range(0, 1));
            let engine = &mut self.built.engine;
            let no = Lit::at_most(variable, 0);
            sound &= engine.clause(&[no, Lit::at_least(lag, mode.min)]);
            sound &= engine.clause(&[no, Lit::at_most(lag, mode.max)]);
            for &other in &chosen {
                sound &= engine.clause(&[no, Lit::at_most(other, 0)]);
            }
            chosen.push(variable);
            ways.push(Way { chosen: no.not(), base: mode.base, slope: mode.slope, min: mode.min });
            // Once chosen: cost >= base + slope * lag.
            let high = engine.upper(lag * 2);
            let gap = (mode.base + mode.slope * i64::from(high) - low).max(0);
            engine.row(&[(1, cost), (-mode.slope, lag), (-gap, variable)], mode.base - gap);
        }
        let some: Vec<Lit> = chosen.iter().map(|&mode| Lit::at_least(mode, 1)).collect();
        sound &= self.built.engine.clause(&some);
        self.built.engine.choice(Choice { cost, lag, ways });
        self.built.modes[index] = chosen;
        sound
    }

    /// What fits into a window, what is long for an evening, and what a limit allows.
    fn windows(&mut self) -> bool {
        for (index, &(_, from, to)) in self.model.windows.iter().enumerate() {
            let work = std::mem::take(&mut self.window[index]);
            let sum: i64 = work.iter().map(|term| term.0).sum();
            let size = i64::from(to - from);
            let less: Vec<(i64, u32)> = work.iter().map(|&(n, inside)| (-n, inside)).collect();
            if sum > size {
                self.built.engine.row(&less, -size);
            }
            let (soft, most) = (self.model.soft[index], sum.min(size));
            if self.model.evening > 0 && most > soft {
                let most = i32::try_from(most - soft).unwrap_or(i32::MAX / 4);
                let cost = Cost::Over { window: index };
                let over = self.cost(Domain::range(0, most), self.model.evening, cost);
                let mut terms = less;
                terms.push((1, over));
                self.built.engine.row(&terms, -soft);
            }
        }
        for (index, limit) in self.model.limits.iter().enumerate() {
            let work = &self.limit[index];
            if work.iter().map(|term| term.0).sum::<i64>() > i64::from(limit.most) {
                let less: Vec<(i64, u32)> = work.iter().map(|&(n, inside)| (-n, inside)).collect();
                self.built.engine.row(&less, -i64::from(limit.most));
            }
        }
        true
    }

    fn objective(mut self) -> Built {
        let engine = &mut self.built.engine;
        let (mut low, mut high) = (self.built.base, self.built.base);
        for &(weight, variable) in &self.built.terms {
            low += weight * i64::from(engine.lower(variable * 2));
            high += weight * i64::from(engine.upper(variable * 2));
        }
        self.built.limited = high > i64::from(DEAREST);
        let low = i32::try_from(low).unwrap_or(DEAREST).min(DEAREST);
        let objective = engine.variable(Domain::range(low, DEAREST));
        let mut terms: Vec<(i64, u32)> =
            self.built.terms.iter().map(|&(weight, variable)| (-weight, variable)).collect();
        terms.push((1, objective));
        engine.row(&terms, self.built.base);
        self.built.objective = objective;
        self.built
    }
}
