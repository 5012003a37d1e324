//! One item in the order form: how many, with which options, and what that comes to.

use leptos::prelude::*;
use rackweek::card::{CardOption, OptionKind, differences};
use rackweek::order::ItemId;

use super::draft::{ItemDraft, card_of, range};
use super::form::Desk;
use super::sections::focus;
use super::serves::ServesLines;
use super::takes::TakesUp;
use crate::app::AppState;
use crate::app::pages::card_link;
use crate::app::parts::{Icon, Input, Remove, Stepper, Switch};

/// Finding this item in the draft, and writing into it.
#[derive(Clone, Copy)]
struct Line {
    desk: Desk,
    id: ItemId,
}

impl Line {
    fn read<T>(self, read: impl Fn(&ItemDraft) -> T) -> Option<T> {
        let draft = self.desk.draft.read();
        draft.items.iter().find(|item| item.id == self.id).map(read)
    }

    /// Errors are by place in the list, since the library knows no form.
    fn field(self, name: &str) -> String {
        let draft = self.desk.draft.read_untracked();
        let index = draft.items.iter().position(|item| item.id == self.id).unwrap_or(0);
        format!("items.{index}.{name}")
    }

    fn write(self, name: &str, write: impl FnOnce(&mut ItemDraft)) {
        let field = self.field(name);
        self.desk.write(&field, |draft| {
            if let Some(item) = draft.items.iter_mut().find(|item| item.id == self.id) {
                write(item);
            }
        });
    }

    fn error(self, name: &'static str) -> Signal<Option<String>> {
        self.error_of(name.to_owned())
    }

    fn error_of(self, name: String) -> Signal<Option<String>> {
        Signal::derive(move || {
            let errors = self.desk.errors.read();
            errors.get(&self.field(&name)).cloned()
        })
    }
}

/// The item.
#[component]
pub(super) fn ItemForm(
    /// Of the form.
    desk: Desk,
    /// Which.
    id: ItemId,
) -> impl IntoView {
    let line = Line { desk, id };
    let planned = desk
        .draft
        .read_untracked()
        .items
        .iter()
        .find(|item| item.id == id)
        .map(|item| (item.card.clone(), item.versions.clone()));
    let (card_id, versions) = planned.unwrap_or_default();
    let cards = desk.cards.0.read_untracked();
    let card = card_of(&cards, &card_id, &versions).cloned();
    drop(cards);
    let name = card.as_ref().map_or_else(|| card_id.clone(), |card| card.name.clone());
    let pieces = card.as_ref().map_or_else(|| "Pieces".to_owned(), |card| card.pieces.clone());
    let whole = card
        .as_ref()
        .is_some_and(|card| card.piece.contains("cake") && !card.piece.contains("cup"));
    let usual = card.as_ref().map_or(0, |card| card.spares);
    let options = card.map(|card| card.options).unwrap_or_default();
    let (rules, options): (Vec<_>, Vec<_>) = options.into_iter().partition(|option| option.rule);
    let fields = move |options: Vec<CardOption>| {
        options
            .into_iter()
            .map(|option| view! { <OptionField line=line option=option /> }.into_any())
            .collect_view()
    };
    let preview = Memo::new(move |_| desk.preview(Some(id)));
    let (named, called) = (name.clone(), name.clone());
    let remove = move |_| {
        desk.draft.update(|draft| draft.items.retain(|item| item.id != id));
        desk.errors.update(|errors| errors.retain(|field, _| !field.starts_with("items.")));
        focus("order-items");
    };
    view! {
        <fieldset class="card item">
            <legend class="aside">{name.clone()}</legend>
            <div class="row apart">
                <h4 class="item-name" aria-hidden="true">{name}</h4>
                <Remove what=named on_remove=remove />
            </div>
            <Newer line=line />
            <div class="item-fields">
                <Stepper
                    id=format!("item-{}-count", id.0)
                    label=crate::app::parts::capital(&pieces)
                    min=1
                    max=1000
                    step=if whole { 1 } else { 6 }
                    value=Signal::derive(move || line.read(|item| item.count.clone()).unwrap_or_default())
                    on_input=move |text| line.write("count", |item| item.set_count(text, usual))
                    error=line.error("count")
                />
                <Stepper
                    id=format!("item-{}-spares", id.0)
                    label="Spares"
                    max=1000
                    value=Signal::derive(move || line.read(|item| item.spares.clone()).unwrap_or_default())
                    on_input=move |text| {
                        line.write(
                            "spares",
                            |item| {
                                item.spares = text;
                                item.spares_follow = false;
                            },
                        );
                    }
                    error=line.error("spares")
                />
                {fields(options)}
                <Input
                    id=format!("item-{}-notes", id.0)
                    label="What it looks like"
                    value=Signal::derive(move || line.read(|item| item.notes.clone()).unwrap_or_default())
                    on_input=move |text| line.write("notes", |item| item.notes = text)
                    error=line.error("notes")
                    longest=2000
                />
            </div>
            {(!rules.is_empty())
                .then(|| {
                    view! {
                        <details>
                            <summary class="fit-why">"Trade rules"</summary>
                            <div class="item-fields">{fields(rules)}</div>
                        </details>
                    }
                })}
            <p class="item-preview number">{move || preview.read().line.clone()}</p>
            {move || {
                preview
                    .read()
                    .problems
                    .iter()
                    .map(|text| {
                        view! {
                            <p class="item-problem">
                                <Icon name="warn" />
                                {text.clone()}
                            </p>
                        }
                    })
                    .collect_view()
            }}
            <ServesLines
                desk=desk
                id=id
                on_count=move |text| line.write("count", |item| item.set_count(text, usual))
            />
            <TakesUp item=id.0 preview=preview />
            {card_link(&card_id, "", format!("Method card: {called}"))}
        </fieldset>
    }
}

/// Says that a card has a newer version than the item was planned with, and what that changes.
#[component]
fn Newer(
    /// Of this item.
    line: Line,
) -> impl IntoView {
    let state = expect_context::<AppState>();
    move || {
        let item = line.read(ItemDraft::clone)?;
        let known = rackweek::order::Item {
            id: item.id,
            card: item.card,
            count: 1,
            spares: 0,
            options: std::collections::BTreeMap::new(),
            notes: String::new(),
            versions: item.versions,
        };
        let newer = state.book.read().newer_cards(&known);
        if newer.is_empty() {
            return None;
        }
        let lines: Vec<String> =
            newer.iter().flat_map(|card| differences(&card.before, &card.now)).collect();
        let take = move |_| line.write("card", |item| item.versions.clear());
        Some(view! {
            <div class="banner">
                <p>"A newer version of this card exists. This order keeps the one that it was planned with."</p>
                <details>
                    <summary class="fit-why">"See what changes"</summary>
                    <ul>{lines.into_iter().map(|line| view! { <li>{line}</li> }).collect_view()}</ul>
                </details>
                <button type="button" class="button" on:click=take>
                    "Use the newest"
                </button>
            </div>
        })
    }
}

/// One option of the card.
#[component]
fn OptionField(
    /// Of this item.
    line: Line,
    /// Which.
    option: CardOption,
) -> impl IntoView {
    let id = format!("item-{}-{}", line.id.0, option.id);
    let (min, max) = range(&option.kind);
    let kind = option.kind.clone();
    // Cards keep mm and say so; the form shows cm.
    let label = option.label.trim_end_matches(", mm").to_owned();
    let hint = if option.help.is_empty() { String::new() } else { format!("{}.", option.help) };
    let name = StoredValue::new(option.id.clone());
    let option = StoredValue::new(option);
    let value = Signal::derive(move || {
        line.read(|item| option.with_value(|option| item.option(option))).unwrap_or_default()
    });
    let write = move |text: String| {
        name.with_value(|name| {
            line.write(name, |item| {
                item.options.insert(name.clone(), text);
            });
        });
    };
    let error = line.error_of(name.get_value());
    match kind {
        OptionKind::Switch => {
            let on = Signal::derive(move || value.read().trim() == "1");
            let write = move |on: bool| write(if on { "1" } else { "0" }.to_owned());
            view! { <Switch id=id label=label hint=hint on=on on_change=write /> }.into_any()
        }
        OptionKind::Count { .. } => view! {
            <Stepper
                id=id
                label=label
                hint=hint
                min=min
                max=max
                value=value
                on_input=write
                error=error
            />
        }
        .into_any(),
        OptionKind::Length { .. } => view! {
            <Input
                id=id
                label=label
                hint=hint
                unit="cm"
                keyboard="decimal"
                value=value
                on_input=write
                error=error
                longest=6
            />
        }
        .into_any(),
    }
}
