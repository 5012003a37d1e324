//! How many a cake serves, by the geometry of its slices, and how many small pieces a table needs.
//!
//! In: diameters, widths and heights. Out: numbers of full slices, which she may still cut otherwise. Lengths are
//! hundredths of a mm, so that an inch is 2540 of them and counts that just touch come out right. Knows no orders.

use crate::refusal::Refusal;

/// Hundredths of a mm in an inch (exact, NIST SP 811 appendix B.8).
pub const INCH: i64 = 2540;

/// A slice: so wide along its strip, so deep as the strip is wide. Its height is the cake's, or 4 in where a taller cake
/// is cut across.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slice {
    /// Along the strip.
    pub wide: i64,
    /// Across the strip.
    pub deep: i64,
}

/// 1 × 2 in, 4 in high: small, for many guests (common practice, no published source; 8 in³ of cake weigh some 80 g, what
/// 21 CFR 101.12 takes for one eating of medium cake).
pub const EVENT: Slice = Slice { wide: INCH, deep: 2 * INCH };
/// 1½ × 2 in, 4 in high: for a party (common practice, no published source).
pub const PARTY: Slice = Slice { wide: INCH * 3 / 2, deep: 2 * INCH };
/// Height of a slice; a taller cake is cut across.
pub const TALL: i64 = 4 * INCH;
/// Least length of a wedge's edge (common practice, no published source).
pub const WEDGE: i64 = INCH * 3 / 2;
/// Small pieces that a guest takes of a table with several kinds (common practice, no published source).
pub const PIECES_EACH: u32 = 2;
/// Where these numbers come from, for the reader.
pub const ORIGIN: &str = "Full slices only, by geometry: strips 5 cm wide, cut from the middle or with a strip over the \
     middle, whichever gives more. Sizes of slices, and that a cake taller than 10 cm is cut across, are common practice, \
     no published source; a small slice is about what 21 CFR 101.12 takes for one eating";

/// One tier, or a whole cake.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cake {
    /// A round one.
    Round {
        /// Diameter.
        across: i64,
        /// Height; 0 where nobody knows it.
        tall: i64,
    },
    /// A block or sheet.
    Block {
        /// Width.
        width: i64,
        /// Depth.
        depth: i64,
        /// Height; 0 where nobody knows it.
        tall: i64,
    },
}

/// Full slices of a strip between two lines of a disc, so far from its middle.
fn of_strip(across: i64, from: i64, to: i64, wide: i64) -> i64 {
    let far = from.abs().max(to.abs());
    // The chord there, squared: by whole numbers, as a floor of roots would fail where edges just touch.
    let chord = across * across - 4 * far * far;
    if chord <= 0 || wide <= 0 {
        return 0;
    }
    let mut slices = 0;
    while (slices + 1) * (slices + 1) * wide * wide <= chord {
        slices += 1;
    }
    slices
}

/// Full slices of a disc with a cut through its middle, or with a strip over it.
fn of_disc(across: i64, slice: Slice, strip_over_middle: bool) -> i64 {
    let shift = if strip_over_middle { slice.deep / 2 } else { 0 };
    let strips = across / slice.deep.max(1) + 2;
    (-strips..strips)
        .map(|at| {
            let from = at * slice.deep + shift;
            of_strip(across, from, from + slice.deep, slice.wide)
        })
        .sum()
}

impl Cake {
    /// Full slices as high as the cake.
    pub fn slices(self, slice: Slice) -> i64 {
        match self {
            Self::Round { across, .. } => {
                of_disc(across, slice, false).max(of_disc(across, slice, true))
            }
            Self::Block { width, depth, .. } => {
                let laid = |w: i64, d: i64| (w / slice.wide.max(1)) * (d / slice.deep.max(1));
                laid(width, depth).max(laid(depth, width))
            }
        }
    }

    /// The same when a cake taller than a slice is cut across too.
    pub fn slices_across(self, slice: Slice) -> i64 {
        let tall = match self {
            Self::Round { tall, .. } | Self::Block { tall, .. } => tall.max(TALL),
        };
        self.slices(slice) * tall / TALL
    }

    /// Wedges of a round cake with an edge that is long enough.
    pub fn wedges(self) -> Option<i64> {
        match self {
            Self::Round { across, .. } => Some(across * 355 / (113 * WEDGE)),
            Self::Block { .. } => None,
        }
    }
}

/// How many a number of small pieces, or what they come to, for so many guests.
pub fn pieces_for(guests: u32, each: u32) -> Result<u32, Refusal> {
    let all = guests.checked_mul(each).filter(|all| (1..=1000).contains(all));
    all.ok_or_else(|| {
        Refusal::of("guests", "come to no number from 1 to 1000; write for example 40".to_owned())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn round(inches: i64) -> Cake {
        Cake::Round { across: inches * INCH, tall: TALL }
    }

    /// Slices of 1 × 2 in from a circle: with a cut through the middle, and with a strip over it. Computed from exact chords,
    /// for each strip by hand: 8 in gives 6 + 6 of the inner strips, and 5 + 7 + 5.
    const CIRCLES: [(i64, i64, i64); 9] = [
        (4, 0, 3),
        (5, 6, 4),
        (6, 8, 5),
        (7, 10, 12),
        (8, 12, 17),
        (9, 24, 20),
        (10, 30, 25),
        (12, 38, 43),
        (14, 62, 55),
    ];

    #[test]
    fn full_slices_of_circles_are_those_of_exact_chords() {
        for (inches, cut, middle) in CIRCLES {
            let across = inches * INCH;
            assert_eq!(of_disc(across, EVENT, false), cut, "{inches} in, cut through the middle");
            assert_eq!(of_disc(across, EVENT, true), middle, "{inches} in, strip over it");
            assert_eq!(round(inches).slices(EVENT), cut.max(middle));
            // Never more than the area holds: πR²/2.
            assert!(cut.max(middle) <= inches * inches * 355 / (113 * 4 * 2));
        }
    }

    #[test]
    fn edges_that_just_touch_count() {
        // 3-4-5: 5 in across, 2 in from the middle, half a chord of 1½ in; 10 in: 3 in at 4, 4 in at 3.
        assert_eq!(of_strip(5 * INCH, 0, 2 * INCH, INCH), 3);
        assert_eq!(of_strip(10 * INCH, 2 * INCH, 4 * INCH, INCH), 6);
        assert_eq!(of_strip(10 * INCH, INCH, 3 * INCH, INCH), 8);
        assert_eq!(of_strip(5 * INCH, 2 * INCH, 4 * INCH, INCH), 0);
    }

    #[test]
    fn a_larger_cake_never_serves_fewer_and_its_height_only_cut_across() {
        let mut before = 0;
        for inches in 4..=14 {
            let now = round(inches).slices(EVENT);
            assert!(before <= now, "{inches} in: {now} after {before}");
            before = now;
            let taller = Cake::Round { across: inches * INCH, tall: 6 * INCH };
            assert_eq!(taller.slices(EVENT), now);
            assert_eq!(taller.slices_across(EVENT), now * 3 / 2);
            assert_eq!(round(inches).slices_across(EVENT), now);
            assert!(round(inches).slices(PARTY) <= now);
        }
    }

    #[test]
    fn wedges_have_an_edge_of_an_inch_and_a_half() {
        // floor(πD ÷ 1.5).
        for (inches, wedges) in [(4, 8), (5, 10), (6, 12), (7, 14), (8, 16), (9, 18), (10, 20)] {
            assert_eq!(round(inches).wedges(), Some(wedges), "{inches} in");
        }
        assert_eq!(Cake::Block { width: 1, depth: 1, tall: 1 }.wedges(), None);
    }

    #[test]
    fn a_sheet_is_cut_the_better_way_round() {
        let sheet = |width: i64, depth: i64| Cake::Block {
            width: width * INCH,
            depth: depth * INCH,
            tall: 0,
        };
        assert_eq!(sheet(13, 9).slices(EVENT), 54, "6 strips of 9");
        assert_eq!(sheet(9, 13).slices(EVENT), 54);
        assert_eq!(sheet(12, 8).slices(PARTY), 32, "4 strips of 8");
        assert_eq!(sheet(8, 8).slices(EVENT), 32);
    }

    #[test]
    fn pieces_for_guests_are_a_number_that_an_order_takes() {
        assert_eq!(pieces_for(40, PIECES_EACH), Ok(80));
        assert!(pieces_for(0, 2).is_err() && pieces_for(600, 2).is_err());
        assert!(pieces_for(u32::MAX, 2).is_err());
    }
}
