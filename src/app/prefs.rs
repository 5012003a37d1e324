//! Preferences and unsent forms, in localStorage: what may be lost when a browser is killed.

use gloo_storage::{LocalStorage, Storage};
use rackweek::plan::json;
use serde::Serialize;
use serde::de::DeserializeOwned;

/// Where a preference or draft is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Slot {
    /// The chosen look.
    Theme,
    /// Set once records were written on this device: tells a first visit from lost data.
    HadData,
    /// When the last backup was taken, wall clock.
    LastBackup,
    /// The day from which the age of a backup counts while there is none, or since "Later" was pressed.
    BackupFrom,
    /// The unsent order form.
    OrderDraft,
    /// The sheet of labels that she uses.
    LabelSheet,
    /// The last line of her labels.
    LabelLine,
    /// The unsaved method card.
    CardDraft,
    /// What was ticked in weeks that others shared.
    SharedTicks,
}

impl Slot {
    fn key(self) -> &'static str {
        match self {
            Self::Theme => "rackweek.theme",
            Self::HadData => "rackweek.had-data",
            Self::LastBackup => "rackweek.last-backup",
            Self::BackupFrom => "rackweek.backup-from",
            Self::OrderDraft => "rackweek.draft.order",
            Self::LabelSheet => "rackweek.label-sheet",
            Self::LabelLine => "rackweek.label-line",
            Self::CardDraft => "rackweek.draft.card",
            Self::SharedTicks => "rackweek.shared-ticks",
        }
    }
}

/// What is kept there; none when nothing is, or nothing readable.
pub(crate) fn get<T: DeserializeOwned>(slot: Slot) -> Option<T> {
    json::read(&text(slot)?).ok()
}

/// The text that is kept there, as it is.
pub(crate) fn text(slot: Slot) -> Option<String> {
    LocalStorage::raw().get_item(slot.key()).ok()?
}

/// Keeps it. A full or forbidden localStorage loses a comfort, not a record, so nothing is said.
pub(crate) fn set<T: Serialize>(slot: Slot, value: &T) {
    let _ = LocalStorage::set(slot.key(), value);
}

/// Forgets it.
pub(crate) fn clear(slot: Slot) {
    LocalStorage::delete(slot.key());
}
