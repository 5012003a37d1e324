//! The domain inside a browser: what it promises natively it keeps in WebAssembly.
#![cfg(target_arch = "wasm32")]

use rackweek::plan::Problem;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

#[wasm_bindgen_test]
fn a_problem_is_written_as_it_was_read() {
    let text = r#"{"format":"makeahead-sched/2","name":"one cake","grid_minutes":15,"slots_per_day":96,
        "horizon":672,"workers":[{"id":"me","windows":[[72,88]]}],"resources":[],
        "activities":[{"id":"mix","segments":[4],"workers":["me"]}],"links":[]}"#;
    let problem: Problem = serde_json::from_str(text).expect("a valid problem");
    assert_eq!(problem.activities.len(), 1);
    let written = serde_json::to_string(&problem).expect("it can be written");
    let again: Problem = serde_json::from_str(&written).expect("and read again");
    assert_eq!(again, problem);
}
