//! Prices: a sum of functions of one variable each is at most so much.
//!
//! What a linear relaxation proves takes this form: each start has a price, the objective pays for all of them. A
//! function is linear in pieces, so that calendars and windows cost no variable of their own.

use super::engine::{Engine, Reason, Task};
use super::literal::{Lit, ix, no};

/// `base + slope * (x - from)` for `x` in `from..=to`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Piece {
    pub(super) from: i32,
    pub(super) to: i32,
    pub(super) base: i64,
    pub(super) slope: i64,
}

impl Piece {
    fn at(&self, x: i32) -> i64 {
        self.base + self.slope * (i64::from(x) - i64::from(self.from))
    }

    /// The least value within `low..=high`, which meets the piece.
    fn least(&self, low: i32, high: i32) -> i64 {
        self.at(if self.slope >= 0 { low.max(self.from) } else { high.min(self.to) })
    }
}

#[derive(Debug, Clone, Copy)]
struct Part {
    variable: u32,
    start: u32,
    end: u32,
}

#[derive(Debug, Clone, Copy)]
struct Price {
    start: u32,
    end: u32,
    most: i64,
}

/// All prices.
#[derive(Debug, Clone, Default)]
pub(super) struct Prices {
    list: Vec<Price>,
    parts: Vec<Part>,
    /// Of each part, sorted.
    pieces: Vec<Piece>,
}

impl Prices {
    fn parts(&self, price: u32) -> &[Part] {
        let Price { start, end, .. } = self.list[ix(price)];
        &self.parts[ix(start)..ix(end)]
    }

    fn pieces(&self, part: Part) -> &[Piece] {
        &self.pieces[ix(part.start)..ix(part.end)]
    }

    /// The least price within bounds; what no piece says is priceless.
    fn least(&self, part: Part, low: i32, high: i32) -> i64 {
        let pieces = self.pieces(part);
        let mut least = PRICELESS;
        let first = pieces.partition_point(|piece| piece.to < low);
        for piece in pieces[first..].iter().take_while(|piece| piece.from <= high) {
            least = least.min(piece.least(low, high));
        }
        least
    }

    /// The first value from `low` on, up to `high`, that is no dearer than `most`.
    fn first(&self, part: Part, low: i32, high: i32, most: i64) -> Option<i32> {
        let pieces = self.pieces(part);
        let first = pieces.partition_point(|piece| piece.to < low);
        for piece in pieces[first..].iter().take_while(|piece| piece.from <= high) {
            let low = low.max(piece.from);
            let over = piece.at(low) - most;
            if over <= 0 {
                return Some(low);
            }
            if piece.slope < 0 {
                // Rounded up.
                let steps = (over + -piece.slope - 1) / -piece.slope;
                if steps <= i64::from(piece.to.min(high)) - i64::from(low) {
                    return Some(low + i32::try_from(steps).unwrap_or(0));
                }
            }
        }
        None
    }

    /// The last one.
    fn last(&self, part: Part, low: i32, high: i32, most: i64) -> Option<i32> {
        let pieces = self.pieces(part);
        let last = pieces.partition_point(|piece| piece.from <= high);
        for piece in pieces[..last].iter().rev().take_while(|piece| piece.to >= low) {
            let high = high.min(piece.to);
            let over = piece.at(high) - most;
            if over <= 0 {
                return Some(high);
            }
            if piece.slope > 0 {
                let steps = (over + piece.slope - 1) / piece.slope;
                if steps <= i64::from(high) - i64::from(piece.from.max(low)) {
                    return Some(high - i32::try_from(steps).unwrap_or(0));
                }
            }
        }
        None
    }
}

/// More than anything that is ever summed up.
const PRICELESS: i64 = 1 << 56;
/// Prices stay below this, either way.
pub(super) const DEAR: i64 = 1 << 50;

impl Engine {
    /// Adds `sum of prices <= most`, at the root. Pieces of each variable are sorted and apart, their values
    /// below [`DEAR`].
    pub(super) fn price(&mut self, parts: &[(u32, Vec<Piece>)], most: i64) {
        let prices = &mut self.prices;
        let (number, start) = (no(prices.list.len()), no(prices.parts.len()));
        for (variable, pieces) in parts {
            let from = no(prices.pieces.len());
            prices.pieces.extend_from_slice(pieces);
            let end = no(prices.pieces.len());
            prices.parts.push(Part { variable: *variable, start: from, end });
        }
        prices.list.push(Price { start, end: no(prices.parts.len()), most });
        for &(variable, _) in parts {
            self.wake(variable * 2, Task::Price(number));
            self.wake(variable * 2 + 1, Task::Price(number));
        }
        self.queue.push(Task::Price(number), true);
    }

    pub(super) fn follow_price(&mut self, price: u32) -> bool {
        let Price { start, end, most } = self.prices.list[ix(price)];
        self.work += u64::from(end - start) / 4 + 1;
        let mut slack = most;
        let mut floors = std::mem::take(&mut self.floors);
        floors.clear();
        for part in &self.prices.parts[ix(start)..ix(end)] {
            let view = part.variable * 2;
            let floor = self.prices.least(*part, self.lower(view), self.upper(view));
            floors.push(floor);
            slack -= floor;
        }
        if slack < 0 {
            let mut conflict = std::mem::take(&mut self.conflict);
            conflict.clear();
            self.explain_prices(price, None, -slack - 1, self.trail.len(), &mut conflict);
            self.conflict = conflict;
            self.floors = floors;
            return false;
        }
        let mut sound = true;
        for (part, floor) in (start..end).zip(&floors) {
            let part = self.prices.parts[ix(part)];
            let view = part.variable * 2;
            let (low, high) = (self.lower(view), self.upper(view));
            if low == high {
                continue;
            }
            let most = floor + slack;
            let first = self.prices.first(part, low, high, most).unwrap_or(high);
            let last = self.prices.last(part, low, high, most).unwrap_or(low);
            sound = (first <= low || self.raise(view, first, Reason::Price(price)))
                && (last >= high || self.raise(view + 1, -last, Reason::Price(price)));
            if !sound {
                break;
            }
        }
        self.floors = floors;
        sound
    }

    pub(super) fn explain_price(&self, price: u32, lit: Lit, at: usize, out: &mut Vec<Lit>) {
        let most = self.prices.list[ix(price)].most;
        // Where the literal does not hold its variable has at least this price; by how much is that too dear?
        let mut spare = -most - 1;
        for &part in self.prices.parts(price) {
            let view = part.variable * 2;
            let (mut low, mut high) = (self.low_at(view, at), -self.low_at(view + 1, at));
            if lit.view == view {
                high = high.min(lit.least - 1);
            } else if lit.view == view + 1 {
                low = low.max(1 - lit.least);
            }
            spare += self.prices.least(part, low, high);
        }
        self.explain_prices(price, Some(lit), spare, at, out);
    }

    /// Bounds of all parts, weakened by what there is to spare.
    fn explain_prices(
        &self,
        price: u32,
        but: Option<Lit>,
        mut spare: i64,
        at: usize,
        out: &mut Vec<Lit>,
    ) {
        debug_assert!(spare >= 0);
        for &part in self.prices.parts(price) {
            let view = part.variable * 2;
            let (mut low, mut high) = (self.low_at(view, at), -self.low_at(view + 1, at));
            let (mut free_low, mut free_high) = (self.root[ix(view)], -self.root[ix(view + 1)]);
            // Where the literal does not hold is taken for granted.
            if but.is_some_and(|lit| lit.view == view) {
                high = high.min(but.map_or(high, |lit| lit.least - 1));
                free_high = high;
            } else if but.is_some_and(|lit| lit.view == view + 1) {
                low = low.max(but.map_or(low, |lit| 1 - lit.least));
                free_low = low;
            }
            let now = self.prices.least(part, low, high);
            let both = now - self.prices.least(part, free_low, free_high);
            if both <= spare {
                spare -= both;
                continue;
            }
            let without_high = now - self.prices.least(part, low, free_high);
            let without_low = now - self.prices.least(part, free_low, high);
            if without_high.min(without_low) <= spare {
                if without_high <= without_low {
                    spare -= without_high;
                    high = free_high;
                } else {
                    spare -= without_low;
                    low = free_low;
                }
            }
            // As far as it is as dear as that.
            if low > free_low {
                let cheaper = self.prices.last(part, free_low, low - 1, now - 1 - spare);
                let least = cheaper.map_or(free_low, |x| x + 1);
                spare -= (now - self.prices.least(part, least, high)).max(0);
                if least > free_low {
                    out.push(Lit { view, least });
                }
                low = least;
            }
            if high < free_high {
                let now = self.prices.least(part, low, high).min(now);
                let cheaper = self.prices.first(part, high + 1, free_high, now - 1 - spare);
                let most = cheaper.map_or(free_high, |x| x - 1);
                spare -= (now - self.prices.least(part, low, most)).max(0);
                if most < free_high {
                    out.push(Lit { view: view + 1, least: -most });
                }
            }
        }
    }
}
