//! A sheet to sketch on with finger, pen or mouse, white or over a picture.

use leptos::html::{Canvas, Dialog};
use leptos::prelude::*;
use rackweek::order::{Picture, PictureFile};
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement, HtmlImageElement, PointerEvent};

use super::shrink;
use crate::app::parts::{Icon, show_while};

/// A white sheet, in pixels.
const SHEET: (u32, u32) = (1200, 900);
/// What can be drawn with; names are said and shown, so no colour stands alone.
const COLOURS: [(&str, &str); 9] = [
    ("Black", "#1d1b1a"),
    ("Grey", "#8a8580"),
    ("Brown", "#7a4a2b"),
    ("Red", "#c8322b"),
    ("Orange", "#e58a1f"),
    ("Yellow", "#f0cd3c"),
    ("Green", "#3d8b46"),
    ("Blue", "#2f62b5"),
    ("Pink", "#e48bb0"),
];
/// What rubs out.
const RUBBER: (&str, &str) = ("Rubber", "#ffffff");
/// How wide a line is, in pixels of the sheet.
const WIDTHS: [(&str, f64); 3] = [("Fine", 5.0), ("Middle", 14.0), ("Broad", 40.0)];

/// What is sketched on.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Ground {
    /// A white sheet, standing or lying.
    White {
        /// Higher than wide.
        upright: bool,
    },
    /// A picture that is kept.
    Over(Picture, PictureFile),
}

impl Ground {
    /// A white sheet that stands as the screen does.
    pub(super) fn white() -> Self {
        let side = |length: Result<JsValue, JsValue>| length.ok().and_then(|side| side.as_f64());
        let upright = side(window().inner_width()) < side(window().inner_height());
        Self::White { upright }
    }

    fn size(&self) -> (u32, u32) {
        match self {
            Self::White { upright: false } => SHEET,
            Self::White { upright: true } => (SHEET.1, SHEET.0),
            Self::Over(picture, _) => (picture.width.into(), picture.height.into()),
        }
    }
}

#[derive(Debug, Clone, PartialEq)]
struct Stroke {
    colour: &'static str,
    width: f64,
    points: Vec<(f64, f64)>,
}

/// The pad, above the page while `on` holds a ground. What was drawn and not taken over is there again when it is opened
/// on the same ground.
#[component]
pub(super) fn Pad(
    /// What it is opened on.
    on: RwSignal<Option<Ground>>,
    /// Hears the finished sketch.
    #[prop(into)]
    on_done: Callback<(Picture, PictureFile)>,
) -> impl IntoView {
    let dialog = NodeRef::<Dialog>::new();
    let sheet = NodeRef::<Canvas>::new();
    let strokes = RwSignal::new(Vec::<Stroke>::new());
    let ground = RwSignal::new(None::<Ground>);
    let image = StoredValue::new_local(None::<HtmlImageElement>);
    let (colour, width) = (RwSignal::new(COLOURS[0]), RwSignal::new(WIDTHS[1]));
    let drawing = StoredValue::new(None::<i32>);
    let redraw = move || {
        let Some(canvas) = sheet.get_untracked() else { return };
        let Some(pen) = shrink::pen(&canvas) else { return };
        shrink::whiten(&canvas, &pen);
        image.with_value(|image| {
            if let Some(image) = image {
                let (w, h) = (f64::from(canvas.width()), f64::from(canvas.height()));
                let _ = pen.draw_image_with_html_image_element_and_dw_and_dh(image, 0.0, 0.0, w, h);
            }
        });
        strokes.with_untracked(|strokes| strokes.iter().for_each(|stroke| draw(&pen, stroke, 0)));
    };
    show_while(dialog, move || on.read().is_some());
    Effect::new(move |_| {
        let Some(mut wanted) = on.get() else { return };
        let drawn = !strokes.read_untracked().is_empty();
        if let (Ground::White { .. }, Some(known @ Ground::White { .. }), true) =
            (&wanted, ground.get_untracked(), drawn)
        {
            // Begun before the device was turned.
            wanted = known;
        }
        if ground.get_untracked().as_ref() != Some(&wanted) {
            strokes.set(Vec::new());
            image.set_value(None);
            ground.set(Some(wanted.clone()));
        }
        spawn_local(async move {
            if let (Ground::Over(_, file), true) = (&wanted, image.with_value(Option::is_none))
                && let Ok(element) = HtmlImageElement::new()
            {
                element.set_src(file.text());
                if JsFuture::from(element.decode()).await.is_ok() {
                    image.set_value(Some(element));
                }
            }
            request_animation_frame(move || {
                let Some(canvas) = sheet.get_untracked() else { return };
                let (across, down) = wanted.size();
                canvas.set_width(across);
                canvas.set_height(down);
                redraw();
            });
        });
    });
    let begin = move |event: PointerEvent| {
        let Some(canvas) = sheet.get_untracked() else { return };
        if event.button() != 0 || drawing.get_value().is_some() {
            return;
        }
        event.prevent_default();
        drawing.set_value(Some(event.pointer_id()));
        // Without it a line ends at the sheet's edge, and nothing else happens.
        let _ = canvas.set_pointer_capture(event.pointer_id());
        let stroke = Stroke {
            colour: colour.get_untracked().1,
            width: width.get_untracked().1,
            points: vec![place(&canvas, &event)],
        };
        if let Some(pen) = shrink::pen(&canvas) {
            draw(&pen, &stroke, 0);
        }
        strokes.update(|strokes| strokes.push(stroke));
    };
    let go_on = move |event: PointerEvent| {
        let Some(canvas) = sheet.get_untracked() else { return };
        if drawing.get_value() != Some(event.pointer_id()) {
            return;
        }
        let at = place(&canvas, &event);
        strokes.update_untracked(|strokes| {
            let Some(stroke) = strokes.last_mut() else { return };
            stroke.points.push(at);
            if let Some(pen) = shrink::pen(&canvas) {
                draw(&pen, stroke, stroke.points.len().saturating_sub(2));
            }
        });
    };
    let end = move |event: PointerEvent| {
        if drawing.get_value() == Some(event.pointer_id()) {
            drawing.set_value(None);
        }
    };
    let back = move |_| {
        strokes.update(|strokes| drop(strokes.pop()));
        redraw();
    };
    let clear = move |_| {
        strokes.set(Vec::new());
        redraw();
    };
    let done = move |_| {
        let Some(canvas) = sheet.get_untracked() else { return };
        let over = matches!(*ground.read_untracked(), Some(Ground::Over(..)));
        let made = if over { shrink::photo(&canvas, 0.82) } else { shrink::sketch(&canvas) };
        on.set(None);
        if let Ok(made) = made {
            strokes.set(Vec::new());
            on_done.run(made);
        }
    };
    let nothing = Memo::new(move |_| strokes.read().is_empty());
    let swatch = move |one: (&'static str, &'static str)| {
        view! {
            <button
                type="button"
                class="pad-colour"
                aria-pressed=move || (colour.get() == one).to_string()
                on:click=move |_| colour.set(one)
            >
                <span class="pad-dot" aria-hidden="true" style:background=one.1></span>
                {one.0}
            </button>
        }
    };
    view! {
        <dialog
            class="dialog pad"
            node_ref=dialog
            aria-label="Sketch"
            on:close=move |_| on.set(None)
        >
            <div class="pad-body">
                <canvas
                    class="pad-sheet"
                    node_ref=sheet
                    role="img"
                    aria-label="The sheet to draw on"
                    on:pointerdown=begin
                    on:pointermove=go_on
                    on:pointerup=end
                    on:pointercancel=end
                ></canvas>
                <div class="pad-tools">
                    <div class="row tight" role="group" aria-label="Draw with">
                        {COLOURS.into_iter().chain([RUBBER]).map(swatch).collect_view()}
                    </div>
                    <div class="row tight" role="group" aria-label="Width">
                        {WIDTHS
                            .into_iter()
                            .map(|one| {
                                view! {
                                    <button
                                        type="button"
                                        class="button"
                                        aria-pressed=move || (width.get() == one).to_string()
                                        on:click=move |_| width.set(one)
                                    >
                                        {one.0}
                                    </button>
                                }
                            })
                            .collect_view()}
                    </div>
                    <div class="row tight">
                        <button type="button" class="button" disabled=nothing on:click=back>
                            <Icon name="undo" />
                            "Last line"
                        </button>
                        <button type="button" class="button" disabled=nothing on:click=clear>
                            "All lines"
                        </button>
                    </div>
                    <div class="row tight">
                        <button type="button" class="button" on:click=move |_| on.set(None)>
                            "Close"
                        </button>
                        <button type="button" class="button strong" disabled=nothing on:click=done>
                            <Icon name="check" />
                            "Keep the sketch"
                        </button>
                    </div>
                </div>
            </div>
        </dialog>
    }
}

/// Where a pointer is on the sheet, in its pixels.
fn place(canvas: &HtmlCanvasElement, event: &PointerEvent) -> (f64, f64) {
    let seen = canvas.get_bounding_client_rect();
    let scale = |at: f64, from: f64, length: f64, pixels: u32| {
        (at - from) * f64::from(pixels) / length.max(1.0)
    };
    (
        scale(f64::from(event.client_x()), seen.left(), seen.width(), canvas.width()),
        scale(f64::from(event.client_y()), seen.top(), seen.height(), canvas.height()),
    )
}

/// Draws a stroke from one of its points on.
fn draw(pen: &CanvasRenderingContext2d, stroke: &Stroke, from: usize) {
    let Some((x, y)) = stroke.points.get(from).copied() else { return };
    pen.set_stroke_style_str(stroke.colour);
    pen.set_line_width(stroke.width);
    pen.set_line_cap("round");
    pen.set_line_join("round");
    pen.begin_path();
    pen.move_to(x, y);
    // A line to where it is: a dot.
    pen.line_to(x, y);
    for (x, y) in stroke.points.iter().skip(from + 1) {
        pen.line_to(*x, *y);
    }
    pen.stroke();
}
