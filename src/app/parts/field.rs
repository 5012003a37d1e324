//! Fields with a label, a hint and an error that says what would be right.

use leptos::prelude::*;

use super::{Icon, capital};

/// The line under a field that says what is wrong, if anything is.
#[component]
pub(crate) fn ErrorLine(
    /// Of the field that it belongs to.
    #[prop(into)]
    id: String,
    /// What is wrong.
    #[prop(into)]
    error: Signal<Option<String>>,
) -> impl IntoView {
    let id = error_id(&id);
    move || {
        error.get().map(|text| {
            view! {
                <p class="error" id=id.clone()>
                    <Icon name="warn" />
                    {capital(&text)}
                </p>
            }
        })
    }
}

/// What `aria-describedby` of a field names.
fn error_id(field: &str) -> String {
    format!("{field}-error")
}

fn described(field: &str, hint: bool, error: bool) -> Option<String> {
    match (hint, error) {
        (false, false) => None,
        (true, false) => Some(format!("{field}-hint")),
        (false, true) => Some(error_id(field)),
        (true, true) => Some(format!("{field}-hint {}", error_id(field))),
    }
}

/// A one-line field.
#[component]
pub(crate) fn Input(
    /// Unique on the page.
    #[prop(into)]
    id: String,
    /// What it is for.
    #[prop(into)]
    label: String,
    /// What is written in it.
    #[prop(into)]
    value: Signal<String>,
    /// Hears each key.
    #[prop(optional, into)]
    on_input: Option<Callback<String>>,
    /// Hears the finished entry.
    #[prop(optional, into)]
    on_change: Option<Callback<String>>,
    /// What is wrong with it.
    #[prop(optional, into)]
    error: Option<Signal<Option<String>>>,
    /// `text`, `date`, `time`, `search`.
    #[prop(default = "text")]
    kind: &'static str,
    /// Which keyboard to show.
    #[prop(default = "")]
    keyboard: &'static str,
    /// One sentence, may be empty.
    #[prop(optional, into)]
    hint: String,
    /// Unit after the field, may be empty.
    #[prop(optional, into)]
    unit: String,
    /// Hides the label from sight, not from hearing; it stands in the empty field instead.
    #[prop(optional)]
    quiet: bool,
    /// Longest text.
    #[prop(default = 200)]
    longest: u32,
) -> impl IntoView {
    let error = error.unwrap_or_else(|| Signal::stored(None));
    let has_hint = !hint.is_empty();
    let field = id.clone();
    let describe = move || described(&field, has_hint, error.read().is_some());
    let input = view! {
        <input
            class="input"
            id=id.clone()
            type=kind
            inputmode=(!keyboard.is_empty()).then_some(keyboard)
            maxlength=longest
            autocomplete="off"
            placeholder=quiet.then(|| label.clone())
            prop:value=value
            aria-invalid=move || error.read().is_some().then_some("true")
            aria-describedby=describe
            on:input=move |event| {
                if let Some(on_input) = on_input {
                    on_input.run(event_target_value(&event));
                }
            }
            on:change=move |event| {
                if let Some(on_change) = on_change {
                    on_change.run(event_target_value(&event));
                }
            }
        />
    };
    view! {
        <div class="field">
            <label for=id.clone() class:aside=quiet>
                {label}
            </label>
            {if unit.is_empty() {
                input.into_any()
            } else {
                view! { <div class="with-unit">{input} <span class="unit">{unit}</span></div> }
                    .into_any()
            }}
            {has_hint.then(|| view! { <p class="hint" id=format!("{id}-hint")>{hint}</p> })}
            <ErrorLine id=id error=error />
        </div>
    }
}

/// A field of several lines.
#[component]
pub(crate) fn Area(
    /// Unique on the page.
    #[prop(into)]
    id: String,
    /// What it is for.
    #[prop(into)]
    label: String,
    /// What is written in it.
    #[prop(into)]
    value: Signal<String>,
    /// Hears each key.
    #[prop(optional, into)]
    on_input: Option<Callback<String>>,
    /// Hears the text when the field is left.
    #[prop(optional, into)]
    on_change: Option<Callback<String>>,
    /// What is wrong with it.
    #[prop(optional, into)]
    error: Option<Signal<Option<String>>>,
) -> impl IntoView {
    let error = error.unwrap_or_else(|| Signal::stored(None));
    let field = id.clone();
    view! {
        <div class="field">
            <label for=id.clone()>{label}</label>
            <textarea
                class="input"
                id=id.clone()
                rows="2"
                maxlength="2000"
                prop:value=value
                aria-invalid=move || error.read().is_some().then_some("true")
                aria-describedby=move || described(&field, false, error.read().is_some())
                on:input=move |event| {
                    if let Some(on_input) = on_input {
                        on_input.run(event_target_value(&event));
                    }
                }
                on:change=move |event| {
                    if let Some(on_change) = on_change {
                        on_change.run(event_target_value(&event));
                    }
                }
            ></textarea>
            <ErrorLine id=id error=error />
        </div>
    }
}

/// Yes or no.
#[component]
pub(crate) fn Switch(
    /// Unique on the page.
    #[prop(into)]
    id: String,
    /// What yes means.
    #[prop(into)]
    label: String,
    /// Whether it is on.
    #[prop(into)]
    on: Signal<bool>,
    /// Hears the new state.
    #[prop(into)]
    on_change: Callback<bool>,
    /// One sentence, may be empty.
    #[prop(optional, into)]
    hint: String,
) -> impl IntoView {
    let named = id.clone();
    view! {
        <label class="switch" for=named>
            <input
                type="checkbox"
                id=id
                prop:checked=on
                on:change=move |event| on_change.run(event_target_checked(&event))
            />
            <span>
                {label}
                {(!hint.is_empty()).then(|| view! { <span class="hint">{hint}</span> })}
            </span>
        </label>
    }
}
