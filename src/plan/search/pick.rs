//! Neighbourhoods: which tasks to take off together.
//!
//! In: the search's board. Out: placed tasks that are not pinned, each once, and perhaps a wish for where
//! one of them shall go. Decides nothing about what is kept.

use super::Search;
use crate::arrange::Arrange;
use crate::board::{Board, NOWHERE};

impl Search {
    /// Chooses what to take off.
    pub(super) fn pick(&mut self) -> Vec<usize> {
        let many = self.movable.len();
        self.whole = false;
        if self.random.chance(1, 20) {
            self.whole = true;
            let mut out = Vec::new();
            self.pick_orders(&mut out);
            self.unmark(&out);
            return out;
        }
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

    pub(super) fn unmark(&mut self, out: &[usize]) {
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
    pub(super) fn pick_blockers(&mut self, seed: usize, want: usize, out: &mut Vec<usize>) {
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
    pub(super) fn add_tied(&mut self, task: usize, out: &mut Vec<usize>) {
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

    /// Two whole orders, or three small ones, that are at work at the same time.
    fn pick_orders(&mut self, out: &mut Vec<usize>) {
        let mut task = self.movable[self.random.below(self.movable.len())];
        for _ in 0..3 {
            let order = self.model.order_of[self.model.tasks[task].activity];
            let start = self.diver.board.places[task].start;
            for k in 0..self.movable.len() {
                let other = self.movable[k];
                if self.model.order_of[self.model.tasks[other].activity] == order {
                    self.add(other, out);
                }
            }
            if out.len() > 40 {
                break;
            }
            let mut best = (i32::MAX, task);
            for _ in 0..6 {
                let other = self.movable[self.random.below(self.movable.len())];
                if !self.chosen[other] {
                    best = best.min(((self.diver.board.places[other].start - start).abs(), other));
                }
            }
            task = best.1;
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

    pub(super) fn pick_time(&mut self, seed: usize, want: usize, out: &mut Vec<usize>) {
        let middle = self.middle(seed);
        let mut near: Vec<(i32, usize)> = self
            .movable
            .iter()
            .map(|&task| {
                ((self.diver.board.places[task].start.max(-1_000_000) - middle).abs(), task)
            })
            .collect();
        near.arrange();
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
    pub(super) fn pick_walk(&mut self, seed: usize, want: usize, out: &mut Vec<usize>) {
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
}
