//! What handed-over orders brought in, month by month and product by product.

use leptos::prelude::*;
use rackweek::calendar::Date;
use rackweek::quote::Minor;
use rackweek::record::Earned;

use crate::app::parts::is_unfolded;
use crate::app::{AppState, intl};

/// The section; reckoned only while it is open.
#[component]
pub(super) fn BroughtIn() -> impl IntoView {
    let state = expect_context::<AppState>();
    let open = RwSignal::new(false);
    let earned =
        Memo::new(move |_| if open.get() { state.book.read().earned() } else { Earned::default() });
    view! {
        <details
            class="card quote"
            on:toggle=move |event| open.set(is_unfolded(&event))
        >
            <summary>
                <h2>"What it brought in"</h2>
            </summary>
            {move || open.get().then(|| inside(state, &earned.read()))}
        </details>
    }
}

fn inside(state: AppState, earned: &Earned) -> AnyView {
    if earned.months.is_empty() {
        return view! { <p class="soft">"This fills as orders are handed over."</p> }.into_any();
    }
    let rates = state.book.read().pricing.rates.clone();
    let money = move |amount: Minor| intl::money(amount, &rates);
    let most = earned.months.iter().map(|month| month.income).max().unwrap_or(0).max(1);
    let months = earned.months.iter().rev().map(|month| {
        let (year, number) = month.month;
        let name =
            Date::new(year, number, 1).map_or_else(|| format!("{year}-{number}"), intl::month);
        let note = (0 < month.unpriced).then(|| format!(" ({} without a price)", month.unpriced));
        let share = month.income.max(0) * 100 / most;
        view! {
            <tr>
                <th scope="row">{name}</th>
                <td class="number">{money(month.income)}</td>
                <td class="earned-cell" aria-hidden="true">
                    <div class="earned-bar" style:inline-size=format!("{share}%")></div>
                </td>
                <td class="number">{month.orders} {note}</td>
                <td class="number">{intl::duration(month.minutes)}</td>
            </tr>
        }
        .into_any()
    });
    let months = months.collect_view();
    let earners = earned.earners.iter().map(|earner| {
        let hour = earner.hour.map_or_else(String::new, &money);
        view! {
            <tr>
                <th scope="row">{earner.product.clone()}</th>
                <td class="number">{hour}</td>
                <td class="number">{money(earner.income)}</td>
                <td class="number">{intl::duration(earner.minutes)}</td>
                <td class="number">{earner.pieces}</td>
            </tr>
        }
        .into_any()
    });
    let earners = earners.collect_view();
    view! {
        <div class="earned-scroll" data-scrolls="" tabindex="0" role="region" aria-label="By month">
            <table class="earned">
                <thead>
                    <tr>
                        <th scope="col">"Month"</th>
                        <th scope="col">"Agreed"</th>
                        <td></td>
                        <th scope="col">"Orders"</th>
                        <th scope="col">"By hand"</th>
                    </tr>
                </thead>
                <tbody>{months}</tbody>
            </table>
        </div>
        <div class="earned-scroll" data-scrolls="" tabindex="0" role="region" aria-label="By product">
            <table class="earned">
                <thead>
                    <tr>
                        <th scope="col">"Product"</th>
                        <th scope="col">"An hour earned"</th>
                        <th scope="col">"Its share"</th>
                        <th scope="col">"By hand"</th>
                        <th scope="col">"Pieces"</th>
                    </tr>
                </thead>
                <tbody>{earners}</tbody>
            </table>
        </div>
        <p class="soft small">
            "Handed-over orders with what was agreed, before tax. Hours as reckoned with what you timed. An order’s price is shared among its products by what each costs; an hour earned is after goods, oven, road and overhead."
        </p>
    }
    .into_any()
}
