//! The field's standard sets beside published values: PSPLIB J30 and J60, project length.
//!
//! `cargo bench --bench psplib -- FOLDER-OR-ARCHIVE [--all] [--set j30] [--schedules 1000,5000,50000]`. The data belong to
//! their owners and are no part of this repository. FOLDER holds `j30.sm/`, `j60.sm/`, `j30_best.csv` and
//! `j60_best.csv` (instance, best known upper bound, …); an archive (`.tar.gz`) holds the `.sm` folders, has the `.csv` beside it and
//! is unpacked into `target/psplib`. Without `--all` every tenth instance is taken: one of each setting.
//!
//! One schedule is one evaluation of the planner: a first construction, or one neighbourhood taken off
//! and placed anew with bounded backtracking. The survey counts a schedule when each activity has got a start once; a
//! neighbourhood here places only a part of them anew, but may try several starts for each.
#![expect(clippy::print_stdout, reason = "a benchmark reports on the standard output")]

#[cfg(not(target_arch = "wasm32"))]
mod instance;

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
    use std::collections::BTreeMap;
    use std::path::{Path, PathBuf};

    use cpu_time::ThreadTime;
    use rackweek::plan::Planner;
    use rackweek::plan::check::check;

    use crate::instance::Project;

    /// Average deviations in per cent at 1,000, 5,000 and 50,000 schedules: the best of the survey by Kolisch and
    /// Hartmann, European Journal of Operational Research 174 (2006), 23–37, and of later work. From memory.
    const PUBLISHED: [(&str, [f64; 3]); 2] =
        [("j30", [0.10, 0.04, 0.00]), ("j60", [11.3, 10.95, 10.7])];

    pub(crate) fn run() -> Result<(), String> {
        let (mut source, mut all) = (None, false);
        let (mut wanted, mut marks) = (None, vec![1_000_u64, 5_000, 50_000]);
        let mut arguments = std::env::args().skip(1);
        while let Some(argument) = arguments.next() {
            match argument.as_str() {
                "--all" => all = true,
                "--set" => wanted = arguments.next(),
                "--schedules" => {
                    let list = arguments.next().unwrap_or_default();
                    let numbers: Result<_, _> = list.split(',').map(str::parse).collect();
                    marks = numbers.map_err(|error| format!("--schedules: {error}"))?;
                }
                "--bench" => {}
                path => source = Some(PathBuf::from(path)),
            }
        }
        let Some(source) = source else {
            println!(
                "No instances: name the folder or archive of PSPLIB J30 and J60 after `--`. Nothing was measured."
            );
            return Ok(());
        };
        let (folder, tables) = unpacked(&source)?;
        for (set, published) in PUBLISHED {
            if wanted.as_ref().is_none_or(|wanted| wanted == set) {
                measure(&folder, &tables, set, all, &marks)?;
                if marks == [1_000, 5_000, 50_000] {
                    let values = published.map(|value| format!("{value:>12.2} %")).join("");
                    println!("{:<24}{values}", "published (from memory)");
                }
            }
        }
        Ok(())
    }

    /// Where the instances are, and where the tables of best known lengths.
    fn unpacked(source: &Path) -> Result<(PathBuf, PathBuf), String> {
        if source.is_dir() {
            return Ok((source.to_path_buf(), source.to_path_buf()));
        }
        let target = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/psplib");
        std::fs::create_dir_all(&target).map_err(|error| error.to_string())?;
        let mut unpack = std::process::Command::new("tar");
        unpack.arg("-xzf").arg(source).arg("-C").arg(&target);
        let done = unpack.status().map_err(|error| format!("tar: {error}"))?;
        if !done.success() {
            return Err(format!("{} cannot be unpacked", source.display()));
        }
        let beside = source.parent().unwrap_or(Path::new(".")).to_path_buf();
        Ok((target, beside))
    }

    fn measure(
        folder: &Path,
        tables: &Path,
        set: &str,
        all: bool,
        marks: &[u64],
    ) -> Result<(), String> {
        let best = best_known(&tables.join(format!("{set}_best.csv")))?;
        let from_optimum = set == "j30";
        let clock = ThreadTime::now();
        let (mut sums, mut met) = (vec![0.0; marks.len()], vec![0; marks.len()]);
        let (mut taken, mut evaluations, mut best_sum) = (0, 0, 0.0);
        for (name, &length) in &best {
            // Names end in the repetition: one of ten for each setting.
            if !all && !name.ends_with("_1") {
                continue;
            }
            let file = folder.join(format!("{set}.sm/{name}.sm"));
            let text = std::fs::read_to_string(&file)
                .map_err(|error| format!("{}: {error}", file.display()))?;
            let project =
                Project::parse(&text).map_err(|error| format!("{}: {error}", file.display()))?;
            let reference = if from_optimum { length } else { i64::from(project.critical_path()) };
            best_sum += percent_above(length, reference);
            let problem = project.problem(name);
            let mut planner = Planner::new(&problem, 1).map_err(|error| error.to_string())?;
            for (at, &mark) in marks.iter().enumerate() {
                let spent = planner.improve(0).evaluations;
                let progress = planner.improve(mark.saturating_sub(spent));
                let cost = progress.objective.ok_or_else(|| format!("{name}: no plan"))?;
                sums[at] += percent_above(cost, reference);
                met[at] += usize::from(cost <= length);
            }
            let plan = planner.plan();
            let report = check(&problem, &plan);
            assert!(report.breaches.is_empty(), "{name}: {:?}", report.breaches);
            assert!(!from_optimum || report.parts.total >= length, "{name}: below the optimum");
            evaluations += planner.improve(0).evaluations;
            taken += 1;
        }
        let seconds = clock.elapsed().as_secs_f64();
        let against = if from_optimum { "the optimum" } else { "the critical path" };
        println!("{set}: {taken} instances, average deviation from {against}");
        let heads: Vec<String> = marks.iter().map(|mark| format!("{mark:>14}")).collect();
        println!("{:<24}{}", "schedules", heads.concat());
        let shares: Vec<String> =
            sums.iter().map(|sum| format!("{:>12.2} %", sum / f64::from(taken.max(1)))).collect();
        println!("{:<24}{}", "ours", shares.concat());
        let counts: Vec<String> = met.iter().map(|count| format!("{count:>14}")).collect();
        println!("{:<24}{}", "as good as best known", counts.concat());
        println!("{:<24}{:>12.2} %", "best known of these", best_sum / f64::from(taken.max(1)));
        let rate = evaluations / 1_000;
        println!("{:<24}{seconds:>12.1} s, {rate} thousand schedules", "processor time");
        Ok(())
    }

    #[expect(clippy::cast_precision_loss, reason = "a share for people")]
    fn percent_above(cost: i64, reference: i64) -> f64 {
        (cost - reference) as f64 * 100.0 / reference.max(1) as f64
    }

    /// Best known upper bounds by instance.
    fn best_known(table: &Path) -> Result<BTreeMap<String, i64>, String> {
        let text = std::fs::read_to_string(table)
            .map_err(|error| format!("{}: {error}", table.display()))?;
        text.lines()
            .skip(1)
            .filter(|line| !line.trim().is_empty())
            .map(|line| {
                let mut fields = line.split(',');
                let name = fields.next().unwrap_or_default().to_owned();
                let length = fields.next().and_then(|field| field.trim().parse().ok());
                length.map(|length| (name, length)).ok_or_else(|| format!("not a number: {line}"))
            })
            .collect()
    }
}
