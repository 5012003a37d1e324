//! The worker's side: answers the newest question.

use std::cell::Cell;
use std::rc::Rc;

use gloo_timers::future::TimeoutFuture;
use rackweek::record::{Backup, PlanInput, fit_check};
use rackweek::week::fit_words;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::spawn_local;
use web_sys::{DedicatedWorkerGlobalScope, MessageEvent};

use super::{Answer, Question};
use crate::app::planner::READY;

/// What may be spent on one question.
const EVALUATIONS: u64 = 1_500;

/// Serves questions for as long as the worker lives.
pub(crate) fn serve(scope: &DedicatedWorkerGlobalScope) {
    let newest = Rc::new(Cell::new(0_u32));
    let hearing = {
        let scope = scope.clone();
        Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            let text = event.data().as_string().unwrap_or_default();
            // Only our own page sends here, from the same build.
            let Ok(question) = serde_json::from_str::<Question>(&text) else { return };
            newest.set(question.number);
            let (scope, newest) = (scope.clone(), Rc::clone(&newest));
            spawn_local(async move {
                let number = question.number;
                let superseded = move || newest.get() != number;
                answer(question, superseded, |answer| {
                    if let Ok(text) = serde_json::to_string(&answer) {
                        let _ = scope.post_message(&text.into());
                    }
                })
                .await;
            });
        })
    };
    scope.set_onmessage(Some(hearing.as_ref().unchecked_ref()));
    hearing.forget();
    let _ = scope.post_message(&READY.into());
}

/// Answers a question; `superseded` is asked before each stretch of work.
pub(super) async fn answer(
    question: Question,
    superseded: impl Fn() -> bool,
    tell: impl Fn(Answer),
) {
    let number = question.number;
    let Some((book, order)) = question.of else { return };
    // What was written in the meantime is heard first.
    TimeoutFuture::new(0).await;
    if superseded() {
        return;
    }
    let words = Backup::from_json(&book).ok().and_then(|Backup { taken_at, zone, book }| {
        let input = PlanInput { now: taken_at, zone };
        let answer = fit_check(&book, &input, &order, EVALUATIONS)?;
        Some(fit_words(&book, taken_at, &order, &answer))
    });
    tell(Answer { number, words, done: true });
}
