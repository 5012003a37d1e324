//! Rests and keeping limits as links of the planning problem.

use std::collections::BTreeMap;

use crate::plan::arrange::Arrange;
use crate::plan::{At, Link, Mode, Tail};

use super::assemble::{Assembler, HOME};
use super::grid::{down, length, minutes_of};
use super::past::{Correction, State};
use super::{AgeLimit, Rest, RestChoice, RestStay, Step};

/// What is lost when a product has used up all of its keeping time, in units of the problem's cost.
const FRESHNESS: i64 = 20_000;
/// A product without a limit ages as slowly as one that keeps for a month.
const UNLIMITED_SLOTS: i64 = 30 * 96;

impl Assembler<'_> {
    /// The calendar of starts for which somebody is home to take out what the step needs: an hour
    /// before, or whatever the last stretch of a rest takes. Only the usual way of a rest counts: the
    /// others thaw in their wrapping, which does not mind being taken out some hours early.
    pub(super) fn taken_out(
        &self,
        step: &Step,
        home: &[(i32, i32)],
        calendars: &mut BTreeMap<String, Vec<(i32, i32)>>,
    ) -> Option<String> {
        let rests = self.input.work.rests.iter().filter(|rest| rest.to == step.id);
        let mut tails: Vec<i32> = rests
            .filter(|rest| !matches!(self.states.get(&rest.from), Some(State::Skipped) | None))
            .filter_map(|rest| rest.choices.first()?.tail.as_ref())
            .map(|(minutes, _)| length(*minutes))
            .collect();
        tails.arrange();
        tails.dedup();
        if tails.is_empty() {
            return None;
        }
        let names: Vec<String> = tails.iter().map(i32::to_string).collect();
        let name = format!("{HOME}-{}-slots-before", names.join("-and-"));
        if !calendars.contains_key(&name) {
            let later = |by: i32| home.iter().map(move |(start, end)| (start + by, end + by));
            let mut windows: Vec<(i32, i32)> = vec![(0, i32::MAX)];
            for tail in tails {
                windows = windows
                    .iter()
                    .flat_map(|(s, e)| later(tail).map(|(a, b)| (a.max(*s), b.min(*e))))
                    .filter(|(start, end)| start < end)
                    .collect();
            }
            let last = down(self.input.horizon.len().0);
            let windows = windows.into_iter().map(|(start, end)| (start, end.min(last)));
            calendars.insert(name.clone(), windows.filter(|(start, end)| start < end).collect());
        }
        Some(name)
    }

    pub(super) fn link(&mut self, rest: &Rest) -> Option<Link> {
        let correction = self.correction(&rest.from)?;
        let handover = self.input.work.is_last(rest);
        if !handover && !self.ahead(&rest.to) {
            return None;
        }
        let margin = if handover { self.input.safety_margin } else { 0 };
        let step = self.input.work.steps.iter().find(|step| step.id == rest.from);
        let mut modes = Vec::new();
        let mut troubles = Vec::new();
        for choice in &rest.choices {
            let (mode, trouble) = self.mode(choice, correction, margin, handover);
            modes.push((mode, trouble.is_none()));
            troubles.extend(trouble);
        }
        // A way that no shelf can take is left out while there is another.
        let some_fit = modes.iter().any(|(_, fits)| *fits);
        let modes: Vec<Mode> = modes
            .into_iter()
            .filter(|(_, fits)| *fits || !some_fit)
            .map(|(mode, _)| mode)
            .collect();
        if let Some(step) = step {
            for trouble in troubles {
                self.note(step, format!("{}: {trouble}", rest.what), !some_fit);
            }
        }
        let mut link = Link {
            id: rest.id.clone(),
            from: rest.from.0.clone(),
            from_at: At::E,
            to: rest.to.0.clone(),
            to_at: At::S,
            min: 0,
            max: None,
            store: Vec::new(),
            age_weight: 0,
            modes: Vec::new(),
        };
        match modes.as_slice() {
            [only] if only.tail.is_none() && rest.choices.len() == 1 => {
                link.min = only.min;
                link.max = only.max;
                link.store.clone_from(&only.store);
                link.age_weight = only.age_weight;
            }
            _ => link.modes = modes,
        }
        Some(link)
    }

    fn mode(
        &mut self,
        choice: &RestChoice,
        correction: Correction,
        margin: u32,
        keeps: bool,
    ) -> (Mode, Option<String>) {
        let mut trouble = None;
        let mut store = |stay: Option<&RestStay>| {
            stay.map_or_else(Vec::new, |stay| {
                let (amounts, problem) = self.stores.amounts(stay);
                trouble = trouble.take().or(problem);
                amounts
            })
        };
        let tail = choice
            .tail
            .as_ref()
            .map(|(minutes, stay)| Tail { len: length(*minutes), store: store(stay.as_ref()) });
        let store = store(choice.stay.as_ref());
        let least = minutes_of(choice.least.max(margin));
        let shortest = tail.as_ref().map_or(0, |tail| tail.len);
        let min = correction.least(least).max(shortest);
        // A limit that ran out in the past stays unkept all the same: the work ahead is after it.
        let most = |minutes: u32| correction.greatest(minutes_of(minutes)).max(min);
        let max = choice.greatest.map(|greatest| most(greatest.saturating_add(choice.over)));
        // What may be past its best is to be as little of it as may be.
        let age_weight = if keeps || 0 < choice.over && choice.greatest.is_some() {
            freshness(choice.greatest.map(most))
        } else {
            0
        };
        let cost = i64::from(choice.cost);
        (Mode { name: choice.name.clone(), min, max, store, tail, age_weight, cost }, trouble)
    }

    pub(super) fn age_limit(&self, limit: &AgeLimit) -> Option<Link> {
        let correction = if limit.from_start {
            self.start_correction(&limit.from)?
        } else {
            self.correction(&limit.from)?
        };
        let handover = self.input.work.handovers.iter().any(|point| point.id == limit.to);
        if !handover && !self.ahead(&limit.to) {
            return None;
        }
        let most = |minutes: u32| correction.greatest(minutes_of(minutes)).max(0);
        Some(Link {
            id: limit.id.clone(),
            from: limit.from.0.clone(),
            from_at: if limit.from_start { At::S } else { At::E },
            to: limit.to.0.clone(),
            to_at: At::E,
            min: 0,
            max: Some(most(limit.greatest.saturating_add(limit.over))),
            store: Vec::new(),
            age_weight: if 0 < limit.over { freshness(Some(most(limit.greatest))) } else { 0 },
            modes: Vec::new(),
        })
    }
}

/// What a slot of ageing costs where so many slots are all that it keeps.
fn freshness(keeps: Option<i32>) -> i64 {
    (FRESHNESS / keeps.map_or(UNLIMITED_SLOTS, i64::from).max(1)).max(1)
}
