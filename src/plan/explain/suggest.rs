//! Remedies that might help an impossible problem.
//!
//! In: a problem, its least bad plan, its conflict. Out: of each remedy growing amounts, to be tried in turn.
//! Proves and plans nothing.

use std::collections::{BTreeSet, VecDeque};

use super::conflict::Conflict;
use super::remedy::{HELPER, Remedy, windows_within};
use super::requirement::Requirement;
use crate::arrange::set_of;
use crate::check::check;
use crate::{Activity, Plan, Problem};

/// Slots by which time is lengthened: half an hour to three hours of quarter hours.
const LONGER: [i32; 4] = [2, 4, 8, 12];
/// So many windows before the end, each longer by so much.
const SEVERAL: [(usize, i32); 5] = [(2, 4), (3, 4), (2, 8), (4, 4), (3, 8)];
/// By which an end is put off: from an hour to a week.
const LATER: [i32; 9] = [4, 8, 16, 24, 48, 96, 192, 384, 672];
/// By which a beginning is put forward.
const EARLIER: [i32; 5] = [4, 16, 48, 96, 192];

/// What the conflict, or the least bad plan's breaches, suggest.
pub(super) fn candidates(
    problem: &Problem,
    plan: &Plan,
    conflict: &Conflict,
    not_before: i32,
) -> VecDeque<VecDeque<Remedy>> {
    let members = match conflict {
        Conflict::Proven { members, .. } => members.clone(),
        Conflict::NotProven => suspects(problem, plan),
    };
    let mut kinds: [Vec<VecDeque<Remedy>>; 5] = Default::default();
    let [given_up, moved, roomier, longer, helped] = &mut kinds;
    for member in &members {
        match member {
            Requirement::Pin(id) => {
                given_up.push([Remedy::Unpin { activity: id.clone() }].into());
            }
            Requirement::Latest(id) => {
                let put_off = |slots| Remedy::LaterEnd { activity: id.clone(), slots };
                moved.push(LATER.map(put_off).into());
            }
            Requirement::Earliest(id) => {
                let earliest = problem.activities.iter().find(|of| &of.id == id);
                let room = earliest.map_or(0, |of| of.earliest.unwrap_or(0) - not_before);
                let put = |slots| Remedy::EarlierStart { activity: id.clone(), slots };
                // What is to happen at one moment only is a handover: it is put off, not put forward.
                let moment = earliest.is_some_and(|of| of.earliest == of.latest);
                let amounts = EARLIER.into_iter().filter(|&slots| slots <= room && !moment);
                moved.push(amounts.map(put).collect());
            }
            Requirement::Capacity(id) => {
                let room = |amount| Remedy::Room {
                    resource: id.clone(),
                    from: 0,
                    to: problem.horizon,
                    amount,
                };
                roomier.push(amounts(problem, id).into_iter().map(room).collect());
            }
            _ => {}
        }
    }
    let (from, to) = stretch(problem, plan, &members, not_before);
    let mut last: Vec<VecDeque<Remedy>> = Vec::new();
    for worker in problem.workers.iter().filter(|worker| worker.id != HELPER) {
        let windows = windows_within(problem, &worker.id, from, to);
        let time = |windows: &[usize], slots| Remedy::MoreTime {
            worker: worker.id.clone(),
            windows: windows.to_vec(),
            slots,
        };
        // Before a handover time is short: its last windows are asked for first.
        for &window in windows.iter().rev() {
            longer.push(LONGER.map(|slots| time(&[window], slots)).into());
            helped.push([Remedy::Helper { worker: worker.id.clone(), window }].into());
        }
        let several = SEVERAL.iter().filter_map(|&(count, slots)| {
            let first = windows.len().checked_sub(count)?;
            windows.get(first..).map(|some| time(some, slots))
        });
        let all = LONGER.iter().map(|&slots| time(&windows, slots));
        if windows.len() > 1 {
            last.push(several.chain(all).collect());
        }
    }
    // Of each kind one in turn: different ways out are worth more than many of one sort.
    let most = kinds.iter().map(Vec::len).max().unwrap_or(0);
    let turns = (0..most).flat_map(|k| kinds.iter().filter_map(move |kind| kind.get(k)));
    let mut queue: VecDeque<VecDeque<Remedy>> = turns.cloned().chain(last).collect();
    queue.retain(|ladder| !ladder.is_empty());
    queue
}

/// Requirements that the least bad plan breaks, where nothing is proven.
fn suspects(problem: &Problem, plan: &Plan) -> Vec<Requirement> {
    let mut out = BTreeSet::new();
    for breach in check(problem, plan).breaches {
        let order = |id: &str| {
            let of = problem.activities.iter().find(|of| of.id == id)?;
            of.order.clone()
        };
        if problem.resources.iter().any(|of| of.id == breach.id) {
            out.insert(Requirement::Capacity(breach.id.clone()));
        }
        let link = problem.links.iter().find(|of| of.id == breach.id);
        let id = link.map_or(breach.id.as_str(), |link| link.to.as_str());
        for activity in &problem.activities {
            if activity.id != id && (activity.order.is_none() || activity.order != order(id)) {
                continue;
            }
            if activity.pin.is_some() {
                out.insert(Requirement::Pin(activity.id.clone()));
            }
            if activity.latest.is_some() {
                out.insert(Requirement::Latest(activity.id.clone()));
            }
            if activity.earliest.is_some() {
                out.insert(Requirement::Earliest(activity.id.clone()));
            }
        }
    }
    out.into_iter().collect()
}

/// Growing amounts of room that stores and uses of a resource may lack.
fn amounts(problem: &Problem, resource: &str) -> Vec<i64> {
    let stores = problem.links.iter().flat_map(|link| {
        let modes = link.modes.iter().flat_map(|mode| {
            mode.store.iter().chain(mode.tail.iter().flat_map(|tail| &tail.store))
        });
        link.store.iter().chain(modes)
    });
    let uses = problem.activities.iter().flat_map(|of| of.uses.iter().chain(&of.hold));
    let own: Vec<i64> =
        stores.chain(uses).filter(|(id, _)| id == resource).map(|(_, amount)| *amount).collect();
    let (most, sum) = (own.iter().copied().max().unwrap_or(0), own.iter().sum());
    let mut out: Vec<i64> = [most, most * 2, sum].into_iter().filter(|&n| n > 0).collect();
    out.dedup();
    out
}

/// From when to when the conflict plays: the whole order of whatever it names.
fn stretch(problem: &Problem, plan: &Plan, members: &[Requirement], not_before: i32) -> (i32, i32) {
    let mut named: BTreeSet<&str> = BTreeSet::new();
    for member in members {
        match member {
            Requirement::Earliest(id)
            | Requirement::Latest(id)
            | Requirement::Gap(id)
            | Requirement::Calendar(id)
            | Requirement::Work(id)
            | Requirement::Pin(id) => {
                named.insert(id);
            }
            Requirement::Min(id) | Requirement::Max(id) => {
                let link = problem.links.iter().find(|link| &link.id == id);
                named.extend(link.iter().flat_map(|link| [link.from.as_str(), link.to.as_str()]));
            }
            Requirement::Limit(..) | Requirement::Capacity(_) => {}
        }
    }
    let named: Vec<_> =
        problem.activities.iter().filter(|of| named.contains(of.id.as_str())).collect();
    let orders = set_of(named.iter().filter_map(|of| of.order.as_ref()));
    let concerned = |of: &&Activity| {
        named.iter().any(|other| other.id == of.id)
            || of.order.as_ref().is_some_and(|order| orders.contains(order))
    };
    let ends = problem.activities.iter().filter(concerned).filter_map(|of| {
        let planned = plan.starts.get(&of.id).and_then(|starts| starts.last().copied());
        of.latest.or(of.due.map(|due| due.max(planned.unwrap_or(due))))
    });
    let to = ends.max().unwrap_or(problem.horizon);
    (not_before.max(0), to.clamp(0, problem.horizon))
}
