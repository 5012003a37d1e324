//! `plan PROBLEM`: plans for a while, writes the best plan.

use std::process::ExitCode;
use std::time::{Duration, Instant};

use rackweek::plan::{Planner, Problem};

use super::arguments::Arguments;
use super::{Fault, Outcome, files};

const USAGE: &str = "rackweek plan PROBLEM.json [--seconds S] [--seed N] [-o PLAN.json]";
/// Long enough for a good week, short enough to wait for.
const SECONDS: f64 = 2.0;
/// Between two looks at the clock.
const EVALUATIONS: u64 = 50;

pub(crate) fn run(args: &[String]) -> Outcome {
    let args = Arguments::parse(args, USAGE, 1, &["--seconds", "--seed", "-o"])?;
    let seconds = match args.option("--seconds") {
        None => SECONDS,
        Some(text) => text
            .parse::<f64>()
            .ok()
            .filter(|seconds| (0.0..=86_400.0).contains(seconds))
            .ok_or_else(|| {
                Fault(format!("--seconds {text}: write seconds from 0 to 86400, such as 2 or 0.5"))
            })?,
    };
    let seed = match args.option("--seed") {
        None => 1,
        Some(text) => text
            .parse::<u64>()
            .map_err(|_| Fault(format!("--seed {text}: write a whole number from 0, such as 7")))?,
    };
    let until = Instant::now() + Duration::from_secs_f64(seconds);
    let name = args.files.first().map_or("-", String::as_str);
    let named = |error| Fault(format!("{name}: {error}"));
    let problem = Problem::from_json(&files::read(name)?).map_err(named)?;
    let mut planner = Planner::new(&problem, seed).map_err(named)?;
    while Instant::now() < until && !planner.improve(EVALUATIONS).finished {}
    let text = serde_json::to_string(&planner.plan()).map_err(|error| Fault(error.to_string()))?;
    files::write(args.output(), &text)?;
    Ok(ExitCode::SUCCESS)
}
