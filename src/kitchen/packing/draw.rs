//! From bases back to boxes: who stands where, in which pile, on which level.
//!
//! In: bases on shelves, in the search's terms. Out: the answer's coordinates.

use super::first_try::Base;
use super::piles::Piles;
use super::{PackProblem, Placed};
use crate::plan::arrange::{Arrange, map_of};

/// Lets the boxes of each sort stand on its bases; none if the bases do not carry all of them.
pub(super) fn draw(problem: &PackProblem, piles: &Piles, bases: &[Base]) -> Option<Vec<Placed>> {
    let mut waiting: Vec<std::slice::Iter<'_, usize>> =
        piles.sorts.iter().map(|sort| sort.boxes.iter()).collect();
    let mut placed = Vec::with_capacity(problem.boxes.len());
    for base in bases {
        let shelf = problem.shelves.get(base.shelf)?;
        let class = piles.classes.iter().position(|class| class.shelves.contains(&base.shelf))?;
        let levels = piles.sorts.get(base.sort)?.levels.get(class).copied()?;
        // The search lays a floor's longer side across.
        let spot = base.spot;
        let (x, y, across, along) = if shelf.width >= shelf.depth {
            (spot.x, spot.y, spot.across, spot.along)
        } else {
            (spot.y, spot.x, spot.along, spot.across)
        };
        for level in 0..levels {
            let Some(item) = waiting.get_mut(base.sort)?.next().and_then(|&i| problem.boxes.get(i))
            else {
                break;
            };
            let turned = (item.width, item.depth) != (across, along);
            placed.push(Placed {
                id: item.id.clone(),
                shelf: shelf.id.clone(),
                x,
                y,
                level,
                turned,
            });
        }
    }
    if placed.len() != problem.boxes.len() {
        return None;
    }
    let named = problem.boxes.iter().enumerate().map(|(index, item)| (item.id.as_str(), index));
    let order = map_of(named);
    placed.arrange_by_key(|place| order.get(place.id.as_str()).copied());
    Some(placed)
}
