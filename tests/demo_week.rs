//! The demo: a whole book on any day, planned without a breach, through the library and through the
//! command line.
#![cfg(not(target_arch = "wasm32"))]

use std::io::Write;
use std::process::{Command, Output, Stdio};

use rackweek::calendar::{Date, Wall, Zone};
use rackweek::demo::demo;
use rackweek::order::Stage;
use rackweek::plan::Planner;
use rackweek::plan::check::check;
use rackweek::record::{Backup, Book, Outlook, PlanInput};

fn outlook(book: &Book, now: Wall) -> Outlook {
    let input = PlanInput { now, zone: Zone::fixed("kitchen", 0) };
    Outlook::of(book, &input).expect("kitchen and time are set up")
}

#[test]
fn it_shows_what_the_house_can_do() {
    let now = Wall::new(2026, 11, 30, 7, 0).expect("a time");
    let book = demo(now);
    let planned: Vec<_> =
        book.orders.values().filter(|order| order.stage == Stage::Confirmed).collect();
    assert!(4 <= planned.len());
    assert!(book.orders.values().any(|order| order.stage == Stage::Enquiry));
    assert!(
        planned.iter().any(|order| 3 <= order.items.len()),
        "one themed table of several items"
    );
    for order in &planned {
        let days = order.handover.at.date().days_since(now.date());
        assert!((1..=14).contains(&days), "{days}");
    }
    let time = book.time.as_ref().expect("set up");
    let labels: Vec<&str> = time.exceptions.iter().map(|found| found.label.as_str()).collect();
    assert_eq!(labels, ["parents' evening", "off on Friday"]);
    assert_eq!(time.validate(), []);
    assert_eq!(book.kitchen.as_ref().map(rackweek::kitchen::Kitchen::validate), Some(Vec::new()));
    for order in book.orders.values() {
        assert_eq!(order.validate(), [], "{}", order.client);
    }
}

#[test]
fn nothing_in_it_is_too_big_or_too_long() {
    let now = Wall::new(2026, 11, 30, 7, 0).expect("a time");
    let outlook = outlook(&demo(now), now);
    let notes = outlook.work.notes.iter().chain(&outlook.assembled.notes);
    let troubles: Vec<&str> =
        notes.filter(|note| note.problem).map(|note| note.text.as_str()).collect();
    assert_eq!(troubles, Vec::<&str>::new());
}

#[test]
fn it_can_be_planned_without_a_breach_on_any_day_of_the_week() {
    let monday = Date::new(2027, 2, 1).expect("a date");
    for day in 0..7 {
        let now = monday.plus_days(day).at(12 * 60);
        let outlook = outlook(&demo(now), now);
        let problem = &outlook.assembled.problem;
        assert_eq!(problem.validate().err(), None);
        let mut planner = Planner::new(problem, 1).expect("a sound problem");
        let mut report = check(problem, &planner.plan());
        for _ in 0..20 {
            if report.breaches.is_empty() {
                break;
            }
            planner.improve(100);
            report = check(problem, &planner.plan());
        }
        assert_eq!(report.breaches, [], "begun {now}");
    }
}

/// Runs the program on what another wrote.
fn rackweek(args: &[&str], input: &[u8]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_rackweek"))
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut stdin = child.stdin.take().expect("piped");
    stdin.write_all(input).expect("it reads");
    drop(stdin);
    child.wait_with_output().expect("it ends")
}

#[test]
fn the_command_line_goes_from_demo_to_plan() {
    let backup = rackweek(&["demo"], &[]);
    assert!(backup.status.success());
    let text = String::from_utf8(backup.stdout.clone()).expect("text");
    let read = Backup::from_json(&text).expect("a backup");
    assert_eq!(read.taken_at.to_string(), "2026-11-30T07:00");
    assert_eq!(read.book, demo(read.taken_at));
    assert_eq!(rackweek(&["demo"], &[]).stdout, backup.stdout, "always the same");

    let problem = rackweek(&["problem", "-"], &backup.stdout);
    assert!(problem.status.success(), "{}", String::from_utf8_lossy(&problem.stderr));
    let plan = rackweek(&["plan", "-", "--seconds", "1"], &problem.stdout);
    assert!(plan.status.success(), "{}", String::from_utf8_lossy(&plan.stderr));

    let folder = std::env::temp_dir().join(format!("rackweek-demo-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let path = |name: &str| folder.join(name).to_string_lossy().into_owned();
    std::fs::write(path("problem.json"), &problem.stdout).expect("written");
    std::fs::write(path("plan.json"), &plan.stdout).expect("written");
    let checked = rackweek(&["check", &path("problem.json"), &path("plan.json")], &[]);
    let told = String::from_utf8_lossy(&checked.stdout).into_owned();
    std::fs::remove_dir_all(&folder).expect("cleared up");
    assert!(checked.status.success(), "{told}");
}

#[test]
fn a_file_that_is_no_backup_gets_one_line_and_exit_2() {
    let cases: [(&[&str], &[u8], &str); 3] = [
        (&["problem", "-"], b"{}", "-:"),
        (&["problem", "/nowhere/backup.json"], b"", "/nowhere/backup.json"),
        (&["demo", "extra"], b"", "usage"),
    ];
    for (args, input, word) in cases {
        let output = rackweek(args, input);
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{args:?}: {told}");
        assert_eq!(told.trim_end().lines().count(), 1, "{told}");
        assert!(told.contains(word), "{args:?}: {told}");
    }
    let mut backup = Backup::of(
        demo(Wall::new(2026, 11, 30, 7, 0).expect("a time")),
        Wall::new(2026, 11, 30, 7, 0).expect("a time"),
        Zone::fixed("kitchen", 0),
    );
    backup.book.kitchen = None;
    let output = rackweek(&["problem", "-"], backup.to_json().as_bytes());
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("kitchen"));
}

#[test]
fn what_the_kitchen_cannot_give_is_told_with_the_work() {
    let now = Wall::new(2026, 11, 30, 7, 0).expect("a time");
    let mut book = demo(now);
    if let Some(kitchen) = &mut book.kitchen {
        kitchen.fridge.retain(|shelf| shelf.height < 220);
    }
    let outlook = outlook(&book, now);
    let told = outlook.work.notes.iter().find(|note| note.problem);
    assert!(told.is_some_and(|note| note.text.contains("fridge")), "{:?}", outlook.work.notes);
}
