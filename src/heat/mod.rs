//! Heat: how long a thing needs to cool, chill, warm or thaw, by its size, and whether it will sweat.
//!
//! In: a shape, what it is made of, the air around it. Out: temperatures and minutes, by transient
//! conduction (Çengel & Ghajar, *Heat and Mass Transfer*, chapter 4): the exact series in slab, cylinder
//! and sphere, their products in short cylinders and blocks, a face on a board as the middle of a body
//! twice as high. Evaporation is left out, so a cooling time is rather too long than too short.
//! Knows no cards, no orders, no clock.
//!
//! All functions of numbers are `libm`'s, so that the browser finds the same minutes as the command line;
//! rounding happens once, to whole minutes, upwards.

mod body;
mod climate;
mod dew;
mod freeze;
mod series;
mod stuff;

pub use body::{Body, Faces, Shape, Spot};
pub use climate::{Air, Climate, Cover};
pub use dew::{dew_point, driest_that_sweats, sweats};
pub use freeze::{FREEZING_CAUTION, Plank};
pub use series::{Element, Root, one_term_is_enough, roots};
pub use stuff::{Composition, Properties, Stuff};

/// Whole minutes of so many seconds, upwards: nothing is called ready too early.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a whole number between 0 and a month"
)]
pub fn minutes(seconds: f64) -> u32 {
    let minutes = libm::ceil(seconds / 60.0 - 1e-9);
    // Beyond a month nobody waits; not a number, from a target that is never reached, ends there too.
    if minutes < f64::from(MOST_MINUTES) { minutes.max(0.0) as u32 } else { MOST_MINUTES }
}

/// The longest wait that is reckoned, in minutes: 30 days.
pub const MOST_MINUTES: u32 = 43_200;
