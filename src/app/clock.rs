//! The browser's clock and zone, read through `Date` so that a test may fix both.

use js_sys::Date as JsDate;
use rackweek::calendar::{OffsetChange, Wall, Zone};
use wasm_bindgen::JsValue;

const MINUTE_MS: f64 = 60_000.0;
const DAY_MINUTES: i64 = 24 * 60;

/// What the clock on the wall shows now.
pub(crate) fn now() -> Wall {
    let utc = utc_now();
    Wall::from_as_if_utc(utc + i64::from(offset_at(utc)))
}

/// Minutes since 1970-01-01 00:00 universal time.
pub(crate) fn utc_now() -> i64 {
    whole_minutes(JsDate::now())
}

/// Seconds since 1970-01-01 00:00 universal time.
pub(crate) fn seconds_now() -> i64 {
    (JsDate::now() / 1000.0).floor() as i64
}

/// Minutes east of universal time at an instant.
fn offset_at(utc: i64) -> i32 {
    let date = JsDate::new(&JsValue::from_f64(utc as f64 * MINUTE_MS));
    let west = date.get_timezone_offset();
    if west.is_finite() { -(west.round() as i32) } else { 0 }
}

fn whole_minutes(ms: f64) -> i64 {
    (ms / MINUTE_MS).floor() as i64
}

/// The zone's offsets from a year ago to three years ahead, each change found to the minute.
pub(crate) fn zone() -> Zone {
    let now = utc_now();
    Zone {
        name: super::intl::zone_name(),
        changes: sample(now - 366 * DAY_MINUTES, now + 3 * 366 * DAY_MINUTES, offset_at),
    }
}

/// All offsets between two instants. Looks every week, since no zone has been seen to change its
/// clocks twice within one and come back to the same offset, and bisects to the minute.
pub(crate) fn sample(from: i64, to: i64, offset_at: impl Fn(i64) -> i32) -> Vec<OffsetChange> {
    let mut changes = vec![OffsetChange { utc: from, offset: offset_at(from) }];
    let mut before = from;
    let mut offset = offset_at(from);
    while before < to {
        let after = (before + 7 * DAY_MINUTES).min(to);
        let later = offset_at(after);
        if later != offset {
            let (mut low, mut high) = (before, after);
            while high - low > 1 {
                let middle = low + (high - low) / 2;
                if offset_at(middle) == offset {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            offset = offset_at(high);
            changes.push(OffsetChange { utc: high, offset });
            // A second change within the same week is looked for from here.
            before = high;
            continue;
        }
        before = after;
    }
    changes
}

#[cfg(test)]
mod tests {
    use super::*;
    use wasm_bindgen_test::wasm_bindgen_test;

    const HOUR: i64 = 60;

    #[wasm_bindgen_test]
    fn each_change_of_the_clocks_is_found_to_the_minute() {
        // A summer hour between two instants that fall into the middle of a week.
        let (spring, autumn) = (30 * DAY_MINUTES + 61, 210 * DAY_MINUTES + 7 * HOUR + 13);
        let offset = |utc: i64| if (spring..autumn).contains(&utc) { 120 } else { 60 };
        let changes = sample(0, 400 * DAY_MINUTES, offset);
        let found: Vec<(i64, i32)> = changes.iter().map(|c| (c.utc, c.offset)).collect();
        assert_eq!(found, [(0, 60), (spring, 120), (autumn, 60)]);
    }

    #[wasm_bindgen_test]
    fn two_changes_in_one_week_and_half_hours_are_found() {
        let offset = |utc: i64| match utc {
            ..1000 => 630,
            1000..3000 => 660,
            _ => 600,
        };
        let changes = sample(0, 30 * DAY_MINUTES, offset);
        let found: Vec<(i64, i32)> = changes.iter().map(|c| (c.utc, c.offset)).collect();
        assert_eq!(found, [(0, 630), (1000, 660), (3000, 600)]);
    }

    #[wasm_bindgen_test]
    fn the_browsers_own_zone_agrees_with_its_clock() {
        let zone = zone();
        assert!(zone.validate().is_empty(), "{zone:?}");
        for days in [-300, -100, 0, 50, 200, 900] {
            let utc = utc_now() + days * DAY_MINUTES;
            assert_eq!(zone.offset_at_utc(utc), offset_at(utc), "{days} days from now");
        }
        let late = zone.to_wall(utc_now()).as_if_utc() - now().as_if_utc();
        assert!((0..=1).contains(&late.abs()), "{late} minutes apart");
    }
}
