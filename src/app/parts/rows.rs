//! Lists on screen whose rows keep their elements.

use std::any::Any;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

use leptos::control_flow::For as Listed;
use leptos::prelude::*;

/// A list whose rows keep their elements, and with them focus and what was typed, as long as their keys stay.
///
/// The library's own, of which every list would have a copy, is here compiled once: it sees rows of which it
/// knows no more than a key and that they can be drawn.
#[component]
pub(crate) fn For<Each, Items, Item, KeyOf, K, Draw, V>(
    /// What is listed, asked again when a signal in it changes.
    each: Each,
    /// Tells a row from the others.
    key: KeyOf,
    /// Draws a row that is new.
    children: Draw,
) -> AnyView
where
    Each: Fn() -> Items + Send + 'static,
    Items: IntoIterator<Item = Item>,
    Item: Send + 'static,
    KeyOf: Fn(&Item) -> K + Send + 'static,
    K: Eq + Hash + Send + Sync + 'static,
    Draw: Fn(Item) -> V + Clone + Send + 'static,
    V: IntoView + 'static,
{
    listed(Box::new(move || {
        let mut rows = Vec::new();
        for item in each() {
            let (key, draw) = (Key(Arc::new(key(&item))), children.clone());
            rows.push(Row { key, draw: Box::new(move || draw(item).into_any()) });
        }
        rows
    }))
}

struct Row {
    key: Key,
    draw: Box<dyn FnOnce() -> AnyView + Send>,
}

fn listed(each: Box<dyn Fn() -> Vec<Row> + Send>) -> AnyView {
    view! { <Listed each=each key=|row: &Row| row.key.clone() children=|row: Row| (row.draw)() /> }
        .into_any()
}

/// A key of any kind.
#[derive(Clone)]
struct Key(Arc<dyn OneKey>);

trait OneKey: Any + Send + Sync {
    fn is(&self, other: &dyn Any) -> bool;
    fn digest(&self) -> u64;
    fn any(&self) -> &dyn Any;
}

impl<K: Eq + Hash + Send + Sync + 'static> OneKey for K {
    fn is(&self, other: &dyn Any) -> bool {
        other.downcast_ref::<K>() == Some(self)
    }

    fn digest(&self) -> u64 {
        let mut hasher = DefaultHasher::new();
        self.hash(&mut hasher);
        hasher.finish()
    }

    fn any(&self) -> &dyn Any {
        self
    }
}

impl PartialEq for Key {
    fn eq(&self, other: &Self) -> bool {
        self.0.is(other.0.any())
    }
}

impl Eq for Key {}

impl Hash for Key {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.0.digest().hash(state);
    }
}
