//! Promise: what *Cold & counter* draws is the kitchen as measured and the plan as packed, and no limit is broken in it.
#![cfg(not(target_arch = "wasm32"))]

use std::collections::BTreeSet;

use rackweek::calendar::{Date, Wall, Zone};
use rackweek::cold::{
    ColdView, MomentView, Paper, PlaceView, Stand, at_fullest, at_fullest_within, compare, front,
    movable, of_order, rows,
};
use rackweek::demo::demo;
use rackweek::kitchen::stow::KeptFor;
use rackweek::kitchen::{Cleared, Clearing, Household, Kitchen, Place, Shelf, ShelfKind, presets};
use rackweek::order::{Handover, HandoverWay, Item, ItemId, Order, OrderId};
use rackweek::plan::Plan;
use rackweek::plan::check::check;
use rackweek::record::{Book, Outlook, PackedPlanner, PlanInput};
use rackweek::week::{Stood, WeekInput, standing};

fn monday() -> Date {
    Date::new(2027, 2, 1).expect("a date")
}

fn noon() -> Wall {
    monday().at(12 * 60)
}

/// A book, planned until it is packed or so much was looked at, and everything that is drawn of it.
struct Drawn {
    book: Book,
    outlook: Outlook,
    plan: Plan,
}

impl Drawn {
    fn of(book: Book) -> Self {
        let input = PlanInput { now: noon(), zone: Zone::fixed("kitchen", 0) };
        let outlook = Outlook::of(&book, &input).expect("kitchen and time are set up");
        let standings = outlook.assembled.standings.as_ref().expect("a kitchen");
        let problem = &outlook.assembled.problem;
        let mut planner = PackedPlanner::new(problem, 1, Some(standings), None).expect("sound");
        for _ in 0..200 {
            let progress = planner.improve(20);
            if progress.objective.is_some() || progress.finished {
                break;
            }
        }
        let plan = planner.plan();
        Self { book, outlook, plan }
    }

    fn read<R>(&self, read: impl FnOnce(WeekInput<'_>) -> R) -> R {
        read(WeekInput {
            book: &self.book,
            outlook: &self.outlook,
            plan: &self.plan,
            report: &check(&self.outlook.assembled.problem, &self.plan),
            now: noon(),
            first_day: 0,
            unfolded: &BTreeSet::new(),
        })
    }

    fn view(&self) -> ColdView {
        self.read(ColdView::of).expect("a kitchen")
    }

    fn stood(&self) -> Vec<Stood> {
        self.read(standing)
    }

    fn kitchen(&self) -> &Kitchen {
        self.book.kitchen.as_ref().expect("a kitchen")
    }
}

fn weekend(items: &[(&str, u32)], kitchen: Kitchen) -> Book {
    let mut book = demo(noon());
    let like = book.orders.values().next().expect("an order").clone();
    let order = |(number, (card, count)): (u16, &(&str, u32))| {
        let id = OrderId(u32::from(number));
        let at = monday().plus_days(12).at((8 + 2 * number) * 60);
        let handover = Handover { at, way: HandoverWay::Collection };
        let item = Item {
            id: ItemId(1),
            card: (*card).into(),
            count: *count,
            spares: 0,
            options: std::collections::BTreeMap::new(),
            notes: String::new(),
            versions: std::collections::BTreeMap::new(),
        };
        (
            id,
            Order {
                id,
                client: format!("Client {number}"),
                handover,
                items: vec![item],
                ..like.clone()
            },
        )
    };
    book.orders = (1..).zip(items).map(order).collect();
    book.kitchen = Some(kitchen);
    book
}

/// A family fridge of which two shelves are free, and three orders for one weekend.
fn full_fridge() -> Drawn {
    let mut kitchen = presets()[0].kitchen.clone();
    for (index, shelf) in kitchen.fridge.iter_mut().enumerate() {
        shelf.household =
            if matches!(index, 1 | 2) { Household::Nothing } else { Household::Whole };
    }
    Drawn::of(weekend(&[("tall-layer-cake", 1), ("cupcakes", 12), ("cake-pops", 20)], kitchen))
}

fn overlap(a: (u32, u32), b: (u32, u32)) -> bool {
    a.0 < b.0 + b.1 && b.0 < a.0 + a.1
}

/// Everything that a moment of a place may not show, counted from the numbers alone.
fn faults(kitchen: &Kitchen, stood: &[Stood], place: Place, moment: &MomentView) -> Vec<String> {
    let mut faults = Vec::new();
    let mut fault = |text: String| faults.push(text);
    for (index, one) in moment.boxes.iter().enumerate() {
        let surface = &moment.surfaces[one.surface];
        let own = &stood[one.stand].stay.boxes[one.item];
        let mut sides = [one.width, one.depth];
        let mut measured = [u32::from(own.width), u32::from(own.depth)];
        sides.sort_unstable();
        measured.sort_unstable();
        if sides != measured || one.height != u32::from(own.height) {
            fault(format!("{} is drawn in another size", one.kind));
        }
        if surface.width < one.x + one.width || surface.depth < one.y + one.depth {
            fault(format!("{} reaches over the edge", one.kind));
        }
        if surface.height > 0 && surface.height < one.z + one.height {
            fault(format!("{} reaches through the shelf above", one.kind));
        }
        let pile = u32::from(own.pile.max(1));
        if pile < one.pile || one.pile <= one.level {
            fault(format!("{} stands in a pile of {} of at most {pile}", one.kind, one.pile));
        }
        for kept in &surface.kept {
            if overlap((one.x, one.width), (kept.x, kept.width))
                && overlap((one.y, one.depth), (kept.y, kept.depth))
            {
                fault(format!("{} stands where {:?} is kept", one.kind, kept.what));
            }
        }
        for other in &moment.boxes[index + 1..] {
            let apart = one.surface != other.surface
                || !overlap((one.x, one.width), (other.x, other.width))
                || !overlap((one.y, one.depth), (other.y, other.depth))
                || !overlap((one.z, one.height), (other.z, other.height));
            if !apart {
                fault(format!("{} and {} stand in each other", one.kind, other.kind));
            }
            if place == Place::Rack && one.surface == other.surface {
                fault(format!("{} and {} share a level", one.kind, other.kind));
            }
        }
    }
    let levels: usize = kitchen.racks.iter().map(|rack| usize::from(rack.levels)).sum();
    if place == Place::Rack && (levels < moment.boxes.len() || levels != moment.surfaces.len()) {
        fault(format!("{} trays on {levels} levels", moment.boxes.len()));
    }
    if place == Place::Counter {
        let free = kitchen.counter.width - kitchen.counter.work_zone;
        let zone = moment.surfaces[0].kept.iter().find(|kept| kept.what == KeptFor::Work);
        if zone.map(|zone| (zone.x, zone.width))
            != Some((free.into(), kitchen.counter.work_zone.into()))
        {
            fault("the work zone is not kept".into());
        }
    }
    faults
}

/// No limit is broken at any moment; gives how many boxes were looked at, moment by moment.
fn demand_limits(drawn: &Drawn) -> usize {
    let (view, stood) = (drawn.view(), drawn.stood());
    assert_eq!(view.stands.len(), stood.len());
    let mut boxes = 0;
    for place in &view.places {
        for pair in place.moments.windows(2) {
            assert_eq!(pair[0].span.end, pair[1].span.start, "no gap in the {}", place.place);
        }
        for moment in &place.moments {
            assert_eq!(faults(drawn.kitchen(), &stood, place.place, moment), Vec::<String>::new());
            assert_eq!(moment.outside, [], "{} at {}", place.place, view.when(moment.span.start));
            let due: u32 = stood
                .iter()
                .filter(|one| {
                    one.stay.place == place.place && one.stay.span.contains(moment.span.start)
                })
                .flat_map(|one| &one.stay.boxes)
                .map(|of| u32::from(of.count))
                .sum();
            assert_eq!(moment.boxes.len(), due as usize, "every box is drawn, and no other");
            boxes += moment.boxes.len();
        }
    }
    boxes
}

#[test]
fn the_demo_is_drawn_within_all_limits() {
    let boxes = demand_limits(&Drawn::of(demo(noon())));
    assert!(boxes > 100, "{boxes} boxes were looked at");
}

#[test]
fn three_orders_of_one_weekend_are_drawn_within_the_two_free_shelves() {
    let drawn = full_fridge();
    assert!(demand_limits(&drawn) > 20);
    let view = drawn.view();
    let fridge = view.place(Place::Fridge).expect("a fridge");
    let used: BTreeSet<usize> =
        fridge.moments.iter().flat_map(|moment| &moment.boxes).map(|one| one.surface).collect();
    assert!(!used.is_empty() && used.is_subset(&BTreeSet::from([1, 2])), "{used:?}");
    for moment in &fridge.moments {
        assert_eq!(moment.rooms[0].words, "all of it is kept by the household");
        assert_eq!((moment.rooms[3].free, moment.rooms[3].largest), (0, None));
    }
}

#[test]
fn a_fault_of_every_kind_is_seen_by_the_check_of_this_file() {
    let drawn = full_fridge();
    let (view, stood) = (drawn.view(), drawn.stood());
    let holds_two = |moment: &&MomentView| moment.boxes.len() > 1;
    let moment_of = |place| view.place(place).expect("a place").moments.iter().find(holds_two);
    let fridge = moment_of(Place::Fridge).expect("two boxes at once").clone();
    let of = |change: &dyn Fn(&mut MomentView)| {
        let mut moment = fridge.clone();
        change(&mut moment);
        faults(drawn.kitchen(), &stood, Place::Fridge, &moment).join("; ")
    };
    assert_eq!(of(&|_| {}), "");
    assert!(of(&|m| m.boxes[0].width += 1).contains("another size"));
    assert!(of(&|m| m.boxes[0].x = m.surfaces[1].width).contains("over the edge"));
    assert!(of(&|m| m.boxes[0].z = m.surfaces[1].height).contains("through the shelf"));
    assert!(of(&|m| m.boxes[0].pile = 99).contains("in a pile of 99"));
    assert!(of(&|m| m.boxes[0].surface = 0).contains("Household is kept"));
    assert!(of(&|m| m.boxes[1] = m.boxes[0].clone()).contains("in each other"));
    let shared = faults(
        drawn.kitchen(),
        &stood,
        Place::Rack,
        &MomentView {
            boxes: vec![fridge.boxes[0].clone(), fridge.boxes[0].clone()],
            ..fridge.clone()
        },
    );
    assert!(shared.join("; ").contains("share a level"));
}

#[test]
fn pictures_have_every_length_of_the_kitchen_and_of_the_boxes() {
    let drawn = full_fridge();
    let view = drawn.view();
    let fridge = view.place(Place::Fridge).expect("a fridge");
    let index = at_fullest(&view, fridge);
    let moment = &fridge.moments[index];
    let picture = front(fridge, moment, 40);
    for (row, shelf) in picture.rows.iter().zip(&drawn.kitchen().fridge) {
        assert_eq!(row.width, u32::from(shelf.width), "{}", shelf.name);
        assert_eq!(row.floor - row.top, u32::from(shelf.height), "{}", shelf.name);
    }
    assert_eq!(picture.boxes.len(), moment.boxes.len());
    for shown in &picture.boxes {
        let one = &moment.boxes[shown.index];
        assert_eq!((shown.width, shown.height, shown.x), (one.width, one.height, one.x));
        let row = &picture.rows[one.surface];
        assert_eq!(row.floor - shown.y - shown.height, one.z, "it stands on its shelf or its pile");
    }
    for (width, height) in [(300, 500), (640, 480), (796, 970), (1068, 610), (1300, 700)] {
        let paper = Paper::of(fridge, width, height);
        let pictures = if paper.beside { paper.columns + 1 } else { paper.columns };
        let wide = pictures * paper.px(picture.width) + (pictures - 1) * 20;
        assert!(wide <= width + pictures, "{pictures} pictures take {wide} of {width} px");
        let bar = paper.bar();
        assert!(bar.px.abs_diff(100 * paper.px(bar.length)) <= 100, "the bar is to scale");
    }
}

#[test]
fn the_table_says_what_the_pictures_show() {
    let drawn = full_fridge();
    let view = drawn.view();
    let fridge = view.place(Place::Fridge).expect("a fridge");
    let time = fridge.moments[at_fullest(&view, fridge)].span.start;
    let table = rows(&view, time);
    let shown = |place: &PlaceView| place.moments[place.at(time)].boxes.len();
    assert_eq!(table.len(), view.places.iter().map(shown).sum::<usize>());
    for row in table.iter().filter(|row| row.place == Place::Fridge) {
        assert!(["second shelf", "third shelf"].contains(&row.shelf.as_str()), "{}", row.shelf);
        assert!(!row.outside && row.key.is_some() && row.size.ends_with(" cm"));
        let stand =
            view.stands.iter().find(|stand| (stand.place, stand.key) == (row.place, row.number));
        let stand = stand.expect("the number in the list");
        assert_eq!((&row.from, &row.until, &row.whose), (&stand.since, &stand.until, &stand.whose));
    }
}

#[test]
fn what_is_cleared_for_a_night_is_drawn_as_freed_and_then_as_the_households_again() {
    let mut drawn = full_fridge();
    let (from, until) = (monday().plus_days(4).at(20 * 60), monday().plus_days(5).at(9 * 60));
    let clearing =
        Clearing { place: Place::Fridge, shelf: 0, cleared: Cleared::Whole, from, until };
    drawn.book.kitchen.as_mut().expect("a kitchen").clearings.push(clearing);
    let view = drawn.view();
    let fridge = view.place(Place::Fridge).expect("a fridge");
    let free = |wall: Wall| fridge.moments[fridge.at(view.elapsed(wall))].surfaces[0].free;
    let (width, depth, height) = (470, 330, 180);
    assert_eq!(free(monday().plus_days(4).at(20 * 60 - 1)), None);
    assert_eq!(free(from), Some((width, depth, height)));
    assert_eq!(free(monday().plus_days(5).at(9 * 60 - 1)), Some((width, depth, height)));
    assert_eq!(free(until), None);
    let said = |wall: Wall| view.changes(fridge, fridge.at(view.elapsed(wall))).join(". ");
    assert!(said(from).contains("Cleared for baking: “top shelf”"), "{}", said(from));
    assert!(said(until).contains("The household's again: “top shelf”"), "{}", said(until));
    let counter = view.place(Place::Counter).expect("a counter");
    assert!(!view.changes(counter, counter.at(view.elapsed(from))).join("").contains("Cleared"));
}

#[test]
fn who_works_is_said_where_the_work_zone_is_kept() {
    let drawn = full_fridge();
    let view = drawn.view();
    let counter = view.place(Place::Counter).expect("a counter");
    let words: Vec<String> =
        (0..counter.moments.len()).map(|index| view.work_words(counter, index)).collect();
    assert!(words.iter().any(|words| words.starts_with("Kept for work: ")), "{words:?}");
    let fridge = view.place(Place::Fridge).expect("a fridge");
    assert_eq!(view.work_words(fridge, 0), "");
}

#[test]
fn what_does_not_fit_stands_outside_with_the_reason() {
    let tall = Shelf {
        name: "tall shelf".into(),
        kind: ShelfKind::Shelf,
        width: 330,
        depth: 300,
        height: 300,
        household: Household::Nothing,
    };
    let kitchen = Kitchen { fridge: vec![tall], ..presets()[0].kitchen.clone() };
    let cake = ("tall-layer-cake", 1);
    let drawn = Drawn::of(weekend(&[cake, cake, cake], kitchen));
    let view = drawn.view();
    let fridge = view.place(Place::Fridge).expect("a fridge");
    let worst = fridge.moments.iter().max_by_key(|moment| moment.outside.len()).expect("a moment");
    assert!(!worst.outside.is_empty() && !worst.reason.is_empty());
    let index = fridge.at(worst.span.start);
    assert!(fridge.fill_words(index).contains("not fit"), "{}", fridge.fill_words(index));
    let told = rows(&view, worst.span.start).into_iter().filter(|row| row.outside).count();
    assert_eq!(told, worst.outside.len());
}

#[test]
fn another_plan_is_compared_at_its_fullest_and_every_sitting_to_come_can_be_tried() {
    let drawn = full_fridge();
    let view = drawn.view();
    let empty =
        Drawn { book: drawn.book.clone(), outlook: drawn.outlook.clone(), plan: Plan::default() };
    let [with, without] =
        compare(&view, &empty.view(), Place::Fridge, view.span()).expect("a fridge");
    assert!(with.starts_with("fullest on ") && with.contains('%'), "{with}");
    assert!(without.ends_with(": empty"), "{without}");
    let cakes =
        of_order(&view, &empty.view(), Place::Fridge, OrderId(1)).expect("the cake is chilled");
    let of_cake = |stand: &&Stand| (stand.place, stand.order) == (Place::Fridge, OrderId(1));
    for stand in view.stands.iter().filter(of_cake) {
        assert!(cakes.start <= stand.span.start && stand.span.end <= cakes.end);
    }
    let fridge = view.place(Place::Fridge).expect("a fridge");
    let index = at_fullest_within(&view, fridge, cakes);
    assert!(fridge.moments[index].span.shared(cakes).is_some());
    assert_eq!(of_order(&view, &view, Place::Fridge, OrderId(99)), None);
    let all = drawn.read(movable);
    assert!(all.iter().all(|one| view.now < one.start), "all are to come");
    assert!(all.iter().any(|one| one.words.starts_with("Bake")), "{all:?}");
    assert_eq!(empty.read(movable), []);
}
