//! Orders and shopping as tables for a spreadsheet (RFC 4180).

use crate::order::{HandoverWay, Order};
use crate::plan::arrange::Arrange;
use crate::supply::{List, Units, amount, packs_in_words};

/// One line for each item of each order, by handover. `product` names an item's card.
pub fn orders_table<'a>(
    orders: impl IntoIterator<Item = &'a Order>,
    product: impl Fn(&Order, usize) -> String,
) -> String {
    let mut orders: Vec<&Order> = orders.into_iter().collect();
    orders.arrange_by_key(|order| (order.handover.at, order.id));
    let mut table = Table::of(&[
        "order",
        "client",
        "theme",
        "handover",
        "how",
        "where to",
        "product",
        "pieces",
        "spares",
        "wish",
        "stage",
        "allergies",
        "agreed",
        "notes",
    ]);
    for order in orders {
        let (how, to) = match &order.handover.way {
            HandoverWay::Collection => ("collection", ""),
            HandoverWay::Delivery { place, .. } => ("delivery", place.as_str()),
        };
        for (index, item) in order.items.iter().enumerate() {
            table.line(&[
                &order.id.0.to_string(),
                &order.client,
                &order.theme,
                &order.handover.at.to_string(),
                how,
                to,
                &product(order, index),
                &item.count.to_string(),
                &item.spares.to_string(),
                &item.notes,
                order.stage.words(),
                &order.allergies,
                &order.agreed,
                &order.notes,
            ]);
        }
    }
    table.0
}

/// One line for each good on the shopping list.
pub fn shopping_table(list: &List, units: Units) -> String {
    let mut table =
        Table::of(&["group", "what", "needed", "lacking", "buy", "needed by", "bought"]);
    for shelf in &list.shelves {
        for line in &shelf.lines {
            let by = line.by.map(|by| by.to_string()).unwrap_or_default();
            let bought = line.bought.map(|bought| amount(line.good, bought.milli, units));
            table.line(&[
                shelf.group.name(),
                &line.good.name,
                &amount(line.good, line.needed, units),
                &amount(line.good, line.lacking, units),
                &packs_in_words(line.good, &line.buy, units),
                &by,
                &bought.unwrap_or_default(),
            ]);
        }
    }
    table.0
}

/// Lines that end in CR LF, fields quoted where they have to be.
struct Table(String);

impl Table {
    fn of(head: &[&str]) -> Self {
        let mut table = Self(String::new());
        table.line(head);
        table
    }

    fn line(&mut self, fields: &[&str]) {
        let fields: Vec<String> = fields.iter().map(|field| quoted(field)).collect();
        self.0.push_str(&fields.join(","));
        self.0.push_str("\r\n");
    }
}

/// A field. A text that a spreadsheet would take for a formula gets an apostrophe before it (OWASP, "CSV Injection").
fn quoted(field: &str) -> String {
    let formula =
        field.starts_with(['=', '+', '-', '@', '\t', '\r']) && field.parse::<f64>().is_err();
    let field = if formula { format!("'{field}") } else { field.to_owned() };
    if field.contains(['"', ',', '\r', '\n']) || field.trim() != field {
        format!("\"{}\"", field.replace('"', "\"\""))
    } else {
        field
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::tests::order;
    use crate::supply::{Covers, Supplies, Use};

    /// Reads a table back by the grammar of RFC 4180 §2.
    fn read(text: &str) -> Vec<Vec<String>> {
        let mut lines = vec![vec![String::new()]];
        let (mut letters, mut inside) = (text.chars().peekable(), false);
        while let Some(letter) = letters.next() {
            let line = lines.last_mut().expect("one is open");
            let field = line.last_mut().expect("one is open");
            match (letter, inside) {
                ('"', true) if letters.peek() == Some(&'"') => field.extend(letters.next()),
                ('"', _) => inside = !inside,
                (',', false) => line.push(String::new()),
                ('\r', false) => {
                    assert_eq!(letters.next(), Some('\n'), "each line ends in CR LF");
                    lines.push(vec![String::new()]);
                }
                (letter, _) => field.push(letter),
            }
        }
        assert!(!inside, "every quote is closed");
        assert_eq!(lines.pop(), Some(vec![String::new()]), "the last line has its end");
        lines
    }

    #[test]
    fn the_standards_own_examples_are_quoted_as_there() {
        // RFC 4180 §2, rules 6 and 7: "b CRLF bb" and "b""bb".
        assert_eq!(quoted("aaa"), "aaa");
        assert_eq!(quoted("b\r\nbb"), "\"b\r\nbb\"");
        assert_eq!(quoted("b\"bb"), "\"b\"\"bb\"");
        assert_eq!(quoted("=1+1"), "'=1+1");
        assert_eq!(quoted("-3"), "-3");
    }

    #[test]
    fn orders_come_back_field_by_field() {
        let mut second = order(2, "Noor \"the quick\", Ltd");
        second.handover.at = second.handover.at.plus_minutes(-600);
        second.notes = "two\nlines".to_owned();
        let first = order(1, "Mara Lindqvist");
        let table = orders_table([&first, &second], |order, index| {
            format!("{}/{index}", order.items[index].card)
        });
        let lines = read(&table);
        assert_eq!(lines.len(), 3);
        assert!(lines.iter().all(|line| line.len() == 14), "{lines:?}");
        assert_eq!(lines[1][1], second.client, "by handover");
        assert_eq!(lines[1][13], "two\nlines");
        assert_eq!(
            lines[2][..8],
            [
                "1",
                "Mara Lindqvist",
                "meadow",
                "2026-12-05T10:00",
                "delivery",
                "village hall",
                "decorated-cookies/0",
                "24"
            ]
        );
    }

    #[test]
    fn shopping_comes_back_with_amounts() {
        let uses = [Use {
            good: "flour".into(),
            milli: 420_000,
            order: crate::order::OrderId(1),
            step: crate::breakdown::StepId("o1.i1.mix".into()),
            at: Some("2026-12-03T18:00".parse().expect("a moment")),
            done: false,
        }];
        let list = List::of(&uses, &Supplies::default(), &Covers::default());
        let lines = read(&shopping_table(&list, Units::Metric));
        assert_eq!(lines.len(), 2);
        assert_eq!(lines[1][1..4], ["flour", "420 g", "420 g"]);
        assert_eq!(lines[1][5], "2026-12-03T18:00");
    }
}
