//! The table of limits for what the built-in cards make.
//!
//! A date mark counts the day of making as the first of seven, so that a thing made at any hour may
//! rest six whole days: 6 × 1440 minutes. Where a source gives a range, its shorter end is taken or
//! the middle, and the row says which.

use crate::kitchen::Place::{Counter, Freezer, Fridge, RoomShelf};

use super::Grade::{Nearest, Practice, Published};
use super::KeepingLimit;
use super::LimitKind::{Quality, Safety};

const HOUR: u32 = 60;
const DAY: u32 = 24 * HOUR;

const TWO_HOURS: &str = "FSIS, Danger Zone: never out of the fridge over 2 hours";
const FOUR_HOURS: &str = "FDA Food Code 3-501.19(B): 4 hours without temperature control";
const SEVEN_DAYS: &str =
    "FDA Food Code 3-501.17(A): 7 days at 5 °C, the day of making counted as day 1";
const RAW_EGG: &str = "FoodKeeper, raw egg whites and yolks: 2–4 days refrigerated; 3 taken";
const CAKES: &str = "FoodKeeper, cakes and muffins: 3–7 days at room temperature; 3 taken";
const COOKIES: &str = "Georgia extension: baked cookies sealed at room temperature up to 2 weeks";
const CAKE_FROZEN: &str =
    "Clemson extension, HGIC 3065: unfrosted butter cake frozen 2–4 months; 2 taken";
const PRACTICE: &str = "common practice, no published source";

/// Limits by product and place.
pub const LIMITS: &[KeepingLimit] = &[
    KeepingLimit {
        product: "cookie dough",
        place: Counter,
        kind: Safety,
        minutes: 2 * HOUR,
        source: TWO_HOURS,
        grade: Nearest,
    },
    KeepingLimit {
        product: "cookie dough",
        place: Fridge,
        kind: Safety,
        minutes: 3 * DAY,
        source: RAW_EGG,
        grade: Nearest,
    },
    KeepingLimit {
        product: "cookie dough",
        place: Freezer,
        kind: Quality,
        minutes: 60 * DAY,
        source: "FoodKeeper, cookie dough: frozen 2 months",
        grade: Published,
    },
    KeepingLimit {
        product: "baked cookies",
        place: RoomShelf,
        kind: Quality,
        minutes: 14 * DAY,
        source: COOKIES,
        grade: Published,
    },
    KeepingLimit {
        product: "royal icing",
        place: Counter,
        kind: Safety,
        minutes: 4 * HOUR,
        source: FOUR_HOURS,
        grade: Nearest,
    },
    KeepingLimit {
        product: "royal icing",
        place: Fridge,
        kind: Safety,
        minutes: 3 * DAY,
        source: RAW_EGG,
        grade: Nearest,
    },
    KeepingLimit {
        product: "iced cookies",
        place: RoomShelf,
        kind: Quality,
        minutes: 14 * DAY,
        source: COOKIES,
        grade: Nearest,
    },
    KeepingLimit {
        product: "cake layers",
        place: RoomShelf,
        kind: Quality,
        minutes: 3 * DAY,
        source: CAKES,
        grade: Published,
    },
    KeepingLimit {
        product: "cake layers",
        place: Fridge,
        kind: Quality,
        minutes: 2 * DAY,
        source: PRACTICE,
        grade: Practice,
    },
    KeepingLimit {
        product: "cake layers",
        place: Freezer,
        kind: Quality,
        minutes: 60 * DAY,
        source: CAKE_FROZEN,
        grade: Published,
    },
    KeepingLimit {
        product: "meringue buttercream",
        place: Counter,
        kind: Safety,
        minutes: 2 * HOUR,
        source: TWO_HOURS,
        grade: Published,
    },
    KeepingLimit {
        product: "meringue buttercream",
        place: Fridge,
        kind: Safety,
        minutes: 6 * DAY,
        source: SEVEN_DAYS,
        grade: Published,
    },
    KeepingLimit {
        product: "meringue buttercream",
        place: Freezer,
        kind: Quality,
        minutes: 60 * DAY,
        source: PRACTICE,
        grade: Practice,
    },
    KeepingLimit {
        product: "sugar buttercream",
        place: Counter,
        kind: Quality,
        minutes: 2 * DAY,
        source: "Kansas State extension MF3544: more than 65 % sugar by weight may stand at room \
                 temperature; 2 days taken",
        grade: Nearest,
    },
    KeepingLimit {
        product: "sugar buttercream",
        place: Fridge,
        kind: Quality,
        minutes: 14 * DAY,
        source: "FoodKeeper, frosting: 2–3 weeks refrigerated after opening; 2 taken",
        grade: Nearest,
    },
    KeepingLimit {
        product: "fruit filling",
        place: Counter,
        kind: Safety,
        minutes: 2 * HOUR,
        source: TWO_HOURS,
        grade: Nearest,
    },
    KeepingLimit {
        product: "fruit filling",
        place: Fridge,
        kind: Safety,
        minutes: 6 * DAY,
        source: SEVEN_DAYS,
        grade: Published,
    },
    KeepingLimit {
        product: "fruit filling",
        place: Freezer,
        kind: Quality,
        minutes: 240 * DAY,
        source: "FoodKeeper, fruit pies: frozen 8 months",
        grade: Nearest,
    },
    KeepingLimit {
        product: "cake pops",
        place: RoomShelf,
        kind: Quality,
        minutes: 3 * DAY,
        source: CAKES,
        grade: Nearest,
    },
    KeepingLimit {
        product: "cake pops",
        place: Fridge,
        kind: Safety,
        minutes: 6 * DAY,
        source: SEVEN_DAYS,
        grade: Nearest,
    },
    KeepingLimit {
        product: "chocolate shells",
        place: RoomShelf,
        kind: Quality,
        minutes: 365 * DAY,
        source: "FoodKeeper, solid chocolate: 1–2 years unopened, 1 year opened",
        grade: Published,
    },
];
