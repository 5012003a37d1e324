//! How many slots of work a worker's windows and limits allow between two moments.
//!
//! In: windows, and limits that do not overlap. Out: an upper bound for any stretch, in logarithmic time.

/// Windows in pieces: those that lie inside one limit together, the others alone.
#[derive(Debug, Clone, Default)]
pub(super) struct Supply {
    /// In order of time, and disjoint.
    pieces: Vec<Piece>,
    /// Sum of all pieces before each, and of all.
    before: Vec<i64>,
}

#[derive(Debug, Clone)]
struct Piece {
    windows: Vec<(i32, i32)>,
    most: i64,
}

impl Piece {
    fn from(&self) -> i32 {
        self.windows.first().map_or(i32::MAX, |window| window.0)
    }

    fn to(&self) -> i32 {
        self.windows.last().map_or(i32::MIN, |window| window.1)
    }

    fn within(&self, from: i32, to: i32) -> i64 {
        let shared = |&(a, b): &(i32, i32)| i64::from((b.min(to) - a.max(from)).max(0));
        self.windows.iter().map(shared).sum::<i64>().min(self.most)
    }
}

impl Supply {
    /// Limits are from, to, most; they count work that starts inside.
    pub(super) fn of(windows: &[(i32, i32)], limits: &[(i32, i32, i64)]) -> Self {
        let mut pieces: Vec<Piece> = Vec::new();
        let mut last = None;
        for &(from, to) in windows {
            // Work in a window that reaches over a limit's edge may start outside: it is not limited.
            let limit = limits.iter().position(|limit| limit.0 <= from && to <= limit.1);
            match pieces.last_mut() {
                Some(piece) if limit.is_some() && limit == last => piece.windows.push((from, to)),
                _ => {
                    let most = limit.and_then(|k| limits.get(k)).map_or(i64::MAX, |l| l.2.max(0));
                    pieces.push(Piece { windows: vec![(from, to)], most });
                }
            }
            last = limit;
        }
        let mut before = vec![0];
        for piece in &pieces {
            let sum = before.last().copied().unwrap_or(0);
            before.push(sum + piece.within(i32::MIN, i32::MAX));
        }
        Self { pieces, before }
    }

    /// At most so many slots of work fit between two moments.
    pub(super) fn between(&self, from: i32, to: i32) -> i64 {
        if to <= from {
            return 0;
        }
        let first = self.pieces.partition_point(|piece| piece.to() <= from);
        let past = self.pieces.partition_point(|piece| piece.from() < to);
        let Some(pieces) = self.pieces.get(first..past) else { return 0 };
        match pieces {
            [] => 0,
            [only] => only.within(from, to),
            [one, .., other] => {
                let sum = |index: usize| self.before.get(index).copied().unwrap_or(0);
                let middle = sum(past - 1) - sum(first + 1);
                one.within(from, to) + middle + other.within(from, to)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stretch_holds_what_its_slots_hold() {
        let windows = [(2, 6), (8, 12), (20, 30), (38, 44), (50, 52)];
        let limits = [(0, 16, 5), (16, 40, 100), (40, 60, 1)];
        let supply = Supply::of(&windows, &limits);
        // By hand: the first two windows share 5, the one from 38 reaches over an edge, the last has 1.
        for (from, to, most) in [
            (0, 60, 5 + 10 + 6 + 1),
            (0, 12, 5),
            (5, 12, 5),
            (5, 10, 3),
            (12, 20, 0),
            (25, 40, 7),
            (51, 51, 0),
            (43, 60, 2),
        ] {
            assert_eq!(supply.between(from, to), most, "{from}..{to}");
        }
        assert_eq!(Supply::default().between(0, 9), 0);
    }
}
