//! What was found not to stand together, as a requirement of the planning problem.
//!
//! In: a smallest set of stays that do not fit their place together. Out: a cut: of these never all at once, said as
//! a resource of which each of them takes one and which has one less than they are. The planner, the exact
//! search, the checker and any other solver understand it as they understand a shelf.
//!
//! # Why it loses no plan that can be packed
//! The set was proved not to fit, or not proved to fit within the packer's limit, which counts as the same. A set
//! in which members are replaced by others of the same place whose boxes are at least as large does not fit
//! either; so of all that are at least as large as every member, and the members, no as many as there are
//! members can stand together (an extended cover, as in Balas, "Facets of the knapsack polytope", 1975). Where the
//! household clears a shelf in between, the cut holds only while the set does not fit.

use serde::{Deserialize, Serialize};

use crate::kitchen::stow::Stower;
use crate::kitchen::{FootBox, Place};
use crate::plan::arrange::Arrange;
use crate::plan::{Problem, Resource};

use super::standing::{CanStand, Origin, Standings};

/// Begins the ids of cuts' resources.
const PREFIX: &str = "together.";

/// Things that never stand together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cut {
    /// Where.
    pub place: Place,
    /// The smallest set: indexes of the standings.
    pub members: Vec<usize>,
    /// Others that may take the place of any member: indexes of the standings.
    pub larger: Vec<usize>,
    /// It was proved that they do not fit; else no way was found within the packer's limit.
    pub proven: bool,
    /// Slots in which it does not hold, because more is free; sorted.
    pub except: Vec<(i32, i32)>,
}

impl Cut {
    /// The cut of a set of standings (by index, of one place, each once or more often).
    pub fn of(
        standings: &Standings,
        set: &[usize],
        proven: bool,
        stower: &mut Stower,
        grid: u16,
    ) -> Option<Self> {
        let members: Vec<usize> = set.to_vec();
        let of = |index: &usize| standings.all.get(*index);
        let place = of(members.first()?)?.place;
        let boxes: Vec<FootBox> =
            members.iter().filter_map(of).flat_map(|stand| stand.boxes.clone()).collect();
        let mut larger = Vec::new();
        for (index, stand) in standings.all.iter().enumerate() {
            let others = stand.place == place && !members.contains(&index);
            if others && members.iter().filter_map(of).all(|member| as_large(stand, member)) {
                larger.push(index);
            }
        }
        // Free in a part of a slot is not free in it.
        let grid = i32::from(grid.max(1));
        let mut except = Vec::new();
        let mut from = 0;
        for span in stower.apart(place, &boxes) {
            except.push((from, span.start.0.div_euclid(grid)));
            from = (span.end.0 + grid - 1).div_euclid(grid);
        }
        except.push((from, standings.horizon.len().0.div_euclid(grid)));
        except.retain(|(from, to)| from < to);
        Some(Self { place, members, larger, proven, except })
    }

    /// How many of them may stand together.
    fn most(&self) -> i64 {
        i64::try_from(self.members.len()).unwrap_or(i64::MAX) - 1
    }

    /// Adds it to a problem as the resource of this number.
    pub fn add_to(&self, problem: &mut Problem, standings: &Standings, number: usize) {
        let id = format!("{PREFIX}{}.{number}", self.place.id());
        let all: Vec<usize> = self.members.iter().chain(&self.larger).copied().collect();
        // Nothing is taken while it does not hold, and all but what it allows while it does.
        let count = i64::try_from(all.len()).unwrap_or(i64::MAX);
        let mut resource =
            Resource { id: id.clone(), capacity: self.most(), ..Resource::default() };
        if !self.except.is_empty() {
            resource.capacity = count;
            let mut from = 0;
            for &(start, end) in self.except.iter().chain([&(problem.horizon, problem.horizon)]) {
                if from < start {
                    resource.busy.push((from, start.min(problem.horizon), count - self.most()));
                }
                from = end;
            }
        }
        problem.resources.push(resource);
        for stand in all.iter().filter_map(|&index| standings.all.get(index)) {
            take_one(problem, &stand.origin, &id);
        }
    }

    /// The place and the number in the id of a cut's resource; none for other resources.
    pub fn named(id: &str) -> Option<(Place, usize)> {
        let (place, number) = id.strip_prefix(PREFIX)?.rsplit_once('.')?;
        let place = Place::ALL.into_iter().find(|of| of.id() == place)?;
        Some((place, number.parse().ok()?))
    }
}

/// Lets what the origin names take one of a resource.
fn take_one(problem: &mut Problem, origin: &Origin, id: &str) {
    let amount = (id.to_owned(), 1);
    match origin {
        Origin::Step { activity } => {
            if let Some(of) = problem.activities.iter_mut().find(|of| of.id == *activity) {
                of.uses.push(amount);
            }
        }
        Origin::Pause { activity } => {
            if let Some(of) = problem.activities.iter_mut().find(|of| of.id == *activity) {
                of.hold.push(amount);
            }
        }
        Origin::Rest { link, mode, tail } => {
            let Some(link) = problem.links.iter_mut().find(|of| of.id == *link) else { return };
            if link.modes.is_empty() {
                link.store.push(amount);
                return;
            }
            let Some(mode) = link.modes.iter_mut().find(|of| of.name == *mode) else { return };
            match &mut mode.tail {
                Some(last) if *tail => last.store.push(amount),
                _ => mode.store.push(amount),
            }
        }
    }
}

/// Whether a stand needs at least the room of another wherever the other stands: for each box of the other it has
/// one of its own that is as wide, as deep and as high, and is piled no better.
fn as_large(large: &CanStand, small: &CanStand) -> bool {
    let mut left: Vec<(&FootBox, u16)> = large.boxes.iter().map(|of| (of, of.count)).collect();
    let mut wanted: Vec<&FootBox> = small.boxes.iter().collect();
    // What may be piled finds its like only; so it goes first.
    wanted.arrange_by_key(|of| {
        (of.pile <= 1, std::cmp::Reverse((of.width.max(of.depth), of.height)))
    });
    for of in wanted {
        let mut needed = of.count;
        for same in [true, false] {
            for (own, count) in &mut left {
                let alike = own.kind == of.kind
                    && (own.width, own.depth, own.height, own.pile)
                        == (of.width, of.depth, of.height, of.pile);
                if alike == same && (same || (own.pile <= 1 && of.pile <= 1 && holds(own, of))) {
                    let taken = needed.min(*count);
                    needed -= taken;
                    *count -= taken;
                }
            }
        }
        if needed > 0 {
            return false;
        }
    }
    true
}

/// Whether a box covers another, turned or not.
fn holds(large: &FootBox, small: &FootBox) -> bool {
    let sides = |of: &FootBox| (of.width.max(of.depth), of.width.min(of.depth));
    let ((a, b), (c, d)) = (sides(large), sides(small));
    c <= a && d <= b && small.height <= large.height
}
