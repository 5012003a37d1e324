//! “Can you take this?” beside the form: asks whenever what is wanted changes, and shows what is known about
//! exactly that.

use std::sync::Arc;

use gloo_timers::callback::Timeout;
use leptos::prelude::*;
use rackweek::week::{FitWords, Take, Verdict, Way, moment};

use super::form::Desk;
use super::sections::focus;
use super::trial::TrialWeekView;
use crate::app::AppState;
use crate::app::fit::{Asked, FitDesk, Looking};
use crate::app::parts::Icon;

/// Said while nothing is known yet.
const TRYING: &str = "Trying it in your week …";
/// How long nothing is written before the question is asked, ms.
const PAUSE_MS: u32 = 350;
/// The panel's title, to which the focus goes when what had it is gone.
const TITLE: &str = "fit-title";

/// Asks for as long as the form is open.
pub(super) fn keep_asking(desk: Desk) {
    let state = expect_context::<AppState>();
    let fit = expect_context::<FitDesk>();
    let wish = desk.wish;
    // A question that changed with each minute would never be answered.
    let quarter = Memo::new(move |_| {
        let now = state.now.get();
        now.plus_minutes(-i64::from(now.minute_of_day() % 15))
    });
    let pause = StoredValue::new_local(None::<Timeout>);
    Effect::new(move |_| {
        let (book, now) = (state.book.get(), quarter.get());
        // A pending question is dropped, and with it its timer.
        pause.set_value(None);
        let Ok(order) = wish.get() else {
            fit.forget();
            return;
        };
        let number = fit.void(Looking::Asked);
        let zone = state.zone.get_value();
        let ask = move || fit.ask(number, Asked { book, now, zone, order });
        pause.set_value(Some(Timeout::new(PAUSE_MS, ask)));
    });
    on_cleanup(move || fit.forget());
}

/// How an answer looks: sign and tone.
fn look(verdict: Verdict) -> (&'static str, &'static str) {
    match verdict {
        Verdict::Fits => ("check", "good"),
        Verdict::FitsIf => ("plus", "warn"),
        Verdict::NotBefore => ("time", "warn"),
        Verdict::NotAsAsked | Verdict::NotPlanned | Verdict::TroubleWithout => ("warn", "warn"),
        Verdict::NoWay => ("cross", "bad"),
    }
}

/// The panel.
#[component]
pub(super) fn FitPanel(
    /// Of the form.
    desk: Desk,
) -> impl IntoView {
    let fit = expect_context::<FitDesk>();
    let looking = fit.looking;
    let said = Memo::new(move |_| match &*looking.read() {
        Looking::Known(words, true) => words.said.clone(),
        _ => String::new(),
    });
    let state = move || match &*looking.read() {
        Looking::Not => "missing",
        Looking::Asked => "looking",
        Looking::Known(_, false) => "known",
        Looking::Known(_, true) => "done",
        Looking::NotSetUp | Looking::Broken => "none",
    };
    view! {
        <aside
            class="card stack fit"
            aria-labelledby=TITLE
            data-fit=state
            data-fit-number=move || fit.number.get().to_string()
        >
            <h3 id=TITLE tabindex="-1">"Can you take this?"</h3>
            {move || match looking.get() {
                Looking::Not => view! { <Missing desk=desk /> }.into_any(),
                Looking::Asked => view! { <p class="soft fit-wait">{TRYING}</p> }.into_any(),
                Looking::Known(words, done) => {
                    view! { <Known desk=desk words=words done=done /> }.into_any()
                }
                Looking::NotSetUp => {
                    view! { <p class="soft">"First say what your kitchen and your time are like."</p> }
                        .into_any()
                }
                Looking::Broken => {
                    view! {
                        <p class="soft">
                            "The check has stopped. Change something in the order to start it again."
                        </p>
                    }
                        .into_any()
                }
            }}
            <p class="aside" role="status">
                {said}
            </p>
        </aside>
    }
}

/// The answer in one line beside "Save order", where the panel is out of sight; leads to it.
#[component]
pub(super) fn FitShort() -> impl IntoView {
    let fit = expect_context::<FitDesk>();
    let show = move |_| {
        focus(TITLE);
        let panel = document().get_element_by_id(TITLE);
        if let Some(panel) = panel {
            panel.scroll_into_view();
        }
    };
    move || {
        let (icon, tone, short, full) = match &*fit.looking.read() {
            Looking::Asked => ("time", "soft", "Trying …".to_owned(), TRYING.to_owned()),
            Looking::Known(words, _) => {
                let (icon, tone) = look(words.verdict);
                (icon, tone, words.short.clone(), words.said.clone())
            }
            _ => return None,
        };
        Some(view! {
            <button type="button" class=format!("fit-short {tone}") on:click=show>
                <Icon name=icon />
                // The style shows the one for which there is room.
                <span class="in-short">{short}</span>
                <span class="in-full">{full}</span>
            </button>
        })
    }
}

/// What must be written before anything can be said.
#[component]
fn Missing(desk: Desk) -> impl IntoView {
    let missing = move || desk.wish.get().err().unwrap_or_default();
    view! {
        <p>"This is tried in your week as soon as it is known:"</p>
        <ul class="fit-list">
            {move || missing().into_iter().map(|text| view! { <li>{text}</li> }).collect_view()}
        </ul>
    }
}

/// What is known.
#[component]
fn Known(desk: Desk, words: Arc<FitWords>, done: bool) -> impl IntoView {
    let (icon, tone) = look(words.verdict);
    let lines = words.lines.iter().map(|line| view! { <p>{line.clone()}</p> }).collect_view();
    let days = words.days.clone();
    let why = words.why.clone();
    let ways = words
        .ways
        .iter()
        .cloned()
        .map(|way| view! { <WayView desk=desk way=way /> })
        .collect_view();
    let going_on = if words.verdict == Verdict::Fits {
        "Moving less of the rest …"
    } else {
        "Looking for ways …"
    };
    let has_ways = !words.ways.is_empty();
    let later = words.not_before.map(|at| {
        let words = if has_ways {
            format!("With no change at all: not before {}", moment(at))
        } else {
            "The first day on which it would fit as it is.".to_owned()
        };
        view! {
            <div class="fit-way">
                <p>{words}</p>
                <TakeButton desk=desk take=Take::Handover(at) what="Take this date" />
            </div>
        }
    });
    view! {
        <div class="fit-answer" data-fit-asked=words.asked.to_string()>
            <p class=format!("fit-verdict {tone}")>
                <Icon name=icon />
                <strong>{words.headline.clone()}</strong>
            </p>
            <p class="soft small">{format!("Asked for {}", moment(words.asked))}</p>
        </div>
        {lines}
        {(!days.is_empty())
            .then(|| {
                view! {
                    <ul class="fit-list number" aria-label="When you would work on it">
                        {days.into_iter().map(|day| view! { <li>{day}</li> }).collect_view()}
                    </ul>
                }
            })}
        {words.week.clone().map(|week| view! { <TrialWeekView week=week with="this order".to_owned() /> })}
        {has_ways.then(|| view! { <ul class="fit-ways" aria-label="Ways to make it fit">{ways}</ul> })}
        {later}
        {(!done).then(|| view! { <p class="soft fit-wait">{going_on}</p> })}
        {(!why.is_empty())
            .then(|| {
                view! {
                    <details>
                        <summary class="fit-why">"Why not as asked"</summary>
                        <p class="soft small">"These cannot all hold together:"</p>
                        <ul class="fit-list">
                            {why.into_iter().map(|text| view! { <li>{text}</li> }).collect_view()}
                        </ul>
                    </details>
                }
            })}
    }
}

/// One way in which it fits.
#[component]
fn WayView(desk: Desk, way: Way) -> impl IntoView {
    let what = way.what.clone();
    view! {
        <li class="fit-way">
            <p>
                <strong>{way.what}</strong>
            </p>
            <p class="soft small">{format!("Costs: {}", way.cost.join(" · "))}</p>
            {way.take.map(|take| view! { <TakeButton desk=desk take=take what="Take this" /> })}
            {way.week.map(|week| view! { <TrialWeekView week=week with=what.clone() /> })}
        </li>
    }
}

/// Writes a way into the form; nothing is saved by it.
#[component]
fn TakeButton(desk: Desk, take: Take, what: &'static str) -> impl IntoView {
    let press = move |_| {
        match take {
            Take::Handover(at) => desk.write("handover.date", |draft| draft.set_handover(at)),
            Take::Spares(id, spares) => desk.write("items", |draft| {
                if let Some(item) = draft.items.iter_mut().find(|item| item.id == id) {
                    item.spares = spares.to_string();
                    item.spares_follow = false;
                }
            }),
        }
        // The button goes with the answer that it belonged to.
        focus(TITLE);
    };
    view! {
        <button type="button" class="button" on:click=press>
            {what}
        </button>
    }
}

#[cfg(test)]
mod tests {
    use super::super::Cards;
    use super::super::draft::{Errors, OrderDraft};
    use super::*;
    use leptos::mount::mount_to;
    use leptos::task::tick;
    use rackweek::card::builtin;
    use rackweek::demo::demo;
    use rackweek::margin::Margins;
    use rackweek::order::ItemId;
    use wasm_bindgen::JsCast;
    use wasm_bindgen_test::wasm_bindgen_test;
    use web_sys::HtmlElement;

    /// The panel on a page of its own, with the form and the desk behind it.
    fn panel() -> (HtmlElement, Desk, FitDesk) {
        let place =
            document().create_element("div").expect("a place").unchecked_into::<HtmlElement>();
        document().body().expect("a body").append_child(&place).expect("is put in");
        let out = std::rc::Rc::new(std::cell::Cell::new(None));
        let hand = std::rc::Rc::clone(&out);
        mount_to(place.clone(), move || {
            let fit = FitDesk::new();
            provide_context(fit);
            let book = StoredValue::new(demo("2026-11-30T07:00".parse().expect("a moment")));
            let cards = Cards(Memo::new(|_| builtin()));
            let draft = RwSignal::new(OrderDraft::new());
            let wish =
                Memo::new(move |_| book.with_value(|b| draft.read().wish(b, &cards.0.read())));
            let kitchen = book.with_value(|book| book.kitchen.clone()).expect("has one");
            let desk = Desk {
                draft,
                errors: RwSignal::new(Errors::new()),
                cards,
                kitchen: Memo::new(move |_| Arc::new(kitchen.clone())),
                margins: Memo::new(|_| Margins::default()),
                wish,
            };
            hand.set(Some((desk, fit)));
            view! { <FitPanel desk=desk /> }
        })
        .forget();
        let (desk, fit) = out.take().expect("was mounted");
        (place, desk, fit)
    }

    fn words(verdict: Verdict) -> FitWords {
        let at = "2026-12-04T15:00".parse().expect("a moment");
        FitWords {
            verdict,
            headline: "the headline".to_owned(),
            days: Vec::new(),
            short: "short".to_owned(),
            said: "all of it".to_owned(),
            asked: at,
            lines: vec!["a line".to_owned()],
            why: Vec::new(),
            ways: Vec::new(),
            not_before: None,
            week: None,
        }
    }

    async fn show(fit: FitDesk, words: FitWords, done: bool) {
        fit.looking.set(Looking::Known(Arc::new(words), done));
        tick().await;
    }

    fn status(place: &HtmlElement) -> String {
        let found = place.query_selector("[role=status]").expect("a selector").expect("one");
        found.text_content().unwrap_or_default()
    }

    fn press(place: &HtmlElement, selector: &str, name: &str) {
        let found = place.query_selector(selector).expect("a selector").expect("is there");
        assert_eq!(found.text_content().as_deref(), Some(name));
        found.unchecked_into::<HtmlElement>().click();
    }

    #[wasm_bindgen_test]
    async fn an_empty_form_is_told_what_is_missing() {
        let (place, desk, _) = panel();
        tick().await;
        assert!(place.inner_text().contains("Choose the day"), "{}", place.inner_text());
        desk.write("handover.date", |draft| draft.date = "2026-12-12".to_owned());
        tick().await;
        assert!(!place.inner_text().contains("Choose the day"));
        assert!(place.inner_text().contains("at least one item"), "{}", place.inner_text());
        assert_eq!(status(&place), "");
    }

    #[wasm_bindgen_test]
    async fn an_answer_is_announced_once_it_is_whole() {
        let (place, _, fit) = panel();
        show(fit, words(Verdict::NotAsAsked), false).await;
        assert!(place.inner_text().contains("Looking for ways"));
        assert_eq!(status(&place), "");
        show(fit, words(Verdict::FitsIf), true).await;
        assert_eq!(status(&place), "all of it");
        fit.void(Looking::Asked);
        tick().await;
        assert!(!place.inner_text().contains("the headline"), "what is void is gone at once");
        assert_eq!(status(&place), "");
    }

    #[wasm_bindgen_test]
    async fn taking_a_later_day_or_fewer_spares_writes_them_into_the_form() {
        let (place, desk, fit) = panel();
        let card = builtin().into_iter().find(|card| card.id == "cupcakes").expect("built in");
        desk.write("items", |draft| {
            draft.add(&card);
        });
        let way = Way {
            what: "No spares of Cupcakes".to_owned(),
            cost: vec!["less to fall back on".to_owned()],
            take: Some(Take::Spares(ItemId(1), 0)),
            week: None,
        };
        let later = "2026-12-06T15:30".parse().expect("a moment");
        let answer =
            FitWords { ways: vec![way], not_before: Some(later), ..words(Verdict::FitsIf) };
        show(fit, answer, true).await;
        assert!(place.inner_text().contains("Costs: less to fall back on"));
        press(&place, ".fit > .fit-way button", "Take this date");
        press(&place, ".fit-ways button", "Take this");
        let draft = desk.draft.get_untracked();
        assert_eq!((draft.date.as_str(), draft.time.as_str()), ("2026-12-06", "15:30"));
        assert_eq!((draft.items[0].spares.as_str(), draft.items[0].spares_follow), ("0", false));
    }

    #[wasm_bindgen_test]
    async fn who_cannot_be_answered_is_told_what_to_do() {
        let (place, _, fit) = panel();
        fit.looking.set(Looking::Broken);
        tick().await;
        assert!(place.inner_text().contains("Change something"));
        fit.looking.set(Looking::NotSetUp);
        tick().await;
        assert!(place.inner_text().contains("your kitchen and your time"));
    }
}
