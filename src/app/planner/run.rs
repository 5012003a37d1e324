//! Planning in slices: a first plan at once, better ones while there is time and nothing newer to do.

use gloo_timers::future::TimeoutFuture;
use rackweek::plan::{Planner, Progress};

use super::{Reply, Request, Standing};

/// How long to look for better plans, ms.
const EFFORT_MS: f64 = 3_000.0;
/// How long a plan stands on screen at least before a better one replaces it, ms.
const LOOK_MS: f64 = 600.0;
/// How long one slice should take, ms: short enough to notice a newer request.
const SLICE_MS: f64 = 40.0;

/// Plans; `superseded` is asked between slices, `answer` gets each better plan and the last word.
pub(super) async fn run(
    request: Request,
    superseded: impl Fn() -> bool,
    answer: impl Fn(Reply),
) {
    let token = request.token;
    let mut planner = match Planner::new(&request.problem, request.seed) {
        Ok(planner) => planner,
        Err(error) => {
            let error = Some(error.to_string());
            answer(Reply { token, plan: None, standing: Standing::default(), done: true, error });
            return;
        }
    };
    let mut progress = planner.improve(0);
    let mut told = progress.objective;
    let finished = progress.finished;
    answer(Reply {
        token,
        plan: Some(planner.plan()),
        standing: standing(progress),
        done: finished,
        error: None,
    });
    if finished {
        return;
    }
    let start = js_sys::Date::now();
    let mut told_at = start;
    let mut evaluations = 16;
    loop {
        TimeoutFuture::new(0).await;
        if superseded() {
            return;
        }
        let before = js_sys::Date::now();
        progress = planner.improve(evaluations);
        let after = js_sys::Date::now();
        // Halve or double towards the slice that we want; the plan depends on the sum alone.
        if after - before < SLICE_MS / 2.0 {
            evaluations = (evaluations * 2).min(1 << 20);
        } else if after - before > SLICE_MS * 2.0 {
            evaluations = (evaluations / 2).max(1);
        }
        let done = progress.finished || after - start >= EFFORT_MS;
        let better = progress.objective != told && after - told_at >= LOOK_MS;
        if better || done {
            (told, told_at) = (progress.objective, after);
            let plan = Some(planner.plan());
            answer(Reply { token, plan, standing: standing(progress), done, error: None });
        }
        if done {
            return;
        }
    }
}

fn standing(progress: Progress) -> Standing {
    Standing {
        evaluations: progress.evaluations,
        objective: progress.objective,
        bound: progress.bound,
        finished: progress.finished,
    }
}

impl Standing {
    /// The way back.
    pub(crate) fn progress(self) -> Progress {
        Progress {
            evaluations: self.evaluations,
            objective: self.objective,
            bound: self.bound,
            finished: self.finished,
        }
    }
}
