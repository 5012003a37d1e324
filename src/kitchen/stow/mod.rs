//! What stands exactly where, moment by moment.
//!
//! In: the kitchen and stays (boxes in a place for a span). Out: for each place, from change to change, where
//! every box stands, in mm, with as few boxes moved as possible; and which stays cannot stand together. Knows
//! nothing of orders and plans.
//!
//! At every change, what stands keeps its place and what comes goes into free room (`room`). Where that does
//! not work, the exact packer ([`super::packing`]) says whether the boxes fit at all; if they do, one box is
//! taken up and put down elsewhere, or two, and so on; and if that takes too long, the packer's own answer is
//! taken (`shelf`). Trays of a rack are a matching of their own (`levels`). [`verify`] holds any answer
//! against the kitchen and the stays and shares no code with all this.

mod levels;
mod moments;
mod room;
mod shelf;
mod surfaces;
mod verify;

use std::collections::BTreeMap;

use self::moments::{Here, Memo};
use self::shelf::Asked;
use super::{FootBox, Kitchen, Place, Stay};
use crate::calendar::{Horizon, Span, merge_spans};

pub use surfaces::{Kept, KeptFor, Surface, surfaces};
pub use verify::{moved_between, verify};

/// One place over the horizon.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stowed {
    /// Which place.
    pub place: Place,
    /// From the horizon's start to its end without gaps: a new one wherever something comes or goes.
    pub moments: Vec<Moment>,
    /// Boxes moved in all, each time that it is moved; 0 when everything can stand where it was first put.
    pub moves: u32,
    /// What cannot stand together, in order of time.
    pub unfit: Vec<Unfit>,
}

/// A stretch of time over which nothing comes or goes, and the household neither clears nor takes back a shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moment {
    /// When.
    pub span: Span,
    /// Every box, in the order of the stays; where they do not fit, those that found room.
    pub standing: Vec<Standing>,
    /// Boxes that stood before and now stand elsewhere, or on other boxes than before.
    pub moved: u32,
    /// Whether all of them stand.
    pub fits: Fit,
}

/// Whether boxes fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fit {
    /// They do, as shown.
    Packed,
    /// They cannot, and why: a proof.
    Impossible(String),
    /// Neither was proved within the node limit; counts as not fitting.
    NotProven,
}

/// One box as it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Standing {
    /// Index of the stay.
    pub stay: usize,
    /// Index in its boxes.
    pub item: usize,
    /// Which of that item's count, from 0.
    pub number: u16,
    /// Index in [`surfaces`]: a shelf, a level of a rack, the counter.
    pub surface: usize,
    /// Left edge, mm from the surface's left edge.
    pub x: u32,
    /// Front edge, mm from the surface's front edge.
    pub y: u32,
    /// Place in its pile; 0 stands on the surface itself.
    pub level: u32,
    /// Left to right as it stands, mm.
    pub width: u32,
    /// Front to back as it stands, mm.
    pub depth: u32,
    /// mm.
    pub height: u32,
}

/// Stays that cannot stand in their place together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unfit {
    /// From when to when they would stand together; a gap in between is left out of account.
    pub span: Span,
    /// Indexes of the stays: without any one of them the others fit. Never empty.
    pub stays: Vec<usize>,
    /// [`Fit::Impossible`] with the reason, or [`Fit::NotProven`].
    pub fits: Fit,
}

/// How much was looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Spent {
    /// Questions put to the exact packer; a set of boxes that was asked about before costs nothing.
    pub packings: u64,
    /// Its search nodes.
    pub nodes: u64,
    /// Search nodes for putting boxes beside those that stand.
    pub placings: u64,
}

/// Every place over the horizon, in [`Place::ALL`]'s order. Stays outside the horizon are cut to it; those that
/// are empty then stand nowhere. What the household clears for a while is free for as long as it is cleared.
/// `node_limit` bounds each question put to the packer and each change.
pub fn stow(kitchen: &Kitchen, horizon: &Horizon, stays: &[Stay], node_limit: u64) -> Vec<Stowed> {
    Stower::new(kitchen, horizon, node_limit).stow(stays)
}

/// Stows one set of stays after the other; what was found out about a set of boxes is kept.
#[derive(Debug, Clone)]
pub struct Stower {
    kitchen: Kitchen,
    horizon: Horizon,
    node_limit: u64,
    known: BTreeMap<Place, Memo>,
    spent: Spent,
}

impl Stower {
    /// Nothing is known yet. See [`stow`].
    pub fn new(kitchen: &Kitchen, horizon: &Horizon, node_limit: u64) -> Self {
        Self {
            kitchen: kitchen.clone(),
            horizon: horizon.clone(),
            node_limit,
            known: BTreeMap::new(),
            spent: Spent::default(),
        }
    }

    /// Where every box stands. See [`stow`].
    pub fn stow(&mut self, stays: &[Stay]) -> Vec<Stowed> {
        Place::ALL.into_iter().map(|place| self.ask(place, stays, moments::Here::stow)).collect()
    }

    /// What cannot stand together, as [`Stowed::unfit`] has it, of all places: less work than to say where
    /// every box stands.
    pub fn unfit(&mut self, stays: &[Stay]) -> Vec<Unfit> {
        Place::ALL
            .into_iter()
            .flat_map(|place| self.ask(place, stays, moments::Here::unfit))
            .collect()
    }

    /// The spans in which boxes would not stand in a place together; all of the horizon in one span when nothing
    /// is cleared that changes it.
    pub fn apart(&mut self, place: Place, boxes: &[FootBox]) -> Vec<Span> {
        let whole = self.horizon.span();
        let stay = Stay {
            place,
            boxes: boxes.to_vec(),
            label: String::new(),
            mark: String::new(),
            span: whole,
        };
        let stays = [stay];
        let spans = self.ask(place, &stays, moments::Here::apart);
        merge_spans(spans)
    }

    /// How much was looked at so far.
    pub fn spent(&self) -> Spent {
        self.spent
    }

    fn ask<T>(
        &mut self,
        place: Place,
        stays: &[Stay],
        question: impl FnOnce(&Here, &mut Asked<'_>) -> T,
    ) -> T {
        let memo = self.known.entry(place).or_default();
        let here = Here::of(&self.kitchen, place, &self.horizon, stays, memo);
        let answers = &mut memo.answers;
        let mut asked = Asked { node_limit: self.node_limit, answers, spent: &mut self.spent };
        question(&here, &mut asked)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::{Elapsed, Zone};
    use crate::kitchen::{Cleared, Clearing, FootBox, Household, Shelf, ShelfKind, presets};

    fn horizon() -> Horizon {
        let monday = "2026-11-23".parse().expect("a date");
        Horizon::from_monday_of(monday, 7, Zone::fixed("kitchen", 0))
    }

    /// One fridge shelf of 500 × 300 mm, 200 mm clear.
    fn kitchen() -> Kitchen {
        let (kind, household) = (ShelfKind::Shelf, Household::Nothing);
        let shelf =
            Shelf { name: "top".into(), kind, width: 500, depth: 300, height: 200, household };
        Kitchen { fridge: vec![shelf], ..presets()[0].kitchen.clone() }
    }

    fn stay(place: Place, size: (u16, u16, u16), count: u16, pile: u8, span: (i32, i32)) -> Stay {
        let (width, depth, height) = size;
        let kind = format!("{width} box");
        Stay {
            place,
            boxes: vec![FootBox { kind, width, depth, height, count, pile }],
            label: "cakes".into(),
            mark: "AB".into(),
            span: Span::new(Elapsed(span.0), Elapsed(span.1)),
        }
    }

    fn of(stays: &[Stay], place: Place) -> Stowed {
        let all = stow(&kitchen(), &horizon(), stays, 20_000);
        assert_eq!(verify(&kitchen(), &horizon(), stays, &all), Vec::<String>::new());
        all.into_iter().find(|one| one.place == place).expect("every place")
    }

    #[test]
    fn what_stands_stays_and_what_comes_finds_the_free_room() {
        let stays = [
            stay(Place::Fridge, (250, 300, 100), 1, 1, (0, 300)),
            stay(Place::Fridge, (250, 300, 100), 1, 1, (100, 200)),
            stay(Place::Fridge, (300, 250, 100), 1, 1, (200, 400)),
        ];
        let fridge = of(&stays, Place::Fridge);
        let seen: Vec<_> = fridge
            .moments
            .iter()
            .map(|m| (m.span.start.0, m.standing.len(), m.moved, m.fits.clone()))
            .collect();
        let all = |counts: [(i32, usize); 5]| counts.map(|(at, n)| (at, n, 0, Fit::Packed));
        assert_eq!(seen, all([(0, 1), (100, 2), (200, 2), (300, 1), (400, 0)]));
        assert_eq!((fridge.moves, fridge.unfit), (0, Vec::new()));
    }

    #[test]
    fn piles_are_no_higher_than_allowed_and_than_the_shelf() {
        let two = of(&[stay(Place::Fridge, (500, 300, 60), 2, 2, (0, 10))], Place::Fridge);
        assert_eq!(two.moments[0].standing.iter().map(|s| s.level).max(), Some(1));
        for (height, pile) in [(60, 2), (70, 3)] {
            let stays = [stay(Place::Fridge, (500, 300, height), 3, pile, (0, 10))];
            let fridge = of(&stays, Place::Fridge);
            assert!(matches!(fridge.moments[0].fits, Fit::Impossible(_)));
            assert_eq!(fridge.unfit[0].stays, [0]);
        }
    }

    #[test]
    fn what_cannot_stand_together_is_a_smallest_set() {
        let stays = [
            stay(Place::Fridge, (100, 100, 50), 1, 1, (0, 500)),
            stay(Place::Fridge, (260, 260, 150), 1, 1, (50, 400)),
            stay(Place::Fridge, (250, 250, 150), 1, 1, (60, 300)),
            stay(Place::Fridge, (60, 60, 50), 1, 1, (70, 200)),
        ];
        let fridge = of(&stays, Place::Fridge);
        assert_eq!(fridge.unfit.len(), 1);
        let unfit = &fridge.unfit[0];
        assert_eq!(
            (unfit.span, unfit.stays.as_slice()),
            (Span::new(Elapsed(60), Elapsed(300)), &[1, 2][..])
        );
        assert!(matches!(unfit.fits, Fit::Impossible(_)));
        let standing: Vec<usize> = fridge.moments.iter().map(|m| m.standing.len()).collect();
        assert_eq!(standing, [1, 2, 2, 3, 2, 2, 1, 0], "what finds room is shown all the same");
    }

    #[test]
    fn a_box_is_moved_only_where_it_must_and_is_counted() {
        // Two narrow boxes with a gap between them that is wide enough only when they stand together.
        let stays = [
            stay(Place::Fridge, (150, 300, 50), 1, 1, (0, 400)),
            stay(Place::Fridge, (100, 300, 50), 1, 1, (0, 200)),
            stay(Place::Fridge, (250, 300, 50), 1, 1, (0, 200)),
            stay(Place::Fridge, (350, 300, 50), 1, 1, (200, 300)),
        ];
        let fridge = of(&stays, Place::Fridge);
        assert_eq!(fridge.moves, 0, "the box that stays stands at an edge");
        let stays = [
            stay(Place::Fridge, (200, 300, 50), 1, 1, (0, 500)),
            stay(Place::Fridge, (300, 300, 50), 1, 1, (0, 100)),
            stay(Place::Fridge, (100, 300, 50), 1, 1, (100, 500)),
            stay(Place::Fridge, (200, 300, 50), 1, 1, (100, 200)),
            stay(Place::Fridge, (200, 150, 50), 1, 1, (200, 500)),
            stay(Place::Fridge, (200, 150, 50), 1, 1, (300, 500)),
        ];
        assert_eq!(of(&stays, Place::Fridge).moves, 0);
        // The upper one came later and stays longer: it is lifted when the lower one goes.
        let stays = [
            stay(Place::Fridge, (500, 300, 50), 1, 2, (0, 200)),
            stay(Place::Fridge, (500, 300, 50), 1, 2, (100, 300)),
        ];
        let fridge = of(&stays, Place::Fridge);
        let moved: Vec<u32> = fridge.moments.iter().map(|moment| moment.moved).collect();
        assert_eq!((moved, fridge.moves), (vec![0, 0, 1, 0], 1));
    }

    #[test]
    fn each_tray_has_its_level_and_keeps_it() {
        let levels = surfaces(&kitchen(), Place::Rack).len();
        let (width, depth) = kitchen().tray().expect("a rack");
        let trays = |count: usize, span| {
            let count = u16::try_from(count).expect("few");
            stay(Place::Rack, (width, depth, 40), count, 1, span)
        };
        let stays = [trays(2, (0, 100)), trays(levels - 2, (50, 300)), trays(2, (100, 200))];
        let rack = of(&stays, Place::Rack);
        assert_eq!((rack.moves, rack.unfit.len()), (0, 0));
        let stays = [trays(2, (0, 100)), trays(levels - 1, (50, 300))];
        let rack = of(&stays, Place::Rack);
        assert_eq!(rack.unfit[0].stays, [0, 1]);
    }

    #[test]
    fn the_work_zone_and_what_the_household_keeps_are_left_free() {
        let mut kitchen = kitchen();
        kitchen.fridge[0].household = Household::Strip { width: 200 };
        kitchen.counter.width = 1000;
        kitchen.counter.depth = 500;
        kitchen.counter.work_zone = 600;
        let fridge = &surfaces(&kitchen, Place::Fridge)[0];
        assert_eq!(fridge.free, Some((300, 300, 200)));
        let kept = Kept { what: KeptFor::Household, x: 300, y: 0, width: 200, depth: 300 };
        assert_eq!(fridge.kept, [kept]);
        let stays = [
            stay(Place::Fridge, (310, 300, 50), 1, 1, (0, 10)),
            stay(Place::Counter, (400, 500, 50), 1, 1, (0, 10)),
            stay(Place::Counter, (10, 10, 50), 1, 1, (5, 10)),
        ];
        let all = stow(&kitchen, &horizon(), &stays, 20_000);
        assert_eq!(verify(&kitchen, &horizon(), &stays, &all), Vec::<String>::new());
        assert_eq!(
            (all[0].unfit[0].stays.as_slice(), all[3].unfit[0].stays.as_slice()),
            (&[0][..], &[1, 2][..])
        );
    }

    #[test]
    fn a_shelf_that_is_cleared_for_a_while_holds_boxes_for_as_long() {
        let wall = |text: &str| text.parse().expect(text);
        let cleared = Cleared::Strip { width: 200 };
        let (from, until) = (wall("2026-11-23T01:00"), wall("2026-11-23T03:00"));
        let clearing = Clearing { place: Place::Fridge, shelf: 0, cleared, from, until };
        let mut kitchen = Kitchen { clearings: vec![clearing], ..kitchen() };
        kitchen.fridge[0].household = Household::Strip { width: 200 };
        let tall = |span| stay(Place::Fridge, (290, 290, 50), 1, 1, span);
        let long = |span| stay(Place::Fridge, (200, 290, 50), 1, 1, span);
        let fridge = |stays: &[Stay]| {
            let all = stow(&kitchen, &horizon(), stays, 20_000);
            assert_eq!(verify(&kitchen, &horizon(), stays, &all), Vec::<String>::new());
            all.into_iter().next().expect("the fridge")
        };
        let fits = fridge(&[tall((30, 180)), long((60, 200))]);
        assert_eq!(fits.unfit, []);
        assert!(fits.moves <= 1);
        let over = fridge(&[tall((30, 181)), long((60, 200))]);
        assert_eq!(over.unfit.len(), 1);
        assert_eq!(over.unfit[0].span, Span::new(Elapsed(180), Elapsed(181)));
        assert_eq!(over.unfit[0].stays, [0, 1]);
    }

    #[test]
    fn sets_that_were_asked_about_cost_nothing_again() {
        let cakes = |span| stay(Place::Fridge, (260, 260, 150), 1, 1, span);
        let stays = [cakes((0, 100)), cakes((50, 200)), cakes((300, 400))];
        let mut stower = Stower::new(&kitchen(), &horizon(), 20_000);
        let unfit = stower.unfit(&stays);
        assert_eq!(unfit, stow(&kitchen(), &horizon(), &stays, 20_000)[0].unfit);
        let spent = stower.spent();
        assert!(spent.packings >= 2, "one cake, two cakes");
        let later = [cakes((500, 600)), cakes((550, 700)), cakes((100, 120))];
        assert_eq!(stower.unfit(&later)[0].span, Span::new(Elapsed(550), Elapsed(600)));
        assert_eq!(stower.spent(), spent);
        assert_eq!(stower.apart(Place::Fridge, &cakes((0, 1)).boxes), []);
        let two = [cakes((0, 1)).boxes, cakes((0, 1)).boxes].concat();
        assert_eq!(stower.apart(Place::Fridge, &two), [horizon().span()]);
    }

    #[test]
    fn the_checker_sees_every_kind_of_fault() {
        let stays = [
            stay(Place::Fridge, (200, 150, 50), 2, 2, (0, 20)),
            stay(Place::Fridge, (250, 250, 50), 1, 1, (10, 20)),
        ];
        let sound = stow(&kitchen(), &horizon(), &stays, 20_000);
        let check = |change: &dyn Fn(&mut Stowed), words: &str| {
            let mut stowed = sound.clone();
            change(&mut stowed[0]);
            assert_ne!(stowed, sound, "the fault was put in");
            let breaches = verify(&kitchen(), &horizon(), &stays, &stowed);
            assert!(breaches.iter().any(|line| line.contains(words)), "{words}: {breaches:?}");
        };
        check(&|s| s.moments[1].standing[2].x = 251, "reaches to");
        check(&|s| s.moments[1].standing[2].x = 199, "overlap");
        check(&|s| s.moments[1].standing[1].level = 2, "the levels are [0, 2]");
        check(&|s| s.moments[1].standing[1].width = 150, "turned differently");
        check(&|s| s.moments[1].standing[2].width = 200, "another size");
        check(&|s| s.moments[1].standing[2].surface = 1, "no such surface");
        check(&|s| s.moments[1].standing.truncate(2), "1 boxes are missing");
        check(&|s| s.moments[1].standing[2] = s.moments[1].standing[1], "stands there twice");
        check(&|s| s.moments[1].moved = 1, "0 boxes moved, said are 1");
        check(&|s| s.moves = 1, "0 moves, said are 1");
        check(&|s| s.moments[0].span.end = Elapsed(9), "the moment before ended");
        check(&|s| drop(s.moments.pop()), "the last moment ends");
        check(&|s| s.moments[1].fits = Fit::NotProven, "all stand, but");
        check(&|s| s.place = Place::Counter, "not all five in order");
    }
}
