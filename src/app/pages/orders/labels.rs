//! Labels of an order: what stands on them, how they look at their true size, and the sheets for the printer.

use std::collections::BTreeMap;
use std::time::Duration;

use leptos::html::Div;
use leptos::prelude::*;
use rackweek::care::{CHECK_PACKETS, LABEL_SHEETS, Label, LabelSheet};
use rackweek::keeping::CAUTION;
use rackweek::order::{ItemId, Order};
use rackweek::week::{Keeps, keeps};

use crate::app::parts::{Choose, Icon, Input, Stepper};
use crate::app::shown::with_input;
use crate::app::{AppState, Page, prefs};

/// What stands below each label until she writes something else.
const USUAL_LINE: &str =
    "Made in a home kitchen in which milk, egg, wheat, nuts and other allergens are used.";
/// Most labels of one product.
const MOST: u32 = 200;

/// What the parts share.
#[derive(Clone, Copy)]
struct Desk {
    sheet: RwSignal<usize>,
    line: RwSignal<String>,
    /// "Best by Sunday 29 Nov, 20:00", by item.
    kept: Memo<BTreeMap<ItemId, Keeps>>,
}

impl Desk {
    fn sheet(self) -> LabelSheet {
        LABEL_SHEETS.get(self.sheet.get()).copied().unwrap_or(LABEL_SHEETS[0])
    }
}

/// What stands below each label: that it comes from a kitchen in which there is more.
pub(super) fn last_line() -> String {
    prefs::get(prefs::Slot::LabelLine).unwrap_or_else(|| USUAL_LINE.to_owned())
}

/// The labels of an order.
#[component]
pub(super) fn Labels(order: Order) -> impl IntoView {
    let state = expect_context::<AppState>();
    let id = order.id;
    let labels = state.book.read_untracked().labels(&order).unwrap_or_default();
    let desk = Desk {
        sheet: RwSignal::new(prefs::get(prefs::Slot::LabelSheet).unwrap_or(0)),
        line: RwSignal::new(last_line()),
        kept: Memo::new(move |_| {
            let found = with_input(state, keeps).unwrap_or_default();
            let own = found.into_iter().filter(|one| one.order == id);
            own.map(|one| (one.item, one)).collect()
        }),
    };
    Effect::new(move |_| prefs::set(prefs::Slot::LabelSheet, &desk.sheet.get()));
    Effect::new(move |_| prefs::set(prefs::Slot::LabelLine, &*desk.line.read()));
    let counts: Vec<RwSignal<String>> =
        labels.iter().map(|label| RwSignal::new(label.boxes.min(MOST).to_string())).collect();
    let used = RwSignal::new("0".to_owned());
    let sheets = LABEL_SHEETS.iter().enumerate();
    let sheets: Vec<(String, String)> =
        sheets.map(|(at, sheet)| (at.to_string(), sheet.name.to_owned())).collect();
    let shown = labels.iter().zip(counts.clone()).map(|(label, count)| {
        view! { <Shown desk=desk label=label.clone() count=count /> }.into_any()
    });
    let shown = shown.collect_view();
    let printed = StoredValue::new(labels);
    let pages = move || {
        let sheet = desk.sheet();
        let number = |text: &str| text.trim().parse::<u32>().unwrap_or(0);
        // Blank where labels are gone from the first sheet already.
        let gone = number(&used.read()).min(sheet.count() - 1);
        let mut all: Vec<Option<usize>> = (0..gone).map(|_| None).collect();
        for (at, count) in counts.iter().enumerate() {
            all.extend((0..number(&count.read()).min(MOST)).map(|_| Some(at)));
        }
        let pages = all.chunks(usize::try_from(sheet.count()).unwrap_or(1));
        pages
            .map(|page| printed.with_value(|labels| paper(desk, sheet, page, labels)))
            .collect_view()
    };
    view! {
        <section class="page narrow stack labels">
            <div class="row apart">
                <h2>"Labels for " {order.client.clone()}</h2>
                <button type="button" class="button" on:click=move |_| state.go(Page::Orders, None)>
                    "Back"
                </button>
            </div>
            <p class="caution">{CHECK_PACKETS}</p>
            <p class="caution">{CAUTION}</p>
            <div class="card stack">
                <Choose
                    id="label-sheet"
                    label="Sheet"
                    options=Signal::stored(sheets)
                    value=Signal::derive(move || desk.sheet.get().to_string())
                    on_change=move |name: String| desk.sheet.set(name.parse().unwrap_or(0))
                />
                <Stepper
                    id="label-used"
                    label="Labels gone from the first sheet"
                    max=29
                    value=used
                    on_input=move |text| used.set(text)
                />
                <Input
                    id="label-line"
                    label="Last line"
                    value=desk.line
                    on_input=move |text| desk.line.set(text)
                />
                <div>
                    <button
                        type="button"
                        class="button strong"
                        on:click=move |_| {
                            // Refused printing leaves everything as it is.
                            let _ = window().print();
                        }
                    >
                        "Print the labels"
                    </button>
                </div>
                <p class="soft small">
                    "Print without margins and at 100 %. The sizes of sheets are from memory, no published standard: try one on plain paper first."
                </p>
            </div>
            {shown}
            <div class="label-papers" aria-hidden="true">
                {pages}
            </div>
        </section>
    }
}

fn mm(hundredths: u32) -> String {
    format!("{}.{:02}mm", hundredths / 100, hundredths % 100)
}

/// Letters as large as a label has room for: 1.2 mm of a small letter's height, the least that Europe allows on packed food
/// (Regulation (EU) 1169/2011, article 13), are some 6.5 points.
fn points(sheet: LabelSheet) -> &'static str {
    match sheet.height {
        ..3000 => "6.5pt",
        3000..5000 => "7.5pt",
        _ => "9pt",
    }
}

/// One product's label at its true size, how many there are, and what is still to be read on packets.
#[component]
fn Shown(desk: Desk, label: Label, count: RwSignal<String>) -> impl IntoView {
    let node = NodeRef::<Div>::new();
    let full = RwSignal::new(false);
    Effect::new(move |_| {
        desk.sheet.track();
        desk.line.track();
        desk.kept.track();
        // After it was drawn.
        set_timeout(
            move || {
                if let Some(node) = node.get_untracked() {
                    full.set(node.client_height() + 1 < node.scroll_height());
                }
            },
            Duration::from_millis(50),
        );
    });
    let check = label.check.iter().chain(&label.unknown).cloned().collect::<Vec<_>>();
    let (named, id) = (label.product.clone(), label.item);
    let item = id.0;
    view! {
        <section class="card stack tight">
            <h3>{label.product.clone()}</h3>
            <div
                class="label-scroll"
                data-scrolls=""
                tabindex="0"
                role="group"
                aria-label=format!("The label: {}", label.product)
            >
                <div
                    class="label-one"
                    node_ref=node
                    style:width=move || mm(desk.sheet().width)
                    style:height=move || mm(desk.sheet().height)
                    style:font-size=move || points(desk.sheet())
                >
                    {text(desk, &label)}
                </div>
            </div>
            {move || {
                full.get()
                    .then(|| {
                        view! {
                            <p class="error" role="alert">
                                <Icon name="warn" />
                                "Not all of it fits on this label: choose a larger one."
                            </p>
                        }
                    })
            }}
            <p class="soft small">{move || desk.kept.read().get(&id).map(|kept| kept.words.clone())}</p>
            {(!check.is_empty())
                .then(|| {
                    view! {
                        <p>"Read on the packet and write by hand what is in it:"</p>
                        <ul class="week-notes">
                            {check.into_iter().map(|line| view! { <li>{line}</li> }).collect_view()}
                        </ul>
                    }
                })}
            <Stepper
                id=format!("label-count-{item}")
                label=format!("How many: {named}")
                max=i64::from(MOST)
                value=count
                on_input=move |text| count.set(text)
            />
        </section>
    }
}

/// What stands on a label.
fn text(desk: Desk, label: &Label) -> AnyView {
    let ingredients = label.ingredients.iter().enumerate().map(|(at, (name, brings))| {
        let comma = if at == 0 { "" } else { ", " };
        if *brings {
            view! {
                {comma}
                <strong>{name.clone()}</strong>
            }
            .into_any()
        } else {
            format!("{comma}{name}").into_any()
        }
    });
    let item = label.item;
    let date = move || {
        let kept = desk.kept.read();
        kept.get(&item).map_or_else(|| "Use by ____________".to_owned(), |kept| kept.date.clone())
    };
    view! {
        <p class="label-name">{label.product.clone()}</p>
        <p>"Ingredients: " {ingredients.collect_view()} "."</p>
        {label.contains.clone().map(|line| view! { <p><strong>{line}</strong></p> })}
        <p>{date} ". " {label.keep}</p>
        <p>{move || desk.line.get()}</p>
    }
    .into_any()
}

/// A sheet for the printer.
fn paper(desk: Desk, sheet: LabelSheet, labels: &[Option<usize>], all: &[Label]) -> AnyView {
    let (width, height) = sheet.paper();
    let each = labels.iter().map(|at| {
        let label = at.and_then(|at| all.get(at));
        view! { <div class="label-one">{label.map(|label| text(desk, label))}</div> }.into_any()
    });
    let columns = format!("repeat({}, {})", sheet.columns, mm(sheet.width));
    view! {
        <div
            class=if sheet.a4 { "label-paper a4" } else { "label-paper letter" }
            style:width=mm(width)
            style:height=mm(height)
            style:padding=format!("{} 0 0 {}", mm(sheet.top), mm(sheet.left))
            style:grid-template-columns=columns
            style:grid-auto-rows=mm(sheet.height)
            style:column-gap=mm(sheet.gap)
            style:font-size=points(sheet)
        >
            {each.collect_view()}
        </div>
    }
    .into_any()
}
