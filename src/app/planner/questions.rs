//! Answers to what is asked about a plan, known better from slice to slice.

use gloo_timers::future::TimeoutFuture;
use rackweek::breakdown::Standings;
use rackweek::plan::explain::{Candidate, HandTimes, Verdict, WhereElse, WhyNot, impossible, risk};
use rackweek::plan::{Plan, Problem};
use rackweek::record::PackedPlanner;

use super::bench::Bench;
use super::{Answer, Kind, Question};

/// How long one slice should take, ms: short enough to hear that nobody waits any more.
const SLICE_MS: f64 = 30.0;
/// How long what was told stands before more is told, ms.
const PAUSE_MS: f64 = 120.0;
/// Of a smallest conflict, in cases of proofs.
const CASES: u64 = 4_000;
/// What is spent on remedies at most, in schedules evaluated.
const REMEDIES_MOST: u64 = 24_000;
/// More remedies than anybody reads.
const ENOUGH: usize = 8;
/// What is spent on mending a plan at most until it is sound, in schedules evaluated.
const MENDING: u64 = 400;
/// The same where she waits for the answer: an evening that is lost may ask for a week of other evenings.
const MENDING_PATIENTLY: u64 = 40_000;
/// How long a mended plan is made better, ms.
const POLISH_MS: f64 = 700.0;
/// How often a plan is played. The standard error of a chance is then about 1 in 100 at most.
const RUNS: u32 = 2_000;
/// Of the runs: the same plan has the same chances.
const SEED: u64 = 1;

/// Answers one question until all is said or nobody waits any more.
pub(super) async fn answer(
    bench: &Bench,
    number: u32,
    about: (&Problem, &Plan),
    question: Question,
    tell: impl Fn(Answer),
) {
    match question {
        Question::Elsewhere { activity, segment } => {
            elsewhere(bench, number, about, (&activity, segment), tell).await;
        }
        Question::WhyNot { not_before } => why_not(bench, number, about, not_before, tell).await,
        Question::Risk(times) => played(bench, number, about, &times, tell).await,
        Question::Mend { standings, patient } => {
            let most = if patient { MENDING_PATIENTLY } else { MENDING };
            mended(bench, number, about, (standings.as_deref(), most), tell).await;
        }
    }
}

async fn elsewhere(
    bench: &Bench,
    number: u32,
    (problem, plan): (&Problem, &Plan),
    (activity, segment): (&str, usize),
    tell: impl Fn(Answer),
) {
    let found = WhereElse::new(problem, plan, activity, segment);
    bench.elsewhere.replace(Some((number, found)));
    let mut told: Vec<Verdict> = Vec::new();
    let mut last = None;
    loop {
        let (news, done) = {
            let mut state = bench.elsewhere.borrow_mut();
            let Some((_, found)) = state.as_mut().filter(|(of, _)| *of == number) else { return };
            let done = refine_for(SLICE_MS, 8, |evaluations| found.refine(evaluations));
            let now = js_sys::Date::now();
            if !done && last.is_some_and(|last| now - last < PAUSE_MS) {
                (None, done)
            } else {
                last = Some(now);
                told.resize(found.candidates().len(), Verdict::Likely);
                (Some(news(found.candidates(), &mut told)), done)
            }
        };
        if let Some(news) = news {
            tell(Answer::Elsewhere { news, done });
        }
        // It stays open for [`super::Ask::At`], but planning need not wait for it any more.
        if done {
            bench.answered(Kind::Elsewhere, number);
            return;
        }
        TimeoutFuture::new(0).await;
        if !bench.is_newest(Kind::Elsewhere, number) {
            return;
        }
    }
}

/// What differs from what was told, and is told now.
fn news(known: &[Candidate], told: &mut [Verdict]) -> Vec<Candidate> {
    let differs = |(known, told): (&Candidate, &mut Verdict)| {
        (known.verdict != *told).then(|| {
            *told = known.verdict;
            *known
        })
    };
    known.iter().zip(told).filter_map(differs).collect()
}

/// Refines in small portions for about so long; true when nothing is left to do.
fn refine_for(milliseconds: f64, portion: u64, mut refine: impl FnMut(u64) -> bool) -> bool {
    let start = js_sys::Date::now();
    loop {
        if refine(portion) {
            return true;
        }
        if js_sys::Date::now() - start >= milliseconds {
            return false;
        }
    }
}

async fn why_not(
    bench: &Bench,
    number: u32,
    (problem, plan): (&Problem, &Plan),
    not_before: i32,
    tell: impl Fn(Answer),
) {
    let mut why = WhyNot::new(problem, plan, not_before, CASES);
    let mut known = None;
    loop {
        let all = refine_for(SLICE_MS, 20, |evaluations| why.refine(evaluations));
        let done = all || REMEDIES_MOST <= why.spent() || ENOUGH <= why.remedies().len();
        if known != Some(why.remedies().len()) || done {
            known = Some(why.remedies().len());
            let (conflict, remedies) = (why.conflict().clone(), why.remedies().to_vec());
            tell(Answer::WhyNot { conflict, remedies, done });
        }
        if done {
            bench.answered(Kind::WhyNot, number);
            return;
        }
        TimeoutFuture::new(0).await;
        if !bench.is_newest(Kind::WhyNot, number) {
            return;
        }
    }
}

async fn played(
    bench: &Bench,
    number: u32,
    (problem, plan): (&Problem, &Plan),
    times: &HandTimes,
    tell: impl Fn(Answer),
) {
    // Whatever was asked in the same moment goes first.
    TimeoutFuture::new(0).await;
    if bench.is_newest(Kind::Risk, number) {
        tell(Answer::Risk(risk(problem, plan, times, RUNS, SEED)));
        bench.answered(Kind::Risk, number);
    }
}

async fn mended(
    bench: &Bench,
    number: u32,
    (problem, plan): (&Problem, &Plan),
    (standings, most): (Option<&Standings>, u64),
    tell: impl Fn(Answer),
) {
    let found = if impossible(problem, 1) {
        None
    } else {
        PackedPlanner::new(problem, SEED, standings, Some(plan)).ok()
    };
    let Some(mut planner) = found else {
        tell(Answer::Mended(None));
        bench.answered(Kind::Mend, number);
        return;
    };
    let mut spent = 0;
    let mut mended: Option<f64> = None;
    loop {
        let mut progress = None;
        refine_for(SLICE_MS, 20, |evaluations| {
            let now = planner.improve(evaluations);
            spent += evaluations;
            progress = Some(now);
            now.finished || (now.objective.is_none() && most <= spent)
        });
        let Some(progress) = progress else { return };
        let now = js_sys::Date::now();
        if progress.objective.is_some() {
            mended = mended.or(Some(now));
        }
        let done = match mended {
            Some(since) => POLISH_MS <= now - since,
            None => most <= spent,
        };
        if progress.finished || done {
            let plan = progress.objective.map(|_| planner.plan());
            tell(Answer::Mended(plan.filter(|plan| plan.objective.is_some())));
            bench.answered(Kind::Mend, number);
            return;
        }
        TimeoutFuture::new(0).await;
        if !bench.is_newest(Kind::Mend, number) {
            return;
        }
    }
}
