//! The requirements of a problem, by name, and the problem without some of them.
//!
//! In: a problem. Out: what a person could give up, and the problem as it is when that is given up. What
//! has no name (that a rest comes after its producer, that nobody is in two places) always holds.

use std::collections::BTreeSet;
use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::{Activity, Problem};

/// Something that a problem demands. Its text is the name that plan files use, such as `latest:o3.box`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Requirement {
    /// An activity's earliest start.
    Earliest(String),
    /// An activity's latest end.
    Latest(String),
    /// The longest pause between an activity's segments.
    Gap(String),
    /// The calendars that an activity's segments lie in.
    Calendar(String),
    /// That an activity needs a window of its workers.
    Work(String),
    /// An activity's pin.
    Pin(String),
    /// A worker's limit, by index.
    Limit(String, usize),
    /// A resource's capacity.
    Capacity(String),
    /// A link's least lag.
    Min(String),
    /// A link's greatest lag, in all of its modes.
    Max(String),
}

impl fmt::Display for Requirement {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Earliest(id) => write!(f, "earliest:{id}"),
            Self::Latest(id) => write!(f, "latest:{id}"),
            Self::Gap(id) => write!(f, "gap:{id}"),
            Self::Calendar(id) => write!(f, "calendar:{id}"),
            Self::Work(id) => write!(f, "work:{id}"),
            Self::Pin(id) => write!(f, "pin:{id}"),
            Self::Limit(id, index) => write!(f, "limit:{id}.{index}"),
            Self::Capacity(id) => write!(f, "capacity:{id}"),
            Self::Min(id) => write!(f, "min:{id}"),
            Self::Max(id) => write!(f, "max:{id}"),
        }
    }
}

/// A text that names no requirement.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotARequirement(String);

impl fmt::Display for NotARequirement {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?} names no requirement; write for example \"latest:o3.box\"", self.0)
    }
}

impl std::error::Error for NotARequirement {}

impl FromStr for Requirement {
    type Err = NotARequirement;

    fn from_str(text: &str) -> Result<Self, NotARequirement> {
        let fault = || NotARequirement(text.to_owned());
        let (kind, id) = text.split_once(':').ok_or_else(fault)?;
        let owned = id.to_owned();
        Ok(match kind {
            "earliest" => Self::Earliest(owned),
            "latest" => Self::Latest(owned),
            "gap" => Self::Gap(owned),
            "calendar" => Self::Calendar(owned),
            "work" => Self::Work(owned),
            "pin" => Self::Pin(owned),
            "capacity" => Self::Capacity(owned),
            "min" => Self::Min(owned),
            "max" => Self::Max(owned),
            "limit" => {
                let (worker, index) = id.rsplit_once('.').ok_or_else(fault)?;
                Self::Limit(worker.to_owned(), index.parse().map_err(|_| fault())?)
            }
            _ => return Err(fault()),
        })
    }
}

/// Everything that could be given up. First what a person decides most easily: of several conflicts the
/// one in such terms is named.
pub fn requirements(problem: &Problem) -> Vec<Requirement> {
    let mut out = Vec::new();
    let mut each = |of: fn(&Activity) -> Option<Requirement>| {
        out.extend(problem.activities.iter().filter_map(of));
    };
    each(|of| of.pin.as_ref().map(|_| Requirement::Pin(of.id.clone())));
    each(|of| of.latest.map(|_| Requirement::Latest(of.id.clone())));
    each(|of| of.earliest.map(|_| Requirement::Earliest(of.id.clone())));
    for worker in &problem.workers {
        out.extend((0..worker.limits.len()).map(|i| Requirement::Limit(worker.id.clone(), i)));
    }
    out.extend(problem.resources.iter().map(|of| Requirement::Capacity(of.id.clone())));
    let mut each = |of: fn(&Activity) -> Option<Requirement>| {
        out.extend(problem.activities.iter().filter_map(of));
    };
    each(|of| (!of.workers.is_empty()).then(|| Requirement::Work(of.id.clone())));
    each(|of| {
        let calendar = of.within.is_some() || of.start_in.is_some() || of.end_in.is_some();
        calendar.then(|| Requirement::Calendar(of.id.clone()))
    });
    each(|of| of.gap_max.map(|_| Requirement::Gap(of.id.clone())));
    for link in &problem.links {
        if link.max.is_some() || link.modes.iter().any(|mode| mode.max.is_some()) {
            out.push(Requirement::Max(link.id.clone()));
        }
    }
    for link in &problem.links {
        if link.modes.is_empty() && link.min > 0 && link.store.is_empty() {
            out.push(Requirement::Min(link.id.clone()));
        }
    }
    out
}

/// The problem when only the requirements in `kept` hold, and what has no name: valid, to be planned or written.
pub fn holding_only(problem: &Problem, kept: &[Requirement]) -> Problem {
    let mut out = relaxed(problem, &kept.iter().collect());
    for limit in out.workers.iter_mut().flat_map(|worker| &mut worker.limits) {
        limit.max = limit.max.min(MOST_IN_A_FILE);
    }
    for resource in &mut out.resources {
        resource.capacity = resource.capacity.min(MOST_IN_A_FILE);
    }
    out
}

/// The greatest amount that a problem may contain.
const MOST_IN_A_FILE: i64 = 100_000_000;

/// The problem when only the requirements in `kept` hold.
pub(super) fn relaxed(problem: &Problem, kept: &BTreeSet<&Requirement>) -> Problem {
    let dropped = |requirement: Requirement| !kept.contains(&requirement);
    let mut problem = problem.clone();
    for activity in &mut problem.activities {
        let id = || activity.id.clone();
        if activity.earliest.is_some() && dropped(Requirement::Earliest(id())) {
            activity.earliest = None;
        }
        if activity.latest.is_some() && dropped(Requirement::Latest(id())) {
            activity.latest = None;
        }
        if activity.gap_max.is_some() && dropped(Requirement::Gap(id())) {
            activity.gap_max = None;
        }
        if dropped(Requirement::Calendar(id())) {
            (activity.within, activity.start_in, activity.end_in) = (None, None, None);
        }
        if !activity.workers.is_empty() && dropped(Requirement::Work(id())) {
            activity.workers.clear();
        }
        if activity.pin.is_some() && dropped(Requirement::Pin(id())) {
            activity.pin = None;
        }
    }
    for worker in &mut problem.workers {
        for (index, limit) in worker.limits.iter_mut().enumerate() {
            if dropped(Requirement::Limit(worker.id.clone(), index)) {
                limit.max = i64::from(i32::MAX);
            }
        }
    }
    for resource in &mut problem.resources {
        if dropped(Requirement::Capacity(resource.id.clone())) {
            resource.capacity = i64::MAX / 4;
        }
    }
    for link in &mut problem.links {
        if link.min > 0
            && link.modes.is_empty()
            && link.store.is_empty()
            && dropped(Requirement::Min(link.id.clone()))
        {
            link.min = 0;
        }
        let limited = link.max.is_some() || link.modes.iter().any(|mode| mode.max.is_some());
        if limited && dropped(Requirement::Max(link.id.clone())) {
            link.max = None;
            for mode in &mut link.modes {
                mode.max = None;
            }
        }
    }
    problem
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_go_there_and_back() {
        for name in [
            "earliest:a",
            "latest:o1.box",
            "gap:a",
            "calendar:a",
            "work:a",
            "pin:a:b",
            "limit:o1.baker.12",
            "capacity:rack",
            "min:a>b",
            "max:a>b",
        ] {
            let requirement: Requirement = name.parse().expect(name);
            assert_eq!(requirement.to_string(), name);
        }
        for wrong in ["", "late:a", "latest", "limit:baker", "limit:baker.x"] {
            assert!(wrong.parse::<Requirement>().is_err(), "{wrong}");
        }
    }
}
