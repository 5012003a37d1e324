//! From the book at a moment to the planner's input, and from its answer to what the week shows.

use std::collections::BTreeMap;

use super::command::order_of;
use super::went::Went;
use super::{Book, Shown};
use crate::breakdown::{
    Assembled, Assembly, Cut, Longest, Note, Step, StepId, Work, assemble, break_down_within,
};
use crate::calendar::{Date, Elapsed, Horizon, MyTime, Span, Wall, Windows, Zone};
use crate::card::Card;
use crate::order::{HandoverWay, Order};
use crate::plan::Plan;
use crate::plan::arrange::{Arrange, map_of};

/// Fewest days planned from this week's Monday on.
const DAYS_MIN: i64 = 14;
/// Most days planned; handovers beyond them are planned when they come nearer.
const DAYS_MAX: i64 = 70;
/// How long before this week's Monday a step may have begun and still be seen.
const DAYS_BACK_MAX: i64 = 35;
/// Days after the last handover that are still planned.
const DAYS_AFTER: i64 = 7;
/// Steps are not cut for sittings shorter than this, in minutes, unless a day's limit is.
const SITTING_MIN: u32 = 60;

/// How far a start and a length may grow together by rounding, in minutes.
const ROUNDING: i32 = 30;

/// The moment and place in time at which a plan is asked for; the shell supplies both.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlanInput {
    /// What the clock shows.
    pub now: Wall,
    /// The zone's offsets from before the horizon to after it.
    pub zone: Zone,
}

/// All that is derived from the book before planning.
#[derive(Debug, Clone)]
pub struct Outlook {
    /// The days planned, from a Monday: this week's, or an earlier one if a step of an order that is
    /// still planned began then. They end a week after the last handover, at least 14 days after this
    /// week's Monday, and are 70 at most.
    pub horizon: Horizon,
    /// Free and busy.
    pub windows: Windows,
    /// What there is to do. Its notes also say which orders are not planned, and which pins no longer
    /// hold.
    pub work: Work,
    /// The problem.
    pub assembled: Assembled,
    /// The minutes that were reckoned for each sitting of the steps that were begun: `work` has their real ones.
    pub reckoned: BTreeMap<StepId, Vec<u32>>,
}

impl Outlook {
    /// Derives everything; none while kitchen or time are not set up.
    ///
    /// Fixed are the steps that are pinned or ticked, and those that the plan shown last began before
    /// now: the past stays where it was. A step in several sittings that has begun keeps the later
    /// ones too, until she moves them. Pins that can no longer hold become notes.
    ///
    /// Where she noted what really happened, that holds: done and running sittings stand at their real times
    /// with their real lengths, what is left is placed anew, and so is all that she said had not happened.
    pub fn of(book: &Book, input: &PlanInput) -> Option<Self> {
        let (kitchen, time) = (book.kitchen.as_ref()?, book.time.as_ref()?);
        let this_monday = input.now.date().monday();
        let mut notes = Vec::new();
        let orders = orders_in_reach(book, this_monday, &mut notes);
        let horizon = horizon(book, &orders, this_monday, &input.zone);
        let windows = Windows::of(time, &horizon, &deliveries(&orders, &horizon));

        let cards = book.cards_in_force();
        let known: Vec<&Card> = cards.iter().collect();
        let mut work =
            break_down_within(&orders, &known, kitchen, longest_sittings(time), &book.margins);
        let went = Went::of(book, &mut work, &horizon, horizon.elapsed(input.now));
        let now = went.now;
        let fixed = fixed(book, &work, &horizon, &went, &mut notes);
        let shown = match &book.shown {
            Some(shown) => placed(&work, &horizon, &shown.starts),
            None => BTreeMap::new(),
        };
        work.notes.append(&mut notes);
        let assembled = assemble(&Assembly {
            work: &work,
            kitchen,
            time,
            windows: &windows,
            horizon: &horizon,
            now,
            safety_margin: book.settings.safety_margin,
            fixed: &fixed,
            begun: &went.begun,
            shown: &shown,
        });
        // What the kitchen cannot give is told where everything else is told.
        work.notes.extend(assembled.notes.iter().cloned());
        Some(Self { horizon, windows, work, assembled, reckoned: went.reckoned })
    }

    /// The same with what was found not to stand together.
    #[must_use]
    pub fn with_cuts(&self, cuts: &[Cut]) -> Self {
        let mut with = self.clone();
        if let Some(standings) = &self.assembled.standings {
            for (number, cut) in cuts.iter().enumerate() {
                cut.add_to(&mut with.assembled.problem, standings, number);
            }
        }
        with.assembled.cuts = cuts.to_vec();
        with
    }

    /// What to remember of a plan made for this outlook, on the wall clock.
    pub fn shown_from(&self, plan: &Plan) -> Shown {
        let placed = self.assembled.starts(plan);
        let known = self.work.steps.iter().filter_map(|step| {
            let starts = placed.get(&step.id)?;
            Some((step.id.clone(), starts.iter().map(|start| self.horizon.wall(*start)).collect()))
        });
        Shown { starts: map_of(known), modes: plan.modes.clone() }
    }
}

/// The longest sittings that an ordinary week allows.
///
/// They follow from the weekly habit alone, not from exceptions or from the hour, so that a step is cut
/// in the same way today and tomorrow: four of five free windows, each no longer than its day's limit
/// allows, may be shorter. An hour at least, unless the limits themselves are shorter.
pub(super) fn longest_sittings(time: &MyTime) -> Longest {
    let habit = MyTime { exceptions: Vec::new(), ..time.clone() };
    // Any week without a clock change will do.
    let monday = Date::new(2026, 1, 5).unwrap_or(Date(chrono::NaiveDate::MIN)).monday();
    let week = Horizon::from_monday_of(monday, 7, Zone::fixed("habit", 0));
    let mut minutes: Vec<u32> = Windows::of(&habit, &week, &[])
        .free
        .iter()
        .map(|span| {
            let limit = habit.hands_on_limit(week.date(week.day_of(span.start)));
            u32::try_from(span.minutes()).unwrap_or(0).min(u32::from(limit))
        })
        .collect();
    minutes.arrange();
    let at = (minutes.len() * 4 / 5).min(minutes.len().saturating_sub(1));
    let limits = &time.limits;
    let most = u32::from(limits.hands_on_workday.max(limits.hands_on_free_day));
    let hands_on = minutes.get(at).copied().unwrap_or(0).max(SITTING_MIN).min(most);
    let fine = hands_on.min(u32::from(limits.fine));
    Longest { hands_on, fine }
}

/// The planned orders whose handover lies neither before this week nor too far ahead; the others get
/// a note.
fn orders_in_reach<'a>(book: &'a Book, this_monday: Date, notes: &mut Vec<Note>) -> Vec<&'a Order> {
    let last = this_monday.plus_days(DAYS_MAX - 1 - DAYS_AFTER);
    let mut within = Vec::new();
    for order in book.orders.values().filter(|order| order.is_planned()) {
        let date = order.handover.at.date();
        let text = if date < this_monday {
            format!(
                "The handover was on {date}, before this week, so it is no longer planned; mark it as \
                 handed over, or give it a new date"
            )
        } else if date > last {
            let from = date.plus_days(DAYS_AFTER + 1 - DAYS_MAX).monday();
            let from = if from.plus_days(DAYS_MAX - 1 - DAYS_AFTER) < date {
                from.plus_days(7)
            } else {
                from
            };
            format!("The handover on {date} is far ahead; its steps are placed from {from} on")
        } else {
            within.push(order);
            continue;
        };
        notes.push(Note { order: order.id, item: None, text, problem: date < this_monday });
    }
    within
}

fn horizon(book: &Book, orders: &[&Order], this_monday: Date, zone: &Zone) -> Horizon {
    let planned =
        |step: &StepId| order_of(step).is_some_and(|id| orders.iter().any(|order| order.id == id));
    let pinned = book.pins.iter().map(|(step, pin)| (step, &pin.starts));
    let shown = book.shown.iter().flat_map(|shown| &shown.starts);
    let went = book.progress.iter().filter(|(step, _)| planned(step));
    let went = went
        .filter_map(|(_, progress)| progress.sittings.first())
        .map(|worked| zone.to_wall(worked.began().div_euclid(60)).date().monday());
    let begun = pinned
        .chain(shown)
        .filter(|(step, _)| planned(step))
        .filter_map(|(_, starts)| starts.first())
        .map(|start| start.date().monday())
        .chain(went)
        .min();
    let last = orders.iter().map(|order| order.handover.at.date()).max();
    let end = last
        .map_or(this_monday, |date| date.plus_days(DAYS_AFTER + 1))
        .max(this_monday.plus_days(DAYS_MIN));
    let end = if end.monday() < end { end.monday().plus_days(7) } else { end };
    // Looking back is given up before looking ahead.
    let earliest = this_monday.plus_days(-DAYS_BACK_MAX).max(end.plus_days(-DAYS_MAX));
    let start = begun.unwrap_or(this_monday).max(earliest).min(this_monday);
    let days = end.days_since(start).clamp(7, DAYS_MAX);
    Horizon::from_monday_of(start, u16::try_from(days).unwrap_or(7), zone.clone())
}

/// The spans on the road, there and back.
fn deliveries(orders: &[&Order], horizon: &Horizon) -> Vec<(Span, String)> {
    let of = |order: &&Order| {
        let HandoverWay::Delivery { travel, .. } = order.handover.way else { return None };
        let start = horizon.elapsed(order.handover.leaves());
        let end = horizon.elapsed(order.handover.at).plus(i32::from(travel));
        Some((Span::new(start, end), format!("delivery {}", order.mark())))
    };
    orders.iter().filter_map(of).collect()
}

/// The starts of steps that exist and still have as many sittings, in elapsed time.
fn placed(
    work: &Work,
    horizon: &Horizon,
    starts: &BTreeMap<StepId, Vec<Wall>>,
) -> BTreeMap<StepId, Vec<Elapsed>> {
    let steps = work.steps.iter().filter_map(|step| {
        let starts = starts.get(&step.id).filter(|starts| starts.len() == step.sittings.len())?;
        Some((step.id.clone(), starts.iter().map(|start| horizon.elapsed(*start)).collect()))
    });
    map_of(steps)
}

/// What the planner may not move.
fn fixed(
    book: &Book,
    work: &Work,
    horizon: &Horizon,
    went: &Went,
    notes: &mut Vec<Note>,
) -> BTreeMap<StepId, Vec<Elapsed>> {
    let now = went.now;
    let mut fixed = match &book.shown {
        Some(shown) => placed(work, horizon, &shown.starts),
        None => BTreeMap::new(),
    };
    let within = |step: &Step, starts: &[Elapsed]| {
        starts.last() < Some(&now) || ends_within(step, starts, horizon.len())
    };
    // What she says has not happened by then has not, whatever the plan had for it.
    let open_at = |step: &StepId| {
        let at = book.progress.get(step).and_then(|progress| progress.open_at);
        at.map(|at| horizon.at_utc(at.div_euclid(60)))
    };
    fixed.retain(|step, starts| {
        let first = starts.first().filter(|start| **start < now);
        first.is_some_and(|start| open_at(step).is_none_or(|open| open <= *start))
    });
    for step in &work.steps {
        // The days planned end earlier than they did: what has begun is taken up anew.
        if fixed.get(&step.id).is_some_and(|starts| !within(step, starts)) {
            fixed.remove(&step.id);
        }
    }
    for step in &work.steps {
        let pin = book.pins.get(&step.id);
        if let Some(starts) = went.begun.get(&step.id)
            && pin.is_none_or(|pin| !pin.done)
        {
            fixed.remove(&step.id);
            if went.whole(step) {
                fixed.insert(step.id.clone(), starts.clone());
            }
            continue;
        }
        let Some(pin) = pin else { continue };
        let starts: Vec<Elapsed> = pin.starts.iter().map(|start| horizon.elapsed(*start)).collect();
        if pin.done {
            fixed.insert(step.id.clone(), behind(starts, step, now));
            continue;
        }
        let why = if starts.len() != step.sittings.len() {
            format!(
                "in {} and now takes {}",
                sittings_words(starts.len()),
                sittings_words(step.sittings.len())
            )
        } else if !within(step, &starts) {
            "after the last day that is planned now".to_owned()
        } else {
            fixed.insert(step.id.clone(), starts);
            continue;
        };
        fixed.remove(&step.id);
        let text = format!(
            "“{}” was pinned {why}, so it is placed anew; pin it again if it matters",
            step.name
        );
        notes.push(Note { order: step.order, item: Some(step.item), text, problem: false });
    }
    fixed
}

/// Whether all sittings end before a moment, with a margin for rounding to the planner's grid.
fn ends_within(step: &Step, starts: &[Elapsed], end: Elapsed) -> bool {
    starts.iter().zip(&step.sittings).all(|(start, minutes)| {
        let minutes = i32::try_from(*minutes).unwrap_or(i32::MAX);
        start.plus(minutes.saturating_add(ROUNDING)) <= end
    })
}

fn sittings_words(count: usize) -> String {
    if count == 1 { "1 sitting".to_owned() } else { format!("{count} sittings") }
}

/// What is ticked off is over, even if it was ticked before its time had come.
fn behind(starts: Vec<Elapsed>, step: &Step, now: Elapsed) -> Vec<Elapsed> {
    let shortest = step.sittings.iter().copied().min().unwrap_or(0).max(1);
    let latest = now.plus(-i32::try_from(shortest).unwrap_or(i32::MAX));
    starts.into_iter().map(|start| start.min(latest)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::BusyKind;
    use crate::order::{OrderId, Stage};
    use crate::record::book::tests::full_book;
    use crate::record::{Command, Pin};

    fn wall(text: &str) -> Wall {
        text.parse().expect(text)
    }

    fn input(now: &str) -> PlanInput {
        PlanInput { now: wall(now), zone: Zone::fixed("kitchen", 0) }
    }

    /// One confirmed order of 24 cookies, to be delivered on Saturday 2026-12-05 at 10:00.
    fn one_order() -> Book {
        let mut book = full_book();
        book.apply(Command::RemoveOrder(OrderId(2))).expect("is there");
        book.pins.clear();
        book.shown = None;
        book.orders.get_mut(&OrderId(1)).expect("is there").items[0].options.clear();
        book
    }

    fn outlook(book: &Book, now: &str) -> Outlook {
        Outlook::of(book, &input(now)).expect("is set up")
    }

    #[test]
    fn nothing_is_derived_before_the_set_up() {
        for empty in [
            Book { kitchen: None, ..one_order() },
            Book { time: None, ..one_order() },
            Book::default(),
        ] {
            assert!(Outlook::of(&empty, &input("2026-11-25T12:00")).is_none());
        }
    }

    #[test]
    fn the_horizon_runs_from_monday_to_a_week_after_the_last_handover() {
        let days = |now: &str| {
            let horizon = outlook(&one_order(), now).horizon;
            (horizon.start.to_string(), horizon.days)
        };
        assert_eq!(days("2026-11-25T12:00"), ("2026-11-23".into(), 21));
        assert_eq!(days("2026-11-30T00:00"), ("2026-11-30".into(), 14));
        assert_eq!(days("2026-12-06T23:59"), ("2026-11-30".into(), 14));
        let mut none = one_order();
        none.orders.clear();
        assert_eq!(outlook(&none, "2026-11-25T12:00").horizon.days, 14);
    }

    #[test]
    fn a_step_that_began_earlier_pulls_the_start_back() {
        let mut book = one_order();
        let step = StepId("o1.i1.ice".into());
        let pin = Pin { starts: vec![wall("2026-11-18T19:00")], done: true };
        book.pins.insert(step, pin.clone());
        let horizon = outlook(&book, "2026-11-25T12:00").horizon;
        assert_eq!((horizon.start.to_string(), horizon.days), ("2026-11-16".into(), 28));
        book.pins.insert(
            StepId("o9.i1.ice".into()),
            Pin { starts: vec![wall("2026-11-02T19:00")], ..pin },
        );
        let same = outlook(&book, "2026-11-25T12:00").horizon;
        assert_eq!(same, horizon, "a pin of an order that is not planned does not count");
        book.pins.insert(
            StepId("o1.i1.shape".into()),
            Pin { starts: vec![wall("2025-01-01T10:00")], done: true },
        );
        let capped = outlook(&book, "2026-11-25T12:00").horizon;
        assert_eq!(capped.start.to_string(), "2026-10-19", "five weeks at most");
    }

    #[test]
    fn handovers_out_of_reach_are_said_and_not_planned() {
        let mut book = one_order();
        let mut far = book.orders[&OrderId(1)].clone();
        far.id = OrderId(2);
        far.handover.at = wall("2027-02-14T12:00");
        book.orders.insert(far.id, far.clone());
        far.id = OrderId(3);
        far.handover.at = wall("2026-11-22T12:00");
        book.orders.insert(far.id, far.clone());
        far.id = OrderId(4);
        far.stage = Stage::Quoted;
        book.orders.insert(far.id, far);
        let outlook = outlook(&book, "2026-11-25T12:00");
        let planned: Vec<u32> = outlook.work.handovers.iter().map(|h| h.order.0).collect();
        assert_eq!(planned, [1]);
        let note = |order| {
            outlook.work.notes.iter().find(|n| n.order == OrderId(order) && n.item.is_none())
        };
        let far = note(2).expect("is said");
        assert!(!far.problem && far.text.contains("from 2026-12-14 on"), "{}", far.text);
        let past = note(3).expect("is said");
        assert!(past.problem && past.text.contains("2026-11-22"), "{}", past.text);
        assert!(note(4).is_none(), "a quote is not planned");
        // And from that Monday on it is.
        let outlook = self::outlook(&book, "2026-12-14T00:00");
        assert!(outlook.work.handovers.iter().any(|h| h.order == OrderId(2)));
        assert_eq!(outlook.horizon.days, 70);
        let before = self::outlook(&book, "2026-12-13T23:59");
        assert!(before.work.handovers.iter().all(|h| h.order != OrderId(2)));
    }

    #[test]
    fn a_delivery_takes_its_way_there_and_back() {
        let outlook = outlook(&one_order(), "2026-11-25T12:00");
        let horizon = &outlook.horizon;
        let busy = outlook.windows.busy.iter().find(|busy| busy.kind == BusyKind::Delivery);
        let busy = busy.expect("is there");
        assert_eq!(horizon.wall(busy.span.start), wall("2026-12-05T09:35"));
        assert_eq!(horizon.wall(busy.span.end), wall("2026-12-05T10:25"));
        assert_eq!(busy.label, "delivery ML");
    }

    #[test]
    fn sittings_follow_from_the_ordinary_week() {
        // Free windows: five mornings of 1.5 h (07:00 to 08:30), five evenings of 4.5 h (18:00 to
        // 22:30, of which the day's limit leaves 3 h), two whole days (of which it leaves 7 h).
        let mut time = MyTime::typical();
        assert_eq!(longest_sittings(&time), Longest { hands_on: 180, fine: 120 });
        time.limits.hands_on_workday = 30;
        assert_eq!(longest_sittings(&time), Longest { hands_on: 60, fine: 60 });
        time.limits.fine = 45;
        assert_eq!(longest_sittings(&time), Longest { hands_on: 60, fine: 45 });
        time.limits.fine = 120;
        time.day_job.clear();
        assert_eq!(longest_sittings(&time), Longest { hands_on: 420, fine: 120 });
        let habit = longest_sittings(&time);
        time.exceptions.push(crate::calendar::Exception {
            id: 1,
            date: "2026-01-05".parse().expect("a date"),
            kind: crate::calendar::ExceptionKind::NoBaking,
            label: "trip".into(),
        });
        assert_eq!(longest_sittings(&time), habit, "exceptions do not cut steps anew");
    }

    #[test]
    fn fixed_are_pins_ticks_and_the_past_of_the_plan_shown() {
        let mut book = one_order();
        let before = outlook(&book, "2026-11-25T12:00");
        let single: Vec<StepId> = before
            .work
            .steps
            .iter()
            .filter(|step| step.sittings.len() == 1)
            .map(|step| step.id.clone())
            .collect();
        let [past, future, pinned, ..] = single.as_slice() else { panic!("{single:?}") };
        let start = |text: &str| vec![wall(text)];
        let mut shown = Shown::default();
        shown.starts.insert(past.clone(), start("2026-11-24T19:00"));
        shown.starts.insert(future.clone(), start("2026-11-26T19:00"));
        shown.starts.insert(pinned.clone(), start("2026-11-24T20:00"));
        shown.starts.insert(StepId("o1.i1.gone".into()), start("2026-11-24T21:00"));
        book.apply(Command::Show(shown)).expect("is taken");
        book.apply(Command::PinStep(pinned.clone(), start("2026-11-27T18:30"))).expect("is taken");
        let outlook = outlook(&book, "2026-11-25T12:00");
        let mut notes = Vec::new();
        let now = outlook.horizon.elapsed(wall("2026-11-25T12:00"));
        let went = Went { now, begun: BTreeMap::new(), reckoned: BTreeMap::new() };
        let fixed = fixed(&book, &outlook.work, &outlook.horizon, &went, &mut notes);
        let at = |text: &str| vec![outlook.horizon.elapsed(wall(text))];
        assert_eq!(
            fixed,
            BTreeMap::from([
                (past.clone(), at("2026-11-24T19:00")),
                (pinned.clone(), at("2026-11-27T18:30")),
            ])
        );
        assert_eq!(notes, []);
    }

    #[test]
    fn every_step_is_named_as_on_its_card() {
        let mut book = one_order();
        let order = book.orders.get_mut(&OrderId(1)).expect("is there");
        for (id, card) in (2..).zip(["tall-layer-cake", "cupcakes", "cake-pops"]) {
            let item = crate::order::Item {
                id: crate::order::ItemId(id),
                card: card.into(),
                ..order.items[0].clone()
            };
            order.items.push(item);
        }
        let outlook = outlook(&book, "2026-11-25T12:00");
        assert!(outlook.work.steps.iter().any(|step| step.id.0.split('.').count() > 3));
        for step in &outlook.work.steps {
            let starts = (0_i64..).map(|i| wall("2026-11-26T18:00").plus_minutes(i * 300));
            let pin = Command::PinStep(step.id.clone(), starts.take(step.sittings.len()).collect());
            let change = book.apply(pin).expect("is taken");
            assert_eq!(change.label, format!("move {} · ML", step.name), "{}", step.id.0);
        }
        let gone = Command::ReleaseStep(StepId("o1.i1.sugar-work".into()));
        assert_eq!(book.apply(gone).expect("is taken").label, "release sugar work · ML");
    }

    #[test]
    fn pins_of_steps_that_are_cut_anew_are_let_go_and_said_but_ticks_stay() {
        let mut book = one_order();
        let work = outlook(&book, "2026-11-25T12:00").work;
        let step = work.steps.first().expect("has steps");
        let starts = |count: usize| -> Vec<Wall> {
            (0_i64..).map(|i| wall("2026-11-26T18:00").plus_minutes(i * 60)).take(count).collect()
        };
        let more = step.sittings.len() + 1;
        book.apply(Command::PinStep(step.id.clone(), starts(more))).expect("is taken");
        let pinned = outlook(&book, "2026-11-25T12:00");
        let note = pinned.work.notes.iter().find(|note| note.text.contains("pin it again"));
        assert!(note.is_some_and(|note| note.text.contains(&format!("{more} sittings"))));
        book.apply(Command::TickStep(step.id.clone(), starts(more))).expect("is taken");
        let ticked = outlook(&book, "2026-11-25T12:00");
        assert!(ticked.work.notes.iter().all(|note| !note.text.contains("pin it again")));
        let mut notes = Vec::new();
        let went = Went { now: Elapsed(0), begun: BTreeMap::new(), reckoned: BTreeMap::new() };
        let fixed = fixed(&book, &ticked.work, &ticked.horizon, &went, &mut notes);
        assert_eq!(fixed[&step.id].len(), more);
    }

    #[test]
    fn what_is_ticked_off_ahead_of_its_time_is_over_all_the_same() {
        let mut book = one_order();
        let work = outlook(&book, "2026-11-25T12:00").work;
        let step = work.steps.iter().find(|step| step.sittings.len() == 1).expect("has one");
        let tick = Command::TickStep(step.id.clone(), vec![wall("2026-11-26T18:00")]);
        book.apply(tick).expect("is taken");
        let outlook = outlook(&book, "2026-11-25T12:00");
        let now = outlook.horizon.elapsed(wall("2026-11-25T12:00"));
        let over = &outlook.assembled.past[&step.id];
        let minutes = i32::try_from(step.sittings[0]).expect("short");
        assert_eq!(over, &[now.plus(-minutes)]);
        assert!(
            !outlook
                .assembled
                .problem
                .activities
                .iter()
                .any(|activity| { activity.id == step.id.0 && activity.segments != [0] })
        );
    }
}
