//! Why not: a smallest set of requirements that cannot hold together.
//!
//! In: a problem that [`super::prove`] refutes. Out: names as the plan file has them. `QuickXplain`
//! (Junker 2004) over single requirements, each of which can be left out; a refutation is asked for anew
//! each time, so every set returned is proven impossible.

use super::model::{Bounds, Model};
use super::prove::{Depth, least_cost};
use super::{Link, Problem};

/// Beyond any amount that a problem may contain, without reaching an overflow.
const PLENTY: i64 = 100_000_000;

/// Something that a person could give up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Requirement {
    Earliest(usize),
    Latest(usize),
    Gap(usize),
    Calendar(usize),
    Work(usize),
    Pin(usize),
    Limit(usize, usize),
    Capacity(usize),
    Min(usize),
    Max(usize),
}

/// Whether no sound plan exists, as far as can be proven without search.
fn refuted(problem: &Problem, depth: Depth) -> bool {
    least_cost(&Model::compile(problem, Bounds::Proof), depth).is_none()
}

/// A set of requirements that cannot hold together and of which none is superfluous, or nothing if the
/// problem is not refuted.
pub(super) fn conflict(problem: &Problem) -> Vec<String> {
    let Some(depth) =
        [Depth::Quick, Depth::Thorough].into_iter().find(|&depth| refuted(problem, depth))
    else {
        return Vec::new();
    };
    let all = requirements(problem);
    let explain = Explain { problem, all: &all, depth };
    if explain.contradicts(&[]) {
        return Vec::new();
    }
    let candidates: Vec<usize> = (0..all.len()).collect();
    let mut found = explain.narrow(&[], false, &candidates);
    found.sort_unstable();
    found.iter().map(|&index| name(problem, all[index])).collect()
}

struct Explain<'a> {
    problem: &'a Problem,
    all: &'a [Requirement],
    depth: Depth,
}

impl Explain<'_> {
    /// Members of `candidates` that, with `background`, cannot hold together.
    fn narrow(&self, background: &[usize], grown: bool, candidates: &[usize]) -> Vec<usize> {
        if grown && self.contradicts(background) {
            return Vec::new();
        }
        if candidates.len() <= 1 {
            return candidates.to_vec();
        }
        let (first, second) = candidates.split_at(candidates.len() / 2);
        let with_first = [background, first].concat();
        let from_second = self.narrow(&with_first, !first.is_empty(), second);
        let with_second = [background, from_second.as_slice()].concat();
        let from_first = self.narrow(&with_second, !from_second.is_empty(), first);
        [from_first, from_second].concat()
    }

    fn contradicts(&self, kept: &[usize]) -> bool {
        let mut keep = vec![false; self.all.len()];
        for &index in kept {
            keep[index] = true;
        }
        let mut problem = self.problem.clone();
        for (requirement, keep) in self.all.iter().zip(keep) {
            if !keep {
                drop_requirement(&mut problem, *requirement);
            }
        }
        refuted(&problem, self.depth)
    }
}

/// All requirements; those that a person gives up most easily come last, as they are then kept most.
fn requirements(problem: &Problem) -> Vec<Requirement> {
    let mut all = Vec::new();
    for (index, activity) in problem.activities.iter().enumerate() {
        if activity.earliest.is_some() {
            all.push(Requirement::Earliest(index));
        }
        if activity.gap_max.is_some() {
            all.push(Requirement::Gap(index));
        }
        if activity.within.is_some() || activity.start_in.is_some() || activity.end_in.is_some() {
            all.push(Requirement::Calendar(index));
        }
        if !activity.workers.is_empty() {
            all.push(Requirement::Work(index));
        }
    }
    for (worker, of) in problem.workers.iter().enumerate() {
        all.extend((0..of.limits.len()).map(|index| Requirement::Limit(worker, index)));
    }
    all.extend((0..problem.resources.len()).map(Requirement::Capacity));
    for (index, link) in problem.links.iter().enumerate() {
        if link.modes.is_empty() && link.min > 0 && link.store.is_empty() {
            all.push(Requirement::Min(index));
        }
        if has_max(link) {
            all.push(Requirement::Max(index));
        }
    }
    for (index, activity) in problem.activities.iter().enumerate() {
        if activity.latest.is_some() {
            all.push(Requirement::Latest(index));
        }
        if activity.pin.is_some() {
            all.push(Requirement::Pin(index));
        }
    }
    all
}

fn has_max(link: &Link) -> bool {
    if link.modes.is_empty() {
        link.max.is_some()
    } else {
        link.modes.iter().any(|mode| mode.max.is_some())
    }
}

fn drop_requirement(problem: &mut Problem, requirement: Requirement) {
    match requirement {
        Requirement::Earliest(index) => problem.activities[index].earliest = None,
        Requirement::Latest(index) => problem.activities[index].latest = None,
        Requirement::Gap(index) => problem.activities[index].gap_max = None,
        Requirement::Calendar(index) => {
            let activity = &mut problem.activities[index];
            activity.within = None;
            activity.start_in = None;
            activity.end_in = None;
        }
        Requirement::Work(index) => problem.activities[index].workers.clear(),
        Requirement::Pin(index) => problem.activities[index].pin = None,
        Requirement::Limit(worker, index) => problem.workers[worker].limits[index].max = PLENTY,
        Requirement::Capacity(index) => problem.resources[index].capacity = PLENTY * 4,
        Requirement::Min(index) => problem.links[index].min = problem.links[index].min.min(0),
        Requirement::Max(index) => {
            problem.links[index].max = None;
            for mode in &mut problem.links[index].modes {
                mode.max = None;
            }
        }
    }
}

fn name(problem: &Problem, requirement: Requirement) -> String {
    let activity = |index: usize| &problem.activities[index].id;
    match requirement {
        Requirement::Earliest(index) => format!("earliest:{}", activity(index)),
        Requirement::Latest(index) => format!("latest:{}", activity(index)),
        Requirement::Gap(index) => format!("gap:{}", activity(index)),
        Requirement::Calendar(index) => format!("calendar:{}", activity(index)),
        Requirement::Work(index) => format!("work:{}", activity(index)),
        Requirement::Pin(index) => format!("pin:{}", activity(index)),
        Requirement::Limit(worker, index) => {
            format!("limit:{}.{index}", problem.workers[worker].id)
        }
        Requirement::Capacity(index) => format!("capacity:{}", problem.resources[index].id),
        Requirement::Min(index) => format!("min:{}", problem.links[index].id),
        Requirement::Max(index) => format!("max:{}", problem.links[index].id),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Activity, Limit, Worker};

    fn work(id: &str, length: i32, latest: Option<i32>) -> Activity {
        Activity {
            id: id.to_owned(),
            segments: vec![length],
            workers: vec!["baker".to_owned()],
            latest,
            ..Activity::default()
        }
    }

    fn evening(activities: Vec<Activity>) -> Problem {
        Problem {
            format: "makeahead-sched/2".to_owned(),
            horizon: 96,
            workers: vec![Worker {
                id: "baker".to_owned(),
                windows: vec![(10, 20), (40, 50)],
                ..Worker::default()
            }],
            activities,
            ..Problem::default()
        }
    }

    #[test]
    fn what_can_be_done_has_no_conflict() {
        assert!(conflict(&evening(vec![work("a", 6, Some(20)), work("b", 6, None)])).is_empty());
    }

    #[test]
    fn too_much_work_before_a_deadline_is_named_without_bystanders() {
        let problem =
            evening(vec![work("a", 6, Some(20)), work("x", 3, None), work("b", 6, Some(30))]);
        assert_eq!(conflict(&problem), ["work:a", "work:b", "latest:a", "latest:b"]);
    }

    #[test]
    fn a_pin_outside_the_windows_is_named() {
        let mut problem = evening(vec![work("a", 6, None), work("b", 6, None)]);
        problem.activities[1].pin = Some(vec![30]);
        assert_eq!(conflict(&problem), ["work:b", "pin:b"]);
    }

    #[test]
    fn limits_of_single_evenings_add_up() {
        let mut problem = evening(vec![work("a", 3, None), work("b", 3, None), work("c", 3, None)]);
        let limit = |from: i32, to: i32| Limit { from, to, kinds: None, max: 3 };
        problem.workers[0].limits = vec![limit(0, 30), limit(30, 96)];
        let found = conflict(&problem);
        assert!(found.contains(&"limit:baker.0".to_owned()), "{found:?}");
        assert!(found.contains(&"limit:baker.1".to_owned()), "{found:?}");
        problem.workers[0].limits[0].max = 6;
        assert!(conflict(&problem).is_empty());
    }
}
