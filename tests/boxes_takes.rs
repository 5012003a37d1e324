//! What things take up: boards, boxes, tubs and bags from the size of what goes into them.
//!
//! Trade sizes of boards and boxes are common practice, no published source; 1 in = 25.4 mm exactly. The
//! figures follow from geometry and are worked out beside each case.
#![cfg(not(target_arch = "wasm32"))]

use proptest::prelude::*;
use rackweek::kitchen::Boxes;
use rackweek::kitchen::boxes::{Container, Load, Purpose, TakesUp};

fn takes(boxes: &Boxes, amount: u32, load: &Load) -> TakesUp {
    boxes.takes_up("thing", amount, load).expect("it fits")
}

/// Count, then width, depth and height in mm.
fn size(takes: &TakesUp) -> (u16, u16, u16, u16) {
    (takes.item.count, takes.item.width, takes.item.depth, takes.item.height)
}

fn cookies(across: u32) -> Load {
    Load::Boxed {
        into: Purpose::PieceBox,
        across,
        thick: 30,
        gap: 2,
        layers: 2,
        most: Some(12),
        cells: false,
    }
}

fn container(name: &str, purpose: Purpose, [width, depth, height]: [u16; 3]) -> Container {
    Container { name: name.into(), purpose, width, depth, height, wall: 3, pile: 2 }
}

#[test]
fn an_eight_inch_cake_seven_inches_tall_goes_into_the_ten_inch_box() {
    let boxes = Boxes::usual();
    // 203 + 50 mm is no more than 10 in (254 mm); 178 + 12 + 20 = 210 mm is more than 5 in, no more than 10.
    let boxed = takes(&boxes, 1, &Load::BoxedCake { across: 203, tall: 178 });
    assert_eq!(size(&boxed), (1, 260, 260, 260));
    assert_eq!(
        boxed.why,
        "203 mm cake, 178 mm tall, on the 10 in board 12 mm thick, 20 mm air above: the 10 × 10 × 10 \
         in box"
    );
    assert!(boxed.listed && !boxed.measured);
    let open = takes(&boxes, 2, &Load::BoardCake { across: 203, tall: 178 });
    assert_eq!(size(&open), (2, 254, 254, 210));
    // A millimetre less than the low box's 127 mm, and one more.
    let low = |tall| size(&takes(&boxes, 1, &Load::BoxedCake { across: 200, tall })).3;
    assert_eq!((low(95), low(96)), (133, 260));
}

#[test]
fn what_no_listed_box_takes_is_told() {
    let mut boxes = Boxes::usual();
    let tall = Load::BoxedCake { across: 203, tall: 300 };
    let found = takes(&boxes, 1, &tall);
    assert!(!found.listed && found.why.contains("no cake box in your list"), "{}", found.why);
    assert_eq!(
        size(&found),
        (1, 260, 260, 338),
        "254 mm of board and 332 mm, 3 mm of wall all round"
    );
    boxes.containers.push(container("tall box", Purpose::CakeBox, [254, 254, 340]));
    let found = takes(&boxes, 1, &tall);
    assert!(found.listed && found.why.ends_with("the tall box"), "{}", found.why);
    boxes.containers.clear();
    for load in [
        tall,
        Load::BoardCake { across: 150, tall: 100 },
        cookies(90),
        Load::Tubs { density: 900, deepest: None },
        Load::Bags { density: 1320 },
    ] {
        let found = takes(&boxes, 10, &load);
        assert!(!found.listed && !found.why.is_empty(), "{load:?}");
        assert!(found.item.count > 0 && found.item.width > 1, "{load:?}: {:?}", found.item);
    }
}

#[test]
fn cookies_are_counted_into_boxes_by_their_size() {
    let boxes = Boxes::usual();
    // 305 + 2 = 3 × 92 and 229 + 2 = 2 × 92: six in a layer, twelve in the box of 12 × 9 in.
    let dozen = takes(&boxes, 12, &cookies(90));
    assert_eq!(size(&dozen), (1, 309, 233, 68));
    assert!(dozen.why.contains("12 in 2 layers of 6 in the 12 × 9 × 2½ in box"), "{}", dozen.why);
    assert_eq!(takes(&boxes, 13, &cookies(90)).item.count, 2);
    // The floor is filled first: three zigzag rows of two in 254 × 254, so not seven layers of two.
    let tin = Load::Boxed {
        into: Purpose::Tin,
        across: 90,
        thick: 15,
        gap: 2,
        layers: 8,
        most: None,
        cells: false,
    };
    let kept = takes(&boxes, 14, &tin);
    assert!(
        kept.why.contains("14 in 3 layers of up to 6 in the 10 × 10 × 5 in tin"),
        "{}",
        kept.why
    );
    // Small ones go into the smaller box: 5 × 3 of 50 + 2 mm in 254 × 178.
    assert_eq!(size(&takes(&boxes, 12, &cookies(50))), (1, 258, 182, 68));
    assert_eq!(dozen.item.pile, 4);
}

#[test]
fn tubs_are_chosen_by_litres() {
    let boxes = Boxes::usual();
    let tubs = |grams| takes(&boxes, grams, &Load::Tubs { density: 900, deepest: None });
    // The litre tub is 150 × 110 × 66 mm, 1089 ml, 980 at 90 %: 882 g at 0.9 g/ml.
    assert_eq!(size(&tubs(882)), (1, 160, 120, 76));
    assert_eq!(size(&tubs(883)), (1, 200, 150, 90));
    assert!(tubs(883).why.starts_with("883 g are 982 ml; filled to 90 %: the 2 litre tub"));
    // The largest holds 230 × 170 × 108 × 0.9 = 3800 ml, 3420 g; two shares of 1711 g go into 2 litres.
    assert_eq!(tubs(3420).item.count, 1);
    assert_eq!(size(&tubs(3422)), (2, 200, 150, 90));
    // What must cool fast lies no deeper than 50 mm: 230 × 170 × 50 = 1955 ml.
    let shallow =
        |grams| takes(&boxes, grams, &Load::Tubs { density: 1000, deepest: Some(50) }).item.count;
    assert_eq!((shallow(1955), shallow(1956)), (1, 2));
}

#[test]
fn a_filled_bag_lies_as_thick_as_its_content_asks() {
    let boxes = Boxes::usual();
    let bags = |grams| takes(&boxes, grams, &Load::Bags { density: 1000 });
    // Half of 140 mm wide, two thirds of 229 mm long, h thick: (70 h − π h²/4) × 152.67 mm³.
    let holds = |h: f64| (70.0 * h - std::f64::consts::PI * h * h / 4.0) * 152.67 / 1000.0;
    for grams in [100_u32, 150, 200] {
        let (count, width, depth, height) = size(&bags(grams));
        assert_eq!((count, width, depth), (1, 140, 229));
        let (below, here) = (holds(f64::from(height) - 1.5), holds(f64::from(height) + 0.5));
        assert!(below < f64::from(grams) && f64::from(grams) <= here, "{grams} g, {height} mm");
    }
    assert_eq!(size(&bags(5)).3, 10, "a bag is never flatter than a finger");
    assert!(bags(5000).item.count > 5);
}

#[test]
fn layers_are_wrapped_and_piled() {
    let load = Load::Wrapped { across: 150, thick: 45, wrap: 10, pile: 6 };
    let found = takes(&Boxes::usual(), 4, &load);
    assert_eq!((size(&found), found.item.pile), ((4, 170, 170, 45), 6));
}

#[test]
fn trays_may_be_laid_by_a_drawing() {
    let mut boxes = Boxes::usual();
    // Like a half sheet with cookies of 3½ in, ½ in apart: 12 in rows, 14 in a searched pattern.
    let load = Load::Trays { tray: (330, 457), across: 90, gap: 12, edge: 0, height: 40 };
    let rows = takes(&boxes, 28, &load);
    assert_eq!((rows.item.count, rows.drawing), (3, None));
    boxes.by_drawing = true;
    let drawn = takes(&boxes, 28, &load);
    let (sheet, count) = drawn.drawing.expect("a drawing");
    assert_eq!((drawn.item.count, count), (2, 14));
    assert!(drawn.why.contains("laid as drawn"), "{}", drawn.why);
    assert!(sheet.lay(count).expect("it was found").holds(&sheet, 0));
    let too_wide = Load::Trays { tray: (330, 457), across: 331, gap: 0, edge: 0, height: 40 };
    assert_eq!(boxes.takes_up("tray", 1, &too_wide), None);
}

#[test]
fn what_she_measured_counts_until_it_is_taken_back() {
    let mut boxes = Boxes::usual();
    let load = Load::BoxedCake { across: 150, tall: 180 };
    let here = |boxes: &Boxes, load: &Load| {
        boxes.takes_up_here(("tall-layer-cake", "boxed"), "boxed cake", 2, load).expect("it fits")
    };
    let reckoned = here(&boxes, &load);
    boxes.measure("tall-layer-cake", "boxed", &reckoned.size, Some((220, 221, 250)));
    assert_eq!(boxes.validate(), []);
    let own = here(&boxes, &load);
    assert_eq!(size(&own), (2, 220, 221, 250));
    assert!(own.measured && own.reckoned == reckoned.item);
    // Another size, another thing and another card are not meant.
    assert!(!here(&boxes, &Load::BoxedCake { across: 151, tall: 180 }).measured);
    assert!(
        !boxes.takes_up_here(("tall-layer-cake", "open"), "x", 1, &load).expect("fits").measured
    );
    assert!(!boxes.takes_up_here(("other", "boxed"), "x", 1, &load).expect("fits").measured);
    boxes.measure("tall-layer-cake", "boxed", &reckoned.size, Some((230, 230, 250)));
    assert_eq!(boxes.measured.len(), 1, "a new measure takes the place of the old one");
    boxes.measure("tall-layer-cake", "boxed", &reckoned.size, None);
    assert_eq!(here(&boxes, &load), reckoned);
}

#[test]
fn the_list_is_checked_at_each_field() {
    type Change = fn(&mut Boxes);
    let changes: [(Change, &str, &str); 10] = [
        (|b| b.containers[0].name = " ".into(), "boxes.containers.0.name", "for example"),
        (|b| b.containers[1].name = "6 in board".into(), "boxes.containers.1.name", "already"),
        (|b| b.containers[2].width = 19, "boxes.containers.2.width", "20 to 1000"),
        (|b| b.containers[2].depth = 1001, "boxes.containers.2.depth", "20 to 1000"),
        (|b| b.containers[3].height = 1, "boxes.containers.3.height", "2 to 1000"),
        (|b| b.containers[5].wall = 41, "boxes.containers.5.wall", "0 to 40"),
        (|b| b.containers[6].pile = 0, "boxes.containers.6.pile", "1 to 20"),
        (|b| b.measure("a", "b", "c", Some((4, 10, 10))), "boxes.measured.0.width", "5 to 2000"),
        (
            |b| b.measure("a", "b", "c", Some((10, 10, 2001))),
            "boxes.measured.0.height",
            "5 to 2000",
        ),
        (|b| b.measure("a", "", "c", Some((10, 10, 10))), "boxes.measured.0.thing", "for example"),
    ];
    assert_eq!(Boxes::usual().validate(), []);
    for (change, field, part) in changes {
        let mut boxes = Boxes::usual();
        change(&mut boxes);
        let refusals = boxes.validate();
        assert_eq!(refusals.len(), 1, "{field}: {refusals:?}");
        assert_eq!(refusals[0].field, field);
        assert!(refusals[0].message.contains(part), "{}", refusals[0]);
    }
}

proptest! {
    #[test]
    fn a_cake_is_inside_its_box_with_air(across in 60_u32..320, tall in 30_u32..280) {
        let found = takes(&Boxes::usual(), 1, &Load::BoxedCake { across, tall });
        let (_, width, depth, height) = size(&found);
        prop_assert!(u32::from(width.min(depth)) >= across + 50);
        prop_assert!(u32::from(height) >= tall + 12 + 20);
        let larger = takes(&Boxes::usual(), 1, &Load::BoxedCake { across, tall: tall + 1 });
        prop_assert!(height <= larger.item.height || width < larger.item.width);
    }

    #[test]
    fn tubs_hold_what_is_put_into_them(grams in 1_u32..9000, density in 700_u32..1500) {
        let found = takes(&Boxes::usual(), grams, &Load::Tubs { density, deepest: None });
        let (count, width, depth, height) = size(&found);
        // Inside every listed tub is 10 mm less each way.
        let ml = f64::from(width - 10) * f64::from(depth - 10) * f64::from(height - 10) / 1000.0;
        prop_assert!(f64::from(count) * ml * 0.9 >= f64::from(grams) * 1000.0 / f64::from(density));
        let more = takes(&Boxes::usual(), grams + 50, &Load::Tubs { density, deepest: None });
        prop_assert!(found.item.count <= more.item.count);
    }

    #[test]
    fn boxed_pieces_have_their_area(pieces in 1_u32..120, across in 30_u32..140) {
        let found = takes(&Boxes::usual(), pieces, &cookies(across));
        let (count, width, depth, _) = size(&found);
        let floor = f64::from(width) * f64::from(depth) * 2.0 * f64::from(count);
        let one = std::f64::consts::PI * f64::from(across).powi(2) / 4.0;
        prop_assert!(f64::from(pieces) * one <= floor);
        prop_assert!(pieces <= 12 * u32::from(count));
        prop_assert!(found.item.count <= takes(&Boxes::usual(), pieces + 1, &cookies(across)).item.count);
    }
}
