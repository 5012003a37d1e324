//! What was found not to stand in a place together, in words.
//!
//! In: a resource that stands for a cut. Out: whose things it is about, by the names that the baker gave them.

use crate::breakdown::{Cut, Origin, Standings, StepId};
use crate::calendar::Elapsed;
use crate::kitchen::Place;
use crate::plan::arrange::set_of;

use super::view::Context;
use super::why_not::listed;
use super::words::at_place;

/// The place that a resource's id names.
pub(super) fn place_of(resource: &str) -> Option<Place> {
    let named = Cut::named(resource).map(|(place, _)| place);
    named.or_else(|| Place::ALL.into_iter().find(|place| resource.starts_with(place.id())))
}

/// A cut of the week's problem.
pub(super) struct Together<'a> {
    context: &'a Context<'a>,
    standings: &'a Standings,
    cut: &'a Cut,
}

impl<'a> Together<'a> {
    /// None when the resource is no cut.
    pub(super) fn of(context: &'a Context<'a>, resource: &str) -> Option<Self> {
        let (_, number) = Cut::named(resource)?;
        let assembled = &context.input.outlook.assembled;
        let (standings, cut) = (assembled.standings.as_ref()?, assembled.cuts.get(number)?);
        Some(Self { context, standings, cut })
    }

    /// "layers (Mira Holm) and cakes (Jo Vance), or larger ones, in the fridge".
    pub(super) fn set(&self) -> String {
        let larger = if self.cut.larger.is_empty() { "" } else { ", or larger ones," };
        format!("{}{larger} {}", self.names(&self.cut.members), at_place(self.cut.place))
    }

    /// "layers (Mira Holm) and cakes (Jo Vance) cannot stand in the fridge together, however they are packed".
    pub(super) fn trouble(&self, at: Elapsed) -> String {
        let there = self.standing(at);
        let what = self.names(if there.is_empty() { &self.cut.members } else { &there });
        let place = at_place(self.cut.place);
        match (self.cut.proven, self.cut.members.len()) {
            (true, 1) => format!("{what} cannot stand {place}, however it is packed"),
            (true, _) => format!("{what} cannot stand {place} together, however they are packed"),
            (false, _) => format!("No way was found to pack {what} {place}"),
        }
    }

    /// The steps after which that which stands there at a moment was put there.
    pub(super) fn steps(&self, at: Elapsed) -> Vec<StepId> {
        let steps = set_of(self.standing(at).iter().filter_map(|&index| self.step(index)));
        steps.into_iter().collect()
    }

    /// Of all that the cut is about, what stands there by the plan.
    fn standing(&self, at: Elapsed) -> Vec<usize> {
        let input = &self.context.input;
        let stays = self.standings.stays(&input.outlook.assembled.problem, input.plan);
        let mine =
            |index: &usize| self.cut.members.contains(index) || self.cut.larger.contains(index);
        let there = stays.iter().filter(|(index, stay)| mine(index) && stay.span.contains(at));
        there.map(|(index, _)| *index).collect()
    }

    /// Each name once.
    fn names(&self, of: &[usize]) -> String {
        let mut names: Vec<String> = Vec::new();
        for &index in of {
            let Some(stand) = self.standings.all.get(index) else { continue };
            let order = self.step(index).and_then(|step| self.context.step(&step));
            let whose = order.map(|step| self.context.order_title(step.order));
            let name = match whose {
                Some(whose) => format!("{} ({whose})", stand.label),
                None => stand.label.clone(),
            };
            if !names.contains(&name) {
                names.push(name);
            }
        }
        listed(&names)
    }

    fn step(&self, index: usize) -> Option<StepId> {
        match &self.standings.all.get(index)?.origin {
            Origin::Step { activity } | Origin::Pause { activity } => {
                Some(StepId(activity.clone()))
            }
            Origin::Rest { link, .. } => {
                let rests = &self.context.input.outlook.work.rests;
                rests.iter().find(|rest| rest.id == *link).map(|rest| rest.from.clone())
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::standing::stays;
    use super::super::view::WeekInput;
    use super::*;
    use crate::calendar::{Date, Span, Zone};
    use crate::demo::demo;
    use crate::kitchen::{FootBox, Stay};
    use crate::plan::check::Report;
    use crate::record::{Outlook, PackedPlanner, PlanInput};

    #[test]
    fn what_the_week_shows_in_its_places_is_what_was_packed() {
        for day in 0..7 {
            let now = Date::new(2027, 2, 1).expect("a date").plus_days(day).at(12 * 60);
            let book = demo(now);
            let input = PlanInput { now, zone: Zone::fixed("kitchen", 0) };
            let outlook = Outlook::of(&book, &input).expect("kitchen and time are set up");
            let standings = outlook.assembled.standings.clone().expect("a kitchen");
            let problem = &outlook.assembled.problem;
            let mut planner =
                PackedPlanner::new(problem, 1, Some(&standings), None).expect("sound");
            while planner.improve(20).objective.is_none() {}
            let plan = planner.plan();
            let week = WeekInput {
                book: &book,
                outlook: &outlook,
                plan: &plan,
                report: &Report::default(),
                now,
                first_day: 0,
                unfolded: &std::collections::BTreeSet::new(),
            };
            let context = Context::of(week);
            let ahead = Span::new(standings.now, outlook.horizon.len());
            let in_order = |stays: Vec<Stay>| {
                let ahead = stays.into_iter().filter_map(|stay| {
                    let span = stay.span.shared(ahead)?;
                    Some((stay.place.id(), span.start, span.end, stay.boxes))
                });
                let mut all: Vec<_> = ahead.collect();
                all.sort_by_key(|(place, start, end, boxes)| {
                    (*place, *start, *end, format!("{boxes:?}"))
                });
                all
            };
            let packed = standings.stays(problem, &plan).into_iter().map(|(_, stay)| stay);
            let packed = in_order(packed.collect());
            assert!(packed.len() > 20, "{} stays on day {day}", packed.len());
            let shown = in_order(stays(&context));
            let only = |of: &[(_, _, _, Vec<FootBox>)],
                        not: &[(&str, Elapsed, Elapsed, Vec<FootBox>)]|
             -> Vec<String> {
                of.iter().filter(|one| !not.contains(one)).map(|one| format!("{one:?}")).collect()
            };
            assert_eq!(only(&shown, &packed), Vec::<String>::new(), "shown only, on day {day}");
            assert_eq!(only(&packed, &shown), Vec::<String>::new(), "packed only, on day {day}");
            assert_eq!(shown.len(), packed.len(), "on day {day}");
        }
    }
}
