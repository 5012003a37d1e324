//! *Cold & counter*: who is where, when, drawn to scale. Positions in mm and words, no screen.
//!
//! In: book, outlook and plan ([`crate::week::standing`] says what stands, [`crate::kitchen::stow`] where
//! exactly). Out: [`ColdView`]: for each place its surfaces, and from change to change what stands on them, what
//! is kept, what is free, what does not fit. [`front`] and [`Paper`] turn a moment into a picture of which every
//! length is known in mm; the app only multiplies. Knows no browser, asks no clock, changes nothing.
//!
//! Pictures are in whole mm. A shelf's board is the one thing that is not to scale: it carries the shelf's name.

mod compare;
mod free;
mod front;
mod label;
mod moments;
mod movable;
mod paper;
mod table;
mod view;
mod words;

pub use compare::{at_fullest, at_fullest_within, compare, of_order};
pub use free::{FreeBox, Room};
pub use front::{Front, FrontBox, FrontRow, OutsideBox, front, outside};
pub use label::{Label, label};
pub use moments::{BoxView, MomentView, MovedFrom, Outside};
pub use movable::{Movable, movable, of_step};
pub use paper::{Paper, ScaleBar};
pub use table::{Row, rows};
pub use view::{BoxKey, ColdView, DayName, PlaceView, Stand};
pub use words::{across, cm, size};
