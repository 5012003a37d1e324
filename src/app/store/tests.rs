//! Promises of the store and the saver, kept in a real browser and under injected faults.
//!
//! Every fault counts its hits, and every test asserts that its fault fired.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use gloo_timers::future::TimeoutFuture;
use wasm_bindgen_test::wasm_bindgen_test;

use super::boot::within;
use super::faults::{Fault, Faulty};
use super::{Batch, IdbStore, Later, MemoryStore, ReadBack, SaveEvent, Saver, Snapshot, Store};
use super::{StoreError, decode};

/// A saver over a store, and what it told.
fn saver(store: Rc<dyn Store>, seen: u64) -> (Rc<Saver>, Rc<RefCell<Vec<SaveEvent>>>) {
    let told = Rc::new(RefCell::new(Vec::new()));
    let heard = Rc::clone(&told);
    (Saver::new(store, seen, move |event| heard.borrow_mut().push(event)), told)
}

fn put(key: &str, text: &str) -> (String, Option<String>) {
    (key.to_owned(), Some(text.to_owned()))
}

async fn settled(saver: &Saver, told: &RefCell<Vec<SaveEvent>>) {
    for _ in 0..200 {
        let ended = matches!(told.borrow().last(), Some(event) if *event != SaveEvent::Saving);
        if ended || (!saver.behind() && !told.borrow().is_empty()) {
            return;
        }
        TimeoutFuture::new(10).await;
    }
    panic!("the saver never settled: {:?}", told.borrow());
}

/// A database of its own for each test.
async fn fresh(name: &str) -> IdbStore {
    let name = format!("test-{name}-{}", js_sys::Date::now());
    IdbStore::open(&name).await.expect("a browser that keeps data")
}

fn held(snapshot: &Snapshot, key: &str) -> Option<String> {
    snapshot.records.iter().find(|(k, _)| k == key).map(|(_, text)| text.clone())
}

#[wasm_bindgen_test]
async fn a_batch_is_kept_whole_and_counted() {
    let store = fresh("whole").await;
    assert_eq!(store.read().await.expect("readable"), Snapshot::default());
    let changes = vec![put("order/1", "one"), put("kitchen/", "k")];
    let batch = Batch { seen: 0, changes, aside: Vec::new() };
    assert_eq!(store.write(batch).await, Ok(1));
    let changes = vec![("order/1".to_owned(), None), put("order/2", "two")];
    assert_eq!(store.write(Batch { seen: 1, changes, aside: Vec::new() }).await, Ok(2));
    let snapshot = store.read().await.expect("readable");
    assert_eq!(snapshot.revision, 2);
    assert_eq!(
        snapshot.records,
        [("kitchen/".to_owned(), "k".to_owned()), ("order/2".to_owned(), "two".to_owned())]
    );
}

#[wasm_bindgen_test]
async fn a_stale_batch_changes_nothing() {
    let store = fresh("stale").await;
    let other = store.clone();
    let first = Batch { seen: 0, changes: vec![put("order/1", "theirs")], aside: Vec::new() };
    assert_eq!(other.write(first).await, Ok(1));
    let late = Batch { seen: 0, changes: vec![put("order/1", "ours")], aside: Vec::new() };
    assert_eq!(store.write(late).await, Err(StoreError::Stale(1)));
    let snapshot = store.read().await.expect("readable");
    assert_eq!((snapshot.revision, held(&snapshot, "order/1")), (1, Some("theirs".to_owned())));
}

#[wasm_bindgen_test]
async fn what_cannot_be_read_is_moved_aside_whole() {
    let store = fresh("aside").await;
    let bad = Batch { seen: 0, changes: vec![put("order/7", "{torn")], aside: Vec::new() };
    assert_eq!(store.write(bad).await, Ok(1));
    let unread = decode(&store.read().await.expect("readable").records).unread;
    assert_eq!(unread, [("order/7".to_owned(), "{torn".to_owned())], "the fault is there");
    let batch = Batch { seen: 1, changes: Vec::new(), aside: unread.clone() };
    assert_eq!(store.write(batch).await, Ok(2));
    let snapshot = store.read().await.expect("readable");
    assert_eq!((snapshot.records, snapshot.aside), (Vec::new(), unread));
}

#[wasm_bindgen_test]
async fn a_write_that_fails_once_is_saved_by_the_second_try() {
    for store in [
        Rc::new(MemoryStore::default()) as Rc<dyn Store>,
        Rc::new(fresh("once").await) as Rc<dyn Store>,
    ] {
        let faulty = Faulty::over(store, Fault::Once(1));
        let (saver, told) = saver(faulty.clone(), 0);
        saver.push(vec![put("order/1", "one")]);
        settled(&saver, &told).await;
        assert_eq!(faulty.hits(), 1, "the fault fired");
        assert_eq!(*told.borrow(), [SaveEvent::Saving, SaveEvent::Saved(1)]);
        let snapshot = faulty.read().await.expect("readable");
        assert_eq!(held(&snapshot, "order/1").as_deref(), Some("one"));
    }
}

#[wasm_bindgen_test]
async fn a_write_that_fails_for_ever_is_never_called_saved_and_never_dropped() {
    let faulty = Faulty::over(Rc::new(MemoryStore::default()), Fault::From(2));
    let (saver, told) = saver(faulty.clone(), 0);
    saver.push(vec![put("order/1", "kept")]);
    settled(&saver, &told).await;
    assert_eq!(told.borrow().last(), Some(&SaveEvent::Saved(1)));
    told.borrow_mut().clear();
    saver.push(vec![put("order/1", "newer"), put("order/2", "two")]);
    settled(&saver, &told).await;
    assert_eq!(faulty.hits(), 2, "both tries hit the fault");
    assert_eq!(*told.borrow(), [SaveEvent::Saving, SaveEvent::Failed(StoreError::Full)]);
    assert!(saver.behind(), "what waits is still there");
    let snapshot = faulty.read().await.expect("readable");
    assert_eq!(
        snapshot.records,
        [("order/1".to_owned(), "kept".to_owned())],
        "the last good state"
    );
}

#[wasm_bindgen_test]
async fn what_failed_is_saved_with_the_next_change() {
    let memory: Rc<dyn Store> = Rc::new(MemoryStore::default());
    // Two failures use up both tries; the third write succeeds.
    struct Twice(Rc<dyn Store>, Cell<u32>);
    impl Store for Twice {
        fn read(&self) -> Later<'_, Snapshot> {
            self.0.read()
        }
        fn write(&self, batch: Batch) -> Later<'_, u64> {
            self.1.set(self.1.get() + 1);
            if self.1.get() <= 2 {
                return Box::pin(async { Err(StoreError::Full) });
            }
            self.0.write(batch)
        }
        fn keys(&self) -> Later<'_, Vec<String>> {
            self.0.keys()
        }

        fn read_back(&self, keys: Vec<String>) -> Later<'_, ReadBack> {
            self.0.read_back(keys)
        }
    }
    let twice = Rc::new(Twice(Rc::clone(&memory), Cell::new(0)));
    let (saver, told) = saver(twice.clone(), 0);
    saver.push(vec![put("order/1", "old"), put("order/2", "two")]);
    settled(&saver, &told).await;
    assert_eq!(told.borrow().last(), Some(&SaveEvent::Failed(StoreError::Full)));
    told.borrow_mut().clear();
    saver.push(vec![put("order/1", "new")]);
    settled(&saver, &told).await;
    assert_eq!(twice.1.get(), 3, "two faults and the write that worked");
    assert_eq!(told.borrow().last(), Some(&SaveEvent::Saved(1)));
    let snapshot = memory.read().await.expect("readable");
    assert_eq!(held(&snapshot, "order/1").as_deref(), Some("new"));
    assert_eq!(held(&snapshot, "order/2").as_deref(), Some("two"));
}

#[wasm_bindgen_test]
async fn a_store_that_lies_is_found_out() {
    let faulty = Faulty::over(Rc::new(MemoryStore::default()), Fault::Lie(1));
    let (saver, told) = saver(faulty.clone(), 0);
    saver.push(vec![put("order/1", "one")]);
    settled(&saver, &told).await;
    assert_eq!(faulty.hits(), 1, "it lied");
    assert_eq!(told.borrow().last(), Some(&SaveEvent::Saved(1)), "written again, this time truly");
    let snapshot = faulty.read().await.expect("readable");
    assert_eq!(held(&snapshot, "order/1").as_deref(), Some("one"));
}

#[wasm_bindgen_test]
async fn a_lost_answer_does_not_write_twice() {
    let faulty = Faulty::over(Rc::new(MemoryStore::default()), Fault::LoseAnswer(1));
    let (saver, told) = saver(faulty.clone(), 0);
    saver.push(vec![put("order/1", "one")]);
    settled(&saver, &told).await;
    assert_eq!((faulty.hits(), faulty.writes()), (1, 1), "it fired, and once was enough");
    assert_eq!(told.borrow().last(), Some(&SaveEvent::Saved(1)));
}

#[wasm_bindgen_test]
async fn another_windows_write_is_not_overwritten() {
    let store = fresh("overtaken").await;
    let (saver, told) = saver(Rc::new(store.clone()), 0);
    let theirs = Batch { seen: 0, changes: vec![put("order/1", "theirs")], aside: Vec::new() };
    assert_eq!(store.write(theirs).await, Ok(1), "the other window came first");
    saver.push(vec![put("order/1", "ours")]);
    settled(&saver, &told).await;
    assert_eq!(*told.borrow(), [SaveEvent::Saving, SaveEvent::Overtaken]);
    let snapshot = store.read().await.expect("readable");
    assert_eq!(held(&snapshot, "order/1").as_deref(), Some("theirs"));
}

#[wasm_bindgen_test]
async fn many_quick_changes_end_at_the_last_one() {
    let store = fresh("quick").await;
    let (saver, told) = saver(Rc::new(store.clone()), 0);
    for round in 0..50 {
        saver.push(vec![put("order/1", &round.to_string())]);
    }
    for _ in 0..200 {
        if !saver.behind() {
            break;
        }
        TimeoutFuture::new(10).await;
    }
    assert!(matches!(told.borrow().last(), Some(SaveEvent::Saved(_))));
    let snapshot = store.read().await.expect("readable");
    assert_eq!(held(&snapshot, "order/1").as_deref(), Some("49"));
}

#[wasm_bindgen_test]
async fn after_a_panic_nothing_is_written() {
    let memory: Rc<dyn Store> = Rc::new(MemoryStore::default());
    let (saver, told) = saver(Rc::clone(&memory), 0);
    saver.stop();
    saver.push(vec![put("order/1", "one")]);
    TimeoutFuture::new(50).await;
    assert!(told.borrow().is_empty());
    assert_eq!(memory.read().await.expect("readable"), Snapshot::default());
}

#[wasm_bindgen_test]
async fn a_database_that_never_answers_is_not_waited_for() {
    let began = js_sys::Date::now();
    let answer = within(80, std::future::pending::<Result<(), StoreError>>()).await;
    assert!(matches!(answer, Err(StoreError::Unavailable(_))));
    assert!(js_sys::Date::now() - began >= 79.0);
    assert_eq!(within(80, async { Ok(3) }).await, Ok(3), "who answers is heard");
}
