//! The page's side: sends requests to the worker, hands its answers on, and plans on the page itself
//! when the browser gives no worker.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use leptos::prelude::document;
use rackweek::plan::Problem;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::spawn_local;
use web_sys::{MessageEvent, Worker, WorkerOptions, WorkerType};

use super::bench::{BROKEN, READY};
use super::run::run;
use super::{Reply, Request};

/// Of every search: the same records give the same plan.
const SEED: u64 = 1;

/// Where plans are asked for.
#[derive(Clone)]
pub(crate) struct Desk {
    inner: Rc<Inner>,
}

struct Inner {
    worker: RefCell<Option<Worker>>,
    ready: Cell<bool>,
    /// What was asked before the worker could hear.
    waiting: RefCell<Option<Request>>,
    newest: Cell<u32>,
    /// The last worker broke at work.
    broken: Cell<bool>,
    hand_on: Box<dyn Fn(Reply)>,
}

impl Desk {
    /// Starts the worker; `hand_on` gets every answer to the newest request.
    pub(crate) fn new(hand_on: impl Fn(Reply) + 'static) -> Self {
        let inner = Rc::new(Inner {
            worker: RefCell::new(None),
            ready: Cell::new(false),
            waiting: RefCell::new(None),
            newest: Cell::new(0),
            broken: Cell::new(false),
            hand_on: Box::new(hand_on),
        });
        let desk = Self { inner };
        desk.start();
        desk
    }

    /// Asks for a plan; answers to older requests are no longer handed on.
    pub(crate) fn ask(&self, problem: Problem) -> u32 {
        let token = self.inner.newest.get().wrapping_add(1);
        self.inner.newest.set(token);
        let request = Request { token, seed: SEED, problem };
        if self.inner.broken.replace(false) {
            self.start();
        }
        if self.inner.ready.get() {
            self.send(request);
        } else if self.inner.worker.borrow().is_some() {
            *self.inner.waiting.borrow_mut() = Some(request);
        } else {
            self.plan_here(request);
        }
        token
    }

    /// Makes everything that is being planned void.
    pub(crate) fn forget(&self) {
        self.inner.newest.set(self.inner.newest.get().wrapping_add(1));
    }

    fn start(&self) {
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        let Some(script) = script() else { return };
        let Ok(worker) = Worker::new_with_options(&script, &options) else { return };
        let desk = self.clone();
        let heard = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            desk.hear(&event.data().as_string().unwrap_or_default());
        });
        worker.set_onmessage(Some(heard.as_ref().unchecked_ref()));
        heard.forget();
        let desk = self.clone();
        let broken = Closure::<dyn Fn()>::new(move || desk.give_up());
        worker.set_onerror(Some(broken.as_ref().unchecked_ref()));
        broken.forget();
        *self.inner.worker.borrow_mut() = Some(worker);
    }

    fn hear(&self, text: &str) {
        if text == BROKEN {
            self.give_up();
            return;
        }
        if text == READY {
            self.inner.ready.set(true);
            let waiting = self.inner.waiting.borrow_mut().take();
            if let Some(request) = waiting {
                self.send(request);
            }
            return;
        }
        let Ok(reply) = serde_json::from_str::<Reply>(text) else { return };
        self.answer(reply);
    }

    fn answer(&self, reply: Reply) {
        if reply.token == self.inner.newest.get() {
            (self.inner.hand_on)(reply);
        }
    }

    fn send(&self, request: Request) {
        let sent = self.inner.worker.borrow().as_ref().is_some_and(|worker| {
            serde_json::to_string(&request)
                .is_ok_and(|text| worker.post_message(&text.into()).is_ok())
        });
        if !sent {
            self.plan_here(request);
        }
    }

    /// The worker is gone. If it never came up, what it was asked is planned here; if it broke at
    /// work, the same work would break the page too, so that is only said. Another one is started
    /// with the next request.
    fn give_up(&self) {
        let worker = self.inner.worker.borrow_mut().take();
        if let Some(worker) = worker {
            worker.terminate();
        }
        let came_up = self.inner.ready.replace(false);
        let waiting = self.inner.waiting.borrow_mut().take();
        if let Some(request) = waiting {
            self.plan_here(request);
        } else if came_up {
            self.inner.broken.set(true);
            self.answer(Reply {
                token: self.inner.newest.get(),
                plan: None,
                standing: super::Standing::default(),
                done: true,
                error: Some("the planner stopped; change something to start it again".to_owned()),
            });
        }
    }

    /// Slower for the page, but a plan all the same.
    fn plan_here(&self, request: Request) {
        let (desk, asking) = (self.clone(), self.clone());
        spawn_local(async move {
            let token = request.token;
            let superseded = move || asking.inner.newest.get() != token;
            run(request, superseded, move |reply| desk.answer(reply)).await;
        });
    }
}

/// The address of the script that started this page: the build may have put it anywhere.
fn script() -> Option<String> {
    let starter = document().query_selector("script[type=module][src]").ok()??;
    js_sys::Reflect::get(&starter, &"src".into()).ok()?.as_string()
}
