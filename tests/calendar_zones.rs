//! Nights in which clocks change, and dates at the edges of years, against published rules.
//!
//! Offsets and instants of change: IANA time-zone database, release 2025b (tzdata, `zdump -v`).
//! Week numbers: ISO 8601, in which weeks start on Monday and week 1 holds the year's first Thursday.
#![cfg(not(target_arch = "wasm32"))]

use proptest::prelude::*;
use rackweek::calendar::{Date, Elapsed, Horizon, OffsetChange, Wall, Weekday, Zone};

fn wall(text: &str) -> Wall {
    text.parse().expect(text)
}

fn date(text: &str) -> Date {
    text.parse().expect(text)
}

/// A zone from its changes, each as the instant in universal time.
fn zone(name: &str, changes: &[(&str, i32)]) -> Zone {
    let changes = changes
        .iter()
        .map(|(utc, offset)| OffsetChange { utc: wall(utc).as_if_utc(), offset: *offset })
        .collect();
    let zone = Zone { name: name.to_owned(), changes };
    assert_eq!(zone.validate(), []);
    zone
}

fn london() -> Zone {
    zone(
        "Europe/London",
        &[("2026-01-01T00:00", 0), ("2026-03-29T01:00", 60), ("2026-10-25T01:00", 0)],
    )
}

fn new_york() -> Zone {
    zone(
        "America/New_York",
        &[("2026-01-01T00:00", -300), ("2026-03-08T07:00", -240), ("2026-11-01T06:00", -300)],
    )
}

/// Half an hour of daylight saving, in the southern summer.
fn lord_howe() -> Zone {
    zone(
        "Australia/Lord_Howe",
        &[("2026-01-01T00:00", 660), ("2026-04-04T15:00", 630), ("2026-10-03T15:30", 660)],
    )
}

/// Changes at midnight, so that one day has no 00:00 and another has two.
fn havana() -> Zone {
    zone(
        "America/Havana",
        &[("2026-01-01T00:00", -300), ("2026-03-08T05:00", -240), ("2026-11-01T05:00", -300)],
    )
}

/// The week of `day`, and the day's index in it.
fn week_of(day: &str, zone: Zone) -> (Horizon, u16) {
    let horizon = Horizon::from_monday_of(date(day), 7, zone);
    let index = u16::try_from(date(day).days_since(horizon.start)).expect("in the week");
    (horizon, index)
}

#[test]
fn days_of_a_change_are_as_long_as_the_database_says() {
    for (day, zone, minutes) in [
        ("2026-03-29", london(), 23 * 60),
        ("2026-10-25", london(), 25 * 60),
        ("2026-03-08", new_york(), 23 * 60),
        ("2026-11-01", new_york(), 25 * 60),
        ("2026-04-05", lord_howe(), 24 * 60 + 30),
        ("2026-10-04", lord_howe(), 23 * 60 + 30),
        ("2026-03-08", havana(), 23 * 60),
        ("2026-11-01", havana(), 25 * 60),
    ] {
        let (horizon, index) = week_of(day, zone);
        assert_eq!(horizon.day_len(index), minutes, "{day} {}", horizon.zone.name);
        let whole: i32 = (0..7).map(|day| horizon.day_len(day)).sum();
        assert_eq!(horizon.len(), Elapsed(whole));
        assert_eq!(whole, 6 * 1440 + minutes, "every other day has 24 hours");
    }
}

#[test]
fn a_skipped_time_moves_on_by_the_gap() {
    for (zone, skipped, shown) in [
        (london(), "2026-03-29T01:30", "2026-03-29T02:30"),
        (new_york(), "2026-03-08T02:00", "2026-03-08T03:00"),
        (new_york(), "2026-03-08T02:59", "2026-03-08T03:59"),
        (lord_howe(), "2026-10-04T02:15", "2026-10-04T02:45"),
        (havana(), "2026-03-08T00:00", "2026-03-08T01:00"),
    ] {
        assert_eq!(zone.to_wall(zone.to_utc(wall(skipped))), wall(shown), "{}", zone.name);
    }
}

#[test]
fn a_repeated_time_is_the_first_one() {
    for (zone, repeated, first_utc, second_utc) in [
        (london(), "2026-10-25T01:30", "2026-10-25T00:30", "2026-10-25T01:30"),
        (new_york(), "2026-11-01T01:00", "2026-11-01T05:00", "2026-11-01T06:00"),
        (lord_howe(), "2026-04-05T01:45", "2026-04-04T14:45", "2026-04-04T15:15"),
        (havana(), "2026-11-01T00:30", "2026-11-01T04:30", "2026-11-01T05:30"),
    ] {
        assert_eq!(zone.to_utc(wall(repeated)), wall(first_utc).as_if_utc(), "{}", zone.name);
        for utc in [first_utc, second_utc] {
            assert_eq!(zone.to_wall(wall(utc).as_if_utc()), wall(repeated), "{}", zone.name);
        }
    }
}

#[test]
fn minutes_run_on_through_the_night() {
    // Eight hours in the fridge from 22:00 end at 07:00 when a night is an hour short, at 05:00 when
    // it is an hour long, and half an hour off on Lord Howe.
    for (zone, from, until) in [
        (london(), "2026-03-28T22:00", "2026-03-29T07:00"),
        (london(), "2026-10-24T22:00", "2026-10-25T05:00"),
        (new_york(), "2026-03-07T22:00", "2026-03-08T07:00"),
        (lord_howe(), "2026-04-04T22:00", "2026-04-05T05:30"),
        (lord_howe(), "2026-10-03T22:00", "2026-10-04T06:30"),
    ] {
        let horizon = Horizon::from_monday_of(wall(from).date(), 14, zone);
        let end = horizon.elapsed(wall(from)).plus(8 * 60);
        assert_eq!(horizon.wall(end), wall(until), "{}", horizon.zone.name);
    }
}

#[test]
fn a_day_without_midnight_starts_at_its_first_moment() {
    let (horizon, sunday) = week_of("2026-03-08", havana());
    assert_eq!(horizon.wall(horizon.day_start(sunday)), wall("2026-03-08T01:00"));
    assert_eq!(horizon.day_of(horizon.day_start(sunday)), sunday);
    assert_eq!(horizon.day_of(horizon.day_start(sunday).plus(-1)), sunday - 1);
    // Two midnights: the day starts at the first.
    let (horizon, sunday) = week_of("2026-11-01", havana());
    let start = horizon.day_start(sunday);
    assert_eq!(horizon.wall(start), wall("2026-11-01T00:00"));
    assert_eq!(horizon.wall(start.plus(60)), wall("2026-11-01T00:00"));
    assert_eq!(horizon.day_of(start.plus(60)), sunday);
}

#[test]
fn leap_days_are_days() {
    let (horizon, index) = week_of("2028-02-29", Zone::fixed("kitchen", 0));
    assert_eq!((horizon.start, index), (date("2028-02-28"), 1));
    assert_eq!(horizon.weekday(index), Weekday::Tue);
    assert_eq!(horizon.date(index + 1), date("2028-03-01"));
    assert!("2027-02-29".parse::<Date>().is_err());
    assert_eq!(date("2028-03-01").days_since(date("2028-02-28")), 2);
    assert!("2100-02-29".parse::<Date>().is_err(), "full centuries are no leap years, by Gregory");
    assert!("2000-02-29".parse::<Date>().is_ok(), "unless 400 divides them");
}

#[test]
fn weeks_are_numbered_by_iso_8601() {
    for (day, week) in [
        // The week in question, and its neighbours.
        ("2026-12-27", (2026, 52)),
        ("2026-12-28", (2026, 53)),
        ("2026-12-31", (2026, 53)),
        ("2027-01-01", (2026, 53)),
        ("2027-01-03", (2026, 53)),
        ("2027-01-04", (2027, 1)),
        // Years that begin late or early (the common examples, from memory).
        ("2005-01-01", (2004, 53)),
        ("2008-12-29", (2009, 1)),
        ("2010-01-03", (2009, 53)),
        ("2028-02-29", (2028, 9)),
    ] {
        assert_eq!(date(day).iso_week(), week, "{day}");
    }
}

#[test]
fn the_planned_week_runs_over_new_year() {
    let (horizon, friday) = week_of("2027-01-01", london());
    assert_eq!((horizon.start, friday), (date("2026-12-28"), 4));
    assert_eq!(horizon.elapsed(wall("2027-01-01T00:00")), Elapsed(4 * 1440));
    assert_eq!(horizon.wall(Elapsed(4 * 1440 - 1)), wall("2026-12-31T23:59"));
    assert_eq!(horizon.weekday(friday), Weekday::Fri);
}

proptest! {
    #[test]
    fn every_moment_is_found_again_from_its_wall_time(
        which in 0..4_usize,
        week in 0..51_i64,
        minute in 0..14 * 1440_i32,
    ) {
        let zone = vec![london(), new_york(), lord_howe(), havana()].swap_remove(which);
        let horizon = Horizon::from_monday_of(date("2026-01-05").plus_days(7 * week), 14, zone);
        let moment = Elapsed(minute);
        let shown = horizon.wall(moment);
        let found = horizon.elapsed(shown);
        prop_assert_eq!(horizon.wall(found), shown);
        if found != moment {
            // Only where the clock showed the same an hour, or half an hour, before.
            let gap = if which == 2 { 30 } else { 60 };
            prop_assert_eq!(moment.since(found), gap);
            let utc = |at: Elapsed| horizon.zone.to_utc(horizon.start.at(0)) + i64::from(at.0);
            let change = horizon.zone.offset_at_utc(utc(moment)) - horizon.zone.offset_at_utc(utc(found));
            prop_assert_eq!(change, -gap);
        }
        let day = horizon.day_of(moment);
        if moment < horizon.len() {
            prop_assert!(horizon.day_span(day).contains(moment));
        }
    }

    #[test]
    fn later_wall_times_are_never_earlier_moments_save_in_a_repeated_hour(
        which in 0..4_usize,
        start in 0..360 * 1440_i64,
        step in 1..3000_i64,
    ) {
        let zone = vec![london(), new_york(), lord_howe(), havana()].swap_remove(which);
        let from = date("2026-01-02").at(0).plus_minutes(start);
        let (a, b) = (zone.to_utc(from), zone.to_utc(from.plus_minutes(step)));
        // A skipped time is shown later than times after it: within a gap only.
        let skipped = zone.to_wall(a) != from;
        prop_assert!(a <= b || skipped, "{from} + {step}");
    }
}
