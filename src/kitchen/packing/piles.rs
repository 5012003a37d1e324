//! From boxes to piles: what the search has to place, with everything alike put together.
//!
//! In: a question. Out: shapes (the bases of piles), sorts (boxes that can stand for each other) and
//! classes of equal shelves. Knows nothing of how it is searched.
//!
//! On one shelf, a pile may be as high as the lesser of `pile` and what the clear height allows. Piles
//! of that full height are never worse than lower ones: they need the fewest bases, and whatever holds
//! some bases holds fewer of them. So "how many piles of which height" becomes "how many bases of each
//! sort on each shelf", and a shelf with `levels` takes `levels` boxes of a sort per base.

use super::PackProblem;
use crate::plan::arrange::Arrange;

/// The base of a pile; it may be turned, so only its longer and shorter side matter. In mm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Shape {
    pub(super) long: u32,
    pub(super) short: u32,
}

impl Shape {
    pub(super) fn of(a: u32, b: u32) -> Self {
        Self { long: a.max(b), short: a.min(b) }
    }

    pub(super) fn area(self) -> u64 {
        u64::from(self.long) * u64::from(self.short)
    }

    /// Whether it stands in a rectangle, turned or not.
    pub(super) fn stands_on(self, other: Self) -> bool {
        self.long <= other.long && self.short <= other.short
    }
}

/// Boxes that can stand for each other.
#[derive(Debug, Clone)]
pub(super) struct Sort {
    /// Index of the base in [`Piles::shapes`].
    pub(super) shape: usize,
    /// Indexes of the boxes in the question.
    pub(super) boxes: Vec<usize>,
    /// How many of them a base carries, for each class of shelves; 0: it stands there not at all.
    pub(super) levels: Vec<u32>,
}

/// Shelves that can stand for each other.
#[derive(Debug, Clone)]
pub(super) struct ShelfClass {
    /// Index of the floor in [`Piles::floors`].
    pub(super) floor: usize,
    /// Indexes of the shelves in the question.
    pub(super) shelves: Vec<usize>,
}

/// A question, as it is searched.
#[derive(Debug, Clone)]
pub(super) struct Piles {
    /// Distinct bases, the largest area first.
    pub(super) shapes: Vec<Shape>,
    /// Distinct floors of shelves.
    pub(super) floors: Vec<Shape>,
    /// The largest base first.
    pub(super) sorts: Vec<Sort>,
    /// The smallest floor first.
    pub(super) classes: Vec<ShelfClass>,
}

impl Piles {
    pub(super) fn of(problem: &PackProblem) -> Self {
        // Kinds in order of first appearance.
        let mut kinds: Vec<(usize, Vec<usize>)> = Vec::new();
        let mut by_name = std::collections::BTreeMap::new();
        for (index, item) in problem.boxes.iter().enumerate() {
            let at = *by_name.entry(item.kind.as_str()).or_insert_with(|| {
                kinds.push((index, Vec::new()));
                kinds.len() - 1
            });
            if let Some((_, boxes)) = kinds.get_mut(at) {
                boxes.push(index);
            }
        }
        // Levels of each kind on each shelf.
        let levels = |first: usize, shelf: &super::PackShelf| {
            problem.boxes.get(first).map_or(0, |item| {
                let stands = Shape::of(item.width, item.depth)
                    .stands_on(Shape::of(shelf.width, shelf.depth));
                if stands { item.pile.min(shelf.height / item.height.max(1)) } else { 0 }
            })
        };
        // Shelves with equal floor and equal levels for every kind are one class.
        let mut classes: Vec<(Shape, Vec<u32>, Vec<usize>)> = Vec::new();
        for (index, shelf) in problem.shelves.iter().enumerate() {
            let floor = Shape::of(shelf.width, shelf.depth);
            let columns: Vec<u32> = kinds.iter().map(|(first, _)| levels(*first, shelf)).collect();
            match classes.iter_mut().find(|(f, c, _)| *f == floor && *c == columns) {
                Some((_, _, shelves)) => shelves.push(index),
                None => classes.push((floor, columns, vec![index])),
            }
        }
        classes.arrange_by_key(|(floor, _, shelves)| (floor.area(), floor.long, shelves.clone()));
        // Kinds that are never piled and stand on the same shelves on equal bases are one sort.
        let mut sorts: Vec<(Shape, Sort)> = Vec::new();
        for (at, (first, boxes)) in kinds.iter().enumerate() {
            let Some(item) = problem.boxes.get(*first) else { continue };
            let shape = Shape::of(item.width, item.depth);
            let levels: Vec<u32> =
                classes.iter().map(|(_, c, _)| c.get(at).copied().unwrap_or(0)).collect();
            let single = levels.iter().all(|&level| level <= 1);
            match sorts.iter_mut().find(|(s, sort)| single && *s == shape && sort.levels == levels)
            {
                Some((_, sort)) => sort.boxes.extend(boxes),
                None => sorts.push((shape, Sort { shape: 0, boxes: boxes.clone(), levels })),
            }
        }
        sorts.arrange_by_key(|(shape, sort)| {
            (std::cmp::Reverse((shape.area(), *shape)), sort.boxes.clone())
        });
        let mut shapes: Vec<Shape> = sorts.iter().map(|(shape, _)| *shape).collect();
        shapes.dedup();
        let mut floors: Vec<Shape> = classes.iter().map(|(floor, _, _)| *floor).collect();
        floors.dedup();
        let sorts = sorts.into_iter().map(|(shape, sort)| Sort {
            shape: shapes.iter().position(|s| *s == shape).unwrap_or(0),
            ..sort
        });
        let classes = classes.into_iter().map(|(floor, _, shelves)| ShelfClass {
            floor: floors.iter().position(|f| *f == floor).unwrap_or(0),
            shelves,
        });
        Self { sorts: sorts.collect(), classes: classes.collect(), shapes, floors }
    }

    /// The base of a sort.
    pub(super) fn shape(&self, sort: &Sort) -> Shape {
        self.shapes.get(sort.shape).copied().unwrap_or(Shape { long: 0, short: 0 })
    }

    /// The floor of a class.
    pub(super) fn floor(&self, class: &ShelfClass) -> Shape {
        self.floors.get(class.floor).copied().unwrap_or(Shape { long: 0, short: 0 })
    }
}
