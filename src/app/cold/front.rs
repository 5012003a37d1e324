//! The picture from the front, and what all pictures share: hatching, letters, taps.

use std::sync::Arc;

use leptos::prelude::*;
use rackweek::cold::{ColdView, Label, Paper, front, label, outside};
use rackweek::kitchen::Place;
use wasm_bindgen::JsCast;
use web_sys::{Element, MouseEvent};

use super::model::ColdModel;
use crate::app::parts::{capital, mark_class};

/// How far from a box a finger may come down and still mean it, px.
const REACH: f64 = 22.0;
/// At most so many of one kind are drawn outside.
const MOST_OUTSIDE: u32 = 6;

/// A rectangle in mm of the picture: left, upper edge, width, height.
type Area = (u32, u32, u32, u32);
/// What a finger can hit: a box's key and where it is drawn.
pub(super) type Hit = (String, u32, u32, u32, u32);

/// A place from the front.
#[component]
pub(super) fn FrontPicture(
    view: Arc<ColdView>,
    place: Place,
    index: usize,
    paper: Paper,
    /// Two pictures of one place on one page must not share names.
    #[prop(default = "")]
    name: &'static str,
) -> impl IntoView {
    // Beside another plan nothing can be chosen.
    let model = name.is_empty().then(use_context::<ColdModel>).flatten();
    let found = view.place(place)?;
    let moment = found.moments.get(index)?;
    let picture = front(found, moment, paper.board());
    let id = format!("{}-front{name}", place.id());
    let rows = picture
        .rows
        .iter()
        .map(|row| {
            let surface = moment.surfaces.get(row.surface);
            let words = surface.map_or_else(String::new, |surface| capital(&surface.name));
            let kept = row
                .kept
                .iter()
                .map(|(x, width)| {
                    let words = if place == Place::Counter { "work zone" } else { "household" };
                    hatched(&id, (*x, row.top, *width, row.floor - row.top), words, paper)
                })
                .collect_view();
            let line = row.floor + paper.board() * 7 / 10;
            view! {
                <rect
                    class="cold-ground"
                    y=row.top
                    width=row.width
                    height=row.floor - row.top
                    data-shelf=row.surface
                ></rect>
                {kept}
                <rect class="cold-board" y=row.floor width=row.width height=paper.board()></rect>
                <text class="cold-board-name" x=paper.mm(6) y=line font-size=paper.mm(12)>
                    {words}
                </text>
            }
        })
        .collect_view();
    let mut hits: Vec<Hit> = Vec::new();
    let mut behind = Vec::new();
    let boxes = picture
        .boxes
        .iter()
        .filter_map(|drawn| {
            let one = moment.boxes.get(drawn.index)?;
            let stand = view.stands.get(one.stand)?;
            let key = view.key(one)?.to_string();
            let area = (drawn.x, drawn.y, drawn.width, drawn.height);
            hits.push((key.clone(), area.0, area.1, area.2, area.3));
            let text = if drawn.hidden {
                behind.push(area);
                Label::default()
            } else {
                let (wide, high) =
                    (paper.px(drawn.width) as usize, paper.px(drawn.height) as usize);
                label(&stand.mark, stand.key, &stand.what, wide, high)
            };
            let (own, id) = (key.clone(), stand.id.clone());
            Some(view! {
                <g
                    class=format!("cold-box {}", mark_class(stand.order))
                    class:chosen=move || model.is_some_and(|model| model.is_chosen(&own))
                    class:same=move || model.is_some_and(|model| model.is_of_chosen(&id))
                    data-box=key
                    data-mm-wide=drawn.width
                    data-mm-high=drawn.height
                >
                    <rect x=area.0 y=area.1 width=area.2 height=area.3></rect>
                    {letters(&text, area, paper)}
                </g>
            })
        })
        .collect_view();
    let behind = behind
        .into_iter()
        .map(|(x, y, width, height)| {
            view! { <rect class="cold-behind" x=x y=y width=width height=height></rect> }
        })
        .collect_view();
    let alt = format!("The {place} from the front: {}", found.fill_words(index));
    let (width, height) = (picture.width, picture.height);
    Some(view! {
        <svg
            class="cold-svg"
            width=paper.px(width)
            height=paper.px(height)
            viewBox=format!("0 0 {width} {height}")
            role="img"
            aria-label=alt
            data-front=place.id()
            on:click=move |event| {
                if let Some(model) = model {
                    tap(&model, &event, &hits, paper);
                }
            }
        >
            {hatch(&id, paper)}
            {rows}
            {boxes}
            {behind}
        </svg>
    })
}

/// What does not fit, beside the place, standing on the floor.
#[component]
pub(super) fn OutsidePicture(
    view: Arc<ColdView>,
    place: Place,
    index: usize,
    paper: Paper,
) -> impl IntoView {
    let found = view.place(place)?;
    let moment = found.moments.get(index)?;
    let gap = paper.mm(8);
    let drawn = outside(&moment.outside, gap, MOST_OUTSIDE);
    let height = drawn.iter().map(|one| one.height).max()?;
    let boxes = drawn
        .iter()
        .filter_map(|one| {
            let of = moment.outside.get(one.index)?;
            let stand = view.stands.get(of.stand)?;
            let (wide, high) = (paper.px(one.width) as usize, paper.px(one.height) as usize);
            let text = label(&stand.mark, stand.key, &stand.what, wide, high);
            let (width, height) = (paper.px(one.width), paper.px(one.height));
            Some(view! {
                <svg
                    class="cold-svg cold-out"
                    width=width
                    height=height
                    viewBox=format!("0 0 {} {}", one.width, one.height)
                    aria-hidden="true"
                    focusable="false"
                >
                    <g class=format!("cold-box outside {}", mark_class(stand.order))>
                        <rect width=one.width height=one.height></rect>
                        {letters(&text, (0, 0, one.width, one.height), paper)}
                    </g>
                </svg>
            })
        })
        .collect_view();
    let listed = moment
        .outside
        .iter()
        .filter_map(|one| {
            let stand = view.stands.get(one.stand)?;
            Some(view! {
                <li>
                    {format!(
                        "{} {} {}: {} × {}, {}",
                        stand.key,
                        stand.mark,
                        stand.what,
                        one.count,
                        one.kind,
                        rackweek::cold::size(one.width, one.depth, one.height),
                    )}
                </li>
            })
        })
        .collect_view();
    Some(view! {
        <figure class="cold-outside" data-outside=height>
            <figcaption>"Outside: no room for it"</figcaption>
            <div class="cold-out-row">{boxes}</div>
            <ul class="small">{listed}</ul>
        </figure>
    })
}

/// The pattern of what is kept, for one picture.
pub(super) fn hatch(id: &str, paper: Paper) -> impl IntoView + use<> {
    let step = paper.mm(8);
    view! {
        <defs>
            <pattern
                id=format!("hatch-{id}")
                width=step
                height=step
                patternUnits="userSpaceOnUse"
                patternTransform="rotate(45)"
            >
                <line class="cold-hatch" x1="0" y1="0" x2="0" y2=step></line>
            </pattern>
        </defs>
    }
}

/// A part that is kept, with its word where there is room for it.
pub(super) fn hatched(
    id: &str,
    (x, y, width, height): Area,
    words: &'static str,
    paper: Paper,
) -> impl IntoView + use<> {
    let (wide, high) = (paper.px(width), paper.px(height));
    let room = wide > 74 && high > 20;
    let (middle, line) = (x + width / 2, y + height / 2);
    let pad = paper.mm(36);
    view! {
        <rect class="cold-kept" x=x y=y width=width height=height></rect>
        <rect x=x y=y width=width height=height fill=format!("url(#hatch-{id})")></rect>
        {room
            .then(|| {
                view! {
                    <rect
                        class="cold-kept-word"
                        x=middle.saturating_sub(pad)
                        y=line.saturating_sub(paper.mm(9))
                        width=2 * pad
                        height=paper.mm(18)
                    ></rect>
                    <text class="cold-soft" x=middle y=line font-size=paper.mm(12)>
                        {words}
                    </text>
                }
            })}
    }
}

/// A box's label, in the middle of it.
pub(super) fn letters(
    label: &Label,
    (x, y, width, height): Area,
    paper: Paper,
) -> impl IntoView + use<> {
    let size = u32::try_from(label.size).unwrap_or(12);
    let line = paper.mm(size * 6 / 5);
    let count = u32::try_from(label.lines.len()).unwrap_or(1);
    let first = (y + height / 2 + line / 2).saturating_sub(line * count / 2);
    let (middle, size) = (x + width / 2, paper.mm(size));
    (0..)
        .zip(label.lines.clone())
        .map(|(index, text)| {
            view! {
                <text
                    class="cold-label"
                    class:lead={index == 0}
                    x=middle
                    y=first + line * index
                    font-size=size
                >
                    {text}
                </text>
            }
        })
        .collect_view()
}

/// Chooses the box under a finger, or the nearest one within its reach; away from all: none.
pub(super) fn tap(model: &ColdModel, event: &MouseEvent, hits: &[Hit], paper: Paper) {
    let target = event.target().and_then(|target| target.dyn_into::<Element>().ok());
    let Some(target) = target else { return };
    let on = target.closest("[data-box]").ok().flatten();
    let named = on.and_then(|found| found.get_attribute("data-box"));
    let key = named.or_else(|| {
        let picture = target.closest("svg").ok().flatten()?.get_bounding_client_rect();
        let mm = 1000.0 / f64::from(paper.scale.max(1));
        let (x, y) = (
            f64::from(event.client_x()) - picture.left(),
            f64::from(event.client_y()) - picture.top(),
        );
        let away = |hit: &Hit| {
            let (left, top) = (f64::from(hit.1) / mm, f64::from(hit.2) / mm);
            let (wide, high) = (f64::from(hit.3) / mm, f64::from(hit.4) / mm);
            let across = (left - x).max(x - left - wide).max(0.0);
            across.hypot((top - y).max(y - top - high).max(0.0))
        };
        let nearest = hits.iter().min_by(|a, b| away(a).total_cmp(&away(b)))?;
        (away(nearest) <= REACH).then(|| nearest.0.clone())
    });
    model.choose(key.as_deref());
}
