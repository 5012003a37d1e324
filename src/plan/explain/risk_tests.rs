use super::*;
use crate::{Activity, At, Link, Worker};

/// Activities with a worker each, lengths in minutes, and links between them; nothing else holds them.
fn network(
    lengths: &[(&str, i32)],
    links: &[(&str, &str)],
    handover_after: &str,
    deadline: i32,
) -> (Problem, Plan) {
    let mut problem = Problem {
        format: "makeahead-sched/2".into(),
        grid_minutes: 1,
        slots_per_day: 1440,
        horizon: 60_000,
        ..Problem::default()
    };
    let mut plan = Plan::default();
    for (id, length) in lengths {
        problem.workers.push(Worker {
            id: format!("hands of {id}"),
            windows: vec![(0, 60_000)],
            ..Worker::default()
        });
        problem.activities.push(Activity {
            id: (*id).into(),
            segments: vec![*length],
            workers: vec![format!("hands of {id}")],
            ..Activity::default()
        });
        plan.starts.insert((*id).into(), vec![0]);
        plan.worker.insert((*id).into(), vec![Some(format!("hands of {id}"))]);
    }
    problem.activities.push(Activity {
        id: "handover".into(),
        segments: vec![0],
        latest: Some(deadline),
        ..Activity::default()
    });
    plan.starts.insert("handover".into(), vec![0]);
    let all = links.iter().copied().chain([(handover_after, "handover")]);
    problem.links = all
        .map(|(from, to)| Link {
            id: format!("{from}>{to}"),
            from: from.into(),
            from_at: At::E,
            to: to.into(),
            to_at: At::S,
            min: 0,
            max: None,
            store: Vec::new(),
            age_weight: 0,
            modes: Vec::new(),
        })
        .collect();
    (problem, plan)
}

/// Share of runs in which the handover was on time.
fn share(problem: &Problem, plan: &Plan, times: &HandTimes, runs: u32) -> f64 {
    let risk = risk(problem, plan, times, runs, 11);
    f64::from(risk.handovers[0].on_time) / f64::from(runs)
}

#[test]
fn one_lognormal_task_keeps_its_quantiles() {
    // Lognormal with median M and 90th percentile p: σ = ln(p/M)/1.281552; the quantiles follow from the
    // normal ones (any text on the lognormal distribution). 60 and 120 minutes: σ = 0.5409, 80th
    // percentile 94.59. 60 and 90: σ = 0.3164, 80th percentile 78.31. In tenths of minutes.
    for (sigma, percentiles) in [(5_409, [600, 946, 1200]), (3_164, [600, 783, 900])] {
        for (deadline, expected) in percentiles.into_iter().zip([0.5, 0.8, 0.9]) {
            let (problem, plan) = network(&[("task", 600)], &[], "task", deadline);
            let usual = HandTime { median: 10_000, sigma };
            let times = HandTimes { usual, ..HandTimes::default() };
            let found = share(&problem, &plan, &times, 20_000);
            // Three standard errors of a share in 20,000 runs are below 0.0107.
            assert!((found - expected).abs() < 0.0115, "{sigma} {deadline}: {found}");
        }
    }
}

#[test]
fn the_mean_and_spread_of_one_task_are_the_closed_ones() {
    // Mean M·exp(σ²/2): 69.45 minutes for σ = 0.5409, standard deviation 40.49.
    let (mean, sd) = moments(&[("task", 6_000, 5_409)], &[], "task");
    assert!((mean - 6_945.0).abs() < 60.0, "{mean}");
    assert!((sd - 4_049.0).abs() < 150.0, "{sd}");
}

/// Mean and standard deviation of when the handover is ready, in minutes, over 40,000 runs.
fn moments(tasks: &[(&str, i32, u32)], links: &[(&str, &str)], last: &str) -> (f64, f64) {
    let lengths: Vec<(&str, i32)> = tasks.iter().map(|(id, n, _)| (*id, *n)).collect();
    let (problem, plan) = network(&lengths, links, last, 50_000);
    let of = tasks
        .iter()
        .map(|(id, _, sigma)| ((*id).to_owned(), HandTime { median: 10_000, sigma: *sigma }))
        .collect();
    let times = HandTimes { of, ..HandTimes::default() };
    let net = Network::of(&problem, &plan, 0);
    let mut players = Players::new(&problem, &net, &times, 5);
    let mut clock = net.clock();
    let (mut sum, mut squares, runs) = (0.0, 0.0, 40_000);
    for _ in 0..runs {
        let lengths = players.lengths(&net);
        net.play(&lengths, Shift::default(), &mut clock);
        #[expect(clippy::cast_precision_loss, reason = "small")]
        let ready = clock.ready[net.handovers[0].node] as f64 / 60.0;
        sum += ready;
        squares += ready * ready;
    }
    let mean = sum / f64::from(runs);
    (mean, (squares / f64::from(runs) - mean * mean).sqrt())
}

/// Median and sigma in ten-thousandths of a lognormal with this mean and standard deviation; a unit of
/// time is 1000 minutes.
fn matched(mean: f64, sd: f64) -> (i32, u32) {
    let ratio = 1.0 + sd * sd / (mean * mean);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "small")]
    ((1000.0 * mean / ratio.sqrt()).round() as i32, (libm::log(ratio).sqrt() * 10_000.0) as u32)
}

/// The six-activity example of M. Vanhoucke's PERT article (PM Knowledge Center), table 1: optimistic,
/// likely and pessimistic durations A(2,5,8) B(1,2,9) C(.25,.5,3.75) D(1,1,7) E(1,2,9) F(1,3,11);
/// mean (a+4m+b)/6, standard deviation (b−a)/6.
fn vanhoucke() -> Vec<(&'static str, i32, u32)> {
    [
        ("A", 2.0, 5.0, 8.0),
        ("B", 1.0, 2.0, 9.0),
        ("C", 0.25, 0.5, 3.75),
        ("D", 1.0, 1.0, 7.0),
        ("E", 1.0, 2.0, 9.0),
        ("F", 1.0, 3.0, 11.0),
    ]
    .into_iter()
    .map(|(id, a, m, b)| {
        let (median, sigma) = matched((a + 4.0 * m + b) / 6.0, (b - a) / 6.0);
        (id, median, sigma)
    })
    .collect()
}

#[test]
fn means_and_variances_add_along_the_critical_path() {
    // A-B-E-F: mean 15, variance 7.3333. Holds for any durations with these moments.
    let path: Vec<_> = vanhoucke().into_iter().filter(|t| !matches!(t.0, "C" | "D")).collect();
    let (mean, sd) = moments(&path, &[("A", "B"), ("B", "E"), ("E", "F")], "F");
    assert!((mean - 15_000.0).abs() < 3.0 * 2_708.0 / 200.0, "{mean}");
    assert!((sd * sd / 1e6 - 7.3333).abs() < 0.35, "{sd}");
}

#[test]
fn the_whole_network_takes_longer_than_its_critical_path() {
    // Merging paths: the mean of a maximum is above the maximum of the means (15), and the share done by
    // 17 is below the critical path's .7699 (normal approximation).
    let links =
        [("A", "B"), ("A", "C"), ("B", "D"), ("B", "E"), ("C", "E"), ("D", "F"), ("E", "F")];
    let (mean, _) = moments(&vanhoucke(), &links, "F");
    assert!(15_100.0 < mean && mean < 16_500.0, "{mean}");
    let lengths: Vec<_> = vanhoucke().iter().map(|(id, n, _)| (*id, *n)).collect();
    let of: BTreeMap<String, HandTime> = vanhoucke()
        .into_iter()
        .map(|(id, _, sigma)| (id.to_owned(), HandTime { median: 10_000, sigma }))
        .collect();
    let times = HandTimes { of, ..HandTimes::default() };
    let (problem, plan) = network(&lengths, &links, "F", 17_000);
    let found = share(&problem, &plan, &times, 20_000);
    assert!(0.6 < found && found < 0.7699, "{found}");
    // The critical path alone: skewed times lie below their mean more often, by a few per cent.
    let path: Vec<_> = lengths.into_iter().filter(|t| !matches!(t.0, "C" | "D")).collect();
    let (problem, plan) = network(&path, &[("A", "B"), ("B", "E"), ("E", "F")], "F", 17_000);
    let found = share(&problem, &plan, &times, 20_000);
    assert!((found - 0.7699).abs() < 0.04, "{found}");
}

#[test]
fn a_sure_plan_is_always_on_time_and_an_impossible_one_never() {
    let sure = HandTimes { usual: HandTime { median: 10_000, sigma: 0 }, ..HandTimes::default() };
    let (problem, plan) = network(&[("task", 600)], &[], "task", 600);
    assert!((share(&problem, &plan, &sure, 50) - 1.0).abs() < 1e-9);
    let (problem, plan) = network(&[("task", 600)], &[], "task", 599);
    assert!(share(&problem, &plan, &sure, 50) < 1e-9);
    let graced = HandTimes { grace: 1, ..sure };
    assert!((share(&problem, &plan, &graced, 50) - 1.0).abs() < 1e-9);
}
