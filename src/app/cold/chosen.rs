//! What stands in the place at the moment, as a list beside the pictures, and all about the box chosen.

use leptos::prelude::*;
use rackweek::breakdown::StepId;
use rackweek::cold::{BoxKey, cm, size};
use rackweek::keeping::CAUTION;
use rackweek::kitchen::Place;
use rackweek::order::OrderId;
use rackweek::plan::arrange::Arrange;

use super::model::ColdModel;
use crate::app::parts::{For, Icon, OrderMark, capital};
use crate::app::routes;
use crate::app::{Form, Page};

/// A product in the place.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Entry {
    stand: String,
    first: Option<BoxKey>,
    number: usize,
    order: OrderId,
    mark: String,
    what: String,
    boxes: String,
    until: String,
    outside: bool,
}

/// The list: what is written in the pictures as numbers is here in words.
#[component]
pub(super) fn HereList() -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let entries = Memo::new(move |_| entries(&model));
    let title = move || {
        let place = model.spot.place.get();
        let (there, on) = match place {
            Place::Fridge | Place::Freezer => ("In the ", place.name()),
            _ => ("On the ", place.name()),
        };
        format!("{there}{on} then")
    };
    view! {
        <section class="cold-list">
            <h2>{title}</h2>
            {move || {
                entries.read().is_empty().then(|| view! { <p class="soft">"Nothing of an order."</p> })
            }}
            <ul>
                <For each=move || entries.get() key=entry_key let:entry>
                    <EntryRow entry=entry />
                </For>
            </ul>
        </section>
    }
}

/// A row keeps its focus as long as it says the same.
fn entry_key(entry: &Entry) -> (String, String, String, bool) {
    (entry.stand.clone(), entry.boxes.clone(), entry.until.clone(), entry.outside)
}

#[component]
fn EntryRow(entry: Entry) -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let (stand, first) = (entry.stand.clone(), entry.first.clone());
    let label = format!(
        "{}, number {} in the picture, order {}: {}; until {}",
        capital(&entry.what),
        entry.number,
        entry.mark,
        entry.boxes,
        entry.until,
    );
    view! {
        <li>
            <button
                type="button"
                class="cold-entry"
                aria-label=label
                aria-pressed=move || if model.is_of_chosen(&stand) { "true" } else { "false" }
                disabled=first.is_none()
                on:click=move |_| {
                    let same = model.selected.with_untracked(|chosen| *chosen == first);
                    model.selected.set(if same { None } else { first.clone() });
                }
            >
                <span class="cold-number number">{entry.number}</span>
                <OrderMark id=entry.order letters=entry.mark />
                <span class="cold-entry-words">
                    <strong>{capital(&entry.what)}</strong>
                    <span class="soft">
                        {entry.outside.then(|| view! { <Icon name="warn" /> })}
                        {entry.boxes}
                    </span>
                    <span class="soft">"until " {entry.until}</span>
                </span>
            </button>
        </li>
    }
}

fn entries(model: &ColdModel) -> Vec<Entry> {
    let found = model.with(|view, _, _, moment| {
        let mut list: Vec<Entry> = Vec::new();
        let here = |index: &usize| {
            moment.boxes.iter().any(|one| one.stand == *index)
                || moment.outside.iter().any(|one| one.stand == *index)
        };
        for index in (0..view.stands.len()).filter(here) {
            let Some(stand) = view.stands.get(index) else { continue };
            let own: Vec<_> = moment.boxes.iter().filter(|one| one.stand == index).collect();
            let mut counts: Vec<(String, usize)> = Vec::new();
            for one in &own {
                match counts.iter_mut().find(|(kind, _)| *kind == one.kind) {
                    Some((_, count)) => *count += 1,
                    None => counts.push((one.kind.clone(), 1)),
                }
            }
            let mut boxes: Vec<String> =
                counts.into_iter().map(|(kind, count)| format!("{count} × {kind}")).collect();
            let out: u32 =
                moment.outside.iter().filter(|one| one.stand == index).map(|one| one.count).sum();
            if out > 0 {
                boxes.push(format!("{out} outside, no room"));
            }
            list.push(Entry {
                stand: stand.id.clone(),
                first: own.first().and_then(|one| view.key(one)),
                number: stand.key,
                order: stand.order,
                mark: stand.mark.clone(),
                what: stand.what.clone(),
                boxes: boxes.join(", "),
                until: stand.until.clone(),
                outside: out > 0,
            });
        }
        list.arrange_by_key(|entry| entry.number);
        list
    });
    found.unwrap_or_default()
}

/// All about the box chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Told {
    title: String,
    order: OrderId,
    mark: String,
    whose: String,
    facts: Vec<(&'static str, String)>,
    moved: Option<String>,
    limit: String,
    made_by: StepId,
}

/// What it is, whose, since when and until when, where it goes next, how large it is.
#[component]
pub(super) fn ChosenBox() -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let told = Memo::new(move |_| told(&model));
    move || {
        let told = told.get()?;
        let order = told.order;
        let made_by = told.made_by.clone();
        let facts = told
            .facts
            .into_iter()
            .map(|(name, words)| view! { <dt>{name}</dt><dd>{words}</dd> })
            .collect_view();
        Some(view! {
            <section
                class="cold-chosen card"
                aria-label="The box chosen"
                on:keydown=move |event| {
                    if event.key() == "Escape" {
                        model.selected.set(None);
                    }
                }
            >
                <header>
                    <OrderMark id=order letters=told.mark.clone() />
                    <h2>{told.title}</h2>
                    <button
                        type="button"
                        class="button quiet icon-only"
                        aria-label="Close what is told about this box"
                        on:click=move |_| model.selected.set(None)
                    >
                        <Icon name="cross" />
                    </button>
                </header>
                <a
                    class="cold-order-link"
                    href=routes::address(Page::Orders, Some(Form::Edit(order)))
                    on:click=move |event| {
                        if !(event.ctrl_key() || event.meta_key() || event.shift_key()) {
                            event.prevent_default();
                            model.app.go(Page::Orders, Some(Form::Edit(order)));
                        }
                    }
                >
                    {format!("Order {}: {}", told.mark, told.whose)}
                </a>
                <dl>{facts}</dl>
                {told.moved.map(|words| view! { <p class="cold-moved">{words}</p> })}
                {(!told.limit.is_empty())
                    .then(|| {
                        view! {
                            <p class="small">"It may rest " {told.limit.clone()} ", wherever it stands."</p>
                            <p class="caution">{CAUTION}</p>
                        }
                    })}
                <button
                    type="button"
                    class="button"
                    on:click=move |_| model.what_if.begin(Some(&made_by))
                >
                    "What if it is made at another time?"
                </button>
            </section>
        })
    }
}

fn told(model: &ColdModel) -> Option<Told> {
    model
        .with_chosen(|view, place, moment, one| {
            let stand = view.stands.get(one.stand)?;
            let shelf = moment.surfaces.get(one.surface);
            let shelf = shelf.map_or_else(String::new, |shelf| shelf.name.clone());
            let row = rackweek::cold::rows(view, moment.span.start);
            let key = view.key(one);
            let spot = row.into_iter().find(|row| row.key == key).map(|row| row.position);
            let facts = vec![
                ("Stands", format!("{shelf}: {}", spot.unwrap_or_default())),
                ("Since", stand.since.clone()),
                ("Until", format!("{} ({})", stand.until, stand.lasts)),
                ("Then", stand.next.clone()),
                ("Size", size(one.width, one.depth, one.height)),
            ];
            let facts = match one.pile {
                1 => facts,
                many => {
                    let high = moment.boxes.iter().filter(|other| {
                        (other.surface, other.x, other.y) == (one.surface, one.x, one.y)
                    });
                    let high: u32 = high.map(|other| other.height).sum();
                    let pile = format!("{} of {many}, {} cm high in all", one.level + 1, cm(high));
                    facts.into_iter().chain([("In its pile", pile)]).collect()
                }
            };
            Some(Told {
                title: view.name(one),
                order: stand.order,
                mark: stand.mark.clone(),
                whose: stand.whose.clone(),
                facts,
                moved: view.why_moved(place, moment, one),
                limit: stand.limit.clone(),
                made_by: stand.made_by.clone(),
            })
        })
        .flatten()
}
