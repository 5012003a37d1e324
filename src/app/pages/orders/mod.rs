//! The order book: the list of orders, and the form for one.

mod care;
mod draft;
mod earned;
mod fit;
mod form;
mod item;
mod labels;
mod letter;
mod list;
mod looks;
mod preview;
mod quote;
mod rates;
mod sections;
mod serves;
mod standing;
mod takes;
mod trial;
mod wish;

use leptos::prelude::*;
use rackweek::card::Card;
use rackweek::order::Order;

use self::draft::{OrderDraft, card_of};
use self::form::OrderForm;
use self::labels::Labels;
use self::list::OrderList;
use super::first::Steps;
use crate::app::{AppState, Form, prefs};

/// Every card in every version, the newest of each first.
#[derive(Clone, Copy)]
struct Cards(Memo<Vec<Card>>);

impl Cards {
    fn new(state: AppState) -> Self {
        Self(Memo::new(move |_| state.book.read().all_cards()))
    }

    /// What can be chosen: cards that there are still, products first as the program has them.
    fn newest() -> Vec<Card> {
        let state = expect_context::<AppState>();
        state.book.read().newest_cards()
    }

    fn name(self, id: &str) -> String {
        let cards = self.0.read();
        cards
            .iter()
            .find(|card| card.id == id)
            .map_or_else(|| id.to_owned(), |card| card.name.clone())
    }

    /// "24 cookies, 1 cake".
    fn items(self, order: &Order) -> String {
        let cards = self.0.read();
        let one = |item: &rackweek::order::Item| {
            let card = card_of(&cards, &item.card, &item.versions);
            match card {
                Some(card) if item.count == 1 => format!("1 {}", card.piece),
                Some(card) => format!("{} {}", item.count, card.pieces),
                None => format!("{} × {}", item.count, item.card),
            }
        };
        order.items.iter().map(one).collect::<Vec<_>>().join(", ")
    }
}

/// The unsent form, kept over reloads.
fn stored_draft() -> Option<OrderDraft> {
    prefs::get::<OrderDraft>(prefs::Slot::OrderDraft).filter(|draft| !draft.is_empty())
}

/// The page.
#[component]
pub(crate) fn OrdersPage() -> impl IntoView {
    let state = expect_context::<AppState>();
    provide_context(Cards::new(state));
    move || match state.form.get() {
        None | Some(Form::Card(..) | Form::EditCard(_)) => view! { <OrderList /> }.into_any(),
        Some(Form::New) => {
            // The first order of all is the last step of the set-up.
            let is_first = state.book.read_untracked().orders.is_empty();
            view! {
                {is_first
                    .then(|| {
                        view! {
                            <div class="page narrow first-third">
                                <Steps at=3 />
                            </div>
                        }
                    })}
                <OrderForm order=None />
            }
            .into_any()
        }
        Some(Form::Labels(id)) => {
            let order = state.book.read_untracked().orders.get(&id).cloned();
            match order {
                Some(order) => view! { <Labels order=order /> }.into_any(),
                None => view! { <OrderList /> }.into_any(),
            }
        }
        Some(Form::Edit(id)) => {
            // Read once: while the form is open, its own text holds.
            let order = state.book.read_untracked().orders.get(&id).cloned();
            match order {
                Some(order) => view! { <OrderForm order=Some(order) /> }.into_any(),
                None => view! { <OrderList /> }.into_any(),
            }
        }
    }
}
