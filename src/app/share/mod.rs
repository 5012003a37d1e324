//! A week that is handed on: chosen and sent from *Keep safe*, and read from a link.
//!
//! In: the plan on screen, or the fragment of the address. Out: a link, a code, a list. A page that was opened by a
//! link reads no record and writes none: it keeps nothing but its own ticks.

mod give;
mod list;
mod read;

pub(crate) use give::Share;
pub(crate) use read::{SharedPage, fragment, reload_for_links};
