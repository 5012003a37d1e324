//! Looks at a finished packing with nothing but a ruler: shares no code with the search.
//!
//! In: the question and where each box is said to stand. Out: every breach, as a sentence; empty when
//! the packing is sound.

use std::collections::BTreeMap;

use super::{PackBox, PackProblem, PackShelf, Placed};
use crate::plan::arrange::Arrange;

/// One box as it stands: its edges in mm on the shelf.
struct Standing<'a> {
    item: &'a PackBox,
    placed: &'a Placed,
    right: u64,
    back: u64,
}

/// Every breach of a packing; empty when each box stands once, inside its shelf, in a sound pile, and
/// no two piles overlap.
pub fn verify(problem: &PackProblem, placed: &[Placed]) -> Vec<String> {
    let mut breaches = Vec::new();
    let boxes: BTreeMap<&str, &PackBox> =
        problem.boxes.iter().map(|item| (item.id.as_str(), item)).collect();
    let shelves: BTreeMap<&str, &PackShelf> =
        problem.shelves.iter().map(|shelf| (shelf.id.as_str(), shelf)).collect();
    let mut times: BTreeMap<&str, usize> = BTreeMap::new();
    let mut by_shelf: BTreeMap<&str, Vec<Standing<'_>>> = BTreeMap::new();
    for place in placed {
        *times.entry(&place.id).or_default() += 1;
        let Some(item) = boxes.get(place.id.as_str()) else {
            breaches.push(format!("box {:?} is not in the question", place.id));
            continue;
        };
        let Some(shelf) = shelves.get(place.shelf.as_str()) else {
            breaches
                .push(format!("box {:?} stands on the unknown shelf {:?}", place.id, place.shelf));
            continue;
        };
        let (across, along) =
            if place.turned { (item.depth, item.width) } else { (item.width, item.depth) };
        let right = u64::from(place.x) + u64::from(across);
        let back = u64::from(place.y) + u64::from(along);
        if right > u64::from(shelf.width) || back > u64::from(shelf.depth) {
            breaches.push(format!(
                "box {:?} reaches to {right} × {back} mm on shelf {:?} of {} × {} mm",
                place.id, shelf.id, shelf.width, shelf.depth
            ));
        }
        let standing = Standing { item, placed: place, right, back };
        by_shelf.entry(&shelf.id).or_default().push(standing);
    }
    for item in &problem.boxes {
        let count = times.get(item.id.as_str()).copied().unwrap_or(0);
        if count != 1 {
            breaches.push(format!("box {:?} is placed {count} times, not once", item.id));
        }
    }
    for (id, standing) in &by_shelf {
        if let Some(shelf) = shelves.get(id) {
            look_at_shelf(shelf, standing, &mut breaches);
        }
    }
    breaches
}

fn look_at_shelf(shelf: &PackShelf, standing: &[Standing<'_>], breaches: &mut Vec<String>) {
    let mut piles: BTreeMap<(u32, u32), Vec<&Standing<'_>>> = BTreeMap::new();
    for one in standing {
        piles.entry((one.placed.x, one.placed.y)).or_default().push(one);
    }
    for pile in piles.values() {
        let Some(first) = pile.first() else { continue };
        let (name, count) = (&first.placed.id, pile.len());
        let mixed = |one: &&&Standing<'_>| {
            one.item.kind != first.item.kind || one.placed.turned != first.placed.turned
        };
        if let Some(other) = pile.iter().find(mixed) {
            breaches.push(format!(
                "boxes {name:?} and {:?} share a pile on shelf {:?} but differ in kind or turning",
                other.placed.id, shelf.id
            ));
        }
        let mut levels: Vec<u32> = pile.iter().map(|one| one.placed.level).collect();
        levels.arrange();
        if !levels.iter().copied().eq(0..u32::try_from(count).unwrap_or(u32::MAX)) {
            breaches.push(format!(
                "the pile of box {name:?} on shelf {:?} has the levels {levels:?}, not one each from 0",
                shelf.id
            ));
        }
        if count as u64 > u64::from(first.item.pile) {
            breaches.push(format!(
                "the pile of box {name:?} on shelf {:?} is {count} high, allowed are {}",
                shelf.id, first.item.pile
            ));
        }
        let height: u64 = pile.iter().map(|one| u64::from(one.item.height)).sum();
        if height > u64::from(shelf.height) {
            breaches.push(format!(
                "the pile of box {name:?} is {height} mm high, shelf {:?} has {} mm",
                shelf.id, shelf.height
            ));
        }
    }
    for (index, one) in standing.iter().enumerate() {
        for other in standing.iter().skip(index + 1) {
            if (one.placed.x, one.placed.y) == (other.placed.x, other.placed.y) {
                continue; // one pile, looked at above
            }
            let apart = one.right <= u64::from(other.placed.x)
                || other.right <= u64::from(one.placed.x)
                || one.back <= u64::from(other.placed.y)
                || other.back <= u64::from(one.placed.y);
            if !apart {
                breaches.push(format!(
                    "boxes {:?} and {:?} overlap on shelf {:?}",
                    one.placed.id, other.placed.id, shelf.id
                ));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problem() -> PackProblem {
        let shelf = |id: &str| PackShelf { id: id.into(), width: 100, depth: 60, height: 50 };
        let item = |id: &str, kind: &str, pile| PackBox {
            id: id.into(),
            kind: kind.into(),
            width: 50,
            depth: 30,
            height: 20,
            pile,
        };
        PackProblem::new(
            vec![shelf("top"), shelf("low")],
            vec![item("a", "tub", 2), item("b", "tub", 2), item("c", "cake", 1)],
        )
    }

    fn at(id: &str, x: u32, y: u32, level: u32, turned: bool) -> Placed {
        Placed { id: id.into(), shelf: "top".into(), x, y, level, turned }
    }

    fn sound() -> Vec<Placed> {
        vec![at("a", 0, 0, 0, false), at("b", 0, 0, 1, false), at("c", 50, 10, 0, true)]
    }

    #[test]
    fn a_sound_packing_has_no_breach() {
        assert_eq!(verify(&problem(), &sound()), Vec::<String>::new());
    }

    #[test]
    fn every_kind_of_breach_is_seen() {
        let check = |change: &dyn Fn(&mut Vec<Placed>), words: &str| {
            let mut placed = sound();
            change(&mut placed);
            assert_ne!(placed, sound(), "the fault was put in");
            let breaches = verify(&problem(), &placed);
            assert!(breaches.iter().any(|line| line.contains(words)), "{words}: {breaches:?}");
        };
        check(&|p| p[2].x = 71, "reaches to 101 × 60 mm");
        check(&|p| p[2].x = 49, "overlap");
        check(&|p| p[1].x = 1, "overlap");
        check(&|p| p[1].level = 2, "levels [0, 2]");
        check(&|p| p[1].level = 0, "levels [0, 0]");
        check(&|p| p[1].turned = true, "differ in kind or turning");
        check(&|p| p[2] = at("c", 0, 0, 2, false), "3 high, allowed are 2");
        check(&|p| p[2] = at("c", 0, 0, 2, false), "60 mm high, shelf \"top\" has 50 mm");
        check(&|p| p[2].shelf = "cellar".into(), "unknown shelf");
        check(&|p| p[2].id = "d".into(), "not in the question");
        check(&|p| p[2].id = "b".into(), "\"b\" is placed 2 times");
        check(&|p| drop(p.pop()), "\"c\" is placed 0 times");
    }
}
