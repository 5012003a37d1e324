//! What the week promises about where else, what it costs, and what moved.

use super::fixture::{fixture, key, wall};
use super::*;
use crate::plan::check::Parts;
use crate::plan::explain::{Candidate, Verdict};

fn sound(total: i64, parts: Parts) -> Verdict {
    Verdict::Sound { dearer: Parts { total, ..parts }, moved: 0 }
}

#[test]
fn starts_are_graded_by_what_they_cost_and_never_by_leaving_where_they_were_seen() {
    let week = fixture();
    let named = week.slots(&[("2026-11-26T18:30", "2026-11-26T20:00")]);
    let reach = Reach::among(week.input(), &key("o1.i1.pipe", 0), &named).expect("it is there");
    let view = week.view();
    let mut costs = Costs::of(week.input());
    let first = week.slots(&[("2026-11-26T18:30", "2026-11-26T18:30")])[0].0;
    let stayed = Parts { stability: 900, ..Parts::default() };
    let late = Parts { load: 20, ..Parts::default() };
    let verdicts = [
        sound(900, stayed),
        sound(-5, Parts::default()),
        sound(20, late),
        sound(1_000_000, Parts { evening: 1_000_000, ..Parts::default() }),
        Verdict::NotFound,
    ];
    let news: Vec<Candidate> = verdicts
        .into_iter()
        .zip(first..)
        .map(|(verdict, start)| Candidate { start, verdict })
        .collect();
    costs.learn(&news, false);
    let grade = |text: &str| costs.grade(week.at(text));
    assert_eq!(grade("2026-11-26T18:30"), Grade::AsGood, "she moves it on purpose");
    assert_eq!(grade("2026-11-26T18:45"), Grade::AsGood);
    assert_eq!(grade("2026-11-26T19:00"), Grade::Dearer);
    assert_eq!(grade("2026-11-26T19:15"), Grade::MuchDearer);
    assert_eq!(grade("2026-11-26T19:30"), Grade::NotFound);
    assert_eq!(grade("2026-11-26T19:45"), Grade::Untried);
    assert_eq!(costs.words(week.at("2026-11-26T19:00")), "a little worse: longer in the fridge");
    assert_eq!(costs.words(week.at("2026-11-26T19:15")), "clearly worse: a longer evening");

    let thursday = &view.days[3];
    let marks = costs.marks(&reach, thursday);
    let grades: Vec<Grade> = marks.iter().map(|mark| mark.grade).collect();
    assert_eq!(
        grades,
        [Grade::AsGood, Grade::Dearer, Grade::MuchDearer, Grade::NotFound, Grade::Untried]
    );
    assert_eq!(marks[0].top, thursday.axis.y_of(week.at("2026-11-26T18:30")));
    assert_eq!(marks[0].bottom, thursday.axis.y_of(week.at("2026-11-26T19:00")));
    for pair in marks.windows(2) {
        assert_eq!(pair[0].bottom, pair[1].top, "no gap between neighbours");
    }
    assert_eq!(costs.marks(&reach, &view.days[4]), []);
}

#[test]
fn the_list_offers_the_best_start_of_each_stretch_and_says_why_a_day_has_none() {
    let week = fixture();
    let named = week.slots(&[
        ("2026-11-25T19:00", "2026-11-25T19:30"),
        ("2026-11-27T19:00", "2026-11-27T20:00"),
    ]);
    let reach = Reach::among(week.input(), &key("o1.i1.pipe", 0), &named).expect("it is there");
    let mut costs = Costs::of(week.input());
    let friday = week.slots(&[("2026-11-27T19:00", "2026-11-27T19:00")])[0].0;
    let here = Candidate { start: friday, verdict: sound(0, Parts::default()) };
    let wednesday = Candidate { start: named[0].0, verdict: Verdict::NotFound };
    let later = Candidate {
        start: named[0].0 + 1,
        verdict: sound(7, Parts { age: 7, ..Parts::default() }),
    };
    costs.learn(&[here, wednesday, later], true);
    let days = elsewhere(week.input(), &reach, &costs);
    let rows = |day: usize| -> Vec<(String, String)> {
        days[day].rows.iter().map(|row| (row.time.clone(), row.words.clone())).collect()
    };
    let row = |time: &str, words: &str| vec![(time.to_owned(), words.to_owned())];
    assert_eq!(days.len(), 5, "from the day before to the day after");
    assert_eq!(days[1].name, "Wednesday 25 Nov");
    assert_eq!(rows(1), row("19:15–20:15", "a little worse: less fresh at the handover"));
    assert_eq!(rows(3), row("19:00–20:00", "where it is now"));
    assert_eq!(days[1].reason, "");
    assert!(days[0].reason.starts_with("too early: possible from Wednesday 19:00"), "{days:?}");
    assert!(days[2].reason.starts_with("what it follows, or what it needs"), "{days:?}");
    assert!(days[4].reason.starts_with("too late for what comes after it"), "{days:?}");
}

#[test]
fn another_plan_is_compared_in_hours() {
    let mut week = fixture();
    week.outlook.assembled.problem.workers[0].soft =
        vec![1; week.outlook.assembled.problem.workers[0].windows.len()];
    let mut other = week.plan.clone();
    let later = week.slots(&[("2026-11-28T09:00", "2026-11-28T09:00")])[0].0;
    other.starts.insert("o1.i1.pipe".into(), vec![later]);
    let step = key("o1.i1.pipe", 0).step;
    // The fixture names no hands in its plan, so evenings are not counted; nothing stands in the fridge.
    assert_eq!(changes(week.input(), &other, &step), Vec::<String>::new());
    let flood = key("o1.i1.flood", 0).step;
    assert_eq!(changes(week.input(), &other, &flood), ["1 other step moves"]);
    let hands = |plan: &mut crate::plan::Plan| {
        for (id, starts) in plan.starts.clone() {
            let who = (id != "o1.i1.bake").then(|| "baker".to_owned());
            plan.worker.insert(id, vec![who; starts.len()]);
        }
    };
    hands(&mut week.plan);
    hands(&mut other);
    let lines = changes(week.input(), &other, &step);
    assert_eq!(lines, ["Friday 45 min shorter", "Saturday 45 min longer"]);
}

#[test]
fn what_moved_is_told_sitting_by_sitting() {
    let week = fixture();
    let flood = key("o1.i1.flood", 0).step;
    let pipe = key("o1.i1.pipe", 0).step;
    let at = |text: &str| wall(text);
    let before = Starts::from([
        (flood.clone(), vec![at("2026-11-24T19:30"), at("2026-11-25T20:00")]),
        (pipe.clone(), vec![at("2026-11-27T19:00")]),
    ]);
    let after = Starts::from([
        (flood.clone(), vec![at("2026-11-24T19:30"), at("2026-11-26T20:00")]),
        // Cut anew: not the same sittings any more.
        (pipe, vec![at("2026-11-27T19:00"), at("2026-11-27T21:00")]),
    ]);
    let lines = moved(week.input(), &before, &after);
    assert_eq!(lines.len(), 1);
    assert_eq!(lines[0].key, key("o1.i1.flood", 1));
    assert_eq!(lines[0].what, "Flood the base coat, Mira Holm");
    assert_eq!((lines[0].from.as_str(), lines[0].to.as_str()), ("Wed 20:00", "Thu 20:00"));
    assert_eq!(moved(week.input(), &before, &before), []);
    assert_eq!(
        (moved_words(1), moved_words(4)),
        ("1 sitting moved".into(), "4 sittings moved".into())
    );
}
