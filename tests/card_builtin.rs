//! The built-in cards, broken down for an ordinary kitchen: figures checked by hand.
//!
//! Hand times and waits are common practice, no published source, unless said otherwise.
#![cfg(not(target_arch = "wasm32"))]

mod common;

use common::{Bench, hands_on, item, rest, step, summary};
use rackweek::card::{Card, builtin};
use rackweek::keeping::{LimitKind, limits_of};
use rackweek::kitchen::Place;

#[test]
fn the_chooser_offers_products_before_components() {
    let cards = builtin();
    let products: Vec<&str> =
        cards.iter().filter(|card| !card.component).map(|card| card.id.as_str()).collect();
    assert_eq!(
        products,
        [
            "decorated-cookies",
            "cake-pops",
            "tall-layer-cake",
            "cupcakes",
            "drop-cookies",
            "brownies",
            "sheet-cake",
            "cheesecake",
            "macarons",
            "tartlets",
            "dipped-pretzels",
            "meringue-kisses",
            "moulded-chocolate-shells",
            "chocolate-pieces",
            "toppers"
        ]
    );
    let first_component = cards.iter().position(|card| card.component).expect("there are some");
    assert!(cards.iter().skip(first_component).all(|card| card.component));
}

#[test]
fn two_dozen_cake_pops() {
    // Batter 10 + 9 + 3 + 10 = 32; rolling 10 + 24 × 45 s + 8 = 36; sticks 7 + 24 × 20 s + 4 = 19;
    // dipping 15 + 24 × 75 s + 10 = 55; decorating 8 + 24 × 2 × 25 s + 7 = 35; bagging
    // 5 + 24 × 25 s + 5 = 20; buttercream 5 + 8 + 6 = 19 min; each up to whole 5 minutes. Binder:
    // 24 × 38³ mm³ / 10 000 = 132 g, a fifth of the crumb's 24 × 29 g.
    // Balls of 38 mm with 3 mm between lie 6 × 4 in a box of 254 × 178 mm; pops on sticks, 160 mm high, go
    // into the box of 10 × 8 × 6½ in, a dozen in each.
    let work = Bench::default().work(item("cake-pops", 24, 0, &[]));
    let expected = "\
sugar-buttercream.beat: plain 20 · 132 grams
batter: plain 35 · Cake for 24 pops
bake: oven 30 · 1 tray
roll: plain 40 · 24 pops
stick: plain 20 · 24 pops
dip: plain 55 · 24 pops in 2 stands
decorate: fine 35 · 24 pops in 2 colours
box: plain 20 · 24 pops in 2 boxes
sugar-buttercream.beat → roll: Counter 1×130×100×60 ≥ 0 min ≤ 1 d | Fridge 1×130×100×60 ≥ 90 min ≤ 7 d, last 1 h Counter 1×130×100×60
batter → bake: anywhere ≥ 0 min ≤ 30 min
bake → roll: RoomShelf 1×330×230×60 ≥ 2 h ≤ 2 d | Freezer 1×330×230×60 ≥ 710 min ≤ 60 d, last 110 min Counter 1×330×230×60
roll → stick: Fridge 1×258×182×68 ≥ 80 min ≤ 2 d
stick → dip: Fridge 2×300×200×170 ≥ 90 min ≤ 1 d, last 1 h Counter 2×300×200×170
dip → decorate: RoomShelf 2×300×200×170 ≥ 30 min ≤ 1 d
decorate → box: RoomShelf 2×300×200×170 ≥ 30 min ≤ 1 d
box → handover: RoomShelf 2×258×207×169 ≥ 0 min ≤ 2 d | Fridge 2×258×207×169 ≥ 2 h ≤ 3 d, last 2 h Counter 2×258×207×169
roll ⇥ handover: ≤ 4 d
";
    assert_eq!(summary(&work), expected);
    assert!((180..=240).contains(&hands_on(&work)), "3 to 4 hours of hands");
}

#[test]
fn a_small_tall_cake() {
    // Batter 9 + 8 + 4 × 1.5 + 10 = 33; wrapping 5 + 4 × 2.5 + 5 = 20; filling 10 + 4 × 4 + 5 = 31;
    // supports 6 + 9 + 3 = 18; crumb coat 5 + 11 + 4 = 20; final coat 9 + 25 + 9 = 43; decorating
    // 10 + 19 + 5 + 9 = 43; boxing 5 + 7 + 3 = 15; buttercream 7 + 18 + 10 = 35; filling 4 + 15 + 5 = 24.
    // Four tins of 150 mm, two to a tray. Height 4 × 45 = 180 mm. Grams: crumb coat 150 × 180 × 0.010 +
    // 150² × 0.0027 = 270 + 61, final coat × 0.021 + × 0.0055 = 567 + 124, inside 3 × 150² × 0.002 = 135;
    // fruit 3 × 150² × 0.003 = 203.
    // Buttercream at 0.9 g/ml: 466 and 691 g are 518 and 768 ml, a litre tub each (980 ml at 90 %). The
    // smallest board 50 mm wider than the cake is 8 in, 203 mm, 12 mm thick; with 20 mm of air it needs
    // 212 mm, so the box of 8 × 8 × 10 in, 3 mm larger all round.
    let work = Bench::default().work(item("tall-layer-cake", 1, 0, &[]));
    let expected = "\
meringue-buttercream.whip: plain 35 · 1157 grams, 1 batch
fruit-filling.cook: plain 25 · 203 grams
batter: plain 35 · 4 layers for 1 cake
bake: oven 35 · 4 layers on 2 trays
wrap: plain 20 · 4 layers
fill: plain 35 · 1 cake of 4 layers
supports: plain 20 · 1 cake
crumb: plain 20 · 1 cake
coat: plain 45 · 1 cake
decorate: fine 45 · 1 cake in 1 colour
box: plain 15 · 1 cake
meringue-buttercream.whip → fill: Fridge 1×160×120×76 ≥ 90 min ≤ 2 d safe, last 1 h Counter 1×160×120×76 | Counter 1×160×120×76 ≥ 0 min ≤ 90 min safe | Freezer 1×160×120×76 ≥ 2 d ≤ 60 d, last 1 d Fridge 1×160×120×76
meringue-buttercream.whip → coat: Fridge 1×160×120×76 ≥ 90 min ≤ 2 d safe, last 1 h Counter 1×160×120×76 | Counter 1×160×120×76 ≥ 0 min ≤ 90 min safe | Freezer 1×160×120×76 ≥ 2 d ≤ 60 d, last 1 d Fridge 1×160×120×76
fruit-filling.cook → fill: Fridge 1×130×100×60 ≥ 3 h ≤ 2 d safe | Freezer 1×130×100×60 ≥ 36 h ≤ 60 d, last 1 d Fridge 1×130×100×60
batter → bake: anywhere ≥ 0 min ≤ 30 min
bake → wrap: Rack 2×330×457×90 ≥ 2 h ≤ 4 h
wrap → fill: Fridge 4×170×170×45 ≥ 2 h ≤ 2 d | RoomShelf 4×170×170×45 ≥ 30 min ≤ 1 d | Freezer 4×170×170×45 ≥ 590 min ≤ 60 d, last 110 min Counter 4×170×170×45
fill → supports: Counter 1×203×203×212 ≥ 0 min ≤ 30 min safe
supports → crumb: Fridge 1×203×203×212 ≥ 85 min ≤ 1 d
crumb → coat: Fridge 1×203×203×212 ≥ 30 min ≤ 1 d
coat → decorate: Fridge 1×203×203×212 ≥ 1 h ≤ 2 d
decorate → box: Fridge 1×203×203×212 ≥ 30 min ≤ 2 d
box → handover: Fridge 1×209×209×260 ≥ 0 min ≤ 2 d
start of fill ⇥ handover: ≤ 4 d safe
";
    assert_eq!(summary(&work), expected);
    assert!((240..=300).contains(&hands_on(&work)), "4 to 5 hours of hands: {}", hands_on(&work));
}

#[test]
fn supports_go_in_before_the_cake_is_chilled() {
    let work = Bench::default().work(item("tall-layer-cake", 1, 0, &[("supports", 1)]));
    let settle = rest(&work, "settle");
    assert_eq!(settle.to.0, "o1.i1.supports");
    assert_eq!(settle.choices[0].stay.as_ref().map(|stay| stay.place), Some(Place::Counter));
    assert!(settle.choices[0].greatest.is_some_and(|greatest| greatest <= 60), "still soft");
    let chill = rest(&work, "stack-chill");
    assert_eq!(chill.from.0, "o1.i1.supports");
    assert_eq!(chill.choices[0].stay.as_ref().map(|stay| stay.place), Some(Place::Fridge));
    // Without supports the cake is chilled straight after stacking.
    let work = Bench::default().work(item("tall-layer-cake", 1, 0, &[("supports", 0)]));
    assert_eq!(rest(&work, "stack-chill").from.0, "o1.i1.fill");
    assert!(work.rests.iter().all(|rest| !rest.id.ends_with("settle")));
}

#[test]
fn lettering_on_a_cake_is_a_step_of_its_own() {
    let work = Bench::default().work(item("tall-layer-cake", 1, 0, &[("lettering", 1)]));
    assert_eq!(step(&work, "letter").sittings, [25]);
    assert_eq!(rest(&work, "set").from.0, "o1.i1.letter");
}

#[test]
fn chilled_pops_come_out_an_hour_before_they_are_dipped() {
    let work = Bench::default().work(item("cake-pops", 24, 0, &[]));
    let choice = &rest(&work, "stick-chill").choices[0];
    assert_eq!(choice.stay.as_ref().map(|stay| stay.place), Some(Place::Fridge));
    let (minutes, stay) = choice.tail.as_ref().expect("they come out");
    assert_eq!((*minutes, stay.as_ref().map(|stay| stay.place)), (60, Some(Place::Counter)));
}

#[test]
fn two_dozen_filled_cupcakes() {
    // Batter 10 + 8 + 24 × 12 s + 10 = 32:48; coring 5 + 24 × 25 s + 5 = 20; swirls
    // 10 + 24 × 40 s + 4 + 10 = 40; boxing 5 + 24 × 15 s + 5 = 16. Two tins at once, 22 min.
    // Cream 24 × 65² / 100 = 1014 g. A box of 12 × 9 in has 4 × 3 cells of
    // 65 + 12 mm in 305 + 12 and 229 + 12.
    let work = Bench::default().work(item("cupcakes", 24, 0, &[("filled", 1)]));
    let text = summary(&work);
    for line in [
        "meringue-buttercream.whip: plain 35 · 1014 grams, 1 batch",
        "fruit-filling.cook: plain 25 · 240 grams",
        "batter: plain 35 · 24 cupcakes in 2 tins",
        "bake: oven 25 · 2 tins",
        "fill: plain 20 · 24 cupcakes",
        "pipe: fine 40 · 24 cupcakes in 1 colour",
        "box: plain 20 · 24 cupcakes in 2 boxes",
        "pipe → box: Fridge 2×309×233×106 ≥ 15 min ≤ 1 d",
        "start of pipe ⇥ handover: ≤ 4 d safe",
    ] {
        assert!(text.lines().any(|found| found == line), "{line} in\n{text}");
    }
    let plain = Bench::default().work(item("cupcakes", 24, 0, &[]));
    assert_eq!(rest(&plain, "cool").to.0, "o1.i1.pipe", "no filling: straight to the swirls");
    assert!(plain.steps.iter().all(|step| !step.id.0.contains("filling")));
}

#[test]
fn two_dozen_chocolate_shells() {
    // Painting 10 + 2 × 2.5 + 24 × 12 s + 5 = 24:48; casting 25 + 2 × 5 + 15 = 50; unmoulding
    // 5 + 2 × 1 + 24 × 15 s + 5 = 18.
    let work = Bench::default().work(item("moulded-chocolate-shells", 24, 0, &[]));
    let expected = "\
paint: fine 25 · 2 moulds in 1 colour
cast: plain 50 · 24 shells in 2 moulds
unmould: plain 20 · 24 shells in 1 box
paint → cast: RoomShelf 2×275×135×30 ≥ 30 min ≤ 3 d
cast → unmould: RoomShelf 2×275×135×30 ≥ 12 h ≤ 3 d
unmould → handover: RoomShelf 1×258×182×68 ≥ 0 min ≤ 60 d
";
    assert_eq!(summary(&work), expected);
    // Plain ones are not painted.
    let plain = Bench::default().work(item("moulded-chocolate-shells", 24, 0, &[("colours", 0)]));
    assert_eq!(plain.steps.len(), 2);
}

#[test]
fn a_coat_of_buttercream_weighs_what_geometry_says() {
    // A coat of thickness t on radius R and height H is π[(R+t)²(H+t) − R²H]; here 3 mm and 6 mm on a cake
    // of 152 × 180 mm, at 0.9 g/mL, and three fillings of 2 g for 1000 mm². The card may ask for up to a
    // quarter more, for what is scraped off and stays in the bowl.
    let work = Bench::default().work(item("tall-layer-cake", 1, 0, &[("diameter", 152)]));
    let detail = &step(&work, "meringue-buttercream.whip").detail;
    let grams: f64 = detail.split(' ').next().and_then(|word| word.parse().ok()).expect("grams");
    let shell = |t: f64| {
        let (r, h) = (7.6, 18.0);
        std::f64::consts::PI * ((r + t) * (r + t) * (h + t) - r * r * h) * 0.9
    };
    let least = shell(0.3) + shell(0.6) + 3.0 * 152.0 * 152.0 * 0.002;
    assert!((least..least * 1.25).contains(&grams), "{grams} g against {least}");
}

#[test]
fn flood_icing_weighs_what_geometry_says() {
    // A face of 3.5 in, flooded 2 mm deep at 1.40 g/mL, holds 17.4 g; with 25–35 % waste 21.7 to 23.5 g.
    let card = Bench::default();
    let work = card.work(item("decorated-cookies", 100, 0, &[("size", 89), ("colours", 1)]));
    let detail = &step(&work, "royal-icing.mix").detail;
    let grams: f64 = detail.split(' ').next().and_then(|word| word.parse().ok()).expect("grams");
    let flood = grams * 29.0 / 38.0 / 100.0;
    assert!((21.7..23.5).contains(&flood), "{flood} g a cookie");
}

#[test]
fn safety_limits_of_the_cards_stay_within_the_table() {
    let cards = builtin();
    let card = |id: &str| cards.iter().find(|card| card.id == id).expect(id);
    let rest_modes = |id: &str, rest: &str| {
        let found = card(id).rests.iter().find(|found| found.id == rest);
        found.expect(rest).modes.clone()
    };
    let cases = [
        ("cookie dough", rest_modes("decorated-cookies", "dough-chill")),
        ("royal icing", card("royal-icing").keeps.clone()),
        ("meringue buttercream", card("meringue-buttercream").keeps.clone()),
        ("fruit filling", card("fruit-filling").keeps.clone()),
        ("sugar buttercream", card("sugar-buttercream").keeps.clone()),
        ("cake layers", rest_modes("tall-layer-cake", "layers")),
        ("cake pops", card("cake-pops").keeps.clone()),
        ("baked cookies", rest_modes("decorated-cookies", "cool")),
    ];
    let mut compared = 0;
    for (product, modes) in cases {
        for mode in modes {
            let Some(stay) = &mode.stay else { continue };
            for limit in limits_of(product, stay.place) {
                let greatest = mode.greatest.expect("what has a limit in the table has one here");
                assert!(greatest <= limit.minutes, "{product}: {} against {limit:?}", mode.name);
                if limit.kind == LimitKind::Safety && stay.place != Place::Freezer {
                    assert!(mode.safety || product == "cake pops", "{product}: {}", mode.name);
                }
                compared += 1;
            }
        }
    }
    assert!(14 <= compared, "only {compared} were compared");
}

#[test]
fn what_holds_egg_or_cream_is_used_up_within_the_seven_days_of_a_date_mark() {
    // FDA Food Code 3-501.17(A) and (D): 7 days with the day of making as day 1, and the date of the
    // earliest part holds for the whole: six whole days between making and handover.
    let cards = builtin();
    let card = |id: &str| cards.iter().find(|card| card.id == id).expect(id);
    let in_fridge = |card: &Card| {
        let cold = |mode: &&rackweek::card::RestMode| {
            mode.stay.as_ref().is_some_and(|stay| stay.place == Place::Fridge)
        };
        let longest = card.keeps.iter().filter(cold).filter_map(|mode| mode.greatest).max();
        longest.expect("it keeps in the fridge")
    };
    for (product, limit, component) in [
        ("tall-layer-cake", "filled", "meringue-buttercream"),
        ("tall-layer-cake", "filled", "fruit-filling"),
        ("cupcakes", "iced", "meringue-buttercream"),
        ("cupcakes", "filled", "fruit-filling"),
    ] {
        let after = card(product).limits.iter().find(|found| found.id == limit).expect(limit);
        assert!(after.safety && after.from_start && after.to.is_none());
        let total = in_fridge(card(component)) + after.greatest;
        assert!(total <= 6 * 1440, "{product} with {component}: {total} minutes");
    }
    // FoodKeeper, raw whites and yolks, 2–4 days: dough chilled and rolled within 3.
    let dough = &card("decorated-cookies").rests[0].modes[0];
    let rolled = card("decorated-cookies").limits.iter().find(|limit| limit.id == "rolled");
    assert!(dough.greatest.expect("limited") + rolled.expect("limited").greatest <= 3 * 1440);
}
