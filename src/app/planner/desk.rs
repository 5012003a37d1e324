//! The page's side: sends what is asked to the worker, hands its answers on, and works on the page itself
//! when the browser gives no worker.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;

use leptos::prelude::document;
use rackweek::breakdown::Standings;
use rackweek::plan::json;
use rackweek::plan::{Plan, Problem, Progress};
use wasm_bindgen::prelude::*;
use web_sys::{MessageEvent, Worker, WorkerOptions, WorkerType};

use super::bench::{BROKEN, Bench, READY};
use super::{Answer, Ask, Heard, Kind, Question, Reply, Request};

/// Of every search: the same records give the same plan.
const SEED: u64 = 1;

/// Where plans are asked for, and where questions about them are put.
#[derive(Clone)]
pub(crate) struct Desk {
    inner: Rc<Inner>,
}

type HandOn = Rc<dyn Fn(Answer)>;

struct Inner {
    worker: RefCell<Option<Worker>>,
    ready: Cell<bool>,
    /// What was asked before the worker could hear.
    waiting: RefCell<Vec<Ask>>,
    newest: Cell<u32>,
    /// The newest question of each kind, and who waits for its answers.
    asked: RefCell<BTreeMap<Kind, (u32, HandOn)>>,
    questions: Cell<u32>,
    /// The last worker broke at work.
    broken: Cell<bool>,
    /// In place of a worker.
    here: Rc<Bench>,
    hand_on: Box<dyn Fn(Reply)>,
}

impl Desk {
    /// Starts the worker; `hand_on` gets every answer to the newest wish for a plan.
    pub(crate) fn new(hand_on: impl Fn(Reply) + 'static) -> Self {
        let inner = Rc::new(Inner {
            worker: RefCell::new(None),
            ready: Cell::new(false),
            waiting: RefCell::default(),
            newest: Cell::new(0),
            asked: RefCell::default(),
            questions: Cell::new(0),
            broken: Cell::new(false),
            here: Rc::default(),
            hand_on: Box::new(hand_on),
        });
        let desk = Self { inner };
        desk.start();
        desk
    }

    /// Asks for a plan; answers to older wishes are no longer handed on.
    pub(crate) fn ask(&self, problem: Problem, standings: Option<Standings>) -> u32 {
        let token = self.inner.newest.get().wrapping_add(1);
        self.inner.newest.set(token);
        if self.inner.broken.replace(false) {
            self.start();
        }
        self.put(Ask::Plan(Request { token, seed: SEED, problem, standings }));
        token
    }

    /// Puts a question about a plan; `hand_on` gets every answer until another question of the same kind is
    /// put, or [`Desk::leave`] is called.
    pub(crate) fn about(
        &self,
        problem: &Problem,
        plan: &Plan,
        question: Question,
        hand_on: impl Fn(Answer) + 'static,
    ) {
        // What broke the worker would break the page too.
        if self.inner.broken.get() {
            return;
        }
        let number = self.inner.questions.get().wrapping_add(1);
        self.inner.questions.set(number);
        let hand_on: HandOn = Rc::new(hand_on);
        self.inner.asked.borrow_mut().insert(question.kind(), (number, hand_on));
        let (problem, plan) = (problem.clone(), plan.clone());
        self.put(Ask::About { number, problem, plan, question });
    }

    /// Asks for the plan with the sitting of the question "where else" at a start.
    pub(crate) fn at(&self, start: i32) {
        let number = self.inner.asked.borrow().get(&Kind::Elsewhere).map(|(number, _)| *number);
        if let Some(number) = number {
            self.put(Ask::At { number, start });
        }
    }

    /// Nobody waits any more for answers to this kind of question.
    pub(crate) fn leave(&self, kind: Kind) {
        let left = self.inner.asked.borrow_mut().remove(&kind);
        if let Some((number, _)) = left {
            self.put(Ask::Leave(kind, number));
        }
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
            for ask in self.inner.waiting.take() {
                self.send(ask);
            }
            return;
        }
        let Ok(heard) = json::read::<Heard>(text) else { return };
        self.answer(heard);
    }

    fn answer(&self, heard: Heard) {
        match heard {
            Heard::Plan(reply) => {
                if reply.token == self.inner.newest.get() {
                    (self.inner.hand_on)(reply);
                }
            }
            Heard::About { number, answer } => {
                let asked = self.inner.asked.borrow().get(&answer.kind()).cloned();
                if let Some((newest, hand_on)) = asked
                    && newest == number
                {
                    hand_on(answer);
                }
            }
        }
    }

    fn put(&self, ask: Ask) {
        if self.inner.ready.get() {
            self.send(ask);
        } else if self.inner.worker.borrow().is_some() {
            let mut waiting = self.inner.waiting.borrow_mut();
            if matches!(ask, Ask::Plan(_)) {
                waiting.retain(|ask| !matches!(ask, Ask::Plan(_)));
            }
            waiting.push(ask);
        } else {
            self.work_here(ask);
        }
    }

    fn send(&self, ask: Ask) {
        let sent = self.inner.worker.borrow().as_ref().is_some_and(|worker| {
            serde_json::to_string(&ask).is_ok_and(|text| worker.post_message(&text.into()).is_ok())
        });
        if !sent {
            self.work_here(ask);
        }
    }

    /// The worker is gone. If it never came up, what it was asked is worked on here; if it broke at
    /// work, the same work would break the page too, so that is only said. Another one is started
    /// with the next wish for a plan.
    fn give_up(&self) {
        let worker = self.inner.worker.borrow_mut().take();
        if let Some(worker) = worker {
            worker.terminate();
        }
        let came_up = self.inner.ready.replace(false);
        let waiting = self.inner.waiting.take();
        if !waiting.is_empty() {
            for ask in waiting {
                self.work_here(ask);
            }
        } else if came_up {
            self.inner.broken.set(true);
            self.inner.asked.borrow_mut().clear();
            self.answer(Heard::Plan(Reply {
                token: self.inner.newest.get(),
                plan: None,
                cuts: Vec::new(),
                progress: Progress::default(),
                done: true,
                error: Some("the planner stopped; change something to start it again".to_owned()),
            }));
        }
    }

    /// Slower for the page, but an answer all the same.
    fn work_here(&self, ask: Ask) {
        let desk = self.clone();
        self.inner.here.take(ask, Rc::new(move |heard| desk.answer(heard)));
    }
}

/// The address of the script that started this page: the build may have put it anywhere.
pub(crate) fn script() -> Option<String> {
    let starter = document().query_selector("script[type=module][src]").ok()??;
    js_sys::Reflect::get(&starter, &"src".into()).ok()?.as_string()
}
