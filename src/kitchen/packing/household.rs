//! From the kitchen's measurements to a packing question.
//!
//! In: a place and boxes as products have them. Out: a question over what the household leaves free of the
//! shelves, each a box of its own.

use std::collections::BTreeMap;

use super::{PackBox, PackProblem, PackShelf};
use crate::kitchen::{FootBox, Kitchen, Place};

/// Nothing stands above the counter; as high as a question can say.
const OPEN_ABOVE: u32 = 10_000;

/// Width, depth, height in mm, and how high a pile may be.
type Size = (u16, u16, u16, u8);

impl Kitchen {
    /// The question whether boxes stand in a place together; none for racks, whose levels are counted
    /// instead. Shelves are called by place and index (`fridge.0`), those that are all the household's
    /// are left out; on the counter the work zone is kept free. Boxes are called by kind and number
    /// (`cake box 1`); equal kinds of equal size count on, those of other sizes get a kind of their own.
    pub fn pack_problem(&self, place: Place, boxes: &[FootBox]) -> Option<PackProblem> {
        let shelves = match place {
            Place::Rack => return None,
            Place::Counter => {
                let width = u32::from(self.counter.width.saturating_sub(self.counter.work_zone));
                vec![PackShelf {
                    id: place.id().to_owned(),
                    width,
                    depth: u32::from(self.counter.depth),
                    height: OPEN_ABOVE,
                }]
            }
            _ => {
                let free = self.free_shelves(place).into_iter().map(|(index, free)| PackShelf {
                    id: format!("{}.{index}", place.id()),
                    width: free.width,
                    depth: free.depth,
                    height: free.height,
                });
                free.collect()
            }
        };
        let shelves = shelves.into_iter().filter(|shelf| shelf.width > 0).collect();
        let mut kinds: BTreeMap<String, (Size, u32)> = BTreeMap::new();
        let mut all = Vec::new();
        for item in boxes {
            let size = (item.width, item.depth, item.height, item.pile.max(1));
            let mut kind = item.kind.clone();
            if kinds.get(&kind).is_some_and(|(known, _)| *known != size) {
                kind = format!("{kind} {}×{}×{}/{}", item.width, item.depth, item.height, size.3);
            }
            let (_, number) = kinds.entry(kind.clone()).or_insert((size, 0));
            for _ in 0..item.count {
                *number += 1;
                all.push(PackBox {
                    id: format!("{kind} {number}"),
                    kind: kind.clone(),
                    width: u32::from(item.width),
                    depth: u32::from(item.depth),
                    height: u32::from(item.height),
                    pile: u32::from(size.3),
                });
            }
        }
        Some(PackProblem::new(shelves, all))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kitchen::packing::{Answer, NODE_LIMIT, pack, verify};
    use crate::kitchen::{Household, Shelf, ShelfKind, presets};

    fn cake(width: u16, count: u16) -> FootBox {
        FootBox { kind: "cake box".into(), width, depth: 260, height: 180, count, pile: 1 }
    }

    fn kitchen() -> Kitchen {
        let mut kitchen = presets()[0].kitchen.clone();
        let shelf = |name: &str, household| Shelf {
            name: name.into(),
            kind: ShelfKind::Shelf,
            width: 521,
            depth: 300,
            height: 200,
            household: Household::of_percent(521, household),
        };
        kitchen.fridge = vec![shelf("top", 0), shelf("middle", 50), shelf("low", 100)];
        kitchen.counter.width = 1000;
        kitchen.counter.work_zone = 600;
        kitchen
    }

    #[test]
    fn the_household_keeps_a_strip_of_the_width() {
        let problem = kitchen().pack_problem(Place::Fridge, &[cake(260, 2)]).expect("shelves");
        let sizes: Vec<_> = problem.shelves.iter().map(|s| (s.id.as_str(), s.width)).collect();
        assert_eq!(sizes, [("fridge.0", 521), ("fridge.1", 260)]);
        let Answer::Fits(placed) = pack(&problem, NODE_LIMIT) else { panic!("two fit") };
        assert_eq!(verify(&problem, &placed), Vec::<String>::new());
        let three = kitchen().pack_problem(Place::Fridge, &[cake(260, 3)]).expect("shelves");
        assert!(matches!(pack(&three, NODE_LIMIT), Answer::Fits(_)));
        let four = kitchen().pack_problem(Place::Fridge, &[cake(260, 4)]).expect("shelves");
        assert!(matches!(pack(&four, NODE_LIMIT), Answer::Impossible(_)));
    }

    #[test]
    fn kinds_of_two_sizes_become_two_kinds_and_ids_count_on() {
        let boxes = [cake(260, 1), cake(200, 1), cake(260, 1)];
        let problem = kitchen().pack_problem(Place::Fridge, &boxes).expect("shelves");
        assert_eq!(problem.validate(), Ok(()));
        let ids: Vec<_> = problem.boxes.iter().map(|b| b.id.as_str()).collect();
        assert_eq!(ids, ["cake box 1", "cake box 200×260×180/1 1", "cake box 2"]);
    }

    #[test]
    fn counter_without_the_work_zone_and_no_question_for_racks() {
        let problem = kitchen().pack_problem(Place::Counter, &[cake(260, 1)]).expect("a counter");
        assert_eq!((problem.shelves[0].width, problem.validate()), (400, Ok(())));
        assert_eq!(kitchen().pack_problem(Place::Rack, &[cake(260, 1)]), None);
    }
}
