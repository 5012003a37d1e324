//! Small random problems: chains of work and rests towards handovers, in a few evenings.

#![allow(dead_code, reason = "every test file uses another part of it")]

use rackweek::plan::{
    Activity, At, Limit, Link, Mode, Plan, Planner, Problem, Resource, Tail, Weights, Worker,
};

/// A small generator of its own (splitmix64), so that a problem has a number.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5DEE_CE66)
    }

    pub(crate) fn roll(&mut self, from: i32, to: i32) -> i32 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        let width = u64::try_from(to - from + 1).expect("not empty");
        from + i32::try_from(z % width).expect("small")
    }

    pub(crate) fn in_hundred(&mut self, percent: i32) -> bool {
        self.roll(0, 99) < percent
    }
}

pub(crate) const DAY: i32 = 96;

/// What to make.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Recipe {
    pub(crate) orders: i32,
    pub(crate) days: i32,
    pub(crate) helper: bool,
    pub(crate) pins: bool,
    /// Slots of an evening.
    pub(crate) evening: i32,
}

impl Default for Recipe {
    fn default() -> Self {
        Self { orders: 2, days: 6, helper: false, pins: false, evening: 14 }
    }
}

pub(crate) fn link(from: &str, to: &str, min: i32, max: Option<i32>) -> Link {
    Link {
        id: format!("{from}>{to}"),
        from: from.into(),
        from_at: At::E,
        to: to.into(),
        to_at: At::S,
        min,
        max,
        store: Vec::new(),
        age_weight: 0,
        modes: Vec::new(),
    }
}

pub(crate) fn random_problem(seed: u64, recipe: Recipe) -> Problem {
    let mut dice = Dice::new(seed);
    let evenings: Vec<(i32, i32)> =
        (0..recipe.days).map(|day| (day * DAY + 74, day * DAY + 74 + recipe.evening)).collect();
    let limits: Vec<Limit> = (0..recipe.days)
        .flat_map(|day| {
            let (from, to) = (day * DAY, (day + 1) * DAY);
            let fine = Some(vec!["fine".to_owned()]);
            [
                Limit { from, to, kinds: None, max: i64::from(recipe.evening - 2) },
                Limit { from, to, kinds: fine, max: 8 },
            ]
        })
        .collect();
    let worker = |id: &str, windows: Vec<(i32, i32)>, limits: Vec<Limit>| Worker {
        id: id.into(),
        soft: windows.iter().map(|w| i64::from((w.1 - w.0) * 3 / 4)).collect(),
        windows,
        limits,
    };
    let mut workers = vec![worker("baker", evenings.clone(), limits)];
    let mut who = vec!["baker".to_owned()];
    if recipe.helper {
        workers.push(worker("helper", evenings.iter().skip(2).take(1).copied().collect(), vec![]));
        who.push("helper".into());
    }
    let mut problem = Problem {
        format: "makeahead-sched/2".into(),
        name: format!("random {seed}"),
        grid_minutes: 15,
        slots_per_day: 96,
        horizon: recipe.days * DAY,
        calendars: [("home".to_owned(), evenings)].into(),
        workers,
        resources: vec![
            Resource { id: "oven".into(), capacity: 2, load_weight: 0, busy: vec![] },
            Resource { id: "fridge".into(), capacity: 8, load_weight: 2, busy: vec![(0, DAY, 3)] },
            Resource { id: "rack".into(), capacity: 6, load_weight: 0, busy: vec![] },
        ],
        activities: vec![],
        links: vec![],
        weights: Weights { late: 10, load: 1, age: 1, evening: 20, stability: 5, mode: 30 },
    };
    for order in 0..recipe.orders {
        one_order(&mut problem, &mut dice, recipe, &who, order);
    }
    problem.validate().expect("valid");
    problem
}

fn one_order(problem: &mut Problem, dice: &mut Dice, recipe: Recipe, who: &[String], order: i32) {
    let id = |what: &str| format!("o{order}.{what}");
    let work = |what: &str, segments: Vec<i32>, kind: &str, workers: &[String]| Activity {
        id: id(what),
        order: Some(format!("o{order}")),
        kind: Some(kind.into()),
        segments,
        workers: workers.to_vec(),
        ..Activity::default()
    };
    let handover = dice.roll(recipe.days - 2, recipe.days - 1) * DAY + dice.roll(36, 80);
    let mut mix = work("mix", vec![dice.roll(2, 4)], "plain", who);
    mix.earliest = Some(dice.roll(0, 1) * DAY);
    let mut bake = work("bake", vec![dice.roll(2, 5)], "oven", &[]);
    bake.within = Some("home".into());
    bake.uses = vec![("oven".into(), i64::from(dice.roll(1, 2)))];
    let mut fine = work("fine", vec![dice.roll(2, 5), dice.roll(2, 4)], "fine", &who[..1]);
    fine.gap_max = Some(DAY * 2);
    fine.hold = vec![("rack".into(), 2)];
    fine.due = Some(handover - DAY);
    fine.late_weight = 1;
    let box_up = work("box", vec![dice.roll(1, 3)], "plain", who);
    let mut leaves = work("handover", vec![0], "handover", &[]);
    leaves.earliest = Some(handover);
    leaves.latest = Some(handover);
    leaves.due = Some(handover);
    leaves.late_weight = 50;
    if recipe.pins && dice.in_hundred(50) {
        let evening = dice.roll(1, recipe.days - 3);
        let start = evening * DAY + 74 + dice.roll(0, recipe.evening - 6);
        mix.pin = Some(vec![start]);
    }
    let mut dry = link(&id("fine"), &id("box"), dice.roll(4, 20), Some(DAY * 3));
    dry.store = vec![("rack".into(), 2)];
    let amount = i64::from(dice.roll(1, 4));
    let mut cool = link(&id("bake"), &id("fine"), 4, None);
    cool.modes = vec![
        Mode {
            name: "fridge".into(),
            min: 4,
            max: Some(DAY * 2),
            store: vec![("fridge".into(), amount)],
            age_weight: 1,
            ..Mode::default()
        },
        Mode {
            name: "frozen".into(),
            min: 24,
            max: None,
            tail: Some(Tail { len: 8, store: vec![("rack".into(), 1)] }),
            cost: 3,
            ..Mode::default()
        },
    ];
    let mut keep = link(&id("box"), &id("handover"), 4, Some(DAY * dice.roll(1, 2)));
    keep.store = vec![("fridge".into(), amount)];
    keep.age_weight = 2;
    problem.links.extend([link(&id("mix"), &id("bake"), 0, Some(4)), cool, dry, keep]);
    problem.activities.extend([mix, bake, fine, box_up, leaves]);
}

/// A plan after so many evaluations.
pub(crate) fn planned(problem: &Problem, evaluations: u64) -> Plan {
    let mut planner = Planner::new(problem, 1).expect("valid");
    planner.improve(evaluations);
    planner.plan()
}
