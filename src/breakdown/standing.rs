//! What stands where and when, in the terms of the planning problem.
//!
//! In: the work and its problem. Out: everything that can stand somewhere, with what it comes from ([`Standings`]);
//! and, for a plan, the stays that it gives. Knows nothing of whether they fit.
//!
//! All times are those of the planner's grid: what is worked on counts until its last slot ends, and rests from
//! then on.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::calendar::{Elapsed, Horizon, Span};
use crate::kitchen::{FootBox, Kitchen, KitchenOverTime, Place, Stay};
use crate::plan::arrange::map_of;
use crate::plan::{Link, Mode, Plan, Problem};

use super::grid::GRID;
use super::{RestStay, Step, StepNeed, Work};

/// What a stay comes from.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Origin {
    /// A rest, in one of its ways.
    Rest {
        /// The link.
        link: String,
        /// The mode, by its name.
        mode: String,
        /// Its last stretch.
        tail: bool,
    },
    /// Waits between two sittings of a step.
    Pause {
        /// The activity.
        activity: String,
    },
    /// Is worked on.
    Step {
        /// The activity.
        activity: String,
    },
}

/// Something that can stand somewhere.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct CanStand {
    /// What it comes from; several may come from the same.
    pub origin: Origin,
    /// Where.
    pub place: Place,
    /// What.
    pub boxes: Vec<FootBox>,
    /// In words, for example "base-coated cookies".
    pub label: String,
}

impl CanStand {
    /// Standing there for a span.
    pub fn over(&self, span: Span) -> Stay {
        let (boxes, label) = (self.boxes.clone(), self.label.clone());
        Stay { place: self.place, boxes, label, mark: String::new(), span }
    }
}

/// Everything that can stand anywhere, and where that is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Standings {
    /// Shelves, racks, counter.
    pub kitchen: Kitchen,
    /// The days.
    pub horizon: Horizon,
    /// What ends before is over and can no longer be planned.
    pub now: Elapsed,
    /// In the order of the work.
    pub all: Vec<CanStand>,
}

impl Standings {
    /// All that the work can put anywhere, as far as the problem still has it. What no shelf can take alone is
    /// left out: that is said elsewhere, and no plan changes it.
    pub(super) fn of(
        work: &Work,
        kitchen: &Kitchen,
        horizon: &Horizon,
        now: Elapsed,
        problem: &Problem,
    ) -> Self {
        let over_time = KitchenOverTime::of(kitchen, horizon, GRID);
        let has_room = |stay: &RestStay| {
            let demands = over_time.demands(stay.place, &stay.boxes);
            let capacities = over_time.capacities(stay.place);
            demands.iter().zip(&capacities).any(|(demand, most)| {
                demand.as_ref().is_ok_and(|demand| demand.iter().zip(most).all(|(a, b)| a <= b))
            })
        };
        let mut all = Vec::new();
        let mut add = |origin: Origin, stay: Option<&RestStay>, label: &str| {
            let Some(stay) = stay.filter(|stay| has_room(stay)) else { return };
            let (boxes, label) = (stay.boxes.clone(), label.to_owned());
            all.push(CanStand { origin, place: stay.place, boxes, label });
        };
        let links: BTreeMap<&str, &Link> =
            map_of(problem.links.iter().map(|link| (link.id.as_str(), link)));
        for rest in &work.rests {
            let Some(link) = links.get(rest.id.as_str()) else { continue };
            for choice in &rest.choices {
                if !link.modes.is_empty() && !link.modes.iter().any(|of| of.name == choice.name) {
                    continue;
                }
                let origin = |tail| {
                    let (link, mode) = (rest.id.clone(), choice.name.clone());
                    Origin::Rest { link, mode, tail }
                };
                add(origin(false), choice.stay.as_ref(), &rest.what);
                let tail = choice.tail.as_ref().and_then(|(_, stay)| stay.as_ref());
                add(origin(true), tail, &rest.what);
            }
        }
        let steps: BTreeMap<&str, &Step> =
            map_of(work.steps.iter().map(|step| (step.id.0.as_str(), step)));
        for activity in &problem.activities {
            let Some(step) = steps.get(activity.id.as_str()) else { continue };
            let activity = activity.id.clone();
            for need in &step.needs {
                if let StepNeed::Stand(stay) = need {
                    let origin = Origin::Step { activity: activity.clone() };
                    add(origin, Some(stay), &step.product);
                }
            }
            add(Origin::Pause { activity }, step.pause_at.as_ref(), &step.product);
        }
        Self { kitchen: kitchen.clone(), horizon: horizon.clone(), now, all }
    }

    /// What stands from now on by a plan: index and stay, in the order of the stands. What is not placed stands
    /// nowhere; a step with several sittings stands there once for each.
    pub fn stays(&self, problem: &Problem, plan: &Plan) -> Vec<(usize, Stay)> {
        let placed = Placed::of(problem, plan);
        let grid = i32::from(problem.grid_minutes.max(1));
        let ahead = Span::new(self.now, self.horizon.len());
        let mut stays = Vec::new();
        for (index, stand) in self.all.iter().enumerate() {
            for (start, end) in placed.slots(&stand.origin) {
                let minutes = |slot: i32| Elapsed(slot.saturating_mul(grid));
                let span = Span::new(minutes(start), minutes(end));
                let Some(span) = span.shared(ahead) else { continue };
                stays.push((index, stand.over(span)));
            }
        }
        stays
    }
}

/// Where a plan puts things, by name.
struct Placed<'a> {
    /// Start and end of each segment.
    segments: BTreeMap<&'a str, Vec<(i32, i32)>>,
    links: BTreeMap<&'a str, &'a Link>,
    plan: &'a Plan,
}

impl<'a> Placed<'a> {
    fn of(problem: &'a Problem, plan: &'a Plan) -> Self {
        let segments = problem.activities.iter().filter_map(|activity| {
            let starts = plan.starts.get(&activity.id)?;
            let whole = starts.len() == activity.segments.len();
            let spans = starts.iter().zip(&activity.segments).map(|(start, n)| (*start, start + n));
            whole.then(|| (activity.id.as_str(), spans.collect()))
        });
        let links = map_of(problem.links.iter().map(|link| (link.id.as_str(), link)));
        Self { segments: map_of(segments), links, plan }
    }

    /// From which slot to which something stands, each time that it does.
    fn slots(&self, origin: &Origin) -> Vec<(i32, i32)> {
        let segments =
            |activity: &String| self.segments.get(activity.as_str()).map_or(&[][..], Vec::as_slice);
        match origin {
            Origin::Step { activity } => segments(activity).to_vec(),
            Origin::Pause { activity } => segments(activity)
                .windows(2)
                .filter_map(|pair| Some((pair.first()?.1, pair.get(1)?.0)))
                .filter(|(start, end)| start < end)
                .collect(),
            Origin::Rest { link, mode, tail } => self.rest(link, mode, *tail).into_iter().collect(),
        }
    }

    fn rest(&self, link: &str, mode: &str, tail: bool) -> Option<(i32, i32)> {
        let link = self.links.get(link)?;
        let start = self.segments.get(link.from.as_str())?.last()?.1;
        let end = self.segments.get(link.to.as_str())?.first()?.0;
        let chosen: Option<&Mode> = match self.plan.modes.get(&link.id) {
            Some(name) => link.modes.iter().find(|of| of.name == *name),
            None => link.modes.first(),
        };
        let length = match chosen {
            Some(of) if of.name != mode => return None,
            Some(of) => of.tail.as_ref().map_or(0, |tail| tail.len),
            None => 0,
        };
        let turn = (end - length).max(start);
        let (start, end) = if tail { (turn, end) } else { (start, turn) };
        (start < end).then_some((start, end))
    }
}
