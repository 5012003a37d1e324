//! Large-neighbourhood search: take some tasks off the board, place them anew, keep what is better.
//!
//! In: a compiled model, a seed, perhaps an earlier plan. Out: the best placements so far. While no
//! complete placement is known, the tasks left out are what is worked on. Knows no problem file.

use super::board::{Board, NOWHERE, Place, UNPLACED};
use super::dive::{Diver, Lean, Style, Turn};
use super::model::{FAR, Model, NEVER};
use super::random::Random;

/// Placements of all tasks.
#[derive(Debug, Clone)]
pub(super) struct Snapshot {
    pub(super) places: Vec<Place>,
    pub(super) mode: Vec<u16>,
    pub(super) cost: i64,
    /// Tasks not placed.
    pub(super) left: usize,
}

/// Tasks taken off the board, and the modes that their rests had.
type Lifted = (Vec<(usize, Place)>, Vec<(usize, u16)>);

/// The search.
#[derive(Debug, Clone)]
pub(super) struct Search {
    pub(super) model: Model,
    diver: Diver,
    random: Random,
    pub(super) best: Snapshot,
    pub(super) evaluations: u64,
    movable: Vec<usize>,
    heat: u64,
    /// Cost at which the present life stands best, and neighbourhoods since then.
    life_cost: i64,
    life_age: u64,
    patience: u64,
    chosen: Vec<bool>,
    /// How often each task was left out: the longer, the more it matters.
    missed: Vec<u64>,
    /// Neighbourhoods left for an attempt at being less late.
    attempt: Option<u64>,
    /// Where the task at the heart of a neighbourhood shall go.
    wish: Option<(usize, i32, i32)>,
}

/// Neighbourhoods without gain after which a life ends.
const PATIENCE: u64 = 1_500;
/// Neighbourhoods of an incomplete placement without gain after which it is given up.
const DESPAIR: u64 = 500;
/// Of an attempt at being less late.
const ATTEMPT: u64 = 600;

impl Search {
    /// Constructs a first placement.
    pub(super) fn new(model: Model, seed: u64) -> Self {
        let mut diver = Diver::new(&model);
        // Contradictions are left to the placements: they show which tasks have to be left out.
        diver.spread.settle_root(&model);
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
            heat: 0,
            life_cost: NEVER,
            life_age: 0,
            patience: PATIENCE / 4,
            chosen: vec![false; n],
            missed: vec![1; n],
            attempt: None,
            wish: None,
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

    /// Whether every requirement holds once nothing is left out.
    pub(super) fn can_be_sound(&self) -> bool {
        !self.diver.board.strained
    }

    /// Complete first attempts, then the most complete one.
    pub(super) fn construct(&mut self) -> bool {
        let attempts = [
            (Turn::Latest, Lean::Late, false),
            (Turn::Earliest, Lean::Early, true),
            (Turn::Latest, Lean::Early, false),
            (Turn::Latest, Lean::Late, true),
            (Turn::Tightest, Lean::Late, false),
            (Turn::Dearest, Lean::Late, false),
            (Turn::Troubled, Lean::Late, false),
            (Turn::Troubled, Lean::Early, true),
        ];
        let all = self.movable.clone();
        for &task in &all {
            if self.diver.board.places[task].start != NOWHERE {
                self.diver.board.remove(&self.model, task);
            }
        }
        for (turn, lean, blind) in attempts {
            self.evaluations += 1;
            let style = Style {
                turn,
                lean,
                width: 6,
                nodes: all.len() * 2 + 60,
                noise: 0,
                skip: false,
                blind,
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
            blind: false,
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
            blind: false,
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
        diver.spread.root.clone_from(&self.diver.spread.root);
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
        }
    }

    /// Goes back to the best board.
    fn rewind(&mut self) {
        let mut diver = Diver::new(&self.model);
        diver.spread.root.clone_from(&self.diver.spread.root);
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
        if self.movable.is_empty() {
            return;
        }
        let left = self.left();
        if left.is_empty() {
            return self.polish();
        }
        if let Some(more) = self.attempt {
            if more == 0 {
                self.attempt = None;
                self.life_age = 0;
                self.patience = PATIENCE / 4;
                return self.rewind();
            }
            self.attempt = Some(more - 1);
        }
        self.repair(&left);
        if self.diver.left.is_empty() && self.attempt.take().is_some() {
            // The next attempt need not wait until all else is as good as it gets.
            self.patience = PATIENCE / 4;
            self.diver.spread.ceiling.fill(FAR);
        }
    }

    /// Forbids the lateness of one late task of the best plan, and more lateness of the others: what was
    /// late is now missing, and gets repaired. False if nothing is late enough to matter.
    fn attempt_less_late(&mut self) -> bool {
        let floor = |task: usize| self.model.tasks[task].due.max(self.diver.spread.root[task].0);
        let late = |task: usize, start: i32| {
            let over = i64::from(start - floor(task));
            if over > 0 { self.model.tasks[task].late.saturating_mul(over) } else { 0 }
        };
        let matters = self.best.cost / 50;
        let tasks: Vec<usize> = self
            .movable
            .iter()
            .copied()
            .filter(|&task| late(task, self.best.places[task].start) > matters)
            .collect();
        if tasks.is_empty() {
            return false;
        }
        let task = tasks[self.random.below(tasks.len())];
        let due = floor(task);
        self.rewind();
        let start = self.best.places[task].start;
        for &other in &self.movable {
            let of = &self.model.tasks[other];
            if of.late > 0 {
                self.diver.spread.ceiling[other] = self.best.places[other].start.max(of.due);
            }
        }
        let span = usize::try_from(start - due).unwrap_or(1);
        let ceiling = if self.random.chance(1, 2) {
            due
        } else {
            start - 1 - i32::try_from(self.random.below(span)).unwrap_or(0)
        };
        self.diver.spread.ceiling[task] = ceiling;
        self.diver.board.remove(&self.model, task);
        self.diver.spread.ignored[task] = true;
        self.missed.fill(1);
        self.attempt = Some(ATTEMPT);
        true
    }

    /// Takes tasks off and remembers how they were.
    fn lift(&mut self, off: &[usize]) -> Lifted {
        let board = &mut self.diver.board;
        let mut modes: Vec<(usize, u16)> = Vec::new();
        for &task in off {
            for &rest in &self.model.rests_of[task] {
                modes.push((rest, board.mode[rest]));
            }
        }
        let old: Vec<_> = off.iter().map(|&task| (task, board.places[task])).collect();
        for &task in off {
            board.remove(&self.model, task);
        }
        (old, modes)
    }

    /// Puts them back.
    fn put_back(&mut self, old: &[(usize, Place)], modes: &[(usize, u16)]) {
        for &(task, place) in old {
            self.diver.board.restore(&self.model, task, place, modes);
            let spread = &mut self.diver.spread;
            spread.ignored[task] = false;
            spread.low[task] = place.start;
            spread.high[task] = place.start;
        }
    }

    fn style(&mut self, tasks: usize, below: i64) -> Style {
        let turn = match self.random.below(8) {
            0 | 1 => Turn::Latest,
            2 => Turn::Earliest,
            3 | 4 => Turn::Tightest,
            5 => Turn::Troubled,
            _ => Turn::Dearest,
        };
        let wide = self.random.chance(1, 8);
        Style {
            turn,
            lean: if self.random.chance(1, 2) { Lean::Late } else { Lean::Early },
            width: if wide { 12 } else { 4 },
            nodes: if wide { 12 * tasks + 60 } else { 4 * tasks + 30 },
            noise: self.random.below(4),
            skip: false,
            blind: false,
            below,
        }
    }

    /// A neighbourhood of a complete placement.
    fn polish(&mut self) {
        let off = self.pick();
        let before = self.diver.board.cost;
        let (old, modes) = self.lift(&off);
        let below = before + self.slack();
        let style = self.style(off.len(), below);
        self.diver.wish = self.wish.take().filter(|wish| off.contains(&wish.0));
        if self.diver.dive(&self.model, &off, style, &mut self.random) {
            self.keep();
        } else {
            self.put_back(&old, &modes);
        }
        if self.diver.board.cost < self.life_cost {
            self.life_cost = self.diver.board.cost;
            self.life_age = 0;
        }
        self.life_age += 1;
        if self.life_age > self.patience {
            self.live_again();
        }
    }

    /// Ends a life that gains nothing: back to the best, or from scratch in another way.
    fn live_again(&mut self) {
        self.life_age = 0;
        self.heat = 0;
        self.patience = PATIENCE;
        if self.random.chance(2, 3) && self.attempt_less_late() {
            self.life_cost = NEVER;
            return;
        }
        if self.random.chance(1, 3) {
            self.rewind();
        } else {
            let all = self.movable.clone();
            for &task in &all {
                self.diver.board.remove(&self.model, task);
            }
            let mut style = self.style(all.len(), NEVER);
            style.noise += 1;
            if !self.diver.dive(&self.model, &all, style, &mut self.random) {
                self.rewind();
            }
        }
        self.life_cost = self.diver.board.cost;
    }

    /// A style for finding any placement at all.
    fn search_style(&mut self, tasks: usize) -> Style {
        let mut style = self.style(tasks, NEVER);
        style.noise = self.random.below(7);
        style.width = 6;
        if self.random.chance(1, 2) {
            style.blind = true;
            if self.random.chance(2, 3) {
                let forward = self.random.chance(1, 2);
                style.turn = if forward { Turn::Earliest } else { Turn::Latest };
                style.lean = if forward { Lean::Early } else { Lean::Late };
            }
        }
        style
    }

    /// Places everything anew in another way, as far as it goes.
    fn start_over(&mut self) {
        self.life_age = 0;
        self.missed.fill(1);
        let all = self.movable.clone();
        for &task in &all {
            if self.diver.board.places[task].start != NOWHERE {
                self.diver.board.remove(&self.model, task);
            }
        }
        let mut style = self.search_style(all.len());
        style.skip = true;
        style.nodes = usize::MAX;
        self.diver.dive(&self.model, &all, style, &mut self.random);
        self.keep();
    }

    /// A neighbourhood of an incomplete placement: makes room where one of the missing could go.
    fn repair(&mut self, left: &[usize]) {
        for &task in left {
            self.missed[task] += 1;
            self.diver.trouble[task] = self.diver.trouble[task].saturating_add(4);
        }
        self.life_age += 1;
        if self.life_age > DESPAIR && self.attempt.is_none() {
            return self.start_over();
        }
        let seed = left[self.random.below(left.len())];
        let mut off = Vec::new();
        let wide = self.random.chance(1, 3);
        let want = 3 + self.random.below(if wide { 40 } else { 16 });
        match self.random.below(4) {
            0 => self.pick_time(seed, want, &mut off),
            1 => self.pick_walk(seed, want, &mut off),
            _ => self.pick_blockers(seed, want, &mut off),
        }
        self.unmark(&off);
        let (old, modes) = self.lift(&off);
        off.extend_from_slice(left);
        let wish = self.wish.take().filter(|_| self.random.chance(1, 2));
        self.diver.wish = wish;
        let mut style = self.search_style(off.len());
        if self.diver.dive(&self.model, &off, style, &mut self.random) {
            self.keep();
            self.life_cost = self.diver.board.cost;
            self.life_age = 0;
            return;
        }
        // Not all fit: whether the ones left out matter less than before.
        style.skip = true;
        style.nodes = usize::MAX;
        style.turn = if self.random.chance(1, 3) { Turn::Troubled } else { style.turn };
        self.diver.wish = wish;
        self.diver.dive(&self.model, &off, style, &mut self.random);
        let weigh = |tasks: &[usize]| tasks.iter().map(|&task| self.missed[task]).sum::<u64>();
        let better = self.diver.left.len() < left.len();
        if weigh(&self.diver.left) <= weigh(left) || self.random.chance(1, 50) {
            if better && self.best.left > self.diver.left.len() {
                self.life_age = 0;
            }
            self.keep();
            return;
        }
        for &task in &off {
            if self.diver.board.places[task].start != NOWHERE {
                self.diver.board.remove(&self.model, task);
            }
            self.diver.spread.ignored[task] = true;
        }
        self.put_back(&old, &modes);
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
    fn pick(&mut self) -> Vec<usize> {
        let many = self.movable.len();
        let want = match self.random.below(12) {
            0 => 10 + self.random.below(30.min(many)),
            _ => 3 + self.random.below(18),
        };
        let mut out: Vec<usize> = Vec::with_capacity(want + 8);
        let seed = self.movable[self.random.below(many)];
        match self.random.below(8) {
            0 => self.pick_order(seed, want, &mut out),
            1 | 2 => self.pick_time(seed, want, &mut out),
            3 => self.pick_evenings(seed, want, &mut out),
            4 | 5 => {
                let seed = self.dear(seed);
                self.add_tied(seed, &mut out);
                self.pick_blockers(seed, want, &mut out);
                if self.random.chance(1, 4) {
                    self.wish = None;
                }
            }
            _ => self.pick_walk(seed, want, &mut out),
        }
        self.unmark(&out);
        out
    }

    fn unmark(&mut self, out: &[usize]) {
        for &task in out {
            self.chosen[task] = false;
        }
    }

    /// A task that costs much, by a small tournament.
    fn dear(&mut self, seed: usize) -> usize {
        let mut best = (self.expense(seed), seed);
        for _ in 0..3 {
            let other = self.movable[self.random.below(self.movable.len())];
            best = best.max((self.expense(other), other));
        }
        best.1
    }

    fn expense(&self, task: usize) -> i64 {
        let board = &self.diver.board;
        let start = board.places[task].start;
        if start == NOWHERE {
            return 0;
        }
        let mut sum = Board::times(&self.model, task, start);
        for &rest in &self.model.rests_of[task] {
            if let (Some(lag), Some(mode)) = (
                board.lag(&self.model, rest),
                self.model.rests[rest].modes.get(usize::from(board.mode[rest])),
            ) {
                sum += mode.cost(lag);
            }
        }
        sum
    }

    /// What stands in the way of a task at some other start.
    fn pick_blockers(&mut self, seed: usize, want: usize, out: &mut Vec<usize>) {
        let of = &self.model.tasks[seed];
        let length = of.length;
        let spots: Vec<(usize, i32, i32)> = of
            .ways
            .iter()
            .enumerate()
            .flat_map(|(way, of)| of.spots.iter().map(move |spot| (way, spot.from, spot.to)))
            .collect();
        if spots.is_empty() {
            return self.pick_walk(seed, want, out);
        }
        // Somewhere near its neighbours, most of the time.
        let near = self.model.arcs[seed]
            .iter()
            .map(|arc| self.diver.board.places[arc.other].start)
            .find(|&start| start != NOWHERE);
        let mut choice = spots[self.random.below(spots.len())];
        if let Some(near) = near {
            for _ in 0..self.random.below(4) {
                let other = spots[self.random.below(spots.len())];
                if (other.1 - near).abs() < (choice.1 - near).abs() {
                    choice = other;
                }
            }
        }
        let (way, from, to) = choice;
        self.wish = Some((seed, from, to));
        let span = usize::try_from(to - from).unwrap_or(0) + 1;
        let start = from + i32::try_from(self.random.below(span)).unwrap_or(0);
        let worker = self.model.tasks[seed].ways[way].worker;
        let limits = self.model.tasks[seed].ways[way].limits.clone();
        let limits: Vec<usize> = limits
            .into_iter()
            .filter(|&limit| {
                self.model.limits[limit].from <= start && start < self.model.limits[limit].to
            })
            .collect();
        let mut blockers: Vec<usize> = Vec::new();
        for &other in &self.movable {
            let place = self.diver.board.places[other];
            if place.start == NOWHERE || other == seed {
                continue;
            }
            let them = &self.model.tasks[other];
            let Some(their) = them.ways.get(place.way) else { continue };
            let overlaps =
                place.start < start + length + 1 && start < place.start + them.length + 1;
            let same_worker = worker != usize::MAX && their.worker == worker && overlaps;
            let same_limit = limits.iter().any(|limit| {
                let cap = &self.model.limits[*limit];
                their.limits.contains(limit) && cap.from <= place.start && place.start < cap.to
            });
            let same_use = overlaps
                && them
                    .uses
                    .iter()
                    .any(|(r, _)| self.model.tasks[seed].uses.iter().any(|(q, _)| q == r));
            if same_worker || same_limit || same_use {
                blockers.push(other);
            }
        }
        for task in blockers {
            if out.len() < want.max(8) {
                self.add_tied(task, out);
            }
        }
        // Its own chain must be able to follow.
        let mut task = seed;
        for _ in 0..want {
            if out.len() >= want {
                break;
            }
            let arcs = &self.model.arcs[task];
            if arcs.is_empty() {
                break;
            }
            task = arcs[self.random.below(arcs.len())].other;
            self.add_tied(task, out);
        }
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
}
