//! Sound, notifications, and the screen kept awake: all of them as far as the browser allows, none the only sign.

use std::cell::RefCell;

use gloo_timers::callback::Interval;
use js_sys::{Function, Promise, Reflect};
use leptos::prelude::*;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{AudioContext, Notification, NotificationPermission};

use super::desk::BenchDesk;

/// How often it sounds while it calls, ms.
const AGAIN_MS: u32 = 2_500;
/// After so many sounds only the eye is called.
const SOUNDS_MOST: u32 = 120;
/// Two short tones, Hz, and how long each lasts, s.
const TONES: [f32; 2] = [880.0, 660.0];
const TONE_S: f64 = 0.22;
/// Loudness, of 1.
const LOUD: f32 = 0.4;

thread_local! {
    /// Made once, at a press: browsers give no sound before.
    static AUDIO: RefCell<Option<AudioContext>> = const { RefCell::new(None) };
}

/// Called at a press, so that the browser lets it sound later.
pub(super) fn allow() {
    AUDIO.with_borrow_mut(|audio| {
        if audio.is_none() {
            *audio = AudioContext::new().ok();
        }
        if let Some(audio) = audio {
            // Refused: what rings is still seen.
            let _ = audio.resume();
        }
    });
}

fn sound() {
    AUDIO.with_borrow(|audio| {
        let Some(audio) = audio else { return };
        for (index, tone) in TONES.into_iter().enumerate() {
            // A browser that gives no tone leaves the banner.
            let _ = one_tone(audio, tone, audio.current_time() + TONE_S * index as f64);
        }
    });
}

fn one_tone(audio: &AudioContext, tone: f32, from: f64) -> Result<(), JsValue> {
    let (oscillator, gain) = (audio.create_oscillator()?, audio.create_gain()?);
    oscillator.frequency().set_value(tone);
    gain.gain().set_value(LOUD);
    oscillator.connect_with_audio_node(&gain)?;
    gain.connect_with_audio_node(&audio.destination())?;
    oscillator.start_with_when(from)?;
    oscillator.stop_with_when(from + TONE_S)
}

/// Sounds as long as something calls, and notifies once where that was allowed.
pub(super) fn follow(desk: &BenchDesk) {
    let desk = *desk;
    let calls = Memo::new(move |_| desk.calling.with(Vec::len));
    Effect::new(move |before: Option<(usize, Option<Interval>)>| {
        let many = calls.get();
        if many == 0 {
            return (0, None);
        }
        let (known, running) = before.unwrap_or_default();
        if known < many {
            sound();
            for ring in desk.calling.get_untracked().iter().skip(known) {
                notify(&ring.name);
            }
        }
        let mut left = SOUNDS_MOST;
        let running = running.unwrap_or_else(|| {
            Interval::new(AGAIN_MS, move || {
                left = left.saturating_sub(1);
                if left > 0 {
                    sound();
                }
            })
        });
        (many, Some(running))
    });
}

fn notify(name: &str) {
    if Notification::permission() != NotificationPermission::Granted || !document().hidden() {
        return;
    }
    let title = format!("{name} is over");
    spawn_local(async move {
        // Phones notify only through the service worker. Refused: what rings is still seen.
        let ready = window().navigator().service_worker().ready();
        let Ok(ready) = ready else { return };
        if let Ok(worker) = JsFuture::from(ready).await {
            let worker: web_sys::ServiceWorkerRegistration = worker.unchecked_into();
            let _ = worker.show_notification(&title);
        }
    });
}

/// Offers notifications where the browser has not been asked yet.
#[component]
pub(super) fn Allow() -> impl IntoView {
    let has = Reflect::has(&window(), &"Notification".into()).unwrap_or(false);
    let asked =
        RwSignal::new(!has || Notification::permission() != NotificationPermission::Default);
    move || {
        (!asked.get()).then(|| {
            view! {
                <div class="row">
                    <button
                        type="button"
                        class="button quiet"
                        on:click=move |_| {
                            allow();
                            spawn_local(async move {
                                if let Ok(answer) = Notification::request_permission() {
                                    // Whatever the answer, it was asked.
                                    let _ = JsFuture::from(answer).await;
                                }
                                asked.try_set(true);
                            });
                        }
                    >
                        "Notify me too when the screen shows something else"
                    </button>
                </div>
            }
        })
    }
}

/// Keeps the screen awake while something is at hand, where the browser can.
pub(super) fn keep_awake(desk: &BenchDesk) {
    let desk = *desk;
    let busy = Memo::new(move |_| {
        let running =
            desk.app.book.with(|book| book.progress.values().any(|went| went.running().is_some()));
        running || desk.rings.with(|rings| rings.iter().any(|ring| ring.loud && !ring.heard))
    });
    let lock = StoredValue::new_local(None::<JsValue>);
    let release = move || {
        if let Some(Some(held)) = lock.try_update_value(Option::take) {
            let _ = call(&held, "release", &[]);
        }
    };
    let take = move || {
        if !busy.get_untracked() || document().hidden() {
            return;
        }
        spawn_local(async move {
            let Ok(wake) = Reflect::get(&window().navigator(), &"wakeLock".into()) else { return };
            if wake.is_undefined() {
                return;
            }
            let Some(promise) = call(&wake, "request", &["screen".into()]) else { return };
            if let Ok(held) = JsFuture::from(promise).await {
                lock.try_update_value(|lock| *lock = Some(held));
            }
        });
    };
    Effect::new(move |_| if busy.get() { take() } else { release() });
    // A page that was out of sight has lost it.
    let seen = window_event_listener_untyped("visibilitychange", move |_| take());
    on_cleanup(move || {
        seen.remove();
        release();
    });
}

/// Calls a method that not every browser has.
fn call(on: &JsValue, name: &str, arguments: &[JsValue]) -> Option<Promise> {
    let method: Function = Reflect::get(on, &name.into()).ok()?.dyn_into().ok()?;
    let list: js_sys::Array = arguments.iter().collect();
    method.apply(on, &list).ok()?.dyn_into().ok()
}
