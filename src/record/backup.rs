//! Backup: one readable file (`rackweek-backup/1`).
//!
//! ```json
//! { "format": "rackweek-backup/1", "taken_at": "2026-11-25T17:40", "zone": {…}, "records": [
//!     { "kind": "order", "id": "3", "schema": 1, "body": {…} }, … ] }
//! ```

use crate::calendar::{Wall, Zone};

use super::Book;

/// A backup: the book, when it was taken, and the zone it was taken in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Backup {
    /// When, on the wall clock.
    pub taken_at: Wall,
    /// The zone's offsets around then.
    pub zone: Zone,
    /// Everything.
    pub book: Book,
}

/// Why a file is not a backup that this build can read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BackupError {
    /// Where in the file.
    pub place: String,
    /// What is wrong and what to do.
    pub message: String,
}
