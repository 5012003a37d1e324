//! Cooling what was cooked: fast through the temperatures at which things grow.
//!
//! FDA Food Code 3-501.14: from 57 °C (135 °F) to 21 °C (70 °F) within 2 hours, and to 5 °C (41 °F) within
//! 6 hours in all; within 4 hours when made of ingredients at room temperature. Australia and New
//! Zealand, Standard 3.2.2 clause 7(3): 60 °C to 21 °C within 2 hours, and to 5 °C within a further 4.

use super::temperature::Temperature;

/// How fast food must cool.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CoolingRule {
    /// FDA Food Code 3-501.14(A), cooked food.
    Cooked,
    /// FDA Food Code 3-501.14(B), made of ingredients at room temperature.
    FromRoomTemperature,
    /// Standard 3.2.2 clause 7(3), cooked food.
    CookedAustralia,
}

/// One reading of a thermometer in the warmest part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reading {
    /// When, in minutes from any moment; readings come in order.
    pub minute: u32,
    /// How warm.
    pub temperature: Temperature,
}

/// Where a cooling stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cooling {
    /// Nothing was read yet.
    NotBegun,
    /// In time so far.
    UnderWay {
        /// The next temperature to be at or below.
        to: Temperature,
        /// By which minute.
        by: u32,
    },
    /// Cold in time.
    Done {
        /// The minute of the reading that shows it.
        at: u32,
    },
    /// Too slow: thrown away, or, when only the first stage is missed and it is found out at once, heated
    /// through and cooled anew.
    Failed {
        /// The temperature that was not reached.
        to: Temperature,
        /// By when it should have been.
        by: u32,
        /// Whether it was the first stage.
        first_stage: bool,
    },
}

/// One stage: to be at or below a temperature so many minutes from the stage's beginning.
struct Stage {
    to: Temperature,
    minutes: u32,
    /// Counted from when the stage before was reached; else from the start.
    from_previous: bool,
}

const COOKED: &[Stage] = &[
    Stage { to: Temperature::fahrenheit(70), minutes: 120, from_previous: false },
    Stage { to: Temperature::COLD, minutes: 360, from_previous: false },
];
const FROM_ROOM: &[Stage] = &[Stage { to: Temperature::COLD, minutes: 240, from_previous: false }];
const AUSTRALIA: &[Stage] = &[
    Stage { to: Temperature::celsius(21), minutes: 120, from_previous: false },
    Stage { to: Temperature::COLD, minutes: 240, from_previous: true },
];

impl CoolingRule {
    /// At or above this the clock does not run; None: it runs from the first reading.
    pub fn start(self) -> Option<Temperature> {
        match self {
            Self::Cooked => Some(Temperature::fahrenheit(135)),
            Self::FromRoomTemperature => None,
            Self::CookedAustralia => Some(Temperature::celsius(60)),
        }
    }

    fn stages(self) -> &'static [Stage] {
        match self {
            Self::Cooked => COOKED,
            Self::FromRoomTemperature => FROM_ROOM,
            Self::CookedAustralia => AUSTRALIA,
        }
    }

    /// Where a cooling stands by its readings. The clock runs from the last reading before the food was
    /// first seen below the start, or from the first reading when none was that warm. Food that is heated
    /// anew begins a new cooling: give the readings from there.
    pub fn judge(self, readings: &[Reading]) -> Cooling {
        let Some(first) = readings.first() else { return Cooling::NotBegun };
        let hot = |reading: &&Reading| self.start().is_some_and(|hot| hot <= reading.temperature);
        let start = readings.iter().take_while(hot).last().unwrap_or(first).minute;
        let mut rest = readings.iter().skip_while(|reading| reading.minute < start).peekable();
        let mut stage_start = start;
        let mut ceiling: Option<Temperature> = None;
        let mut reached = start;
        for (index, stage) in self.stages().iter().enumerate() {
            let from = if stage.from_previous { stage_start } else { start };
            let by = from.saturating_add(stage.minutes);
            let failed = Cooling::Failed { to: stage.to, by, first_stage: index == 0 };
            // The same reading may show several stages at once, so it is looked at, not taken.
            loop {
                let Some(reading) = rest.peek() else {
                    return Cooling::UnderWay { to: stage.to, by };
                };
                let warmed = ceiling.is_some_and(|ceiling| ceiling < reading.temperature);
                if warmed || by < reading.minute {
                    return failed;
                }
                if reading.temperature <= stage.to {
                    reached = reading.minute;
                    break;
                }
                if reading.minute == by {
                    return failed;
                }
                rest.next();
            }
            ceiling = Some(stage.to);
            stage_start = reached;
        }
        Cooling::Done { at: reached }
    }
}
