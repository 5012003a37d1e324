//! Weeks are planned until they are packed: every moment on the real shelves, held against separate checkers.
#![cfg(not(target_arch = "wasm32"))]

use std::collections::{BTreeMap, BTreeSet};

use rackweek::breakdown::{CanStand, Origin, Standings};
use rackweek::calendar::{Date, Elapsed, Horizon, Wall, Zone};
use rackweek::demo::demo;
use rackweek::kitchen::stow::{Fit, stow, verify};
use rackweek::kitchen::{FootBox, Household, Kitchen, Place, Shelf, ShelfKind, Stay, presets};
use rackweek::order::{Handover, HandoverWay, Item, ItemId, Order, OrderId};
use rackweek::plan::check::{BreachKind, check};
use rackweek::plan::explain::{Conflict, WhyNot};
use rackweek::plan::{Activity, At, Link, Plan, Problem, Resource, Status, Weights, Worker};
use rackweek::record::{Book, Outlook, PackedPlanner, PlanInput};
use rackweek::week::{ProblemView, WeekInput, WeekView, conflict_words};

/// For each question put to the packer by the checks here.
const NODES: u64 = 20_000;

fn monday() -> Date {
    Date::new(2027, 2, 1).expect("a date")
}

fn outlook(book: &Book, now: Wall) -> Outlook {
    let input = PlanInput { now, zone: Zone::fixed("kitchen", 0) };
    Outlook::of(book, &input).expect("kitchen and time are set up")
}

/// Plans until something packed is there, at most so long.
fn planned(problem: &Problem, standings: &Standings, evaluations: u64) -> PackedPlanner {
    let mut planner =
        PackedPlanner::new(problem, 1, Some(standings), None).expect("a sound problem");
    for _ in 0..evaluations / 20 {
        let progress = planner.improve(20);
        if progress.objective.is_some() || progress.finished {
            break;
        }
    }
    planner
}

/// Everything about a packed plan by separate code: requirements, cuts, and every box of every moment. Counts the
/// moments in which anything stands, and the most boxes of the fridge at once.
fn packed_moments(planner: &mut PackedPlanner, standings: &Standings) -> (usize, usize) {
    let plan = planner.plan();
    assert!(plan.objective.is_some(), "a packed plan is there");
    assert_eq!(check(planner.problem(), &plan).breaches, []);
    let stays = standings.stays(planner.problem(), &plan);
    let stays: Vec<Stay> = stays.into_iter().map(|(_, stay)| stay).collect();
    let stowed = stow(&standings.kitchen, &standings.horizon, &stays, NODES);
    assert_eq!(
        verify(&standings.kitchen, &standings.horizon, &stays, &stowed),
        Vec::<String>::new()
    );
    let (mut moments, mut most) = (0, 0);
    for place in &stowed {
        assert_eq!(place.unfit, []);
        assert!(place.moments.iter().all(|moment| moment.fits == Fit::Packed));
        moments += place.moments.iter().filter(|moment| !moment.standing.is_empty()).count();
        if place.place == Place::Fridge {
            most = place.moments.iter().map(|moment| moment.standing.len()).max().unwrap_or(0);
        }
    }
    (moments, most)
}

#[test]
fn the_demo_is_packed_on_any_day_of_the_week() {
    for day in 0..7 {
        let now = monday().plus_days(day).at(12 * 60);
        let outlook = outlook(&demo(now), now);
        let standings = outlook.assembled.standings.as_ref().expect("a kitchen");
        let mut planner = planned(&outlook.assembled.problem, standings, 4_000);
        let (moments, boxes) = packed_moments(&mut planner, standings);
        assert!(moments > 20 && boxes > 1, "{moments} moments, {boxes} boxes on day {day}");
    }
}

fn item(card: &str, count: u32) -> Item {
    let options = BTreeMap::new();
    Item {
        id: ItemId(1),
        card: card.into(),
        count,
        spares: 0,
        options,
        notes: String::new(),
        versions: BTreeMap::new(),
    }
}

/// The demo's baker with other orders, handed over in the second week: day of the fortnight, hour and item.
fn weekend(orders: &[(i64, u16, Item)]) -> Book {
    let mut book = demo(monday().at(12 * 60));
    let like = book.orders.values().next().expect("an order").clone();
    let order = |(number, (day, hour, item)): (u32, &(i64, u16, Item))| {
        let id = OrderId(number);
        let at = monday().plus_days(*day).at(hour * 60);
        let handover = Handover { at, way: HandoverWay::Collection };
        let client = format!("Client {number}");
        (id, Order { id, client, handover, items: vec![item.clone()], ..like.clone() })
    };
    book.orders = (1..).zip(orders).map(order).collect();
    book
}

fn shelf(name: &str, [width, depth, height]: [u16; 3], household: Household) -> Shelf {
    Shelf { name: name.into(), kind: ShelfKind::Shelf, width, depth, height, household }
}

#[test]
fn a_weekend_of_three_orders_is_packed_into_the_two_free_shelves_of_a_family_fridge() {
    let mut book = weekend(&[
        (12, 10, item("tall-layer-cake", 1)),
        (12, 12, item("cupcakes", 12)),
        (12, 15, item("cake-pops", 20)),
    ]);
    let kitchen = book.kitchen.as_mut().expect("a kitchen");
    *kitchen = presets()[0].kitchen.clone();
    let full = |index: usize| !matches!(index, 1 | 2);
    for (index, shelf) in kitchen.fridge.iter_mut().enumerate() {
        shelf.household = if full(index) { Household::Whole } else { Household::Nothing };
    }
    let free: Vec<usize> =
        kitchen.free_shelves(Place::Fridge).into_iter().map(|(index, _)| index).collect();
    assert_eq!(free, [1, 2]);
    let outlook = outlook(&book, monday().at(12 * 60));
    assert!(outlook.work.notes.iter().all(|note| !note.problem), "{:?}", outlook.work.notes);
    let standings = outlook.assembled.standings.as_ref().expect("a kitchen");
    let mut planner = planned(&outlook.assembled.problem, standings, 8_000);
    let (moments, boxes) = packed_moments(&mut planner, standings);
    assert!(moments > 10 && boxes > 1, "{moments} moments, {boxes} boxes");
}

/// Two boxes that fit a shelf of 500 × 300 mm by their area and not side by side, each from a step in one of three
/// windows to a step after a rest of ten slots. Soft: to be done in the second window.
fn two_boxes() -> (Problem, Standings) {
    let step = |id: &str, due: Option<i32>| Activity {
        id: id.into(),
        segments: vec![1],
        workers: vec!["baker".into()],
        due,
        late_weight: i64::from(due.is_some()),
        ..Activity::default()
    };
    let rest = |id: &str, from: &str, to: &str, area| Link {
        id: id.into(),
        from: from.into(),
        from_at: At::E,
        to: to.into(),
        to_at: At::S,
        min: 10,
        max: None,
        store: vec![("fridge".into(), area)],
        age_weight: 0,
        modes: Vec::new(),
    };
    let (wide, narrow) = (260, 250);
    let problem = Problem {
        format: "makeahead-sched/2".into(),
        name: "two boxes".into(),
        grid_minutes: 15,
        slots_per_day: 96,
        horizon: 7 * 96,
        workers: vec![Worker {
            id: "baker".into(),
            windows: vec![(0, 4), (20, 24), (40, 44)],
            ..Worker::default()
        }],
        resources: vec![Resource { id: "fridge".into(), capacity: 1500, ..Resource::default() }],
        activities: vec![
            step("fill", None),
            step("finish", Some(24)),
            step("pour", None),
            step("turn-out", Some(24)),
        ],
        links: vec![rest("chill", "fill", "finish", 676), rest("set", "pour", "turn-out", 625)],
        weights: Weights { late: 1, ..Weights::default() },
        ..Problem::default()
    };
    let one = |link: &str, side: u16| CanStand {
        origin: Origin::Rest { link: link.into(), mode: String::new(), tail: false },
        place: Place::Fridge,
        boxes: vec![FootBox {
            kind: format!("{side} box"),
            width: side,
            depth: side,
            height: 100,
            count: 1,
            pile: 1,
        }],
        label: link.into(),
    };
    let free = shelf("top shelf", [500, 300, 200], Household::Nothing);
    let standings = Standings {
        kitchen: Kitchen { fridge: vec![free], ..presets()[0].kitchen.clone() },
        horizon: Horizon::from_monday_of(monday(), 7, Zone::fixed("kitchen", 0)),
        now: Elapsed(0),
        all: vec![one("chill", wide), one("set", narrow)],
    };
    (problem, standings)
}

#[test]
fn what_areas_allow_and_shelves_do_not_is_planned_apart() {
    let (problem, standings) = two_boxes();
    let mut loose = PackedPlanner::new(&problem, 1, None, None).expect("a sound problem");
    while !loose.improve(20).finished {}
    let by_area = loose.plan();
    assert_eq!((by_area.status, by_area.objective), (Status::Optimal, Some(0)));

    let mut planner = PackedPlanner::new(&problem, 1, Some(&standings), None).expect("sound");
    while !planner.improve(20).finished {}
    let plan = planner.plan();
    // One is in the fridge between the first two windows, the other between the last two: it ends at slot 41.
    assert_eq!((plan.status, plan.objective), (Status::Optimal, Some(17)));
    packed_moments(&mut planner, &standings);
    let cuts = planner.cuts();
    assert_eq!(cuts.len(), 1);
    assert_eq!((cuts[0].place, cuts[0].members.as_slice()), (Place::Fridge, &[0, 1][..]));
    assert!(cuts[0].proven);
    assert_eq!(check(planner.problem(), &by_area).breaches[0].kind, BreachKind::Overfull);
}

#[test]
fn what_is_pinned_side_by_side_and_does_not_fit_is_never_called_sound() {
    let (mut problem, standings) = two_boxes();
    let pins = [("fill", 0), ("finish", 20), ("pour", 1), ("turn-out", 21)];
    for (activity, (id, start)) in problem.activities.iter_mut().zip(pins) {
        assert_eq!(activity.id, id);
        activity.pin = Some(vec![start]);
    }
    let mut planner = planned(&problem, &standings, 400);
    let plan = planner.plan();
    assert_eq!(plan.objective, None);
    assert_eq!(plan.starts.values().flatten().copied().collect::<Vec<_>>(), [0, 20, 1, 21]);
    assert_eq!(check(&problem, &plan).breaches, [], "by areas alone nothing speaks against it");
    let breaches = check(planner.problem(), &plan).breaches;
    let told: Vec<_> = breaches.iter().map(|of| (of.kind, of.id.as_str(), of.at, of.by)).collect();
    assert_eq!(told, [(BreachKind::Overfull, "together.fridge.0", 2, 1)]);
}

/// Two tall cakes for one Sunday afternoon in a fridge of one shelf, planned as well as can be.
fn two_cakes(width: u16) -> (Book, Outlook, Plan) {
    let cake = || item("tall-layer-cake", 1);
    let mut book = weekend(&[(13, 16, cake()), (13, 16, cake())]);
    let kitchen = book.kitchen.as_mut().expect("a kitchen");
    kitchen.fridge = vec![shelf("tall shelf", [width, 300, 300], Household::Nothing)];
    let outlook = outlook(&book, monday().at(12 * 60));
    let standings = outlook.assembled.standings.as_ref().expect("a kitchen");
    let mut planner = planned(&outlook.assembled.problem, standings, 2_000);
    let plan = planner.plan();
    assert_eq!(plan.objective, None, "two cakes 203 mm wide stand on no shelf of {width} × 300 mm");
    let outlook = outlook.with_cuts(planner.cuts());
    (book, outlook, plan)
}

fn problems_and_words(
    (book, outlook, plan): &(Book, Outlook, Plan),
    conflict: &Conflict,
) -> (Vec<ProblemView>, Vec<String>) {
    let report = check(&outlook.assembled.problem, plan);
    let input = WeekInput {
        book,
        outlook,
        plan,
        report: &report,
        now: monday().at(12 * 60),
        first_day: 7,
        unfolded: &BTreeSet::new(),
    };
    (WeekView::of(input).problems, conflict_words(input, conflict))
}

#[test]
fn what_stands_together_in_a_least_bad_plan_and_cannot_is_named_with_its_hours() {
    let week = two_cakes(330);
    let (problems, _) = problems_and_words(&week, &Conflict::NotProven);
    let last = problems.last().expect("problems");
    assert_eq!(
        last.text,
        "Tall layer cake (Client 1) and Tall layer cake (Client 2) cannot stand in the fridge together, \
         however they are packed: Saturday 16:45 to Sunday 16:00"
    );
    assert_eq!((last.day, last.blocks.len()), (Some(12), 2));
}

#[test]
fn what_cannot_stand_together_is_named_among_the_causes_of_a_late_handover() {
    let week = two_cakes(400);
    let mut why = WhyNot::new(&week.1.assembled.problem, &week.2, 49, 1_000);
    while !matches!(why.conflict(), Conflict::Proven { smallest: true, .. }) && !why.refine(20) {}
    let (problems, words) = problems_and_words(&week, why.conflict());
    assert!(
        problems
            .iter()
            .any(|one| one.text.ends_with("is not ready when it leaves: 6 h 45 min late"))
    );
    assert!(
        words.iter().any(|line| line.starts_with("There is no room for ")
            && line.contains("(Client 1)")
            && line.contains("(Client 2)")
            && line.ends_with("in the fridge together")),
        "{words:?}"
    );
}

#[test]
fn full_weekends_are_packed_in_every_kitchen_to_start_from_that_has_the_room_and_hours() {
    let cards = [
        ("tall-layer-cake", 1),
        ("cupcakes", 18),
        ("cake-pops", 18),
        ("decorated-cookies", 18),
        ("moulded-chocolate-shells", 18),
        ("cupcakes", 18),
    ];
    let mut packed = 0;
    for preset in presets() {
        let orders: Vec<_> = (0..6_u16)
            .zip(cards)
            .map(|(n, (card, count))| (11 + i64::from(n % 3), 10 + 2 * (n % 4), item(card, count)))
            .collect();
        let mut book = weekend(&orders);
        book.kitchen = Some(preset.kitchen.clone());
        let outlook = outlook(&book, monday().at(12 * 60));
        let problem = &outlook.assembled.problem;
        let mut by_area = PackedPlanner::new(problem, 1, None, None).expect("sound");
        if by_area.improve(60).objective.is_none() {
            continue;
        }
        let standings = outlook.assembled.standings.as_ref().expect("a kitchen");
        let mut planner = planned(problem, standings, 2_000);
        packed += usize::from(packed_moments(&mut planner, standings).0 > 20);
    }
    assert!(packed >= 4, "{packed} kitchens");
}
