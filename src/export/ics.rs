//! The plan as a calendar file (RFC 5545), to be read by any calendar.
//!
//! All times are instants of universal time, so that no calendar has to know her zone's rules. An entry keeps its UID as
//! long as its sitting is the same, and a later file has a higher SEQUENCE, so that reading the next file moves entries
//! instead of doubling them.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use crate::calendar::{Elapsed, Horizon, Wall};
use crate::order::{Order, OrderId};
use crate::week::{Doing, DoingKind};

/// Most octets of a line, its end left out (RFC 5545 §3.1).
const LINE_MOST: usize = 75;
/// SEQUENCE counts minutes from 2020-01-01 on, so that it fits an integer of 32 bits for ages.
const SEQUENCE_FROM: i64 = 1_577_836_800;
/// How long before it an alarm rings, minutes.
const ALARM_BEFORE: u32 = 10;

/// What goes into the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CalendarFile<'a> {
    /// What begins from here on.
    pub from: Elapsed,
    /// Clients' names, not only the two letters of their orders.
    pub names: bool,
    /// An alarm some minutes before what must not be missed: take-outs and handovers.
    pub alarms: bool,
    /// When it is written, seconds of universal time.
    pub written: i64,
    /// What tells this book's entries from another's ([`crate::record::Settings::key`]).
    pub key: &'a str,
}

/// The file's text; none when nothing is ahead, since a calendar has at least one component (RFC 5545 §3.6).
pub fn calendar_file(
    what: CalendarFile<'_>,
    doings: &[Doing],
    horizon: &Horizon,
    orders: &BTreeMap<OrderId, Order>,
) -> Option<String> {
    let mut ahead =
        doings.iter().filter(|doing| what.from <= doing.span.start && !doing.done).peekable();
    ahead.peek()?;
    let mut lines = Lines(String::new());
    lines.put("BEGIN", "VCALENDAR");
    lines.put("VERSION", "2.0");
    lines.put("PRODID", "-//Rackweek//Rackweek//EN");
    lines.put("CALSCALE", "GREGORIAN");
    for doing in ahead {
        entry(&mut lines, what, doing, horizon, orders.get(&doing.order));
    }
    lines.put("END", "VCALENDAR");
    Some(lines.0)
}

fn entry(
    lines: &mut Lines,
    what: CalendarFile<'_>,
    doing: &Doing,
    horizon: &Horizon,
    order: Option<&Order>,
) {
    let mark = order.map_or_else(|| format!("O{}", doing.order.0 % 10), Order::mark);
    let client = order.map(|order| order.client.trim()).filter(|name| !name.is_empty());
    let whose = client.filter(|_| what.names).unwrap_or(&mark);
    let instant = |moment: Elapsed| stamp(horizon.utc(moment).saturating_mul(60));
    let lasts = !doing.span.is_empty();
    lines.put("BEGIN", "VEVENT");
    lines.put("UID", &escaped(&format!("{}@{}.rackweek", doing.id, what.key)));
    lines.put("DTSTAMP", &stamp(what.written));
    let sequence = (what.written - SEQUENCE_FROM).max(0) / 60;
    lines.put("SEQUENCE", &sequence.to_string());
    lines.put("DTSTART", &instant(doing.span.start));
    if lasts {
        lines.put("DTEND", &instant(doing.span.end));
    }
    lines.put("SUMMARY", &escaped(&format!("{} · {whose}", doing.title)));
    let part = doing.part.map(|(one, of)| format!("sitting {one} of {of}"));
    let told: Vec<String> = [doing.product.clone(), doing.detail.clone()]
        .into_iter()
        .chain(part)
        .filter(|text| !text.is_empty())
        .collect();
    if !told.is_empty() {
        lines.put("DESCRIPTION", &escaped(&told.join("\n")));
    }
    lines.put("CATEGORIES", &escaped(&mark));
    // What lasts no time keeps nobody from anything else.
    lines.put("TRANSP", if lasts { "OPAQUE" } else { "TRANSPARENT" });
    if what.alarms && matches!(doing.kind, DoingKind::TakeOut | DoingKind::Handover) {
        lines.put("BEGIN", "VALARM");
        lines.put("ACTION", "DISPLAY");
        lines.put("DESCRIPTION", &escaped(&doing.title));
        lines.put("TRIGGER", &format!("-PT{ALARM_BEFORE}M"));
        lines.put("END", "VALARM");
    }
    lines.put("END", "VEVENT");
}

/// "20261124T193000Z" (RFC 5545 §3.3.5, form 2).
fn stamp(seconds: i64) -> String {
    let wall = Wall::from_as_if_utc(seconds.div_euclid(60));
    let (year, month, day) = wall.date().parts();
    let minute = wall.minute_of_day();
    let second = seconds.rem_euclid(60);
    format!("{year:04}{month:02}{day:02}T{:02}{:02}{second:02}Z", minute / 60, minute % 60)
}

/// A text value (RFC 5545 §3.3.11). Of control characters, which it may not hold, those that part words become blanks or
/// line ends, and the others are left out.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.replace("\r\n", "\n").chars() {
        match letter {
            '\\' | ';' | ',' => {
                out.push('\\');
                out.push(letter);
            }
            '\n' | '\r' | '\u{b}' | '\u{c}' | '\u{85}' => out.push_str("\\n"),
            '\t' => out.push(' '),
            letter if letter.is_control() => {}
            letter => out.push(letter),
        }
    }
    out
}

/// Content lines, folded.
struct Lines(String);

impl Lines {
    fn put(&mut self, name: &str, value: &str) {
        let mut line = String::new();
        // Writing into a text cannot fail.
        let _ = write!(line, "{name}:{value}");
        let mut room = LINE_MOST;
        for letter in line.chars() {
            if room < letter.len_utf8() {
                self.0.push_str("\r\n ");
                room = LINE_MOST - 1;
            }
            self.0.push(letter);
            room -= letter.len_utf8();
        }
        self.0.push_str("\r\n");
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::{Date, OffsetChange, Span, Zone};
    use crate::order::Stage;
    use crate::order::tests::order;
    use crate::week::BlockKind;

    fn horizon(zone: Zone) -> Horizon {
        Horizon::from_monday_of(Date::new(2026, 11, 23).expect("a date"), 14, zone)
    }

    fn doing(id: &str, kind: DoingKind, start: i32, minutes: i32) -> Doing {
        Doing {
            id: id.to_owned(),
            order: OrderId(1),
            kind,
            span: Span::new(Elapsed(start), Elapsed(start + minutes)),
            title: "Flood the base coat".to_owned(),
            product: "Decorated cookies".to_owned(),
            detail: "24 cookies + 4 spares, on 3 trays".to_owned(),
            part: Some((1, 2)),
            done: false,
        }
    }

    fn file(what: CalendarFile<'_>, doings: &[Doing]) -> String {
        maybe(what, doings).expect("something is ahead")
    }

    fn maybe(what: CalendarFile<'_>, doings: &[Doing]) -> Option<String> {
        let mut own = order(1, "Mara; Lindqvist, the elder");
        own.stage = Stage::Confirmed;
        let orders = BTreeMap::from([(OrderId(1), own)]);
        calendar_file(what, doings, &horizon(Zone::fixed("kitchen", 60)), &orders)
    }

    const PLAIN: CalendarFile<'_> = CalendarFile {
        from: Elapsed(0),
        names: false,
        alarms: false,
        written: 1_796_148_030,
        key: "4f1a9c",
    };

    /// Lines as they were before folding (RFC 5545 §3.1: a line end and one blank are taken out).
    fn unfolded(text: &str) -> Vec<String> {
        text.replace("\r\n ", "").split_terminator("\r\n").map(str::to_owned).collect()
    }

    #[test]
    fn a_sitting_is_an_entry_at_an_instant() {
        let evening = 24 * 60 + 20 * 60 + 30;
        let text =
            file(PLAIN, &[doing("o1.i1.flood#0", DoingKind::Work(BlockKind::Plain), evening, 75)]);
        assert_eq!(
            unfolded(&text),
            [
                "BEGIN:VCALENDAR",
                "VERSION:2.0",
                "PRODID:-//Rackweek//Rackweek//EN",
                "CALSCALE:GREGORIAN",
                "BEGIN:VEVENT",
                "UID:o1.i1.flood#0@4f1a9c.rackweek",
                "DTSTAMP:20261201T180030Z",
                "SEQUENCE:3638520",
                "DTSTART:20261124T193000Z",
                "DTEND:20261124T204500Z",
                "SUMMARY:Flood the base coat · ME",
                "DESCRIPTION:Decorated cookies\\n24 cookies + 4 spares\\, on 3 trays\\nsitting 1 of 2",
                "CATEGORIES:ME",
                "TRANSP:OPAQUE",
                "END:VEVENT",
                "END:VCALENDAR",
            ]
        );
        assert!(text.ends_with("\r\n") && !text.replace("\r\n", "").contains(['\r', '\n']));
    }

    #[test]
    fn names_go_in_only_when_they_are_wanted_and_are_escaped() {
        let one = [doing("o1.handover", DoingKind::Handover, 600, 0)];
        let plain = file(PLAIN, &one);
        assert!(!plain.contains("Mara") && !plain.contains("DTEND"), "{plain}");
        let named = unfolded(&file(CalendarFile { names: true, alarms: true, ..PLAIN }, &one));
        assert!(
            named.contains(
                &"SUMMARY:Flood the base coat · Mara\\; Lindqvist\\, the elder".to_owned()
            )
        );
        assert!(
            named.contains(&"TRIGGER:-PT10M".to_owned())
                && named.contains(&"TRANSP:TRANSPARENT".to_owned())
        );
    }

    #[test]
    fn what_is_done_or_over_is_left_out() {
        let mut done = doing("o1.i1.bake#0", DoingKind::Work(BlockKind::Oven), 700, 30);
        done.done = true;
        let over = doing("o1.i1.mix#0", DoingKind::Work(BlockKind::Plain), 10, 30);
        let what = CalendarFile { from: Elapsed(11), ..PLAIN };
        let ahead = doing("o1.i1.box#0", DoingKind::Work(BlockKind::Plain), 900, 30);
        let text = file(what, &[over.clone(), done.clone(), ahead]);
        assert_eq!(text.matches("BEGIN:VEVENT").count(), 1, "{text}");
        assert!(text.contains("UID:o1.i1.box#0@"), "{text}");
        assert_eq!(maybe(what, &[over, done]), None, "no calendar without an entry");
    }

    #[test]
    fn lines_are_at_most_75_octets_and_letters_stay_whole() {
        for length in [60, 63, 64, 65, 66, 67, 74, 75, 76, 200] {
            for letter in ["a", "é", "→", "🎂"] {
                let mut one = doing("o1.i1.mix#0", DoingKind::Work(BlockKind::Plain), 10, 30);
                one.title = letter.repeat(length);
                let text = file(PLAIN, &[one]);
                assert!(text.split("\r\n").all(|line| line.len() <= 75), "{length} {letter}");
                let summary = format!("SUMMARY:{} · ME", letter.repeat(length));
                assert!(unfolded(&text).contains(&summary), "{length} {letter}");
            }
        }
    }

    #[test]
    fn the_standards_own_examples_hold() {
        // RFC 5545 §3.3.11: “Project XYZ Final Review\nConference Room - 3B\nCome Prepared.”
        let text = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.";
        assert_eq!(
            escaped(text),
            "Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared."
        );
        assert_eq!(escaped("a\\b;c,d\u{7}e"), "a\\\\b\\;c\\,de");
        assert_eq!(escaped("one\ttwo\rthree\r\nfour"), "one two\\nthree\\nfour");
        // §3.3.5, form 2: 07:00 universal time on January 19, 1998.
        assert_eq!(stamp(885_193_200), "19980119T070000Z");
    }

    #[test]
    fn on_the_night_in_which_clocks_change_an_entry_lasts_as_long_as_it_does() {
        // At 01:00 universal time on 29 November the clock goes back from 02:00 to 01:00 (made up).
        let day = Date::new(2026, 11, 29).expect("a date").at(0).as_if_utc();
        let zone = Zone {
            name: "made up".into(),
            changes: vec![
                OffsetChange { utc: 0, offset: 60 },
                OffsetChange { utc: day + 60, offset: 0 },
            ],
        };
        let horizon = horizon(zone);
        let start = horizon.elapsed("2026-11-29T00:30".parse().expect("a time"));
        let one = doing("o1.i1.bake#0", DoingKind::Work(BlockKind::Oven), start.0, 180);
        let text = calendar_file(PLAIN, &[one], &horizon, &BTreeMap::new()).expect("ahead");
        assert!(
            text.contains("DTSTART:20261128T233000Z") && text.contains("DTEND:20261129T023000Z"),
            "{text}"
        );
        assert!(text.contains("· O1"), "an order that is gone: {text}");
    }
}
