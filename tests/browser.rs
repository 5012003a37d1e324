//! What the domain promises natively it keeps in WebAssembly: the same records give the same plan, bit
//! for bit.
//!
//! The native run prints a digest of the demo's plan; `cargo xtask test browser` hands it to the
//! browser's run, which must come to the same.

use rackweek::calendar::{Wall, Zone};
use rackweek::demo::demo;
use rackweek::plan::check::check;
use rackweek::plan::{Plan, Planner, Problem};
use rackweek::record::{Outlook, PlanInput};

/// Enough for the search to take many turns, and quick in a debug build.
const EVALUATIONS: u64 = 200;
const SEED: u64 = 7;

/// The digest that the native run came to.
const NATIVE: Option<&str> = option_env!("RACKWEEK_NATIVE_PLAN");

fn planned() -> (Problem, Plan) {
    let now = Wall::new(2026, 11, 30, 7, 0).expect("a moment");
    let input = PlanInput { now, zone: Zone::fixed("anywhere", 0) };
    let outlook = Outlook::of(&demo(now), &input).expect("the demo has a kitchen and times");
    let problem = outlook.assembled.problem;
    let mut planner = Planner::new(&problem, SEED).expect("a valid problem");
    planner.improve(EVALUATIONS);
    let plan = planner.plan();
    (problem, plan)
}

/// FNV-1a, 64 bits, of the problem and the plan as they are written to files.
fn digest(problem: &Problem, plan: &Plan) -> String {
    let texts = [serde_json::to_string(problem), serde_json::to_string(plan)];
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    for text in texts {
        for byte in text.expect("it can be written").bytes() {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }
    format!("{hash:016x}")
}

#[cfg(not(target_arch = "wasm32"))]
#[test]
fn the_demo_is_planned_soundly_and_twice_the_same() {
    let (problem, plan) = planned();
    let report = check(&problem, &plan);
    assert!(report.breaches.is_empty(), "{:?}", report.breaches);
    assert_eq!(plan.starts.len(), problem.activities.len());
    let (again, plan_again) = planned();
    let digest = digest(&problem, &plan);
    assert_eq!(self::digest(&again, &plan_again), digest);
    assert!(NATIVE.is_none_or(|native| native == digest));
    println!("native plan {digest}");
}

#[cfg(target_arch = "wasm32")]
mod in_a_browser {
    use wasm_bindgen_test::{console_log, wasm_bindgen_test, wasm_bindgen_test_configure};

    use super::*;

    wasm_bindgen_test_configure!(run_in_browser);

    #[wasm_bindgen_test]
    fn the_demo_is_planned_as_natively() {
        let (problem, plan) = planned();
        let report = check(&problem, &plan);
        assert!(report.breaches.is_empty(), "{:?}", report.breaches);
        let digest = digest(&problem, &plan);
        match NATIVE {
            Some(native) => assert_eq!(digest, native),
            None => console_log!("plan {digest}; compare by `cargo xtask test browser`"),
        }
    }
}
