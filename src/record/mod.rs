//! Records: the book, the commands that change it, and how it is kept.
//!
//! One document ([`Book`]), one mutator ([`Book::apply`]). A change is the list of records before and
//! after, so that undo, storage and following tabs all use the same thing. Pure: the shell stores.

mod backup;
mod book;
mod cards;
mod care;
mod change;
mod command;
mod earned;
mod envelope;
mod fit;
mod history;
mod json;
mod kitchen;
mod learn;
mod load;
mod merge;
mod paces;
mod packed;
mod planned;
mod progress;
mod reckon;
mod room;
mod waits;
mod went;

pub use crate::refusal::Refusal;
pub use backup::{Backup, BackupError, RestorePreview};
pub use book::{Book, Pin, Record, RecordKey, RecordKind, Settings, Shown};
pub use cards::NewerCard;
pub use change::{Change, Conflict, Swap};
pub use command::Command;
pub use earned::{Earned, Earner, Month};
pub use envelope::Unreadable;
pub use fit::{FewerSpares, Fit, FitAnswer, FitCheck, fit_check};
pub use history::History;
pub use load::{Loaded, Newer, SetAside};
pub use paces::Pace;
pub use packed::{PackedCheck, PackedPlanner, PackingSpent};
pub use planned::{Outlook, PlanInput};
pub use progress::{Deed, Progress, Stretch, Timer, Timers, Worked};
pub(crate) use room::{room_clearings, shelf_volume, shelves_of};
