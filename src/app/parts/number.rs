//! Numbers: counted with a stepper, or measured with a unit.

use leptos::prelude::*;

use super::{ErrorLine, Icon, Input};

/// A whole number between two buttons.
#[component]
pub(crate) fn Stepper(
    /// Unique on the page.
    #[prop(into)]
    id: String,
    /// What it counts.
    #[prop(into)]
    label: String,
    /// As written; may be no number while somebody types.
    #[prop(into)]
    value: Signal<String>,
    /// Hears each change.
    #[prop(into)]
    on_input: Callback<String>,
    /// Least.
    #[prop(default = 0)]
    min: i64,
    /// Greatest.
    #[prop(default = 1000)]
    max: i64,
    /// What one press adds.
    #[prop(default = 1)]
    step: i64,
    /// What is wrong with it.
    #[prop(optional, into)]
    error: Option<Signal<Option<String>>>,
    /// One sentence, may be empty.
    #[prop(optional, into)]
    hint: String,
) -> impl IntoView {
    let error = error.unwrap_or_else(|| Signal::stored(None));
    let number = move || value.read().trim().parse::<i64>().ok();
    // To the next multiple, so that 7 goes to 12 and 12 to 24 when pieces are counted in dozens.
    let press = move |up: bool| {
        let now = number().unwrap_or(min);
        let next =
            if up { (now.div_euclid(step) + 1) * step } else { (now - 1).div_euclid(step) * step };
        on_input.run(next.clamp(min, max).to_string());
    };
    let named = label.clone();
    let has_hint = !hint.is_empty();
    let field = id.clone();
    view! {
        <div class="field">
            <label for=id.clone()>{label}</label>
            <div class="stepper">
                <button
                    type="button"
                    class="button icon-only"
                    aria-label=format!("{named}: less")
                    disabled=move || number().is_some_and(|now| now <= min)
                    on:click=move |_| press(false)
                >
                    <Icon name="minus" />
                </button>
                <input
                    class="input number"
                    id=id.clone()
                    inputmode="numeric"
                    autocomplete="off"
                    maxlength="6"
                    prop:value=value
                    aria-invalid=move || error.read().is_some().then_some("true")
                    aria-describedby=move || {
                        error
                            .read()
                            .is_some()
                            .then(|| format!("{field}-error"))
                            .or_else(|| has_hint.then(|| format!("{field}-hint")))
                    }
                    on:input=move |event| on_input.run(event_target_value(&event))
                />
                <button
                    type="button"
                    class="button icon-only"
                    aria-label=format!("{named}: more")
                    disabled=move || number().is_some_and(|now| now >= max)
                    on:click=move |_| press(true)
                >
                    <Icon name="plus" />
                </button>
            </div>
            {has_hint.then(|| view! { <p class="hint" id=format!("{id}-hint")>{hint}</p> })}
            <ErrorLine id=id error=error />
        </div>
    }
}

/// A number that is changed at once in the book: shown as it is, refused at the field.
#[component]
pub(crate) fn Measure(
    /// Unique on the page.
    #[prop(into)]
    id: String,
    /// What is measured.
    #[prop(into)]
    label: String,
    /// The number in the unit of the records.
    #[prop(into)]
    value: Signal<i64>,
    /// Its unit, may be empty.
    #[prop(into)]
    unit: String,
    /// Takes the new number, or says why not.
    #[prop(into)]
    on_commit: Callback<i64, Result<(), String>>,
) -> impl IntoView {
    let error = RwSignal::new(None);
    let shown = Memo::new(move |_| value.get().to_string());
    let commit = move |text: String| {
        let answer = match read(&text, 1) {
            Some(number) if number == value.get_untracked() => Ok(()),
            Some(number) => on_commit.run(number),
            // What stands in the book is always a number that is taken.
            None => Err(format!(
                "“{text}” is not a whole number; write for example {}",
                value.get_untracked()
            )),
        };
        error.set(answer.err());
    };
    Effect::new(move |_| {
        value.track();
        error.set(None);
    });
    view! { <Input id=id label=label value=shown on_change=commit error=error keyboard="numeric" unit=unit longest=8 /> }
}

/// `text` in units of the records; both decimal signs are understood.
pub(crate) fn read(text: &str, scale: i64) -> Option<i64> {
    let text = text.trim().replace(',', ".");
    if scale == 1 {
        return text.parse().ok();
    }
    let number: f64 = text.parse().ok()?;
    let scaled = (number * scale as f64).round();
    (scaled.abs() < 1e9).then_some(scaled as i64)
}

/// The number in units of the screen, without needless decimals.
pub(crate) fn written(number: i64, scale: i64) -> String {
    if number % scale == 0 {
        (number / scale).to_string()
    } else {
        format!("{:.1}", number as f64 / scale as f64)
    }
}
