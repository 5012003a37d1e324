//! Dew points against an open library's, and when cold things sweat.
#![cfg(not(target_arch = "wasm32"))]

use rackweek::heat::{Climate, dew_point, driest_that_sweats, sweats};

#[test]
fn dew_points_agree_with_psychrolib() {
    let rows = include_str!("data/dew-points.csv").lines().filter(|line| !line.starts_with('#'));
    let mut seen = 0;
    for row in rows {
        let numbers: Vec<f64> = row.split(',').map(|text| text.parse().expect(text)).collect();
        let [celsius, humidity, expected] = numbers[..] else { panic!("{row}") };
        let found = dew_point(celsius, humidity);
        assert!((found - expected).abs() < 0.05, "{row}: {found}");
        seen += 1;
    }
    assert_eq!(seen, 54);
}

#[test]
fn the_formula_is_the_one_that_is_cited() {
    // Magnus with 17.625 and 243.04 (Alduchov & Eskridge 1996), computed from the formula.
    for (celsius, humidity, expected) in
        [(20.0, 50.0, 9.261), (22.0, 50.0, 11.101), (22.0, 45.0, 9.52), (30.0, 80.0, 26.171)]
    {
        let found = dew_point(celsius, humidity);
        assert!((found - expected).abs() < 0.006, "{celsius} {humidity}: {found}");
    }
    // Lawrence (2005): the dew point falls by about 1 °C for each 5 % from saturation down to half.
    for percent in [95.0, 85.0, 70.0, 55.0] {
        let fall = 25.0 - dew_point(25.0, percent);
        assert!((fall - (100.0 - percent) / 5.0).abs() < 2.2, "{percent}: {fall}");
    }
}

#[test]
fn fridge_cold_goods_sweat_in_almost_any_kitchen() {
    // Highest humidity without sweat, from the same formula turned round, per cent.
    let rows: [(f64, [f64; 4]); 7] = [
        (4.0, [34.8, 30.8, 27.3, 24.2]),
        (5.0, [37.4, 33.0, 29.3, 26.0]),
        (10.0, [52.5, 46.5, 41.2, 36.5]),
        (12.0, [60.0, 53.1, 47.0, 41.7]),
        (15.0, [72.9, 64.5, 57.2, 50.7]),
        (18.0, [88.3, 78.1, 69.2, 61.4]),
        (-18.0, [6.4, 5.7, 5.0, 4.4]),
    ];
    for (surface, expected) in rows {
        for (room, percent) in [20.0, 22.0, 24.0, 26.0].into_iter().zip(expected) {
            let found = driest_that_sweats(surface, room);
            assert!((found - percent).abs() < 0.06, "{surface} in {room}: {found}");
            assert!(sweats(surface, room, percent + 0.5) && !sweats(surface, room, percent - 0.5));
        }
    }
    // Wageningen University on chocolate: below 10 °C it takes up moisture in a normal room.
    assert!(sweats(9.9, 22.0, 50.0) && !sweats(12.0, 22.0, 50.0));
    assert!(sweats(4.0, 22.0, 45.0), "a cake out of the fridge");
}

#[test]
fn a_kitchens_air_is_checked_in_words() {
    let usual = Climate::default();
    assert_eq!(usual.validate(), []);
    assert!((usual.dew_point() - 11.10).abs() < 0.05);
    assert_eq!(usual.caution(), None);
    for (climate, field, part) in [
        (Climate { room: 36, ..Climate::default() }, "room", "10 to 35"),
        (Climate { room: -4, ..Climate::default() }, "room", "for example 22"),
        (Climate { fridge: 11, ..Climate::default() }, "fridge", "0 to 10"),
        (Climate { freezer: -5, ..Climate::default() }, "freezer", "for example -18"),
        (Climate { humidity: 100, ..Climate::default() }, "humidity", "10 to 95"),
        (Climate { humidity: 0, ..Climate::default() }, "humidity", "for example 50"),
    ] {
        let refusals = climate.validate();
        assert_eq!(refusals.len(), 1, "{climate:?}");
        assert_eq!(refusals[0].field, field);
        assert!(refusals[0].message.contains(part), "{}", refusals[0]);
    }
    // FDA Food Code 3-501.16(A)(2): 5 °C or below.
    let warm = Climate { fridge: 6, ..Climate::default() };
    assert!(warm.caution().is_some_and(|text| text.contains("3-501.16")));
    assert_eq!(Climate { fridge: 5, ..Climate::default() }.caution(), None);
}
