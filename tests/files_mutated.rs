//! Files that nobody meant: backups, cards and problems with one to four changes at random places, of texts and
//! of values. Each is taken or refused in words; none panics; what is taken is written and read again as the same.
//!
//! A hundred thousand cases and more, always the same ones. Counters say how many were taken and how many refused,
//! and both must be many: a mutation that is always refused tests nothing behind the door.

#![cfg(not(target_arch = "wasm32"))]

use std::panic::{AssertUnwindSafe, catch_unwind};

use rackweek::calendar::{Wall, Zone};
use rackweek::card::{Card, builtin};
use rackweek::demo::demo;
use rackweek::plan::{Planner, Problem};
use rackweek::record::{Backup, Outlook, PlanInput};
use serde_json::{Map, Value, json};

/// Numbers by chance from a seed: `SplitMix64` (Steele, Lea & Flood 2014).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next() % u64::try_from(n.max(1)).expect("fits")).expect("fits")
    }

    fn pick<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.below(of.len())]
    }
}

/// Values that programs have stumbled over.
fn hostile(chance: &mut Chance) -> Value {
    let texts = [
        "",
        " ",
        "\u{0}",
        "\u{feff}",
        "\u{202e}live",
        "\u{200b}",
        "=1+1",
        "@SUM(A1)",
        "__proto__",
        "<img src=x onerror=alert(1)>",
        "\"'`",
        "../../..",
        "NaN",
        "1e999",
        "\u{1f9c1}\u{fe0f}",
        "e\u{301}",
        "2026-02-30T25:61",
        "-0",
        "\r\nBEGIN:VEVENT",
        "{items}",
        "{",
    ];
    match chance.below(16) {
        0 => Value::Null,
        1 => json!(true),
        2 => json!(0),
        3 => json!(-1),
        4 => json!(1),
        5 => json!(i64::MAX),
        6 => json!(i64::MIN),
        7 => json!(u64::MAX),
        8 => json!(f64::MAX),
        9 => json!(0.5),
        10 => json!([]),
        11 => json!({}),
        12 => json!("x".repeat(5000)),
        13 => json!(i32::MAX),
        14 => (0..60).fold(json!([]), |inner, _| json!([inner])),
        _ => json!(*chance.pick(&texts)),
    }
}

/// Changes one place of a value.
fn change_value(value: &mut Value, chance: &mut Chance) {
    let size = match &*value {
        Value::Array(list) => list.len(),
        Value::Object(fields) => fields.len(),
        _ => 0,
    };
    if size > 0 && chance.below(8) != 0 {
        let at = chance.below(size);
        return match value {
            Value::Array(list) => change_value(&mut list[at], chance),
            Value::Object(fields) => {
                let inner = fields.values_mut().nth(at).expect("it has so many");
                change_value(inner, chance);
            }
            _ => {}
        };
    }
    match value {
        Value::Array(list) if size > 0 => change_list(list, chance),
        Value::Object(fields) if size > 0 => change_fields(fields, chance),
        Value::Number(number) if chance.below(8) != 0 => {
            // Near misses find more than wild ones.
            let by = *chance.pick(&[-1000, -60, -5, -1, 1, 5, 60, 1000]);
            *value = json!(number.as_i64().unwrap_or(0).wrapping_add(by));
        }
        _ => *value = hostile(chance),
    }
}

fn change_list(list: &mut Vec<Value>, chance: &mut Chance) {
    let (one, other) = (chance.below(list.len()), chance.below(list.len()));
    match chance.below(5) {
        0 => drop(list.remove(one)),
        1 => list.swap(one, other),
        2 => list.push(list[one].clone()),
        3 => list.insert(one, hostile(chance)),
        _ => list.clear(),
    }
}

fn change_fields(fields: &mut Map<String, Value>, chance: &mut Chance) {
    let names: Vec<String> = fields.keys().cloned().collect();
    let (one, other) = (chance.pick(&names).clone(), chance.pick(&names).clone());
    match chance.below(4) {
        0 => drop(fields.remove(&one)),
        1 => drop(fields.insert("unheard-of".to_owned(), hostile(chance))),
        2 => {
            let taken = fields[&other].clone();
            fields.insert(one, taken);
        }
        _ => drop(fields.insert(one, hostile(chance))),
    }
}

/// Changes one place of a text.
fn change_text(text: &mut String, chance: &mut Chance) {
    let mut letters: Vec<char> = text.chars().collect();
    let at = chance.below(letters.len());
    let most = letters.len() - at;
    match chance.below(6) {
        0 => letters.truncate(at),
        1 => drop(letters.drain(at..at + chance.below(most.min(40)))),
        2 => {
            let again: Vec<char> = letters[at..at + chance.below(most.min(40))].to_vec();
            letters.splice(at..at, again);
        }
        3 => letters.insert(
            at,
            *chance.pick(&['{', '[', '"', '\\', '\u{0}', '-', '9', 'e', ',', '\u{10ffff}']),
        ),
        4 => letters.splice(at..at, std::iter::repeat_n('[', 300)).for_each(drop),
        _ if at < letters.len() => {
            letters[at] = *chance.pick(&['0', '}', ']', '"', ':', ' ', '\u{fffd}']);
        }
        _ => letters.push('x'),
    }
    *text = letters.into_iter().collect();
}

/// A sound value with one to four changes, mostly of values, now and then of its text.
fn mutant(sound: &Value, chance: &mut Chance) -> String {
    let mut value = sound.clone();
    let of_text = chance.below(4) == 0;
    let changes = *chance.pick(&[1, 1, 1, 2, 3, 4]);
    if !of_text {
        for _ in 0..changes {
            change_value(&mut value, chance);
        }
    }
    let mut text = value.to_string();
    if of_text {
        for _ in 0..changes {
            change_text(&mut text, chance);
        }
    }
    text
}

/// What became of the cases.
#[derive(Debug, Default)]
struct Counters {
    taken: usize,
    refused: usize,
}

/// Reads that many mutants of these; `read` says by its answer what became of one, and fails on what may not be.
#[expect(clippy::print_stdout, reason = "the counters are what a reader of the run asks for")]
fn held(name: &str, sound: &[Value], cases: usize, read: impl Fn(&str) -> Result<(), String>) {
    let mut counters = Counters::default();
    for case in 0..cases {
        let mut chance = Chance(u64::try_from(case).expect("fits") ^ 0x5eed);
        let text = mutant(&sound[case % sound.len()], &mut chance);
        let Ok(answer) = catch_unwind(AssertUnwindSafe(|| read(&text))) else {
            panic!("{name} {case} broke on {text}");
        };
        if let Err(why) = answer {
            assert!(why.trim().len() > 10, "{name} {case}: refused with {why:?}");
            counters.refused += 1;
        } else {
            counters.taken += 1;
        }
    }
    println!("{name}: {cases} mutants, {counters:?}");
    let few = cases / 50;
    assert!(counters.taken > few && counters.refused > few, "{name}: {counters:?}");
}

fn value(text: &str) -> Value {
    serde_json::from_str(text).expect("a sound file is JSON")
}

fn at() -> Wall {
    Wall::new(2026, 11, 30, 7, 0).expect("a moment")
}

#[test]
fn method_cards() {
    let sound: Vec<Value> = builtin().iter().map(|card| value(&card.to_file())).collect();
    held("cards", &sound, 36_000, |text| match Card::from_file(text) {
        Ok(card) => {
            assert_eq!(Card::from_file(&card.to_file()).as_ref(), Ok(&card));
            Ok(())
        }
        Err(error) => Err(error.to_string()),
    });
}

#[test]
fn problems() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/problems");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .expect("the folder of problems")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "json"))
        .collect();
    files.sort();
    let sound: Vec<Value> = files
        .iter()
        .map(|path| std::fs::read_to_string(path).expect("a problem"))
        .filter(|text| text.len() < 10_000)
        .map(|text| value(&text))
        .collect();
    assert!(sound.len() > 5, "small problems are there");
    held("problems", &sound, 40_000, |text| match Problem::from_json(text) {
        Ok(problem) => {
            let again = serde_json::to_string(&problem).expect("text");
            assert_eq!(Problem::from_json(&again).as_ref(), Ok(&problem));
            // Whatever stands in it, there is an answer, and the planner's own check has looked at it.
            Planner::new(&problem, 1).map_err(|error| error.to_string())?.improve(5);
            Ok(())
        }
        Err(error) => Err(error.to_string()),
    });
}

/// A book of every kind of record that the demo has, small enough to be read often.
fn small_backup() -> Value {
    let mut backup = value(&Backup::of(demo(at()), at(), Zone::fixed("UTC", 0)).to_json());
    let records = backup["records"].as_array_mut().expect("records");
    let mut kinds: Vec<Value> = Vec::new();
    records.retain(|record| {
        let known = kinds.iter().filter(|kind| **kind == record["kind"]).count();
        kinds.push(record["kind"].clone());
        known < 2
    });
    backup
}

#[test]
fn backups() {
    held("backups", &[small_backup()], 24_000, |text| match Backup::from_json(text) {
        Ok(backup) => {
            assert_eq!(Backup::from_json(&backup.to_json()).as_ref(), Ok(&backup));
            // What was taken is worked with: whatever stands in it, the week is made of it.
            let input = PlanInput { now: backup.taken_at, zone: backup.zone };
            if let Some(outlook) = Outlook::of(&backup.book, &input)
                && let Err(error) = Planner::new(&outlook.assembled.problem, 1)
            {
                panic!("a book that was taken makes an unsound problem: {error}");
            }
            Ok(())
        }
        Err(error) => Err(error.to_string()),
    });
}
