//! What a command did to the book, as records before and after.
//!
//! One form serves all: it is written to the store, sent to following tabs, and turned round for undo.

use std::fmt;

use super::{Book, Record, RecordKey, RecordKind};

/// A record before and after.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Swap {
    /// Which.
    pub key: RecordKey,
    /// None: it did not exist.
    pub before: Option<Record>,
    /// None: it is gone.
    pub after: Option<Record>,
}

/// What a command did: enough to store it, to follow it in another tab, and to take it back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// For "Undo …", for example "move Flood the base coat · ML".
    pub label: String,
    /// Every record that differs, each once.
    pub swaps: Vec<Swap>,
}

/// A change that does not start from what the book holds; the book is unharmed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// The first record that differs.
    pub key: RecordKey,
}

impl fmt::Display for Conflict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let what = match self.key.kind {
            RecordKind::Kitchen => "the kitchen was".to_owned(),
            RecordKind::Time => "your time was".to_owned(),
            RecordKind::Settings => "the settings were".to_owned(),
            RecordKind::Card => format!("the method card {} was", self.key.id),
            RecordKind::Order => format!("order {} was", self.key.id),
            RecordKind::Pin => format!("the pin of {} was", self.key.id),
            RecordKind::Shown => "the plan was".to_owned(),
            RecordKind::Supplies => "the supplies were".to_owned(),
            RecordKind::Pricing => "the prices were".to_owned(),
            RecordKind::Progress => format!("what happened of {} was", self.key.id),
            RecordKind::Timers => "the timers were".to_owned(),
            RecordKind::Margins => "what was timed was".to_owned(),
        };
        write!(f, "{what} changed in the meantime; look at it again and repeat the step by hand")
    }
}

impl std::error::Error for Conflict {}

impl Change {
    /// Nothing differs.
    pub fn is_empty(&self) -> bool {
        self.swaps.is_empty()
    }

    /// The change that takes it back.
    #[must_use]
    pub fn inverse(&self) -> Self {
        let turned = |swap: &Swap| Swap {
            key: swap.key.clone(),
            before: swap.after.clone(),
            after: swap.before.clone(),
        };
        Self { label: self.label.clone(), swaps: self.swaps.iter().rev().map(turned).collect() }
    }
}

impl Book {
    /// Does a change that was made elsewhere (in another tab, or to be taken back), if the book holds
    /// exactly what the change starts from.
    pub fn follow(&mut self, change: &Change) -> Result<(), Conflict> {
        for swap in &change.swaps {
            if self.record(&swap.key) != swap.before {
                return Err(Conflict { key: swap.key.clone() });
            }
        }
        for swap in &change.swaps {
            match &swap.after {
                Some(record) => self.put(record.clone()),
                None => self.remove(&swap.key),
            }
        }
        Ok(())
    }
}
