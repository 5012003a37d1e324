//! Time out of the fridge on purpose: how long a cold food may stand, be carried or be served.
//!
//! Every rule adds all stretches up. The words of a verdict say what to do; [`super::CAUTION`] stands
//! beside them.

use super::temperature::Temperature;

/// How time out of the fridge is limited.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum OutRule {
    /// FDA Food Code 3-501.19(B): 4 hours from 5 °C or below, then eaten or thrown away. Needs a
    /// written procedure.
    FourHours,
    /// FDA Food Code 3-501.19(C): 6 hours from 5 °C or below as long as a log shows that the food stays
    /// at 21 °C (70 °F) or below; without a log it is [`OutRule::FourHours`].
    SixHoursLogged,
    /// FSIS, Danger Zone: 2 hours in all, 1 hour above 32 °C (90 °F).
    Home,
    /// Food Hygiene Regulations, schedule 4 paragraph 5(1) (England, Wales, Northern Ireland): one
    /// period of less than 4 hours above 8 °C.
    OnceUnderFourHours,
    /// FSANZ: less than 2 hours in all may go back to the fridge, up to 4 is eaten and not chilled
    /// again, more is thrown away.
    TwoAndFourHours,
}

/// One stretch out of the fridge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Out {
    /// Minutes.
    pub minutes: u32,
    /// The warmest that the room was, if known.
    pub room: Option<Temperature>,
    /// How warm the food was when it came out; unknown counts as straight from the fridge.
    pub start: Option<Temperature>,
    /// The warmest that the food was by a log, if there is one.
    pub warmest: Option<Temperature>,
}

impl Out {
    /// So many minutes, nothing measured.
    pub fn minutes(minutes: u32) -> Self {
        Self { minutes, ..Self::default() }
    }
}

/// What may still be done with the food.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// It may go back into the fridge.
    MayReturn {
        /// Minutes it may still be out.
        left: u32,
    },
    /// It is eaten, and not chilled again.
    EatOnly {
        /// Minutes until it is thrown away.
        left: u32,
    },
    /// It is thrown away.
    Discard {
        /// Why.
        why: &'static str,
    },
}

const FOUR: u32 = 4 * 60;
const NOT_COLD: &str = "it was not cold when it came out";
const TOO_LONG: &str = "it was out of the fridge for too long";

impl OutRule {
    /// The most minutes in all that the rule allows in a room, with a log or without one.
    pub fn greatest(self, room: Option<Temperature>, logged: bool) -> u32 {
        match self {
            Self::SixHoursLogged if logged => 6 * 60,
            Self::FourHours | Self::SixHoursLogged | Self::TwoAndFourHours => FOUR,
            Self::OnceUnderFourHours => FOUR - 1,
            Self::Home if is_hot(room) => 60,
            Self::Home => 120,
        }
    }

    /// What may be done after these stretches.
    pub fn judge(self, outs: &[Out]) -> Verdict {
        match self {
            Self::FourHours => four_hours(outs),
            Self::SixHoursLogged => six_hours(outs),
            Self::Home => home(outs),
            Self::OnceUnderFourHours => once(outs),
            Self::TwoAndFourHours => two_and_four(outs),
        }
    }

    /// In words, with its source.
    pub fn words(self) -> &'static str {
        match self {
            Self::FourHours => {
                "4 hours in all, then eaten or thrown away (FDA Food Code 3-501.19(B))"
            }
            Self::SixHoursLogged => {
                "6 hours in all while a log shows 21 °C (70 °F) or less, else 4 (FDA Food Code 3-501.19)"
            }
            Self::Home => "2 hours in all, 1 hour above 32 °C (90 °F) (FSIS)",
            Self::OnceUnderFourHours => {
                "once, for less than 4 hours, above 8 °C (Food Hygiene Regulations, schedule 4)"
            }
            Self::TwoAndFourHours => {
                "less than 2 hours in all and back, 2 to 4 hours and eaten, then thrown away (FSANZ)"
            }
        }
    }
}

fn is_hot(room: Option<Temperature>) -> bool {
    room.is_some_and(|room| Temperature::fahrenheit(90) < room)
}

fn total(outs: &[Out]) -> u32 {
    outs.iter().fold(0, |sum, out| sum.saturating_add(out.minutes))
}

/// Time control begins with cold food (hot food is no dessert's case).
fn came_out_cold(outs: &[Out]) -> bool {
    outs.iter().all(|out| out.start.is_none_or(|start| start <= Temperature::COLD))
}

fn within(total: u32, greatest: u32) -> Verdict {
    match greatest.checked_sub(total) {
        Some(left) => Verdict::EatOnly { left },
        None => Verdict::Discard { why: TOO_LONG },
    }
}

fn four_hours(outs: &[Out]) -> Verdict {
    if !came_out_cold(outs) {
        return Verdict::Discard { why: NOT_COLD };
    }
    within(total(outs), FOUR)
}

fn six_hours(outs: &[Out]) -> Verdict {
    let most = Temperature::fahrenheit(70);
    if !came_out_cold(outs) {
        return Verdict::Discard { why: NOT_COLD };
    }
    if outs.iter().any(|out| out.warmest.is_some_and(|warmest| most < warmest)) {
        return Verdict::Discard { why: "it was warmer than 21 °C (70 °F)" };
    }
    let logged = outs.iter().all(|out| out.warmest.is_some());
    within(total(outs), if logged { 6 * 60 } else { FOUR })
}

fn home(outs: &[Out]) -> Verdict {
    // A minute in the heat counts for two, so that an hour of it is all there is.
    let weighed = outs.iter().fold(0_u32, |sum, out| {
        let times = if is_hot(out.room) { 2 } else { 1 };
        sum.saturating_add(out.minutes.saturating_mul(times))
    });
    match 120_u32.checked_sub(weighed) {
        Some(left) => Verdict::MayReturn { left },
        None => Verdict::Discard { why: TOO_LONG },
    }
}

fn once(outs: &[Out]) -> Verdict {
    // A stretch counts unless a log shows that the food stayed at 8 °C or below.
    let chilled = |out: &&Out| out.warmest.is_none_or(|warmest| Temperature::celsius(8) < warmest);
    let mut counted = outs.iter().filter(chilled);
    match (counted.next(), counted.next()) {
        (None, _) => Verdict::MayReturn { left: FOUR - 1 },
        (Some(only), None) => within(only.minutes, FOUR - 1),
        (Some(_), Some(_)) => Verdict::Discard { why: "it was above 8 °C more than once" },
    }
}

fn two_and_four(outs: &[Out]) -> Verdict {
    let total = total(outs);
    if total < 120 { Verdict::MayReturn { left: 119 - total } } else { within(total, FOUR) }
}
