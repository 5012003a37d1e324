//! The command line: the neutral files of the planning problem, in and out.

use std::process::ExitCode;

/// Runs one command; `args` without the program's own name.
pub(crate) fn run(args: Vec<String>) -> ExitCode {
    let _ = args;
    ExitCode::from(2)
}
