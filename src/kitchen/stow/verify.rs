//! Looks at finished stowing with nothing but a ruler and a clock: shares no code with what made it.
//!
//! In: the kitchen, the stays, and where each box is said to stand. Out: every breach, as a sentence; empty when all
//! is sound.

use std::collections::BTreeMap;

use super::surfaces::{Surface, surfaces};
use super::{Fit, Moment, Standing, Stowed};
use crate::calendar::{Elapsed, Horizon, Span};
use crate::kitchen::{FootBox, Kitchen, Place, Stay};
use crate::plan::arrange::Arrange;

/// Every breach; empty when each box stands once, whole, inside what is free, in a sound pile, overlapping none,
/// over its whole stay, and the moved boxes are counted right.
pub fn verify(
    kitchen: &Kitchen,
    horizon: &Horizon,
    stays: &[Stay],
    stowed: &[Stowed],
) -> Vec<String> {
    let mut breaches = Vec::new();
    let places: Vec<Place> = stowed.iter().map(|one| one.place).collect();
    if places != Place::ALL {
        breaches.push(format!("the places are {places:?}, not all five in order"));
    }
    for one in stowed {
        let mut at = Elapsed(0);
        let mut moved = 0;
        for (index, moment) in one.moments.iter().enumerate() {
            let name = format!("{} from minute {}", one.place, moment.span.start.0);
            if moment.span.start != at || moment.span.is_empty() {
                breaches.push(format!("{name}: the moment before ended at {}", at.0));
            }
            at = moment.span.end;
            let then = kitchen.during(horizon, moment.span);
            let surfaces = surfaces(&then, one.place);
            who_stands(&name, one.place, horizon.span(), stays, moment, &mut breaches);
            let mut by_surface: BTreeMap<usize, Vec<&Standing>> = BTreeMap::new();
            for standing in &moment.standing {
                by_surface.entry(standing.surface).or_default().push(standing);
            }
            for (surface, standing) in by_surface {
                let name = format!("{name}, surface {surface}");
                match surfaces.get(surface) {
                    None => breaches.push(format!("{name}: there is no such surface")),
                    Some(of) if one.place == Place::Rack => {
                        on_a_level(&name, of, &standing, &mut breaches);
                    }
                    Some(of) => on_a_shelf(&name, of, stays, &standing, &mut breaches),
                }
            }
            let before = index.checked_sub(1).and_then(|before| one.moments.get(before));
            let count =
                before.map_or(0, |before| moved_between(&before.standing, &moment.standing));
            if count != moment.moved {
                breaches.push(format!("{name}: {count} boxes moved, said are {}", moment.moved));
            }
            moved += count;
        }
        if at != horizon.len() {
            breaches.push(format!("{}: the last moment ends at {}", one.place, at.0));
        }
        if moved != one.moves {
            breaches.push(format!("{}: {moved} moves, said are {}", one.place, one.moves));
        }
    }
    breaches
}

/// How many boxes of `before` stand in `after` too, but elsewhere, or on other boxes.
pub fn moved_between(before: &[Standing], after: &[Standing]) -> u32 {
    let same =
        |a: &Standing, b: &Standing| (a.stay, a.item, a.number) == (b.stay, b.item, b.number);
    let lies = |a: &Standing, b: &Standing| {
        (a.surface, a.x, a.y, a.level, a.width, a.depth)
            == (b.surface, b.x, b.y, b.level, b.width, b.depth)
    };
    let below = |all: &[Standing], one: &Standing| -> Vec<(u32, usize, usize, u16)> {
        let under = |other: &&Standing| {
            (other.surface, other.x, other.y) == (one.surface, one.x, one.y)
                && other.level < one.level
        };
        let mut below: Vec<_> =
            all.iter().filter(under).map(|o| (o.level, o.stay, o.item, o.number)).collect();
        below.arrange();
        below
    };
    let moved = before.iter().filter(|was| {
        let is = after.iter().find(|is| same(was, is));
        is.is_some_and(|is| !lies(was, is) || below(before, was) != below(after, is))
    });
    u32::try_from(moved.count()).unwrap_or(u32::MAX)
}

/// Whether exactly those boxes stand that should.
fn who_stands(
    name: &str,
    place: Place,
    whole: Span,
    stays: &[Stay],
    moment: &Moment,
    breaches: &mut Vec<String>,
) {
    let mut due: BTreeMap<(usize, usize, u16), &FootBox> = BTreeMap::new();
    for (index, stay) in stays.iter().enumerate().filter(|(_, stay)| stay.place == place) {
        let Some(shared) = stay.span.shared(whole).and_then(|span| span.shared(moment.span)) else {
            continue;
        };
        if shared != moment.span {
            breaches.push(format!("{name}: stay {index} changes in between"));
        }
        for (item, of) in stay.boxes.iter().enumerate() {
            due.extend((0..of.count).map(|number| ((index, item, number), of)));
        }
    }
    for one in &moment.standing {
        let key = (one.stay, one.item, one.number);
        let Some(of) = due.remove(&key) else {
            breaches.push(format!("{name}: box {key:?} stands there twice or should not"));
            continue;
        };
        let (width, depth) = (u32::from(of.width), u32::from(of.depth));
        let sides = (one.width, one.depth);
        if (sides != (width, depth) && sides != (depth, width))
            || one.height != u32::from(of.height)
        {
            breaches.push(format!("{name}: box {key:?} has another size"));
        }
    }
    if moment.fits == Fit::Packed && !due.is_empty() {
        breaches.push(format!("{name}: {} boxes are missing", due.len()));
    }
    if moment.fits != Fit::Packed && due.is_empty() {
        breaches.push(format!("{name}: all stand, but it is said that they do not fit"));
    }
}

/// A tray has its level for itself, and is no larger than the rack's tray.
fn on_a_level(name: &str, level: &Surface, standing: &[&Standing], breaches: &mut Vec<String>) {
    if standing.len() > 1 {
        breaches.push(format!("{name}: {} trays on one level", standing.len()));
    }
    for one in standing {
        let straight = one.width <= level.width && one.depth <= level.depth;
        let turned = one.depth <= level.width && one.width <= level.depth;
        if !straight && !turned {
            breaches.push(format!("{name}: a tray larger than the level"));
        }
        if (one.x, one.y, one.level) != (0, 0, 0) {
            breaches.push(format!("{name}: a tray beside its level"));
        }
    }
}

fn on_a_shelf(
    name: &str,
    shelf: &Surface,
    stays: &[Stay],
    standing: &[&Standing],
    breaches: &mut Vec<String>,
) {
    let Some((width, depth, height)) = shelf.free else {
        breaches.push(format!("{name}: nothing of it is free"));
        return;
    };
    let kind = |one: &Standing| {
        let of = stays.get(one.stay).and_then(|stay| stay.boxes.get(one.item));
        of.map(|of| (&of.kind, of.width, of.depth, of.height, of.pile))
    };
    let mut piles: BTreeMap<(u32, u32), Vec<&Standing>> = BTreeMap::new();
    for one in standing {
        let (right, back) =
            (u64::from(one.x) + u64::from(one.width), u64::from(one.y) + u64::from(one.depth));
        if right > u64::from(width) || back > u64::from(depth) {
            breaches
                .push(format!("{name}: a box reaches to {right} × {back} of {width} × {depth} mm"));
        }
        piles.entry((one.x, one.y)).or_default().push(one);
    }
    for ((x, y), pile) in &piles {
        let Some(first) = pile.first() else { continue };
        let name = format!("{name}, pile at {x}, {y}");
        if pile.iter().any(|one| kind(one) != kind(first)) {
            breaches.push(format!("{name}: boxes of two kinds"));
        }
        if pile.iter().any(|one| (one.width, one.depth) != (first.width, first.depth)) {
            breaches.push(format!("{name}: boxes turned differently"));
        }
        let mut levels: Vec<u32> = pile.iter().map(|one| one.level).collect();
        levels.arrange();
        if !levels.iter().copied().eq(0..u32::try_from(pile.len()).unwrap_or(u32::MAX)) {
            breaches.push(format!("{name}: the levels are {levels:?}"));
        }
        let most = kind(first).map_or(1, |(_, _, _, _, pile)| usize::from(pile.max(1)));
        if pile.len() > most {
            breaches.push(format!("{name}: {} high, allowed are {most}", pile.len()));
        }
        let high: u64 = pile.iter().map(|one| u64::from(one.height)).sum();
        if height > 0 && high > u64::from(height) {
            breaches.push(format!("{name}: {high} mm high under {height} mm"));
        }
    }
    for (index, one) in standing.iter().enumerate() {
        for other in standing.iter().skip(index + 1) {
            let pile = (one.x, one.y) == (other.x, other.y);
            let apart = one.x + one.width <= other.x
                || other.x + other.width <= one.x
                || one.y + one.depth <= other.y
                || other.y + other.depth <= one.y;
            if !pile && !apart {
                breaches.push(format!(
                    "{name}: boxes at {}, {} and {}, {} overlap",
                    one.x, one.y, other.x, other.y
                ));
            }
        }
    }
}
