//! The neutral packing question and its answer, as their files have them (`makeahead-pack/1`).
//!
//! In: text. Out: a question that is sound in itself, or the first fault with its field and a valid
//! example. Knows only the format; whether the boxes fit is the search's question.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::Answer;
use crate::refusal::Refusal;

/// The only version.
pub const PACK_FORMAT: &str = "makeahead-pack/1";
/// Millimetres; ten metres are more than any kitchen has.
const LENGTH_MOST: u32 = 10_000;
const SHELVES_MOST: usize = 100;
const BOXES_MOST: usize = 1_000;
const PILE_MOST: u32 = 1_000;

/// Which boxes are to stand on which shelves.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PackProblem {
    /// `makeahead-pack/1`.
    pub format: String,
    /// Where boxes can stand.
    pub shelves: Vec<PackShelf>,
    /// What has to stand.
    pub boxes: Vec<PackBox>,
}

/// A shelf, or what is left of it for baking. All in mm, clear inside, 1 to 10000.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PackShelf {
    /// Unique among the shelves.
    pub id: String,
    /// Left to right.
    pub width: u32,
    /// Front to back.
    pub depth: u32,
    /// Clear height.
    pub height: u32,
}

/// One box. Lengths in mm, 1 to 10000.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PackBox {
    /// Unique among the boxes.
    pub id: String,
    /// Boxes of one kind are equal in size and may be piled on each other.
    pub kind: String,
    /// Left to right when not turned.
    pub width: u32,
    /// Front to back when not turned.
    pub depth: u32,
    /// Never changes: boxes are not tipped.
    pub height: u32,
    /// How many may stand on each other, 1 to 1000; 1 means nothing on top.
    pub pile: u32,
}

/// Where one box stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Placed {
    /// Which box.
    pub id: String,
    /// On which shelf.
    pub shelf: String,
    /// Left edge, mm from the shelf's left edge.
    pub x: u32,
    /// Front edge, mm from the shelf's front edge.
    pub y: u32,
    /// Place in its pile; 0 stands on the shelf itself.
    pub level: u32,
    /// Turned by 90 degrees: its width runs front to back.
    pub turned: bool,
}

/// An answer as its file has it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PackAnswer {
    /// Yes, no, or null when neither was proved within the node limit.
    pub fits: Option<bool>,
    /// Where each box stands, when they fit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub placed: Option<Vec<Placed>>,
    /// The reason, when they do not fit or nothing was proved.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}

impl From<Answer> for PackAnswer {
    fn from(answer: Answer) -> Self {
        match answer {
            Answer::Fits(placed) => Self { fits: Some(true), placed: Some(placed), why: None },
            Answer::Impossible(why) => Self { fits: Some(false), placed: None, why: Some(why) },
            Answer::NotProven { nodes } => Self {
                fits: None,
                placed: None,
                why: Some(format!(
                    "not proven within {nodes} search nodes; treat it as not fitting"
                )),
            },
        }
    }
}

impl PackProblem {
    /// A question in the current format, not yet checked.
    pub fn new(shelves: Vec<PackShelf>, boxes: Vec<PackBox>) -> Self {
        Self { format: PACK_FORMAT.to_owned(), shelves, boxes }
    }

    /// Reads and checks a question.
    pub fn from_json(text: &str) -> Result<Self, Refusal> {
        let problem: Self = serde_json::from_str(text).map_err(|error| {
            Refusal::of(
                "",
                format!(
                    "this is not a {PACK_FORMAT} file: {error}; write for example {{\"format\": \
                     \"{PACK_FORMAT}\", \"shelves\": [{{\"id\": \"top\", \"width\": 470, \"depth\": \
                     330, \"height\": 220}}], \"boxes\": [{{\"id\": \"cake\", \"kind\": \"cake box\", \
                     \"width\": 260, \"depth\": 260, \"height\": 200, \"pile\": 1}}]}}"
                ),
            )
        })?;
        problem.validate()?;
        Ok(problem)
    }

    /// Checks everything that the format demands; names the first fault.
    pub fn validate(&self) -> Result<(), Refusal> {
        if self.format != PACK_FORMAT {
            return Err(Refusal::of(
                "format",
                format!("is {:?}; write \"{PACK_FORMAT}\"", self.format),
            ));
        }
        at_most("shelves", self.shelves.len(), SHELVES_MOST)?;
        at_most("boxes", self.boxes.len(), BOXES_MOST)?;
        let mut ids = BTreeSet::new();
        for (index, shelf) in self.shelves.iter().enumerate() {
            let field = format!("shelves[{index}]");
            unique(&field, &shelf.id, "top shelf", &mut ids)?;
            length(&format!("{field}.width"), shelf.width, 470)?;
            length(&format!("{field}.depth"), shelf.depth, 330)?;
            length(&format!("{field}.height"), shelf.height, 220)?;
        }
        let mut ids = BTreeSet::new();
        let mut kinds: BTreeMap<&str, (usize, &PackBox)> = BTreeMap::new();
        for (index, item) in self.boxes.iter().enumerate() {
            let field = format!("boxes[{index}]");
            unique(&field, &item.id, "cake-1", &mut ids)?;
            length(&format!("{field}.width"), item.width, 260)?;
            length(&format!("{field}.depth"), item.depth, 260)?;
            length(&format!("{field}.height"), item.height, 200)?;
            if !(1..=PILE_MOST).contains(&item.pile) {
                return Err(Refusal::of(
                    format!("{field}.pile"),
                    format!(
                        "is {}; write 1 to {PILE_MOST}, for example 1 for nothing on top",
                        item.pile
                    ),
                ));
            }
            let (first, like) = *kinds.entry(&item.kind).or_insert((index, item));
            let same = (like.width, like.depth, like.height, like.pile)
                == (item.width, item.depth, item.height, item.pile);
            if !same {
                return Err(Refusal::of(
                    format!("{field}.kind"),
                    format!(
                        "is {:?} like boxes[{first}], but boxes of one kind are equal in size and \
                         pile; write {} × {} × {} mm, pile {}, or another kind, for example {:?}",
                        item.kind,
                        like.width,
                        like.depth,
                        like.height,
                        like.pile,
                        format!("{} 2", item.kind)
                    ),
                ));
            }
        }
        Ok(())
    }
}

fn at_most(field: &str, count: usize, most: usize) -> Result<(), Refusal> {
    if count <= most {
        return Ok(());
    }
    Err(Refusal::of(field, format!("has {count} entries; write at most {most}")))
}

fn unique<'a>(
    field: &str,
    id: &'a str,
    example: &str,
    seen: &mut BTreeSet<&'a str>,
) -> Result<(), Refusal> {
    if id.trim().is_empty() {
        return Err(Refusal::of(
            format!("{field}.id"),
            format!("is empty; write a name, for example {example:?}"),
        ));
    }
    if !seen.insert(id) {
        return Err(Refusal::of(
            format!("{field}.id"),
            format!(
                "is {id:?} a second time; write another name, for example {:?}",
                format!("{id}-2")
            ),
        ));
    }
    Ok(())
}

fn length(field: &str, value: u32, example: u32) -> Result<(), Refusal> {
    if (1..=LENGTH_MOST).contains(&value) {
        return Ok(());
    }
    Err(Refusal::of(
        field,
        format!("is {value} mm; write 1 to {LENGTH_MOST}, for example {example}"),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    const GOOD: &str = r#"{"format":"makeahead-pack/1",
        "shelves":[{"id":"top","width":470,"depth":330,"height":220}],
        "boxes":[{"id":"a","kind":"cake box","width":260,"depth":260,"height":200,"pile":1},
                 {"id":"b","kind":"cake box","width":260,"depth":260,"height":200,"pile":1}]}"#;

    fn refused(from: &str, to: &str) -> Refusal {
        let text = GOOD.replacen(from, to, 1);
        assert_ne!(text, GOOD, "the fault was put in");
        PackProblem::from_json(&text).expect_err("a fault")
    }

    #[test]
    fn a_good_file_is_read_and_written_back() {
        let problem = PackProblem::from_json(GOOD).expect("sound");
        let text = serde_json::to_string(&problem).expect("text");
        assert_eq!(PackProblem::from_json(&text).expect("sound"), problem);
    }

    #[test]
    fn each_fault_names_its_field_and_a_valid_example() {
        for (from, to, field, word) in [
            ("pack/1", "pack/9", "format", "makeahead-pack/1"),
            ("\"width\":470", "\"width\":0", "shelves[0].width", "470"),
            ("\"depth\":330", "\"depth\":30000", "shelves[0].depth", "330"),
            ("\"height\":220", "\"height\":0", "shelves[0].height", "220"),
            ("\"id\":\"top\"", "\"id\":\" \"", "shelves[0].id", "top shelf"),
            ("\"id\":\"b\"", "\"id\":\"a\"", "boxes[1].id", "a-2"),
            ("\"pile\":1", "\"pile\":0", "boxes[0].pile", "nothing on top"),
            ("\"width\":260", "\"width\":261", "boxes[1].kind", "261 × 260 × 200 mm"),
            ("\"pile\":1", "\"pile\":2", "boxes[1].kind", "pile 2"),
        ] {
            let refusal = refused(from, to);
            assert_eq!(refusal.field, field, "{refusal}");
            assert!(refusal.message.contains(word), "{refusal}");
        }
        for (from, to) in
            [("470", "\"wide\""), ("470", "-3"), ("\"depth\":330,", ""), ("330", "3.5")]
        {
            let refusal = refused(from, to);
            assert!(refusal.message.contains("line 2") && refusal.message.contains("for example"));
        }
    }

    #[test]
    fn answers_are_written_as_the_format_says() {
        let placed =
            Placed { id: "a".into(), shelf: "top".into(), x: 0, y: 5, level: 1, turned: true };
        let text = |answer: Answer| serde_json::to_string(&PackAnswer::from(answer)).expect("text");
        assert_eq!(
            text(Answer::Fits(vec![placed])),
            r#"{"fits":true,"placed":[{"id":"a","shelf":"top","x":0,"y":5,"level":1,"turned":true}]}"#
        );
        assert_eq!(text(Answer::Impossible("so".into())), r#"{"fits":false,"why":"so"}"#);
        assert!(
            text(Answer::NotProven { nodes: 7 }).starts_with(r#"{"fits":null,"why":"not proven"#)
        );
    }
}
