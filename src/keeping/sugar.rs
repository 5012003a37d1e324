//! The share of sugar in a frosting, which warns and never clears.
//!
//! Kansas State Research and Extension (MF3544, "Food Safety of Frostings and Fillings") accepts a frosting
//! at room temperature only when sugar is more than 65 % of the recipe's weight. A share by weight is
//! not a water activity: sucrose in water at 65 % still has about 0.865 (Norrish 1966), above the 0.85
//! that home rules ask for. So a share may rule a frosting out, but only a laboratory can rule it in.

use crate::refusal::Refusal;

/// What a share of sugar tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SugarVerdict {
    /// At most 65 %: kept cold.
    KeepCold,
    /// More than 65 %: the extension's rule is met; a claim that it keeps still needs a measured water
    /// activity.
    MeetsRuleUnmeasured,
}

impl SugarVerdict {
    /// As it reads beside a recipe.
    pub fn words(self) -> &'static str {
        match self {
            Self::KeepCold => "Not more than 65 % sugar by weight: keep it in the fridge.",
            Self::MeetsRuleUnmeasured => {
                "More than 65 % sugar by weight. Only a laboratory's water activity and pH can show that \
                 it keeps at room temperature."
            }
        }
    }
}

/// The share of sugar in a recipe, in tenths of a per cent rounded down: 2 parts of sugar with 1 of
/// cream cheese are 666. Sugar and all are weights in the same unit. Refused when there is more sugar
/// than weight, or no weight.
pub fn sugar_share(sugar: u32, all: u32) -> Result<u16, Refusal> {
    if all == 0 || all < sugar {
        return Err(Refusal::of(
            "sugar",
            format!(
                "{sugar} of sugar in {all} in all is not a share; weigh every ingredient, for example \
                 400 of sugar in 600 in all"
            ),
        ));
    }
    let share = u64::from(sugar) * 1000 / u64::from(all);
    Ok(u16::try_from(share).unwrap_or(1000))
}

/// What the share says; exactly 65 % is not more than 65 %.
pub fn sugar_verdict(sugar: u32, all: u32) -> Result<SugarVerdict, Refusal> {
    sugar_share(sugar, all)?;
    let more = u64::from(all) * 65 < u64::from(sugar) * 100;
    Ok(if more { SugarVerdict::MeetsRuleUnmeasured } else { SugarVerdict::KeepCold })
}
