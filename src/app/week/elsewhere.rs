//! Where else a sitting could go: what the worker finds out about each start, drawn on the days while
//! it is on the move, and as a list in its sheet.

use std::collections::BTreeMap;
use std::time::Duration;

use leptos::prelude::*;
use rackweek::calendar::Elapsed;
use rackweek::week::{
    BlockKey, Costs, DayView, ElsewhereDay, ElsewhereRow, Grade, Mark, Reach, WeekInput, changes,
    elsewhere,
};

use super::column::px;
use super::model::WeekModel;
use super::sign::{Sign, SignView};
use crate::app::AppState;
use crate::app::parts::{For, is_unfolded};
use crate::app::planner::{Answer, Kind, Question};

/// How long a finger stays on a start before it is asked what exactly changes there.
const STAY: Duration = Duration::from_millis(70);

/// What is known of the starts of the sitting that is asked about.
#[derive(Clone, Copy)]
pub(super) struct Starts {
    app: AppState,
    /// None while nothing is asked.
    pub(super) costs: RwSignal<Option<Costs>>,
    /// What exactly changes, where that was asked.
    exact: RwSignal<BTreeMap<Elapsed, Vec<String>>>,
    /// Starts of the list that are still to be asked about, the next one last.
    queue: StoredValue<Vec<Elapsed>>,
}

impl Starts {
    pub(super) fn new(app: AppState) -> Self {
        Self {
            app,
            costs: RwSignal::new(None),
            exact: RwSignal::default(),
            queue: StoredValue::default(),
        }
    }

    /// Asks the worker about a sitting of the plan on screen.
    pub(super) fn ask(&self, model: &WeekModel, key: &BlockKey) {
        let asked = model.with(|input| {
            let segment = Reach::segment(input, key)?;
            Some((Costs::of(input), segment))
        });
        let planned = self.app.plan.get_untracked();
        let (Some(Some((costs, segment))), Some(planned)) = (asked, planned) else { return };
        // In a week that does not hold, no start makes it sound: nothing can be graded.
        if !planned.report.breaches.is_empty() {
            return;
        }
        let Some(desk) = self.app.desk() else { return };
        self.queue.set_value(Vec::new());
        self.exact.set(BTreeMap::new());
        self.costs.set(Some(costs));
        let (starts, model, key) = (*self, *model, key.clone());
        let question = Question::Elsewhere { activity: key.step.0.clone(), segment };
        let (problem, plan) = (&planned.outlook.assembled.problem, &planned.plan);
        desk.about(problem, plan, question, move |answer| starts.learn(&model, &key, answer));
    }

    /// Nobody waits for answers any more.
    pub(super) fn forget(&self) {
        if let Some(desk) = self.app.desk() {
            desk.leave(Kind::Elsewhere);
        }
    }

    /// Nobody looks any more.
    pub(super) fn leave(&self) {
        self.forget();
        self.costs.set(None);
    }

    fn learn(&self, model: &WeekModel, key: &BlockKey, answer: Answer) {
        match answer {
            Answer::Elsewhere { news, done } => self.costs.update(|costs| {
                if let Some(costs) = costs {
                    costs.learn(&news, done);
                }
            }),
            Answer::At { start, plan } => {
                let words = match plan {
                    Some(plan) => model.with(|input| said(input, &plan, key)),
                    None => None,
                };
                let start = self.costs.with_untracked(|costs| {
                    let grid = costs.as_ref().map_or(15, Costs::grid);
                    Elapsed(start.saturating_mul(grid))
                });
                self.exact.update(|exact| {
                    exact.insert(start, words.unwrap_or_default());
                });
                self.ask_next();
            }
            Answer::WhyNot { .. } | Answer::Risk(_) | Answer::Mended(_) => {}
        }
    }

    /// A finger stays on a start: what exactly changes there?
    pub(super) fn look_at(&self, start: Elapsed, still_there: impl Fn() -> bool + 'static) {
        let starts = *self;
        set_timeout(
            move || {
                let known = starts.exact.with_untracked(|exact| exact.contains_key(&start));
                let hopeless = starts.costs.with_untracked(|costs| {
                    costs.as_ref().is_none_or(|costs| costs.grade(start) == Grade::NotFound)
                });
                if !known && !hopeless && still_there() {
                    starts.ask_at(start);
                }
            },
            STAY,
        );
    }

    /// What exactly changes at each of these starts, one after another.
    fn ask_all(&self, mut starts: Vec<Elapsed>) {
        starts.reverse();
        self.queue.set_value(starts);
        self.ask_next();
    }

    fn ask_next(&self) {
        if let Some(Some(start)) = self.queue.try_update_value(Vec::pop) {
            self.ask_at(start);
        }
    }

    fn ask_at(&self, start: Elapsed) {
        let slot = self.costs.with_untracked(|costs| costs.as_ref().map(|costs| costs.slot(start)));
        if let (Some(slot), Some(desk)) = (slot, self.app.desk()) {
            desk.at(slot);
        }
    }

    /// What a start costs, as exactly as it is known; none while nothing is asked.
    pub(super) fn words(&self, start: Elapsed) -> Option<String> {
        let rough = self.costs.with(|costs| costs.as_ref().map(|costs| costs.words(start)))?;
        let exact = self.exact.with(|exact| exact.get(&start).cloned());
        Some(match exact {
            Some(clauses) if !clauses.is_empty() => {
                clauses.into_iter().take(3).collect::<Vec<_>>().join(", ")
            }
            _ => rough,
        })
    }
}

/// What changes, or that nothing does.
fn said(input: WeekInput<'_>, plan: &rackweek::plan::Plan, key: &BlockKey) -> Vec<String> {
    let clauses = changes(input, plan, &key.step);
    if clauses.is_empty() { vec!["nothing else changes".to_owned()] } else { clauses }
}

/// The grades of a day, while a sitting is on the move.
#[component]
pub(super) fn Marks(day: Memo<Option<DayView>>) -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let marks = Memo::new(move |_| {
        let Some(moving) = model.moving.get() else { return Vec::new() };
        model.starts.costs.with(|costs| {
            let Some(costs) = costs else { return Vec::new() };
            day.with(|day| day.as_ref().map_or_else(Vec::new, |d| costs.marks(&moving.reach, d)))
        })
    });
    move || {
        marks
            .get()
            .into_iter()
            .map(|Mark { top, bottom, grade }| {
                let height = bottom - top;
                // A quarter of an hour has room for one line.
                let word = (height >= 24).then(|| grade.short());
                view! {
                    <div
                        class=format!("week-grade {}", class_of(grade))
                        data-grade=class_of(grade)
                        aria-hidden="true"
                        style:top=px(top)
                        style:height=px(height)
                    >
                        <span>{word}</span>
                    </div>
                }
            })
            .collect_view()
    }
}

fn class_of(grade: Grade) -> &'static str {
    match grade {
        Grade::AsGood => "good",
        Grade::Dearer => "dearer",
        Grade::MuchDearer => "much",
        Grade::Untried => "untried",
        Grade::NotFound => "none",
    }
}

/// Day by day, where a sitting could go; a tap moves it there.
#[component]
pub(super) fn ElsewhereList(key: BlockKey) -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let starts = model.starts;
    let open = RwSignal::new(false);
    let asked = key.clone();
    let days = Memo::new(move |_| {
        if !open.get() {
            return Vec::new();
        }
        let costs = starts.costs.get();
        let known = costs.unwrap_or_default();
        model.view.track();
        model
            .with(|input| Reach::of(input, &asked).map(|reach| elsewhere(input, &reach, &known)))
            .flatten()
            .unwrap_or_default()
    });
    let done = Memo::new(move |_| {
        starts.costs.with(|costs| costs.as_ref().is_some_and(|costs| costs.done))
    });
    // All is tried: now the words can be exact.
    Effect::new(move |_| {
        if done.get() && open.get_untracked() {
            let rows = days.with_untracked(|days| {
                days.iter().flat_map(|day| &day.rows).map(|row| row.start).collect::<Vec<_>>()
            });
            starts.ask_all(rows);
        }
    });
    on_cleanup(move || {
        if open.try_get_untracked() == Some(true) && model.moving.read_untracked().is_none() {
            starts.leave();
        }
    });
    let ask_key = key.clone();
    let graded = move || starts.costs.read().is_some();
    view! {
        <details
            class="week-elsewhere"
            on:toggle=move |event| {
                let is_open = is_unfolded(&event);
                if is_open && !open.get_untracked() {
                    starts.ask(&model, &ask_key);
                }
                open.set(is_open);
            }
        >
            <summary>
                <span>"Where else"</span>
                <span class="soft small">"other times for it, and what they cost"</span>
            </summary>
            <p class="soft small" role="status">
                {move || {
                    match (open.get(), graded(), done.get()) {
                        (true, true, false) => "Trying them …",
                        (true, false, _) => {
                            "The week does not hold yet, so what a time costs cannot be told"
                        }
                        _ => "",
                    }
                }}
            </p>
            <ul class="week-elsewhere-days">
                <For each=move || days.get() key=day_key let:day>
                    <Day key=key.clone() day=day />
                </For>
            </ul>
        </details>
    }
}

/// A day keeps its buttons, and with them the focus, as long as the same starts are offered.
fn day_key(day: &ElsewhereDay) -> (String, Vec<Elapsed>, String) {
    (day.name.clone(), day.rows.iter().map(|row| row.start).collect(), day.reason.clone())
}

#[component]
fn Day(key: BlockKey, day: ElsewhereDay) -> impl IntoView {
    let model = expect_context::<WeekModel>();
    let name = day.name.clone();
    let rows =
        day.rows
            .into_iter()
            .map(|row| {
                let ElsewhereRow { start, time, words, .. } = row;
                let grade = move || {
                    model.starts.costs.with(|costs| {
                        costs.as_ref().map_or(Grade::Untried, |costs| costs.grade(start))
                    })
                };
                let here = words == "where it is now";
                let said = move || {
                    if here {
                        words.clone()
                    } else {
                        model.starts.words(start).unwrap_or(words.clone())
                    }
                };
                let key = key.clone();
                view! {
                    <li>
                        <button
                            type="button"
                            class=move || format!("button week-elsewhere-row {}", class_of(grade()))
                            disabled=move || here || !model.may_write()
                            on:click=move |_| {
                                model.selected.set(None);
                                model.move_to(&key, start);
                            }
                        >
                            <span class="aside">{format!("Move to {name} ")}</span>
                            <strong>{time}</strong>
                            <span class="week-elsewhere-cost">
                                {move || view! { <SignView sign=sign_of(grade()) /> }}
                                {said}
                            </span>
                        </button>
                    </li>
                }
            })
            .collect_view();
    view! {
        <li>
            <h3>{day.name}</h3>
            <ul>{rows}</ul>
            {(!day.reason.is_empty()).then(|| view! { <p class="soft small">{day.reason}</p> })}
        </li>
    }
}

fn sign_of(grade: Grade) -> Sign {
    match grade {
        Grade::AsGood => Sign::Done,
        Grade::Dearer => Sign::Little,
        Grade::MuchDearer => Sign::Much,
        Grade::Untried => Sign::Late,
        Grade::NotFound => Sign::None,
    }
}
