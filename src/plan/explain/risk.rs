//! How likely a plan ends in time when hand times vary, which windows run over, and where half an hour
//! more helps most.
//!
//! In: problem, plan, how hand times vary, number of runs, seed. Out: counts of runs. Each run takes one
//! lognormal factor for every activity that needs hands and plays the plan in its own order: nothing
//! starts before its planned start, before what it waits for, or before its worker is free. What was begun is
//! finished, even past the end of its window; what cannot begin in its window waits for the worker's
//! next one. What needs no hands takes as long as planned. The same bits on every machine ([`super::normal`]).

use serde::{Deserialize, Serialize};

use super::network::{Network, SECONDS, Shift};
use super::normal::{between_0_and_1, normal_quantile};
use crate::arrange::Arrange;
use crate::random::Random;
use crate::{Plan, Problem};

use std::collections::BTreeMap;

/// Parts of a whole in [`HandTime`].
const WHOLE: f64 = 10_000.0;
/// Runs in which half an hour more is tried in every window.
const HELP_RUNS: u32 = 500;
/// Half an hour.
const HELP_SECONDS: i64 = 30 * SECONDS;

/// How long a piece of hands-on work really takes: lognormal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct HandTime {
    /// Half of all times are below this share of the planned length, in ten-thousandths.
    pub median: u32,
    /// Standard deviation of the time's logarithm, in ten-thousandths.
    pub sigma: u32,
}

impl Default for HandTime {
    /// The planned length as often exceeded as not, and one and a half times it once in ten: σ = ln 1.5 / 1.2816.
    /// Common practice, no published source.
    fn default() -> Self {
        Self { median: 10_000, sigma: 3_164 }
    }
}

/// How hand times vary.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct HandTimes {
    /// Of most activities.
    pub usual: HandTime,
    /// Of those that differ, by their ids.
    pub of: BTreeMap<String, HandTime>,
    /// Slots after its latest moment at which a handover still counts as on time: the part of its least
    /// lag that is a safety margin.
    pub grace: i32,
}

/// A handover: an activity without length and hands, with a latest or due moment.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct HandoverRisk {
    /// Which activity.
    pub activity: String,
    /// Runs in which it was on time.
    pub on_time: u32,
    /// Minutes from slot 0 by which all that it waits for was done in 50, 80 and 95 % of the runs.
    pub ready_by: [i32; 3],
}

/// A worker's window in which the plan has work.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WindowRisk {
    /// Whose.
    pub worker: String,
    /// Which of their windows.
    pub window: usize,
    /// Runs in which work went on past its end.
    pub over: u32,
    /// Mean minutes past its end, over those runs.
    pub minutes_over: i32,
}

/// What half an hour more at the beginning of a window would bring.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Help {
    /// Whose.
    pub worker: String,
    /// Which of their windows.
    pub window: usize,
    /// Handovers more on time in 1000 runs, summed over all handovers.
    pub gained: i32,
}

/// What the runs showed.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Risk {
    /// How many there were.
    pub runs: u32,
    /// In the problem's order.
    pub handovers: Vec<HandoverRisk>,
    /// Those that ran over at all, the most frequent first.
    pub windows: Vec<WindowRisk>,
    /// Windows in which half an hour more helps at all, the most helpful first.
    pub helps: Vec<Help>,
}

/// Plays a plan `runs` times. Same arguments: same answer, bit for bit.
pub fn risk(problem: &Problem, plan: &Plan, times: &HandTimes, runs: u32, seed: u64) -> Risk {
    let network = Network::of(problem, plan, times.grace);
    let mut players = Players::new(problem, &network, times, seed);
    let mut tally = Tally::new(&network);
    let mut clock = network.clock();
    let mut kept: Vec<Vec<i64>> = Vec::new();
    for run in 0..runs {
        let lengths = players.lengths(&network);
        network.play(&lengths, Shift::default(), &mut clock);
        tally.count(&network, &clock);
        if run < HELP_RUNS {
            kept.push(lengths);
        }
    }
    let mut helps = helps(problem, &network, &kept);
    helps.retain(|help| help.gained > 0);
    helps.arrange_by(|a, b| (b.gained, &a.worker, a.window).cmp(&(a.gained, &b.worker, b.window)));
    tally.told(problem, &network, runs, helps)
}

/// Draws what the activities take in a run.
struct Players {
    random: Random,
    /// Median factor and sigma of each activity that needs hands.
    of: Vec<Option<(f64, f64)>>,
    factors: Vec<f64>,
}

impl Players {
    fn new(problem: &Problem, network: &Network, times: &HandTimes, seed: u64) -> Self {
        let hands = network.hands(problem.activities.len());
        let of = problem
            .activities
            .iter()
            .zip(hands)
            .map(|(activity, hands)| {
                let time = times.of.get(&activity.id).unwrap_or(&times.usual);
                hands.then(|| (f64::from(time.median) / WHOLE, f64::from(time.sigma) / WHOLE))
            })
            .collect();
        Self { random: Random::new(seed), of, factors: vec![1.0; problem.activities.len()] }
    }

    /// Seconds that each node takes in the next run.
    fn lengths(&mut self, network: &Network) -> Vec<i64> {
        for (factor, of) in self.factors.iter_mut().zip(&self.of) {
            if let Some((median, sigma)) = of {
                let deviate = normal_quantile(between_0_and_1(&mut self.random));
                *factor = median * libm::exp(sigma * deviate);
            }
        }
        let factor = |activity: usize| self.factors.get(activity).copied().unwrap_or(1.0);
        network.nodes.iter().map(|node| scaled(node.length, factor(node.activity))).collect()
    }
}

/// Whole seconds; a hand time of more than a year is as bad as one of a year.
#[expect(clippy::cast_possible_truncation, clippy::cast_precision_loss, reason = "below 2⁵³")]
fn scaled(seconds: i64, factor: f64) -> i64 {
    let year = 366.0 * 86_400.0;
    (seconds as f64 * factor + 0.5).min(year) as i64
}

/// Counts over the runs.
struct Tally {
    on_time: Vec<u32>,
    ready: Vec<Vec<i64>>,
    over: BTreeMap<(usize, usize), (u32, i64)>,
}

impl Tally {
    fn new(network: &Network) -> Self {
        let handovers = network.handovers.len();
        Self {
            on_time: vec![0; handovers],
            ready: vec![Vec::new(); handovers],
            over: BTreeMap::new(),
        }
    }

    fn count(&mut self, network: &Network, clock: &super::network::Clock) {
        let rows = network.handovers.iter().zip(self.on_time.iter_mut().zip(&mut self.ready));
        for (handover, (on_time, ready)) in rows {
            let at = clock.ready.get(handover.node).copied().unwrap_or(0);
            *on_time += u32::from(at <= handover.deadline);
            ready.push(at);
        }
        for (&(worker, window), &end) in &clock.finished {
            let over = end - network.window_end(worker, window);
            if over > 0 {
                let entry = self.over.entry((worker, window)).or_default();
                entry.0 += 1;
                entry.1 += over;
            }
        }
    }

    fn told(self, problem: &Problem, network: &Network, runs: u32, helps: Vec<Help>) -> Risk {
        let id = |activity: usize| {
            problem.activities.get(activity).map_or_else(String::new, |of| of.id.clone())
        };
        let rows = network.handovers.iter().zip(self.on_time.into_iter().zip(self.ready));
        let handovers = rows
            .map(|(handover, (on_time, mut ready))| {
                ready.arrange();
                let by = |percent: usize| {
                    let rank = (ready.len() * percent).div_ceil(100).saturating_sub(1);
                    minutes(ready.get(rank).copied().unwrap_or(0))
                };
                let ready_by = [by(50), by(80), by(95)];
                HandoverRisk { activity: id(handover.activity), on_time, ready_by }
            })
            .collect();
        let mut windows: Vec<WindowRisk> = self
            .over
            .into_iter()
            .map(|((worker, window), (over, seconds))| WindowRisk {
                worker: problem.workers.get(worker).map_or_else(String::new, |of| of.id.clone()),
                window,
                over,
                minutes_over: minutes(seconds / i64::from(over.max(1))),
            })
            .collect();
        windows
            .arrange_by(|a, b| (b.over, &a.worker, a.window).cmp(&(a.over, &b.worker, b.window)));
        Risk { runs, handovers, windows, helps }
    }
}

/// Seconds in minutes, rounded up.
fn minutes(seconds: i64) -> i32 {
    i32::try_from((seconds + SECONDS - 1).div_euclid(SECONDS)).unwrap_or(i32::MAX)
}

/// Tries half an hour more in every window with work, in the same runs.
fn helps(problem: &Problem, network: &Network, kept: &[Vec<i64>]) -> Vec<Help> {
    let mut clock = network.clock();
    let each = i64::try_from(network.handovers.len()).unwrap_or(0);
    let mut on_time = |runs: &[Vec<i64>], shift: Shift| -> i64 {
        let mut sum = 0;
        for lengths in runs {
            network.play(lengths, shift, &mut clock);
            for handover in &network.handovers {
                let ready = clock.ready.get(handover.node).copied().unwrap_or(0);
                sum += i64::from(ready <= handover.deadline);
            }
        }
        sum
    };
    let runs = i64::try_from(kept.len().max(1)).unwrap_or(1);
    // Nothing gets later by beginning earlier: a run that is on time all over cannot gain.
    let late: Vec<Vec<i64>> = kept
        .iter()
        .filter(|lengths| on_time(std::slice::from_ref(*lengths), Shift::default()) < each)
        .cloned()
        .collect();
    let before = on_time(&late, Shift::default());
    let mut helps = Vec::new();
    if late.is_empty() {
        return helps;
    }
    for (worker, window) in network.windows_used() {
        let more = on_time(&late, Shift { window: Some((worker, window)), seconds: HELP_SECONDS })
            - before;
        helps.push(Help {
            worker: problem.workers.get(worker).map_or_else(String::new, |of| of.id.clone()),
            window,
            gained: i32::try_from(more * 1000 / runs).unwrap_or(i32::MAX),
        });
    }
    helps
}

#[cfg(test)]
#[path = "risk_tests.rs"]
mod tests;
