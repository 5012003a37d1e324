//! Keeping: how long a thing may rest where, for quality and for safety, with sources.
//!
//! In: a product and a place. Out: the limits that hold there, each with its source and how well it is
//! founded. A safety limit may be tightened, never loosened. Wherever these show, local rules and
//! licensed practice decide ([`CAUTION`]). Knows no cards and no dates.

mod limits;

use crate::kitchen::Place;
use crate::refusal::Refusal;

pub use limits::LIMITS;

/// Said wherever a keeping time shows.
pub const CAUTION: &str = "Keeping times are guidance. Your local food rules and licensed practice \
decide, and may not allow some products from a home kitchen at all.";

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
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeepingLimit {
    /// What, for example "meringue buttercream".
    pub product: &'static str,
    /// Where.
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
        Ok(Self { minutes, ..self.clone() })
    }
}

/// All limits of a product in a place; empty when nothing is known.
pub fn limits_of(product: &str, place: Place) -> Vec<&'static KeepingLimit> {
    LIMITS.iter().filter(|limit| limit.product == product && limit.place == place).collect()
}

/// The shortest of a product's safety limits over several parts: a mixture keeps no longer than its
/// shortest-keeping part. None when no part has one there.
pub fn safe_minutes(parts: &[&str], place: Place) -> Option<u32> {
    LIMITS
        .iter()
        .filter(|limit| limit.kind == LimitKind::Safety && limit.place == place)
        .filter(|limit| parts.contains(&limit.product))
        .map(|limit| limit.minutes)
        .min()
}
