//! Why a segment lies where it lies: what holds it from the left and from the right.
//!
//! In: problem, plan, one segment. Out: for each side how far it could go, what it meets there, and what
//! holds that in turn, as a short chain; and what it would cost to go. Everything else stays where it is.

use super::ledger::Ledger;
use crate::check::{Parts, check};
use crate::{At, Plan, Problem, possible_starts};

/// Longest chain told.
const CHAIN_MOST: usize = 5;

/// What forbids a start.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// It is pinned.
    Pinned {
        /// To this start.
        at: i32,
    },
    /// Less lag than there must be.
    LeastLag {
        /// Which link.
        link: String,
        /// The activity at its other end.
        other: String,
        /// That one's moment.
        other_at: i32,
        /// Slots that there must be.
        lag: i32,
    },
    /// More lag than there may be.
    GreatestLag {
        /// Which link.
        link: String,
        /// The activity at its other end.
        other: String,
        /// That one's moment.
        other_at: i32,
        /// Slots that there may be.
        lag: i32,
    },
    /// It would meet a segment of its own activity.
    Segment {
        /// Which.
        segment: usize,
        /// Where that one ends, or starts.
        at: i32,
    },
    /// It would be too far from a segment of its own activity.
    Pause {
        /// Which.
        segment: usize,
        /// Where that one ends, or starts.
        at: i32,
        /// Slots that there may be.
        most: i32,
    },
    /// Its worker does something else.
    Busy {
        /// Who.
        worker: String,
        /// What.
        other: String,
        /// Which segment of it.
        segment: usize,
        /// From.
        from: i32,
        /// To.
        to: i32,
    },
    /// Something has no room.
    Full {
        /// What.
        resource: String,
        /// First slot at which it shows.
        at: i32,
        /// Units by which it is too little.
        missing: i64,
    },
    /// Its worker would do more than a limit allows.
    Limit {
        /// Who.
        worker: String,
        /// Which of their limits.
        limit: usize,
    },
    /// Before the activity's earliest start.
    Earliest {
        /// Which is.
        at: i32,
    },
    /// After the activity's latest end.
    Latest {
        /// Which is.
        at: i32,
    },
    /// Outside what is planned at all.
    Horizon,
    /// Outside its worker's windows.
    Window {
        /// Who.
        worker: String,
    },
    /// Outside the windows of a calendar.
    Calendar {
        /// Which.
        name: String,
    },
}

impl Cause {
    /// Ends of windows are passed by: what lies beyond them is told too.
    fn is_window(&self) -> bool {
        matches!(self, Self::Window { .. } | Self::Calendar { .. })
    }
}

/// One link of a chain: a segment, and what holds it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hold {
    /// What is held.
    pub activity: String,
    /// Which segment of it.
    pub segment: usize,
    /// By what.
    pub cause: Cause,
}

/// The nearest start on a side to which a segment could go with everything else staying.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Nearby {
    /// Where.
    pub start: i32,
    /// What the plan would cost more, part by part; negative: less.
    pub dearer: Parts,
}

/// One side of a segment.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Side {
    /// Slots that it could move with everything else staying, without leaving its window.
    pub slack: i32,
    /// What it then meets, what holds that, and so on; empty only when the segment is not placed.
    pub chain: Vec<Hold>,
    /// The nearest free start on this side, in this window or beyond; none when there is none before
    /// the first thing that the chain names.
    pub nearby: Option<Nearby>,
}

/// Why a segment lies where it lies.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct WhyHere {
    /// Towards earlier starts.
    pub left: Side,
    /// Towards later starts.
    pub right: Side,
    /// First and last start that are not ruled out if the others may move too.
    pub possible: Option<(i32, i32)>,
}

#[derive(Debug, Clone, Copy)]
enum Way {
    Earlier,
    Later,
}

impl Way {
    fn step(self) -> i32 {
        match self {
            Self::Earlier => -1,
            Self::Later => 1,
        }
    }
}

/// Why a segment lies where the plan has it; none when the plan does not place it.
pub fn why_here(problem: &Problem, plan: &Plan, activity: &str, segment: usize) -> Option<WhyHere> {
    let mut ledger = Ledger::of(problem, plan);
    let index = ledger.find(activity)?;
    ledger.span(index, segment)?;
    let now = check(problem, plan).parts;
    let mut side = |way: Way| {
        let reach = reach(&mut ledger, index, segment, way);
        let nearby = reach.free.map(|start| {
            let moved = moved(plan, activity, segment, start);
            Nearby { start, dearer: difference(check(problem, &moved).parts, now) }
        });
        let chain = chain(&mut ledger, (index, segment), way, reach.causes);
        Side { slack: reach.slack, chain, nearby }
    };
    let (left, right) = (side(Way::Earlier), side(Way::Later));
    let starts = possible_starts(problem, plan, activity, segment);
    let possible = starts.first().zip(starts.last()).map(|(first, last)| (first.0, last.1 - 1));
    Some(WhyHere { left, right, possible })
}

/// The plan with one segment elsewhere.
pub(super) fn moved(plan: &Plan, activity: &str, segment: usize, start: i32) -> Plan {
    let mut moved = plan.clone();
    if let Some(entry) = moved.starts.get_mut(activity).and_then(|all| all.get_mut(segment)) {
        *entry = start;
    }
    moved
}

pub(super) fn difference(a: Parts, b: Parts) -> Parts {
    Parts {
        late: a.late - b.late,
        load: a.load - b.load,
        age: a.age - b.age,
        evening: a.evening - b.evening,
        stability: a.stability - b.stability,
        mode: a.mode - b.mode,
        total: a.total - b.total,
    }
}

/// How far a segment can go.
struct Reach {
    slack: i32,
    /// What stops it for good, or the end of its window when a free start lies beyond; the weightiest
    /// first.
    causes: Vec<Cause>,
    free: Option<i32>,
}

fn reach(ledger: &mut Ledger<'_>, index: usize, segment: usize, way: Way) -> Reach {
    let mut reach = Reach { slack: 0, causes: Vec::new(), free: None };
    let Some((here, _)) = ledger.span(index, segment) else { return reach };
    ledger.lift(index, segment, true);
    let mut start = here;
    loop {
        start += way.step();
        let against = ledger.against(index, segment, start);
        let Some(first) = against.first() else {
            reach.free = reach.free.or(Some(start));
            if !reach.causes.is_empty() {
                break;
            }
            reach.slack += 1;
            continue;
        };
        if !first.is_window() {
            reach.causes = against;
            break;
        }
        if reach.causes.is_empty() {
            reach.causes = against;
        }
        if reach.free.is_some() {
            break;
        }
    }
    ledger.lift(index, segment, false);
    reach
}

/// Follows what holds a segment, as long as that is itself held without slack, and never in a circle.
fn chain(
    ledger: &mut Ledger<'_>,
    first: (usize, usize),
    way: Way,
    causes: Vec<Cause>,
) -> Vec<Hold> {
    let mut chain: Vec<Hold> = Vec::new();
    let mut told = vec![first];
    let (mut here, mut causes) = (first, causes);
    while let Some(activity) = ledger.activity(here.0) {
        let fresh = |cause: &&Cause| next(ledger, here, cause).is_none_or(|at| !told.contains(&at));
        let Some(by) = causes.iter().find(fresh).cloned() else { break };
        let next = next(ledger, here, &by);
        chain.push(Hold { activity: activity.id.clone(), segment: here.1, cause: by });
        let Some(next) = next.filter(|_| chain.len() < CHAIN_MOST) else { break };
        told.push(next);
        let reach = reach(ledger, next.0, next.1, way);
        if reach.slack > 0 || reach.free.is_some() {
            break;
        }
        (here, causes) = (next, reach.causes);
    }
    chain
}

/// The segment that a cause points at.
fn next(ledger: &Ledger<'_>, here: (usize, usize), cause: &Cause) -> Option<(usize, usize)> {
    match cause {
        Cause::LeastLag { link, other, .. } | Cause::GreatestLag { link, other, .. } => {
            let index = ledger.find(other)?;
            let link = ledger.problem.links.iter().find(|of| &of.id == link)?;
            let at = if &link.from == other { link.from_at } else { link.to_at };
            let last = ledger.spans_of(index).len().checked_sub(1)?;
            Some((index, if at == At::S { 0 } else { last }))
        }
        Cause::Busy { other, segment, .. } => Some((ledger.find(other)?, *segment)),
        Cause::Segment { segment, .. } | Cause::Pause { segment, .. } => Some((here.0, *segment)),
        _ => None,
    }
}
