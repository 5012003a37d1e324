//! The air of a kitchen: room, fridge and freezer, and how well it takes heat away.

use serde::{Deserialize, Serialize};

use super::dew_point;
use crate::refusal::Refusal;

/// Coldest that food is kept without freezing, and the warmest (FDA Food Code 3-501.16(A)(2)), °C.
const COLD_HOLDING: i16 = 5;

/// How warm and humid it is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Climate {
    /// The room while she works, whole °C, 10 to 35.
    pub room: i16,
    /// Inside the fridge, whole °C, 0 to 10; food belongs at 5 or below.
    pub fridge: i16,
    /// Inside the freezer, whole °C, −30 to −10; food keeps its quality at −18 or below.
    pub freezer: i16,
    /// Relative humidity of the room, per cent, 10 to 95.
    pub humidity: u8,
}

impl Default for Climate {
    /// 22 °C and 50 %; FSIS asks of fridges 40 °F or less, which is 4 °C, and of freezers 0 °F.
    fn default() -> Self {
        Self { room: 22, fridge: 4, freezer: -18, humidity: 50 }
    }
}

/// Where something cools or warms.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Air {
    /// Standing in the room.
    Room,
    /// On a wire rack in the room.
    Rack,
    /// On a fridge shelf.
    Fridge,
    /// In the freezer.
    Freezer,
}

/// What is between a thing and the air.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Cover {
    /// Nothing.
    #[default]
    Open,
    /// Film or foil that lies close.
    Wrapped,
    /// A closed box or tin with still air inside.
    Boxed,
}

impl Air {
    /// Heat taken from an open surface, W/m²K: 10 on a rack or in the room as the worked examples have
    /// it, 8 on a fridge shelf, out of 5 to 15 in textbooks for still air with radiation.
    fn surface(self) -> f64 {
        match self {
            Self::Room | Self::Rack => 10.0,
            Self::Fridge | Self::Freezer => 8.0,
        }
    }

    /// The same through a cover.
    pub fn through(self, cover: Cover) -> f64 {
        1.0 / (1.0 / self.surface() + cover.resistance())
    }

    /// In words, after "in" or "on".
    pub fn words(self) -> &'static str {
        match self {
            Self::Room => "in the room",
            Self::Rack => "on a rack",
            Self::Fridge => "in the fridge",
            Self::Freezer => "in the freezer",
        }
    }
}

impl Cover {
    /// m²K/W. Film as 3 mm of 0.2 W/mK, which holds a little air below; a still layer of air as building
    /// tables have it (from memory).
    fn resistance(self) -> f64 {
        match self {
            Self::Open => 0.0,
            Self::Wrapped => 0.015,
            Self::Boxed => 0.15,
        }
    }
}

impl Climate {
    /// °C of the air there.
    pub fn celsius(&self, air: Air) -> f64 {
        match air {
            Air::Room | Air::Rack => f64::from(self.room),
            Air::Fridge => f64::from(self.fridge),
            Air::Freezer => f64::from(self.freezer),
        }
    }

    /// The room's dew point, °C.
    pub fn dew_point(&self) -> f64 {
        dew_point(f64::from(self.room), f64::from(self.humidity))
    }

    /// Everything that is not right, by field; empty when it can be used.
    pub fn validate(&self) -> Vec<Refusal> {
        let mut refusals = Vec::new();
        let mut within = |field: &str, value: i16, (least, most): (i16, i16), unit, example| {
            if !(least..=most).contains(&value) {
                refusals.push(Refusal::of(
                    field,
                    format!(
                        "{value} {unit} cannot be right; write {least} to {most}, for example {example}"
                    ),
                ));
            }
        };
        within("room", self.room, (10, 35), "°C", 22);
        within("fridge", self.fridge, (0, 10), "°C", 4);
        within("freezer", self.freezer, (-30, -10), "°C", -18);
        within("humidity", i16::from(self.humidity), (10, 95), "%", 50);
        refusals
    }

    /// What is wrong with the air itself, in words.
    pub fn caution(&self) -> Option<String> {
        (COLD_HOLDING < self.fridge).then(|| {
            format!(
                "A fridge of {} °C is too warm: food that needs the cold belongs at {COLD_HOLDING} °C or \
                 below (FDA Food Code 3-501.16). Turn it colder before you put anything in",
                self.fridge
            )
        })
    }
}
