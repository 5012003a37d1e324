//! No more of a remedy than its plan needs.
//!
//! In: a problem, a remedy that works and the plan that it gives. Out: the same remedy, or less of it, with which
//! that plan is sound as it is. Plans nothing anew.

use super::ledger::Ledger;
use super::remedy::Remedy;
use crate::check::check;
use crate::{Plan, Problem};

/// Longer windows are asked for in steps of so many slots.
const STEP: i32 = 2;

/// Less of `remedy`, as far as the plan allows it.
pub(super) fn tightened(problem: &Problem, remedy: &Remedy, plan: &Plan) -> Remedy {
    let mut tight = Tight { problem, plan, parts: remedy.parts() };
    for index in (0..tight.parts.len()).rev() {
        tight.leave_out(index);
    }
    for index in 0..tight.parts.len() {
        tight.less_time(index);
        tight.less_room(index);
    }
    Remedy::all(tight.parts).unwrap_or_else(|| remedy.clone())
}

struct Tight<'a> {
    problem: &'a Problem,
    plan: &'a Plan,
    parts: Vec<Remedy>,
}

impl Tight<'_> {
    fn suffices(&self, parts: &[Remedy]) -> bool {
        let given = Remedy::all(parts.to_vec()).and_then(|all| all.given(self.problem));
        given.is_some_and(|given| check(&given, self.plan).breaches.is_empty())
    }

    fn leave_out(&mut self, index: usize) {
        let mut fewer = self.parts.clone();
        fewer.remove(index);
        if !fewer.is_empty() && self.suffices(&fewer) {
            self.parts = fewer;
        }
    }

    /// Puts another in a part's place, if that suffices.
    fn replace(&mut self, index: usize, part: Remedy) -> bool {
        let mut parts = self.parts.clone();
        let Some(entry) = parts.get_mut(index) else { return false };
        *entry = part;
        let enough = self.suffices(&parts);
        if enough {
            self.parts = parts;
        }
        enough
    }

    fn less_time(&mut self, index: usize) {
        let Some(Remedy::MoreTime { worker, mut windows, slots }) = self.parts.get(index).cloned()
        else {
            return;
        };
        let time = |windows: &[usize], slots| Remedy::MoreTime {
            worker: worker.clone(),
            windows: windows.to_vec(),
            slots,
        };
        for window in windows.clone() {
            let mut fewer = windows.clone();
            fewer.retain(|&other| other != window);
            if !fewer.is_empty() && self.replace(index, time(&fewer, slots)) {
                windows = fewer;
            }
        }
        let steps = (1..).map(|step| step * STEP).take_while(|&less| less < slots);
        for less in steps {
            if self.replace(index, time(&windows, less)) {
                return;
            }
        }
    }

    /// Room only where and when the plan lacks it with everything else given.
    fn less_room(&mut self, index: usize) {
        let Some(Remedy::Room { resource, .. }) = self.parts.get(index).cloned() else { return };
        let mut others = self.parts.clone();
        others.remove(index);
        let without = match Remedy::all(others) {
            None => Some(self.problem.clone()),
            Some(others) => others.given(self.problem),
        };
        let Some(without) = without else { return };
        let over = Ledger::of(&without, self.plan).overfull(&resource);
        let ends = (over.iter().map(|of| of.0).min(), over.iter().map(|of| of.1).max());
        if let (Some(from), Some(to)) = ends {
            let amount = over.iter().map(|of| of.2).max().unwrap_or(0);
            self.replace(index, Remedy::Room { resource, from, to, amount });
        }
    }
}
