//! From records to a plan and back, over the days of a fortnight.
#![cfg(not(target_arch = "wasm32"))]

use std::collections::BTreeMap;

use proptest::prelude::*;
use rackweek::breakdown::StepId;
use rackweek::calendar::{MyTime, OffsetChange, Wall, Zone};
use rackweek::demo::demo;
use rackweek::plan::check::check;
use rackweek::plan::{Plan, Planner};
use rackweek::record::{Book, Command, Outlook, PlanInput, Shown};

fn wall(text: &str) -> Wall {
    text.parse().expect(text)
}

/// Europe/London around its change of 2026-03-29 (IANA time-zone database, release 2025b).
fn london() -> Zone {
    let changes = [("2026-01-01T00:00", 0), ("2026-03-29T01:00", 60), ("2026-10-25T01:00", 0)];
    Zone {
        name: "Europe/London".into(),
        changes: changes
            .map(|(utc, offset)| OffsetChange { utc: wall(utc).as_if_utc(), offset })
            .to_vec(),
    }
}

fn outlook(book: &Book, now: Wall, zone: &Zone) -> Outlook {
    Outlook::of(book, &PlanInput { now, zone: zone.clone() }).expect("is set up")
}

fn plan(outlook: &Outlook) -> Plan {
    let mut planner = Planner::new(&outlook.assembled.problem, 1).expect("a sound problem");
    planner.improve(60);
    planner.plan()
}

fn show(book: &mut Book, outlook: &Outlook, plan: &Plan) -> Shown {
    let shown = outlook.shown_from(plan);
    book.apply(Command::Show(shown.clone())).expect("is taken");
    shown
}

#[test]
fn a_plan_is_remembered_on_the_wall_clock_and_comes_back_as_it_was() {
    // The second week has the short night.
    let (zone, now) = (london(), wall("2026-03-23T12:00"));
    let mut book = demo(now);
    let first = outlook(&book, now, &zone);
    let plan = plan(&first);
    assert_eq!(check(&first.assembled.problem, &plan).breaches, []);
    let shown = show(&mut book, &first, &plan);
    assert_eq!(shown.starts.len(), first.work.steps.len(), "every step is remembered");
    assert_eq!(shown.modes, plan.modes);
    let second = outlook(&book, now, &zone);
    let mut compared = 0;
    for activity in &second.assembled.problem.activities {
        if let Some(reference) = &activity.reference {
            assert_eq!(Some(reference), plan.starts.get(&activity.id), "{}", activity.id);
            compared += 1;
        }
    }
    assert_eq!(compared, second.work.steps.len());
}

#[test]
fn days_go_by_and_the_past_stays_where_it_was() {
    let zone = london();
    let monday = wall("2026-03-23T12:00");
    let mut book = demo(monday);
    let mut seen: BTreeMap<StepId, Vec<Wall>> = BTreeMap::new();
    let mut behind = 0;
    for day in 0..14 {
        let now = monday.plus_minutes(day * 1440);
        let outlook = outlook(&book, now, &zone);
        let plan = plan(&outlook);
        let report = check(&outlook.assembled.problem, &plan);
        assert_eq!(report.breaches, [], "{now}");
        let shown = show(&mut book, &outlook, &plan);
        for (step, starts) in &shown.starts {
            let before = seen.get(step);
            if let Some(before) = before.filter(|before| before.first() < Some(&now)) {
                assert_eq!(starts, before, "{now}: {} has begun", step.0);
                behind += 1;
            }
            if before.is_none_or(|before| before.first() >= Some(&now)) {
                assert!(starts.first() >= Some(&now), "{now}: {} is not in the past", step.0);
            }
        }
        seen = shown.starts;
    }
    assert!(behind > 100, "only {behind} looks back");
}

#[test]
fn a_pin_beyond_the_days_planned_is_let_go_and_said() {
    let (zone, now) = (london(), wall("2026-03-23T12:00"));
    let mut book = demo(now);
    let step = outlook(&book, now, &zone).work.steps.swap_remove(0);
    let starts = vec![wall("2026-06-01T18:00"); step.sittings.len()];
    let starts = starts.iter().zip(0..).map(|(at, i)| at.plus_minutes(i * 300)).collect();
    book.apply(Command::PinStep(step.id.clone(), starts)).expect("is taken");
    let outlook = outlook(&book, now, &zone);
    assert_eq!(outlook.assembled.problem.validate(), Ok(()));
    let note =
        outlook.work.notes.iter().find(|note| note.text.contains("last day that is planned"));
    assert_eq!(note.map(|note| note.order), Some(step.order));
}

/// What a session may do to the demo, told in numbers.
#[derive(Debug, Clone)]
enum Deed {
    /// Pin or tick the nth step so many minutes after the start, in so many sittings.
    Place { nth: usize, at: i64, sittings: usize, done: bool },
    /// Move the nth order's handover by so many minutes.
    Postpone { nth: usize, by: i64 },
    /// Another habit.
    Habit { start: u16, hours: u16, travel: u16, bed: u16 },
    /// Plan, and remember what was planned.
    Plan,
}

fn any_deed() -> impl Strategy<Value = Deed> {
    prop_oneof![
        4 => (0..80_usize, -20_000..90_000_i64, 1..4_usize, any::<bool>())
            .prop_map(|(nth, at, sittings, done)| Deed::Place { nth, at, sittings, done }),
        2 => (0..8_usize, -30_000..100_000_i64).prop_map(|(nth, by)| Deed::Postpone { nth, by }),
        1 => (0..24_u16, 1..20_u16, 0..200_u16, 0..24_u16)
            .prop_map(|(start, hours, travel, bed)| Deed::Habit { start, hours, travel, bed }),
        2 => Just(Deed::Plan),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn whatever_is_in_the_book_can_be_planned(
        deeds in prop::collection::vec((any_deed(), 0..3000_i64), 1..12),
    ) {
        let zone = london();
        let mut now = wall("2026-03-23T12:00");
        let mut book = demo(now);
        for (deed, passed) in deeds {
            now = now.plus_minutes(passed);
            let before = outlook(&book, now, &zone);
            let command = match deed {
                Deed::Place { nth, at, sittings, done } => {
                    let Some(step) = before.work.steps.get(nth) else { continue };
                    let starts = (0_i64..).map(|i| now.plus_minutes(at + i * 700)).take(sittings).collect();
                    if done {
                        Command::TickStep(step.id.clone(), starts)
                    } else {
                        Command::PinStep(step.id.clone(), starts)
                    }
                }
                Deed::Postpone { nth, by } => {
                    let Some(mut order) = book.orders.values().nth(nth).cloned() else { continue };
                    order.handover.at = order.handover.at.plus_minutes(by);
                    Command::PutOrder(order)
                }
                Deed::Habit { start, hours, travel, bed } => {
                    let mut time = MyTime::typical();
                    time.day_job[0].start.0 = start * 60;
                    time.day_job[0].end.0 = (start + hours) % 24 * 60;
                    time.travel = travel;
                    time.bedtime.0 = bed * 60;
                    time.wake.0 = (bed + 7) % 24 * 60;
                    Command::SetTime(time)
                }
                Deed::Plan => Command::Show(before.shown_from(&plan_in_haste(&before))),
            };
            book.apply(command).expect("is taken");
            let after = outlook(&book, now, &zone);
            let problem = &after.assembled.problem;
            prop_assert_eq!(problem.validate(), Ok(()));
            prop_assert!(after.horizon.days >= 14 && after.horizon.days <= 70);
            prop_assert!(after.horizon.span().contains(after.horizon.elapsed(now)));
            prop_assert_eq!(problem.horizon * i32::from(problem.grid_minutes), after.horizon.len().0);
        }
        let last = outlook(&book, now, &zone);
        let plan = plan_in_haste(&last);
        for activity in &last.assembled.problem.activities {
            let starts = plan.starts.get(&activity.id).map_or(0, Vec::len);
            prop_assert_eq!(starts, activity.segments.len(), "{} is placed, if badly", &activity.id);
        }
    }
}

fn plan_in_haste(outlook: &Outlook) -> Plan {
    let mut planner = Planner::new(&outlook.assembled.problem, 1).expect("a sound problem");
    planner.improve(2);
    planner.plan()
}
