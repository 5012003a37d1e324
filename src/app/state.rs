//! The one handle that every part of the app gets by context: what is known, and what can be done.
//!
//! Everything shown derives from `book`, `now` and `plan`. Views change nothing but through
//! [`AppState::apply`], [`AppState::undo`] and [`AppState::redo`].

use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::sync::Arc;

use leptos::prelude::*;
use rackweek::calendar::{Wall, Zone};
use rackweek::plan::{Plan, Progress, check::Report, explain::Risk};
use rackweek::record::{Book, Change, Command, Conflict, History, Outlook, PlanInput, Refusal};
use rackweek::week::Starts;

use super::pictures::Album;
use super::planner::Desk;
use super::routes::{self, Form};
use super::store::{Saver, texts_of};
use super::tabs::Tabs;
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

impl PlannedWeek {
    /// Whether the planner has proven that no plan costs less, and the checker agrees that it is sound.
    pub(crate) fn is_best(&self) -> bool {
        self.progress.finished
            && self.progress.objective.is_some()
            && self.report.breaches.is_empty()
    }
}

/// Two plans of which the later one replaced the earlier one on screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Displaced {
    /// Where everything was.
    pub(crate) before: Starts,
    /// Where it is now, without what was placed by hand.
    pub(crate) after: Starts,
    /// Something that she did led to it, so that "Undo" brings it back; else time has passed.
    pub(crate) by_her: bool,
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
    /// The planner could not run. The message said why.
    Failed,
}

/// Whether what is on screen is on disk. Reasons have no period at their end.
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
    /// The data is read and exported, never written; why.
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

/// What made the last plan necessary.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Cause {
    /// The hour, or records that were read.
    #[default]
    Time,
    /// A change of hers.
    Change,
    /// A step back, or the same forward again.
    Back,
}

/// What is no signal: nobody draws it.
#[derive(Default)]
pub(crate) struct Core {
    pub(super) history: RefCell<History>,
    pub(super) saver: RefCell<Option<Rc<Saver>>>,
    pub(super) tabs: RefCell<Option<Tabs>>,
    pub(super) desk: RefCell<Option<Desk>>,
    /// The newest request and what it was about.
    pub(super) asked: RefCell<Option<(u32, Arc<Outlook>)>>,
    /// What made it necessary to plan again.
    pub(super) cause: Cell<Cause>,
    /// The texts of the store when a newer version wrote them: exported as they are.
    pub(super) raw: RefCell<Vec<(String, String)>>,
    /// What pictures show, once it was needed.
    pub(super) album: RefCell<Option<Album>>,
    /// Whether the browser was asked in this session to keep the data for good.
    pub(super) asked_to_persist: Cell<bool>,
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
    /// How likely the plan on screen ends in time; none while that is not known, or it is not sound.
    pub(crate) risk: RwSignal<Option<Arc<Risk>>>,
    /// What the newest plan put elsewhere.
    pub(crate) displaced: RwSignal<Option<Arc<Displaced>>>,
    /// Whether the book is on disk.
    pub(crate) saved: RwSignal<SaveState>,
    /// Whether this window may write.
    pub(crate) role: RwSignal<Role>,
    /// Said once.
    pub(crate) message: RwSignal<Message>,
    /// Which page is shown.
    pub(crate) page: RwSignal<Page>,
    /// What is open on the page: an order's form, or a method card.
    pub(crate) form: RwSignal<Option<Form>>,
    /// There was data on this device once, and it is gone.
    pub(crate) lost: RwSignal<bool>,
    /// Records that could not be read, by key, as they are kept aside.
    pub(crate) aside: RwSignal<Vec<(String, String)>>,
    /// Kitchen or time are not set up yet.
    pub(crate) is_new: Memo<bool>,
    /// What "Undo" would undo, for example "move Flood the base coat".
    pub(crate) undo_label: RwSignal<Option<String>>,
    /// What "Redo" would do again.
    pub(crate) redo_label: RwSignal<Option<String>>,
    core: StoredValue<Rc<Core>, LocalStorage>,
}

/// Whether two books ask for the same plan.
fn same_but_shown(one: &Arc<Book>, other: &Arc<Book>) -> bool {
    Arc::ptr_eq(one, other)
        || (one.orders == other.orders
            && one.pins == other.pins
            && one.progress == other.progress
            && one.kitchen == other.kitchen
            && one.time == other.time
            && one.cards == other.cards
            && one.older_cards == other.older_cards
            && one.settings == other.settings
            && one.margins == other.margins)
}

impl AppState {
    /// An empty book, the clock as it stands.
    pub(crate) fn new() -> Self {
        let book = RwSignal::new(Arc::new(Book::default()));
        let now = RwSignal::new(clock::now());
        let zone = StoredValue::new(clock::zone());
        let asked_of = Memo::new_with_compare(
            move |_| book.get(),
            |before: Option<&Arc<Book>>, after| match (before, after) {
                (Some(before), Some(after)) => !same_but_shown(before, after),
                _ => true,
            },
        );
        // A plan that changed with each minute would never stand still.
        let quarter = Memo::new(move |_| {
            let now = now.get();
            now.plus_minutes(-i64::from(now.minute_of_day() % 15))
        });
        let outlook = Memo::new_with_compare(
            move |_| {
                // Read, not only tracked: a memo that was never read follows nothing.
                asked_of.with(|_| ());
                let input = PlanInput { now: quarter.get(), zone: zone.get_value() };
                Outlook::of(&book.read_untracked(), &input).map(Arc::new)
            },
            |_, _| true,
        );
        let (page, form) = routes::current();
        Self {
            book,
            now,
            zone,
            outlook,
            plan: RwSignal::new(None),
            planning: RwSignal::new(PlanningState::Idle),
            risk: RwSignal::new(None),
            displaced: RwSignal::new(None),
            saved: RwSignal::new(SaveState::Loading),
            role: RwSignal::new(Role::Writer),
            message: RwSignal::new(Message::default()),
            page: RwSignal::new(page),
            form: RwSignal::new(form),
            lost: RwSignal::new(false),
            aside: RwSignal::new(Vec::new()),
            is_new: Memo::new(move |_| {
                let book = book.read();
                book.kitchen.is_none() || book.time.is_none()
            }),
            undo_label: RwSignal::new(None),
            redo_label: RwSignal::new(None),
            core: StoredValue::new_local(Rc::new(Core::default())),
        }
    }

    /// The planner; none before it has started.
    pub(crate) fn desk(&self) -> Option<Desk> {
        self.core().desk.borrow().clone()
    }

    /// What is no signal.
    pub(super) fn core(&self) -> Rc<Core> {
        self.core.get_value()
    }

    /// Does what the baker wants, or says why not; then nothing has changed.
    pub(crate) fn apply(&self, command: Command) -> Result<(), Vec<Refusal>> {
        self.may_write()?;
        let mut book = Book::clone(&self.book.read_untracked());
        let planned = !matches!(command, Command::Show(_));
        let change = self.core().history.borrow_mut().apply(&mut book, command)?;
        if planned {
            self.core().cause.set(Cause::Change);
        }
        self.commit(book, &change);
        Ok(())
    }

    /// Takes the last change back.
    pub(crate) fn undo(&self) {
        self.go_back("Undone", History::undo);
    }

    /// Does again what was taken back last.
    pub(crate) fn redo(&self) {
        self.go_back("Done again", History::redo);
    }

    fn go_back(
        &self,
        word: &str,
        step: impl FnOnce(&mut History, &mut Book) -> Option<Result<Change, Conflict>>,
    ) {
        if let Err(refusals) = self.may_write() {
            self.say(words(&refusals), false);
            return;
        }
        let mut book = Book::clone(&self.book.read_untracked());
        let answer = step(&mut self.core().history.borrow_mut(), &mut book);
        match answer {
            None => {}
            Some(Ok(change)) => {
                self.core().cause.set(Cause::Back);
                self.commit(book, &change);
                self.say(format!("{word}: {}", change.label), false);
            }
            Some(Err(conflict)) => {
                self.refresh_labels();
                self.say(conflict.to_string(), false);
            }
        }
    }

    /// Shows a changed book and sends the change to the disk.
    fn commit(&self, book: Book, change: &Change) {
        self.refresh_labels();
        if change.is_empty() {
            return;
        }
        self.book.set(Arc::new(book));
        let saver = self.core().saver.borrow().clone();
        if let Some(saver) = saver {
            saver.push(texts_of(change));
        }
    }

    fn may_write(&self) -> Result<(), Vec<Refusal>> {
        let why = if self.role.get_untracked() == Role::Follower {
            "Another window is writing; press “Take over here” at the top first"
        } else {
            match &*self.saved.read_untracked() {
                SaveState::ReadOnly(_) => "This order book can only be read here",
                SaveState::Loading => "The order book is still being opened; try again in a moment",
                _ => return Ok(()),
            }
        };
        Err(vec![Refusal::of("", why)])
    }

    /// Shows what "Undo" and "Redo" would do.
    pub(super) fn refresh_labels(&self) {
        let core = self.core();
        let history = core.history.borrow();
        self.undo_label.set(history.undo_label().map(str::to_owned));
        self.redo_label.set(history.redo_label().map(str::to_owned));
    }

    /// Shows a page, and a form on it.
    pub(crate) fn go(&self, page: Page, form: Option<Form>) {
        routes::push(page, form.clone());
        self.page.set(page);
        self.form.set(form);
    }

    /// Says something once. `undo`: the reader may want to take it back.
    pub(crate) fn say(&self, text: impl Into<String>, undo: bool) {
        let number = self.message.read_untracked().number.wrapping_add(1);
        self.message.set(Message { number, text: text.into(), undo });
    }
}

/// Refusals as one text, for when there is no field to show them at.
pub(crate) fn words(refusals: &[Refusal]) -> String {
    refusals.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
}
