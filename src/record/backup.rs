//! Backup: one readable file (`rackweek-backup/1`).
//!
//! ```json
//! { "format": "rackweek-backup/1", "taken_at": "2026-11-25T17:40", "zone": {…}, "records": [
//!     { "kind": "order", "id": "3", "schema": 1, "body": {…} }, … ],
//!   "pictures": { "0123456789abcdef0123456789abcdef": "data:image/jpeg;base64,…", … } }
//! ```
//!
//! Pictures may be left out: orders still say which ones they had. A file is read whole or refused whole, with the place of the first error. Each record has its own
//! schema, so the format's number changes only when the frame does.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use serde::Serialize;
use serde_json::Value;

use super::envelope::Envelope;
use super::json::read_value;
use super::{Book, Record, RecordKey, RecordKind, Unreadable};
use crate::calendar::{Wall, Zone};
use crate::order::{PictureFile, PictureId};
use crate::plan::arrange::map_of;
use crate::plan::json;

const FORMAT: &str = "rackweek-backup/1";
/// Far more than years of orders and the pictures of one; protects the page.
const BYTES_MAX: usize = 80_000_000;

/// A backup: the book, when it was taken, and the zone it was taken in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Backup {
    /// When, on the wall clock.
    pub taken_at: Wall,
    /// The zone's offsets around then.
    pub zone: Zone,
    /// Everything.
    pub book: Book,
    /// What the pictures show that it takes along, all together at most [`Backup::PICTURES_MAX`] letters.
    pub pictures: BTreeMap<PictureId, PictureFile>,
}

/// Why a file is not a backup that this build can read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BackupError {
    /// Where in the file.
    pub place: String,
    /// What is wrong and what to do.
    pub message: String,
}

impl fmt::Display for BackupError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.place, self.message)
    }
}

impl std::error::Error for BackupError {}

fn refused(place: impl Into<String>, message: impl Into<String>) -> BackupError {
    BackupError { place: place.into(), message: message.into() }
}

#[derive(Serialize)]
struct File<'a> {
    format: &'static str,
    taken_at: Wall,
    zone: &'a Zone,
    records: Vec<Envelope<'a>>,
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pictures: BTreeMap<String, &'a str>,
}

impl Backup {
    /// Most letters of all pictures in one file.
    pub const PICTURES_MAX: usize = 60_000_000;

    /// Of a book, without what its pictures show.
    pub fn of(book: Book, taken_at: Wall, zone: Zone) -> Self {
        Self { taken_at, zone, book, pictures: BTreeMap::new() }
    }

    /// The file's text: readable, the same for equal backups, with a line break at its end.
    pub fn to_json(&self) -> String {
        let records = self.book.records();
        let file = File {
            format: FORMAT,
            taken_at: self.taken_at,
            zone: &self.zone,
            records: records.iter().map(Record::envelope).collect(),
            pictures: map_of(self.pictures.iter().map(|(id, file)| (id.to_string(), file.text()))),
        };
        let mut text = json::indented(&serde_json::to_string(&file).unwrap_or_default());
        text.push('\n');
        text
    }

    /// Reads a file's text. A byte-order mark before it is passed over.
    pub fn from_json(text: &str) -> Result<Self, BackupError> {
        if text.len() > BYTES_MAX {
            return Err(refused(
                "the file",
                format!(
                    "is {} MB; a backup has at most {} MB, so this is another file",
                    text.len() / 1_000_000,
                    BYTES_MAX / 1_000_000
                ),
            ));
        }
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let value = read_value(text).map_err(|error| {
            refused(
                format!("line {}, column {}", error.line(), error.column()),
                format!("is not readable as JSON ({error}); choose a file that Rackweek saved"),
            )
        })?;
        let Value::Object(mut file) = value else {
            return Err(refused("the file", "is no backup; choose a file that Rackweek saved"));
        };
        check_format(file.get("format"))?;
        let mut take = |name: &str, example: &str| {
            file.remove(name)
                .ok_or_else(|| refused(name, format!("is missing; it looks like {example}")))
        };
        let taken_at: Wall = json::of_value(&take("taken_at", "\"2026-11-25T17:40\"")?)
            .map_err(|error| refused("taken_at", error.to_string()))?;
        let zone: Zone = json::of_value(&take("zone", "{\"name\": \"Europe/London\", …}")?)
            .map_err(|error| refused("zone", error.to_string()))?;
        if let Some(refusal) = zone.validate().into_iter().next() {
            return Err(refused(format!("zone.{}", refusal.field), refusal.message));
        }
        let Value::Array(records) = take("records", "[{\"kind\": \"order\", …}, …]")? else {
            return Err(refused(
                "records",
                "is no list; it looks like [{\"kind\": \"order\", …}, …]",
            ));
        };
        let pictures =
            file.remove("pictures").map_or_else(|| Ok(BTreeMap::new()), read_pictures)?;
        Ok(Self { taken_at, zone, book: read_records(records)?, pictures })
    }
}

fn check_format(format: Option<&Value>) -> Result<(), BackupError> {
    match format.and_then(Value::as_str) {
        Some(FORMAT) => Ok(()),
        Some(other) if other.starts_with("rackweek-backup/") => Err(refused(
            "format",
            format!(
                "“{other}” is from another version of Rackweek; reload the page to get the newest"
            ),
        )),
        _ => Err(refused(
            "format",
            format!("is not \"{FORMAT}\"; choose a file that Rackweek saved"),
        )),
    }
}

fn read_pictures(pictures: Value) -> Result<BTreeMap<PictureId, PictureFile>, BackupError> {
    let Value::Object(pictures) = pictures else {
        let example = "{\"0123456789abcdef0123456789abcdef\": \"data:image/jpeg;base64,…\"}";
        return Err(refused("pictures", format!("are no list by name; they look like {example}")));
    };
    let mut read = BTreeMap::new();
    for (name, text) in pictures {
        let place = || format!("pictures.{}", name.chars().take(40).collect::<String>());
        let out = |why: String| refused(place(), format!("{why}; take this picture out"));
        let Value::String(text) = text else { return Err(out("is no text".to_owned())) };
        let id: PictureId = name.parse().map_err(out)?;
        read.insert(id, PictureFile::named(id, text).map_err(out)?);
    }
    Ok(read)
}

fn read_records(records: Vec<Value>) -> Result<Book, BackupError> {
    let mut book = Book::default();
    let mut seen = BTreeSet::new();
    for (index, value) in records.into_iter().enumerate() {
        let name = |value: &Value, field| {
            value.get(field).and_then(Value::as_str).unwrap_or_default().chars().take(40).collect()
        };
        let (kind, id): (String, String) = (name(&value, "kind"), name(&value, "id"));
        let place = format!("records[{index}] ({kind}/{id})");
        match Record::from_value(value) {
            Ok(record) => {
                if !seen.insert(record.key()) {
                    return Err(refused(place, "is there twice; keep one of them"));
                }
                book.put(record);
            }
            Err(error @ Unreadable::Newer { .. }) => return Err(refused(place, error.to_string())),
            Err(Unreadable::Damaged(why)) => {
                return Err(refused(
                    place,
                    format!("{why}; put it right, or take this record out"),
                ));
            }
        }
    }
    Ok(book)
}

/// What restoring a backup would do to the book as it is now.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RestorePreview {
    /// Records that the book does not have.
    pub adds: Vec<RecordKey>,
    /// Records that differ.
    pub changes: Vec<RecordKey>,
    /// Records that the backup does not have.
    pub removes: Vec<RecordKey>,
}

impl RestorePreview {
    /// Compares the book as it is with the one that would replace it.
    pub fn of(now: &Book, restored: &Book) -> Self {
        let by_key = |book: &Book| -> BTreeMap<RecordKey, Record> {
            map_of(book.records().into_iter().map(|record| (record.key(), record)))
        };
        let (now, restored) = (by_key(now), by_key(restored));
        let mut preview = Self::default();
        for (key, record) in &restored {
            match now.get(key) {
                None => preview.adds.push(key.clone()),
                Some(old) if old != record => preview.changes.push(key.clone()),
                Some(_) => {}
            }
        }
        preview.removes = now.into_keys().filter(|key| !restored.contains_key(key)).collect();
        preview
    }

    /// Nothing would change.
    pub fn is_empty(&self) -> bool {
        self.adds.is_empty() && self.changes.is_empty() && self.removes.is_empty()
    }

    /// One line for each of adds, changes and removes that is not empty, for example
    /// "removes 2 orders and 5 pins".
    pub fn lines(&self) -> Vec<String> {
        [("adds", &self.adds), ("changes", &self.changes), ("removes", &self.removes)]
            .into_iter()
            .filter(|(_, keys)| !keys.is_empty())
            .map(|(verb, keys)| format!("{verb} {}", count_words(keys)))
            .collect()
    }
}

/// "the kitchen, 2 orders and 5 pins".
fn count_words(keys: &[RecordKey]) -> String {
    let mut words: Vec<String> = Vec::new();
    for kind in RecordKind::ALL {
        let count = keys.iter().filter(|key| key.kind == kind).count();
        let (one, many) = match kind {
            RecordKind::Kitchen => ("the kitchen", ""),
            RecordKind::Time => ("my time", ""),
            RecordKind::Settings => ("the settings", ""),
            RecordKind::Shown => ("the plan shown", ""),
            RecordKind::Supplies => ("larder and shopping", ""),
            RecordKind::Pricing => ("rates and prices", ""),
            RecordKind::Card => ("1 method card", "method cards"),
            RecordKind::Order => ("1 order", "orders"),
            RecordKind::Pin => ("1 pin or tick", "pins and ticks"),
            RecordKind::Progress => ("1 step as it went", "steps as they went"),
            RecordKind::Timers => ("the timers", ""),
            RecordKind::Margins => ("what was timed", ""),
        };
        match count {
            0 => {}
            1 => words.push(one.to_owned()),
            _ => words.push(format!("{count} {many}")),
        }
    }
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::OrderId;
    use crate::record::book::tests::full_book;

    fn backup() -> Backup {
        Backup {
            taken_at: "2026-11-25T17:40".parse().expect("a time"),
            zone: Zone::fixed("kitchen", 60),
            book: full_book(),
            pictures: BTreeMap::from([(picture().id(), picture())]),
        }
    }

    fn picture() -> PictureFile {
        PictureFile::new("data:image/jpeg;base64,/9j/4AAQSkZJRg==".into()).expect("a picture")
    }

    fn error(text: &str) -> BackupError {
        Backup::from_json(text).expect_err("is no backup")
    }

    #[test]
    fn a_backup_comes_back_as_it_was() {
        let text = backup().to_json();
        assert_eq!(Backup::from_json(&text), Ok(backup()));
        assert_eq!(Backup::from_json(&format!("\u{feff}{text}")), Ok(backup()));
        assert!(text.contains("\n      \"kind\": \"order\""), "readable");
        // A file of before there were pictures, or one without them.
        let bare = Backup { pictures: BTreeMap::new(), ..backup() };
        assert!(!bare.to_json().contains("data:"));
        assert_eq!(Backup::from_json(&bare.to_json()), Ok(bare));
    }

    #[test]
    fn other_files_are_refused_with_a_place() {
        let good = backup().to_json();
        for (text, place, part) in [
            (String::new(), "line 1, column 0", "JSON"),
            ("GIF89a".into(), "line 1, column 1", "JSON"),
            ("[1, 2]".into(), "the file", "no backup"),
            ("{}".into(), "format", "rackweek-backup/1"),
            (good.replace(FORMAT, "rackweek-backup/2"), "format", "reload"),
            (good.replace("\"taken_at\"", "\"taken\""), "taken_at", "missing"),
            (good.replace("2026-11-25T17:40", "yesterday"), "taken_at", "2026-11-28T18:30"),
            (good.replace("\"offset\": 60", "\"offset\": 6000"), "zone.changes.0.offset", "-1080"),
            (good.replace("\"offset\": 60", "\"offset\": 1e30"), "zone", "invalid type"),
            (good.replace("\"records\": [", "\"records\": 3, \"rest\": ["), "records", "no list"),
            (good.replace("\"records\": [", "\"records\": [7,"), "records[0] (/)", "not a record"),
            (good.replace("\"count\": 24", "\"count\": 1e400"), "line", "out of range"),
            (
                good.replace("\"client\": \"Mara", "\"mark\": \"x\", \"client\": \"Mara"),
                "line",
                "twice",
            ),
            (
                good.replace("\"safety_margin\": 60", "\"safety_margin\": 1441"),
                "records[2] (settings/)",
                "day",
            ),
            (
                good.replace("\"pictures\": {", "\"pictures\": 3, \"rest\": {"),
                "pictures",
                "look like",
            ),
            (good.replace("4AAQ", "4AAR"), "pictures.", "damaged"),
            (good.replace("data:image/jpeg", "data:text/html"), "pictures.", "neither"),
            (good.replace(&picture().id().to_string(), "7"), "pictures.7", "32 digits"),
        ] {
            let error = error(&text);
            assert!(error.place.starts_with(place), "{error} / {place}");
            assert!(error.message.contains(part), "{error} / {part}");
        }
    }

    #[test]
    fn hostile_files_end_in_words() {
        let deep = format!("{{\"format\": \"{FORMAT}\", \"records\": {}", "[".repeat(1_000_000));
        assert!(error(&deep).message.contains("recursion limit"));
        assert!(error(&" ".repeat(BYTES_MAX + 1)).message.contains("MB"));
        let good = backup().to_json();
        let start = good.find("    {\n      \"kind\"").expect("a record");
        let record_end =
            good[start..].find("\n    },").expect("its end") + start + "\n    },".len();
        let twice =
            format!("{}{}\n{}", &good[..record_end], &good[start..record_end], &good[record_end..]);
        let twice = error(&twice);
        assert!(
            twice.place.starts_with("records[1]") && twice.message.contains("twice"),
            "{twice}"
        );
    }

    #[test]
    fn no_cut_of_a_file_is_taken_for_a_backup() {
        let good = backup().to_json();
        let end = good.trim_end().len();
        for length in (0..end).filter(|at| good.is_char_boundary(*at)).step_by(37) {
            assert!(Backup::from_json(&good[..length]).is_err(), "cut at {length}");
        }
    }

    #[test]
    fn the_preview_counts_what_a_restore_does() {
        let now = full_book();
        let mut then = now.clone();
        assert!(RestorePreview::of(&now, &then).is_empty());
        then.orders.get_mut(&OrderId(1)).expect("is there").theme = "sea".into();
        then.orders.remove(&OrderId(2));
        then.kitchen = None;
        then.pins.clear();
        let mut third = now.orders[&OrderId(2)].clone();
        third.id = OrderId(3);
        then.orders.insert(third.id, third);
        let preview = RestorePreview::of(&now, &then);
        assert_eq!(
            preview.lines(),
            [
                "adds 1 order",
                "changes 1 order",
                "removes the kitchen, 1 order and 2 pins and ticks"
            ]
        );
        let back = RestorePreview::of(&then, &now);
        assert_eq!((back.adds, back.removes), (preview.removes, preview.adds));
    }
}
