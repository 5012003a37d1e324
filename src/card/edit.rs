//! Changing a card: steps put in, moved and taken out with what hangs on them, and cards to begin from.

use super::{Card, CardRest, CardStep, Footprint, RestMode, Size, Stay, StepKind, Term};
use crate::kitchen::Place;

/// What a step that is put in starts with, seconds.
const FIRST_WORK: i64 = 600;

/// An id that nothing has yet: the words as a card file writes them, with a number after them if need be.
pub fn fresh_id(words: &str, taken: impl Fn(&str) -> bool) -> String {
    let mut id = String::new();
    for letter in words.chars().flat_map(char::to_lowercase) {
        if letter.is_ascii_alphanumeric() {
            id.push(letter);
        } else if !id.is_empty() && !id.ends_with('-') {
            id.push('-');
        }
        if id.len() == 50 {
            break;
        }
    }
    let stem = match id.trim_end_matches('-') {
        "" => "card",
        stem => stem,
    };
    let numbered = (2..).map(|number| format!("{stem}-{number}"));
    std::iter::once(stem.to_owned()).chain(numbered).find(|id| !taken(id)).unwrap_or_default()
}

fn straight_on(card: &Card, from: &str, to: &str) -> CardRest {
    CardRest {
        id: fresh_id(&format!("{from}-to-{to}"), |id| card.rests.iter().any(|rest| rest.id == id)),
        from: from.to_owned(),
        to: to.to_owned(),
        what: card.pieces.clone(),
        when: None,
        modes: vec![way("straight on", None)],
    }
}

fn way(name: &str, stay: Option<Stay>) -> RestMode {
    RestMode {
        name: name.to_owned(),
        when: None,
        least: Vec::new(),
        heat: None,
        greatest: None,
        safety: false,
        source: String::new(),
        stay,
        tail: None,
        cost: 0,
    }
}

fn by_hand(id: String, name: &str) -> CardStep {
    CardStep {
        id,
        name: name.to_owned(),
        detail: None,
        kind: StepKind::Plain,
        when: None,
        setup: 0,
        work: vec![Term { each: FIRST_WORK, per: Vec::new(), when: None }],
        cleanup: 0,
        cut_min: None,
        cut_max: None,
        pause_max: None,
        pause_at: None,
        needs: Vec::new(),
        margin: true,
        notes: Vec::new(),
    }
}

impl Card {
    /// A card to begin from: two steps with a rest, and pieces that keep in boxes on a shelf of the room.
    pub fn blank(id: String, name: String) -> Self {
        let size = |mm| Size { mm, plus: None, percent: 100 };
        let boxes = Footprint::Boxes {
            what: "box".to_owned(),
            count: "pieces".to_owned(),
            width: size(200),
            depth: size(200),
            height: size(100),
            pile: 3,
        };
        let mut card = Self {
            id,
            version: 1,
            copied_from: None,
            name,
            piece: "piece".to_owned(),
            pieces: "pieces".to_owned(),
            component: false,
            about: String::new(),
            spares: 0,
            options: Vec::new(),
            counts: Vec::new(),
            things: Vec::new(),
            components: Vec::new(),
            steps: vec![by_hand("make".to_owned(), "Make"), by_hand("box".to_owned(), "Box")],
            rests: Vec::new(),
            keeps: vec![way(
                "boxed, at room temperature",
                Some(Stay { place: Place::RoomShelf, footprint: boxes }),
            )],
            limits: Vec::new(),
            ingredients: Vec::new(),
            packaging: Vec::new(),
            cautions: Vec::new(),
            client: Vec::new(),
        };
        card.rests.push(straight_on(&card, "make", "box"));
        card
    }

    /// The same under another id and name. What it was copied from goes on to bind its safety limits.
    #[must_use]
    pub fn copy_as(&self, id: String, name: String) -> Self {
        let root = self.copied_from.clone().unwrap_or_else(|| self.id.clone());
        Self { id, name, version: 1, copied_from: Some(root), ..self.clone() }
    }

    /// Whether each step but the last leads to the next one of the list and nowhere else.
    pub fn is_a_line(&self) -> bool {
        self.rests.len() + 1 == self.steps.len()
            && self.steps.windows(2).all(|pair| {
                self.rests.iter().any(|rest| rest.from == pair[0].id && rest.to == pair[1].id)
            })
    }

    /// Moves a step within the list. When the steps form a line, the rests follow: each stays with the step that
    /// it comes after. Otherwise only the order of reading changes.
    pub fn move_step(&mut self, from: usize, to: usize) {
        if self.steps.len() <= from.max(to) || from == to {
            return;
        }
        let line = self.is_a_line();
        let step = self.steps.remove(from);
        self.steps.insert(to, step);
        if line {
            self.relink();
        }
    }

    /// Makes the rests of a line follow the order of its steps.
    fn relink(&mut self) {
        let last = self.steps.last().map(|step| step.id.clone());
        let mut spare = self.rests.iter().find(|rest| Some(&rest.from) == last.as_ref()).cloned();
        let mut rests = Vec::new();
        for pair in self.steps.windows(2) {
            let (from, to) = (&pair[0].id, &pair[1].id);
            let own = self.rests.iter().find(|rest| rest.from == *from).cloned();
            // The step that was the last has none; the new last one's is free.
            let rest = own.or_else(|| spare.take());
            rests.push(match rest {
                Some(rest) => CardRest { from: from.clone(), to: to.clone(), ..rest },
                None => straight_on(self, from, to),
            });
        }
        self.rests = rests;
    }

    /// Puts a step of ten minutes by hand in after the one at `after`. In a line it goes between the two; elsewhere
    /// it follows that step and comes before the next of the list.
    pub fn add_step(&mut self, after: usize, name: &str) -> String {
        let line = self.is_a_line();
        let id = fresh_id(name, |id| self.steps.iter().any(|step| step.id == id));
        let at = (after + 1).min(self.steps.len());
        // Nothing comes after the last step: it finishes the product.
        let at = at.min(self.steps.len().saturating_sub(1).max(usize::from(self.steps.is_empty())));
        let at = at.min(self.steps.len());
        self.steps.insert(at, by_hand(id.clone(), name));
        if line {
            self.relink();
        } else {
            let before = at.checked_sub(1).and_then(|i| self.steps.get(i)).map(|s| s.id.clone());
            let next = self.steps.get(at + 1).map(|step| step.id.clone());
            if let Some(before) = before {
                self.rests.push(straight_on(self, &before, &id));
            }
            if let Some(next) = next {
                self.rests.push(straight_on(self, &id, &next));
            }
        }
        id
    }

    /// Takes a step out. What rested before it leads to what came after it; where either wait has a safety limit
    /// both are kept. What named the step names the one that came after it, or before it, instead.
    pub fn remove_step(&mut self, id: &str) {
        let Some(at) = self.steps.iter().position(|step| step.id == id) else { return };
        if self.steps.len() < 2 {
            return;
        }
        let place = self.rests.iter().position(|rest| rest.from == id || rest.to == id);
        let (into, rest): (Vec<_>, Vec<_>) = self.rests.drain(..).partition(|rest| rest.to == id);
        let (out, mut rests): (Vec<_>, Vec<_>) = rest.into_iter().partition(|rest| rest.from == id);
        let safe = |rest: &CardRest| rest.modes.iter().any(|mode| mode.safety);
        let mut joined = Vec::new();
        let both = into.iter().chain(&out).any(safe);
        for (index, before) in into.iter().enumerate() {
            for (number, after) in out.iter().enumerate() {
                let taken = |joined: &[CardRest], id: &str| {
                    rests.iter().chain(joined).any(|rest| rest.id == id)
                };
                let mut join = |rest: &CardRest, keep_id: bool| {
                    let id = if keep_id {
                        rest.id.clone()
                    } else {
                        fresh_id(&rest.id, |id| taken(&joined, id))
                    };
                    joined.push(CardRest {
                        id,
                        from: before.from.clone(),
                        to: after.to.clone(),
                        ..rest.clone()
                    });
                };
                join(before, number == 0);
                if both {
                    join(after, index == 0);
                }
            }
        }
        let place = place.unwrap_or(0).min(rests.len());
        rests.splice(place..place, joined);
        self.rests = rests;
        self.steps.remove(at);
        let heir = self.steps.get(at).or_else(|| self.steps.last()).map(|step| step.id.clone());
        let heir = heir.unwrap_or_default();
        let uses = self.components.iter_mut().flat_map(|component| &mut component.uses);
        let supplies = self.ingredients.iter_mut().chain(&mut self.packaging);
        let limits = self.limits.iter_mut();
        for step in uses
            .map(|part| &mut part.step)
            .chain(supplies.map(|supply| &mut supply.step))
            .chain(limits.flat_map(|limit| std::iter::once(&mut limit.from).chain(&mut limit.to)))
        {
            if *step == id {
                step.clone_from(&heir);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::card::builtin;

    fn line() -> Card {
        Card::parse(include_str!("../../tests/data/cards/plain-biscuits.json")).expect("is a card")
    }

    fn links(card: &Card) -> Vec<String> {
        card.rests.iter().map(|r| format!("{} {} {}", r.from, r.id, r.to)).collect()
    }

    #[test]
    fn ids_are_made_of_words_and_never_twice() {
        let taken = ["oat-bars", "oat-bars-2", "card"];
        let fresh = |words: &str| fresh_id(words, |id| taken.contains(&id));
        assert_eq!(fresh("Oat bars"), "oat-bars-3");
        assert_eq!(fresh("  Plum & rye – slices! "), "plum-rye-slices");
        assert_eq!(fresh("梅"), "card-2");
        assert!(fresh(&"long ".repeat(40)).len() <= 60);
    }

    #[test]
    fn a_blank_card_and_a_copy_are_sound() {
        let blank = Card::blank("oat-bars".into(), "Oat bars".into());
        assert_eq!(blank.validate(), Ok(()));
        for card in builtin() {
            let copy = card.copy_as("mine".into(), "Mine".into());
            assert_eq!(copy.validate(), Ok(()));
            assert_eq!(copy.copied_from.as_deref(), Some(card.id.as_str()));
            assert_eq!(copy.copy_as("other".into(), "Other".into()).copied_from, copy.copied_from);
        }
    }

    #[test]
    fn steps_of_a_line_take_their_rests_along() {
        let mut card = line();
        assert!(card.is_a_line());
        card.move_step(1, 0);
        assert_eq!(links(&card), ["bake cool shape", "shape shaped pack"]);
        card.move_step(0, 1);
        assert_eq!(card, line(), "and back");
        card.move_step(2, 0);
        assert_eq!(links(&card), ["pack cool shape", "shape shaped bake"]);
        assert_eq!(card.validate(), Ok(()));
        card.move_step(7, 0);
        assert_eq!(card.steps.len(), 3);
    }

    #[test]
    fn a_step_is_put_in_and_taken_out_of_any_card() {
        let mut card = line();
        let id = card.add_step(0, "Chill the dough");
        assert_eq!(
            links(&card),
            [
                "shape shaped chill-the-dough",
                "chill-the-dough chill-the-dough-to-bake bake",
                "bake cool pack"
            ]
        );
        card.remove_step(&id);
        assert_eq!(card, line(), "in and out again");
        for card in builtin() {
            for at in 0..card.steps.len() {
                let mut more = card.clone();
                let id = more.add_step(at, "Something new");
                assert_eq!(more.validate(), Ok(()), "{} after {at}", card.id);
                assert_eq!(more.steps.last(), card.steps.last(), "the last one stays the last");
                more.remove_step(&id);
                assert_eq!(more.steps, card.steps);
                assert_eq!(more.validate(), Ok(()), "{} without {id}", card.id);
            }
        }
    }

    #[test]
    fn what_named_a_step_that_is_gone_names_its_neighbour() {
        let mut card = line();
        card.remove_step("bake");
        assert_eq!(links(&card), ["shape shaped pack"]);
        card.remove_step("pack");
        assert_eq!((card.steps.len(), card.rests.len()), (1, 0));
        card.remove_step("shape");
        assert_eq!(card.steps.len(), 1, "a card has a step");
        for card in builtin() {
            for step in card.steps.iter().filter(|_| 1 < card.steps.len()) {
                let mut less = card.clone();
                less.remove_step(&step.id);
                let text = serde_json::to_string(&(
                    &less.components,
                    &less.ingredients,
                    &less.limits,
                    &less.rests,
                ));
                let text = text.expect("plain data");
                assert!(!text.contains(&format!("\"step\":\"{}\"", step.id)), "{}", card.id);
                assert!(!text.contains(&format!("\"from\":\"{}\"", step.id)), "{}", card.id);
            }
        }
    }
}
