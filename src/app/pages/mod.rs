//! The pages, one folder or file each, and the frame around them.

mod frame;

pub(crate) use frame::Frame;
