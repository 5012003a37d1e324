//! Trays on the levels of racks: each box takes a level of its own.
//!
//! In: which boxes stand on which level, and which come. Out: a level for each with the fewest boxes moved,
//! exactly: a matching of least cost, grown by one cheapest augmenting path for each box that comes.

use super::Fit;

/// A box that needs a level.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Tray {
    pub(super) number: usize,
    /// Levels that take it.
    pub(super) takes: Vec<bool>,
    /// Where it stood before.
    pub(super) home: Option<usize>,
}

/// Gives each tray a level: none for those that find none. Trays with a home are to come first, so that they
/// keep theirs.
pub(super) fn assign(trays: &[Tray], levels: usize) -> Vec<Option<usize>> {
    let mut at: Vec<Option<usize>> = vec![None; trays.len()];
    let mut on: Vec<Option<usize>> = vec![None; levels];
    for (tray, of) in trays.iter().enumerate() {
        if let Some(home) = of.home
            && on.get(home) == Some(&None)
        {
            put(&mut at, &mut on, tray, home);
        }
    }
    for tray in 0..trays.len() {
        if at.get(tray) == Some(&None) {
            augment(trays, &mut at, &mut on, tray);
        }
    }
    at
}

fn put(at: &mut [Option<usize>], on: &mut [Option<usize>], tray: usize, level: usize) {
    if let (Some(at), Some(on)) = (at.get_mut(tray), on.get_mut(level)) {
        *at = Some(level);
        *on = Some(tray);
    }
}

/// Away from where it stood costs one.
fn cost(tray: &Tray, level: usize) -> i32 {
    i32::from(tray.home.is_some_and(|home| home != level))
}

/// Finds the cheapest chain of trays that make way for one more, and moves them.
fn augment(trays: &[Tray], at: &mut [Option<usize>], on: &mut [Option<usize>], first: usize) {
    let levels = on.len();
    // Least cost of a chain that ends with a tray on this level, and the tray.
    let mut reached: Vec<Option<(i32, usize)>> = vec![None; levels];
    let relax = |tray: usize, before: i32, reached: &mut Vec<Option<(i32, usize)>>| {
        let Some(of) = trays.get(tray) else { return false };
        let from = at.get(tray).copied().flatten();
        let base = before - from.map_or(0, |level| cost(of, level));
        let mut changed = false;
        for (level, known) in reached.iter_mut().enumerate() {
            let takes = of.takes.get(level).copied().unwrap_or(false) && Some(level) != from;
            let sum = base + cost(of, level);
            if takes && known.is_none_or(|(least, _)| sum < least) {
                *known = Some((sum, tray));
                changed = true;
            }
        }
        changed
    };
    relax(first, 0, &mut reached);
    // Without cycles of negative cost, as many rounds as levels are enough.
    for _ in 0..levels {
        let mut changed = false;
        for level in 0..levels {
            let Some((sum, _)) = reached.get(level).copied().flatten() else { continue };
            if let Some(tray) = on.get(level).copied().flatten() {
                changed |= relax(tray, sum, &mut reached);
            }
        }
        if !changed {
            break;
        }
    }
    let end = (0..levels)
        .filter(|&level| on.get(level) == Some(&None))
        .filter_map(|level| Some((reached.get(level).copied().flatten()?.0, level)))
        .min();
    let Some((_, mut level)) = end else { return };
    // Back along the chain: each tray moves on to the level that the next one left.
    for _ in 0..=levels {
        let Some((_, tray)) = reached.get(level).copied().flatten() else { return };
        let from = at.get(tray).copied().flatten();
        put(at, on, tray, level);
        if tray == first {
            return;
        }
        let Some(from) = from else { return };
        level = from;
    }
}

/// What to say when trays are left over.
pub(super) fn too_many(trays: &[Tray], names: &[String], levels: usize) -> Fit {
    for (tray, name) in trays.iter().zip(names) {
        if !tray.takes.iter().any(|takes| *takes) {
            return Fit::Impossible(format!("no level of a rack takes “{name}”"));
        }
    }
    Fit::Impossible(format!("{} trays need a level each, and there are {levels}", trays.len()))
}
