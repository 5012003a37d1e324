//! Promise: what goes out to other programs is read by parsers of other hands as it was meant, whatever was typed.
//!
//! Calendar files by `ical` and `icalendar`, tables by `csv`, all from crates.io.

use std::collections::BTreeMap;
use std::io::BufReader;

use rackweek::calendar::{Date, Elapsed, Horizon, Span, Zone};
use rackweek::demo::demo;
use rackweek::export::{CalendarFile, calendar_file, orders_table};
use rackweek::order::{Order, OrderId};
use rackweek::week::{BlockKind, Doing, DoingKind};

fn hostile() -> Vec<String> {
    serde_json::from_str(include_str!("data/hostile.json")).expect("a list of texts")
}

fn orders() -> BTreeMap<OrderId, Order> {
    let today = Date::new(2026, 11, 23).expect("a date");
    demo(today.at(0)).orders
}

/// One sitting for each text, with the text in every field that holds words.
fn doings(texts: &[String]) -> Vec<Doing> {
    let each = texts.iter().enumerate().map(|(at, text)| {
        let start = i32::try_from(at).expect("few") * 30;
        let takes_out = at % 3 == 0;
        Doing {
            id: format!("o1.i1.step#{at}"),
            order: OrderId(1),
            kind: if takes_out { DoingKind::TakeOut } else { DoingKind::Work(BlockKind::Plain) },
            span: Span::new(Elapsed(start), Elapsed(start + if takes_out { 0 } else { 25 })),
            title: text.clone(),
            product: text.clone(),
            detail: text.clone(),
            part: None,
            done: false,
        }
    });
    each.collect()
}

fn file(texts: &[String]) -> String {
    let monday = Date::new(2026, 11, 23).expect("a date");
    let horizon = Horizon::from_monday_of(monday, 14, Zone::fixed("kitchen", 60));
    let what = CalendarFile {
        from: Elapsed(0),
        names: true,
        alarms: true,
        written: 1_796_148_030,
        key: "4f1a9c",
    };
    calendar_file(what, &doings(texts), &horizon, &orders()).expect("something is ahead")
}

/// What a text is in a calendar: blanks and line ends for what parts words, no other control characters.
fn as_meant(text: &str) -> String {
    let text = text.replace('\t', " ").replace(['\u{b}', '\u{c}', '\u{85}'], "\n");
    text.chars().filter(|letter| *letter == '\n' || !letter.is_control()).collect()
}

/// The text of a value (RFC 5545 §3.3.11), for a parser that leaves values as they stand.
fn unescaped(value: &str) -> String {
    let (mut out, mut letters) = (String::new(), value.chars());
    while let Some(letter) = letters.next() {
        match (letter, letter == '\\') {
            (_, true) => match letters.next() {
                Some('n' | 'N') => out.push('\n'),
                other => out.extend(other),
            },
            _ => out.push(letter),
        }
    }
    out
}

#[test]
fn two_parsers_read_every_entry_as_it_was_meant() {
    let texts = hostile();
    assert!(100 <= texts.len(), "{}", texts.len());
    let text = file(&texts);
    for line in text.split("\r\n") {
        assert!(line.len() <= 75, "{line}");
        assert!(!line.contains(['\r', '\n']), "{line:?}");
    }
    let client = &orders()[&OrderId(1)].client;
    let meant: Vec<String> =
        texts.iter().map(|text| format!("{} · {client}", as_meant(text))).collect();

    let mut read = ical::IcalParser::new(BufReader::new(text.as_bytes()));
    let calendar = read.next().expect("a calendar").expect("that is one");
    assert!(read.next().is_none(), "and no other");
    let found: Vec<String> = calendar
        .events
        .iter()
        .map(|event| {
            let summary = event.properties.iter().find(|property| property.name == "SUMMARY");
            unescaped(summary.and_then(|summary| summary.value.as_deref()).expect("has one"))
        })
        .collect();
    assert_eq!(found.len(), meant.len());
    for (found, meant) in found.iter().zip(&meant) {
        // This parser takes colons at the start of a value for part of its sign; the other one does not.
        assert_eq!(found, meant.trim_start_matches(':'));
    }
    let alarms: usize = calendar.events.iter().map(|event| event.alarms.len()).sum();
    assert_eq!(alarms, texts.len().div_ceil(3));

    let unfolded = icalendar::parser::unfold(&text);
    let second = icalendar::parser::read_calendar(&unfolded).expect("a calendar");
    let events: Vec<_> =
        second.components.iter().filter(|component| component.name == "VEVENT").collect();
    assert_eq!(events.len(), texts.len());
    for (event, meant) in events.iter().zip(&meant) {
        let summary = event.find_prop("SUMMARY").expect("has one").val.as_str();
        assert_eq!(summary, meant);
        let id = event.find_prop("UID").expect("has one").val.as_str();
        assert!(id.ends_with("@4f1a9c.rackweek"), "{id}");
        assert!(event.find_prop("DTSTART").is_some() && event.find_prop("DTSTAMP").is_some());
    }
}

#[test]
fn a_table_is_read_field_by_field_and_holds_no_formula() {
    let texts = hostile();
    let pattern = orders().remove(&OrderId(1)).expect("in the demo");
    let orders: Vec<Order> = texts
        .iter()
        .zip(1..)
        .map(|(text, number)| {
            let mut order = pattern.clone();
            order.id = OrderId(number);
            order.items.truncate(1);
            for field in
                [&mut order.client, &mut order.theme, &mut order.allergies, &mut order.notes]
            {
                field.clone_from(text);
            }
            order
        })
        .collect();
    let table = orders_table(&orders, true, |_, _| "Cake pops".to_owned());
    let mut read = csv::ReaderBuilder::new().from_reader(table.as_bytes());
    assert_eq!(
        read.headers().expect("a head").get(0),
        Some("order"),
        "the mark at the start is no letter of it"
    );
    let lines: Vec<csv::StringRecord> =
        read.records().collect::<Result<_, _>>().expect("as many fields in each line");
    assert_eq!(lines.len(), texts.len());
    let mut guarded = 0;
    for (line, text) in lines.iter().zip(&texts) {
        for at in [1, 2, 11, 13] {
            let field = line.get(at).expect("a field");
            guarded += usize::from(field != text);
            assert_eq!(field.replace('\'', ""), text.replace('\'', ""), "only apostrophes come in");
            let first = field
                .trim_start_matches(|c: char| c.is_whitespace() || c == '"' || c == '\u{feff}');
            assert!(!first.starts_with(['=', '+', '-', '@']), "{field:?}");
        }
    }
    assert!(20 <= guarded, "{guarded} texts began like a formula");
}
