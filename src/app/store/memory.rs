//! A store that lasts as long as the page: used when the browser keeps nothing.

use std::cell::RefCell;
use std::collections::BTreeMap;

use super::{Batch, Later, ReadBack, Snapshot, Store, StoreError};

/// Records in memory only.
#[derive(Debug, Default)]
pub(crate) struct MemoryStore {
    held: RefCell<Held>,
}

#[derive(Debug, Default)]
struct Held {
    revision: u64,
    records: BTreeMap<String, String>,
    aside: BTreeMap<String, String>,
}

impl Store for MemoryStore {
    fn read(&self) -> Later<'_, Snapshot> {
        Box::pin(async {
            let held = self.held.borrow();
            let pairs = |map: &BTreeMap<String, String>| {
                map.iter().map(|(key, text)| (key.clone(), text.clone())).collect()
            };
            Ok(Snapshot {
                revision: held.revision,
                records: pairs(&held.records),
                aside: pairs(&held.aside),
            })
        })
    }

    fn write(&self, batch: Batch) -> Later<'_, u64> {
        Box::pin(async move {
            let mut held = self.held.borrow_mut();
            if held.revision != batch.seen {
                return Err(StoreError::Stale(held.revision));
            }
            for (key, text) in batch.aside {
                held.records.remove(&key);
                held.aside.insert(key, text);
            }
            for (key, text) in batch.changes {
                match text {
                    Some(text) => held.records.insert(key, text),
                    None => held.records.remove(&key),
                };
            }
            held.revision += 1;
            Ok(held.revision)
        })
    }

    fn keys(&self) -> Later<'_, Vec<String>> {
        Box::pin(async { Ok(self.held.borrow().records.keys().cloned().collect()) })
    }

    fn read_back(&self, keys: Vec<String>) -> Later<'_, ReadBack> {
        Box::pin(async move {
            let held = self.held.borrow();
            let texts = keys.iter().map(|key| held.records.get(key).cloned()).collect();
            Ok(ReadBack { revision: held.revision, texts })
        })
    }
}
