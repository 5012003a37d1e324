//! `demo`: the demo scenario as a backup, on a fixed date so that it is always the same.

use std::process::ExitCode;

use rackweek::calendar::{OffsetChange, Wall, Zone};
use rackweek::demo::demo;
use rackweek::record::Backup;

use super::arguments::Arguments;
use super::{Fault, Outcome, files};

pub(crate) fn run(args: &[String]) -> Outcome {
    let args = Arguments::parse(args, "rackweek demo [-o BACKUP.json]", 0, &["-o"])?;
    let taken_at = Wall::new(2026, 11, 30, 7, 0)
        .ok_or_else(|| Fault("the demo's date is not a date".to_owned()))?;
    // Europe/London around then, by the IANA database: summer time ends on 2026-10-25 at 01:00
    // universal time and begins again on 2027-03-28 at 01:00.
    let change = |year, month, day, offset| {
        Wall::new(year, month, day, 1, 0)
            .map(|utc| OffsetChange { utc: utc.as_if_utc(), offset })
            .ok_or_else(|| Fault("the demo's zone is not a zone".to_owned()))
    };
    let zone = Zone {
        name: "Europe/London".to_owned(),
        changes: vec![change(2026, 3, 29, 60)?, change(2026, 10, 25, 0)?, change(2027, 3, 28, 60)?],
    };
    let backup = Backup::of(demo(taken_at), taken_at, zone);
    files::write(args.output(), backup.to_json().trim_end())?;
    Ok(ExitCode::SUCCESS)
}
