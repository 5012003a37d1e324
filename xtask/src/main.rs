#![expect(clippy::print_stdout, clippy::print_stderr, reason = "a command-line tool speaks there")]
//! `cargo xtask`: builds, serves, measures and tests Rackweek.
//!
//! Comes in: a command. Goes out: the finished folder `dist/`, a server on this machine, a verdict.
//! It knows the files of the repository and the tools of the machine, and nothing of baking or planning.

mod build;
mod command;
mod machine;
mod serve;
mod size;
mod test;

use std::{ffi::OsString, path::PathBuf, process::ExitCode};

use clap::{Parser, Subcommand};

/// Builds, serves and tests Rackweek
#[derive(Parser)]
#[command(name = "cargo xtask", disable_help_subcommand = true)]
struct Arguments {
    #[command(subcommand)]
    task: Task,
}

#[derive(Subcommand)]
enum Task {
    /// Build the app into dist/
    Build {
        /// Compile quickly rather than small
        #[arg(long)]
        dev: bool,
    },
    /// Build the app and serve it on this machine
    Serve {
        /// Compile quickly rather than small
        #[arg(long)]
        dev: bool,
        /// The port to listen on; 0 takes a free one
        #[arg(long, default_value_t = 8080)]
        port: u16,
        /// Serve under this path, as some hosts do, for example /rackweek/
        #[arg(long, default_value = "/")]
        under: String,
        /// Serve this folder as it is, without building
        #[arg(long, value_name = "FOLDER")]
        folder: Option<PathBuf>,
    },
    /// Build for release and print the bytes against their budgets
    Size,
    /// Run every check, or only those named
    Test {
        /// Names of checks, for example `native` or `e2e`; none means all
        checks: Vec<String>,
    },
    /// Run one compiled test file in a browser; cargo calls this
    #[command(hide = true)]
    TestRunner {
        #[arg(trailing_var_arg = true, allow_hyphen_values = true)]
        arguments: Vec<OsString>,
    },
}

fn main() -> ExitCode {
    let done = match Arguments::parse().task {
        Task::Build { dev } => build::build(build::Profile::chosen(dev)).map(|finished| {
            println!("{finished}");
        }),
        Task::Serve { dev, port, under, folder } => serve::run(dev, port, &under, folder),
        Task::Size => build::build(build::Profile::Release).and_then(|_| size::report().map(drop)),
        Task::Test { checks } => test::run(&checks),
        Task::TestRunner { arguments } => test::run_in_browser(arguments),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(problem) => {
            eprintln!("error: {problem:#}");
            ExitCode::FAILURE
        }
    }
}
