//! From work, kitchen and time to the planning problem: rounded to the safe side, with the past in it.
#![cfg(not(target_arch = "wasm32"))]

mod common;

use std::collections::BTreeMap;

use common::{Bench, item, kitchen, order};
use proptest::prelude::*;
use rackweek::breakdown::{
    Assembled, Assembly, Longest, StepId, Work, assemble, break_down_within,
};
use rackweek::calendar::{
    Date, Elapsed, Exception, ExceptionKind, Horizon, MyTime, OffsetChange, Windows, Zone,
};
use rackweek::card::{Card, StepKind, builtin};
use rackweek::kitchen::Kitchen;
use rackweek::margin::Margins;
use rackweek::order::{Handover, HandoverWay, Item, ItemId, Order, OrderId};
use rackweek::plan::{Activity, Link, Plan};

const GRID: i32 = 15;
const DAY: i32 = 1440;

/// A fortnight from Monday 30 November 2026; handover on the second Saturday at 15:00.
struct Desk {
    orders: Vec<Order>,
    kitchen: Kitchen,
    time: MyTime,
    zone: Zone,
    now: Elapsed,
    fixed: BTreeMap<StepId, Vec<Elapsed>>,
    shown: BTreeMap<StepId, Vec<Elapsed>>,
}

impl Desk {
    fn with(items: Vec<Item>) -> Self {
        Self {
            orders: vec![order(items)],
            kitchen: kitchen(),
            time: MyTime::typical(),
            zone: Zone::fixed("kitchen", 0),
            now: Elapsed(7 * 60),
            fixed: BTreeMap::new(),
            shown: BTreeMap::new(),
        }
    }

    fn fix(mut self, step: &str, starts: &[i32]) -> Self {
        let starts = starts.iter().copied().map(Elapsed).collect();
        self.fixed.insert(StepId(format!("o1.i1.{step}")), starts);
        self
    }

    fn horizon(&self) -> Horizon {
        let monday = Date::new(2026, 11, 30).expect("a date");
        Horizon::from_monday_of(monday, 21, self.zone.clone())
    }

    fn assemble(&self) -> (Work, Assembled) {
        let cards = builtin();
        let cards: Vec<&Card> = cards.iter().collect();
        let orders: Vec<&Order> = self.orders.iter().collect();
        let longest = Longest { hands_on: 180, fine: 120 };
        let work = break_down_within(&orders, &cards, &self.kitchen, longest, &Margins::default());
        let horizon = self.horizon();
        let windows = Windows::of(&self.time, &horizon, &[]);
        let assembled = assemble(&Assembly {
            work: &work,
            kitchen: &self.kitchen,
            time: &self.time,
            windows: &windows,
            horizon: &horizon,
            now: self.now,
            safety_margin: 60,
            fixed: &self.fixed,
            begun: &BTreeMap::new(),
            shown: &self.shown,
        });
        assert_eq!(assembled.problem.validate().err(), None);
        (work, assembled)
    }
}

fn cookies() -> Desk {
    Desk::with(vec![item("decorated-cookies", 24, 4, &[])])
}

fn activity<'a>(assembled: &'a Assembled, id: &str) -> &'a Activity {
    let found = assembled.problem.activities.iter().find(|activity| activity.id == id);
    found.unwrap_or_else(|| panic!("no activity {id}"))
}

fn link<'a>(assembled: &'a Assembled, id: &str) -> &'a Link {
    let found = assembled.problem.links.iter().find(|link| link.id == id);
    found.unwrap_or_else(|| panic!("no link {id}"))
}

/// (name, least, greatest, tail) of every way in which a link may be kept, in minutes.
fn ways(link: &Link) -> Vec<(String, i32, Option<i32>, i32)> {
    if link.modes.is_empty() {
        return vec![(String::new(), link.min * GRID, link.max.map(|max| max * GRID), 0)];
    }
    link.modes
        .iter()
        .map(|mode| {
            let tail = mode.tail.as_ref().map_or(0, |tail| tail.len * GRID);
            (mode.name.clone(), mode.min * GRID, mode.max.map(|max| max * GRID), tail)
        })
        .collect()
}

/// Where a card says at most, the problem says no more; where it says at least, no less; even when a
/// step ends before the slot that it is rounded up to.
fn check_lags(work: &Work, assembled: &Assembled) {
    let minutes: BTreeMap<&StepId, i32> = work
        .steps
        .iter()
        .map(|step| (&step.id, step.sittings.last().copied().unwrap_or(0)))
        .map(|(id, minutes)| (id, i32::try_from(minutes).expect("short")))
        .collect();
    // From the step's real end to its end on the grid.
    let early = |id: &StepId| (GRID - minutes[id] % GRID) % GRID;
    for rest in &work.rests {
        let to_handover = rest.to.0.ends_with("handover");
        for (name, least, greatest, tail) in ways(link(assembled, &rest.id)) {
            let choice = rest
                .choices
                .iter()
                .find(|choice| name.is_empty() || choice.name == name)
                .expect("a way of the rest");
            let wanted = choice.least.max(if to_handover { 60 } else { 0 });
            assert!(i32::try_from(wanted).expect("short") <= least, "{} {name}", rest.id);
            assert!(tail <= least, "{} {name}", rest.id);
            if let Some(limit) = choice.greatest {
                let limit = i32::try_from(limit).expect("short");
                let greatest = greatest.expect("a limit of the card is a limit of the problem");
                let real = greatest + early(&rest.from);
                assert!(real <= limit, "{} {name}: {real} > {limit}", rest.id);
            }
        }
    }
    for limit in &work.limits {
        let early = if limit.from_start { 0 } else { early(&limit.from) };
        let (_, _, greatest, _) = ways(link(assembled, &limit.id)).remove(0);
        let real = greatest.expect("limited") + early;
        assert!(real <= i32::try_from(limit.greatest).expect("short"), "{}: {real}", limit.id);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn no_limit_of_a_card_is_loosened(
        which in 0_usize..5, count in 1_u32..40, colours in 1_i64..5,
        switches in proptest::collection::vec(0_i64..2, 6),
    ) {
        let card = ["decorated-cookies", "cake-pops", "tall-layer-cake", "cupcakes", "moulded-chocolate-shells"][which];
        let count = if which == 2 { 1 } else { count };
        let [dark, deep, first, filled, lettering, supports] = switches[..] else { unreachable!() };
        let options = [
            ("colours", colours), ("dark-next-to-pale", dark), ("deep-colour", deep),
            ("first-time", first), ("filled", filled), ("lettering", lettering), ("supports", supports),
        ];
        let (work, assembled) = Desk::with(vec![item(card, count, 2, &options)]).assemble();
        check_lags(&work, &assembled);

        // Work is rounded up to the grid, by less than a slot for each sitting.
        for step in &work.steps {
            let segments = &activity(&assembled, &step.id.0).segments;
            prop_assert_eq!(segments.len(), step.sittings.len());
            for (segment, minutes) in segments.iter().zip(&step.sittings) {
                let minutes = i32::try_from(*minutes).expect("short");
                prop_assert!((0..GRID).contains(&(segment * GRID - minutes)), "{}", step.id.0);
            }
        }
    }
}

#[test]
fn windows_are_rounded_inwards() {
    let mut desk = cookies();
    desk.time.settle = 37;
    let (_, assembled) = desk.assemble();
    let free = Windows::of(&desk.time, &desk.horizon(), &[]).free;
    let windows = &assembled.problem.workers[0].windows;
    assert!(free.iter().any(|span| span.start.0 % GRID != 0), "the case is worth something");
    for (start, end) in windows {
        let inside =
            free.iter().any(|span| span.start.0 <= start * GRID && end * GRID <= span.end.0);
        assert!(inside, "{start}..{end}");
    }
    for (soft, (start, end)) in assembled.problem.workers[0].soft.iter().zip(windows) {
        assert_eq!(*soft, i64::from((end - start) * 3 / 4));
    }
}

#[test]
fn the_handover_is_a_moment_that_leaves_time_for_the_way() {
    let mut desk = cookies();
    desk.orders[0].handover = Handover {
        at: Date::new(2026, 12, 12).expect("a date").at(15 * 60),
        way: HandoverWay::Delivery { travel: 25, place: "the boathouse".into() },
    };
    let (_, assembled) = desk.assemble();
    let handover = activity(&assembled, "o1.handover");
    // Saturday of the second week, 14:35, rounded down to 14:30.
    let slot = (12 * DAY + 14 * 60 + 30) / GRID;
    assert_eq!(handover.segments, [0]);
    assert_eq!(
        (handover.earliest, handover.latest, handover.due),
        (Some(slot), Some(slot), Some(slot))
    );
    assert!(60 <= ways(link(&assembled, "o1.i1.keep"))[0].1, "boxed an hour before");
    let flood = activity(&assembled, "o1.i1.flood");
    assert_eq!(flood.due, Some(slot - 96), "what is done in the last 24 hours is crunch");
    assert!(0 < flood.late_weight && flood.late_weight < handover.late_weight);
    assert_eq!(activity(&assembled, "o1.i1.bake").due, None, "the oven does not mind");
}

#[test]
fn a_day_has_its_limits_and_a_short_day_is_short() {
    let mut desk = cookies();
    desk.time.exceptions.push(Exception {
        id: 1,
        date: Date::new(2026, 12, 4).expect("a date"),
        kind: ExceptionKind::DayOff,
        label: "off on Friday".into(),
    });
    // A clock set forward by an hour on Sunday 6 December at 02:00: made up, to see a day of 23 hours.
    let change = Date::new(2026, 12, 6).expect("a date").at(120).as_if_utc();
    desk.zone = Zone {
        name: "made up".into(),
        changes: vec![OffsetChange { utc: 0, offset: 0 }, OffsetChange { utc: change, offset: 60 }],
    };
    let (_, assembled) = desk.assemble();
    let limits = &assembled.problem.workers[0].limits;
    let of_day = |day: usize| (&limits[2 * day], &limits[2 * day + 1]);
    let (all, fine) = of_day(3);
    assert_eq!((all.from, all.to, all.max), (3 * 96, 4 * 96, 12), "Thursday: 180 minutes");
    assert_eq!((fine.max, fine.kinds.as_deref()), (8, Some(&["fine".to_owned()][..])));
    assert_eq!(of_day(4).0.max, 28, "Friday is off: 420 minutes");
    assert_eq!(of_day(5).0.max, 28, "Saturday");
    let (sunday, _) = of_day(6);
    assert_eq!((sunday.from, sunday.to), (6 * 96, 6 * 96 + 92));
    assert_eq!(of_day(7).0.from, 6 * 96 + 92);
}

#[test]
fn ovens_need_somebody_at_home_and_at_hand() {
    let (work, assembled) = cookies().assemble();
    let bake = activity(&assembled, "o1.i1.bake");
    assert_eq!(bake.workers, Vec::<String>::new());
    // Three trays, two at once: the trays are changed, so somebody is at hand all the time.
    assert_eq!(bake.within.as_deref(), Some("at-hand"));
    assert_eq!(bake.end_in.as_deref(), Some("at-hand"));
    assert_eq!(bake.uses, [("oven".to_owned(), 2)]);
    let kinds: Vec<StepKind> = work.steps.iter().map(|step| step.kind).collect();
    assert!(kinds.contains(&StepKind::Oven));
    let one_load = Desk::with(vec![item("cupcakes", 24, 0, &[])]).assemble().1;
    assert_eq!(activity(&one_load, "o1.i1.bake").within.as_deref(), Some("home"));
}

#[test]
fn places_are_resources_by_height_class_and_only_cold_area_weighs() {
    let (_, assembled) = Desk::with(vec![item("tall-layer-cake", 1, 0, &[])]).assemble();
    let resource = |id: &str| {
        let found = assembled.problem.resources.iter().find(|resource| resource.id == id);
        found.unwrap_or_else(|| panic!("no resource {id}"))
    };
    // Two shelves of 500 × 330 mm: half of one of 180 mm, 70 % of one of 380 mm.
    assert_eq!(resource("fridge").capacity, 825 + 1155);
    assert_eq!(resource("fridge.h380").capacity, 1155);
    assert_eq!((resource("fridge").load_weight, resource("fridge.h380").load_weight), (1, 0));
    assert_eq!(resource("freezer").load_weight, 0);
    assert_eq!(resource("rack").capacity, 10);
    // The boxed cake of 150 mm, on an 8 in board in an 8 × 8 × 10 in box (209 × 209 × 260 mm outside),
    // stands on the tall shelf and counts in both classes.
    let keep = link(&assembled, "o1.i1.keep");
    assert_eq!(keep.store, [("fridge".to_owned(), 436), ("fridge.h380".to_owned(), 436)]);
    assert!(0 < keep.age_weight, "freshness");
}

#[test]
fn what_is_too_big_takes_the_whole_place_and_is_told() {
    let mut desk = Desk::with(vec![item("tall-layer-cake", 1, 0, &[])]);
    desk.kitchen.fridge[1].height = 200;
    let (_, assembled) = desk.assemble();
    let keep = link(&assembled, "o1.i1.keep");
    let capacity = &assembled.problem.resources;
    for (id, amount) in &keep.store {
        assert!(capacity.iter().any(|resource| resource.id == *id && resource.capacity == *amount));
    }
    assert_eq!(keep.store.len(), 2);
    let told = assembled.notes.iter().find(|note| note.problem && note.text.contains("boxed cake"));
    assert!(told.is_some(), "{:?}", assembled.notes);
}

#[test]
fn a_way_that_no_shelf_can_take_is_left_out_while_there_is_another() {
    let mut desk = cookies();
    desk.kitchen.freezer.clear();
    let (work, assembled) = desk.assemble();
    let dough = link(&assembled, "o1.i1.dough-chill");
    assert_eq!(dough.modes.len(), 1, "the freezer is out");
    assert_eq!(dough.modes[0].name, "wrapped in the fridge");
    assert!(assembled.notes.iter().all(|note| !note.problem), "{:?}", assembled.notes);
    assert_eq!(
        work.rests.iter().find(|rest| rest.id == dough.id).map(|r| r.choices.len()),
        Some(2)
    );
}

#[test]
fn what_comes_out_an_hour_before_has_somebody_at_home_then() {
    let (_, assembled) = Desk::with(vec![item("cake-pops", 24, 0, &[])]).assemble();
    let dip = activity(&assembled, "o1.i1.dip");
    let calendar = &assembled.problem.calendars[dip.start_in.as_ref().expect("limited")];
    let home = &assembled.problem.calendars["home"];
    for (start, end) in calendar {
        for slot in *start..*end {
            let out = slot - 4;
            assert!(home.iter().any(|(a, b)| *a <= out && out < *b), "out at {out}");
        }
    }
    assert!(!calendar.is_empty());
}

#[test]
fn open_work_does_not_start_before_now_and_stays_near_what_was_shown() {
    let mut desk = cookies();
    desk.now = Elapsed(2 * DAY + 18 * 60 + 7);
    desk.shown.insert(StepId("o1.i1.flood".into()), vec![Elapsed(4 * DAY + 19 * 60)]);
    desk.shown.insert(StepId("o1.i1.box".into()), vec![Elapsed(0), Elapsed(60)]);
    let (_, assembled) = desk.assemble();
    let dough = activity(&assembled, "o1.i1.dough");
    assert_eq!(dough.earliest, Some((2 * DAY + 18 * 60 + 15) / GRID));
    let flood = activity(&assembled, "o1.i1.flood");
    assert_eq!(flood.reference, Some(vec![(4 * DAY + 19 * 60) / GRID]));
    assert!(0 < flood.stab_weight);
    assert_eq!(activity(&assembled, "o1.i1.box").reference, None, "it had other sittings then");
}

#[test]
fn a_pin_holds_unless_the_sittings_have_changed() {
    let start = 3 * DAY + 19 * 60;
    let desk = cookies().fix("flood", &[start]).fix("details", &[start + DAY, start + 2 * DAY]);
    let (_, assembled) = desk.assemble();
    let flood = activity(&assembled, "o1.i1.flood");
    assert_eq!((flood.pin.clone(), flood.earliest), (Some(vec![start / GRID]), None));
    assert_eq!(flood.workers, ["baker"]);
    assert_eq!(activity(&assembled, "o1.i1.details").pin, None);
    let note = assembled.notes.iter().find(|note| note.text.contains("planned anew"));
    assert!(note.is_some_and(|note| !note.problem && note.text.contains("2 sittings")));
}

#[test]
fn what_has_happened_stays_and_its_time_counts() {
    // The dough was made on Monday from 19:07 to 19:37; it is Wednesday 18:00.
    let mut desk = cookies().fix("dough", &[19 * 60 + 7]);
    desk.now = Elapsed(2 * DAY + 18 * 60);
    let (_, assembled) = desk.assemble();
    let dough = activity(&assembled, "o1.i1.dough");
    assert!(dough.workers.is_empty() && dough.kind.is_none() && dough.earliest.is_none());
    assert_eq!(dough.segments, [0]);
    let point = dough.pin.as_ref().expect("fixed")[0];
    let chill = &link(&assembled, "o1.i1.dough-chill").modes[0];
    // Two days at most from 19:37: rolling starts by Wednesday 19:30 on the grid.
    assert_eq!(point + chill.max.expect("limited"), (2 * DAY + 19 * 60 + 30) / GRID);
    // An hour at least from 19:37: not before 20:45 on the grid.
    assert_eq!(point + chill.min, (20 * 60 + 45) / GRID);
    // The evening's limit is less what was done that day, and no other day's.
    let limits = &assembled.problem.workers[0].limits;
    assert_eq!((limits[0].max, limits[2].max), (12 - 2, 12));
    // The real start comes back, not the point that stands for it.
    let starts = BTreeMap::from([("o1.i1.dough".to_owned(), vec![point])]);
    let plan = Plan { starts, ..Plan::default() };
    assert_eq!(assembled.starts(&plan)[&StepId("o1.i1.dough".into())], [Elapsed(19 * 60 + 7)]);
}

#[test]
fn a_limit_that_began_before_the_horizon_is_as_short_as_it_really_is() {
    // Dough made a day and a half before the horizon's first midnight.
    let made = -(DAY + DAY / 2);
    let desk = cookies().fix("dough", &[made]);
    let (_, assembled) = desk.assemble();
    let dough = activity(&assembled, "o1.i1.dough");
    assert_eq!(dough.pin, Some(vec![0]));
    let chill = &link(&assembled, "o1.i1.dough-chill").modes[0];
    assert_eq!(chill.max, Some((made + 30 + 2 * DAY) / GRID), "12:30 on Monday");
    assert_eq!(chill.min, 0, "it has rested long enough");
}

#[test]
fn a_sitting_that_runs_now_keeps_the_hands_busy() {
    let now = 18 * 60 + 30;
    let mut desk = cookies().fix("flood", &[now - 20]);
    desk.now = Elapsed(now);
    let (_, assembled) = desk.assemble();
    // 80 minutes from 18:10: busy until 19:30.
    let until = (now + 60) / GRID;
    let windows = &assembled.problem.workers[0].windows;
    assert!(
        windows.iter().all(|(start, end)| *end <= now / GRID || until <= *start),
        "{windows:?}"
    );
    assert!(windows.iter().any(|(start, _)| *start == until), "{windows:?}");
    let flood = activity(&assembled, "o1.i1.flood");
    assert_eq!((flood.pin.clone(), flood.segments.clone()), (Some(vec![now / GRID]), vec![4]));
    assert!(flood.workers.is_empty());
    // What it needed is over too.
    for skipped in ["dough", "roll", "bake", "royal-icing.mix"] {
        let id = format!("o1.i1.{skipped}");
        assert!(assembled.problem.activities.iter().all(|activity| activity.id != id), "{id}");
        assert!(
            assembled.problem.links.iter().all(|link| link.from != id && link.to != id),
            "{id}"
        );
    }
    let said = assembled.notes.iter().filter(|note| note.text.contains("counts as done")).count();
    assert_eq!(said, 4);
}

#[test]
fn a_step_half_done_keeps_its_sittings_ahead() {
    let mut desk = Desk::with(vec![item("decorated-cookies", 60, 6, &[("colours", 5)])]);
    let first = DAY + 19 * 60;
    desk = desk.fix("details", &[first, first + DAY, first + 2 * DAY, first + 3 * DAY]);
    desk.now = Elapsed(2 * DAY + 12 * 60);
    let (work, assembled) = desk.assemble();
    let sittings =
        work.steps.iter().find(|step| step.id.0 == "o1.i1.details").map(|step| step.sittings.len());
    assert_eq!(sittings, Some(4), "the case is worth something");
    let details = activity(&assembled, "o1.i1.details");
    let ahead: Vec<i32> = (1..4).map(|day| (first + day * DAY) / GRID).collect();
    assert_eq!(details.segments.len(), 3);
    assert_eq!(details.pin.as_ref(), Some(&ahead));
    let plan =
        Plan { starts: BTreeMap::from([("o1.i1.details".to_owned(), ahead)]), ..Plan::default() };
    let real: Vec<Elapsed> = (0..4).map(|day| Elapsed(first + day * DAY)).collect();
    assert_eq!(assembled.starts(&plan)[&StepId("o1.i1.details".into())], real);
}

#[test]
fn a_handover_that_lies_behind_is_told() {
    let mut desk = cookies();
    desk.now = Elapsed(13 * DAY);
    let (_, assembled) = desk.assemble();
    assert!(assembled.notes.iter().any(|note| note.problem && note.text.contains("lies behind")));
}

#[test]
fn orders_share_one_kitchen_and_one_pair_of_hands() {
    let mut desk = cookies();
    let mut second = order(vec![Item { id: ItemId(1), ..item("cake-pops", 12, 0, &[]) }]);
    second.id = OrderId(2);
    desk.orders.push(second);
    let (work, assembled) = desk.assemble();
    assert_eq!(work.handovers.len(), 2);
    assert_eq!(assembled.problem.workers.len(), 1);
    assert_eq!(activity(&assembled, "o2.i1.dip").order.as_deref(), Some("o2"));
    let bench = Bench::default();
    assert_eq!(bench.kitchen, desk.kitchen);
}
