//! What she did holds: done and running sittings stand where they really were, all else is placed anew around them.
#![cfg(not(target_arch = "wasm32"))]

use rackweek::breakdown::{Step, StepId};
use rackweek::calendar::{OffsetChange, Wall, Zone};
use rackweek::card::StepKind;
use rackweek::demo::demo;
use rackweek::plan::check::check;
use rackweek::plan::{Plan, Planner};
use rackweek::record::{Book, Command, Deed, History, Outlook, PlanInput};

fn wall(text: &str) -> Wall {
    text.parse().expect(text)
}

/// The instant at which a clock in universal time shows this.
fn seconds(text: &str) -> i64 {
    wall(text).as_if_utc() * 60
}

fn outlook_in(book: &Book, now: &str, zone: &Zone) -> Outlook {
    Outlook::of(book, &PlanInput { now: wall(now), zone: zone.clone() }).expect("is set up")
}

fn outlook(book: &Book, now: &str) -> Outlook {
    outlook_in(book, now, &Zone::fixed("kitchen", 0))
}

fn plan(outlook: &Outlook) -> Plan {
    let mut planner = Planner::new(&outlook.assembled.problem, 1).expect("a sound problem");
    planner.improve(60);
    planner.plan()
}

/// The demo as it was planned on Monday morning, and remembered.
fn monday() -> (Book, Outlook, Plan) {
    remembered(demo(wall("2026-11-30T07:00")))
}

fn remembered(mut book: Book) -> (Book, Outlook, Plan) {
    let first = outlook(&book, "2026-11-30T07:00");
    let plan = plan(&first);
    assert_eq!(check(&first.assembled.problem, &plan).breaches, []);
    book.apply(Command::Show(first.shown_from(&plan))).expect("is remembered");
    (book, first, plan)
}

/// The steps of one sitting by planned start, hands-on ones alone, with that start.
fn by_start(outlook: &Outlook, plan: &Plan) -> Vec<(Step, Wall)> {
    let starts = outlook.assembled.starts(plan);
    let hands_on = |step: &&Step| matches!(step.kind, StepKind::Plain | StepKind::Fine);
    let mut steps: Vec<(Step, Wall)> = outlook
        .work
        .steps
        .iter()
        .filter(hands_on)
        .map(|step| (step.clone(), outlook.horizon.wall(starts[&step.id][0])))
        .collect();
    steps.sort_by_key(|(_, start)| *start);
    steps
}

fn work(book: &mut Book, step: &StepId, deed: Deed, at: &str) {
    book.apply(Command::Work(step.clone(), deed, seconds(at))).expect("is possible");
}

fn at(start: Wall, minutes: i64) -> String {
    start.plus_minutes(minutes).to_string()
}

#[test]
fn a_sitting_that_took_longer_stands_as_long_as_it_took() {
    let (mut book, first, planned) = monday();
    let (step, start) =
        by_start(&first, &planned).into_iter().find(|(s, _)| s.sittings.len() == 1).expect("one");
    let (began, ended) = (at(start, 7), at(start, 7 + i64::from(step.sittings[0]) + 33));
    work(&mut book, &step.id, Deed::Start, &began);
    work(&mut book, &step.id, Deed::Done, &ended);
    let after = outlook(&book, &ended);
    let real = after.work.steps.iter().find(|of| of.id == step.id).expect("is there");
    assert_eq!(real.sittings, [step.sittings[0] + 33]);
    assert_eq!(after.assembled.past[&step.id], [after.horizon.elapsed(wall(&began))]);
    let again = plan(&after);
    assert_eq!(check(&after.assembled.problem, &again).breaches, []);
    let end = after.horizon.elapsed(wall(&ended));
    for rest in after.work.rests.iter().filter(|rest| rest.from == step.id) {
        let starts = after.assembled.starts(&again);
        let Some(next) = starts.get(&rest.to) else { continue };
        let least = rest.choices.iter().map(|choice| choice.least).min().unwrap_or(0);
        assert!(end.plus(i32::try_from(least).unwrap_or(0)) <= next[0], "{} is cut short", rest.id);
    }
}

#[test]
fn hands_that_are_busy_begin_nothing_else() {
    let (mut book, first, planned) = monday();
    let steps = by_start(&first, &planned);
    let (step, start) = steps.iter().find(|(s, _)| s.sittings.len() == 1).expect("has one");
    work(&mut book, &step.id, Deed::Start, &at(*start, 0));
    // Half an hour beyond its planned end it runs still.
    let now = at(*start, i64::from(step.sittings[0]) + 30);
    let after = outlook(&book, &now);
    let again = plan(&after);
    assert_eq!(check(&after.assembled.problem, &again).breaches, []);
    let starts = after.assembled.starts(&again);
    let now = after.horizon.elapsed(wall(&now));
    for other in after.work.steps.iter().filter(|of| of.id != step.id && of.kind != StepKind::Wait)
    {
        for start in &starts[&other.id] {
            let fixed =
                after.assembled.past.get(&other.id).is_some_and(|past| past.contains(start));
            assert!(fixed || now <= *start, "{} begins before now", other.id.0);
        }
    }
}

#[test]
fn what_is_left_of_a_step_is_placed_anew() {
    // More cookies than one evening holds, until Saturday week.
    let mut many = demo(wall("2026-11-30T07:00"));
    for order in many.orders.values_mut() {
        order.handover.at = order.handover.at.plus_minutes(7 * 1440);
        for item in &mut order.items {
            item.count *= 2;
        }
    }
    let (mut book, first, planned) = remembered(many);
    let steps = by_start(&first, &planned);
    let (step, start) =
        steps.iter().find(|(s, _)| s.sittings.len() > 1).expect("a step that is cut");
    work(&mut book, &step.id, Deed::Start, &at(*start, 0));
    work(&mut book, &step.id, Deed::Done, &at(*start, 60));
    let after = outlook(&book, &at(*start, 60));
    let activity = after
        .assembled
        .problem
        .activities
        .iter()
        .find(|of| of.id == step.id.0)
        .expect("is planned");
    assert_eq!(activity.segments.len(), step.sittings.len() - 1);
    assert_eq!((activity.pin.clone(), activity.earliest.is_some()), (None, true));
    let reference = activity.reference.as_ref().expect("stays near where it was seen");
    assert_eq!(reference.as_slice(), &planned.starts[&step.id.0][1..]);
    let again = plan(&after);
    assert_eq!(check(&after.assembled.problem, &again).breaches, []);
    assert_eq!(after.assembled.starts(&again)[&step.id].len(), step.sittings.len());
}

#[test]
fn of_a_paused_sitting_only_what_is_left_is_placed() {
    let (mut book, first, planned) = monday();
    let steps = by_start(&first, &planned);
    let (step, start) = steps
        .iter()
        .find(|(s, _)| s.sittings.len() == 1 && s.sittings[0] >= 40)
        .expect("a sitting that can be interrupted");
    work(&mut book, &step.id, Deed::Start, &at(*start, 0));
    work(&mut book, &step.id, Deed::Pause, &at(*start, 25));
    let after = outlook(&book, &at(*start, 30));
    let left = after.work.steps.iter().find(|of| of.id == step.id).expect("is there");
    assert_eq!(left.sittings, [step.sittings[0] - 25]);
    let again = plan(&after);
    assert_eq!(check(&after.assembled.problem, &again).breaches, []);
    let now = after.horizon.elapsed(start.plus_minutes(30));
    assert!(now <= after.assembled.starts(&again)[&step.id][0]);
}

#[test]
fn what_has_not_happened_is_placed_after_now_though_the_plan_had_it_before() {
    let (mut book, first, planned) = monday();
    let steps = by_start(&first, &planned);
    let (step, start) = &steps[0];
    let late = at(*start, 45);
    let presumed = outlook(&book, &late);
    assert!(presumed.assembled.past.contains_key(&step.id), "what was planned counts as begun");
    book.apply(Command::NotDone(vec![step.id.clone()], seconds(&late))).expect("is possible");
    let after = outlook(&book, &late);
    assert!(!after.assembled.past.contains_key(&step.id));
    let again = plan(&after);
    assert_eq!(check(&after.assembled.problem, &again).breaches, []);
    let now = after.horizon.elapsed(wall(&late));
    assert!(now <= after.assembled.starts(&again)[&step.id][0]);
    // And what it is planned for from then on counts as before.
    book.apply(Command::Show(after.shown_from(&again))).expect("is remembered");
    let start = after.horizon.wall(after.assembled.starts(&again)[&step.id][0]);
    let later = outlook(&book, &at(start, 15));
    assert!(later.assembled.past.contains_key(&step.id));
}

#[test]
fn a_batch_that_failed_is_made_again() {
    let (mut book, first, planned) = monday();
    let (step, start) =
        by_start(&first, &planned).into_iter().find(|(s, _)| s.sittings.len() == 1).expect("one");
    work(&mut book, &step.id, Deed::Start, &at(start, 0));
    work(&mut book, &step.id, Deed::Done, &at(start, 40));
    let failed = at(start, 60);
    book.apply(Command::NotDone(vec![step.id.clone()], seconds(&failed))).expect("is possible");
    let after = outlook(&book, &failed);
    let whole = after.work.steps.iter().find(|of| of.id == step.id).expect("is there");
    assert_eq!(whole.sittings, step.sittings, "all of it again");
    let again = plan(&after);
    let now = after.horizon.elapsed(wall(&failed));
    assert!(now <= after.assembled.starts(&again)[&step.id][0]);
}

#[test]
fn an_evening_over_the_hour_that_comes_twice_is_as_long_as_it_is() {
    // Europe/London set its clocks back at 01:00 universal time on 2026-10-25 (IANA time-zone database, 2025b).
    let zone = Zone {
        name: "Europe/London".into(),
        changes: [("2026-01-01T00:00", 0), ("2026-03-29T01:00", 60), ("2026-10-25T01:00", 0)]
            .map(|(utc, offset)| OffsetChange { utc: wall(utc).as_if_utc(), offset })
            .to_vec(),
    };
    let mut book = demo(wall("2026-10-19T07:00"));
    let before = outlook_in(&book, "2026-10-24T20:00", &zone);
    let step =
        before.work.steps.iter().find(|step| step.sittings.len() == 1).expect("has one").id.clone();
    // From 00:30 to 01:30 by the clock on the wall, seen the second time: two hours.
    work(&mut book, &step, Deed::Start, "2026-10-24T23:30");
    work(&mut book, &step, Deed::Done, "2026-10-25T01:30");
    let after = outlook_in(&book, "2026-10-25T08:00", &zone);
    let real = after.work.steps.iter().find(|of| of.id == step).expect("is there");
    assert_eq!(real.sittings, [120]);
    assert_eq!(after.horizon.wall(after.assembled.past[&step][0]), wall("2026-10-25T00:30"));
}

#[test]
fn a_clock_that_was_ahead_and_is_set_right_loses_nothing() {
    let (mut book, first, planned) = monday();
    let (step, _) =
        by_start(&first, &planned).into_iter().find(|(s, _)| s.sittings.len() == 1).expect("one");
    work(&mut book, &step.id, Deed::Start, "2031-01-01T10:00");
    work(&mut book, &step.id, Deed::Done, "2031-01-01T10:30");
    let after = outlook(&book, "2026-12-01T12:00");
    let now = after.horizon.elapsed(wall("2026-12-01T12:00"));
    assert!(after.assembled.past[&step.id][0] < now, "it happened, whenever that was");
    assert_eq!(check(&after.assembled.problem, &plan(&after)).breaches, []);
}

#[test]
fn every_deed_is_named_and_taken_back() {
    let (book, first, planned) = monday();
    let (mut now, mut history) = (book.clone(), History::default());
    let (step, _) = by_start(&first, &planned).remove(0);
    let order = book.orders.values().find(|order| order.id == step.order).expect("is there");
    for (deed, verb) in [
        (Deed::Start, "start"),
        (Deed::Pause, "pause"),
        (Deed::Start, "start"),
        (Deed::Done, "finish"),
        (Deed::CameOut(3), "count the pieces of"),
        (Deed::Took(50), "time"),
    ] {
        let command = Command::Work(step.id.clone(), deed, seconds("2026-11-30T18:00"));
        history.apply(&mut now, command).expect("is possible");
        let label = format!("{verb} {} · {}", step.name, order.mark());
        assert_eq!(history.undo_label(), Some(label.as_str()));
    }
    while let Some(back) = history.undo(&mut now) {
        back.expect("goes back");
    }
    assert_eq!(now, book);
}

#[test]
fn progress_goes_with_its_order() {
    let (mut book, first, _) = monday();
    let step = first.work.steps[0].clone();
    work(&mut book, &step.id, Deed::Start, "2026-11-30T18:00");
    let mut without = book.orders[&step.order].clone();
    assert_eq!(book.progress.len(), 1);
    without.items.iter_mut().find(|item| item.id == step.item).expect("is there").card =
        "macarons".into();
    let mut other = book.clone();
    other.apply(Command::PutOrder(without)).expect("is taken");
    assert!(other.progress.is_empty(), "made from another card now");
    book.apply(Command::RemoveOrder(step.order)).expect("is there");
    assert!(book.progress.is_empty());
    let lost = Command::Work(step.id, Deed::Start, seconds("2026-11-30T18:00"));
    assert!(book.apply(lost).is_err(), "nothing is noted of an order that is gone");
}
