//! One place from change to change: what stands on which surface, what was moved, what does not fit.

use std::collections::BTreeMap;

use crate::calendar::{Elapsed, Span};
use crate::kitchen::Place;
use crate::kitchen::stow::{Fit, Moment, Standing, Surface};
use crate::plan::arrange::Arrange;
use crate::week::Stood;

use super::free::Room;

/// A box as it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoxView {
    /// Index in [`super::ColdView::stands`].
    pub stand: usize,
    /// Which of its kinds of boxes.
    pub item: usize,
    /// Which of that kind, from 0.
    pub number: u16,
    /// What it is, for example "tray of cookies".
    pub kind: String,
    /// Index of the surface.
    pub surface: usize,
    /// Left edge, mm from the surface's left edge.
    pub x: u32,
    /// Front edge, mm from the surface's front edge.
    pub y: u32,
    /// Underside, mm above the surface.
    pub z: u32,
    /// Place in its pile, from 0.
    pub level: u32,
    /// Boxes in its pile.
    pub pile: u32,
    /// Left to right, mm.
    pub width: u32,
    /// Front to back, mm.
    pub depth: u32,
    /// mm.
    pub height: u32,
    /// Since when it stands here and where before, if it was moved while it stayed in the place.
    pub moved: Option<MovedFrom>,
}

/// A box that had to make room.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MovedFrom {
    /// When.
    pub at: Elapsed,
    /// Index of the surface on which it stood.
    pub surface: usize,
    /// Its left edge there, mm.
    pub x: u32,
    /// Its front edge there, mm.
    pub y: u32,
    /// What came at that moment: indexes in [`super::ColdView::stands`].
    pub came: Vec<usize>,
}

/// Boxes for which there is no room.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outside {
    /// Index in [`super::ColdView::stands`].
    pub stand: usize,
    /// Which of its kinds of boxes.
    pub item: usize,
    /// What they are.
    pub kind: String,
    /// How many.
    pub count: u32,
    /// mm.
    pub width: u32,
    /// mm.
    pub depth: u32,
    /// mm.
    pub height: u32,
}

/// A stretch over which nothing comes, goes or moves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MomentView {
    /// When.
    pub span: Span,
    /// The surfaces as they are then: what the household keeps may change from day to day.
    pub surfaces: Vec<Surface>,
    /// What stands, by surface from the left, from the front and from below.
    pub boxes: Vec<BoxView>,
    /// What does not.
    pub outside: Vec<Outside>,
    /// Why not; empty when everything stands.
    pub reason: String,
    /// What is free, for each surface.
    pub rooms: Vec<Room>,
    /// How many boxes are moved when it begins.
    pub moved: usize,
}

impl MomentView {
    /// Thousandths of the part for baking that are covered.
    pub fn fullness(&self) -> u32 {
        let whole: u64 = self.rooms.iter().map(|room| room.whole).sum();
        let free: u64 = self.rooms.iter().map(|room| room.free).sum();
        let covered = whole.saturating_sub(free) * 1000 / whole.max(1);
        u32::try_from(covered).unwrap_or(1000)
    }

    /// Whether anything stands or should stand there.
    pub fn is_empty(&self) -> bool {
        self.boxes.is_empty() && self.outside.is_empty()
    }
}

/// Names a box while it stays in its place.
type Name = (usize, usize, u16);

/// All moments of a place; `surfaces` tells what its surfaces are like at a moment.
pub(super) fn moments(
    stood: &[Stood],
    place: Place,
    moments: &[Moment],
    surfaces: impl Fn(Elapsed) -> Vec<Surface>,
) -> Vec<MomentView> {
    let mut views: Vec<MomentView> = Vec::new();
    let mut before: BTreeMap<Name, (Standing, Option<MovedFrom>)> = BTreeMap::new();
    for moment in moments {
        let came: Vec<usize> = moment
            .standing
            .iter()
            .map(|one| one.stay)
            .filter(|stay| {
                stood.get(*stay).is_some_and(|one| one.stay.span.start == moment.span.start)
            })
            .collect();
        let mut now = BTreeMap::new();
        let mut moved = 0;
        for one in &moment.standing {
            let name = (one.stay, one.item, one.number);
            let from = match before.get(&name) {
                Some((was, known)) if spot(was) == spot(one) => known.clone(),
                Some((was, _)) => {
                    moved += 1;
                    let mut came = came.clone();
                    came.dedup();
                    let at = moment.span.start;
                    Some(MovedFrom { at, surface: was.surface, x: was.x, y: was.y, came })
                }
                None => None,
            };
            now.insert(name, (*one, from));
        }
        let surfaces = surfaces(moment.span.start);
        let boxes = boxes(stood, &now);
        let outside = outside(stood, place, moment);
        views.push(MomentView {
            span: moment.span,
            rooms: surfaces.iter().enumerate().map(|(i, s)| Room::of(i, s, &boxes)).collect(),
            surfaces,
            boxes,
            reason: if outside.is_empty() { String::new() } else { reason(&moment.fits) },
            outside,
            moved,
        });
        before = now;
    }
    views
}

/// Where a box stands. Its place in a pile does not count: when the lowest of a pile of equal boxes is taken,
/// nobody says that the others were moved.
fn spot(one: &Standing) -> (usize, u32, u32) {
    (one.surface, one.x, one.y)
}

fn reason(fits: &Fit) -> String {
    match fits {
        Fit::Packed => String::new(),
        Fit::Impossible(why) => why.clone(),
        Fit::NotProven => {
            "no way to stand all of it was found, and none was ruled out in the time given"
                .to_owned()
        }
    }
}

fn boxes(
    stood: &[Stood],
    standing: &BTreeMap<Name, (Standing, Option<MovedFrom>)>,
) -> Vec<BoxView> {
    let mut piles: BTreeMap<(usize, u32, u32), Vec<(u32, u32)>> = BTreeMap::new();
    for (one, _) in standing.values() {
        piles.entry(spot(one)).or_default().push((one.level, one.height));
    }
    let mut boxes: Vec<BoxView> = standing
        .values()
        .map(|(one, moved)| {
            let pile = piles.get(&spot(one)).map_or(&[][..], Vec::as_slice);
            let below = pile.iter().filter(|(level, _)| *level < one.level);
            let kind = stood.get(one.stay).and_then(|stood| stood.stay.boxes.get(one.item));
            BoxView {
                stand: one.stay,
                item: one.item,
                number: one.number,
                kind: kind.map_or_else(String::new, |kind| kind.kind.clone()),
                surface: one.surface,
                x: one.x,
                y: one.y,
                z: below.map(|(_, height)| *height).sum(),
                level: one.level,
                pile: u32::try_from(pile.len()).unwrap_or(1),
                width: one.width,
                depth: one.depth,
                height: one.height,
                moved: moved.clone(),
            }
        })
        .collect();
    boxes.arrange_by_key(|one| (one.surface, one.x, one.y, one.level, one.stand));
    boxes
}

fn outside(stood: &[Stood], place: Place, moment: &Moment) -> Vec<Outside> {
    let here = |one: &Stood| one.stay.place == place && one.stay.span.contains(moment.span.start);
    let mut outside = Vec::new();
    for (index, one) in stood.iter().enumerate().filter(|(_, one)| here(one)) {
        for (item, kind) in one.stay.boxes.iter().enumerate() {
            let of_it =
                moment.standing.iter().filter(|box_| box_.stay == index && box_.item == item);
            let stand = u32::try_from(of_it.count()).unwrap_or(u32::MAX);
            let count = u32::from(kind.count).saturating_sub(stand);
            if count > 0 {
                outside.push(Outside {
                    stand: index,
                    item,
                    kind: kind.kind.clone(),
                    count,
                    width: u32::from(kind.width),
                    depth: u32::from(kind.depth),
                    height: u32::from(kind.height),
                });
            }
        }
    }
    outside
}
