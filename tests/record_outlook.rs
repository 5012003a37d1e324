//! From records to a plan and back, over the days of a fortnight.
#![cfg(not(target_arch = "wasm32"))]

use std::collections::BTreeMap;

use rackweek::breakdown::StepId;
use rackweek::calendar::{OffsetChange, Wall, Zone};
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
