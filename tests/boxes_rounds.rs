//! How many round pieces a tray or a box holds, held against independent counts and published packings.
//!
//! Convention of the table: circles of diameter d, gap g between them, bare edge w, on W × L, are circles
//! of d + g packed into (W − 2w + g) × (L − 2w + g). Its counts were computed apart from this program,
//! with every layout checked by its coordinates: a square grid, hexagonal rows in the better direction,
//! and the best of all row patterns (rows of n and n − 1 spread out, rows of n and n shifted). Lengths in
//! quarter inches or in thousandths of an inch, so that nothing is rounded.
#![cfg(not(target_arch = "wasm32"))]

use proptest::prelude::*;
use rackweek::kitchen::boxes::{Laid, Layout, PARTS, Sheet};

/// Gap and edge of the table's five columns, in quarter inches.
const COLUMNS: [(u32, u32); 5] = [(0, 0), (1, 0), (2, 0), (2, 2), (4, 0)];

/// Width and depth in inches, diameter in half inches, then for each column: grid and hexagonal rows, and
/// the best of row patterns.
type Row = ((u32, u32), u32, [(u32, u32, u32); 5]);

const TABLE: [Row; 20] = [
    // Half-sheet pan, outside.
    ((13, 18), 4, [(54, 60, 60), (40, 45, 46), (35, 39, 39), (35, 33, 35), (24, 28, 28)]),
    ((13, 18), 5, [(35, 36, 36), (24, 30, 30), (24, 28, 28), (20, 21, 21), (20, 21, 21)]),
    ((13, 18), 6, [(24, 22, 25), (20, 21, 21), (15, 18, 18), (15, 15, 16), (12, 15, 15)]),
    ((13, 18), 7, [(15, 18, 18), (12, 15, 16), (12, 13, 13), (12, 11, 12), (12, 11, 12)]),
    ((13, 18), 8, [(12, 13, 13), (12, 11, 12), (12, 11, 12), (6, 9, 9), (6, 9, 9)]),
    // Half-sheet pan, inside.
    ((12, 17), 4, [(48, 50, 50), (35, 42, 42), (35, 33, 35), (24, 30, 30), (24, 22, 25)]),
    ((12, 17), 5, [(24, 30, 30), (24, 25, 28), (20, 21, 21), (15, 20, 20), (15, 18, 18)]),
    ((12, 17), 6, [(20, 21, 21), (15, 18, 18), (15, 15, 16), (12, 13, 13), (12, 13, 13)]),
    ((12, 17), 7, [(12, 13, 14), (12, 13, 13), (12, 11, 12), (8, 11, 11), (8, 11, 11)]),
    ((12, 17), 8, [(12, 11, 12), (8, 11, 11), (6, 9, 9), (6, 8, 8), (6, 8, 8)]),
    // Quarter-sheet pan.
    ((9, 13), 4, [(24, 30, 30), (20, 21, 21), (15, 18, 18), (15, 14, 15), (12, 13, 13)]),
    ((9, 13), 5, [(15, 18, 18), (12, 13, 14), (12, 13, 13), (8, 11, 11), (8, 11, 11)]),
    ((9, 13), 6, [(12, 11, 12), (8, 11, 11), (6, 8, 9), (6, 6, 6), (6, 6, 6)]),
    ((9, 13), 7, [(6, 8, 8), (6, 6, 6), (6, 5, 6), (6, 5, 6), (6, 5, 6)]),
    ((9, 13), 8, [(6, 5, 6), (6, 5, 6), (6, 5, 6), (2, 4, 4), (4, 5, 5)]),
    // A box of 12 × 12 in.
    ((12, 12), 4, [(36, 33, 36), (25, 27, 27), (25, 23, 25), (16, 20, 20), (16, 14, 18)]),
    ((12, 12), 5, [(16, 20, 20), (16, 14, 18), (16, 14, 16), (9, 12, 13), (9, 12, 12)]),
    ((12, 12), 6, [(16, 14, 16), (9, 12, 12), (9, 9, 10), (9, 8, 9), (9, 8, 9)]),
    ((12, 12), 7, [(9, 8, 10), (9, 8, 9), (9, 8, 9), (4, 6, 6), (4, 6, 6)]),
    ((12, 12), 8, [(9, 8, 9), (4, 6, 6), (4, 6, 6), (4, 4, 5), (4, 4, 5)]),
];

/// Gastronorm 1/1, 12.795 × 20.866 in (EN 631-1: 325 × 530 mm), by diameter in half inches.
const GASTRONORM: [(u32, [u32; 5]); 3] =
    [(5, [41, 35, 30, 25, 22]), (6, [28, 25, 22, 18, 16]), (7, [20, 18, 15, 15, 13])];

/// Other boxes, without gaps: width and depth in inches, diameter in half inches, best of row patterns.
const BOXES: [((u32, u32), u32, u32); 12] = [
    ((10, 10), 6, 9),
    ((10, 10), 7, 6),
    ((10, 10), 8, 5),
    ((8, 8), 5, 9),
    ((8, 8), 6, 6),
    ((8, 8), 7, 4),
    ((9, 12), 5, 16),
    ((9, 12), 6, 12),
    ((9, 12), 7, 6),
    ((10, 14), 5, 21),
    ((10, 14), 6, 13),
    ((10, 14), 7, 11),
];

/// In quarter inches.
fn sheet((width, depth): (u32, u32), across: u32, (gap, edge): (u32, u32)) -> Sheet {
    Sheet { width: 4 * width, depth: 4 * depth, across: 2 * across, gap, edge }
}

fn gastronorm(across: u32, (gap, edge): (u32, u32)) -> Sheet {
    Sheet { width: 12_795, depth: 20_866, across: 500 * across, gap: 250 * gap, edge: 250 * edge }
}

#[test]
fn rows_agree_with_the_independent_table() {
    for (size, across, counts) in TABLE {
        for (column, (grid, hexagonal, best)) in COLUMNS.into_iter().zip(counts) {
            let found = sheet(size, across, column).in_rows();
            assert!(grid.max(hexagonal) <= best, "the table agrees with itself");
            assert_eq!(found, best, "{size:?}, d {across}/2, gap and edge {column:?}/4");
        }
    }
    for (across, counts) in GASTRONORM {
        for (column, best) in COLUMNS.into_iter().zip(counts) {
            assert_eq!(gastronorm(across, column).in_rows(), best, "d {across}/2 {column:?}/4");
        }
    }
    for (size, across, best) in BOXES {
        assert_eq!(sheet(size, across, (0, 0)).in_rows(), best, "{size:?}, d {across}/2");
    }
}

/// What a search of many starts has found to fit (numbers P1 to P13), and for squares what is proved to
/// be the most (OEIS A337020 between the areas next below and above).
#[test]
fn searched_patterns_reach_what_is_known_to_fit() {
    let half = (2, 0);
    for (name, sheet, fits) in [
        ("P1", sheet((13, 18), 7, half), 14),
        ("P2", sheet((13, 18), 7, (2, 2)), 12),
        ("P3", sheet((12, 17), 7, (2, 2)), 11),
        ("P4", sheet((13, 18), 6, half), 19),
        ("P5", sheet((12, 17), 6, half), 16),
        ("P6", sheet((13, 18), 8, half), 12),
        ("P7", sheet((12, 17), 8, half), 9),
        ("P8", sheet((9, 13), 6, half), 9),
        ("P9", sheet((9, 13), 7, half), 6),
        ("P10", sheet((13, 18), 7, (1, 0)), 16),
        ("P11", sheet((10, 14), 6, (0, 0)), 14),
        ("P12", sheet((9, 12), 6, (0, 0)), 12),
        ("P13", gastronorm(7, half), 16),
        ("box 12 × 12, d 2½", sheet((12, 12), 5, (0, 0)), 22),
        ("box 12 × 12, d 3", sheet((12, 12), 6, (0, 0)), 16),
        ("box 12 × 12, d 3½", sheet((12, 12), 7, (0, 0)), 10),
        ("box 12 × 12, d 4", sheet((12, 12), 8, (0, 0)), 9),
        ("box 8 × 8, d 2½", sheet((8, 8), 5, (0, 0)), 9),
    ] {
        assert_eq!(sheet.most(), fits, "{name}");
        for count in 1..=fits {
            let layout = sheet.lay(count).expect(name);
            assert_eq!(layout.centres.len(), usize::try_from(count).expect("small"));
            // Rows are proved in squares; their places are rounded to parts of a quarter inch.
            let slack = if layout.laid == Laid::Searched { 0 } else { 2 };
            assert!(layout.holds(&sheet, slack), "{name}: {count}, {:?}", layout.laid);
        }
        assert!(sheet.lay(sheet.at_most() + 1).is_none(), "{name}");
    }
}

/// The certificates of P1 and P11 as published with them, in inches to three places.
#[test]
fn known_layouts_are_recognised() {
    let p1 = [
        (2405, 1764),
        (6433, 1764),
        (11236, 1764),
        (8834, 4998),
        (1764, 5741),
        (5497, 7253),
        (11236, 8231),
        (1764, 9769),
        (7503, 10747),
        (11236, 12259),
        (4166, 13002),
        (1764, 16236),
        (6567, 16236),
        (10595, 16236),
    ];
    let p11 = [
        (1509, 1509),
        (4528, 1509),
        (7943, 1509),
        (5360, 4411),
        (8491, 4478),
        (1509, 4528),
        (3505, 6792),
        (6495, 7208),
        (1509, 9057),
        (8491, 9472),
        (4640, 9589),
        (2132, 12401),
        (5472, 12491),
        (8491, 12491),
    ];
    let thousandths = |places: &[(i64, i64)]| Layout {
        laid: Laid::Searched,
        centres: places.iter().map(|&(x, y)| (x * PARTS, y * PARTS)).collect(),
    };
    let tray = Sheet { width: 13_000, depth: 18_000, across: 3500, gap: 500, edge: 0 };
    let carton = Sheet { width: 10_000, depth: 14_000, across: 3000, gap: 0, edge: 0 };
    for (sheet, places) in [(tray, p1), (carton, p11)] {
        assert!(thousandths(&places).holds(&sheet, 0));
        assert!(!thousandths(&places).holds(&Sheet { gap: sheet.gap + 40, ..sheet }, 0));
        assert!(!thousandths(&places).holds(&Sheet { width: sheet.width - 40, ..sheet }, 0));
        let mut twice = places.to_vec();
        twice.push(places[0]);
        assert!(!thousandths(&twice).holds(&sheet, 0));
    }
}

#[test]
fn exact_touches_are_not_lost() {
    let sheet = |width, depth| Sheet { width, depth, across: 1000, gap: 0, edge: 0 };
    // Two shifted rows of pitch 1000 are 1000 × (1 + √3/2) = 1866.03 deep.
    assert_eq!(sheet(1500, 1866).in_rows(), 1);
    assert_eq!(sheet(1500, 1867).in_rows(), 2);
    // A zigzag of single pieces, 600 apart in depth where the width gives 800: 3-4-5.
    assert_eq!(sheet(1800, 1600).in_rows(), 2);
    assert_eq!(sheet(1800, 1599).in_rows(), 1);
    assert_eq!(sheet(1800, 2800).in_rows(), 4, "1000 + 3 × 600");
    assert_eq!(sheet(4000, 4000).in_rows(), 16);
    // A hair less, and a zigzag of three is left of the square of four.
    assert_eq!((sheet(2000, 2000).in_rows(), sheet(1999, 2000).in_rows()), (4, 3));
}

#[test]
fn nothing_fits_a_sheet_that_is_too_small() {
    let sheet = |width, depth, across, edge| Sheet { width, depth, across, gap: 10, edge };
    assert_eq!(sheet(80, 300, 90, 0).most(), 0);
    assert_eq!(sheet(300, 300, 0, 0).most(), 0);
    assert_eq!(sheet(300, 300, 90, 200).most(), 0);
    assert_eq!(sheet(90, 90, 90, 0).most(), 1);
    assert_eq!(sheet(80, 300, 90, 0).sheets(5, true), None);
    assert_eq!(sheet(0, 0, 90, 0).lay(1), None);
}

#[test]
fn a_pattern_is_searched_only_where_it_saves_a_tray() {
    // P1: 13 in rows on a tray, 14 in a searched pattern.
    let sheet = sheet((13, 18), 7, (2, 0));
    for (pieces, trays, on_one) in
        [(9, 1, 9), (13, 1, 13), (14, 1, 14), (15, 2, 13), (26, 2, 13), (28, 2, 14), (29, 3, 13)]
    {
        assert_eq!(sheet.sheets(pieces, true), Some((trays, on_one)), "{pieces}");
        assert_eq!(
            sheet.lay(on_one).map(|layout| layout.laid == Laid::Searched),
            Some(on_one == 14)
        );
    }
}

/// OEIS A337020 (after Szabó et al., New Approaches to Circle Packing in a Square, 2007): the most
/// circles of unit area in a square of area n; proved up to 30 circles, best known beyond.
const UNIT_CIRCLES_IN_SQUARE: [u32; 40] = [
    0, 0, 1, 1, 2, 3, 4, 4, 5, 5, 6, 8, 9, 9, 9, 10, 11, 12, 13, 13, 15, 16, 16, 16, 18, 18, 20,
    20, 21, 22, 22, 24, 25, 25, 25, 27, 27, 28, 30, 30,
];

#[test]
fn squares_hold_what_the_sequence_says() {
    for across in [50_u32, 63, 77, 88, 100] {
        for side in (100..400).step_by(25) {
            let area =
                f64::from(side * side) / (std::f64::consts::PI * f64::from(across).powi(2) / 4.0);
            if area < 38.0 {
                let index: usize = format!("{}", area.floor()).parse().expect("small");
                let found = Sheet { width: side, depth: side, across, gap: 0, edge: 0 }.most();
                let (below, above) =
                    (UNIT_CIRCLES_IN_SQUARE[index], UNIT_CIRCLES_IN_SQUARE[index + 1]);
                assert!(found <= above, "{side} {across}: {found} > {above}");
                assert!(below <= found, "{side} {across}: {found} < {below}");
            }
        }
    }
}

#[test]
fn a_larger_tray_never_holds_fewer() {
    // Real trays and boxes in steps of a centimetre, cookies of 5 to 13 cm with a finger between.
    for across in (50..=130).step_by(8) {
        let most = |width, depth, gap| Sheet { width, depth, across, gap, edge: 0 }.most();
        for depth in [230, 330, 457] {
            let counts: Vec<u32> =
                (200..=460).step_by(20).map(|width| most(width, depth, 12)).collect();
            assert!(counts.is_sorted(), "{across} on {depth}: {counts:?}");
            assert!(most(330, depth, 12) <= most(330, depth, 8), "{across} on {depth}");
        }
    }
}

proptest! {
    #[test]
    fn never_more_than_the_area_allows(
        w in 100_u32..800, l in 100_u32..800, d in 10_u32..200, g in 0_u32..30, e in 0_u32..20,
    ) {
        let sheet = Sheet { width: w, depth: l, across: d, gap: g, edge: e };
        let count = sheet.in_rows();
        prop_assert!(count <= sheet.at_most());
        let inner = |side: u32| f64::from(side + g) - 2.0 * f64::from(e);
        let one = std::f64::consts::PI * f64::from(d + g).powi(2) / 4.0;
        prop_assert!(f64::from(count) * one <= inner(w).max(0.0) * inner(l).max(0.0));
    }

    #[test]
    fn never_fewer_with_more_room_or_smaller_pieces(
        w in 100_u32..800, l in 100_u32..800, d in 10_u32..200, g in 1_u32..30, e in 0_u32..20,
    ) {
        let count = |width, depth, across, gap, edge| {
            Sheet { width, depth, across, gap, edge }.in_rows()
        };
        let found = count(w, l, d, g, e);
        prop_assert_eq!(found, count(l, w, d, g, e));
        prop_assert!(found <= count(w + 7, l, d, g, e));
        prop_assert!(found <= count(w, l, d - 1, g, e));
        prop_assert!(found <= count(w, l, d, g - 1, e));
        prop_assert!(count(w, l, d, g, e + 1) <= found);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn every_layout_is_proved_by_its_coordinates(
        w in 100_u32..500, l in 100_u32..500, d in 40_u32..200, g in 0_u32..30, e in 0_u32..20,
    ) {
        let sheet = Sheet { width: w, depth: l, across: d, gap: g, edge: e };
        let turned = Sheet { width: l, depth: w, ..sheet };
        let rows = sheet.in_rows();
        for count in [rows, rows + 1] {
            let layout = sheet.lay(count);
            prop_assert!(count > rows || count == 0 || layout.is_some());
            prop_assert_eq!(layout.is_some(), turned.lay(count).is_some());
            if let Some(layout) = layout.filter(|_| count > 0) {
                prop_assert!(count <= sheet.at_most());
                prop_assert!(layout.holds(&sheet, if count > rows { 0 } else { 2 }), "{:?}", layout);
            }
        }
    }

    #[test]
    fn trays_are_enough_and_never_one_too_many(
        pieces in 1_u32..200, d in 40_u32..130, g in 0_u32..20,
    ) {
        let sheet = Sheet { width: 330, depth: 457, across: d, gap: g, edge: 0 };
        let (trays, on_one) = sheet.sheets(pieces, true).expect("one fits");
        prop_assert!(pieces <= trays * on_one);
        prop_assert!((trays - 1) * sheet.in_rows() < pieces);
        prop_assert!(sheet.lay(on_one.min(pieces)).is_some());
    }
}
