//! What the week promises to whoever reads it or moves something on it.

use proptest::prelude::*;

use super::fixture::{date, fixture, horizon, key, wall};
use super::*;
use crate::calendar::{BusyKind, Elapsed, MyTime, OffsetChange, Span, Windows, Zone};
use crate::plan::check::{Breach, BreachKind};
use crate::record::{Command, Pin};

/// Central European time around the end of March 2027, when a night loses an hour.
fn spring() -> Zone {
    let change = date("2027-03-28").at(60).as_if_utc();
    Zone {
        name: "Europe/Berlin".into(),
        changes: vec![
            OffsetChange { utc: change - 1_000_000, offset: 60 },
            OffsetChange { utc: change, offset: 120 },
        ],
    }
}

/// Lord Howe Island in April 2027: half an hour is gained.
fn half_hour() -> Zone {
    let change = date("2027-04-03").at(15 * 60).as_if_utc();
    Zone {
        name: "Australia/Lord_Howe".into(),
        changes: vec![
            OffsetChange { utc: change - 1_000_000, offset: 660 },
            OffsetChange { utc: change, offset: 630 },
        ],
    }
}

fn axis(monday: &str, zone: Zone, day: i32, open: bool) -> DayAxis {
    let horizon = horizon(monday, zone);
    let windows = Windows::of(&MyTime::typical(), &horizon, &[]);
    DayAxis::of(&horizon, day, &windows, &[], &|_| open)
}

#[test]
fn a_workday_is_two_strips_and_an_evening_to_scale() {
    let week = fixture().view();
    let tuesday = &week.days[1];
    let folded: Vec<(&str, &str)> = tuesday
        .axis
        .sections
        .iter()
        .filter(|section| section.folded)
        .map(|section| (section.label.as_str(), section.times.as_str()))
        .collect();
    assert_eq!(folded[0].0, "asleep");
    assert!(folded[0].1.starts_with("until "), "{folded:?}");
    assert!(folded.iter().any(|(label, _)| *label == "day job"), "{folded:?}");
    assert!(
        folded
            .last()
            .is_some_and(|(label, times)| { *label == "asleep" && times.starts_with("from ") })
    );
    for section in tuesday.axis.sections.iter().filter(|section| section.folded) {
        assert_eq!(section.bottom - section.top, STRIP_HEIGHT);
    }
    let free: i32 = tuesday
        .axis
        .sections
        .iter()
        .filter(|section| section.busy.is_none())
        .map(|section| section.bottom - section.top)
        .sum();
    let minutes: i32 = fixture()
        .outlook
        .windows
        .free
        .iter()
        .filter_map(|free| free.shared(tuesday.axis.span))
        .map(Span::minutes)
        .sum();
    assert_eq!(free, minutes * UNITS_PER_HOUR / 60);
    assert!(tuesday.axis.height < week.days[5].axis.height, "a Saturday has more room");
}

#[test]
fn unfolding_a_strip_draws_it_to_scale_and_keeps_its_name() {
    let mut week = fixture();
    let strip = week.view().days[0].axis.sections[0].clone();
    assert!(strip.folded && strip.busy == Some(BusyKind::Sleep));
    week.unfolded.extend(strip.fold);
    let opened = week.view().days[0].axis.sections[0].clone();
    assert!(!opened.folded);
    assert_eq!(opened.fold, strip.fold);
    assert_eq!(opened.bottom, opened.span.minutes() * UNITS_PER_HOUR / 60);
}

#[test]
fn a_sitting_placed_in_busy_time_is_drawn_to_scale() {
    let mut week = fixture();
    let pin = Pin { starts: vec![wall("2026-11-24T12:00")], done: true };
    week.book.pins.insert(key("o1.i1.bake", 0).step, pin);
    let view = week.view();
    let (column, block) = view.block(&key("o1.i1.bake", 0)).expect("the bake");
    assert_eq!((column, block.height), (1, UNITS_PER_HOUR));
    assert_eq!(block.state, BlockState::Done);
    let strips: Vec<&str> = view.days[1]
        .axis
        .sections
        .iter()
        .filter(|section| section.folded && section.label == "day job")
        .map(|section| section.times.as_str())
        .collect();
    assert_eq!(strips.len(), 2, "before it and after it");
}

#[test]
fn days_of_a_clock_change_have_23_and_24_and_a_half_hours() {
    let spring = axis("2027-03-22", spring(), 6, true);
    assert_eq!(spring.span.minutes(), 23 * 60);
    let labels: Vec<&str> = spring.ticks.iter().map(|tick| tick.label.as_str()).collect();
    assert!(labels.contains(&"1") && !labels.contains(&"2") && labels.contains(&"3"), "{labels:?}");
    assert_eq!(spring.height, 23 * UNITS_PER_HOUR);

    let lord_howe = axis("2027-03-29", half_hour(), 6, true);
    assert_eq!(lord_howe.span.minutes(), 24 * 60 + 30);
    let one = lord_howe.ticks.iter().filter(|tick| tick.label == "1").count();
    assert_eq!(one, 1, "half past one is shown twice, one o'clock once");
    assert_eq!(lord_howe.ticks.iter().filter(|tick| tick.label.is_empty()).count(), 25);
}

#[test]
fn the_evening_after_a_clock_change_stands_at_its_wall_clock_time() {
    let changed = axis("2027-03-22", spring(), 6, false);
    let plain = axis("2027-03-22", Zone::fixed("kitchen", 60), 6, false);
    let horizon = horizon("2027-03-22", spring());
    let seven = horizon.elapsed(wall("2027-03-28T19:00"));
    assert_eq!(seven.0, (6 * 24 + 18) * 60, "an hour less has passed");
    assert_eq!(changed.y_of(seven), plain.y_of(Elapsed((6 * 24 + 19) * 60)));
}

proptest! {
    #[test]
    fn heights_and_moments_agree(day in 0..7_i32, quarter in 0..100_i32, open: bool, change: bool) {
        let zone = if change { spring() } else { Zone::fixed("kitchen", 60) };
        let axis = axis("2027-03-22", zone, day, open);
        let mut reached = (axis.span.start, 0);
        for section in &axis.sections {
            prop_assert_eq!((section.span.start, section.top), reached);
            prop_assert!(section.bottom > section.top);
            reached = (section.span.end, section.bottom);
        }
        prop_assert_eq!(reached, (axis.span.end, axis.height));
        let moment = Elapsed((axis.span.start.0 + quarter * 15).min(axis.span.end.0));
        let y = axis.y_of(moment);
        let within = axis.section_at(y);
        if within.is_some_and(|section| !section.folded) {
            prop_assert_eq!(axis.moment_at(y), moment);
        }
        prop_assert!(axis.y_of(axis.moment_at(y)).abs_diff(y) <= 1);
    }

    #[test]
    fn a_drop_lands_on_a_quarter_hour_that_was_named(column in 0..7_usize, y in -200..3000_i32) {
        let week = fixture();
        let named = week.slots(&[
            ("2026-11-24T18:30", "2026-11-24T20:15"),
            ("2026-11-28T08:00", "2026-11-28T13:00"),
        ]);
        let reach = Reach::among(week.input(), &key("o1.i1.pipe", 0), &named).expect("it is there");
        let view = week.view();
        match reach.land(&view.days[column], y) {
            Landing::Here { start, top, .. } => {
                let slot = start.0 / SNAP;
                prop_assert_eq!(start.0 % SNAP, 0);
                prop_assert!(named.iter().any(|(from, to)| *from <= slot && slot < *to));
                prop_assert_eq!(top, view.days[column].axis.y_of(start));
            }
            Landing::NotPossible { reason } => prop_assert!(!reason.is_empty()),
        }
    }
}

#[test]
fn blocks_say_what_whose_and_when() {
    let view = fixture().view();
    let (column, block) = view.block(&key("o1.i1.flood", 1)).expect("the second sitting");
    assert_eq!(column, 2);
    assert_eq!(block.mark, "MH");
    assert_eq!(block.time, "20:00–20:45", "40 minutes take three quarters of an hour");
    assert_eq!(block.part_text().as_deref(), Some("2 of 2"));
    assert_eq!(block.height, 3 * UNITS_PER_HOUR / 4);
    assert_eq!((block.left, block.width), (0, 1000), "nothing beside it");
    let wednesday: Vec<&str> = view.days[2].list.iter().map(|item| item.name.as_str()).collect();
    assert_eq!(
        wednesday,
        ["Wednesday 20:00 to 20:45, Flood the base coat, Decorated cookies for Mira Holm, \
          sitting 2 of 2"]
    );
    let saturday: Vec<&str> = view.days[5].list.iter().map(|item| item.name.as_str()).collect();
    assert_eq!(saturday, ["Saturday 15:00, Mira Holm leaves"]);
}

#[test]
fn the_oven_runs_in_its_own_lane_beside_hands() {
    let view = fixture().view();
    let (_, oven) = view.block(&key("o1.i1.bake", 0)).expect("the bake");
    let (_, hands) = view.block(&key("o1.i1.flood", 0)).expect("the first sitting");
    assert_eq!(oven.kind, BlockKind::Oven);
    assert!(oven.beside && hands.beside);
    assert_eq!(hands.left, 0);
    assert_eq!(oven.left, hands.width, "right of it");
    assert_eq!(oven.left + oven.width, 1000);
    assert!(oven.width < hands.width);
    assert_eq!(view.days[1].hands_on, 75, "the oven is not hands-on");
}

#[test]
fn threads_say_where_it_is_and_run_down_each_day() {
    let view = fixture().view();
    let dry = view.threads.iter().find(|thread| thread.id == "o1.i1.dry").expect("the drying");
    assert_eq!(dry.words, "base-coated cookies · dry on the rack until Fri 19:00");
    let pieces = &dry.parts[0].pieces;
    let columns: Vec<usize> = pieces.iter().map(|piece| piece.column).collect();
    assert_eq!(columns, [2, 3, 4]);
    let (_, flood) = view.block(&key("o1.i1.flood", 1)).expect("the flood");
    let (_, pipe) = view.block(&key("o1.i1.pipe", 0)).expect("the pipe");
    assert!(pieces[0].starts && pieces[0].top == flood.top + flood.height);
    assert!(pieces[2].ends && pieces[2].bottom == pipe.top);
    assert_eq!((pieces[1].top, pieces[1].bottom), (0, view.days[3].axis.height));
    let keep = view.threads.iter().find(|thread| thread.id == "o1.i1.keep").expect("the keeping");
    assert_eq!(keep.words, "base-coated cookies · boxed, on the room shelf until Sat 15:00");
    let thursday = &view.days[3];
    let rack = Some(crate::kitchen::Place::Rack);
    assert_eq!(thursday.runs, [Run { place: rack, top: 0, bottom: thursday.axis.height }]);
    assert_eq!(view.days[4].runs.len(), 2, "off the rack, onto the shelf");
    assert!(view.days[6].runs.is_empty());
}

#[test]
fn gauges_give_the_peak_as_a_number_with_its_unit() {
    let view = fixture().view();
    let rack = |day: usize| {
        view.days[day].gauges.iter().find(|gauge| gauge.place == crate::kitchen::Place::Rack)
    };
    let thursday = rack(3).expect("a rack");
    assert_eq!(thursday.peak_text, "3 of 8 trays");
    assert_eq!(thursday.words, "rack 3 of 8 trays, all day");
    assert_eq!(thursday.at_peak.len(), 1);
    assert_eq!(thursday.at_peak[0].what, "base-coated cookies: 3 × tray");
    let wednesday = rack(2).expect("a rack");
    assert_eq!(wednesday.steps.len(), 2);
    assert_eq!(wednesday.steps[0].fill, 0);
    assert_eq!(wednesday.at_peak[0].when, "from 20:45");
    assert_eq!(rack(0).expect("a rack").words, "rack empty");
    assert!(!thursday.overfull);
}

#[test]
fn an_overfull_place_says_so_by_words() {
    let mut week = fixture();
    for rest in &mut week.outlook.work.rests {
        for choice in &mut rest.choices {
            for boxes in choice.stay.iter_mut().flat_map(|stay| &mut stay.boxes) {
                boxes.count = 10;
            }
        }
    }
    let view = week.view();
    let rack = &view.days[3].gauges[1];
    assert!(rack.overfull && rack.peak > 1000);
    assert_eq!(rack.words, "rack 10 of 8 trays, all day, overfull by 2 trays");
    let room = &view.days[5].gauges[3];
    assert!(room.overfull && room.words.starts_with("room shelf: “tray”"), "{}", room.words);
    if let Some(kitchen) = &mut week.book.kitchen {
        kitchen.room[0].household = crate::kitchen::Household::Nothing;
    }
    // Ten trays of 12 dm² on a shelf of 20 dm².
    let words = &week.view().days[5].gauges[3].words;
    assert_eq!(words, "room shelf 600 %, until 15:00, overfull by 100 dm²");
}

#[test]
fn breaches_become_sentences_with_blocks_to_jump_to() {
    let mut week = fixture();
    let slot = |text: &str| week.at(text).0 / 15;
    let breach = |kind, id: &str, at, by| Breach {
        kind,
        id: id.to_owned(),
        at,
        by,
        text: "in ids".to_owned(),
    };
    let breaches = vec![
        breach(BreachKind::Overfull, "fridge.0", slot("2026-11-27T20:00"), 250),
        breach(BreachKind::Overfull, "fridge.h300", slot("2026-11-27T20:00"), 120),
        breach(BreachKind::Missing, "o1.i1.flood", 0, 0),
        breach(BreachKind::TooLong, "o1.i1.dry", slot("2026-11-27T18:00"), 4),
        breach(BreachKind::OutOfTime, "o1.handover", slot("2026-11-28T15:00"), 3),
        breach(BreachKind::Limit, "baker", slot("2026-11-26T00:00"), 2),
        breach(BreachKind::Window, "unheard-of", 0, 2),
    ];
    week.outlook.assembled.problem.resources[2].busy =
        vec![(slot("2026-11-27T20:00"), slot("2026-11-27T23:15"), 4250)];
    week.report.breaches = breaches;
    let view = week.view();
    let texts: Vec<&str> = view.problems.iter().map(|problem| problem.text.as_str()).collect();
    assert_eq!(
        texts,
        [
            "Flood the base coat (Mira Holm) has no free window before its handover",
            "in ids",
            "Thursday holds 30 min more work than a day may",
            "Base-coated cookies (Mira Holm): kept 1 h too long, from Friday 18:00",
            "Fridge overfull on Friday 20:00–23:15 by 3 dm²",
            "Mira Holm is not ready when it leaves: 45 min late",
        ]
    );
    assert_eq!(view.problems[3].blocks[0], key("o1.i1.pipe", 0));
    assert_eq!(view.problems[3].day, Some(4));
    let (_, pipe) = view.block(&key("o1.i1.pipe", 0)).expect("the pipe");
    assert!(pipe.breaches.iter().any(|text| text.contains("too long")));
}

#[test]
fn a_drop_outside_what_is_possible_says_why() {
    let week = fixture();
    let named = week.slots(&[("2026-11-24T19:00", "2026-11-24T20:00")]);
    let view = week.view();
    let reach = Reach::among(week.input(), &key("o1.i1.pipe", 0), &named).expect("it is there");
    let reason = |day: usize, text: &str| {
        let day = &view.days[day];
        match reach.land(day, day.axis.y_of(week.at(text))) {
            Landing::NotPossible { reason } => reason,
            here @ Landing::Here { .. } => panic!("{here:?}"),
        }
    };
    assert_eq!(reason(0, "2026-11-23T20:00"), "that time is over");
    assert!(reason(2, "2026-11-25T12:00").starts_with("day job "));
    let late = reason(3, "2026-11-26T20:00");
    assert_eq!(late, "too late for what comes after it: possible until Tuesday 19:45");
    let bands = reach.bands(&view.days[1]);
    let top = view.days[1].axis.y_of(week.at("2026-11-24T19:00"));
    let bottom = view.days[1].axis.y_of(week.at("2026-11-24T20:45"));
    assert_eq!(bands, [Band { top, bottom }]);
    assert!(reach.bands(&view.days[2]).is_empty());
}

#[test]
fn moving_one_sitting_leaves_the_others_and_keeps_their_order() {
    let week = fixture();
    let named = week.slots(&[("2026-11-24T18:00", "2026-11-29T12:00")]);
    let reach = Reach::among(week.input(), &key("o1.i1.flood", 1), &named).expect("it is there");
    assert_eq!(reach.starts[0].first, week.at("2026-11-24T20:45"), "not before the first one ends");
    let command = reach.command(week.at("2026-11-26T20:15"));
    let expected = vec![wall("2026-11-24T19:30"), wall("2026-11-26T20:15")];
    assert_eq!(command, Command::PinStep(key("o1.i1.flood", 1).step, expected));
    let first = Reach::among(week.input(), &key("o1.i1.flood", 0), &named).expect("it is there");
    let last = first.starts.last().expect("some").last;
    assert_eq!(last, week.at("2026-11-25T18:45"), "ends before the second one starts");
}

#[test]
fn keys_move_by_a_quarter_of_an_hour_or_a_day_and_skip_what_is_folded() {
    let week = fixture();
    let reach = Reach::among(week.input(), &key("o1.i1.pipe", 0), &[]).expect("it is there");
    assert!(reach.guessed, "no start was named, so free windows are offered");
    let at = |text: &str| week.at(text);
    let from = at("2026-11-27T19:00");
    assert_eq!(reach.nudge(from, Nudge::Later), Some(at("2026-11-27T19:15")));
    assert_eq!(reach.nudge(from, Nudge::Earlier), Some(at("2026-11-27T18:45")));
    assert_eq!(reach.nudge(from, Nudge::DayAfter), Some(at("2026-11-28T19:00")));
    assert_eq!(reach.nudge(from, Nudge::DayBefore), Some(at("2026-11-26T19:00")));
    let evening = reach
        .starts
        .iter()
        .find(|starts| starts.first <= from && from <= starts.last)
        .copied()
        .expect("Friday evening");
    let next = reach.nudge(evening.last, Nudge::Later).expect("Saturday");
    assert!(next > at("2026-11-28T05:00"), "over the night");
    assert_eq!(reach.nudge(next, Nudge::Earlier), Some(evening.last));
    let first = reach.starts[0].first;
    assert_eq!(first, at("2026-11-24T18:00").max(first), "nothing before now");
    assert_eq!(reach.nudge(first, Nudge::Earlier), None);
}

#[test]
fn what_is_done_stays_and_the_sheet_knows_it_all() {
    let mut week = fixture();
    let pin = Pin { starts: vec![wall("2026-11-24T18:15")], done: true };
    week.book.pins.insert(key("o1.i1.bake", 0).step, pin);
    assert_eq!(Reach::of(week.input(), &key("o1.i1.bake", 0)), None);
    let view = week.view();
    let sheet = Sheet::of(week.input(), &view, &key("o1.i1.pipe", 0)).expect("the pipe");
    assert_eq!(sheet.when, "Friday 27 Nov, 19:00–20:00");
    assert_eq!(sheet.before.len(), 1);
    assert_eq!(sheet.after.len(), 1);
    assert_eq!(
        sheet.before[0].limit,
        "at least 8 h, at most 2 days (common practice, no published source)"
    );
    assert_eq!(sheet.caution, Some(crate::keeping::CAUTION));
    assert_eq!(sheet.starts, [wall("2026-11-27T19:00")]);
    let bake = Sheet::of(week.input(), &view, &key("o1.i1.bake", 0)).expect("the bake");
    assert_eq!(
        bake.limits,
        ["baked cookies at most 10 days (common practice, no published source)"]
    );
    assert_eq!(Sheet::of(week.input(), &view, &key("o1.i1.none", 0)), None);
}

#[test]
fn now_and_titles() {
    let week = fixture();
    let view = week.view();
    assert_eq!(view.title, "23–29 Nov 2026");
    assert!(view.days[0].past && !view.days[1].past && view.days[1].today);
    assert_eq!(view.days[1].now_y, Some(view.days[1].axis.y_of(week.at("2026-11-24T18:00"))));
    assert_eq!(first_day_of_week_with(&week.outlook.horizon, date("2026-12-02")), 7);
    let next = WeekView::of(WeekInput { first_day: 7, ..week.input() });
    assert_eq!(next.title, "30 Nov–6 Dec 2026");
    assert!(next.days.iter().all(|day| day.blocks.is_empty()));
    assert!(next.any_work);
}
