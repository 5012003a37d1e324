//! "What if this is made at another time?": asks the planner's worker, as the week's “where else” does.

use std::sync::Arc;
use std::time::Duration;

use leptos::prelude::*;
use rackweek::breakdown::StepId;
use rackweek::calendar::Elapsed;
use rackweek::cold::{ColdView, Movable, movable, of_step};
use rackweek::order::OrderId;
use rackweek::plan::Plan;
use rackweek::record::{Command, Shown};
use rackweek::week::{
    BlockKey, Costs, ElsewhereDay, ElsewhereRow, Grade, Reach, WeekInput, changes, elsewhere,
};

use super::model::ColdModel;
use super::trial::Trial;
use crate::app::AppState;
use crate::app::parts::{For, show_while};
use crate::app::planner::{Answer, Kind, Question};
use crate::app::shown::with_input;
use crate::app::state::words as refused;

/// Another time that was tried.
#[derive(Debug, Clone)]
pub(super) struct Tried {
    /// "Bake the layers on Thursday 18:30–19:45".
    pub(super) words: String,
    /// What changes, the weightiest first.
    pub(super) clauses: Vec<String>,
    /// Whose it is.
    pub(super) order: OrderId,
    /// The places with it.
    pub(super) view: Arc<ColdView>,
    command: Command,
    shown: Shown,
}

/// The handle.
#[derive(Clone, Copy)]
pub(super) struct WhatIf {
    app: AppState,
    /// Whether it is asked.
    pub(super) open: RwSignal<bool>,
    /// About what.
    pub(super) step: RwSignal<Option<BlockKey>>,
    /// What is known of its starts.
    costs: RwSignal<Option<Costs>>,
    /// The start that is being planned.
    trying: RwSignal<Option<Elapsed>>,
    /// What came of it.
    pub(super) tried: RwSignal<Option<Arc<Tried>>>,
    /// No plan has it there.
    failed: RwSignal<bool>,
}

impl WhatIf {
    pub(super) fn new(app: AppState) -> Self {
        Self {
            app,
            open: RwSignal::new(false),
            step: RwSignal::new(None),
            costs: RwSignal::new(None),
            trying: RwSignal::new(None),
            tried: RwSignal::new(None),
            failed: RwSignal::new(false),
        }
    }

    /// Opens, with a step already chosen if one is named and still to come.
    pub(super) fn begin(&self, step: Option<&StepId>) {
        let all = self.movable();
        let key = step.and_then(|step| of_step(&all, step));
        self.open.set(true);
        self.choose(key);
    }

    /// Nobody waits any more.
    pub(super) fn leave(&self) {
        if let Some(desk) = self.app.desk() {
            desk.leave(Kind::Elsewhere);
        }
    }

    fn close(&self) {
        self.leave();
        self.open.set(false);
        self.clear();
        self.step.set(None);
    }

    fn clear(&self) {
        self.costs.set(None);
        self.trying.set(None);
        self.tried.set(None);
        self.failed.set(false);
    }

    fn movable(&self) -> Vec<Movable> {
        untrack(|| with_input(self.app, movable)).unwrap_or_default()
    }

    /// Asks where else a sitting could be.
    fn choose(&self, key: Option<BlockKey>) {
        self.leave();
        self.clear();
        self.step.set(key.clone());
        let Some(key) = key else { return };
        let asked = untrack(|| {
            with_input(self.app, |input| Some((Costs::of(input), Reach::segment(input, &key)?)))
        });
        let (Some(Some((costs, segment))), Some(planned), Some(desk)) =
            (asked, self.app.plan.get_untracked(), self.app.desk())
        else {
            return;
        };
        // In a week that does not hold no start makes it sound: nothing can be graded.
        if !planned.report.breaches.is_empty() {
            return;
        }
        self.costs.set(Some(costs));
        let question = Question::Elsewhere { activity: key.step.0.clone(), segment };
        let (problem, plan) = (&planned.outlook.assembled.problem, &planned.plan);
        let what_if = *self;
        desk.about(problem, plan, question, move |answer| what_if.learn(answer));
    }

    fn learn(&self, answer: Answer) {
        match answer {
            Answer::Elsewhere { news, done } => self.costs.update(|costs| {
                if let Some(costs) = costs {
                    costs.learn(&news, done);
                }
            }),
            Answer::At { start, plan } => {
                let grid =
                    self.costs.with_untracked(|costs| costs.as_ref().map_or(15, Costs::grid));
                let start = Elapsed(start.saturating_mul(grid));
                if self.trying.get_untracked() != Some(start) {
                    return;
                }
                self.trying.set(None);
                let tried = plan.and_then(|plan| self.made_of(start, &plan));
                self.failed.set(tried.is_none());
                self.tried.set(tried.map(Arc::new));
            }
            Answer::WhyNot { .. } | Answer::Risk(_) | Answer::Mended(_) => {}
        }
    }

    /// Asks for the plan with the sitting at a start.
    fn try_at(&self, start: Elapsed) {
        let slot = self.costs.with_untracked(|costs| costs.as_ref().map(|costs| costs.slot(start)));
        if let (Some(slot), Some(desk)) = (slot, self.app.desk()) {
            self.failed.set(false);
            self.trying.set(Some(start));
            desk.at(slot);
        }
    }

    fn made_of(&self, start: Elapsed, plan: &Plan) -> Option<Tried> {
        let key = self.step.get_untracked()?;
        untrack(|| {
            with_input(self.app, |input| {
                let reach = Reach::of(input, &key)?;
                let view = ColdView::of(WeekInput { plan, ..input })?;
                let clauses = changes(input, plan, &key.step);
                let step = input.outlook.work.steps.iter().find(|step| step.id == key.step)?;
                Some(Tried {
                    words: format!("{} on {}", reach.name, reach.words_at(start)),
                    clauses,
                    order: step.order,
                    view: Arc::new(view),
                    command: reach.command(start),
                    shown: input.outlook.shown_from(plan),
                })
            })
        })
        .flatten()
    }

    /// Back to the other times.
    pub(super) fn leave_it(&self) {
        self.tried.set(None);
    }

    /// Pins it there; "Undo" takes it back. In a later task, so that no element goes while its handler runs.
    pub(super) fn do_it(&self, tried: &Tried) {
        let (what_if, app) = (*self, self.app);
        let (command, shown) = (tried.command.clone(), tried.shown.clone());
        let words = format!("{}, pinned", tried.words);
        set_timeout(
            move || {
                what_if.close();
                match app.apply(command) {
                    Ok(()) => {
                        app.say(words, true);
                        // What she saw is what the planner stays near. Not undone by itself.
                        let _ = app.apply(Command::Show(shown));
                    }
                    Err(refusals) => app.say(refused(&refusals), false),
                }
            },
            Duration::ZERO,
        );
    }
}

/// The question, the times found, and what one of them does to the fridge.
#[component]
pub(super) fn WhatIfDialog() -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let what_if = model.what_if;
    let dialog = NodeRef::new();
    show_while(dialog, move || what_if.open.get());
    view! {
        <dialog
            class="dialog cold-what-if"
            node_ref=dialog
            aria-label="What if this is made at another time?"
            on:close=move |_| what_if.close()
        >
            <div class="stack">
                <header class="cold-dialog-head">
                    <h2>"What if this is made at another time?"</h2>
                    <button type="button" class="button" on:click=move |_| what_if.close()>
                        "Close"
                    </button>
                </header>
                {move || {
                    if !what_if.open.get() {
                        return ().into_any();
                    }
                    match what_if.tried.get() {
                        Some(tried) => view! { <Trial tried=tried /> }.into_any(),
                        None => view! { <Choice /> }.into_any(),
                    }
                }}
            </div>
        </dialog>
    }
}

#[component]
fn Choice() -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let what_if = model.what_if;
    let all = what_if.movable();
    let mut groups: Vec<(String, Vec<Movable>)> = Vec::new();
    for one in all.clone() {
        match groups.last_mut() {
            Some((whose, list)) if *whose == one.whose => list.push(one),
            _ => groups.push((one.whose.clone(), vec![one])),
        }
    }
    let options = groups
        .into_iter()
        .map(|(whose, list)| {
            let options = list
                .into_iter()
                .map(|one| {
                    let key = one.key.to_string();
                    let chosen =
                        what_if.step.with_untracked(|step| step.as_ref() == Some(&one.key));
                    view! { <option value=key selected=chosen>{one.words}</option> }
                })
                .collect_view();
            view! { <optgroup label=whose>{options}</optgroup> }
        })
        .collect_view();
    let nothing = all.is_empty();
    view! {
        <div class="field">
            <label for="cold-what-step">"What to make at another time"</label>
            <select
                class="input"
                id="cold-what-step"
                on:change=move |event| {
                    let value = event_target_value(&event);
                    let key = all.iter().find(|one| one.key.to_string() == value);
                    what_if.choose(key.map(|one| one.key.clone()));
                }
            >
                <option value="">"Choose a step"</option>
                {options}
            </select>
        </div>
        {nothing.then(|| view! { <p class="soft">"Nothing is planned that could be moved."</p> })}
        <Times />
    }
}

/// Day by day, when it could be.
#[component]
fn Times() -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let what_if = model.what_if;
    let days = Memo::new(move |_| {
        let Some(key) = what_if.step.get() else { return Vec::new() };
        let costs = what_if.costs.get();
        let Some(costs) = costs else { return Vec::new() };
        with_input(what_if.app, |input| {
            Reach::of(input, &key).map(|reach| elsewhere(input, &reach, &costs))
        })
        .flatten()
        .unwrap_or_default()
    });
    let status = move || {
        let asked = what_if.step.read().is_some();
        let done = what_if.costs.with(|costs| costs.as_ref().map(|costs| costs.done));
        match (asked, done) {
            (false, _) => "",
            (true, None) => "The week does not hold yet, so another time cannot be tried",
            (true, Some(false)) => "Trying other times …",
            (true, Some(true)) if what_if.failed.get() => {
                "No plan was found with it there; try another time"
            }
            (true, Some(true)) => "Choose a time to see what it does",
        }
    };
    view! {
        <p class="soft small" role="status">{status}</p>
        <ul class="cold-times">
            <For each=move || days.get() key=day_key let:day>
                <li>
                    <h3>{day.name}</h3>
                    <div class="row tight">
                        {day.rows.into_iter().map(|row| view! { <Time row=row /> }).collect_view()}
                    </div>
                    {(!day.reason.is_empty())
                        .then(|| view! { <p class="soft small">{day.reason}</p> })}
                </li>
            </For>
        </ul>
    }
}

/// A day keeps its buttons, and with them the focus, as long as the same starts are offered.
fn day_key(day: &ElsewhereDay) -> (String, Vec<Elapsed>, String) {
    (day.name.clone(), day.rows.iter().map(|row| row.start).collect(), day.reason.clone())
}

#[component]
fn Time(row: ElsewhereRow) -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let what_if = model.what_if;
    let start = row.start;
    let here = row.words == "where it is now";
    let words = row.words.clone();
    let said = move || {
        if here {
            return words.clone();
        }
        if what_if.trying.get() == Some(start) {
            return "planning it …".to_owned();
        }
        what_if.costs.with(|costs| costs.as_ref().map_or_else(String::new, |c| c.words(start)))
    };
    let hopeless = move || {
        what_if
            .costs
            .with(|costs| costs.as_ref().is_none_or(|costs| costs.grade(start) == Grade::NotFound))
    };
    view! {
        <button
            type="button"
            class="button cold-time"
            disabled=move || here || hopeless()
            on:click=move |_| what_if.try_at(start)
        >
            <strong>{row.time}</strong>
            <span class="soft small">{said}</span>
        </button>
    }
}
