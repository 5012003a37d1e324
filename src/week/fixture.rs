//! A small week for tests: one order of cookies in a typical baker's time, placed by hand.

use std::collections::{BTreeMap, BTreeSet};

use crate::breakdown::{
    AgeLimit, Assembled, HandoverPoint, Rest, RestChoice, RestStay, Step, StepId, StepNeed, Work,
};
use crate::calendar::{Date, Elapsed, Horizon, MyTime, Wall, Windows, Zone};
use crate::card::StepKind;
use crate::kitchen::{
    Boxes, Counter, FootBox, Household, Kitchen, Oven, Place, Rack, Shelf, ShelfKind, Warmth,
};
use crate::order::{Handover, HandoverWay, ItemId, Order, OrderId, Stage};
use crate::plan::check::Report;
use crate::plan::{Activity, Plan, Problem, Resource, Worker};
use crate::record::{Book, Outlook};

use super::{BlockKey, FoldKey, WeekInput, WeekView};

pub(super) struct Fixture {
    pub(super) book: Book,
    pub(super) outlook: Outlook,
    pub(super) plan: Plan,
    pub(super) report: Report,
    pub(super) now: Wall,
    pub(super) unfolded: BTreeSet<FoldKey>,
}

pub(super) fn wall(text: &str) -> Wall {
    text.parse().expect(text)
}

pub(super) fn date(text: &str) -> Date {
    text.parse().expect(text)
}

pub(super) fn horizon(monday: &str, zone: Zone) -> Horizon {
    Horizon::from_monday_of(date(monday), 14, zone)
}

pub(super) fn key(step: &str, sitting: usize) -> BlockKey {
    BlockKey { step: StepId(step.to_owned()), sitting }
}

fn trays(count: u16) -> FootBox {
    FootBox { kind: "tray".into(), width: 400, depth: 300, height: 60, count, pile: 1 }
}

fn step(id: &str, name: &str, kind: StepKind, sittings: &[u32]) -> Step {
    Step {
        id: StepId(id.to_owned()),
        order: OrderId(1),
        item: ItemId(1),
        card: "decorated-cookies".into(),
        product: "Decorated cookies".into(),
        name: name.to_owned(),
        kind,
        sittings: sittings.to_vec(),
        pause_max: None,
        pause_at: None,
        needs: Vec::new(),
        detail: "24 cookies + 4 spares on 3 trays".into(),
        notes: Vec::new(),
    }
}

fn rest(id: &str, from: &str, to: &str, place: Place, way: &str) -> Rest {
    Rest {
        id: id.to_owned(),
        from: StepId(from.to_owned()),
        to: StepId(to.to_owned()),
        what: "base-coated cookies".into(),
        choices: vec![RestChoice {
            name: way.to_owned(),
            least: 480,
            greatest: Some(2880),
            over: 0,
            safety: false,
            source: "common practice, no published source".into(),
            stay: Some(RestStay { place, boxes: vec![trays(3)] }),
            tail: None,
            cost: 0,
        }],
    }
}

/// The horizon starts on Monday 23 Nov 2026. Bake on Tuesday evening beside the first sitting of the
/// base coat, a second sitting on Wednesday, dry, pipe on Friday, handover on Saturday at 15:00.
pub(super) fn fixture() -> Fixture {
    let horizon = horizon("2026-11-23", Zone::fixed("kitchen", 0));
    let windows = Windows::of(&MyTime::typical(), &horizon, &[]);
    let mut bake = step("o1.i1.bake", "Bake", StepKind::Oven, &[60]);
    bake.needs.push(StepNeed::Oven(1));
    let flood = step("o1.i1.flood", "Flood the base coat", StepKind::Plain, &[70, 40]);
    let pipe = step("o1.i1.pipe", "Pipe the details", StepKind::Fine, &[60]);
    let work = Work {
        steps: vec![bake, flood, pipe],
        waits: vec![],
        rests: vec![
            rest("o1.i1.dry", "o1.i1.flood", "o1.i1.pipe", Place::Rack, "dry on the rack"),
            rest("o1.i1.keep", "o1.i1.pipe", "o1.handover", Place::RoomShelf, "boxed"),
        ],
        limits: vec![AgeLimit {
            id: "o1.i1.baked.limit".into(),
            from: StepId("o1.i1.bake".into()),
            from_start: false,
            to: StepId("o1.handover".into()),
            what: "baked cookies".into(),
            greatest: 10 * 24 * 60,
            over: 0,
            safety: false,
            source: "common practice, no published source".into(),
        }],
        handovers: vec![HandoverPoint {
            id: StepId("o1.handover".into()),
            order: OrderId(1),
            leaves: wall("2026-11-28T15:00"),
        }],
        stands: Vec::new(),
        supplies: Vec::new(),
        notes: Vec::new(),
    };
    let slot = |text: &str| horizon.elapsed(wall(text)).0 / 15;
    let starts = BTreeMap::from([
        ("o1.i1.bake".to_owned(), vec![slot("2026-11-24T19:30")]),
        ("o1.i1.flood".to_owned(), vec![slot("2026-11-24T19:30"), slot("2026-11-25T20:00")]),
        ("o1.i1.pipe".to_owned(), vec![slot("2026-11-27T19:00")]),
    ]);
    let activity = |id: &str, segments: &[i32], workers: &[&str], uses: &[(&str, i64)]| Activity {
        id: id.to_owned(),
        segments: segments.to_vec(),
        workers: workers.iter().map(|&worker| worker.to_owned()).collect(),
        uses: uses.iter().map(|(name, units)| ((*name).to_owned(), *units)).collect(),
        ..Activity::default()
    };
    let resource =
        |id: &str, capacity| Resource { id: id.to_owned(), capacity, ..Resource::default() };
    let problem = Problem {
        format: "makeahead-sched/2".into(),
        name: "fixture".into(),
        grid_minutes: 15,
        slots_per_day: 96,
        horizon: 14 * 96,
        workers: vec![Worker {
            id: "baker".into(),
            windows: windows.free.iter().map(|w| ((w.start.0 + 14) / 15, w.end.0 / 15)).collect(),
            ..Worker::default()
        }],
        resources: vec![
            resource("rack", 8),
            resource("oven", 2),
            resource("fridge.0", 4000),
            resource("fridge.h300", 2000),
        ],
        activities: vec![
            activity("o1.i1.bake", &[4], &[], &[("oven", 1)]),
            activity("o1.i1.flood", &[5, 3], &["baker"], &[]),
            activity("o1.i1.pipe", &[4], &["baker"], &[]),
        ],
        ..Problem::default()
    };
    let order = Order {
        theme: "woodland".into(),
        items: Vec::new(),
        stage: Stage::Confirmed,
        ..Order::new(
            OrderId(1),
            "Mira Holm".into(),
            Handover { at: wall("2026-11-28T15:00"), way: HandoverWay::Collection },
        )
    };
    let shelf = |height| Shelf {
        name: "shelf".into(),
        kind: ShelfKind::Shelf,
        width: 500,
        depth: 400,
        height,
        household: Household::Strip { width: 250 },
    };
    let kitchen = Kitchen {
        fridge: vec![shelf(150), shelf(300)],
        freezer: Vec::new(),
        racks: vec![Rack { name: "rack".into(), levels: 8, tray_width: 400, tray_depth: 300 }],
        counter: Counter { width: 1200, depth: 600, work_zone: 600 },
        room: vec![shelf(300)],
        oven: Oven { decks: 2, trays_per_deck: 1 },
        mixers: 1,
        clearings: Vec::new(),
        boxes: Boxes::usual(),
        warmth: Warmth::default(),
    };
    let book = Book {
        kitchen: Some(kitchen),
        time: Some(MyTime::typical()),
        orders: BTreeMap::from([(OrderId(1), order)]),
        ..Book::default()
    };
    Fixture {
        book,
        outlook: Outlook {
            horizon,
            windows,
            work,
            assembled: Assembled { problem, ..Assembled::default() },
            reckoned: BTreeMap::new(),
        },
        plan: Plan { instance: "fixture".into(), starts, ..Plan::default() },
        report: Report::default(),
        now: wall("2026-11-24T18:00"),
        unfolded: BTreeSet::new(),
    }
}

impl Fixture {
    pub(super) fn input(&self) -> WeekInput<'_> {
        WeekInput {
            book: &self.book,
            outlook: &self.outlook,
            plan: &self.plan,
            report: &self.report,
            now: self.now,
            first_day: 0,
            unfolded: &self.unfolded,
        }
    }

    pub(super) fn view(&self) -> WeekView {
        WeekView::of(self.input())
    }

    pub(super) fn at(&self, text: &str) -> Elapsed {
        self.outlook.horizon.elapsed(wall(text))
    }

    /// As stretches of slots.
    pub(super) fn slots(&self, spans: &[(&str, &str)]) -> Vec<(i32, i32)> {
        spans.iter().map(|(from, to)| (self.at(from).0 / 15, self.at(to).0 / 15)).collect()
    }
}
