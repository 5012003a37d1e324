//! `pack PACK`: whether boxes stand on shelves, and how. Exit 0 answered, 1 not proven.

use std::process::ExitCode;

use rackweek::kitchen::packing::{Answer, NODE_LIMIT, PackAnswer, PackProblem, pack, verify};

use super::arguments::Arguments;
use super::{Fault, Outcome, files};

const USAGE: &str = "rackweek pack PACK.json [--nodes N] [-o PLACED.json]";

pub(crate) fn run(args: &[String]) -> Outcome {
    let args = Arguments::parse(args, USAGE, 1, &["--nodes", "-o"])?;
    let nodes = match args.option("--nodes") {
        None => NODE_LIMIT,
        Some(text) => text.parse::<u64>().map_err(|_| {
            Fault(format!("--nodes {text}: write a whole number from 0, such as {NODE_LIMIT}"))
        })?,
    };
    let name = args.files.first().map_or("-", String::as_str);
    let problem = PackProblem::from_json(&files::read(name)?)
        .map_err(|refusal| Fault(format!("{name}: {refusal}")))?;
    let answer = pack(&problem, nodes);
    if let Answer::Fits(placed) = &answer
        && let Some(breach) = verify(&problem, placed).first()
    {
        return Err(Fault(format!(
            "{name}: the packing found is unsound, this is our fault: {breach}"
        )));
    }
    let proven = !matches!(answer, Answer::NotProven { .. });
    let text = serde_json::to_string(&PackAnswer::from(answer))
        .map_err(|error| Fault(error.to_string()))?;
    files::write(args.output(), &text)?;
    Ok(if proven { ExitCode::SUCCESS } else { ExitCode::from(1) })
}
