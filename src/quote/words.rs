//! The quote and the confirmation as text for the client.
//!
//! In: an order, what is asked, dues. Out: lines of plain text, to be sent as the baker likes. Amounts are written by
//! the caller, who knows the currency.

use std::fmt::Write as _;

use crate::calendar::{Date, Wall};
use crate::order::{HandoverWay, Order};

use super::money::Minor;
use super::offer::Dues;

/// What a letter tells of an order.
#[derive(Debug, Clone, Copy)]
pub struct Letter<'a> {
    /// Whose.
    pub order: &'a Order,
    /// For each item its product and, where it is asked for by itself, its amount.
    pub items: &'a [(String, Option<Minor>)],
    /// Before tax.
    pub price: Minor,
    /// With tax.
    pub total: Minor,
    /// When what is to be paid.
    pub dues: Dues,
    /// Whether amounts are told at all.
    pub with_prices: bool,
    /// What the client should know, in sentences.
    pub know: &'a [String],
    /// Her own terms; may be empty.
    pub terms: &'a str,
}

/// "Hello Mira, your order is ready …": a message for the day of the handover, without amounts.
pub fn ready_words(order: &Order, know: &[String], moment: &dyn Fn(Wall) -> String) -> String {
    let at = moment(order.handover.at);
    let how = match &order.handover.way {
        HandoverWay::Collection => format!("You can collect it on {at}."),
        HandoverWay::Delivery { place, .. } if place.trim().is_empty() => {
            format!("I will bring it on {at}.")
        }
        HandoverWay::Delivery { place, .. } => format!("I will bring it to {place} on {at}."),
    };
    let mut text = format!("Hello {}, your order is ready. {how}\n", order.client);
    for line in know {
        let _ = writeln!(text, "- {line}");
    }
    text
}

/// How the caller writes things.
pub struct Writing<'a> {
    /// An amount with its currency.
    pub money: &'a dyn Fn(Minor) -> String,
    /// A day.
    pub day: &'a dyn Fn(Date) -> String,
    /// A day and time.
    pub moment: &'a dyn Fn(Wall) -> String,
}

impl Letter<'_> {
    /// What she would make, for how much, until when the offer stands.
    pub fn quote(&self, stands_until: Date, with: &Writing<'_>) -> String {
        let mut text = self.head("Quote", with);
        self.sums(&mut text, with);
        self.known(&mut text);
        if !self.with_prices {
            return self.end(text);
        }
        let _ = writeln!(
            text,
            "A deposit of {} confirms the order; the balance of {} is due by {}.",
            (with.money)(self.dues.deposit),
            (with.money)(self.dues.balance),
            (with.day)(self.dues.balance_by)
        );
        let _ = writeln!(text, "This quote stands until {}.", (with.day)(stands_until));
        self.end(text)
    }

    /// What was agreed.
    pub fn confirmation(&self, with: &Writing<'_>) -> String {
        let mut text = self.head("Confirmation of your order", with);
        self.sums(&mut text, with);
        self.known(&mut text);
        if self.with_prices {
            let _ = writeln!(
                text,
                "Deposit: {}. Balance: {}, due by {}.",
                (with.money)(self.dues.deposit),
                (with.money)(self.dues.balance),
                (with.day)(self.dues.balance_by)
            );
        }
        self.end(text)
    }

    fn known(&self, text: &mut String) {
        if self.know.is_empty() {
            return;
        }
        text.push_str("Good to know\n");
        for line in self.know {
            let _ = writeln!(text, "- {line}");
        }
        text.push('\n');
    }

    fn end(&self, mut text: String) -> String {
        let terms = self.terms.trim();
        if !terms.is_empty() {
            if !text.ends_with("\n\n") {
                text.push('\n');
            }
            let _ = writeln!(text, "{terms}");
        }
        text
    }

    fn head(&self, title: &str, with: &Writing<'_>) -> String {
        let order = self.order;
        let mut text = format!("{title} for {}\n\n", order.client);
        if !order.theme.is_empty() {
            let _ = writeln!(text, "Theme: {}", order.theme);
        }
        let moment = (with.moment)(order.handover.at);
        let _ = match &order.handover.way {
            HandoverWay::Collection => writeln!(text, "To be collected on {moment}"),
            HandoverWay::Delivery { place, .. } if place.is_empty() => {
                writeln!(text, "Delivered on {moment}")
            }
            HandoverWay::Delivery { place, .. } => {
                writeln!(text, "Delivered to {place} on {moment}")
            }
        };
        if !order.allergies.is_empty() {
            let _ = writeln!(text, "Allergies and wishes: {}", order.allergies);
        }
        text.push('\n');
        text
    }

    fn sums(&self, text: &mut String, with: &Writing<'_>) {
        for (item, (product, amount)) in self.order.items.iter().zip(self.items) {
            let _ = match amount {
                Some(amount) if self.with_prices => {
                    writeln!(text, "{} × {product}: {}", item.count, (with.money)(*amount))
                }
                _ => writeln!(text, "{} × {product}", item.count),
            };
            if !item.notes.is_empty() {
                let _ = writeln!(text, "  {}", item.notes);
            }
        }
        text.push('\n');
        if !self.with_prices {
            return;
        }
        if self.total == self.price {
            let _ = writeln!(text, "Total: {}", (with.money)(self.total));
        } else {
            let money = with.money;
            let _ = writeln!(text, "Price: {}", money(self.price));
            let _ = writeln!(text, "Tax: {}", money(self.total - self.price));
            let _ = writeln!(text, "Total: {}", money(self.total));
        }
        text.push('\n');
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::tests::order;

    #[test]
    fn a_message_says_that_it_is_ready_and_where_it_is_handed_over() {
        let mut order = order(3, "Ines K.");
        let know = ["Keep in the fridge (Cheesecake).".to_owned()];
        let text = ready_words(&order, &know, &|at| at.to_string());
        assert_eq!(
            text,
            "Hello Ines K., your order is ready. I will bring it to village hall on 2026-12-05T10:00.\n\
             - Keep in the fridge (Cheesecake).\n"
        );
        order.handover.way = HandoverWay::Collection;
        let text = ready_words(&order, &[], &|_| "Saturday at ten".to_owned());
        assert_eq!(
            text,
            "Hello Ines K., your order is ready. You can collect it on Saturday at ten.\n"
        );
    }

    #[test]
    fn a_quote_and_a_confirmation_say_what_for_how_much_and_when() {
        let mut order = order(3, "Ines K.");
        order.theme = "meadow".into();
        order.allergies = "no nuts".into();
        order.items.truncate(1);
        order.items[0].count = 24;
        order.items[0].notes = "sage and yellow".into();
        order.handover.at = "2026-12-12T14:00".parse().expect("a moment");
        order.handover.way = HandoverWay::Delivery { travel: 20, place: "the hall".into() };
        let day = |at: i64| Date::new(2026, 12, 1).expect("a date").plus_days(at);
        let dues = Dues { deposit: 12_573, balance: 12_572, balance_by: day(4) };
        let items = [("Decorated cookies".to_owned(), Some(23_229))];
        let know = ["Decorated cookies: Contains: milk, egg, wheat.".to_owned()];
        let letter = Letter {
            order: &order,
            items: &items,
            price: 23_229,
            total: 25_145,
            dues,
            with_prices: true,
            know: &know,
            terms: "Changes until a week before.\n",
        };
        let with = Writing {
            money: &|amount| format!("{}.{:02} EUR", amount / 100, amount % 100),
            day: &|date| date.to_string(),
            moment: &|at| at.to_string(),
        };
        let text = letter.quote(day(2), &with);
        for part in [
            "Quote for Ines K.\n",
            "Theme: meadow\n",
            "Delivered to the hall on 2026-12-12T14:00\n",
            "Allergies and wishes: no nuts\n",
            "24 × Decorated cookies: 232.29 EUR\n  sage and yellow\n",
            "Price: 232.29 EUR\nTax: 19.16 EUR\nTotal: 251.45 EUR\n",
            "A deposit of 125.73 EUR confirms the order; the balance of 125.72 EUR is due by 2026-12-05.",
            "Good to know\n- Decorated cookies: Contains: milk, egg, wheat.\n\nA deposit",
            "This quote stands until 2026-12-03.\n\nChanges until a week before.\n",
        ] {
            assert!(text.contains(part), "{part}\n---\n{text}");
        }
        let untaxed = Letter { total: 23_229, items: &[("Cookies".to_owned(), None)], ..letter };
        let text = untaxed.confirmation(&with);
        assert!(text.starts_with("Confirmation of your order for Ines K.\n"));
        assert!(text.contains("24 × Cookies\n") && !text.contains("Tax"), "{text}");
        assert!(text.contains("Deposit: 125.73 EUR. Balance: 125.72 EUR, due by 2026-12-05."));
        let bare = Letter { with_prices: false, ..letter };
        for text in [bare.quote(day(2), &with), bare.confirmation(&with)] {
            assert!(!text.contains("EUR") && !text.contains("Deposit"), "{text}");
            assert!(text.contains("24 × Decorated cookies\n  sage"), "{text}");
            assert!(text.ends_with("wheat.\n\nChanges until a week before.\n"), "{text}");
        }
    }
}
