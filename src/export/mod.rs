//! Files for other programs: the plan as a calendar file, orders and shopping as tables.
//!
//! In: what happens and what is bought, and the moment of writing. Out: texts by open standards: iCalendar (RFC 5545) and
//! comma-separated values (RFC 4180). Knows no screen and no clock.

mod ics;
mod table;

pub use ics::{CalendarFile, calendar_file};
pub use table::{orders_table, shopping_table};
