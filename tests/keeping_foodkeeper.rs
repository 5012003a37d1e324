//! The tables against the open data they quote: every usable cell of 109 rows of `FoodKeeper`.
//!
//! `data/foodkeeper-baking.csv` is taken from data version 128 (USDA FSIS with Cornell University and
//! the Food Marketing Institute; public domain), the rows that concern a baker. It is guidance on the
//! quality of bought food. A month counts 30 days, a year 365; of a range the shorter end is taken.
#![cfg(not(target_arch = "wasm32"))]

use rackweek::keeping::{Grade, KeepingLimit, LimitKind, avoided, limits};
use rackweek::kitchen::Place;

const DATA: &str = include_str!("data/foodkeeper-baking.csv");
const DAY: u32 = 1440;

/// Cells that are not used, by row and column, and why.
const LEFT_OUT: &[(u32, &str, &str)] = &[
    (204, "Refrigerate_After_Opening", "14 months for Danish pastry: surely days"),
    (574, "Refrigerate", "2–3 months for bread in the fridge: surely the freezer"),
    (222, "Refrigerate_After_Opening", "the unit is not one of the listed units"),
    (27, "Refrigerate_After_Opening", "half a range: a greatest without a least"),
    (29, "DOP_Refrigerate", "half a range: a greatest without a least"),
    (245, "DOP_Refrigerate", "half a range: a greatest without a least"),
    (615, "DOP_Pantry", "half a range: a greatest without a least"),
    (309, "Refrigerate", "its tip says: after cooking, so not of the dough"),
];

struct Cell {
    row: u32,
    column: String,
    text: String,
}

impl Cell {
    fn place(&self) -> Option<Place> {
        match self.column.as_str() {
            "Pantry" | "DOP_Pantry" | "Pantry_After_Opening" => Some(Place::RoomShelf),
            "Refrigerate" | "DOP_Refrigerate" | "Refrigerate_After_Opening" => Some(Place::Fridge),
            "Freeze" | "DOP_Freeze" => Some(Place::Freezer),
            _ => None,
        }
    }

    fn left_out(&self) -> bool {
        LEFT_OUT.iter().any(|(row, column, _)| *row == self.row && *column == self.column)
    }

    /// The shorter end in minutes; None when it is not a number with a unit.
    fn minutes(&self) -> Option<u32> {
        let (number, unit) = self.text.split_once(' ')?;
        let least: u32 = number.split('-').next()?.parse().ok()?;
        let minutes = match unit {
            "Hours" => 60,
            "Days" => DAY,
            "Weeks" => 7 * DAY,
            "Months" => 30 * DAY,
            "Years" => 365 * DAY,
            _ => return None,
        };
        Some(least * minutes)
    }

    /// As the tables print it: "1–2 months", "1 week".
    fn printed(&self) -> String {
        let text = self.text.replace('-', "–").to_lowercase();
        if text.starts_with("1 ") { text.trim_end_matches('s').to_owned() } else { text }
    }

    fn is_of(&self, source: &str) -> bool {
        source.starts_with(&format!("FoodKeeper {}, ", self.row))
    }
}

fn fields(line: &str) -> Vec<String> {
    let mut fields = vec![String::new()];
    let mut quoted = false;
    for letter in line.chars() {
        match letter {
            '"' => quoted = !quoted,
            ',' if !quoted => fields.push(String::new()),
            other => fields.last_mut().expect("there is one").push(other),
        }
    }
    fields
}

fn cells() -> Vec<Cell> {
    let mut lines = DATA.lines();
    let names = fields(lines.next().expect("a head"));
    let mut cells = Vec::new();
    for line in lines {
        let values = fields(line);
        assert_eq!(values.len(), names.len(), "{line}");
        let row = values[0].parse().expect("a number");
        for (name, text) in names.iter().zip(values) {
            if !text.is_empty()
                && !["id", "category", "subcategory", "name", "subtitle", "tips"]
                    .contains(&name.as_str())
            {
                cells.push(Cell { row, column: name.clone(), text });
            }
        }
    }
    cells
}

#[test]
fn every_number_of_the_data_is_in_the_tables_as_printed() {
    let (mut numbers, mut advised_against) = (0, 0);
    for cell in cells().iter().filter(|cell| !cell.left_out()) {
        let place = cell.place().expect("a column with a place");
        let at = format!("row {} {}: {}", cell.row, cell.column, cell.text);
        if cell.text == "Not Recommended" {
            assert!(
                avoided().any(|avoid| avoid.place == place && cell.is_of(avoid.source)),
                "{at}"
            );
            advised_against += 1;
        } else if let Some(minutes) = cell.minutes() {
            let hours = cell.text.ends_with("Hours");
            let holds = |limit: &&KeepingLimit| {
                let same = if hours {
                    limit.place == Place::Counter && limit.kind == LimitKind::Safety
                } else {
                    limit.place == place && limit.kind == LimitKind::Quality
                };
                same && cell.is_of(limit.source)
                    && limit.minutes == minutes
                    && limit.source.contains(&cell.printed())
            };
            assert!(limits().any(|limit| holds(&limit)), "{at}");
            numbers += 1;
        } else {
            let words = ["Indefinitely", "Package use-by date", "When Ripe"];
            assert!(words.contains(&cell.text.as_str()), "{at}");
        }
    }
    println!("FoodKeeper: {numbers} times and {advised_against} \"not recommended\" compared");
    assert_eq!((numbers, advised_against), (208, 18));
}

#[test]
fn what_the_tables_quote_stands_in_the_data() {
    let cells = cells();
    let mut quoted = 0;
    for limit in limits().filter(|limit| limit.grade == Grade::Published) {
        let ours = limit.kind == LimitKind::Quality && limit.source.starts_with("FoodKeeper ");
        // The one that stands in a tip: butter may be left at room temperature for 1–2 days.
        if !ours || (limit.product == "butter" && limit.place == Place::Counter) {
            continue;
        }
        let of_row = cells.iter().filter(|cell| cell.is_of(limit.source) && !cell.left_out());
        let found = of_row
            .filter(|cell| cell.place() == Some(limit.place))
            .any(|cell| cell.minutes() == Some(limit.minutes));
        assert!(found, "{limit:?}");
        quoted += 1;
    }
    assert!(180 < quoted, "only {quoted} were looked up");
}

#[test]
fn what_is_left_out_is_in_the_data_and_not_in_the_tables() {
    let cells = cells();
    for (row, column, why) in LEFT_OUT {
        let found = cells.iter().find(|cell| cell.row == *row && cell.column == *column);
        let cell = found.unwrap_or_else(|| panic!("row {row} {column} is gone ({why})"));
        let twin = |other: &Cell| {
            other.row == *row && other.column != *column && other.place() == cell.place()
        };
        if cells.iter().any(twin)
            && cells.iter().any(|other| twin(other) && other.minutes().is_some())
        {
            continue;
        }
        let quotes = |limit: &&KeepingLimit| {
            cell.is_of(limit.source)
                && Some(limit.place) == cell.place()
                && limit.kind == LimitKind::Quality
        };
        assert_eq!(limits().find(|limit| quotes(limit)), None, "row {row} {column}: {why}");
    }
}

#[test]
fn a_safety_limit_of_raw_egg_lies_within_the_data() {
    // Row 22, raw whites and yolks: 2–4 days refrigerated.
    let cell = cells().into_iter().find(|cell| cell.row == 22 && cell.column == "Refrigerate");
    assert_eq!(cell.expect("row 22").text, "2-4 Days");
    let raw =
        limits().filter(|limit| limit.source.contains("raw egg") && limit.place == Place::Fridge);
    let raw: Vec<u32> = raw.map(|limit| limit.minutes).collect();
    assert!(4 <= raw.len(), "{raw:?}");
    assert!(raw.iter().all(|minutes| (2 * DAY..=4 * DAY).contains(minutes)), "{raw:?}");
}
