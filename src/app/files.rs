//! Files in and out: backups and files for other programs are saved by the browser, backups read from a field.

use std::collections::{BTreeMap, BTreeSet};

use js_sys::Array;
use leptos::prelude::*;
use rackweek::calendar::Wall;
use rackweek::order::{PictureFile, PictureId};
use rackweek::record::{Backup, Book};
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{Blob, BlobPropertyBag, File, HtmlAnchorElement, Url};

use super::store::raw_backup_text;
use super::{AppState, clock, prefs};

/// How long the browser may take to begin with a download, ms.
const KEEP_MS: u32 = 60_000;

/// Lets the browser save a text of JSON under a name. False when it refuses.
pub(crate) fn save(name: &str, text: &str) -> bool {
    save_as(name, "application/json", text)
}

/// Lets the browser save a text of a media type under a name. False when it refuses.
pub(crate) fn save_as(name: &str, kind: &str, text: &str) -> bool {
    let options = BlobPropertyBag::new();
    options.set_type(kind);
    let parts = Array::of1(&text.into());
    let Ok(blob) = Blob::new_with_str_sequence_and_options(&parts, &options) else { return false };
    let Ok(address) = Url::create_object_url_with_blob(&blob) else { return false };
    let Ok(link) = document().create_element("a") else { return false };
    let link: HtmlAnchorElement = link.unchecked_into();
    link.set_href(&address);
    link.set_download(name);
    link.click();
    gloo_timers::callback::Timeout::new(KEEP_MS, move || {
        // An address that is gone already needs no revoking.
        let _ = Url::revoke_object_url(&address);
    })
    .forget();
    true
}

/// The text of a chosen file; none when it cannot be read.
pub(crate) async fn read(file: &File) -> Option<String> {
    JsFuture::from(file.text()).await.ok()?.as_string()
}

/// When the last backup was taken on this device.
pub(crate) fn last_backup() -> Option<Wall> {
    prefs::get::<String>(prefs::Slot::LastBackup)?.parse().ok()
}

impl AppState {
    /// Exports everything as a backup file, with what its pictures show if wanted.
    pub(crate) fn export(&self, with_pictures: bool) {
        let state = *self;
        spawn_local(async move {
            let book = state.book.read_untracked().clone();
            let ids = if with_pictures { book.picture_ids() } else { BTreeSet::new() };
            let wanted = ids.len();
            let pictures = match state.album().await {
                Ok(album) if 0 < wanted => album.read_all(ids).await,
                _ => BTreeMap::new(),
            };
            let missing = wanted - pictures.len();
            let letters: usize = pictures.values().map(|file| file.text().len()).sum();
            let too_large = Backup::PICTURES_MAX < letters;
            let pictures = if too_large { BTreeMap::new() } else { pictures };
            let said = if too_large {
                "Backup exported without pictures: they are too large for one file".to_owned()
            } else if 0 < missing {
                format!("Backup exported; pictures that are not on this device: {missing}")
            } else {
                "Backup exported".to_owned()
            };
            state.save_backup(pictures, said);
        });
    }

    fn save_backup(&self, pictures: BTreeMap<PictureId, PictureFile>, said: String) {
        let now = clock::now();
        let zone = self.zone.get_value();
        let core = self.core();
        let raw = core.raw.borrow();
        let text = if raw.is_empty() {
            let book = Book::clone(&self.book.read_untracked());
            Backup { pictures, ..Backup::of(book, now, zone) }.to_json()
        } else {
            raw_backup_text(&raw, now, &zone, &pictures)
        };
        if save(&format!("rackweek-backup-{}.json", now.date()), &text) {
            prefs::set(prefs::Slot::LastBackup, &now.to_string());
            self.say(said, false);
        } else {
            self.say(
                "The browser refused to save the file; try another one, or free some room",
                false,
            );
        }
    }
}
