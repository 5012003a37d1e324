//! What a problem must satisfy before anything is computed from it.
//!
//! In: a problem as read. Out: nothing, or the first fault with its place and a valid example.
//! Knows only the format; whether a plan exists is the planner's question.

use std::collections::{BTreeMap, BTreeSet};

use super::{Activity, At, Link, Mode, Problem, ProblemError, Resource, Worker};
use crate::arrange::{map_of, set_of};

/// Two years of quarter hours.
const HORIZON_MOST: i32 = 70_080;
const ACTIVITIES_MOST: usize = 5_000;
const SEGMENTS_MOST: usize = 200;
const LIST_MOST: usize = 20_000;
/// Amounts, capacities, lags, weights: far above anything real, far below an overflow.
const NUMBER_MOST: i64 = 100_000_000;
/// Whole numbers that every JSON reader keeps exactly.
const OBJECTIVE_MOST: i128 = 9_007_199_254_740_991;

type Checked = Result<(), ProblemError>;

fn fault(place: impl Into<String>, message: impl Into<String>) -> Checked {
    Err(ProblemError::new(place, message))
}

impl Problem {
    /// Checks everything that the format demands; names the first fault.
    pub fn validate(&self) -> Checked {
        if !matches!(self.format.as_str(), "makeahead-sched/1" | "makeahead-sched/2") {
            return fault(
                "format",
                format!(
                    "is {:?}, must be \"makeahead-sched/2\" (or \"makeahead-sched/1\")",
                    self.format
                ),
            );
        }
        if self.grid_minutes == 0 || self.slots_per_day == 0 {
            return fault("grid_minutes", "and slots_per_day must be above 0, such as 15 and 96");
        }
        if !(1..=HORIZON_MOST).contains(&self.horizon) {
            return fault(
                "horizon",
                format!("is {}, must be 1 to {HORIZON_MOST} slots, such as 672", self.horizon),
            );
        }
        size("activities", self.activities.len(), ACTIVITIES_MOST)?;
        size("links", self.links.len(), LIST_MOST)?;
        size("workers", self.workers.len(), 200)?;
        size("resources", self.resources.len(), 1_000)?;
        unique("workers", self.workers.iter().map(|x| x.id.as_str()))?;
        unique("resources", self.resources.iter().map(|x| x.id.as_str()))?;
        unique("activities", self.activities.iter().map(|x| x.id.as_str()))?;
        unique("links", self.links.iter().map(|x| x.id.as_str()))?;
        for (name, windows) in &self.calendars {
            sorted_windows(&format!("calendars.{name}"), windows)?;
        }
        for (index, worker) in self.workers.iter().enumerate() {
            worker.validate(&format!("workers[{index}]"))?;
        }
        for (index, resource) in self.resources.iter().enumerate() {
            resource.validate(&format!("resources[{index}]"))?;
        }
        let known = Known {
            workers: set_of(self.workers.iter().map(|x| x.id.as_str())),
            resources: set_of(self.resources.iter().map(|x| x.id.as_str())),
            activities: set_of(self.activities.iter().map(|x| x.id.as_str())),
            calendars: set_of(self.calendars.keys().map(String::as_str)),
        };
        for (index, activity) in self.activities.iter().enumerate() {
            activity.validate(&format!("activities[{index}]"), &known, self.horizon)?;
        }
        for (index, link) in self.links.iter().enumerate() {
            link.validate(&format!("links[{index}]"), &known)?;
        }
        let weights = &self.weights;
        for (name, weight) in [
            ("late", weights.late),
            ("load", weights.load),
            ("age", weights.age),
            ("evening", weights.evening),
            ("stability", weights.stability),
            ("mode", weights.mode),
        ] {
            number(&format!("weights.{name}"), weight)?;
        }
        self.validate_magnitude()
    }

    /// The worst objective imaginable must be a number that files keep exactly.
    fn validate_magnitude(&self) -> Checked {
        let slots = i128::from(self.horizon);
        let load: BTreeMap<&str, i128> =
            map_of(self.resources.iter().map(|r| (r.id.as_str(), i128::from(r.load_weight))));
        let stored = |amounts: &[(String, i64)]| -> i128 {
            amounts
                .iter()
                .map(|(r, n)| load.get(r.as_str()).copied().unwrap_or(0) * i128::from(*n))
                .sum()
        };
        let weights = &self.weights;
        let mut worst: i128 = 0;
        for activity in &self.activities {
            let pauses = i128::try_from(activity.segments.len()).unwrap_or(0);
            worst += slots
                * (i128::from(weights.late) * i128::from(activity.late_weight)
                    + i128::from(weights.stability) * i128::from(activity.stab_weight)
                    + i128::from(weights.load) * stored(&activity.hold) * pauses
                    + i128::from(weights.evening) * pauses);
        }
        for link in &self.links {
            let mut most = i128::from(weights.load) * stored(&link.store)
                + i128::from(weights.age) * i128::from(link.age_weight);
            let mut cost = 0;
            for mode in &link.modes {
                let tail = mode.tail.as_ref().map_or(0, |tail| stored(&tail.store));
                most = most.max(
                    i128::from(weights.load) * (stored(&mode.store) + tail)
                        + i128::from(weights.age) * i128::from(mode.age_weight),
                );
                cost = cost.max(i128::from(weights.mode) * i128::from(mode.cost));
            }
            worst += slots * most + cost;
        }
        if worst > OBJECTIVE_MOST {
            return fault(
                "weights",
                "times amounts and horizon could exceed 9007199254740991; use smaller weights, such as 100",
            );
        }
        Ok(())
    }
}

/// Ids that may be referred to.
struct Known<'a> {
    workers: BTreeSet<&'a str>,
    resources: BTreeSet<&'a str>,
    activities: BTreeSet<&'a str>,
    calendars: BTreeSet<&'a str>,
}

impl Worker {
    fn validate(&self, place: &str) -> Checked {
        sorted_windows(&format!("{place}.windows"), &self.windows)?;
        if !self.soft.is_empty() && self.soft.len() != self.windows.len() {
            return fault(
                format!("{place}.soft"),
                format!(
                    "has {} entries for {} windows; give one for each window, or none",
                    self.soft.len(),
                    self.windows.len()
                ),
            );
        }
        for (index, &soft) in self.soft.iter().enumerate() {
            number(&format!("{place}.soft[{index}]"), soft)?;
        }
        size(&format!("{place}.limits"), self.limits.len(), LIST_MOST)?;
        for (index, limit) in self.limits.iter().enumerate() {
            let place = format!("{place}.limits[{index}]");
            if limit.from > limit.to {
                return fault(
                    place,
                    format!(
                        "runs from {} to {}; from must not be after to, such as 0 and 96",
                        limit.from, limit.to
                    ),
                );
            }
            number(&format!("{place}.max"), limit.max)?;
        }
        Ok(())
    }
}

impl Resource {
    fn validate(&self, place: &str) -> Checked {
        number(&format!("{place}.capacity"), self.capacity)?;
        number(&format!("{place}.load_weight"), self.load_weight)?;
        size(&format!("{place}.busy"), self.busy.len(), LIST_MOST)?;
        for (index, &(from, to, amount)) in self.busy.iter().enumerate() {
            if from > to {
                return fault(
                    format!("{place}.busy[{index}]"),
                    format!(
                        "starts at {from}, after its end {to}; write [start, end, amount], such as [0, 96, 2]"
                    ),
                );
            }
            number(&format!("{place}.busy[{index}]"), amount)?;
        }
        Ok(())
    }
}

impl Activity {
    fn validate(&self, place: &str, known: &Known<'_>, horizon: i32) -> Checked {
        if self.segments.is_empty() || self.segments.len() > SEGMENTS_MOST {
            return fault(
                format!("{place}.segments"),
                format!("needs 1 to {SEGMENTS_MOST} lengths, such as [4], or [0] for a moment"),
            );
        }
        for (index, &length) in self.segments.iter().enumerate() {
            if !(0..=HORIZON_MOST).contains(&length) {
                return fault(
                    format!("{place}.segments[{index}]"),
                    format!("is {length}, must be a number of slots from 0, such as 4"),
                );
            }
        }
        for (index, worker) in self.workers.iter().enumerate() {
            refer(&format!("{place}.workers[{index}]"), worker, "worker", &known.workers)?;
        }
        unique(&format!("{place}.workers"), self.workers.iter().map(String::as_str))?;
        for (field, name) in
            [("within", &self.within), ("start_in", &self.start_in), ("end_in", &self.end_in)]
        {
            if let Some(name) = name {
                refer(&format!("{place}.{field}"), name, "calendar", &known.calendars)?;
            }
        }
        amounts(&format!("{place}.use"), &self.uses, known)?;
        amounts(&format!("{place}.hold"), &self.hold, known)?;
        if self.gap_max.is_some_and(|gap| gap < 0) {
            return fault(
                format!("{place}.gap_max"),
                "is negative; write 0 or more slots, or null for any pause",
            );
        }
        for (field, starts) in [("pin", &self.pin), ("ref", &self.reference)] {
            let Some(starts) = starts else { continue };
            if starts.len() != self.segments.len() {
                return fault(
                    format!("{place}.{field}"),
                    format!(
                        "has {} starts for {} segments; give one for each, or null",
                        starts.len(),
                        self.segments.len()
                    ),
                );
            }
            if field == "pin" {
                for (index, (&start, &length)) in starts.iter().zip(&self.segments).enumerate() {
                    if start < 0 || i64::from(start) + i64::from(length) > i64::from(horizon) {
                        return fault(
                            format!("{place}.pin[{index}]"),
                            format!("{start} puts the segment outside the horizon [0,{horizon})"),
                        );
                    }
                }
            }
        }
        for (field, value) in
            [("earliest", self.earliest), ("latest", self.latest), ("due", self.due)]
        {
            if value.is_some_and(|value| i64::from(value).abs() > NUMBER_MOST) {
                return fault(
                    format!("{place}.{field}"),
                    "is out of range; write a slot of the horizon, such as 96",
                );
            }
        }
        number(&format!("{place}.late_weight"), self.late_weight)?;
        number(&format!("{place}.stab_weight"), self.stab_weight)
    }
}

impl Link {
    fn validate(&self, place: &str, known: &Known<'_>) -> Checked {
        refer(&format!("{place}.from"), &self.from, "activity", &known.activities)?;
        refer(&format!("{place}.to"), &self.to, "activity", &known.activities)?;
        let rests = self.from_at == At::E && self.to_at == At::S;
        if self.modes.is_empty() {
            lag(place, self.min, self.max)?;
            amounts(&format!("{place}.store"), &self.store, known)?;
            let may_store = rests && self.min >= 0;
            if !may_store && !self.store.is_empty() {
                return fault(
                    format!("{place}.store"),
                    "is only for links from \"E\" to \"S\" with min 0 or more",
                );
            }
            return number(&format!("{place}.age_weight"), self.age_weight);
        }
        if !rests {
            return fault(format!("{place}.modes"), "are only for links from \"E\" to \"S\"");
        }
        size(&format!("{place}.modes"), self.modes.len(), 100)?;
        unique(&format!("{place}.modes"), self.modes.iter().map(|mode| mode.name.as_str()))?;
        for (index, mode) in self.modes.iter().enumerate() {
            mode.validate(&format!("{place}.modes[{index}]"), known)?;
        }
        Ok(())
    }
}

impl Mode {
    fn validate(&self, place: &str, known: &Known<'_>) -> Checked {
        lag(place, self.min, self.max)?;
        if self.min < 0 {
            return fault(format!("{place}.min"), "is negative; a rest takes 0 or more slots");
        }
        amounts(&format!("{place}.store"), &self.store, known)?;
        if let Some(tail) = &self.tail {
            if tail.len < 0 || tail.len > self.min {
                return fault(
                    format!("{place}.tail.len"),
                    format!("is {}, must be 0 to the mode's min of {}", tail.len, self.min),
                );
            }
            amounts(&format!("{place}.tail.store"), &tail.store, known)?;
        }
        number(&format!("{place}.age_weight"), self.age_weight)?;
        number(&format!("{place}.cost"), self.cost)
    }
}

fn lag(place: &str, min: i32, max: Option<i32>) -> Checked {
    if i64::from(min).abs() > NUMBER_MOST
        || max.is_some_and(|max| i64::from(max).abs() > NUMBER_MOST)
    {
        return fault(
            format!("{place}.min"),
            "or max is out of range; write a number of slots, such as 8",
        );
    }
    match max {
        Some(max) if max < min => fault(
            format!("{place}.max"),
            format!("is {max}, below min {min}; write at least {min}, or null for any lag"),
        ),
        _ => Ok(()),
    }
}

fn amounts(place: &str, list: &[(String, i64)], known: &Known<'_>) -> Checked {
    size(place, list.len(), 1_000)?;
    for (index, (resource, amount)) in list.iter().enumerate() {
        refer(&format!("{place}[{index}]"), resource, "resource", &known.resources)?;
        number(&format!("{place}[{index}]"), *amount)?;
    }
    Ok(())
}

fn number(place: &str, value: i64) -> Checked {
    if (0..=NUMBER_MOST).contains(&value) {
        return Ok(());
    }
    fault(place, format!("is {value}, must be a whole number from 0 to {NUMBER_MOST}, such as 1"))
}

fn size(place: &str, length: usize, most: usize) -> Checked {
    if length <= most {
        return Ok(());
    }
    fault(place, format!("has {length} entries, at most {most} are read"))
}

fn refer(place: &str, name: &str, what: &str, known: &BTreeSet<&str>) -> Checked {
    if known.contains(name) {
        return Ok(());
    }
    let example = known.first().map_or_else(
        || format!("there is no {what} at all"),
        |id| format!("a known one is {id:?}"),
    );
    fault(place, format!("names the {what} {name:?}, which is not declared; {example}"))
}

fn unique<'a>(place: &str, ids: impl Iterator<Item = &'a str>) -> Checked {
    let mut seen = BTreeSet::new();
    for (index, id) in ids.enumerate() {
        if id.is_empty() {
            return fault(
                format!("{place}[{index}]"),
                "has an empty name; write one such as \"oven\"",
            );
        }
        if !seen.insert(id) {
            return fault(
                format!("{place}[{index}]"),
                format!("repeats the name {id:?}; every name occurs once"),
            );
        }
    }
    Ok(())
}

fn sorted_windows(place: &str, windows: &[(i32, i32)]) -> Checked {
    size(place, windows.len(), LIST_MOST)?;
    let mut before = i32::MIN;
    for (index, &(from, to)) in windows.iter().enumerate() {
        if from > to || i64::from(from).abs() > NUMBER_MOST || i64::from(to).abs() > NUMBER_MOST {
            return fault(
                format!("{place}[{index}]"),
                format!("is [{from},{to}]; write [start, end] with start first, such as [72, 88]"),
            );
        }
        if from < before {
            return fault(
                format!("{place}[{index}]"),
                format!(
                    "starts at {from}, before the one ahead of it ends at {before}; windows are sorted and disjoint, such as [[72,88],[168,184]]"
                ),
            );
        }
        before = to;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problem() -> serde_json::Value {
        serde_json::json!({
            "format": "makeahead-sched/2", "name": "n", "grid_minutes": 15, "slots_per_day": 96, "horizon": 96,
            "calendars": { "home": [[0, 40]] },
            "workers": [ { "id": "baker", "windows": [[8, 16], [24, 32]], "soft": [4, 4] } ],
            "resources": [ { "id": "fridge", "capacity": 2, "load_weight": null, "busy": null } ],
            "activities": [ { "id": "a", "segments": [2], "workers": ["baker"], "use": null },
                            { "id": "b", "segments": [0], "pin": [5] } ],
            "links": [ { "id": "a>b", "from": "a", "to": "b", "min": 0, "store": [["fridge", 1]] } ],
            "weights": { "load": 1 }
        })
    }

    fn read(change: impl Fn(&mut serde_json::Value)) -> Result<Problem, ProblemError> {
        let mut value = problem();
        change(&mut value);
        Problem::from_json(&value.to_string())
    }

    #[test]
    fn null_empty_and_missing_are_the_same() {
        let read = read(|_| ()).expect("valid");
        assert_eq!(read.resources[0].busy, []);
        assert_eq!(read.links[0].from_at, At::E);
        assert_eq!(read.weights.late, 0);
    }

    #[test]
    fn faults_are_named_with_their_place() {
        use serde_json::json;
        type Change = fn(&mut serde_json::Value);
        let cases: [(Change, &str, &str); 16] = [
            (|v| v["format"] = json!("other/1"), "format", "makeahead-sched/2"),
            (|v| v["horizon"] = json!(0), "horizon", "672"),
            (
                |v| v["workers"][0]["windows"] = json!([[24, 32], [8, 16]]),
                "workers[0].windows[1]",
                "sorted",
            ),
            (
                |v| v["workers"][0]["windows"] = json!([[16, 8]]),
                "workers[0].windows[0]",
                "[72, 88]",
            ),
            (|v| v["workers"][0]["soft"] = json!([1]), "workers[0].soft", "one for each window"),
            (|v| v["resources"][0]["capacity"] = json!(-1), "resources[0].capacity", "from 0"),
            (
                |v| v["activities"][0]["segments"] = json!([]),
                "activities[0].segments",
                "such as [4]",
            ),
            (
                |v| v["activities"][0]["workers"] = json!(["cook"]),
                "activities[0].workers[0]",
                "\"baker\"",
            ),
            (|v| v["activities"][0]["within"] = json!("away"), "activities[0].within", "\"home\""),
            (|v| v["activities"][1]["id"] = json!("a"), "activities[1]", "every name occurs once"),
            (|v| v["activities"][1]["pin"] = json!([5, 6]), "activities[1].pin", "one for each"),
            (
                |v| v["activities"][1]["pin"] = json!([97]),
                "activities[1].pin[0]",
                "outside the horizon",
            ),
            (|v| v["links"][0]["to"] = json!("c"), "links[0].to", "not declared"),
            (|v| v["links"][0]["max"] = json!(-1), "links[0].max", "below min 0"),
            (|v| v["links"][0]["from_at"] = json!("S"), "links[0].store", "\"E\" to \"S\""),
            (
                |v| {
                    v["links"][0]["modes"] =
                        json!([{ "name": "m", "min": 1, "tail": { "len": 2 } }]);
                },
                "links[0].modes[0].tail.len",
                "0 to the mode's min of 1",
            ),
        ];
        for (change, place, part) in cases {
            let error = read(change).expect_err(place);
            assert_eq!(error.place, place, "{error}");
            assert!(error.message.contains(part), "{error}");
            assert!(!error.to_string().contains('\n'));
        }
    }

    #[test]
    fn what_is_not_json_is_told_by_line() {
        let error = Problem::from_json("{\n  \"format\": 3 }").expect_err("a number is no name");
        assert!(error.place.starts_with("line 2"), "{error}");
        assert!(Problem::from_json("").is_err());
    }

    #[test]
    fn an_objective_too_large_for_a_file_is_refused() {
        let error = read(|v| {
            v["weights"]["load"] = serde_json::json!(100_000_000);
            v["resources"][0]["load_weight"] = serde_json::json!(100_000_000);
        })
        .expect_err("too large");
        assert_eq!(error.place, "weights");
    }
}
