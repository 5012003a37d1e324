//! What to know of an order before it is promised, from the book's own cards and kitchen.

use super::Book;
use crate::allergen::List;
use crate::breakdown::Work;
use crate::card::Card;
use crate::care::{Care, HandoverCheck, Label, client_facts, handover_checks, labels};
use crate::keeping::Region;
use crate::order::Order;

impl Book {
    /// Reads an order, which need not be in the book. None while there is no kitchen to make it in.
    pub fn care(&self, order: &Order) -> Option<Care> {
        self.read_order(order, |work, known| Care::of(order, work, known))
    }

    /// Its check list before it leaves. None while there is no kitchen.
    pub fn handover_checks(&self, order: &Order) -> Option<Vec<HandoverCheck>> {
        self.read_order(order, |work, known| {
            handover_checks(order, &Care::of(order, work, known), work, known)
        })
    }

    /// Its labels, by the list of allergens of her region. None while there is no kitchen.
    pub fn labels(&self, order: &Order) -> Option<Vec<Label>> {
        self.read_order(order, |work, known| labels(order, work, known, self.allergens()))
    }

    /// What the client is told of it, by the same list. None while there is no kitchen.
    pub fn client_facts(&self, order: &Order) -> Option<Vec<String>> {
        let kitchen = self.kitchen.as_ref()?;
        self.read_order(order, |work, known| {
            client_facts(order, work, known, kitchen, self.allergens())
        })
    }

    /// The list of allergens of her region.
    fn allergens(&self) -> List {
        match self.settings.rules.region {
            Region::UnitedStates => List::UnitedStates,
            // Australia and New Zealand name theirs much as Europe does; no list of their own is kept here.
            Region::England | Region::EuropeanUnion | Region::AustraliaNewZealand => List::Europe,
        }
    }

    fn read_order<R>(&self, order: &Order, read: impl FnOnce(&Work, &[&Card]) -> R) -> Option<R> {
        let reckoner = self.reckoner()?;
        Some(read(&reckoner.work(order, &self.margins), &reckoner.known()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::allergen::contains_line;
    use crate::order::{OrderId, Stage};
    use crate::record::Command;
    use crate::record::book::tests::full_book;

    fn quoted(allergies: &str) -> (Book, Order) {
        let mut book = full_book();
        let mut order = book.orders[&OrderId(1)].clone();
        order.stage = Stage::Quoted;
        order.allergies = allergies.to_owned();
        book.orders.insert(order.id, order.clone());
        (book, order)
    }

    #[test]
    fn decorated_cookies_hold_what_cookies_hold() {
        let (book, order) = quoted("");
        let care = book.care(&order).expect("there is a kitchen");
        let by = |list: &str| {
            care.contains.iter().find(|(name, _)| *name == list).map(|(_, line)| line.as_str())
        };
        // 21 U.S.C. 321(qq) and Regulation (EU) 1169/2011, annex II: wheat is named itself, or as a cereal.
        assert_eq!(by("US list"), Some("Contains: milk, egg, wheat."));
        let europe = by("EU and UK list").expect("three of them are listed");
        assert!(
            europe.contains("milk") && europe.contains("eggs") && europe.contains("wheat"),
            "{europe}"
        );
        assert!(care.cautions.iter().any(|line| line.contains("Raw dough")), "{:?}", care.cautions);
        assert_eq!((care.clashes.len(), care.unknown.len()), (0, 0));
        assert_eq!(
            contains_line(&crate::allergen::content([]), crate::allergen::List::Europe),
            None
        );
    }

    #[test]
    fn a_label_names_the_heaviest_first_and_sets_allergens_apart() {
        let (mut book, order) = quoted("");
        let label = |book: &Book| book.labels(&order).expect("there is a kitchen").remove(0);
        let found = label(&book);
        assert_eq!(found.product, "Decorated cookies");
        assert_eq!(found.contains.as_deref(), Some("Contains: milk, egg, wheat."));
        assert!((1..=4).contains(&found.boxes), "{} boxes for 24 cookies", found.boxes);
        assert_eq!(found.keep, "Keep cool and dry, out of the sun.");
        let at = |name: &str| {
            let place = found.ingredients.iter().position(|(other, _)| other == name);
            place.unwrap_or_else(|| panic!("no {name}: {:?}", found.ingredients))
        };
        // The card's own ratios: 432 g of flour, 262 g of butter and 4 g of salt in 1000 g of dough.
        assert!(at("flour") < at("butter") && at("butter") < at("salt"));
        for (name, brings) in &found.ingredients {
            let expected = ["flour", "butter", "eggs", "meringue powder"].contains(&name.as_str());
            assert_eq!(*brings, expected, "{name}");
        }
        let rules = crate::keeping::Rules::of(Region::England);
        book.apply(Command::SetRules(rules)).expect("a region");
        let europe = label(&book).contains.expect("three are listed");
        assert!(europe.contains("eggs") && europe.contains("wheat"), "{europe}");
    }

    #[test]
    fn a_clash_stops_the_promise_until_it_is_answered() {
        let (mut book, order) = quoted("one child: no eggs");
        let before = book.clone();
        let refusals =
            book.apply(Command::SetStage(order.id, Stage::Confirmed)).expect_err("clashes");
        assert_eq!(refusals[0].field, "agreed");
        assert!(refusals[0].message.contains("egg is in: eggs"), "{}", refusals[0].message);
        assert_eq!(book, before, "nothing has changed");
        let confirmed = Order { stage: Stage::Confirmed, ..order.clone() };
        assert!(book.apply(Command::PutOrder(confirmed.clone())).is_err());
        let agreed = Order { agreed: "made with a replacer, label read".into(), ..confirmed };
        book.apply(Command::PutOrder(agreed.clone())).expect("is answered");
        // The same promise may be moved and noted on.
        let noted = Order { notes: "call first".into(), ..agreed };
        book.apply(Command::PutOrder(noted)).expect("is as it was");
    }

    #[test]
    fn the_check_list_is_ticked_line_by_line_and_says_what_the_order_needs() {
        let (mut book, order) = quoted("no eggs");
        let lines = |book: &Book| {
            let order = &book.orders[&OrderId(1)];
            book.handover_checks(order).expect("there is a kitchen")
        };
        let ids: Vec<String> = lines(&book).into_iter().map(|line| line.id).collect();
        assert_eq!(
            ids,
            ["count.1", "boxed", "label", "allergies", "level", "way", "photo", "paid"]
        );
        let words: Vec<String> = lines(&book).into_iter().map(|line| line.words).collect();
        assert_eq!(words[0], "24 cookies, counted and looked at");
        assert!(words[1].starts_with("Boxed: ") && words[1].contains('×'), "{}", words[1]);
        assert!(words[2].contains("Contains: milk, egg, wheat."), "{}", words[2]);
        assert!(words[5].contains("village hall with 25 min"), "{}", words[5]);
        assert!(lines(&book).iter().all(|line| !line.done));
        book.apply(Command::CheckHandover(order.id, "paid".into(), true)).expect("is ticked");
        assert!(lines(&book).iter().all(|line| line.done == (line.id == "paid")));
        book.apply(Command::CheckHandover(order.id, "paid".into(), false)).expect("is not ticked");
        assert_eq!(book.orders[&OrderId(1)], order);
        let long = "x".repeat(61);
        assert!(book.apply(Command::CheckHandover(order.id, long, true)).is_err());
    }

    #[test]
    fn what_was_promised_before_can_be_kept_and_a_new_allergy_cannot_be_overlooked() {
        let (mut book, order) = quoted("");
        book.apply(Command::SetStage(order.id, Stage::Confirmed)).expect("nothing clashes");
        let named = Order { stage: Stage::Confirmed, allergies: "gluten".into(), ..order.clone() };
        assert!(book.apply(Command::PutOrder(named.clone())).is_err(), "a new allergy");
        // One that stood there when nobody asked can still get another time.
        book.orders.insert(named.id, named.clone());
        let mut later = named;
        later.handover.at = later.handover.at.plus_minutes(60);
        book.apply(Command::PutOrder(later)).expect("only its time has changed");
    }

    #[test]
    fn what_nobody_understands_is_asked_about_and_nothing_named_is_not() {
        let (mut book, order) = quoted("E102");
        let refusals =
            book.apply(Command::SetStage(order.id, Stage::Confirmed)).expect_err("unknown");
        assert!(refusals[0].message.contains("“E102” names nothing"), "{}", refusals[0].message);
        let (mut book, order) = quoted("none known");
        book.apply(Command::SetStage(order.id, Stage::Confirmed)).expect("nothing is named");
    }
}
