//! Promises of the album and of what makes photos small, kept in a real browser and under injected faults.

use std::rc::Rc;

use js_sys::{Array, Uint8Array};
use rackweek::order::{PictureFile, PictureId};
use wasm_bindgen_test::wasm_bindgen_test;
use web_sys::Blob;

use super::album::{Album, mentioned};
use super::shrink::{canvas, shrink, sketch};
use crate::app::store::faults::{Fault, Faulty};
use crate::app::store::{MemoryStore, Store, StoreError};

fn picture(letter: &str) -> PictureFile {
    let text = format!("data:image/jpeg;base64,/9j/{}", letter.repeat(8));
    PictureFile::new(text).expect("a picture")
}

#[wasm_bindgen_test]
async fn what_is_kept_is_read_again_under_its_name() {
    let album = Album::over(Rc::new(MemoryStore::default()));
    let (one, two) = (picture("A"), picture("B"));
    album.keep(&[one.clone(), two.clone()]).await.expect("has room");
    assert_eq!(album.read(one.id()).await, Some(one.clone()));
    assert_eq!(album.read(PictureId::of("another")).await, None);
    let both = album.read_all([one.id(), two.id(), PictureId::of("another")]).await;
    assert_eq!(both.into_values().collect::<Vec<_>>().len(), 2);
    album.forget([one.id().to_string()]).await.expect("goes");
    assert_eq!(album.names().await, Ok(vec![two.id().to_string()]));
}

#[wasm_bindgen_test]
async fn two_windows_that_keep_pictures_lose_none() {
    let store: Rc<dyn Store> = Rc::new(MemoryStore::default());
    let (here, there) = (Album::over(Rc::clone(&store)), Album::over(store));
    for letters in [["A", "B"], ["C", "D"], ["E", "F"]] {
        let [one, two] = letters.map(picture);
        here.keep(&[one.clone()]).await.expect("has room");
        there.keep(&[two.clone()]).await.expect("has room");
        assert!(here.read(two.id()).await.is_some() && there.read(one.id()).await.is_some());
    }
    assert_eq!(here.names().await.map(|names| names.len()), Ok(6));
}

#[wasm_bindgen_test]
async fn a_full_or_lying_device_is_said_and_harms_nothing() {
    for (fault, error) in [(Fault::Once(2), StoreError::Full), (Fault::Lie(2), StoreError::NotHeld)]
    {
        let faulty = Faulty::over(Rc::new(MemoryStore::default()), fault);
        let album = Album::over(faulty.clone());
        let (one, two) = (picture("A"), picture("B"));
        album.keep(&[one.clone()]).await.expect("has room");
        assert_eq!(album.keep(&[two.clone()]).await, Err(error));
        assert_eq!(faulty.hits(), 1, "the fault fired");
        assert_eq!(album.read(one.id()).await, Some(one));
        assert_eq!(album.read(two.id()).await, None);
        album.keep(&[two.clone()]).await.expect("has room again");
        assert_eq!(album.read(two.id()).await, Some(two));
    }
}

#[wasm_bindgen_test]
fn a_picture_that_any_text_names_is_still_wanted() {
    let (one, two) = (picture("A").id().to_string(), picture("B").id().to_string());
    let inside = serde_json::to_string(&format!("{{\"id\":\"{two}\"}}")).expect("a text");
    let texts = [format!("{{\"pictures\":[{{\"id\":\"{one}\"}}]}}"), inside, "\"0123\"".to_owned()];
    let found = mentioned(texts.iter().map(String::as_str));
    assert_eq!(found.into_iter().collect::<Vec<_>>(), {
        let mut both = vec![one, two];
        both.sort();
        both
    });
}

#[wasm_bindgen_test]
async fn a_large_photo_becomes_small_and_what_is_none_is_refused() {
    let (large, pen) = canvas(4000, 3000).expect("a canvas");
    pen.set_fill_style_str("crimson");
    pen.fill_rect(500.0, 500.0, 2000.0, 1500.0);
    // As PNG: any file that a browser reads will do.
    let (_, file) = sketch(&large).expect("can be written");
    let base64 = file.text().split_once(',').expect("a data URL").1;
    let bytes: Vec<u8> =
        js_sys::JsString::from(web_sys::window().expect("a window").atob(base64).expect("base64"))
            .iter()
            .map(|unit| u8::try_from(unit).expect("a byte"))
            .collect();
    let blob = |bytes: &[u8]| {
        Blob::new_with_u8_array_sequence(&Array::of1(&Uint8Array::from(bytes))).expect("a file")
    };
    let (picture, made) = shrink(&blob(&bytes)).await.expect("a photo");
    assert_eq!((picture.width, picture.height), (1600, 1200));
    assert_eq!(picture.id, made.id());
    assert!(made.text().starts_with("data:image/jpeg") && made.text().len() < 700_000);
    let (again, _) = shrink(&blob(&bytes)).await.expect("a photo");
    assert_eq!(again.id, picture.id, "the same photo has the same name");
    let why = shrink(&blob(b"%PDF-1.7")).await.expect_err("is none");
    assert!(why.contains("JPEG"), "{why}");
    let why = shrink(&blob(&bytes[..bytes.len() / 2])).await;
    assert!(why.is_err(), "half a file is no picture");
}
