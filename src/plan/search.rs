//! Large-neighbourhood search: take some tasks off the board, place them anew, keep what is better.
//!
//! In: a compiled model, a seed, perhaps an earlier plan. Out: the best placements so far. While no
//! complete placement is known, the tasks left out are what is worked on. Knows no problem file.

use super::board::{Board, NOWHERE, Place, UNPLACED};
use super::dive::{Diver, Lean, Style, Turn};
use super::model::{Model, NEVER};
use super::random::Random;
use super::spread::Spread;

/// Placements of all tasks.
#[derive(Debug, Clone)]
pub(super) struct Snapshot {
    pub(super) places: Vec<Place>,
    pub(super) mode: Vec<u16>,
    pub(super) cost: i64,
    /// Tasks not placed.
    pub(super) left: usize,
}

/// The search.
#[derive(Debug, Clone)]
pub(super) struct Search {
    pub(super) model: Model,
    diver: Diver,
    random: Random,
    pub(super) best: Snapshot,
    pub(super) evaluations: u64,
    movable: Vec<usize>,
    /// Size of the next neighbourhood, adapted to what succeeds.
    size: usize,
    heat: u64,
    since_best: u64,
    chosen: Vec<bool>,
}

impl Search {
    /// Constructs a first placement.
    pub(super) fn new(model: Model, seed: u64) -> Self {
        let mut diver = Diver::new(&model);
        let movable: Vec<usize> =
            (0..model.tasks.len()).filter(|&task| !model.tasks[task].fixed).collect();
        for &task in &movable {
            diver.spread.ignored[task] = true;
        }
        let n = model.tasks.len();
        let mut search = Self {
            best: Snapshot { places: Vec::new(), mode: Vec::new(), cost: 0, left: 0 },
            diver,
            random: Random::new(seed),
            evaluations: 0,
            movable,
            size: 8,
            heat: 0,
            since_best: 0,
            chosen: vec![false; n],
            model,
        };
        search.best = search.snapshot();
        search
    }

    fn snapshot(&self) -> Snapshot {
        let board = &self.diver.board;
        Snapshot {
            places: board.places.clone(),
            mode: board.mode.clone(),
            cost: board.cost,
            left: board.places.iter().filter(|place| place.start == NOWHERE).count(),
        }
    }

    fn left(&self) -> Vec<usize> {
        let places = &self.diver.board.places;
        self.movable.iter().copied().filter(|&task| places[task].start == NOWHERE).collect()
    }

    /// Complete first attempts, then the most complete one.
    pub(super) fn construct(&mut self) -> bool {
        let attempts = [
            (Turn::Latest, Lean::Late),
            (Turn::Latest, Lean::Early),
            (Turn::Tightest, Lean::Late),
            (Turn::Dearest, Lean::Late),
            (Turn::Troubled, Lean::Late),
            (Turn::Troubled, Lean::Early),
            (Turn::Latest, Lean::Late),
            (Turn::Troubled, Lean::Late),
        ];
        let all = self.movable.clone();
        for &task in &all {
            if self.diver.board.places[task].start != NOWHERE {
                self.diver.board.remove(&self.model, task);
            }
        }
        for (index, (turn, lean)) in attempts.into_iter().enumerate() {
            self.evaluations += 1;
            let style = Style {
                turn,
                lean,
                width: 6,
                nodes: all.len() * 2 + 60,
                noise: if index < 5 { 0 } else { 2 },
                skip: false,
                below: NEVER,
            };
            if self.diver.dive(&self.model, &all, style, &mut self.random) {
                self.keep();
                return true;
            }
        }
        self.evaluations += 1;
        let style = Style {
            turn: Turn::Latest,
            lean: Lean::Late,
            width: 6,
            nodes: usize::MAX,
            noise: 0,
            skip: true,
            below: NEVER,
        };
        self.diver.dive(&self.model, &all, style, &mut self.random);
        self.keep();
        if self.diver.left.len() > self.best.left {
            self.rewind();
        }
        self.best.left == 0
    }

    /// Starts from given places as far as they hold, and completes them.
    pub(super) fn adopt(&mut self, places: &[Place]) {
        let mut rest = Vec::new();
        for &task in &self.movable.clone() {
            let place = places.get(task).copied().unwrap_or(UNPLACED);
            if place.start == NOWHERE
                || !self.fits(task, place)
                || !self.diver.board.place(&self.model, task, place)
            {
                rest.push(task);
                continue;
            }
            let spread = &mut self.diver.spread;
            spread.ignored[task] = false;
            spread.low[task] = place.start;
            spread.high[task] = place.start;
        }
        self.keep();
        if rest.is_empty() {
            return;
        }
        self.evaluations += 1;
        let style = Style {
            turn: Turn::Tightest,
            lean: Lean::Late,
            width: 6,
            nodes: 4_000,
            noise: 0,
            skip: false,
            below: NEVER,
        };
        if !self.diver.dive(&self.model, &rest, style, &mut self.random) {
            self.diver.dive(&self.model, &rest, Style { skip: true, ..style }, &mut self.random);
        }
        self.keep();
    }

    /// Takes over complete placements if they keep every requirement here too.
    pub(super) fn adopt_whole(&mut self, other: &Snapshot) -> bool {
        let mut diver = Diver::new(&self.model);
        std::mem::swap(&mut diver, &mut self.diver);
        for &task in &self.movable.clone() {
            let place = other.places[task];
            if !self.fits(task, place) || !self.diver.board.place(&self.model, task, place) {
                self.diver = diver;
                return false;
            }
            self.diver.spread.low[task] = place.start;
            self.diver.spread.high[task] = place.start;
        }
        self.keep();
        true
    }

    /// Whether a place is allowed by windows, worker and the lags to placed neighbours.
    fn fits(&self, task: usize, place: Place) -> bool {
        let of = &self.model.tasks[task];
        let Some(way) = of.ways.get(place.way) else { return false };
        let in_spot = way.spots.iter().any(|spot| {
            spot.from <= place.start && place.start <= spot.to && spot.window == place.window
        });
        let board = &self.diver.board;
        in_spot
            && (way.worker == usize::MAX
                || board.blocked(way.worker, place.start, of.length).is_none())
            && self.model.arcs[task].iter().all(|arc| {
                let there = board.places[arc.other].start;
                there == NOWHERE || (arc.min..=arc.max).contains(&(there - place.start))
            })
    }

    /// Remembers the board if it is the best so far.
    fn keep(&mut self) {
        let now = self.snapshot();
        if (now.left, now.cost) < (self.best.left, self.best.cost) {
            self.best = now;
            self.since_best = 0;
        }
    }

    /// Goes back to the best board.
    fn rewind(&mut self) {
        let mut diver = Diver::new(&self.model);
        std::mem::swap(&mut diver.trouble, &mut self.diver.trouble);
        for &task in &self.movable {
            let place = self.best.places[task];
            let spread = &mut diver.spread;
            spread.ignored[task] = place.start == NOWHERE;
            if place.start != NOWHERE {
                spread.low[task] = place.start;
                spread.high[task] = place.start;
            }
        }
        for &task in &self.movable {
            let place = self.best.places[task];
            if place.start != NOWHERE {
                diver.board.restore_from(&self.model, task, place, &self.best.mode);
            }
        }
        self.diver = diver;
    }

    /// One neighbourhood.
    pub(super) fn improve(&mut self) {
        self.evaluations += 1;
        self.since_best += 1;
        if self.movable.is_empty() {
            return;
        }
        let left = self.left();
        let mut off = self.pick(&left);
        let before = self.diver.board.cost;
        let mut old: Vec<(usize, Place)> = Vec::with_capacity(off.len());
        let mut modes: Vec<(usize, u16)> = Vec::new();
        for &task in &off {
            for &rest in &self.model.rests_of[task] {
                modes.push((rest, self.diver.board.mode[rest]));
            }
            old.push((task, self.diver.board.places[task]));
        }
        for &(task, _) in &old {
            self.diver.board.remove(&self.model, task);
        }
        let small = off.len();
        off.extend_from_slice(&left);
        let slack = if left.is_empty() { self.slack() } else { NEVER - before };
        let turn = match self.random.below(8) {
            0 | 1 => Turn::Latest,
            2 => Turn::Earliest,
            3 | 4 => Turn::Tightest,
            5 => Turn::Troubled,
            _ => Turn::Dearest,
        };
        let style = Style {
            turn,
            lean: if self.random.chance(1, 2) { Lean::Late } else { Lean::Early },
            width: 4,
            nodes: 4 * off.len() + 30,
            noise: self.random.below(4),
            skip: false,
            below: before + slack,
        };
        let mut done = self.diver.dive(&self.model, &off, style, &mut self.random);
        if !done && !left.is_empty() {
            // Not all fit: whether fewer are left out than before.
            let style = Style {
                skip: true,
                nodes: usize::MAX,
                below: NEVER,
                turn: Turn::Troubled,
                ..style
            };
            self.diver.dive(&self.model, &off, style, &mut self.random);
            let now = self.diver.left.len();
            done = now < left.len() || (now == left.len() && self.random.chance(1, 2));
            if !done {
                for &task in &off {
                    if self.diver.board.places[task].start != NOWHERE {
                        self.diver.board.remove(&self.model, task);
                        self.diver.spread.ignored[task] = true;
                    }
                }
            }
        }
        if done {
            if self.size > 4 && small >= self.size && self.random.chance(1, 4) {
                self.size -= 1;
            }
            self.keep();
        } else {
            for &(task, place) in &old {
                self.diver.board.restore(&self.model, task, place, &modes);
                let spread = &mut self.diver.spread;
                spread.ignored[task] = false;
                spread.low[task] = place.start;
                spread.high[task] = place.start;
            }
        }
        if self.left().is_empty()
            && self.since_best > 3_000
            && self.diver.board.cost > self.best.cost
        {
            self.since_best = 0;
            self.rewind();
        }
    }

    /// How much dearer a neighbour may be; falls in cycles.
    fn slack(&mut self) -> i64 {
        self.heat += 1;
        let cycle = 2_000;
        let left = cycle - self.heat % cycle;
        let scale = (self.best.cost.max(100) / 100).max(1);
        let most = scale * i64::try_from(left).unwrap_or(0) / i64::try_from(cycle).unwrap_or(1);
        let most = usize::try_from(most).unwrap_or(0) + 1;
        if self.random.chance(1, 2) {
            1
        } else {
            1 + i64::try_from(self.random.below(most)).unwrap_or(0)
        }
    }

    /// Chooses what to take off.
    fn pick(&mut self, left: &[usize]) -> Vec<usize> {
        let want = 3 + self.random.below(self.size.max(4) + 10);
        let mut out: Vec<usize> = Vec::with_capacity(want + 8);
        let seed = match left {
            [] => self.movable[self.random.below(self.movable.len())],
            _ => left[self.random.below(left.len())],
        };
        match self.random.below(6) {
            0 => self.pick_order(seed, want, &mut out),
            1 | 2 => self.pick_time(seed, want, &mut out),
            3 => self.pick_evenings(seed, want, &mut out),
            _ => self.pick_walk(seed, want, &mut out),
        }
        for task in &out {
            self.chosen[*task] = false;
        }
        out
    }

    fn add(&mut self, task: usize, out: &mut Vec<usize>) {
        let free = !self.model.tasks[task].fixed && !self.chosen[task];
        if !free || self.diver.board.places[task].start == NOWHERE {
            return;
        }
        self.chosen[task] = true;
        out.push(task);
    }

    /// Adds a task with all that is tied to it closely.
    fn add_tied(&mut self, task: usize, out: &mut Vec<usize>) {
        let mut index = out.len();
        self.add(task, out);
        while index < out.len() {
            for k in 0..self.model.arcs[out[index]].len() {
                let arc = self.model.arcs[out[index]][k];
                if arc.max - arc.min <= 4 {
                    self.add(arc.other, out);
                }
            }
            index += 1;
        }
    }

    fn pick_order(&mut self, seed: usize, want: usize, out: &mut Vec<usize>) {
        let order = self.model.order_of[self.model.tasks[seed].activity];
        let mine: Vec<usize> = self
            .movable
            .iter()
            .copied()
            .filter(|&task| self.model.order_of[self.model.tasks[task].activity] == order)
            .collect();
        let start = if mine.len() <= want + 6 { 0 } else { self.random.below(mine.len() - want) };
        for &task in mine.iter().skip(start).take(want + 6) {
            self.add(task, out);
        }
    }

    fn middle(&mut self, seed: usize) -> i32 {
        let start = self.diver.board.places[seed].start;
        if start != NOWHERE {
            return start;
        }
        let domain = &self.model.tasks[seed].domain;
        let spot = domain.get(self.random.below(domain.len().max(1))).copied().unwrap_or((0, 0));
        i32::midpoint(spot.0, spot.1)
    }

    fn pick_time(&mut self, seed: usize, want: usize, out: &mut Vec<usize>) {
        let middle = self.middle(seed);
        let mut near: Vec<(i32, usize)> = self
            .movable
            .iter()
            .map(|&task| {
                ((self.diver.board.places[task].start.max(-1_000_000) - middle).abs(), task)
            })
            .collect();
        near.sort_unstable();
        for &(_, task) in near.iter().take(want * 2) {
            if out.len() >= want {
                break;
            }
            self.add_tied(task, out);
        }
    }

    /// All hands-on work of one window and of one or two others.
    fn pick_evenings(&mut self, seed: usize, want: usize, out: &mut Vec<usize>) {
        let mut task = seed;
        for _ in 0..3 {
            let window = self.diver.board.places[task].window;
            if window == usize::MAX {
                self.add_tied(task, out);
            } else {
                for k in 0..self.movable.len() {
                    let other = self.movable[k];
                    if self.diver.board.places[other].window == window {
                        self.add_tied(other, out);
                    }
                }
            }
            if out.len() >= want {
                break;
            }
            task = self.movable[self.random.below(self.movable.len())];
        }
    }

    /// A walk along links and neighbours in time.
    fn pick_walk(&mut self, seed: usize, want: usize, out: &mut Vec<usize>) {
        let mut task = seed;
        for _ in 0..want * 3 {
            self.add_tied(task, out);
            if out.len() >= want {
                break;
            }
            let arcs = &self.model.arcs[task];
            if !arcs.is_empty() && self.random.chance(3, 4) {
                task = arcs[self.random.below(arcs.len())].other;
            } else {
                let here = self.middle(task);
                let worker = |task: usize| self.diver.board.places[task].window != usize::MAX;
                let near = self
                    .movable
                    .iter()
                    .copied()
                    .filter(|&other| !self.chosen[other] && worker(other))
                    .min_by_key(|&other| {
                        (self.diver.board.places[other].start.max(-1_000_000) - here).abs()
                    });
                task = near.unwrap_or(seed);
            }
        }
    }

    /// The best placements, completed come what may: what found no place goes where it does least harm.
    pub(super) fn completed(&self) -> Snapshot {
        let mut whole = self.clone();
        whole.rewind();
        let model = &self.model;
        let board = &mut whole.diver.board;
        loop {
            // Next is the one with most placed neighbours, so that chains grow from what is there.
            let next = (0..model.tasks.len())
                .filter(|&task| board.places[task].start == NOWHERE)
                .max_by_key(|&task| {
                    let near = model.arcs[task]
                        .iter()
                        .filter(|arc| board.places[arc.other].start != NOWHERE)
                        .count();
                    (near, std::cmp::Reverse(task))
                });
            let Some(task) = next else { break };
            let mut best: Option<(i64, Place)> = None;
            let of = &model.tasks[task];
            let mut consider = |place: Place| {
                let harm = board.harm(model, task, place);
                if best.is_none_or(|(least, _)| harm < least) {
                    best = Some((harm, place));
                }
            };
            for (way, spots) in of.ways.iter().enumerate() {
                for spot in &spots.spots {
                    for start in spot.from..=spot.to {
                        consider(Place { start, way, window: spot.window });
                    }
                }
            }
            if of.ways.iter().all(|way| way.spots.is_empty()) {
                for start in 0..=(model.horizon - of.length).max(0) {
                    consider(Place { start, way: 0, window: usize::MAX });
                }
            }
            let Some((_, place)) = best else { break };
            board.press(model, task, place);
        }
        whole.snapshot()
    }

    /// The least that any complete placement costs, by bounds alone; none if they contradict.
    pub(super) fn root_bound(model: &Model) -> Option<i64> {
        let mut spread = Spread::new(model);
        for task in 0..model.tasks.len() {
            if !spread.fit(model, None, task) {
                return None;
            }
            spread.push(task);
        }
        if model.broken || !spread.run(model, None) {
            return None;
        }
        let mut sum = 0;
        for rest in 0..model.rests.len() {
            let of = &model.rests[rest];
            let range = |task: usize| (spread.low[task], spread.high[task]);
            let bound = Board::rest_bound(model, rest, range(of.from), range(of.to));
            sum += if bound >= NEVER { 0 } else { bound };
        }
        for task in 0..model.tasks.len() {
            sum += Board::times_bound(model, task, spread.low[task], spread.high[task]);
        }
        Some(sum)
    }
}
