//! What an item takes up: each thing with its size and the reason, and the place to say what she measured.

use leptos::prelude::*;
use rackweek::breakdown::Stands;
use rackweek::kitchen::FootBox;
use rackweek::kitchen::boxes::{Laid, PARTS, Sheet};
use rackweek::record::Command;

use super::preview::Preview;
use crate::app::AppState;
use crate::app::parts::{For, Icon, Measure, capital};

/// Every thing of an item, folded away until it is asked for.
#[component]
pub(super) fn TakesUp(
    /// Number of the item in the form, for unique ids.
    item: u32,
    /// What the item comes to.
    preview: Memo<Preview>,
) -> impl IntoView {
    let keys = Memo::new(move |_| {
        let key = |found: &Stands| (found.card.clone(), found.thing.clone());
        preview.read().stands.iter().map(key).collect::<Vec<_>>()
    });
    let some = Memo::new(move |_| !keys.read().is_empty());
    let unlisted = move || preview.read().stands.iter().any(|found| !found.takes.listed);
    view! {
        <Show when=move || some.get()>
            <details class="takes">
                <summary>
                    "What it takes up"
                    {move || {
                        unlisted()
                            .then(|| {
                                view! {
                                    " "
                                    <span class="badge warn">
                                        <Icon name="warn" />
                                        "something is not in your list"
                                    </span>
                                }
                            })
                    }}
                </summary>
                <ul class="takes-list">
                    <For each=move || keys.get() key=|key| key.clone() let(key)>
                        <ThingRow item=item preview=preview card=key.0 thing=key.1 />
                    </For>
                </ul>
            </details>
        </Show>
    }
}

/// One thing.
#[component]
fn ThingRow(
    /// Of this item.
    item: u32,
    /// What the item comes to.
    preview: Memo<Preview>,
    /// Id of its card.
    card: String,
    /// Its id on the card.
    thing: String,
) -> impl IntoView {
    let state = expect_context::<AppState>();
    let id = format!("takes-{item}-{card}-{thing}");
    let found = Memo::new(move |_| {
        let same = |found: &&Stands| found.card == card && found.thing == thing;
        preview.read().stands.iter().find(same).cloned()
    });
    let read = move |read: fn(&Stands) -> String| {
        Signal::derive(move || found.read().as_ref().map(read).unwrap_or_default())
    };
    let title = read(title);
    let measured = Memo::new(move |_| found.read().as_ref().is_some_and(|s| s.takes.measured));
    let listed = Memo::new(move |_| found.read().as_ref().is_none_or(|s| s.takes.listed));
    let set_up = Memo::new(move |_| state.book.read().kitchen.is_some());
    let measure = move |own: Option<(u16, u16, u16)>| {
        let found = found.get_untracked();
        let kitchen = state.book.read_untracked().kitchen.clone();
        let Some((found, mut kitchen)) = found.zip(kitchen) else { return Ok(()) };
        kitchen.boxes.measure(&found.card, &found.thing, &found.takes.size, own);
        state.apply(Command::SetKitchen(kitchen)).map_err(|refusals| {
            refusals.first().map_or_else(String::new, |refusal| refusal.message.clone())
        })
    };
    let side = move |read: fn(&FootBox) -> u16| {
        Signal::derive(move || found.read().as_ref().map_or(0, |s| i64::from(read(&s.takes.item))))
    };
    let write = move |write: fn(&mut FootBox, u16)| {
        move |mm: i64| {
            let Some(found) = found.get_untracked() else { return Ok(()) };
            let mut own = found.takes.item;
            write(&mut own, u16::try_from(mm.max(0)).unwrap_or(u16::MAX));
            measure(Some((own.width, own.depth, own.height)))
        }
    };
    let field = |name: &str| format!("{id}-{name}");
    let fields = view! {
        <div class="takes-own">
            <Measure
                id=field("width")
                label="Width"
                unit="mm"
                value=side(|own| own.width)
                on_commit=write(|own, mm| own.width = mm)
            />
            <Measure
                id=field("depth")
                label="Depth"
                unit="mm"
                value=side(|own| own.depth)
                on_commit=write(|own, mm| own.depth = mm)
            />
            <Measure
                id=field("height")
                label="Height"
                unit="mm"
                value=side(|own| own.height)
                on_commit=write(|own, mm| own.height = mm)
            />
        </div>
    };
    view! {
        <li class="takes-row">
            <div class="row">
                <strong class="number">{title}</strong>
                {move || {
                    measured.get().then(|| view! { <span class="badge good">"your measure"</span> })
                }}
                {move || {
                    (!listed.get())
                        .then(|| {
                            view! {
                                <span class="badge warn">
                                    <Icon name="warn" />
                                    "not in your list"
                                </span>
                            }
                        })
                }}
            </div>
            <p class="number">{read(size)}</p>
            <p class="soft small">{read(why)}</p>
            {move || {
                let found = found.get()?;
                let (sheet, count) = found.takes.drawing?;
                Some(view! { <Drawing sheet=sheet count=count /> })
            }}
            <details class="takes-measure" hidden=move || !set_up.get()>
                <summary>"I measured it myself"</summary>
                <p class="soft small">
                    {read(|s| format!("As it stands, lid and handles included; for this size alone: {}.", s.takes.size))}
                </p>
                {fields}
                <button
                    type="button"
                    class="button"
                    hidden=move || !measured.get()
                    on:click=move |_| {
                        if let Err(why) = measure(None) {
                            state.say(why, false);
                        }
                    }
                >
                    {read(|s| format!("Back to the reckoned {}", sides(&s.takes.reckoned)))}
                </button>
            </details>
        </li>
    }
}

fn title(found: &Stands) -> String {
    let item = &found.takes.item;
    if item.count == 1 { capital(&item.kind) } else { format!("{} × {}", item.count, item.kind) }
}

fn sides(item: &FootBox) -> String {
    format!("{} × {} × {} mm", item.width, item.depth, item.height)
}

fn size(found: &Stands) -> String {
    let item = &found.takes.item;
    let each = if item.count == 1 { "" } else { " each" };
    let pile = match (item.count, item.pile) {
        (1, _) => String::new(),
        (_, 1) => ", nothing on top".to_owned(),
        (_, pile) => format!(", up to {pile} on each other"),
    };
    format!("{}{each}{pile}", sides(item))
}

fn why(found: &Stands) -> String {
    let takes = &found.takes;
    let why = capital(&takes.why);
    if takes.measured {
        format!("Reckoned {}: {}.", sides(&takes.reckoned), takes.why)
    } else {
        format!("{why}.")
    }
}

/// Where each piece lies, to scale.
#[component]
fn Drawing(
    /// The tray, or the floor of the box, in mm.
    sheet: Sheet,
    /// How many lie on it.
    count: u32,
) -> impl IntoView {
    let layout = sheet.lay(count)?;
    let name = format!(
        "{count} pieces on {} × {} mm{}",
        sheet.width,
        sheet.depth,
        if layout.laid == Laid::Searched { ", one by one" } else { "" }
    );
    let pieces = layout
        .centres
        .into_iter()
        .map(|(x, y)| {
            view! { <circle cx=x / PARTS cy=y / PARTS r=sheet.across / 2 class="takes-piece" /> }
        })
        .collect_view();
    Some(view! {
        <svg
            class="takes-drawing"
            viewBox=format!("-4 -4 {} {}", sheet.width + 8, sheet.depth + 8)
            role="img"
            aria-label=name
        >
            <rect width=sheet.width height=sheet.depth class="takes-tray" />
            {pieces}
        </svg>
    })
}
