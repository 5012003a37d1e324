//! The fit check: what the week would be with one more order.
//!
//! In: a book, a moment, an order that is not agreed yet, and how much may be spent. Out: whether it fits, with the
//! plan that shows it; else what would make it fit and the earliest handover at which it would, each
//! found by planning it. Changes nothing: it works on a copy.

mod help;
mod run;

use std::collections::BTreeSet;

use self::help::Help;
use self::run::Run;
use super::{Book, Outlook, PlanInput};
use crate::breakdown::StepId;
use crate::calendar::Wall;
use crate::order::{ItemId, Order, OrderId, Stage};
use crate::plan::Plan;
use crate::plan::check::{Report, check};
use crate::plan::explain::{Conflict, Tried};

/// Of what may be spent, the part for the plan as asked, and the part for the plan without it.
const SHARES: u64 = 4;
/// So many days are freed one after the other before everything is.
const FREE_DAYS_MOST: usize = 4;
/// And the part for making a sound plan better: what moves is part of the answer.
const POLISH_SHARES: u64 = 8;

/// The short answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// A sound plan holds everything.
    Fits,
    /// It fits if one of the remedies is taken.
    FitsIf,
    /// It fits at a later handover only.
    NotBefore,
    /// It does not fit as it is; what would help is still looked for.
    NotAsAsked,
    /// No way was found. That is a proof only where the conflict says so.
    NoWay,
    /// It is not planned at all: its handover lies behind or too far ahead, or it cannot be made as asked.
    /// The notes say why.
    NotPlanned,
    /// The week has no sound plan even without it.
    TroubleWithout,
}

/// Fewer spares of one item, so that it fits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FewerSpares {
    /// Which item of the order.
    pub item: ItemId,
    /// How many spares are left.
    pub spares: u32,
    /// The plan that it gives, for the outlook with so many.
    pub plan: Plan,
}

/// The whole answer.
#[derive(Debug, Clone)]
pub struct FitAnswer {
    /// In short.
    pub fit: Fit,
    /// The book's outlook with the order in it.
    pub outlook: Outlook,
    /// The plan that shows that it fits, or the least bad one.
    pub plan: Plan,
    /// What separate code found wrong with that plan.
    pub report: Report,
    /// Steps of other orders that would start elsewhere than in the plan shown last.
    pub moved: Vec<StepId>,
    /// What cannot hold together, when it does not fit.
    pub conflict: Conflict,
    /// What was found to help, the cheapest first.
    pub remedies: Vec<Tried>,
    /// Fewer spares that would be enough.
    pub spares: Vec<FewerSpares>,
    /// The earliest later handover found, at the same time of day, at which it fits as it is. Every date that
    /// was tried before it failed; later dates are taken to be no harder.
    pub not_before: Option<Wall>,
    /// Why the order cannot be made or planned as asked.
    pub notes: Vec<String>,
}

/// Checks whether an order fits. None while kitchen or time are not set up. `evaluations` bounds what is spent: a
/// quarter each on plans that leave everything else, then all but a few days in its place, on a free one, and on
/// the week without it; twice all of it on what would help. 1500 take about as long as a person waits.
pub fn fit_check(
    book: &Book,
    input: &PlanInput,
    enquiry: &Order,
    evaluations: u64,
) -> Option<FitAnswer> {
    let mut check = FitCheck::new(book, input, enquiry, evaluations)?;
    while check.step() {}
    Some(check.answer)
}

/// A fit check in steps, so that who waits can be told what is known, or ask something else. The same steps
/// give the same answer.
pub struct FitCheck {
    book: Book,
    input: PlanInput,
    enquiry: Order,
    evaluations: u64,
    answer: FitAnswer,
    at: At,
}

/// How far it is.
enum At {
    /// Everything else stays, but for what stands on these days.
    InPlace(Box<Run>, BTreeSet<i32>),
    AsAsked(Box<Run>),
    Without(Box<Run>),
    Help(Box<Help>),
    Done,
}

impl FitCheck {
    /// Nothing is planned yet. None while kitchen or time are not set up. See [`fit_check`].
    pub fn new(book: &Book, input: &PlanInput, enquiry: &Order, evaluations: u64) -> Option<Self> {
        let (share, polish) = (evaluations / SHARES, evaluations / POLISH_SHARES);
        let mut run = Run::in_place(book, input, enquiry, &BTreeSet::new(), share, polish)?;
        let order = enquiry.id;
        let planned = run.outlook.work.handovers.iter().any(|point| point.order == order);
        let answer = FitAnswer {
            fit: if planned { Fit::NotAsAsked } else { Fit::NotPlanned },
            outlook: run.outlook.clone(),
            plan: run.plan(),
            report: Report::default(),
            moved: Vec::new(),
            conflict: Conflict::NotProven,
            remedies: Vec::new(),
            spares: Vec::new(),
            not_before: None,
            notes: notes(&run.outlook, order),
        };
        let at = if planned { At::InPlace(Box::new(run), BTreeSet::new()) } else { At::Done };
        let (book, input, enquiry) = (book.clone(), input.clone(), enquiry.clone());
        Some(Self { book, input, enquiry, evaluations, answer, at })
    }

    /// What is known so far; none while not even the short answer is.
    pub fn answer(&self) -> Option<&FitAnswer> {
        match &self.at {
            At::InPlace(run, _) | At::AsAsked(run) => run.is_sound().then_some(&self.answer),
            _ => Some(&self.answer),
        }
    }

    /// Goes on for some hundredths of a second, or as long as one remedy takes; false when all is done.
    pub fn step(&mut self) -> bool {
        self.at = match std::mem::replace(&mut self.at, At::Done) {
            At::InPlace(run, free) => self.in_place(run, free),
            At::AsAsked(run) => self.as_asked(run),
            At::Without(run) => self.without(run),
            At::Help(help) => self.help(help),
            At::Done => At::Done,
        };
        !matches!(self.at, At::Done)
    }

    /// First everything else stays where it was shown; then what stands on the days on which that breaks a rule
    /// may move; then anything.
    fn in_place(&mut self, mut run: Box<Run>, mut free: BTreeSet<i32>) -> At {
        let was_sound = run.is_sound();
        let more = run.step();
        if more && was_sound == run.is_sound() {
            return At::InPlace(run, free);
        }
        if run.is_sound() || free.is_empty() {
            self.hear(&mut run);
        }
        if run.is_sound() {
            self.answer.fit = self.short();
            return if more { At::InPlace(run, free) } else { At::Done };
        }
        let held = free.len();
        free.extend(run.broken_days());
        let (share, polish) = (self.evaluations / SHARES, self.evaluations / POLISH_SHARES);
        let (book, input, enquiry) = (&self.book, &self.input, &self.enquiry);
        if held < free.len() && free.len() <= FREE_DAYS_MOST {
            let run = Run::in_place(book, input, enquiry, &free, share, polish);
            return run.map_or(At::Done, |run| At::InPlace(Box::new(run), free));
        }
        match Run::of(book, input, enquiry, share, polish) {
            Some(run) => At::AsAsked(Box::new(run)),
            None => self.end(Fit::TroubleWithout),
        }
    }

    fn hear(&mut self, run: &mut Run) {
        self.answer.plan = run.plan();
        self.answer.outlook = run.outlook();
        let outlook = &self.answer.outlook;
        self.answer.report = check(&outlook.assembled.problem, &self.answer.plan);
        self.answer.moved = moved(outlook, &self.answer.plan, self.enquiry.id);
    }

    /// What cannot be made as asked is planned without it, which is no fit.
    fn short(&self) -> Fit {
        if self.answer.notes.is_empty() { Fit::Fits } else { Fit::NotPlanned }
    }

    fn as_asked(&mut self, mut run: Box<Run>) -> At {
        let was_sound = run.is_sound();
        let more = run.step();
        if more && was_sound == run.is_sound() {
            return At::AsAsked(run);
        }
        if !run.is_sound() {
            // The plan from before breaks rules too, but it left everything else in its place: what would
            // help is looked for from there.
            let without = Order { stage: Stage::Declined, ..self.enquiry.clone() };
            let share = self.evaluations / SHARES;
            let without = Run::of(&self.book, &self.input, &without, share, 0);
            return match without {
                Some(without) => At::Without(Box::new(without)),
                None => self.end(Fit::TroubleWithout),
            };
        }
        self.hear(&mut run);
        self.answer.fit = self.short();
        if more { At::AsAsked(run) } else { At::Done }
    }

    fn without(&mut self, mut run: Box<Run>) -> At {
        if run.step() {
            return At::Without(run);
        }
        if run.sound_plan().is_none() {
            return self.end(Fit::TroubleWithout);
        }
        let for_remedies = 2 * self.evaluations;
        let help = Help::new(&self.input, &self.enquiry, &self.answer, for_remedies);
        self.answer.conflict = help.conflict().clone();
        At::Help(Box::new(help))
    }

    fn help(&mut self, mut help: Box<Help>) -> At {
        if help.step(&self.book, &self.input, &self.enquiry, &mut self.answer) {
            return At::Help(help);
        }
        let helps = !self.answer.remedies.is_empty() || !self.answer.spares.is_empty();
        self.end(match self.answer.not_before {
            _ if helps => Fit::FitsIf,
            Some(_) => Fit::NotBefore,
            None => Fit::NoWay,
        })
    }

    fn end(&mut self, fit: Fit) -> At {
        self.answer.fit = fit;
        At::Done
    }
}

fn notes(outlook: &Outlook, order: OrderId) -> Vec<String> {
    let all = outlook.work.notes.iter().chain(&outlook.assembled.notes);
    let planned = outlook.work.handovers.iter().any(|point| point.order == order);
    all.filter(|note| note.order == order && (note.problem || !planned))
        .map(|note| note.text.clone())
        .collect()
}

/// Steps of other orders that start elsewhere than where they were shown.
fn moved(outlook: &Outlook, plan: &Plan, order: OrderId) -> Vec<StepId> {
    let own = format!("o{}", order.0);
    let elsewhere = outlook.assembled.problem.activities.iter().filter(|activity| {
        activity.order.as_ref() != Some(&own)
            && activity.reference.is_some()
            && activity.reference.as_ref() != plan.starts.get(&activity.id)
    });
    elsewhere.map(|activity| StepId(activity.id.clone())).collect()
}
