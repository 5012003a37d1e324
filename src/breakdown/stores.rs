//! Places as resources of the planning problem: one for each height class, with what the household clears
//! for a while.

use std::collections::BTreeSet;

use crate::calendar::{Horizon, Span};
use crate::kitchen::{Kitchen, KitchenOverTime, Place, PlaceCapacity};
use crate::plan::Resource;

use super::RestStay;
use super::grid::{GRID, down};

/// As many as ever stand somewhere at once, and more.
const MANY: i64 = 100_000;

/// The kitchen's places with their capacities over time.
pub(super) struct Stores<'a> {
    kitchen: &'a Kitchen,
    over_time: KitchenOverTime,
    /// Slots of each period.
    periods: Vec<(i32, i32)>,
    places: Vec<OverTime>,
    /// Periods in which alone something finds a shelf, each asked for at least once.
    gates: BTreeSet<Gate>,
}

/// One place.
struct OverTime {
    /// The most that each class ever holds.
    most: PlaceCapacity,
    /// What each class holds in each period.
    capacities: Vec<Vec<u32>>,
}

/// Where, and whether in each period.
type Gate = (Place, Vec<bool>);

impl<'a> Stores<'a> {
    pub(super) fn of(kitchen: &'a Kitchen, horizon: &Horizon) -> Self {
        let over_time = KitchenOverTime::of(kitchen, horizon, GRID);
        let slots = |span: Span| (down(span.start.0), down(span.end.0));
        let place = |place| OverTime {
            most: over_time.most(place),
            capacities: over_time.capacities(place),
        };
        Self {
            kitchen,
            periods: over_time.spans().map(slots).collect(),
            places: Place::ALL.map(place).into_iter().collect(),
            over_time,
            gates: BTreeSet::new(),
        }
    }

    /// One resource for each class, to be asked for last: and one for each set of periods outside of which
    /// something stands nowhere. Only the fridge's widest class costs: cold load is area × time.
    ///
    /// A class has the most that it ever holds; what the household has of that in a period is taken.
    pub(super) fn resources(&self) -> Vec<Resource> {
        let mut resources = Vec::new();
        for place in &self.places {
            for (index, class) in place.most.classes.iter().enumerate() {
                let taken = place.capacities.iter().map(|of| {
                    let then = of.get(index).copied().unwrap_or(0);
                    i64::from(class.capacity) - i64::from(then)
                });
                resources.push(Resource {
                    id: name(&place.most, index),
                    capacity: i64::from(class.capacity),
                    load_weight: i64::from(place.most.place == Place::Fridge && index == 0),
                    busy: self.busy(taken),
                });
            }
        }
        for gate in &self.gates {
            let taken = gate.1.iter().map(|open| if *open { 0 } else { MANY });
            let (id, busy) = (gate_name(gate), self.busy(taken));
            resources.push(Resource { id, capacity: MANY, load_weight: 0, busy });
        }
        resources
    }

    /// Amounts of the periods as the problem has them.
    fn busy(&self, taken: impl Iterator<Item = i64>) -> Vec<(i32, i32, i64)> {
        let mut busy: Vec<(i32, i32, i64)> = Vec::new();
        for (&(from, to), amount) in self.periods.iter().zip(taken) {
            match busy.last_mut() {
                Some(last) if last.1 == from && last.2 == amount => last.1 = to,
                _ => busy.push((from, to, amount)),
            }
        }
        busy.retain(|(from, to, amount)| from < to && *amount > 0);
        busy
    }

    /// What a stay takes of its place. Where it stands in some periods only, a gate that is open in these
    /// too. When no shelf can take it at any time, all that the place has as a rule, and why.
    ///
    /// Where it takes more in one period than in another, the least counts: what is too much by that
    /// cannot stand, the rest is for exact packing.
    pub(super) fn amounts(&mut self, stay: &RestStay) -> (Vec<(String, i64)>, Option<String>) {
        let Some(place) = self.places.iter().find(|of| of.most.place == stay.place) else {
            return (Vec::new(), None);
        };
        let demands = self.over_time.demands(stay.place, &stay.boxes);
        let fitting: Vec<Option<&Vec<u32>>> = demands
            .iter()
            .zip(&place.capacities)
            .map(|(demand, most)| {
                let fits = |demand: &&Vec<u32>| demand.iter().zip(most).all(|(a, b)| a <= b);
                demand.as_ref().ok().filter(fits)
            })
            .collect();
        let mut least: Option<Vec<u32>> = None;
        for demand in fitting.iter().copied().flatten() {
            match &mut least {
                Some(least) => {
                    least
                        .iter_mut()
                        .zip(demand)
                        .for_each(|(least, now)| *least = (*now).min(*least));
                }
                None => least = Some(demand.clone()),
            }
        }
        let Some(least) = least else {
            let trouble = match self.kitchen.demand(stay.place, &stay.boxes) {
                Err(misfit) => misfit.message,
                Ok(_) => format!(
                    "it needs more room than the {} has; clear some, or make fewer",
                    stay.place
                ),
            };
            return (place.whole(), Some(trouble));
        };
        let mut amounts: Vec<(String, i64)> = least
            .iter()
            .enumerate()
            .filter(|(_, amount)| **amount > 0)
            .map(|(index, amount)| (name(&place.most, index), i64::from(*amount)))
            .collect();
        if fitting.iter().any(Option::is_none) {
            let gate = (stay.place, fitting.iter().map(Option::is_some).collect());
            amounts.push((gate_name(&gate), 1));
            self.gates.insert(gate);
        }
        (amounts, None)
    }
}

impl OverTime {
    /// All that it has in the period in which it has least.
    fn whole(&self) -> Vec<(String, i64)> {
        let classes = (0..self.most.classes.len()).map(|index| {
            let least = self.capacities.iter().filter_map(|of| of.get(index)).min();
            (name(&self.most, index), i64::from(least.copied().unwrap_or(0)))
        });
        classes.filter(|(_, amount)| *amount > 0).collect()
    }
}

fn name(capacity: &PlaceCapacity, index: usize) -> String {
    match capacity.classes.get(index) {
        Some(class) if 0 < index => format!("{}.h{}", capacity.place.id(), class.height),
        _ => capacity.place.id().to_owned(),
    }
}

/// For example `fridge.while-cleared-010`.
fn gate_name((place, open): &Gate) -> String {
    let periods: String = open.iter().map(|open| if *open { '1' } else { '0' }).collect();
    format!("{}.while-cleared-{periods}", place.id())
}
