//! `check PROBLEM PLAN`: lists breaches, then the objective's parts.

use std::fmt::Write as _;
use std::process::ExitCode;

use rackweek::plan::check::check;
use rackweek::plan::{Plan, Problem};

use super::arguments::Arguments;
use super::{Fault, Outcome, files};

pub(crate) fn run(args: &[String]) -> Outcome {
    let args = Arguments::parse(args, "rackweek check PROBLEM.json PLAN.json", 2, &[])?;
    let [problem_file, plan_file] = args.files.as_slice() else {
        return Err(Fault("two files expected".to_owned()));
    };
    let problem = Problem::from_json(&files::read(problem_file)?)
        .map_err(|error| Fault(format!("{problem_file}: {error}")))?;
    let plan = Plan::from_json(&files::read(plan_file)?)
        .map_err(|error| Fault(format!("{plan_file}: {error}")))?;
    let report = check(&problem, &plan);
    let mut text = String::new();
    for breach in &report.breaches {
        let _ = writeln!(text, "breach {}", breach.text);
    }
    let mut sound = report.breaches.is_empty();
    if let Some(stated) = plan.objective.filter(|&stated| stated != report.parts.total) {
        sound = false;
        let _ = writeln!(text, "breach objective: stated {stated}, is {}", report.parts.total);
    }
    text.push_str(&serde_json::to_string(&report.parts).map_err(|error| Fault(error.to_string()))?);
    files::write("-", &text)?;
    Ok(if sound { ExitCode::SUCCESS } else { ExitCode::from(1) })
}
