//! What the table says to each target.

use rackweek::plan::Status;

use crate::native::EIGHT;
use crate::ours::{Run, Standing};
use crate::reference::Answer;

/// One problem.
pub(crate) struct Row {
    pub(crate) name: String,
    pub(crate) activities: usize,
    /// What we had at each mark.
    pub(crate) at: Vec<(f64, Standing)>,
    pub(crate) run: Run,
    /// The outside solver with one worker.
    pub(crate) one: Option<Answer>,
    /// And with eight.
    pub(crate) eight: Option<Answer>,
}

impl Row {
    /// What we had at the last mark up to this one.
    pub(crate) fn standing(&self, mark: f64) -> Standing {
        let unknown = Standing { objective: None, bound: 0, status: Status::Unknown };
        self.at.iter().rev().find(|(at, _)| *at <= mark).map_or(unknown, |&(_, standing)| standing)
    }
}

/// By how many per cent ours is worse than theirs; none when one of the two is missing.
#[expect(clippy::cast_precision_loss, reason = "a share for people")]
pub(crate) fn deviation(ours: Option<i64>, theirs: Option<i64>) -> Option<f64> {
    let (ours, theirs) = (ours?, theirs?);
    Some((ours - theirs) as f64 * 100.0 / theirs.max(1) as f64)
}

/// Prints one line a target.
#[expect(clippy::print_stdout, reason = "a benchmark reports on the standard output")]
pub(crate) fn print(rows: &[Row], seconds: &[f64]) {
    println!();
    speed(rows);
    let Some(solver) = rows.iter().find_map(|row| row.one.as_ref()).map(|one| &one.solver) else {
        return;
    };
    let longest = seconds.last().copied().unwrap_or_default();
    println!("{} problems beside {solver}, one worker:", rows.len());
    for &mark in seconds {
        equal_time(rows, mark);
    }
    let compared = || rows.iter().filter_map(|row| row.one.as_ref().map(|one| (row, one)));
    let open: Vec<_> = compared()
        .filter(|(_, one)| !one.infeasible() && one.optimum(longest).is_none())
        .filter_map(|(row, one)| {
            Some((row.standing(longest).objective?, one.objective(longest).unwrap_or(i64::MAX)))
        })
        .collect();
    let better = open.iter().filter(|(ours, theirs)| ours < theirs).count();
    let same = open.iter().filter(|(ours, theirs)| ours == theirs).count();
    println!(
        "not closed by it in {longest} s: {}; ours better on {better}, equal on {same} (wanted: better on half)",
        open.len()
    );
    let closed: Vec<_> =
        compared().filter_map(|(row, one)| Some((row, one.optimum(longest.min(5.0))?))).collect();
    let missed: Vec<String> = closed
        .iter()
        .filter(|(row, optimum)| row.standing(longest.min(5.0)).objective != Some(*optimum))
        .map(|(row, optimum)| {
            let objective = row.standing(longest.min(5.0)).objective;
            format!("{} {}", row.name, percent(deviation(objective, Some(*optimum))))
        })
        .collect();
    println!(
        "proven by it within 5 s: {}; ours equal on {} (wanted: all){}",
        closed.len(),
        closed.len() - missed.len(),
        listed(&missed)
    );
    let infeasible: Vec<_> = compared().filter(|(_, one)| one.infeasible()).collect();
    let unproven: Vec<String> = infeasible
        .iter()
        .filter(|(row, _)| row.standing(longest).status != Status::Infeasible)
        .map(|(row, _)| row.name.clone())
        .collect();
    println!(
        "infeasible, proven by it: {}; by ours too: {} (wanted: all){}",
        infeasible.len(),
        infeasible.len() - unproven.len(),
        listed(&unproven)
    );
    contradictions(rows, longest);
    eight(rows);
}

/// First sound plans and proofs: ours alone.
#[expect(clippy::print_stdout, reason = "a benchmark reports on the standard output")]
fn speed(rows: &[Row]) {
    for (least, most, wanted) in [(0, 60, 20), (61, 120, 60), (121, 220, 100), (221, 999, 100)] {
        let mut times: Vec<f64> = rows
            .iter()
            .filter(|row| (least..=most).contains(&row.activities))
            .filter_map(|row| row.run.sound.map(|s| s * 1e3))
            .collect();
        times.sort_by(f64::total_cmp);
        if let (Some(middle), Some(worst)) = (times.get(times.len() / 2), times.last()) {
            let within = times.iter().filter(|&&ms| ms <= f64::from(wanted)).count();
            println!(
                "first sound plan, {least} to {most} activities: median {middle:.1} ms, worst {worst:.1} ms, {within} of {} within {wanted} ms",
                times.len()
            );
        }
    }
    let feasible = |row: &&Row| {
        row.activities <= 60 && row.at.iter().any(|(_, standing)| standing.objective.is_some())
    };
    let small: Vec<&Row> = rows.iter().filter(feasible).collect();
    let proven = small.iter().filter(|row| row.run.proven.is_some_and(|s| s <= 2.0)).count();
    println!(
        "proven optimal within 2 s, up to 60 activities: {proven} of {} (wanted: 80 %)",
        small.len()
    );
}

#[expect(clippy::print_stdout, reason = "a benchmark reports on the standard output")]
fn equal_time(rows: &[Row], mark: f64) {
    let (mut found, mut missing) = (Vec::new(), Vec::new());
    for row in rows {
        let Some(theirs) = row.one.as_ref().and_then(|one| one.objective(mark)) else { continue };
        match deviation(row.standing(mark).objective, Some(theirs)) {
            Some(by) => found.push((by, row)),
            None => missing.push(row.name.clone()),
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    let worse: Vec<String> = found
        .iter()
        .filter(|(by, _)| *by > 1.0)
        .map(|(by, row)| format!("{} {by:.1} %", row.name))
        .collect();
    let mean = found.iter().map(|(by, _)| by).sum::<f64>() / count(found.len().max(1));
    println!(
        "at {mark} s: mean deviation {mean:.2} %; more than 1 % worse on {} of {} (wanted: none){}; no plan where it has one: {}{}",
        worse.len(),
        found.len(),
        listed(&worse),
        missing.len(),
        listed(&missing)
    );
}

/// What would mean that one of the two is wrong.
#[expect(clippy::print_stdout, reason = "a benchmark reports on the standard output")]
fn contradictions(rows: &[Row], longest: f64) {
    let wrong: Vec<String> = rows
        .iter()
        .filter(|row| {
            let ours = row.standing(longest);
            [(&row.one, longest), (&row.eight, EIGHT)].iter().any(|(answer, until)| {
                answer.as_ref().is_some_and(|answer| {
                    let plan = answer.objective(*until);
                    let claimed_none = ours.status == Status::Infeasible && plan.is_some();
                    let below = ours
                        .objective
                        .zip(answer.bound(*until))
                        .is_some_and(|(cost, bound)| cost < bound);
                    let above = ours.objective.is_some() && plan.is_some_and(|p| p < ours.bound);
                    let has_none = answer.infeasible() && ours.objective.is_some();
                    claimed_none || below || above || has_none
                })
            })
        })
        .map(|row| row.name.clone())
        .collect();
    println!("contradictions: {} (wanted: none){}", wrong.len(), listed(&wrong));
}

#[expect(clippy::print_stdout, reason = "a benchmark reports on the standard output")]
fn eight(rows: &[Row]) {
    for (least, most, allowed) in [(0, 100, 1.0), (101, 170, 3.0), (171, 199, 3.0), (200, 999, 0.0)]
    {
        let mut by: Vec<(f64, &str)> = rows
            .iter()
            .filter(|row| (least..=most).contains(&row.activities))
            .filter_map(|row| {
                let theirs = row.eight.as_ref()?.objective(EIGHT);
                let by = deviation(row.standing(10.0).objective, theirs);
                theirs.map(|_| (by.unwrap_or(f64::INFINITY), row.name.as_str()))
            })
            .collect();
        if by.is_empty() {
            continue;
        }
        by.sort_by(|a, b| b.0.total_cmp(&a.0));
        let over: Vec<String> = by
            .iter()
            .filter(|(by, _)| *by > allowed)
            .map(|(by, name)| format!("{name} {by:.1} %"))
            .collect();
        println!(
            "ours in 10 s against eight workers in {EIGHT} s, {least} to {most} activities: over {allowed} % on {} of {} (wanted: none){}",
            over.len(),
            by.len(),
            listed(&over)
        );
    }
}

fn percent(by: Option<f64>) -> String {
    by.map_or_else(|| "no plan".to_owned(), |by| format!("{by:.2} %"))
}

fn listed(names: &[String]) -> String {
    if names.is_empty() { String::new() } else { format!(": {}", names.join(", ")) }
}

#[expect(clippy::cast_precision_loss, reason = "a few problems")]
fn count(number: usize) -> f64 {
    number as f64
}
