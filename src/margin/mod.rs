//! Margins: how much longer or shorter her hands take than the cards reckon, learned from what she timed.
//!
//! In: estimated and real minutes of steps, order by order. Out: a factor for the next estimate. The factor is drawn
//! from its prior (1 for practised work, 2 for work never done before) towards what was timed: the logarithm of the
//! ratio has a normal prior and normal noise, so that the mean after n times is
//! (ln μ₀/τ² + Σ ln ratio/σ²) / (1/τ² + n/σ²) (normal-normal conjugacy, any Bayesian text). One wild time is held to two
//! standard deviations from the middle one. Knows no orders but their numbers, no screen, no clock.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::plan::arrange::Arrange;
use crate::refusal::Refusal;

/// How sure the prior is: its standard deviation, natural logarithm (a judgement).
const PRIOR_SPREAD: f64 = 0.3;
/// How much one time scatters: standard deviation, natural logarithm (a judgement).
const NOISE: f64 = 0.4;
/// Times kept of a step, the newest.
const KEPT: usize = 12;
/// Most steps: far more than there are cards.
const STEPS_MAX: usize = 2000;
/// Longest work that is believed, minutes.
const MINUTES_MAX: u32 = 6000;
/// The factor never goes beyond these, in thousandths.
const BOUNDS: (u32, u32) = (250, 4000);

/// One order's work at a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Timed {
    /// The order's number.
    pub order: u32,
    /// What the card reckons for practised hands, minutes.
    pub estimated: u32,
    /// What it took, minutes.
    pub real: u32,
}

/// What was timed of each step of each card; one record.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Margins {
    /// By card and step, `decorated-cookies/flood`; the newest time last.
    pub steps: BTreeMap<String, Vec<Timed>>,
}

/// A step as it is written among the margins.
pub fn margin_key(card: &str, step: &str) -> String {
    format!("{card}/{step}")
}

impl Margins {
    /// The factor on a step's usual time, in thousandths; `new`: never done before.
    pub fn factor(&self, card: &str, step: &str, new: bool) -> u32 {
        let prior = if new { 2000 } else { 1000 };
        match self.steps.get(&margin_key(card, step)) {
            Some(times) if !times.is_empty() => shrunk(prior, times),
            _ => prior,
        }
    }

    /// How often a step was timed.
    pub fn times(&self, card: &str, step: &str) -> usize {
        self.steps.get(&margin_key(card, step)).map_or(0, Vec::len)
    }

    /// Forgets what an order has shown.
    pub fn forget_order(&mut self, order: u32) {
        for times in self.steps.values_mut() {
            times.retain(|one| one.order != order);
        }
        self.steps.retain(|_, times| !times.is_empty());
    }

    /// Takes in one time.
    pub fn learn(&mut self, card: &str, step: &str, timed: Timed) {
        let believed = 1..=MINUTES_MAX;
        if !(believed.contains(&timed.estimated) && believed.contains(&timed.real)) {
            return;
        }
        let times = self.steps.entry(margin_key(card, step)).or_default();
        times.push(timed);
        let over = times.len().saturating_sub(KEPT);
        times.drain(..over);
    }

    /// Everything that cannot be.
    pub fn validate(&self) -> Vec<Refusal> {
        let mut refusals = Vec::new();
        if STEPS_MAX < self.steps.len() {
            refusals.push(Refusal::of("steps", format!("are more than {STEPS_MAX}; forget some")));
        }
        for (key, times) in &self.steps {
            let field = format!("steps.{key}");
            if times.is_empty() || KEPT < times.len() || !key.contains('/') || 200 < key.len() {
                let text = "is no step with 1 to 12 times, for example decorated-cookies/flood";
                refusals.push(Refusal::of(field, text));
                continue;
            }
            let believed = 1..=MINUTES_MAX;
            let wrong =
                |one: &Timed| !(believed.contains(&one.estimated) && believed.contains(&one.real));
            if times.iter().any(wrong) {
                let text = format!("has minutes that are not 1 to {MINUTES_MAX}, for example 45");
                refusals.push(Refusal::of(field, text));
            }
        }
        refusals
    }
}

fn shrunk(prior: u32, times: &[Timed]) -> u32 {
    let centre = libm::log(f64::from(prior) / 1000.0);
    let mut logs: Vec<f64> = times
        .iter()
        .map(|one| libm::log(f64::from(one.real.max(1)) / f64::from(one.estimated.max(1))))
        .collect();
    let mut sorted: Vec<i64> = logs.iter().map(|log| millionths(*log)).collect();
    sorted.arrange();
    // Of two or fewer the prior is the middle.
    let middle = match (logs.len(), sorted.get(sorted.len() / 2)) {
        (3.., Some(middle)) => f64::from(i32::try_from(*middle).unwrap_or(0)) / 1e6,
        _ => centre,
    };
    let reach = 2.0 * NOISE;
    for log in &mut logs {
        *log = log.clamp(middle - reach, middle + reach);
    }
    let (prior_weight, weight) = (1.0 / (PRIOR_SPREAD * PRIOR_SPREAD), 1.0 / (NOISE * NOISE));
    let count = f64::from(u32::try_from(logs.len()).unwrap_or(u32::MAX));
    let mean = (centre * prior_weight + logs.iter().sum::<f64>() * weight)
        / (prior_weight + count * weight);
    let factor = millionths(libm::exp(mean)) / 1000;
    u32::try_from(factor).unwrap_or(prior).clamp(BOUNDS.0, BOUNDS.1)
}

/// Rounded to a millionth, so that what is compared and kept is whole.
fn millionths(value: f64) -> i64 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "logarithms of ratios up to 6000, and their exponentials"
    )]
    let whole = libm::round(value * 1e6) as i64;
    whole
}

#[cfg(test)]
mod tests {
    use super::*;

    fn margins(ratios: &[f64]) -> Margins {
        let mut margins = Margins::default();
        for (index, ratio) in ratios.iter().enumerate() {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "small and positive"
            )]
            let real = (ratio * 1000.0).round() as u32;
            let order = u32::try_from(index).expect("few");
            margins.learn("card", "step", Timed { order, estimated: 1000, real });
        }
        margins
    }

    #[test]
    fn worked_values_of_the_conjugate_normal_hold() {
        // Reference values computed by the formula with τ .3, σ .4, independently of this code.
        for (new, ratios, expected) in [
            (false, &[1.5][..], 1157),
            (false, &[1.5, 1.3, 1.8], 1301),
            (true, &[1.2], 1664),
            (true, &[1.2, 1.1, 1.3, 1.25, 1.15], 1370),
        ] {
            let factor = margins(ratios).factor("card", "step", new);
            assert!(factor.abs_diff(expected) <= 1, "{ratios:?}: {factor} for {expected}");
        }
    }

    #[test]
    fn without_any_time_the_prior_holds_and_with_many_what_was_timed() {
        let none = Margins::default();
        assert_eq!((none.factor("c", "s", false), none.factor("c", "s", true)), (1000, 2000));
        let many = margins(&[1.5; 12]);
        let factor = many.factor("card", "step", false);
        assert!((1400..1500).contains(&factor), "{factor}");
        assert_eq!(many.factor("card", "other", false), 1000);
    }

    #[test]
    fn one_wild_time_among_others_changes_little() {
        let calm = margins(&[1.1, 1.2, 1.15, 1.1, 1.2]).factor("card", "step", false);
        let wild = margins(&[1.1, 1.2, 1.15, 1.1, 5.9]).factor("card", "step", false);
        assert!(calm < wild && wild < calm * 13 / 10, "{calm} and {wild}");
        // The first time of all is not believed wholly either: at most two deviations.
        let first = margins(&[5.9]).factor("card", "step", false);
        assert_eq!(first, margins(&[2.2255]).factor("card", "step", false));
    }

    #[test]
    fn the_result_lies_between_the_prior_and_the_middle_of_the_times() {
        for ratios in [&[0.6_f64][..], &[0.7, 0.8], &[1.4, 1.6, 1.5], &[1.9, 1.8, 2.0, 2.1]] {
            let mean = ratios.iter().map(|ratio| ratio.ln()).sum::<f64>();
            let mean = (mean / f64::from(u32::try_from(ratios.len()).expect("few"))).exp() * 1000.0;
            let factor = f64::from(margins(ratios).factor("card", "step", false));
            let (low, high) = (mean.min(1000.0) - 1.0, mean.max(1000.0) + 1.0);
            assert!((low..high).contains(&factor), "{ratios:?}: {factor}");
        }
    }

    #[test]
    fn an_order_is_forgotten_and_only_the_newest_are_kept() {
        let mut margins = margins(&[1.0; 20]);
        assert_eq!(margins.times("card", "step"), 12);
        assert_eq!(margins.steps["card/step"][0].order, 8);
        margins.forget_order(19);
        assert_eq!(margins.times("card", "step"), 11);
        for order in 0..19 {
            margins.forget_order(order);
        }
        assert_eq!(margins, Margins::default());
        margins.learn("card", "step", Timed { order: 1, estimated: 0, real: 5 });
        assert_eq!(margins, Margins::default(), "nothing was reckoned");
    }

    #[test]
    fn damaged_margins_are_refused_at_their_field() {
        let good = margins(&[1.2]);
        assert_eq!(good.validate(), []);
        let broken = |change: fn(&mut Margins)| {
            let mut margins = good.clone();
            change(&mut margins);
            margins.validate().into_iter().map(|refusal| refusal.field).collect::<Vec<_>>()
        };
        assert_eq!(broken(|m| drop(m.steps.insert("a/b".into(), vec![]))), ["steps.a/b"]);
        assert_eq!(
            broken(|m| drop(
                m.steps.insert("a/b".into(), vec![Timed { order: 1, estimated: 10, real: 6001 }])
            )),
            ["steps.a/b"]
        );
        assert_eq!(
            broken(|m| drop(
                m.steps.insert("ab".into(), vec![Timed { order: 1, estimated: 10, real: 10 }])
            )),
            ["steps.ab"]
        );
    }
}
