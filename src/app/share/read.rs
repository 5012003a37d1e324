//! The page that a link opens: a week to read and to tick, and nothing of the reader's own.

use leptos::prelude::*;
use rackweek::share::{SharedWeek, fragment_of, read_fragment, tick_key, ticked, with_ticks};

use super::list;
use crate::app::{intl, prefs, update};

/// The address's fragment when it may be a shared week: not when it is empty, or leads to the page's own middle.
pub(crate) fn fragment() -> Option<String> {
    let hash = window().location().hash().ok()?;
    let fragment = hash.strip_prefix('#')?;
    (!fragment.is_empty() && fragment != "main").then(|| fragment.to_owned())
}

/// A link that is pasted over the address of an open page changes its fragment only: the page starts again with it.
pub(crate) fn reload_for_links() {
    let shown = fragment();
    // Lives as long as the page.
    let _ = window_event_listener(leptos::ev::hashchange, move |_| {
        if fragment() != shown {
            let _ = window().location().reload();
        }
    });
}

/// The week that the address holds, or why there is none.
#[component]
pub(crate) fn SharedPage(
    /// The address's fragment, without `#`.
    fragment: String,
) -> impl IntoView {
    update::listen();
    document().set_title("Shared week · Rackweek");
    let body = match read_fragment(&fragment) {
        Ok(week) => shown(week),
        Err(error) => view! {
            <section class="card stack">
                <h2>"Nothing to show"</h2>
                <p>{error.to_string()} "."</p>
            </section>
        }
        .into_any(),
    };
    let own = window().location().pathname().unwrap_or_default();
    view! {
        <div class="shared">
            <header class="shared-head">
                <h1>"Shared week"</h1>
                <a class="button" href=own>
                    "My own Rackweek"
                </a>
            </header>
            {move || {
                update::ready()
                    .get()
                    .then(|| {
                        view! {
                            <div class="banner">
                                <p><strong>"A new version is ready."</strong></p>
                                <button type="button" class="button" on:click=move |_| update::take_over()>
                                    "Reload"
                                </button>
                            </div>
                        }
                    })
            }}
            <main class="stack" id="main" tabindex="-1">
                {body}
            </main>
        </div>
    }
}

fn shown(week: SharedWeek) -> AnyView {
    let fragment = fragment_of(&week);
    let key = tick_key(&fragment).to_owned();
    let kept = move || prefs::get::<String>(prefs::Slot::SharedTicks).unwrap_or_default();
    let ticks = RwSignal::new(ticked(&kept(), &key));
    let on_tick = Callback::new(move |index: usize| {
        ticks.update(|ticks| match ticks.iter().position(|one| *one == index) {
            Some(at) => drop(ticks.remove(at)),
            None => ticks.push(index),
        });
        let text = with_ticks(&kept(), &key, &ticks.read_untracked());
        prefs::set(prefs::Slot::SharedTicks, &text);
    });
    let many = week.entries.len();
    let made = intl::date_time(week.made);
    let note = week.note.clone();
    let dates = week.entries.first().zip(week.entries.last());
    let range = dates.map_or_else(
        || "Nothing happens".to_owned(),
        |(first, last)| {
            let (from, to) = (first.at.date(), last.at.date());
            if from == to {
                intl::day_month(from)
            } else {
                format!("{} – {}", intl::day_month(from), intl::day_month(to))
            }
        },
    );
    view! {
        <section class="card stack tight">
            <p>
                "To read and to tick. Ticks stay on this device. Shared on " {made}
                "; the plan may have changed since."
            </p>
            {(!note.is_empty()).then(|| view! { <p class="shared-note" dir="auto">{note}</p> })}
            <p class="soft small number" role="status">
                {move || ticks.read().len()} " of " {many} " ticked"
            </p>
        </section>
        {list::allergies(&week)}
        <section class="card stack">
            <h2>{range}</h2>
            {list::days(&week, Some((ticks, on_tick)))}
        </section>
    }
    .into_any()
}
