//! A card that is being changed and is not in the book yet, as it is kept over a reload. Pure: no signal, no screen.

use std::collections::BTreeMap;

use rackweek::card::Card;
use rackweek::card::form::Sheet;
use serde::{Deserialize, Serialize};

/// What was typed at a place and what is wrong with it, if anything is.
pub(super) type Typed = BTreeMap<String, (String, Option<String>)>;

/// The unsaved card.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct CardDraft {
    /// Which card is changed; none: it is new.
    pub(super) id: Option<String>,
    /// The version that the change began from; 0 for a new one.
    pub(super) base: u32,
    /// As it is written so far.
    pub(super) card: Card,
    /// What could not be read, by its place.
    #[serde(default)]
    pub(super) unread: BTreeMap<String, String>,
}

impl CardDraft {
    /// What a form holds now.
    pub(super) fn of(id: Option<String>, base: u32, sheet: &Sheet, typed: &Typed) -> Self {
        let unread = typed.iter().filter(|(_, (_, wrong))| wrong.is_some());
        let unread = unread.map(|(path, (text, _))| (path.clone(), text.clone())).collect();
        Self { id, base, card: sheet.card().clone(), unread }
    }

    /// The form again, with what could not be read and why.
    pub(super) fn open(self, cards: &[Card]) -> (Sheet, Typed) {
        let mut sheet = Sheet::of(self.card, cards);
        let mut typed = Typed::new();
        for (path, text) in self.unread {
            if let Err(wrong) = sheet.write(&path, &text) {
                typed.insert(path, (text, Some(wrong)));
            }
        }
        (sheet, typed)
    }
}

#[cfg(test)]
mod tests {
    use rackweek::card::builtin;
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    #[wasm_bindgen_test]
    fn an_unsaved_card_survives_being_stored_with_what_could_not_be_read() {
        let cards = builtin();
        let mut sheet = Sheet::of(cards[0].clone(), &cards);
        sheet.write("name", "Mine “<b>”").expect("a text");
        let wrong = sheet.write("spares", "many").expect_err("no number");
        let mut typed = Typed::new();
        typed.insert("spares".to_owned(), ("many".to_owned(), Some(wrong)));
        typed.insert("piece".to_owned(), ("cookie".to_owned(), None));
        let draft = CardDraft::of(Some(cards[0].id.clone()), cards[0].version, &sheet, &typed);
        let text = serde_json::to_string(&draft).expect("plain data");
        let back: CardDraft = rackweek::plan::json::read(&text).expect("the same");
        assert_eq!(back, draft);
        let (again, wrong) = back.open(&cards);
        assert_eq!(again.card().name, "Mine “<b>”");
        typed.remove("piece");
        assert_eq!(wrong, typed);
    }
}
