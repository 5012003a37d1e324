//! Free windows: an ordinary week by hand, odd weeks by hand, and any week against a plain definition.
#![cfg(not(target_arch = "wasm32"))]

use proptest::prelude::*;
use rackweek::calendar::{
    BusyKind, Date, DayLimits, Elapsed, Exception, ExceptionKind, Horizon, MyTime, OffsetChange,
    Rhythm, Span, TimeOfDay, Wall, Weekday, WeeklySpan, Windows, Zone, merge_spans, subtract_spans,
};

fn date(text: &str) -> Date {
    text.parse().expect(text)
}

fn time(text: &str) -> TimeOfDay {
    text.parse().expect(text)
}

fn week() -> Horizon {
    Horizon::from_monday_of(date("2026-11-23"), 7, Zone::fixed("kitchen", 60))
}

fn exception(on: &str, kind: ExceptionKind) -> Exception {
    Exception { id: 1, date: date(on), kind, label: "parents' evening".into() }
}

/// Spans as "Mon 18:00–22:30", the day being that of the start.
fn words(horizon: &Horizon, spans: &[Span]) -> Vec<String> {
    let clock = |wall: Wall| wall.to_string()[11..].to_owned();
    let word = |span: &Span| {
        let (start, end) = (horizon.wall(span.start), horizon.wall(span.end));
        format!("{} {}–{}", start.date().weekday().short(), clock(start), clock(end))
    };
    spans.iter().map(word).collect()
}

#[test]
fn a_helper_s_hours_count_while_the_baker_is_at_home() {
    let horizon = week();
    let hours = ExceptionKind::Helper { start: time("16:00"), end: time("20:00") };
    let habit = MyTime { exceptions: vec![exception("2026-11-25", hours)], ..MyTime::typical() };
    let windows = Windows::of(&habit, &horizon, &[]);
    // The door opens at 17:30, when she is back.
    assert_eq!(words(&horizon, &windows.helped), ["Wed 17:30–20:00"]);
    let alone = Windows::of(&MyTime::typical(), &horizon, &[]);
    assert_eq!((&windows.free, &windows.home), (&alone.free, &alone.home), "hers are as they were");
    assert_eq!(alone.helped, []);
}

#[test]
fn breaks_and_tidying_up_are_taken_out_of_the_time_to_work() {
    let horizon = week();
    let rhythm = Rhythm { wind_down: 30, break_after: 120, break_length: 15 };
    let habit = MyTime { rhythm, ..MyTime::typical() };
    let windows = Windows::of(&habit, &horizon, &[]);
    // The evening ends half an hour before bed, at 22:00; after two hours there is a break, and after two more nothing
    // is left that a second one would part.
    assert_eq!(
        words(&horizon, &windows.free[..3]),
        ["Mon 07:00–08:30", "Mon 18:00–20:00", "Mon 20:15–22:00"]
    );
    // She is at home all the while: what bakes goes on.
    assert_eq!(words(&horizon, &windows.home[1..2]), ["Mon 17:30–22:30"]);
    let of = |kind: BusyKind| windows.busy.iter().filter(move |busy| busy.kind == kind);
    assert_eq!(of(BusyKind::WindingDown).count(), 7);
    // Five evenings, and six breaks in each free day from 7:00 to 22:00.
    assert_eq!(of(BusyKind::Break).count(), 5 + 2 * 6);
    assert!(of(BusyKind::Break).all(|busy| busy.label == "break" && busy.span.minutes() == 15));
    for (field, rhythm) in [
        ("rhythm.wind_down", Rhythm { wind_down: 241, ..rhythm }),
        ("rhythm.break_after", Rhythm { break_after: 29, ..rhythm }),
        ("rhythm.break_length", Rhythm { break_length: 121, ..rhythm }),
    ] {
        let refused = MyTime { rhythm, ..habit.clone() }.validate();
        assert_eq!(refused.len(), 1);
        assert_eq!(refused[0].field, field);
        assert!(refused[0].message.contains("for example"), "{refused:?}");
    }
    assert_eq!(habit.validate(), []);
}

#[test]
fn the_typical_week_leaves_mornings_evenings_and_the_weekend() {
    let horizon = week();
    let windows = Windows::of(&MyTime::typical(), &horizon, &[]);
    let mut expected = Vec::new();
    for day in ["Mon", "Tue", "Wed", "Thu", "Fri"] {
        expected.push(format!("{day} 07:00–08:30"));
        expected.push(format!("{day} 18:00–22:30"));
    }
    expected.extend(["Sat 07:00–22:30".to_owned(), "Sun 07:00–22:30".to_owned()]);
    assert_eq!(words(&horizon, &windows.free), expected);
    // Half an hour more at home on either side: getting up, and just back.
    assert_eq!(words(&horizon, &windows.home[..2]), ["Mon 06:30–08:30", "Mon 17:30–22:30"]);
    let kinds: Vec<_> =
        windows.busy.iter().take(5).map(|busy| (busy.kind, busy.label.as_str())).collect();
    assert_eq!(
        kinds,
        [
            (BusyKind::Sleep, "sleep"),
            (BusyKind::Settling, "settling"),
            (BusyKind::DayJob, "day job"),
            (BusyKind::Settling, "settling"),
            (BusyKind::Sleep, "sleep"),
        ]
    );
    assert_eq!(windows.busy[0].span.start, Elapsed(0), "Sunday's night runs into Monday");
}

#[test]
fn a_late_sleeper_works_over_midnight_in_one_window() {
    let mut habit = MyTime::typical();
    (habit.bedtime, habit.wake) = (time("01:30"), time("08:00"));
    habit.travel = 0;
    habit.settle = 0;
    let horizon = week();
    let windows = Windows::of(&habit, &horizon, &[]);
    let free = words(&horizon, &windows.free);
    assert_eq!(free[0], "Mon 00:00–01:30", "the horizon's own start cuts the first");
    assert_eq!(free[2], "Mon 17:00–01:30");
    assert_eq!(free.last().map(String::as_str), Some("Sun 08:00–00:00"), "and its end the last");
}

#[test]
fn a_night_shift_runs_over_week_borders_and_off_days_count_where_it_starts() {
    let mut habit = MyTime::typical();
    habit.day_job[0].days = vec![Weekday::Sun, Weekday::Mon];
    (habit.day_job[0].start, habit.day_job[0].end) = (time("22:00"), time("06:00"));
    (habit.bedtime, habit.wake) = (time("07:00"), time("14:00"));
    let horizon = week();
    let free = |habit: &MyTime| words(&horizon, &Windows::of(habit, &horizon, &[]).free);
    assert_eq!(
        free(&habit)[..2],
        ["Mon 14:30–21:30", "Tue 14:30–07:00"],
        "home at 06:30, then bed"
    );
    assert_eq!(free(&habit).last().map(String::as_str), Some("Sun 14:30–21:30"));
    habit.exceptions = vec![exception("2026-11-22", ExceptionKind::DayOff)];
    let off = free(&habit);
    assert_eq!(off[0], "Mon 00:00–07:00", "Sunday's shift before the horizon is off");
    habit.exceptions = vec![exception("2026-11-24", ExceptionKind::DayOff)];
    assert_eq!(
        free(&habit)[1],
        "Tue 14:30–07:00",
        "Monday's shift stays, although it ends on Tuesday"
    );
}

#[test]
fn exceptions_change_one_day() {
    let horizon = week();
    let with = |kind: ExceptionKind| {
        let mut habit = MyTime::typical();
        habit.exceptions = vec![exception("2026-11-27", kind)];
        Windows::of(&habit, &horizon, &[])
    };
    let friday = |spans: &[Span]| -> Vec<String> {
        words(&horizon, spans).into_iter().filter(|word| word.starts_with("Fri")).collect()
    };

    let off = with(ExceptionKind::DayOff);
    assert_eq!(friday(&off.free), ["Fri 07:00–22:30"]);

    let busy = |away| ExceptionKind::Busy { start: time("19:00"), end: time("20:30"), away };
    let at_home = with(busy(false));
    assert_eq!(friday(&at_home.free), ["Fri 07:00–08:30", "Fri 18:00–19:00", "Fri 20:30–22:30"]);
    assert_eq!(friday(&at_home.home)[1], "Fri 17:30–22:30", "the oven can be watched");
    let away = with(busy(true));
    assert_eq!(friday(&away.free)[2], "Fri 21:00–22:30", "and half an hour to settle");
    assert_eq!(friday(&away.home)[1..], ["Fri 17:30–19:00", "Fri 20:30–22:30"]);

    let none = with(ExceptionKind::NoBaking);
    assert_eq!(friday(&none.free), [""; 0]);
    assert_eq!(friday(&none.home), [""; 0], "nothing in the oven either");
    let labelled = none.busy.iter().filter(|busy| busy.label == "parents' evening");
    let labelled: Vec<Span> = labelled.map(|busy| busy.span).collect();
    assert_eq!(words(&horizon, &labelled)[..2], ["Fri 06:30–08:30", "Fri 17:30–22:30"]);
}

#[test]
fn family_time_is_at_home_unless_it_is_away() {
    let horizon = week();
    let mut habit = MyTime::typical();
    habit.family = vec![WeeklySpan {
        label: "tea".into(),
        days: vec![Weekday::Sat],
        start: time("16:00"),
        end: time("19:00"),
        away: false,
    }];
    let home = Windows::of(&habit, &horizon, &[]);
    assert_eq!(words(&horizon, &home.free)[10..12], ["Sat 07:00–16:00", "Sat 19:00–22:30"]);
    assert!(words(&horizon, &home.home).contains(&"Sat 06:30–22:30".to_owned()));
    habit.family[0].away = true;
    let away = Windows::of(&habit, &horizon, &[]);
    assert_eq!(words(&horizon, &away.free)[11], "Sat 19:30–22:30");
    assert!(words(&horizon, &away.home).contains(&"Sat 19:00–22:30".to_owned()));
}

#[test]
fn a_delivery_is_on_the_road() {
    let horizon = week();
    let at = |text: &str| horizon.elapsed(text.parse().expect(text));
    let road = Span::new(at("2026-11-28T09:35"), at("2026-11-28T10:25"));
    let windows = Windows::of(&MyTime::typical(), &horizon, &[(road, "delivery ML".into())]);
    assert_eq!(words(&horizon, &windows.free)[10..12], ["Sat 07:00–09:35", "Sat 10:25–22:30"]);
    assert!(windows.home.iter().all(|span| span.shared(road).is_none()));
    assert!(windows.busy.iter().any(|busy| busy.kind == BusyKind::Delivery && busy.span == road));
}

#[test]
fn a_short_night_takes_the_hour_from_sleep() {
    // Europe/London, 2026-03-29: 01:00 becomes 02:00 (IANA time-zone database, release 2025b).
    let changes = ["2026-01-01T00:00", "2026-03-29T01:00"].map(|text| {
        let utc: Wall = text.parse().expect(text);
        utc.as_if_utc()
    });
    let zone = Zone {
        name: "Europe/London".into(),
        changes: vec![
            OffsetChange { utc: changes[0], offset: 0 },
            OffsetChange { utc: changes[1], offset: 60 },
        ],
    };
    let horizon = Horizon::from_monday_of(date("2026-03-23"), 7, zone);
    let windows = Windows::of(&MyTime::typical(), &horizon, &[]);
    let sleep = windows.busy.iter().filter(|busy| busy.kind == BusyKind::Sleep);
    let nights: Vec<i32> = sleep.map(|busy| busy.span.minutes()).collect();
    assert_eq!(nights, [390, 480, 480, 480, 480, 480, 420, 90]);
    assert_eq!(words(&horizon, &windows.free).last().map(String::as_str), Some("Sun 07:00–22:30"));
}

fn spans_of_a_week(away: bool) -> impl Strategy<Value = WeeklySpan> {
    (prop::collection::btree_set(0..7_usize, 1..5), 0..96_u16, 1..96_u16, prop::bool::ANY).prop_map(
        move |(days, start, len, mark)| WeeklySpan {
            label: "something".into(),
            days: days.into_iter().map(|day| Weekday::ALL[day]).collect(),
            start: TimeOfDay(start * 15),
            end: TimeOfDay((start + len) % 96 * 15),
            away: away || mark,
        },
    )
}

fn exceptions() -> impl Strategy<Value = Vec<Exception>> {
    let kind = prop_oneof![
        Just(ExceptionKind::DayOff),
        Just(ExceptionKind::NoBaking),
        (0..96_u16, 1..96_u16, prop::bool::ANY).prop_map(|(start, len, away)| {
            ExceptionKind::Busy {
                start: TimeOfDay(start * 15),
                end: TimeOfDay((start + len) % 96 * 15),
                away,
            }
        }),
        (0..96_u16, 1..96_u16).prop_map(|(start, len)| ExceptionKind::Helper {
            start: TimeOfDay(start * 15),
            end: TimeOfDay((start + len) % 96 * 15),
        }),
        (0..96_u16, 1..96_u16).prop_map(|(start, len)| ExceptionKind::Extra {
            start: TimeOfDay(start * 15),
            end: TimeOfDay((start + len) % 96 * 15),
        }),
    ];
    prop::collection::vec((-2..10_i64, kind), 0..4).prop_map(|list| {
        let made = list.into_iter().zip(1..).map(|((day, kind), id)| Exception {
            id,
            date: date("2026-11-23").plus_days(day),
            kind,
            label: "one-off".into(),
        });
        made.collect()
    })
}

fn any_time() -> impl Strategy<Value = MyTime> {
    (
        prop::collection::vec(spans_of_a_week(true), 0..3),
        prop::collection::vec(spans_of_a_week(false), 0..3),
        exceptions(),
        (0..9_u16, 0..9_u16),
        (0..96_u16, 1..96_u16),
    )
        .prop_map(|(day_job, family, exceptions, (travel, settle), (bed, sleep))| MyTime {
            day_job,
            family,
            exceptions,
            travel: travel * 15,
            settle: settle * 15,
            rhythm: Rhythm { wind_down: (travel + settle) % 5 * 15, ..Rhythm::default() },
            bedtime: TimeOfDay(bed * 15),
            wake: TimeOfDay((bed + sleep) % 96 * 15),
            limits: DayLimits { hands_on_workday: 180, hands_on_free_day: 420, fine: 120 },
        })
}

/// What a quarter of an hour is, told from the habits directly: (free, home). Minutes count from
/// Monday 00:00 of a zone without clock changes.
fn told(habit: &MyTime, at: i32) -> (bool, bool) {
    let (mut away, mut closed, mut at_home) = (Vec::new(), Vec::new(), Vec::new());
    // What is no habit holds also in hours that are worked against the habit.
    let (mut called_away, mut called, mut extra) = (Vec::new(), Vec::new(), Vec::new());
    for day in -3..9_i64 {
        let on = date("2026-11-23").plus_days(day);
        let midnight = i32::try_from(day).expect("small") * 1440;
        let hours = |start: TimeOfDay, end: TimeOfDay| {
            let next = if end <= start { 1440 } else { 0 };
            (midnight + i32::from(start.0), midnight + next + i32::from(end.0))
        };
        let todays = |span: &&WeeklySpan| span.days.contains(&on.weekday());
        let of_day: Vec<_> = habit.exceptions.iter().filter(|e| e.date == on).collect();
        if of_day.iter().all(|e| e.kind != ExceptionKind::DayOff) {
            let travel = i32::from(habit.travel);
            for job in habit.day_job.iter().filter(todays) {
                let (start, end) = hours(job.start, job.end);
                away.push((start - travel, end + travel));
            }
        }
        let asleep = hours(habit.bedtime, habit.wake);
        at_home.push((asleep.0 - i32::from(habit.rhythm.wind_down), asleep.0));
        away.push(asleep);
        for family in habit.family.iter().filter(todays) {
            let list = if family.away { &mut away } else { &mut at_home };
            list.push(hours(family.start, family.end));
        }
        for e in of_day {
            match e.kind {
                ExceptionKind::Busy { start, end, away: true } => {
                    called_away.push(hours(start, end));
                }
                ExceptionKind::Busy { start, end, away: false } => called.push(hours(start, end)),
                ExceptionKind::Extra { start, end } => extra.push(hours(start, end)),
                ExceptionKind::NoBaking => closed.push((midnight, midnight + 1440)),
                ExceptionKind::DayOff | ExceptionKind::Helper { .. } => {}
            }
        }
    }
    let inside = |&(start, end): &(i32, i32)| start <= at && at < end;
    let settling = |&(_, end): &(i32, i32)| inside(&(end, end + i32::from(habit.settle)));
    let at_work = extra.iter().any(inside);
    let home = !called_away.iter().any(inside)
        && !closed.iter().any(inside)
        && (at_work || !away.iter().any(inside));
    let settles = away.iter().chain(&called_away).any(settling);
    let free = home
        && !called.iter().any(inside)
        && (at_work || (!at_home.iter().any(inside) && !settles));
    (free, home)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn any_week_is_as_its_habits_say(habit in any_time()) {
        prop_assert_eq!(habit.validate(), []);
        let horizon = week();
        let windows = Windows::of(&habit, &horizon, &[]);
        for at in (0..horizon.len().0).step_by(15) {
            let inside = |spans: &[Span]| spans.iter().any(|span| span.contains(Elapsed(at)));
            let (free, home) = told(&habit, at);
            prop_assert_eq!((inside(&windows.free), inside(&windows.home)), (free, home), "minute {}", at);
        }
    }

    #[test]
    fn free_and_busy_share_the_horizon_out(habit in any_time(), road in (0..9000_i32, 0..200_i32)) {
        let horizon = week();
        let road = Span::new(Elapsed(road.0), Elapsed(road.0 + road.1));
        let windows = Windows::of(&habit, &horizon, &[(road, "delivery".into())]);
        for spans in [&windows.free, &windows.home] {
            prop_assert_eq!(&merge_spans(spans.iter().copied()), spans, "sorted and apart");
        }
        let busy: Vec<Span> = windows.busy.iter().map(|busy| busy.span).collect();
        for pair in busy.windows(2) {
            prop_assert!(pair[0].end <= pair[1].start, "sorted and disjoint");
        }
        let both = windows.free.iter().chain(&busy).map(|span| span.minutes()).sum::<i32>();
        prop_assert_eq!(both, horizon.len().0);
        prop_assert_eq!(merge_spans(windows.free.iter().chain(&busy).copied()), vec![horizon.span()]);
        prop_assert_eq!(subtract_spans(&windows.free, &windows.home), vec![], "free is at home");
        prop_assert!(windows.busy.iter().all(|busy| !busy.span.is_empty() && !busy.label.is_empty()));
    }
}

#[test]
fn extra_hours_are_free_whatever_the_habit_says_but_not_on_the_road() {
    let mut habit = MyTime::typical();
    let label = "up late".to_owned();
    let kind = ExceptionKind::Extra { start: TimeOfDay(22 * 60), end: TimeOfDay(60) };
    habit.exceptions.push(Exception { id: 1, date: date("2026-11-27"), kind, label });
    let horizon = week();
    let friday = |hour: i32| Elapsed(4 * 1440 + hour * 60);
    let road = Span::new(friday(23), friday(24));
    let windows = Windows::of(&habit, &horizon, &[(road, "delivery".into())]);
    let free = |at: Elapsed| windows.free.iter().any(|span| span.contains(at));
    assert!(free(friday(22).plus(45)), "after bedtime");
    assert!(!free(friday(23).plus(30)), "on the road");
    assert!(free(friday(24).plus(30)), "into the next day");
    assert!(!free(friday(25).plus(5)), "then to bed");
}
