//! Putting items into the lists of a form, moving them and taking them out.

use serde_json::Value;

use super::schema::Kind;
use super::{Sheet, field, item};
use crate::card::fresh_id;

impl Sheet {
    /// Puts an item at the end of a list, as its smallest example; for steps before the last one, since nothing comes
    /// after that. The place of the new item.
    pub fn add(&mut self, list: &str) -> Result<String, String> {
        let Some(Kind::List(_, _, start)) = self.kind(list) else {
            return Err(format!("“{list}” is no list"));
        };
        if list == "steps" {
            let mut card = self.card.clone();
            let id = card.add_step(card.steps.len().saturating_sub(2), "Another step");
            self.reopen(card);
            let at = self.card.steps.iter().position(|step| step.id == id).unwrap_or(0);
            return Ok(format!("steps[{at}]"));
        }
        let mut new = self.start(start);
        self.name_apart(list, &mut new);
        let at = self.get(list).and_then(Value::as_array).map_or(0, Vec::len);
        let mut all = self.get(list).cloned().unwrap_or_default();
        if let Some(all) = all.as_array_mut() {
            all.push(new);
        }
        self.put(list, all)?;
        Ok(format!("{list}[{at}]"))
    }

    /// Gives a new item an id and a name that no other has.
    fn name_apart(&self, list: &str, new: &mut Value) {
        let others = self.get(list).and_then(Value::as_array).cloned().unwrap_or_default();
        if let Some(id) = new["id"].as_str() {
            let taken =
                |id: &str| others.iter().any(|other| other["id"] == id) || self.is_named(id);
            new["id"] = fresh_id(id, taken).into();
        }
        if let Some(name) = new["name"].as_str() {
            let numbered = (2..).map(|number| format!("{name} {number}"));
            let free = |name: &String| !others.iter().any(|other| other["name"] == **name);
            if let Some(name) = std::iter::once(name.to_owned()).chain(numbered).find(free) {
                new["name"] = name.into();
            }
        }
    }

    /// Takes an item out. With a step goes what hangs on it, as [`crate::card::Card::remove_step`] says.
    pub fn remove(&mut self, path: &str) -> Result<(), String> {
        let Some((list, at)) = item(path) else { return Err(format!("“{path}” is no item")) };
        if list == "steps" {
            let mut card = self.card.clone();
            let id = card.steps.get(at).map(|step| step.id.clone()).unwrap_or_default();
            if card.steps.len() < 2 {
                return Err("a card has at least one step".to_owned());
            }
            card.remove_step(&id);
            self.reopen(card);
            return Ok(());
        }
        let mut all = self.get(list).cloned().unwrap_or_default();
        if let Some(all) = all.as_array_mut().filter(|all| at < all.len()) {
            all.remove(at);
        }
        self.put(list, all)
    }

    /// Moves an item one up or down in its list. In a line of steps the rests follow.
    pub fn shift(&mut self, path: &str, up: bool) -> Result<(), String> {
        let Some((list, at)) = item(path) else { return Err(format!("“{path}” is no item")) };
        let to = if up { at.wrapping_sub(1) } else { at + 1 };
        if list == "steps" {
            let mut card = self.card.clone();
            card.move_step(at, to.min(card.steps.len().saturating_sub(1)));
            self.reopen(card);
            return Ok(());
        }
        let mut all = self.get(list).cloned().unwrap_or_default();
        if let Some(all) = all.as_array_mut().filter(|all| at.max(to) < all.len()) {
            all.swap(at, to);
        }
        self.put(list, all)
    }

    /// Whether an item can go one up, and one down: where its place in the list says something.
    pub fn can_shift(&self, path: &str) -> (bool, bool) {
        let Some((list, at)) = item(path) else { return (false, false) };
        let told =
            ["steps", "keeps", "options", "counts"].contains(&list) || field(list) == "modes";
        let len = self.get(list).and_then(Value::as_array).map_or(0, Vec::len);
        (told && 0 < at, told && at + 1 < len)
    }

    fn reopen(&mut self, card: crate::card::Card) {
        self.value = crate::plan::json::value_of(&card).unwrap_or_default();
        self.card = card;
    }
}
