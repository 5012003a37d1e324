//! Decorated cookies, broken down for an ordinary kitchen: figures checked by hand, and what each
//! option changes.
#![cfg(not(target_arch = "wasm32"))]

mod common;

use common::{Bench, hands_on, item, rest, step, summary};
use rackweek::breakdown::Work;
use rackweek::kitchen::Place;

fn cookies(options: &[(&str, i64)]) -> Work {
    Bench::default().work(item("decorated-cookies", 24, 4, options))
}

#[test]
fn two_dozen_cookies_with_spares() {
    // By hand: 12 cookies of 90 mm with 12 mm gaps on a tray of 330 × 457 (3 × 4 in a grid, and rows
    // of 3 and 2 do no better), so 28 take 3 trays, two in the oven at once. Dough 10 + 8 + 28 × 8 s + 8 min =
    // 29:44; rolling 8 + 28 × 40 s + 8 = 34:40; flooding 10 + 28 × 2 + 10 = 76; details
    // 10 + 28 × (60 + 3 × 50) s + 10 = 118; boxing 5 + 28 × 40 s + 5 = 28:40; icing 5 + 8 + 3 × 4 + 8 =
    // 33; each then up to whole 5 minutes. Icing 28 × 8100 mm² × 0.0029 = 658 and × 0.0009 = 205 g,
    // at 1.32 g/ml 499 and 156 ml: a litre tub filled to 90 % holds 980 ml, half a litre tub 486. A tin of
    // 254 mm takes 6 in a layer and 8 layers of 15 mm; a box of 12 × 9 in 3 × 2 in each of 2 layers.
    let expected = "\
royal-icing.mix: plain 35 · 863 grams in 3 colours
dough: plain 30 · Dough for 24 cookies + 4 spares
roll: plain 35 · 24 cookies + 4 spares on 3 trays
bake: oven 25 · 3 trays, 2 loads
flood: fine 80 · 24 cookies + 4 spares on 3 trays
details: fine 120 · 24 cookies + 4 spares in 3 colours
box: plain 30 · 24 cookies + 4 spares in 3 boxes
royal-icing.mix → flood: Counter 1×160×120×76 ≥ 0 min ≤ 4 h safe | Fridge 1×160×120×76 ≥ 1 h ≤ 3 d safe, last 1 h Counter 1×160×120×76
royal-icing.mix → details: Counter 1×130×100×60 ≥ 0 min ≤ 4 h safe | Fridge 1×130×100×60 ≥ 1 h ≤ 3 d safe, last 1 h Counter 1×130×100×60
dough → roll: Fridge 2×180×180×30 ≥ 1 h ≤ 2 d safe | Freezer 2×180×180×30 ≥ 36 h ≤ 60 d, last 1 d Fridge 2×180×180×30
roll → bake: Rack 3×330×457×40 ≥ 0 min ≤ 1 h safe
bake → flood: Rack 3×330×457×40 ≥ 1 h ≤ 1 d | RoomShelf 1×258×258×131 ≥ 2 h ≤ 7 d
flood → details: Rack 3×330×457×40 ≥ 8 h ≤ 3 d
details → box: Rack 3×330×457×40 ≥ 8 h ≤ 3 d
box → handover: RoomShelf 3×309×233×68 ≥ 0 min ≤ 10 d
royal-icing.mix ⇥ flood: ≤ 3 d safe
royal-icing.mix ⇥ details: ≤ 3 d safe
start of roll ⇥ bake: ≤ 1 d safe
bake ⇥ handover: ≤ 14 d
";
    let work = cookies(&[]);
    assert_eq!(summary(&work), expected);
    assert!(work.notes.iter().any(|note| note.text == "Decorated cookies: 24 cookies + 4 spares"));
}

#[test]
fn two_dozen_cookies_in_three_colours_take_an_evening_or_two_of_hands() {
    // Common practice, no published source: 5 to 7 hours of hands for 24 decorated cookies.
    let minutes = hands_on(&Bench::default().work(item("decorated-cookies", 24, 0, &[])));
    assert!((300..=420).contains(&minutes), "{minutes}");
}

#[test]
fn dark_next_to_pale_dries_a_whole_day_instead_of_overnight() {
    assert_eq!(rest(&cookies(&[]), "base-dry").choices[0].least, 8 * 60);
    assert_eq!(rest(&cookies(&[("dark-next-to-pale", 1)]), "base-dry").choices[0].least, 24 * 60);
}

#[test]
fn deep_icing_is_made_two_days_ahead_and_frozen() {
    let work = cookies(&[("deep-colour", 1)]);
    let freeze = rest(&work, "deep-icing.freeze");
    assert_eq!(freeze.choices.len(), 1, "there is no other way");
    assert_eq!(freeze.choices[0].least, 2 * 1440);
    assert_eq!(freeze.choices[0].stay.as_ref().map(|stay| stay.place), Some(Place::Freezer));
    let thaw = rest(&work, "deep-icing.keep.details");
    assert_eq!(thaw.choices.len(), 1, "there is no other way");
    assert_eq!(thaw.from.0, "o1.i1.deep-icing.take-out");
    // It holds egg: it thaws in the fridge (FDA Food Code 3-501.13(A)), and is out for an hour only.
    assert_eq!(thaw.choices[0].least, 8 * 60);
    assert!(thaw.choices[0].safety);
    assert_eq!(thaw.choices[0].stay.as_ref().map(|stay| stay.place), Some(Place::Fridge));
    assert_eq!(thaw.choices[0].tail.as_ref().map(|(minutes, _)| *minutes), Some(60));
    // The other two colours stay ordinary icing.
    assert!(step(&work, "royal-icing.mix").detail.contains("in 2 colours"));
    assert!(cookies(&[]).steps.iter().all(|step| !step.id.0.contains("deep-icing")));
}

#[test]
fn what_was_never_made_before_takes_twice_the_hands() {
    let (usual, new) = (cookies(&[]), cookies(&[("first-time", 1)]));
    for id in ["dough", "roll", "flood", "details", "box", "royal-icing.mix"] {
        let (usual, new) = (step(&usual, id), step(&new, id));
        let (usual, total): (u32, u32) = (usual.sittings.iter().sum(), new.sittings.iter().sum());
        // Each sitting rounds up to 5 minutes, and a cut adds set-up and clear-up again.
        assert!(2 * usual - 9 <= total, "{id}: {usual} → {total}");
        if new.sittings.len() == 1 {
            assert!(total <= 2 * usual, "{id}: {usual} → {total}");
        }
    }
    assert_eq!(step(&usual, "bake").sittings, step(&new, "bake").sittings, "ovens do not learn");
}

#[test]
fn lettering_adds_a_step_and_a_rest() {
    let work = cookies(&[("lettering", 6)]);
    assert_eq!(step(&work, "letter").detail, "6 cookies");
    assert_eq!(rest(&work, "details-set").to.0, "o1.i1.letter");
    assert_eq!(rest(&work, "dry-through").from.0, "o1.i1.letter");
    // Without it the longer of the two rests joins details and boxing.
    assert_eq!(rest(&cookies(&[]), "dry-through").from.0, "o1.i1.details");
    assert_eq!(rest(&cookies(&[]), "dry-through").choices[0].least, 480);
}

#[test]
fn fine_handwork_is_cut_into_equal_sittings() {
    let work = Bench::default().work(item("decorated-cookies", 60, 6, &[("colours", 5)]));
    let details = step(&work, "details");
    // 66 × (60 + 5 × 50) s = 341 min of work; in 4 parts 86 + 20 min are 106, up to 110.
    assert_eq!(details.sittings, vec![110; 4]);
    assert!(details.pause_at.as_ref().is_some_and(|stay| stay.place == Place::Rack));
    assert_eq!(details.pause_max, Some(1440));
}
