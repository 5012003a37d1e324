//! The week on screen: seven columns, or one day at a time on a narrow window.
//!
//! In: the app's handle. Out: commands that pin, tick or let go a step, and nothing else. All geometry
//! and all words come from [`rackweek::week`]; this folder turns units into pixels and fingers into units.

mod bar;
mod block;
mod column;
mod dom;
mod drag;
mod elsewhere;
mod goodness;
mod model;
mod news;
mod page;
mod paper;
mod places;
mod problems;
mod sheet;
mod sign;
mod threads;
mod trials;
mod why_not;

pub(crate) use news::MovedList;
pub(crate) use page::WeekPage;
