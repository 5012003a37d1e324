//! What can be done to the book.

use crate::breakdown::StepId;
use crate::calendar::{MyTime, Wall};
use crate::kitchen::Kitchen;
use crate::order::{Order, OrderId, Stage};

use super::{Book, Record, RecordKey, Shown};
use crate::refusal::Refusal;

/// One thing that the baker does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Command {
    /// Adds an order (its id is given by [`Book::next_order`]) or replaces the one with its id.
    PutOrder(Order),
    /// Moves an order through its life.
    SetStage(OrderId, Stage),
    /// Removes an order with its pins.
    RemoveOrder(OrderId),
    /// Sets the kitchen.
    SetKitchen(Kitchen),
    /// Sets her time.
    SetTime(MyTime),
    /// Pins a step: the start of each of its sittings.
    PinStep(StepId, Vec<Wall>),
    /// Lets a pinned or ticked step go again.
    ReleaseStep(StepId),
    /// Ticks a step off as done at these times.
    TickStep(StepId, Vec<Wall>),
    /// Remembers the plan shown. Not undoable by itself.
    Show(Shown),
    /// Minutes between "all boxed" and the handover.
    SetSafetyMargin(u32),
    /// Replaces everything, for example by the demo or a backup.
    ReplaceAll(Box<Book>),
}

/// A record before and after.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Swap {
    /// Which.
    pub key: RecordKey,
    /// None: it did not exist.
    pub before: Option<Record>,
    /// None: it is gone.
    pub after: Option<Record>,
}

/// What a command did: enough to store it, to follow it in another tab, and to take it back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// For "Undo …", for example "move Flood the base coat".
    pub label: String,
    /// Every record that differs.
    pub swaps: Vec<Swap>,
}

impl Book {
    /// Does a command, or refuses it and leaves the book as it was.
    pub fn apply(&mut self, command: Command) -> Result<Change, Vec<Refusal>> {
        let _ = command;
        Err(Vec::new())
    }
}
