//! How long something waits by its size: a card's heat, an item's counts, the kitchen's climate.

use crate::card::{Form, Heat, Size};
use crate::heat::{Air, Body, Climate, Cover, Faces, Shape, Spot, sweats};

use super::counts::Counts;

/// Reckoned minutes go up to these: nobody times a cake to the minute.
const STEP: u32 = 5;

/// A wait as reckoned.
pub(super) struct Reckoned {
    pub minutes: u32,
    pub fewest: u32,
    pub size: String,
    pub why: String,
}

/// The minutes, their least by physics alone, the size and the reasons in words.
pub(super) fn reckon(heat: &Heat, counts: &Counts, climate: &Climate) -> Reckoned {
    let mm = |size: &Size| u32::from(counts.length(size));
    let (shape, size) = match &heat.form {
        Form::Round { across, tall } => {
            let (across, height) = (mm(across), mm(tall));
            (Shape::Cylinder { across, height }, format!("{across} mm across, {height} mm high"))
        }
        Form::Block { width, depth, tall } => {
            let (width, depth, height) = (mm(width), mm(depth), mm(tall));
            (Shape::Block { width, depth, height }, format!("{width} × {depth} × {height} mm"))
        }
        Form::Ball { across } => {
            let across = mm(across);
            (Shape::Sphere { across }, format!("{across} mm across"))
        }
        Form::Spread { tall } => {
            let height = mm(tall);
            (Shape::Slab { height }, format!("{height} mm deep"))
        }
    };
    let faces = if heat.on_board { Faces::NotBottom } else { Faces::All };
    let surface = heat.air.through(heat.cover);
    let body = Body { shape, faces, stuff: heat.stuff.properties(), surface };
    let (from, air) = (f64::from(heat.from), climate.celsius(heat.air));
    let within = f64::from(heat.within);
    // From colder air it comes up to it, from warmer air down.
    let goal = if from < air { air - within } else { air + within };
    let spot = heat.below.map_or(Spot::Middle, |mm| Spot::Below(u32::from(mm)));
    let minutes = body.minutes(from, goal, air, spot).next_multiple_of(STEP);
    let there = match heat.below {
        None => "its middle".to_owned(),
        Some(mm) => format!("what is {mm} mm below its surface"),
    };
    let cover = match heat.cover {
        Cover::Open => "",
        Cover::Wrapped => " wrapped",
        Cover::Boxed => " in a closed box",
    };
    let why = format!(
        "{}, {size},{cover} {}{} at {} °C: from {} °C until {there} is at {} °C",
        heat.stuff.words(),
        heat.air.words(),
        if heat.on_board { " on its board" } else { "" },
        degrees(air),
        degrees(from),
        degrees(goal),
    );
    Reckoned { minutes, fewest: body.fewest_minutes(from, goal, air, spot).min(minutes), size, why }
}

/// A temperature as people write it.
fn degrees(celsius: f64) -> String {
    format!("{celsius:.0}").replace('-', "−")
}

/// The caution for what comes cold from the fridge or freezer into the room, when water will settle on it:
/// before it leaves in its box, or under the hands.
pub(super) fn dew(climate: &Climate, from: Air, leaves: bool) -> Option<String> {
    let cold = climate.celsius(from);
    sweats(cold, climate.celsius(Air::Room), f64::from(climate.humidity)).then(|| {
        format!(
            "It comes at {} °C into a room of {} °C and {} % humidity: water settles on whatever is colder \
             than {} °C. {}",
            degrees(cold),
            climate.room,
            climate.humidity,
            degrees(climate.dew_point()),
            if leaves {
                "Let it come up in its closed box before it is opened"
            } else {
                "Have it out briefly, dry it with a cloth that only touches, and let colours that run wait"
            },
        )
    })
}
