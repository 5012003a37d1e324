//! Small parts used on every page. They know no order and no kitchen.

mod came_back;
mod choose;
mod dialog;
mod field;
mod icon;
mod mark;
pub(crate) mod number;
mod printing;
mod remove;
mod rows;
mod send_on;
mod unfold;

pub(crate) use came_back::CameBack;
pub(crate) use choose::Choose;
pub(crate) use dialog::{Confirm, show_while};
pub(crate) use field::{Area, ErrorLine, Input, Switch};
pub(crate) use icon::Icon;
pub(crate) use mark::{DayName, OrderMark, StageBadge, capital, mark_class, stage_name};
pub(crate) use number::{Measure, Stepper};
pub(crate) use printing::printing;
pub(crate) use remove::Remove;
pub(crate) use rows::For;
pub(crate) use send_on::SendOn;
pub(crate) use unfold::is_unfolded;
