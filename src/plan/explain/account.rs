//! What each preference costs in a plan: in slots and in units of room times slots, not only in points.
//!
//! In: problem and plan. Out: entries, the dearest first, whose costs add up to the objective's parts.
//! Computed from intervals, not by the checker's walk, so that the two can be held against each other.

use std::collections::BTreeMap;

use crate::arrange::Arrange;
use crate::{Activity, At, Link, Plan, Problem, Resource};

/// What is preferred.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Preference {
    /// Nothing ends after its due moment. The activity does not need hands: a handover.
    OnTime(String),
    /// Hands-on work ends before its due moment: little crunch before a handover.
    NoCrunch(String),
    /// Little stands in this resource.
    Room(String),
    /// What rests over this link is not old at its end.
    Fresh(String),
    /// This worker's window (by index) is not filled beyond its soft length.
    ShortEvening(String, usize),
    /// This activity stays where it was shown.
    Stay(String),
    /// Unwelcome modes are not used; this link uses one.
    UsualMode(String),
}

/// One preference that is not wholly met.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Which.
    pub preference: Preference,
    /// Slots: of lateness, of crunch, of rest, of work beyond the soft length, of distance; for room,
    /// units times slots; for a mode, 1.
    pub amount: i64,
    /// Its part of the objective.
    pub cost: i64,
}

/// The account of a plan.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Account {
    /// What costs something or is late, the dearest first.
    pub entries: Vec<Entry>,
    /// Sum of all costs: the objective.
    pub total: i64,
}

impl Account {
    /// Slots, or units times slots, of all entries that `of` chooses.
    pub fn amount(&self, of: impl Fn(&Preference) -> bool) -> i64 {
        self.entries.iter().filter(|entry| of(&entry.preference)).map(|entry| entry.amount).sum()
    }

    /// Cost of all entries that `of` chooses.
    pub fn cost(&self, of: impl Fn(&Preference) -> bool) -> i64 {
        self.entries.iter().filter(|entry| of(&entry.preference)).map(|entry| entry.cost).sum()
    }
}

/// The account of a plan; what the plan does not place is left out.
pub fn account(problem: &Problem, plan: &Plan) -> Account {
    let mut book = Book { problem, plan, entries: Vec::new(), room: BTreeMap::new() };
    for activity in &problem.activities {
        book.activity(activity);
    }
    for link in &problem.links {
        book.link(link);
    }
    book.evenings();
    for resource in &problem.resources {
        book.room_of(resource);
    }
    let mut entries = book.entries;
    entries.retain(|entry| entry.amount != 0 || entry.cost != 0);
    entries.arrange_by(|a, b| (b.cost, &a.preference).cmp(&(a.cost, &b.preference)));
    let total = entries.iter().map(|entry| entry.cost).sum();
    Account { entries, total }
}

/// Slots of hands-on work after the moment at which it was due, before a handover: the crunch.
pub fn crunch(problem: &Problem, plan: &Plan) -> i64 {
    let late = |activity: &Activity| -> i64 {
        let starts = plan.starts.get(&activity.id).map_or(&[][..], Vec::as_slice);
        let due = activity.due.filter(|_| !activity.workers.is_empty());
        let after = |(start, length): (&i32, &i32)| {
            due.map_or(0, |due| i64::from((start + length - due.max(*start)).max(0)))
        };
        starts.iter().zip(&activity.segments).map(after).sum()
    };
    problem.activities.iter().map(late).sum()
}

struct Book<'a> {
    problem: &'a Problem,
    plan: &'a Plan,
    entries: Vec<Entry>,
    /// Units times slots stored in each resource.
    room: BTreeMap<&'a str, i64>,
}

impl<'a> Book<'a> {
    fn enter(&mut self, preference: Preference, amount: i64, price: i64) {
        self.entries.push(Entry { preference, amount, cost: amount * price });
    }

    /// Starts and ends of the segments, if placed.
    fn spans(&self, activity: &Activity) -> Option<Vec<(i32, i32)>> {
        let starts = self.plan.starts.get(&activity.id)?;
        let spans = starts.iter().zip(&activity.segments).map(|(s, n)| (*s, s + n)).collect();
        (starts.len() == activity.segments.len()).then_some(spans)
    }

    fn moment(&self, id: &str, at: At) -> Option<i32> {
        let activity = self.problem.activities.iter().find(|activity| activity.id == id)?;
        let spans = self.spans(activity)?;
        match at {
            At::S => spans.first().map(|span| span.0),
            At::E => spans.last().map(|span| span.1),
        }
    }

    fn stand(&mut self, amounts: &'a [(String, i64)], slots: i32) {
        for (resource, amount) in amounts {
            *self.room.entry(resource).or_default() += amount * i64::from(slots.max(0));
        }
    }

    fn activity(&mut self, activity: &'a Activity) {
        let weights = &self.problem.weights;
        let Some(spans) = self.spans(activity) else { return };
        let (Some(first), Some(last)) = (spans.first(), spans.last()) else { return };
        if let Some(due) = activity.due.filter(|_| activity.late_weight > 0) {
            let id = activity.id.clone();
            let hands = !activity.workers.is_empty();
            let preference = if hands { Preference::NoCrunch(id) } else { Preference::OnTime(id) };
            let late = i64::from((last.1 - due).max(0));
            self.enter(preference, late, weights.late * activity.late_weight);
        }
        if let Some(shown) = activity.reference.as_ref().and_then(|shown| shown.first()) {
            let away = i64::from((first.0 - shown).abs());
            let price = weights.stability * activity.stab_weight;
            self.enter(Preference::Stay(activity.id.clone()), away, price);
        }
        for pair in spans.windows(2) {
            if let [before, after] = pair {
                self.stand(&activity.hold, after.0 - before.1);
            }
        }
    }

    fn link(&mut self, link: &'a Link) {
        let weights = &self.problem.weights;
        let (Some(from), Some(to)) =
            (self.moment(&link.from, link.from_at), self.moment(&link.to, link.to_at))
        else {
            return;
        };
        let lag = to - from;
        if link.modes.is_empty() {
            self.stand(&link.store, lag);
            if link.age_weight > 0 {
                let price = weights.age * link.age_weight;
                self.enter(Preference::Fresh(link.id.clone()), i64::from(lag), price);
            }
            return;
        }
        let chosen = self.plan.modes.get(&link.id);
        let Some(mode) = link.modes.iter().find(|mode| Some(&mode.name) == chosen) else { return };
        let tail = mode.tail.as_ref().map_or(0, |tail| tail.len);
        self.stand(&mode.store, lag - tail);
        if let Some(tail) = &mode.tail {
            self.stand(&tail.store, tail.len);
        }
        if mode.age_weight > 0 {
            let price = weights.age * mode.age_weight;
            self.enter(Preference::Fresh(link.id.clone()), i64::from(lag), price);
        }
        if mode.cost > 0 {
            self.enter(Preference::UsualMode(link.id.clone()), 1, weights.mode * mode.cost);
        }
    }

    fn evenings(&mut self) {
        let mut worked: BTreeMap<(&str, usize), i64> = BTreeMap::new();
        for activity in &self.problem.activities {
            let Some(spans) = self.spans(activity) else { continue };
            let who = self.plan.worker.get(&activity.id).map_or(&[][..], Vec::as_slice);
            for (&(from, to), who) in spans.iter().zip(who) {
                let worker = self.problem.workers.iter().find(|w| Some(&w.id) == who.as_ref());
                let Some(worker) = worker else { continue };
                let window = worker.windows.iter().position(|&(a, b)| a <= from && to <= b);
                if let Some(window) = window {
                    *worked.entry((&worker.id, window)).or_default() += i64::from(to - from);
                }
            }
        }
        for worker in &self.problem.workers {
            for (window, soft) in worker.soft.iter().enumerate() {
                let sum = worked.get(&(worker.id.as_str(), window)).copied().unwrap_or(0);
                let preference = Preference::ShortEvening(worker.id.clone(), window);
                self.enter(preference, (sum - soft).max(0), self.problem.weights.evening);
            }
        }
    }

    fn room_of(&mut self, resource: &Resource) {
        let amount = self.room.get(resource.id.as_str()).copied().unwrap_or(0);
        let price = self.problem.weights.load * resource.load_weight;
        self.enter(Preference::Room(resource.id.clone()), amount, price);
    }
}
