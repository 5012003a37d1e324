//! One pair of hands does one thing at a time.
//!
//! Pairwise: where one order of two pieces of work is impossible, the other one holds.

use super::engine::{Engine, Reason, Task};
use super::literal::{Lit, ix, no};

/// A piece of work that may be somebody's.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    /// Starts at this variable plus `offset`.
    pub(super) variable: u32,
    pub(super) offset: i32,
    pub(super) length: i32,
    /// Whether it is theirs.
    pub(super) given: Lit,
    pub(super) worker: u32,
}

/// All pieces of work, and which two are told apart by a reason.
#[derive(Debug, Clone, Default)]
pub(super) struct Hands {
    pub(super) pieces: Vec<Piece>,
    /// Pieces of each worker.
    of: Vec<Vec<u32>>,
}

impl Engine {
    /// Adds a piece of work of positive length.
    pub(super) fn piece(&mut self, piece: Piece) {
        let index = no(self.hands.pieces.len());
        self.hands.pieces.push(piece);
        if self.hands.of.len() <= ix(piece.worker) {
            self.hands.of.resize(ix(piece.worker) + 1, Vec::new());
        }
        self.hands.of[ix(piece.worker)].push(index);
        self.wake(piece.variable * 2, Task::Hand(index));
        self.wake(piece.variable * 2 + 1, Task::Hand(index));
        self.wake(piece.given.view, Task::Hand(index));
    }

    /// Number of the reason "`first` cannot come before `second`".
    fn pair(&self, first: u32, second: u32) -> Reason {
        Reason::Pair(first * no(self.hands.pieces.len()) + second)
    }

    /// Earliest and latest start.
    fn span(&self, piece: &Piece) -> (i32, i32) {
        let view = piece.variable * 2;
        (self.lower(view) + piece.offset, self.upper(view) + piece.offset)
    }

    pub(super) fn follow_hand(&mut self, index: u32) -> bool {
        let a = self.hands.pieces[ix(index)];
        if self.fails(a.given) {
            return true;
        }
        let worker = ix(a.worker);
        self.work += self.hands.of[worker].len() as u64 / 8;
        for k in 0..self.hands.of[worker].len() {
            let other = self.hands.of[worker][k];
            let b = self.hands.pieces[ix(other)];
            if other == index || self.fails(b.given) {
                continue;
            }
            let ((a_low, a_high), (b_low, b_high)) = (self.span(&a), self.span(&b));
            let not_a_first = a_low + a.length > b_high;
            let not_b_first = b_low + b.length > a_high;
            if !not_a_first && !not_b_first {
                continue;
            }
            let (a_given, b_given) = (self.holds(a.given), self.holds(b.given));
            if a_given && b_given {
                if not_a_first && !self.put_after(other, index)
                    || not_b_first && !self.put_after(index, other)
                {
                    return false;
                }
            } else if not_a_first && not_b_first && (a_given || b_given) {
                let free = if a_given { b.given } else { a.given };
                let no = free.not();
                if !self.raise(no.view, no.least, self.pair(index, other)) {
                    return false;
                }
            }
        }
        true
    }

    /// `second` cannot be first.
    fn put_after(&mut self, first: u32, second: u32) -> bool {
        let (a, b) = (self.hands.pieces[ix(first)], self.hands.pieces[ix(second)]);
        let reason = self.pair(second, first);
        let ((a_low, _), (_, b_high)) = (self.span(&a), self.span(&b));
        self.raise(b.variable * 2, a_low + a.length - b.offset, reason)
            && self.raise(a.variable * 2 + 1, a.length + a.offset - b_high, reason)
    }

    pub(super) fn explain_pair(&self, pair: u32, lit: Lit, at: usize, out: &mut Vec<Lit>) {
        let count = no(self.hands.pieces.len());
        let (late, early) = (pair / count, pair % count);
        let (b, a) = (self.hands.pieces[ix(late)], self.hands.pieces[ix(early)]);
        if lit == b.given.not() || lit == a.given.not() {
            out.push(if lit == b.given.not() { a.given } else { b.given });
            self.not_first(&b, &a, at, out);
            self.not_first(&a, &b, at, out);
            return;
        }
        out.push(a.given);
        out.push(b.given);
        self.not_first(&b, &a, at, out);
        if lit.view == b.variable * 2 {
            // b starts at or after `least` as a ends there.
            let least = lit.least + b.offset - a.length - a.offset;
            out.push(Lit::at_least(a.variable, least));
        } else {
            // a starts at or before `most` as it ends before b's latest start.
            let most = -lit.least + a.offset + a.length - b.offset;
            out.push(Lit::at_most(b.variable, most));
        }
    }

    /// Why `first` cannot end before `second` starts: it starts too late, or that one too early.
    fn not_first(&self, first: &Piece, second: &Piece, at: usize, out: &mut Vec<Lit>) {
        // Any cut `start of first >= cut` and `start of second < cut + length` will do.
        let (early, late) = (first.variable * 2, second.variable * 2 + 1);
        let low = self.low_at(early, at) + first.offset;
        let high = -self.low_at(late, at) + second.offset;
        let always_low = self.root[ix(early)] + first.offset;
        let always_high = -self.root[ix(late)] + second.offset;
        let cut = if always_low + first.length > high {
            always_low
        } else if low + first.length > always_high {
            always_high - first.length + 1
        } else {
            high - first.length + 1
        };
        out.push(Lit::at_least(first.variable, cut - first.offset));
        out.push(Lit::at_most(second.variable, cut + first.length - 1 - second.offset));
    }
}
