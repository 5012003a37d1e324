//! Conduction in bodies against printed tables and worked examples.
#![cfg(not(target_arch = "wasm32"))]

use std::f64::consts::{FRAC_PI_2, PI};

use rackweek::heat::{
    Body, Element, Faces, Plank, Properties, Shape, Spot, Stuff, minutes, one_term_is_enough, roots,
};

/// Çengel & Ghajar, *Heat and Mass Transfer*, table 4-2, to six places: Bi, then ζ₁ and C₁ of slab, cylinder
/// and sphere. The printed table has four places and was compared at seven Biot numbers.
const TABLE: [[f64; 7]; 11] = [
    [0.01, 0.099_834, 1.001_661, 0.141_245, 1.002_496, 0.173_032, 1.002_998],
    [0.1, 0.311_053, 1.016_094, 0.441_682, 1.024_579, 0.542_281, 1.029_798],
    [0.2, 0.432_841, 1.031_088, 0.616_975, 1.048_304, 0.759_308, 1.059_155],
    [0.5, 0.653_271, 1.070_128, 0.940_771, 1.114_255, 1.165_561, 1.144_106],
    [1.0, 0.860_334, 1.119_132, 1.255_784, 1.207_092, FRAC_PI_2, 1.273_240],
    [2.0, 1.076_874, 1.178_456, 1.599_449, 1.338_377, 2.028_758, 1.479_319],
    [3.0, 1.192_459, 1.210_226, 1.788_657, 1.419_095, 2.288_930, 1.622_681],
    [5.0, 1.313_838, 1.240_249, 1.989_815, 1.502_869, 2.570_432, 1.787_001],
    [10.0, 1.428_870, 1.261_963, 2.179_497, 1.567_692, 2.836_300, 1.924_909],
    [20.0, 1.496_129, 1.269_916, 2.288_048, 1.591_944, 2.985_724, 1.978_138],
    [100.0, 1.555_245, 1.273_088, 2.380_902, 1.601_524, 3.110_187, 1.999_033],
];

fn near(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((found - expected).abs() <= tolerance, "{what}: {found} instead of {expected}");
}

#[test]
fn first_roots_and_factors_are_those_of_the_table() {
    for row in TABLE {
        let biot = row[0];
        for (index, element) in
            [Element::Slab, Element::Cylinder, Element::Sphere].into_iter().enumerate()
        {
            let first = roots(element, biot, 1)[0];
            near(first.zeta, row[1 + 2 * index], 1e-6, &format!("{element:?} ζ at {biot}"));
            near(first.factor, row[2 + 2 * index], 1e-6, &format!("{element:?} C at {biot}"));
        }
    }
    // In closed form: ζ₁ = π/2 and C₁ = 4/π for a sphere at Bi = 1.
    let sphere = roots(Element::Sphere, 1.0, 1)[0];
    near(sphere.zeta, FRAC_PI_2, 1e-12, "ζ₁");
    near(sphere.factor, 4.0 / PI, 1e-12, "C₁");
}

#[test]
fn later_roots_fulfil_their_equations_and_none_is_missed() {
    for biot in [0.01, 0.3, 1.0, 4.0, 60.0] {
        for element in [Element::Slab, Element::Cylinder, Element::Sphere] {
            let all = roots(element, biot, 40);
            assert!(all.windows(2).all(|pair| pair[0].zeta < pair[1].zeta));
            for (index, root) in (0_u32..).zip(&all) {
                let zeta = root.zeta;
                let least = f64::from(index) * PI;
                assert!(least <= zeta && zeta <= least + PI);
                let rest = match element {
                    Element::Slab => zeta * zeta.tan() - biot,
                    Element::Cylinder => zeta * libm::j1(zeta) / libm::j0(zeta) - biot,
                    Element::Sphere => 1.0 - zeta / zeta.tan() - biot,
                };
                assert!(rest.abs() < 1e-6 * (1.0 + zeta * zeta), "{element:?} {biot} {rest}");
            }
            // At the start the middle has all of its difference: the factors alternate around 1, and the
            // mean of two partial sums closes in on it.
            let sums = |count: usize| all.iter().take(count).map(|root| root.factor).sum::<f64>();
            let slow = if element == Element::Slab { 0.01 } else { 0.2 };
            near(0.5 * (sums(39) + sums(40)), 1.0, slow, "sum of the factors");
        }
    }
}

fn body(shape: Shape, conductivity: f64, diffusivity: f64, surface: f64) -> Body {
    // Density and heat only count in their product.
    let stuff =
        Properties { density: 1000.0, heat: conductivity / diffusivity / 1000.0, conductivity };
    Body { shape, faces: Faces::All, stuff, surface }
}

#[test]
fn worked_examples_of_textbooks_are_found() {
    // Çengel, solutions manual (2008), problem 11-44: steaks 2 cm thick at 25 °C in −11 °C air, their
    // *surface* at 2 °C, by the first term: 5590 s with the table's rounded values.
    let steak = body(Shape::Slab { height: 20 }, 0.45, 0.91e-7, 9.0);
    near(steak.biot(), 0.2, 1e-12, "Bi");
    let first = roots(Element::Slab, 0.2, 1)[0];
    let share = (2.0 - -11.0) / (25.0 - -11.0);
    let middle = share / first.zeta.cos();
    near(steak.one_term_seconds(middle), 5590.0, 10.0, "steaks");
    near(steak.seconds(share, Spot::Below(0)), 5590.0, 10.0, "steaks, surface by the series");

    // Çengel & Ghajar, 6th edition, problem 4-65: a beef carcass of 24 cm, 37 to 4 °C in −10 °C: 12.2 h.
    // As a long cylinder: one so high that its ends do not count.
    let carcass = Shape::Cylinder { across: 240, height: 20_000 };
    let carcass = body(carcass, 0.47, 0.13e-6, 22.0);
    let seconds = carcass.seconds(14.0 / 47.0, Spot::Middle);
    near(seconds / 3600.0, 12.2, 0.05, "carcass");

    // The same, 4-6x: an egg of 5.5 cm from 4.3 to 74 °C in boiling water; ζ₁ 3.0663 and C₁ 1.9942 printed
    // by interpolation in the table, 3.05512 and 1.99294 exactly; 1106 s by the first term.
    let egg = body(Shape::Sphere { across: 55 }, 0.607, 0.146e-6, 800.0);
    let root = roots(Element::Sphere, egg.biot(), 1)[0];
    near(root.zeta, 3.0663, 0.012, "egg ζ");
    near(root.factor, 1.9942, 0.002, "egg C");
    let share = (74.0 - 100.0) / (4.3 - 100.0);
    near(egg.one_term_seconds(share), 1106.0, 1.0, "egg");

    // Singh & Heldman, *Introduction to Food Engineering*, example 4.26: an apple of 6 cm, 15 to 3 °C in
    // 2 °C water, about an hour by the chart.
    let apple = body(Shape::Sphere { across: 60 }, 0.355, 0.355 / (3600.0 * 820.0), 50.0);
    near(apple.seconds(1.0 / 13.0, Spot::Middle), 3778.0, 2.0, "apple");

    // Çengel, problem 4-118: a short brass cylinder of 4 × 20 cm, 150 °C in 20 °C air after 15 min: the
    // product of slab and cylinder. 58.79 °C in the middle.
    let brass = Shape::Cylinder { across: 40, height: 200 };
    let brass = body(brass, 110.0, 3.39e-5, 40.0);
    near(20.0 + 130.0 * brass.left(900.0), 58.79, 0.01, "brass");
    near(brass.left(900.0), 0.90154 * 0.33100, 1e-4, "wall times cylinder");
}

#[test]
fn planks_equation_gives_the_published_freezing_times() {
    // Worked example of a wrapped ball of 7 cm: 3732 s, 1.037 h (food engineering lecture text).
    let ball = Plank {
        density: 1000.0,
        fusion: 250e3,
        conductivity: 1.2,
        difference: 38.75,
        resistance: 1.0 / 50.0 + 0.003 / 0.2,
    };
    near(ball.seconds(0.07, [1.0 / 6.0, 1.0 / 24.0]), 3732.06, 0.5, "wrapped ball");
    let bare = Plank { resistance: 1.0 / 50.0, ..ball };
    near(bare.seconds(0.07, [1.0 / 6.0, 1.0 / 24.0]), 2603.0, 0.5, "bare ball");
    // Geankoplis, *Transport Processes*, example 9.11-2 (its answer, 2.395·10⁴ s, is from memory).
    let slab = Plank {
        density: 1057.0,
        fusion: 0.75 * 335e3,
        conductivity: 1.038,
        difference: 270.4 - 244.3,
        resistance: 1.0 / 17.0,
    };
    near(slab.seconds(0.0635, [0.5, 0.125]), 23_950.0, 20.0, "slab");
}

/// A cake of crumb: k 0.15 W/mK, α 1.5e-7 m²/s, sizes in inches.
fn cake(across: u32, height: u32, surface: f64, faces: Faces) -> Body {
    // 2.54 cm to the inch; bodies are in whole mm, so the last 0.4 mm are lost.
    let mm = |inches: u32| (inches * 254 + 5) / 10;
    let shape = Shape::Cylinder { across: mm(across), height: mm(height) };
    Body { faces, ..body(shape, 0.15, 1.5e-7, surface) }
}

#[test]
fn cakes_chill_as_long_as_the_series_of_sixty_terms_says() {
    // Computed with 60 terms and held against a two-dimensional finite-difference run: inches across and
    // high, h, hours to θ = 0.25 on all faces, by one term, to θ = 0.5, and to 0.25 on a board.
    let rows: [(u32, u32, f64, [f64; 4]); 13] = [
        (6, 2, 8.0, [1.697, 1.725, 1.010, 3.129]),
        (6, 4, 5.0, [3.778, 3.781, 2.351, 5.422]),
        (6, 4, 8.0, [3.129, 3.134, 1.992, 4.576]),
        (6, 4, 15.0, [2.610, 2.616, 1.691, 3.906]),
        (6, 6, 8.0, [4.033, 4.037, 2.590, 5.060]),
        (8, 2, 8.0, [1.888, 1.979, 1.072, 3.974]),
        (8, 4, 5.0, [4.773, 4.789, 2.960, 7.620]),
        (8, 4, 8.0, [3.974, 3.997, 2.503, 6.603]),
        (8, 4, 15.0, [3.324, 3.352, 2.115, 5.798]),
        (8, 4, 25.0, [3.015, 3.045, 1.924, 5.424]),
        (8, 6, 8.0, [5.532, 5.539, 3.572, 7.789]),
        (10, 4, 8.0, [4.592, 4.661, 2.826, 8.538]),
        (10, 6, 8.0, [6.834, 6.857, 4.390, 10.674]),
    ];
    for (across, height, surface, [quarter, one_term, half, on_board]) in rows {
        let all = cake(across, height, surface, Faces::All);
        let what = format!("{across} × {height} in, h {surface}");
        // Whole mm: 51 for 50.8 counts squared.
        let close = |found: f64, hours: f64| near(found / 3600.0, hours, 0.008 * hours, &what);
        close(all.seconds(0.25, Spot::Middle), quarter);
        close(all.one_term_seconds(0.25), one_term);
        close(all.seconds(0.5, Spot::Middle), half);
        let board = cake(across, height, surface, Faces::NotBottom);
        close(board.seconds(0.25, Spot::Middle), on_board);
        // One term is never too short, and from 100 mm on it is right within 1.6 %.
        let more = all.one_term_seconds(0.25) / all.seconds(0.25, Spot::Middle);
        assert!((1.0..1.06).contains(&more), "{what}: {more}");
        assert!(height < 4 || more < 1.017, "{what}: {more}");
        if height >= 4 {
            let half_height = f64::from(height) * 0.0127;
            assert!(one_term_is_enough(1.5e-7 * quarter * 3600.0 / (half_height * half_height)));
        }
    }
}

#[test]
fn a_board_under_it_is_the_middle_of_a_cake_twice_as_high() {
    // Çengel, solution 4-27: a wall insulated on one side equals one twice as thick cooled on both.
    for surface in [4.0, 8.0, 30.0] {
        let board = cake(6, 2, surface, Faces::NotBottom);
        let shape = Shape::Cylinder { across: 152, height: 102 };
        let double = Body { shape, ..cake(6, 4, surface, Faces::All) };
        near(board.left(5000.0), double.left(5000.0), 1e-12, "both");
    }
}

#[test]
fn layers_dough_and_pops_need_the_computed_minutes() {
    // Computed by the same series in exact inches; 1 % is left for whole mm.
    let layer = |across: u32, faces: Faces| {
        let shape = Shape::Cylinder { across, height: 38 };
        Body { shape, faces, stuff: Stuff::Crumb.properties(), surface: 10.0 }
    };
    let minutes_of = |body: Body, share: f64| body.seconds(share, Spot::Middle) / 60.0;
    let share = 8.0 / 73.0;
    for (across, rack, board) in [(203, 104.7, 235.4), (152, 97.4, 195.4)] {
        near(minutes_of(layer(across, Faces::All), share), rack, 0.01 * rack, "on a rack");
        near(minutes_of(layer(across, Faces::NotBottom), share), board, 0.01 * board, "on a board");
    }
    let sheet = |mm: u32, faces: Faces| {
        let stuff = Stuff::Dough.properties();
        Body { shape: Shape::Slab { height: mm }, faces, stuff, surface: 8.0 }
    };
    // ¼ and ⅜ inch are 6.35 and 9.525 mm: whole mm below and above hold them between themselves.
    for (below, above, both, lumped, one) in
        [(6, 7, 25.23, 24.15, 52.61), (9, 10, 38.65, 36.23, 82.15)]
    {
        let between = |found: [f64; 2], expected: f64, what: &str| {
            assert!(found[0] < expected && expected < found[1], "{what}: {found:?} {expected}");
        };
        let two = [below, above].map(|mm| minutes_of(sheet(mm, Faces::All), 0.25));
        between(two, both, "two faces");
        between(
            [below, above].map(|mm| minutes_of(sheet(mm, Faces::NotBottom), 0.25)),
            one,
            "one face",
        );
        between(
            [below, above].map(|mm| sheet(mm, Faces::All).lumped_seconds(0.25) / 60.0),
            lumped,
            "lumped",
        );
        for mm in [below, above] {
            let sheet = sheet(mm, Faces::All);
            let ratio = sheet.lumped_seconds(0.25) / sheet.seconds(0.25, Spot::Middle);
            assert!((0.92..1.0).contains(&ratio), "short by as much as Bi says: {ratio}");
        }
    }
    let pop = Body { surface: 8.0, ..body(Shape::Sphere { across: 38 }, 0.25, 1.2e-7, 8.0) };
    near(pop.biot(), 0.6096, 0.002, "Bi of a pop of 1.5 in");
    near(minutes_of(pop, 0.25), 48.08, 0.25, "pop");
}

#[test]
fn larger_warmer_and_better_wrapped_never_takes_less() {
    let of = |shape: Shape, surface: f64, faces: Faces, spot: Spot| {
        let stuff = Stuff::FilledCake.properties();
        Body { shape, faces, stuff, surface }.minutes(30.0, 10.0, 4.0, spot)
    };
    let mut before = 0;
    for across in [60, 100, 152, 203, 254, 305] {
        let shape = Shape::Cylinder { across, height: 100 };
        let found = of(shape, 8.0, Faces::All, Spot::Middle);
        assert!(before <= found, "{across}: {found}");
        before = found;
        assert!(found <= of(shape, 8.0, Faces::NotBottom, Spot::Middle));
        assert!(found <= of(shape, 3.6, Faces::All, Spot::Middle));
        let block = Shape::Block { width: across, depth: across, height: 100 };
        assert!(found <= of(block, 8.0, Faces::All, Spot::Middle), "the square has corners more");
        let mut deep = found;
        for below in [60, 40, 20, 10, 5, 0] {
            let outer = of(shape, 8.0, Faces::All, Spot::Below(below));
            assert!(outer <= deep, "{across} {below}");
            deep = outer;
        }
    }
}

#[test]
fn minutes_are_whole_upwards_and_bounded() {
    assert_eq!([0.0, 0.1, 60.0, 60.1, 119.9].map(minutes), [0, 1, 1, 2, 2]);
    assert_eq!([f64::NAN, f64::INFINITY].map(minutes), [rackweek::heat::MOST_MINUTES; 2]);
    let layer = Body {
        shape: Shape::Cylinder { across: 203, height: 38 },
        faces: Faces::All,
        stuff: Stuff::Crumb.properties(),
        surface: 10.0,
    };
    assert_eq!(layer.minutes(95.0, 30.0, 22.0, Spot::Middle), 105);
    assert_eq!(layer.minutes(30.0, 30.0, 22.0, Spot::Middle), 0);
    assert_eq!(layer.minutes(20.0, 30.0, 4.0, Spot::Middle), 0, "cold enough already");
    assert_eq!(layer.minutes(95.0, 20.0, 22.0, Spot::Middle), rackweek::heat::MOST_MINUTES);
    let fewest = layer.fewest_minutes(95.0, 30.0, 22.0, Spot::Middle);
    assert!(0 < fewest && fewest < 105, "{fewest}");
}
