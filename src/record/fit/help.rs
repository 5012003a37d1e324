//! What would make it fit, looked for by turns: something to give, fewer spares, a later day.
//!
//! In: the book, the order, and the least bad plan as asked. Out: one finding after the other. Each is found by
//! planning it.

use std::collections::VecDeque;

use super::run::Run;
use super::{FewerSpares, FitAnswer};
use crate::calendar::Wall;
use crate::order::{ItemId, Order};
use crate::plan::explain::{Conflict, Remedy, Tried, WhyNot};
use crate::record::{Book, PackedCheck, PlanInput, room_clearings};

/// Most days by which a later handover is tried.
const DAYS_LATER_MOST: i64 = 42;
/// Evaluations for one form of the order.
const EVALUATIONS_A_FORM: u64 = 160;
/// Evaluations that suffice for one remedy.
const EVALUATIONS_A_REMEDY: u64 = 240;
/// Nobody reads on after so many remedies, some of which sound alike.
const REMEDIES_ENOUGH: usize = 8;
/// Cases of proofs for the conflict.
const CASES: u64 = 800;

/// Looks for help.
pub(super) struct Help {
    why: WhyNot,
    packed: Option<PackedCheck>,
    /// Remedies that ask for room, and whether their plans are packed in it.
    roomy: Vec<(Remedy, bool)>,
    /// Evaluations left for remedies; none when there is nothing more to try.
    for_remedies: u64,
    spares: VecDeque<(ItemId, u32)>,
    days: Days,
    /// What is being planned.
    running: Option<(Form, Run)>,
    turn: usize,
}

/// The order in another form.
enum Form {
    Spares(ItemId, u32),
    Later(i64),
}

impl Help {
    /// Finds the conflict at once; the rest step by step.
    pub(super) fn new(
        input: &PlanInput,
        enquiry: &Order,
        answer: &FitAnswer,
        evaluations: u64,
    ) -> Self {
        let problem = &answer.outlook.assembled.problem;
        let grid = i32::from(problem.grid_minutes.max(1));
        let now = answer.outlook.horizon.elapsed(input.now).0.div_euclid(grid) + 1;
        let spares = enquiry.items.iter().filter(|item| item.spares > 0).flat_map(|item| {
            let mut amounts = vec![item.spares / 2, 0];
            amounts.dedup();
            amounts.into_iter().map(|spares| (item.id, spares))
        });
        Self {
            why: WhyNot::new(problem, &answer.plan, now, CASES),
            packed: answer.outlook.assembled.standings.as_ref().map(PackedCheck::new),
            roomy: Vec::new(),
            for_remedies: evaluations,
            spares: spares.collect(),
            days: Days::new(),
            running: None,
            turn: 0,
        }
    }

    /// What cannot hold together.
    pub(super) fn conflict(&self) -> &Conflict {
        self.why.conflict()
    }

    /// Looks a little further and writes what it finds into the answer; false when all is done.
    pub(super) fn step(
        &mut self,
        book: &Book,
        input: &PlanInput,
        enquiry: &Order,
        answer: &mut FitAnswer,
    ) -> bool {
        if let Some((form, mut run)) = self.running.take() {
            if run.step() {
                self.running = Some((form, run));
            } else {
                self.hear(&form, &mut run, enquiry, answer);
            }
            return true;
        }
        // Three kinds of help take turns, so that something of each is known early.
        for _ in 0..3 {
            self.turn = (self.turn + 1) % 3;
            if self.turn == 0 && self.refine(answer) {
                return true;
            }
            let form = match self.turn {
                1 => self.spares.front().map(|(item, spares)| Form::Spares(*item, *spares)),
                2 => self.days.next().map(Form::Later),
                _ => None,
            };
            let Some(form) = form else { continue };
            let order = form.of(enquiry);
            match Run::worth_it(book, input, &order, EVALUATIONS_A_FORM) {
                Some(run) => self.running = Some((form, run)),
                None => self.fail(&form),
            }
            return true;
        }
        false
    }

    /// Tries the next remedy; false when there is none.
    fn refine(&mut self, answer: &mut FitAnswer) -> bool {
        if self.for_remedies < EVALUATIONS_A_REMEDY || answer.remedies.len() >= REMEDIES_ENOUGH {
            return false;
        }
        let before = self.why.spent();
        if self.why.refine(EVALUATIONS_A_REMEDY) {
            self.for_remedies = 0;
        }
        let spent = (self.why.spent() - before).max(1);
        self.for_remedies = self.for_remedies.saturating_sub(spent);
        let found = self.why.remedies().to_vec();
        let packed = found.into_iter().filter(|tried| self.is_packed(answer, tried));
        answer.remedies = packed.collect();
        true
    }

    /// Whether its plan is packed, with the shelves cleared that it asks for.
    fn is_packed(&mut self, answer: &FitAnswer, tried: &Tried) -> bool {
        let assembled = &answer.outlook.assembled;
        let problem = &assembled.problem;
        let (Some(standings), Some(packed)) = (&assembled.standings, &mut self.packed) else {
            return true;
        };
        let known = self.roomy.iter().find(|(remedy, _)| *remedy == tried.remedy);
        if let Some((_, known)) = known {
            return *known;
        }
        let parts = tried.remedy.parts();
        let rooms = parts.iter().filter_map(|part| room_clearings(assembled, &answer.plan, part));
        let clearings = rooms.collect::<Vec<_>>().concat();
        if clearings.is_empty() {
            return packed.holds(problem, &tried.plan);
        }
        let mut cleared = standings.clone();
        cleared.kitchen.clearings.extend(clearings);
        let holds = PackedCheck::new(&cleared).holds(problem, &tried.plan);
        self.roomy.push((tried.remedy.clone(), holds));
        holds
    }

    fn hear(&mut self, form: &Form, run: &mut Run, enquiry: &Order, answer: &mut FitAnswer) {
        let Some(plan) = run.sound_plan() else { return self.fail(form) };
        match form {
            Form::Spares(item, spares) => {
                // With fewer still it would fit as well.
                self.spares.retain(|(other, _)| other != item);
                answer.spares.push(FewerSpares { item: *item, spares: *spares, plan });
            }
            Form::Later(days) => {
                self.days.works(*days);
                answer.not_before = Some(later(enquiry, *days).handover.at);
            }
        }
    }

    fn fail(&mut self, form: &Form) {
        match form {
            Form::Spares(..) => {
                self.spares.pop_front();
            }
            Form::Later(days) => self.days.fails(*days),
        }
    }
}

impl Form {
    fn of(&self, enquiry: &Order) -> Order {
        match self {
            Self::Spares(id, spares) => {
                let mut order = enquiry.clone();
                for item in order.items.iter_mut().filter(|item| item.id == *id) {
                    item.spares = *spares;
                }
                order
            }
            Self::Later(days) => later(enquiry, *days),
        }
    }
}

fn later(order: &Order, days: i64) -> Order {
    let mut later = order.clone();
    let at: Wall = order.handover.at;
    later.handover.at = at.date().plus_days(days).at(at.minute_of_day());
    later
}

/// Seeks the first day that works, taking later ones to be no harder: in growing steps, then by halving.
struct Days {
    failed: i64,
    works: Option<i64>,
}

impl Days {
    fn new() -> Self {
        Self { failed: 0, works: None }
    }

    /// Days later to be tried next.
    fn next(&self) -> Option<i64> {
        match self.works {
            Some(works) => (works - self.failed > 1).then(|| i64::midpoint(self.failed, works)),
            None => (self.failed < DAYS_LATER_MOST)
                .then(|| (self.failed * 2).clamp(self.failed + 1, DAYS_LATER_MOST)),
        }
    }

    fn works(&mut self, days: i64) {
        self.works = Some(days);
    }

    fn fails(&mut self, days: i64) {
        self.failed = days;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_day_that_works_is_found_in_few_tries() {
        for first in 1..=DAYS_LATER_MOST {
            let mut days = Days::new();
            let mut tries = 0;
            while let Some(next) = days.next() {
                tries += 1;
                if next >= first { days.works(next) } else { days.fails(next) }
            }
            assert_eq!(days.works, Some(first));
            assert!(tries <= 12, "{tries} tries for day {first}");
        }
        let mut days = Days::new();
        while let Some(next) = days.next() {
            days.fails(next);
        }
        assert_eq!((days.works, days.failed), (None, DAYS_LATER_MOST));
    }
}
