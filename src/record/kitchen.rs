//! Older forms of the kitchen record.

use serde_json::{Value, json};

use crate::kitchen::{Boxes, Household, Warmth};
use crate::plan::json::value_of;

/// From schema 1: what the household kept of a shelf was said in per cent of its area, and counted as a strip
/// of its width where boxes were packed. It becomes that strip in mm, rounded so that no more is left for
/// baking than before. Nothing was cleared for a while then, and every shelf counted as one.
pub(super) fn shares_in_millimetres(mut body: Value) -> Result<Value, String> {
    let kitchen = body.as_object_mut().ok_or("is not an object")?;
    for place in ["fridge", "freezer", "room"] {
        let shelves = kitchen.get_mut(place).and_then(Value::as_array_mut);
        for shelf in shelves.ok_or_else(|| format!("has no “{place}”, a list"))? {
            let shelf = shelf.as_object_mut().ok_or("a shelf is not an object")?;
            let number = |name: &str| {
                let found = shelf.get(name).and_then(Value::as_u64);
                found.ok_or_else(|| format!("a shelf has no “{name}”, a number"))
            };
            let width = u16::try_from(number("width")?).map_err(|_| "a shelf is too wide")?;
            let percent = number("household")?;
            let percent = u8::try_from(percent).ok().filter(|percent| *percent <= 100);
            let percent = percent.ok_or("a household’s share is above 100 %")?;
            let household = value_of(&Household::of_percent(width, percent));
            shelf.insert("household".into(), household.map_err(|error| error.to_string())?);
            shelf.insert("kind".into(), json!("shelf"));
        }
    }
    kitchen.insert("clearings".into(), json!([]));
    Ok(body)
}

/// From schema 2: it gets the containers that are usual, and nothing was measured by hand.
pub(super) fn with_usual_boxes(mut body: Value) -> Result<Value, String> {
    let boxes = value_of(&Boxes::usual()).map_err(|error| error.to_string())?;
    body.as_object_mut().ok_or("is not an object")?.insert("boxes".into(), boxes);
    Ok(body)
}

/// From schema 3: it gets a usual climate, and nothing was timed.
pub(super) fn with_usual_warmth(mut body: Value) -> Result<Value, String> {
    let warmth = value_of(&Warmth::default()).map_err(|error| error.to_string())?;
    body.as_object_mut().ok_or("is not an object")?.insert("warmth".into(), warmth);
    Ok(body)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kitchen::{Place, ShelfKind};
    use crate::record::Record;

    /// As schema 1 wrote it.
    const FIRST: &str = concat!(
        r#"{"kind":"kitchen","id":"","schema":1,"body":{"fridge":["#,
        r#"{"name":"top shelf","width":470,"depth":330,"height":180,"household":50},"#,
        r#"{"name":"middle shelf","width":471,"depth":330,"height":220,"household":33},"#,
        r#"{"name":"door","width":470,"depth":90,"height":250,"household":100}],"freezer":["#,
        r#"{"name":"drawer","width":400,"depth":280,"height":170,"household":0}],"racks":["#,
        r#"{"name":"drying rack","levels":8,"tray_width":450,"tray_depth":330}],"#,
        r#""counter":{"width":1800,"depth":600,"work_zone":800},"room":[],"#,
        r#""oven":{"decks":2,"trays_per_deck":1},"mixers":1}}"#
    );

    #[test]
    fn a_kitchen_of_the_first_schema_promises_no_more_than_before() {
        let record = Record::from_json(FIRST).expect("is migrated");
        let Record::Kitchen(kitchen) = &record else { panic!("{record:?}") };
        let shares: Vec<_> = kitchen.fridge.iter().map(|shelf| shelf.household).collect();
        let strip = |width| Household::Strip { width };
        assert_eq!(shares, [strip(235), strip(156), Household::Whole], "155.43 mm are 156");
        assert_eq!(kitchen.freezer[0].household, Household::Nothing);
        assert!(kitchen.fridge.iter().all(|shelf| shelf.kind == ShelfKind::Shelf));
        assert_eq!((kitchen.clearings.len(), kitchen.racks.len()), (0, 1));
        // It was 50 % of 1551 cm² and 67 % of 1554.3 cm²: 775 and 1041.
        assert_eq!(kitchen.capacity(Place::Fridge).classes[0].capacity, 775 + 1039);
        let text = record.to_json();
        assert!(text.contains(r#""schema":5"#), "{text}");
        assert_eq!(Record::from_json(&text), Ok(record));
    }

    /// As schema 2 wrote it.
    const SECOND: &str = concat!(
        r#"{"kind":"kitchen","id":"","schema":2,"body":{"fridge":[{"name":"top shelf","#,
        r#""kind":"shelf","width":470,"depth":330,"height":180,"household":{"keeps":"nothing"}}],"#,
        r#""freezer":[],"racks":[],"counter":{"width":1800,"depth":600,"work_zone":800},"room":[],"#,
        r#""oven":{"decks":2,"trays_per_deck":1},"mixers":1,"clearings":[]}}"#
    );

    #[test]
    fn a_kitchen_of_the_second_schema_gets_the_usual_boxes() {
        let record = Record::from_json(SECOND).expect("is migrated");
        let Record::Kitchen(kitchen) = &record else { panic!("{record:?}") };
        assert_eq!(kitchen.boxes, Boxes::usual());
        let text = record.to_json();
        let before =
            SECOND.strip_suffix("}}").expect("it ends so").replace(":2,\"body", ":5,\"body");
        assert!(text.starts_with(&before), "{text}");
        assert_eq!(Record::from_json(&text), Ok(record));
    }

    #[test]
    fn a_kitchen_of_the_third_schema_gets_a_usual_climate() {
        let second = Record::from_json(SECOND).expect("is migrated").to_json();
        let third = r#","warmth":{"climate":{"room":22,"fridge":4,"freezer":-18,"humidity":50},"measured":[]}}}"#;
        let third = format!("{}}}}}", second.strip_suffix(third).expect("it ends so"));
        let third = third.replace(":5,\"body", ":3,\"body");
        let record = Record::from_json(&third).expect("is migrated");
        let Record::Kitchen(kitchen) = &record else { panic!("{record:?}") };
        assert_eq!(kitchen.warmth, Warmth::default());
        assert_eq!(record.to_json(), second);
    }

    #[test]
    fn a_damaged_kitchen_of_the_first_schema_is_said() {
        for (from, to, part) in [
            (r#""household":50"#, r#""household":101"#, "above 100 %"),
            (r#""household":50"#, r#""share":50"#, "no “household”"),
            (r#""width":470"#, r#""width":70000"#, "too wide"),
            (r#""room":[]"#, r#""room":7"#, "no “room”"),
        ] {
            let why = Record::from_json(&FIRST.replacen(from, to, 1)).expect_err(part).to_string();
            assert!(why.contains(part) && why.contains("schema 1"), "{why}");
        }
    }
}
