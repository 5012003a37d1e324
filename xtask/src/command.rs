//! Other programs: how they are started and what is said when they fail.

use std::{
    io::{BufRead as _, BufReader},
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use anyhow::{Context as _, Result, anyhow, bail};

/// The repository's root.
pub(crate) fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().unwrap_or(here).to_path_buf()
}

/// A program that will run at the repository's root, without anything to read.
pub(crate) fn program(name: &str, arguments: &[&str]) -> Command {
    let mut command = Command::new(name);
    command.args(arguments).current_dir(root()).stdin(Stdio::null());
    command
}

/// The cargo that started this program, or the one on the path.
pub(crate) fn cargo(arguments: &[&str]) -> Command {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    program(&cargo, arguments)
}

/// Runs a program to its end, its words going straight to the terminal.
pub(crate) fn run(command: &mut Command) -> Result<()> {
    let line = line_of(command);
    println!("$ {line}");
    let status = command.status().with_context(|| format!("cannot start `{line}`"))?;
    if !status.success() {
        bail!("`{line}` failed ({status})");
    }
    Ok(())
}

/// Runs a program to its end and gives back what it wrote.
pub(crate) fn output(command: &mut Command) -> Result<String> {
    let line = line_of(command);
    let output = command
        .stderr(Stdio::inherit())
        .output()
        .with_context(|| format!("cannot start `{line}`"))?;
    if !output.status.success() {
        bail!("`{line}` failed ({})", output.status);
    }
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}

fn line_of(command: &Command) -> String {
    let program = Path::new(command.get_program());
    let mut line =
        program.file_name().unwrap_or(program.as_os_str()).to_string_lossy().into_owned();
    for argument in command.get_args() {
        line.push(' ');
        line.push_str(&argument.to_string_lossy());
    }
    line
}

/// Runs a program to its end, passing on what it writes and keeping a copy; gives how it ended and the copy.
pub(crate) fn run_and_listen(command: &mut Command) -> Result<(Result<()>, String)> {
    let line = line_of(command);
    println!("$ {line}");
    let mut child =
        command.stdout(Stdio::piped()).spawn().with_context(|| format!("cannot start `{line}`"))?;
    let mut copy = String::new();
    if let Some(stdout) = child.stdout.take() {
        for text in BufReader::new(stdout).lines() {
            let text = text?;
            println!("{text}");
            copy.push_str(&text);
            copy.push('\n');
        }
    }
    let status = child.wait()?;
    let ended = if status.success() { Ok(()) } else { Err(anyhow!("`{line}` failed ({status})")) };
    Ok((ended, copy))
}
