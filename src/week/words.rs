//! Times, days and places in words.

use crate::calendar::{Date, Elapsed, Horizon, Wall};
use crate::kitchen::Place;

const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// "Thursday".
pub fn day_name(date: Date) -> &'static str {
    date.weekday().name()
}

/// "Thu".
pub fn day_short(date: Date) -> &'static str {
    date.weekday().short()
}

/// "26 Nov".
pub(crate) fn day_and_month(date: Date) -> String {
    let (_, month, day) = date.parts();
    let name = usize::try_from(month).ok().and_then(|month| MONTHS.get(month.checked_sub(1)?));
    format!("{day} {}", name.unwrap_or(&""))
}

/// "Thursday 26 Nov".
pub(crate) fn full_day(date: Date) -> String {
    format!("{} {}", day_name(date), day_and_month(date))
}

/// "18:30".
pub fn time_of(wall: Wall) -> String {
    let minute = wall.minute_of_day();
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

/// "morning", "afternoon", "evening".
pub(super) fn part_of_day(at: Wall) -> &'static str {
    match at.minute_of_day() / 60 {
        0..12 => "morning",
        12..17 => "afternoon",
        _ => "evening",
    }
}

/// "18:30–19:45".
pub(super) fn time_range(horizon: &Horizon, start: Elapsed, end: Elapsed) -> String {
    format!("{}–{}", time_of(horizon.wall(start)), time_of(horizon.wall(end)))
}

/// "Thursday 18:30".
pub(super) fn day_time(horizon: &Horizon, moment: Elapsed) -> String {
    let wall = horizon.wall(moment);
    format!("{} {}", day_name(wall.date()), time_of(wall))
}

/// "19:10" on the same day as `seen_from`, else "Thu 19:10".
pub(super) fn time_seen_from(horizon: &Horizon, moment: Elapsed, seen_from: Elapsed) -> String {
    let wall = horizon.wall(moment);
    if wall.date() == horizon.wall(seen_from).date() {
        time_of(wall)
    } else {
        format!("{} {}", day_short(wall.date()), time_of(wall))
    }
}

/// "2 h 15 min", "45 min", "3 days".
pub(crate) fn duration(minutes: i32) -> String {
    let minutes = minutes.max(0);
    let (hours, rest) = (minutes / 60, minutes % 60);
    if hours >= 48 && minutes % (24 * 60) == 0 {
        format!("{} days", hours / 24)
    } else if hours == 0 {
        format!("{rest} min")
    } else if rest == 0 {
        format!("{hours} h")
    } else {
        format!("{hours} h {rest} min")
    }
}

/// "in the fridge", "on the rack".
pub(super) fn at_place(place: Place) -> &'static str {
    match place {
        Place::Fridge => "in the fridge",
        Place::Freezer => "in the freezer",
        Place::Rack => "on the rack",
        Place::Counter => "on the counter",
        Place::RoomShelf => "on the room shelf",
    }
}

/// One letter for threads and gauges, different for each place.
pub fn place_letter(place: Place) -> &'static str {
    match place {
        Place::Fridge => "F",
        Place::Freezer => "Z",
        Place::Rack => "R",
        Place::Counter => "C",
        Place::RoomShelf => "S",
    }
}

/// One word for a gauge beside its letter.
pub fn place_word(place: Place) -> &'static str {
    match place {
        Place::Fridge => "fridge",
        Place::Freezer => "freezer",
        Place::Rack => "racks",
        Place::Counter => "counter",
        Place::RoomShelf => "shelf",
    }
}

/// The first letter made great.
pub(crate) fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
