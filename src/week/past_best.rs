//! What a plan lets be past its best, where an order allows that.

use crate::breakdown::StepId;
use crate::calendar::Elapsed;
use crate::order::OrderId;
use crate::plan::arrange::Arrange;

use super::standing::placed_rests;
use super::view::Context;
use super::words::{capitalised, duration};

/// Something that a plan has past a limit of its quality.
pub(super) struct PastBest {
    pub(super) order: OrderId,
    /// The steps before and after; the latter may be a handover.
    pub(super) steps: [StepId; 2],
    /// Minutes past the limit.
    pub(super) by: i32,
    /// "Buttercream (Mara) is 10 h past its best, which this order allows".
    pub(super) words: String,
}

/// All of it, by order; of each order first what is longest past its best.
pub(super) fn past_best(context: &Context<'_>) -> Vec<PastBest> {
    let work = &context.input.outlook.work;
    let mut all: Vec<PastBest> = Vec::new();
    let mut add = |from: &StepId, to: &StepId, what: &str, passed: i32, greatest: u32| {
        let by = passed.saturating_sub(i32::try_from(greatest).unwrap_or(i32::MAX));
        let Some(step) = context.step(from).filter(|_| 0 < by) else { return };
        let title = context.order_title(step.order);
        let (what, by_words) = (capitalised(what), duration(by));
        all.push(PastBest {
            order: step.order,
            steps: [from.clone(), to.clone()],
            by,
            words: format!("{what} ({title}): {by_words} past its best, which this order allows"),
        });
    };
    for placed in placed_rests(context).iter().filter(|placed| 0 < placed.choice.over) {
        let (rest, passed) = (placed.rest, placed.span.minutes());
        let greatest = placed.choice.greatest.unwrap_or(u32::MAX);
        add(&rest.from, &rest.to, &rest.what, passed, greatest);
    }
    for limit in work.limits.iter().filter(|limit| 0 < limit.over) {
        let Some(from) = context.extent(&limit.from) else { continue };
        let end: Option<Elapsed> = context
            .extent(&limit.to)
            .map_or_else(|| context.start_of(&limit.to), |extent| Some(extent.end));
        let Some(end) = end else { continue };
        let start = if limit.from_start { from.start } else { from.end };
        add(&limit.from, &limit.to, &limit.what, end.0 - start.0, limit.greatest);
    }
    all.arrange_by(|a, b| (a.order, b.by, &a.words).cmp(&(b.order, a.by, &b.words)));
    all.dedup_by(|a, b| a.words == b.words);
    all
}

#[cfg(test)]
mod tests {
    use super::super::fixture::fixture;
    use super::super::{WeekView, account_lines, keeps};
    use super::*;

    fn words(fixture: &super::super::fixture::Fixture) -> Vec<String> {
        past_best(&Context::of(fixture.input())).into_iter().map(|one| one.words).collect()
    }

    #[test]
    fn what_an_order_allows_is_marked_where_the_plan_uses_it() {
        let mut fixture = fixture();
        assert_eq!(words(&fixture), [""; 0]);
        // Piped on Friday until 20:00 and handed over on Saturday at 15:00, 19 hours later.
        let keep = &mut fixture.outlook.work.rests[1].choices[0];
        (keep.greatest, keep.over) = (Some(12 * 60), 8 * 60);
        // Baked on Tuesday until 20:30, 90 ½ hours before.
        let baked = &mut fixture.outlook.work.limits[0];
        (baked.greatest, baked.over) = (90 * 60, 60);
        let found = words(&fixture);
        assert_eq!(found.len(), 2);
        assert!(found[0].contains(": 7 h past its best, which this order allows"), "{found:?}");
        assert!(found[1].contains(": 30 min past its best"), "{found:?}");
        let view = WeekView::of(fixture.input());
        let marked = |step: &str| -> Vec<String> {
            let all = view.days.iter().flat_map(|day| &day.blocks);
            let own = all.filter(|block| block.key.step.0 == step);
            own.flat_map(|block| block.past_best.clone()).collect()
        };
        assert_eq!(marked("o1.i1.pipe"), found[..1]);
        assert_eq!(marked("o1.i1.bake"), found[1..]);
        assert_eq!(marked("o1.i1.flood"), [""; 0]);
        let lines = account_lines(fixture.input());
        let line = lines.iter().find(|line| line.what == "Past its best, as you allow");
        assert_eq!(line.map(|line| line.amount.as_str()), Some("7 h 30 min"));
        let kept = keeps(fixture.input());
        assert_eq!(kept[0].used, 159, "19 of 12 hours");
        assert!(kept[0].words.contains("7 h before the handover, which this order allows"));
        // A limit that nothing may pass is none of this.
        fixture.outlook.work.rests[1].choices[0].over = 0;
        fixture.outlook.work.limits[0].over = 0;
        assert_eq!(words(&fixture), [""; 0]);
    }
}
