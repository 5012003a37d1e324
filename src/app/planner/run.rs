//! Planning in slices: a first plan at once, better ones while there is time and nothing newer to do.

use gloo_timers::future::TimeoutFuture;
use rackweek::plan::Progress;
use rackweek::record::PackedPlanner;

use super::{Reply, Request};

/// How long to look for better plans, ms.
const EFFORT_MS: f64 = 3_000.0;
/// How long to wait for a sound plan before one with breaches is shown, ms.
const PATIENCE_MS: f64 = 700.0;
/// How long a plan stands on screen at least before a better one replaces it, ms.
const LOOK_MS: f64 = 600.0;
/// How long one slice should take, ms: short enough to notice a newer request.
const SLICE_MS: f64 = 40.0;
/// How long planning rests before it looks again whether something else goes first, ms.
const REST_MS: u32 = 30;

/// Plans; `superseded` and `waits` are asked between slices (a newer wish is there; something else goes
/// first), `answer` gets each better plan and the last word.
pub(super) async fn run(
    request: Request,
    superseded: impl Fn() -> bool,
    waits: impl Fn() -> bool,
    answer: impl Fn(Reply),
) {
    let token = request.token;
    let (problem, seed) = (&request.problem, request.seed);
    // What she has seen is where to begin: a sound plan is near it, and what need not move stays.
    let begun =
        PackedPlanner::new(problem, seed, request.standings.as_ref(), problem.shown().as_ref());
    let mut planner = match begun {
        Ok(planner) => planner,
        Err(error) => {
            let error = Some(error.to_string());
            let (cuts, progress) = (Vec::new(), Progress::default());
            answer(Reply { token, plan: None, cuts, progress, done: true, error });
            return;
        }
    };
    let start = js_sys::Date::now();
    let mut rested = 0.0;
    let mut evaluations = 0;
    // The objective of what was told last; nothing was told yet.
    let mut told: Option<(Option<i64>, f64)> = None;
    loop {
        let before = js_sys::Date::now();
        let progress = planner.improve(evaluations);
        let after = js_sys::Date::now();
        // Halve or double towards the slice that we want; the plan depends on the sum alone.
        evaluations = if evaluations == 0 {
            16
        } else if after - before < SLICE_MS / 2.0 {
            (evaluations * 2).min(1 << 20)
        } else if after - before > SLICE_MS * 2.0 {
            (evaluations / 2).max(1)
        } else {
            evaluations
        };
        let done = progress.finished || after - start - rested >= EFFORT_MS;
        let news = match told {
            // A plan with breaches is shown only when no sound one comes soon.
            None => progress.objective.is_some() || after - start >= PATIENCE_MS,
            Some((objective, at)) => {
                let soon = objective.is_some() && after - at < LOOK_MS;
                progress.objective != objective && !soon
            }
        };
        if news || done {
            told = Some((progress.objective, after));
            let plan = Some(planner.plan());
            let cuts = planner.cuts().to_vec();
            answer(Reply { token, plan, cuts, progress, done, error: None });
        }
        if done {
            return;
        }
        TimeoutFuture::new(0).await;
        let stopped = js_sys::Date::now();
        while waits() && told.is_some() && !superseded() {
            TimeoutFuture::new(REST_MS).await;
        }
        rested += js_sys::Date::now() - stopped;
        if superseded() {
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rackweek::plan::{Activity, Problem, Worker, check::check};
    use std::cell::RefCell;
    use wasm_bindgen_test::wasm_bindgen_test;

    /// Two pieces of work for one person, the second soft-due at once.
    fn problem() -> Problem {
        let activity = |id: &str, due| Activity {
            id: id.to_owned(),
            segments: vec![4],
            workers: vec!["baker".to_owned()],
            due: Some(due),
            late_weight: 1,
            ..Activity::default()
        };
        Problem {
            format: "makeahead-sched/2".to_owned(),
            name: "two".to_owned(),
            grid_minutes: 15,
            slots_per_day: 96,
            horizon: 96,
            workers: vec![Worker {
                id: "baker".to_owned(),
                windows: vec![(10, 40)],
                ..Worker::default()
            }],
            activities: vec![activity("mix", 20), activity("bake", 14)],
            ..Problem::default()
        }
    }

    fn request(problem: Problem) -> Request {
        Request { token: 7, seed: 1, problem, standings: None }
    }

    #[wasm_bindgen_test]
    async fn a_sound_plan_comes_first_and_a_last_word_at_the_end() {
        let replies = RefCell::new(Vec::new());
        run(request(problem()), || false, || false, |reply| replies.borrow_mut().push(reply)).await;
        let replies = replies.into_inner();
        assert!(replies.iter().all(|reply| reply.token == 7 && reply.error.is_none()));
        assert_eq!(replies.iter().filter(|reply| reply.done).count(), 1);
        assert!(replies.last().expect("an answer").done);
        for reply in &replies {
            let plan = reply.plan.as_ref().expect("a plan with each");
            assert_eq!(check(&problem(), plan).breaches, []);
        }
    }

    #[wasm_bindgen_test]
    async fn a_newer_request_silences_an_older_one() {
        let mut hard = problem();
        hard.weights.late = 1;
        hard.workers[0].windows = vec![(10, 80)];
        // One pair of hands for work of many lengths, all due at once: no bound is met soon.
        for index in 0..12 {
            let id = format!("more{index}");
            let template = hard.activities.first().cloned().expect("one");
            let (segments, late_weight) = (vec![2 + index % 4], 1 + i64::from(index * 5 % 7));
            hard.activities.push(Activity { id, segments, late_weight, ..template });
        }
        let replies = RefCell::new(Vec::new());
        let began = js_sys::Date::now();
        let superseded = || !replies.borrow().is_empty();
        run(request(hard), superseded, || false, |reply| replies.borrow_mut().push(reply)).await;
        let replies = replies.into_inner();
        assert_eq!(replies.len(), 1, "the first plan, and then silence");
        assert!(!replies[0].done, "it was cut short, not finished");
        assert!(js_sys::Date::now() - began < EFFORT_MS);
    }

    #[wasm_bindgen_test]
    async fn a_problem_that_makes_no_sense_is_answered_with_words() {
        let mut broken = problem();
        broken.activities[0].segments.clear();
        let replies = RefCell::new(Vec::new());
        run(request(broken), || false, || false, |reply| replies.borrow_mut().push(reply)).await;
        let replies = replies.into_inner();
        assert_eq!(replies.len(), 1);
        let error = replies[0].error.as_deref().expect("words");
        assert!(error.contains("segments"), "{error}");
    }
}
