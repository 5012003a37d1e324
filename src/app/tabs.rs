//! Several windows, one writer: a web lock says who writes, a channel says when to look again.
//!
//! The lock is asked for once without waiting, to know our role at once, and then once more in the
//! queue, so that a follower takes over by itself when the writer goes away. "Take over here" steals
//! the lock; the window that loses it becomes a follower and queues again. Without the locks of the
//! browser every window writes, and the store's revision alone keeps them from overwriting each other.

use std::rc::Rc;

use js_sys::{Object, Promise, Reflect};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{BroadcastChannel, MessageEvent};

use super::state::Role;

#[wasm_bindgen]
extern "C" {
    type LockManager;

    #[wasm_bindgen(method, catch)]
    fn request(
        this: &LockManager,
        name: &str,
        options: &Object,
        callback: &JsValue,
    ) -> Result<Promise, JsValue>;
}

/// What the other windows are told.
const CHANGED: &str = "changed";

/// This window among the others.
#[derive(Clone)]
pub(crate) struct Tabs {
    channel: Option<BroadcastChannel>,
    name: Rc<str>,
    tell: Rc<dyn Fn(Role)>,
}

impl Tabs {
    /// Joins the others under `name`. `tell` hears each change of role, `look` each change of theirs.
    pub(crate) async fn join(
        name: &str,
        tell: impl Fn(Role) + 'static,
        look: impl Fn() + 'static,
    ) -> (Self, Role) {
        let channel = BroadcastChannel::new(name).ok();
        if let Some(channel) = &channel {
            let heard = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
                if event.data().as_string().as_deref() == Some(CHANGED) {
                    look();
                }
            });
            channel.set_onmessage(Some(heard.as_ref().unchecked_ref()));
            // Lives as long as the page.
            heard.forget();
        }
        let tabs = Self { channel, name: name.into(), tell: Rc::new(tell) };
        let role = tabs.ask_at_once().await;
        (tabs, role)
    }

    /// Tells the others that something new is on disk.
    pub(crate) fn announce(&self) {
        if let Some(channel) = &self.channel {
            // A closed channel only means that nobody listens.
            let _ = channel.post_message(&CHANGED.into());
        }
    }

    /// Makes this window the writer, whoever is now.
    pub(crate) fn take_over(&self) {
        self.hold(&[("steal", true)]);
    }

    /// Our role now; queues for the lock when another window has it.
    async fn ask_at_once(&self) -> Role {
        let Some(locks) = locks() else { return Role::Writer };
        let (answer, settle) = pending();
        let tabs = self.clone();
        let granted = Closure::once_into_js(move |lock: JsValue| -> JsValue {
            let got = !lock.is_null();
            if let Some(settle) = &settle {
                let _ = settle.call1(&JsValue::UNDEFINED, &got.into());
            }
            if got { for_ever().into() } else { JsValue::UNDEFINED }
        });
        let asked = locks.request(&self.name, &options(&[("ifAvailable", true)]), &granted);
        let Ok(held) = asked else { return Role::Writer };
        tabs.clone().watch(held, true);
        let got = JsFuture::from(answer).await;
        if got.is_ok_and(|got| got.is_truthy()) {
            Role::Writer
        } else {
            self.hold(&[]);
            Role::Follower
        }
    }

    /// Asks for the lock and keeps it; tells when it comes and when it is taken away.
    fn hold(&self, flags: &[(&str, bool)]) {
        let Some(locks) = locks() else {
            (self.tell)(Role::Writer);
            return;
        };
        let tell = Rc::clone(&self.tell);
        let granted = Closure::once_into_js(move |_lock: JsValue| -> JsValue {
            tell(Role::Writer);
            for_ever().into()
        });
        if let Ok(held) = locks.request(&self.name, &options(flags), &granted) {
            self.clone().watch(held, false);
        }
    }

    /// A lock that is held for ever ends only by being stolen.
    fn watch(self, held: Promise, may_end: bool) {
        spawn_local(async move {
            match JsFuture::from(held).await {
                Err(_) => {
                    (self.tell)(Role::Follower);
                    self.hold(&[]);
                }
                Ok(_) => debug_assert!(may_end, "a held lock was let go"),
            }
        });
    }
}

/// Absent in old browsers and on pages that are not secure.
fn locks() -> Option<LockManager> {
    let navigator = Reflect::get(&js_sys::global(), &"navigator".into()).ok()?;
    let locks = Reflect::get(&navigator, &"locks".into()).ok()?;
    (!locks.is_undefined() && !locks.is_null()).then(|| locks.unchecked_into())
}

fn options(flags: &[(&str, bool)]) -> Object {
    let options = Object::new();
    for (name, value) in flags {
        // Setting a field of a fresh plain object cannot fail.
        let _ = Reflect::set(&options, &(*name).into(), &(*value).into());
    }
    options
}

fn for_ever() -> Promise {
    Promise::new(&mut |_, _| {})
}

/// A promise and the function that settles it.
fn pending() -> (Promise, Option<js_sys::Function>) {
    let mut settle = None;
    let promise = Promise::new(&mut |resolve, _| settle = Some(resolve));
    (promise, settle)
}

#[cfg(test)]
mod tests {
    use super::*;
    use gloo_timers::future::TimeoutFuture;
    use std::cell::{Cell, RefCell};
    use wasm_bindgen_test::wasm_bindgen_test;

    /// A window: what it was told, and how often it was asked to look again.
    #[derive(Clone, Default)]
    struct Window {
        roles: Rc<RefCell<Vec<Role>>>,
        looks: Rc<Cell<u32>>,
    }

    impl Window {
        async fn open(&self, name: &str) -> (Tabs, Role) {
            let (roles, looks) = (Rc::clone(&self.roles), Rc::clone(&self.looks));
            Tabs::join(
                name,
                move |role| roles.borrow_mut().push(role),
                move || looks.set(looks.get() + 1),
            )
            .await
        }
    }

    async fn until(what: impl Fn() -> bool) {
        for _ in 0..200 {
            if what() {
                return;
            }
            TimeoutFuture::new(10).await;
        }
    }

    #[wasm_bindgen_test]
    async fn one_writes_the_other_follows_until_it_takes_over() {
        let name = format!("test-tabs-{}", js_sys::Date::now());
        let (first, second) = (Window::default(), Window::default());
        let (_first_tabs, first_role) = first.open(&name).await;
        let (second_tabs, second_role) = second.open(&name).await;
        assert_eq!((first_role, second_role), (Role::Writer, Role::Follower));

        second_tabs.take_over();
        until(|| !second.roles.borrow().is_empty() && !first.roles.borrow().is_empty()).await;
        assert_eq!(*second.roles.borrow(), [Role::Writer]);
        assert_eq!(*first.roles.borrow(), [Role::Follower]);
    }

    #[wasm_bindgen_test]
    async fn what_one_keeps_the_others_look_at() {
        let name = format!("test-tell-{}", js_sys::Date::now());
        let (first, second) = (Window::default(), Window::default());
        let (first_tabs, _) = first.open(&name).await;
        let (_second_tabs, _) = second.open(&name).await;
        first_tabs.announce();
        until(|| second.looks.get() > 0).await;
        assert_eq!((first.looks.get(), second.looks.get()), (0, 1), "others hear it, oneself not");
    }
}
