//! What one version of a card has otherwise than another, in words.
//!
//! Works on the card's fields as its file has them, so that a field is told here as soon as it exists.

use serde_json::{Map, Value};

use super::Card;
use crate::plan::arrange::Arrange;
use crate::plan::json;

/// Most lines: more would not be read.
const LINES_MAX: usize = 60;

/// What changes from one version to the other, each as a line; empty when only their numbers differ.
pub fn differences(before: &Card, after: &Card) -> Vec<String> {
    let value = |card: &Card| json::value_of(card).unwrap_or_default();
    let mut lines = Vec::new();
    compare(&Way::default(), &value(before), &value(after), &mut lines);
    lines.truncate(LINES_MAX);
    lines
}

/// Where in the card one is, in words, and in which unit numbers are there.
#[derive(Debug, Clone, Default)]
struct Way {
    words: Vec<String>,
    field: String,
    /// The list or field around it.
    around: String,
}

impl Way {
    fn to(&self, field: &str) -> Self {
        let mut words = self.words.clone();
        let known = FIELDS.iter().find(|(name, _)| *name == field);
        let word = known.map_or_else(|| field.replace(['-', '_'], " "), |(_, w)| (*w).to_owned());
        words.push(word);
        Self { words, field: field.to_owned(), around: self.field.clone() }
    }

    fn of(&self, name: String) -> Self {
        let mut way = self.clone();
        way.words.pop();
        way.words.push(name);
        way
    }

    fn line(&self, what: &str) -> String {
        let words: Vec<&str> =
            self.words.iter().map(String::as_str).filter(|word| !word.is_empty()).collect();
        if words.is_empty() { what.to_owned() } else { format!("{}: {what}", words.join(", ")) }
    }

    /// A value as a reader says it.
    fn say(&self, value: &Value) -> String {
        match value {
            Value::Null => "none".to_owned(),
            Value::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
            Value::Number(number) => {
                number.as_i64().map_or_else(|| number.to_string(), |number| self.number(number))
            }
            Value::String(text) => format!("“{text}”"),
            Value::Array(list) if list.is_empty() => "none".to_owned(),
            Value::Array(list) => {
                list.iter().map(|value| self.say(value)).collect::<Vec<_>>().join(", ")
            }
            Value::Object(fields) => name_of(fields).map_or_else(
                || {
                    let said = fields.iter().filter(|(_, value)| !is_nothing(value));
                    said.map(|(field, value)| match self.to(field).words.last() {
                        Some(word) if !word.is_empty() => {
                            format!("{word} {}", self.to(field).say(value))
                        }
                        _ => self.to(field).say(value),
                    })
                    .collect::<Vec<_>>()
                    .join(" ")
                },
                |name| format!("“{name}”"),
            ),
        }
    }

    fn number(&self, number: i64) -> String {
        match (self.field.as_str(), self.around.as_str()) {
            ("setup" | "cleanup", _) | ("each", "work") => seconds(number),
            ("greatest" | "cut_min" | "pause_max" | "minutes", _) | ("each", "least") => {
                minutes(number)
            }
            ("mm" | "thick" | "gap" | "edge" | "height" | "deepest" | "wrap", _) => {
                format!("{number} mm")
            }
            ("waste" | "percent", _) => format!("{number} %"),
            _ => number.to_string(),
        }
    }
}

/// What fields are called on screen; an empty word is not said, since what lies in it says enough.
const FIELDS: &[(&str, &str)] = &[
    ("about", "what it is"),
    ("amount", ""),
    ("cut_max", "longest sitting"),
    ("cut_min", "shortest sitting"),
    ("default", "usual value"),
    ("each", ""),
    ("footprint", ""),
    ("from", "after the step"),
    ("greatest", "at most"),
    ("keeps", "keeping"),
    ("kind", ""),
    ("is", "kind"),
    ("least", "at least"),
    ("margin", "doubled when new"),
    ("modes", ""),
    ("over", "divided by"),
    ("pause_at", "between sittings"),
    ("pause_max", "longest pause"),
    ("per", "for each of"),
    ("safety", "a safety limit"),
    ("setup", "to lay out"),
    ("cleanup", "to clear up"),
    ("stay", ""),
    ("tail", "before the next step"),
    ("to", "before the step"),
    ("work", "work"),
    ("limits", "limit"),
    ("steps", "step"),
    ("rests", "rest"),
    ("options", "option"),
    ("things", "thing"),
    ("counts", "count"),
    ("components", "component"),
    ("ingredients", "ingredient"),
    ("packaging", "packaging"),
];

fn is_nothing(value: &Value) -> bool {
    match value {
        Value::Null => true,
        Value::Bool(yes) => !yes,
        Value::Array(list) => list.is_empty(),
        Value::Object(fields) => fields.is_empty(),
        _ => false,
    }
}

/// What a thing of a list is called.
fn name_of(fields: &Map<String, Value>) -> Option<&str> {
    let text = |field| fields.get(field).and_then(Value::as_str).filter(|text| !text.is_empty());
    ["name", "label", "what", "of", "card", "id"].into_iter().find_map(text)
}

/// By what a thing of a list is known again when its fields change.
fn key_of(value: &Value) -> Option<String> {
    let fields = value.as_object()?;
    let text = |field| fields.get(field).and_then(Value::as_str);
    if let Some(id) = text("id") {
        return Some(id.to_owned());
    }
    if let Some(of) = text("of") {
        return Some(format!("{of} {}", text("step").unwrap_or_default()));
    }
    text("name").or_else(|| text("card")).or_else(|| text("step")).map(str::to_owned)
}

fn compare(way: &Way, before: &Value, after: &Value, lines: &mut Vec<String>) {
    if before == after {
        return;
    }
    match (before, after) {
        (Value::Object(old), Value::Object(new)) => {
            let null = Value::Null;
            let mut fields: Vec<&String> = old.keys().chain(new.keys()).collect();
            fields.dedup();
            let mut seen = Vec::new();
            for field in fields {
                // The version's number and the origin are no change of the method.
                let skipped =
                    way.words.is_empty() && ["version", "copied_from"].contains(&field.as_str());
                if skipped || seen.contains(&field) {
                    continue;
                }
                seen.push(field);
                let (old, new) = (old.get(field).unwrap_or(&null), new.get(field).unwrap_or(&null));
                compare(&way.to(field), old, new, lines);
            }
        }
        (Value::Array(old), Value::Array(new)) => lists(way, old, new, lines),
        _ => lines.push(way.line(&format!("{} → {}", way.say(before), way.say(after)))),
    }
}

fn lists(way: &Way, old: &[Value], new: &[Value], lines: &mut Vec<String>) {
    let keys = |list: &[Value]| -> Option<Vec<String>> {
        let keys: Vec<String> = list.iter().map(key_of).collect::<Option<_>>()?;
        let mut sorted = keys.clone();
        sorted.arrange();
        sorted.dedup();
        (sorted.len() == keys.len()).then_some(keys)
    };
    let (Some(before), Some(after)) = (keys(old), keys(new)) else {
        if old.len() == new.len() {
            for (old, new) in old.iter().zip(new) {
                compare(way, old, new, lines);
            }
        } else {
            let say = |list: &[Value]| way.say(&Value::Array(list.to_vec()));
            lines.push(way.line(&format!("{} → {}", say(old), say(new))));
        }
        return;
    };
    let called = |value: &Value| way.say(value);
    for (value, key) in old.iter().zip(&before) {
        match after.iter().position(|other| other == key) {
            None => lines.push(way.line(&format!("{} is gone", called(value)))),
            Some(at) => compare(&way.of(called(value)), value, &new[at], lines),
        }
    }
    for (value, key) in new.iter().zip(&after) {
        if !before.contains(key) {
            lines.push(way.line(&format!("{} is new", called(value))));
        }
    }
    let kept = |list: &[String], other: &[String]| -> Vec<String> {
        list.iter().filter(|key| other.contains(key)).cloned().collect()
    };
    if kept(&before, &after) != kept(&after, &before) {
        lines.push(way.line("in another order"));
    }
}

/// "40 s", "2 min", "2 min 10 s".
pub(super) fn seconds(all: i64) -> String {
    match (all / 60, all % 60) {
        (0, seconds) => format!("{seconds} s"),
        (whole, 0) => minutes(whole),
        (whole, seconds) => format!("{whole} min {seconds} s"),
    }
}

/// "45 min", "6 h", "2 h 30 min", "3 days".
pub(super) fn minutes(all: i64) -> String {
    match (all / 60, all % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) if 48 <= hours && hours % 24 == 0 => format!("{} days", hours / 24),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::card::Term;

    fn card() -> Card {
        Card::parse(include_str!("../../tests/data/cards/plain-biscuits.json")).expect("is a card")
    }

    fn told(change: impl FnOnce(&mut Card)) -> Vec<String> {
        let mut after = card();
        change(&mut after);
        differences(&card(), &after)
    }

    #[test]
    fn numbers_are_told_with_their_units_and_where_they_are() {
        assert_eq!(told(|card| card.version = 9), Vec::<String>::new());
        assert_eq!(
            told(|card| card.steps[0].work[1].each = 45),
            ["“Mix and shape the dough”, work: 30 s → 45 s"]
        );
        assert_eq!(
            told(|card| card.steps[2].setup = 630),
            ["“Pack”, to lay out: 10 min → 10 min 30 s"]
        );
        assert_eq!(
            told(|card| card.rests[1].modes[0].least[0].each = 150),
            ["“baked biscuits”, “cool on the trays”, at least: 1 h → 2 h 30 min"]
        );
        assert_eq!(
            told(|card| card.keeps[0].greatest = Some(10_080)),
            ["“in tins”, at most: 10 days → 7 days"]
        );
        assert_eq!(told(|card| card.spares = 10), ["spares: 0 → 10"]);
    }

    #[test]
    fn what_is_new_gone_or_moved_is_told_by_name() {
        let lines = told(|card| {
            card.add_step(0, "Chill the dough");
        });
        assert_eq!(
            lines,
            [
                "“shaped biscuits”, before the step: “bake” → “chill-the-dough”",
                "rest: “biscuits” is new",
                "step: “Chill the dough” is new",
            ]
        );
        assert!(told(|card| card.remove_step("pack")).contains(&"step: “Pack” is gone".to_owned()));
        assert!(told(|card| card.move_step(0, 1)).contains(&"step: in another order".to_owned()));
        let lines = told(|card| {
            card.steps[1].work.push(Term { each: 90, per: vec!["trays".into()], when: None });
        });
        assert_eq!(lines, ["“Bake”, work: 12 min → 12 min, 1 min 30 s for each of “trays”"]);
    }
}
