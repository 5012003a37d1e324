//! Records to texts for the store, and back.

use rackweek::calendar::{Wall, Zone};
use rackweek::record::{Backup, Book, Change, Loaded, Record, SetAside};

/// What the texts of a store say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Decoded {
    /// All that could be read.
    pub(crate) book: Book,
    /// Key and text of what could not.
    pub(crate) unread: Vec<(String, String)>,
    /// A newer version wrote some of it: then nothing may be written.
    pub(crate) newer: bool,
}

/// The texts that a change leaves behind, by key; none where a record is gone.
pub(crate) fn texts_of(change: &Change) -> Vec<(String, Option<String>)> {
    change
        .swaps
        .iter()
        .map(|swap| (swap.key.to_string(), swap.after.as_ref().map(Record::to_json)))
        .collect()
}

/// Reads the texts of a store.
pub(crate) fn decode(records: &[(String, String)]) -> Decoded {
    let loaded = Loaded::from_store(records.iter().cloned());
    let unread = loaded.set_aside.into_iter().map(|SetAside { key, text, .. }| (key, text));
    Decoded { book: loaded.book, unread: unread.collect(), newer: !loaded.newer.is_empty() }
}

/// The text of a backup file.
pub(crate) fn backup_text(book: &Book, taken_at: Wall, zone: &Zone) -> String {
    Backup { taken_at, zone: zone.clone(), book: book.clone() }.to_json()
}

/// A backup of texts that a newer version wrote: in the form of a backup, with every record untouched.
pub(crate) fn raw_backup_text(records: &[(String, String)], taken_at: Wall, zone: &Zone) -> String {
    let records: Vec<serde_json::Value> =
        records.iter().filter_map(|(_, text)| serde_json::from_str(text).ok()).collect();
    serde_json::json!({
        "format": "rackweek-backup/1",
        "taken_at": taken_at,
        "zone": zone,
        "records": records,
    })
    .to_string()
}
