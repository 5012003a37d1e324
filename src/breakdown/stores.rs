//! Places as resources of the planning problem: one for each height class.

use crate::kitchen::{Kitchen, Place, PlaceCapacity};
use crate::plan::Resource;

use super::RestStay;

/// The kitchen's places with their capacities.
pub(super) struct Stores<'a> {
    kitchen: &'a Kitchen,
    places: Vec<PlaceCapacity>,
}

impl<'a> Stores<'a> {
    pub(super) fn of(kitchen: &'a Kitchen) -> Self {
        Self { kitchen, places: Place::ALL.map(|place| kitchen.capacity(place)).to_vec() }
    }

    /// One resource for each class. Only the fridge's widest class costs: cold load is area × time.
    pub(super) fn resources(&self) -> Vec<Resource> {
        let mut resources = Vec::new();
        for capacity in &self.places {
            for (index, class) in capacity.classes.iter().enumerate() {
                resources.push(Resource {
                    id: name(capacity, index),
                    capacity: i64::from(class.capacity),
                    load_weight: i64::from(capacity.place == Place::Fridge && index == 0),
                    busy: Vec::new(),
                });
            }
        }
        resources
    }

    /// What a stay takes of its place. When no shelf can take it, all of the place, and why.
    pub(super) fn amounts(&self, stay: &RestStay) -> (Vec<(String, i64)>, Option<String>) {
        let Some(capacity) = self.places.iter().find(|capacity| capacity.place == stay.place)
        else {
            return (Vec::new(), None);
        };
        match self.kitchen.demand(stay.place, &stay.boxes) {
            Ok(demand) => {
                let amounts: Vec<(String, i64)> = demand
                    .iter()
                    .map(|(index, amount)| (name(capacity, *index), i64::from(*amount)))
                    .collect();
                let too_much = demand.iter().any(|(index, amount)| {
                    capacity.classes.get(*index).is_none_or(|class| class.capacity < *amount)
                });
                if too_much {
                    let trouble = format!(
                        "it needs more room than the {} has; clear some, or make fewer",
                        stay.place
                    );
                    return (whole(capacity), Some(trouble));
                }
                (amounts, None)
            }
            Err(misfit) => (whole(capacity), Some(misfit.message)),
        }
    }
}

fn whole(capacity: &PlaceCapacity) -> Vec<(String, i64)> {
    let classes = capacity.classes.iter().enumerate();
    classes.map(|(index, class)| (name(capacity, index), i64::from(class.capacity))).collect()
}

fn name(capacity: &PlaceCapacity, index: usize) -> String {
    match capacity.classes.get(index) {
        Some(class) if 0 < index => format!("{}.h{}", capacity.place.id(), class.height),
        _ => capacity.place.id().to_owned(),
    }
}
