//! What pictures show, kept by name in a database of its own: neither can harm the other, and opening the order book
//! reads no picture.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use leptos::prelude::*;
use rackweek::order::{PictureFile, PictureId};
use rackweek::plan::arrange::set_of;
use wasm_bindgen_futures::spawn_local;

use crate::app::AppState;
use crate::app::prefs;
use crate::app::state::SaveState;
use crate::app::store::{Batch, MemoryStore, Store, StoreError, open_unread};

/// The database's name, also known to `rescue.js`.
const DATABASE: &str = "rackweek-pictures";
/// How often a batch is tried when another window writes at the same time.
const TRIES: u32 = 4;

/// The way to what pictures show.
#[derive(Clone)]
pub(crate) struct Album(Rc<dyn Store>);

impl Album {
    /// Over a store.
    pub(crate) fn over(store: Rc<dyn Store>) -> Self {
        Self(store)
    }

    /// Keeps pictures; when this answers well they are on disk and were read again.
    pub(crate) async fn keep(&self, files: &[PictureFile]) -> Result<(), StoreError> {
        let put = |file: &PictureFile| (file.id().to_string(), Some(file.text().to_owned()));
        self.write(files.iter().map(put).collect()).await
    }

    /// Removes pictures.
    pub(crate) async fn forget(
        &self,
        ids: impl IntoIterator<Item = String>,
    ) -> Result<(), StoreError> {
        self.write(ids.into_iter().map(|id| (id, None)).collect()).await
    }

    async fn write(&self, changes: Vec<(String, Option<String>)>) -> Result<(), StoreError> {
        let keys: Vec<String> = changes.iter().map(|(key, _)| key.clone()).collect();
        let mut seen = self.0.read_back(Vec::new()).await?.revision;
        let mut left = TRIES;
        loop {
            let batch = Batch { seen, changes: changes.clone(), aside: Vec::new() };
            match self.0.write(batch).await {
                Ok(_) => break,
                // Names never change their content, so whoever wrote meanwhile wrote something else.
                Err(StoreError::Stale(found)) if 0 < left => seen = found,
                Err(error) => return Err(error),
            }
            left -= 1;
        }
        let held = self.0.read_back(keys).await?.texts;
        if held.iter().eq(changes.iter().map(|(_, text)| text)) {
            Ok(())
        } else {
            Err(StoreError::NotHeld)
        }
    }

    /// What a picture shows; none when it is not on this device, or damaged.
    pub(crate) async fn read(&self, id: PictureId) -> Option<PictureFile> {
        let held = self.0.read_back(vec![id.to_string()]).await.ok()?;
        PictureFile::named(id, held.texts.into_iter().next()??).ok()
    }

    /// What these pictures show, of those that are here.
    pub(crate) async fn read_all(
        &self,
        ids: impl IntoIterator<Item = PictureId>,
    ) -> BTreeMap<PictureId, PictureFile> {
        let mut read = BTreeMap::new();
        for id in ids {
            if let Some(file) = self.read(id).await {
                read.insert(id, file);
            }
        }
        read
    }

    /// The names of all that are kept.
    pub(crate) async fn names(&self) -> Result<Vec<String>, StoreError> {
        self.0.keys().await
    }
}

impl AppState {
    /// The album, opened when it is first needed; beside an order book in memory it is in memory too.
    pub(crate) async fn album(&self) -> Result<Album, StoreError> {
        let core = self.core();
        if let Some(album) = core.album.borrow().clone() {
            return Ok(album);
        }
        let in_memory = matches!(*self.saved.read_untracked(), SaveState::MemoryOnly(_));
        let store: Rc<dyn Store> = if in_memory {
            Rc::new(MemoryStore::default())
        } else {
            let kept = open_unread(DATABASE).await?;
            let held = kept.clone();
            spawn_local(async move {
                held.wanted_elsewhere().await;
                held.close();
            });
            Rc::new(kept)
        };
        // Opened twice at once, the first one holds.
        let album = core.album.borrow_mut().get_or_insert(Album::over(store)).clone();
        Ok(album)
    }

    /// Brings what pictures show to disk.
    pub(crate) async fn keep_pictures(&self, files: &[PictureFile]) -> Result<(), StoreError> {
        if files.is_empty() {
            return Ok(());
        }
        self.album().await?.keep(files).await
    }
}

/// Removes what no record and no unsent form mentions, as they were when the page was opened: a picture that was taken out
/// can be brought back by "Undo" until then.
pub(crate) async fn sweep(state: AppState, texts: Vec<String>) {
    let Ok(album) = state.album().await else { return };
    let Ok(names) = album.names().await else { return };
    if names.is_empty() {
        return;
    }
    let unsent = prefs::text(prefs::Slot::OrderDraft);
    let mentioned = mentioned(texts.iter().chain(&unsent).map(String::as_str));
    let idle: Vec<String> = names.into_iter().filter(|name| !mentioned.contains(name)).collect();
    if !idle.is_empty() {
        // What could not be removed is tried again at the next start.
        let _ = album.forget(idle).await;
    }
}

/// Every name of a picture in these texts.
pub(super) fn mentioned<'a>(texts: impl Iterator<Item = &'a str>) -> BTreeSet<String> {
    let names = texts.flat_map(|text| text.split('"')).map(|part| part.trim_end_matches('\\'));
    set_of(names.filter(|name| name.parse::<PictureId>().is_ok()).map(str::to_owned))
}
