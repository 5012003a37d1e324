//! Opening the store at the start: what is there, and what to do when the browser will not answer.

use std::future::{Future, poll_fn};
use std::pin::pin;
use std::rc::Rc;
use std::task::Poll;

use gloo_timers::future::TimeoutFuture;

use super::{IdbStore, MemoryStore, Snapshot, Store, StoreError};

/// How long the browser may take to open the database, ms.
const PATIENCE_MS: u32 = 3_000;

/// The store as it was found.
pub(crate) enum Opened {
    /// On disk, readable and writable.
    Kept(IdbStore, Snapshot),
    /// In memory only, and why.
    Memory(Rc<dyn Store>, StoreError),
    /// On disk, made by a newer version: what could be read.
    Newer(Snapshot),
}

/// Opens the database called `name`, or says why not.
pub(crate) async fn open(name: &str) -> Opened {
    match within(PATIENCE_MS, open_and_read(name)).await {
        Ok((store, snapshot)) => Opened::Kept(store, snapshot),
        Err(StoreError::Newer) => {
            let found =
                within(PATIENCE_MS, async { IdbStore::open_as_found(name).await?.read().await });
            // A shape that we do not know may not be readable at all; the rescue export still is.
            Opened::Newer(found.await.unwrap_or_default())
        }
        Err(error) => Opened::Memory(Rc::new(MemoryStore::default()), error),
    }
}

/// Opens a database without reading what is in it.
pub(crate) async fn open_unread(name: &str) -> Result<IdbStore, StoreError> {
    within(PATIENCE_MS, IdbStore::open(name)).await
}

async fn open_and_read(name: &str) -> Result<(IdbStore, Snapshot), StoreError> {
    let store = IdbStore::open(name).await?;
    let snapshot = store.read().await?;
    Ok((store, snapshot))
}

/// Waits for `work`, but no longer than `ms`: a blocked or broken database never answers.
pub(super) async fn within<T>(
    ms: u32,
    work: impl Future<Output = Result<T, StoreError>>,
) -> Result<T, StoreError> {
    let mut work = pin!(work);
    let mut late = pin!(TimeoutFuture::new(ms));
    poll_fn(|context| {
        if let Poll::Ready(answer) = work.as_mut().poll(context) {
            return Poll::Ready(answer);
        }
        if late.as_mut().poll(context).is_ready() {
            let why = format!("it did not answer within {} seconds", ms / 1000);
            return Poll::Ready(Err(StoreError::Unavailable(why)));
        }
        Poll::Pending
    })
    .await
}
