//! Places and equipment: at no time more than there is room for.
//!
//! An item takes room from its start to its end, both of which may vary; between its latest start and its
//! earliest end it surely does. Those parts make a profile; where it leaves too little room for an item, the
//! item starts later or ends earlier.

use super::engine::{Engine, Reason, Task};
use super::literal::{Lit, ix, no};

/// Something that takes room from `start` to `end`, if `given`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Item {
    /// Variable and what is added to it.
    pub(super) start: (u32, i32),
    pub(super) end: (u32, i32),
    pub(super) amount: i32,
    pub(super) given: Lit,
    pub(super) place: u32,
}

/// Room from `from` on, until the next one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Stretch {
    from: i32,
    to: i32,
    room: i32,
}

/// All places and items.
#[derive(Debug, Clone, Default)]
pub(super) struct Places {
    items: Vec<Item>,
    of: Vec<Vec<u32>>,
    /// Largest amount of an item of each place.
    largest: Vec<i32>,
    /// Room by time, before anything is placed: starts of stretches and the room from there on.
    room: Vec<Vec<(i32, i32)>>,
    events: Vec<(i32, i32)>,
    tight: Vec<Stretch>,
}

impl Places {
    /// Adds a place with its room from certain times on.
    pub(super) fn place(&mut self, room: Vec<(i32, i32)>) {
        self.room.push(room);
        self.of.push(Vec::new());
        self.largest.push(0);
    }

    fn room_at(&self, place: u32, time: i32) -> i32 {
        let room = &self.room[ix(place)];
        let next = room.partition_point(|part| part.0 <= time);
        next.checked_sub(1).map_or(i32::MAX, |at| room[at].1)
    }
}

impl Engine {
    /// Adds an item of positive amount.
    pub(super) fn item(&mut self, item: Item) {
        let task = Task::Place(item.place);
        self.places.of[ix(item.place)].push(no(self.places.items.len()));
        let largest = &mut self.places.largest[ix(item.place)];
        *largest = (*largest).max(item.amount);
        self.places.items.push(item);
        for variable in [item.start.0, item.end.0] {
            self.wake(variable * 2, task);
            self.wake(variable * 2 + 1, task);
        }
        self.wake(item.given.view, task);
    }

    fn latest_start(&self, item: &Item) -> i32 {
        self.upper(item.start.0 * 2) + item.start.1
    }

    fn earliest_end(&self, item: &Item) -> i32 {
        self.lower(item.end.0 * 2) + item.end.1
    }

    pub(super) fn follow_place(&mut self, place: u32) -> bool {
        let mut events = std::mem::take(&mut self.places.events);
        let mut tight = std::mem::take(&mut self.places.tight);
        self.profile(place, &mut events, &mut tight);
        let sound = match tight.iter().find(|stretch| stretch.room < 0) {
            Some(over) => {
                self.overfull(place, over.from + (over.to - over.from) / 2);
                false
            }
            None => tight.is_empty() || self.make_room(place, &tight),
        };
        self.places.events = events;
        self.places.tight = tight;
        sound
    }

    /// Stretches in which the largest item would not fit.
    fn profile(&mut self, place: u32, events: &mut Vec<(i32, i32)>, tight: &mut Vec<Stretch>) {
        events.clear();
        tight.clear();
        for &index in &self.places.of[ix(place)] {
            let item = &self.places.items[ix(index)];
            let (from, to) = (self.latest_start(item), self.earliest_end(item));
            if from < to && self.holds(item.given) {
                events.push((from, -item.amount));
                events.push((to, item.amount));
            }
        }
        self.work += self.places.of[ix(place)].len() as u64 / 4 + events.len() as u64 / 4;
        let mut before = 0;
        for &(from, room) in &self.places.room[ix(place)] {
            events.push((from, room - before));
            before = room;
        }
        events.sort_unstable_by_key(|event| event.0);
        let largest = self.places.largest[ix(place)];
        let (mut room, mut at) = (0, 0);
        while at < events.len() {
            let from = events[at].0;
            while at < events.len() && events[at].0 == from {
                room += events[at].1;
                at += 1;
            }
            let to = events.get(at).map_or(i32::MAX / 2, |event| event.0);
            if room < largest && from < to {
                tight.push(Stretch { from, to, room });
            }
        }
    }

    /// Too much is there at a time, for sure.
    fn overfull(&mut self, place: u32, time: i32) {
        let mut conflict = std::mem::take(&mut self.conflict);
        conflict.clear();
        let room = self.places.room_at(place, time);
        let enough = self.present(place, None, time, room, self.trail.len(), &mut conflict);
        debug_assert!(enough);
        self.conflict = conflict;
    }

    fn make_room(&mut self, place: u32, tight: &[Stretch]) -> bool {
        for k in 0..self.places.of[ix(place)].len() {
            let index = self.places.of[ix(place)][k];
            let item = self.places.items[ix(index)];
            if self.fails(item.given) {
                continue;
            }
            if self.holds(item.given) {
                if !self.start_later(index, &item, tight) || !self.end_earlier(index, &item, tight)
                {
                    return false;
                }
                continue;
            }
            let (from, to) = (self.latest_start(&item), self.earliest_end(&item));
            let first = tight.partition_point(|stretch| stretch.to <= from);
            for stretch in tight[first..].iter().take_while(|stretch| stretch.from < to) {
                if from < to && stretch.room < item.amount {
                    let no = item.given.not();
                    let time = stretch.from.max(from);
                    if !self.raise(no.view, no.least, Reason::Place { item: index, time }) {
                        return false;
                    }
                    break;
                }
            }
        }
        true
    }

    /// Whether the item is one of those that take the room of a stretch.
    fn inside(&self, item: &Item, stretch: &Stretch) -> bool {
        self.latest_start(item) <= stretch.from && stretch.to <= self.earliest_end(item)
    }

    fn start_later(&mut self, index: u32, item: &Item, tight: &[Stretch]) -> bool {
        let start = self.lower(item.start.0 * 2) + item.start.1;
        let first = tight.partition_point(|stretch| stretch.to <= start);
        for stretch in &tight[first..] {
            // It cannot end before the stretch begins.
            if self.earliest_end(item) <= stretch.from {
                break;
            }
            let start = self.lower(item.start.0 * 2) + item.start.1;
            if stretch.room >= item.amount || start >= stretch.to || self.inside(item, stretch) {
                continue;
            }
            let mut start = start;
            while start < stretch.to && self.earliest_end(item) > stretch.from.max(start) {
                let time = stretch.to.min(self.earliest_end(item)) - 1;
                let reason = Reason::Place { item: index, time };
                if !self.raise(item.start.0 * 2, time + 1 - item.start.1, reason) {
                    return false;
                }
                start = self.lower(item.start.0 * 2) + item.start.1;
            }
        }
        true
    }

    fn end_earlier(&mut self, index: u32, item: &Item, tight: &[Stretch]) -> bool {
        let end = self.upper(item.end.0 * 2) + item.end.1;
        let last = tight.partition_point(|stretch| stretch.from < end);
        for stretch in tight[..last].iter().rev() {
            // It cannot start after the stretch.
            if self.latest_start(item) >= stretch.to {
                break;
            }
            let mut end = self.upper(item.end.0 * 2) + item.end.1;
            if stretch.room >= item.amount || end <= stretch.from || self.inside(item, stretch) {
                continue;
            }
            while end > stretch.from && self.latest_start(item) < stretch.to.min(end) {
                let time = stretch.from.max(self.latest_start(item));
                let reason = Reason::Place { item: index, time };
                if !self.raise(item.end.0 * 2 + 1, item.end.1 - time, reason) {
                    return false;
                }
                end = self.upper(item.end.0 * 2) + item.end.1;
            }
        }
        true
    }

    /// Why enough items to exceed `room`, other than `but`, surely are there at a time. Says no if they
    /// were not.
    fn present(
        &self,
        place: u32,
        but: Option<u32>,
        time: i32,
        room: i32,
        at: usize,
        out: &mut Vec<Lit>,
    ) -> bool {
        let (mut left, mark) = (room, out.len());
        // What is there whatever is decided, then what takes most.
        let largest = self.places.largest[ix(place)];
        let mut ask = largest + 1;
        while left >= 0 && ask > 0 {
            let mut next = 0;
            for &index in &self.places.of[ix(place)] {
                let item = &self.places.items[ix(index)];
                if Some(index) == but || left < 0 {
                    continue;
                }
                let here = [
                    item.given,
                    Lit::at_most(item.start.0, time - item.start.1),
                    Lit::at_least(item.end.0, time + 1 - item.end.1),
                ];
                let always = here.iter().all(|&lit| self.granted(lit));
                if ask > largest {
                    left -= if always { item.amount } else { 0 };
                    next = if always { next } else { item.amount.max(next) };
                } else if !always && item.amount == ask {
                    if here.iter().all(|&lit| self.low_at(lit.view, at) >= lit.least) {
                        left -= item.amount;
                        out.extend(here.iter().filter(|&&lit| !self.granted(lit)));
                    }
                } else if !always && item.amount < ask {
                    next = next.max(item.amount);
                }
            }
            ask = next;
        }
        if left >= 0 {
            out.truncate(mark);
        }
        left < 0
    }

    pub(super) fn explain_place(
        &self,
        index: u32,
        time: i32,
        lit: Lit,
        at: usize,
        out: &mut Vec<Lit>,
    ) {
        let item = self.places.items[ix(index)];
        let starts = lit.view == item.start.0 * 2 && lit != item.given.not();
        let ends = lit.view == item.end.0 * 2 + 1 && lit != item.given.not();
        // Where less is asked for than was found, a time nearer by may do.
        let near = if starts {
            (lit.least + item.start.1 - 1).min(time)
        } else if ends {
            (-lit.least + item.end.1).max(time)
        } else {
            time
        };
        let room = |time: i32| self.places.room_at(item.place, time) - item.amount;
        let mut time = time;
        if near != time && self.present(item.place, Some(index), near, room(near), at, out) {
            time = near;
        } else {
            let enough = self.present(item.place, Some(index), time, room(time), at, out);
            debug_assert!(enough);
        }
        if !ends {
            out.push(Lit::at_least(item.end.0, time + 1 - item.end.1));
        }
        if !starts {
            out.push(Lit::at_most(item.start.0, time - item.start.1));
        }
        if starts || ends {
            out.push(item.given);
        }
    }
}
