//! What surely takes room at the same time as a task, wherever the task lies.
//!
//! In: the net before anything is known of bounds. Out: domains without the starts at which a task would have
//! around it more than a place holds: its own use, the least rests that end or begin with it, and before and
//! after these the producers and consumers that take the same room.

use std::collections::BTreeSet;

use super::net::{Domain, Net, Stand, Way};
use crate::model::meet;

/// Longest stretch of a rest that is looked at, in slots.
const REACH: i32 = 400;

/// Cuts off the starts around which a place would be overfull.
pub(super) fn clashes(net: &mut Net) {
    for (resource, &capacity) in net.capacity.iter().enumerate() {
        let Some(busy) = net.busy.get(resource) else { continue };
        let tightest = capacity - busy.iter().copied().max().unwrap_or(0);
        let mut cut: Vec<(usize, Domain)> = Vec::new();
        for (task, of) in net.tasks.iter().enumerate() {
            let around = Around::of(net, resource, task);
            if around.most() <= tightest {
                continue;
            }
            let free = |start: i32| around.fits(start, capacity, busy);
            let starts = of.domain.iter().flat_map(|d| d.0..=d.1).filter(|&start| free(start));
            cut.push((task, stretches(starts)));
        }
        for (task, domain) in cut {
            if let Some(of) = net.tasks.get_mut(task) {
                for (_, own) in &mut of.who {
                    *own = meet(own, &domain);
                }
                of.domain = domain;
            }
        }
    }
}

fn stretches(starts: impl Iterator<Item = i32>) -> Domain {
    let mut out = Domain::new();
    for start in starts {
        match out.last_mut() {
            Some(last) if last.1 + 1 == start => last.1 = start,
            _ => out.push((start, start)),
        }
    }
    out
}

/// Units that are surely taken before and after a task's start: in the slot `start + k`, and in `start - 1 - k`.
struct Around {
    after: Vec<i64>,
    before: Vec<i64>,
}

impl Around {
    fn of(net: &Net, resource: usize, task: usize) -> Self {
        let mut around = Self { after: Vec::new(), before: Vec::new() };
        let Some(of) = net.tasks.get(task) else { return around };
        around.take(0..of.length, amount(&of.uses, resource));
        let stands = net.takers.get(resource).map_or(&[][..], |takers| takers.1.as_slice());
        // A producer of several rests is there once.
        let mut seen: BTreeSet<usize> = BTreeSet::new();
        let use_of = |other: usize| {
            let of = net.tasks.get(other);
            of.map_or((0, 0), |of| (of.length, amount(&of.uses, resource)))
        };
        for stand in stands.iter().filter_map(|&stand| net.stands.get(stand)) {
            if stand.to == task {
                let (length, used) = use_of(stand.from);
                let alone = stand.offsets.0 == length && seen.insert(stand.from);
                let reach = least(stand) + if alone { length } else { 0 };
                for k in 0..reach.min(REACH) {
                    let slot = stand.offsets.1 - 1 - k;
                    let ways = stand.ways.iter().map(|way| before_end(way, k, resource, used));
                    around.take(slot..slot + 1, ways.min().unwrap_or(0));
                }
            }
            if stand.from == task {
                let (length, used) = use_of(stand.to);
                let alone = stand.offsets.1 == 0 && seen.insert(stand.to);
                let reach = least(stand) + if alone { length } else { 0 };
                for k in 0..reach.min(REACH) {
                    let slot = stand.offsets.0 + k;
                    let ways = stand.ways.iter().map(|way| after_begin(way, k, resource, used));
                    around.take(slot..slot + 1, ways.min().unwrap_or(0));
                }
            }
        }
        around
    }

    fn take(&mut self, slots: std::ops::Range<i32>, units: i64) {
        for slot in slots {
            let (list, index) = if slot < 0 {
                (&mut self.before, usize::try_from(-1 - slot))
            } else {
                (&mut self.after, usize::try_from(slot))
            };
            let Ok(index) = index else { continue };
            if list.len() <= index {
                list.resize(index + 1, 0);
            }
            if let Some(entry) = list.get_mut(index) {
                *entry += units;
            }
        }
    }

    fn most(&self) -> i64 {
        self.before.iter().chain(&self.after).copied().max().unwrap_or(0)
    }

    fn fits(&self, start: i32, capacity: i64, busy: &[i64]) -> bool {
        let free = |slot: i32, units: i64| {
            let taken = usize::try_from(slot).ok().and_then(|slot| busy.get(slot));
            units == 0 || taken.is_none_or(|taken| taken + units <= capacity)
        };
        (start..).zip(&self.after).all(|(slot, &units)| free(slot, units))
            && (1..).zip(&self.before).all(|(back, &units)| free(start - back, units))
    }
}

fn amount(list: &[(usize, i64)], resource: usize) -> i64 {
    list.iter().find(|(of, _)| *of == resource).map_or(0, |(_, amount)| *amount)
}

fn least(stand: &Stand) -> i32 {
    stand.ways.iter().map(|way| way.least).min().unwrap_or(0).max(0)
}

/// At least so much in the slot that lies `k` slots before the last one of a rest; before the least rest
/// begins, there is the rest or its producer.
fn before_end(way: &Way, k: i32, resource: usize, producer: i64) -> i64 {
    let (main, tail) = (amount(&way.store, resource), amount(&way.tail_store, resource));
    if k < way.tail {
        tail
    } else if k < way.least {
        main
    } else {
        main.min(producer)
    }
}

/// At least so much in the slot `k` of a rest; after the least rest there is the rest, its tail or its consumer.
fn after_begin(way: &Way, k: i32, resource: usize, consumer: i64) -> i64 {
    let (main, tail) = (amount(&way.store, resource), amount(&way.tail_store, resource));
    let rest = if way.tail > 0 { main.min(tail) } else { main };
    if k < way.least - way.tail {
        main
    } else if k < way.least {
        rest
    } else {
        rest.min(consumer)
    }
}
