//! *Cold & counter* on screen: pictures of the places to scale, through time.
//!
//! In: the app's handle. Out: at most the command that pins a step at another time, when she has seen in
//! pictures what that does. All positions and words come from [`rackweek::cold`]; this folder turns mm into
//! pixels and fingers into moments. Pictures are for eyes and fingers; the list beside them and the table say
//! the same to keyboards and ears.

mod chosen;
mod front;
mod model;
mod page;
mod pictures;
mod strip;
mod table;
mod time;
mod trial;
mod what_if;

pub(crate) use model::ColdSpot;
pub(crate) use page::ColdPage;
