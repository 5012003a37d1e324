//! One floor at a time: do these bases stand on it? Remembered, and cheap answers first.
//!
//! In: a floor and how many bases of each shape. Out: yes with spots, no, or open at this effort.
//! The order is: what is known (also of smaller and larger sets), area and re-scaled areas, a quick
//! constructor, then the exact search.

use std::collections::HashMap;

use super::free_space::{Spot, construct};
use super::mixer::Mixed;
use super::piles::{Piles, Shape};
use super::scales::Scale;
use super::staircase::{Meter, Verdict, search};
use crate::plan::arrange::Arrange;

/// Scalings tried on each side of a floor.
const SCALES_MOST: usize = 12;
/// Known answers that are compared with a new set.
const KNOWN_MOST: usize = 256;

/// An answer for one set on one floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stands {
    Yes,
    No,
    /// Not known at the effort allowed.
    Open,
}

/// Per shape what it takes at least, and what the floor gives, under one pair of scalings.
#[derive(Debug, Clone)]
pub(super) struct Scaled {
    pub(super) takes: Vec<u64>,
    pub(super) gives: u64,
}

struct Floor {
    size: Shape,
    scaled: Vec<Scaled>,
    known: HashMap<Box<[u32]>, Known, Mixed>,
    yes: Vec<Box<[u32]>>,
    no: Vec<Box<[u32]>>,
}

enum Known {
    Yes(Vec<Spot>),
    No,
    /// Open after so much effort.
    Open(u64),
}

/// All floors of a question, with what is known of them.
pub(super) struct Floors {
    shapes: Vec<Shape>,
    each: Vec<Floor>,
    /// Nodes that one set may take before it is called open.
    pub(super) effort: u64,
    /// Counts the nodes of everything.
    pub(super) meter: Meter,
}

fn covers(larger: &[u32], smaller: &[u32]) -> bool {
    larger.iter().zip(smaller).all(|(more, less)| more >= less)
}

impl Floors {
    pub(super) fn of(piles: &Piles, limit: u64) -> Self {
        let floors = piles.floors.iter().map(|&size| Floor {
            size,
            scaled: scaled(size, &piles.shapes),
            known: HashMap::default(),
            yes: Vec::new(),
            no: Vec::new(),
        });
        Self {
            shapes: piles.shapes.clone(),
            each: floors.collect(),
            effort: limit,
            meter: Meter { used: 0, limit },
        }
    }

    /// The scalings of a floor; the first is the plain area.
    pub(super) fn scaled(&self, floor: usize) -> &[Scaled] {
        self.each.get(floor).map_or(&[], |floor| &floor.scaled)
    }

    /// Whether bases, counted by shape, stand on a floor.
    pub(super) fn stands(&mut self, floor: usize, counts: &[u32]) -> Stands {
        let Some(floor) = self.each.get_mut(floor) else { return Stands::No };
        match floor.known.get(counts) {
            Some(Known::Yes(_)) => return Stands::Yes,
            Some(Known::No) => return Stands::No,
            Some(Known::Open(effort)) if *effort >= self.effort => return Stands::Open,
            _ => {}
        }
        if !self.meter.step() {
            return Stands::Open;
        }
        if floor.yes.iter().any(|known| covers(known, counts)) {
            return Stands::Yes;
        }
        if floor.no.iter().any(|known| covers(counts, known)) {
            return Stands::No;
        }
        let too_much = floor.scaled.iter().any(|scaled| {
            let sum: u64 = scaled.takes.iter().zip(counts).map(|(&t, &n)| t * u64::from(n)).sum();
            sum > scaled.gives
        });
        let known = if too_much {
            Known::No
        } else if let Some(spots) = construct(floor.size, &self.shapes, counts) {
            Known::Yes(spots)
        } else {
            match search(floor.size, &self.shapes, counts, self.effort, &mut self.meter) {
                Verdict::Yes(spots) => Known::Yes(spots),
                Verdict::No => Known::No,
                Verdict::Open => Known::Open(self.effort),
            }
        };
        let stands = match known {
            Known::Yes(_) => {
                floor.yes.retain(|old| !covers(counts, old));
                if floor.yes.len() < KNOWN_MOST {
                    floor.yes.push(counts.into());
                }
                Stands::Yes
            }
            Known::No => {
                floor.no.retain(|old| !covers(old, counts));
                if floor.no.len() < KNOWN_MOST {
                    floor.no.push(counts.into());
                }
                Stands::No
            }
            Known::Open(_) => Stands::Open,
        };
        floor.known.insert(counts.into(), known);
        stands
    }

    /// Where a set stands of which [`Self::stands`] said yes.
    pub(super) fn spots(&self, floor: usize, counts: &[u32]) -> Option<Vec<Spot>> {
        let floor = self.each.get(floor)?;
        let found = |counts: &[u32]| match floor.known.get(counts) {
            Some(Known::Yes(spots)) => Some(spots.clone()),
            _ => None,
        };
        let mut spots = found(counts).or_else(|| {
            floor.yes.iter().filter(|known| covers(known, counts)).find_map(|known| found(known))
        })?;
        let mut wanted = counts.to_vec();
        spots.retain(|spot| match wanted.get_mut(spot.shape) {
            Some(left @ 1..) => {
                *left -= 1;
                true
            }
            _ => false,
        });
        Some(spots)
    }
}

/// What each shape takes at least and what a floor gives, for pairs of scalings; plain area first.
/// A shape that stands nowhere on the floor takes more than it gives.
fn scaled(floor: Shape, shapes: &[Shape]) -> Vec<Scaled> {
    let mut lengths: Vec<u32> = shapes.iter().flat_map(|s| [s.long, s.short]).collect();
    lengths.arrange();
    lengths.dedup();
    let (across, along) = (floor.long, floor.short);
    let mut all: Vec<Scaled> = Vec::new();
    for f in Scale::choices(across, &lengths, SCALES_MOST) {
        for g in Scale::choices(along, &lengths, SCALES_MOST) {
            let gives = f.of(across, across) * g.of(along, along);
            let takes = shapes.iter().map(|shape| {
                let way = |a: u32, b: u32| {
                    (a <= across && b <= along).then(|| f.of(a, across) * g.of(b, along))
                };
                let ways =
                    way(shape.long, shape.short).into_iter().chain(way(shape.short, shape.long));
                ways.min().unwrap_or(gives + 1)
            });
            let takes: Vec<u64> = takes.collect();
            let first = all.is_empty();
            if first || takes.iter().any(|&t| t > 0) {
                all.push(Scaled { takes, gives });
            }
        }
    }
    all
}
