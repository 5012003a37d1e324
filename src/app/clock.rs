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
