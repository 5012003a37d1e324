//! Dates, times and numbers in the reader's own manner, through the browser's `Intl`.

use std::cell::RefCell;
use std::collections::HashMap;

use js_sys::{Array, Function, Intl, Object, Reflect};
use rackweek::calendar::{Date, Wall};
use rackweek::quote::{Minor, Rates, written_amount};
use wasm_bindgen::{JsCast, JsValue};

thread_local! {
    /// Formatters are dear to make and cheap to use.
    static FORMATS: RefCell<HashMap<String, Option<Function>>> = RefCell::new(HashMap::new());
}

/// The zone's own name, for example `Europe/London`.
pub(crate) fn zone_name() -> String {
    let format = Intl::DateTimeFormat::new(&Array::new(), &Object::new());
    Reflect::get(&format.resolved_options(), &"timeZone".into())
        .ok()
        .and_then(|name| name.as_string())
        .unwrap_or_else(|| "UTC".to_owned())
}

/// "18:30" or "6:30 PM".
pub(crate) fn time(at: Wall) -> String {
    format("time", &[("hour", "numeric"), ("minute", "2-digit")], at)
}

/// "Sat".
pub(crate) fn weekday_short(date: Date) -> String {
    format("weekday-short", &[("weekday", "short")], date.at(0))
}

/// "28 Nov".
pub(crate) fn day_month(date: Date) -> String {
    format("day-month", &[("day", "numeric"), ("month", "short")], date.at(0))
}

/// "Nov 2026", of any day of the month.
pub(crate) fn month(date: Date) -> String {
    format("month", &[("month", "short"), ("year", "numeric")], date.at(0))
}

/// "Saturday 28 November".
pub(crate) fn date_long(date: Date) -> String {
    let parts = [("weekday", "long"), ("day", "numeric"), ("month", "long")];
    format("date-long", &parts, date.at(0))
}

/// "Sat, 28 Nov, 18:30".
pub(crate) fn date_time(at: Wall) -> String {
    let parts = [
        ("weekday", "short"),
        ("day", "numeric"),
        ("month", "short"),
        ("hour", "numeric"),
        ("minute", "2-digit"),
    ];
    format("date-time", &parts, at)
}

/// "7½ h" is not for everyone: "7 h 30 min", "45 min".
pub(crate) fn duration(minutes: u32) -> String {
    match (minutes / 60, minutes % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest} min"),
    }
}

/// An amount in the baker's currency, as the reader writes it.
pub(crate) fn money(amount: Minor, rates: &Rates) -> String {
    let plain = written_amount(amount, rates.digits);
    let name = format!("money {} {}", rates.currency, rates.digits);
    let number = plain.parse().map_or(JsValue::NULL, |number: f64| JsValue::from_f64(number));
    formatted(name, || Some(money_formatter(rates)), &number)
        .unwrap_or_else(|| format!("{plain} {}", rates.currency))
}

fn money_formatter(rates: &Rates) -> Function {
    let options = Object::new();
    for (key, value) in [
        ("style", "currency"),
        ("currency", rates.currency.as_str()),
        // "$" rather than "US$": the baker knows whose dollars they are.
        ("currencyDisplay", "narrowSymbol"),
    ] {
        let _ = Reflect::set(&options, &key.into(), &value.into());
    }
    for key in ["minimumFractionDigits", "maximumFractionDigits"] {
        let _ = Reflect::set(&options, &key.into(), &JsValue::from(rates.digits));
    }
    Intl::NumberFormat::new(&Array::new(), &options).format()
}

/// The wall clock is handed over as if it were universal time, so that no zone shifts it again.
fn format(name: &str, parts: &[(&str, &str)], at: Wall) -> String {
    let ms = JsValue::from_f64(at.as_if_utc() as f64 * 60_000.0);
    formatted(name.to_owned(), || formatter(parts), &ms).unwrap_or_else(|| at.to_string())
}

/// What the formatter of this name makes of a value.
fn formatted(
    name: String,
    make: impl FnOnce() -> Option<Function>,
    value: &JsValue,
) -> Option<String> {
    let function =
        FORMATS.with_borrow_mut(|formats| formats.entry(name).or_insert_with(make).clone())?;
    function.call1(&JsValue::UNDEFINED, value).ok()?.as_string()
}

fn formatter(parts: &[(&str, &str)]) -> Option<Function> {
    let options = Object::new();
    for (key, value) in [("timeZone", "UTC")].iter().chain(parts) {
        // Setting a field of a fresh plain object cannot fail.
        let _ = Reflect::set(&options, &JsValue::from_str(key), &JsValue::from_str(value));
    }
    let format = Intl::DateTimeFormat::new(&Array::new(), &options);
    Reflect::get(&format, &"format".into()).ok()?.dyn_into::<Function>().ok()
}
