//! Trays and boxes of published sizes on shelves of given sizes.
//!
//! Sources: Gastronorm sizes from EN 631-1 (1993); the inch of exactly 25.4 mm from NIST Special
//! Publication 811, appendix B; the US half sheet of 13 × 18 in is common practice, no published
//! source; shelf sizes are examples.
#![cfg(not(target_arch = "wasm32"))]

use proptest::prelude::*;
use rackweek::calendar::{Elapsed, Horizon, Span, Zone};
use rackweek::kitchen::{
    Boxes, Counter, FootBox, Household, Kitchen, Oven, Place, Rack, Shelf, ShelfKind, Stay, Warmth,
    presets, use_over_time,
};

/// Gastronorm sizes in mm (EN 631-1).
const GN_1_1: (u16, u16) = (530, 325);
const GN_2_1: (u16, u16) = (650, 530);
const GN_1_2: (u16, u16) = (325, 265);
const GN_1_3: (u16, u16) = (325, 176);
const GN_2_3: (u16, u16) = (354, 325);

/// Whole millimetres that hold a length given in tenths of an inch (1 in = 25.4 mm exactly).
fn inches_up(tenths: u32) -> u16 {
    u16::try_from((tenths * 254).div_ceil(100)).expect("small")
}

/// Whole millimetres that are surely there in a length given in tenths of an inch.
fn inches_down(tenths: u32) -> u16 {
    u16::try_from(tenths * 254 / 100).expect("small")
}

fn shelf(width: u16, depth: u16, height: u16) -> Shelf {
    let (kind, household) = (ShelfKind::Shelf, Household::Nothing);
    Shelf { name: "shelf".into(), kind, width, depth, height, household }
}

fn kitchen(fridge: Vec<Shelf>, racks: Vec<Rack>) -> Kitchen {
    Kitchen {
        fridge,
        freezer: Vec::new(),
        racks,
        counter: Counter { width: 1800, depth: 600, work_zone: 800 },
        room: Vec::new(),
        oven: Oven { decks: 2, trays_per_deck: 1 },
        mixers: 1,
        clearings: Vec::new(),
        boxes: Boxes::usual(),
        warmth: Warmth::default(),
    }
}

fn tray((width, depth): (u16, u16), height: u16) -> FootBox {
    FootBox { kind: "tray".into(), width, depth, height, count: 1, pile: 1 }
}

fn fits(kitchen: &Kitchen, place: Place, item: FootBox) -> bool {
    kitchen.demand(place, &[item]).is_ok()
}

#[test]
fn an_inch_is_25_4_millimetres() {
    assert_eq!((inches_up(100), inches_down(100)), (254, 254));
    assert_eq!((inches_up(130), inches_down(130)), (331, 330), "13 in are 330.2 mm");
    assert_eq!((inches_up(180), inches_down(180)), (458, 457), "18 in are 457.2 mm");
}

#[test]
fn gastronorm_trays_stand_where_they_are_no_larger() {
    // A shelf as in a 60 cm wide fridge: 47 × 33 cm.
    let home = kitchen(vec![shelf(470, 330, 220)], Vec::new());
    for (size, expected) in
        [(GN_1_1, false), (GN_2_1, false), (GN_1_2, true), (GN_1_3, true), (GN_2_3, true)]
    {
        assert_eq!(fits(&home, Place::Fridge, tray(size, 65)), expected, "{size:?}");
    }
    // A cabinet made for the full size takes it, and the double size only turned.
    let cabinet = kitchen(vec![shelf(530, 650, 300)], Vec::new());
    assert!(fits(&cabinet, Place::Fridge, tray(GN_1_1, 200)));
    assert!(fits(&cabinet, Place::Fridge, tray(GN_2_1, 200)));
    assert!(!fits(&cabinet, Place::Fridge, tray((651, 530), 200)));
}

#[test]
fn two_half_gastronorm_trays_take_the_area_of_a_whole_one() {
    let cabinet = kitchen(vec![shelf(530, 325, 300)], Vec::new());
    let area = |item: FootBox| cabinet.demand(Place::Fridge, &[item]).expect("fits")[0].1;
    let whole = area(tray(GN_1_1, 65));
    let halves = area(FootBox { count: 2, ..tray(GN_1_2, 65) });
    // 1722.5 cm², and 861.25 cm² twice, each rounded down: a full shelf is not an overfull one.
    assert_eq!((whole, halves), (1722, 1722));
    assert_eq!(cabinet.capacity(Place::Fridge).classes[0].capacity, 1722);
}

#[test]
fn a_half_sheet_fits_wide_fridges_and_ovens_racks_only() {
    let half_sheet = || tray((inches_up(180), inches_up(130)), inches_up(10));
    // Shelves as common in the trade: a 36 in wide model has 30 × 14 in at the least, a 30 in wide
    // one 25 × 14, a 60 cm wide one 45 × 28 cm.
    for (width, depth, expected) in [
        (inches_down(300), inches_down(140), true),
        (inches_down(250), inches_down(140), true),
        (450, 280, false),
        (457, 331, false),
        (458, 331, true),
        (331, 458, true),
    ] {
        let kitchen = kitchen(vec![shelf(width, depth, 200)], Vec::new());
        assert_eq!(fits(&kitchen, Place::Fridge, half_sheet()), expected, "{width} × {depth}");
    }
    let rack =
        |tray_width, tray_depth| Rack { name: "rack".into(), levels: 6, tray_width, tray_depth };
    let small = kitchen(Vec::new(), vec![rack(400, 300)]);
    assert!(!fits(&small, Place::Rack, half_sheet()));
    let both = kitchen(Vec::new(), vec![rack(400, 300), rack(600, 400)]);
    assert!(fits(&both, Place::Rack, half_sheet()), "the larger rack takes it");
}

#[test]
fn a_tall_cake_in_its_box_needs_a_shelf_cleared_above() {
    // A box of 12 × 12 × 12 in for a tall cake (common practice, no published source).
    let side = inches_up(120);
    let cake = || tray((side, side), side);
    assert_eq!(side, 305);
    for preset in presets() {
        assert!(!fits(&preset.kitchen, Place::Freezer, cake()), "{}", preset.id);
    }
    let tall: Vec<&str> = presets()
        .iter()
        .filter(|preset| fits(&preset.kitchen, Place::Fridge, cake()))
        .map(|preset| preset.id)
        .collect();
    assert_eq!(tall, ["two-ovens"], "only there a shelf is 320 mm clear");
    let why = presets()[0].kitchen.demand(Place::Fridge, &[cake()]).expect_err("too high");
    assert!(why.message.contains("260 mm clear"), "{why}");
}

proptest! {
    /// What really stands side by side on shelves, laid out in rows, is never called too much.
    #[test]
    fn a_set_that_was_laid_out_is_within_every_class(
        shelves in prop::collection::vec((100..800_u16, 100..600_u16, 50..400_u16, 1..4_u16, 1..4_u16), 1..5),
    ) {
        let kitchen = kitchen(shelves.iter().map(|&(w, d, h, ..)| shelf(w, d, h)).collect(), Vec::new());
        // Each shelf is cut into columns × rows of equal boxes.
        let boxes: Vec<FootBox> = shelves
            .iter()
            .map(|&(w, d, h, columns, rows)| FootBox {
                kind: "box".into(),
                width: w / columns,
                depth: d / rows,
                height: h,
                count: columns * rows,
                pile: 1,
            })
            .collect();
        let capacity = kitchen.capacity(Place::Fridge);
        for (class, amount) in kitchen.demand(Place::Fridge, &boxes).expect("each fits its own shelf") {
            prop_assert!(amount <= capacity.classes[class].capacity);
        }
        let horizon = Horizon::from_monday_of("2026-11-23".parse().expect("a date"), 7, Zone::fixed("kitchen", 0));
        let stays: Vec<Stay> = boxes
            .into_iter()
            .map(|item| Stay {
                place: Place::Fridge,
                boxes: vec![item],
                label: "box".into(),
                mark: "ML".into(),
                span: Span::new(Elapsed(60), Elapsed(120)),
            })
            .collect();
        let fridge = use_over_time(&kitchen, &horizon, &stays).remove(0);
        prop_assert!(fridge.steps.iter().all(|step| !step.overfull));
        prop_assert!(fridge.peaks[0].percent <= 100);
    }
}
