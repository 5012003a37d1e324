//! Brings changes to the store one batch after the other, and says honestly how far they are.
//!
//! A change waits while a batch is on its way; waiting changes of the same record join. A batch that
//! fails is tried once more, then the words "not saved" stand until a later try succeeds; nothing that
//! waits is ever dropped, except when another window has written: then that window's records hold.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use gloo_timers::future::TimeoutFuture;
use wasm_bindgen_futures::spawn_local;

use super::{Batch, Store, StoreError};

/// How long to wait before the second try, ms.
const PAUSE_MS: u32 = 250;

/// What the saver tells the app.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum SaveEvent {
    /// A batch is on its way.
    Saving,
    /// Nothing waits; everything is on disk at this revision.
    Saved(u64),
    /// What waits is not on disk.
    Failed(StoreError),
    /// Another window wrote; what waited was dropped, and the records must be read again.
    Overtaken,
}

/// The one way to the store.
pub(crate) struct Saver {
    store: Rc<dyn Store>,
    inner: RefCell<Inner>,
    tell: Box<dyn Fn(SaveEvent)>,
}

#[derive(Default)]
struct Inner {
    revision: u64,
    waiting: BTreeMap<String, Option<String>>,
    busy: bool,
    stopped: bool,
}

impl Saver {
    /// A saver that has seen `revision`.
    pub(crate) fn new(
        store: Rc<dyn Store>,
        revision: u64,
        tell: impl Fn(SaveEvent) + 'static,
    ) -> Rc<Self> {
        let inner = RefCell::new(Inner { revision, ..Inner::default() });
        Rc::new(Self { store, inner, tell: Box::new(tell) })
    }

    /// The store behind it.
    pub(crate) fn store(&self) -> Rc<dyn Store> {
        Rc::clone(&self.store)
    }

    /// The records were read again at this revision.
    pub(crate) fn caught_up(&self, revision: u64) {
        self.inner.borrow_mut().revision = revision;
    }

    /// Whether something is not on disk yet.
    pub(crate) fn behind(&self) -> bool {
        let inner = self.inner.borrow();
        inner.busy || !inner.waiting.is_empty()
    }

    /// Never writes again: after a panic what is in memory cannot be trusted.
    pub(crate) fn stop(&self) {
        // A panic may come while the cell is borrowed; then nothing is being queued either.
        if let Ok(mut inner) = self.inner.try_borrow_mut() {
            inner.stopped = true;
        }
    }

    /// Queues texts by key (none removes the record) and sends them off.
    pub(crate) fn push(self: &Rc<Self>, changes: Vec<(String, Option<String>)>) {
        self.inner.borrow_mut().waiting.extend(changes);
        self.retry();
    }

    /// Sends off what waits, if nothing is on its way.
    pub(crate) fn retry(self: &Rc<Self>) {
        {
            let mut inner = self.inner.borrow_mut();
            if inner.busy || inner.stopped || inner.waiting.is_empty() {
                return;
            }
            inner.busy = true;
        }
        (self.tell)(SaveEvent::Saving);
        let saver = Rc::clone(self);
        spawn_local(async move { saver.run().await });
    }

    async fn run(&self) {
        loop {
            let (seen, changes) = {
                let mut inner = self.inner.borrow_mut();
                if inner.waiting.is_empty() || inner.stopped {
                    inner.busy = false;
                    let revision = inner.revision;
                    drop(inner);
                    (self.tell)(SaveEvent::Saved(revision));
                    return;
                }
                let waiting = std::mem::take(&mut inner.waiting);
                (inner.revision, waiting.into_iter().collect::<Vec<_>>())
            };
            let batch = Batch { seen, changes: changes.clone(), aside: Vec::new() };
            let mut answer = self.write_and_look(batch.clone()).await;
            if matches!(&answer, Err(error) if !matches!(error, StoreError::Stale(_))) {
                TimeoutFuture::new(PAUSE_MS).await;
                answer = self.second_try(batch).await;
            }
            match answer {
                Ok(revision) => self.inner.borrow_mut().revision = revision,
                Err(StoreError::Stale(found)) => {
                    let mut inner = self.inner.borrow_mut();
                    inner.waiting.clear();
                    inner.revision = found;
                    inner.busy = false;
                    drop(inner);
                    (self.tell)(SaveEvent::Overtaken);
                    return;
                }
                Err(error) => {
                    let mut inner = self.inner.borrow_mut();
                    for (key, text) in changes {
                        // What was changed meanwhile is newer.
                        inner.waiting.entry(key).or_insert(text);
                    }
                    inner.busy = false;
                    drop(inner);
                    (self.tell)(SaveEvent::Failed(error));
                    return;
                }
            }
        }
    }

    /// The first try may have reached the disk although its answer was bad: then the revision is one
    /// further and the records are ours, and that is as good as written.
    async fn second_try(&self, batch: Batch) -> Result<u64, StoreError> {
        if let Ok(revision) = self.look(&batch, batch.seen + 1).await {
            return Ok(revision);
        }
        self.write_and_look(batch).await
    }

    async fn write_and_look(&self, batch: Batch) -> Result<u64, StoreError> {
        let revision = self.store.write(batch.clone()).await?;
        self.look(&batch, revision).await
    }

    /// Reads again what was written: a browser that says "saved" and holds something else has been seen.
    async fn look(&self, batch: &Batch, revision: u64) -> Result<u64, StoreError> {
        let keys = batch.changes.iter().map(|(key, _)| key.clone()).collect();
        let found = self.store.read_back(keys).await?;
        let ours = batch.changes.iter().map(|(_, text)| text);
        if found.revision == revision && found.texts.iter().eq(ours) {
            Ok(revision)
        } else {
            Err(StoreError::NotHeld)
        }
    }
}
