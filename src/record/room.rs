//! What a room remedy means on real shelves: clearings by the household that give it.
//!
//! In: what stands where by a plan, and how much of which room is lacking, from when until when. Out: clearings of
//! shelves, the smallest that lets everything stand where there is one. Whether they help is known once they are
//! planned and packed.

use crate::breakdown::{Assembled, Cut, Standings};
use crate::calendar::{Elapsed, Span};
use crate::kitchen::packing::{Answer, pack};
use crate::kitchen::{Cleared, Clearing, FootBox, Free, Household, Kitchen, Place, Shelf};
use crate::plan::arrange::{Arrange, set_of};
use crate::plan::explain::Remedy;
use crate::plan::{Plan, Problem};

/// Strips are asked for in steps of so many mm.
const STRIP_STEP: u16 = 10;
/// Search nodes for the question whether everything stands: whoever looks at remedies waits for it.
const PACK_NODES: u64 = 400;

/// The clearings that give a room remedy, of one shelf where one is enough; none where no shelf of the household's can
/// give so much, or where it is no room on shelves. `plan` is the one that is to be helped.
pub(crate) fn room_clearings(
    assembled: &Assembled,
    plan: &Plan,
    remedy: &Remedy,
) -> Option<Vec<Clearing>> {
    let Remedy::Room { resource, from, to, amount } = remedy else { return None };
    let (standings, problem) = (assembled.standings.as_ref()?, &assembled.problem);
    let (place, height) = shelves_of(resource)?;
    let (kitchen, horizon) = (&standings.kitchen, &standings.horizon);
    let grid = i32::from(problem.grid_minutes.max(1));
    let at = |slot: i32| Elapsed(slot.saturating_mul(grid));
    let span = Span::new(at(*from), at(*to));
    let then = kitchen.during(horizon, span);
    let mut sets = vec![together(standings, problem, plan, place, span)];
    // Of what was found not to stand together no amount is lacking: it must stand, that is all.
    let cut = Cut::named(resource).and_then(|(_, number)| assembled.cuts.get(number));
    if let Some(cut) = cut {
        let members = cut.members.iter().filter_map(|&index| standings.all.get(index));
        sets.push(members.flat_map(|stand| stand.boxes.clone()).collect());
    }
    let asked = Asked { kitchen, then: &then, place, height, sets };
    let clearing = |(shelf, cleared)| Clearing {
        place,
        shelf,
        cleared,
        from: horizon.wall(span.start),
        until: horizon.wall(span.end),
    };
    if cut.is_some() {
        let (stands, one) = asked.one_shelf(0)?;
        return stands.then(|| vec![clearing(one)]);
    }
    let need = u32::try_from(*amount).ok()?;
    if let Some((_, one)) = asked.one_shelf(need) {
        return Some(vec![clearing(one)]);
    }
    Some(asked.several(need)?.into_iter().map(clearing).collect())
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
    /// What is to stand there together.
    sets: Vec<Vec<FootBox>>,
}

impl Asked<'_> {
    /// The smallest clearing of a single shelf that is enough, and whether everything stands with it; one that lets
    /// everything stand comes first.
    fn one_shelf(&self, need: u32) -> Option<(bool, (usize, Cleared))> {
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
        best.map(|(falls, _, index, cleared)| (!falls, (index, cleared)))
    }

    /// Whole shelves, those that give most first, until it is enough.
    fn several(&self, need: u32) -> Option<Vec<(usize, Cleared)>> {
        let shelves = self.kitchen.shelves(self.place).iter().enumerate();
        let gain = |(index, usual)| Some((self.gain(index, usual, Cleared::Whole)?.0, index));
        let mut gains: Vec<(u32, usize)> = shelves.filter_map(gain).filter(|of| of.0 > 0).collect();
        gains.arrange_by(|a, b| b.cmp(a));
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
        let room =
            shelf_volume(with).checked_sub(now.map_or(0, shelf_volume)).filter(|room| *room > 0)?;
        let counts = |free: &Free| u32::from(self.height) <= free.height;
        let area = |free: Option<Free>| free.filter(counts).map_or(0, Free::area);
        Some((area(Some(with)).saturating_sub(area(now)), room))
    }

    fn stands(&self, index: usize, usual: &Shelf, cleared: Cleared) -> bool {
        let mut with = self.then.clone();
        let shelf = with.shelves_mut(self.place).and_then(|shelves| shelves.get_mut(index));
        let Some(shelf) = shelf else { return false };
        shelf.household = usual.household_after(cleared);
        let stands = |set: &Vec<FootBox>| {
            let question = with.pack_problem(self.place, set);
            question.is_some_and(|question| matches!(pack(&question, PACK_NODES), Answer::Fits(_)))
        };
        self.sets.iter().all(stands)
    }
}

/// mm³.
pub(crate) fn shelf_volume(free: Free) -> u64 {
    u64::from(free.area()) * u64::from(free.height)
}

/// The place of a resource that stands for shelves, and their clear height in mm: `fridge`, `fridge.h220`; or of
/// things that do not stand together there.
pub(crate) fn shelves_of(resource: &str) -> Option<(Place, u16)> {
    if let Some((place, _)) = Cut::named(resource) {
        return Some((place, 0));
    }
    let (name, class) = resource.split_once('.').map_or((resource, None), |(a, b)| (a, Some(b)));
    let place = [Place::Fridge, Place::Freezer, Place::RoomShelf];
    let place = place.into_iter().find(|place| place.id() == name)?;
    match class {
        None => Some((place, 0)),
        Some(class) => Some((place, class.strip_prefix('h')?.parse().ok()?)),
    }
}

/// What stands in a place at the fullest moment of a span.
fn together(
    standings: &Standings,
    problem: &Problem,
    plan: &Plan,
    place: Place,
    span: Span,
) -> Vec<FootBox> {
    let all = standings.stays(problem, plan);
    let here: Vec<_> = all
        .iter()
        .filter(|(_, stay)| stay.place == place)
        .filter_map(|(_, stay)| Some((stay.span.shared(span)?, &stay.boxes)))
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
    let moments = set_of(here.iter().map(|(span, _)| span.start));
    moments.into_iter().map(at).max_by_key(|boxes| area(boxes)).unwrap_or_default()
}
