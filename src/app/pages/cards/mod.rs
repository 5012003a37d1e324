//! Method cards: all of them, one to read, and one to change.

mod edit;
mod files;
mod list;
mod read;

use leptos::prelude::*;
use rackweek::breakdown::{Example, example, example_count};
use rackweek::card::{Card, fresh_id};
use rackweek::record::{Book, Command, Refusal};

use self::edit::CardForm;
use super::kitchen::usual;
use super::page_link;
use crate::app::{AppState, Form, Page};

/// The way from elsewhere to a card, and to a step of it unless that is empty.
pub(crate) fn card_link(card: &str, step: &str, words: String) -> AnyView {
    page_link(Page::Cards, Form::Card(card.to_owned(), step.to_owned()), words)
}

/// How many make an example of a card: "24 pops".
fn many(card: &Card) -> String {
    let count = example_count(card);
    let piece = if count == 1 { &card.piece } else { &card.pieces };
    format!("{count} {piece}")
}

/// What an example order of a card comes to.
fn example_of(card: &Card, book: &Book) -> Example {
    let cards = book.newest_cards();
    let known: Vec<&Card> = cards.iter().collect();
    let kitchen = book.kitchen.clone().unwrap_or_else(usual);
    example(card, &known, &kitchen, example_count(card))
}

/// What the parts of the page share.
#[derive(Clone, Copy)]
struct Shelf {
    state: AppState,
}

impl Shelf {
    /// An id that no card has.
    fn fresh_id(self, words: &str) -> String {
        let book = self.state.book.read_untracked();
        let cards = book.all_cards();
        fresh_id(words, |id| cards.iter().any(|card| card.id == id))
    }

    /// Shows a card.
    fn open(self, id: String) {
        self.state.go(Page::Cards, Some(Form::Card(id, String::new())));
    }

    /// Opens the form of a card; of a new one where the id is empty.
    fn edit(self, id: String) {
        self.state.go(Page::Cards, Some(Form::EditCard(id)));
    }

    /// Shows all cards.
    fn close(self) {
        self.state.go(Page::Cards, None);
    }

    /// Saves a card and shows it; or says why not.
    fn save(self, card: Card) -> Result<(), Vec<Refusal>> {
        let (id, said) = (card.id.clone(), format!("“{}” saved", card.name));
        self.state.apply(Command::SaveCard(Box::new(card)))?;
        self.open(id);
        self.state.say(said, true);
        Ok(())
    }
}

/// The page.
#[component]
pub(crate) fn CardsPage() -> impl IntoView {
    let state = expect_context::<AppState>();
    let shelf = Shelf { state };
    view! {
        <section class="page narrow stack method">
            {move || match state.form.get() {
                Some(Form::EditCard(id)) => {
                    // Read once: while the form is open, its own text holds.
                    let card = state.book.read_untracked().card(&id);
                    view! { <CardForm shelf=shelf card=card /> }.into_any()
                }
                Some(Form::Card(id, step)) => {
                    let found = state.book.read().card(&id);
                    found.map_or_else(|| list::list(shelf), |card| read::one(shelf, &card, &step))
                }
                _ => list::list(shelf),
            }}
        </section>
    }
}
