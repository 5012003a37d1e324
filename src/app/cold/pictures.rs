//! The pictures of a place: from the front, and each surface from above, all to one scale.

use std::sync::Arc;

use leptos::prelude::*;
use rackweek::cold::{BoxView, ColdView, MomentView, Paper, PlaceView, across, label, size};
use rackweek::kitchen::Place;
use rackweek::kitchen::stow::{Kept, KeptFor, Surface};

use super::front::{FrontPicture, OutsidePicture, hatch, hatched, letters, tap};
use super::model::ColdModel;
use crate::app::parts::{Icon, capital, mark_class};

/// A place at the moment looked at.
#[component]
pub(super) fn PlacePictures(place: Place) -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let drawn = Memo::new(move |_| {
        let time = model.time();
        model.view.with(|view| {
            let view = view.as_ref()?;
            Some((Arc::clone(view), view.place(place)?.at(time)))
        })
    });
    move || {
        let (view, index) = drawn.get()?;
        let found = view.place(place)?;
        let moment = found.moments.get(index)?;
        let (width, height) = model.room.get();
        let paper = Paper::of(found, width, height);
        Some(view! {
            <section class="cold-place" aria-label=format!("The {place} drawn to scale")>
                {model
                    .printing
                    .get()
                    .then(|| view! { <h3>{capital(place.name())}": "{found.fill_words(index)}</h3> })}
                {(!moment.outside.is_empty()).then(|| warning(moment))}
                <div class="cold-pictures" class:beside=paper.beside data-scale=paper.scale>
                    <figure class="cold-front">
                        <figcaption>"From the front"</figcaption>
                        <FrontPicture view=Arc::clone(&view) place=place index=index paper=paper />
                    </figure>
                    <div class="cold-tops-side">
                        <p class="cold-caption">{top_caption(place)}</p>
                        <div
                            class="cold-tops"
                            style:grid-template-columns=format!(
                                "repeat({}, {}px)",
                                paper.columns,
                                paper.px(widest(moment)),
                            )
                        >
                            {found
                                .tops()
                                .into_iter()
                                .map(|top| Top::of(&view, found, moment, top, paper).draw(&model))
                                .collect_view()}
                        </div>
                    </div>
                    {(!moment.outside.is_empty())
                        .then(|| {
                            view! {
                                <OutsidePicture
                                    view=Arc::clone(&view)
                                    place=place
                                    index=index
                                    paper=paper
                                />
                            }
                        })}
                </div>
                <Bar paper=paper place=place />
            </section>
        })
    }
}

fn top_caption(place: Place) -> &'static str {
    match place {
        Place::Rack => "A tray from above",
        _ => "From above, the front edge below",
    }
}

fn widest(moment: &MomentView) -> u32 {
    moment.surfaces.iter().map(|surface| surface.width).max().unwrap_or(0)
}

fn warning(moment: &MomentView) -> impl IntoView + use<> {
    let count: u32 = moment.outside.iter().map(|one| one.count).sum();
    let lead = match count {
        1 => "1 box does not fit.".to_owned(),
        many => format!("{many} boxes do not fit."),
    };
    view! {
        <p class="cold-warning">
            <Icon name="warn" />
            <span><strong>{lead}</strong>" "{capital(&moment.reason)}</span>
        </p>
    }
}

/// The scale in a bar and in words.
#[component]
fn Bar(paper: Paper, place: Place) -> impl IntoView {
    let bar = paper.bar();
    let px = f64::from(bar.px) / 100.0;
    let path = format!("M1 3V13M1 8H{0:.1}M{0:.1} 3V13", px + 1.0);
    view! {
        <p class="cold-bar soft small">
            <svg
                width=format!("{:.1}", px + 2.0)
                height="16"
                aria-hidden="true"
                focusable="false"
                data-bar-mm=bar.length
            >
                <path d=path></path>
            </svg>
            <span>
                <strong>{format!("{} cm", bar.length / 10)}</strong>
                {format!(
                    " in every picture of the {place}; only the boards with names are not to scale",
                )}
            </span>
        </p>
    }
}

/// One surface from above.
struct Top {
    id: String,
    name: String,
    measure: String,
    words: String,
    surface: Surface,
    paper: Paper,
    free: Option<(u32, u32, u32, u32)>,
    piles: Vec<Pile>,
}

struct Pile {
    key: String,
    stand: String,
    class: String,
    x: u32,
    y: u32,
    width: u32,
    depth: u32,
    label: rackweek::cold::Label,
}

impl Top {
    fn of(
        view: &ColdView,
        place: &PlaceView,
        moment: &MomentView,
        top: usize,
        paper: Paper,
    ) -> Self {
        let index = place.top_shown(top, moment);
        let fallback = || Surface {
            name: String::new(),
            width: 1,
            depth: 1,
            height: 0,
            free: None,
            kept: Vec::new(),
        };
        let surface = moment.surfaces.get(index).cloned().unwrap_or_else(fallback);
        let room = moment.rooms.get(index);
        let largest = room.and_then(|room| room.largest);
        let words = match place.place {
            Place::Rack => String::new(),
            _ => room.map_or_else(String::new, |room| capital(&room.words)),
        };
        let topmost = |one: &&BoxView| one.surface == index && one.level + 1 == one.pile;
        let piles = moment.boxes.iter().filter(topmost);
        Self {
            id: format!("{}-{index}", place.place.id()),
            name: capital(&surface.name),
            measure: match surface.height {
                0 => across(surface.width, surface.depth),
                height => size(surface.width, surface.depth, height),
            },
            words,
            free: largest.map(|free| (free.x, free.y, free.width, free.depth)),
            piles: piles.filter_map(|one| Pile::of(view, one, paper)).collect(),
            surface,
            paper,
        }
    }

    fn draw(self, model: &ColdModel) -> impl IntoView + use<> {
        let model = *model;
        let Self { id, name, measure, words, surface, paper, free, piles } = self;
        let (width, depth) = (surface.width, surface.depth);
        // The front edge lies below, as one looks down on it from before it.
        let down = move |y: u32, own: u32| depth.saturating_sub(y + own);
        let kept =
            surface.kept.iter().map(|kept| kept_part(kept, &id, paper, depth)).collect_view();
        let hits = piles
            .iter()
            .map(|pile| {
                (pile.key.clone(), pile.x, down(pile.y, pile.depth), pile.width, pile.depth)
            })
            .collect::<Vec<_>>();
        let free = free.map(|(x, y, w, d)| {
            let words = format!("free {}", across(w, d));
            let room = words.len() as u32 * 7 < paper.px(w) && 22 < paper.px(d);
            let (middle, line) = (x + w / 2, down(y, d) + d / 2);
            view! {
                <rect class="cold-free" x=x y=down(y, d) width=w height=d></rect>
                {room
                    .then(|| {
                        view! {
                            <text class="cold-soft" x=middle y=line font-size=paper.mm(12)>
                                {words}
                            </text>
                        }
                    })}
            }
        });
        let boxes = piles
            .into_iter()
            .map(|pile| {
                let y = down(pile.y, pile.depth);
                let (key, stand) = (pile.key.clone(), pile.stand.clone());
                view! {
                    <g
                        class=pile.class
                        class:chosen=move || model.is_chosen(&key)
                        class:same=move || model.is_of_chosen(&stand)
                        data-box=pile.key.clone()
                    >
                        <rect x=pile.x y=y width=pile.width height=pile.depth></rect>
                        {letters(&pile.label, (pile.x, y, pile.width, pile.depth), paper)}
                    </g>
                }
            })
            .collect_view();
        let alt =
            format!("{name} from above: {words}. What stands on it is listed beside the pictures");
        view! {
            <figure class="cold-top">
                <figcaption>
                    <strong>{name}</strong>
                    <span class="soft">{measure}</span>
                    <span class="soft">{words}</span>
                </figcaption>
                <svg
                    class="cold-svg"
                    width=paper.px(width)
                    height=paper.px(depth)
                    viewBox=format!("0 0 {width} {depth}")
                    role="img"
                    aria-label=alt
                    data-surface=id.clone()
                    data-mm=width
                    on:click=move |event| tap(&model, &event, &hits, paper)
                >
                    {hatch(&id, paper)}
                    <rect class="cold-ground" width=width height=depth></rect>
                    {kept}
                    {free}
                    {boxes}
                    <rect class="cold-edge" width=width height=depth></rect>
                </svg>
            </figure>
        }
    }
}

fn kept_part(kept: &Kept, id: &str, paper: Paper, depth: u32) -> impl IntoView + use<> {
    let y = depth.saturating_sub(kept.y + kept.depth);
    let words = match kept.what {
        KeptFor::Household => "household",
        KeptFor::Work => "work zone",
    };
    hatched(id, (kept.x, y, kept.width, kept.depth), words, paper)
}

impl Pile {
    fn of(view: &ColdView, one: &BoxView, paper: Paper) -> Option<Self> {
        let stand = view.stands.get(one.stand)?;
        let what = match one.pile {
            1 => stand.what.clone(),
            many => format!("{} × {many}", stand.what),
        };
        let (wide, high) = (paper.px(one.width) as usize, paper.px(one.depth) as usize);
        Some(Self {
            key: view.key(one)?.to_string(),
            stand: stand.id.clone(),
            class: format!("cold-box {}", mark_class(stand.order)),
            x: one.x,
            y: one.y,
            width: one.width,
            depth: one.depth,
            label: label(&stand.mark, stand.key, &what, wide, high),
        })
    }
}
