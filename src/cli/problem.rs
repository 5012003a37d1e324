//! `problem BACKUP`: what the app would plan for these records, at the moment of the backup.

use std::process::ExitCode;

use rackweek::record::{Backup, Outlook, PlanInput};

use super::arguments::Arguments;
use super::{Fault, Outcome, files};

pub(crate) fn run(args: &[String]) -> Outcome {
    let args =
        Arguments::parse(args, "rackweek problem BACKUP.json [-o PROBLEM.json]", 1, &["-o"])?;
    let name = args.files.first().map_or("-", String::as_str);
    let backup = Backup::from_json(&files::read(name)?)
        .map_err(|error| Fault(format!("{name}: {error}")))?;
    let input = PlanInput { now: backup.taken_at, zone: backup.zone };
    let outlook = Outlook::of(&backup.book, &input).ok_or_else(|| {
        Fault(format!("{name}: needs a kitchen and the baker's time; add both, then back up again"))
    })?;
    let text = serde_json::to_string(&outlook.assembled.problem)
        .map_err(|error| Fault(error.to_string()))?;
    files::write(args.output(), &text)?;
    Ok(ExitCode::SUCCESS)
}
