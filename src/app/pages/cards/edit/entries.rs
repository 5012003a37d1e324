//! What is drawn for each entry of a card's form.

use leptos::prelude::*;
use rackweek::card::form::{Base, Entry, What};

use super::{Editor, lies_in};
use crate::app::parts::{
    Area, Choose, ErrorLine, For, Icon, Input, Remove, Switch, capital, is_unfolded,
};

/// The whole card: its own fields, then a section for each list.
#[component]
pub(super) fn Sections(
    /// Of the form.
    editor: Editor,
) -> impl IntoView {
    let all = editor.sheet.read_untracked().entries("");
    let (lists, fields): (Vec<Entry>, Vec<Entry>) =
        all.into_iter().partition(|entry| matches!(entry.what, What::List(_) | What::Lines));
    let fields = fields.into_iter().map(|entry| one(editor, entry, no_choices()));
    let lists = lists.into_iter().map(|entry| match entry.what {
        What::List(add) => {
            let path = entry.path.clone();
            let rests =
                (path == "steps").then(|| adds(editor, "rests", "Add a rest between two steps"));
            view! {
                <section class="card stack tight">
                    <h3>{entry.label}</h3>
                    <ErrorLine id=path.clone() error=editor.error(path.clone()) />
                    {items(editor, path.clone())}
                    <div class="row tight">{adds(editor, &path, add)} {rests}</div>
                </section>
            }
            .into_any()
        }
        _ => {
            view! { <section class="card stack tight">{one(editor, entry, no_choices())}</section> }
                .into_any()
        }
    });
    view! {
        <section class="card"><div class="form-grid">{fields.collect_view()}</div></section>
        {lists.collect_view()}
    }
}

fn no_choices() -> Signal<Vec<(String, String)>> {
    Signal::stored(Vec::new())
}

/// The button that adds an item.
fn adds(editor: Editor, list: &str, words: &'static str) -> AnyView {
    let list = list.to_owned();
    let add = move |_| {
        let mut place = None;
        editor.change(&list, |sheet| {
            place = Some(sheet.add(&list)?);
            Ok(())
        });
        if let Some(place) = place {
            editor.show(place);
        }
    };
    view! {
        <button type="button" class="button" on:click=add>
            <Icon name="plus" />
            {words}
        </button>
    }
    .into_any()
}

/// The entries at a place; rows keep their elements while they stay what they are.
fn entries(editor: Editor, path: String) -> AnyView {
    let all = Memo::new(move |_| editor.sheet.read().entries(&path));
    let key = |entry: &Entry| {
        let kind = std::mem::discriminant(&entry.what);
        let there = matches!(entry.what, What::May(true));
        (entry.path.clone(), kind, there, entry.label.clone())
    };
    let draw = move |entry: Entry| {
        let path = entry.path.clone();
        let choices = Signal::derive(move || {
            let all = all.read();
            let found = all.iter().find(|entry| entry.path == path);
            match found.map(|entry| &entry.what) {
                Some(What::Choice(choices)) => choices.clone(),
                _ => Vec::new(),
            }
        });
        one(editor, entry, choices)
    };
    view! {
        <div class="form-grid">
            <For each=move || all.get() key=key children=draw />
        </div>
    }
    .into_any()
}

/// One entry.
fn one(editor: Editor, entry: Entry, choices: Signal<Vec<(String, String)>>) -> AnyView {
    let Entry { path, label, hint, what } = entry;
    let hint = capital(&hint);
    let (value, error) = (editor.text(path.clone()), editor.error(path.clone()));
    let (at, left) = (path.clone(), path.clone());
    let write = move |text: String| editor.write(&at, text);
    let leave = move |_: String| editor.leave(&left);
    let chosen = path.clone();
    // What is chosen is written and left at once.
    let choose = move |text: String| {
        editor.write(&chosen, text);
        editor.leave(&chosen);
    };
    match what {
        What::Text => view! {
            <Input
                id=path
                label=label
                hint=hint
                value=value
                error=error
                on_input=write
                on_change=leave
            />
        }
        .into_any(),
        What::Number(unit) => view! {
            <Input
                id=path
                label=label
                hint=hint
                unit=unit
                keyboard="numeric"
                value=value
                error=error
                on_input=write
                on_change=leave
                longest=16
            />
        }
        .into_any(),
        What::Lines => {
            let label =
                if hint.is_empty() { label } else { format!("{label} ({})", hint.to_lowercase()) };
            view! {
                <div class="whole">
                    <Area id=path label=label value=value error=error on_input=write />
                </div>
            }
            .into_any()
        }
        What::Time(base) => time(editor, path, label, hint, base),
        What::Switch => {
            let on = Signal::derive(move || *value.read() == "1");
            let write = move |on: bool| choose(switched(on));
            view! { <Switch id=path label=label hint=hint on=on on_change=write /> }.into_any()
        }
        What::Choice(_) => view! {
            <div class="form-choice">
                <Choose id=path.clone() label=label options=choices value=value on_change=choose />
                <ErrorLine id=path error=error />
            </div>
        }
        .into_any(),
        What::Group => {
            let inner = entries(editor, path);
            if label.is_empty() {
                return view! { <div class="whole">{inner}</div> }.into_any();
            }
            view! {
                <fieldset class="form-group whole">
                    <legend>{label}</legend>
                    {inner}
                </fieldset>
            }
            .into_any()
        }
        What::May(there) => {
            let inner = there.then(|| entries(editor, path.clone()));
            let shown = Signal::derive(move || there);
            let write = move |on: bool| choose(switched(on));
            let group = label.clone();
            view! {
                <div class="form-group whole" role="group" aria-label=group>
                    <Switch id=path.clone() label=label hint=hint on=shown on_change=write />
                    <ErrorLine id=path error=error />
                    {inner}
                </div>
            }
            .into_any()
        }
        What::List(add) => view! {
            <fieldset class="form-group whole">
                <legend>{label}</legend>
                {(!hint.is_empty()).then(|| view! { <p class="hint">{hint}</p> })}
                <ErrorLine id=path.clone() error=error />
                {items(editor, path.clone())}
                <div>{adds(editor, &path, add)}</div>
            </fieldset>
        }
        .into_any(),
        What::Item => entries(editor, path),
    }
}

fn switched(on: bool) -> String {
    if on { "1" } else { "0" }.to_owned()
}

/// A time: a number and its unit.
fn time(editor: Editor, path: String, label: String, hint: String, base: Base) -> AnyView {
    let value = editor.text(path.clone());
    // The unit comes last, whatever was typed before it.
    let cut = |text: &str| {
        let (number, unit) = text.rsplit_once(' ').unwrap_or((text, ""));
        (number.to_owned(), unit.to_owned())
    };
    let first = if base == Base::Seconds { "s" } else { "min" };
    // While there is no time, its unit is nowhere else.
    let last_unit = RwSignal::new(first.to_owned());
    let number = Signal::derive(move || cut(&value.read()).0);
    let unit = Signal::derive(move || {
        let unit = cut(&value.read()).1;
        if unit.is_empty() { last_unit.get() } else { unit }
    });
    let written = |number: &str, unit: &str| {
        if number.trim().is_empty() { String::new() } else { format!("{} {unit}", number.trim()) }
    };
    let (at, left, chosen) = (path.clone(), path.clone(), path.clone());
    let write = move |text: String| {
        let unit = unit.get_untracked();
        last_unit.set(unit.clone());
        editor.write(&at, written(&text, &unit));
    };
    let choose = move |unit: String| {
        last_unit.set(unit.clone());
        let text = written(&number.get_untracked(), &unit);
        if !text.is_empty() {
            editor.write(&chosen, text);
            editor.leave(&chosen);
        }
    };
    let units: &[&str] =
        if base == Base::Seconds { &["s", "min", "h"] } else { &["min", "h", "days"] };
    let units = units.iter().map(|unit| ((*unit).to_owned(), (*unit).to_owned())).collect();
    let units: Signal<Vec<(String, String)>> = Signal::stored(units);
    let of = format!("{label}: unit");
    view! {
        <div class="form-time">
            <Input
                id=path.clone()
                label=label
                hint=hint
                keyboard="decimal"
                value=number
                error=editor.error(path.clone())
                on_input=write
                on_change=move |_| editor.leave(&left)
                longest=10
            />
            <Choose id=format!("{path}-unit") label=of options=units value=unit on_change=choose />
        </div>
    }
    .into_any()
}

/// The items of a list.
fn items(editor: Editor, list: String) -> AnyView {
    let all = Memo::new(move |_| {
        let items = editor.sheet.read().entries(&list);
        items.into_iter().map(|item| item.path).collect::<Vec<_>>()
    });
    view! { <For each=move || all.get() key=|path| path.clone() children=move |path| item(editor, path) /> }
        .into_any()
}

/// An item: one that has a name opens, a small one lies open.
fn item(editor: Editor, path: String) -> AnyView {
    let words = {
        let path = path.clone();
        Memo::new(move |_| editor.sheet.read().item_words(&path))
    };
    let list = path.rsplit_once('[').map_or(String::new(), |(list, _)| list.to_owned());
    let outer = if list == "rests" { "steps".to_owned() } else { list };
    let (gone, above) = (path.clone(), outer.clone());
    let remove = Callback::new(move |()| editor.change(&above, |sheet| sheet.remove(&gone)));
    if words.read_untracked().0.is_empty() {
        return view! {
            <div class="form-item">
                {entries(editor, path)} <Remove
                    what=Signal::stored("this line".to_owned())
                    on_remove=move |_| remove.run(())
                />
            </div>
        }
        .into_any();
    }
    let open = RwSignal::new(false);
    let here = path.clone();
    Effect::new(move |_| {
        if lies_in(&editor.at.read(), &here) {
            open.set(true);
        }
    });
    let moved = path.clone();
    let shift = Callback::new(move |up: bool| {
        editor.change(&outer, |sheet| sheet.shift(&moved, up));
    });
    let can = {
        let path = path.clone();
        Memo::new(move |_| editor.sheet.read().can_shift(&path))
    };
    let (wrong, body) = (path.clone(), path.clone());
    let named = Signal::derive(move || words.read().0.clone());
    view! {
        <details
            class="method-part"
            prop:open=open
            on:toggle=move |event| open.set(is_unfolded(&event))
        >
            <summary id=path>
                <span>
                    <span class="method-title">
                        {move || {
                            editor
                                .is_wrong(&wrong)
                                .then(|| {
                                    view! {
                                        <Icon name="warn" />
                                        <span class="aside">"To put right: "</span>
                                    }
                                })
                        }} {move || capital(&words.read().0)}
                    </span>
                    <span class="soft small">{move || words.read().1.clone()}</span>
                </span>
            </summary>
            {move || {
                open.get()
                    .then(|| {
                        view! {
                            {entries(editor, body.clone())}
                            <div class="row tight">
                                {mover(true, can, named, shift)} {mover(false, can, named, shift)}
                                <button
                                    type="button"
                                    class="button danger"
                                    aria-label=move || format!("Remove {}", named.get())
                                    on:click=move |_| remove.run(())
                                >
                                    "Remove"
                                </button>
                            </div>
                        }
                    })
            }}
        </details>
    }
    .into_any()
}

/// The button that moves an item up or down, where it can go there.
fn mover(
    up: bool,
    can: Memo<(bool, bool)>,
    named: Signal<String>,
    shift: Callback<bool>,
) -> impl Fn() -> Option<AnyView> {
    let (word, sign) = if up { ("Earlier", "↑") } else { ("Later", "↓") };
    move || {
        let (earlier, later) = can.get();
        let name = named.get_untracked();
        (if up { earlier } else { later }).then(|| {
            view! {
                <button
                    type="button"
                    class="button"
                    aria-label=format!("{word}: {name}")
                    on:click=move |_| shift.run(up)
                >
                    {format!("{sign} {word}")}
                </button>
            }
            .into_any()
        })
    }
}
