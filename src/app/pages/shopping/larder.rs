//! What is there.

use leptos::prelude::*;
use rackweek::supply::{amount, catalogue, good};

use super::Shop;
use crate::app::intl;
use crate::app::parts::{Choose, For, capital};

/// The larder, and what else could be counted.
#[component]
pub(super) fn Larder(shop: Shop) -> impl IntoView {
    let goods = Memo::new(move |_| {
        let supplies = shop.supplies.read();
        let known = |id: &String| good(id).map(|good| good.id.as_str());
        supplies.larder.keys().filter_map(known).collect::<Vec<&'static str>>()
    });
    let others = Signal::derive(move || {
        let supplies = shop.supplies.read();
        let rest = catalogue().iter().filter(|good| !supplies.larder.contains_key(&good.id));
        let each = rest.map(|good| (good.id.clone(), capital(&good.name)));
        [(String::new(), "Choose something to count …".to_owned())]
            .into_iter()
            .chain(each)
            .collect()
    });
    view! {
        <section class="card stack" aria-label="Larder">
            <h2>"Larder"</h2>
            <p class="soft small">
                "What is there comes off the list. What ticked steps use up comes off the larder by itself."
            </p>
            <ul class="shopping-list">
                <For each=move || goods.get() key=|id| *id let:id>
                    <Stocked shop=shop id=id />
                </For>
            </ul>
            <Choose
                id="larder-more"
                label="Something else that is there"
                options=others
                value=Signal::stored(String::new())
                on_change=move |id: String| shop.open.set(good(&id).map(|good| good.id.as_str()))
            />
        </section>
    }
}

#[component]
fn Stocked(shop: Shop, id: &'static str) -> impl IntoView {
    let name = good(id).map_or_else(String::new, |good| capital(&good.name));
    let words = move || {
        let supplies = shop.supplies.read();
        let (Some(good), Some(stock)) = (good(id), supplies.larder.get(id)) else {
            return String::new();
        };
        let uses = shop.uses.read();
        let mut parts = vec![amount(good, supplies.present(id, &uses), supplies.units)];
        if supplies.is_low(id, &uses) {
            parts.push("low".to_owned());
        }
        if let Some(opened) = stock.opened {
            parts.push(format!("opened {}", intl::day_month(opened)));
        }
        if let Some(use_by) = stock.use_by {
            let past = use_by < shop.now.read().date();
            let what = if past { "use by is past:" } else { "use by" };
            parts.push(format!("{what} {}", intl::day_month(use_by)));
        }
        parts.join(" · ")
    };
    view! {
        <li>
            <button
                type="button"
                class="shopping-good"
                aria-haspopup="dialog"
                on:click=move |_| shop.open.set(Some(id))
            >
                <strong>{name}</strong>
                <span class="soft small number">{words}</span>
            </button>
        </li>
    }
}
