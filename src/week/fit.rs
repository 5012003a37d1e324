//! “Can I take this?” in words: what the fit check found, each way out with what it costs, and the week as it
//! would look.
//!
//! In: a book, an order that is not in it, and the check's answer. Out: plain data that a screen shows as it is.
//! Nothing is promised that was not planned.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::calendar::{Date, Span, Wall};
use crate::order::{ItemId, Order, Stage};
use crate::plan::arrange::Arrange;
use crate::plan::check::check;
use crate::plan::explain::{Conflict, Remedy, Tried};
use crate::plan::{Plan, Problem};
use crate::record::{Book, FewerSpares, Fit, FitAnswer, Outlook, PlanInput};

use super::blocks::{BlockKind, Sitting};
use super::trial::{Moves, TrialWeek};
use super::view::{Context, WeekInput};
use super::why::Words;
use super::why_not::{conflict_words, listed, other_rests, what_is_given};
use super::words::{capitalised, day_short, duration, full_day, part_of_day, time_of, time_range};

/// Most ways that are shown: who has not found hers among these will not read on.
const WAYS_MOST: usize = 6;

/// The short answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Verdict {
    /// It fits as it is.
    Fits,
    /// It fits if something is given.
    FitsIf,
    /// It fits on a later day only.
    NotBefore,
    /// It does not fit as it is asked; what would help is still looked for.
    NotAsAsked,
    /// No way was found.
    NoWay,
    /// It is not planned: why, is said.
    NotPlanned,
    /// The week does not work without it either.
    TroubleWithout,
}

/// What a way out writes into the order's form.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Take {
    /// Another handover.
    Handover(Wall),
    /// Other spares of an item.
    Spares(ItemId, u32),
}

/// A way in which it fits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Way {
    /// What is given, for example "1 h more on Thursday 26 Nov".
    pub what: String,
    /// What that costs her, in short phrases.
    pub cost: Vec<String>,
    /// What taking it writes into the form; none when it is given elsewhere.
    pub take: Option<Take>,
    /// The week that it gives.
    pub week: Option<TrialWeek>,
}

/// What is shown beside the form.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FitWords {
    /// The short answer.
    pub verdict: Verdict,
    /// In a few words, for example "It fits" or "It fits if …", which the ways go on with.
    pub headline: String,
    /// When it would be worked on, for example "Thursday 26 Nov, evening: 18:45–20:15".
    pub days: Vec<String>,
    /// In the fewest words, for a narrow line: "It fits: Thu 3 and Sat 5".
    pub short: String,
    /// The whole answer in one line, to be announced: "It fits: Thu 3 and Sat 5, about 4 h by hand".
    pub said: String,
    /// The handover that was asked about.
    pub asked: Wall,
    /// Sentences about the whole: hours, what moves.
    pub lines: Vec<String>,
    /// What cannot hold together as asked.
    pub why: Vec<String>,
    /// Ways in which it fits, the cheapest first.
    pub ways: Vec<Way>,
    /// The earliest later handover at which it fits as it is.
    pub not_before: Option<Wall>,
    /// The week with it; none when it does not fit as asked.
    pub week: Option<TrialWeek>,
}

/// Puts an answer into words. `enquiry` is what was asked about.
pub fn fit_words(book: &Book, asked: &PlanInput, enquiry: &Order, answer: &FitAnswer) -> FitWords {
    let mut with = book.clone();
    with.orders.insert(enquiry.id, Order { stage: Stage::Confirmed, ..enquiry.clone() });
    let unfolded = BTreeSet::new();
    let input = WeekInput {
        book: &with,
        outlook: &answer.outlook,
        plan: &answer.plan,
        report: &answer.report,
        now: asked.now,
        first_day: 0,
        unfolded: &unfolded,
    };
    let fits = answer.fit == Fit::Fits;
    let needs = if fits { Needs::of(input, enquiry) } else { Needs::default() };
    let fewer = answer.spares.iter().map(|fewer| spares(input, asked, enquiry, fewer));
    let mut tried: Vec<&Tried> =
        answer.remedies.iter().filter(|tried| !is_later(tried, enquiry, answer)).collect();
    // Fewer spares cost nobody time, so they come first.
    tried.arrange_by_key(|tried| time_given(&answer.outlook.assembled.problem, tried));
    let tried = tried.into_iter().filter_map(|tried| way(input, enquiry, tried));
    let mut ways: Vec<Way> = Vec::new();
    for way in fewer.chain(tried) {
        // An evening may be free in several pieces; to her it is one, and more of it is no other way.
        let known = ways.iter().any(|other| when(&other.what) == when(&way.what));
        if ways.len() < WAYS_MOST && !known {
            ways.push(way);
        }
    }
    // All that was found to give may have been a later day than the first that fits anyway.
    let fit = match answer.fit {
        Fit::FitsIf if ways.is_empty() && answer.not_before.is_some() => Fit::NotBefore,
        fit => fit,
    };
    let proven = matches!(answer.conflict, Conflict::Proven { .. });
    let mut lines = match fit {
        Fit::Fits => needs.lines(Moves::of(&input, enquiry.id).len()),
        Fit::NoWay if proven => {
            vec!["It is proven that it cannot be done as asked.".to_owned()]
        }
        Fit::NoWay => vec!["No way was found in the time spent on looking.".to_owned()],
        Fit::TroubleWithout => {
            vec![
                "The week has problems without this order. Mend those first, on the Week."
                    .to_owned(),
            ]
        }
        Fit::FitsIf | Fit::NotBefore | Fit::NotAsAsked | Fit::NotPlanned => Vec::new(),
    };
    lines.extend(answer.notes.iter().cloned());
    FitWords {
        verdict: verdict(fit),
        headline: headline(fit, answer.not_before),
        short: match fit {
            Fit::Fits => format!("It fits: {}", needs.short()),
            fit => headline(fit, answer.not_before),
        },
        said: said(fit, answer.not_before, &needs, &ways),
        asked: enquiry.handover.at,
        days: needs.long(),
        lines,
        why: if fits { Vec::new() } else { conflict_words(input, &answer.conflict) },
        ways,
        not_before: answer.not_before,
        week: fits.then(|| TrialWeek::of(input, enquiry.id)),
    }
}

fn verdict(fit: Fit) -> Verdict {
    match fit {
        Fit::Fits => Verdict::Fits,
        Fit::FitsIf => Verdict::FitsIf,
        Fit::NotBefore => Verdict::NotBefore,
        Fit::NotAsAsked => Verdict::NotAsAsked,
        Fit::NoWay => Verdict::NoWay,
        Fit::NotPlanned => Verdict::NotPlanned,
        Fit::TroubleWithout => Verdict::TroubleWithout,
    }
}

fn headline(fit: Fit, not_before: Option<Wall>) -> String {
    match (fit, not_before) {
        (Fit::Fits, _) => "It fits".to_owned(),
        (Fit::FitsIf, _) => "It fits if …".to_owned(),
        (Fit::NotBefore, Some(at)) => format!("Not before {}", moment(at)),
        (Fit::NotBefore | Fit::NoWay, _) => "No way found".to_owned(),
        (Fit::NotAsAsked, _) => "Not just as it is asked".to_owned(),
        (Fit::NotPlanned, _) => "This cannot be placed".to_owned(),
        (Fit::TroubleWithout, _) => "The week is too full already".to_owned(),
    }
}

fn said(fit: Fit, not_before: Option<Wall>, needs: &Needs, ways: &[Way]) -> String {
    match (fit, ways) {
        (Fit::Fits, _) => {
            format!("It fits: {}, {} by hand", needs.short(), Needs::about(needs.by_hand))
        }
        (Fit::FitsIf, [only]) => format!("It fits with: {}", only.what),
        (Fit::FitsIf, [first, second]) => {
            format!("It fits with: {}; or: {}", first.what, second.what)
        }
        (Fit::FitsIf, [first, others @ ..]) => {
            format!("It fits with: {}; or one of {} other ways", first.what, others.len())
        }
        _ => headline(fit, not_before),
    }
}

/// What is given, without how much of it.
fn when(what: &str) -> &str {
    what.split_once(" more ").map_or(what, |(_, when)| when)
}

/// How much of people's time a remedy takes, in slots: what a person weighs first. Among equals stays the order of
/// the plans' own costs.
fn time_given(problem: &Problem, tried: &Tried) -> i32 {
    time_in(problem, &tried.plan, &tried.remedy)
}

fn time_in(problem: &Problem, plan: &Plan, remedy: &Remedy) -> i32 {
    match remedy {
        Remedy::Together(parts) => {
            parts.iter().fold(0, |sum, part| sum.saturating_add(time_in(problem, plan, part)))
        }
        Remedy::Unpin { .. } | Remedy::Room { .. } => 0,
        Remedy::EarlierStart { slots, .. } | Remedy::LaterEnd { slots, .. } => *slots,
        Remedy::MoreTime { windows, slots, .. } => {
            slots.saturating_mul(i32::try_from(windows.len()).unwrap_or(i32::MAX))
        }
        // Somebody else has to be asked, and perhaps paid.
        Remedy::Helper { .. } => 2 * others_work(problem, plan),
    }
}

/// Whether it would be handed over later than it needs to be.
fn is_later(tried: &Tried, enquiry: &Order, answer: &FitAnswer) -> bool {
    let later = put_off(tried, enquiry, i64::from(answer.outlook.assembled.problem.grid_minutes));
    later.zip(answer.not_before).is_some_and(|(later, first)| first <= later)
}

/// When the order in question would be handed over instead, where that is the remedy.
fn put_off(tried: &Tried, enquiry: &Order, grid: i64) -> Option<Wall> {
    match &tried.remedy {
        Remedy::LaterEnd { activity, slots } if *activity == handover_id(enquiry) => {
            Some(enquiry.handover.at.plus_minutes(i64::from(*slots) * grid.max(1)))
        }
        _ => None,
    }
}

fn handover_id(enquiry: &Order) -> String {
    format!("o{}.handover", enquiry.id.0)
}

/// "Saturday 5 Dec, 15:00".
pub fn moment(at: Wall) -> String {
    format!("{}, {}", full_day(at.date()), time_of(at))
}

/// When hands are needed, by day and part of the day, and for how long in all.
#[derive(Default)]
struct Needs {
    by_part: Vec<(Date, &'static str, Span)>,
    times: Vec<String>,
    /// Minutes as the cards have them, as the form tells them too.
    by_hand: u32,
    fine: u32,
}

impl Needs {
    fn of(input: WeekInput<'_>, enquiry: &Order) -> Self {
        let context = Context::of(input);
        let mut needs = Self::default();
        let mut own: Vec<&Sitting<'_>> = context
            .sittings
            .iter()
            .filter(|sitting| sitting.step.order == enquiry.id && sitting.shown())
            .filter(|sitting| BlockKind::of(sitting.step.kind).hands_on())
            .collect();
        own.arrange_by_key(|sitting| sitting.span.start);
        for sitting in own {
            let minutes = sitting.step.sittings.get(sitting.index).copied().unwrap_or(0);
            needs.by_hand += minutes;
            if BlockKind::of(sitting.step.kind) == BlockKind::Fine {
                needs.fine += minutes;
            }
            let at = context.horizon.wall(sitting.span.start);
            let (date, part) = (at.date(), part_of_day(at));
            match needs.by_part.last_mut() {
                Some((last, same, span)) if (*last, *same) == (date, part) => {
                    span.end = span.end.max(sitting.span.end);
                }
                _ => needs.by_part.push((date, part, sitting.span)),
            }
        }
        let times = needs
            .by_part
            .iter()
            .map(|(_, _, span)| time_range(context.horizon, span.start, span.end));
        needs.times = times.collect();
        needs
    }

    /// "about 4 h", to the quarter of an hour.
    fn about(minutes: u32) -> String {
        let minutes = i32::try_from(minutes.next_multiple_of(15)).unwrap_or(i32::MAX);
        format!("about {}", duration(minutes))
    }

    /// What she is told in any case: how long by hand, and what moves.
    fn lines(&self, moved: usize) -> Vec<String> {
        let mut hands = format!("{} by hand", capitalised(&Self::about(self.by_hand)));
        if self.fine > 0 {
            hands = format!("{hands}, of which {} fine handwork", Self::about(self.fine));
        }
        vec![format!("{hands}."), format!("{}.", capitalised(&moves(moved)))]
    }

    fn long(&self) -> Vec<String> {
        let line = |((date, part, _), times): (&(Date, &str, Span), &String)| {
            format!("{}, {part}: {times}", full_day(*date))
        };
        self.by_part.iter().zip(&self.times).map(line).collect()
    }

    /// Neighbours are drawn together no further: four names at most, then how many more.
    fn short(&self) -> String {
        let mut days: Vec<Date> = self.by_part.iter().map(|(date, ..)| *date).collect();
        days.dedup();
        // With the day of the month: it may be worked on on two Sundays.
        let named = |date: &Date| format!("{} {}", day_short(*date), date.parts().2);
        let mut names: Vec<String> = days.iter().take(4).map(named).collect();
        if days.len() > names.len() {
            names.push(format!("{} more", days.len() - names.len()));
        }
        listed(&names)
    }
}

/// "nothing else moves", "3 sittings of other orders move".
fn moves(count: usize) -> String {
    match count {
        0 => "nothing else moves".to_owned(),
        1 => "1 sitting of another order moves".to_owned(),
        many => format!("{many} sittings of other orders move"),
    }
}

/// A remedy that was tried, with the week that it gives.
fn way(input: WeekInput<'_>, enquiry: &Order, tried: &Tried) -> Option<Way> {
    let before = &input.outlook.assembled.problem;
    let problem = tried.remedy.given(before)?;
    let report = check(&problem, &tried.plan);
    let mut outlook = input.outlook.clone();
    outlook.assembled.problem = problem;
    let given = WeekInput { outlook: &outlook, plan: &tried.plan, report: &report, ..input };
    let later = put_off(tried, enquiry, i64::from(before.grid_minutes));
    let what = match later {
        Some(at) => format!("hand over on {} instead", moment(at)),
        None => what_is_given(input, &tried.remedy),
    };
    let mut cost: Vec<String> = price(input, tried, &handover_id(enquiry)).into_iter().collect();
    cost.extend(other_rests(input, tried).into_iter().take(2));
    cost.push(moves(Moves::of(&given, enquiry.id).len()));
    if tried.remedy.parts().iter().any(|part| matches!(part, Remedy::Helper { .. })) {
        cost.push("once it is agreed, note it on the page “My time”".to_owned());
    }
    Some(Way {
        what: capitalised(&what),
        cost,
        take: later.map(Take::Handover),
        week: Some(TrialWeek::of(given, enquiry.id)),
    })
}

/// What she gives, in her own measures.
fn price(input: WeekInput<'_>, tried: &Tried, own: &str) -> Option<String> {
    price_of(input, &tried.remedy, &tried.plan, own)
}

fn price_of(input: WeekInput<'_>, remedy: &Remedy, plan: &Plan, own: &str) -> Option<String> {
    let context = Context::of(input);
    let words = Words::of(&context);
    let problem = &input.outlook.assembled.problem;
    match remedy {
        Remedy::Together(parts) => {
            let each = parts.iter().filter_map(|part| price_of(input, part, plan, own));
            Some(listed(&each.collect::<Vec<_>>()))
        }
        Remedy::MoreTime { windows, slots, .. } => {
            let slots = slots.saturating_mul(i32::try_from(windows.len()).unwrap_or(1));
            Some(format!("{} of your own time", words.lasting(slots)))
        }
        Remedy::Helper { .. } => {
            let slots = others_work(problem, plan);
            Some(format!("{} of somebody else’s time", words.lasting(slots)))
        }
        Remedy::Unpin { activity } => {
            let starts = plan.starts.get(activity)?;
            Some(format!("it goes to {}", words.when(*starts.first()?)))
        }
        Remedy::EarlierStart { slots, .. } => Some(format!("{} earlier", words.lasting(*slots))),
        Remedy::LaterEnd { activity, slots } => {
            let who = if activity == own { "the client waits" } else { "that client waits" };
            Some(format!("{who} {} longer", words.lasting(*slots)))
        }
        Remedy::Room { from, to, .. } => {
            Some(format!("that room for {}", words.lasting(to - from)))
        }
    }
}

/// Slots worked by hands that the problem does not know.
fn others_work(problem: &Problem, plan: &Plan) -> i32 {
    let known = |id: &str| problem.workers.iter().any(|worker| worker.id == id);
    let of = |activity: &crate::plan::Activity| -> i32 {
        let who = plan.worker.get(&activity.id).map_or(&[][..], Vec::as_slice);
        let own = activity.segments.iter().zip(who);
        own.filter(|(_, who)| who.as_deref().is_some_and(|id| !known(id)))
            .map(|(length, _)| *length)
            .sum()
    };
    problem.activities.iter().map(of).sum()
}

fn spares(input: WeekInput<'_>, asked: &PlanInput, enquiry: &Order, fewer: &FewerSpares) -> Way {
    let item = enquiry.items.iter().find(|item| item.id == fewer.item);
    // A component's step would name the component.
    let step = input.outlook.work.steps.iter().find(|step| {
        step.order == enquiry.id && item.is_some_and(|i| i.id == step.item && i.card == step.card)
    });
    let product = step.map_or_else(|| "this item".to_owned(), |step| step.product.clone());
    let before = item.map_or(0, |item| item.spares);
    let what = match fewer.spares {
        0 => format!("No spares of {product}"),
        spares => format!("{spares} instead of {before} spares of {product}"),
    };
    let mut cost = vec!["less to fall back on if something breaks".to_owned()];
    let mut with = input.book.clone();
    let items = with.orders.get_mut(&enquiry.id).into_iter().flat_map(|order| &mut order.items);
    for item in items.filter(|item| item.id == fewer.item) {
        item.spares = fewer.spares;
    }
    let week = Outlook::of(&with, asked).map(|outlook| {
        let report = check(&outlook.assembled.problem, &fewer.plan);
        let given = WeekInput {
            book: &with,
            outlook: &outlook,
            plan: &fewer.plan,
            report: &report,
            ..input
        };
        cost.push(moves(Moves::of(&given, enquiry.id).len()));
        TrialWeek::of(given, enquiry.id)
    });
    Way { what, cost, take: Some(Take::Spares(fewer.item, fewer.spares)), week }
}
