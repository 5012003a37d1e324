//! A zone as the list of its offsets, given by the shell (the browser knows them, we ship none).
//!
//! The rules that the offsets come from are the IANA time-zone database's; what a skipped or a
//! repeated wall time means is decided here, once, for the whole app.

use serde::{Deserialize, Serialize};

use super::Wall;
use crate::refusal::Refusal;

/// Greatest distance from universal time that is believed, in minutes (18 h; the database's extreme
/// in modern times is 14 h).
const OFFSET_MAX: i32 = 18 * 60;

/// A time zone over the span that matters, as the offsets that hold from given instants.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Zone {
    /// What the shell calls it, for example `Europe/London`. Only shown, never looked up.
    pub name: String,
    /// Sorted by instant; the first one holds for all earlier time too. Never empty.
    pub changes: Vec<OffsetChange>,
}

/// From `utc` on, wall clocks stand `offset` minutes ahead of universal time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct OffsetChange {
    /// Minutes since 1970-01-01 00:00 universal time.
    pub utc: i64,
    /// Minutes east of universal time, for example 60, −300, 630.
    pub offset: i32,
}

impl Zone {
    /// A zone whose clocks never change.
    pub fn fixed(name: impl Into<String>, offset: i32) -> Self {
        Self { name: name.into(), changes: vec![OffsetChange { utc: 0, offset }] }
    }

    /// What is wrong with the list of offsets; empty when it can be used.
    pub fn validate(&self) -> Vec<Refusal> {
        let mut refusals = Vec::new();
        if self.changes.is_empty() {
            refusals.push(Refusal::of(
                "changes",
                "the zone has no offset; give at least one, for example [{\"utc\": 0, \"offset\": 60}]",
            ));
        }
        for (index, change) in self.changes.iter().enumerate() {
            if change.offset.abs() > OFFSET_MAX {
                refusals.push(Refusal::of(
                    format!("changes.{index}.offset"),
                    format!(
                        "{} minutes is no zone's offset; write minutes east of universal time \
                         between -1080 and 1080, for example 60",
                        change.offset
                    ),
                ));
            }
        }
        for (index, pair) in self.changes.windows(2).enumerate() {
            if let [earlier, later] = pair
                && earlier.utc >= later.utc
            {
                refusals.push(Refusal::of(
                    format!("changes.{}.utc", index + 1),
                    "comes at or before the one before it; sort the changes by instant",
                ));
            }
        }
        refusals
    }

    /// Minutes that wall clocks stand ahead of universal time at an instant (minutes since
    /// 1970-01-01 00:00 universal time). An empty zone counts as universal time itself.
    pub fn offset_at_utc(&self, utc: i64) -> i32 {
        let later = self.changes.partition_point(|change| change.utc <= utc);
        let holds = self.changes.get(later.saturating_sub(1));
        holds.map_or(0, |change| change.offset)
    }

    /// What the wall clock shows at an instant.
    pub fn to_wall(&self, utc: i64) -> Wall {
        Wall::from_as_if_utc(utc.saturating_add(i64::from(self.offset_at_utc(utc))))
    }

    /// The instant at which the wall clock shows `wall`: the first one if it shows it twice. A time
    /// that the clocks skip moves on by the length of the gap, so that 01:30 in a night that jumps
    /// from 01:00 to 02:00 is the instant shown as 02:30.
    pub fn to_utc(&self, wall: Wall) -> i64 {
        let local = wall.as_if_utc();
        let mut offset_before = None;
        for (index, change) in self.changes.iter().enumerate() {
            let instant = local.saturating_sub(i64::from(change.offset));
            let over = self.changes.get(index + 1).is_some_and(|next| instant >= next.utc);
            if !over {
                return match offset_before {
                    // Before this offset began, and after the one before it ended: skipped.
                    Some(before) if instant < change.utc => local.saturating_sub(i64::from(before)),
                    _ => instant,
                };
            }
            offset_before = Some(change.offset);
        }
        local
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wall(text: &str) -> Wall {
        text.parse().expect(text)
    }

    fn jumping() -> Zone {
        // Forward by an hour at universal minute 10 000, back by an hour at 20 000.
        Zone {
            name: "made up".into(),
            changes: vec![
                OffsetChange { utc: 0, offset: 60 },
                OffsetChange { utc: 10_000, offset: 120 },
                OffsetChange { utc: 20_000, offset: 60 },
            ],
        }
    }

    #[test]
    fn the_first_offset_holds_for_all_earlier_time() {
        let zone = jumping();
        assert_eq!(zone.offset_at_utc(-5_000_000), 60);
        assert_eq!(zone.offset_at_utc(9_999), 60);
        assert_eq!(zone.offset_at_utc(10_000), 120);
        assert_eq!(zone.offset_at_utc(20_000), 60);
        assert_eq!(zone.offset_at_utc(i64::MAX), 60);
    }

    #[test]
    fn skipped_times_move_on_and_repeated_ones_take_the_first() {
        let zone = jumping();
        let at = Wall::from_as_if_utc;
        assert_eq!(zone.to_utc(at(10_059)), 9_999);
        assert_eq!(zone.to_utc(at(10_060)), 10_000, "the gap's first minute");
        assert_eq!(zone.to_utc(at(10_119)), 10_059, "the gap's last minute, shown an hour later");
        assert_eq!(zone.to_wall(10_059), at(10_179));
        assert_eq!(zone.to_utc(at(10_120)), 10_000);
        assert_eq!(zone.to_utc(at(20_060)), 19_940, "shown twice: the first");
        assert_eq!(zone.to_wall(20_000), at(20_060), "shown twice: the second");
        assert_eq!(zone.to_utc(at(20_120)), 20_060);
    }

    #[test]
    fn a_fixed_zone_is_a_plain_shift() {
        let zone = Zone::fixed("kitchen", -300);
        assert!(zone.validate().is_empty());
        assert_eq!(zone.to_wall(zone.to_utc(wall("2026-11-28T18:30"))), wall("2026-11-28T18:30"));
        assert_eq!(zone.to_wall(300), wall("1970-01-01T00:00"));
    }

    #[test]
    fn bad_zones_are_refused_by_field() {
        let fields = |zone: &Zone| -> Vec<String> {
            zone.validate().into_iter().map(|refusal| refusal.field).collect()
        };
        assert_eq!(fields(&Zone { name: String::new(), changes: Vec::new() }), ["changes"]);
        assert_eq!(fields(&Zone::fixed("far", 1081)), ["changes.0.offset"]);
        assert!(fields(&Zone::fixed("edge", -1080)).is_empty());
        let mut unsorted = jumping();
        unsorted.changes.swap(1, 2);
        assert_eq!(fields(&unsorted), ["changes.2.utc"]);
        assert_eq!(Zone { name: String::new(), changes: Vec::new() }.offset_at_utc(7), 0);
    }
}
