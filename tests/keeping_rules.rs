//! The rules of keeping against published numbers and worked examples. The source stands beside each.
#![cfg(not(target_arch = "wasm32"))]

use rackweek::calendar::Date;
use rackweek::keeping::{
    Assessment, Control, Cooling, CoolingRule, DayRule, Freezing, Made, Measured, Out, OutRule,
    Reading, SugarVerdict, Temperature, Treatment, Verdict, assess, combined, control,
    dairy_frosting_may_stand, meets_home_rule, needs_mark, opened, sugar_share, sugar_verdict,
};

const CODE: DayRule = DayRule::FOOD_CODE;

fn day(month: u32, day: u32) -> Date {
    Date::new(2026, month, day).expect("a date")
}

fn at(hour: u32, minute: u32, fahrenheit: i16) -> Reading {
    Reading { minute: hour * 60 + minute, temperature: Temperature::fahrenheit(fahrenheit) }
}

fn measured(water: u16, acid: u16) -> Measured {
    Measured { water_activity: Some(water), acidity: Some(acid) }
}

#[test]
fn the_day_of_making_is_day_one() {
    // Southern Nevada Health District, example of Food Code 3-501.17(A): prepared 1 April, last day 7 April.
    assert_eq!(Made::on(day(4, 1)).last_day(CODE), Ok(day(4, 7)));
    // City of Dubuque, 2024 and 2025: prepared 1 July (1 May), discarded by 7 July (7 May).
    assert_eq!(Made::on(day(7, 1)).last_day(CODE), Ok(day(7, 7)));
    assert_eq!(Made::on(day(5, 1)).last_day(CODE), Ok(day(5, 7)));
}

#[test]
fn a_mixture_keeps_the_date_of_its_earliest_part() {
    // Southern Nevada Health District, 3-501.17(D): a part of 1 June, combined 3 June, last day 7 June.
    let parts = [Made::on(day(6, 1)), Made::on(day(6, 3))];
    assert_eq!(combined(&parts, CODE), Ok(Some(day(6, 7))));
    assert_eq!(combined(&[], CODE), Ok(None));
}

#[test]
fn the_freezer_stops_the_count() {
    // North Carolina's date-marking sheet: made 1 October, in the fridge 1 and 2 October, frozen on the
    // 3rd, thawed on the 10th, which is day 3: discarded by the end of 14 October.
    let made = |freezings| Made { on: day(10, 1), freezings };
    let once = vec![Freezing { frozen: day(10, 3), thawed: day(10, 10) }];
    assert_eq!(made(once.clone()).last_day(CODE), Ok(day(10, 14)));
    // The stricter way, in which the day of freezing counts, gives one day less.
    let strict = DayRule { freezing_day_counts: true, ..CODE };
    assert_eq!(made(once).last_day(strict), Ok(day(10, 13)));
    let backwards = vec![Freezing { frozen: day(10, 3), thawed: day(10, 2) }];
    let refusal = made(backwards).last_day(CODE).expect_err("thawed before frozen");
    assert_eq!(refusal.field, "freezings.0");
    // Six days used, frozen on the 7th: one day is left after thawing, never more.
    let late = vec![Freezing { frozen: day(10, 7), thawed: day(11, 20) }];
    assert_eq!(made(late).last_day(CODE), Ok(day(11, 20)));
    // Frozen when the seven days were over: nothing is given back.
    let over = vec![Freezing { frozen: day(10, 8), thawed: day(11, 20) }];
    assert_eq!(made(over).last_day(CODE), Ok(day(10, 7)));
}

#[test]
fn no_mark_is_needed_up_to_24_hours_and_a_makers_date_is_not_passed() {
    // 3-501.17(A): held for more than 24 hours.
    assert!(!needs_mark(24 * 60));
    assert!(needs_mark(24 * 60 + 1));
    // 3-501.17(B): the day of opening is day 1, and the maker's use-by date is not exceeded.
    assert_eq!(opened(day(4, 1), None, CODE), day(4, 7));
    assert_eq!(opened(day(4, 1), Some(day(4, 5)), CODE), day(4, 5));
    assert_eq!(opened(day(4, 1), Some(day(4, 20)), CODE), day(4, 7));
}

#[test]
fn cooked_food_cools_in_two_stages() {
    // 3-501.14(A): 57 °C (135 °F) to 21 °C (70 °F) in 2 hours, to 5 °C (41 °F) in 6 in all.
    let rule = CoolingRule::Cooked;
    let good = [at(18, 0, 135), at(19, 59, 70), at(23, 59, 41)];
    assert_eq!(rule.judge(&good), Cooling::Done { at: 23 * 60 + 59 });
    // One minute late at the first stage fails, though it is cold long before the six hours are over.
    let late = [at(18, 0, 135), at(20, 1, 70), at(22, 0, 41)];
    let failed = rule.judge(&late);
    assert!(matches!(failed, Cooling::Failed { first_stage: true, by: 1200, .. }), "{failed:?}");
    // Both bounds are "within": reached at the minute itself is in time.
    let exact = [at(10, 0, 135), at(12, 0, 70), at(16, 0, 41)];
    assert_eq!(rule.judge(&exact), Cooling::Done { at: 960 });
    let warm = rule.judge(&[at(10, 0, 135), at(12, 0, 70), at(16, 0, 42)]);
    assert!(matches!(warm, Cooling::Failed { first_stage: false, by: 960, .. }), "{warm:?}");
    let on = rule.judge(&[at(10, 0, 135), at(11, 0, 69)]);
    assert_eq!(on, Cooling::UnderWay { to: Temperature::COLD, by: 960 });
    assert_eq!(rule.judge(&[]), Cooling::NotBegun);
}

#[test]
fn what_is_made_at_room_temperature_is_cold_within_four_hours() {
    // 3-501.14(B): cream-cheese frosting made at 19:00 is at 41 °F by 23:00.
    let rule = CoolingRule::FromRoomTemperature;
    assert_eq!(rule.judge(&[at(19, 0, 68), at(23, 0, 41)]), Cooling::Done { at: 1380 });
    let late = rule.judge(&[at(19, 0, 68), at(23, 1, 41)]);
    assert!(matches!(late, Cooling::Failed { by: 1380, .. }), "{late:?}");
}

#[test]
fn cooling_in_australia_counts_its_second_stage_from_the_first() {
    // Standard 3.2.2 clause 7(3), from memory: 60 to 21 °C in 2 hours, to 5 °C in a further 4.
    let read = |minute, degrees| Reading { minute, temperature: Temperature::celsius(degrees) };
    let rule = CoolingRule::CookedAustralia;
    assert_eq!(rule.judge(&[read(0, 60), read(120, 21), read(360, 5)]), Cooling::Done { at: 360 });
    let late = rule.judge(&[read(0, 60), read(60, 21), read(301, 5)]);
    assert!(matches!(late, Cooling::Failed { by: 300, first_stage: false, .. }), "{late:?}");
}

#[test]
fn time_as_the_control() {
    let cold = Out { start: Some(Temperature::COLD), ..Out::minutes(240) };
    // 3-501.19(B): out at 10:00 from 41 °F without a log, thrown away at 14:00.
    assert_eq!(OutRule::SixHoursLogged.judge(&[cold]), Verdict::EatOnly { left: 0 });
    let over = Out { minutes: 241, ..cold };
    assert!(matches!(OutRule::SixHoursLogged.judge(&[over]), Verdict::Discard { .. }));
    assert!(matches!(OutRule::FourHours.judge(&[over]), Verdict::Discard { .. }));
    // 3-501.19(C): logged at 70 °F at most, thrown away at 16:00.
    let logged = Out { warmest: Some(Temperature::fahrenheit(70)), ..over };
    assert_eq!(OutRule::SixHoursLogged.judge(&[logged]), Verdict::EatOnly { left: 119 });
    assert_eq!(OutRule::SixHoursLogged.greatest(None, true), 360);
    // 71 °F at noon: not allowed any more.
    let warm = Out { minutes: 120, warmest: Some(Temperature::fahrenheit(71)), ..cold };
    assert!(matches!(OutRule::SixHoursLogged.judge(&[warm]), Verdict::Discard { .. }));
    // It begins at 41 °F or below.
    let tepid = Out { start: Some(Temperature::fahrenheit(42)), ..Out::minutes(10) };
    assert!(matches!(OutRule::FourHours.judge(&[tepid]), Verdict::Discard { .. }));
}

#[test]
fn two_hours_at_home_and_one_in_the_heat() {
    // FSIS, Danger Zone: over 2 hours never; over 1 hour above 90 °F never.
    let out = |minutes, degrees| Out {
        room: Some(Temperature::fahrenheit(degrees)),
        ..Out::minutes(minutes)
    };
    assert_eq!(OutRule::Home.greatest(Some(Temperature::fahrenheit(92)), false), 60);
    assert_eq!(OutRule::Home.greatest(Some(Temperature::fahrenheit(90)), false), 120);
    assert_eq!(OutRule::Home.greatest(Some(Temperature::fahrenheit(89)), false), 120);
    assert_eq!(OutRule::Home.judge(&[out(60, 92)]), Verdict::MayReturn { left: 0 });
    assert!(matches!(OutRule::Home.judge(&[out(61, 92)]), Verdict::Discard { .. }));
    assert_eq!(OutRule::Home.judge(&[out(120, 89)]), Verdict::MayReturn { left: 0 });
    assert!(matches!(OutRule::Home.judge(&[out(121, 89)]), Verdict::Discard { .. }));
    // It adds up, whatever lies between.
    assert!(matches!(OutRule::Home.judge(&[out(70, 70), out(51, 70)]), Verdict::Discard { .. }));
}

#[test]
fn one_period_on_display_in_england() {
    // Food Hygiene Regulations, schedule 4 paragraph 5(1): a single period of less than four hours, not
    // kept above 8 °C for service before.
    let out = |minutes| Out { warmest: Some(Temperature::celsius(15)), ..Out::minutes(minutes) };
    assert_eq!(OutRule::OnceUnderFourHours.judge(&[out(239)]), Verdict::EatOnly { left: 0 });
    assert!(matches!(OutRule::OnceUnderFourHours.judge(&[out(240)]), Verdict::Discard { .. }));
    assert!(matches!(
        OutRule::OnceUnderFourHours.judge(&[out(30), out(30)]),
        Verdict::Discard { .. }
    ));
    let chilled = Out { warmest: Some(Temperature::celsius(8)), ..Out::minutes(300) };
    let verdict = OutRule::OnceUnderFourHours.judge(&[chilled]);
    assert!(matches!(verdict, Verdict::MayReturn { .. }), "{verdict:?}");
}

#[test]
fn two_hours_and_four_hours_add_up_in_australia() {
    // FSANZ, 2-hour/4-hour rule: less than 2 hours in all may go back, 2 to 4 is used and not chilled again,
    // more is thrown away; 1 hour and 1.5 hours are 2.5.
    let rule = OutRule::TwoAndFourHours;
    let outs = |all: &[u32]| {
        rule.judge(&all.iter().map(|&minutes| Out::minutes(minutes)).collect::<Vec<_>>())
    };
    assert_eq!(outs(&[60, 90]), Verdict::EatOnly { left: 90 });
    assert_eq!(outs(&[119]), Verdict::MayReturn { left: 0 });
    assert_eq!(outs(&[120]), Verdict::EatOnly { left: 120 });
    assert_eq!(outs(&[240]), Verdict::EatOnly { left: 0 });
    assert!(matches!(outs(&[120, 121]), Verdict::Discard { .. }));
}

#[test]
fn water_activity_and_acidity_by_table_a_and_table_b() {
    use Assessment::{AssessFirst, NotControlled};
    // FDA Food Code 1-201.10(B), as printed in Tennessee 0080-04-09-.01, Texas 25 TAC 229.661, Georgia
    // 40-7-1-.02 and Nevada 446.025: every cell, at its edges. Thousandths and hundredths.
    let table_a = [
        ((920, 460), NotControlled),
        ((920, 560), NotControlled),
        ((920, 650), NotControlled),
        ((950, 460), NotControlled),
        ((921, 560), NotControlled),
        ((950, 560), NotControlled),
        ((950, 570), AssessFirst),
        ((921, 561), AssessFirst),
        ((960, 460), NotControlled),
        ((960, 470), AssessFirst),
        ((951, 461), AssessFirst),
        ((960, 561), AssessFirst),
    ];
    let table_b = [
        ((870, 700), NotControlled),
        ((879, 900), NotControlled),
        ((880, 419), NotControlled),
        ((880, 420), NotControlled),
        ((880, 500), NotControlled),
        ((900, 500), NotControlled),
        ((880, 501), AssessFirst),
        ((900, 501), AssessFirst),
        ((901, 419), NotControlled),
        ((910, 460), NotControlled),
        ((920, 460), NotControlled),
        ((910, 461), AssessFirst),
        ((910, 470), AssessFirst),
        ((920, 501), AssessFirst),
        ((921, 419), NotControlled),
        ((930, 410), NotControlled),
        ((930, 420), AssessFirst),
        ((930, 461), AssessFirst),
        ((930, 501), AssessFirst),
        // University of Minnesota Extension, September 2019: a buttercream of 0.90 and 7.43 is refrigerated.
        ((900, 743), AssessFirst),
    ];
    for ((water, acid), expected) in table_a {
        assert_eq!(
            assess(Treatment::HeatedThenPackaged, measured(water, acid)),
            expected,
            "{water} {acid}"
        );
    }
    for ((water, acid), expected) in table_b {
        assert_eq!(assess(Treatment::Open, measured(water, acid)), expected, "{water} {acid}");
    }
    // What was not measured counts as the worst.
    assert_eq!(assess(Treatment::Open, Measured::default()), AssessFirst);
    assert_eq!(assess(Treatment::HeatedThenPackaged, Measured::default()), AssessFirst);
}

#[test]
fn home_rules_ask_for_more_than_the_tables() {
    // Indiana 410 IAC 7-21-25, Navy P-5010-1: 0.85 or less, or 4.6 or below.
    assert!(meets_home_rule(measured(850, 700)));
    assert!(!meets_home_rule(measured(851, 461)));
    assert!(meets_home_rule(measured(950, 460)));
    assert!(!meets_home_rule(Measured::default()));
    // University of Minnesota Extension: more than 65 °Brix and 0.85 at most, both.
    assert!(dairy_frosting_may_stand(651, measured(850, 700)));
    assert!(!dairy_frosting_may_stand(650, measured(850, 700)));
    assert!(!dairy_frosting_may_stand(700, measured(851, 700)));
    assert!(!dairy_frosting_may_stand(700, Measured::default()));
}

#[test]
fn the_share_of_sugar_warns_and_never_clears() {
    // University of Minnesota Extension: 2 oz of powdered sugar to 1 oz of cream cheese, 66.7 %.
    assert_eq!(sugar_share(2, 3), Ok(666));
    assert_eq!(sugar_verdict(2, 3), Ok(SugarVerdict::MeetsRuleUnmeasured));
    assert!(SugarVerdict::MeetsRuleUnmeasured.words().contains("laboratory"));
    // Kansas State extension MF3544: more than 65 %; 65.0 % is not.
    assert_eq!(sugar_verdict(650, 1000), Ok(SugarVerdict::KeepCold));
    assert_eq!(sugar_verdict(6501, 10000), Ok(SugarVerdict::MeetsRuleUnmeasured));
    assert!(sugar_share(5, 4).expect_err("more sugar than all").message.contains("for example"));
    assert!(sugar_share(0, 0).is_err());
}

#[test]
fn temperatures_are_the_same_in_both_scales() {
    // Pairs as the Food Code prints them.
    for (fahrenheit, celsius) in
        [(41, 5), (135, 57), (70, 21), (45, 7), (145, 63), (155, 68), (0, -18)]
    {
        let exact = Temperature::fahrenheit(fahrenheit);
        assert!((exact.0 - Temperature::celsius(celsius).0).abs() <= 50, "{exact}");
        assert_eq!(exact.to_fahrenheit(), i32::from(fahrenheit));
    }
    assert_eq!(Temperature::COLD.to_string(), "5 °C (41 °F)");
    assert_eq!(Temperature::fahrenheit(70).to_string(), "21.1 °C (70 °F)");
    assert_eq!(Temperature::FROZEN.to_string(), "−18 °C (0 °F)");
}

#[test]
fn what_needs_cold_by_default() {
    // Iowa State extension: frosting with cream cheese, whipped cream or eggs needs the fridge despite its
    // sugar. FSIS and Ohio State: cream and custard too. Food Code 1-201.10(B): cut fruit.
    let cold = [
        "cream-cheese frosting",
        "whipped cream",
        "meringue buttercream",
        "pastry cream",
        "cut fruit",
    ];
    for product in cold {
        assert_eq!(control(product), Some(Control::Needed), "{product}");
    }
    assert_eq!(control("sugar buttercream"), Some(Control::Unproven));
    assert_eq!(control("baked cookies"), Some(Control::NotNeeded));
    assert_eq!(control("moon cheese"), None);
}
