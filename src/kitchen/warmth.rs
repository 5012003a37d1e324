//! How warm the kitchen is, and how long things really take in it.

use serde::{Deserialize, Serialize};

use crate::heat::Climate;
use crate::refusal::Refusal;

/// Most waits that are kept as measured.
const MEASURED_MAX: usize = 500;
/// The longest wait that can be entered, minutes: 14 days.
const LONGEST: u32 = 14 * 24 * 60;

/// The air of the kitchen, and the waits that she timed herself.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Warmth {
    /// Room, fridge and freezer.
    pub climate: Climate,
    /// What she timed, in the order in which it was entered.
    pub measured: Vec<MeasuredWait>,
}

/// A wait that she timed herself: it counts instead of the reckoned one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MeasuredWait {
    /// Id of the method card, for example `tall-layer-cake`.
    pub card: String,
    /// Which wait of that card, for example `cool: cool in and out of the tins`.
    pub wait: String,
    /// For which size, in words, for example "150 mm across, 45 mm high".
    pub size: String,
    /// What was reckoned for it then, minutes, above 0.
    pub reckoned: u32,
    /// What it took, minutes, 1 to 20,160 (14 days).
    pub minutes: u32,
}

impl Warmth {
    /// Minutes of a wait by what she timed, and whether it was this very size. Other sizes take as many times
    /// as long as reckoned as the one that was timed last.
    pub fn timed(&self, card: &str, wait: &str, size: &str, reckoned: u32) -> Option<(u32, bool)> {
        let mut known = self.measured.iter().rev().filter(|m| m.card == card && m.wait == wait);
        let same = known.clone().find(|m| m.size == size);
        if let Some(same) = same {
            return Some((same.minutes, true));
        }
        let other = known.next()?;
        let scaled = (u64::from(reckoned) * u64::from(other.minutes))
            .div_ceil(u64::from(other.reckoned.max(1)));
        Some((u32::try_from(scaled).unwrap_or(LONGEST).min(LONGEST), false))
    }

    /// Sets what she timed, or takes it back with None: then the reckoned time counts again.
    pub fn time(&mut self, card: &str, wait: &str, size: &str, own: Option<(u32, u32)>) {
        self.measured.retain(|m| m.card != card || m.wait != wait || m.size != size);
        if let Some((reckoned, minutes)) = own {
            self.measured.push(MeasuredWait {
                card: card.to_owned(),
                wait: wait.to_owned(),
                size: size.to_owned(),
                reckoned: reckoned.max(1),
                minutes,
            });
        }
    }

    /// Everything that is not right, by field below `warmth`; empty when it can be used.
    pub fn validate(&self) -> Vec<Refusal> {
        let mut refusals = Vec::new();
        for refusal in self.climate.validate() {
            refusals
                .push(Refusal::of(format!("warmth.climate.{}", refusal.field), refusal.message));
        }
        if MEASURED_MAX < self.measured.len() {
            refusals.push(Refusal::of(
                "warmth.measured",
                format!("there are more than {MEASURED_MAX} timed waits; remove some that you no longer use"),
            ));
        }
        for (index, own) in self.measured.iter().enumerate() {
            if !(1..=LONGEST).contains(&own.minutes) || own.reckoned == 0 {
                refusals.push(Refusal::of(
                    format!("warmth.measured.{index}.minutes"),
                    format!(
                        "{} minutes cannot be right; write 1 to {LONGEST}, for example 90",
                        own.minutes
                    ),
                ));
            }
        }
        refusals
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_timed_wait_counts_and_scales_other_sizes() {
        let mut warmth = Warmth::default();
        assert_eq!(warmth.timed("cake", "cool", "150", 100), None);
        warmth.time("cake", "cool", "150", Some((100, 80)));
        assert_eq!(warmth.timed("cake", "cool", "150", 130), Some((80, true)), "as timed");
        assert_eq!(warmth.timed("cake", "cool", "200", 121), Some((97, false)), "96.8, upwards");
        assert_eq!(warmth.timed("cake", "chill", "150", 100), None, "another wait");
        warmth.time("cake", "cool", "150", None);
        assert_eq!(warmth, Warmth::default());
    }

    #[test]
    fn what_cannot_be_is_refused_at_its_field() {
        let mut warmth = Warmth::default();
        warmth.climate.room = 60;
        warmth.time("cake", "cool", "150", Some((100, 0)));
        let found: Vec<String> = warmth.validate().into_iter().map(|r| r.field).collect();
        assert_eq!(found, ["warmth.climate.room", "warmth.measured.0.minutes"]);
    }
}
