//! A photo made small: as large as a tablet shows it, without the place and time that a camera writes into it.

use js_sys::Reflect;
use leptos::prelude::*;
use rackweek::order::{Picture, PictureFile};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, CanvasRenderingContext2d, HtmlCanvasElement, ImageBitmap};

/// The largest file that is looked at, bytes.
const FILE_MAX: f64 = 60e6;
/// Letters that a photo should not need more of: about half a megabyte.
const LETTERS: usize = 700_000;
/// Longest side in pixels and quality, tried in turn until it is small enough.
const TRIES: [(f64, f64); 4] = [(1600.0, 0.82), (1600.0, 0.7), (1280.0, 0.7), (1024.0, 0.6)];

/// Makes a picture of a file, or says why it cannot.
pub(super) async fn shrink(file: &Blob) -> Result<(Picture, PictureFile), String> {
    if FILE_MAX < file.size() {
        return Err("is too large; choose one of at most 60 MB".to_owned());
    }
    let unread = || "is no picture that this browser can read; choose a JPEG or a PNG".to_owned();
    let drawn = window().create_image_bitmap_with_blob(file).map_err(|_| unread())?;
    let bitmap: ImageBitmap = JsFuture::from(drawn).await.map_err(|_| unread())?.unchecked_into();
    let (width, height) = (f64::from(bitmap.width()), f64::from(bitmap.height()));
    let mut last = Err(unread());
    for (side, quality) in TRIES {
        let scale = (side / width.max(height)).min(1.0);
        let size = |length: f64| (length * scale).round().max(1.0) as u32;
        let Some((canvas, pen)) = canvas(size(width), size(height)) else { break };
        // Photos are drawn much smaller than they are.
        let _ = Reflect::set(&pen, &"imageSmoothingQuality".into(), &"high".into());
        let (w, h) = (f64::from(canvas.width()), f64::from(canvas.height()));
        let _ = pen.draw_image_with_image_bitmap_and_dw_and_dh(&bitmap, 0.0, 0.0, w, h);
        last = photo(&canvas, quality);
        if last.as_ref().is_ok_and(|(_, file)| file.text().len() <= LETTERS) {
            break;
        }
    }
    bitmap.close();
    last
}

/// A white sheet of so many pixels, and the pen for it.
pub(super) fn canvas(
    width: u32,
    height: u32,
) -> Option<(HtmlCanvasElement, CanvasRenderingContext2d)> {
    let canvas: HtmlCanvasElement = document().create_element("canvas").ok()?.dyn_into().ok()?;
    canvas.set_width(width);
    canvas.set_height(height);
    let pen = pen(&canvas)?;
    whiten(&canvas, &pen);
    Some((canvas, pen))
}

/// The pen of a canvas.
pub(super) fn pen(canvas: &HtmlCanvasElement) -> Option<CanvasRenderingContext2d> {
    canvas.get_context("2d").ok()??.dyn_into().ok()
}

/// Makes it white: what is see-through would be black in a photo.
pub(super) fn whiten(canvas: &HtmlCanvasElement, pen: &CanvasRenderingContext2d) {
    pen.set_fill_style_str("white");
    pen.fill_rect(0.0, 0.0, f64::from(canvas.width()), f64::from(canvas.height()));
}

/// What is on a canvas, as a photo.
pub(super) fn photo(
    canvas: &HtmlCanvasElement,
    quality: f64,
) -> Result<(Picture, PictureFile), String> {
    let text =
        canvas.to_data_url_with_type_and_encoder_options("image/jpeg", &JsValue::from(quality));
    picture(canvas, text)
}

/// What is on a canvas, as a sketch.
pub(super) fn sketch(canvas: &HtmlCanvasElement) -> Result<(Picture, PictureFile), String> {
    picture(canvas, canvas.to_data_url())
}

fn picture(
    canvas: &HtmlCanvasElement,
    text: Result<String, JsValue>,
) -> Result<(Picture, PictureFile), String> {
    let text = text.map_err(|_| "could not be drawn; try a smaller one".to_owned())?;
    let file = PictureFile::new(text)?;
    let side = |length: u32| u16::try_from(length).unwrap_or(u16::MAX);
    let (width, height) = (side(canvas.width()), side(canvas.height()));
    Ok((Picture { id: file.id(), width, height, words: String::new() }, file))
}
