//! The command line: the neutral files of the planning problem, in and out.
//!
//! In: arguments and files. Out: files, one line for a fault, and an exit code: 0 done or sound,
//! 1 breaches listed, 2 a bad file or argument. The only room that reads the clock of the machine.

mod arguments;
mod check;
mod demo;
mod files;
mod pack;
mod plan;
mod problem;

use std::process::ExitCode;

/// What went wrong, as one line.
pub(crate) struct Fault(pub(crate) String);

/// Of a command that ran: its exit code, or the line to print before exit 2.
pub(crate) type Outcome = Result<ExitCode, Fault>;

const USAGE: &str = "usage: rackweek plan PROBLEM.json [--seconds S] [--seed N] [-o PLAN.json] \
| check PROBLEM.json PLAN.json | pack PACK.json [--nodes N] [-o PLACED.json] | problem BACKUP.json [-o PROBLEM.json] | demo [-o BACKUP.json]";

/// Runs one command; `args` without the program's own name.
#[expect(clippy::print_stderr, reason = "a fault is told on the standard error stream")]
pub(crate) fn run(args: Vec<String>) -> ExitCode {
    let outcome = match args.split_first() {
        Some((command, rest)) => match command.as_str() {
            "plan" => plan::run(rest),
            "check" => check::run(rest),
            "pack" => pack::run(rest),
            "problem" => problem::run(rest),
            "demo" => demo::run(rest),
            other => Err(Fault(format!("unknown command {other:?}; {USAGE}"))),
        },
        None => Err(Fault(USAGE.to_owned())),
    };
    match outcome {
        Ok(code) => code,
        Err(Fault(line)) => {
            eprintln!("{line}");
            ExitCode::from(2)
        }
    }
}
