//! Regions choose values and words; a baker makes them stricter, never looser.
#![cfg(not(target_arch = "wasm32"))]

use proptest::prelude::*;
use rackweek::keeping::{
    CoolingRule, DayRule, Fridge, Out, OutRule, Profile, Region, Temperature, Verdict, limits,
};

#[test]
fn each_region_has_its_published_numbers() {
    let profile = Profile::of;
    // FDA Food Code 3-501.16(A)(2) and 3-501.17(A); FSIS, Danger Zone.
    let us = profile(Region::UnitedStates);
    assert_eq!(
        (us.cold().to_fahrenheit(), us.days().days, us.out()),
        (41, 7, (OutRule::Home, 120))
    );
    assert_eq!(us.cooling(), CoolingRule::Cooked);
    // Food Safety and Hygiene (England) Regulations 2013, schedule 4 paragraphs 2 and 5(1).
    let england = profile(Region::England);
    assert_eq!(england.cold(), Temperature::celsius(8));
    assert_eq!(england.out(), (OutRule::OnceUnderFourHours, 239));
    // FSANZ, 2-hour/4-hour rule; Standard 3.2.2 clause 7(3) (from memory).
    let australia = profile(Region::AustraliaNewZealand);
    assert_eq!(australia.cold(), Temperature::celsius(5));
    assert_eq!(australia.out(), (OutRule::TwoAndFourHours, 240));
    assert_eq!(australia.cooling(), CoolingRule::CookedAustralia);
    // Regulation (EC) 852/2004 names no number, so another's is taken, and said.
    let union = Region::EuropeanUnion;
    for rule in [union.cold(), union.days(), union.out(), union.cooling()] {
        assert!(!rule.own && rule.source.contains("taken"), "{rule:?}");
    }
    for region in Region::ALL {
        for rule in [region.cold(), region.days(), region.out(), region.cooling()] {
            assert_eq!(rule.own, !rule.source.contains("taken"), "{rule:?}");
        }
    }
}

#[test]
fn a_fridge_at_eight_degrees_is_lawful_in_england_and_counts_no_days() {
    let eight = Temperature::celsius(8);
    assert_eq!(Profile::of(Region::England).fridge(eight), Fridge::AllowedNotCounted);
    assert_eq!(Profile::of(Region::England).fridge(Temperature(801)), Fridge::TooWarm);
    assert_eq!(Profile::of(Region::England).fridge(Temperature::COLD), Fridge::Cold);
    assert_eq!(Profile::of(Region::UnitedStates).fridge(eight), Fridge::TooWarm);
}

#[test]
fn looser_is_refused_with_the_reason() {
    let us = Profile::of(Region::UnitedStates);
    let warm = us.with_cold(Temperature::celsius(8)).expect_err("warmer than the code");
    assert!(warm.field == "cold" && warm.message.contains("3-501.16"), "{warm}");
    let long = us.with_days(DayRule { days: 8, ..DayRule::FOOD_CODE }).expect_err("a day more");
    assert!(long.field == "days" && long.message.contains("1 to 7"), "{long}");
    assert!(us.with_days(DayRule { days: 0, ..DayRule::FOOD_CODE }).is_err());
    let minutes = us.with_out_minutes(121).expect_err("a minute more");
    assert!(
        minutes.field == "out_minutes" && minutes.message.contains("120 or fewer"),
        "{minutes}"
    );
    // 3-501.19(A): time control needs a written procedure.
    let unwritten = us.with_out(OutRule::FourHours, false).expect_err("nothing written");
    assert!(unwritten.message.contains("written procedure"), "{unwritten}");
    assert_eq!(us.with_out(OutRule::FourHours, true).map(|profile| profile.out().1), Ok(240));
    assert!(Profile::of(Region::England).with_out(OutRule::SixHoursLogged, true).is_err());
}

#[test]
fn words_differ_by_region() {
    assert_eq!(Profile::of(Region::UnitedStates).quality_words(), "Best by");
    assert_eq!(Profile::of(Region::England).quality_words(), "Best before");
    assert_eq!(Profile::of(Region::England).safety_words(), "Use by");
}

/// The greater, the more may be done with it.
fn freedom(verdict: Verdict) -> (u8, u32) {
    match verdict {
        Verdict::Discard { .. } => (0, 0),
        Verdict::EatOnly { left } => (1, left),
        Verdict::MayReturn { left } => (2, left),
    }
}

proptest! {
    #[test]
    fn no_profile_lengthens_a_limit(
        region in proptest::sample::select(Region::ALL.to_vec()),
        days in 0_u8..12, minutes in 0_u32..400, fridge in -500_i32..1200,
    ) {
        let usual = Profile::of(region);
        let rule = DayRule { days, ..DayRule::FOOD_CODE };
        let changed = [usual.with_days(rule), usual.with_out_minutes(minutes), usual.with_cold(Temperature(fridge))];
        for profile in changed.into_iter().flatten() {
            prop_assert!(profile.cold() <= usual.cold());
            for limit in limits() {
                prop_assert!(profile.minutes(limit) <= usual.minutes(limit));
                prop_assert!(usual.minutes(limit) <= limit.minutes);
            }
        }
    }

    #[test]
    fn fewer_minutes_never_allow_more(
        region in proptest::sample::select(Region::ALL.to_vec()),
        minutes in 0_u32..240,
        outs in proptest::collection::vec(0_u32..150, 0..4),
    ) {
        let usual = Profile::of(region);
        let outs: Vec<Out> = outs.into_iter().map(Out::minutes).collect();
        if let Ok(strict) = usual.with_out_minutes(minutes) {
            prop_assert!(freedom(strict.judge_out(&outs)) <= freedom(usual.judge_out(&outs)));
        }
    }
}
