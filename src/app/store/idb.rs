//! Records in the browser's `IndexedDB`, one strict transaction a batch.
//!
//! Object stores: `records` (text by key), `meta` (`revision`), `set-aside` (texts that could not be read).

use indexed_db_futures::database::Database;
use indexed_db_futures::error::{DomException, Error, OpenDbError};
use indexed_db_futures::prelude::*;
use indexed_db_futures::transaction::{
    Transaction, TransactionDurability, TransactionMode, TransactionOptions,
};

use super::{Batch, Later, ReadBack, Snapshot, Store, StoreError};

/// The database's name, also known to `rescue.js`.
pub(crate) const DATABASE: &str = "rackweek";
/// Counts up when object stores change; the records have a schema number of their own.
const VERSION: u32 = 1;
const RECORDS: &str = "records";
const META: &str = "meta";
const ASIDE: &str = "set-aside";
const REVISION: &str = "revision";

/// The browser's database.
#[derive(Clone)]
pub(crate) struct IdbStore {
    database: Database,
}

impl IdbStore {
    /// Opens the database, making it when it is not there.
    pub(crate) async fn open(name: &str) -> Result<Self, StoreError> {
        let request = Database::open(name)
            .with_version(VERSION)
            .with_on_upgrade_needed(|_, database| {
                let have: Vec<String> = database.object_store_names().collect();
                for store in [RECORDS, META, ASIDE] {
                    if !have.iter().any(|name| name == store) {
                        database.create_object_store(store).build()?;
                    }
                }
                Ok(())
            })
            .build()
            .map_err(opening)?;
        let database = request.await.map_err(opening)?;
        Ok(Self { database })
    }

    /// Opens the database as it is, whatever version made it.
    pub(crate) async fn open_as_found(name: &str) -> Result<Self, StoreError> {
        let database = Database::open(name).build().map_err(opening)?.await.map_err(opening)?;
        Ok(Self { database })
    }

    /// Resolves when another window wants to change the database's shape; then it must be let go.
    pub(crate) async fn wanted_elsewhere(&self) {
        if let Ok(mut wishes) = self.database.version_changes() {
            wishes.recv().await;
        }
    }

    /// Lets the database go; every later use fails.
    pub(crate) fn close(&self) {
        self.database.clone().close();
    }

    fn writing(&self) -> Result<Transaction<'_>, StoreError> {
        let mut options = TransactionOptions::new();
        options.set_durability(TransactionDurability::Strict);
        self.database
            .transaction([RECORDS, META, ASIDE])
            .with_mode(TransactionMode::Readwrite)
            .with_options(options)
            .build()
            .map_err(StoreError::from)
    }

    fn reading(&self) -> Result<Transaction<'_>, StoreError> {
        self.database
            .transaction([RECORDS, META, ASIDE])
            .with_mode(TransactionMode::Readonly)
            .build()
            .map_err(StoreError::from)
    }

    async fn read_whole(&self) -> Result<Snapshot, StoreError> {
        let transaction = self.reading()?;
        Ok(Snapshot {
            revision: revision(&transaction).await?,
            records: pairs(&transaction, RECORDS).await?,
            aside: pairs(&transaction, ASIDE).await?,
        })
    }

    async fn write_whole(&self, batch: Batch) -> Result<u64, StoreError> {
        let transaction = self.writing()?;
        let found = revision(&transaction).await?;
        if found != batch.seen {
            // Dropping the transaction takes it back.
            return Err(StoreError::Stale(found));
        }
        let records = transaction.object_store(RECORDS)?;
        let aside = transaction.object_store(ASIDE)?;
        for (key, text) in batch.aside {
            aside.put(text).with_key(key.clone()).await?;
            records.delete(key).await?;
        }
        for (key, text) in batch.changes {
            match text {
                Some(text) => {
                    records.put(text).with_key(key).await?;
                }
                None => records.delete(key).await?,
            }
        }
        let next = found + 1;
        transaction.object_store(META)?.put(next.to_string()).with_key(REVISION).await?;
        transaction.commit().await?;
        Ok(next)
    }

    async fn read_some(&self, keys: Vec<String>) -> Result<ReadBack, StoreError> {
        let transaction = self.reading()?;
        let revision = revision(&transaction).await?;
        let records = transaction.object_store(RECORDS)?;
        let mut texts = Vec::with_capacity(keys.len());
        for key in keys {
            texts.push(records.get::<String, _, _>(key).await?);
        }
        Ok(ReadBack { revision, texts })
    }
}

impl Store for IdbStore {
    fn read(&self) -> Later<'_, Snapshot> {
        Box::pin(self.read_whole())
    }

    fn write(&self, batch: Batch) -> Later<'_, u64> {
        Box::pin(self.write_whole(batch))
    }

    fn read_back(&self, keys: Vec<String>) -> Later<'_, ReadBack> {
        Box::pin(self.read_some(keys))
    }

    fn keys(&self) -> Later<'_, Vec<String>> {
        Box::pin(async {
            let transaction = self.reading()?;
            let store = transaction.object_store(RECORDS)?;
            Ok(store.get_all_keys::<String>().await?.collect::<Result<_, _>>()?)
        })
    }
}

/// Kept as text, since a number beyond 2⁵³ would be rounded.
async fn revision(transaction: &Transaction<'_>) -> Result<u64, StoreError> {
    let text: Option<String> = transaction.object_store(META)?.get(REVISION).await?;
    Ok(text.and_then(|text| text.parse().ok()).unwrap_or(0))
}

async fn pairs(
    transaction: &Transaction<'_>,
    store: &str,
) -> Result<Vec<(String, String)>, StoreError> {
    let store = transaction.object_store(store)?;
    let keys: Vec<String> = store.get_all_keys::<String>().await?.collect::<Result<_, _>>()?;
    let texts: Vec<String> = store.get_all::<String>().await?.collect::<Result<_, _>>()?;
    Ok(keys.into_iter().zip(texts).collect())
}

fn opening(error: OpenDbError) -> StoreError {
    match error {
        OpenDbError::Base(error) => match StoreError::from(error) {
            StoreError::Failed(why) => StoreError::Unavailable(why),
            other => other,
        },
        // Whatever else the crate says here (it never gets version zero from us) is a refusal.
        _ => StoreError::Unavailable("it refused to open a database".to_owned()),
    }
}

impl From<Error> for StoreError {
    fn from(error: Error) -> Self {
        let Error::DomException(exception) = error else {
            return Self::Failed(error.to_string());
        };
        let exception: web_sys::DomException = DomException::into(exception);
        match exception.name().as_str() {
            "QuotaExceededError" => Self::Full,
            "VersionError" => Self::Newer,
            name => Self::Failed(format!("{name}: {}", exception.message())),
        }
    }
}
