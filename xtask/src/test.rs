//! Every check in one go, in the order in which a fault is cheapest to find.

use std::{ffi::OsString, fs, path::PathBuf, time::Instant};

use anyhow::{Context as _, Result, bail, ensure};

use crate::{build, command, machine, size};

struct Check {
    name: &'static str,
    what: &'static str,
    /// Runs the check and gives a closing line, which may be empty.
    run: fn() -> Result<String>,
}

const CHECKS: [Check; 10] = [
    Check { name: "format", what: "sources are formatted", run: format },
    Check { name: "walls", what: "the domain knows no browser", run: walls },
    Check { name: "lint", what: "no warning, natively", run: lint },
    Check { name: "lint-wasm", what: "no warning, for the browser", run: lint_wasm },
    Check { name: "native", what: "domain and command line", run: native },
    Check { name: "tools", what: "these tools themselves", run: tools },
    Check { name: "docs", what: "documentation without broken links", run: docs },
    Check { name: "browser", what: "the app's parts in Chromium", run: browser },
    Check { name: "size", what: "the finished folder within its budgets", run: sized_build },
    Check { name: "e2e", what: "the finished app in Chromium", run: end_to_end },
];

/// Runs all checks, or those named, and prints one summary. Later checks run although earlier ones fail.
pub(crate) fn run(names: &[String]) -> Result<()> {
    for name in names {
        if !CHECKS.iter().any(|check| check.name == name) {
            let known = CHECKS.map(|check| check.name).join(", ");
            bail!("no check is called `{name}`; there are: {known}");
        }
    }
    let chosen = CHECKS.iter().filter(|c| names.is_empty() || names.iter().any(|n| n == c.name));
    let begun = Instant::now();
    let (mut lines, mut failed) = (Vec::new(), Vec::new());
    for check in chosen {
        println!("\n== {}: {}", check.name, check.what);
        let started = Instant::now();
        let outcome = (check.run)();
        let seconds = started.elapsed().as_secs_f64();
        let (mark, closing) = match outcome {
            Ok(closing) => ("ok", closing),
            Err(problem) => {
                failed.push(check.name);
                ("FAILED", format!("{problem:#}"))
            }
        };
        println!("{mark}: {closing}");
        lines.push(format!("{mark:>6}  {:<9} {seconds:>6.1} s  {closing}", check.name));
    }
    println!("\n== summary after {:.0} s", begun.elapsed().as_secs_f64());
    for line in lines {
        println!("{line}");
    }
    if !failed.is_empty() {
        bail!("failed: {}", failed.join(", "));
    }
    println!("all {} checks passed", if names.is_empty() { CHECKS.len() } else { names.len() });
    Ok(())
}

/// Runs one compiled test file in headless Chromium; cargo calls this through `.cargo/config.toml`.
pub(crate) fn run_in_browser(arguments: Vec<OsString>) -> Result<()> {
    let mut all = vec![OsString::from("wasm-bindgen-test-runner")];
    all.extend(arguments);
    wasm_bindgen_cli::wasm_bindgen_test_runner::run_cli_with_args(all)
}

fn format() -> Result<String> {
    command::run(&mut command::cargo(&["fmt", "--all", "--check"]))?;
    Ok(String::new())
}

/// The library must build without a web crate anywhere below it, on a machine that is no browser.
fn walls() -> Result<String> {
    let version = command::output(&mut command::program("rustc", &["-vV"]))?;
    let host = version
        .lines()
        .find_map(|line| line.strip_prefix("host: "))
        .context("rustc names no host")?;
    let tree = command::output(&mut command::cargo(&[
        "tree",
        "--package=rackweek",
        "--edges=normal",
        "--prefix=none",
        "--target",
        host,
    ]))?;
    let crates: Vec<&str> = tree.lines().filter_map(|line| line.split(' ').next()).collect();
    let forbidden = ["wasm-bindgen", "js-sys", "web-sys", "leptos", "gloo-storage", "gloo-utils"];
    let found: Vec<&&str> =
        crates.iter().filter(|name| forbidden.iter().any(|f| name.starts_with(f))).collect();
    ensure!(crates.contains(&"serde"), "cargo tree names no serde, so it was misread");
    ensure!(found.is_empty(), "the domain reaches web crates: {found:?}");
    Ok(format!("{} crates below the domain, none of the web", crates.len()))
}

fn lint() -> Result<String> {
    command::run(&mut command::cargo(&[
        "clippy",
        "--workspace",
        "--all-targets",
        "--quiet",
        "--",
        "-Dwarnings",
    ]))?;
    Ok(String::new())
}

fn lint_wasm() -> Result<String> {
    machine::ensure_wasm_target()?;
    command::run(&mut command::cargo(&[
        "clippy",
        "--lib",
        "--bin=rackweek",
        "--test=browser",
        "--quiet",
        "--target",
        machine::WASM,
        "--",
        "-Dwarnings",
    ]))?;
    Ok(String::new())
}

fn native() -> Result<String> {
    run_counted(&mut command::cargo(&["test", "--package=rackweek", "--package=rackweek-plan"]))
}

fn tools() -> Result<String> {
    run_counted(&mut command::cargo(&["test", "--package=xtask"]))
}

fn docs() -> Result<String> {
    let packages = ["--package=rackweek", "--package=rackweek-plan"];
    let mut doc =
        command::cargo(&["doc", "--no-deps", packages[0], packages[1], "--lib", "--quiet"]);
    command::run(doc.env("RUSTDOCFLAGS", "-Dwarnings"))?;
    Ok(String::new())
}

fn browser() -> Result<String> {
    machine::ensure_wasm_target()?;
    machine::ensure_browser()?;
    let digest = native_digest()?;
    let mut test =
        command::cargo(&["test", "--target", machine::WASM, "--bin=rackweek", "--test=browser"]);
    let runner = format!("{} test-runner", std::env::current_exe()?.display());
    test.env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER", runner)
        .env("RACKWEEK_NATIVE_PLAN", digest);
    run_counted(&mut test)
}

/// What the native run of `tests/browser.rs` came to, for the browser's run to compare with.
fn native_digest() -> Result<String> {
    let printed = command::output(&mut command::cargo(&[
        "test",
        "--quiet",
        "--package=rackweek",
        "--test=browser",
        "--",
        "--nocapture",
    ]))?;
    let mut words = printed.split_whitespace().skip_while(|word| *word != "native").skip(2);
    words.next().map(str::to_owned).context("the native run printed no digest")
}

fn sized_build() -> Result<String> {
    println!("{}", build::build(build::Profile::Release)?);
    size::report()
}

fn end_to_end() -> Result<String> {
    let browser = machine::ensure_browser()?;
    machine::ensure_node_packages()?;
    let folder = build::finished_folder();
    if !folder.join("index.html").is_file() {
        build::build(build::Profile::Release)?;
    }
    let mut test = command::program("node", &["--test", "--test-reporter=spec"]);
    // One file after the other: two browsers on two cores make each other late. The files are named
    // because what a bare folder means differs between versions of node.
    test.arg("--test-concurrency=1").args(end_to_end_files()?);
    test.env("RACKWEEK_BROWSER", browser)
        .env("RACKWEEK_XTASK", std::env::current_exe()?)
        .env("RACKWEEK_FOLDER", folder);
    run_counted(&mut test)
}

fn end_to_end_files() -> Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in fs::read_dir(command::root().join("tests/e2e"))? {
        let path = entry?.path();
        if path.to_string_lossy().ends_with(".test.mjs") {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

/// Runs a test runner, passing on what it writes, and gathers its own closing counts.
fn run_counted(command: &mut std::process::Command) -> Result<String> {
    let (ended, text) = command::run_and_listen(command)?;
    let mut passed = 0;
    let mut failed = 0;
    let mut ignored = 0;
    for line in text.lines() {
        let line = line.trim();
        // libtest and its browser twin: `test result: ok. 12 passed; 0 failed; 1 ignored; …`
        if let Some(counts) = line.strip_prefix("test result: ") {
            for part in counts.split([';', '.']) {
                match part.trim().split_once(' ') {
                    Some((count, "passed")) => passed += count.parse().unwrap_or(0),
                    Some((count, "failed")) => failed += count.parse().unwrap_or(0),
                    Some((count, "ignored")) => ignored += count.parse().unwrap_or(0),
                    _ => {}
                }
            }
        }
        // node's runner: `ℹ pass 12`
        match line.trim_start_matches(|c: char| !c.is_ascii_alphabetic()).split_once(' ') {
            Some(("pass", count)) => passed += count.parse().unwrap_or(0),
            Some(("fail", count)) => failed += count.parse().unwrap_or(0),
            Some(("skipped", count)) => ignored += count.parse().unwrap_or(0),
            _ => {}
        }
    }
    let counts = format!("{passed} passed, {failed} failed, {ignored} ignored");
    ended.with_context(|| counts.clone())?;
    ensure!(failed == 0, "{counts}");
    ensure!(passed > 0, "no test ran");
    Ok(counts)
}
