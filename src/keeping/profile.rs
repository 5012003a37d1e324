//! By which rules a region goes, and how a baker makes them stricter.
//!
//! A profile chooses values and words. Where a region's law names no number, the FDA Food Code's or the
//! FSIS's is taken and the rule says so ([`Rule::own`] is false). Every value may be made stricter; a looser one
//! is refused with the reason. A profile never lengthens a limit of the tables.

use crate::kitchen::Place;
use crate::refusal::Refusal;

use super::cooling::CoolingRule;
use super::date_mark::DayRule;
use super::limit::{KeepingLimit, LimitKind};
use super::out_of_fridge::{Out, OutRule, Verdict};
use super::temperature::Temperature;
use super::together::is_room;

/// Where the baker works.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Region {
    /// A state that goes by the FDA Food Code, a model code: what a state or county adopted decides.
    UnitedStates,
    /// England; Wales and Northern Ireland print the same numbers.
    England,
    /// The European Union's Regulation (EC) 852/2004, which names almost no numbers; countries add theirs.
    EuropeanUnion,
    /// Australia and New Zealand.
    AustraliaNewZealand,
}

/// One rule of a region, in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rule {
    /// What is asked.
    pub words: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// Whether the region's own rules name the number; otherwise another's is taken for want of one.
    pub own: bool,
}

const SEVEN_TAKEN: Rule = Rule {
    words: "Use within 7 days at 5 °C or below; the day of making is day 1.",
    source: "no number in the region's own rules; FDA Food Code 3-501.17(A) taken",
    own: false,
};
const STAGES_TAKEN: Rule = Rule {
    words: "Cool as fast as possible: from 57 °C to 21 °C in 2 hours, to 5 °C in 6 hours in all.",
    source: "Regulation (EC) 852/2004, annex II chapter IX: as quickly as possible, no number; FDA Food Code \
             3-501.14(A) taken",
    own: false,
};

impl Region {
    /// All regions.
    pub const ALL: [Self; 4] =
        [Self::UnitedStates, Self::England, Self::EuropeanUnion, Self::AustraliaNewZealand];

    /// For the chooser.
    pub fn name(self) -> &'static str {
        match self {
            Self::UnitedStates => "United States (model Food Code)",
            Self::England => "England",
            Self::EuropeanUnion => "European Union (general rules)",
            Self::AustraliaNewZealand => "Australia and New Zealand",
        }
    }

    /// How cold the fridge keeps food at least.
    pub fn cold(self) -> Rule {
        match self {
            Self::UnitedStates => Rule {
                words: "5 °C (41 °F) or below.",
                source: "FDA Food Code 3-501.16(A)(2)",
                own: true,
            },
            Self::England => Rule {
                words: "8 °C or below by law; 5 °C is the aim, and days are counted at 5 °C.",
                source: "Food Safety and Hygiene (England) Regulations 2013, schedule 4 paragraph 2",
                own: true,
            },
            Self::EuropeanUnion => Rule {
                words: "5 °C or below; the cold chain is not interrupted.",
                source: "Regulation (EC) 852/2004, annex II chapter IX, no number; FDA Food Code \
                         3-501.16(A)(2) taken",
                own: false,
            },
            Self::AustraliaNewZealand => Rule {
                words: "5 °C or below.",
                source: "FSANZ, 2-hour/4-hour rule: between 5 and 60 °C food is in danger",
                own: true,
            },
        }
    }

    /// How many days are counted.
    pub fn days(self) -> Rule {
        match self {
            Self::UnitedStates => Rule {
                words: "Use within 7 days at 41 °F (5 °C) or below; the day of making is day 1.",
                source: "FDA Food Code 3-501.17(A)",
                own: true,
            },
            Self::England | Self::EuropeanUnion | Self::AustraliaNewZealand => SEVEN_TAKEN,
        }
    }

    /// How long cold food may be out of the fridge.
    pub fn out(self) -> Rule {
        match self {
            Self::UnitedStates => Rule {
                words: "2 hours in all, 1 hour above 90 °F (32 °C).",
                source: "FSIS, Danger Zone",
                own: true,
            },
            Self::England => Rule {
                words: "Once, for less than 4 hours, above 8 °C; then eaten or thrown away.",
                source: "Food Hygiene Regulations, schedule 4 paragraph 5(1)",
                own: true,
            },
            Self::EuropeanUnion => Rule {
                words: "2 hours in all, 1 hour above 32 °C.",
                source: "Regulation (EC) 852/2004, annex II chapter IX: limited periods, no number; FSIS taken",
                own: false,
            },
            Self::AustraliaNewZealand => Rule {
                words: "Less than 2 hours in all: back into the fridge. 2 to 4 hours: used now. Longer: thrown away.",
                source: "FSANZ, 2-hour/4-hour rule",
                own: true,
            },
        }
    }

    /// How fast cooked food is cooled.
    pub fn cooling(self) -> Rule {
        match self {
            Self::UnitedStates => Rule {
                words: "From 135 °F to 70 °F in 2 hours, to 41 °F in 6 hours in all.",
                source: "FDA Food Code 3-501.14(A)",
                own: true,
            },
            Self::England | Self::EuropeanUnion => STAGES_TAKEN,
            Self::AustraliaNewZealand => Rule {
                words: "From 60 °C to 21 °C in 2 hours, to 5 °C in a further 4 hours.",
                source: "Food Standards Code, Standard 3.2.2 clause 7(3)",
                own: true,
            },
        }
    }

    /// The rules for time out of the fridge that may be chosen here, the usual one first.
    pub fn out_rules(self) -> &'static [OutRule] {
        match self {
            Self::UnitedStates => &[OutRule::Home, OutRule::FourHours, OutRule::SixHoursLogged],
            Self::England => &[OutRule::OnceUnderFourHours, OutRule::Home],
            Self::EuropeanUnion => &[OutRule::Home],
            Self::AustraliaNewZealand => &[OutRule::TwoAndFourHours, OutRule::Home],
        }
    }
}

/// What holds for one baker: her region's rules, some of them made stricter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Profile {
    region: Region,
    cold: Temperature,
    days: DayRule,
    out: OutRule,
    out_minutes: u32,
}

/// What a fridge of some temperature is good for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fridge {
    /// Cold enough, and days may be counted.
    Cold,
    /// Allowed here, but too warm for the days that the tables count.
    AllowedNotCounted,
    /// Too warm.
    TooWarm,
}

impl Profile {
    /// A region's rules as they are.
    pub fn of(region: Region) -> Self {
        let out = region.out_rules().first().copied().unwrap_or(OutRule::Home);
        let cold =
            if region == Region::England { Temperature::celsius(8) } else { Temperature::COLD };
        Self { region, cold, days: DayRule::FOOD_CODE, out, out_minutes: out.greatest(None, true) }
    }

    /// Where.
    pub fn region(&self) -> Region {
        self.region
    }

    /// The warmest that the fridge may be.
    pub fn cold(&self) -> Temperature {
        self.cold
    }

    /// How days are counted.
    pub fn days(&self) -> DayRule {
        self.days
    }

    /// How time out of the fridge is limited, and the most minutes.
    pub fn out(&self) -> (OutRule, u32) {
        (self.out, self.out_minutes)
    }

    /// How fast cooked food must cool.
    pub fn cooling(&self) -> CoolingRule {
        match self.region {
            Region::AustraliaNewZealand => CoolingRule::CookedAustralia,
            _ => CoolingRule::Cooked,
        }
    }

    /// With a colder fridge. Refused when it is warmer than the region allows.
    pub fn with_cold(self, cold: Temperature) -> Result<Self, Refusal> {
        let most = Self::of(self.region).cold;
        if most < cold {
            return Err(refused(
                "cold",
                format!("{cold} in the fridge"),
                format!("{most} or less"),
                self.region.cold(),
            ));
        }
        Ok(Self { cold, ..self })
    }

    /// With fewer days, the day of making counted. Refused when they are none, or more than the seven.
    pub fn with_days(self, days: DayRule) -> Result<Self, Refusal> {
        let most = DayRule::FOOD_CODE.days;
        if !(1..=most).contains(&days.days) {
            return Err(refused(
                "days",
                format!("{} days", days.days),
                format!("1 to {most}"),
                self.region.days(),
            ));
        }
        Ok(Self { days, ..self })
    }

    /// With another rule for time out of the fridge. Refused when the region does not know it, or when it
    /// needs a written procedure and there is none.
    pub fn with_out(self, out: OutRule, written_procedure: bool) -> Result<Self, Refusal> {
        if !self.region.out_rules().contains(&out) {
            let usual = self.region.out();
            return Err(refused("out", out.words().to_owned(), usual.words.to_owned(), usual));
        }
        let needs_procedure = matches!(out, OutRule::FourHours | OutRule::SixHoursLogged);
        if needs_procedure && !written_procedure {
            return Err(Refusal::of(
                "out",
                format!(
                    "{} needs a written procedure made in advance (FDA Food Code 3-501.19(A)); keep for example to: {}",
                    out.words(),
                    OutRule::Home.words()
                ),
            ));
        }
        Ok(Self { out, out_minutes: out.greatest(None, true), ..self })
    }

    /// With fewer minutes out of the fridge in all. Refused when they are more than the rule allows.
    pub fn with_out_minutes(self, minutes: u32) -> Result<Self, Refusal> {
        let most = self.out.greatest(None, true);
        if most < minutes {
            return Err(refused(
                "out_minutes",
                format!("{minutes} minutes out of the fridge"),
                format!("{most} or fewer"),
                self.region.out(),
            ));
        }
        Ok(Self { out_minutes: minutes, ..self })
    }

    /// What a fridge so warm is good for. The tables count days at 5 °C.
    pub fn fridge(&self, temperature: Temperature) -> Fridge {
        if self.cold < temperature {
            Fridge::TooWarm
        } else if Temperature::COLD < temperature {
            Fridge::AllowedNotCounted
        } else {
            Fridge::Cold
        }
    }

    /// What may be done after these stretches out of the fridge: what the rule says, or less when the baker
    /// allows fewer minutes.
    pub fn judge_out(&self, outs: &[Out]) -> Verdict {
        let total = outs.iter().fold(0_u32, |sum, out| sum.saturating_add(out.minutes));
        let verdict = self.out.judge(outs);
        if self.out_minutes == self.out.greatest(None, true) {
            return verdict;
        }
        let Some(cap) = self.out_minutes.checked_sub(total) else {
            return Verdict::Discard { why: "it was out of the fridge for longer than you allow" };
        };
        match verdict {
            Verdict::MayReturn { left } => Verdict::MayReturn { left: left.min(cap) },
            Verdict::EatOnly { left } => Verdict::EatOnly { left: left.min(cap) },
            discard @ Verdict::Discard { .. } => discard,
        }
    }

    /// The minutes of a limit of the tables under this profile: never more than the table's.
    pub fn minutes(&self, limit: &KeepingLimit) -> u32 {
        match (limit.kind, limit.place) {
            (LimitKind::Safety, place) if is_room(place) => limit.minutes.min(self.out_minutes),
            (LimitKind::Safety, Place::Fridge) => {
                // The day of making is one of the days, whatever the hour.
                limit.minutes.min(u32::from(self.days.days.saturating_sub(1)) * 24 * 60)
            }
            _ => limit.minutes,
        }
    }

    /// What stands before a last day for safety. The European and Australian words are from memory of their
    /// labelling rules.
    pub fn safety_words(&self) -> &'static str {
        match self.region {
            Region::UnitedStates => "Eat or throw away by",
            Region::England | Region::EuropeanUnion | Region::AustraliaNewZealand => "Use by",
        }
    }

    /// What stands before a last day for quality.
    pub fn quality_words(&self) -> &'static str {
        match self.region {
            Region::UnitedStates => "Best by",
            Region::England | Region::EuropeanUnion | Region::AustraliaNewZealand => "Best before",
        }
    }
}

fn refused(field: &str, asked: String, allowed: String, rule: Rule) -> Refusal {
    Refusal::of(
        field,
        format!(
            "{asked} is looser than the rule here allows ({}); give for example {allowed}",
            rule.source
        ),
    )
}
