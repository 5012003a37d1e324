//! Card files: what is refused, where, and with what advice.
#![cfg(not(target_arch = "wasm32"))]

use rackweek::card::form::without_file_words;
use rackweek::card::{Card, CardError, builtin, check_components};
use serde_json::{Value, json};

fn sound() -> Value {
    json!({
        "id": "butter-biscuits", "version": 1, "name": "Butter biscuits", "piece": "biscuit",
        "pieces": "biscuits", "about": "Plain round biscuits",
        "options": [
            { "id": "size", "label": "Size", "default": 60, "kind": { "is": "length", "min": 30, "max": 120 } },
            { "id": "glazed", "label": "Glazed", "default": 0, "kind": { "is": "switch" } }
        ],
        "counts": [{ "id": "trays", "rule": "trays", "of": "pieces", "size": "size", "gap": 15 }],
        "steps": [
            { "id": "shape", "name": "Shape", "kind": "plain", "work": [{ "each": 30, "per": ["pieces"] }],
              "setup": 600, "cleanup": 600, "detail": "{amount} on {trays|tray|trays}" },
            { "id": "bake", "name": "Bake", "kind": "oven", "work": [{ "each": 720 }],
              "needs": [{ "use": "oven", "trays": "trays" }] },
            { "id": "glaze", "name": "Glaze", "kind": "fine", "when": { "option": "glazed" },
              "work": [{ "each": 20, "per": ["pieces"] }], "cut_min": 45, "pause_max": 600 },
            { "id": "pack", "name": "Pack", "kind": "plain", "work": [{ "each": 900 }] }
        ],
        "rests": [
            { "id": "shaped", "from": "shape", "to": "bake", "what": "shaped biscuits",
              "modes": [{ "name": "on the trays", "greatest": 30 }] },
            { "id": "cool", "from": "bake", "to": "glaze", "what": "baked biscuits",
              "modes": [{ "name": "on the trays", "least": [{ "each": 60 }], "greatest": 600,
                          "tail": { "minutes": 30 } }] },
            { "id": "dry", "from": "glaze", "to": "pack", "what": "glazed biscuits",
              "modes": [{ "name": "on the trays", "least": [{ "each": 30 }] }] }
        ],
        "keeps": [{ "name": "in tins", "greatest": 14400, "safety": true, "source": "somewhere" }],
        "limits": [{ "id": "baked", "what": "biscuits", "from": "bake", "greatest": 14400, "source": "somewhere" }]
    })
}

fn parse(card: &Value) -> Result<Card, CardError> {
    Card::parse(&card.to_string())
}

#[test]
fn the_sound_card_is_taken() {
    assert_eq!(parse(&sound()).map(|card| card.id), Ok("butter-biscuits".to_owned()));
}

#[test]
fn things_are_checked_with_their_place() {
    let with = |thing: Value| {
        let mut card = sound();
        card["things"] = json!([thing]);
        card["keeps"][0]["stay"] =
            json!({ "place": "room-shelf", "footprint": { "as": "thing", "thing": "tins" } });
        card
    };
    let tin = json!({ "id": "tins", "what": "tin of biscuits", "is": "tins", "of": "pieces",
                      "across": "size", "thick": 12, "layers": 8 });
    let card = parse(&with(tin.clone())).expect("it holds together");
    assert_eq!(Card::parse(&serde_json::to_string(&card).expect("text")), Ok(card));
    for (field, value, place, part) in [
        ("id", json!("Tins"), "things[0].id", "base-coat"),
        ("id", json!("trays"), "things[0].id", "taken"),
        ("id", json!("boxes"), "keeps[0].stay.footprint.thing", "write one of boxes"),
        ("what", json!(" "), "things[0].what", "say something"),
        ("of", json!("peices"), "things[0].of", "pieces"),
        ("across", json!("width"), "things[0].across", "size"),
        ("thick", json!(0), "things[0].thick", "such as 15"),
        ("layers", json!(0), "things[0].layers", "such as 6"),
        ("is", json!("jars"), "things[0]", "unknown variant"),
        ("lid", json!(true), "things[0]", "unknown field"),
    ] {
        let mut thing = tin.clone();
        thing[field] = value;
        let error = parse(&with(thing)).expect_err(field);
        assert!(error.place.starts_with(place), "{field}: {error}");
        assert!(error.message.contains(part), "{field}: {error}");
    }
    let mut card = with(tin);
    card["keeps"][0]["stay"]["footprint"]["pile"] = json!(0);
    assert!(parse(&card).expect_err("pile").place.ends_with("footprint.pile"));
    card["things"] = json!([]);
    card["keeps"][0]["stay"]["footprint"]["pile"] = json!(2);
    assert!(parse(&card).expect_err("none").message.contains("add what stands somewhere"));
}

#[test]
fn what_is_used_up_is_checked_with_its_place() {
    let with = |part: &str, field: &str, value: Value| {
        let mut card = sound();
        card["ingredients"] = json!([{ "of": "flour", "step": "shape",
            "amount": [{ "each": 12, "per": ["pieces"] }], "over": 2, "waste": 5 }]);
        card["packaging"] = json!([{ "of": "treat-box", "step": "pack", "amount": [{ "each": 1, "per": ["pieces"] }] }]);
        card[part][0][field] = value;
        parse(&card)
    };
    let card = with("ingredients", "waste", json!(10)).expect("it holds together");
    assert_eq!(Card::parse(&serde_json::to_string(&card).expect("text")), Ok(card));
    for (part, field, value, place, words) in [
        ("ingredients", "of", json!("sawdust"), "ingredients[0].of", "such as flour"),
        ("ingredients", "of", json!("treat-box"), "ingredients[0].of", "no ingredient “treat-box”"),
        ("packaging", "of", json!("flour"), "packaging[0].of", "such as treat-box"),
        ("packaging", "step", json!("wrap"), "packaging[0].step", "shape, bake"),
        ("ingredients", "amount", json!([]), "ingredients[0].amount", "needs an amount"),
        (
            "ingredients",
            "amount",
            json!([{ "each": -1 }]),
            "ingredients[0].amount[0].each",
            "below 0",
        ),
        ("ingredients", "over", json!(0), "ingredients[0].over", "such as 1000"),
        ("ingredients", "waste", json!(101), "ingredients[0].waste", "such as 10"),
        ("ingredients", "when", json!({ "option": "iced" }), "ingredients[0].when", "glazed"),
        ("ingredients", "price", json!(3), "ingredients[0]", "unknown field"),
    ] {
        let error = with(part, field, value).expect_err(place);
        assert!(error.place.starts_with(place), "{field}: {error}");
        assert!(error.message.contains(words), "{field}: {error}");
    }
}

#[test]
fn a_rule_of_the_trade_is_on_and_a_longest_sitting_can_be_cut_to() {
    let mut card = sound();
    card["options"][1]["rule"] = json!(true);
    let error = parse(&card).expect_err("off");
    assert!(error.place == "options[1]" && error.message.contains("default 1"), "{error}");
    card["options"][1]["default"] = json!(1);
    card["steps"][2]["cut_max"] = json!({ "minutes": 120, "when": { "option": "glazed" } });
    assert!(parse(&card).is_ok());
    card["steps"][2]["cut_max"]["minutes"] = json!(80);
    let error = parse(&card).expect_err("no two of 45 in 80");
    assert!(error.place == "steps[2].cut_max" && error.message.contains("such as 120"), "{error}");
}

#[test]
fn every_fault_is_told_with_its_place_and_with_what_would_be_right() {
    // Where to write what, the place that is told, and a word of the advice.
    let faults: Vec<(&str, Value, &str, &str)> = vec![
        ("/id", json!("Butter biscuits"), "id", "base-coat"),
        ("/name", json!("  "), "name", "Bake"),
        ("/options/1/id", json!("size"), "options[1].id", "taken"),
        ("/options/1/id", json!("pieces"), "options[1].id", "taken"),
        ("/options/0/default", json!(20), "options[0]", "min 1"),
        ("/options/1/id", json!("first-time"), "steps[2].when", "glazed"),
        ("/counts/0/of", json!("peices"), "counts[0]", "pieces"),
        ("/counts/0/gap", json!(-1), "counts[0]", "never below 0"),
        ("/steps/1/id", json!("shape"), "steps[1].id", "taken"),
        ("/steps/0/work/0/each", json!(-5), "steps[0].work[0].each", "30"),
        ("/steps/0/work/0/per/0", json!("tray"), "steps[0].work[0].per[0]", "trays"),
        ("/steps/0/work", json!([]), "steps[0].work", "600"),
        ("/steps/0/setup", json!(-1), "steps[0]", "600"),
        ("/steps/0/detail", json!("{amount"), "steps[0].detail", "close"),
        ("/steps/0/detail", json!("{trays|tray}"), "steps[0].detail", "{trays|tray|trays}"),
        ("/steps/0/detail", json!("{plates}"), "steps[0].detail", "trays"),
        ("/steps/1/needs", json!([]), "steps[1].needs", "oven"),
        ("/steps/1/kind", json!("wait"), "steps[1].needs", "oven"),
        ("/steps/1/needs/0/trays", json!("x"), "steps[1].needs[0].trays", "trays"),
        ("/steps/2/cut_min", json!(5), "steps[2].cut_min", "60"),
        ("/steps/2/cut_min", json!(null), "steps[2].pause_max", "60"),
        ("/steps/2/when/option", json!("iced"), "steps[2].when", "glazed"),
        ("/steps/3/when", json!({ "option": "glazed" }), "steps[3].when", "always happen"),
        ("/rests/1/id", json!("shaped"), "rests[1].id", "taken"),
        ("/rests/1/id", json!("keep"), "rests[1].id", "taken"),
        ("/rests/0/from", json!("mix"), "rests[0].from", "shape"),
        ("/rests/0/to", json!("shape"), "rests", "after itself"),
        ("/rests/2/to", json!("bake"), "rests", "after itself"),
        ("/rests/0/modes", json!([]), "rests[0].modes", "no way to rest"),
        (
            "/rests/0/modes/0/when",
            json!({ "option": "glazed" }),
            "rests[0].modes",
            "no way to rest",
        ),
        ("/rests/1/modes/0/greatest", json!(59), "rests[1].modes[0].greatest", "60"),
        ("/rests/1/modes/0/tail/minutes", json!(61), "rests[1].modes[0].tail", "61"),
        ("/rests/1/modes/0/least/0/per", json!(["trays"]), "rests[1].modes[0].least", "options"),
        ("/keeps/0/source", json!(""), "keeps[0].source", "common practice"),
        ("/keeps/0/greatest", json!(null), "keeps[0].greatest", "120"),
        ("/limits/0/from", json!("knead"), "limits[0].from", "bake"),
        ("/limits/0/source", json!(" "), "limits[0].source", "common practice"),
    ];
    for (pointer, value, place, advice) in faults {
        let mut card = sound();
        let (parent, key) = pointer.rsplit_once('/').expect("a pointer");
        match card.pointer_mut(parent).expect(pointer) {
            Value::Object(object) => drop(object.insert(key.to_owned(), value.clone())),
            Value::Array(array) => array[key.parse::<usize>().expect("index")] = value.clone(),
            other => panic!("{other}"),
        }
        let error = parse(&card).expect_err(&format!("{pointer} = {value}"));
        assert!(error.place.starts_with(place), "{pointer} = {value}: told {error}");
        assert!(error.message.contains(advice), "{pointer} = {value}: told {error}");
        assert!(!error.message.ends_with('.'), "{error}");
        assert_eq!(error.card, card["id"], "{error}");
        // Whoever writes on the screen never sees a file's words.
        let said = without_file_words(&error.message);
        for of_files in ["{ \"", "_min", "at_least", "“when”", "“things”", "in a file"] {
            assert!(!said.contains(of_files), "{pointer}: {said}");
        }
    }
}

#[test]
fn a_waiting_time_is_judged_over_all_options() {
    let mut card = sound();
    card["rests"][1]["modes"][0]["least"] =
        json!([{ "each": 60 }, { "each": 600, "when": { "option": "glazed" } }]);
    let error = parse(&card).expect_err("660 with glaze");
    assert!(error.message.contains("660"), "{error}");
    card["rests"][1]["modes"][0]["greatest"] = json!(660);
    assert!(parse(&card).is_ok());
}

#[test]
fn two_ways_that_exclude_each_other_leave_one_always() {
    let mut card = sound();
    let mut modes =
        vec![card["rests"][0]["modes"][0].clone(), card["rests"][0]["modes"][0].clone()];
    modes[0]["when"] = json!({ "option": "glazed" });
    modes[1]["when"] = json!({ "option": "glazed", "not": true });
    modes[1]["name"] = json!("bare");
    card["rests"][0]["modes"] = json!(modes);
    assert!(parse(&card).is_ok());
}

#[test]
fn unknown_words_are_not_passed_over() {
    let mut card = sound();
    card["steps"][0]["clean_up"] = json!(300);
    let error = parse(&card).expect_err("a misspelt key");
    assert!(error.message.contains("clean_up") && error.place == "steps[0]", "{error}");
    let mut card = sound();
    card["counts"][0]["gapp"] = json!(3);
    assert!(parse(&card).expect_err("a misspelt key").message.contains("gapp"));
}

#[test]
fn components_must_exist_and_may_not_go_round() {
    let mut card = sound();
    card["components"] =
        json!([{ "card": "glue", "uses": [{ "step": "glaze", "amount": [{ "each": 1 }] }] }]);
    let card = parse(&card).expect("sound by itself");
    let error = check_components(&card, &[&card]).expect_err("no glue");
    assert_eq!(error.place, "components[0].card");

    let mut glue = sound();
    glue["id"] = json!("glue");
    glue["components"] = json!([{ "card": "butter-biscuits", "uses": [{ "step": "glaze", "amount": [{ "each": 1 }] }] }]);
    let glue = parse(&glue).expect("sound by itself");
    let error = check_components(&card, &[&card, &glue]).expect_err("round and round");
    assert!(error.message.contains("made with this card"), "{error}");

    let mut card = sound();
    card["components"] = json!([{ "card": "royal-icing", "set": { "sparkle": 1 },
        "uses": [{ "step": "glaze", "amount": [{ "each": 1 }] }] }]);
    let card = parse(&card).expect("sound by itself");
    let built_in = builtin();
    let known: Vec<&Card> = built_in.iter().collect();
    assert!(check_components(&card, &known).expect_err("no sparkle").message.contains("sparkle"));
}

#[test]
fn the_example_in_the_description_is_a_sound_card() {
    let text: String = include_str!("../src/card/mod.rs")
        .lines()
        .skip_while(|line| !line.contains("```json"))
        .skip(1)
        .take_while(|line| !line.contains("```"))
        .map(|line| line.trim_start_matches("//!"))
        .collect();
    assert!(text.contains("butter-biscuits"));
    assert!(Card::parse(&text).is_ok(), "{}", Card::parse(&text).expect_err("just seen"));
}

#[test]
fn a_card_is_written_as_it_is_read() {
    for card in builtin() {
        let text = serde_json::to_string(&card).expect("plain data");
        assert_eq!(Card::parse(&text), Ok(card));
    }
}
