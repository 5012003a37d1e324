//! Properties of foods from their composition against published component values.
#![cfg(not(target_arch = "wasm32"))]

use rackweek::heat::{Composition, Stuff};

fn of(fill: fn(&mut Composition)) -> Composition {
    let mut composition = Composition::default();
    fill(&mut composition);
    composition
}

#[test]
fn components_have_the_values_of_choi_and_okos() {
    // Choi & Okos (1986) as the ASHRAE handbook prints them; the open library CoolProp 8.0.0 (its pure
    // food fluids) gives the same in all digits: ρ, c, k at 20 °C, ice at −20 °C.
    type Row = (fn(&mut Composition), f64, [f64; 3]);
    let rows: [Row; 7] = [
        (|c| c.water = 1.0, 20.0, [995.74, 4129.3, 0.6037]),
        (|c| c.protein = 1.0, 20.0, [1319.53, 2031.9, 0.2016]),
        (|c| c.fat = 1.0, 20.0, [917.24, 2011.7, 0.1751]),
        (|c| c.carbohydrate = 1.0, 20.0, [1592.89, 1585.7, 0.2274]),
        (|c| c.fibre = 1.0, 20.0, [1304.18, 1880.7, 0.2070]),
        (|c| c.ash = 1.0, 20.0, [2418.19, 1128.9, 0.3565]),
        (|c| c.ice = 1.0, -20.0, [919.50, 1940.8, 2.3852]),
    ];
    for (fill, celsius, [density, heat, conductivity]) in rows {
        let pure = of(fill);
        assert!((pure.density(celsius) - density).abs() < 0.006, "{pure:?}");
        assert!((pure.heat(celsius) - heat).abs() < 0.06, "{pure:?}");
        for found in [pure.parallel(celsius), pure.series(celsius)] {
            assert!((found - conductivity).abs() < 6e-5, "{pure:?} {found}");
        }
    }
}

#[test]
fn foods_of_known_composition_come_close_to_the_computed_table() {
    // Water, fat and carbohydrate of USDA SR28 by NDB number; protein, fibre and ash make up the rest and
    // are not listed, so that a few per cent are left open.
    let rows: [(&str, [f64; 3], [f64; 4]); 4] = [
        ("yellow cake 18146", [25.1, 14.6, 52.4], [1260.0, 2304.0, 0.336, 0.263]),
        ("cookie dough 18205", [14.1, 19.5, 60.3], [1291.0, 2042.0, 0.281, 0.234]),
        ("frosting 19230", [15.1, 16.2, 67.9], [1320.0, 2034.0, 0.291, 0.241]),
        ("butter 01145", [17.9, 81.1, 0.1], [934.0, 2391.0, 0.247, 0.199]),
    ];
    for (name, [water, fat, carbohydrate], [density, heat, parallel, series]) in rows {
        let rest = 100.0 - water - fat - carbohydrate;
        let food = Composition {
            water: water / 100.0,
            fat: fat / 100.0,
            carbohydrate: carbohydrate / 100.0,
            protein: rest / 100.0,
            ..Composition::default()
        };
        let close = |found: f64, expected: f64, what: &str| {
            assert!((found / expected - 1.0).abs() < 0.02, "{name}, {what}: {found} {expected}");
        };
        close(food.density(20.0), density, "density");
        close(food.heat(20.0), heat, "heat");
        close(food.parallel(20.0), parallel, "side by side");
        close(food.series(20.0), series, "one after the other");
        // Cake with two thirds of air is as light as it comes out of the tin: 415 kg/m³.
        let airy = Composition { pores: 0.67, ..food };
        close(airy.density(20.0), 0.33 * density, "with pores");
        assert!(airy.parallel(20.0) < food.parallel(20.0));
        assert!(airy.series(20.0) < airy.parallel(20.0));
    }
}

#[test]
fn what_cards_name_lies_within_what_is_known() {
    let all = [
        Stuff::Crumb,
        Stuff::FilledCake,
        Stuff::BoundCake,
        Stuff::Dough,
        Stuff::Cookie,
        Stuff::FruitFilling,
        Stuff::Custard,
        Stuff::Ganache,
    ];
    for stuff in all {
        let alpha = stuff.properties().diffusivity();
        // Foods from chocolate (0.92e-7) to crumb (1.5e-7 m²/s).
        assert!((0.85e-7..=1.55e-7).contains(&alpha), "{stuff:?} {alpha:e}");
        assert!((0.0..1.0).contains(&stuff.water()));
    }
    let crumb = Stuff::Crumb.properties();
    assert!((crumb.diffusivity() - 1.5e-7).abs() < 1e-12);
    // Raw dough lies between its parts in series and side by side.
    let dough = Stuff::Dough.properties();
    assert!(0.234 < dough.conductivity && dough.conductivity < 0.281);
}
