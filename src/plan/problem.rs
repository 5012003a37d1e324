//! The neutral problem and plan, as their files have them (`makeahead-sched/2`).
//!
//! All times are whole slots from slot 0, Monday 00:00 of the first week, in elapsed time; intervals
//! are half-open.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

/// A planning problem.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Problem {
    /// `makeahead-sched/2` (or `/1`, which lacks kinds, limits and modes).
    pub format: String,
    /// Named by plans made for it.
    pub name: String,
    /// Length of a slot in minutes.
    pub grid_minutes: u16,
    /// Slots of an ordinary day.
    pub slots_per_day: u16,
    /// Number of slots.
    pub horizon: i32,
    /// Named sets of windows: sorted, disjoint.
    #[serde(default)]
    pub calendars: BTreeMap<String, Vec<(i32, i32)>>,
    /// Who works.
    pub workers: Vec<Worker>,
    /// What is used and where things stand.
    pub resources: Vec<Resource>,
    /// What is placed.
    pub activities: Vec<Activity>,
    /// Lags between activities, and what rests meanwhile.
    pub links: Vec<Link>,
    /// Of the objective's parts.
    pub weights: Weights,
}

/// Somebody who works.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Worker {
    /// Unique.
    pub id: String,
    /// Free windows: sorted, disjoint.
    pub windows: Vec<(i32, i32)>,
    /// For each window the slots of work that cost nothing; empty: no such cost.
    #[serde(default)]
    pub soft: Vec<i64>,
    /// Limits over spans.
    #[serde(default)]
    pub limits: Vec<Limit>,
}

/// At most `max` slots of work of the given kinds start in `[from, to)`.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Limit {
    /// First slot.
    pub from: i32,
    /// Slot after the last.
    pub to: i32,
    /// Which kinds; none: any.
    #[serde(default)]
    pub kinds: Option<Vec<String>>,
    /// Slots.
    pub max: i64,
}

/// Something with a capacity.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Resource {
    /// Unique.
    pub id: String,
    /// At any slot.
    pub capacity: i64,
    /// Cost of one unit stored for one slot.
    #[serde(default)]
    pub load_weight: i64,
    /// Taken already: start, end, amount.
    #[serde(default)]
    pub busy: Vec<(i32, i32, i64)>,
}

/// Something to place.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Activity {
    /// Unique.
    pub id: String,
    /// Whose; only for explanations.
    #[serde(default)]
    pub order: Option<String>,
    /// Counted by limits.
    #[serde(default)]
    pub kind: Option<String>,
    /// Length of each segment; at least one entry.
    pub segments: Vec<i32>,
    /// Who may do a segment; empty: passive.
    #[serde(default)]
    pub workers: Vec<String>,
    /// Every segment lies inside one window of this calendar.
    #[serde(default)]
    pub within: Option<String>,
    /// The first segment starts inside a window of this calendar.
    #[serde(default)]
    pub start_in: Option<String>,
    /// The last segment ends inside a window of this calendar.
    #[serde(default)]
    pub end_in: Option<String>,
    /// Taken during every segment.
    #[serde(default, rename = "use")]
    pub uses: Vec<(String, i64)>,
    /// Taken between segments.
    #[serde(default)]
    pub hold: Vec<(String, i64)>,
    /// Longest pause between segments.
    #[serde(default)]
    pub gap_max: Option<i32>,
    /// Hard: first start at or after.
    #[serde(default)]
    pub earliest: Option<i32>,
    /// Hard: last end at or before.
    #[serde(default)]
    pub latest: Option<i32>,
    /// Soft: last end.
    #[serde(default)]
    pub due: Option<i32>,
    /// Cost of a slot past `due`.
    #[serde(default)]
    pub late_weight: i64,
    /// Fixed: one start for each segment.
    #[serde(default)]
    pub pin: Option<Vec<i32>>,
    /// Starts in the plan shown before.
    #[serde(default, rename = "ref")]
    pub reference: Option<Vec<i32>>,
    /// Cost of a slot of distance from `ref`.
    #[serde(default)]
    pub stab_weight: i64,
}

/// Which end of an activity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum At {
    /// Start of its first segment.
    S,
    /// End of its last segment.
    E,
}

/// A lag between two activities: `min <= t(to) - t(from) <= max`, or one of several modes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Link {
    /// Unique.
    pub id: String,
    /// Activity.
    pub from: String,
    /// Its start or end.
    #[serde(default = "at_end")]
    pub from_at: At,
    /// Activity.
    pub to: String,
    /// Its start or end.
    #[serde(default = "at_start")]
    pub to_at: At,
    /// Least lag; may be negative. Ignored when there are modes.
    #[serde(default)]
    pub min: i32,
    /// Greatest lag.
    #[serde(default)]
    pub max: Option<i32>,
    /// Taken over the lag.
    #[serde(default)]
    pub store: Vec<(String, i64)>,
    /// Cost of a slot of lag.
    #[serde(default)]
    pub age_weight: i64,
    /// A choice of rests; empty: the fields above hold.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub modes: Vec<Mode>,
}

fn at_end() -> At {
    At::E
}

fn at_start() -> At {
    At::S
}

/// One way to rest.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Mode {
    /// Unique within the link.
    pub name: String,
    /// Least lag.
    pub min: i32,
    /// Greatest lag.
    #[serde(default)]
    pub max: Option<i32>,
    /// Taken from the start up to the tail.
    #[serde(default)]
    pub store: Vec<(String, i64)>,
    /// The last stretch.
    #[serde(default)]
    pub tail: Option<Tail>,
    /// Cost of a slot of lag.
    #[serde(default)]
    pub age_weight: i64,
    /// Cost of choosing it.
    #[serde(default)]
    pub cost: i64,
}

/// The last slots of a rest, elsewhere.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Tail {
    /// Slots; at most the mode's `min`.
    pub len: i32,
    /// Taken meanwhile.
    #[serde(default)]
    pub store: Vec<(String, i64)>,
}

/// Weights of the objective's parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Weights {
    /// Lateness.
    pub late: i64,
    /// Load on places.
    pub load: i64,
    /// Age of what rests.
    pub age: i64,
    /// Long evenings.
    pub evening: i64,
    /// Distance from the plan shown before.
    pub stability: i64,
    /// Unwelcome modes.
    pub mode: i64,
}

/// What the planner can say of its plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum Status {
    /// No plan is better.
    Optimal,
    /// Sound.
    Feasible,
    /// Proven: no sound plan exists. `starts` then holds the least bad one.
    Infeasible,
    /// None was found. `starts` then holds the least bad one.
    #[default]
    Unknown,
}

/// A plan.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Plan {
    /// The problem's name.
    pub instance: String,
    /// What is known of it.
    pub status: Status,
    /// By the problem's weights; none when the plan is not sound.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub objective: Option<i64>,
    /// No sound plan costs less.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bound: Option<i64>,
    /// Start of each segment of each activity.
    #[serde(default)]
    pub starts: BTreeMap<String, Vec<i32>>,
    /// Worker of each segment; none when passive.
    #[serde(default)]
    pub worker: BTreeMap<String, Vec<Option<String>>>,
    /// Chosen mode of each link that has modes.
    #[serde(default)]
    pub modes: BTreeMap<String, String>,
    /// When proven infeasible: requirements that cannot hold together.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub conflict: Vec<String>,
}

/// What is wrong with a problem or plan file: where, and what to write instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProblemError {
    /// For example `activities[3].segments`.
    pub place: String,
    /// For example "needs at least one length, such as [4]".
    pub message: String,
}

impl std::fmt::Display for ProblemError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {}", self.place, self.message)
    }
}

impl std::error::Error for ProblemError {}
