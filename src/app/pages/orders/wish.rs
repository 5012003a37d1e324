//! What the form asks of the week, whoever it is for. Pure: no signal, no screen.

use rackweek::card::Card;
use rackweek::order::{Item, Order, Stage};
use rackweek::record::{Book, Command};

use super::draft::OrderDraft;

/// Stands for a name that need not be written yet.
const WHOEVER: &str = "the client";

impl OrderDraft {
    /// The order as far as it takes time and room, or what is still missing. Names, notes and allergies are left
    /// out, so that writing them asks nothing anew.
    pub(super) fn wish(&self, book: &Book, cards: &[Card]) -> Result<Order, Vec<String>> {
        let id = self.order.unwrap_or_else(|| book.next_order());
        let named = Self { client: WHOEVER.to_owned(), ..self.clone() };
        let order =
            named.order(id, cards).map_err(|errors| errors.into_values().collect::<Vec<_>>())?;
        let items = order.items.into_iter().map(|item| Item { notes: String::new(), ..item });
        let wish = Order {
            items: items.collect(),
            past_best: order.past_best,
            stage: order.stage,
            ..Order::new(order.id, order.client, order.handover)
        };
        // The book itself knows what it would refuse; this is a copy.
        match book.clone().apply(Command::PutOrder(wish.clone())) {
            Ok(_) => Ok(Order { stage: Stage::Confirmed, ..wish }),
            Err(refusals) => Err(named.placed(&refusals).into_values().collect()),
        }
    }

    /// Takes over another handover.
    pub(super) fn set_handover(&mut self, at: rackweek::calendar::Wall) {
        let text = at.to_string();
        if let Some((date, time)) = text.split_once('T') {
            date.clone_into(&mut self.date);
            time.clone_into(&mut self.time);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rackweek::card::builtin;
    use rackweek::demo::demo;
    use wasm_bindgen_test::wasm_bindgen_test;

    fn draft(cards: &[Card]) -> OrderDraft {
        let mut draft = OrderDraft::new();
        draft.date = "2026-12-12".to_owned();
        draft.add(cards.iter().find(|card| card.id == "cupcakes").expect("built in"));
        draft
    }

    #[wasm_bindgen_test]
    fn a_name_is_not_needed_and_does_not_matter() {
        let (cards, book) = (builtin(), demo("2026-11-30T07:00".parse().expect("a moment")));
        let nameless = draft(&cards).wish(&book, &cards).expect("enough to ask");
        let mut named = draft(&cards);
        named.client = "Ines K.".to_owned();
        named.theme = "meadow".to_owned();
        named.notes = "rings twice".to_owned();
        named.items[0].notes = "pale".to_owned();
        assert_eq!(named.wish(&book, &cards), Ok(nameless));
    }

    #[wasm_bindgen_test]
    fn what_is_missing_is_said_and_the_name_is_not() {
        let (cards, book) = (builtin(), demo("2026-11-30T07:00".parse().expect("a moment")));
        let missing = OrderDraft::new().wish(&book, &cards).expect_err("nothing is written");
        assert_eq!(missing.len(), 2, "day and items: {missing:?}");
        let mut nothing_made = draft(&cards);
        nothing_made.items[0].set_count("0".to_owned(), 16);
        assert_eq!(nothing_made.wish(&book, &cards).expect_err("none of them").len(), 1);
    }

    #[wasm_bindgen_test]
    fn another_handover_is_written_as_the_fields_have_it() {
        let mut draft = OrderDraft::new();
        draft.set_handover("2026-12-05T18:30".parse().expect("a moment"));
        assert_eq!((draft.date.as_str(), draft.time.as_str()), ("2026-12-05", "18:30"));
    }
}
