//! What the packing room answers and why, and the command that writes it.
#![cfg(not(target_arch = "wasm32"))]

mod packing_twin;

use std::process::Command;

use packing_twin::{Dice, brute_force, question, tiny};
use rackweek::kitchen::packing::{
    Answer, NODE_LIMIT, PackAnswer, PackProblem, pack, pack_counting, verify,
};

fn why(problem: &PackProblem) -> String {
    match pack(problem, NODE_LIMIT) {
        Answer::Impossible(why) => why,
        other => panic!("expected a no: {other:?}"),
    }
}

fn packed(problem: &PackProblem) -> usize {
    match pack(problem, NODE_LIMIT) {
        Answer::Fits(placed) => {
            assert_eq!(verify(problem, &placed), Vec::<String>::new());
            placed.len()
        }
        other => panic!("expected a yes: {other:?}"),
    }
}

#[test]
fn a_no_says_what_is_too_much() {
    let shelf = (470, 330, 220);
    let cases = [
        (question(&[shelf], &[(260, 260, 230, 1, 1)]), "260 × 260 × 230 mm) stands on no shelf"),
        (question(&[shelf], &[(480, 100, 50, 1, 1)]), "stands on no shelf, turned or not"),
        (question(&[shelf], &[(150, 110, 90, 2, 19)]), "need at least 1650 cm²"),
        (question(&[(10, 10, 5)], &[(7, 4, 5, 1, 3)]), "too large beside each other"),
        (question(&[(100, 100, 50)], &[(51, 51, 50, 1, 3)]), "3 piles"),
        // A long tray and a square cake: little area, no two on one shelf.
        (question(&[shelf], &[(460, 80, 50, 1, 1), (255, 255, 50, 1, 1)]), "2 piles"),
    ];
    for (problem, words) in cases {
        let why = why(&problem);
        assert!(why.contains(words), "{words}: {why}");
    }
}

#[test]
fn nothing_to_stand_fits_and_no_shelf_takes_nothing() {
    assert_eq!(packed(&question(&[], &[])), 0);
    assert_eq!(packed(&question(&[(10, 10, 10)], &[])), 0);
    assert!(why(&question(&[], &[(1, 1, 1, 1, 1)])).contains("stands on no shelf"));
}

#[test]
fn piles_are_as_high_as_kind_and_shelf_allow() {
    // One base; four levels by the kind, three by the shelf.
    assert_eq!(packed(&question(&[(100, 80, 95)], &[(80, 100, 30, 4, 3)])), 3);
    why(&question(&[(100, 80, 95)], &[(80, 100, 30, 4, 4)]));
    why(&question(&[(100, 80, 95)], &[(80, 100, 30, 2, 3)]));
    // Two kinds of one size are never piled on each other.
    why(&question(&[(100, 80, 95)], &[(80, 100, 30, 4, 1), (80, 100, 30, 4, 1)]));
    // Five boxes need the high shelf (three) and the low one (two).
    assert_eq!(packed(&question(&[(100, 80, 60), (80, 100, 90)], &[(80, 100, 30, 4, 5)])), 5);
    why(&question(&[(100, 80, 60), (80, 100, 90)], &[(80, 100, 30, 4, 6)]));
}

#[test]
fn a_windmill_without_a_straight_cut_is_found() {
    // Four bases around a hole that a fifth fills: no straight cut parts them.
    let windmill = question(&[(50, 50, 10)], &[(30, 20, 10, 1, 4), (10, 10, 10, 1, 1)]);
    assert_eq!(packed(&windmill), 5);
    why(&question(&[(50, 49, 10)], &[(30, 20, 10, 1, 4), (10, 10, 10, 1, 1)]));
}

#[test]
fn boxes_of_one_kind_may_differ_in_turning_between_piles_only() {
    // 5 × 5 with two turned and two not, again the windmill but in piles of two.
    assert_eq!(packed(&question(&[(50, 50, 20)], &[(30, 20, 10, 2, 8)])), 8);
    why(&question(&[(50, 50, 20)], &[(30, 20, 10, 2, 9)]));
}

#[test]
fn at_the_node_limit_the_answer_is_not_proven() {
    // A question that no bound decides but the search does.
    let mut dice = Dice(5);
    let searched = |problem: &PackProblem| {
        let (answer, nodes) = pack_counting(problem, NODE_LIMIT);
        matches!(answer, Answer::Impossible(_)) && (3..300).contains(&nodes)
    };
    let hard = (0..2_000).map(|_| tiny(&mut dice)).find(searched).expect("a hard question");
    let (answer, nodes) = pack_counting(&hard, NODE_LIMIT);
    assert!(why(&hard).contains("was ruled out"), "{answer:?}");
    assert!(!brute_force(&hard));
    assert_eq!(pack(&hard, 0), Answer::NotProven { nodes: 0 });
    // One node fewer than needed proves nothing, as many prove it.
    assert!(matches!(pack(&hard, nodes - 1), Answer::NotProven { .. }));
    assert_eq!(pack(&hard, nodes), answer);
}

#[test]
fn a_small_limit_never_turns_an_answer_into_its_opposite() {
    let mut dice = Dice(99);
    let mut open = 0;
    for _ in 0..300 {
        let problem = tiny(&mut dice);
        match pack(&problem, 2) {
            Answer::Fits(placed) => assert_eq!(verify(&problem, &placed), Vec::<String>::new()),
            Answer::Impossible(why) => assert!(!brute_force(&problem), "{why}"),
            Answer::NotProven { .. } => open += 1,
        }
    }
    assert!(open > 0, "the limit was never reached");
}

#[test]
fn the_command_reads_and_writes_the_neutral_files() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    let (pack_file, placed_file) = (folder.join("pack.json"), folder.join("placed.json"));
    let run = |problem: &str| {
        std::fs::write(&pack_file, problem).expect("written");
        let mut command = Command::new(env!("CARGO_BIN_EXE_rackweek"));
        let output = command.arg("pack").arg(&pack_file).arg("-o").arg(&placed_file).output();
        let output = output.expect("runs");
        (output.status.code(), String::from_utf8_lossy(&output.stderr).into_owned())
    };
    let read = || -> PackAnswer {
        let text = std::fs::read_to_string(&placed_file).expect("an answer");
        serde_json::from_str(&text).expect("in the format")
    };
    let problem = question(&[(50, 50, 20)], &[(30, 20, 10, 2, 8)]);
    let text = serde_json::to_string(&problem).expect("text");
    assert_eq!(run(&text), (Some(0), String::new()));
    let placed = read().placed.expect("coordinates");
    assert_eq!(verify(&problem, &placed), Vec::<String>::new());
    assert_eq!(run(&text.replace("\"width\":50", "\"width\":49")).0, Some(0));
    assert_eq!((read().fits, read().placed), (Some(false), None));
    let (code, line) = run(&text.replace("\"width\":50", "\"width\":0"));
    assert_eq!(code, Some(2));
    assert!(line.contains("shelves[0].width: is 0 mm") && line.lines().count() == 1, "{line}");
}
