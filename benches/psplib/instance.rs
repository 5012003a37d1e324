//! Project scheduling instances in the text format of the PSPLIB library, single-mode (`.sm`).
//!
//! Comes in: a file's text. Goes out: the project, its critical path, and the planning problem whose objective is
//! the project's length. Knows renewable resources only, one project, one mode a job.

use rackweek::plan::{Activity, At, Link, Problem, Resource, Weights};

/// A project: jobs in the file's order, the first and the last without length.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Project {
    /// Long enough for all jobs one after the other.
    pub(crate) horizon: i32,
    pub(crate) jobs: Vec<Job>,
    /// Of each resource.
    pub(crate) capacities: Vec<i64>,
}

/// A job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Job {
    pub(crate) length: i32,
    /// Of each resource, while it runs.
    pub(crate) needs: Vec<i64>,
    /// Places in the list of jobs that start when it has ended, or later.
    pub(crate) successors: Vec<usize>,
}

/// The lines of a file with their numbers.
type Lines<'a> = std::iter::Enumerate<std::str::Lines<'a>>;

impl Project {
    /// Reads a file; the error says in which line and what was expected.
    pub(crate) fn parse(text: &str) -> Result<Self, String> {
        let mut lines = text.lines().enumerate();
        let jobs_stated = amount(find(&mut lines, "jobs (incl. supersource/sink )")?)?;
        let jobs_stated = usize::try_from(jobs_stated).map_err(|_| "a number of jobs below 0")?;
        let horizon = amount(find(&mut lines, "horizon")?)?;
        let horizon = i32::try_from(horizon).map_err(|_| "the horizon is too far")?;
        find(&mut lines, "PRECEDENCE RELATIONS")?;
        lines.next();
        let mut jobs = Vec::new();
        for _ in 0..jobs_stated {
            let (line, numbers) = numbers(&mut lines)?;
            let [number, modes, many, successors @ ..] = numbers.as_slice() else {
                return Err(format!("line {line}: expected job, modes, successors"));
            };
            let expected = i64::try_from(jobs.len() + 1).unwrap_or(i64::MAX);
            if *number != expected || *modes != 1 || usize::try_from(*many) != Ok(successors.len())
            {
                return Err(format!(
                    "line {line}: expected job {expected}, one mode, {many} successors"
                ));
            }
            let successors: Option<Vec<usize>> = successors
                .iter()
                .map(|&job| {
                    usize::try_from(job).ok()?.checked_sub(1).filter(|&at| at < jobs_stated)
                })
                .collect();
            let successors = successors.ok_or_else(|| format!("line {line}: no such successor"))?;
            jobs.push(Job { length: 0, needs: Vec::new(), successors });
        }
        find(&mut lines, "REQUESTS/DURATIONS")?;
        lines.next();
        lines.next();
        for job in &mut jobs {
            let (line, numbers) = numbers(&mut lines)?;
            let [_, _, length, needs @ ..] = numbers.as_slice() else {
                return Err(format!("line {line}: expected job, mode, duration, requests"));
            };
            job.length = i32::try_from(*length).map_err(|_| format!("line {line}: too long"))?;
            job.needs = needs.to_vec();
        }
        find(&mut lines, "RESOURCEAVAILABILITIES")?;
        lines.next();
        let (line, capacities) = numbers(&mut lines)?;
        if jobs.iter().any(|job| job.needs.len() != capacities.len()) {
            return Err(format!("line {line}: as many capacities as each job has requests"));
        }
        Ok(Self { horizon, jobs, capacities })
    }

    /// The project's length if nothing were scarce.
    pub(crate) fn critical_path(&self) -> i32 {
        let mut starts = vec![0; self.jobs.len()];
        // As often as a path can be long; a cycle would not settle, and no instance has one.
        for _ in 0..self.jobs.len() {
            let mut settled = true;
            for (at, job) in self.jobs.iter().enumerate() {
                let end = starts[at] + job.length;
                for &next in &job.successors {
                    if starts[next] < end {
                        starts[next] = end;
                        settled = false;
                    }
                }
            }
            if settled {
                break;
            }
        }
        starts.last().copied().unwrap_or(0)
    }

    /// Passive activities with what they use; the last one is due at slot 0, so that its lateness is the length.
    pub(crate) fn problem(&self, name: &str) -> Problem {
        let id = |at: usize| format!("j{}", at + 1);
        let resource = |at: usize| format!("r{}", at + 1);
        let mut problem = Problem {
            format: "makeahead-sched/2".to_owned(),
            name: name.to_owned(),
            grid_minutes: 1,
            slots_per_day: 1440,
            horizon: self.horizon.max(1),
            weights: Weights { late: 1, ..Weights::default() },
            ..Problem::default()
        };
        for (at, &capacity) in self.capacities.iter().enumerate() {
            problem.resources.push(Resource {
                id: resource(at),
                capacity,
                load_weight: 0,
                busy: Vec::new(),
            });
        }
        for (at, job) in self.jobs.iter().enumerate() {
            let last = at + 1 == self.jobs.len();
            let uses = job.needs.iter().enumerate().filter(|(_, need)| **need > 0);
            problem.activities.push(Activity {
                id: id(at),
                segments: vec![job.length],
                uses: uses.map(|(at, &need)| (resource(at), need)).collect(),
                due: last.then_some(0),
                late_weight: i64::from(last),
                ..Activity::default()
            });
            for &next in &job.successors {
                problem.links.push(Link {
                    id: format!("{}>{}", id(at), id(next)),
                    from: id(at),
                    from_at: At::E,
                    to: id(next),
                    to_at: At::S,
                    min: 0,
                    max: None,
                    store: Vec::new(),
                    age_weight: 0,
                    modes: Vec::new(),
                });
            }
        }
        problem
    }
}

/// Goes on to the line that begins so.
fn find<'a>(lines: &mut Lines<'a>, beginning: &str) -> Result<&'a str, String> {
    lines
        .by_ref()
        .map(|(_, line)| line)
        .find(|line| line.trim_start().starts_with(beginning))
        .ok_or_else(|| format!("no line begins with `{beginning}`"))
}

/// The number after the colon.
fn amount(line: &str) -> Result<i64, String> {
    line.split(':')
        .nth(1)
        .and_then(|text| text.split_whitespace().next()?.parse().ok())
        .ok_or_else(|| format!("no number after the colon in `{line}`"))
}

/// The next line, all of numbers, and which line it is.
fn numbers(lines: &mut Lines<'_>) -> Result<(usize, Vec<i64>), String> {
    let (at, line) = lines.next().ok_or("the file ends too early")?;
    let numbers: Result<_, _> = line.split_whitespace().map(str::parse).collect();
    let numbers =
        numbers.map_err(|_| format!("line {}: expected numbers, not `{line}`", at + 1))?;
    Ok((at + 1, numbers))
}
