//! A baker's rules as they are kept: her region, and what she made stricter.

use serde::{Deserialize, Serialize};

use super::date_mark::DayRule;
use super::out_of_fridge::OutRule;
use super::profile::{Profile, Region};
use super::temperature::Temperature;
use crate::refusal::Refusal;

/// Fewest minutes out of the fridge that cards can go by: some bring chilled things out for an hour before they are
/// worked on. FSIS asks for no less either (1 hour above 32 °C).
pub const OUT_LEAST: u32 = 60;
/// Fewest days, the day of making counted, with which anything chilled can be made the day before.
pub const DAYS_LEAST: u8 = 2;

/// Her region, and what she made stricter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Rules {
    /// Where she works.
    pub region: Region,
    /// The warmest that her fridge may be, whole °C.
    pub cold: i16,
    /// Days that chilled food keeps, the day of making counted, 2 to 7.
    pub days: u8,
    /// Whether the day on which a thing goes into the freezer counts too.
    pub freezing_day_counts: bool,
    /// How time out of the fridge is limited.
    pub out: OutRule,
    /// Whether there is the written procedure that some of these rules need.
    pub written_procedure: bool,
    /// Most minutes out of the fridge in all, 60 or more.
    pub out_minutes: u32,
}

impl Default for Rules {
    fn default() -> Self {
        Self::of(Region::UnitedStates)
    }
}

impl Rules {
    /// A region's rules as they are.
    pub fn of(region: Region) -> Self {
        let profile = Profile::of(region);
        let (out, out_minutes) = profile.out();
        let DayRule { days, freezing_day_counts } = profile.days();
        Self {
            region,
            cold: i16::try_from(profile.cold().0 / 100).unwrap_or(5),
            days,
            freezing_day_counts,
            out,
            written_procedure: false,
            out_minutes,
        }
    }

    /// What holds for her. Refused, field by field, is what is looser than her region allows.
    pub fn profile(&self) -> Result<Profile, Vec<Refusal>> {
        let mut profile = Profile::of(self.region);
        let mut refusals = Vec::new();
        let mut take = |step: &dyn Fn(Profile) -> Result<Profile, Refusal>| match step(profile) {
            Ok(stricter) => profile = stricter,
            Err(refusal) => refusals.push(refusal),
        };
        take(&|profile| profile.with_cold(Temperature::celsius(self.cold)));
        take(&|profile| {
            if self.days < DAYS_LEAST {
                let message = format!(
                    "with {} nothing chilled could be made the day before; give {DAYS_LEAST} to {}, for example 4",
                    self.days,
                    DayRule::FOOD_CODE.days
                );
                return Err(Refusal::of("days", message));
            }
            let freezing_day_counts = self.freezing_day_counts;
            profile.with_days(DayRule { days: self.days, freezing_day_counts })
        });
        take(&|profile| profile.with_out(self.out, self.written_procedure));
        take(&|profile| {
            if self.out_minutes < OUT_LEAST {
                let message = format!(
                    "{} minutes are fewer than cards need to bring chilled things out; give {OUT_LEAST} or more, for \
                     example 90",
                    self.out_minutes
                );
                return Err(Refusal::of("out_minutes", message));
            }
            profile.with_out_minutes(self.out_minutes)
        });
        if refusals.is_empty() { Ok(profile) } else { Err(refusals) }
    }
}

impl Profile {
    /// Minutes that chilled food keeps by her own rule, where that is stricter than her region's: the day of making
    /// is one of the days, whatever the hour.
    pub fn own_days_minutes(&self) -> Option<u32> {
        let days = self.days().days;
        let own = days < Self::of(self.region()).days().days;
        own.then(|| u32::from(days.saturating_sub(1)) * 24 * 60)
    }

    /// Minutes out of the fridge by her own rule, where that is stricter than the rule that she goes by.
    pub fn own_out_minutes(&self) -> Option<u32> {
        let (rule, minutes) = self.out();
        (minutes < rule.greatest(None, true)).then_some(minutes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_regions_own_rules_hold_and_bind_no_card_further() {
        for region in Region::ALL {
            let rules = Rules::of(region);
            let profile = rules.profile().expect("as the region has it");
            assert_eq!(profile, Profile::of(region));
            assert_eq!((profile.own_days_minutes(), profile.own_out_minutes()), (None, None));
            let text = serde_json::to_string(&rules).expect("plain data");
            assert_eq!(serde_json::from_str::<Rules>(&text).expect("the same"), rules);
        }
    }

    #[test]
    fn stricter_is_taken_and_looser_refused_field_by_field() {
        let england = Rules::of(Region::England);
        assert_eq!(england.cold, 8);
        let strict = Rules { cold: 4, days: 4, out_minutes: 90, ..england };
        let profile = strict.profile().expect("stricter");
        assert_eq!((profile.own_days_minutes(), profile.own_out_minutes()), (Some(4320), Some(90)));
        assert_eq!(profile.cold(), Temperature::celsius(4));
        let loose = Rules { cold: 9, days: 8, out_minutes: 240, ..england };
        let fields = |rules: Rules| -> Vec<String> {
            rules.profile().expect_err("looser").into_iter().map(|refusal| refusal.field).collect()
        };
        assert_eq!(fields(loose), ["cold", "days", "out_minutes"]);
        assert_eq!(fields(Rules { days: 1, ..england }), ["days"]);
        assert_eq!(fields(Rules { out_minutes: 59, ..england }), ["out_minutes"]);
        // Another region's rule, and a rule that needs a written procedure.
        assert_eq!(fields(Rules { out: OutRule::TwoAndFourHours, ..england }), ["out"]);
        let states = Rules { out: OutRule::FourHours, ..Rules::of(Region::UnitedStates) };
        assert_eq!(fields(states), ["out"]);
        assert!(Rules { written_procedure: true, ..states }.profile().is_ok());
    }
}
