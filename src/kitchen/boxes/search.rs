//! Seeks places for circles in a rectangle: thrown down at random, then pushed apart.
//!
//! In whole numbers and with a generator of its own, so that every machine finds the same. A limit on
//! work keeps it within a few milliseconds; what is found is proved by its coordinates, what is not
//! found may still exist.

/// Pairs of circles that are looked at before it gives up.
const WORK_MAX: u64 = 300_000;
/// Rounds of pushing from one throw.
const ROUNDS: u32 = 400;
/// After so many rounds the worst overlap must have shrunk by a fifth, or the throw is given up.
const PATIENCE: u32 = 50;

/// Centres for `count` circles of diameter `pitch`, in the rectangle from (0, 0) to `room` in which
/// centres may lie. None when none was found.
pub(super) fn search(count: u32, room: (i64, i64), pitch: i64) -> Option<Vec<(i64, i64)>> {
    let mut chance = Chance(u64::from(count));
    let pairs = u64::from(count) * u64::from(count.saturating_sub(1)) / 2;
    let mut work = 0;
    while work < WORK_MAX {
        let mut places: Vec<(i64, i64)> =
            (0..count).map(|_| (chance.up_to(room.0), chance.up_to(room.1))).collect();
        let mut earlier = i64::MAX / 8;
        for round in 1..=ROUNDS {
            work += pairs.max(1);
            let worst = push(&mut places, room, pitch);
            if worst <= spare(pitch) && apart(&places, pitch) {
                return Some(places);
            }
            if round % PATIENCE == 0 {
                if worst * 5 > earlier * 4 {
                    break;
                }
                earlier = worst;
            }
        }
    }
    None
}

/// How much further than needed circles are pushed, so that it ends in a finite number of rounds.
fn spare(pitch: i64) -> i64 {
    pitch / 400
}

/// One round of pushing; the furthest that two were too close before it.
fn push(places: &mut [(i64, i64)], room: (i64, i64), pitch: i64) -> i64 {
    let want = pitch + spare(pitch);
    let mut worst = 0;
    for second in 1..places.len() {
        for first in 0..second {
            let ((x, y), (u, v)) = (places[second], places[first]);
            let (dx, dy) = (x - u, y - v);
            let square = dx * dx + dy * dy;
            if square >= want * want {
                continue;
            }
            let distance = square.isqrt();
            let short = want - distance;
            worst = worst.max(short);
            // Slightly more than half each: over-relaxation ends sooner.
            let (mx, my) = if distance == 0 {
                (want / 2, 0)
            } else {
                (dx * short / distance * 11 / 20, dy * short / distance * 11 / 20)
            };
            places[second] = ((x + mx).clamp(0, room.0), (y + my).clamp(0, room.1));
            places[first] = ((u - mx).clamp(0, room.0), (v - my).clamp(0, room.1));
        }
    }
    worst
}

/// The proof: no two centres closer than the pitch.
fn apart(places: &[(i64, i64)], pitch: i64) -> bool {
    places.iter().enumerate().all(|(index, (x, y))| {
        places[..index].iter().all(|(u, v)| {
            let (dx, dy) = (x - u, y - v);
            dx * dx + dy * dy >= pitch * pitch
        })
    })
}

/// A linear congruential generator (multiplier and increment of Knuth's MMIX).
struct Chance(u64);

impl Chance {
    /// A number from 0 to `greatest`, both included.
    fn up_to(&mut self, greatest: i64) -> i64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let part = (i128::from(self.0 >> 32) * (i128::from(greatest) + 1)) >> 32;
        i64::try_from(part).unwrap_or(0)
    }
}
