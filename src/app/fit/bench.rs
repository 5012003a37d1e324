//! The worker's side: answers the newest question.

use std::cell::Cell;
use std::rc::Rc;

use gloo_timers::future::TimeoutFuture;
use rackweek::calendar::Wall;
use rackweek::plan::json;
use rackweek::record::{Backup, Book, Fit, FitAnswer, FitCheck, PlanInput};
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
            let Ok(question) = json::read::<Question>(&text) else { return };
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
    let Some((book, input)) = read(&book) else {
        tell(Answer { number, words: None, done: true });
        return;
    };
    let Some(mut check) = FitCheck::new(&book, &input, &order, EVALUATIONS) else {
        tell(Answer { number, words: None, done: true });
        return;
    };
    let mut known = Known::default();
    loop {
        let more = check.step();
        if let Some(answer) = check.answer()
            && (!more || known.is_less_than(answer))
        {
            let words = Some(fit_words(&book, &input, &order, answer));
            tell(Answer { number, words, done: !more });
        }
        if !more {
            return;
        }
        TimeoutFuture::new(0).await;
        if superseded() {
            return;
        }
    }
}

fn read(book: &str) -> Option<(Book, PlanInput)> {
    let Backup { taken_at, zone, book, .. } = Backup::from_json(book).ok()?;
    Some((book, PlanInput { now: taken_at, zone }))
}

/// What was told last.
#[derive(Default)]
struct Known {
    fit: Option<Fit>,
    found: usize,
    not_before: Option<Wall>,
}

impl Known {
    /// Whether an answer says more; then that is what is known.
    fn is_less_than(&mut self, answer: &FitAnswer) -> bool {
        let found = answer.remedies.len() + answer.spares.len();
        let news = self.fit != Some(answer.fit)
            || self.found != found
            || self.not_before != answer.not_before;
        *self = Self { fit: Some(answer.fit), found, not_before: answer.not_before };
        news
    }
}
