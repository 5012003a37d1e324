//! How many an item serves, and how many pieces so many guests need. The tool proposes, she decides.

use leptos::prelude::*;
use rackweek::breakdown::cakes;
use rackweek::order::{Item, ItemId};
use rackweek::servings::{Cake, EVENT, ORIGIN, PARTY, PIECES_EACH, pieces_for};

use super::draft::card_of;
use super::form::Desk;

/// What an item comes to for guests.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Serves {
    /// Cakes: small slices, party slices, small ones when a tall cake is cut across, wedges of the widest.
    Cakes { small: i64, party: i64, across: i64, wedges: Option<i64> },
    /// Small pieces, and their name.
    Pieces { count: u32, pieces: String },
}

fn serves(desk: Desk, id: ItemId) -> Option<Serves> {
    let order = desk.sketch(Some(id))?;
    let item: &Item = order.items.first()?;
    let cards = desk.cards.0.read();
    let card = card_of(&cards, &item.card, &item.versions)?;
    let tiers = cakes(card, item, &desk.kitchen.read());
    if tiers.is_empty() {
        return Some(Serves::Pieces { count: item.count, pieces: card.pieces.clone() });
    }
    let count = i64::from(item.count);
    let sum = |each: &dyn Fn(&Cake) -> i64| tiers.iter().map(each).sum::<i64>() * count;
    Some(Serves::Cakes {
        small: sum(&|cake| cake.slices(EVENT)),
        party: sum(&|cake| cake.slices(PARTY)),
        across: sum(&|cake| cake.slices_across(EVENT)),
        wedges: tiers[0].wedges().filter(|_| tiers.len() == 1).map(|wedges| wedges * count),
    })
}

/// The guests as they are written; none while that is no number.
fn guests(desk: Desk) -> Option<u32> {
    desk.draft.read().guests.trim().parse().ok().filter(|guests| 0 < *guests)
}

/// The lines below an item.
#[component]
pub(super) fn ServesLines(
    /// Of the form.
    desk: Desk,
    /// Which item.
    id: ItemId,
    /// Writes another count.
    #[prop(into)]
    on_count: Callback<String>,
) -> impl IntoView {
    let found = Memo::new(move |_| serves(desk, id));
    move || match found.get()? {
        Serves::Cakes { small, party, across, wedges } => {
            let mut line = format!(
                "Serves about {party} in party slices of 4 × 5 cm, {small} in small ones of 2.5 × 5 cm"
            );
            if small < across {
                line = format!("{line}, {across} if each is cut across");
            }
            if let Some(wedges) = wedges {
                line = format!("{line}; {wedges} as wedges");
            }
            let least = u32::try_from(small.max(across)).unwrap_or(0);
            let short = guests(desk).filter(|guests| least < *guests).map(|guests| {
                view! { <p>{format!("{} of {guests} guests would get none of it.", guests - least)}</p> }
            });
            Some(
                view! {
                    <p class="item-preview">{line} "."</p>
                    {short}
                    <details>
                        <summary class="fit-why">"Where these numbers come from"</summary>
                        <p class="soft small">{ORIGIN} "."</p>
                    </details>
                }
                .into_any(),
            )
        }
        Serves::Pieces { count, pieces } => {
            let guests = guests(desk)?;
            let proposed = pieces_for(guests, PIECES_EACH).ok().filter(|all| *all != count);
            let each = format!("{}.{}", count / guests, count % guests * 10 / guests);
            let take = proposed.map(|all| {
                view! {
                    <button
                        type="button"
                        class="button"
                        on:click=move |_| on_count.run(all.to_string())
                    >
                        {format!("Take {all} {pieces}, {PIECES_EACH} each")}
                    </button>
                }
            });
            Some(
                view! {
                    <p>
                        {format!("For {guests} guests that is {each} each. ")}
                        <span class="soft small">
                            {format!("{PIECES_EACH} of each kind are common practice where there are several, no published source.")}
                        </span>
                    </p>
                    {take}
                }
                .into_any(),
            )
        }
    }
}
