//! How a row of a table is written.

use crate::kitchen::Place;

use super::super::limit::LimitKind::{Quality, Safety};
use super::super::limit::{Grade, KeepingLimit};

pub(super) const HOUR: u32 = 60;
pub(super) const DAY: u32 = 24 * HOUR;

/// A limit of safety.
pub(super) const fn safe(
    product: &'static str,
    place: Place,
    minutes: u32,
    source: &'static str,
    grade: Grade,
) -> KeepingLimit {
    KeepingLimit { product, place, kind: Safety, minutes, source, grade }
}

/// A limit of quality.
pub(super) const fn best(
    product: &'static str,
    place: Place,
    minutes: u32,
    source: &'static str,
    grade: Grade,
) -> KeepingLimit {
    KeepingLimit { product, place, kind: Quality, minutes, source, grade }
}

/// A row of `FoodKeeper`: its number there, what, where, the days taken, the range as printed.
macro_rules! fk {
    ($number:literal, $what:literal, $place:expr, $days:literal, $range:literal) => {
        $crate::keeping::table::rows::best(
            $what,
            $place,
            $days * $crate::keeping::table::rows::DAY,
            concat!("FoodKeeper ", $number, ", ", $what, ": ", $range),
            $crate::keeping::Grade::Published,
        )
    };
}

/// A row of `FoodKeeper` that says "Not Recommended".
macro_rules! not {
    ($number:literal, $what:literal, $place:expr) => {
        $crate::keeping::Avoid {
            product: $what,
            place: $place,
            why: "not recommended there",
            source: concat!("FoodKeeper ", $number, ", ", $what, ": not recommended"),
            grade: $crate::keeping::Grade::Published,
        }
    };
}

pub(super) use {fk, not};
