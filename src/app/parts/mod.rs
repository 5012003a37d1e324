//! Small parts used on every page. They know no order and no kitchen.

mod came_back;
mod choose;
mod dialog;
mod field;
mod icon;
mod mark;
pub(crate) mod number;
mod remove;
mod rows;
mod unfold;

pub(crate) use came_back::CameBack;
pub(crate) use choose::Choose;
pub(crate) use dialog::{Confirm, show_while};
pub(crate) use field::{Area, ErrorLine, Input, Switch};
pub(crate) use icon::Icon;
pub(crate) use mark::{DayName, OrderMark, StageBadge, capital, mark_class, stage_name};
pub(crate) use number::{Measure, Stepper};
pub(crate) use remove::Remove;
pub(crate) use rows::For;
pub(crate) use unfold::is_unfolded;
