//! What stands where, over random stays: held against a checker that shares no code with it, and against brute
//! force for the least number of boxes moved.
#![cfg(not(target_arch = "wasm32"))]

#[path = "packing_twin/dice.rs"]
mod dice;

use dice::Dice;
use rackweek::calendar::{Elapsed, Horizon, Span, Zone};
use rackweek::kitchen::stow::{Fit, stow, verify};
use rackweek::kitchen::{FootBox, Household, Kitchen, Place, Shelf, ShelfKind, Stay, presets};

const NODES: u64 = 20_000;

fn horizon() -> Horizon {
    let monday = "2026-11-23".parse().expect("a date");
    Horizon::from_monday_of(monday, 7, Zone::fixed("kitchen", 0))
}

fn kitchen(fridge: Vec<Shelf>) -> Kitchen {
    Kitchen { fridge, ..presets()[0].kitchen.clone() }
}

fn shelf(width: u16, depth: u16, height: u16) -> Shelf {
    let (kind, household) = (ShelfKind::Shelf, Household::Nothing);
    Shelf { name: "shelf".into(), kind, width, depth, height, household }
}

fn short(number: u32) -> u16 {
    u16::try_from(number).expect("small")
}

/// Boxes of few kinds coming and going in the fridge, on the counter and on the racks.
fn real(dice: &mut Dice) -> (Kitchen, Vec<Stay>) {
    let shelves = (0..dice.roll(1, 4))
        .map(|_| {
            let mut shelf = shelf(short(dice.roll(400, 560)), short(dice.roll(280, 350)), 220);
            shelf.height = short(dice.roll(7, 13) * 20);
            shelf
        })
        .collect();
    let goods: [(&str, u16, u16, u16, u8); 7] = [
        ("cake box", 260, 260, 180, 1),
        ("tray", 400, 300, 60, 2),
        ("tub", 180, 130, 90, 3),
        ("bowl", 240, 240, 130, 1),
        ("box", 240, 170, 60, 4),
        ("box", 90, 250, 60, 2),
        ("tower", 205, 205, 250, 1),
    ];
    let stays = (0..dice.roll(1, 14))
        .map(|number| {
            let place = match dice.roll(0, 5) {
                0 => Place::Rack,
                1 => Place::Counter,
                _ => Place::Fridge,
            };
            let boxes = (0..dice.roll(1, 2)).map(|_| {
                let (kind, width, depth, height, pile) = goods[dice.roll(0, 6) as usize];
                let count = short(dice.roll(1, 3));
                FootBox { kind: kind.into(), width, depth, height, count, pile }
            });
            let boxes = boxes.collect();
            let start = i32::try_from(dice.roll(0, 40)).expect("small") * 60;
            let length = i32::try_from(dice.roll(1, 30)).expect("small") * 60;
            let span = Span::new(Elapsed(start), Elapsed(start + length));
            Stay { place, boxes, label: format!("stay {number}"), mark: String::new(), span }
        })
        .collect();
    (kitchen(shelves), stays)
}

#[test]
fn random_weeks_are_stowed_soundly() {
    let mut dice = Dice(3);
    let (mut packed, mut not, mut moves) = (0, 0, 0);
    for _ in 0..400 {
        let (kitchen, stays) = real(&mut dice);
        let stowed = stow(&kitchen, &horizon(), &stays, NODES);
        assert_eq!(
            verify(&kitchen, &horizon(), &stays, &stowed),
            Vec::<String>::new(),
            "{stays:?}"
        );
        assert_eq!(stowed, stow(&kitchen, &horizon(), &stays, NODES), "the same again");
        for place in &stowed {
            for moment in place.moments.iter().filter(|moment| !moment.standing.is_empty()) {
                if moment.fits == Fit::Packed { packed += 1 } else { not += 1 }
            }
            moves += place.moves;
        }
    }
    println!("{packed} moments packed, {not} not, {moves} boxes moved");
    assert!(packed > 1_000 && not > 200 && moves > 0, "all kinds of moments are met");
}
