//! Reading and writing one place of a form as text.

use serde_json::{Map, Value};

use super::schema::{Base, Kind, Source};
use super::{Sheet, field, item, join, pointer};
use crate::card::{OptionKind, fresh_id};
use crate::plan::json;

/// Units of time in words, with their seconds.
const UNITS: [(&str, i64); 4] = [("s", 1), ("min", 60), ("h", 3600), ("days", 86_400)];

impl Sheet {
    /// What is written at a place, as [`Sheet::write`] reads it; empty where nothing is.
    pub fn shown(&self, path: &str) -> String {
        if let Some(when) = path.strip_suffix(".at_least").filter(|when| when.ends_with("when")) {
            return self.get(when).map_or_else(String::new, |when| plain(&when["at_least"]));
        }
        let kind = self.kind(path);
        let Some(value) = self.get(path) else { return String::new() };
        match kind {
            Some(Kind::Time(base, _) | Kind::MayTime(base, _)) => {
                value.as_i64().map_or_else(String::new, |time| time_words(time, base))
            }
            Some(Kind::Lines) => {
                let lines = value.as_array().into_iter().flatten().filter_map(Value::as_str);
                lines.collect::<Vec<_>>().join("\n")
            }
            Some(Kind::When) => {
                let sign = if value["not"] == true { "-" } else { "" };
                value["option"].as_str().map_or_else(String::new, |name| format!("{sign}{name}"))
            }
            Some(Kind::Switch) => i32::from(value == true).to_string(),
            Some(Kind::May(..)) => i32::from(!value.is_null()).to_string(),
            // What was written as a number and is shown as words is the number's name.
            _ if path.starts_with("counts[") && path.ends_with("].id") => {
                plain(value).replace('-', " ")
            }
            _ => plain(value),
        }
    }

    /// Writes at a place, or says what is wrong with a valid example; then nothing changes.
    pub fn write(&mut self, path: &str, text: &str) -> Result<(), String> {
        let nothing = text.trim().is_empty();
        if let Some(when) = path.strip_suffix(".at_least").filter(|when| when.ends_with("when")) {
            let least = whole(text, 0, 1_000_000, "3")?;
            return self.put(&join(when, "at_least"), least.into());
        }
        let kind =
            self.kind(path).ok_or_else(|| format!("there is no place “{path}” on a card"))?;
        let value = match kind {
            Kind::Text => {
                if path.starts_with("counts[") && path.ends_with("].id") {
                    return self.rename(path, text);
                }
                text.into()
            }
            Kind::MayText if nothing && path.ends_with("].detail") => Value::Null,
            Kind::Lines => {
                let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
                lines.map(Value::from).collect()
            }
            Kind::MayNumber(..) | Kind::MayTime(..) if nothing => Value::Null,
            Kind::Set | Kind::MayChoice(..) if nothing && in_map(path) => return self.forget(path),
            Kind::Number(_, least, most) => whole(text, least, most, "10")?.into(),
            Kind::MayNumber(_, most) => whole(text, 1, most, "10, or nothing")?.into(),
            Kind::Set => {
                let value = whole(text, 0, 1_000_000, "1, or nothing")?;
                return self.put_in_map(path, value.into());
            }
            Kind::Time(base, most) => read_time(text, base, 0, most)?.into(),
            Kind::MayTime(base, most) => read_time(text, base, 1, most)?.into(),
            Kind::Switch => (text == "1").into(),
            Kind::Value => whole(text, 0, 1_000_000_000, "3")?.into(),
            Kind::Choice(from) => return self.choose(path, from, text),
            Kind::MayChoice(..) if in_map(path) => return self.put_in_map(path, text.into()),
            Kind::MayChoice(..) if item(path).is_some() => return self.name_at(path, text),
            Kind::MayChoice(..) if nothing => Value::Null,
            Kind::MayText | Kind::MayChoice(..) => text.into(),
            Kind::When => self.condition(path, text),
            Kind::May(_, start) => {
                if text == "1" {
                    self.start(start)
                } else {
                    Value::Null
                }
            }
            Kind::Names | Kind::Group(_) | Kind::List(..) => {
                return Err(format!("“{path}” has places of its own"));
            }
        };
        self.put(path, value)
    }

    pub(super) fn put(&mut self, path: &str, new: Value) -> Result<(), String> {
        let mut value = self.value.clone();
        let place = value.pointer_mut(&pointer(path));
        *place.ok_or_else(|| format!("there is no place “{path}” on this card"))? = new;
        self.take(value)
    }

    fn change(&mut self, path: &str, change: impl FnOnce(&mut Value)) -> Result<(), String> {
        let mut value = self.value.clone();
        if let Some(place) = value.pointer_mut(&pointer(path)) {
            change(place);
        }
        self.take(value)
    }

    /// Another one of a few. Where that is the form of an object, it begins anew and keeps what both forms have.
    fn choose(&mut self, path: &str, from: Source, text: &str) -> Result<(), String> {
        let (around, name) = path.rsplit_once('.').unwrap_or(("", path));
        let forms = self.object(around).and_then(|of| of.forms.as_ref());
        let Some(forms) = forms.filter(|forms| forms.tag == name) else {
            if !self.choices(from).iter().any(|(name, _)| name == text) {
                return Err(format!("there is no “{text}” to choose here; choose one of the list"));
            }
            return self.put(path, text.into());
        };
        if self.shown(path) == text {
            return Ok(());
        }
        let form = forms.all.iter().find(|form| form.name == text);
        let form = form.ok_or_else(|| format!("there is no “{text}”; choose one of the list"))?;
        let old = self.get(around).and_then(Value::as_object).cloned().unwrap_or_default();
        let Value::Object(mut new) = self.start(form.start) else { return Ok(()) };
        let common = self.object(around).map_or(&[][..], |of| of.rows);
        for (key, value) in old {
            let same_kind =
                new.get(&key).is_some_and(|start| same_sort(start, &value) || start.is_null());
            // The id of a thing is no row, but stays.
            if same_kind || key == "id" || common.iter().any(|row| row.0 == key) {
                new.insert(key, value);
            }
        }
        new.insert(name.to_owned(), text.into());
        let was_kind = around.ends_with("].kind").then(|| around.replace(".kind", ".default"));
        self.put(around, Value::Object(new))?;
        // An option's usual value must lie within its new kind.
        match was_kind {
            Some(usual) => self.put(&usual, self.usual_within(around).into()),
            None => Ok(()),
        }
    }

    fn usual_within(&self, kind: &str) -> i64 {
        let option = kind.strip_suffix(".kind").and_then(item);
        let Some(option) = option.and_then(|(_, at)| self.card.options.get(at)) else { return 0 };
        let (min, max) = match option.kind {
            OptionKind::Count { min, max } | OptionKind::Length { min, max } => (min, max),
            OptionKind::Switch => (0, 1),
        };
        option.default.clamp(min.min(max), max)
    }

    /// What something begins as, with this card's own names in it.
    pub(super) fn start(&self, text: &str) -> Value {
        let card = &self.card;
        let first = card.steps.first().map_or("", |step| &step.id);
        let last = card.steps.last().map_or("", |step| &step.id);
        let thing = card.things.first().map_or("", |thing| &thing.id);
        let is_length =
            |option: &&crate::card::CardOption| matches!(option.kind, OptionKind::Length { .. });
        let length = card.options.iter().find(is_length).map_or("pieces", |option| &option.id);
        let used = |id: &str| card.components.iter().any(|part| part.card == id);
        let part = self.parts.iter().find(|part| !used(&part.id)).or(self.parts.first());
        let part = part.map_or("", |part| &part.id);
        let names = [
            ("$first", first),
            ("$last", last),
            ("$thing", thing),
            ("$length", length),
            ("$card", part),
        ];
        let text = names.iter().fold(text.to_owned(), |text, (from, to)| text.replace(from, to));
        json::read(&text).unwrap_or_default()
    }

    /// A name among those that are multiplied; no name takes it out, one at the end is added.
    fn name_at(&mut self, path: &str, text: &str) -> Result<(), String> {
        let Some((list, at)) = item(path) else { return Ok(()) };
        self.change(list, |list| {
            let Some(list) = list.as_array_mut() else { return };
            match (text.is_empty(), list.get_mut(at)) {
                (true, Some(_)) => drop(list.remove(at)),
                (true, None) => {}
                (false, Some(name)) => *name = text.into(),
                (false, None) => list.push(text.into()),
            }
        })
    }

    fn put_in_map(&mut self, path: &str, new: Value) -> Result<(), String> {
        let Some((map, key)) = path.rsplit_once('.') else { return Ok(()) };
        self.change(map, |map| {
            if let Some(map) = map.as_object_mut() {
                map.insert(key.to_owned(), new);
            }
        })?;
        // It follows a name or is set, not both.
        let other = match map.rsplit_once('.') {
            Some((part, "pass")) => format!("{part}.set.{key}"),
            Some((part, _)) => format!("{part}.pass.{key}"),
            None => return Ok(()),
        };
        self.forget(&other)
    }

    fn forget(&mut self, path: &str) -> Result<(), String> {
        let Some((map, key)) = path.rsplit_once('.') else { return Ok(()) };
        self.change(map, |map| {
            if let Some(map) = map.as_object_mut() {
                map.remove(key);
            }
        })
    }

    fn condition(&self, path: &str, text: &str) -> Value {
        if text.is_empty() {
            return Value::Null;
        }
        let (not, option) = text.strip_prefix('-').map_or((false, text), |option| (true, option));
        let before = self.get(path).filter(|before| before["option"] == option);
        let least = before.and_then(|before| before["at_least"].as_i64()).unwrap_or(1);
        let fields = [("option", option.into()), ("at_least", least.into()), ("not", not.into())];
        let fields =
            fields.into_iter().map(|(name, value): (&str, Value)| (name.to_owned(), value));
        Value::Object(fields.collect::<Map<_, _>>())
    }

    /// Another name of a number that follows, wherever it is used.
    fn rename(&mut self, path: &str, text: &str) -> Result<(), String> {
        if text.trim().is_empty() {
            return Err("needs a name, such as dough grams".to_owned());
        }
        let old = self.get(path).map_or_else(String::new, plain);
        let new = fresh_id(text, |id| id != old && self.is_named(id));
        if new == old {
            return Ok(());
        }
        let mut value = self.value.clone();
        replace(&mut value, &old, &new);
        self.take(value)
    }
}

/// Fields whose text is a name of a count or option.
const NAMED: [&str; 15] = [
    "per", "of", "among", "take", "from", "size", "across", "tall", "grams", "count", "trays",
    "plus", "option", "pass", "id",
];

/// Every use of a name. Steps and components, whose ids may be spelled the same, are left alone.
fn replace(value: &mut Value, old: &str, new: &str) {
    let Some(card) = value.as_object_mut() else { return };
    for (field, value) in card.iter_mut() {
        match field.as_str() {
            "limits" | "ingredients" | "packaging" => inside(value, old, new, &["per", "option"]),
            "rests" | "keeps" => {
                inside(value, old, new, &["per", "option", "count", "plus"]);
            }
            "components" => inside(value, old, new, &["per", "option", "pass"]),
            "steps" => {
                inside(value, old, new, &["per", "option", "count", "plus", "trays"]);
                for step in value.as_array_mut().into_iter().flatten() {
                    if let Some(Value::String(detail)) = step.get_mut("detail") {
                        for end in ["}", "|"] {
                            *detail =
                                detail.replace(&format!("{{{old}{end}"), &format!("{{{new}{end}"));
                        }
                    }
                }
            }
            "counts" | "things" => inside(value, old, new, &NAMED),
            _ => {}
        }
    }
}

fn inside(value: &mut Value, old: &str, new: &str, fields: &[&str]) {
    match value {
        Value::Array(all) => all.iter_mut().for_each(|value| inside(value, old, new, fields)),
        Value::Object(object) => {
            for (field, value) in object.iter_mut() {
                let named = fields.contains(&field.as_str());
                match value {
                    Value::String(text) if named && text == old => new.clone_into(text),
                    Value::Array(all) if named => {
                        for value in all {
                            if value == old {
                                *value = new.into();
                            }
                        }
                    }
                    Value::Object(map) if field == "pass" => {
                        for value in map.values_mut().filter(|value| **value == *old) {
                            *value = new.into();
                        }
                    }
                    _ => inside(value, old, new, fields),
                }
            }
        }
        _ => {}
    }
}

fn same_sort(one: &Value, other: &Value) -> bool {
    one.is_number() && other.is_number()
        || one.is_string() && other.is_string()
        || one.is_array() && other.is_array()
        || one.is_object() && other.is_object()
        || one.is_boolean() && other.is_boolean()
}

/// Whether the place is one of the options that a component's card is given.
fn in_map(path: &str) -> bool {
    let map = path.rsplit_once('.').map_or("", |(map, _)| map);
    path.starts_with("components[") && ["pass", "set"].contains(&field(map))
}

fn plain(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}

fn whole(text: &str, least: i64, most: i64, example: &str) -> Result<i64, String> {
    let text = text.trim();
    let wrong = || {
        format!(
            "“{text}” is not a whole number from {least} to {most}; write for example {example}"
        )
    };
    let number: i64 = text.parse().map_err(|_| wrong())?;
    if (least..=most).contains(&number) { Ok(number) } else { Err(wrong()) }
}

/// A time in the greatest unit in which it is a whole number: "45 s", "90 min", "2 days".
fn time_words(time: i64, base: Base) -> String {
    let seconds = if base == Base::Seconds { time } else { time * 60 };
    let least = usize::from(base == Base::Minutes);
    let fits = |(_, unit): &&(&str, i64)| seconds % unit == 0 && *unit <= seconds;
    let (word, unit) = UNITS[least..].iter().rev().find(fits).unwrap_or(&UNITS[least]);
    format!("{} {word}", seconds / unit)
}

/// A number with a unit of time, both decimal signs understood: "1.5 h".
fn read_time(text: &str, base: Base, least: i64, most: i64) -> Result<i64, String> {
    let example = if base == Base::Seconds { "45 s" } else { "90 min" };
    let wrong = || format!("“{}” is no time; write for example {example}", text.trim());
    let text = text.trim();
    let cut = text.find(|c: char| c.is_alphabetic()).ok_or_else(wrong)?;
    let (number, word) = (text[..cut].trim().replace(',', "."), text[cut..].trim());
    let (_, unit) = UNITS.iter().find(|(name, _)| *name == word).ok_or_else(wrong)?;
    // In thousandths of the unit, so that no time is rounded twice.
    let (whole, part) = number.split_once('.').unwrap_or((&number, ""));
    let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if whole.is_empty() || 9 < whole.len() || 3 < part.len() || !digits(whole) || !digits(part) {
        return Err(wrong());
    }
    let thousandths: i64 = format!("{whole}{part:0<3}").parse().map_err(|_| wrong())?;
    let grain = if base == Base::Seconds { 1 } else { 60 };
    let (time, rest) = (thousandths * unit / (1000 * grain), thousandths * unit % (1000 * grain));
    if rest != 0 {
        let grain = if grain == 1 { "seconds" } else { "minutes" };
        return Err(format!("“{text}” is no whole number of {grain}; write for example {example}"));
    }
    if (least..=most).contains(&time) {
        return Ok(time);
    }
    let (least, most) = (time_words(least, base), time_words(most, base));
    Err(format!("“{text}” is not from {least} to {most}; write for example {example}"))
}
