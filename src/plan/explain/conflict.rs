//! A smallest set of requirements that cannot hold together.
//!
//! In: a problem and a budget. Out: such a set by `QuickXplain` (U. Junker, "QUICKXPLAIN: preferred
//! explanations and relaxations for over-constrained problems", AAAI 2004), if its impossibility can be
//! proven at all. Every claim is proven; what cannot be proven counts as possible.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::proof::{refuted, refuted_within};
use super::requirement::{Requirement, relaxed, requirements};
use crate::Problem;
use crate::arrange::set_of;

/// Cases in which a proof is sought, cheapest first.
const LEVELS: [u64; 4] = [1, 40, 400, 4_000];

/// Up to here proofs must have been tried for a conflict to be called smallest.
const STURDY: u64 = 40;

/// What is known of a problem's impossibility.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Conflict {
    /// These cannot hold together: proven.
    Proven {
        /// In the problem's order. Empty: what has no name contradicts itself.
        members: Vec<Requirement>,
        /// Without any one of them the rest is not proven impossible, within 40 cases and more if the
        /// budget allowed. False when it ran out before.
        smallest: bool,
    },
    /// No proof was found. A plan may exist or not.
    NotProven,
}

/// Seeks a smallest conflict. The budget is in cases of proofs, of which some thousands are looked at in a
/// second; the same budget gives the same answer.
pub fn conflict(problem: &Problem, budget: u64) -> Conflict {
    let all = requirements(problem);
    let mut seeker = Seeker { problem, left: budget, cases: 1 };
    let whole: Vec<&Requirement> = all.iter().collect();
    let Some(level) = LEVELS.iter().position(|&cases| {
        seeker.cases = cases;
        seeker.impossible(&whole) == Some(true)
    }) else {
        return Conflict::NotProven;
    };
    if seeker.impossible(&[]) == Some(true) {
        return Conflict::Proven { members: Vec::new(), smallest: true };
    }
    let fewer = seeker.without_whole_groups(&whole);
    let (members, mut smallest) = seeker.explain(&[], false, &fewer);
    // Stronger proofs may do with less; how strong they are is bounded, not the conflict's truth.
    let mut kept = members;
    for &cases in LEVELS.iter().skip(level + 1) {
        seeker.cases = cases;
        for &member in &kept.clone() {
            let without: Vec<&Requirement> =
                kept.iter().copied().filter(|&k| k != member).collect();
            match seeker.impossible(&without) {
                Some(true) => kept = without,
                None if cases == STURDY => smallest = false,
                Some(false) | None => {}
            }
        }
    }
    let chosen = set_of(kept);
    let members = all.iter().filter(|requirement| chosen.contains(requirement)).cloned().collect();
    Conflict::Proven { members, smallest }
}

/// Whether the problem as it is can be proven impossible within so many cases: 1 takes about as long as
/// checking a plan.
pub fn impossible(problem: &Problem, cases: u64) -> bool {
    refuted(problem, cases)
}

/// Whether a set of requirements (and all that has no name) is proven impossible. Costs the budget's
/// cases at most.
pub fn proven_impossible(problem: &Problem, kept: &[Requirement], budget: u64) -> bool {
    let kept = set_of(kept);
    refuted(&relaxed(problem, &kept), budget)
}

struct Seeker<'a> {
    problem: &'a Problem,
    left: u64,
    /// Cases of one proof.
    cases: u64,
}

impl<'a> Seeker<'a> {
    /// None when the budget is spent.
    fn impossible(&mut self, kept: &[&'a Requirement]) -> Option<bool> {
        if self.left == 0 {
            return None;
        }
        let most = self.cases.min(self.left);
        let mut cases = most;
        let kept = set_of(kept.iter().copied());
        let refuted = refuted_within(&relaxed(self.problem, &kept), &mut cases);
        // Looking costs something too.
        self.left -= (most - cases).max(1);
        (refuted || most == self.cases).then_some(refuted)
    }

    /// Leaves out everything about one order, then all of a worker's limits, where the rest is impossible all
    /// the same: most orders of a book have nothing to do with a conflict.
    fn without_whole_groups(&mut self, all: &[&'a Requirement]) -> Vec<&'a Requirement> {
        let problem = self.problem;
        let mut group_of: BTreeMap<&str, &str> = BTreeMap::new();
        for activity in &problem.activities {
            if let Some(order) = &activity.order {
                group_of.insert(&activity.id, order);
            }
        }
        for link in &problem.links {
            if let Some(&order) = group_of.get(link.to.as_str()) {
                group_of.insert(&link.id, order);
            }
        }
        let about = |requirement: &Requirement| match requirement {
            Requirement::Earliest(id)
            | Requirement::Latest(id)
            | Requirement::Gap(id)
            | Requirement::Calendar(id)
            | Requirement::Work(id)
            | Requirement::Pin(id)
            | Requirement::Min(id)
            | Requirement::Max(id) => group_of.get(id.as_str()).copied(),
            Requirement::Limit(..) => Some(""),
            Requirement::Capacity(_) => None,
        };
        let groups = set_of(all.iter().filter_map(|of| about(of)));
        let mut kept = all.to_vec();
        for group in groups {
            let mut without = kept.clone();
            without.retain(|of| about(of) != Some(group));
            if self.impossible(&without) == Some(true) {
                kept = without;
            }
        }
        kept
    }

    /// Those of `candidates` that make `background` impossible, and whether that is a smallest set.
    /// `background` with all candidates is impossible; `grown` says that it has grown since that was
    /// last asked without them.
    fn explain(
        &mut self,
        background: &[&'a Requirement],
        grown: bool,
        candidates: &[&'a Requirement],
    ) -> (Vec<&'a Requirement>, bool) {
        if grown {
            match self.impossible(background) {
                Some(true) => return (Vec::new(), true),
                Some(false) => {}
                None => return (candidates.to_vec(), false),
            }
        }
        if candidates.len() <= 1 {
            return (candidates.to_vec(), true);
        }
        let (first, second) = candidates.split_at(candidates.len() / 2);
        let with_first = [background, first].concat();
        let (of_second, a) = self.explain(&with_first, !first.is_empty(), second);
        let with_second = [background, &of_second].concat();
        let (of_first, b) = self.explain(&with_second, !of_second.is_empty(), first);
        ([of_first, of_second].concat(), a && b)
    }
}
