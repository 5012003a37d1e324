//! Places open tasks one by one, cheapest first, and goes back when stuck or too dear.
//!
//! In: a board with some tasks open, and a cost to stay below. Out: all of them placed, or nothing
//! changed. Serial schedule generation with bounds and limited backtracking; backward or forward in
//! time as the caller says. Knows no problem file.

use super::board::{Board, NO_MODE, NOWHERE, Place};
use super::model::{Model, NEVER, at};
use super::random::Random;
use super::spread::Spread;
use crate::arrange::Arrange;

/// Which open task is placed next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Turn {
    /// The one with the latest end: backward from the handovers.
    Latest,
    /// The one with the earliest start.
    Earliest,
    /// The one with the least room to move.
    Tightest,
    /// By the weights of past failures, then the least room.
    Troubled,
    /// The one that costs most to move away.
    Dearest,
}

/// Which of equally dear starts comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lean {
    Early,
    Late,
}

/// How a dive goes about it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Style {
    pub(super) turn: Turn,
    pub(super) lean: Lean,
    /// Starts tried for one task before giving up on it.
    pub(super) width: usize,
    /// Placements tried in all.
    pub(super) nodes: usize,
    /// Of 16 choices, how many take the second best start first.
    pub(super) noise: usize,
    /// Tasks without any start are left out instead of going back.
    pub(super) skip: bool,
    /// Starts are tried in the order of time, whatever they cost: for the sake of finding any.
    pub(super) blind: bool,
    /// Orders are placed one after the other, by the diver's `group`.
    pub(super) grouped: bool,
    /// The cost to stay below.
    pub(super) below: i64,
}

#[derive(Debug, Clone, Copy)]
struct Candidate {
    cost: i64,
    tie: i32,
    place: Place,
}

/// Board, bounds and memory of failures.
#[derive(Debug, Clone)]
pub(super) struct Diver {
    pub(super) board: Board,
    pub(super) spread: Spread,
    /// Failures seen at each task.
    pub(super) trouble: Vec<u32>,
    /// Random order that breaks ties between tasks.
    rank: Vec<u32>,
    /// Turn of each order in grouped dives.
    pub(super) group: Vec<u32>,
    /// Open tasks of the running dive.
    open: Vec<usize>,
    is_open: Vec<bool>,
    /// Rests that touch an open task.
    touched: Vec<usize>,
    is_touched: Vec<bool>,
    nodes: usize,
    pool: Vec<Vec<Candidate>>,
    /// Tasks left out by the last dive.
    pub(super) left: Vec<usize>,
    /// A task that the next dive must start within these slots.
    pub(super) wish: Option<(usize, i32, i32)>,
}

impl Diver {
    pub(super) fn new(model: &Model) -> Self {
        let n = model.tasks.len();
        Self {
            board: Board::new(model),
            spread: Spread::new(model),
            trouble: vec![0; n],
            rank: (0..).take(n).collect(),
            group: vec![0; model.orders],
            open: Vec::new(),
            is_open: vec![false; n],
            touched: Vec::new(),
            is_touched: vec![false; model.rests.len()],
            nodes: 0,
            pool: Vec::new(),
            left: Vec::new(),
            wish: None,
        }
    }

    /// Places all of `tasks`, none of which is placed. On failure nothing is placed, unless the style
    /// skips: then `left` names what is not.
    pub(super) fn dive(
        &mut self,
        model: &Model,
        tasks: &[usize],
        style: Style,
        random: &mut Random,
    ) -> bool {
        self.open.clear();
        self.open.extend_from_slice(tasks);
        self.left.clear();
        self.nodes = style.nodes;
        self.spread.reset();
        for &task in tasks {
            self.is_open[task] = true;
            self.spread.open(task);
            self.rank[task] = u32::try_from(random.below(1 << 20)).unwrap_or(0);
            for &rest in &model.rests_of[task] {
                if !self.is_touched[rest] {
                    self.is_touched[rest] = true;
                    self.touched.push(rest);
                }
            }
        }
        let done = self.prepare(model, tasks, style.skip) && {
            let floor = self.board.cost.saturating_add(self.ahead(model));
            floor < style.below && self.step(model, style, random, floor)
        };
        for &task in tasks {
            self.is_open[task] = false;
            if self.board.places[task].start == NOWHERE {
                self.left.push(task);
                self.spread.ignored[task] = true;
                self.spread.open(task);
            }
        }
        for rest in self.touched.drain(..) {
            self.is_touched[rest] = false;
        }
        self.spread.keep();
        done
    }

    /// First bounds of all open tasks.
    fn prepare(&mut self, model: &Model, tasks: &[usize], skip: bool) -> bool {
        for &task in tasks {
            self.spread.ignored[task] = false;
        }
        if let Some((task, from, to)) = self.wish.take() {
            self.spread.low[task] = self.spread.low[task].max(from);
            self.spread.high[task] = self.spread.high[task].min(to);
        }
        for &task in tasks {
            if !self.spread.fit(model, Some(&self.board), task) {
                if !skip {
                    self.trouble[task] += 1;
                    return false;
                }
                self.spread.ignored[task] = true;
                continue;
            }
            self.spread.push(task);
            for arc in &model.arcs[task] {
                if self.board.places[arc.other].start != NOWHERE {
                    self.spread.push(arc.other);
                }
            }
        }
        loop {
            let here = self.spread.here();
            if self.spread.run(model, Some(&self.board)) {
                break;
            }
            let failed = self.spread.failed;
            self.trouble[failed] += 1;
            if !skip {
                return false;
            }
            // Give up the task at which it showed, or an open neighbour of it, and start over.
            let culprit = if self.is_open[failed] && !self.spread.ignored[failed] {
                Some(failed)
            } else {
                model.arcs[failed]
                    .iter()
                    .map(|arc| arc.other)
                    .find(|&other| self.is_open[other] && !self.spread.ignored[other])
            };
            let Some(culprit) = culprit else { break };
            self.spread.back(here.min(self.spread.here()));
            self.spread.back(0);
            self.spread.ignored[culprit] = true;
            for &task in tasks {
                if self.spread.ignored[task] {
                    continue;
                }
                if !self.spread.fit(model, Some(&self.board), task) {
                    self.spread.ignored[task] = true;
                    continue;
                }
                self.spread.push(task);
                for arc in &model.arcs[task] {
                    if self.board.places[arc.other].start != NOWHERE {
                        self.spread.push(arc.other);
                    }
                }
            }
        }
        let ignored = &self.spread.ignored;
        self.open.retain(|&task| !ignored[task]);
        true
    }

    /// What the open rests and times will cost at least.
    fn ahead(&self, model: &Model) -> i64 {
        let mut sum = 0;
        for &rest in &self.touched {
            if self.board.mode[rest] != NO_MODE {
                continue;
            }
            let of = &model.rests[rest];
            if self.spread.ignored[of.from] || self.spread.ignored[of.to] {
                continue;
            }
            let bound = Board::rest_bound(
                model,
                rest,
                (self.spread.low[of.from], self.spread.high[of.from]),
                (self.spread.low[of.to], self.spread.high[of.to]),
            );
            if bound >= NEVER {
                return NEVER;
            }
            sum += bound;
        }
        for &task in &self.open {
            sum += Board::times_bound(model, task, self.spread.low[task], self.spread.high[task]);
        }
        sum
    }

    fn choose(&self, model: &Model, style: Style) -> Option<usize> {
        let key = |index: usize| {
            let task = self.open[index];
            let (low, high) = (i64::from(self.spread.low[task]), i64::from(self.spread.high[task]));
            let rank = i64::from(self.rank[task]);
            let room = high - low;
            if room == 0 {
                return (0, i64::MIN, rank);
            }
            let length = i64::from(model.tasks[task].length);
            let group = if style.grouped {
                self.group[model.order_of[model.tasks[task].activity]]
            } else {
                0
            };
            let (key, tie) = match style.turn {
                Turn::Latest => (-(high + length), rank),
                Turn::Earliest => (low, rank),
                Turn::Tightest => (room, rank),
                Turn::Troubled => {
                    let trouble = i64::from(self.trouble[task]);
                    ((room + 1) * 64 / (trouble + 1), rank)
                }
                Turn::Dearest => (-self.pull(model, task), -high),
            };
            (group, key, tie)
        };
        (0..self.open.len()).min_by_key(|&index| key(index))
    }

    /// Cost of a slot of distance from what is placed already.
    fn pull(&self, model: &Model, task: usize) -> i64 {
        let mut sum = model.tasks[task].late.min(1 << 30) + model.tasks[task].stability;
        for &rest in &model.rests_of[task] {
            let of = &model.rests[rest];
            let other = if of.from == task { of.to } else { of.from };
            if self.board.places[other].start != NOWHERE {
                sum += of.modes.first().map_or(0, |mode| mode.slope) + 1;
            }
        }
        for arc in &model.arcs[task] {
            if self.board.places[arc.other].start != NOWHERE {
                sum += 1;
            }
        }
        sum
    }

    fn step(&mut self, model: &Model, style: Style, random: &mut Random, floor: i64) -> bool {
        let Some(index) = self.choose(model, style) else {
            return self.board.cost < style.below;
        };
        let task = self.open.swap_remove(index);
        let mut candidates = self.pool.pop().unwrap_or_default();
        candidates.clear();
        self.candidates(model, task, style, random, &mut candidates);
        let done = self.try_in_turn(model, task, style, random, floor, &mut candidates);
        self.pool.push(candidates);
        if !done {
            self.trouble[task] += 1;
            if style.skip {
                self.spread.ignored[task] = true;
                return self.step(model, style, random, floor);
            }
            let end = self.open.len();
            self.open.push(task);
            // Where it was, so that the caller's order of tasks is undisturbed.
            self.open.swap(index, end);
        }
        done
    }

    /// Looks one placement ahead: a candidate that raises the least total cost is put back until it is
    /// known that the others raise it as much.
    fn try_in_turn(
        &mut self,
        model: &Model,
        task: usize,
        style: Style,
        random: &mut Random,
        floor: i64,
        candidates: &mut Vec<Candidate>,
    ) -> bool {
        candidates.truncate(style.width);
        let mut waiting = 0;
        for index in 0..candidates.len() {
            let candidate = candidates[index];
            if self.nodes == 0 {
                return false;
            }
            self.nodes -= 1;
            if self.board.cost + candidate.cost >= style.below {
                continue;
            }
            let here = self.spread.here();
            let Some(total) = self.probe(model, task, candidate.place, style.below) else {
                continue;
            };
            if total <= floor || style.blind || candidates.len() == 1 {
                if self.step(model, style, random, total) {
                    return true;
                }
            } else {
                candidates[waiting] = Candidate { cost: total, ..candidate };
                waiting += 1;
            }
            self.spread.back(here);
            self.board.remove(model, task);
        }
        candidates.truncate(waiting);
        candidates.arrange_by_key(|candidate| candidate.cost);
        for &candidate in candidates.iter() {
            if self.nodes == 0 {
                return false;
            }
            let here = self.spread.here();
            let Some(total) = self.probe(model, task, candidate.place, style.below) else {
                continue;
            };
            if self.step(model, style, random, total) {
                return true;
            }
            self.spread.back(here);
            self.board.remove(model, task);
        }
        false
    }

    /// Places a task and passes bounds on: the least total cost from here, or nothing changed if that is
    /// too dear or impossible.
    fn probe(&mut self, model: &Model, task: usize, place: Place, below: i64) -> Option<i64> {
        if !self.board.place(model, task, place) {
            return None;
        }
        let here = self.spread.here();
        if self.spread.narrow(model, None, task, place.start, place.start)
            && self.spread.run(model, Some(&self.board))
        {
            let total = self.board.cost.saturating_add(self.ahead(model));
            if total < below {
                return Some(total);
            }
        } else {
            self.spread.reset();
            let failed = self.spread.failed;
            self.trouble[failed] += 1;
        }
        self.spread.back(here);
        self.board.remove(model, task);
        None
    }

    /// All starts worth trying, cheapest first: ends of the runs of possible starts, and the kinks of
    /// the cost inside them.
    fn candidates(
        &self,
        model: &Model,
        task: usize,
        style: Style,
        random: &mut Random,
        out: &mut Vec<Candidate>,
    ) {
        let of = &model.tasks[task];
        let (low, high) = (self.spread.low[task], self.spread.high[task]);
        let (low, high) = self.board.squeeze(model, task, low, high);
        if low > high {
            return;
        }
        let kinks = self.kinks(model, task);
        for (way_index, way) in of.ways.iter().enumerate() {
            let first = way.spots.partition_point(|spot| spot.to < low);
            for spot in way.spots.iter().skip(first) {
                if spot.from > high {
                    break;
                }
                let (from, to) = (spot.from.max(low), spot.to.min(high));
                let evening = if way.worker == usize::MAX {
                    0
                } else {
                    self.board.evening(model, spot.window, of.length)
                };
                let mut run = |start: i32, end: i32| {
                    let mut add = |start: i32| {
                        if !self.board.within_limits(model, &way.limits, start, of.length) {
                            return;
                        }
                        let cost = self.price(model, task, start)
                            + self.board.beyond_limits(model, &way.limits, start, of.length);
                        if cost < NEVER {
                            let tie = if style.lean == Lean::Late { -start } else { start };
                            let place = Place { start, way: way_index, window: spot.window };
                            out.push(Candidate { cost: cost + evening, tie, place });
                        }
                    };
                    add(start);
                    if end > start {
                        add(end);
                        for &kink in kinks.iter().flatten() {
                            if start < kink && kink < end {
                                add(kink);
                            }
                        }
                        for &limit in &way.limits {
                            let cap = &model.limits[limit];
                            for edge in [cap.from - 1, cap.from, cap.to - 1, cap.to] {
                                if start < edge && edge < end {
                                    add(edge);
                                }
                            }
                        }
                    }
                };
                self.runs(model, task, way.worker, from, to, &mut run);
            }
        }
        if style.blind {
            out.arrange_by_key(|c| (c.tie, c.cost, c.place.way));
        } else {
            out.arrange_by_key(|c| (c.cost, c.tie, c.place.way));
        }
        out.dedup_by_key(|c| c.place);
        if style.noise > 0 && out.len() > 1 && random.chance(style.noise, 16) {
            let far = if random.chance(1, 4) { 12 } else { 3 };
            let pick = 1 + random.below((out.len() - 1).min(far));
            out.swap(0, pick);
        }
    }

    /// Runs of starts within `from..=to` in which the worker is free and the equipment has room.
    fn runs(
        &self,
        model: &Model,
        task: usize,
        worker: usize,
        from: i32,
        to: i32,
        run: &mut dyn FnMut(i32, i32),
    ) {
        let of = &model.tasks[task];
        if of.length == 0 || (worker == usize::MAX && of.uses.is_empty()) {
            return run(from, to);
        }
        let mut start = from;
        while start <= to {
            if let Some(slot) = self.last_obstacle(of.length, &of.uses, worker, start) {
                start = slot + 1;
                continue;
            }
            // Free from here: extend slot by slot.
            let mut end = start;
            while end < to && !self.obstacle(&of.uses, worker, end + of.length) {
                end += 1;
            }
            run(start, end);
            start = end + 1 + of.length;
            // The obstacle is at `end + length`, so nothing between fits.
        }
    }

    fn last_obstacle(
        &self,
        length: i32,
        uses: &[(usize, i32)],
        worker: usize,
        start: i32,
    ) -> Option<i32> {
        let mut last =
            if worker == usize::MAX { None } else { self.board.blocked(worker, start, length) };
        for &(resource, amount) in uses {
            let slots = &self.board.slots(resource)[at(start)..at(start + length)];
            if let Some(bad) = slots.iter().rposition(|&left| left < amount) {
                last = last.max(Some(start + i32::try_from(bad).unwrap_or(0)));
            }
        }
        last
    }

    fn obstacle(&self, uses: &[(usize, i32)], worker: usize, slot: i32) -> bool {
        (worker != usize::MAX && self.board.blocked(worker, slot, 1).is_some())
            || uses.iter().any(|&(resource, amount)| {
                self.board.slots(resource).get(at(slot)).is_none_or(|&left| left < amount)
            })
    }

    /// Starts at which the cost may bend.
    fn kinks(&self, model: &Model, task: usize) -> [Option<i32>; 12] {
        let of = &model.tasks[task];
        let mut out = [None; 12];
        let mut used = 0;
        let mut add = |start: i32| {
            if used < out.len() {
                out[used] = Some(start);
                used += 1;
            }
        };
        if of.late > 0 {
            add(of.due);
        }
        if of.beyond > 0 {
            add(of.last);
        }
        if of.stability > 0 {
            add(of.shown);
        }
        for &rest in &model.rests_of[task] {
            let of = &model.rests[rest];
            let other = if of.from == task { of.to } else { of.from };
            let there = self.board.places[other].start;
            if there == NOWHERE || other == task {
                continue;
            }
            for mode in &of.modes {
                let several = of.modes.len() > 1;
                for lag in [mode.min, mode.max.min(mode.soft_max)] {
                    if (several || mode.excess > 0) && lag.abs() < model.horizon {
                        add(if of.from == task {
                            there + of.offset - lag
                        } else {
                            there - of.offset + lag
                        });
                    }
                }
            }
        }
        out
    }

    /// Cost of a start: exact towards what is placed, at least this towards what is open.
    #[inline]
    fn price(&self, model: &Model, task: usize, start: i32) -> i64 {
        let mut sum = Board::times(model, task, start);
        for &rest in &model.rests_of[task] {
            let of = &model.rests[rest];
            let here = (start, start);
            let bound = if of.from == of.to {
                of.bound(of.offset, of.offset)
            } else if of.from == task {
                if self.spread.ignored[of.to] {
                    continue;
                }
                Board::rest_bound(
                    model,
                    rest,
                    here,
                    (self.spread.low[of.to], self.spread.high[of.to]),
                )
            } else {
                if self.spread.ignored[of.from] {
                    continue;
                }
                Board::rest_bound(
                    model,
                    rest,
                    (self.spread.low[of.from], self.spread.high[of.from]),
                    here,
                )
            };
            if bound >= NEVER {
                return NEVER;
            }
            sum += bound;
        }
        sum
    }
}
