//! Card files that somebody keeps or sends: readable, and read with care.

use serde_json::Value;

use super::{Card, CardError};
use crate::plan::arrange::Arrange;
use crate::plan::json;

/// Longest card file that is read, bytes: the longest built-in one has a tenth of it.
pub const FILE_BYTES_MAX: usize = 200_000;

impl Card {
    /// The card as a file of its own, in the form that the head of this room shows, with a line break at its
    /// end. What says nothing (no condition, no limit, an empty list) is left out.
    pub fn to_file(&self) -> String {
        let mut value = json::value_of(self).unwrap_or_default();
        prune(&mut value);
        let mut short = String::new();
        write(&value, 0, &mut short);
        // A field whose absence meant something else would be lost; then everything is written.
        let same = json::read::<Self>(&short).is_ok_and(|card| card == *self);
        let text = if same {
            short
        } else {
            json::indented(&serde_json::to_string(self).unwrap_or_default())
        };
        format!("{text}\n")
    }

    /// Reads a file that somebody chose. Refused, with the place in the file, is what is too long, no card, or
    /// looser than a safety limit of the built-in card that it goes by.
    pub fn from_file(text: &str) -> Result<Self, CardError> {
        if FILE_BYTES_MAX < text.len() {
            return Err(CardError {
                card: String::new(),
                place: "the file".to_owned(),
                message: format!(
                    "has {} KB; a card has at most {} KB, so this is another file",
                    text.len() / 1000,
                    FILE_BYTES_MAX / 1000
                ),
            });
        }
        let card = Self::parse(text.strip_prefix('\u{feff}').unwrap_or(text))?;
        card.is_as_safe_as_built_in()?;
        Ok(card)
    }
}

/// Fields that say something when they are empty.
const MEANT: [&str; 7] = ["work", "steps", "rests", "keeps", "take", "among", "amount"];

fn prune(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            fields.retain(|name, field| {
                prune(field);
                let empty = match field {
                    Value::Null => true,
                    Value::Bool(yes) => !*yes && name != "margin",
                    Value::Array(list) => list.is_empty() && !MEANT.contains(&name.as_str()),
                    Value::Object(inner) => inner.is_empty(),
                    _ => false,
                };
                !empty
            });
        }
        Value::Array(list) => list.iter_mut().for_each(prune),
        _ => {}
    }
}

/// Fields in the order in which a baker reads them; the others follow by their names.
const FIRST: [&str; 36] = [
    "id",
    "version",
    "copied_from",
    "name",
    "label",
    "piece",
    "pieces",
    "component",
    "about",
    "spares",
    "options",
    "counts",
    "things",
    "components",
    "steps",
    "rests",
    "keeps",
    "limits",
    "ingredients",
    "packaging",
    "rule",
    "is",
    "use",
    "as",
    "of",
    "from",
    "to",
    "what",
    "place",
    "thing",
    "kind",
    "each",
    "per",
    "setup",
    "work",
    "cleanup",
];
/// What fits in a line is written in one.
const LINE: usize = 96;

/// Writes a value as files have it: short things in one line, the rest a field a line.
fn write(value: &Value, indent: usize, out: &mut String) {
    let rank = |name: &str| FIRST.iter().position(|first| *first == name).unwrap_or(FIRST.len());
    let (open, close, parts) = match value {
        Value::Object(fields) => {
            let mut fields: Vec<_> = fields.iter().collect();
            fields.arrange_by_key(|(name, _)| (rank(name), name.as_str()));
            ('{', '}', fields.into_iter().map(|(name, value)| (Some(name), value)).collect())
        }
        Value::Array(list) => ('[', ']', list.iter().map(|value| (None, value)).collect()),
        _ => ('\0', '\0', Vec::new()),
    };
    if open == '\0' {
        out.push_str(&value.to_string());
        return;
    }
    let short = value.to_string().len() + indent < LINE && 0 < indent;
    let gap =
        |indent: usize| if short { " ".to_owned() } else { format!("\n{}", "  ".repeat(indent)) };
    out.push(open);
    for (index, (name, value)) in parts.iter().enumerate() {
        if 0 < index {
            out.push(',');
        }
        out.push_str(&gap(indent + 1));
        if let Some(name) = name {
            out.push_str(&Value::from(name.as_str()).to_string());
            out.push_str(": ");
        }
        write(value, indent + 1, out);
    }
    if !parts.is_empty() {
        out.push_str(&gap(indent));
    }
    out.push(close);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::card::builtin;

    #[test]
    fn every_card_comes_back_from_its_file() {
        for card in builtin() {
            let text = card.to_file();
            assert_eq!(Card::from_file(&text), Ok(card.clone()), "{}", card.id);
            assert_eq!(Card::from_file(&format!("\u{feff}{text}")).as_ref(), Ok(&card));
            let full = serde_json::to_string_pretty(&card).expect("plain data");
            assert!(!text.contains("null") && text.len() < full.len(), "{text}");
            assert!(text.len() * 5 < FILE_BYTES_MAX, "{} has {}", card.id, text.len());
        }
    }

    #[test]
    fn other_files_are_refused_with_their_place() {
        let good = builtin().remove(0).to_file();
        for (text, place, part) in [
            (String::new(), "line 1", "EOF"),
            ("GIF89a".to_owned(), "line 1", "expected value"),
            (" ".repeat(FILE_BYTES_MAX + 1), "the file", "200 KB"),
            (good.replacen("\"setup\"", "\"set-up\"", 1), "steps[0]", "set-up"),
            (
                good.replacen("\"piece\": \"cookie\"", "\"piece\": \" \"", 1),
                "piece",
                "say something",
            ),
            (good.replacen("\"place\": \"rack\"", "\"place\": \"cellar\"", 1), "steps[", "cellar"),
        ] {
            let error = Card::from_file(&text).expect_err(part);
            assert!(error.place.starts_with(place), "{error}");
            assert!(error.message.contains(part), "{error}");
        }
    }

    #[test]
    fn a_file_that_loosens_a_safety_limit_is_refused_under_any_name() {
        let card = builtin().into_iter().find(|card| card.limits.iter().any(|l| l.safety));
        let mut card = card.expect("one has a safety limit");
        let limit = card.limits.iter_mut().find(|limit| limit.safety).expect("just seen");
        limit.greatest += 1;
        let loose = |card: &Card| {
            let error = Card::from_file(&card.to_file()).expect_err("is looser");
            assert!(error.message.contains("may be tightened"), "{error}");
        };
        loose(&card);
        let copy = Card { id: "mine".into(), copied_from: Some(card.id.clone()), ..card };
        loose(&copy);
    }
}
