//! Published rectangle sets as packing questions.
//!
//! Sizes as printed in Hopper & Turton 2001, "An empirical investigation of meta-heuristic and heuristic
//! algorithms for a 2D packing problem", EJOR 128, category 1 (three cuttings of a 20 × 20 sheet
//! without waste), and the first 20-piece set of class 1 of Berkey & Wang 1987, "Two-dimensional finite
//! bin-packing algorithms", J. Opl Res. Soc. 38 (bins of 10 × 10). All heights are 1: one layer.
#![cfg(not(target_arch = "wasm32"))]

use rackweek::kitchen::packing::{Answer, PackBox, PackProblem, PackShelf, pack, verify};

const HOPPER_TURTON_1: [&[(u32, u32)]; 3] = [
    &[
        (2, 12),
        (7, 12),
        (8, 6),
        (3, 6),
        (3, 5),
        (5, 5),
        (3, 12),
        (3, 7),
        (5, 7),
        (2, 6),
        (3, 2),
        (4, 2),
        (3, 4),
        (4, 4),
        (9, 2),
        (11, 2),
    ],
    &[
        (4, 1),
        (4, 5),
        (9, 4),
        (3, 5),
        (3, 9),
        (1, 4),
        (5, 3),
        (4, 1),
        (5, 5),
        (7, 2),
        (9, 3),
        (3, 13),
        (2, 8),
        (15, 4),
        (5, 4),
        (10, 6),
        (7, 2),
    ],
    &[
        (4, 14),
        (5, 2),
        (2, 2),
        (9, 7),
        (5, 5),
        (2, 5),
        (7, 7),
        (3, 5),
        (6, 5),
        (3, 2),
        (6, 2),
        (4, 6),
        (6, 3),
        (10, 3),
        (6, 3),
        (10, 3),
    ],
];

const BERKEY_WANG_1: &[(u32, u32)] = &[
    (5, 9),
    (4, 2),
    (10, 6),
    (5, 7),
    (6, 3),
    (10, 7),
    (1, 5),
    (3, 5),
    (6, 9),
    (2, 4),
    (6, 7),
    (7, 2),
    (8, 3),
    (4, 10),
    (4, 5),
    (10, 3),
    (8, 3),
    (7, 8),
    (8, 3),
    (8, 7),
];

fn question(shelves: usize, floor: (u32, u32), pieces: &[(u32, u32)]) -> PackProblem {
    let shelves = (0..shelves).map(|index| PackShelf {
        id: format!("sheet {index}"),
        width: floor.0,
        depth: floor.1,
        height: 1,
    });
    let boxes = pieces.iter().enumerate().map(|(index, &(width, depth))| PackBox {
        id: format!("piece {index}"),
        kind: format!("piece {index}"),
        width,
        depth,
        height: 1,
        pile: 1,
    });
    PackProblem::new(shelves.collect(), boxes.collect())
}

fn fits(problem: &PackProblem, nodes: u64) -> bool {
    match pack(problem, nodes) {
        Answer::Fits(placed) => {
            assert_eq!(verify(problem, &placed), Vec::<String>::new());
            true
        }
        Answer::Impossible(_) => false,
        Answer::NotProven { nodes } => panic!("not proven within {nodes} nodes"),
    }
}

#[test]
fn sheets_cut_without_waste_go_together_again() {
    for pieces in HOPPER_TURTON_1 {
        assert_eq!(pieces.iter().map(|(w, d)| w * d).sum::<u32>(), 400, "no waste");
        assert!(fits(&question(1, (20, 20), pieces), 2_000_000));
    }
}

#[test]
fn one_millimetre_less_is_impossible_by_area_alone() {
    for pieces in HOPPER_TURTON_1 {
        assert!(!fits(&question(1, (20, 19), pieces), 0));
    }
}

#[test]
fn one_more_piece_of_one_square_millimetre_is_impossible_by_area_alone() {
    for pieces in HOPPER_TURTON_1 {
        let more = [pieces, &[(1, 1)]].concat();
        assert!(!fits(&question(1, (20, 20), &more), 0));
    }
}

#[test]
fn bins_of_ten_by_ten_hold_twenty_pieces_where_the_area_allows_and_not_below() {
    // 648 of area need seven bins at least.
    assert!(!fits(&question(6, (10, 10), BERKEY_WANG_1), 0));
    assert!(fits(&question(8, (10, 10), BERKEY_WANG_1), 2_000_000));
}
