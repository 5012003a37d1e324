//! One limit, how well it is founded, and the rule that safety is only ever tightened.

use crate::kitchen::Place;
use crate::refusal::Refusal;

/// Why a limit is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LimitKind {
    /// Past it the product is no longer at its best.
    Quality,
    /// Past it the product may make people ill.
    Safety,
}

/// How well a limit is founded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Grade {
    /// The number stands in the published source.
    Published,
    /// The nearest published row, for a similar product.
    Nearest,
    /// Common practice, no published source.
    Practice,
}

/// How long one product may rest in one place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KeepingLimit {
    /// What, for example "meringue buttercream".
    pub product: &'static str,
    /// Where. A safety limit of the counter holds at room temperature anywhere.
    pub place: Place,
    /// Quality or safety.
    pub kind: LimitKind,
    /// Greatest minutes.
    pub minutes: u32,
    /// Where the number comes from.
    pub source: &'static str,
    /// How well it is founded.
    pub grade: Grade,
}

impl KeepingLimit {
    /// The same limit with other minutes. A quality limit may be set either way; a safety limit only
    /// downwards.
    pub fn tighten(&self, minutes: u32) -> Result<Self, Refusal> {
        if self.kind == LimitKind::Safety && self.minutes < minutes {
            return Err(Refusal::of(
                "minutes",
                format!(
                    "{} in the {} keeps {} minutes at most for safety ({}); give {} or fewer",
                    self.product, self.place, self.minutes, self.source, self.minutes
                ),
            ));
        }
        Ok(Self { minutes, ..*self })
    }
}

/// A place where a product should not rest at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Avoid {
    /// What, for example "pastry cream".
    pub product: &'static str,
    /// Where not.
    pub place: Place,
    /// What would happen, or who advises against it.
    pub why: &'static str,
    /// Where that comes from.
    pub source: &'static str,
    /// How well it is founded.
    pub grade: Grade,
}
