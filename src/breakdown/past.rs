//! What lies behind when a problem is assembled: done, running and half-done steps.

use crate::calendar::Elapsed;
use crate::card::StepKind;
use crate::plan::Activity;

use super::assemble::Assembler;
use super::grid::{GRID, down, length, minutes_of, nearest, up};
use super::{Step, StepId};

/// Where a step stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum State {
    /// To be placed.
    Open,
    /// Placed by hand, at these slots.
    Pinned(Vec<i32>),
    /// All behind: from where to where it still runs on the grid (a point when it is over), and its
    /// real end in minutes.
    Past { from: i32, to: i32, end: i32 },
    /// Sittings from this one on lie ahead, at these slots; none: they are to be placed.
    Begun { from: usize, slots: Option<Vec<i32>> },
    /// Nobody ticked it, but what comes after it has happened.
    Skipped,
}

impl Assembler<'_> {
    /// Finds the state of every step.
    pub(super) fn look_back(&mut self) {
        let now = self.input.now;
        for step in &self.input.work.steps {
            let mut state = State::Open;
            if let Some(starts) = self.input.fixed.get(&step.id).filter(|starts| !starts.is_empty())
            {
                state = self.state(step, starts);
            } else if let Some(starts) = self.input.begun.get(&step.id) {
                state = State::Begun { from: starts.len().min(step.sittings.len()), slots: None };
            }
            let starts = self.input.fixed.get(&step.id).or_else(|| self.input.begun.get(&step.id));
            if matches!(step.kind, StepKind::Plain | StepKind::Fine)
                && let Some(starts) = starts
            {
                let behind = starts.iter().zip(&step.sittings).filter(|(start, _)| **start < now);
                self.past_work.extend(behind.map(|(start, len)| (*start, *len, step.kind)));
            }
            self.states.insert(&step.id, state);
        }
        // What has happened needed what comes before it, ticked or not.
        let mut open: Vec<&StepId> = self
            .states
            .iter()
            .filter(|(_, state)| matches!(state, State::Past { .. } | State::Begun { .. }))
            .map(|(id, _)| *id)
            .collect();
        while let Some(id) = open.pop() {
            for rest in self.input.work.rests.iter().filter(|rest| rest.to == *id) {
                if let Some(state) = self.states.get_mut(&rest.from)
                    && matches!(state, State::Open | State::Pinned(_))
                {
                    *state = State::Skipped;
                    open.push(&rest.from);
                }
            }
        }
    }

    fn state(&mut self, step: &Step, starts: &[Elapsed]) -> State {
        let now = self.input.now;
        let last = starts.last().copied().unwrap_or(now);
        if last < now {
            let length = step.sittings.last().copied().unwrap_or(0);
            let end = last.plus(i32::try_from(length).unwrap_or(i32::MAX)).0;
            let today = down(now.0).max(0);
            if now.0 < end {
                return State::Past { from: today, to: up(end), end };
            }
            // The point that stands for it lies inside the horizon; lags are corrected for the rest.
            let point = down(end).clamp(0, today);
            return State::Past { from: point, to: point, end };
        }
        if starts.len() != step.sittings.len() {
            self.note(
                step,
                format!(
                    "“{}” was pinned in {} sittings and now takes {}; it is planned anew",
                    step.name,
                    starts.len(),
                    step.sittings.len()
                ),
                false,
            );
            return State::Open;
        }
        let from = starts.iter().position(|start| now <= *start).unwrap_or(0);
        let slots: Vec<i32> = starts.iter().skip(from).map(|start| nearest(start.0)).collect();
        if from == 0 { State::Pinned(slots) } else { State::Begun { from, slots: Some(slots) } }
    }

    /// How a step's real end lies to the end that the problem has for it; none when it is not there.
    pub(super) fn correction(&self, id: &StepId) -> Option<Correction> {
        match self.states.get(id)? {
            State::Skipped => None,
            State::Past { to, end, .. } => {
                Some(Correction { early: 0, behind: end - to * i32::from(GRID) })
            }
            State::Open | State::Pinned(_) | State::Begun { .. } => {
                let step = self.input.work.steps.iter().find(|step| step.id == *id)?;
                let last = step.sittings.last().copied().unwrap_or(0);
                let early = length(last) * i32::from(GRID) - minutes_of(last);
                Some(Correction { early, behind: 0 })
            }
        }
    }

    /// The same for its start.
    pub(super) fn start_correction(&self, id: &StepId) -> Option<Correction> {
        let slot = match self.states.get(id)? {
            State::Skipped => return None,
            State::Open | State::Pinned(_) => return Some(Correction { early: 0, behind: 0 }),
            State::Past { from, .. } => *from,
            // What is left has no place yet: see [`Assembler::end_begun_limits`].
            State::Begun { slots, .. } => slots.as_ref()?.first().copied()?,
        };
        let real = self.input.fixed.get(id)?.first()?;
        Some(Correction { early: 0, behind: real.0 - slot * i32::from(GRID) })
    }

    /// By when what is left of a step under way must end, so that no pause between its sittings is too long.
    pub(super) fn pause_ends(&self, step: &Step, from: usize, left: &[i32]) -> Option<i32> {
        let pause = minutes_of(step.pause_max?);
        let before = from.checked_sub(1)?;
        let start = self.input.begun.get(&step.id)?.get(before)?;
        let end = start.0.saturating_add(minutes_of(*step.sittings.get(before)?));
        let pauses = i32::try_from(left.len()).unwrap_or(i32::MAX).saturating_mul(down(pause));
        Some(down(end).saturating_add(pauses).saturating_add(left.iter().sum()))
    }

    /// Limits that run from the start of a step under way: whatever they bound has to end by then. What is left of the
    /// step may be placed anywhere, so that its start in the problem says nothing of when it was begun.
    pub(super) fn end_begun_limits(&self, activities: &mut [Activity]) {
        for limit in self.input.work.limits.iter().filter(|limit| limit.from_start) {
            let free =
                matches!(self.states.get(&limit.from), Some(State::Begun { slots: None, .. }));
            let start = self.input.begun.get(&limit.from).and_then(|starts| starts.first());
            let (true, Some(start)) = (free, start) else { continue };
            let end = down(start.0.saturating_add(minutes_of(limit.greatest)));
            let to = activities.iter_mut().find(|of| of.id == limit.to.0 && of.pin.is_none());
            if let Some(to) = to {
                to.latest = Some(to.latest.map_or(end, |latest| latest.min(end)));
            }
        }
    }

    /// Whether a step's first sitting lies ahead, so that rests before it still count.
    pub(super) fn ahead(&self, id: &StepId) -> bool {
        matches!(self.states.get(id), Some(State::Open | State::Pinned(_)))
    }
}

/// How the real end of a step differs from the end on the grid.
#[derive(Debug, Clone, Copy)]
pub(super) struct Correction {
    /// Minutes by which work ends before its last slot does, so that a rest really begins earlier.
    pub(super) early: i32,
    /// For what is past: its real end less the slot that stands for it, in minutes.
    pub(super) behind: i32,
}

impl Correction {
    /// Least lag in slots; never shorter than the real one, and never negative.
    pub(super) fn least(self, minutes: i32) -> i32 {
        up(minutes.saturating_add(self.behind)).max(0)
    }

    /// Greatest lag in slots; never longer than the real one.
    pub(super) fn greatest(self, minutes: i32) -> i32 {
        down(minutes.saturating_add(self.behind).saturating_sub(self.early))
    }
}
