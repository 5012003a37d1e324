use super::*;
use crate::breakdown::{RestStay, StepId};
use crate::calendar::{ExceptionKind, Zone};
use crate::card::StepKind;
use crate::kitchen::Place;
use crate::order::{Item, ItemId, Stage};
use crate::plan::Plan;
use crate::plan::check::Report;
use crate::record::{Book, Command, Deed, Outlook, PackedPlanner, PlanInput, Timer};
use crate::week::fixture::{Fixture, fixture, wall};
use crate::week::shown_before;

fn at(week: &Fixture, text: &str) -> i64 {
    week.outlook.horizon.utc(week.at(text)) * 60
}

fn step(id: &str) -> StepId {
    StepId(id.to_owned())
}

/// Does something with a step, and takes it up as the record does.
fn work(week: &mut Fixture, id: &str, deed: Deed, when: &str) {
    let instant = at(week, when);
    let before = week.book.progress.get(&step(id)).cloned().unwrap_or_default();
    week.book.progress.insert(step(id), before.after(deed, instant).expect("is possible"));
    let lengths = week.outlook.work.steps.iter().find(|one| one.id.0 == id).expect("is there");
    week.outlook.reckoned.insert(step(id), lengths.sittings.clone());
}

fn with_items(mut week: Fixture) -> Fixture {
    let order = week.book.orders.values_mut().next().expect("one order");
    order.items.push(Item {
        id: ItemId(1),
        card: "decorated-cookies".into(),
        count: 24,
        spares: 4,
        options: std::collections::BTreeMap::new(),
        notes: "moss green rims".into(),
        versions: std::collections::BTreeMap::new(),
    });
    week
}

fn sheet(week: &mut Fixture, now: &str) -> Bench {
    week.now = wall(now);
    Bench::of(week.input())
}

fn names(jobs: &[Job]) -> Vec<&str> {
    jobs.iter().map(|job| job.key.step.0.as_str()).collect()
}

#[test]
fn before_the_evening_everything_is_still_to_come() {
    let mut week = with_items(fixture());
    let bench = sheet(&mut week, "2026-11-24T18:00");
    assert_eq!(bench.day, "Tuesday 24 Nov");
    assert_eq!((bench.ask.len(), bench.at_hand.len(), bench.done.len()), (0, 0, 0));
    let later: Vec<&str> = bench.later.iter().map(|line| line.id.as_str()).collect();
    assert_eq!(later, ["o1.i1.bake#0", "o1.i1.flood#0"]);
    let (day, lines) = bench.ahead.as_ref().expect("tomorrow");
    assert_eq!((day.as_str(), lines.len()), ("Wednesday 25 Nov", 1));
    let next = bench.next().expect("baking");
    assert_eq!(next.looks, ["woodland", "moss green rims"]);
    assert_eq!(next.facts, "1 h · in the oven");
    assert_eq!(next.start_utc * 60, at(&week, "2026-11-24T19:30"));
}

#[test]
fn what_runs_comes_first_then_what_is_paused_then_what_is_due() {
    let mut week = with_items(fixture());
    work(&mut week, "o1.i1.flood", Deed::Start, "2026-11-24T19:35");
    let bench = sheet(&mut week, "2026-11-24T19:40");
    assert_eq!(names(&bench.at_hand), ["o1.i1.flood", "o1.i1.bake"]);
    let [flood, bake] = bench.at_hand.as_slice() else { panic!("two jobs") };
    assert_eq!((flood.state, bake.state), (JobState::Running, JobState::Due));
    assert_eq!(flood.worked_at(at(&week, "2026-11-24T19:50")), 15 * 60);
    work(&mut week, "o1.i1.flood", Deed::Pause, "2026-11-24T19:50");
    work(&mut week, "o1.i1.bake", Deed::Start, "2026-11-24T19:50");
    let bench = sheet(&mut week, "2026-11-24T20:10");
    assert_eq!(names(&bench.at_hand), ["o1.i1.bake", "o1.i1.flood"]);
    assert_eq!(bench.at_hand[1].worked_at(at(&week, "2026-11-24T20:10")), 15 * 60);
    work(&mut week, "o1.i1.flood", Deed::Done, "2026-11-24T20:20");
    let bench = sheet(&mut week, "2026-11-24T20:21");
    assert_eq!(names(&bench.done), ["o1.i1.flood"]);
    assert_eq!(bench.done[0].took, Some(15));
}

#[test]
fn after_midnight_it_is_still_the_same_evening() {
    let mut week = fixture();
    work(&mut week, "o1.i1.flood", Deed::Start, "2026-11-24T23:30");
    let bench = sheet(&mut week, "2026-11-25T01:00");
    assert_eq!(bench.day, "Tuesday 24 Nov");
    assert_eq!(names(&bench.at_hand), ["o1.i1.flood"]);
    assert_eq!(sheet(&mut week, "2026-11-25T04:00").day, "Wednesday 25 Nov");
}

#[test]
fn what_should_be_over_is_asked_about_for_two_days() {
    let mut week = fixture();
    let bench = sheet(&mut week, "2026-11-25T12:00");
    assert_eq!(names(&bench.ask), ["o1.i1.bake", "o1.i1.flood"]);
    assert_eq!(names(&sheet(&mut week, "2026-11-27T12:00").ask), ["o1.i1.flood"]);
    // Whoever pipes has a base coat; the bake is over for more than two days.
    work(&mut week, "o1.i1.pipe", Deed::Start, "2026-11-26T19:00");
    assert!(
        sheet(&mut week, "2026-11-26T19:10").ask.iter().all(|job| job.key.step.0 != "o1.i1.flood")
    );
}

#[test]
fn not_done_takes_with_it_what_needs_it_and_nobody_spoke_of() {
    let mut week = fixture();
    week.now = wall("2026-11-28T10:00");
    let now = at(&week, "2026-11-28T10:00");
    let Command::NotDone(steps, when) = not_done(week.input(), &step("o1.i1.flood"), now) else {
        panic!("another command")
    };
    assert_eq!((steps, when), (vec![step("o1.i1.flood"), step("o1.i1.pipe")], now));
    work(&mut week, "o1.i1.pipe", Deed::Start, "2026-11-27T19:00");
    let Command::NotDone(steps, _) = not_done(week.input(), &step("o1.i1.flood"), now) else {
        panic!("another command")
    };
    assert_eq!(steps, [step("o1.i1.flood")], "what she said of piping holds");
}

#[test]
fn a_failed_batch_takes_all_that_led_to_it_and_nothing_else() {
    let mut week = fixture();
    week.now = wall("2026-11-27T20:00");
    let now = at(&week, "2026-11-27T20:00");
    work(&mut week, "o1.i1.flood", Deed::Start, "2026-11-24T19:30");
    work(&mut week, "o1.i1.pipe", Deed::Start, "2026-11-27T19:00");
    let Command::NotDone(steps, _) = make_again(week.input(), &step("o1.i1.pipe"), now) else {
        panic!("another command")
    };
    assert_eq!(steps, [step("o1.i1.flood"), step("o1.i1.pipe")], "the bake leads to neither here");
}

#[test]
fn what_leaves_today_or_should_have_left_is_named() {
    let mut week = fixture();
    assert_eq!(sheet(&mut week, "2026-11-27T20:00").going, []);
    let going = sheet(&mut week, "2026-11-28T09:00").going;
    assert_eq!(going.len(), 1);
    assert_eq!((going[0].when.as_str(), going[0].late), ("Saturday 28 Nov, 15:00", false));
    assert!(sheet(&mut week, "2026-11-29T09:00").going[0].late, "the day after");
    week.book.orders.values_mut().for_each(|order| order.stage = Stage::HandedOver);
    assert_eq!(sheet(&mut week, "2026-11-29T09:00").going, []);
}

#[test]
fn broken_pieces_eat_the_spares_and_then_the_order() {
    let mut week = with_items(fixture());
    work(&mut week, "o1.i1.flood", Deed::Start, "2026-11-24T19:35");
    let count = |week: &mut Fixture| sheet(week, "2026-11-24T19:40").at_hand[0].count.clone();
    let all = count(&mut week).expect("cookies are counted");
    assert_eq!((all.whole, all.short(), all.counted), (28, 0, false));
    assert_eq!(all.words(), "28 of 28 cookies: 24 ordered, 4 spares");
    work(&mut week, "o1.i1.flood", Deed::CameOut(25), "2026-11-24T19:36");
    assert_eq!(count(&mut week).expect("counted").words(), "25 of 28 cookies: 24 ordered, 1 spare");
    work(&mut week, "o1.i1.flood", Deed::CameOut(24), "2026-11-24T19:36");
    assert!(count(&mut week).expect("counted").words().ends_with("no spare left"));
    work(&mut week, "o1.i1.flood", Deed::CameOut(21), "2026-11-24T19:36");
    let short = count(&mut week).expect("counted");
    assert_eq!((short.short(), short.counted), (3, true));
    assert_eq!(short.words(), "21 of 28 cookies: 3 short of the 24 ordered");
    // At the next step the same pieces are there.
    let pipe = sheet(&mut week, "2026-11-27T19:00");
    let pipe = pipe.at_hand.iter().find(|job| job.key.step.0 == "o1.i1.pipe").expect("is due");
    let there = pipe.count.as_ref().expect("cookies");
    assert_eq!((there.whole, there.counted), (21, false));
}

#[test]
fn what_goes_where_afterwards_is_said_with_its_limit_and_the_caution() {
    let mut week = fixture();
    let bench = sheet(&mut week, "2026-11-25T20:30");
    let last = &bench.at_hand[0];
    assert_eq!((last.key.step.0.as_str(), last.key.sitting), ("o1.i1.flood", 1));
    assert_eq!(last.after[0].words, "Base-coated cookies · dry on the rack until Fri 19:00");
    assert_eq!(last.after[0].picture, Some((Place::Rack, wall("2026-11-25T20:45"))));
    assert!(
        last.after[0].limit.starts_with("at least 8 h, at most 2 days"),
        "{}",
        last.after[0].limit
    );
    assert!(last.caution.is_some());
    let first = &bench.ask[0];
    assert_eq!((first.key.step.0.as_str(), first.after.len()), ("o1.i1.bake", 0));
}

#[test]
fn what_has_to_come_out_first_is_said_with_its_time() {
    let mut week = fixture();
    let choice = &mut week.outlook.work.rests[0].choices[0];
    choice.stay = Some(RestStay { place: Place::Fridge, boxes: Vec::new() });
    choice.tail = Some((60, Some(RestStay { place: Place::Counter, boxes: Vec::new() })));
    let bench = sheet(&mut week, "2026-11-27T17:00");
    let pipe = bench.next().expect("piping");
    assert_eq!(pipe.bring, ["Base-coated cookies: in the fridge until 18:00, then on the counter"]);
    let titles: Vec<&str> = bench.later.iter().map(|line| line.title.as_str()).collect();
    assert_eq!(
        titles,
        ["Take base-coated cookies out of the fridge, onto the counter", "Pipe the details"]
    );
    assert_eq!(bench.ahead.expect("the handover").1[0].title, "Handover");
}

#[test]
fn what_bakes_rings_when_its_minutes_are_over_pauses_left_out() {
    let mut week = fixture();
    work(&mut week, "o1.i1.bake", Deed::Start, "2026-11-24T19:30");
    let now = at(&week, "2026-11-24T19:40");
    let ends = |week: &Fixture| rings(week.input(), now).first().map(|ring| (ring.ends, ring.loud));
    assert_eq!(ends(&week), Some((at(&week, "2026-11-24T20:30"), true)));
    work(&mut week, "o1.i1.bake", Deed::Pause, "2026-11-24T19:50");
    assert_eq!(ends(&week), None, "nothing runs");
    work(&mut week, "o1.i1.bake", Deed::Start, "2026-11-24T20:00");
    assert_eq!(ends(&week), Some((at(&week, "2026-11-24T20:40"), true)));
}

#[test]
fn what_rests_is_over_without_a_sound_when_it_is_long() {
    let mut week = fixture();
    work(&mut week, "o1.i1.pipe", Deed::Start, "2026-11-24T19:30");
    work(&mut week, "o1.i1.pipe", Deed::Done, "2026-11-24T20:00");
    let now = at(&week, "2026-11-24T20:01");
    let found = rings(week.input(), now);
    assert_eq!(found.len(), 1);
    assert_eq!((found[0].ends, found[0].loud), (at(&week, "2026-11-25T04:00"), false));
    week.outlook.work.rests[1].choices[0].least = 60;
    let short = &rings(week.input(), now)[0];
    assert_eq!((short.ends, short.loud), (at(&week, "2026-11-24T21:00"), true));
    // A short stay that must not be longer is told as well.
    let choice = &mut week.outlook.work.rests[1].choices[0];
    (choice.greatest, choice.safety) = (Some(120), true);
    let found = rings(week.input(), now);
    assert_eq!(found.len(), 2);
    assert!(found[1].name.contains("no longer"), "{}", found[1].name);
    assert_eq!(found[1].ends, at(&week, "2026-11-24T22:00"));
    // Some hours after its end nobody asks for it.
    assert_eq!(rings(week.input(), at(&week, "2026-11-25T12:00")), []);
}

#[test]
fn her_own_timers_ring_until_she_has_heard_them() {
    let mut week = fixture();
    let now = at(&week, "2026-11-24T20:00");
    let timer = |heard| Timer { id: "own-1".into(), name: "syrup".into(), ends: now - 720, heard };
    week.book.timers.list = vec![timer(false)];
    let found = rings(week.input(), now);
    assert!(found[0].calls(now) && found[0].own);
    assert_eq!(left_words(found[0].ends, now), "ended 12 min ago");
    week.book.timers.list = vec![timer(true)];
    assert_eq!(rings(week.input(), now), []);
    assert_eq!(left_words(now + 3725, now), "1:02:05");
    assert_eq!(left_words(now + 65, now), "1:05");
    assert_eq!(left_words(now, now), "ended just now");
}

#[test]
fn a_step_that_nobody_timed_can_be_noted() {
    let mut week = fixture();
    let until = at(&week, "2026-11-24T20:30");
    work(&mut week, "o1.i1.bake", Deed::Was(until), "2026-11-24T19:30");
    let bench = sheet(&mut week, "2026-11-24T21:00");
    assert_eq!(names(&bench.done), ["o1.i1.bake"]);
    assert_eq!(bench.done[0].took, Some(60));
}

/// The hours of the newest exception, and whether nobody is home.
fn newest(commands: &[Command]) -> (String, String, Option<bool>) {
    let Some(Command::SetTime(time)) = commands.last() else { panic!("time is set") };
    let exception = time.exceptions.last().expect("a new one");
    match exception.kind {
        ExceptionKind::Busy { start, end, away } => {
            (start.to_string(), end.to_string(), Some(away))
        }
        ExceptionKind::Extra { start, end } => (start.to_string(), end.to_string(), None),
        _ => panic!("another kind"),
    }
}

#[test]
fn running_late_places_anew_what_should_have_begun_and_keeps_what_runs() {
    let mut week = fixture();
    week.now = wall("2026-11-24T19:40");
    let now = at(&week, "2026-11-24T19:40");
    work(&mut week, "o1.i1.bake", Deed::Start, "2026-11-24T19:30");
    let commands = setback(week.input(), Setback::Late(30), now).expect("is possible");
    assert_eq!(commands[0], Command::NotDone(vec![step("o1.i1.flood")], now));
    assert_eq!(newest(&commands), ("19:40".into(), "20:10".into(), Some(false)));
    work(&mut week, "o1.i1.flood", Deed::Start, "2026-11-24T19:35");
    let commands = setback(week.input(), Setback::Late(30), now).expect("is possible");
    assert_eq!(commands.len(), 1, "both are begun");
    assert_eq!(Setback::Late(90).words(), "Running 1 h 30 min late");
}

#[test]
fn nothing_tonight_lasts_until_the_day_at_the_bench_turns() {
    let mut week = fixture();
    for (now, end) in [("2026-11-24T18:00", "04:00"), ("2026-11-25T01:00", "04:00")] {
        week.now = wall(now);
        let commands = setback(week.input(), Setback::NotTonight, 0).expect("is possible");
        let (from, to, away) = newest(&commands);
        assert_eq!((from.as_str(), to.as_str(), away), (&now[11..], end, Some(true)));
    }
}

#[test]
fn more_time_begins_where_the_evening_ends_and_never_against_the_job() {
    let mut week = fixture();
    week.now = wall("2026-11-24T20:00");
    let commands = setback(week.input(), Setback::Longer(45), 0).expect("is possible");
    assert_eq!(newest(&commands), ("22:30".into(), "23:15".into(), None));
    week.now = wall("2026-11-24T10:00");
    let before_work = setback(week.input(), Setback::Longer(45), 0).expect("is possible");
    assert_eq!(newest(&before_work).0, "22:30", "of today's windows the last");
    week.outlook.windows.free.clear();
    let why = setback(week.input(), Setback::Longer(45), 0).expect_err("at work");
    assert!(why.contains("day job") && why.contains("My time"), "{why}");
}

#[test]
fn after_a_setback_the_demo_is_planned_around_what_is_done() {
    let now = wall("2027-02-01T18:55");
    let mut book = crate::demo::demo(now);
    let input = |now| PlanInput { now, zone: Zone::fixed("kitchen", 0) };
    let plan_of = |outlook: &Outlook| {
        let standings = outlook.assembled.standings.clone().expect("a kitchen");
        let problem = &outlook.assembled.problem;
        let mut planner = PackedPlanner::new(problem, 1, Some(&standings), None).expect("sound");
        for _ in 0..200 {
            if planner.improve(50).objective.is_some() {
                break;
            }
        }
        planner.plan()
    };
    let outlook = Outlook::of(&book, &input(now)).expect("is set up");
    let plan = plan_of(&outlook);
    book.apply(Command::Show(outlook.shown_from(&plan))).expect("is shown");
    let week = |book: &Book, outlook: &Outlook, plan: &Plan, what| {
        let input = WeekInput {
            book,
            outlook,
            plan,
            report: &Report::default(),
            now,
            first_day: 0,
            unfolded: &std::collections::BTreeSet::new(),
        };
        setback(input, what, outlook.horizon.utc(outlook.horizon.elapsed(now)) * 60)
    };
    for command in week(&book, &outlook, &plan, Setback::NotTonight).expect("is possible") {
        book.apply(command).expect("is taken");
    }
    let after = Outlook::of(&book, &input(now)).expect("is set up");
    let anew = plan_of(&after);
    assert!(anew.objective.is_some(), "the week still holds");
    let tonight = after.horizon.elapsed(now);
    let morning = after.horizon.elapsed(wall("2027-02-02T04:00"));
    let starts = after.assembled.starts(&anew);
    let begun_tonight = starts.iter().flat_map(|(id, all)| all.iter().map(move |at| (id, at)));
    let begun_tonight = begun_tonight.filter(|(id, at)| {
        let waits = after.work.steps.iter().any(|one| one.id == **id && one.kind == StepKind::Wait);
        tonight <= **at && **at < morning && !waits
    });
    assert_eq!(begun_tonight.count(), 0);
    let tonight_before = outlook.assembled.starts(&plan);
    let planned = tonight_before.values().flatten().filter(|at| tonight <= **at && **at < morning);
    assert!(planned.count() > 0, "there was something to put off");
}

#[test]
fn a_helper_at_the_door_adds_hands_and_places_nothing_anew() {
    let week = fixture();
    let commands = setback(week.input(), Setback::Helped(120), 0).expect("is possible");
    let [Command::SetTime(time)] = commands.as_slice() else { panic!("{commands:?}") };
    let exception = time.exceptions.last().expect("one more");
    let (start, end) = exception.kind.hours().expect("has hours");
    assert!(matches!(exception.kind, ExceptionKind::Helper { .. }));
    assert_eq!((start.to_string().as_str(), end.to_string().as_str()), ("18:00", "20:00"));
    assert_eq!(Setback::Helped(120).words(), "A helper for 2 h");
}

#[test]
fn what_lies_behind_stays_believed_while_something_is_tried() {
    let monday = wall("2027-02-01T07:00");
    let mut book = crate::demo::demo(monday);
    let input = |now| PlanInput { now, zone: Zone::fixed("kitchen", 0) };
    let outlook = Outlook::of(&book, &input(monday)).expect("is set up");
    let standings = outlook.assembled.standings.clone().expect("a kitchen");
    let mut planner =
        PackedPlanner::new(&outlook.assembled.problem, 1, Some(&standings), None).expect("sound");
    while planner.improve(20).objective.is_none() {}
    book.apply(Command::Show(outlook.shown_from(&planner.plan()))).expect("is shown");
    let later = Outlook::of(&book, &input(wall("2027-02-03T18:45"))).expect("is set up");
    assert!(later.assembled.past.len() > 2, "{} steps lie behind", later.assembled.past.len());
    book.shown = Some(shown_before(&book, &later));
    let tried = Outlook::of(&book, &input(wall("2027-02-03T18:45"))).expect("is set up");
    assert_eq!(tried.assembled.past, later.assembled.past);
    assert_eq!(tried.assembled.problem, later.assembled.problem);
}
