//! Orders and shopping as tables for a spreadsheet (RFC 4180).

use crate::order::{HandoverWay, Order};
use crate::plan::arrange::Arrange;
use crate::supply::{List, Units, amount, packs_in_words};

/// One line for each item of each order, by handover, with clients' names or only with the letters of their orders.
/// `product` names an item's card.
pub fn orders_table<'a>(
    orders: impl IntoIterator<Item = &'a Order>,
    names: bool,
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
        let mark = order.mark();
        let client = if names { &order.client } else { &mark };
        for (index, item) in order.items.iter().enumerate() {
            table.line(&[
                &order.id.0.to_string(),
                client,
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
        // Spreadsheets take a file without this sign for one in the letters of some country.
        let mut table = Self(BYTE_ORDER_MARK.to_string());
        table.line(head);
        table
    }

    fn line(&mut self, fields: &[&str]) {
        let fields: Vec<String> = fields.iter().map(|field| quoted(field)).collect();
        self.0.push_str(&fields.join(","));
        self.0.push_str("\r\n");
    }
}

const BYTE_ORDER_MARK: char = '\u{feff}';
/// Signs with which a formula begins, the wide ones of East Asian keyboards too (OWASP, "CSV Injection").
const FORMULA: [char; 8] = ['=', '+', '-', '@', '＝', '＋', '－', '＠'];
/// Signs at which some spreadsheet or country begins another cell.
const CELLS: [char; 5] = [';', '\t', '\r', '\n', '|'];

/// A text in which nothing can be taken for a formula: an apostrophe stands before what begins one, at the start or after
/// a sign that begins a cell elsewhere. Plain numbers stay numbers.
fn harmless(field: &str) -> String {
    let digits = field.strip_prefix('-').unwrap_or(field);
    if !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.') {
        return field.to_owned();
    }
    let mut out = String::with_capacity(field.len());
    let mut begins = true;
    for letter in field.chars() {
        if begins && FORMULA.contains(&letter) {
            out.push('\'');
        }
        // Blanks, quotes and signs that are not seen do not keep a spreadsheet from seeing a formula.
        let unseen = letter.is_whitespace()
            || letter.is_control()
            || ['"', BYTE_ORDER_MARK].contains(&letter);
        begins = CELLS.contains(&letter) || (begins && unseen);
        out.push(letter);
    }
    out
}

/// A field, quoted where it has to be (RFC 4180 §2); also where another country's tables part cells.
fn quoted(field: &str) -> String {
    let field = harmless(field);
    if field.contains(['"', ',', ';', '\t', '\r', '\n']) || field.trim() != field {
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
        let text = text.strip_prefix(BYTE_ORDER_MARK).expect("begins with the mark");
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
        assert_eq!(quoted("+441234567890"), "'+441234567890", "a telephone number is no sum");
        for formula in ["=1+1", "＝1+1", "－1+1", "＠SUM(A1)", "＋1", "@SUM(A1)", "-1+1"] {
            for before in ["", " ", "\n", "\t", "\u{b}", "\"", "a;", "a;  ", "a\n"] {
                let field = harmless(&format!("{before}{formula}"));
                let at = field.find(formula).expect("is in it");
                assert_eq!(field[..at].chars().last(), Some('\''), "{field:?}");
            }
        }
        assert_eq!(harmless("a = b - c"), "a = b - c", "within a sentence nothing changes");
    }

    #[test]
    fn orders_come_back_field_by_field() {
        let mut second = order(2, "Noor \"the quick\", Ltd");
        second.handover.at = second.handover.at.plus_minutes(-600);
        second.notes = "two\nlines".to_owned();
        let first = order(1, "Mara Lindqvist");
        let table = orders_table([&first, &second], true, |order, index| {
            format!("{}/{index}", order.items[index].card)
        });
        let lines = read(&table);
        assert_eq!(lines.len(), 3);
        assert!(lines.iter().all(|line| line.len() == 14), "{lines:?}");
        assert_eq!(lines[1][1], second.client, "by handover");
        let quiet = orders_table([&first, &second], false, |_, _| String::new());
        assert!(!quiet.contains("Mara") && !quiet.contains("quick"), "{quiet}");
        assert_eq!(read(&quiet)[2][1], first.mark());
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
