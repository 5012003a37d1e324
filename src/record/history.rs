//! Undo and redo, as changes turned round.
//!
//! The plan shown is no step of its own: it is remembered beside each step, so that taking the step
//! back also brings back the week that was seen before it. Timers and the book's key are none either.

use super::{Book, Change, Command, Conflict, Record, RecordKey, RecordKind, Swap};
use crate::refusal::Refusal;

/// More steps than anybody takes back.
const STEPS_MAX: usize = 500;

/// The steps of a session that can be taken back and done again.
#[derive(Debug, Clone, Default)]
pub struct History {
    /// The oldest first. Each holds the plan shown before it as the `before` of a swap.
    done: Vec<Change>,
    /// Taken back, the last one last.
    undone: Vec<Change>,
}

impl History {
    /// Does a command and remembers it. The returned change is what to store and send on.
    pub fn apply(&mut self, book: &mut Book, command: Command) -> Result<Change, Vec<Refusal>> {
        let only_shows =
            matches!(command, Command::Show(_) | Command::SetTimers(_) | Command::SetKey(_));
        let shown = RecordKey::once(RecordKind::Shown);
        let seen = book.record(&shown);
        let change = book.apply(command)?;
        if !only_shows && !change.is_empty() {
            let mut step = change.clone();
            if step.swaps.iter().all(|swap| swap.key != shown) {
                // Both sides the same for now; the side that is not gone to is refreshed on the way.
                step.swaps.push(Swap { key: shown, before: seen.clone(), after: seen });
            }
            self.done.push(step);
            self.undone.clear();
            if self.done.len() > STEPS_MAX {
                self.done.remove(0);
            }
        }
        Ok(change)
    }

    /// What "Undo" would take back.
    pub fn undo_label(&self) -> Option<&str> {
        self.done.last().map(|step| step.label.as_str())
    }

    /// What "Redo" would do again.
    pub fn redo_label(&self) -> Option<&str> {
        self.undone.last().map(|step| step.label.as_str())
    }

    /// Takes the last step back. None when there is none; a conflict when what it did was changed
    /// since (by another tab), which forgets the step and leaves the book as it is.
    pub fn undo(&mut self, book: &mut Book) -> Option<Result<Change, Conflict>> {
        let step = self.done.pop()?;
        Some(go(book, step.inverse()).map(|change| {
            self.undone.push(change.inverse());
            differences(change)
        }))
    }

    /// Does the step that was taken back last again. None and conflict as for [`History::undo`].
    pub fn redo(&mut self, book: &mut Book) -> Option<Result<Change, Conflict>> {
        let step = self.undone.pop()?;
        Some(go(book, step).map(|change| {
            self.done.push(change.clone());
            differences(change)
        }))
    }
}

/// Follows a change from whatever plan is shown and whatever timers run by now.
fn go(book: &mut Book, mut change: Change) -> Result<Change, Conflict> {
    let passing = |kind| matches!(kind, RecordKind::Shown | RecordKind::Timers);
    for swap in change.swaps.iter_mut().filter(|swap| passing(swap.key.kind)) {
        swap.before = book.record(&swap.key);
    }
    // The key stays, whatever becomes of the settings around it.
    let key = &book.settings.key;
    for side in change.swaps.iter_mut().flat_map(|swap| [&mut swap.before, &mut swap.after]) {
        if let Some(Record::Settings(settings)) = side {
            settings.key.clone_from(key);
        }
    }
    book.follow(&change)?;
    Ok(change)
}

/// The change without what it leaves as it is.
fn differences(mut change: Change) -> Change {
    change.swaps.retain(|swap| swap.before != swap.after);
    change
}
