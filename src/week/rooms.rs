//! Room that the household could clear: what a room remedy means on real shelves, and clearings worth trying.
//!
//! In: a week, and how much of which room is lacking, from when until when. Out: clearings of shelves, and
//! their words. Whether they help is known once they are planned.

use std::collections::BTreeSet;

use crate::calendar::{Elapsed, Span};
use crate::kitchen::packing::{Answer, pack};
use crate::kitchen::{Cleared, Clearing, FootBox, Household, Kitchen, Place, Shelf, use_over_time};
use crate::plan::explain::{Conflict, Remedy, Requirement};

use super::standing::stays;
use super::view::{Context, WeekInput};
use super::why::Words;
use super::words::{full_day, time_of};

/// Strips are asked for in steps of so many mm.
const STRIP_STEP: u16 = 10;
/// Search nodes for the question whether everything stands: whoever looks at remedies waits for it.
const PACK_NODES: u64 = 400;
/// Clearings suggested for one place.
const SUGGESTED_MOST: usize = 4;
/// Where nothing is overfull that could say when: so many minutes before what leaves last.
const BEFORE_LEAVING: i32 = 2 * 1440;

/// The clearings that give a room remedy, of one shelf where one is enough; none where no shelf of the
/// household's can give so much, or where it is no room on shelves.
pub(super) fn clearings(input: WeekInput<'_>, remedy: &Remedy) -> Option<Vec<Clearing>> {
    let Remedy::Room { resource, from, to, amount } = remedy else { return None };
    let (place, height) = shelves_of(resource)?;
    let context = Context::of(input);
    let words = Words::of(&context);
    let span = Span::new(words.at(*from), words.at(*to));
    let need = u32::try_from(*amount).ok()?;
    let kitchen = input.book.kitchen.as_ref()?;
    let then = kitchen.during(context.horizon, span);
    let together = together(&context, place, span);
    let asked = Asked { kitchen, then: &then, place, height, together };
    let clearing = |(shelf, cleared)| Clearing {
        place,
        shelf,
        cleared,
        from: context.horizon.wall(span.start),
        until: context.horizon.wall(span.end),
    };
    if let Some(one) = asked.one_shelf(need) {
        return Some(vec![clearing(one)]);
    }
    Some(asked.several(need)?.into_iter().map(clearing).collect())
}

/// Clearings of whole shelves that may end a conflict about room: of each place that it names.
pub(super) fn suggested(input: WeekInput<'_>, conflict: &Conflict) -> Vec<Clearing> {
    let Some(kitchen) = &input.book.kitchen else { return Vec::new() };
    let context = Context::of(input);
    let all = stays(&context);
    let over_time = use_over_time(kitchen, context.horizon, &all);
    let named: BTreeSet<Place> = match conflict {
        Conflict::Proven { members, .. } => members
            .iter()
            .filter_map(|member| match member {
                Requirement::Capacity(id) => shelves_of(id).map(|(place, _)| place),
                _ => None,
            })
            .collect(),
        Conflict::NotProven => {
            let shelved =
                over_time.iter().filter(|of| !kitchen.shelves(of.capacity.place).is_empty());
            let over = shelved.filter(|of| of.steps.iter().any(|step| step.overfull));
            over.map(|of| of.capacity.place).collect()
        }
    };
    let leaves =
        input.outlook.work.handovers.iter().map(|p| context.horizon.elapsed(p.leaves)).max();
    let mut found = Vec::new();
    for place in named {
        let steps = over_time.iter().find(|of| of.capacity.place == place).map(|of| &of.steps);
        let ends = steps.into_iter().flatten().skip(1).map(|step| step.at);
        let ends = ends.chain([context.horizon.len()]);
        let over = steps.into_iter().flatten().zip(ends).filter(|(step, _)| step.overfull);
        let over: Vec<(Elapsed, Elapsed)> = over.map(|(step, end)| (step.at, end)).collect();
        let first = over.iter().map(|(from, _)| *from).min();
        let last = over.iter().map(|(_, until)| *until).max().or(leaves);
        let Some(last) = last else { continue };
        let from = first.unwrap_or(last.plus(-BEFORE_LEAVING)).max(context.now);
        let span = Span::new(from, last);
        if span.is_empty() {
            continue;
        }
        let then = kitchen.during(context.horizon, span);
        let mut kept: Vec<(u64, usize)> = then
            .shelves(place)
            .iter()
            .enumerate()
            .map(|(index, shelf)| (volume(shelf.whole()) - shelf.free().map_or(0, volume), index))
            .filter(|(kept, _)| *kept > 0)
            .collect();
        kept.sort_unstable();
        found.extend(kept.into_iter().take(SUGGESTED_MOST).map(|(_, shelf)| Clearing {
            place,
            shelf,
            cleared: Cleared::Whole,
            from: context.horizon.wall(span.start),
            until: context.horizon.wall(span.end),
        }));
    }
    found
}

/// "clear 30 × 33 cm of the middle shelf of the fridge from Friday 27 Nov 18:00 until Saturday 28 Nov 10:00".
pub fn clearing_words(kitchen: &Kitchen, clearing: &Clearing) -> String {
    let shelf = kitchen.shelf_words(clearing.place, clearing.shelf);
    let moment =
        |wall: crate::calendar::Wall| format!("{} {}", full_day(wall.date()), time_of(wall));
    let (from, until) = (moment(clearing.from), moment(clearing.until));
    let what = clearing_amount(kitchen, clearing);
    format!("clear {what} of {shelf} from {from} until {until}")
}

/// "30 × 33 cm", "the household’s part".
pub fn clearing_amount(kitchen: &Kitchen, clearing: &Clearing) -> String {
    let shelf = kitchen.shelves(clearing.place).get(clearing.shelf);
    match (clearing.cleared, shelf) {
        (Cleared::Strip { width }, Some(shelf)) => {
            let depth = match shelf.household {
                Household::AllBut { depth, .. } => depth,
                _ => shelf.depth,
            };
            format!("{} × {} cm", centimetres(width), centimetres(depth))
        }
        _ => "the household’s part".to_owned(),
    }
}

/// "33", "32.5".
fn centimetres(mm: u16) -> String {
    if mm.is_multiple_of(10) { (mm / 10).to_string() } else { format!("{}.{}", mm / 10, mm % 10) }
}

/// How much room is asked for, and where.
struct Asked<'a> {
    /// As the household keeps it as a rule: clearings are told from there.
    kitchen: &'a Kitchen,
    /// With what is cleared already.
    then: &'a Kitchen,
    place: Place,
    /// Clear height that a shelf needs, mm.
    height: u16,
    /// What stands there together in the plan that is to be helped.
    together: Vec<FootBox>,
}

impl Asked<'_> {
    /// The smallest clearing of a single shelf that is enough and lets everything stand, or is enough by its area
    /// at least.
    fn one_shelf(&self, need: u32) -> Option<(usize, Cleared)> {
        let mut best: Option<(bool, u64, usize, Cleared)> = None;
        for (index, usual) in self.kitchen.shelves(self.place).iter().enumerate() {
            let strips = (1..=200).map(|step| Cleared::Strip { width: step * STRIP_STEP });
            for cleared in strips.chain([Cleared::Whole]) {
                let Some(gain) = self.gain(index, usual, cleared) else { continue };
                if gain.0 < need {
                    continue;
                }
                let stands = self.stands(index, usual, cleared);
                let this = (!stands, gain.1, index, cleared);
                if best.is_none_or(|best| (this.0, this.1) < (best.0, best.1)) {
                    best = Some(this);
                }
                if stands || usual.household_after(cleared) == Household::Nothing {
                    break;
                }
            }
        }
        best.map(|(_, _, index, cleared)| (index, cleared))
    }

    /// Whole shelves, those that give most first, until it is enough.
    fn several(&self, need: u32) -> Option<Vec<(usize, Cleared)>> {
        let shelves = self.kitchen.shelves(self.place).iter().enumerate();
        let gain = |(index, usual)| Some((self.gain(index, usual, Cleared::Whole)?.0, index));
        let mut gains: Vec<(u32, usize)> = shelves.filter_map(gain).filter(|of| of.0 > 0).collect();
        gains.sort_unstable_by(|a, b| b.cmp(a));
        let mut sum = 0;
        let mut out = Vec::new();
        for (gain, index) in gains {
            sum += gain;
            out.push((index, Cleared::Whole));
            if need <= sum {
                return Some(out);
            }
        }
        None
    }

    /// cm² of shelves high enough that it adds, and free mm³; none where nothing is added.
    fn gain(&self, index: usize, usual: &Shelf, cleared: Cleared) -> Option<(u32, u64)> {
        let now = self.then.shelves(self.place).get(index)?.free();
        let household = usual.household_after(cleared);
        let with = Shelf { household, ..usual.clone() }.free()?;
        let room = volume(with).checked_sub(now.map_or(0, volume)).filter(|room| *room > 0)?;
        let counts = |free: &crate::kitchen::Free| u32::from(self.height) <= free.height;
        let area = |free: Option<crate::kitchen::Free>| {
            free.filter(counts).map_or(0, crate::kitchen::Free::area)
        };
        Some((area(Some(with)).saturating_sub(area(now)), room))
    }

    fn stands(&self, index: usize, usual: &Shelf, cleared: Cleared) -> bool {
        let mut with = self.then.clone();
        let shelf = with.shelves_mut(self.place).and_then(|shelves| shelves.get_mut(index));
        let Some(shelf) = shelf else { return false };
        shelf.household = usual.household_after(cleared);
        let question = with.pack_problem(self.place, &self.together);
        question.is_some_and(|question| matches!(pack(&question, PACK_NODES), Answer::Fits(_)))
    }
}

fn volume(free: crate::kitchen::Free) -> u64 {
    u64::from(free.area()) * u64::from(free.height)
}

/// The place of a resource that stands for shelves, and their clear height in mm: `fridge`, `fridge.h220`.
fn shelves_of(resource: &str) -> Option<(Place, u16)> {
    let (name, class) = resource.split_once('.').map_or((resource, None), |(a, b)| (a, Some(b)));
    let place = [Place::Fridge, Place::Freezer, Place::RoomShelf];
    let place = place.into_iter().find(|place| place.id() == name)?;
    match class {
        None => Some((place, 0)),
        Some(class) => Some((place, class.strip_prefix('h')?.parse().ok()?)),
    }
}

/// What stands in a place at the fullest moment of a span.
fn together(context: &Context<'_>, place: Place, span: Span) -> Vec<FootBox> {
    let all = stays(context);
    let here: Vec<_> = all
        .iter()
        .filter(|stay| stay.place == place)
        .filter_map(|stay| Some((stay.span.shared(span)?, &stay.boxes)))
        .collect();
    let area = |boxes: &[FootBox]| -> u64 {
        let of =
            |item: &FootBox| u64::from(item.width) * u64::from(item.depth) * u64::from(item.count);
        boxes.iter().map(of).sum()
    };
    let at = |moment: Elapsed| -> Vec<FootBox> {
        let then = here.iter().filter(|(span, _)| span.contains(moment));
        then.flat_map(|(_, boxes)| boxes.iter().cloned()).collect()
    };
    let moments = here.iter().map(|(span, _)| at(span.start));
    moments.max_by_key(|boxes| area(boxes)).unwrap_or_default()
}
