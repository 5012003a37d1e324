//! The page's side: sends questions to the worker, lets only the newest answer through, and checks on the
//! page itself when the browser gives no worker.

use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::sync::Arc;

use leptos::prelude::*;
use rackweek::calendar::{Wall, Zone};
use rackweek::order::Order;
use rackweek::plan::json;
use rackweek::record::{Backup, Book};
use rackweek::week::FitWords;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::spawn_local;
use web_sys::{MessageEvent, Worker, WorkerOptions, WorkerType};

use super::bench::answer;
use super::{Answer, NAME, Question};
use crate::app::planner::{BROKEN, READY, script};

/// What is asked about.
pub(crate) struct Asked {
    /// The book without the order.
    pub(crate) book: Arc<Book>,
    /// What the clock shows.
    pub(crate) now: Wall,
    /// The zone's offsets.
    pub(crate) zone: Zone,
    /// The order.
    pub(crate) order: Order,
}

/// How far the answer to the newest question is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Looking {
    /// Nothing is asked.
    Not,
    /// Nothing is known yet.
    Asked,
    /// This much is known; whether that is all.
    Known(Arc<FitWords>, bool),
    /// Kitchen or time are not set up.
    NotSetUp,
    /// The worker broke.
    Broken,
}

/// Where fit checks are asked for. The worker starts with the first question.
#[derive(Clone, Copy)]
pub(crate) struct FitDesk {
    /// The answer to the newest question, and never to another.
    pub(crate) looking: RwSignal<Looking>,
    /// Number of the newest question.
    pub(crate) number: RwSignal<u32>,
    inner: StoredValue<Rc<Inner>, LocalStorage>,
}

#[derive(Default)]
struct Inner {
    worker: RefCell<Option<Worker>>,
    ready: Cell<bool>,
    /// What was asked before the worker could hear.
    waiting: RefCell<Option<Question>>,
}

impl FitDesk {
    /// Nothing is asked yet.
    pub(crate) fn new() -> Self {
        Self {
            looking: RwSignal::new(Looking::Not),
            number: RwSignal::new(0),
            inner: StoredValue::new_local(Rc::default()),
        }
    }

    /// Makes void what was asked before: what it was about has changed. Gives the number of the next question.
    pub(crate) fn void(self, looking: Looking) -> u32 {
        let number = self.number.get_untracked().wrapping_add(1);
        self.number.set(number);
        self.looking.set(looking);
        number
    }

    /// Asks under a number that [`Self::void`] gave, unless something newer came between.
    pub(crate) fn ask(self, number: u32, asked: Asked) {
        if number != self.number.get_untracked() {
            return;
        }
        let Asked { book, now, zone, order } = asked;
        let book = Backup::of(Book::clone(&book), now, zone).to_json();
        self.send(Question { number, of: Some((book, order)) });
    }

    /// Nothing is wanted any more.
    pub(crate) fn forget(self) {
        let number = self.void(Looking::Not);
        if self.inner.get_value().worker.borrow().is_some() {
            self.send(Question { number, of: None });
        }
    }

    fn send(self, question: Question) {
        let inner = self.inner.get_value();
        if inner.worker.borrow().is_none() {
            self.start();
        }
        if inner.worker.borrow().is_none() {
            self.check_here(question);
        } else if inner.ready.get() {
            let sent = inner.worker.borrow().as_ref().is_some_and(|worker| {
                serde_json::to_string(&question)
                    .is_ok_and(|text| worker.post_message(&text.into()).is_ok())
            });
            if !sent {
                self.check_here(question);
            }
        } else {
            *inner.waiting.borrow_mut() = Some(question);
        }
    }

    fn start(self) {
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        options.set_name(NAME);
        let Some(script) = script() else { return };
        let Ok(worker) = Worker::new_with_options(&script, &options) else { return };
        let heard = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            self.hear(&event.data().as_string().unwrap_or_default());
        });
        worker.set_onmessage(Some(heard.as_ref().unchecked_ref()));
        heard.forget();
        let broken = Closure::<dyn Fn()>::new(move || self.give_up());
        worker.set_onerror(Some(broken.as_ref().unchecked_ref()));
        broken.forget();
        *self.inner.get_value().worker.borrow_mut() = Some(worker);
    }

    fn hear(self, text: &str) {
        if text == BROKEN {
            self.give_up();
        } else if text == READY {
            let inner = self.inner.get_value();
            inner.ready.set(true);
            let waiting = inner.waiting.borrow_mut().take();
            if let Some(question) = waiting {
                self.send(question);
            }
        } else if let Ok(answer) = json::read::<Answer>(text) {
            self.take(answer);
        }
    }

    /// An answer to anything but the newest question is no answer.
    fn take(self, answer: Answer) {
        if answer.number == self.number.get_untracked() {
            self.looking.set(match answer.words {
                Some(words) => Looking::Known(Arc::new(words), answer.done),
                None => Looking::NotSetUp,
            });
        }
    }

    /// The worker is gone. If it never came up, what it was asked is checked here; if it broke at work,
    /// the same work would break the page too. Another one starts with the next question.
    fn give_up(self) {
        let inner = self.inner.get_value();
        let worker = inner.worker.borrow_mut().take();
        if let Some(worker) = worker {
            worker.terminate();
        }
        let came_up = inner.ready.replace(false);
        let waiting = inner.waiting.borrow_mut().take();
        if let Some(question) = waiting {
            self.check_here(question);
        } else if came_up && self.looking.get_untracked() != Looking::Not {
            self.looking.set(Looking::Broken);
        }
    }

    /// Slower for the page, but an answer all the same.
    fn check_here(self, question: Question) {
        spawn_local(async move {
            let number = question.number;
            let superseded = move || self.number.get_untracked() != number;
            answer(question, superseded, move |answer| self.take(answer)).await;
        });
    }
}
