//! Proofs by room: what surely stands somewhere, and what therefore finds no place.
//!
//! In: bounds. Out: narrower bounds, or a contradiction.

use super::net::{Lag, Net, Stand, Way};
use super::proof::{Bounds, Contradiction, Held};
use super::proof_hands::{Load, enough};

impl Bounds {
    /// End of the producer and start of the consumer.
    fn ends(&self, stand: &Stand) -> ((i32, i32), (i32, i32)) {
        let ((a, b), (from, to)) = (stand.offsets, (self.of(stand.from), self.of(stand.to)));
        ((from.0 + a, from.1 + a), (to.0 + b, to.1 + b))
    }

    /// Ways to rest that the bounds still allow.
    fn left<'a>(&self, stand: &'a Stand) -> impl Iterator<Item = &'a Way> {
        let (end, start) = self.ends(stand);
        let (low, high) = (start.0 - end.1, start.1 - end.0);
        stand.ways.iter().filter(move |way| low.max(way.least) <= high.min(way.most))
    }

    pub(super) fn ways(&mut self, net: &Net, stand: &Stand) -> Held {
        if stand.ways.len() < 2 {
            return Ok(false);
        }
        let none = || Contradiction(vec![stand.from, stand.to]);
        let least = self.left(stand).map(|way| way.least).min().ok_or_else(none)?;
        let most = self.left(stand).map(|way| way.most).max().ok_or_else(none)?;
        let (a, b) = stand.offsets;
        let lag = Lag { from: stand.from, to: stand.to, least: least + a - b, most: most + a - b };
        Ok(self.lag(net, lag)?.into_iter().flatten().next().is_some())
    }

    /// What surely stands: from, to, and the tail before the latter.
    fn surely(&self, stand: &Stand, resource: usize) -> (i64, i32, i64) {
        let amount = |list: &[(usize, i64)]| {
            list.iter().find(|(of, _)| *of == resource).map_or(0, |(_, amount)| *amount)
        };
        let main = self.left(stand).map(|way| amount(&way.store)).min().unwrap_or(0);
        let tail = self.left(stand).map(|way| way.tail).max().unwrap_or(0);
        let mut ways = self.left(stand);
        let last = match (ways.next(), ways.next()) {
            (Some(only), None) => amount(&only.tail_store),
            _ => 0,
        };
        (main, tail, last)
    }

    /// Nothing is overfull by what surely takes room, and nothing goes where it has none.
    pub(super) fn rooms(&mut self, net: &Net) -> Held {
        let mut changed = false;
        for (resource, (&capacity, busy)) in net.capacity.iter().zip(&net.busy).enumerate() {
            let Some((users, stands)) = net.takers.get(resource) else { continue };
            if capacity > i64::from(i32::MAX) || (users.is_empty() && stands.is_empty()) {
                continue;
            }
            let mut taken = busy.clone();
            let mut add = |from: i32, to: i32, amount: i64| {
                let most = i32::try_from(taken.len()).unwrap_or(i32::MAX);
                for slot in from.clamp(0, most)..to.clamp(0, most) {
                    taken[index(slot)] += amount;
                }
            };
            let used = |task: usize| {
                let uses = net.tasks.get(task).map_or(&[][..], |of| of.uses.as_slice());
                uses.iter().find(|(of, _)| *of == resource).map_or(0, |(_, amount)| *amount)
            };
            for &task in users {
                let (low, high) = self.of(task);
                let length = net.tasks.get(task).map_or(0, |of| of.length);
                add(high, low + length, used(task));
            }
            let stands = || stands.iter().filter_map(|&stand| net.stands.get(stand));
            for stand in stands() {
                let (main, tail, last) = self.surely(stand, resource);
                let (end, start) = self.ends(stand);
                add(end.1, start.0 - tail, main);
                add((start.1 - tail).max(end.1), start.0, last);
            }
            if taken.iter().any(|&units| units > capacity) {
                return Err(Contradiction(users.clone()));
            }
            for &task in users {
                changed |= self.fit_use(net, task, (used(task), capacity), &taken)?;
            }
            for stand in stands() {
                let (main, tail, _) = self.surely(stand, resource);
                if main > 0 {
                    changed |= self.fit_stand(net, stand, tail, (main, capacity), &taken)?;
                }
            }
        }
        Ok(changed)
    }

    /// Between any two moments every place has room for what must use it or rest there meanwhile.
    pub(super) fn enough_room(&self, net: &Net) -> Result<(), Contradiction> {
        for (resource, (users, stands)) in net.takers.iter().enumerate() {
            let amount = |list: &[(usize, i64)]| {
                list.iter().find(|(of, _)| *of == resource).map_or(0, |(_, amount)| *amount)
            };
            let mut loads = Vec::with_capacity(users.len() + stands.len());
            for &task in users {
                let (low, high) = self.of(task);
                let Some(of) = net.tasks.get(task) else { continue };
                let size = i64::from(of.length) * amount(&of.uses);
                loads.push(Load { from: low, to: high + of.length, size, task });
            }
            for stand in stands.iter().filter_map(|&stand| net.stands.get(stand)) {
                let (end, start) = self.ends(stand);
                let lag = start.0 - end.1;
                let size = |way: &Way| {
                    let main = i64::from(way.least.max(lag) - way.tail) * amount(&way.store);
                    main + i64::from(way.tail) * amount(&way.tail_store)
                };
                let size = self.left(stand).map(size).min().unwrap_or(0);
                if size > 0 {
                    loads.push(Load { from: end.0, to: start.1, size, task: stand.to });
                }
            }
            let free = net.free.get(resource).map_or(&[][..], Vec::as_slice);
            let most = i32::try_from(free.len()).unwrap_or(i32::MAX) - 1;
            let before = |at: i32| free.get(index(at.clamp(0, most))).copied().unwrap_or(0);
            enough(loads, |from, to| before(to) - before(from))?;
        }
        Ok(())
    }

    fn fit_use(
        &mut self,
        net: &Net,
        task: usize,
        (amount, capacity): (i64, i64),
        taken: &[i64],
    ) -> Held {
        let length = net.tasks.get(task).map_or(0, |of| of.length);
        let (low, high) = self.of(task);
        let own = high..low + length;
        let full = |slot: i32| {
            let mine = if own.contains(&slot) { amount } else { 0 };
            taken.get(index(slot)).is_some_and(|units| units - mine + amount > capacity)
        };
        let mut changed = false;
        if let Some(last) = (low..low + length).rev().find(|&slot| full(slot)) {
            changed |= self.narrow(net, task, last + 1, i32::MAX)?;
        }
        if let Some(first) = (high..high + length).find(|&slot| full(slot)) {
            changed |= self.narrow(net, task, i32::MIN, first - length)?;
        }
        Ok(changed)
    }

    fn fit_stand(
        &mut self,
        net: &Net,
        stand: &Stand,
        tail: i32,
        (amount, capacity): (i64, i64),
        taken: &[i64],
    ) -> Held {
        let (end, start) = self.ends(stand);
        let (a, b) = stand.offsets;
        let full =
            |slot: &i32| taken.get(index(*slot)).is_some_and(|units| units + amount > capacity);
        let mut changed = false;
        let last = (end.0..end.1.min(start.0 - tail)).rev().find(full);
        if let Some(last) = last {
            changed |= self.narrow(net, stand.from, last + 1 - a, i32::MAX)?;
        }
        let first = (end.1.max(start.0 - tail)..start.1 - tail).find(full);
        if let Some(first) = first {
            changed |= self.narrow(net, stand.to, i32::MIN, first + tail - b)?;
        }
        Ok(changed)
    }
}

fn index(slot: i32) -> usize {
    usize::try_from(slot).unwrap_or(usize::MAX)
}
