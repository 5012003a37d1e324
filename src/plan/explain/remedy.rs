//! What could be given so that an impossible problem becomes possible, and the problem when it is given.
//!
//! In: a problem and a remedy. Out: the changed problem, and a price in the objective's units: what is
//! given is counted by the weight of the preference that it goes against. Plans nothing. Never touches
//! a greatest lag: what keeps for so long keeps no longer for being inconvenient.

use serde::{Deserialize, Serialize};

use crate::arrange::{Arrange, set_of};
use crate::{Activity, Plan, Problem, Worker};

/// Something to give.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Remedy {
    /// Longer windows of a worker, and as much more allowed by the limits on all work in them.
    MoreTime {
        /// Whose.
        worker: String,
        /// Which of their windows, each so much longer.
        windows: Vec<usize>,
        /// Slots.
        slots: i32,
    },
    /// Somebody else who may do the same work in one window.
    Helper {
        /// As whom.
        worker: String,
        /// In which of that worker's windows.
        window: usize,
    },
    /// A pin is let go; its place becomes a wish.
    Unpin {
        /// Whose.
        activity: String,
    },
    /// An earliest start that lies earlier.
    EarlierStart {
        /// Whose.
        activity: String,
        /// Slots.
        slots: i32,
    },
    /// A latest end that lies later, and what is tied to the same moment with it.
    LaterEnd {
        /// Whose: as a rule a handover.
        activity: String,
        /// Slots.
        slots: i32,
    },
    /// More room.
    Room {
        /// Where.
        resource: String,
        /// From.
        from: i32,
        /// To.
        to: i32,
        /// Units.
        amount: i64,
    },
    /// Several that only help together, at least two; none of them is such a set itself.
    Together(Vec<Self>),
}

impl Remedy {
    /// What is given, one by one.
    pub fn parts(&self) -> Vec<Self> {
        match self {
            Self::Together(parts) => parts.clone(),
            one => vec![one.clone()],
        }
    }

    /// All of these; none when there are none.
    pub(super) fn all(mut parts: Vec<Self>) -> Option<Self> {
        if parts.len() > 1 { Some(Self::Together(parts)) } else { parts.pop() }
    }

    /// What it gives and to whom, whatever the amount.
    pub(super) fn aim(&self) -> (u8, String) {
        match self {
            Self::MoreTime { worker, windows, .. } => (0, format!("{worker} {windows:?}")),
            Self::Helper { worker, window } => (1, format!("{worker} {window}")),
            Self::Unpin { activity } => (2, activity.clone()),
            Self::EarlierStart { activity, .. } => (3, activity.clone()),
            Self::LaterEnd { activity, .. } => (4, activity.clone()),
            Self::Room { resource, .. } => (5, resource.clone()),
            Self::Together(parts) => {
                let aims = parts.iter().map(|part| format!("{:?}", part.aim()));
                (6, aims.collect::<Vec<_>>().join(" "))
            }
        }
    }

    /// The problem with it; none when it cannot be given.
    pub fn given(&self, problem: &Problem) -> Option<Problem> {
        if let Self::Together(parts) = self {
            let first = (!parts.is_empty()).then(|| problem.clone());
            return parts.iter().fold(first, |problem, part| part.given(&problem?));
        }
        let mut out = problem.clone();
        let done = match self {
            Self::MoreTime { worker, windows, slots } => longer(&mut out, worker, windows, *slots),
            Self::Helper { worker, window } => helper(&mut out, worker, *window),
            Self::Unpin { activity } => unpin(&mut out, activity),
            Self::EarlierStart { activity, slots } => {
                let of = find(&mut out, activity)?;
                of.earliest = of.earliest.map(|at| at - slots);
                of.earliest.is_some()
            }
            Self::LaterEnd { activity, slots } => later(&mut out, activity, *slots),
            Self::Together(_) => false,
            Self::Room { resource, from, to, amount } => {
                let horizon = out.horizon;
                let of = out.resources.iter_mut().find(|of| &of.id == resource)?;
                of.capacity += amount;
                // More room for some hours: more at all times, but taken before and after.
                let outside = [(0, *from, *amount), (*to, horizon, *amount)];
                of.busy.extend(outside.into_iter().filter(|(a, b, _)| a < b));
                from < to && 0 < *amount
            }
        };
        (done && out.validate().is_ok()).then_some(out)
    }

    /// What it costs her besides the plan's own objective.
    pub fn price(&self, problem: &Problem, plan: &Plan) -> i64 {
        let weights = &problem.weights;
        let slot_of_hers = weights.evening.max(1);
        let activity = |id: &str| problem.activities.iter().find(|of| of.id == id);
        match self {
            Self::Together(parts) => {
                let helpers = |part: &&Self| matches!(part, Self::Helper { .. });
                // A helper's time is counted once, in however many windows it is given.
                let twice = parts.iter().filter(helpers).skip(1);
                let price = |part: &Self| part.price(problem, plan);
                parts.iter().map(price).sum::<i64>() - twice.map(price).sum::<i64>()
            }
            Self::MoreTime { windows, slots, .. } => {
                slot_of_hers * i64::from(*slots) * i64::try_from(windows.len()).unwrap_or(1)
            }
            // Somebody else's time has to be asked for, and paid.
            Self::Helper { .. } => 2 * slot_of_hers * worked(problem, plan, HELPER),
            Self::Unpin { activity: id } => {
                let pin = activity(id).and_then(|of| of.pin.as_ref()?.first().copied());
                let start = plan.starts.get(id).and_then(|starts| starts.first().copied());
                let away = pin.zip(start).map_or(0, |(a, b)| i64::from((a - b).abs()));
                weights.stability.max(1) * away
            }
            Self::EarlierStart { slots, .. } => slot_of_hers * i64::from(*slots),
            Self::LaterEnd { activity: id, slots } => {
                let late = activity(id).map_or(0, |of| of.late_weight).max(1);
                weights.late.max(1) * late * i64::from(*slots)
            }
            Self::Room { resource, from, to, amount } => {
                let of = problem.resources.iter().find(|of| &of.id == resource);
                let price = weights.load.max(1) * of.map_or(1, |of| of.load_weight.max(1));
                price * amount * i64::from(to - from)
            }
        }
    }
}

/// The id of a worker who is not there yet.
/// The id of a second worker beside the baker.
pub const HELPER: &str = "another pair of hands";

fn find<'a>(problem: &'a mut Problem, id: &str) -> Option<&'a mut Activity> {
    problem.activities.iter_mut().find(|activity| activity.id == id)
}

fn worked(problem: &Problem, plan: &Plan, worker: &str) -> i64 {
    let of = |activity: &Activity| -> i64 {
        let who = plan.worker.get(&activity.id).map_or(&[][..], Vec::as_slice);
        let own =
            activity.segments.iter().zip(who).filter(|(_, who)| who.as_deref() == Some(worker));
        own.map(|(length, _)| i64::from(*length)).sum()
    };
    problem.activities.iter().map(of).sum()
}

/// Lengthens windows at their ends, or, where the next one begins too soon, at their beginnings; calendars
/// that end or begin at the same moment go along.
fn longer(problem: &mut Problem, worker: &str, windows: &[usize], slots: i32) -> bool {
    let horizon = problem.horizon;
    let mut moved: Vec<((i32, i32), (i32, i32))> = Vec::new();
    let Some(of) = problem.workers.iter_mut().find(|of| of.id == worker) else { return false };
    for &window in windows {
        let Some(&(from, to)) = of.windows.get(window) else { return false };
        let next = of.windows.get(window + 1).map_or(horizon, |next| next.0);
        let before = window.checked_sub(1).and_then(|k| of.windows.get(k)).map_or(0, |w| w.1);
        let wider = if to + slots <= next {
            (from, to + slots)
        } else if before <= from - slots {
            (from - slots, to)
        } else {
            return false;
        };
        if let Some(entry) = of.windows.get_mut(window) {
            *entry = wider;
        }
        for limit in of.limits.iter_mut().filter(|limit| limit.kinds.is_none()) {
            if limit.from < to && from < limit.to {
                limit.max += i64::from(slots);
            }
        }
        moved.push(((from, to), wider));
    }
    for calendar in problem.calendars.values_mut() {
        for (old, new) in &moved {
            for entry in calendar.iter_mut() {
                if entry.1 == old.1 {
                    entry.1 = new.1;
                }
                if entry.0 == old.0 {
                    entry.0 = new.0;
                }
            }
        }
        *calendar = disjoint(calendar);
    }
    !windows.is_empty()
}

fn disjoint(windows: &[(i32, i32)]) -> Vec<(i32, i32)> {
    let mut out: Vec<(i32, i32)> = Vec::with_capacity(windows.len());
    for &(from, to) in windows {
        match out.last_mut() {
            Some(last) if from < last.1 => last.1 = last.1.max(to),
            _ => out.push((from, to)),
        }
    }
    out
}

fn helper(problem: &mut Problem, worker: &str, window: usize) -> bool {
    let Some(of) = problem.workers.iter().find(|of| of.id == worker) else { return false };
    let Some(&span) = of.windows.get(window) else { return false };
    if let Some(known) = problem.workers.iter_mut().find(|of| of.id == HELPER) {
        // The same helper once more.
        let apart = known.windows.iter().all(|&(from, to)| span.1 <= from || to <= span.0);
        known.windows.push(span);
        known.windows.arrange();
        return apart;
    }
    problem.workers.push(Worker {
        id: HELPER.to_owned(),
        windows: vec![span],
        ..Worker::default()
    });
    for activity in &mut problem.activities {
        if activity.pin.is_none() && activity.workers.iter().any(|id| id == worker) {
            activity.workers.push(HELPER.to_owned());
        }
    }
    true
}

fn unpin(problem: &mut Problem, id: &str) -> bool {
    let Some(of) = find(problem, id) else { return false };
    let Some(pin) = of.pin.take() else { return false };
    of.reference = Some(pin);
    of.stab_weight = of.stab_weight.max(1);
    true
}

fn later(problem: &mut Problem, id: &str, slots: i32) -> bool {
    let horizon = problem.horizon;
    let Some(of) = find(problem, id) else { return false };
    let Some(latest) = of.latest else { return false };
    let to = latest + slots;
    // A moment that may be no other is one moment: it moves as a whole.
    for tied in [&mut of.earliest, &mut of.due] {
        if *tied == Some(latest) {
            *tied = Some(to);
        }
    }
    of.latest = Some(to);
    to <= horizon
}

/// Windows of a worker that touch a stretch, by index.
pub(super) fn windows_within(problem: &Problem, worker: &str, from: i32, to: i32) -> Vec<usize> {
    let of = problem.workers.iter().find(|of| of.id == worker);
    let windows = of.map_or(&[][..], |of| of.windows.as_slice());
    let touches = |&(_, &(a, b)): &(usize, &(i32, i32))| a < to && from < b;
    windows.iter().enumerate().filter(touches).map(|(index, _)| index).collect()
}

/// Modes that a plan chooses and another does not.
pub(super) fn other_modes(old: &Plan, new: &Plan) -> Vec<(String, String)> {
    let known = set_of(&old.modes);
    let new = new.modes.iter().filter(|entry| !known.contains(entry));
    new.map(|(link, mode)| (link.clone(), mode.clone())).collect()
}
