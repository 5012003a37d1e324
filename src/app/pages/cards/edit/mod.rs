//! The form in which a card is changed, or made from nothing. Nothing is in the book until it is saved; what is typed
//! survives a reload.

mod beside;
mod draft;
mod entries;

use std::sync::Arc;
use std::time::Duration;

use leptos::prelude::*;
use rackweek::breakdown::Example;
use rackweek::card::form::{Sheet, without_file_words};
use rackweek::card::{Card, builtin};
use rackweek::record::{Book, Refusal};
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

use self::beside::Beside;
pub(crate) use self::draft::CardDraft;
use self::draft::Typed;
use self::entries::Sections;
use super::{Shelf, example_of, many};
use crate::app::parts::{CameBack, Icon, capital};
use crate::app::{intl, prefs};

/// What the parts of the form share.
#[derive(Clone, Copy)]
struct Editor {
    book: RwSignal<Arc<Book>>,
    /// Says what could not be done.
    say: Callback<String>,
    sheet: RwSignal<Sheet>,
    /// What was typed where: as it is being typed, or because it could not be read.
    typed: RwSignal<Typed>,
    /// The place that is to be seen.
    at: RwSignal<String>,
    /// What is wrong with the card as a whole, first fault only.
    fault: Memo<Option<Refusal>>,
    /// What an example order comes to, of the card as it was possible last.
    example: Memo<Option<Example>>,
}

impl Editor {
    /// Writes at a place; what cannot be read stays in its field with what is wrong.
    fn write(self, path: &str, text: String) {
        let answer = self.sheet.try_update(|sheet| sheet.write(path, &text));
        let wrong = answer.and_then(Result::err);
        self.typed.update(|typed| {
            typed.insert(path.to_owned(), (text, wrong));
        });
    }

    /// The field was left: from now on it shows what was understood.
    fn leave(self, path: &str) {
        if self.typed.read_untracked().get(path).is_some_and(|(_, wrong)| wrong.is_none()) {
            self.typed.update(|typed| {
                typed.remove(path);
            });
        }
    }

    /// Changes a list. What was typed in it may stand elsewhere then, and is let go.
    fn change(self, list: &str, change: impl FnOnce(&mut Sheet) -> Result<(), String>) {
        match self.sheet.try_update(change) {
            Some(Err(why)) => self.say.run(capital(&why)),
            _ => self.typed.update(|typed| typed.retain(|path, _| !path.starts_with(list))),
        }
    }

    /// What a field shows.
    fn text(self, path: String) -> Signal<String> {
        Signal::derive(move || match self.typed.read().get(&path) {
            Some((text, _)) => text.clone(),
            None => self.sheet.read().shown(&path),
        })
    }

    /// What is wrong at a place.
    fn error(self, path: String) -> Signal<Option<String>> {
        Signal::derive(move || {
            let typed = self.typed.read().get(&path).and_then(|(_, wrong)| wrong.clone());
            typed.or_else(|| {
                let fault = self.fault.read();
                fault
                    .as_ref()
                    .filter(|fault| fault.field == path)
                    .map(|fault| fault.message.clone())
            })
        })
    }

    /// Whether something is wrong at a place or within it.
    fn is_wrong(self, path: &str) -> bool {
        let typed = self.typed.read();
        typed.iter().any(|(at, (_, wrong))| wrong.is_some() && lies_in(at, path))
            || self.fault.read().as_ref().is_some_and(|fault| lies_in(&fault.field, path))
    }

    /// Opens what a place lies in, and goes there.
    fn show(self, path: String) {
        self.at.set(String::new());
        self.at.set(path.clone());
        // After what it lies in was drawn.
        set_timeout(
            move || {
                let by_id = |id: &str| document().get_element_by_id(id);
                let found = by_id(&path).or_else(|| by_id(&format!("{path}-error")));
                if let Some(found) = found.and_then(|found| found.dyn_into::<HtmlElement>().ok()) {
                    let _ = found.focus();
                    found.scroll_into_view_with_bool(false);
                }
            },
            Duration::from_millis(120),
        );
    }
}

/// Whether a place is another one, or lies in it.
fn lies_in(place: &str, outer: &str) -> bool {
    place.strip_prefix(outer).is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
}

/// The unsaved card, if there is one.
pub(super) fn stored() -> Option<CardDraft> {
    prefs::get(prefs::Slot::CardDraft)
}

/// Where the way leads to an unsaved card: its name, and its id unless it is new.
pub(super) fn unsaved() -> Option<(String, String)> {
    stored().map(|draft| (draft.card.name, draft.id.unwrap_or_default()))
}

/// The form for a card; for a new one where none is given.
#[component]
pub(super) fn CardForm(
    /// Of the page.
    shelf: Shelf,
    /// As it is in the book.
    card: Option<Card>,
) -> impl IntoView {
    let state = shelf.state;
    let cards = state.book.read_untracked().newest_cards();
    let id = card.as_ref().map(|card| card.id.clone());
    let version = card.as_ref().map_or(0, |card| card.version);
    let fresh = card.clone().unwrap_or_else(|| Card::blank("new-card".to_owned(), String::new()));
    let start = StoredValue::new(Sheet::of(fresh, &cards));
    let kept = stored().filter(|draft| draft.id == id);
    let came_back = RwSignal::new(kept.is_some());
    let base = RwSignal::new(kept.as_ref().map_or(version, |draft| draft.base));
    let (sheet, typed) =
        kept.map_or_else(|| (start.get_value(), Typed::new()), |draft| draft.open(&cards));
    let (sheet, typed) = (RwSignal::new(sheet), RwSignal::new(typed));
    let fault = Memo::new(move |_| {
        let sheet = sheet.read();
        let first = state.book.read().check_card(sheet.card()).err()?.into_iter().next()?;
        Some(Refusal::of(first.field, without_file_words(&first.message).to_owned()))
    });
    let say = Callback::new(move |text: String| state.say(text, false));
    let example = Memo::new(move |last: Option<&Option<Example>>| {
        let sheet = sheet.read();
        if fault.read().is_none() {
            return Some(example_of(sheet.card(), &state.book.read()));
        }
        last.cloned().flatten()
    });
    let at = RwSignal::new(String::new());
    let editor = Editor { book: state.book, say, sheet, typed, at, fault, example };
    let clash = RwSignal::new(false);
    let card_id = StoredValue::new(id.clone());
    Effect::new(move |_| {
        let (sheet, typed) = (sheet.read(), typed.read());
        let wrong = typed.values().any(|(_, wrong)| wrong.is_some());
        let id = card_id.get_value();
        if start.with_value(|start| *start == *sheet) && !wrong {
            if stored().is_some_and(|kept| kept.id == id) {
                prefs::clear(prefs::Slot::CardDraft);
            }
        } else {
            let draft = CardDraft::of(id, base.get_untracked(), &sheet, &typed);
            prefs::set(prefs::Slot::CardDraft, &draft);
        }
    });
    let save = move |over: bool| {
        let unread = typed.read_untracked();
        if let Some((path, _)) = unread.iter().find(|(_, (_, wrong))| wrong.is_some()) {
            let path = path.clone();
            drop(unread);
            state.say("Not saved yet: there is something to put right", false);
            return editor.show(path);
        }
        drop(unread);
        let mut card = sheet.read_untracked().card().clone();
        let id = card_id.get_value();
        match &id {
            None => card.id = shelf.fresh_id(&card.name),
            Some(id) => {
                let now = state.book.read_untracked().card(id).map_or(0, |card| card.version);
                if now != base.get_untracked() && !over {
                    return clash.set(true);
                }
            }
        }
        match shelf.save(card) {
            Ok(()) => prefs::clear(prefs::Slot::CardDraft),
            Err(refusals) => {
                let first = refusals.into_iter().next();
                let Some(refusal) = first else { return };
                let said = without_file_words(&refusal.message);
                state.say(format!("Not saved yet: {said}"), false);
                editor.show(refusal.field);
            }
        }
    };
    let back = card.as_ref().map(|card| card.id.clone());
    let title = card
        .as_ref()
        .map_or_else(|| "A new card".to_owned(), |card| format!("Change “{}”", card.name));
    let built_in = card.as_ref().is_some_and(|card| {
        !state.book.read_untracked().cards.contains_key(&card.id)
            && builtin().iter().any(|built| built.id == card.id)
    });
    view! {
        <form
            class="method-edit stack"
            novalidate=true
            on:submit=move |event| {
                event.prevent_default();
                save(false);
            }
        >
            <div class="row apart">
                <h2>{title}</h2>
                <button
                    type="button"
                    class="button"
                    on:click=move |_| match back.clone() {
                        Some(id) => shelf.open(id),
                        None => shelf.close(),
                    }
                >
                    "Back"
                </button>
            </div>
            {built_in
                .then(|| {
                    view! {
                        <p class="soft">
                            "Saving makes this card your own; you can always go back to the built-in one. Orders keep the version that they were planned with."
                        </p>
                    }
                })}
            <CameBack
                came_back=came_back
                words="This is what you had changed and not saved."
                on_discard=move |()| {
                    typed.set(Typed::new());
                    sheet.set(start.get_value());
                    base.set(version);
                }
            />
            {move || {
                clash
                    .get()
                    .then(|| {
                        view! {
                            <div class="banner" role="alert">
                                <p>
                                    "This card was changed elsewhere since you began. Both versions are kept for orders; one of them is the newest."
                                </p>
                                <button
                                    type="button"
                                    class="button"
                                    on:click=move |_| {
                                        clash.set(false);
                                        save(true);
                                    }
                                >
                                    "Save mine as the newest"
                                </button>
                                <button type="button" class="button" on:click=move |_| clash.set(false)>
                                    "Not yet"
                                </button>
                            </div>
                        }
                    })
            }}
            <div class="method-body">
                <div class="stack">
                    <Sections editor=editor />
                </div>
                <Beside editor=editor before=card />
            </div>
            <div class="form-end">
                {move || {
                    let possible = editor.fault.read().is_none();
                    let example = editor.example.read();
                    let example = example.as_ref().filter(|_| possible)?;
                    let words = in_short(&sheet.read(), example);
                    Some(view! { <p class="soft form-total">{words}</p> })
                }} {move || {
                    editor
                        .fault
                        .get()
                        .map(|fault| {
                            let place = fault.field.clone();
                            view! {
                                <p class="error">
                                    <Icon name="warn" />
                                    <span>{fault_words(&sheet.read(), &fault)}</span>
                                </p>
                                <button
                                    type="button"
                                    class="button"
                                    on:click=move |_| editor.show(place.clone())
                                >
                                    "Go there"
                                </button>
                            }
                        })
                }}
                <button type="submit" class="button strong">
                    <Icon name="check" />
                    "Save card"
                </button>
            </div>
        </form>
    }
}

/// "24 pops: 3 h 45 min by hand, 9 h 45 min from start to end".
fn in_short(sheet: &Sheet, made: &Example) -> String {
    let (by_hand, whole) = (intl::duration(made.by_hand), intl::duration(made.shortest));
    format!("{}: {by_hand} by hand, {whole} from start to end", many(sheet.card()))
}

/// What is wrong, after the items that it lies in: "2. Bake: needs at least one tray".
fn fault_words(sheet: &Sheet, fault: &Refusal) -> String {
    let place = &fault.field;
    let ends = place.char_indices().filter(|(_, sign)| *sign == ']').map(|(at, _)| at + 1);
    let names = ends.map(|end| sheet.item_words(&place[..end]).0).filter(|name| !name.is_empty());
    capital(&(names.fold(String::new(), |words, name| format!("{words}{name}: ")) + &fault.message))
}
