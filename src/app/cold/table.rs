//! The moment as a table: every place, every box, for ears and for paper.

use leptos::prelude::*;
use rackweek::cold::{Row, rows};
use rackweek::kitchen::Place;

use super::model::ColdModel;
use crate::app::parts::{Icon, capital};

/// All places at the moment looked at.
#[component]
pub(super) fn MomentTable() -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let told = Memo::new(move |_| {
        let time = model.time();
        model.view.with(|view| view.as_ref().map(|view| (view.when(time), rows(view, time))))
    });
    move || {
        let (when, rows) = told.get()?;
        let lines = rows.into_iter().map(|row| view! { <Line row=row /> }).collect_view();
        Some(view! {
            <section class="cold-table" aria-label="Table of all places">
                <h2>"All places as a table"</h2>
                <div
                    class="cold-table-scroll"
                    data-scrolls=""
                    role="region"
                    tabindex="0"
                    aria-label="Table, may be moved sideways"
                >
                    <table>
                        <caption>{format!("What stands where on {when}")}</caption>
                        <thead>
                            <tr>
                                <th scope="col">"Where"</th>
                                <th scope="col">"No."</th>
                                <th scope="col">"What"</th>
                                <th scope="col">"Order"</th>
                                <th scope="col">"From"</th>
                                <th scope="col">"Until"</th>
                                <th scope="col">"Size"</th>
                                <th scope="col">"Position"</th>
                            </tr>
                        </thead>
                        <tbody>{lines}</tbody>
                    </table>
                </div>
            </section>
        })
    }
}

#[component]
fn Line(row: Row) -> impl IntoView {
    let model = expect_context::<ColdModel>();
    let (place, key) = (row.place, row.key.clone());
    let what = row.what.clone();
    let shelf = match place {
        Place::Counter if !row.outside => capital(place.name()),
        _ => format!("{}, {}", capital(place.name()), row.shelf),
    };
    let named = match key {
        Some(key) => view! {
            <button
                type="button"
                class="button quiet cold-row-choose"
                on:click=move |_| {
                    model.spot.place.set(place);
                    model.selected.set(Some(key.clone()));
                }
            >
                {what}
            </button>
        }
        .into_any(),
        None => view! { <span>{what}</span> }.into_any(),
    };
    view! {
        <tr class:outside=row.outside>
            <td>{row.outside.then(|| view! { <Icon name="warn" /> })} {shelf}</td>
            <td class="number">{row.number}</td>
            <td>{named}</td>
            <td>{format!("{} · {}", row.mark, row.whose)}</td>
            <td>{row.from}</td>
            <td>{row.until}</td>
            <td>{row.size}</td>
            <td>{row.position}</td>
        </tr>
    }
}
