//! A planning problem as a linear relaxation.
//!
//! In: the model compiled for proofs and the cells of its tasks. Out: variables with bounds, rows that every sound
//! plan keeps, and costs that no sound plan undercuts. Tasks at a fixed lag share one start. For each cell a
//! variable says whether the task starts in it; what a task costs in a cell is told apart by it.

use super::super::super::model::{Cap, Model, NEVER};
use super::cells::Cell;
use super::places::{Stay, stays};
use super::{Relaxation, Row};

/// What stands for what.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    /// `start(task) = variable + offset`.
    pub(super) start: Vec<(usize, i64)>,
    /// Variable of each cell of each task.
    pub(super) cell: Vec<Vec<usize>>,
    pub(super) cells: Vec<Vec<Cell>>,
    /// Of the cost, beside the variables'.
    pub(super) constant: i64,
    pub(super) rows: Vec<(Row, bool)>,
    pub(super) low: Vec<i64>,
    pub(super) high: Vec<i64>,
    pub(super) costs: Vec<(usize, i64)>,
    /// Variables that say whether a rest is in a mode, and about what the mode costs.
    pub(super) modes: Vec<(usize, i64)>,
    /// For each rest and mode its variable, where modes are told apart.
    pub(super) chosen: Vec<Vec<Option<usize>>>,
    /// What takes room in places.
    pub(super) stays: Vec<Stay>,
    /// Where pieces of work share a room.
    pub(super) rooms: Vec<Room>,
    /// Variables that say how far a task starts beyond a slot.
    pub(super) beyond: Vec<(usize, usize, i64)>,
    /// Variables that say how far the work of a window goes beyond a decent evening.
    pub(super) overs: Vec<(usize, usize)>,
    /// For each window the task, the cell's index and its variable of what may lie in it.
    pub(super) work: Vec<Vec<(usize, usize, usize)>>,
}

/// Pieces (variable, length) that together are at most `most` long.
#[derive(Debug, Clone)]
pub(super) struct Room {
    pub(super) pieces: Vec<(usize, i64)>,
    pub(super) most: i64,
}

impl Layout {
    fn variable(&mut self, low: i64, high: i64, cost: i64) -> usize {
        self.low.push(low);
        self.high.push(high);
        if cost != 0 {
            self.costs.push((self.low.len() - 1, cost));
        }
        self.low.len() - 1
    }

    fn at_least(&mut self, terms: Vec<(usize, i64)>, least: i64) {
        self.rows.push((Row { terms, least }, false));
    }

    fn at_most(&mut self, terms: &[(usize, i64)], most: i64) {
        let terms = terms.iter().map(|&(variable, a)| (variable, -a)).collect();
        self.at_least(terms, -most);
    }

    fn equal(&mut self, terms: Vec<(usize, i64)>, value: i64) {
        self.rows.push((Row { terms, least: value }, true));
    }

    /// Bounds of a task's start.
    pub(super) fn range(&self, task: usize) -> (i64, i64) {
        let (variable, offset) = self.start[task];
        (self.low[variable] + offset, self.high[variable] + offset)
    }

    /// The problem as rows; none if a rest has no way to be.
    pub(super) fn new(model: &Model, cells: Vec<Vec<Cell>>) -> Option<Self> {
        let mut layout = Self {
            start: Vec::new(),
            cell: Vec::new(),
            cells,
            constant: 0,
            rows: Vec::new(),
            low: Vec::new(),
            high: Vec::new(),
            costs: Vec::new(),
            modes: Vec::new(),
            chosen: vec![Vec::new(); model.rests.len()],
            stays: Vec::new(),
            rooms: Vec::new(),
            beyond: Vec::new(),
            overs: Vec::new(),
            work: Vec::new(),
        };
        layout.starts(model)?;
        layout.choices();
        layout.lags(model);
        for task in 0..model.tasks.len() {
            layout.times(model, task);
        }
        for rest in 0..model.rests.len() {
            layout.rest(model, rest)?;
        }
        layout.windows(model);
        layout.limits(model);
        layout.stays = stays(model, &layout);
        Some(layout)
    }

    /// The relaxation with these rows.
    pub(super) fn relaxation(&self) -> Relaxation {
        let mut out = Relaxation::new(&self.low, &self.high, &[], &self.costs);
        for (row, equal) in &self.rows {
            if *equal {
                out.add_equation(&row.terms, row.least);
            } else {
                out.add_row(row);
            }
        }
        out
    }

    /// One start for tasks at fixed lags.
    fn starts(&mut self, model: &Model) -> Option<()> {
        let n = model.tasks.len();
        let mut leader: Vec<(usize, i64)> = vec![(usize::MAX, 0); n];
        for first in 0..n {
            if leader[first].0 != usize::MAX {
                continue;
            }
            leader[first] = (first, 0);
            let mut members = vec![first];
            let mut next = 0;
            while let Some(&task) = members.get(next) {
                next += 1;
                for arc in model.arcs[task].iter().filter(|arc| arc.min == arc.max) {
                    if leader[arc.other].0 == usize::MAX {
                        leader[arc.other] = (first, leader[task].1 + i64::from(arc.min));
                        members.push(arc.other);
                    }
                }
            }
            let (mut low, mut high) = (i64::MIN, i64::MAX);
            for &task in &members {
                let of = &self.cells[task];
                let least = of.iter().map(|cell| cell.from).min()?;
                let most = of.iter().map(|cell| cell.to).max()?;
                low = low.max(i64::from(least) - leader[task].1);
                high = high.min(i64::from(most) - leader[task].1);
            }
            if low > high {
                return None;
            }
            let variable = self.variable(low, high, 0);
            for task in members {
                leader[task].0 = variable;
                // Found by `leader[first].0 == first` no more; marked by any number but MAX.
            }
        }
        self.start = leader;
        Some(())
    }

    /// One cell for each task, and the start in it.
    fn choices(&mut self) {
        for task in 0..self.cells.len() {
            let cells = self.cells[task].clone();
            let only = cells.len() == 1;
            let of: Vec<usize> =
                cells.iter().map(|_| self.variable(i64::from(only), 1, 0)).collect();
            if !only {
                self.equal(of.iter().map(|&variable| (variable, 1)).collect(), 1);
                let (start, offset) = self.start[task];
                let shared = self.low[start];
                let base = shared + offset;
                let mut low = vec![(start, 1)];
                let mut high = vec![(start, -1)];
                for (cell, &variable) in cells.iter().zip(&of) {
                    low.push((variable, base - i64::from(cell.from)));
                    high.push((variable, i64::from(cell.to) - base));
                }
                self.at_least(low, shared);
                self.at_least(high, -shared);
            }
            self.cell.push(of);
        }
    }

    /// `start(to) - start(from) >= least`, unless their bounds say so.
    fn lag(&mut self, from: usize, to: usize, least: i64) {
        let ((a, a_offset), (b, b_offset)) = (self.start[from], self.start[to]);
        if self.range(to).0 - self.range(from).1 < least {
            self.at_least(vec![(b, 1), (a, -1)], least + a_offset - b_offset);
        }
    }

    fn lags(&mut self, model: &Model) {
        for (task, arcs) in model.arcs.iter().enumerate() {
            for arc in arcs {
                // Each lag is listed at both its ends; what one calls its greatest is the other's least.
                self.lag(task, arc.other, i64::from(arc.min));
            }
        }
    }

    /// Lateness and distance from the plan shown, told apart by cells.
    fn times(&mut self, model: &Model, task: usize) {
        let of = &model.tasks[task];
        let (low, high) = self.range(task);
        let (start, offset) = self.start[task];
        if of.late > 0 {
            self.beyond(task, i64::from(of.due), of.late);
        }
        let shown = i64::from(of.shown);
        if of.stability > 0 {
            if high <= shown {
                self.costs.push((start, -of.stability));
                self.constant += of.stability * (shown - offset);
            } else if low >= shown {
                self.costs.push((start, of.stability));
                self.constant += of.stability * (offset - shown);
            } else {
                // |S - shown| = 2 · max(0, S - shown) - (S - shown)
                self.costs.push((start, -of.stability));
                self.constant += of.stability * (shown - offset);
                self.beyond(task, shown, 2 * of.stability);
            }
        }
    }

    /// Costs `price · max(0, start(task) - due)`.
    fn beyond(&mut self, task: usize, due: i64, price: i64) {
        let (low, high) = self.range(task);
        let (start, offset) = self.start[task];
        if high <= due {
            return;
        }
        if low >= due {
            self.costs.push((start, price));
            self.constant += price * (offset - due);
            return;
        }
        let over = self.variable(0, high - due, price);
        self.beyond.push((over, task, due));
        // over >= S - due + Σ over earlier cells of what is missing to it.
        let mut after = vec![(over, 1), (start, -1)];
        let mut only = vec![(over, 1)];
        for (cell, &variable) in self.cells[task].iter().zip(&self.cell[task]) {
            let (from, to) = (i64::from(cell.from), i64::from(cell.to));
            if to < due {
                after.push((variable, to - due));
            }
            if from > due {
                only.push((variable, due - from));
            }
        }
        self.at_least(after, offset - due);
        if only.len() > 1 {
            self.at_least(only, 0);
        }
    }

    fn rest(&mut self, model: &Model, rest: usize) -> Option<()> {
        let of = &model.rests[rest];
        let offset = i64::from(of.offset);
        let ((a, a_offset), (b, b_offset)) = (self.start[of.from], self.start[of.to]);
        let fixed = offset + b_offset - a_offset;
        let (low, high) = if a == b {
            (fixed, fixed)
        } else {
            let (from, to) = (self.range(of.from), self.range(of.to));
            (to.0 - from.1 + offset, to.1 - from.0 + offset)
        };
        let fits = |min: i32, max: i32| i64::from(min) <= high && i64::from(max) >= low;
        let modes: Vec<_> = of.modes.iter().filter(|mode| fits(mode.min, mode.max)).collect();
        // What is priced beyond a soft maximum only adds to the cost and is left out.
        if let [mode] = modes.as_slice() {
            self.constant += mode.base + mode.slope * fixed;
            if a != b && mode.slope != 0 {
                self.costs.push((b, mode.slope));
                self.costs.push((a, -mode.slope));
            }
            if a != b && of.modes.len() > 1 {
                self.lag(of.from, of.to, i64::from(mode.min) - offset);
                self.lag(of.to, of.from, offset - i64::from(mode.max));
            }
            return Some(());
        }
        if modes.is_empty() {
            return None;
        }
        if a == b {
            let lag = i32::try_from(fixed).ok()?;
            let least = of.bound(lag, lag);
            self.constant += least;
            return (least < NEVER).then_some(());
        }
        let mut choice = Vec::new();
        let mut sum = vec![(b, -1), (a, 1)];
        for mode in &of.modes {
            if !fits(mode.min, mode.max) {
                self.chosen[rest].push(None);
                continue;
            }
            let (min, max) = (i64::from(mode.min).max(low), i64::from(mode.max).min(high));
            let chosen = self.variable(0, 1, mode.base + mode.slope * min);
            let extra = self.variable(0, max - min, mode.slope);
            self.modes.push((chosen, 1 + mode.base.abs() + mode.slope * min.max(0)));
            self.chosen[rest].push(Some(chosen));
            choice.push((chosen, 1));
            sum.push((chosen, min));
            sum.push((extra, 1));
            self.at_least(vec![(chosen, max - min), (extra, -1)], 0);
        }
        self.equal(choice, 1);
        self.equal(sum, fixed);
        Some(())
    }

    /// Work in each window: as much as fits, and what goes beyond a decent evening.
    fn windows(&mut self, model: &Model) {
        self.work = vec![Vec::new(); model.windows.len()];
        for (task, of) in model.tasks.iter().enumerate() {
            for (index, (cell, &variable)) in
                self.cells[task].iter().zip(&self.cell[task]).enumerate()
            {
                if cell.window != usize::MAX && of.length > 0 {
                    self.work[cell.window].push((task, index, variable));
                }
            }
        }
        for window in 0..model.windows.len() {
            let work: Vec<(usize, i64)> = self.work[window]
                .iter()
                .map(|&(task, _, variable)| (variable, i64::from(model.tasks[task].length)))
                .collect();
            let (_, from, to) = model.windows[window];
            let length = i64::from(to - from);
            let total: i64 = work.iter().map(|&(_, length)| length).sum();
            if total > length {
                self.at_most(&work, length);
                self.rooms.push(Room { pieces: work.clone(), most: length });
            }
            let soft = model.soft[window];
            if model.evening > 0 && soft < length && total > soft {
                let over = self.variable(0, length - soft, model.evening);
                self.overs.push((over, window));
                let mut terms: Vec<_> = work.iter().map(|&(x, length)| (x, -length)).collect();
                terms.push((over, 1));
                self.at_least(terms, -soft);
            }
        }
    }

    /// Work that counts in a limit for certain.
    fn limits(&mut self, model: &Model) {
        let mut counted: Vec<Vec<(usize, i64)>> = vec![Vec::new(); model.limits.len()];
        for (task, of) in model.tasks.iter().enumerate() {
            for (cell, &variable) in self.cells[task].iter().zip(&self.cell[task]) {
                for &limit in &of.ways[cell.way].limits {
                    let Cap { from, to, .. } = model.limits[limit];
                    if from <= cell.from && cell.to < to {
                        counted[limit].push((variable, i64::from(of.length)));
                    }
                }
            }
        }
        for (limit, counted) in counted.into_iter().enumerate() {
            let most = i64::from(model.limits[limit].most);
            if counted.iter().map(|&(_, length)| length).sum::<i64>() > most {
                self.at_most(&counted, most);
                self.rooms.push(Room { pieces: counted, most });
            }
        }
    }
}
