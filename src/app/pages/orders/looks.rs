//! What an order should look like, and what it looked like in the end.

use leptos::prelude::*;
use rackweek::order::{OrderId, Picture};
use rackweek::record::Command;

use super::form::Desk;
use crate::app::AppState;
use crate::app::parts::ErrorLine;
use crate::app::pictures::Photos;
use crate::app::state::words;

/// The section. Pictures of the wish belong to the form and are saved with it; those of the handover are kept at once.
#[component]
pub(super) fn Looks(
    /// Of this form.
    desk: Desk,
    /// None: a new one.
    order: Option<OrderId>,
) -> impl IntoView {
    let state = expect_context::<AppState>();
    let wished = Signal::derive(move || desk.draft.read().pictures.clone());
    let handed = Memo::new(move |_| {
        let book = state.book.read();
        order
            .and_then(|id| book.orders.get(&id))
            .map(|order| order.handed.clone())
            .unwrap_or_default()
    });
    let any_handed = Memo::new(move |_| !handed.read().is_empty());
    let keep_handed = move |pictures: Vec<Picture>| {
        let Some(id) = order else { return };
        if let Err(refusals) = state.apply(Command::SetHanded(id, pictures)) {
            state.say(words(&refusals), false);
        }
    };
    view! {
        <section class="card stack">
            <h3>"What it should look like"</h3>
            <Photos
                id="order-pictures"
                of="this order"
                pictures=wished
                sketches=true
                on_change=move |pictures| desk.write("pictures", |draft| draft.pictures = pictures)
            />
            <ErrorLine id="order-pictures-all" error=desk.error("pictures") />
            {move || {
                any_handed
                    .get()
                    .then(|| {
                        view! {
                            <h3>"At the handover"</h3>
                            <Photos
                                id="order-handed"
                                of="the handover"
                                pictures=handed
                                on_change=keep_handed
                            />
                        }
                    })
            }}
        </section>
    }
}
