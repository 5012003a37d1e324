//! Why a sitting lies where it lies, in words.
//!
//! In: a week and what [`crate::plan::explain::why_here`] found. Out: a clause for each side, in the chain's
//! order, such as “after “Flood the base coat”: base-coated cookies (dry on the rack) until 19:10”.

use crate::breakdown::{HandoverPoint, StepId};
use crate::calendar::Elapsed;
use crate::plan::check::Parts;
use crate::plan::explain::{Cause, Hold, Side, why_here};

use super::blocks::BlockKey;
use super::moves::Reach;
use super::together::place_of;
use super::view::{Context, WeekInput};
use super::words::{at_place, day_name, day_time, duration, full_day, time_of};

/// Why a sitting lies where it lies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WhyWords {
    /// What holds it from the left, and what holds that, and so on.
    pub left: Vec<String>,
    /// What holds it from the right.
    pub right: Vec<String>,
    /// What an earlier start would cost, if one is free.
    pub earlier: Option<String>,
    /// What a later start would cost, if one is free.
    pub later: Option<String>,
    /// From when to when it could start if the other sittings may move.
    pub range: Option<String>,
}

impl WhyWords {
    /// Asks and answers; none when the plan has no such sitting.
    pub fn of(input: WeekInput<'_>, key: &BlockKey) -> Option<Self> {
        let context = Context::of(input);
        let problem = &input.outlook.assembled.problem;
        let segment = Reach::segment(input, key)?;
        let here = *input.plan.starts.get(&key.step.0)?.get(segment)?;
        let words = Words::seen_from(&context, here);
        let why = why_here(problem, input.plan, &key.step.0, segment)?;
        let range = why.possible.map(|(first, last)| {
            let (first, last) = (words.when(first), words.when(last));
            format!("It could start from {first} to {last} if other sittings may move")
        });
        Some(Self {
            left: words.side(&why.left, true),
            right: words.side(&why.right, false),
            earlier: words.nearby(&why.left),
            later: words.nearby(&why.right),
            range,
        })
    }

    /// Both sides in one line: “after … · before …”, each with what holds it and what holds that.
    pub fn line(&self) -> String {
        let sides = [&self.left, &self.right].map(|side| side.iter().take(2));
        let sides = sides.map(|side| side.cloned().collect::<Vec<_>>().join(", "));
        sides.into_iter().filter(|side| !side.is_empty()).collect::<Vec<_>>().join(" · ")
    }
}

/// Names and moments of one week.
pub(super) struct Words<'a> {
    pub(super) context: &'a Context<'a>,
    /// The moment that the reader looks at, if there is one.
    here: Option<Elapsed>,
}

impl<'a> Words<'a> {
    pub(super) fn of(context: &'a Context<'a>) -> Self {
        Self { context, here: None }
    }

    fn seen_from(context: &'a Context<'a>, slot: i32) -> Self {
        let words = Self::of(context);
        Self { here: Some(words.at(slot)), ..words }
    }

    /// The moment of a slot.
    pub(super) fn at(&self, slot: i32) -> Elapsed {
        let grid = i32::from(self.context.input.outlook.assembled.problem.grid_minutes.max(1));
        Elapsed(slot.saturating_mul(grid))
    }

    /// "19:10" on the day that is looked at, "Saturday 08:00" near it, else "Saturday 5 Dec 08:00".
    pub(super) fn when(&self, slot: i32) -> String {
        let (horizon, moment) = (self.context.horizon, self.at(slot));
        let wall = horizon.wall(moment);
        let days = |here: Elapsed| wall.date().days_since(horizon.wall(here).date());
        match self.here.map(days) {
            Some(0) => time_of(wall),
            Some(-6..=6) => day_time(horizon, moment),
            _ => format!("{} {}", full_day(wall.date()), time_of(wall)),
        }
    }

    /// "at 19:10", "on Saturday 08:00".
    pub(super) fn on(&self, slot: i32) -> String {
        let when = self.when(slot);
        let time_alone = when.starts_with(|letter: char| letter.is_ascii_digit());
        format!("{} {when}", if time_alone { "at" } else { "on" })
    }

    /// The handover that an id names.
    pub(super) fn point(&self, id: &str) -> Option<&'a HandoverPoint> {
        self.context.input.outlook.work.handovers.iter().find(|point| point.id.0 == id)
    }

    /// When an order leaves: "Saturday 28 Nov 15:00".
    pub(super) fn when_leaves(point: &HandoverPoint) -> String {
        format!("{} {}", full_day(point.leaves.date()), time_of(point.leaves))
    }

    /// So many slots: "1 h 15 min".
    pub(super) fn lasting(&self, slots: i32) -> String {
        duration(self.at(slots).0)
    }

    /// "“Flood the base coat”", "the handover to Mira Holm".
    pub(super) fn name(&self, id: &str) -> String {
        let step = StepId(id.to_owned());
        if let Some(step) = self.context.step(&step) {
            return format!("“{}”", step.name);
        }
        let mut points = self.context.input.outlook.work.handovers.iter();
        match points.find(|point| point.id == step) {
            Some(point) => format!("the handover to {}", self.context.order_title(point.order)),
            None => id.to_owned(),
        }
    }

    /// "base-coated cookies (dry on the rack)" for a rest, "baked cookies" for a limit across steps.
    pub(super) fn resting(&self, link: &str) -> String {
        let work = &self.context.input.outlook.work;
        if let Some(limit) = work.limits.iter().find(|limit| limit.id == link) {
            return limit.what.clone();
        }
        let Some(rest) = work.rests.iter().find(|rest| rest.id == link) else {
            return "what is made".to_owned();
        };
        let named = self.context.input.plan.modes.get(link);
        let chosen = rest.choices.iter().find(|choice| Some(&choice.name) == named);
        match chosen.or_else(|| rest.choices.first()) {
            Some(choice) => format!("{} ({})", rest.what, choice.name),
            None => rest.what.clone(),
        }
    }

    /// "in the fridge", "for the oven".
    pub(super) fn place(resource: &str) -> String {
        match place_of(resource) {
            Some(place) => at_place(place).to_owned(),
            None => format!("for the {resource}"),
        }
    }

    fn side(&self, side: &Side, left: bool) -> Vec<String> {
        let first = side.chain.iter().take(1).map(|hold| self.first(hold, left));
        let more = side.chain.iter().skip(1).map(|hold| self.relative(hold, left));
        first.chain(more).collect()
    }

    /// What holds the sitting itself.
    fn first(&self, hold: &Hold, left: bool) -> String {
        match &hold.cause {
            Cause::Pinned { at } => format!("pinned to {}", self.when(*at)),
            Cause::LeastLag { link, other, other_at, lag } if left => {
                let name = self.name(other);
                if *lag <= 0 {
                    return format!("after {name}, done {}", self.on(*other_at));
                }
                let until = self.when(other_at + lag);
                format!("after {name}: {} until {until}", self.resting(link))
            }
            Cause::LeastLag { link, other, other_at, lag } => {
                let name = self.name(other);
                if *lag <= 0 {
                    return format!("before {name} {}", self.on(*other_at));
                }
                let (what, lag) = (self.resting(link), self.lasting(*lag));
                format!("before {name} {}, as {what} need {lag}", self.on(*other_at))
            }
            Cause::GreatestLag { link, other, other_at, lag } => {
                let (what, lag) = (self.resting(link), self.lasting(*lag));
                let (name, on) = (self.name(other), self.on(*other_at));
                let side = if left { "before" } else { "after" };
                format!("no more than {lag} {side} {name} {on}, for {what}")
            }
            Cause::Segment { at, .. } | Cause::Pause { at, .. } if left => {
                format!("after its own sitting that ends {}", self.on(*at))
            }
            Cause::Segment { at, .. } | Cause::Pause { at, .. } => {
                format!("before its own sitting {}", self.on(*at))
            }
            Cause::Busy { other, to, .. } if left => {
                format!(
                    "after {}, which takes the hands until {}",
                    self.name(other),
                    self.when(*to)
                )
            }
            Cause::Busy { other, from, .. } => {
                format!(
                    "before {}, which takes the hands from {}",
                    self.name(other),
                    self.when(*from)
                )
            }
            Cause::Window { .. } if left => "not before free time begins".to_owned(),
            Cause::Window { .. } => "done before free time ends".to_owned(),
            cause @ (Cause::Full { .. } | Cause::Limit { .. }) => {
                format!("any {} it {}", if left { "earlier" } else { "later" }, self.shared(cause))
            }
            cause => format!("it {}", self.shared(cause)),
        }
    }

    /// What holds the one named just before: "which …".
    fn relative(&self, hold: &Hold, left: bool) -> String {
        match &hold.cause {
            Cause::Pinned { at } => format!("which is pinned to {}", self.when(*at)),
            Cause::LeastLag { link, other, other_at, lag } if left => {
                let name = self.name(other);
                if *lag <= 0 {
                    return format!("which comes after {name}");
                }
                let until = self.when(other_at + lag);
                format!(
                    "which comes after {name} and waits for {} until {until}",
                    self.resting(link)
                )
            }
            Cause::LeastLag { other, other_at, .. } => {
                format!("which comes before {} {}", self.name(other), self.on(*other_at))
            }
            Cause::GreatestLag { other, lag, .. } => {
                let side = if left { "before" } else { "after" };
                let (lag, name) = (self.lasting(*lag), self.name(other));
                format!("which must be within {lag} {side} {name}")
            }
            Cause::Segment { .. } | Cause::Pause { .. } if left => {
                "which follows another sitting of its own".to_owned()
            }
            Cause::Segment { .. } | Cause::Pause { .. } => {
                "which comes before another sitting of its own".to_owned()
            }
            Cause::Busy { other, .. } if left => format!("which follows {}", self.name(other)),
            Cause::Busy { other, .. } => format!("which comes before {}", self.name(other)),
            Cause::Window { .. } if left => "which begins as soon as there is free time".to_owned(),
            Cause::Window { .. } => "which ends as free time ends".to_owned(),
            cause => format!("which {}", self.shared(cause)),
        }
    }

    /// The same for the sitting itself and for others.
    fn shared(&self, cause: &Cause) -> String {
        match cause {
            Cause::Full { resource, at, .. } => {
                let place = Self::place(resource);
                format!("would find no room {place} {}", self.on(*at))
            }
            Cause::Limit { worker, limit } => self.full_day(worker, *limit),
            Cause::Earliest { at } => format!("cannot begin before {}", self.when(*at)),
            Cause::Latest { at } => format!("must be done by {}", self.when(*at)),
            Cause::Calendar { .. } => "needs somebody at home".to_owned(),
            _ => "would leave the days that are planned".to_owned(),
        }
    }

    fn full_day(&self, worker: &str, limit: usize) -> String {
        let workers = &self.context.input.outlook.assembled.problem.workers;
        let worker = workers.iter().find(|of| of.id == worker);
        let Some(limit) = worker.and_then(|of| of.limits.get(limit)) else {
            return "does not fit into the day".to_owned();
        };
        let date = self.context.horizon.wall(self.at(limit.from)).date();
        let kind = if limit.kinds.is_some() { "fine handwork" } else { "work" };
        let most = self.lasting(i32::try_from(limit.max).unwrap_or(0));
        format!("does not fit into {}, which may hold {most} of {kind}", day_name(date))
    }

    fn nearby(&self, side: &Side) -> Option<String> {
        let nearby = side.nearby.as_ref()?;
        let when = self.when(nearby.start);
        Some(match dearest(nearby.dearer) {
            Some(why) => format!("{when} would be free too, but {why}"),
            None => format!("{when} would do as well"),
        })
    }
}

/// The weightiest reason against it, if it is dearer at all.
pub(super) fn dearest(dearer: Parts) -> Option<&'static str> {
    if dearer.total <= 0 {
        return None;
    }
    let reasons = [
        (dearer.late, "closer to the handover than is good"),
        (dearer.stability, "further from the plan you saw"),
        (dearer.load, "longer in the fridge"),
        (dearer.age, "less fresh at the handover"),
        (dearer.evening, "a longer evening"),
        (dearer.mode, "a less welcome way to rest"),
    ];
    reasons.into_iter().max_by_key(|(cost, _)| *cost).map(|(_, why)| why)
}
