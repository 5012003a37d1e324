//! Where records are kept: one text a record, one transaction a change, "saved" only when it is on disk.
//!
//! In: batches of texts by key (`order/3`). Out: what was kept, or why not. Knows no order and no card;
//! [`codec`] turns records into texts and back.

mod boot;
mod codec;
mod idb;
mod memory;
mod saver;

#[cfg(test)]
pub(crate) mod faults;
#[cfg(test)]
mod tests;

use std::future::Future;
use std::pin::Pin;

pub(crate) use boot::{Opened, open, open_unread};
pub(crate) use codec::{Decoded, decode, raw_backup_text, texts_of};
pub(crate) use idb::{DATABASE, IdbStore};
pub(crate) use memory::MemoryStore;
pub(crate) use saver::{SaveEvent, Saver};

/// The answer of a store, some time later.
pub(crate) type Later<'a, T> = Pin<Box<dyn Future<Output = Result<T, StoreError>> + 'a>>;

/// Everything that is kept.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Snapshot {
    /// Counts up with each batch.
    pub(crate) revision: u64,
    /// Key and text of each record, sorted by key.
    pub(crate) records: Vec<(String, String)>,
    /// What could not be read once and was put aside, sorted by key.
    pub(crate) aside: Vec<(String, String)>,
}

/// What one transaction does.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Batch {
    /// The revision that the writer has seen; a store that is elsewhere refuses.
    pub(crate) seen: u64,
    /// Texts by key; none removes the record.
    pub(crate) changes: Vec<(String, Option<String>)>,
    /// Records to move aside, with the text that could not be read.
    pub(crate) aside: Vec<(String, String)>,
}

/// What a batch left behind, read again from the store.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ReadBack {
    /// The revision now.
    pub(crate) revision: u64,
    /// The texts of the keys asked for.
    pub(crate) texts: Vec<Option<String>>,
}

/// Why something was not kept or read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum StoreError {
    /// The browser keeps nothing here, or did not answer.
    Unavailable(String),
    /// The database was made by a newer version of the app.
    Newer,
    /// Somebody else wrote since; the revision found.
    Stale(u64),
    /// No room left.
    Full,
    /// The store said yes, but what it holds is not what was written.
    NotHeld,
    /// Anything else, in the browser's words.
    Failed(String),
}

impl StoreError {
    /// For the banner: what happened. No period at the end.
    pub(crate) fn words(&self) -> String {
        match self {
            Self::Unavailable(why) => {
                format!("This browser does not let the app keep data ({why})")
            }
            Self::Newer => "The data was written by a newer version of the app".to_owned(),
            Self::Stale(_) => "Another window has changed the records".to_owned(),
            Self::Full => "The device has no room left for the app's data".to_owned(),
            Self::NotHeld => "The browser said it had saved, but holds something else".to_owned(),
            Self::Failed(why) => format!("The browser refused to save ({why})"),
        }
    }
}

/// Something that keeps records. The seam at which tests inject faults.
pub(crate) trait Store {
    /// Reads everything.
    fn read(&self) -> Later<'_, Snapshot>;

    /// Does a batch whole or not at all; answers the new revision once it is on disk.
    fn write(&self, batch: Batch) -> Later<'_, u64>;

    /// Reads some records again.
    fn read_back(&self, keys: Vec<String>) -> Later<'_, ReadBack>;

    /// The keys of all records, sorted.
    fn keys(&self) -> Later<'_, Vec<String>>;
}
