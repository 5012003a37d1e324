//! Keeping: how long a thing may rest where, for quality and for safety, with sources.
//!
//! In: a product and a place, or what happened to a thing: stretches out of the fridge, readings of a
//! thermometer, days in the freezer, measured water activity and acidity. Out: the limits that hold,
//! each with its source and how well it is founded, and verdicts in words. A safety limit may be tightened,
//! never loosened. Wherever these show, local rules and licensed practice decide ([`CAUTION`]). Knows
//! no cards, no orders and no clock.
//!
//! | file | says |
//! |---|---|
//! | `limit`, `table`, `sources` | the limits by product and place |
//! | `together`, `stays` | what parts keep together; time that adds up |
//! | `date_mark` | the last day, with day one counted and the freezer not |
//! | `out_of_fridge`, `cooling` | time control out of the fridge; cooling in stages |
//! | `control`, `sugar` | what needs cold; laboratory values; the share of sugar |
//! | `profile`, `rules` | which of these rules a region goes by, made stricter by the user; and how that is kept |

mod control;
mod cooling;
mod date_mark;
mod limit;
mod out_of_fridge;
mod profile;
mod rules;
mod sources;
mod stays;
mod sugar;
mod table;
mod temperature;
mod together;

pub use control::{
    Assessment, Control, Measured, Treatment, assess, control, dairy_frosting_may_stand,
    meets_home_rule,
};
pub use cooling::{Cooling, CoolingRule, Reading};
pub use date_mark::{DayRule, Freezing, Made, NO_MARK_MINUTES, combined, needs_mark, opened};
pub use limit::{Avoid, Grade, KeepingLimit, LimitKind};
pub use out_of_fridge::{Out, OutRule, Verdict};
pub use profile::{Fridge, Profile, Region, Rule};
pub use rules::{DAYS_LEAST, OUT_LEAST, Rules};
pub use stays::{Passed, Spent, Stayed, passed, spent};
pub use sugar::{SugarVerdict, sugar_share, sugar_verdict};
pub use table::{avoid, avoided, limits, limits_of};
pub use temperature::Temperature;
pub use together::{Together, is_room, limits_at, safe_minutes, together};

/// Said wherever a keeping time shows.
pub const CAUTION: &str = "Keeping times are guidance. Your local food rules and licensed practice \
decide, and may not allow some products from a home kitchen at all.";
