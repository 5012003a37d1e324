//! Room that the household clears for a while, and the shelves as they are free at a moment.
//!
//! In: clearings on the wall clock, a horizon, a moment or a span. Out: the kitchen as it is then, with
//! the household's shares smaller, which every question about room is asked of. Decides nothing.

use serde::{Deserialize, Serialize};

use super::{Household, Kitchen, Place, Shelf};
use crate::calendar::{Elapsed, Horizon, Span, Wall};
use crate::plan::arrange::Arrange;

/// How much of its share the household clears.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "much", rename_all = "kebab-case")]
pub enum Cleared {
    /// All that it keeps of the shelf.
    Whole,
    /// So much more of the width, beside what is free as a rule, and as deep and as high.
    Strip {
        /// mm, 10 to 2000.
        width: u16,
    },
    /// Nothing: the other way round, the household needs all of the shelf meanwhile.
    Taken,
}

/// A shelf of which the household clears its share, or a part, or that it takes, from one moment until another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Clearing {
    /// Fridge, freezer or room shelf.
    pub place: Place,
    /// Which of the place's shelves, from 0.
    pub shelf: usize,
    /// How much.
    pub cleared: Cleared,
    /// From when on, on the wall clock.
    pub from: Wall,
    /// Until when; it is the household's again then.
    pub until: Wall,
}

impl Clearing {
    /// When, in elapsed time; a clearing in the hour that is skipped may be empty.
    pub fn span(&self, horizon: &Horizon) -> Span {
        Span::new(horizon.elapsed(self.from), horizon.elapsed(self.until))
    }
}

impl Shelf {
    /// What the household keeps of it while it clears so much: never more than it keeps as a rule, or all of it while
    /// it takes the shelf.
    pub fn household_after(&self, cleared: Cleared) -> Household {
        let more = match cleared {
            Cleared::Strip { width } => width,
            Cleared::Whole => return Household::Nothing,
            Cleared::Taken => return Household::Whole,
        };
        match self.household {
            Household::Nothing => Household::Nothing,
            Household::Strip { width } => Household::strip(self.width, width.saturating_sub(more)),
            Household::Whole => Household::strip(self.width, self.width.saturating_sub(more)),
            Household::AllBut { width, depth, height } => Household::AllBut {
                width: width.saturating_add(more).min(self.width),
                depth,
                height,
            },
        }
    }
}

impl Kitchen {
    /// The shelves as they are free during all of a span: with the clearings that hold from before its
    /// start until after its end, and without those that hold for a part only. Clearings of one shelf do
    /// not add up, the larger counts; a shelf that is taken for any part of the span is not free. The answer holds no clearings any more.
    #[must_use]
    pub fn during(&self, horizon: &Horizon, span: Span) -> Self {
        self.with_clearings(|clearing| {
            let holds = clearing.span(horizon);
            if clearing.cleared == Cleared::Taken {
                return holds.shared(span).is_some_and(|shared| !shared.is_empty());
            }
            holds.start <= span.start && span.end <= holds.end && !holds.is_empty()
        })
    }

    /// The shelves as they are free at a moment.
    #[must_use]
    pub fn at(&self, horizon: &Horizon, moment: Elapsed) -> Self {
        self.during(horizon, Span::new(moment, moment.plus(1)))
    }

    /// The moments inside the horizon at which a clearing begins or ends, sorted, each once.
    pub fn clearing_moments(&self, horizon: &Horizon) -> Vec<Elapsed> {
        let spans = self.clearings.iter().map(|clearing| clearing.span(horizon));
        let ends = spans.filter(|span| !span.is_empty()).flat_map(|span| [span.start, span.end]);
        let inside = |moment: &Elapsed| Elapsed(0) < *moment && *moment < horizon.len();
        let mut moments: Vec<Elapsed> = ends.filter(inside).collect();
        moments.arrange();
        moments.dedup();
        moments
    }

    fn with_clearings(&self, holds: impl Fn(&Clearing) -> bool) -> Self {
        let mut then = Self { clearings: Vec::new(), ..self.clone() };
        for clearing in self.clearings.iter().filter(|clearing| holds(clearing)) {
            let Some(usual) = self.shelves(clearing.place).get(clearing.shelf) else { continue };
            let household = usual.household_after(clearing.cleared);
            let shelves = then.shelves_mut(clearing.place);
            if let Some(shelf) = shelves.and_then(|shelves| shelves.get_mut(clearing.shelf))
                && room(shelf, shelf.household) < room(usual, household)
            {
                shelf.household = household;
            }
        }
        // What is taken is taken, whatever else was agreed.
        let taken = self.clearings.iter().filter(|one| one.cleared == Cleared::Taken && holds(one));
        for Clearing { place, shelf, .. } in taken {
            let shelves = then.shelves_mut(*place);
            if let Some(shelf) = shelves.and_then(|shelves| shelves.get_mut(*shelf)) {
                shelf.household = Household::Whole;
            }
        }
        then
    }

    /// A shelf in a sentence, for example "the middle shelf of the fridge"; by its number where it has no
    /// name that says so.
    pub fn shelf_words(&self, place: Place, index: usize) -> String {
        let named = self.shelves(place).get(index).map(|shelf| shelf.name.trim());
        let name = named.filter(|name| !name.is_empty());
        let name = name.map_or_else(|| format!("shelf {}", index + 1), ToOwned::to_owned);
        match place {
            Place::RoomShelf => format!("the {name}"),
            _ => format!("the {name} of the {place}"),
        }
    }

    /// Takes a shelf out of the list with its clearings; those of the shelves behind it follow their
    /// shelves. Nothing happens when there is no such shelf.
    pub fn remove_shelf(&mut self, place: Place, index: usize) {
        let Some(shelves) = self.shelves_mut(place).filter(|shelves| index < shelves.len()) else {
            return;
        };
        shelves.remove(index);
        self.clearings.retain(|clearing| clearing.place != place || clearing.shelf != index);
        for clearing in &mut self.clearings {
            if clearing.place == place && index < clearing.shelf {
                clearing.shelf -= 1;
            }
        }
    }

    /// Takes a shelf's board out: the one that it is joined with, `into`, gets its clear height too, and
    /// of width and depth what both have. The household keeps of it what it kept of `into`. A share that no
    /// longer fits becomes the whole shelf. Nothing happens when one of the two is not there.
    pub fn join_shelves(&mut self, place: Place, index: usize, into: usize) {
        let Some(shelves) = self.shelves_mut(place) else { return };
        let (Some(out), Some(kept)) = (shelves.get(index).cloned(), shelves.get_mut(into)) else {
            return;
        };
        if index == into {
            return;
        }
        kept.height = kept.height.saturating_add(out.height);
        kept.width = kept.width.min(out.width);
        kept.depth = kept.depth.min(out.depth);
        kept.household = match kept.household {
            Household::Strip { width } => Household::strip(kept.width, width),
            Household::AllBut { width, depth, height } => Household::AllBut {
                width: width.min(kept.width),
                depth: depth.min(kept.depth),
                height,
            },
            same => same,
        };
        self.remove_shelf(place, index);
    }
}

/// Free mm³ of a shelf of which the household keeps so much.
fn room(shelf: &Shelf, household: Household) -> u64 {
    let free = Shelf { household, ..shelf.clone() }.free();
    free.map_or(0, |free| u64::from(free.area()) * u64::from(free.height))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::{OffsetChange, Zone};
    use crate::kitchen::presets;

    fn wall(text: &str) -> Wall {
        text.parse().expect(text)
    }

    /// From Monday 2026-11-23 on.
    fn horizon() -> Horizon {
        Horizon::from_monday_of(wall("2026-11-23T00:00").date(), 14, Zone::fixed("kitchen", 60))
    }

    /// The middle shelf from Friday 18:00 until Saturday 10:00.
    fn clearing(shelf: usize, cleared: Cleared) -> Clearing {
        let (from, until) = (wall("2026-11-27T18:00"), wall("2026-11-28T10:00"));
        Clearing { place: Place::Fridge, shelf, cleared, from, until }
    }

    fn kitchen(clearings: Vec<Clearing>) -> Kitchen {
        let mut kitchen = presets().remove(0).kitchen;
        kitchen.fridge[0].household = Household::Whole;
        kitchen.fridge[1].household = Household::Strip { width: 300 };
        kitchen.fridge[2].household =
            Household::AllBut { width: 200, depth: 150, height: Some(90) };
        kitchen.fridge[3].household = Household::Nothing;
        Kitchen { clearings, ..kitchen }
    }

    fn free(kitchen: &Kitchen, index: usize) -> (u32, u32, u32) {
        kitchen.fridge[index].free().map_or((0, 0, 0), |f| (f.width, f.depth, f.height))
    }

    #[test]
    fn each_share_gives_way_as_it_is_said() {
        let horizon = horizon();
        let friday_night = horizon.elapsed(wall("2026-11-27T23:00"));
        let after = |cleared| {
            let all = (0..4).map(|shelf| clearing(shelf, cleared)).collect();
            let then = kitchen(all).at(&horizon, friday_night);
            (0..4).map(|shelf| free(&then, shelf)).collect::<Vec<_>>()
        };
        assert_eq!(
            after(Cleared::Whole),
            [(470, 330, 180), (470, 330, 220), (470, 330, 260), (470, 300, 160)]
        );
        assert_eq!(
            after(Cleared::Strip { width: 100 }),
            [(100, 330, 180), (270, 330, 220), (300, 150, 90), (470, 300, 160)]
        );
        assert_eq!(
            after(Cleared::Strip { width: 2000 }),
            [(470, 330, 180), (470, 330, 220), (470, 150, 90), (470, 300, 160)],
            "never more than the shelf"
        );
    }

    #[test]
    fn a_clearing_counts_while_it_lasts_and_for_what_lies_wholly_in_it() {
        let (horizon, kitchen) = (horizon(), kitchen(vec![clearing(0, Cleared::Whole)]));
        let width = |text: &str| free(&kitchen.at(&horizon, horizon.elapsed(wall(text))), 0).0;
        assert_eq!(width("2026-11-27T17:59"), 0);
        assert_eq!(width("2026-11-27T18:00"), 470);
        assert_eq!(width("2026-11-28T09:59"), 470);
        assert_eq!(width("2026-11-28T10:00"), 0);
        let during = |from: &str, to: &str| {
            let span = Span::new(horizon.elapsed(wall(from)), horizon.elapsed(wall(to)));
            free(&kitchen.during(&horizon, span), 0).0
        };
        assert_eq!(during("2026-11-27T18:00", "2026-11-28T10:00"), 470);
        assert_eq!(during("2026-11-27T18:00", "2026-11-28T10:01"), 0);
        assert_eq!(during("2026-11-27T17:59", "2026-11-28T09:00"), 0);
        let moments: Vec<String> = kitchen
            .clearing_moments(&horizon)
            .into_iter()
            .map(|moment| horizon.wall(moment).to_string())
            .collect();
        assert_eq!(moments, ["2026-11-27T18:00", "2026-11-28T10:00"]);
        let then = kitchen.at(&horizon, Elapsed(0));
        assert_eq!(then, Kitchen { clearings: Vec::new(), ..kitchen.clone() });
        assert_eq!(then.clearing_moments(&horizon), []);
    }

    #[test]
    fn a_shelf_that_the_household_takes_is_not_free_for_anything_that_lasts_into_it() {
        let horizon = horizon();
        // Even where the same shelf was to be cleared.
        let both = vec![clearing(3, Cleared::Taken), clearing(3, Cleared::Whole)];
        let kitchen = kitchen(both);
        let during = |from: &str, to: &str| {
            let span = Span::new(horizon.elapsed(wall(from)), horizon.elapsed(wall(to)));
            free(&kitchen.during(&horizon, span), 3).0
        };
        assert_eq!(during("2026-11-27T12:00", "2026-11-27T18:00"), 470);
        assert_eq!(during("2026-11-27T12:00", "2026-11-27T18:01"), 0);
        assert_eq!(during("2026-11-27T20:00", "2026-11-27T21:00"), 0);
        assert_eq!(during("2026-11-28T09:59", "2026-11-29T10:00"), 0);
        assert_eq!(during("2026-11-28T10:00", "2026-11-29T10:00"), 470);
        assert_eq!(free(&kitchen.at(&horizon, Elapsed(0)), 3).0, 470);
    }

    #[test]
    fn clearings_of_one_shelf_do_not_add_up() {
        let horizon = horizon();
        let night = horizon.elapsed(wall("2026-11-28T01:00"));
        let strip = |width| clearing(1, Cleared::Strip { width });
        let width = |clearings| free(&kitchen(clearings).at(&horizon, night), 1).0;
        assert_eq!(width(vec![strip(50), strip(120)]), 290);
        assert_eq!(width(vec![strip(120), strip(50)]), 290);
        assert_eq!(width(vec![strip(120), clearing(1, Cleared::Whole)]), 470);
    }

    #[test]
    fn a_night_in_which_clocks_go_back_is_an_hour_longer() {
        // Europe's last Sunday of October 2026, the 25th: back from 03:00 to 02:00 at 01:00 UTC.
        let back = wall("2026-10-25T01:00").as_if_utc();
        let changes =
            vec![OffsetChange { utc: 0, offset: 120 }, OffsetChange { utc: back, offset: 60 }];
        let zone = Zone { name: "kitchen".into(), changes };
        let horizon = Horizon::from_monday_of(wall("2026-10-19T00:00").date(), 7, zone);
        let (from, until) = (wall("2026-10-24T18:00"), wall("2026-10-25T10:00"));
        let clearing = Clearing { from, until, ..clearing(0, Cleared::Whole) };
        assert_eq!(clearing.span(&horizon).minutes(), 17 * 60);
    }

    #[test]
    fn clearings_follow_their_shelves() {
        let all: Vec<Clearing> = (0..4).map(|shelf| clearing(shelf, Cleared::Whole)).collect();
        let mut kitchen = kitchen(all);
        let elsewhere = Clearing { place: Place::Freezer, ..clearing(0, Cleared::Whole) };
        kitchen.clearings.push(elsewhere.clone());
        kitchen.remove_shelf(Place::Fridge, 1);
        let shelves: Vec<usize> = kitchen.clearings.iter().map(|c| c.shelf).collect();
        assert_eq!((kitchen.fridge.len(), shelves), (3, vec![0, 1, 2, 0]));
        assert_eq!(kitchen.clearings[3], elsewhere);
        let before = kitchen.clone();
        kitchen.remove_shelf(Place::Fridge, 3);
        kitchen.remove_shelf(Place::Counter, 0);
        assert_eq!(kitchen, before);
    }

    #[test]
    fn a_board_taken_out_gives_its_height_and_no_more_floor_than_both_have() {
        let mut kitchen = kitchen(vec![clearing(2, Cleared::Whole), clearing(3, Cleared::Whole)]);
        // The third, 470 × 330 × 260, joined with the one above the drawer, 470 × 300 × 160.
        kitchen.join_shelves(Place::Fridge, 3, 2);
        let joined = &kitchen.fridge[2];
        assert_eq!((kitchen.fridge.len(), joined.name.as_str()), (3, "third shelf"));
        assert_eq!((joined.width, joined.depth, joined.height), (470, 300, 420));
        assert_eq!(free(&kitchen, 2), (200, 150, 90), "the household keeps what it kept");
        assert_eq!(kitchen.clearings, [clearing(2, Cleared::Whole)]);
        assert_eq!(kitchen.validate(), []);
        // A strip as wide as what is left of the shelf is all of it.
        kitchen.fridge[0].width = 300;
        kitchen.join_shelves(Place::Fridge, 0, 1);
        assert_eq!(kitchen.fridge[0].household, Household::Whole);
        assert_eq!((kitchen.fridge[0].height, kitchen.fridge.len()), (400, 2));
        let before = kitchen.clone();
        kitchen.join_shelves(Place::Fridge, 0, 0);
        kitchen.join_shelves(Place::Fridge, 0, 7);
        assert_eq!(kitchen, before);
    }
}
