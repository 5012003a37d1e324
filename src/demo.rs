//! The demo scenario: an invented baker, her kitchen, and two weeks of orders for one themed table
//! and its neighbours.
//!
//! In: a moment. Out: a whole book, to look around in without typing. Everybody in it is invented.

use std::collections::BTreeMap;

use crate::calendar::{
    Date, DayLimits, Exception, ExceptionKind, MyTime, Rhythm, TimeOfDay, Wall, Weekday, WeeklySpan,
};
use crate::kitchen::{Boxes, Counter, Household, Kitchen, Oven, Rack, Shelf, ShelfKind, Warmth};
use crate::order::{Handover, HandoverWay, Item, ItemId, Order, OrderId, Stage};
use crate::plan::arrange::map_of;
use crate::record::{Book, Settings};

/// A book with orders over the two weeks from the Monday of `now`, or from the next one if the week is
/// no longer young.
pub fn demo(now: Wall) -> Book {
    let today = now.date();
    let monday = match today.weekday() {
        Weekday::Mon | Weekday::Tue => today.monday(),
        _ => today.monday().plus_days(7),
    };
    let orders = orders(monday);
    let given = orders.iter().map(|order| order.id.0).max().unwrap_or(0);
    Book {
        kitchen: Some(kitchen()),
        time: Some(time(monday)),
        orders: map_of(orders.into_iter().map(|order| (order.id, order))),
        settings: Settings { orders_given: given, ..Settings::default() },
        ..Book::default()
    }
}

fn kitchen() -> Kitchen {
    let shelf = |name: &str, [width, depth, height]: [u16; 3], strip| Shelf {
        name: name.to_owned(),
        kind: if name.ends_with("er drawer") { ShelfKind::Drawer } else { ShelfKind::Shelf },
        width,
        depth,
        height,
        household: Household::strip(width, strip),
    };
    Kitchen {
        fridge: vec![
            shelf("top shelf", [480, 330, 190], 240),
            shelf("middle shelf", [480, 330, 220], 288),
            shelf("tall shelf", [480, 330, 300], 192),
            shelf("above the drawer", [480, 300, 150], 384),
        ],
        freezer: vec![
            shelf("upper drawer", [400, 330, 170], 200),
            shelf("lower drawer", [400, 330, 200], 280),
        ],
        racks: vec![Rack {
            name: "drying rack".to_owned(),
            levels: 10,
            tray_width: 450,
            tray_depth: 330,
        }],
        counter: Counter { width: 2000, depth: 600, work_zone: 900 },
        room: vec![
            shelf("sideboard", [1000, 400, 350], 300),
            shelf("hall cupboard", [800, 400, 300], 400),
        ],
        oven: Oven { decks: 2, trays_per_deck: 1 },
        mixers: 1,
        clearings: Vec::new(),
        boxes: Boxes::usual(),
        warmth: Warmth::default(),
    }
}

fn time(monday: Date) -> MyTime {
    let at = |hour: u16, minute: u16| TimeOfDay(hour * 60 + minute);
    let day = |days: i64| monday.plus_days(days);
    MyTime {
        day_job: vec![WeeklySpan {
            label: "harbour office".to_owned(),
            days: Weekday::WORKDAYS.to_vec(),
            start: at(8, 30),
            end: at(16, 30),
            away: true,
        }],
        travel: 30,
        bedtime: at(22, 45),
        wake: at(6, 30),
        settle: 30,
        rhythm: Rhythm::default(),
        family: vec![
            WeeklySpan {
                label: "supper".to_owned(),
                days: Weekday::WORKDAYS.to_vec(),
                start: at(18, 0),
                end: at(18, 45),
                away: false,
            },
            WeeklySpan {
                label: "choir".to_owned(),
                days: vec![Weekday::Tue],
                start: at(19, 30),
                end: at(21, 0),
                away: true,
            },
            WeeklySpan {
                label: "Sunday table".to_owned(),
                days: vec![Weekday::Sun],
                start: at(12, 0),
                end: at(14, 30),
                away: false,
            },
        ],
        exceptions: vec![
            Exception {
                id: 1,
                date: day(3),
                kind: ExceptionKind::Busy { start: at(18, 30), end: at(20, 30), away: true },
                label: "parents' evening".to_owned(),
            },
            Exception {
                id: 2,
                date: day(11),
                kind: ExceptionKind::DayOff,
                label: "off on Friday".to_owned(),
            },
        ],
        limits: DayLimits { hands_on_workday: 180, hands_on_free_day: 390, fine: 135 },
    }
}

fn orders(monday: Date) -> Vec<Order> {
    let at = |days: i64, hour: u16, minute: u16| monday.plus_days(days).at(hour * 60 + minute);
    vec![
        Order {
            id: OrderId(1),
            client: "Perrin Vale".to_owned(),
            theme: "Tea with the harbour master".to_owned(),
            handover: Handover { at: at(5, 15, 0), way: HandoverWay::Collection },
            items: vec![item(
                1,
                "cupcakes",
                (12, 1),
                &[("colours", 2)],
                "Sea green and cream swirls",
            )],
            ..blank()
        },
        Order {
            id: OrderId(2),
            client: "Juno Hollis".to_owned(),
            theme: "Night ferry".to_owned(),
            handover: Handover { at: at(9, 18, 30), way: HandoverWay::Collection },
            items: vec![item(
                1,
                "decorated-cookies",
                (18, 2),
                &[("size", 80), ("colours", 3), ("dark-next-to-pale", 1)],
                "Dark hulls beside pale foam: the base dries a whole day",
            )],
            notes: "Bring the small handled bags".to_owned(),
            ..blank()
        },
        Order {
            id: OrderId(3),
            client: "Ottoline Marsh".to_owned(),
            theme: "Moonlight harbour".to_owned(),
            handover: Handover {
                at: at(12, 14, 0),
                way: HandoverWay::Delivery { travel: 25, place: "The boathouse".to_owned() },
            },
            items: vec![
                item(
                    1,
                    "decorated-cookies",
                    (24, 4),
                    &[("colours", 3), ("deep-colour", 1), ("lettering", 6)],
                    "Lanterns, ropes and a midnight sky in deep black; six with names",
                ),
                item(2, "cake-pops", (24, 3), &[("colours", 2)], "Little moons, silver and slate"),
                item(
                    3,
                    "tall-layer-cake",
                    (1, 0),
                    &[("supports", 1), ("lettering", 1)],
                    "A lighthouse, striped halfway up",
                ),
                item(4, "moulded-chocolate-shells", (16, 2), &[("size", 40)], "Around the board"),
            ],
            allergies: "One guest: no peanuts".to_owned(),
            agreed: "Chocolate without peanuts bought; its label says so".to_owned(),
            notes: "The table is 180 cm long, dark blue cloth".to_owned(),
            ..blank()
        },
        Order {
            id: OrderId(4),
            client: "Tamsin Rook".to_owned(),
            theme: "Pearl fishers".to_owned(),
            handover: Handover { at: at(13, 16, 0), way: HandoverWay::Collection },
            items: vec![
                item(1, "moulded-chocolate-shells", (24, 3), &[("colours", 2)], "Mother-of-pearl"),
                item(2, "cupcakes", (12, 1), &[], "One pearl on each"),
            ],
            ..blank()
        },
        Order {
            id: OrderId(5),
            client: "Wendel Fairweather".to_owned(),
            theme: "Lamp walk".to_owned(),
            handover: Handover { at: at(18, 17, 0), way: HandoverWay::Collection },
            items: vec![item(
                1,
                "tall-layer-cake",
                (1, 0),
                &[("diameter", 180), ("layers", 3), ("first-time", 1)],
                "Paper lanterns in a row",
            )],
            notes: "Wants to know by Friday".to_owned(),
            stage: Stage::Enquiry,
            ..blank()
        },
    ]
}

fn blank() -> Order {
    let handover = Handover { at: Wall::from_as_if_utc(0), way: HandoverWay::Collection };
    Order { stage: Stage::Confirmed, ..Order::new(OrderId(0), String::new(), handover) }
}

fn item(
    id: u32,
    card: &str,
    (count, spares): (u32, u32),
    options: &[(&str, i64)],
    notes: &str,
) -> Item {
    let options = map_of(options.iter().map(|(id, value)| ((*id).to_owned(), *value)));
    Item {
        id: ItemId(id),
        card: card.to_owned(),
        count,
        spares,
        options,
        notes: notes.to_owned(),
        versions: BTreeMap::new(),
    }
}
