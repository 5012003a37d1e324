//! Our planner beside an outside solver at equal processor time, problem by problem.
//!
//! `cargo bench --bench compare -- [--tools FOLDER] [--python PYTHON] [--seconds 1,5,20] [--set small,middle,large,huge]
//! [--eight] [--only PART] [--ours] [FILE.json ...]`. The outside solver (CP-SAT of OR-tools) and the generator of
//! the problems are no part of this repository: FOLDER holds `solve_reference.py` and `generate_problems.py`, PYTHON
//! is one that has OR-tools; the environment's `RACKWEEK_REFERENCE` and `RACKWEEK_PYTHON` say the same. Without
//! them, or with `--ours`, our planner alone plans, without them the stored problems of `tests/data/problems`.
//! `--eight` compares also with eight workers at 60 processor seconds. Answers of the outside solver are kept in
//! `target/compare`, so that asking again costs nothing.
#![expect(clippy::print_stdout, reason = "a benchmark reports on the standard output")]

#[cfg(not(target_arch = "wasm32"))]
mod ours;
#[cfg(not(target_arch = "wasm32"))]
mod problems;
#[cfg(not(target_arch = "wasm32"))]
mod reference;
#[cfg(not(target_arch = "wasm32"))]
mod targets;

#[cfg(target_arch = "wasm32")]
fn main() {}

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    if let Err(problem) = native::run() {
        println!("error: {problem}");
        std::process::exit(1);
    }
}

#[cfg(not(target_arch = "wasm32"))]
mod native {
    use std::path::{Path, PathBuf};

    use rackweek::plan::Status;

    use crate::ours::{self, Standing};
    use crate::problems::{self, Entry};
    use crate::reference::{Answer, Reference};
    use crate::targets::{self, Row, deviation};

    /// Processor seconds that eight workers get together.
    pub(crate) const EIGHT: f64 = 60.0;

    #[derive(Default)]
    struct Wishes {
        tools: Option<PathBuf>,
        python: String,
        seconds: Vec<f64>,
        sets: Vec<String>,
        only: Option<String>,
        files: Vec<PathBuf>,
        eight: bool,
        ours_alone: bool,
    }

    fn wishes() -> Result<Wishes, String> {
        let environment = |name| std::env::var(name).ok();
        let mut wishes = Wishes {
            tools: environment("RACKWEEK_REFERENCE").map(PathBuf::from),
            python: environment("RACKWEEK_PYTHON").unwrap_or_else(|| "python3".to_owned()),
            seconds: vec![1.0, 5.0, 20.0],
            ..Wishes::default()
        };
        let mut arguments = std::env::args().skip(1);
        while let Some(argument) = arguments.next() {
            let mut value =
                || arguments.next().ok_or_else(|| format!("{argument} needs something after it"));
            match argument.as_str() {
                "--tools" => wishes.tools = Some(PathBuf::from(value()?)),
                "--python" => wishes.python = value()?,
                "--only" => wishes.only = Some(value()?),
                "--set" => wishes.sets = value()?.split(',').map(str::to_owned).collect(),
                "--seconds" => {
                    let numbers: Result<_, _> = value()?.split(',').map(str::parse).collect();
                    wishes.seconds = numbers.map_err(|error| format!("--seconds: {error}"))?;
                }
                "--eight" => wishes.eight = true,
                "--ours" => wishes.ours_alone = true,
                // Cargo says this to every benchmark.
                "--bench" => {}
                file if !file.starts_with("--") => wishes.files.push(PathBuf::from(file)),
                other => return Err(format!("unknown argument {other}; see the head of the file")),
            }
        }
        wishes.seconds.sort_by(f64::total_cmp);
        if wishes.seconds.is_empty() {
            return Err("--seconds needs at least one number, for example 1,5,20".to_owned());
        }
        Ok(wishes)
    }

    pub(crate) fn run() -> Result<(), String> {
        let wishes = wishes()?;
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        let kept = root.join("target/compare");
        let mut entries = if !wishes.files.is_empty() {
            let read: Result<Vec<Entry>, String> =
                wishes.files.iter().map(|file| problems::read(file)).collect();
            read?
        } else if let Some(tools) = &wishes.tools {
            problems::generated(&wishes.python, tools, &kept.join("problems"), &wishes.sets)?
        } else {
            problems::stored(&root.join("tests/data/problems"))?
        };
        if let Some(part) = &wishes.only {
            entries.retain(|entry| entry.problem.name.contains(part));
        }
        let reference = wishes.tools.clone().filter(|_| !wishes.ours_alone).map(|tools| {
            Reference { python: wishes.python.clone(), tools, cache: kept.join("answers") }
        });
        if reference.is_none() {
            println!("No outside solver: ours alone. --tools FOLDER --python PYTHON name one.");
        }
        // Ours is also looked at after two seconds, for proofs, and after ten, against eight workers.
        let mut marks = wishes.seconds.clone();
        marks.extend(wishes.eight.then_some(10.0));
        marks.push(2.0_f64.min(wishes.seconds.last().copied().unwrap_or(2.0)));
        marks.sort_by(f64::total_cmp);
        marks.dedup();
        head(&wishes.seconds, reference.is_some());
        let mut rows = Vec::new();
        for entry in &entries {
            let row = row(entry, &wishes, &marks, reference.as_ref())?;
            line(&row, &wishes.seconds);
            rows.push(row);
        }
        targets::print(&rows, &wishes.seconds);
        Ok(())
    }

    fn row(
        entry: &Entry,
        wishes: &Wishes,
        marks: &[f64],
        reference: Option<&Reference>,
    ) -> Result<Row, String> {
        // One answer serves shorter marks too.
        let most = wishes.seconds.last().copied().unwrap_or_default().max(20.0);
        let one = reference.map(|asked| asked.answer(&entry.file, 1, most)).transpose()?;
        let eight = reference
            .filter(|_| wishes.eight)
            .map(|asked| asked.answer(&entry.file, 8, EIGHT))
            .transpose()?;
        let run = ours::run(&entry.problem, marks);
        let at = marks.iter().copied().zip(run.standings.iter().copied()).collect();
        Ok(Row {
            name: entry.problem.name.clone(),
            activities: entry.problem.activities.len(),
            at,
            run,
            one,
            eight,
        })
    }

    fn head(seconds: &[f64], compared: bool) {
        print!(
            "{:<18} {:>4} {:>8} {:>8} {:>7}",
            "problem", "acts", "sound ms", "eval/s", "proof s"
        );
        for mark in seconds {
            print!(" | {:<9} {:>8} {:>5}", format!("ours {mark} s"), "bound", "");
            if compared {
                print!(" {:>8} {:>8} {:>5} {:>7}", "CP-SAT", "bound", "s", "dev %");
            }
        }
        println!();
    }

    fn line(row: &Row, seconds: &[f64]) {
        let text = |number: Option<i64>| number.map_or_else(|| "-".to_owned(), |n| n.to_string());
        let decimals = |number: Option<f64>, places: usize| {
            number.map_or_else(|| "-".to_owned(), |n| format!("{n:.places$}"))
        };
        print!(
            "{:<18} {:>4} {:>8} {:>8.0} {:>7}",
            row.name,
            row.activities,
            decimals(row.run.sound.map(|s| s * 1e3), 1),
            row.run.rate,
            decimals(row.run.proven, 2)
        );
        for &mark in seconds {
            let Standing { objective, bound, status } = row.standing(mark);
            let word = match status {
                Status::Optimal => "opt",
                Status::Feasible => "feas",
                Status::Infeasible => "inf",
                Status::Unknown => "?",
            };
            print!(" | {:>9} {bound:>8} {word:>5}", text(objective));
            if let Some(one) = &row.one {
                print!(" {}", theirs(one, mark));
                print!(" {:>7}", decimals(deviation(objective, one.objective(mark)), 2));
            }
        }
        if let Some(eight) = &row.eight {
            print!(" | eight {}", theirs(eight, EIGHT));
            let objective = row.standing(10.0).objective;
            print!(" {:>7}", decimals(deviation(objective, eight.objective(EIGHT)), 2));
        }
        println!();
    }

    fn theirs(answer: &Answer, mark: f64) -> String {
        let text = |number: Option<i64>| number.map_or_else(|| "-".to_owned(), |n| n.to_string());
        let closed = if answer.infeasible() && answer.seconds <= mark {
            "inf".to_owned()
        } else {
            answer.optimum(mark).map_or_else(String::new, |_| format!("{:.1}", answer.seconds))
        };
        let (objective, bound) = (text(answer.objective(mark)), text(answer.bound(mark)));
        format!("{objective:>8} {bound:>8} {closed:>5}")
    }
}
