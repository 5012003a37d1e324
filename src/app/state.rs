//! The one handle that every part of the app gets by context: what is known, and what can be done.
//!
//! Everything shown derives from `book`, `now` and `plan`. Views change nothing but through
//! [`AppState::apply`], [`AppState::undo`] and [`AppState::redo`].

use std::sync::Arc;

use leptos::prelude::*;
use rackweek::calendar::{Wall, Zone};
use rackweek::plan::{Plan, Progress, check::Report};
use rackweek::record::{Book, Command, Outlook, PlanInput, Refusal};

use super::{Page, clock};

/// The plan on screen, with the outlook that it belongs to.
#[derive(Debug, Clone)]
pub(crate) struct PlannedWeek {
    /// What was planned.
    pub(crate) outlook: Arc<Outlook>,
    /// Where everything is.
    pub(crate) plan: Plan,
    /// What separate code found wrong with it: the list "Problems".
    pub(crate) report: Report,
    /// How good it is.
    pub(crate) progress: Progress,
}

/// What the planner is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum PlanningState {
    /// Nothing to plan, or done: the plan on screen is the answer.
    Idle,
    /// A first plan is being made; what is on screen belongs to an older book.
    First,
    /// The plan on screen is sound for this book and may still get better.
    Improving,
    /// The planner could not run. The words say why and what to do.
    Failed,
}

/// Whether what is on screen is on disk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum SaveState {
    /// The records are being read.
    Loading,
    /// Everything is on disk.
    Saved,
    /// A change is on its way.
    Saving,
    /// A change did not reach the disk; why.
    NotSaved(String),
    /// Nothing is kept beyond this page; why.
    MemoryOnly(String),
    /// The data was written by a newer version: read and exported, never written.
    ReadOnly(String),
}

/// Whether this window may write.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Role {
    /// The one window that writes.
    Writer,
    /// Another window writes; this one shows what that one does.
    Follower,
}

/// What is said to the reader once, by sight and by the one live region.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Message {
    /// Counts up, so that the same words twice are two messages.
    pub(crate) number: u32,
    /// The words; empty: nothing.
    pub(crate) text: String,
    /// Whether "Undo" belongs beside it.
    pub(crate) undo: bool,
}

/// The handle.
#[derive(Clone, Copy)]
pub(crate) struct AppState {
    /// Everything the baker has entered or decided.
    pub(crate) book: RwSignal<Arc<Book>>,
    /// The wall clock, moved on each minute.
    pub(crate) now: RwSignal<Wall>,
    /// The zone's offsets.
    pub(crate) zone: StoredValue<Zone>,
    /// All that is derived before planning; none while kitchen or time are not set up. Does not
    /// change when only the plan shown is remembered.
    pub(crate) outlook: Memo<Option<Arc<Outlook>>>,
    /// The plan on screen. May belong to an older outlook while `planning` is [`PlanningState::First`].
    pub(crate) plan: RwSignal<Option<Arc<PlannedWeek>>>,
    /// What the planner is doing.
    pub(crate) planning: RwSignal<PlanningState>,
    /// Whether the book is on disk.
    pub(crate) saved: RwSignal<SaveState>,
    /// Whether this window may write.
    pub(crate) role: RwSignal<Role>,
    /// Said once.
    pub(crate) message: RwSignal<Message>,
    /// Which page is shown.
    pub(crate) page: RwSignal<Page>,
    /// What "Undo" would undo, for example "move Flood the base coat".
    pub(crate) undo_label: RwSignal<Option<String>>,
    /// What "Redo" would do again.
    pub(crate) redo_label: RwSignal<Option<String>>,
}

impl AppState {
    /// An empty book, the clock as it stands.
    pub(crate) fn new() -> Self {
        let book = RwSignal::new(Arc::new(Book::default()));
        let now = RwSignal::new(clock::now());
        let zone = StoredValue::new(clock::zone());
        let outlook = Memo::new_with_compare(
            move |_: Option<&Option<Arc<Outlook>>>| {
                let input = PlanInput { now: now.get(), zone: zone.get_value() };
                Outlook::of(&book.get(), &input).map(Arc::new)
            },
            |_, _| true,
        );
        Self {
            book,
            now,
            zone,
            outlook,
            plan: RwSignal::new(None),
            planning: RwSignal::new(PlanningState::Idle),
            saved: RwSignal::new(SaveState::Loading),
            role: RwSignal::new(Role::Writer),
            message: RwSignal::new(Message::default()),
            page: RwSignal::new(Page::Week),
            undo_label: RwSignal::new(None),
            redo_label: RwSignal::new(None),
        }
    }

    /// Does what the baker wants, or says why not; then nothing has changed.
    pub(crate) fn apply(&self, command: Command) -> Result<(), Vec<Refusal>> {
        let mut book = Book::clone(&self.book.get_untracked());
        let change = book.apply(command)?;
        self.undo_label.set(Some(change.label));
        self.book.set(Arc::new(book));
        Ok(())
    }

    /// Takes the last change back.
    pub(crate) fn undo(&self) {}

    /// Does again what was taken back last.
    pub(crate) fn redo(&self) {}

    /// Says something once. `undo`: the reader may want to take it back.
    pub(crate) fn say(&self, text: impl Into<String>, undo: bool) {
        let number = self.message.read_untracked().number.wrapping_add(1);
        self.message.set(Message { number, text: text.into(), undo });
    }
}
