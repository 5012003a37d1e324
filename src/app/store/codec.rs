//! Records to texts for the store, and back.

use std::collections::BTreeMap;

use rackweek::calendar::{Wall, Zone};
use rackweek::order::{PictureFile, PictureId};
use rackweek::record::{Book, Change, Loaded, Record, SetAside};

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

/// A backup of texts that a newer version wrote: in the form of a backup, with every record untouched.
pub(crate) fn raw_backup_text(
    records: &[(String, String)],
    taken_at: Wall,
    zone: &Zone,
    pictures: &BTreeMap<PictureId, PictureFile>,
) -> String {
    let records: Vec<serde_json::Value> =
        records.iter().filter_map(|(_, text)| serde_json::from_str(text).ok()).collect();
    let pictures: serde_json::Map<String, serde_json::Value> =
        pictures.iter().map(|(id, file)| (id.to_string(), file.text().into())).collect();
    serde_json::json!({
        "format": "rackweek-backup/1",
        "taken_at": taken_at,
        "zone": zone,
        "records": records,
        "pictures": pictures,
    })
    .to_string()
}
