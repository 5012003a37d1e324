//! Sorting, once for all: the library's own is compiled anew for each kind of thing that is sorted, and an
//! eighth of the app that a browser loads was that.
//!
//! Here only "does this come before that" and "swap these two" are; the rest is one function. It keeps what
//! is equal in the order it had. Lists that are sorted often inside the exact search (its simplex, its factors,
//! its sums over time) are still sorted by the library: measured in the browser, that is 3 % of its speed.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

/// Puts a list in order; what is equal stays in the order it had.
pub trait Arrange<T> {
    /// In the order of the things themselves.
    fn arrange(&mut self)
    where
        T: Ord;

    /// In the order that `compare` says.
    fn arrange_by(&mut self, compare: impl FnMut(&T, &T) -> Ordering);

    /// In the order of what `key` gives for each. It is asked anew for each comparison.
    fn arrange_by_key<K: Ord>(&mut self, key: impl FnMut(&T) -> K);
}

impl<T> Arrange<T> for [T] {
    fn arrange(&mut self)
    where
        T: Ord,
    {
        arrange(&mut List { of: self, before: |a: &T, b: &T| a < b });
    }

    fn arrange_by(&mut self, mut compare: impl FnMut(&T, &T) -> Ordering) {
        let before = move |a: &T, b: &T| compare(a, b) == Ordering::Less;
        arrange(&mut List { of: self, before });
    }

    fn arrange_by_key<K: Ord>(&mut self, mut key: impl FnMut(&T) -> K) {
        let before = move |a: &T, b: &T| key(a) < key(b);
        arrange(&mut List { of: self, before });
    }
}

/// A map of these pairs, of which the last of each key counts. Gathering into one sorts first, which costs
/// the same bytes once more for each kind of pair.
pub fn map_of<K: Ord, V>(pairs: impl IntoIterator<Item = (K, V)>) -> BTreeMap<K, V> {
    let mut map = BTreeMap::new();
    for (key, value) in pairs {
        map.insert(key, value);
    }
    map
}

/// A set of these things, as [`map_of`] makes maps.
pub fn set_of<T: Ord>(things: impl IntoIterator<Item = T>) -> BTreeSet<T> {
    let mut set = BTreeSet::new();
    for thing in things {
        set.insert(thing);
    }
    set
}

/// All that sorting needs to know of a list.
trait Rows {
    fn count(&self) -> usize;
    /// Whether the one at `a` comes before the one at `b`.
    fn before(&mut self, a: usize, b: usize) -> bool;
    fn swap(&mut self, a: usize, b: usize);
}

struct List<'a, T, F> {
    of: &'a mut [T],
    before: F,
}

impl<T, F: FnMut(&T, &T) -> bool> Rows for List<'_, T, F> {
    fn count(&self) -> usize {
        self.of.len()
    }

    fn before(&mut self, a: usize, b: usize) -> bool {
        // Without the words for what cannot happen.
        match (self.of.get(a), self.of.get(b)) {
            (Some(a), Some(b)) => (self.before)(a, b),
            _ => false,
        }
    }

    fn swap(&mut self, a: usize, b: usize) {
        self.of.swap(a, b);
    }
}

/// Up to so many, each is moved down to its place one by one.
const FEW: usize = 12;

fn arrange(rows: &mut dyn Rows) {
    let count = rows.count();
    if count <= FEW {
        for next in 1..count {
            let mut at = next;
            while at > 0 && rows.before(at, at - 1) {
                rows.swap(at - 1, at);
                at -= 1;
            }
        }
        return;
    }
    if (1..count).all(|next| !rows.before(next, next - 1)) {
        return;
    }
    let mut sources = order_of(rows, count);
    // Each place gets what belongs there; what stood there waits where that came from.
    for start in 0..count {
        let mut at = start;
        loop {
            let from = std::mem::replace(&mut sources[at], at);
            if from == start {
                break;
            }
            if from != at {
                rows.swap(at, from);
            }
            at = from;
        }
    }
}

/// For each place in the ordered list, where what belongs there stands now: runs merged into longer runs.
fn order_of(rows: &mut dyn Rows, count: usize) -> Vec<usize> {
    let mut order: Vec<usize> = (0..count).collect();
    let mut merged = order.clone();
    let mut width = 1;
    while width < count {
        for from in (0..count).step_by(2 * width) {
            let (middle, to) = ((from + width).min(count), (from + 2 * width).min(count));
            let (mut left, mut right) = (from, middle);
            for place in &mut merged[from..to] {
                let later =
                    left == middle || (right < to && rows.before(order[right], order[left]));
                let taken = if later { &mut right } else { &mut left };
                *place = order[*taken];
                *taken += 1;
            }
        }
        std::mem::swap(&mut order, &mut merged);
        width *= 2;
    }
    order
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers without an order of their own, the same on each run.
    fn numbers(count: usize) -> Vec<u32> {
        let mut state = 12_345_u32;
        let mut next = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (state >> 16) % 50
        };
        (0..count).map(|_| next()).collect()
    }

    #[test]
    fn it_sorts_as_the_library_does_and_keeps_equals_in_their_order() {
        for count in 0..200 {
            let all: Vec<(u32, usize)> = numbers(count).into_iter().zip(0..).collect();
            let mut expected = all.clone();
            expected.sort_by_key(|pair| pair.0);
            let mut by_key = all.clone();
            by_key.arrange_by_key(|pair| pair.0);
            assert_eq!(by_key, expected, "{count} by key");
            let mut by = all.clone();
            by.arrange_by(|a, b| b.0.cmp(&a.0));
            expected.sort_by_key(|pair| std::cmp::Reverse(pair.0));
            assert_eq!(by, expected, "{count} downwards");
            by.arrange();
            expected.sort_unstable();
            assert_eq!(by, expected, "{count} by themselves");
        }
    }

    #[test]
    fn maps_and_sets_are_those_that_gathering_makes() {
        let pairs: Vec<(u32, usize)> = numbers(80).into_iter().zip(0..).collect();
        assert_eq!(map_of(pairs.clone()), pairs.iter().copied().collect());
        assert_eq!(set_of(pairs.clone()), pairs.into_iter().collect());
    }
}
