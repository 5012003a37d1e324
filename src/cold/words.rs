//! Lengths, areas and positions in words.

use crate::kitchen::Place;

/// "24", "24.5": a length in cm, to the mm, without its unit.
pub fn cm(mm: u32) -> String {
    match mm % 10 {
        0 => (mm / 10).to_string(),
        rest => format!("{}.{rest}", mm / 10),
    }
}

/// "24 × 33 cm": width and depth.
pub fn across(width: u32, depth: u32) -> String {
    format!("{} × {} cm", cm(width), cm(depth))
}

/// "24 × 33 × 12.5 cm": width, depth and height.
pub fn size(width: u32, depth: u32, height: u32) -> String {
    format!("{} × {} × {} cm", cm(width), cm(depth), cm(height))
}

/// "12 dm²", "80 cm²" where there is less than a dm².
pub(super) fn area(mm2: u64) -> String {
    let cm2 = mm2 / 100;
    if cm2 < 100 { format!("{cm2} cm²") } else { format!("{} dm²", cm2 / 100) }
}

/// "12 cm from the left, at the front", "at the left, 3 cm from the front, third in its pile".
pub(super) fn position(x: u32, y: u32, level: u32) -> String {
    let left =
        if x == 0 { "at the left".to_owned() } else { format!("{} cm from the left", cm(x)) };
    let front =
        if y == 0 { "at the front".to_owned() } else { format!("{} cm from the front", cm(y)) };
    match level {
        0 => format!("{left}, {front}"),
        level => format!("{left}, {front}, {} in its pile", ordinal(level + 1)),
    }
}

fn ordinal(number: u32) -> String {
    match number {
        2 => "second".to_owned(),
        3 => "third".to_owned(),
        4 => "fourth".to_owned(),
        5 => "fifth".to_owned(),
        more => format!("number {more}"),
    }
}

/// "2 boxes", "1 tray".
pub(super) fn counted(place: Place, count: usize) -> String {
    let (one, many) = if place == Place::Rack { ("tray", "trays") } else { ("box", "boxes") };
    format!("{count} {}", if count == 1 { one } else { many })
}

/// "a", "a and b", "a, b and c".
pub(super) fn listed(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
