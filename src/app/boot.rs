//! From an empty page to a working one: reads the records, joins the other windows, starts the planner.

use std::rc::Rc;
use std::sync::Arc;

use gloo_timers::callback::Interval;
use leptos::prelude::*;
use rackweek::plan::check::{Report, check};
use rackweek::plan::{Plan, Problem};
use rackweek::record::{Command, Outlook, Shown};
use rackweek::week::hand_times;
use wasm_bindgen_futures::spawn_local;

use super::planner::{Answer, Desk, Kind, Question, Reply};
use super::state::{AppState, Cause, Displaced, PlannedWeek, PlanningState, Role, SaveState};
use super::store::{
    self, Batch, DATABASE, Decoded, Opened, SaveEvent, Saver, Snapshot, Store, StoreError,
};
use super::tabs::Tabs;
use super::{clock, persist, pictures, prefs, rescue, routes};

/// How often the clock is looked at, ms. It moves on the minute, this often late at most.
const TICK_MS: u32 = 5_000;
/// The lock and channel that the windows share.
const TABS: &str = "rackweek-writer";

/// Starts everything that lives as long as the page.
pub(crate) fn boot(state: AppState) {
    routes::follow(state);
    Interval::new(TICK_MS, move || {
        let now = clock::now();
        if now != state.now.get_untracked() {
            state.now.set(now);
        }
    })
    .forget();
    // Lives as long as the page. The browser asks in its own words whether to leave.
    let _ = window_event_listener(leptos::ev::beforeunload, move |event| {
        let unsaved = match &*state.saved.read_untracked() {
            SaveState::NotSaved(_) | SaveState::Saving => true,
            SaveState::MemoryOnly(_) => !state.book.read_untracked().orders.is_empty(),
            _ => false,
        };
        if unsaved {
            event.prevent_default();
        }
    });
    *state.core().desk.borrow_mut() = Some(Desk::new(move |reply| take(state, reply)));
    Effect::new(move |_| ask(state));
    spawn_local(open(state));
}

async fn open(state: AppState) {
    let opened = store::open(DATABASE).await;
    match opened {
        Opened::Kept(kept, snapshot) => {
            let (tabs, role) = Tabs::join(
                TABS,
                move |role| spawn_local(change_role(state, role)),
                move || spawn_local(look_again(state)),
            )
            .await;
            *state.core().tabs.borrow_mut() = Some(tabs);
            state.role.set(role);
            let store: Rc<dyn Store> = Rc::new(kept.clone());
            let saver = Saver::new(store, snapshot.revision, move |event| hear(state, event));
            rescue::guard(&saver);
            *state.core().saver.borrow_mut() = Some(Rc::clone(&saver));
            let empty = snapshot.revision == 0 && snapshot.records.is_empty();
            state.lost.set(empty && prefs::get::<bool>(prefs::Slot::HadData) == Some(true));
            let unread = show(state, &snapshot);
            if role == Role::Writer {
                let read_all = !snapshot.records.is_empty()
                    && !matches!(*state.saved.read_untracked(), SaveState::ReadOnly(_));
                put_aside(state, &saver, snapshot.revision, unread).await;
                if read_all {
                    let texts = snapshot.records.into_iter().chain(snapshot.aside);
                    let texts = texts.map(|(_, text)| text).collect();
                    spawn_local(pictures::sweep(state, texts));
                }
            }
            spawn_local(async move {
                kept.wanted_elsewhere().await;
                kept.close();
                let why = "A newer version of the app is open in another window".to_owned();
                state.saved.set(SaveState::ReadOnly(why));
            });
        }
        Opened::Memory(store, error) => {
            let saver = Saver::new(store, 0, |_| {});
            *state.core().saver.borrow_mut() = Some(saver);
            state.saved.set(SaveState::MemoryOnly(error.words()));
        }
        Opened::Newer(snapshot) => {
            show(state, &snapshot);
            state.saved.set(SaveState::ReadOnly(StoreError::Newer.words()));
        }
    }
}

/// Shows what was read; answers what could not be read.
fn show(state: AppState, snapshot: &Snapshot) -> Vec<(String, String)> {
    let Decoded { book, unread, newer } = store::decode(&snapshot.records);
    state.book.set(Arc::new(book));
    state.aside.set(snapshot.aside.clone());
    let raw = if newer { snapshot.records.clone() } else { Vec::new() };
    *state.core().raw.borrow_mut() = raw;
    state.saved.set(if newer {
        SaveState::ReadOnly(StoreError::Newer.words())
    } else {
        SaveState::Saved
    });
    // What a newer version wrote is left where it is.
    if newer { Vec::new() } else { unread }
}

/// Moves unreadable records aside on disk, and says so.
async fn put_aside(state: AppState, saver: &Rc<Saver>, seen: u64, unread: Vec<(String, String)>) {
    if unread.is_empty() {
        return;
    }
    let many = unread.len();
    let batch = Batch { seen, changes: Vec::new(), aside: unread.clone() };
    if let Ok(revision) = saver.store().write(batch).await {
        saver.caught_up(revision);
        state.aside.update(|aside| aside.extend(unread));
    }
    state.say(
        format!("Records that could not be read: {many}. They are kept aside; see “Keep safe”"),
        false,
    );
}

fn hear(state: AppState, event: SaveEvent) {
    // A page that may only read, or that lost its database, stays so.
    if matches!(*state.saved.read_untracked(), SaveState::ReadOnly(_)) {
        return;
    }
    match event {
        SaveEvent::Saving => state.saved.set(SaveState::Saving),
        SaveEvent::Saved(_) => {
            state.saved.set(SaveState::Saved);
            prefs::set(prefs::Slot::HadData, &true);
            if let Some(tabs) = state.core().tabs.borrow().as_ref() {
                tabs.announce();
            }
            persist::ask_once(state);
        }
        SaveEvent::Failed(error) => {
            state.say("Not saved", false);
            state.saved.set(SaveState::NotSaved(error.words()));
        }
        SaveEvent::Overtaken => {
            state.say(
                "Another window had changed the records; your last change was not kept and what is \
                 on disk is shown",
                false,
            );
            spawn_local(look_again(state));
        }
    }
}

/// Reads everything again, unless something of ours is on its way.
async fn look_again(state: AppState) {
    let Some(saver) = state.core().saver.borrow().clone() else { return };
    if saver.behind() {
        return;
    }
    match saver.store().read().await {
        Ok(snapshot) if !saver.behind() => {
            saver.caught_up(snapshot.revision);
            show(state, &snapshot);
        }
        Ok(_) => {}
        Err(error) => state.say(error.words(), false),
    }
}

async fn change_role(state: AppState, role: Role) {
    if role == state.role.get_untracked() {
        return;
    }
    if role == Role::Writer {
        look_again(state).await;
        state.say("This window writes now", false);
    } else {
        state.say("Another window writes now; this one follows", false);
    }
    state.role.set(role);
}

/// Asks for a plan whenever the outlook changes.
fn ask(state: AppState) {
    let outlook = state.outlook.get();
    if *state.saved.read_untracked() == SaveState::Loading && outlook.is_none() {
        return;
    }
    let core = state.core();
    let Some(desk) = core.desk.borrow().clone() else { return };
    if let Some(outlook) = outlook {
        state.planning.set(PlanningState::First);
        state.risk.set(None);
        desk.leave(Kind::Risk);
        let assembled = &outlook.assembled;
        let token = desk.ask(assembled.problem.clone(), assembled.standings.clone());
        *core.asked.borrow_mut() = Some((token, outlook));
    } else {
        desk.forget();
        *core.asked.borrow_mut() = None;
        state.plan.set(None);
        state.risk.set(None);
        state.planning.set(PlanningState::Idle);
    }
}

/// Takes an answer of the planner.
fn take(state: AppState, reply: Reply) {
    let asked = state.core().asked.borrow().clone();
    let Some((_, outlook)) = asked.filter(|(token, _)| *token == reply.token) else { return };
    if let Some(error) = reply.error {
        state.planning.set(PlanningState::Failed);
        state.say(format!("The week could not be planned: {error}"), false);
        return;
    }
    if let Some(plan) = reply.plan {
        // What does not stand together is a part of the problem from here on.
        let outlook =
            if reply.cuts.is_empty() { outlook } else { Arc::new(outlook.with_cuts(&reply.cuts)) };
        let plan = if plan.objective.is_some() { outlook.assembled.relieved(plan) } else { plan };
        let problem = &outlook.assembled.problem;
        // The checker has seen every plan that counts as sound.
        let report =
            if plan.objective.is_some() { Report::default() } else { check(problem, &plan) };
        if reply.done {
            remember(state, &outlook, &plan);
            if report.breaches.is_empty() {
                ask_risk(state, problem, &plan);
            }
        }
        let progress = reply.progress;
        state.plan.set(Some(Arc::new(PlannedWeek { outlook, plan, report, progress })));
    }
    state.planning.set(if reply.done { PlanningState::Idle } else { PlanningState::Improving });
}

/// Remembers the finished plan: the next one stays near it, and the next start shows it.
fn remember(state: AppState, outlook: &Outlook, plan: &Plan) {
    let shown = outlook.shown_from(plan);
    let cause = state.core().cause.replace(Cause::Time);
    if state.book.read_untracked().shown.as_ref() == Some(&shown) {
        if cause != Cause::Time {
            state.displaced.set(None);
        }
        return;
    }
    state.displaced.set(displaced(state, &shown, cause).map(Arc::new));
    // A follower, or a page that may only read, shows its plan without keeping it.
    let _ = state.apply(Command::Show(shown));
}

/// What stands elsewhere than in the plan that was shown before, unless she put it there herself.
fn displaced(state: AppState, shown: &Shown, cause: Cause) -> Option<Displaced> {
    let book = state.book.read_untracked();
    let before = book.shown.as_ref()?.starts.clone();
    let mut after = shown.starts.clone();
    after.retain(|step, starts| {
        let was = before.get(step).filter(|was| was.len() == starts.len());
        was.is_some_and(|was| was != starts) && !book.pins.contains_key(step)
    });
    // After a step back things are where they were; to say so would only confuse.
    let told = cause != Cause::Back && !after.is_empty();
    told.then_some(Displaced { before, after, by_her: cause == Cause::Change })
}

/// Asks how likely a finished plan ends in time.
fn ask_risk(state: AppState, problem: &Problem, plan: &Plan) {
    let Some(desk) = state.desk() else { return };
    let times = hand_times(&state.book.read_untracked().settings, problem);
    desk.about(problem, plan, Question::Risk(times), move |answer| {
        if let Answer::Risk(risk) = answer {
            state.risk.set(Some(Arc::new(risk)));
        }
    });
}

impl AppState {
    /// Tries again to bring to disk what is not there yet.
    pub(crate) fn save_again(&self) {
        if let Some(saver) = self.core().saver.borrow().as_ref() {
            saver.retry();
        }
    }

    /// Makes this window the one that writes.
    pub(crate) fn take_over(&self) {
        if let Some(tabs) = self.core().tabs.borrow().as_ref() {
            tabs.take_over();
        }
    }

    /// The reader knows that the data is gone and starts anew.
    pub(crate) fn forget_loss(&self) {
        prefs::clear(prefs::Slot::HadData);
        prefs::clear(prefs::Slot::BackupFrom);
        self.lost.set(false);
    }
}
