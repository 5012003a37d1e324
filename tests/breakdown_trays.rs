//! How many round pieces a tray holds, held against independent counts.
//!
//! Convention of the table: circles of diameter d, gap g between them, bare edge w, on W × L, are circles
//! of d + g packed into (W − 2w + g) × (L − 2w + g). Counts are the better of a square grid and of
//! hexagonal rows, in the better direction; they were computed apart from this program, with every
//! layout checked by its coordinates. Lengths in quarter inches, so that nothing is rounded.
#![cfg(not(target_arch = "wasm32"))]

use proptest::prelude::*;
use rackweek::breakdown::pieces_per_tray;

/// Tray, diameter, then the counts for gaps of 0, ¼ and ½ inch without edge, ½ with an edge of ½, and 1.
type Row = ((u32, u32), f64, [u32; 5]);

const TABLE: [Row; 17] = [
    // Half-sheet pan, outside.
    ((13, 18), 2.0, [60, 45, 39, 35, 28]),
    ((13, 18), 2.5, [36, 30, 28, 21, 21]),
    ((13, 18), 3.0, [24, 21, 18, 15, 15]),
    ((13, 18), 3.5, [18, 15, 13, 12, 12]),
    ((13, 18), 4.0, [13, 12, 12, 9, 9]),
    // Half-sheet pan, inside.
    ((12, 17), 2.0, [50, 42, 35, 30, 24]),
    ((12, 17), 2.5, [30, 25, 21, 20, 18]),
    ((12, 17), 3.0, [21, 18, 15, 13, 13]),
    ((12, 17), 3.5, [13, 13, 12, 11, 11]),
    ((12, 17), 4.0, [12, 11, 9, 8, 8]),
    // Quarter-sheet pan.
    ((9, 13), 2.0, [30, 21, 18, 15, 13]),
    ((9, 13), 2.5, [18, 13, 13, 11, 11]),
    ((9, 13), 3.0, [12, 11, 8, 6, 6]),
    ((9, 13), 3.5, [8, 6, 6, 6, 6]),
    // Boxes.
    ((12, 12), 2.0, [36, 27, 25, 20, 16]),
    ((12, 12), 2.5, [20, 16, 16, 12, 12]),
    ((12, 12), 3.0, [16, 12, 9, 9, 9]),
];

fn quarters(inches: f64) -> u32 {
    let whole = (inches * 4.0).round();
    format!("{whole}").parse().expect("a small whole number")
}

#[test]
fn counts_agree_with_the_independent_table() {
    for ((width, depth), across, counts) in TABLE {
        let settings = [(0.0, 0.0), (0.25, 0.0), (0.5, 0.0), (0.5, 0.5), (1.0, 0.0)];
        for ((gap, edge), count) in settings.into_iter().zip(counts) {
            let found = pieces_per_tray(
                4 * width,
                4 * depth,
                quarters(across),
                quarters(gap),
                quarters(edge),
            );
            assert_eq!(found, count, "{width}×{depth}, d {across}, g {gap}, w {edge}");
        }
    }
}

#[test]
fn exact_touches_are_not_lost() {
    // Two shifted rows of pitch 1000 are 1000 × (1 + √3/2) = 1866.03 deep.
    assert_eq!(pieces_per_tray(1500, 1866, 1000, 0, 0), 1);
    assert_eq!(pieces_per_tray(1500, 1867, 1000, 0, 0), 2);
}

/// Published packings of circles in a square are at least as dense as what a hand lays: OEIS A337020
/// (after Szabó et al., New Approaches to Circle Packing in a Square, 2007) gives the most circles of
/// unit area in a square of area n.
const UNIT_CIRCLES_IN_SQUARE: [u32; 40] = [
    0, 0, 1, 1, 2, 3, 4, 4, 5, 5, 6, 8, 9, 9, 9, 10, 11, 12, 13, 13, 15, 16, 16, 16, 18, 18, 20,
    20, 21, 22, 22, 24, 25, 25, 25, 27, 27, 28, 30, 30,
];

proptest! {
    #[test]
    fn never_more_than_the_area_allows(
        w in 100_u32..800, l in 100_u32..800, d in 10_u32..200, g in 0_u32..30, e in 0_u32..20,
    ) {
        let count = f64::from(pieces_per_tray(w, l, d, g, e));
        let inner = |side: u32| f64::from(side + g) - 2.0 * f64::from(e);
        let one = std::f64::consts::PI * f64::from(d + g).powi(2) / 4.0;
        prop_assert!(count * one <= inner(w).max(0.0) * inner(l).max(0.0));
    }

    #[test]
    fn never_fewer_with_more_room_or_smaller_pieces(
        w in 100_u32..800, l in 100_u32..800, d in 10_u32..200, g in 0_u32..30, e in 0_u32..20,
    ) {
        let count = pieces_per_tray(w, l, d, g, e);
        prop_assert_eq!(count, pieces_per_tray(l, w, d, g, e));
        prop_assert!(count <= pieces_per_tray(w + 7, l, d, g, e));
        prop_assert!(count <= pieces_per_tray(w, l, d - 1, g, e));
        prop_assert!(pieces_per_tray(w, l, d, g, e + 1) <= count);
    }

    #[test]
    fn never_more_in_a_square_than_the_best_known_packing(side in 20_u32..200, d in 10_u32..60) {
        let area = f64::from(side * side) / (std::f64::consts::PI * f64::from(d * d) / 4.0);
        prop_assume!(area < 38.0);
        let above: usize = format!("{}", area.ceil()).parse().expect("small");
        prop_assert!(pieces_per_tray(side, side, d, 0, 0) <= UNIT_CIRCLES_IN_SQUARE[above]);
    }
}
