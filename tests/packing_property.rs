//! The packing search against its brute-force twin and against its own ruler.
#![cfg(not(target_arch = "wasm32"))]

mod packing_twin;

use packing_twin::{Dice, brute_force, question, tiny};
use proptest::prelude::*;
use rackweek::kitchen::packing::{Answer, NODE_LIMIT, PackProblem, pack, verify};

/// Few enough for every run of the tests; the benchmark compares 100,000.
const CASES: u64 = 2_000;

fn agrees(problem: &PackProblem) -> bool {
    let fits = match pack(problem, NODE_LIMIT) {
        Answer::Fits(placed) => {
            assert_eq!(verify(problem, &placed), Vec::<String>::new(), "{problem:?}");
            true
        }
        Answer::Impossible(_) => false,
        Answer::NotProven { .. } => panic!("a tiny question is left open: {problem:?}"),
    };
    assert_eq!(fits, brute_force(problem), "{problem:?}");
    fits
}

#[test]
fn tiny_questions_have_the_same_answer_as_by_brute_force() {
    let mut dice = Dice(1);
    let yes = (0..CASES).filter(|_| agrees(&tiny(&mut dice))).count() as u64;
    println!("{CASES} questions compared, {yes} fit");
    // Both answers must be well represented for the comparison to mean anything.
    assert!(yes > CASES / 5 && yes < CASES * 4 / 5, "{yes} of {CASES}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn generated_questions_have_the_same_answer_as_by_brute_force(
        shelves in prop::collection::vec((2..6_u32, 2..6_u32, 1..5_u32), 1..3),
        kinds in prop::collection::vec((1..5_u32, 1..5_u32, 1..4_u32, 1..4_u32, 1..3_u32), 1..5),
    ) {
        agrees(&question(&shelves, &kinds));
    }

    #[test]
    fn real_sizes_are_packed_soundly_or_not_at_all(
        shelves in prop::collection::vec((200..700_u32, 200..500_u32, 100..400_u32), 1..5),
        kinds in prop::collection::vec((80..350_u32, 80..350_u32, 40..250_u32, 1..4_u32, 1..4_u32), 1..6),
    ) {
        let problem = question(&shelves, &kinds);
        let answer = pack(&problem, 2_000);
        prop_assert_eq!(&answer, &pack(&problem, 2_000));
        if let Answer::Fits(placed) = answer {
            prop_assert_eq!(verify(&problem, &placed), Vec::<String>::new());
        }
    }
}
