//! What an order that is handed over has shown: how long its steps really took.

use super::command::{After, put};
use super::{Book, Record, Worked};
use crate::breakdown::Step;
use crate::card::{FIRST_TIME, StepKind};
use crate::margin::{Margins, Timed};
use crate::order::{Order, Stage};

impl Book {
    /// Takes in what an order has shown once it is handed over, and takes it back when it is no longer.
    pub(super) fn learn(&self, order: &Order, after: &mut After) {
        let mut margins = self.margins.clone();
        margins.forget_order(order.id.0);
        if order.stage == Stage::HandedOver {
            for (step, timed) in self.timed(order) {
                let name = step.id.0.rsplit('.').next().unwrap_or_default();
                margins.learn(&step.card, name, timed);
            }
        }
        if margins != self.margins {
            put(after, Record::Margins(margins));
        }
    }

    /// Steps by hand that are done and were timed, with what practised hands would have taken.
    fn timed(&self, order: &Order) -> Vec<(Step, Timed)> {
        let Some(reckoner) = self.reckoner() else { return Vec::new() };
        let mut practised = order.clone();
        for item in &mut practised.items {
            item.options.insert(FIRST_TIME.to_owned(), 0);
        }
        let usual = reckoner.work(&practised, &Margins::default());
        let planned = reckoner.work(order, &self.margins);
        let mut found = Vec::new();
        for step in usual.steps {
            let by_hand = matches!(step.kind, StepKind::Plain | StepKind::Fine);
            let (Some(went), Some(asked)) =
                (self.progress.get(&step.id), planned.steps.iter().find(|one| one.id == step.id))
            else {
                continue;
            };
            let whole = asked.sittings.len() <= went.done() && went.running().is_none();
            let noted = went
                .sittings
                .iter()
                .zip(&asked.sittings)
                .all(|(worked, minutes)| as_planned(worked, *minutes));
            if !(by_hand && whole) || noted {
                continue;
            }
            let real =
                went.sittings.iter().filter_map(Worked::minutes).fold(0, u32::saturating_add);
            let estimated = step.sittings.iter().copied().fold(0, u32::saturating_add);
            found.push((step, Timed { order: order.id.0, estimated, real }));
        }
        found
    }
}

/// Whether a sitting was merely noted as it had been planned: nobody timed it.
fn as_planned(worked: &Worked, minutes: u32) -> bool {
    worked.took.is_none() && worked.seconds(0) == i64::from(minutes) * 60
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::breakdown::{StepId, Work};
    use crate::order::OrderId;
    use crate::record::book::tests::full_book;
    use crate::record::{Command, Deed, Outlook, PlanInput};

    const SIX: i64 = 1_796_148_000;

    /// One order of cookies, of which a step by hand is worked for so many minutes.
    fn worked(minutes: i64) -> (Book, StepId, u32) {
        let mut book = full_book();
        book.margins = Margins::default();
        book.progress.clear();
        book.pins.clear();
        let work = work(&book);
        let step = work.steps.iter().find(|step| {
            step.kind == StepKind::Plain && step.sittings.len() == 1 && step.id.0.starts_with("o1.")
        });
        let step = step.expect("one sitting").clone();
        for (deed, at) in [(Deed::Start, SIX), (Deed::Done, SIX + minutes * 60 + 7)] {
            book.apply(Command::Work(step.id.clone(), deed, at)).expect("is possible");
        }
        (book, step.id, step.sittings[0])
    }

    fn work(book: &Book) -> Work {
        let input = PlanInput {
            now: "2026-11-25T12:00".parse().expect("a time"),
            zone: crate::calendar::Zone::fixed("kitchen", 0),
        };
        Outlook::of(book, &input).expect("is set up").work
    }

    #[test]
    fn what_was_timed_counts_for_the_next_order_once_it_is_handed_over() {
        let (mut book, step, usual) = worked(90);
        assert_eq!(book.margins, Margins::default(), "not before it is handed over");
        book.apply(Command::SetStage(OrderId(1), Stage::HandedOver)).expect("is possible");
        let times: Vec<&Timed> = book.margins.steps.values().flatten().collect();
        assert_eq!(times, [&Timed { order: 1, estimated: usual, real: 90 }]);
        let mut next = book.orders[&OrderId(1)].clone();
        (next.id, next.stage) = (book.next_order(), Stage::Confirmed);
        let number = next.id.0;
        book.apply(Command::PutOrder(next)).expect("is possible");
        let again = StepId(step.0.replacen("o1.", &format!("o{number}."), 1));
        let planned = work(&book);
        let planned = planned.steps.iter().find(|one| one.id == again).expect("is planned");
        let sum: u32 = planned.sittings.iter().sum();
        assert!(usual < sum && sum < 90, "{usual} < {sum} < 90");
        assert!(planned.detail.contains("your pace"), "{}", planned.detail);
        // Taken back, it is not learned.
        book.apply(Command::SetStage(OrderId(1), Stage::Confirmed)).expect("is possible");
        assert_eq!(book.margins, Margins::default());
    }

    #[test]
    fn what_was_merely_noted_as_planned_teaches_nothing() {
        let (mut book, step, usual) = worked(90);
        book.progress.clear();
        let until = SIX + i64::from(usual) * 60;
        book.apply(Command::Work(step, Deed::Was(until), SIX)).expect("is possible");
        book.apply(Command::SetStage(OrderId(1), Stage::HandedOver)).expect("is possible");
        assert_eq!(book.margins, Margins::default());
    }

    #[test]
    fn what_was_timed_can_be_forgotten_and_brought_back() {
        let (mut book, ..) = worked(90);
        book.apply(Command::SetStage(OrderId(1), Stage::HandedOver)).expect("is possible");
        let learned = book.margins.clone();
        let key = learned.steps.keys().next().expect("one").clone();
        book.apply(Command::ForgetTimes(Some(key))).expect("is possible");
        assert_eq!(book.margins, Margins::default());
        book.margins = learned;
        let change = book.apply(Command::ForgetTimes(None)).expect("is possible");
        assert_eq!((book.margins.steps.len(), change.swaps.len()), (0, 1));
    }
}
