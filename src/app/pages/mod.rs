//! The pages, one folder or file each, and the frame around them.

mod banners;
mod cards;
mod first;
mod frame;
mod kitchen;
mod nav;
mod orders;
mod safe;
mod shopping;
mod time;

pub(crate) use cards::card_link;
pub(crate) use frame::Frame;
