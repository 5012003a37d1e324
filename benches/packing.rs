//! How fast, and how often, packing questions of a domestic fridge are answered.
//!
//! `cargo bench --bench packing` prints, for random and adversarial sets of at most 12 piles on at most
//! 6 shelves, the time and search nodes at the default node limit; then it compares 100,000 tiny
//! questions with the brute-force twin of the tests. `-- QUESTIONS TWINS` changes the two numbers.
//! The goal is 20 ms for 95 of 100 questions. Last, the demo's week is planned until it is packed, on each day
//! of the week: the goal is 20 ms for asking of a plan what does not stand together when nothing is known yet.
#![expect(clippy::print_stdout, reason = "a benchmark prints")]

#[cfg(not(target_arch = "wasm32"))]
#[path = "../tests/packing_twin/mod.rs"]
mod packing_twin;

#[cfg(target_arch = "wasm32")]
fn main() {}

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    native::run();
}

#[cfg(not(target_arch = "wasm32"))]
mod native {
    use std::time::Instant;

    use rackweek::calendar::{Date, Zone};
    use rackweek::demo::demo;
    use rackweek::kitchen::packing::{Answer, NODE_LIMIT, PackProblem, pack_counting, verify};
    use rackweek::kitchen::stow::Stower;
    use rackweek::record::{Outlook, PackedPlanner, PlanInput};

    use crate::packing_twin::{Dice, brute_force, question, tiny};

    type Make = fn(&mut Dice) -> PackProblem;

    pub(crate) fn run() {
        let mut numbers = std::env::args().filter_map(|arg| arg.parse::<usize>().ok());
        let questions = numbers.next().unwrap_or(300);
        let twins = numbers.next().unwrap_or(100_000);
        println!(
            "{questions} questions each, node limit {NODE_LIMIT}; yes/no/not proven, ms and nodes"
        );
        println!(
            "set                     yes   no open    p50 ms  p95 ms  max ms  p95 nodes  max nodes"
        );
        let sets: [(&str, Make); 9] = [
            ("family fridge", family),
            ("mixed, 50-75 % full", |dice| mixed(dice, 50, 75)),
            ("mixed, 75-90 % full", |dice| mixed(dice, 75, 90)),
            ("mixed, 90-100 % full", |dice| mixed(dice, 90, 100)),
            ("one shelf, 80-95 % full", one_shelf),
            ("large beside large", large),
            ("cut up without waste", |dice| cut_up(dice, 0, 0)),
            ("cut up, 5 mm shaved off", |dice| cut_up(dice, 5, 0)),
            ("cut up, two sides off", |dice| cut_up(dice, 1, 2)),
        ];
        for (name, make) in sets {
            measure(name, questions, make);
        }
        let mut dice = Dice(2026);
        let (mut yes, mut apart) = (0, 0);
        let begun = Instant::now();
        for _ in 0..twins {
            let problem = tiny(&mut dice);
            let fits = matches!(answer(&problem).0, Answer::Fits(_));
            yes += usize::from(fits);
            apart += usize::from(fits != brute_force(&problem));
        }
        println!(
            "twin: {twins} tiny questions compared in {} s, {yes} fit, {apart} disagree",
            begun.elapsed().as_secs()
        );
        assert_eq!(apart, 0, "the search and its twin disagree");
        weeks();
    }

    /// The demo on each day: how the first packed plan was found, and what asking and stowing take.
    fn weeks() {
        println!(
            "day  activities  stays  rounds  cuts  questions  nodes  first plan ms  ask ms  again ms  stow ms"
        );
        let monday = Date::new(2027, 2, 1).expect("a date");
        for day in 0..7 {
            let now = monday.plus_days(day).at(12 * 60);
            let input = PlanInput { now, zone: Zone::fixed("kitchen", 0) };
            let assembled = Outlook::of(&demo(now), &input).expect("all set up").assembled;
            let (problem, standings) = (&assembled.problem, assembled.standings.as_ref());
            let begun = Clock::start();
            let mut planner = PackedPlanner::new(problem, 1, standings, None).expect("sound");
            while planner.improve(1).objective.is_none() {}
            let first = begun.micros();
            let standings = standings.expect("a kitchen");
            let stays = standings.stays(problem, &planner.plan());
            let stays: Vec<_> = stays.into_iter().map(|(_, stay)| stay).collect();
            let mut stower = Stower::new(&standings.kitchen, &standings.horizon, NODE_LIMIT);
            let mut timed = |what: &mut dyn FnMut(&mut Stower)| {
                let begun = Clock::start();
                what(&mut stower);
                ms(begun.micros())
            };
            let ask = timed(&mut |stower| assert!(stower.unfit(&stays).is_empty()));
            let again = timed(&mut |stower| assert!(stower.unfit(&stays).is_empty()));
            let stow = timed(&mut |stower| assert_eq!(stower.stow(&stays).len(), 5));
            let spent = planner.spent();
            println!(
                "{day:>3}  {:>10}  {:>5}  {:>6}  {:>4}  {:>9}  {:>5}  {:>13}  {ask:>6}  {again:>8}  {stow:>7}",
                problem.activities.len(),
                stays.len(),
                spent.rounds,
                spent.cuts,
                spent.packings,
                spent.nodes,
                ms(first),
            );
        }
    }

    fn ms(micros: u128) -> String {
        format!("{}.{:02}", micros / 1000, micros % 1000 / 10)
    }

    /// Time on the processor where the system tells it (Linux), else by the wall clock.
    struct Clock {
        wall: Instant,
        on_processor: Option<u128>,
    }

    impl Clock {
        fn start() -> Self {
            Self { wall: Instant::now(), on_processor: Self::on_processor() }
        }

        fn micros(&self) -> u128 {
            match (self.on_processor, Self::on_processor()) {
                (Some(before), Some(now)) => (now - before) / 1000,
                _ => self.wall.elapsed().as_micros(),
            }
        }

        /// Nanoseconds, the first number of the scheduler's statistics; yielding brings it up to date.
        fn on_processor() -> Option<u128> {
            std::thread::yield_now();
            let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
            text.split_whitespace().next()?.parse().ok()
        }
    }

    fn answer(problem: &PackProblem) -> (Answer, u64) {
        let (answer, nodes) = pack_counting(problem, NODE_LIMIT);
        if let Answer::Fits(placed) = &answer {
            let breaches = verify(problem, placed);
            assert!(breaches.is_empty(), "{breaches:?}");
        }
        (answer, nodes)
    }

    fn measure(name: &str, questions: usize, make: Make) {
        let mut dice = Dice(7);
        let (mut times, mut nodes, mut ends) = (Vec::new(), Vec::new(), [0; 3]);
        for _ in 0..questions {
            let problem = make(&mut dice);
            problem.validate().expect("a valid question");
            let begun = Clock::start();
            let (answer, used) = answer(&problem);
            times.push(begun.micros());
            nodes.push(used);
            ends[match answer {
                Answer::Fits(_) => 0,
                Answer::Impossible(_) => 1,
                Answer::NotProven { .. } => 2,
            }] += 1;
        }
        times.sort_unstable();
        nodes.sort_unstable();
        let share = |per_cent: usize| (times.len() - 1) * per_cent / 100;
        println!(
            "{name:<23} {:>4} {:>4} {:>4}  {:>8} {:>7} {:>7} {:>10} {:>10}",
            ends[0],
            ends[1],
            ends[2],
            ms(times[share(50)]),
            ms(times[share(95)]),
            ms(times[share(100)]),
            nodes[share(95)],
            nodes[share(100)],
        );
    }

    /// Up to 6 shelves of one fridge: one floor, two or three heights.
    fn fridge(dice: &mut Dice) -> Vec<(u32, u32, u32)> {
        let (width, depth) = (dice.roll(420, 560), dice.roll(280, 350));
        let drawer = (width - dice.roll(0, 40), depth - dice.roll(60, 100), 160);
        let mut shelves: Vec<_> =
            (0..dice.roll(1, 5)).map(|_| (width, depth, dice.roll(7, 13) * 20)).collect();
        if dice.roll(0, 1) == 1 {
            shelves.push(drawer);
        }
        shelves
    }

    /// Cake boxes, trays, tubs and piles of small boxes as a baker has them.
    fn family(dice: &mut Dice) -> PackProblem {
        let shelves = fridge(dice);
        let goods = [
            (260, 260, 200, 1),
            (310, 310, 220, 1),
            (205, 205, 150, 2),
            (230, 230, 130, 1),
            (400, 300, 60, 2),
            (180, 130, 90, 3),
            (140, 140, 110, 2),
            (240, 170, 60, 4),
            (90, 250, 60, 2),
        ];
        let mut kinds = Vec::new();
        let mut piles = 0;
        while piles < 12 && kinds.len() < 6 {
            let (width, depth, height, pile) = goods[dice.roll(0, 8) as usize];
            let count = dice.roll(1, 4);
            piles += count.div_ceil(pile);
            if piles <= 12 {
                kinds.push((width, depth, height, pile, count));
            }
            if dice.roll(0, 5) == 0 {
                break;
            }
        }
        question(&shelves, &kinds)
    }

    /// Boxes of all sizes until the shelves are so full.
    fn mixed(dice: &mut Dice, least: u32, most: u32) -> PackProblem {
        let shelves = fridge(dice);
        let floor: u32 = shelves.iter().map(|(w, d, _)| w * d).sum();
        let wanted = u64::from(floor) * u64::from(dice.roll(least, most)) / 100;
        fill(dice, &shelves, wanted, 12)
    }

    fn fill(dice: &mut Dice, shelves: &[(u32, u32, u32)], wanted: u64, most: usize) -> PackProblem {
        // Twelve bases of about the same share each come near to what is wanted.
        let share = u32::try_from(wanted / most as u64).expect("small");
        let side = share.isqrt().clamp(60, 270);
        let mut kinds = Vec::new();
        let mut area = 0;
        while kinds.len() < most {
            let width = dice.roll(side * 6 / 10, side * 16 / 10).min(400);
            let depth = dice.roll(side * 6 / 10, side * 13 / 10).min(270);
            if area + u64::from(width * depth) > wanted {
                break;
            }
            area += u64::from(width * depth);
            kinds.push((width, depth, dice.roll(60, 160), 1, 1));
        }
        question(shelves, &kinds)
    }

    /// Six to ten boxes, all on one shelf.
    fn one_shelf(dice: &mut Dice) -> PackProblem {
        let shelf = (dice.roll(420, 560), dice.roll(280, 350), 200);
        let wanted = u64::from(shelf.0 * shelf.1) * u64::from(dice.roll(80, 95)) / 100;
        let most = dice.roll(6, 10) as usize;
        fill(dice, &[shelf], wanted, most)
    }

    /// Boxes of about half a shelf's sides, so that it is the geometry that decides.
    fn large(dice: &mut Dice) -> PackProblem {
        let (width, depth) = (dice.roll(420, 560), dice.roll(280, 350));
        let shelves: Vec<_> = (0..dice.roll(2, 6)).map(|_| (width, depth, 200)).collect();
        let kinds: Vec<_> = (0..dice.roll(6, 12))
            .map(|_| {
                (
                    dice.roll(width * 3 / 10, width * 6 / 10),
                    dice.roll(depth * 3 / 10, depth * 6 / 10),
                    100,
                    1,
                    1,
                )
            })
            .collect();
        question(&shelves, &kinds)
    }

    /// Shelves cut into pieces by straight cuts: pieces fit without waste, or with `shave` mm off each
    /// side; then `longer` mm are added to a side of two pieces.
    fn cut_up(dice: &mut Dice, shave: u32, longer: u32) -> PackProblem {
        let shelves: Vec<_> =
            (0..dice.roll(1, 3)).map(|_| (dice.roll(420, 560), dice.roll(280, 350), 200)).collect();
        let mut pieces: Vec<(u32, u32)> = shelves.iter().map(|&(w, d, _)| (w, d)).collect();
        while pieces.len() < 12 {
            pieces.sort_by_key(|&(w, d)| w * d);
            let Some((w, d)) = pieces.pop() else { break };
            let share = dice.roll(30, 70);
            if w >= d {
                let cut = w * share / 100;
                pieces.extend([(cut, d), (w - cut, d)]);
            } else {
                let cut = d * share / 100;
                pieces.extend([(w, cut), (w, d - cut)]);
            }
        }
        let kinds: Vec<_> = pieces
            .iter()
            .enumerate()
            .map(|(index, &(w, d))| {
                let more = if index < 2 { longer } else { 0 };
                (w - shave + more, d - shave, 100, 1, 1)
            })
            .collect();
        question(&shelves, &kinds)
    }
}
