//! "Behind?": what happened is tried on a copy of the week, and what would move is shown before it is taken.

use std::collections::BTreeSet;
use std::sync::Arc;

use leptos::html::Dialog;
use leptos::prelude::*;
use rackweek::kitchen::{Cleared, Clearing, Household, Place};
use rackweek::record::{Book, Command};
use rackweek::week::{
    Job, JobState, Moved, Setback, WeekInput, make_again, moved, seen_before, setback, trial_words,
};

use super::page::BenchModel;
use crate::app::cold::ColdSpot;
use crate::app::parts::show_while;
use crate::app::planner::{Answer, Kind, Question};
use crate::app::shown::with_input;
use crate::app::state::PlannedWeek;
use crate::app::tryout::{as_seen, tried, with_commands};
use crate::app::week::MovedList;
use crate::app::{Page, clock};

/// Minutes that one press says.
const LATE: [u16; 5] = [15, 30, 45, 60, 90];
const LONGER: [u16; 3] = [30, 60, 90];
const HELPED: [u16; 3] = [60, 120, 180];
/// Until when a shelf is taken that is needed tonight: ten in the morning, minutes.
const MORNING: u16 = 10 * 60;

/// What happened, and what it would mean.
#[derive(Debug, Clone)]
struct Trial {
    words: String,
    commands: Vec<Command>,
    answer: Outcome,
}

/// What is known of it.
#[derive(Debug, Clone)]
enum Outcome {
    /// It is being planned.
    Trying,
    /// The week holds with it.
    Holds { clauses: Vec<String>, moved: Vec<Moved> },
    /// No week was found that holds.
    Lost,
}

/// The button, and the dialog over the page.
#[component]
pub(super) fn Behind() -> impl IntoView {
    let model = expect_context::<BenchModel>();
    let spot = expect_context::<ColdSpot>();
    let app = model.desk.app;
    let (open, dialog) = (RwSignal::new(false), NodeRef::<Dialog>::new());
    let trial = RwSignal::new(None::<Trial>);
    show_while(dialog, move || open.get());
    let close = move || {
        open.set(false);
        trial.set(None);
        if let Some(desk) = app.desk() {
            desk.leave(Kind::Mend);
        }
    };
    on_cleanup(move || {
        if let Some(desk) = app.desk() {
            desk.leave(Kind::Mend);
        }
    });
    let try_setback = move |what: Setback| {
        let found = untrack(|| with_input(app, |input| setback(input, what, clock::seconds_now())));
        match found {
            Some(Ok(commands)) => try_out(&model, trial, what.words(), commands),
            Some(Err(why)) => app.say(why, false),
            None => app.say("There is no plan yet", false),
        }
    };
    let failed = move || {
        let begun =
            |job: &&Job| matches!(job.state, JobState::Running | JobState::Paused | JobState::Done);
        model.sheet.with(|sheet| {
            let sheet = sheet.as_ref()?;
            Some(sheet.at_hand.iter().chain(&sheet.done).filter(begun).cloned().collect())
        })
    };
    let batches = Memo::new(move |_| -> Vec<Job> { failed().unwrap_or_default() });
    let choices = move |title: &'static str, all: &'static [u16], of: fn(u16) -> Setback| {
        let buttons = all.iter().map(|minutes| {
            let minutes = *minutes;
            view! {
                <button
                    type="button"
                    class="button"
                    aria-label=of(minutes).words()
                    on:click=move |_| try_setback(of(minutes))
                >
                    {minutes}
                    " min"
                </button>
            }
        });
        let buttons = buttons.collect_view();
        view! {
            <section>
                <h3>{title}</h3>
                <div class="choice bench-choice">{buttons}</div>
            </section>
        }
    };
    // The shelves that may still be hers: one of them is needed for other things until tomorrow morning.
    let full = move || {
        let kitchen = app.book.read().kitchen.clone();
        let shelves = kitchen.map_or_else(Vec::new, |kitchen| kitchen.fridge);
        let each = shelves.into_iter().enumerate();
        let each = each.filter(|(_, shelf)| shelf.household != Household::Whole);
        let buttons = each.map(|(index, shelf)| {
            let label = format!("The {} is taken until tomorrow morning", shelf.name);
            let words = label.clone();
            view! {
                <button
                    type="button"
                    class="button"
                    on:click=move |_| {
                        let from = app.now.get_untracked();
                        let clearing = Clearing {
                            place: Place::Fridge,
                            shelf: index,
                            cleared: Cleared::Taken,
                            from,
                            until: from.date().plus_days(1).at(MORNING),
                        };
                        try_out(&model, trial, words.clone(), vec![Command::AddClearing(clearing)]);
                    }
                >
                    {label}
                </button>
            }
        });
        buttons.collect_view()
    };
    let ask = move || {
        let rows = batches.get().into_iter().map(|job| {
            let label = format!("This batch failed: {}", job.name);
            let words = format!("{}, {}", job.name, job.whom);
            view! {
                <button
                    type="button"
                    class="button"
                    aria-label=label
                    on:click=move |_| {
                        let now = clock::seconds_now();
                        let command = untrack(|| {
                            with_input(app, |input| make_again(input, &job.key.step, now))
                        });
                        if let Some(command) = command {
                            let words = format!("{} is made again", job.name);
                            try_out(&model, trial, words, vec![command]);
                        }
                    }
                >
                    {words}
                </button>
            }
        });
        let rows = rows.collect_view();
        let any = !batches.read().is_empty();
        view! {
            {choices("Running late: nothing can begin for", &LATE, Setback::Late)}
            <section>
                <h3>"No more tonight"</h3>
                <div class="choice bench-choice">
                    <button
                        type="button"
                        class="button"
                        on:click=move |_| try_setback(Setback::NotTonight)
                    >
                        "Not tonight"
                    </button>
                </div>
            </section>
            {any
                .then(|| {
                    view! {
                        <section>
                            <h3>"A batch failed"</h3>
                            <div class="choice bench-choice">{rows}</div>
                        </section>
                    }
                })}
            {choices("I can work longer tonight, by", &LONGER, Setback::Longer)}
            {choices("A helper is here for", &HELPED, Setback::Helped)}
            <section>
                <h3>"The fridge is full"</h3>
                <div class="choice bench-choice">
                    <button
                        type="button"
                        class="button"
                        on:click=move |_| {
                            close();
                            spot.look(Place::Fridge, app.now.get_untracked());
                            app.go(Page::Cold, None);
                        }
                    >
                        "See what stands in it"
                    </button>
                    {full()}
                </div>
            </section>
        }
    };
    view! {
        <div class="row">
            <button
                type="button"
                class="button bench-behind"
                aria-haspopup="dialog"
                on:click=move |_| open.set(true)
            >
                "Behind? Plan again from here"
            </button>
        </div>
        <dialog class="dialog" node_ref=dialog aria-label="Behind?" on:close=move |_| close()>
            <div class="stack">
                <div class="week-dialog-head">
                    <h2>{move || trial.read().as_ref().map_or("What happened?".to_owned(), |t| t.words.clone())}</h2>
                    <button type="button" class="button" on:click=move |_| close()>
                        "Close"
                    </button>
                </div>
                {move || match (open.get(), trial.get()) {
                    (false, _) => ().into_any(),
                    (true, None) => ask().into_any(),
                    (true, Some(trial_now)) => {
                        view! { <Told told=trial_now trial=trial close=Callback::new(move |()| close()) /> }
                            .into_any()
                    }
                }}
            </div>
        </dialog>
    }
}

/// What a trial would mean; nothing has changed yet.
#[component]
fn Told(told: Trial, trial: RwSignal<Option<Trial>>, close: Callback<()>) -> impl IntoView {
    let model = expect_context::<BenchModel>();
    let app = model.desk.app;
    let (trying, holds) = match &told.answer {
        Outcome::Trying => (true, false),
        Outcome::Holds { .. } => (false, true),
        Outcome::Lost => (false, false),
    };
    let words = match &told.answer {
        Outcome::Trying => "Trying it on a copy of the week …".to_owned(),
        Outcome::Holds { clauses, moved } if moved.is_empty() => {
            format!("The week holds: {}. Nothing has changed yet.", clauses.join(" · "))
        }
        Outcome::Holds { clauses, .. } => {
            format!("The week holds if this moves: {}. Nothing has changed yet.", clauses.join(" · "))
        }
        Outcome::Lost => {
            "No plan was found that keeps everything. Take it all the same, and the week says what cannot be kept, with ways out that were tried.".to_owned()
        }
    };
    let lines = match told.answer {
        Outcome::Holds { moved, .. } => moved,
        Outcome::Trying | Outcome::Lost => Vec::new(),
    };
    let (said, commands) = (told.words, told.commands);
    let take = move |_| {
        let (said, commands) = (said.clone(), commands.clone());
        close.run(());
        set_timeout(
            move || {
                let many = commands.len();
                let said = if many > 1 {
                    format!("{said}: planned again. Undo takes it back in {many} steps")
                } else {
                    format!("{said}: planned again")
                };
                if commands.into_iter().all(|command| model.desk.run(command, said.clone())) {
                    if holds { model.focus_heading() } else { app.go(Page::Week, None) }
                }
            },
            std::time::Duration::ZERO,
        );
    };
    view! {
        <p role="status">{words}</p>
        <MovedList lines=Signal::stored(lines) />
        {(!trying)
            .then(|| {
                view! {
                    <div class="row">
                        <button type="button" class="button strong" on:click=take>
                            {if holds { "Do it" } else { "Take it, and see the week" }}
                        </button>
                        <button type="button" class="button" on:click=move |_| trial.set(None)>
                            "Leave it as it is"
                        </button>
                    </div>
                }
            })}
    }
}

/// Plans a copy of the book with what happened, near the plan on screen.
fn try_out(
    model: &BenchModel,
    trial: RwSignal<Option<Trial>>,
    words: String,
    commands: Vec<Command>,
) {
    let (model, app) = (*model, model.desk.app);
    let Some(planned) = app.plan.get_untracked() else { return };
    let Some(desk) = app.desk() else { return };
    let Some((book, outlook)) = with_commands(app, &planned.outlook, &commands) else {
        app.say("This cannot be said of the week as it stands", false);
        return;
    };
    trial.set(Some(Trial { words, commands, answer: Outcome::Trying }));
    let problem = &outlook.assembled.problem;
    let near = as_seen(problem, planned.plan.clone());
    let question = Question::Mend {
        standings: outlook.assembled.standings.clone().map(Box::new),
        patient: true,
    };
    let copy = Arc::clone(&outlook);
    desk.about(problem, &near, question, move |answer| {
        let Answer::Mended(plan) = answer else { return };
        let answer = match plan {
            None => Outcome::Lost,
            Some(plan) => told(&book, &tried(Arc::clone(&copy), &plan), &model),
        };
        trial.try_update(|trial| {
            if let Some(trial) = trial {
                trial.answer = answer;
            }
        });
    });
}

fn told(book: &Book, planned: &PlannedWeek, model: &BenchModel) -> Outcome {
    let (outlook, plan, report) = (&planned.outlook, &planned.plan, &planned.report);
    let before = seen_before(outlook);
    let after = outlook.shown_from(plan).starts;
    let now = model.desk.app.now.get_untracked();
    let unfolded = &BTreeSet::new();
    let input = WeekInput { book, outlook, plan, report, now, first_day: 0, unfolded };
    Outcome::Holds { clauses: trial_words(input, &before), moved: moved(input, &before, &after) }
}
