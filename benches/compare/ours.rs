//! Our planner on the processor's clock: what it has at each mark.

use std::time::Duration;

use cpu_time::ThreadTime;
use rackweek::plan::check::check;
use rackweek::plan::{Planner, Problem, Status};

/// What is known at a mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Standing {
    /// Of the best sound plan.
    pub(crate) objective: Option<i64>,
    /// No sound plan costs less.
    pub(crate) bound: i64,
    /// Optimal, feasible, infeasible or unknown.
    pub(crate) status: Status,
}

/// One run.
pub(crate) struct Run {
    /// One for each mark.
    pub(crate) standings: Vec<Standing>,
    /// Processor seconds to the first sound plan.
    pub(crate) sound: Option<f64>,
    /// Processor seconds to the proof of optimality or infeasibility.
    pub(crate) proven: Option<f64>,
    /// Schedules a second.
    pub(crate) rate: f64,
}

/// A clock that stands while something is looked at that is no part of planning.
struct Watch {
    spent: Duration,
    since: ThreadTime,
}

impl Watch {
    fn seconds(&self) -> f64 {
        (self.spent + self.since.elapsed()).as_secs_f64()
    }

    fn aside<T>(&mut self, look: impl FnOnce() -> T) -> T {
        self.spent += self.since.elapsed();
        let seen = look();
        self.since = ThreadTime::now();
        seen
    }
}

/// Plans up to the last of `marks` (processor seconds, rising), reading the file's text not counted.
pub(crate) fn run(problem: &Problem, marks: &[f64]) -> Run {
    let mut watch = Watch { spent: Duration::ZERO, since: ThreadTime::now() };
    let mut planner = Planner::new(problem, 1).expect("a checked problem");
    let mut progress = planner.improve(0);
    let mut run = Run {
        standings: Vec::new(),
        sound: progress.objective.map(|_| watch.seconds()),
        proven: None,
        rate: 0.0,
    };
    let stand = |planner: &Planner| {
        let plan = planner.plan();
        let report = check(problem, &plan);
        let sound = plan.objective.is_some();
        assert_eq!(sound, report.breaches.is_empty(), "{}: {:?}", problem.name, report.breaches);
        assert!(!sound || plan.objective == Some(report.parts.total), "{}", problem.name);
        (plan.objective, plan.status)
    };
    // A proof of infeasibility comes before the planner has finished: the least bad plan is looked for.
    if progress.objective.is_none() {
        let status = watch.aside(|| stand(&planner).1);
        if status == Status::Infeasible {
            run.proven = Some(watch.seconds());
        }
    }
    for &mark in marks {
        while !progress.finished && watch.seconds() < mark {
            progress = planner.improve(20);
            if run.sound.is_none() && progress.objective.is_some() {
                run.sound = Some(watch.seconds());
            }
            if progress.finished && run.proven.is_none() {
                run.proven = Some(watch.seconds());
            }
        }
        let (objective, status) = watch.aside(|| stand(&planner));
        if status == Status::Infeasible && run.proven.is_none() {
            run.proven = Some(watch.seconds());
        }
        run.standings.push(Standing { objective, bound: progress.bound, status });
    }
    #[expect(clippy::cast_precision_loss, reason = "a rate for people")]
    let evaluations = progress.evaluations as f64;
    run.rate = evaluations / watch.seconds().max(1e-9);
    run
}
