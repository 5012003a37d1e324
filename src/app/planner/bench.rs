//! The worker's side: hears what is asked, works on the newest of each kind.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;

use rackweek::plan::explain::WhereElse;
use rackweek::plan::json;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::spawn_local;
use web_sys::{DedicatedWorkerGlobalScope, MessageEvent};

use super::run::run;
use super::{Answer, Ask, Heard, Kind, questions};

/// Said once when the worker can hear: what is sent earlier would be lost.
pub(crate) const READY: &str = "ready";

/// Said last, after a panic: nothing more will be heard.
pub(crate) const BROKEN: &str = "broken";

/// Where work is done: in the worker, or on the page when there is none.
#[derive(Default)]
pub(super) struct Bench {
    /// The newest wish for a plan.
    wish: Cell<u32>,
    /// The newest question of each kind.
    newest: RefCell<BTreeMap<Kind, u32>>,
    /// What is known of the starts of the sitting that is asked about.
    pub(super) elsewhere: RefCell<Option<(u32, WhereElse)>>,
}

impl Bench {
    /// Takes what is asked; answers go to `tell`, now and later.
    pub(super) fn take(self: &Rc<Self>, ask: Ask, tell: Rc<dyn Fn(Heard)>) {
        match ask {
            Ask::Plan(request) => {
                let (bench, token) = (Rc::clone(self), request.token);
                self.wish.set(token);
                spawn_local(async move {
                    let superseded = || bench.wish.get() != token;
                    let waits = || bench.is_asked(Kind::Elsewhere);
                    run(request, superseded, waits, |reply| tell(Heard::Plan(reply))).await;
                });
            }
            Ask::About { number, problem, plan, question } => {
                self.newest.borrow_mut().insert(question.kind(), number);
                let bench = Rc::clone(self);
                spawn_local(async move {
                    let tell = |answer| tell(Heard::About { number, answer });
                    questions::answer(&bench, number, (&problem, &plan), question, tell).await;
                });
            }
            Ask::At { number, start } => {
                let plan = match &*self.elsewhere.borrow() {
                    Some((known, elsewhere)) if *known == number => elsewhere.plan_at(start),
                    _ => return,
                };
                tell(Heard::About { number, answer: Answer::At { start, plan } });
            }
            Ask::Leave(kind, number) => {
                self.answered(kind, number);
                let open = self.elsewhere.borrow().as_ref().map(|(known, _)| *known);
                if open == Some(number) {
                    self.elsewhere.take();
                }
            }
        }
    }

    /// Whether somebody waits for answers to a question.
    pub(super) fn is_newest(&self, kind: Kind, number: u32) -> bool {
        self.newest.borrow().get(&kind) == Some(&number)
    }

    fn is_asked(&self, kind: Kind) -> bool {
        self.newest.borrow().contains_key(&kind)
    }

    /// Nothing is left to say to a question.
    pub(super) fn answered(&self, kind: Kind, number: u32) {
        if self.is_newest(kind, number) {
            self.newest.borrow_mut().remove(&kind);
        }
    }
}

/// Serves the page for as long as the worker lives.
pub(crate) fn serve(scope: &DedicatedWorkerGlobalScope) {
    let bench = Rc::new(Bench::default());
    let hearing = {
        let scope = scope.clone();
        Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            let text = event.data().as_string().unwrap_or_default();
            // Only our own page sends here, from the same build.
            let Ok(ask) = json::read::<Ask>(&text) else { return };
            let scope = scope.clone();
            bench.take(ask, Rc::new(move |heard| send(&scope, &heard)));
        })
    };
    scope.set_onmessage(Some(hearing.as_ref().unchecked_ref()));
    hearing.forget();
    let _ = scope.post_message(&READY.into());
}

fn send(scope: &DedicatedWorkerGlobalScope, heard: &Heard) {
    if let Ok(text) = serde_json::to_string(heard) {
        let _ = scope.post_message(&text.into());
    }
}
