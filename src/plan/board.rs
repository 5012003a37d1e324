//! What is placed: room left, who is busy, what it costs. Places and takes back in any order.
//!
//! In: the model and single placements. Out: yes or no, and the running cost. Knows no strategy.

use super::model::{FAR, Model, NEVER, RestMode, at};
use crate::arrange::Arrange;

/// Not placed.
pub(super) const NOWHERE: i32 = i32::MIN;
/// No mode in force.
pub(super) const NO_MODE: u16 = u16::MAX;

/// Where a task is: start, way, and the window of its spot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Place {
    pub(super) start: i32,
    pub(super) way: usize,
    pub(super) window: usize,
}

/// Nowhere.
pub(super) const UNPLACED: Place = Place { start: NOWHERE, way: 0, window: usize::MAX };

/// The state of all placements.
#[derive(Debug, Clone)]
pub(super) struct Board {
    horizon: usize,
    pub(super) places: Vec<Place>,
    /// Chosen mode of each rest whose two ends are placed.
    pub(super) mode: Vec<u16>,
    pub(super) room: Vec<i32>,
    /// One bit for each slot, `words` for each worker.
    busy: Vec<u64>,
    words: usize,
    pub(super) worked: Vec<i64>,
    counted: Vec<i32>,
    /// Of everything placed.
    pub(super) cost: i64,
    /// The pinned tasks break something among themselves.
    pub(super) strained: bool,
}

impl Board {
    /// Nothing placed but the pinned tasks, for which room is made where there is none.
    pub(super) fn new(model: &Model) -> Self {
        let words = at(model.horizon) / 64 + 3;
        let mut board = Self {
            horizon: at(model.horizon),
            places: vec![UNPLACED; model.tasks.len()],
            mode: vec![NO_MODE; model.rests.len()],
            room: model.room.clone(),
            busy: vec![0; words * model.workers],
            words,
            worked: vec![0; model.soft.len()],
            counted: vec![0; model.limits.len()],
            cost: 0,
            strained: model.strained,
        };
        for (task, of) in model.tasks.iter().enumerate() {
            if of.fixed {
                board.force(model, task);
            }
        }
        for left in &mut board.room {
            *left = (*left).max(0);
        }
        board
    }

    /// Places a pinned task by its first way that is free, or by its first way.
    fn force(&mut self, model: &Model, task: usize) {
        let of = &model.tasks[task];
        let Some(start) = of.domain.first().map(|spot| spot.0) else { return };
        let free = |way: usize| {
            let worker = of.ways[way].worker;
            worker == usize::MAX || self.blocked(worker, start, of.length).is_none()
        };
        let way = (0..of.ways.len()).find(|&way| free(way)).unwrap_or(0);
        let window =
            of.ways.get(way).and_then(|way| way.spots.first()).map_or(usize::MAX, |s| s.window);
        let clash = !free(way);
        let good = self.press(model, task, Place { start, way, window });
        self.strained |= clash || !good;
    }

    /// Places a task come what may; its rests take the modes that come nearest.
    /// True if that breaks nothing but perhaps lags.
    pub(super) fn press(&mut self, model: &Model, task: usize, place: Place) -> bool {
        let mut good = self.put(model, task, place);
        for &rest in &model.rests_of[task] {
            let Some(lag) = self.lag(model, rest) else { continue };
            let modes = &model.rests[rest].modes;
            let off = |mode: &RestMode| (mode.min - lag).max(lag - mode.max).max(0);
            let mut ranked: Vec<usize> = (0..modes.len()).collect();
            ranked.arrange_by_key(|&index| (off(&modes[index]), modes[index].cost(lag)));
            let fitting = ranked.iter().copied().find(|&index| {
                let fits =
                    off(&modes[index]) == 0 && self.open(model, rest, index, &modes[index], lag);
                if !fits && self.mode[rest] != NO_MODE {
                    self.close(model, rest);
                }
                fits
            });
            if let (None, Some(&nearest)) = (fitting, ranked.first()) {
                good = false;
                self.open(model, rest, nearest, &modes[nearest], lag);
            }
        }
        good
    }

    /// Lag of a rest whose ends are both placed.
    pub(super) fn lag(&self, model: &Model, rest: usize) -> Option<i32> {
        let of = &model.rests[rest];
        let (from, to) = (self.places[of.from].start, self.places[of.to].start);
        (from != NOWHERE && to != NOWHERE).then(|| to - from + of.offset)
    }

    /// The last busy slot of a worker within `[start, start + length)`.
    #[inline]
    pub(super) fn blocked(&self, worker: usize, start: i32, length: i32) -> Option<i32> {
        let base = worker * self.words;
        let mut done = length;
        // From the end backwards, 64 slots at a time.
        while done > 0 {
            let take = done.min(64);
            let from = start + done - take;
            let (word, shift) = (base + at(from) / 64, at(from) % 64);
            let mut bits = self.busy[word] >> shift;
            if shift > 0 {
                bits |= self.busy[word + 1] << (64 - shift);
            }
            if take < 64 {
                bits &= (1 << take) - 1;
            }
            if bits != 0 {
                return Some(from + 63 - i32::try_from(bits.leading_zeros()).unwrap_or(0));
            }
            done -= take;
        }
        None
    }

    /// The first busy slot of a worker within `[start, start + length)`.
    #[inline]
    pub(super) fn blocked_first(&self, worker: usize, start: i32, length: i32) -> Option<i32> {
        let base = worker * self.words;
        let mut done = 0;
        while done < length {
            let take = (length - done).min(64);
            let from = start + done;
            let (word, shift) = (base + at(from) / 64, at(from) % 64);
            let mut bits = self.busy[word] >> shift;
            if shift > 0 {
                bits |= self.busy[word + 1] << (64 - shift);
            }
            if take < 64 {
                bits &= (1 << take) - 1;
            }
            if bits != 0 {
                return Some(from + i32::try_from(bits.trailing_zeros()).unwrap_or(0));
            }
            done += take;
        }
        None
    }

    fn mark(&mut self, worker: usize, start: i32, length: i32, busy: bool) {
        let base = worker * self.words;
        for slot in at(start)..at(start + length).min(self.words * 64) {
            let bit = 1 << (slot % 64);
            if busy {
                self.busy[base + slot / 64] |= bit;
            } else {
                self.busy[base + slot / 64] &= !bit;
            }
        }
    }

    /// Takes room; true if enough was there.
    #[inline]
    fn take(&mut self, resource: usize, from: i32, to: i32, amount: i32) -> bool {
        if from >= to {
            return true;
        }
        let base = resource * self.horizon;
        let (from, to) = (base + at(from.max(0)), base + at(to.max(0)).min(self.horizon));
        let mut least = 0;
        for left in &mut self.room[from..to.max(from)] {
            *left -= amount;
            least = least.min(*left);
        }
        least >= 0
    }

    /// The slots of a resource.
    #[inline]
    pub(super) fn slots(&self, resource: usize) -> &[i32] {
        &self.room[resource * self.horizon..(resource + 1) * self.horizon]
    }

    /// Cost of one more stretch of work in a window.
    #[inline]
    pub(super) fn evening(&self, model: &Model, window: usize, length: i32) -> i64 {
        if window == usize::MAX {
            return 0;
        }
        let (done, soft) = (self.worked[window], model.soft[window]);
        model.evening * ((done + i64::from(length) - soft).max(0) - (done - soft).max(0))
    }

    /// Whether the limits allow this start.
    #[inline]
    pub(super) fn within_limits(
        &self,
        model: &Model,
        limits: &[usize],
        start: i32,
        length: i32,
    ) -> bool {
        model.limit_price > 0
            || limits.iter().all(|&limit| {
                let cap = &model.limits[limit];
                start < cap.from || start >= cap.to || self.counted[limit] + length <= cap.most
            })
    }

    /// Cost of the limits that this start would exceed further, where that is allowed.
    #[inline]
    pub(super) fn beyond_limits(
        &self,
        model: &Model,
        limits: &[usize],
        start: i32,
        length: i32,
    ) -> i64 {
        if model.limit_price == 0 {
            return 0;
        }
        let mut over = 0;
        for &limit in limits {
            let cap = &model.limits[limit];
            if cap.from <= start && start < cap.to {
                let (done, most) = (self.counted[limit], cap.most);
                over += i64::from((done + length - most).max(0) - (done - most).max(0));
            }
        }
        model.limit_price * over
    }

    /// Cost of a task's own times.
    #[inline]
    pub(super) fn times(model: &Model, task: usize, start: i32) -> i64 {
        let of = &model.tasks[task];
        let late = if start > of.due { of.late * i64::from(start - of.due) } else { 0 };
        let late =
            if start > of.last { late + of.beyond * i64::from(start - of.last) } else { late };
        late + of.stability * i64::from((start - of.shown).abs())
    }

    /// Everything about a placement but its rests; true if there was room.
    fn put(&mut self, model: &Model, task: usize, place: Place) -> bool {
        let of = &model.tasks[task];
        let mut good = true;
        for &(resource, amount) in &of.uses {
            good &= self.take(resource, place.start, place.start + of.length, amount);
        }
        if let Some(way) = of.ways.get(place.way).filter(|way| way.worker != usize::MAX) {
            self.mark(way.worker, place.start, of.length, true);
            self.cost += self.beyond_limits(model, &way.limits, place.start, of.length);
            for &limit in &way.limits {
                let cap = &model.limits[limit];
                if cap.from <= place.start && place.start < cap.to {
                    self.counted[limit] += of.length;
                    good &= model.limit_price > 0 || self.counted[limit] <= cap.most;
                }
            }
            self.cost += self.evening(model, place.window, of.length);
            if place.window != usize::MAX {
                self.worked[place.window] += i64::from(of.length);
            }
        }
        self.cost += Self::times(model, task, place.start);
        self.places[task] = place;
        good
    }

    /// Puts a rest's mode in force. What takes room runs from an end to a start.
    fn open(
        &mut self,
        model: &Model,
        rest: usize,
        index: usize,
        mode: &RestMode,
        lag: i32,
    ) -> bool {
        let of = &model.rests[rest];
        let (from, to) =
            (self.places[of.from].start + model.tasks[of.from].length, self.places[of.to].start);
        let mut good = true;
        for &(resource, amount) in &mode.store {
            good &= self.take(resource, from, to - mode.tail, amount);
        }
        for &(resource, amount) in &mode.tail_store {
            good &= self.take(resource, to - mode.tail, to, amount);
        }
        self.cost += mode.cost(lag);
        self.mode[rest] = u16::try_from(index).unwrap_or(0);
        good
    }

    fn close(&mut self, model: &Model, rest: usize) {
        let index = usize::from(self.mode[rest]);
        let Some(mode) = model.rests[rest].modes.get(index) else { return };
        let Some(lag) = self.lag(model, rest) else { return };
        let of = &model.rests[rest];
        let (from, to) =
            (self.places[of.from].start + model.tasks[of.from].length, self.places[of.to].start);
        for &(resource, amount) in &mode.store {
            self.take(resource, from, to - mode.tail, -amount);
        }
        for &(resource, amount) in &mode.tail_store {
            self.take(resource, to - mode.tail, to, -amount);
        }
        self.cost -= mode.cost(lag);
        self.mode[rest] = NO_MODE;
    }

    /// How badly a start would break lags, overlap other work and overfill places: the lower the better.
    /// Only towards what is placed.
    pub(super) fn harm(&self, model: &Model, task: usize, place: Place) -> i64 {
        let (of, start) = (&model.tasks[task], place.start);
        let end = (start + of.length).min(model.horizon);
        let mut sum = 0;
        for arc in &model.arcs[task] {
            let there = self.places[arc.other].start;
            if there == NOWHERE {
                continue;
            }
            let lag = there - start;
            // Before its ingredients are there nothing can be made; a rest too long is the lesser evil.
            let (short, long) = ((arc.min - lag).max(0), (lag - arc.max).max(0));
            let ahead = arc.min >= 0;
            sum += i64::from(if ahead { short } else { long }) * 12
                + i64::from(if ahead { long } else { short }) * 2;
        }
        if let Some(way) = of.ways.get(place.way).filter(|way| way.worker != usize::MAX) {
            for slot in start..end {
                sum += i64::from(self.blocked(way.worker, slot, 1).is_some()) * 8;
            }
            sum += i64::from(!self.within_limits(model, &way.limits, start, of.length)) * 4;
        }
        for &(resource, amount) in &of.uses {
            for &left in &self.slots(resource)[at(start)..at(end)] {
                sum += i64::from(left < amount) * 4;
            }
        }
        for &rest in &model.rests_of[task] {
            let of = &model.rests[rest];
            let (Some(mode), true) = (of.modes.first(), of.from != of.to) else { continue };
            let other = self.places[if of.from == task { of.to } else { of.from }];
            if other.start == NOWHERE {
                continue;
            }
            let (from, to) = if of.from == task {
                (end, other.start)
            } else {
                (other.start + model.tasks[of.from].length, start)
            };
            for &(resource, amount) in &mode.store {
                let slots = self.slots(resource);
                let to = at(to.max(from)).min(slots.len());
                for &left in &slots[at(from).min(to)..to] {
                    sum += i64::from(left < amount);
                }
            }
        }
        sum
    }

    /// Places a task that its worker and lags allow; chooses the cheapest modes that have room.
    /// False, and nothing changed, if there is none.
    pub(super) fn place(&mut self, model: &Model, task: usize, place: Place) -> bool {
        let mut good = self.put(model, task, place);
        if good {
            for &rest in &model.rests_of[task] {
                if self.mode[rest] == NO_MODE
                    && self.lag(model, rest).is_some()
                    && !self.settle(model, rest)
                {
                    good = false;
                    break;
                }
            }
        }
        if !good {
            self.remove(model, task);
        }
        good
    }

    /// Opens the cheapest mode of a rest that has room.
    fn settle(&mut self, model: &Model, rest: usize) -> bool {
        let Some(lag) = self.lag(model, rest) else { return true };
        let modes = &model.rests[rest].modes;
        let mut tried = 0_u64;
        loop {
            let mut best: Option<(usize, i64)> = None;
            for (index, mode) in modes.iter().enumerate() {
                let fits = mode.min <= lag && lag <= mode.max && tried & (1 << index.min(63)) == 0;
                if fits && best.is_none_or(|(_, cost)| mode.cost(lag) < cost) {
                    best = Some((index, mode.cost(lag)));
                }
            }
            let Some((index, _)) = best else { return false };
            if self.open(model, rest, index, &modes[index], lag) {
                return true;
            }
            self.close(model, rest);
            tried |= 1 << index.min(63);
        }
    }

    /// Puts a task back where it was, with the modes that its rests had.
    pub(super) fn restore(
        &mut self,
        model: &Model,
        task: usize,
        place: Place,
        modes: &[(usize, u16)],
    ) {
        self.put(model, task, place);
        for &rest in &model.rests_of[task] {
            if self.mode[rest] != NO_MODE {
                continue;
            }
            let Some(lag) = self.lag(model, rest) else { continue };
            let Some(&(_, index)) = modes.iter().find(|(of, _)| *of == rest) else { continue };
            let index = usize::from(index);
            if let Some(mode) = model.rests[rest].modes.get(index) {
                self.open(model, rest, index, mode, lag);
            }
        }
    }

    /// Puts a task where it was, with modes listed for every rest.
    pub(super) fn restore_from(&mut self, model: &Model, task: usize, place: Place, modes: &[u16]) {
        self.put(model, task, place);
        for &rest in &model.rests_of[task] {
            if let (NO_MODE, Some(lag)) = (self.mode[rest], self.lag(model, rest)) {
                let index = usize::from(modes[rest]);
                if let Some(mode) = model.rests[rest].modes.get(index) {
                    self.open(model, rest, index, mode, lag);
                }
            }
        }
    }

    /// Takes a task back.
    pub(super) fn remove(&mut self, model: &Model, task: usize) {
        for &rest in &model.rests_of[task] {
            if self.mode[rest] != NO_MODE {
                self.close(model, rest);
            }
        }
        let place = self.places[task];
        let of = &model.tasks[task];
        for &(resource, amount) in &of.uses {
            self.take(resource, place.start, place.start + of.length, -amount);
        }
        if let Some(way) = of.ways.get(place.way).filter(|way| way.worker != usize::MAX) {
            self.mark(way.worker, place.start, of.length, false);
            for &limit in &way.limits {
                let cap = &model.limits[limit];
                if cap.from <= place.start && place.start < cap.to {
                    self.counted[limit] -= of.length;
                }
            }
            self.cost -= self.beyond_limits(model, &way.limits, place.start, of.length);
            if place.window != usize::MAX {
                self.worked[place.window] -= i64::from(of.length);
            }
            self.cost -= self.evening(model, place.window, of.length);
        }
        self.cost -= Self::times(model, task, place.start);
        self.places[task] = UNPLACED;
    }

    /// Least and greatest start of `task` that the stores of its rests leave room for, given the placed
    /// other ends. Only rests with a single mode are looked at.
    pub(super) fn squeeze(
        &self,
        model: &Model,
        task: usize,
        mut low: i32,
        mut high: i32,
    ) -> (i32, i32) {
        let length = model.tasks[task].length;
        for &rest in &model.rests_of[task] {
            let of = &model.rests[rest];
            let [mode] = of.modes.as_slice() else { continue };
            if mode.store.is_empty() || of.from == of.to {
                continue;
            }
            for &(resource, amount) in &mode.store {
                let slots = self.slots(resource);
                if of.from == task {
                    let end = self.places[of.to].start;
                    if end == NOWHERE {
                        continue;
                    }
                    let from = (low + length).clamp(0, end.max(0));
                    let stretch = &slots[at(from)..at(end).min(slots.len()).max(at(from))];
                    if let Some(bad) = stretch.iter().rposition(|&left| left < amount) {
                        low = low.max(from + i32::try_from(bad).unwrap_or(FAR) + 1 - length);
                    }
                } else {
                    let start = self.places[of.from].start;
                    if start == NOWHERE {
                        continue;
                    }
                    let start = start + model.tasks[of.from].length;
                    let to = high.max(start);
                    let stretch = &slots[at(start).min(slots.len())..at(to).min(slots.len())];
                    if let Some(bad) = stretch.iter().position(|&left| left < amount) {
                        high = high.min(start + i32::try_from(bad).unwrap_or(FAR));
                    }
                }
            }
        }
        (low, high)
    }

    /// Least cost of a task's own times for a start in `low..=high`.
    #[inline]
    pub(super) fn times_bound(model: &Model, task: usize, low: i32, high: i32) -> i64 {
        let of = &model.tasks[task];
        let late = if low > of.due { of.late * i64::from(low - of.due) } else { 0 };
        let late = if low > of.last { late + of.beyond * i64::from(low - of.last) } else { late };
        late + of.stability * i64::from((low - of.shown).max(of.shown - high).max(0))
    }

    /// Least cost of a rest given ranges for the starts of its ends.
    #[inline]
    pub(super) fn rest_bound(model: &Model, rest: usize, from: (i32, i32), to: (i32, i32)) -> i64 {
        let of = &model.rests[rest];
        if of.from == of.to {
            return of.bound(of.offset, of.offset);
        }
        let low = to.0 - from.1 + of.offset;
        let high = to.1 - from.0 + of.offset;
        if low > high { NEVER } else { of.bound(low, high) }
    }
}
