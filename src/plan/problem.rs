//! The neutral problem and plan, as their files have them (`makeahead-sched/2`).
//!
//! All times are whole slots from slot 0, Monday 00:00 of the first week, in elapsed time; intervals
//! are half-open.

use std::collections::BTreeMap;

use serde::{Deserialize, Deserializer, Serialize};

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
    #[serde(default, deserialize_with = "null_is_default")]
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
    #[serde(default, deserialize_with = "null_is_default")]
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
    #[serde(default, deserialize_with = "null_is_default")]
    pub soft: Vec<i64>,
    /// Limits over spans.
    #[serde(default, deserialize_with = "null_is_default")]
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
    #[serde(default, deserialize_with = "null_is_default")]
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
    #[serde(default, deserialize_with = "null_is_default")]
    pub load_weight: i64,
    /// Taken already: start, end, amount.
    #[serde(default, deserialize_with = "null_is_default")]
    pub busy: Vec<(i32, i32, i64)>,
}

/// Something to place.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Activity {
    /// Unique.
    pub id: String,
    /// Whose; only for explanations.
    #[serde(default, deserialize_with = "null_is_default")]
    pub order: Option<String>,
    /// Counted by limits.
    #[serde(default, deserialize_with = "null_is_default")]
    pub kind: Option<String>,
    /// Length of each segment; at least one entry.
    pub segments: Vec<i32>,
    /// Who may do a segment; empty: passive.
    #[serde(default, deserialize_with = "null_is_default")]
    pub workers: Vec<String>,
    /// Every segment lies inside one window of this calendar.
    #[serde(default, deserialize_with = "null_is_default")]
    pub within: Option<String>,
    /// The first segment starts inside a window of this calendar.
    #[serde(default, deserialize_with = "null_is_default")]
    pub start_in: Option<String>,
    /// The last segment ends inside a window of this calendar.
    #[serde(default, deserialize_with = "null_is_default")]
    pub end_in: Option<String>,
    /// Taken during every segment.
    #[serde(default, rename = "use", deserialize_with = "null_is_default")]
    pub uses: Vec<(String, i64)>,
    /// Taken between segments.
    #[serde(default, deserialize_with = "null_is_default")]
    pub hold: Vec<(String, i64)>,
    /// Longest pause between segments.
    #[serde(default, deserialize_with = "null_is_default")]
    pub gap_max: Option<i32>,
    /// Hard: first start at or after.
    #[serde(default, deserialize_with = "null_is_default")]
    pub earliest: Option<i32>,
    /// Hard: last end at or before.
    #[serde(default, deserialize_with = "null_is_default")]
    pub latest: Option<i32>,
    /// Soft: last end.
    #[serde(default, deserialize_with = "null_is_default")]
    pub due: Option<i32>,
    /// Cost of a slot past `due`.
    #[serde(default, deserialize_with = "null_is_default")]
    pub late_weight: i64,
    /// Fixed: one start for each segment.
    #[serde(default, deserialize_with = "null_is_default")]
    pub pin: Option<Vec<i32>>,
    /// Starts in the plan shown before.
    #[serde(default, rename = "ref", deserialize_with = "null_is_default")]
    pub reference: Option<Vec<i32>>,
    /// Cost of a slot of distance from `ref`.
    #[serde(default, deserialize_with = "null_is_default")]
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
    #[serde(default, deserialize_with = "null_is_default")]
    pub min: i32,
    /// Greatest lag.
    #[serde(default, deserialize_with = "null_is_default")]
    pub max: Option<i32>,
    /// Taken over the lag.
    #[serde(default, deserialize_with = "null_is_default")]
    pub store: Vec<(String, i64)>,
    /// Cost of a slot of lag.
    #[serde(default, deserialize_with = "null_is_default")]
    pub age_weight: i64,
    /// A choice of rests; empty: the fields above hold.
    #[serde(default, deserialize_with = "null_is_default", skip_serializing_if = "Vec::is_empty")]
    pub modes: Vec<Mode>,
}

/// Files may leave a field out or write null for it.
fn null_is_default<'de, D, T>(deserializer: D) -> Result<T, D::Error>
where
    D: Deserializer<'de>,
    T: Deserialize<'de> + Default,
{
    Ok(Option::<T>::deserialize(deserializer)?.unwrap_or_default())
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
    #[serde(default, deserialize_with = "null_is_default")]
    pub max: Option<i32>,
    /// Taken from the start up to the tail.
    #[serde(default, deserialize_with = "null_is_default")]
    pub store: Vec<(String, i64)>,
    /// The last stretch.
    #[serde(default, deserialize_with = "null_is_default")]
    pub tail: Option<Tail>,
    /// Cost of a slot of lag.
    #[serde(default, deserialize_with = "null_is_default")]
    pub age_weight: i64,
    /// Cost of choosing it.
    #[serde(default, deserialize_with = "null_is_default")]
    pub cost: i64,
}

/// The last slots of a rest, elsewhere.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Tail {
    /// Slots; at most the mode's `min`.
    pub len: i32,
    /// Taken meanwhile.
    #[serde(default, deserialize_with = "null_is_default")]
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
    #[serde(default)]
    pub instance: String,
    /// What is known of it.
    #[serde(default)]
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

impl Problem {
    /// Reads and checks a problem file.
    pub fn from_json(text: &str) -> Result<Self, ProblemError> {
        let problem: Self =
            serde_json::from_str(text).map_err(|error| ProblemError::json(&error))?;
        problem.validate()?;
        Ok(problem)
    }

    /// The plan shown before, as far as pins and references tell it: the starts, with the first worker allowed. Modes
    /// are left open. None where nothing was shown.
    pub fn shown(&self) -> Option<Plan> {
        let mut plan = Plan::default();
        for activity in &self.activities {
            let known = activity.pin.as_ref().or(activity.reference.as_ref());
            let Some(starts) = known.filter(|starts| starts.len() == activity.segments.len())
            else {
                continue;
            };
            plan.starts.insert(activity.id.clone(), starts.clone());
            let who = activity.workers.first().cloned();
            plan.worker.insert(activity.id.clone(), vec![who; starts.len()]);
        }
        let was_shown = self.activities.iter().any(|activity| activity.reference.is_some());
        was_shown.then_some(plan)
    }
}

impl Plan {
    /// Reads a plan file. Whether it fits a problem is for [`super::check::check`] to say.
    pub fn from_json(text: &str) -> Result<Self, ProblemError> {
        serde_json::from_str(text).map_err(|error| ProblemError::json(&error))
    }
}

/// What is wrong with a problem or plan file: where, and what to write instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProblemError {
    /// For example `activities[3].segments`.
    pub place: String,
    /// For example "needs at least one length, such as `[4]`".
    pub message: String,
}

impl ProblemError {
    pub(super) fn new(place: impl Into<String>, message: impl Into<String>) -> Self {
        Self { place: place.into(), message: message.into() }
    }

    fn json(error: &serde_json::Error) -> Self {
        let place = format!("line {} column {}", error.line(), error.column());
        let whole = error.to_string();
        let suffix = format!(" at {place}");
        let cause = whole.strip_suffix(suffix.as_str()).unwrap_or(&whole);
        Self::new(place, cause.replace('\n', " "))
    }
}

impl std::fmt::Display for ProblemError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {}", self.place, self.message)
    }
}

impl std::error::Error for ProblemError {}
