//! What the built-in cards use up, against geometry, published weights and published ratios.
//!
//! Volumes and masses of pieces follow from their size; densities, pan volumes and weights come from the sources
//! named beside each check. Where a source gives a range, the card must lie inside it; where the card asks for
//! more than geometry, the rest is what is scraped off and stays in bowls, at most a quarter.
#![cfg(not(target_arch = "wasm32"))]

mod common;

use std::collections::BTreeMap;
use std::f64::consts::PI;

use common::{Bench, item};
use rackweek::breakdown::{Used, Work};
use rackweek::card::{Card, builtin};
use rackweek::supply::{Kind, good};

/// Thousandths of a gram or piece, by step (without the item's prefix) and good.
fn used(work: &Work) -> BTreeMap<(String, String), f64> {
    let mut sums = BTreeMap::new();
    for supply in &work.supplies {
        let step = supply.step.0.trim_start_matches("o1.i1.").to_owned();
        *sums.entry((step, supply.of.clone())).or_insert(0.0) += amount(supply);
    }
    sums
}

/// A small whole number as a real one.
#[expect(clippy::cast_precision_loss, reason = "kitchen amounts are small")]
fn real(number: i64) -> f64 {
    number as f64
}

fn amount(supply: &Used) -> f64 {
    real(i64::try_from(supply.milli).expect("a kitchen amount")) / 1000.0
}

fn make(card: &str, count: u32, options: &[(&str, i64)]) -> Work {
    Bench::default().work(item(card, count, 0, options))
}

/// Grams of food that a step uses up.
fn grams(work: &Work, step: &str) -> f64 {
    let edible = |of: &str| good(of).is_some_and(|good| good.kind == Kind::Ingredient);
    used(work).iter().filter(|((at, of), _)| at == step && edible(of)).map(|(_, g)| g).sum()
}

fn of(work: &Work, step: &str, good: &str) -> f64 {
    used(work).get(&(step.to_owned(), good.to_owned())).copied().unwrap_or(0.0)
}

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found / expected - 1.0).abs() <= tolerance,
        "{found:.1} against {expected:.1}, more than {tolerance} apart"
    );
}

#[track_caller]
fn within(found: f64, least: f64, most: f64) {
    assert!((least..=most).contains(&found), "{found:.2} is not within {least:.2} to {most:.2}");
}

#[test]
fn rolled_cookies_weigh_their_area_times_a_quarter_inch() {
    // Air-free sugar cookie dough 1.291 g/mL (Choi & Okos 1986 on USDA SR28 18205). Round cutter, ¼ in thick:
    // 2.5 in 25.9 g, 3 in 37.4, 3.5 in 50.8, 4 in 66.4.
    for (mm, expected) in [(64, 25.9), (76, 37.4), (89, 50.8), (102, 66.4)] {
        let work = make("decorated-cookies", 100, &[("size", mm)]);
        near(grams(&work, "dough") / 100.0, expected, 0.02);
        // Rolling adds a handful of flour.
        within(of(&work, "roll", "flour"), 1.0, 100.0);
    }
}

#[test]
fn flooding_weighs_the_face_times_two_millimetres() {
    // Royal icing at 1.40 g/mL over the full face, 2 mm deep: 2.5 in 8.9 g, 3 in 12.8, 3.5 in 17.4, 4 in 22.7;
    // 25–35 % more stays in bags and bowls (common practice, no published source).
    for (mm, face) in [(64, 8.9), (76, 12.8), (89, 17.4), (102, 22.7)] {
        let work = make("decorated-cookies", 100, &[("size", mm)]);
        let all = grams(&work, "royal-icing.mix") - of(&work, "royal-icing.mix", "food-colouring");
        let flood = all / 100.0 * 29.0 / 38.0;
        within(flood, face * 1.25, face * 1.36);
    }
}

#[test]
fn royal_icing_is_sugar_powder_and_water_as_published() {
    // A published recipe: 480 g sugar, 30 g meringue powder, 75–90 mL water. Another: 454 g sugar, 21 g dried
    // white, 85 g water, 1.449 g/mL without air.
    let share = |thinned: i64| {
        let cards = builtin();
        let mut icing = cards.iter().find(|card| card.id == "royal-icing").expect("it").clone();
        icing.component = false;
        let bench = Bench { cards: vec![icing], ..Bench::default() };
        let work =
            bench.work(item("royal-icing", 1000, 0, &[("colours", 0), ("thinned", thinned)]));
        (
            of(&work, "mix", "powdered-sugar"),
            of(&work, "mix", "meringue-powder"),
            of(&work, "mix", "water"),
        )
    };
    let (sugar, powder, water) = share(100);
    near(powder / sugar, 30.0 / 480.0, 0.02);
    within(water / sugar, 75.0 / 480.0, 90.0 / 454.0);
    let (stiff_sugar, _, stiff_water) = share(0);
    assert!(stiff_water / stiff_sugar < 75.0 / 480.0, "stiff icing has less water");
    within(share(75).0 + share(75).1 + share(75).2, 990.0, 1030.0);
}

#[test]
fn batter_half_fills_round_tins() {
    // Tins 2 in deep, half full, batter 0.95 g/mL (white cake; a trade dictionary's table): an 8 in tin holds
    // 782.5 g. Volumes πD²h/4: 4 in 25.13 in³, 5 in 39.27, 6 in 56.55, 7 in 76.97, 8 in 100.53, 9 in 127.23, 10 in
    // 157.08 in³; 1 in³ = 16.387064 mL.
    for (mm, cubic_inches) in [
        (102, 25.13),
        (127, 39.27),
        (152, 56.55),
        (178, 76.97),
        (203, 100.53),
        (229, 127.23),
        (254, 157.08),
    ] {
        for layers in [2, 3, 4] {
            let work = make("tall-layer-cake", 1, &[("diameter", mm), ("layers", layers)]);
            let expected = cubic_inches * 16.387_064 / 2.0 * 0.95;
            let each = grams(&work, "batter") / real(layers);
            near(each, expected, 0.02);
            if mm == 203 {
                near(each, 782.5, 0.01);
            }
        }
    }
}

#[test]
fn batter_half_fills_oblong_tins() {
    // Tins 2 in deep by geometry: 13 × 9 in 234 in³, 11 × 7 in 154, 9 × 9 in 162, 8 × 8 in 128 in³.
    for (width, depth, cubic_inches) in
        [(330, 229, 234.0), (279, 178, 154.0), (229, 229, 162.0), (203, 203, 128.0)]
    {
        let work = make("sheet-cake", 1, &[("width", width), ("depth", depth)]);
        near(grams(&work, "batter"), cubic_inches * 16.387_064 / 2.0 * 0.95, 0.01);
    }
}

/// Grams of a coat of so many mm around a cylinder: π[(R+t)²(H+t) − R²H].
fn shell(diameter: f64, height: f64, thick: f64, density: f64) -> f64 {
    let (r, h, t) = (diameter / 20.0, height / 10.0, thick / 10.0);
    PI * ((r + t) * (r + t) * (h + t) - r * r * h) * density
}

#[test]
fn a_coat_of_any_cake_weighs_what_geometry_says() {
    // The shell itself against published volumes: 6 × 4 in at 6 mm 431 mL, at 10 mm 752; 8 × 6 in 819, 1412.
    for (d, h, t, ml) in [
        (6.0, 4.0, 6.0, 431.0),
        (6.0, 4.0, 10.0, 752.0),
        (6.0, 6.0, 6.0, 582.0),
        (6.0, 6.0, 10.0, 1011.0),
        (8.0, 4.0, 6.0, 619.0),
        (8.0, 4.0, 10.0, 1072.0),
        (8.0, 6.0, 6.0, 819.0),
        (8.0, 6.0, 10.0, 1412.0),
    ] {
        near(shell(d * 25.4, h * 25.4, t, 1.0), ml, 0.002);
    }
    // Crumb coat 3 mm, final coat 6 mm, at 0.9 g/mL (frostings measured 0.81 whipped to 1.12 creamy, USDA SR28
    // 19228 and 19230), up to a quarter more for what is scraped off.
    for diameter in [102_i64, 127, 152, 203, 254] {
        for layers in 2..=6 {
            let work = make("tall-layer-cake", 1, &[("diameter", diameter), ("layers", layers)]);
            let all = grams(&work, "meringue-buttercream.whip");
            let (d, h, fillings) = (real(diameter), real(layers * 45), real(layers - 1));
            let inside = fillings * d * d * 0.002;
            let coats = shell(d, h, 3.0, 0.9) + shell(d, h, 6.0, 0.9);
            within(all - inside, coats, coats * 1.25);
        }
    }
}

#[test]
fn upper_tiers_are_two_inches_narrower() {
    let of_one = |diameter: i64| {
        let work = make("tall-layer-cake", 1, &[("diameter", diameter)]);
        (grams(&work, "batter"), grams(&work, "meringue-buttercream.whip"))
    };
    for tiers in 2..=3 {
        let work = make("tall-layer-cake", 1, &[("diameter", 254), ("tiers", tiers)]);
        let parts: Vec<(f64, f64)> = (0..tiers).map(|tier| of_one(254 - 50 * tier)).collect();
        near(grams(&work, "batter"), parts.iter().map(|part| part.0).sum(), 0.01);
        near(
            grams(&work, "meringue-buttercream.whip"),
            parts.iter().map(|part| part.1).sum(),
            0.01,
        );
        // Four dowels carry an upper tier up to 8 in (common practice, no published source).
        let tiers = real(tiers);
        near(of(&work, "supports", "dowel"), 4.0 * tiers, 1e-9);
        near(of(&work, "box", "cake-box"), tiers, 1e-9);
    }
    let without = make("tall-layer-cake", 1, &[("supports", 0)]);
    near(of(&without, "supports", "dowel") + 1.0, 1.0, 1e-9);
}

#[test]
fn a_filling_is_six_millimetres_deep() {
    // A filling of 6 mm: 6 in 109 mL, 8 in 195 mL. The card's fruit (1.15 g/mL) and ring of cream (0.9 g/mL)
    // together are as much.
    for (mm, ml) in [(152, 109.0), (203, 195.0)] {
        let work = make("tall-layer-cake", 1, &[("diameter", mm), ("layers", 2)]);
        let fruit = work.supplies.iter().find(|s| s.of == "fresh-fruit").expect("fruit");
        let fruit = amount(fruit) / 0.75 / 1.15;
        let cream = real(mm * mm) * 0.002 / 0.9;
        near(fruit + cream, ml, 0.05);
    }
}

#[test]
fn pops_weigh_a_sphere_and_a_coat() {
    // Spheres of 1.25 in 16.76 mL and of 1.5 in 28.96 mL, crumb pressed to 1 g/mL (common practice, no published
    // source); a tenth of the batter is lost in the oven (sugar cookies measured 11.5–11.8 %, USDA SR28 18205).
    // Coating 2 mm at 1.282 g/mL (semisweet chocolate, Choi & Okos on SR28 19080).
    for (mm, ml) in [(32, 16.76), (38, 28.96)] {
        let work = make("cake-pops", 100, &[("size", mm)]);
        let binder = grams(&work, "sugar-buttercream.beat") / 100.0;
        near(grams(&work, "batter") / 100.0 * 0.9 + binder, ml, 0.06);
        let d = real(mm) / 10.0;
        let coat = PI / 6.0 * ((d + 0.4).powi(3) - d.powi(3)) * 1.282;
        near(of(&work, "dip", "chocolate-coating") / 100.0, coat, 0.06);
        near(of(&work, "stick", "pop-stick"), 100.0, 1e-9);
    }
}

#[test]
fn small_cakes_and_bars_weigh_their_tins() {
    // A cupcake case of 65 mm: a cone's frustum 65 to 50 mm wide and 32 mm high, two thirds full at 0.95 g/mL.
    let frustum = PI / 12.0 * 3.2 * (6.5 * 6.5 + 6.5 * 5.0 + 5.0 * 5.0);
    near(grams(&make("cupcakes", 100, &[]), "batter") / 100.0, frustum * 2.0 / 3.0 * 0.95, 0.03);
    // A slab of 13 × 9 in (234 in³ = 3835 mL when 2 in deep) is about a third full at 1.15 g/mL (common practice,
    // no published source): 24 bars of 2 in and a little.
    let slab = 234.0 * 16.387_064;
    let bars = grams(&make("brownies", 24, &[("size", 51)]), "batter") / 1.15;
    let area: f64 = 24.0 * 51.0 * 51.0 / (330.2 * 228.6);
    within(bars / area / slab, 0.30, 0.40);
    // FDA reference amounts (21 CFR 101.12): a brownie 40 g. Baked, it has lost about an eighth.
    within(grams(&make("brownies", 100, &[]), "batter") / 100.0 * 0.88, 40.0, 50.0);
}

#[test]
fn drop_cookies_weigh_what_is_scooped() {
    // USDA SR28 18205: 17 g raw gives 15.0 g baked; 18206: 26 g raw 23 g. Scoops are as heavy as the card says, so
    // that baked weight follows; 34 g gives the FDA's reference cookie of 30 g.
    for (scoop, baked) in [(17, 15.0), (26, 23.0), (34, 30.0)] {
        for chocolate in [0, 25, 40] {
            let work = make("drop-cookies", 50, &[("weight", scoop), ("chocolate", chocolate)]);
            near(grams(&work, "mix") / 50.0 * 0.883, baked, 0.01);
            let share = of(&work, "mix", "dark-chocolate") / grams(&work, "mix") * 100.0;
            assert!((share - real(chocolate)).abs() < 0.5, "{share} of {chocolate}");
        }
    }
}

#[test]
fn sugar_buttercream_is_sugar_enough_and_cream_cheese_frosting_is_two_to_one() {
    let parts = |id: &str, step: &str| {
        let cards = builtin();
        let mut card = cards.iter().find(|card| card.id == id).expect(id).clone();
        card.component = false;
        let bench = Bench { cards: vec![card], ..Bench::default() };
        let work = bench.work(item(id, 1000, 0, &[]));
        let used = used(&work);
        let gram = |of: &str| used.get(&(step.to_owned(), of.to_owned())).copied().unwrap_or(0.0);
        let all: f64 = used.values().sum();
        (gram("powdered-sugar"), gram("cream-cheese"), all)
    };
    // Kansas State extension MF3544: more than 65 % sugar by weight.
    let (sugar, _, all) = parts("sugar-buttercream", "beat");
    assert!(sugar / all > 0.65, "{}", sugar / all);
    // University of Minnesota extension: 2 oz of powdered sugar for each oz of cream cheese.
    let (sugar, cheese, all) = parts("cream-cheese-frosting", "beat");
    assert!(sugar >= 2.0 * cheese && cheese > 0.0, "{sugar} to {cheese}");
    assert!(sugar / all < 0.65, "and yet it is kept cold");
}

#[test]
fn every_recipe_that_is_told_by_the_gram_adds_up() {
    // What goes in is what comes out, but for water cooked off: custards and fillings lose up to a seventh.
    for card in builtin().into_iter().filter(|card| card.component) {
        let id = card.id.clone();
        let colours = card.options.iter().any(|option| option.id == "colours");
        let mut card = card;
        card.component = false;
        let bench = Bench { cards: vec![card], ..Bench::default() };
        let options: &[(&str, i64)] = if colours { &[("colours", 0)] } else { &[] };
        let work = bench.work(item(&id, 2000, 0, options));
        let all: f64 = work
            .supplies
            .iter()
            .filter(|s| good(&s.of).is_some_and(|good| good.kind == Kind::Ingredient))
            .map(amount)
            .sum();
        within(all / 2000.0, 0.99, 1.15);
    }
}

#[test]
fn butter_cake_holds_to_the_measures_of_a_cup() {
    // A batter by the cup (USDA SR28: flour 125 g, sugar 200 g, butter 227 g, milk 244 g, large egg 50 g, baking
    // powder 4.6 g a teaspoon): two cups of flour take 1.5 cups of sugar, ¾ cup of butter, 3 eggs, ¾ cup of milk
    // and 2 teaspoons of powder within a fifth (common practice, no published source for the ratio).
    let work = make("sheet-cake", 1, &[]);
    let flour = of(&work, "batter", "flour");
    let cups = flour / 125.0 / 2.0;
    near(of(&work, "batter", "sugar") / cups, 1.5 * 200.0, 0.2);
    near(of(&work, "batter", "butter") / cups, 0.75 * 227.0, 0.2);
    near(of(&work, "batter", "eggs") / cups, 3.0 * 50.0, 0.2);
    near(of(&work, "batter", "milk") / cups, 0.75 * 244.0, 0.2);
    near(of(&work, "batter", "baking-powder") / cups, 2.0 * 4.6, 0.2);
}

#[test]
fn cheesecake_macarons_and_tartlets_follow_their_tins() {
    // A filling 45 mm deep at 1.05 g/mL: π/4 D² × 45.
    for d in [152_i64, 203, 229, 254] {
        let work = make("cheesecake", 1, &[("diameter", d)]);
        let cm = real(d) / 10.0;
        let crust = of(&work, "batter", "cookie-crumbs") / 0.71;
        near(grams(&work, "batter") - crust, PI / 4.0 * cm * cm * 4.5 * 1.05, 0.02);
        within(crust / (PI / 4.0 * cm * cm), 0.7, 1.1);
    }
    // A shell is piped 4.5 mm high at 1.2 g/mL; two to a macaron.
    for d in [30_i64, 40, 50] {
        let work = make("macarons", 100, &[("size", d), ("colours", 1)]);
        let cm = real(d) / 10.0;
        let batter = grams(&work, "pipe") - of(&work, "pipe", "food-colouring");
        near(batter / 200.0, PI / 4.0 * cm * cm * 0.45 * 1.2, 0.02);
    }
    // Dough 3 mm thick at 1.25 g/mL: a base of d and a wall 20 mm high.
    for d in [60_i64, 80, 100] {
        let work = make("tartlets", 100, &[("size", d)]);
        let cm = real(d) / 10.0;
        near(
            grams(&work, "dough") / 100.0,
            (PI / 4.0 * cm * cm + PI * cm * 2.0) * 0.3 * 1.25,
            0.02,
        );
    }
}

#[test]
fn chocolate_weighs_its_volume() {
    // Semisweet chocolate 1.282 g/mL. A shell: half an ellipsoid, 0.35 as high as wide; a piece: 2.5 mm thick.
    for d in [25_i64, 35, 50] {
        let cm = real(d) / 10.0;
        let shells = make("moulded-chocolate-shells", 100, &[("size", d), ("colours", 0)]);
        let half = 2.0 / 3.0 * PI * (cm / 2.0) * (cm / 2.0) * 0.35 * cm;
        near(of(&shells, "cast", "dark-chocolate") / 100.0, half * 1.282, 0.02);
        let pieces = make("chocolate-pieces", 100, &[("size", d)]);
        near(
            of(&pieces, "spread", "dark-chocolate") / 100.0,
            PI / 4.0 * cm * cm * 0.25 * 1.282,
            0.02,
        );
        // Dipped on both sides, 1.5 mm thick.
        let dipped = make("dipped-pretzels", 100, &[("size", d)]);
        near(
            of(&dipped, "dip", "chocolate-coating") / 100.0,
            PI / 2.0 * cm * cm * 0.15 * 1.282,
            0.02,
        );
    }
}

#[test]
fn what_is_boxed_is_packed_in_as_many_boxes_as_stand() {
    for (card, step, thing, good) in [
        ("decorated-cookies", "box", "boxes", "treat-box"),
        ("cake-pops", "box", "boxes", "treat-box"),
        ("cupcakes", "box", "boxes", "cupcake-box"),
        ("macarons", "box", "boxes", "treat-box"),
        ("tartlets", "top", "boxes", "treat-box"),
        ("toppers", "pack", "boxes", "treat-box"),
    ] {
        for count in [6, 24, 60] {
            let work = make(card, count, &[]);
            let stand = work.stands.iter().find(|stands| stands.thing == thing).expect(thing);
            near(of(&work, step, good), f64::from(stand.takes.item.count), 1e-9);
        }
    }
}

#[test]
fn every_card_names_what_it_uses_and_every_step_left_out_uses_nothing() {
    for card in builtin() {
        let edible = |card: &Card| !card.ingredients.is_empty();
        assert!(edible(&card), "{}", card.id);
        assert!(card.component || !card.packaging.is_empty(), "{}", card.id);
    }
    let plain = make("cupcakes", 12, &[]);
    assert!(plain.supplies.iter().all(|supply| supply.of != "fresh-fruit"));
    assert!(plain.supplies.iter().all(|supply| supply.of != "cream-cheese"));
    let other = make("cupcakes", 12, &[("cream-cheese", 1), ("filled", 1)]);
    assert!(other.supplies.iter().any(|supply| supply.of == "cream-cheese"));
    assert!(other.supplies.iter().any(|supply| supply.of == "fresh-fruit"));
    assert!(other.supplies.iter().all(|supply| supply.of != "egg-whites"), "no meringue");
}
