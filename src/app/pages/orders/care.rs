//! What to know before the order is promised: allergens, clashes, what needs cold, what its cards warn of.

use leptos::prelude::*;
use rackweek::care::{COLD, Care};
use rackweek::order::Order;
use rackweek::{allergen, keeping};

use super::form::Desk;
use crate::app::AppState;
use crate::app::parts::{Area, Icon, capital};

/// The panel; empty while nothing is chosen.
#[component]
pub(super) fn CarePanel(
    /// Of the form.
    desk: Desk,
) -> impl IntoView {
    let state = expect_context::<AppState>();
    let sketch = Memo::new(move |_| {
        let order = desk.sketch(None)?;
        // Only what it depends on, so that a name that is typed reckons nothing.
        let Order { id, handover, items, allergies, stage, .. } = order;
        (!items.is_empty()).then(|| Order {
            items,
            allergies,
            stage,
            ..Order::new(id, String::new(), handover)
        })
    });
    let care = Memo::new(move |_| state.book.read().care(sketch.read().as_ref()?));
    let asked = Memo::new(move |_| {
        let clashes = care.with(|care| care.as_ref().is_some_and(|care| !care.clashes.is_empty()));
        clashes || !desk.draft.read().agreed.is_empty()
    });
    let clashes = Memo::new(move |_| {
        care.with(|care| care.as_ref().map(|care| care.clashes.clone())).unwrap_or_default()
    });
    move || {
        care.with(Option::is_some).then(|| {
            view! {
                <section class="card stack" aria-label="Before you promise it">
                    <h3>"Before you promise it"</h3>
                    {move || (!clashes.read().is_empty()).then(|| view! { <Clashes lines=clashes /> })}
                    {move || {
                        asked
                            .get()
                            .then(|| {
                                view! {
                                    <Area
                                        id="order-agreed"
                                        label="What was agreed about it"
                                        value=desk.text(|draft| &draft.agreed)
                                        on_input=move |text| {
                                            desk.write("agreed", |draft| draft.agreed = text);
                                        }
                                        error=desk.error("agreed")
                                    />
                                }
                            })
                    }}
                    {move || care.get().map(|care| view! { <Known care=care /> })}
                    <p class="caution">{allergen::CAUTION}</p>
                    <p class="caution">{keeping::CAUTION}</p>
                </section>
            }
        })
    }
}

/// What goes against what the client named.
#[component]
fn Clashes(lines: Memo<Vec<String>>) -> impl IntoView {
    let rows = move || {
        let lines = lines.get().into_iter();
        lines.map(|line| view! { <li>{capital(&line)}</li> }).collect_view()
    };
    view! {
        <div class="banner warn care-clash" role="group" aria-label="Clashes with what the client named">
            <Icon name="warn" />
            <div>
                <p>
                    <strong>"This clashes with what the client named."</strong>
                    " It cannot be confirmed before you have written what was agreed."
                </p>
                <ul>{rows}</ul>
            </div>
        </div>
    }
}

#[component]
fn Known(care: Care) -> impl IntoView {
    let contains = care.contains.iter().map(|(list, line)| {
        view! { <li>{line.clone()} " " <span class="soft small">{*list}</span></li> }
    });
    let contains = contains.collect_view();
    let nothing = care.contains.is_empty();
    let fold = |title: String, lines: Vec<String>| {
        (!lines.is_empty()).then(|| {
            let lines = lines.into_iter().map(|line| view! { <li>{capital(&line)}</li> });
            let lines = lines.collect_view();
            view! {
                <details class="care-fold">
                    <summary>{title}</summary>
                    <ul>{lines}</ul>
                </details>
            }
        })
    };
    let check = fold(format!("Labels to read: {}", care.check.len()), care.check.clone());
    let unknown = fold(format!("Nothing known of: {}", care.unknown.len()), care.unknown.clone());
    let warned = fold(format!("What its cards warn of: {}", care.cautions.len()), care.cautions);
    view! {
        {if nothing {
            view! { <p>"No allergen of the lists is in for sure."</p> }.into_any()
        } else {
            view! { <ul class="care-contains">{contains}</ul> }.into_any()
        }}
        {(!care.cold.is_empty())
            .then(|| {
                view! { <p>{format!("Needs the fridge: {}. {COLD}", care.cold.join(", "))}</p> }
            })}
        {(!care.egg.is_empty())
            .then(|| {
                view! {
                    <p>
                        {format!(
                            "Egg that no oven bakes: {}. Pasteurised egg is the careful choice, and some places ask for it (common practice, no published source).",
                            care.egg.join(", "),
                        )}
                    </p>
                }
            })}
        {check}
        {unknown}
        {warned}
    }
}
