//! Large-neighbourhood search under simulated annealing: take some tasks off the board, place them anew,
//! keep what is not much dearer.
//!
//! In: a compiled model, a seed, perhaps an earlier plan. Out: the best placements so far. While no
//! complete placement is known, the tasks left out are what is worked on. Knows no problem file.

mod cooling;
mod orders;
mod pick;

use cooling::Cooling;
use orders::Orders;

use super::board::{NOWHERE, Place, UNPLACED};
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
    /// Neighbourhoods of an incomplete placement since it last gained.
    life_age: u64,
    cooling: Cooling,
    chosen: Vec<bool>,
    /// How often each task was left out: the longer, the more it matters.
    missed: Vec<u64>,
    /// Neighbourhoods left for an attempt at being less late.
    attempt: Option<u64>,
    /// Such attempts that came to nothing since the last that did not.
    failures: usize,
    /// The neighbourhood consists of whole orders.
    whole: bool,
    /// The search over whole orders under way.
    orders: Option<Orders>,
    /// Where the task at the heart of a neighbourhood shall go.
    wish: Option<(usize, i32, i32)>,
}

/// Neighbourhoods of an incomplete placement without gain after which it is given up.
const DESPAIR: u64 = 500;
/// Neighbourhoods of whole orders in one go,
const REORDERS: u64 = 400;
/// with more tasks than this: fewer are better placed from scratch.
const LARGE: usize = 100;
/// Of an attempt at being less late.
const ATTEMPT: u64 = 600;

/// What a neighbour typically costs more or less: a day's shift of one thing at its mean price, or, where
/// only lateness costs, two slots of it.
fn typical(model: &Model) -> i64 {
    const SHIFT: i64 = 128;
    let mean = |prices: Vec<i64>| {
        let count = i64::try_from(prices.len()).unwrap_or(1);
        prices.iter().sum::<i64>().checked_div(count)
    };
    let rests = model.rests.iter().filter_map(|rest| rest.modes.first()).map(|mode| mode.slope);
    let moves = model.tasks.iter().map(|task| task.stability);
    let slopes = mean(rests.chain(moves).filter(|&slope| slope > 0).collect());
    let late = || mean(model.tasks.iter().map(|task| task.late).filter(|&late| late > 0).collect());
    slopes.map_or_else(|| late().map_or(1, |late| late * 2), |slope| slope * SHIFT).max(1)
}

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
            life_age: 0,
            cooling: Cooling::new(typical(&model)),
            chosen: vec![false; n],
            missed: vec![1; n],
            attempt: None,
            failures: 0,
            whole: false,
            orders: None,
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
        self.take_off(&all);
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
                grouped: false,
                below: NEVER,
            };
            if self.diver.dive(&self.model, &all, style, &mut self.random) {
                self.keep();
                return true;
            }
        }
        // What found no place is squeezed in as far as it goes.
        let style = Style {
            turn: Turn::Latest,
            lean: Lean::Late,
            width: 6,
            nodes: usize::MAX,
            noise: 0,
            skip: true,
            blind: false,
            grouped: false,
            below: NEVER,
        };
        self.evaluations += 2;
        if self.serve_all().complete() {
            self.keep();
            return true;
        }
        let left = self.left();
        self.diver.dive(&self.model, &left, style, &mut self.random);
        self.keep();
        self.take_off(&all);
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
            grouped: false,
            below: NEVER,
        };
        if !self.diver.dive(&self.model, &rest, style, &mut self.random) {
            self.diver.dive(&self.model, &rest, Style { skip: true, ..style }, &mut self.random);
        }
        self.keep();
    }

    /// Puts what stands elsewhere than in `places` back there, together with what is tied to it, as far
    /// as that breaks nothing: a repair moves more than it has to.
    pub(super) fn go_home(&mut self, places: &[Place]) {
        if self.best.left > 0 {
            return;
        }
        self.rewind();
        let (mut off, mut again) = (Vec::new(), true);
        while again {
            again = false;
            for index in 0..self.movable.len() {
                let task = self.movable[index];
                if places[task].start == NOWHERE || places[task] == self.diver.board.places[task] {
                    continue;
                }
                for tied in [false, true] {
                    off.clear();
                    if tied {
                        self.add_tied(task, &mut off);
                        self.unmark(&off);
                        off.retain(|&other| places[other].start != NOWHERE);
                    } else {
                        off.push(task);
                    }
                    if self.go_home_together(&off, places) {
                        again = true;
                        break;
                    }
                }
            }
        }
        // Whatever it costs: that is what a warm start is for.
        self.best = self.snapshot();
    }

    /// Puts these tasks where `places` has them; false, and nothing changed, if that breaks something.
    fn go_home_together(&mut self, off: &[usize], places: &[Place]) -> bool {
        let (old, modes) = self.lift(off);
        for (done, &task) in off.iter().enumerate() {
            let place = places[task];
            if !self.fits(task, place) || !self.diver.board.place(&self.model, task, place) {
                for &placed in &off[..done] {
                    self.diver.board.remove(&self.model, placed);
                }
                self.put_back(&old, &modes);
                return false;
            }
            self.diver.spread.low[task] = place.start;
            self.diver.spread.high[task] = place.start;
        }
        true
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
        if let Some(mut orders) = self.orders.take() {
            if self.reorder(&mut orders) {
                self.orders = Some(orders);
            } else {
                self.rewind();
            }
            return;
        }
        let left = self.left();
        if left.is_empty() {
            return self.polish();
        }
        if let Some(more) = self.attempt {
            if more == 0 {
                self.attempt = None;
                self.failures += 1;
                self.life_age = 0;
                return self.rewind();
            }
            self.attempt = Some(more - 1);
        }
        self.repair(&left);
        if self.diver.left.is_empty() && self.attempt.take().is_some() {
            self.failures = 0;
            self.cooling.brief();
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
            grouped: false,
            below,
        }
    }

    /// A neighbourhood of a complete placement.
    fn polish(&mut self) {
        if self.cooling.over() {
            self.live_again();
            return;
        }
        let off = self.pick();
        let before = self.diver.board.cost;
        let (old, modes) = self.lift(&off);
        let below = before + 1 + self.cooling.step(&mut self.random);
        let mut style = self.style(off.len(), below);
        if self.whole {
            self.shuffle_orders();
            style.grouped = true;
        }
        self.diver.wish = self.wish.take().filter(|wish| off.contains(&wish.0));
        if self.diver.dive(&self.model, &off, style, &mut self.random) {
            self.keep();
        } else {
            self.put_back(&old, &modes);
        }
    }

    /// A random turn for each order.
    fn shuffle_orders(&mut self) {
        for turn in &mut self.diver.group {
            *turn = u32::try_from(self.random.below(1 << 20)).unwrap_or(0);
        }
    }

    /// Begins a new cooling: from the best, or less late, or with whole orders, or from scratch in another way.
    fn live_again(&mut self) {
        self.cooling.again();
        if self.random.chance(1, 2 + self.failures) && self.attempt_less_late() {
            return;
        }
        if self.random.chance(2, 3) {
            self.rewind();
        } else if self.movable.len() > LARGE {
            self.rewind();
            self.orders = Some(self.orders(REORDERS));
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
