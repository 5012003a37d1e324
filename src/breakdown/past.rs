//! What lies behind when a problem is assembled: done, running and half-done steps.

use crate::calendar::Elapsed;
use crate::card::StepKind;

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
    /// Sittings from this one on lie ahead, at these slots.
    Begun { from: usize, slots: Vec<i32> },
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
            }
            if matches!(step.kind, StepKind::Plain | StepKind::Fine)
                && let Some(starts) = self.input.fixed.get(&step.id)
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
        if from == 0 { State::Pinned(slots) } else { State::Begun { from, slots } }
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
            State::Begun { slots, .. } => slots.first().copied()?,
        };
        let real = self.input.fixed.get(id)?.first()?;
        Some(Correction { early: 0, behind: real.0 - slot * i32::from(GRID) })
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
