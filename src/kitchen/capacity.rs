//! Areas and height classes of places, and what boxes take of them.
//!
//! A place is a set of shelves with different clear heights. A box needs a shelf at least as high as
//! itself, so for each clear height there is one class: the area of all shelves at least that high.
//! A set of boxes can only fit if every class holds what needs it. That is necessary, not sufficient;
//! exact packing answers the rest.
//!
//! Areas of shelves and of single boxes are both rounded down to whole cm²: a set that really stands on
//! its shelves then never counts as too much, not even trays that fill a shelf to the millimetre.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::model::stands_on;
use super::{FootBox, Free, Kitchen, Place, Shelf};
use crate::plan::arrange::Arrange;

/// One class of a place: shelves whose clear height is at least `height`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct HeightClass {
    /// Clear height in mm; 0 for places without heights (rack, counter).
    pub height: u16,
    /// What the baker may use: cm² of area, or levels for a rack.
    pub capacity: u32,
}

/// What a place can hold: its height classes from the lowest, each containing the next.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlaceCapacity {
    /// Which place.
    pub place: Place,
    /// From all shelves down to the tallest only. Empty when the place does not exist.
    pub classes: Vec<HeightClass>,
}

/// Boxes that no single shelf of a place can take.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DoesNotFit {
    /// Where they should stand.
    pub place: Place,
    /// The kind of the first box that does not fit.
    pub kind: String,
    /// What is wrong and what helps, in one sentence.
    pub message: String,
}

impl fmt::Display for DoesNotFit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for DoesNotFit {}

/// A flat area on which boxes can stand, all of it for baking.
struct Surface {
    /// mm.
    width: u32,
    /// mm.
    depth: u32,
    /// Clear height in mm; none: open above.
    height: Option<u16>,
}

impl Surface {
    /// Whole cm².
    fn area(&self) -> u32 {
        self.width.saturating_mul(self.depth) / 100
    }

    /// Whether a box, or a pile of this height, stands on it.
    fn takes(&self, item: &FootBox, height: u32) -> bool {
        self.height.is_none_or(|clear| height <= u32::from(clear))
            && stands_on(item.width, item.depth, self.width, self.depth)
    }
}

impl Kitchen {
    /// What a place can hold as a rule, without what is cleared for a while: ask a kitchen
    /// [as it is then](Kitchen::during) for that. Shelves count with what the household leaves of them, the
    /// counter without the work zone; a rack counts its levels. Shelves that are all the household's do
    /// not count.
    pub fn capacity(&self, place: Place) -> PlaceCapacity {
        let classes = if place == Place::Rack {
            let levels: u32 = self.racks.iter().map(|rack| u32::from(rack.levels)).sum();
            let class = HeightClass { height: 0, capacity: levels };
            Vec::from_iter((levels > 0).then_some(class))
        } else {
            classes(&self.surfaces(place))
        };
        PlaceCapacity { place, classes }
    }

    /// What boxes take of a place: for each class its index in [`Kitchen::capacity`] and an amount in
    /// that class's unit, from class 0 on. Classes contain each other, and so do these amounts: what
    /// stands on the tallest shelf is counted in **every** class, so each amount is to be held against
    /// its own class's capacity and nothing is to be added up.
    ///
    /// Boxes that may be piled share their base; the pile is as high as it must be for the fewest
    /// bases, unless only lower ones leave every class within its capacity. On a rack each box takes
    /// a level. A box that stands on no single shelf, turned or not, is an error.
    pub fn demand(&self, place: Place, boxes: &[FootBox]) -> Result<Vec<(usize, u32)>, DoesNotFit> {
        let boxes = boxes.iter().filter(|item| item.count > 0);
        if place == Place::Rack {
            let mut levels = 0_u32;
            for item in boxes {
                if !self.racks.iter().any(|rack| rack.takes(item.width, item.depth)) {
                    return Err(self.no_room(place, item));
                }
                levels = levels.saturating_add(u32::from(item.count));
            }
            return Ok(Vec::from_iter((levels > 0).then_some((0, levels))));
        }
        let surfaces = self.surfaces(place);
        let classes = classes(&surfaces);
        let mut totals = vec![0_u32; classes.len()];
        for item in boxes {
            let (class, amount) =
                pile_up(item, &surfaces, &classes).ok_or_else(|| self.no_room(place, item))?;
            for total in totals.iter_mut().take(class + 1) {
                *total = total.saturating_add(amount);
            }
        }
        Ok(totals.into_iter().enumerate().filter(|&(_, amount)| amount > 0).collect())
    }

    /// What the household leaves free of each shelf of a place, with the shelf's index; none for those that
    /// are all the household's. Areas, packing and drawings all ask here.
    pub fn free_shelves(&self, place: Place) -> Vec<(usize, Free)> {
        let shelves = self.shelves(place).iter().enumerate();
        shelves.filter_map(|(index, shelf)| Some((index, shelf.free()?))).collect()
    }

    fn surfaces(&self, place: Place) -> Vec<Surface> {
        if place == Place::Counter {
            let width = u32::from(self.counter.width.saturating_sub(self.counter.work_zone));
            let surface = Surface { width, depth: u32::from(self.counter.depth), height: None };
            return Vec::from_iter((surface.area() > 0).then_some(surface));
        }
        let free = self.free_shelves(place).into_iter().map(|(_, free)| Surface {
            width: free.width,
            depth: free.depth,
            height: Some(u16::try_from(free.height).unwrap_or(u16::MAX)),
        });
        free.collect()
    }

    /// Why a box stands nowhere, in the user's words.
    fn no_room(&self, place: Place, item: &FootBox) -> DoesNotFit {
        let size = format!("{} × {} × {} mm", item.width, item.depth, item.height);
        let (what, help) = match place {
            Place::Rack if self.racks.is_empty() => {
                ("there is no rack".to_owned(), "enter one in the kitchen, or rest it elsewhere")
            }
            Place::Rack => (
                "it is larger than every tray of the racks".to_owned(),
                "enter a larger tray, or rest it elsewhere",
            ),
            Place::Counter => (
                "it is larger than the counter beside the work zone".to_owned(),
                "make the work zone narrower, or rest it elsewhere",
            ),
            _ => {
                // As if the household kept nothing, of the shelves that it does not keep wholly.
                let free = self.free_shelves(place);
                let whole = free.iter().filter_map(|(index, _)| self.shelves(place).get(*index));
                let stands = |shelf: &&Shelf| {
                    stands_on(item.width, item.depth, shelf.width.into(), shelf.depth.into())
                };
                match whole.filter(stands).map(|shelf| shelf.height).max() {
                    _ if free.is_empty() => (
                        format!("there is no {place} shelf for baking"),
                        "enter one in the kitchen, or lower the household's share",
                    ),
                    None => (
                        format!("it is larger than every {place} shelf"),
                        "measure again, or rest it elsewhere",
                    ),
                    Some(height) if height < item.height => (
                        format!("the highest {place} shelf that it stands on is {height} mm clear"),
                        "take a shelf out and measure again, or rest it elsewhere",
                    ),
                    Some(_) => (
                        format!("the household keeps too much of every {place} shelf high enough"),
                        "clear a shelf and lower the household's share, or rest it elsewhere",
                    ),
                }
            }
        };
        DoesNotFit {
            place,
            kind: item.kind.clone(),
            message: format!("“{}” ({size}) does not fit: {what}; {help}", item.kind),
        }
    }
}

/// One class for each clear height, from the lowest.
fn classes(surfaces: &[Surface]) -> Vec<HeightClass> {
    let mut heights: Vec<u16> = surfaces.iter().map(|s| s.height.unwrap_or(0)).collect();
    heights.arrange();
    heights.dedup();
    let at_least = |height| {
        let high_enough = surfaces.iter().filter(move |s| s.height.unwrap_or(0) >= height);
        high_enough.fold(0_u32, |sum, surface| sum.saturating_add(surface.area()))
    };
    heights.into_iter().map(|height| HeightClass { height, capacity: at_least(height) }).collect()
}

/// The class and the area that equal boxes take in their best piles; none when one stands nowhere.
fn pile_up(item: &FootBox, surfaces: &[Surface], classes: &[HeightClass]) -> Option<(usize, u32)> {
    let base = (u32::from(item.width) * u32::from(item.depth) / 100).max(1);
    let ways = (1..=u32::from(item.pile).clamp(1, u32::from(item.count))).filter_map(|pile| {
        let height = u32::from(item.height) * pile;
        // The class is that of the lowest shelf that really takes it: a wide board may need a high one.
        let lowest = surfaces
            .iter()
            .filter(|surface| surface.takes(item, height))
            .map(|s| s.height.unwrap_or(0))
            .min()?;
        let class = classes.iter().position(|class| class.height == lowest)?;
        let amount = base.saturating_mul(u32::from(item.count).div_ceil(pile));
        let fits = classes.iter().take(class + 1).all(|class| amount <= class.capacity);
        Some((!fits, amount, pile, class))
    });
    ways.min().map(|(_, amount, _, class)| (class, amount))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::kitchen::{Boxes, Counter, Household, Oven, Rack, ShelfKind, Warmth};

    fn shelf(width: u16, depth: u16, height: u16, household: u8) -> Shelf {
        let household = Household::of_percent(width, household);
        Shelf { name: "shelf".into(), kind: ShelfKind::Shelf, width, depth, height, household }
    }

    fn kitchen(fridge: Vec<Shelf>) -> Kitchen {
        Kitchen {
            fridge,
            freezer: Vec::new(),
            racks: vec![
                Rack { name: "a".into(), levels: 8, tray_width: 450, tray_depth: 330 },
                Rack { name: "b".into(), levels: 4, tray_width: 330, tray_depth: 450 },
            ],
            counter: Counter { width: 1800, depth: 600, work_zone: 800 },
            room: Vec::new(),
            oven: Oven { decks: 2, trays_per_deck: 2 },
            mixers: 1,
            clearings: Vec::new(),
            boxes: Boxes::usual(),
            warmth: Warmth::default(),
        }
    }

    fn boxes(width: u16, depth: u16, height: u16, count: u16, pile: u8) -> FootBox {
        FootBox { kind: "box".into(), width, depth, height, count, pile }
    }

    fn sizes(capacity: &PlaceCapacity) -> Vec<(u16, u32)> {
        capacity.classes.iter().map(|class| (class.height, class.capacity)).collect()
    }

    #[test]
    fn each_class_holds_all_shelves_at_least_as_high() {
        let kitchen = kitchen(vec![
            shelf(470, 330, 260, 0),
            shelf(470, 330, 180, 50),
            shelf(470, 330, 260, 100),
            shelf(400, 255, 220, 33),
        ]);
        // 155 100 mm² = 1551 cm², half of it 775.5, and 102 000 mm² × 67 % = 683.4 cm²: rounded down.
        assert_eq!(
            sizes(&kitchen.capacity(Place::Fridge)),
            [(180, 1551 + 775 + 683), (220, 1551 + 683), (260, 1551)]
        );
        assert_eq!(sizes(&kitchen.capacity(Place::Rack)), [(0, 12)]);
        assert_eq!(sizes(&kitchen.capacity(Place::Counter)), [(0, 6000)]);
        assert_eq!(sizes(&kitchen.capacity(Place::Freezer)), []);
        assert_eq!(kitchen.oven_trays(), 4);
        assert_eq!(kitchen.tray(), Some((450, 330)));
        assert!(kitchen.racks[0].same_trays(&kitchen.racks[1]), "equal when turned");
    }

    #[test]
    fn a_box_counts_in_its_class_and_in_all_lower_ones() {
        let kitchen = kitchen(vec![shelf(470, 330, 180, 0), shelf(470, 330, 260, 0)]);
        let low = kitchen.demand(Place::Fridge, &[boxes(201, 200, 180, 1, 1)]);
        assert_eq!(low, Ok(vec![(0, 402)]));
        let tall = kitchen.demand(Place::Fridge, &[boxes(205, 201, 181, 1, 1)]);
        assert_eq!(tall, Ok(vec![(0, 412), (1, 412)]), "412.05 cm², rounded down");
        let both = kitchen
            .demand(Place::Fridge, &[boxes(201, 200, 180, 1, 1), boxes(205, 201, 181, 1, 1)]);
        assert_eq!(both, Ok(vec![(0, 814), (1, 412)]));
    }

    #[test]
    fn piles_share_their_base_as_far_as_it_helps() {
        let kitchen = kitchen(vec![shelf(470, 330, 180, 0), shelf(470, 330, 260, 0)]);
        let demand = |item| kitchen.demand(Place::Fridge, &[item]);
        assert_eq!(demand(boxes(200, 200, 60, 3, 3)), Ok(vec![(0, 400)]), "three high: 180 mm");
        assert_eq!(demand(boxes(200, 200, 60, 4, 4)), Ok(vec![(0, 400), (1, 400)]));
        assert_eq!(demand(boxes(200, 200, 60, 4, 3)), Ok(vec![(0, 800)]), "two and two is enough");
        assert_eq!(demand(boxes(200, 200, 170, 2, 2)), Ok(vec![(0, 800)]), "a pile is too high");
        // Piles of two are 260 mm high: three bases fit the tall shelf's 1551 cm², four do not, and
        // then all stand side by side.
        assert_eq!(demand(boxes(200, 200, 130, 6, 2)), Ok(vec![(0, 1200), (1, 1200)]));
        assert_eq!(demand(boxes(200, 200, 130, 7, 2)), Ok(vec![(0, 2800)]));
        assert_eq!(
            demand(boxes(200, 200, 130, 9, 2)),
            Ok(vec![(0, 2000), (1, 2000)]),
            "neither fits: the smaller one shows how far over it is"
        );
        assert_eq!(demand(boxes(1, 1, 1, 0, 1)), Ok(Vec::new()), "no box takes nothing");
    }

    #[test]
    fn what_stands_on_no_shelf_is_said_with_its_reason() {
        let kitchen = kitchen(vec![shelf(470, 330, 180, 0), shelf(300, 200, 260, 80)]);
        let why = |place, item| kitchen.demand(place, &[item]).expect_err("too large").message;
        let has = |text: String, part: &str| assert!(text.contains(part), "{text}");
        has(why(Place::Fridge, boxes(480, 340, 50, 1, 1)), "larger than every fridge shelf");
        has(why(Place::Fridge, boxes(400, 300, 200, 1, 1)), "180 mm clear");
        has(why(Place::Fridge, boxes(200, 150, 200, 1, 1)), "household keeps too much");
        has(why(Place::Freezer, boxes(100, 100, 50, 1, 1)), "no freezer shelf");
        has(why(Place::Rack, boxes(460, 330, 50, 1, 1)), "larger than every tray");
        has(why(Place::Counter, boxes(1001, 601, 50, 1, 1)), "beside the work zone");
        assert!(kitchen.demand(Place::Fridge, &[boxes(330, 470, 180, 1, 1)]).is_ok(), "turned");
    }

    #[test]
    fn a_wide_board_counts_where_it_really_stands() {
        // Low enough for both, but the low shelf is too narrow: it takes the tall one.
        let kitchen = kitchen(vec![shelf(300, 300, 180, 0), shelf(470, 330, 260, 0)]);
        let demand = kitchen.demand(Place::Fridge, &[boxes(310, 310, 100, 1, 1)]);
        assert_eq!(demand, Ok(vec![(0, 961), (1, 961)]));
    }

    #[test]
    fn a_tray_takes_a_level_and_piles_on_the_counter_have_no_ceiling() {
        let kitchen = kitchen(Vec::new());
        assert_eq!(kitchen.demand(Place::Rack, &[boxes(330, 450, 40, 3, 1)]), Ok(vec![(0, 3)]));
        assert_eq!(kitchen.demand(Place::Rack, &[]), Ok(Vec::new()));
        assert_eq!(
            kitchen.demand(Place::Counter, &[boxes(300, 300, 400, 5, 5)]),
            Ok(vec![(0, 900)])
        );
    }

    proptest! {
        #[test]
        fn a_box_alone_never_takes_more_than_its_place_has(
            shelves in prop::collection::vec((50..600_u16, 50..600_u16, 20..400_u16, 0..101_u8), 1..5),
            item in (1..500_u16, 1..500_u16, 1..400_u16, 1..5_u8),
        ) {
            let kitchen =
                kitchen(shelves.into_iter().map(|(w, d, h, s)| shelf(w, d, h, s)).collect());
            let (width, depth, height, pile) = item;
            let capacity = kitchen.capacity(Place::Fridge);
            for pair in capacity.classes.windows(2) {
                prop_assert!(pair[0].height < pair[1].height);
                prop_assert!(pair[0].capacity >= pair[1].capacity);
            }
            let one = kitchen.demand(Place::Fridge, &[boxes(width, depth, height, 1, pile)]);
            let turned = kitchen.demand(Place::Fridge, &[boxes(depth, width, height, 1, pile)]);
            prop_assert_eq!(one.is_ok(), turned.is_ok());
            if let Ok(demand) = one {
                prop_assert_eq!(&Ok(demand.clone()), &turned);
                prop_assert_eq!(demand[0].0, 0);
                for (class, amount) in demand {
                    prop_assert!(amount <= capacity.classes[class].capacity);
                    prop_assert_eq!(amount, (u32::from(width) * u32::from(depth) / 100).max(1));
                }
            }
        }
    }
}
