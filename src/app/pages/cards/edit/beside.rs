//! What an example order comes to with the card as it is written, beside what it came to before.

use leptos::prelude::*;
use rackweek::breakdown::Example;
use rackweek::card::Card;

use super::Editor;
use crate::app::intl;
use crate::app::pages::cards::{example_of, many};
use crate::app::parts::capital;

/// The panel.
#[component]
pub(super) fn Beside(
    /// Of the form.
    editor: Editor,
    /// The card as it was; none for a new one.
    before: Option<Card>,
) -> impl IntoView {
    let before =
        Memo::new(move |_| before.as_ref().map(|card| example_of(card, &editor.book.read())));
    view! {
        <aside class="card stack tight method-beside" aria-labelledby="method-beside">
            <h3 id="method-beside">
                {move || {
                    let sheet = editor.sheet.read();
                    format!("For example {}", many(sheet.card()))
                }}
            </h3>
            {move || {
                editor
                    .fault
                    .read()
                    .is_some()
                    .then(|| {
                        view! { <p class="soft small">"As it was before what is to be put right:"</p> }
                    })
            }}
            {move || editor.example.read().as_ref().map(|now| table(now, before.read().as_ref()))}
        </aside>
    }
}

fn table(now: &Example, before: Option<&Example>) -> AnyView {
    let line = |name: String, minutes: u32, old: Option<u32>| {
        let was = old.filter(|old| *old != minutes).map(|old| {
            view! {
                <span class="soft">
                    <s>
                        <span class="aside">"before "</span>
                        {intl::duration(old)}
                    </s>
                    " → "
                </span>
            }
        });
        view! {
            <div>
                <dt>{name}</dt>
                <dd class="number">{was} {intl::duration(minutes)}</dd>
            </div>
        }
        .into_any()
    };
    let totals = vec![
        line("By hand".to_owned(), now.by_hand, before.map(|old| old.by_hand)),
        line(
            "From start to end at the least".to_owned(),
            now.shortest,
            before.map(|old| old.shortest),
        ),
    ];
    let steps = now.steps.iter().map(|step| {
        let old = before.map(|before| {
            let same = before.steps.iter().find(|old| old.id == step.id);
            same.map_or(0, |old| old.minutes)
        });
        let sittings = if step.sittings == 1 {
            String::new()
        } else {
            format!(" ({} sittings)", step.sittings)
        };
        line(format!("{}{sittings}", step.name), step.minutes, old)
    });
    let waits = now.waits.iter().filter(|wait| 0 < wait.least).map(|wait| {
        let old = before.map(|before| {
            let same = before.waits.iter().find(|old| old.id == wait.id);
            same.map_or(0, |old| old.least)
        });
        line(format!("↓ {}: {}", wait.what, wait.way), wait.least, old)
    });
    view! {
        <dl class="method-amounts">{totals}</dl>
        {now
            .problems
            .iter()
            .map(|text| view! { <p class="error">{capital(text)}</p> })
            .collect_view()}
        <details>
            <summary class="fit-why">"Each step and rest"</summary>
            <dl class="method-amounts">{steps.collect_view()} {waits.collect_view()}</dl>
        </details>
    }
    .into_any()
}
