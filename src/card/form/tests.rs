use super::*;
use crate::card::builtin;

fn sheet(id: &str) -> Sheet {
    let cards = builtin();
    let card = cards.iter().find(|card| card.id == id).expect("built in").clone();
    Sheet::of(card, &cards)
}

impl Sheet {
    /// What can be written at one place.
    fn entry(&self, path: &str) -> Option<What> {
        if item(path).is_some() && self.object(path).is_some() {
            return Some(What::Item);
        }
        let around = path.rsplit_once('.').map_or("", |(around, _)| around);
        self.entries(around).into_iter().find(|entry| entry.path == path).map(|entry| entry.what)
    }
}

/// Every entry below a place, and the place of each that can be written.
fn leaves(sheet: &Sheet, path: &str, all: &mut Vec<Entry>) {
    for entry in sheet.entries(path) {
        match entry.what {
            What::Group | What::List(_) | What::Item => leaves(sheet, &entry.path, all),
            What::May(there) => {
                all.push(entry.clone());
                if there {
                    leaves(sheet, &entry.path, all);
                }
            }
            _ => all.push(entry),
        }
    }
}

fn all_of(sheet: &Sheet) -> Vec<Entry> {
    let mut all = Vec::new();
    leaves(sheet, "", &mut all);
    all
}

/// Each value in a card's file by its place; what holds others only as their parts.
fn values(value: &Value, path: &str, all: &mut Vec<String>) {
    match value {
        Value::Object(fields) => {
            for (name, value) in fields {
                values(value, &join(path, name), all);
            }
        }
        Value::Array(list) => {
            for (at, value) in list.iter().enumerate() {
                values(value, &format!("{path}[{at}]"), all);
            }
        }
        _ => all.push(path.to_owned()),
    }
}

#[test]
fn everything_on_every_built_in_card_can_be_written() {
    let mut seen = 0;
    for card in builtin() {
        let sheet = sheet(&card.id);
        let written: Vec<String> = all_of(&sheet).into_iter().map(|entry| entry.path).collect();
        let mut places = Vec::new();
        values(&sheet.value, "", &mut places);
        for place in places {
            // Names that the program keeps, and what is written together with what is around it.
            let own = place.ends_with("id") && !place.starts_with("counts")
                || ["version", "copied_from"].contains(&place.as_str())
                || place.ends_with("when.option")
                || place.ends_with("when.not")
                || place.ends_with("when.at_least")
                || (place.contains(".notes[")
                    || place.starts_with("cautions[")
                    || place.starts_with("client["));
            let found = written.contains(&place);
            assert!(own || found, "{}: {place}", card.id);
            seen += usize::from(found);
        }
    }
    assert!(5000 < seen, "{seen}");
}

#[test]
fn what_is_shown_can_be_written_back_and_changes_nothing() {
    for card in builtin() {
        let mut sheet = sheet(&card.id);
        for entry in all_of(&sheet) {
            let text = sheet.shown(&entry.path);
            if matches!(entry.what, What::May(_)) {
                continue;
            }
            assert_eq!(sheet.write(&entry.path, &text), Ok(()), "{}: {}", card.id, entry.path);
            assert!(sheet.card() == &card, "{}: {} as “{text}”", card.id, entry.path);
            if let What::Choice(choices) = &entry.what {
                let known = choices.iter().any(|(name, _)| *name == text);
                assert!(known, "{}: {} is “{text}”", card.id, entry.path);
            }
            assert!(!entry.label.is_empty(), "{}", entry.path);
        }
    }
}

#[test]
fn each_choice_can_be_made_and_the_card_still_reads() {
    let mut made = 0;
    for card in builtin() {
        let sheet = sheet(&card.id);
        let mut forms = Vec::new();
        for entry in all_of(&sheet) {
            let What::Choice(choices) = &entry.what else { continue };
            // One of each kind of place is enough.
            let kind: String = entry.path.chars().filter(|c| !c.is_ascii_digit()).collect();
            if forms.contains(&kind) {
                continue;
            }
            forms.push(kind);
            for (name, _) in choices {
                let mut other = sheet.clone();
                assert_eq!(
                    other.write(&entry.path, name),
                    Ok(()),
                    "{}: {} {name}",
                    card.id,
                    entry.path
                );
                let shown = other.shown(&entry.path);
                let gone = name.is_empty() || shown == *name;
                assert!(gone, "{}: {} is {shown} after {name}", card.id, entry.path);
                made += 1;
            }
        }
    }
    assert!(3000 < made, "{made}");
}

#[test]
fn numbers_and_times_at_the_end_of_their_range_are_taken_and_beyond_refused() {
    for card in builtin() {
        let sheet = sheet(&card.id);
        for entry in all_of(&sheet) {
            let huge = match entry.what {
                What::Number(_) => "9000000000000000".to_owned(),
                What::Time(_) => "90000000 days".to_owned(),
                _ => continue,
            };
            let mut other = sheet.clone();
            let why = other.write(&entry.path, &huge).expect_err("beyond its range");
            assert!(why.contains("for example"), "{}: {why}", entry.path);
            assert!(other.card() == &card, "{}: nothing changed", entry.path);
            // "… from 1 to 255; …" names the last one that is taken.
            if let Some(most) = why.split(" to ").nth(1).and_then(|rest| rest.split(';').next()) {
                assert_eq!(other.write(&entry.path, most), Ok(()), "{}: {most}", entry.path);
            }
            for wrong in ["many", "-1000", "1.5.5 h", "٣", "1e3"] {
                assert!(other.write(&entry.path, wrong).is_err(), "{}: {wrong}", entry.path);
            }
        }
    }
}

#[test]
fn times_are_written_with_their_unit() {
    let mut pops = sheet("cake-pops");
    let roll = pops.card().steps.iter().position(|step| step.id == "roll").expect("a step");
    let each = format!("steps[{roll}].work[0].each");
    assert_eq!(pops.shown(&each), "45 s");
    for (text, seconds) in [("1 min", 60), ("1,5 min", 90), ("0.5 h", 1800), (" 20s ", 20)] {
        assert_eq!(pops.write(&each, text), Ok(()), "{text}");
        assert_eq!(pops.card().steps[roll].work[0].each, seconds);
    }
    let greatest = "keeps[0].greatest";
    assert_eq!(pops.write(greatest, "2 days"), Ok(()));
    assert_eq!(
        (pops.card().keeps[0].greatest, pops.shown(greatest)),
        (Some(2880), "2 days".into())
    );
    let why = pops.write(greatest, "90 s").expect_err("no whole minutes");
    assert!(why.contains("whole number of minutes"), "{why}");
    assert_eq!(pops.write(greatest, ""), Ok(()));
    assert_eq!(pops.card().keeps[0].greatest, None);
    assert_eq!(pops.write(&each, "45"), Err("“45” is no time; write for example 45 s".to_owned()));
}

#[test]
fn items_come_and_go_in_every_list_of_a_card() {
    for card in builtin() {
        let sheet = sheet(&card.id);
        let mut lists = Vec::new();
        every_list(&sheet, "", &mut lists);
        for list in lists {
            let mut more = sheet.clone();
            let place = more.add(&list).expect("a list");
            assert_eq!(more.entry(&place), Some(What::Item), "{}: {place}", card.id);
            assert!(more.card() != &card, "{}: {list}", card.id);
            if !["rests", "things", "components"].contains(&list.as_str()) {
                assert_eq!(more.card().validate(), Ok(()), "{}: one more of {list}", card.id);
            }
            more.remove(&place).expect("it is there");
            assert_eq!(more.card().steps, card.steps, "{}: {list}", card.id);
            let (up, down) = sheet.can_shift(&format!("{list}[0]"));
            assert!(!up, "nothing goes above the first");
            if down {
                more = sheet.clone();
                more.shift(&format!("{list}[0]"), false).expect("can");
                assert_ne!(more.value, sheet.value, "{}: {list}", card.id);
                more.shift(&format!("{list}[1]"), true).expect("can");
                assert_eq!(more.value, sheet.value, "{}: {list}", card.id);
            }
        }
    }
}

fn every_list(sheet: &Sheet, path: &str, all: &mut Vec<String>) {
    for entry in sheet.entries(path) {
        match entry.what {
            What::List(_) => {
                all.push(entry.path.clone());
                if let Some(first) = sheet.entries(&entry.path).first() {
                    every_list(sheet, &first.path, all);
                }
            }
            What::Group | What::May(true) => every_list(sheet, &entry.path, all),
            _ => {}
        }
    }
}

#[test]
fn a_number_is_called_otherwise_wherever_it_is_used() {
    for card in builtin() {
        for at in 0..card.counts.len() {
            let mut sheet = sheet(&card.id);
            sheet.write(&format!("counts[{at}].id"), "Quite another number").expect("a free name");
            assert_eq!(sheet.card().validate(), Ok(()), "{}: {}", card.id, card.counts[at].id);
            assert_eq!(sheet.card().counts[at].id, "quite-another-number");
            let old = card.counts[at].id.replace('-', " ");
            sheet.write(&format!("counts[{at}].id"), &old).expect("free again");
            assert!(sheet.card() == &card, "{}: {old}", card.id);
        }
    }
}

#[test]
fn what_a_component_is_given_is_chosen_or_set() {
    let mut pops = sheet("cake-pops");
    let parts = pops.entries("components[0]");
    let first =
        parts.iter().find(|entry| entry.path.contains(".pass.")).expect("has options").path.clone();
    let set = first.replace(".pass.", ".set.");
    pops.write(&first, "").expect("as usual there");
    pops.write(&set, "1").expect("a number");
    assert_eq!(pops.shown(&set), "1");
    pops.write(&first, "pieces").expect("a name");
    assert_eq!((pops.shown(&first).as_str(), pops.shown(&set).as_str()), ("pieces", ""));
    assert!(pops.entries("components[0]").iter().all(|entry| entry.path != set));
}

#[test]
fn a_card_is_made_from_nothing_by_writing() {
    let cards = builtin();
    let mut bars = Sheet::of(Card::blank("bars".into(), "Bars".into()), &cards);
    let mut write = |path: &str, text: &str| assert_eq!(bars.write(path, text), Ok(()), "{path}");
    write("name", "Oat bars");
    write("piece", "bar");
    write("pieces", "bars");
    write("steps[0].name", "Mix and press");
    write("steps[0].setup", "10 min");
    let bake = bars.add("steps").expect("before the last");
    assert_eq!(bake, "steps[1]");
    for (path, text) in [("name", "Bake"), ("kind", "oven"), ("work[0].each", "30 min")] {
        bars.write(&join(&bake, path), text).expect("reads");
    }
    let need = bars.add("steps[1].needs").expect("a list");
    bars.write(&join(&need, "use"), "oven").expect("one of them");
    let flour = bars.add("ingredients").expect("a list");
    bars.write(&format!("{flour}.of"), "rolled-oats")
        .or_else(|_| bars.write(&format!("{flour}.of"), "flour"))
        .expect("in the catalogue");
    bars.write("rests[1].modes[0].stay", "1").expect("takes up room");
    bars.write("rests[1].modes[0].stay.place", "rack").expect("a place");
    bars.write("rests[1].modes[0].stay.footprint.as", "trays").expect("a form");
    assert_eq!(bars.card().validate(), Ok(()));
    let made = bars.card();
    assert_eq!(made.rests[1].from, made.steps[1].id);
    assert_eq!(made.rests[1].modes[0].stay.as_ref().map(|stay| stay.place.name()), Some("rack"));
    assert_eq!(bars.item_words("steps[1]").0, "2. Bake");
}

#[test]
fn the_place_of_a_fault_is_a_place_of_the_form() {
    let mut pops = sheet("cake-pops");
    pops.write("keeps[0].greatest", "1 min").expect("reads");
    pops.add("keeps[0].least").expect("a list");
    let fault = pops.card().validate().expect_err("less than the least");
    assert!(pops.entry(&fault.place).is_some(), "{}", fault.place);
    let way = pops.add("keeps").expect("a list");
    pops.write(&format!("{way}.name"), " ").expect("reads");
    pops.remove("keeps[0].least[0]").expect("there");
    let fault = pops.card().validate().expect_err("says nothing");
    assert_eq!(fault.place, format!("{way}.name"));
    assert_eq!(pops.entry(&fault.place), Some(What::Text));
}
