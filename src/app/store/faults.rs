//! A store with a fault in it, for tests: the fault counts its hits.

use std::cell::Cell;
use std::rc::Rc;

use super::{Batch, Later, ReadBack, Snapshot, Store, StoreError};

/// What goes wrong, counted in writes from 1.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Fault {
    /// This write fails, once.
    Once(u32),
    /// This write and all later ones fail.
    From(u32),
    /// This write says yes and keeps nothing.
    Lie(u32),
    /// This write is kept, but its answer is an error.
    LoseAnswer(u32),
}

/// A store with a fault in it.
pub(crate) struct Faulty {
    inner: Rc<dyn Store>,
    fault: Fault,
    writes: Cell<u32>,
    hits: Cell<u32>,
}

impl Faulty {
    pub(crate) fn over(inner: Rc<dyn Store>, fault: Fault) -> Rc<Self> {
        Rc::new(Self { inner, fault, writes: Cell::new(0), hits: Cell::new(0) })
    }

    /// How often something was written, or seemed to be.
    pub(crate) fn writes(&self) -> u32 {
        self.writes.get()
    }

    /// How often the fault fired.
    pub(crate) fn hits(&self) -> u32 {
        self.hits.get()
    }
}

impl Store for Faulty {
    fn read(&self) -> Later<'_, Snapshot> {
        self.inner.read()
    }

    fn write(&self, batch: Batch) -> Later<'_, u64> {
        let write = self.writes.get() + 1;
        self.writes.set(write);
        let hit = match self.fault {
            Fault::Once(at) | Fault::Lie(at) | Fault::LoseAnswer(at) => write == at,
            Fault::From(at) => write >= at,
        };
        if !hit {
            return self.inner.write(batch);
        }
        self.hits.set(self.hits.get() + 1);
        match self.fault {
            Fault::Once(_) | Fault::From(_) => Box::pin(async { Err(StoreError::Full) }),
            Fault::Lie(_) => Box::pin(async move { Ok(batch.seen + 1) }),
            Fault::LoseAnswer(_) => Box::pin(async move {
                self.inner.write(batch).await?;
                Err(StoreError::Failed("the answer was lost".to_owned()))
            }),
        }
    }

    fn keys(&self) -> Later<'_, Vec<String>> {
        self.inner.keys()
    }

    fn read_back(&self, keys: Vec<String>) -> Later<'_, ReadBack> {
        self.inner.read_back(keys)
    }
}
