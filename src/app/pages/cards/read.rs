//! A card to read: everything on it in the order in which it is made. Each line opens to where its numbers come
//! from.

use leptos::html::Details;
use leptos::prelude::*;
use rackweek::breakdown::{Example, StepId};
use rackweek::card::{
    AMOUNT_ORIGIN, Card, CardOption, CardRest, CardStep, CardSupply, HAND_ORIGIN, HEAT_ORIGIN,
    Need, RestMode, SIZE_ORIGIN, WAIT_ORIGIN, builtin, differences,
};
use rackweek::keeping::CAUTION;
use rackweek::record::{Book, Command};
use rackweek::supply::{amount, good};

use super::{Shelf, example_of, many};
use crate::app::parts::{Confirm, capital};
use crate::app::state::words;
use crate::app::{files as disk, intl};

/// One card, and what can be done with it. The line of the step that is meant is open.
pub(super) fn one(shelf: Shelf, card: &Card, step: &str) -> AnyView {
    let book = shelf.state.book.read();
    let own = book.cards.contains_key(&card.id);
    let root = card.copied_from.as_ref().unwrap_or(&card.id);
    let original = builtin().into_iter().find(|other| other.id == *root);
    let kind = match (&original, own) {
        (_, false) => format!("Built in, version {}", card.version),
        (Some(original), true) if original.id == card.id => {
            format!("Your own version {} of the built-in card", card.version)
        }
        (Some(original), true) => {
            format!(
                "Your own, version {}, from the built-in card “{}”",
                card.version, original.name
            )
        }
        (None, true) => format!("Your own, version {}", card.version),
    };
    let yours = original
        .as_ref()
        .filter(|_| own)
        .map(|original| differences(original, card))
        .filter(|lines| !lines.is_empty())
        .map(|lines| row("", "What is yours on it", "", lines, false));
    view! {
        <div class="row apart">
            <h2>{card.name.clone()}</h2>
            <button type="button" class="button" on:click=move |_| shelf.close()>
                "All cards"
            </button>
        </div>
        <p>{card.about.clone()}</p>
        <p class="soft small">{kind}</p>
        {actions(shelf, card, own, original.is_some_and(|original| original.id == card.id))}
        {yours}
        {older(shelf, &book, card)}
        {reading(shelf, &book, card, step)}
    }
    .into_any()
}

/// The open orders that go by an older version, each with the way to the newest.
fn older(shelf: Shelf, book: &Book, card: &Card) -> AnyView {
    let state = shelf.state;
    let open = book.orders_with_card(&card.id).into_iter().filter(|order| !order.is_over());
    let items = open.flat_map(|order| order.items.iter().map(move |item| (order, item)));
    let items = items
        .filter(|(_, item)| book.newer_cards(item).iter().any(|newer| newer.now.id == card.id));
    let rows = items.map(|(order, item)| {
        let (order_id, item) = (order.id, item.id);
        let name = format!("{}, {}", order.client, intl::date_time(order.handover.at));
        let take = move |_| match state.apply(Command::UseNewestCards(order_id, item)) {
            Ok(()) => state.say("The order goes by the newest version", true),
            Err(refusals) => state.say(words(&refusals), false),
        };
        view! {
            <li class="row apart">
                <span>{name.clone()}</span>
                <button
                    type="button"
                    class="button"
                    aria-label=format!("Use the newest for {name}")
                    on:click=take
                >
                    "Use the newest"
                </button>
            </li>
        }
        .into_any()
    });
    let rows: Vec<AnyView> = rows.collect();
    if rows.is_empty() {
        return ().into_any();
    }
    view! {
        <section class="card stack tight">
            <h3>"Orders that keep an older version"</h3>
            <ul class="method-steps">{rows}</ul>
        </section>
    }
    .into_any()
}

/// Copy, export, take away.
fn actions(shelf: Shelf, card: &Card, own: bool, has_built_in: bool) -> AnyView {
    let state = shelf.state;
    let kept = StoredValue::new(card.clone());
    let asks = RwSignal::new(false);
    let copy = move |_| {
        let card = kept.get_value();
        let name = format!("{} (my way)", card.name);
        if let Err(refusals) = shelf.save(card.copy_as(shelf.fresh_id(&name), name)) {
            state.say(words(&refusals), false);
        }
    };
    let export = move |_| {
        let (name, text) = kept.with_value(|card| (card.id.clone(), card.to_file()));
        let done = disk::save(&format!("{name}.card.json"), &text);
        state.say(
            if done { "Card exported" } else { "The browser refused to save the file" },
            false,
        );
    };
    let remove =
        move |()| match state.apply(Command::RemoveCard(kept.with_value(|card| card.id.clone()))) {
            Ok(()) => {
                if !has_built_in {
                    shelf.close();
                }
                state.say("Card removed", true);
            }
            Err(refusals) => state.say(words(&refusals), false),
        };
    let away = if has_built_in { "Go back to the built-in card" } else { "Remove" };
    let question = if has_built_in { "Go back to the built-in card?" } else { "Remove this card?" };
    view! {
        <div class="row tight">
            <button
                type="button"
                class="button strong"
                on:click=move |_| shelf.edit(kept.with_value(|card| card.id.clone()))
            >
                "Change this card"
            </button>
            <button type="button" class="button" on:click=copy>
                "Copy as a card of your own"
            </button>
            <button type="button" class="button" on:click=export>
                "Export as a file"
            </button>
            {own
                .then(|| {
                    view! {
                        <button type="button" class="button danger" on:click=move |_| asks.set(true)>
                            {away}
                        </button>
                    }
                })}
        </div>
        <Confirm open=asks title=question yes=away on_yes=remove>
            <p>"Orders that were planned with it keep it. Undo brings it back."</p>
        </Confirm>
    }
    .into_any()
}

/// A card with what its example comes to.
struct Page<'a> {
    book: &'a Book,
    card: &'a Card,
    example: Example,
    /// "24 pops".
    many: String,
}

/// Everything on a card, in the order in which it is made.
fn reading(shelf: Shelf, book: &Book, card: &Card, step: &str) -> AnyView {
    let held = book.in_force(card);
    let card = &held;
    let page = Page { book, card, example: example_of(card, book), many: many(card) };
    let steps = card.steps.iter().enumerate().map(|(index, one)| {
        let after = card.rests.iter().filter(|rest| rest.from == one.id);
        view! {
            <li>
                {page.step(index, one, one.id == step)}
                {after.map(|rest| page.rest(rest, rest.id == step)).collect_view()}
            </li>
        }
        .into_any()
    });
    let keeps = card.keeps.iter().map(|mode| page.way("keep", mode));
    let limits = card.limits.iter().map(|limit| {
        let safety = if limit.safety { ", a safety limit" } else { "" };
        let line = format!("at most {}{safety}", Card::limit_words(limit.greatest));
        let from = card.steps.iter().find(|step| step.id == limit.from);
        let until = card.steps.iter().find(|step| Some(&step.id) == limit.to.as_ref());
        let until =
            until.map_or_else(|| "the handover".to_owned(), |step| format!("“{}”", step.name));
        let from = from.map_or_else(String::new, |step| {
            let edge = if limit.from_start { "start" } else { "end" };
            format!("From the {edge} of “{}” to {until}", step.name)
        });
        row("", &capital(&limit.what), &line, vec![from, source(&limit.source)], false)
    });
    let example = &page.example;
    let by_hand = intl::duration(example.by_hand);
    let whole = Card::limit_words(example.shortest);
    view! {
        <section class="card stack tight">
            <h3>"For example " {page.many.clone()}</h3>
            <p>
                {format!("{by_hand} by hand; {whole} from start to end when everything follows at once.")}
            </p>
            {example.problems.iter().map(|text| view! { <p class="error">{text.clone()}</p> }).collect_view()}
        </section>
        {page.choices()}
        <section class="card stack tight">
            <h3>"Steps and rests"</h3>
            {page.components(shelf)}
            <ol class="method-steps">{steps.collect_view()}</ol>
        </section>
        <section class="card stack tight">
            <h3>"Keeping"</h3>
            <p class="caution">{CAUTION}</p>
            {keeps.collect_view()}
            {limits.collect_view()}
            {card.cautions.iter().map(|text| view! { <p>{text.clone()} "."</p> }).collect_view()}
        </section>
        {(!card.client.is_empty())
            .then(|| {
                view! {
                    <section class="card stack tight">
                        <h3>"What the client is told"</h3>
                        {card.client.iter().map(|text| view! { <p>{text.clone()} "."</p> }).collect_view()}
                        <p class="soft small">"Common practice, no published source."</p>
                    </section>
                }
            })}
        {page.sizes()}
        {page.supplies("Ingredients", &card.ingredients)}
        {page.supplies("Packaging", &card.packaging)}
    }
    .into_any()
}

impl Page<'_> {
    fn step(&self, index: usize, step: &CardStep, open: bool) -> AnyView {
        let card = self.card;
        let title = format!("{}. {}", index + 1, step.name);
        let mut lines = Vec::new();
        let id = id_of(&step.id);
        if let Some(made) = self.example.steps.iter().find(|made| made.id == id) {
            let sittings = match made.sittings {
                1 => String::new(),
                more => format!(" in {more} sittings"),
            };
            let minutes = intl::duration(made.minutes);
            lines.push(format!("{}: {minutes}{sittings}, in steps of 5 min", made.detail));
        }
        lines.extend(step.notes.iter().cloned());
        for part in &card.components {
            let uses = part.uses.iter().filter(|used| used.step == step.id);
            let name = self.name_of(&part.card);
            lines.extend(uses.map(|used| {
                format!("With {name}: {}", card.supply_words(&plain_amount(&used.amount)))
            }));
        }
        let used = card.ingredients.iter().chain(&card.packaging);
        let used: Vec<String> =
            used.filter(|used| used.step == step.id).map(|used| good_name(&used.of)).collect();
        if !used.is_empty() {
            lines.push(format!("Uses {}", used.join(", ")));
        }
        let needs = step.needs.iter().map(|need| match need {
            Need::Mixer => "Needs a mixer".to_owned(),
            Need::Oven { trays } => {
                format!("Needs the oven, for so many trays: {}", card.called(trays))
            }
            Need::Place { place, .. } => format!("Needs room meanwhile: {}", place.name()),
        });
        lines.extend(needs);
        if let Some(least) = step.cut_min {
            lines.push(format!("May be cut into sittings of {least} min or more"));
        }
        if let Some(pause) = step.pause_max {
            let place = step.pause_at.as_ref().map_or("", |stay| stay.place.name());
            lines
                .push(format!("Between two sittings at most {} {place}", Card::limit_words(pause)));
        }
        if let Some(most) = &step.cut_max {
            lines.push(format!("No sitting is longer than {} min", most.minutes));
        }
        lines.push(HAND_ORIGIN.to_owned());
        row(&step.id, &title, &card.step_words(step), lines, open)
    }

    fn rest(&self, rest: &CardRest, open: bool) -> AnyView {
        let to = self.card.steps.iter().find(|step| step.id == rest.to);
        let to = to.map_or(rest.to.as_str(), |step| step.name.as_str());
        let ways = rest.modes.iter();
        let line = ways.map(|mode| self.card.way_words(mode)).collect::<Vec<_>>().join("\nor ");
        let mut lines = vec![format!("Until “{to}”")];
        for mode in &rest.modes {
            lines.extend(self.way_origins(&rest.id, mode));
        }
        row(&rest.id, &format!("↓ {}", rest.what), &line, lines, open)
    }

    /// A way to keep it.
    fn way(&self, rest: &str, mode: &RestMode) -> AnyView {
        let name = capital(&self.card.way_name(mode));
        row("", &name, &self.card.way_times(mode), self.way_origins(rest, mode), false)
    }

    /// Where a way's numbers come from.
    fn way_origins(&self, rest: &str, mode: &RestMode) -> Vec<String> {
        let mut lines = Vec::new();
        let key = format!("{rest}: {}", mode.name);
        let waits = self.example.work.waits.iter();
        lines.extend(
            waits
                .filter(|wait| wait.card == self.card.id && wait.wait == key)
                .map(|wait| format!("{}: {}", intl::duration(wait.minutes), wait.why)),
        );
        if mode.heat.is_some() || mode.tail.as_ref().is_some_and(|tail| tail.heat.is_some()) {
            lines.push(HEAT_ORIGIN.to_owned());
        }
        if mode.source.is_empty() {
            lines.push(WAIT_ORIGIN.to_owned());
        } else {
            lines.push(format!("{}: {}", mode.name, source(&mode.source)));
            if !mode.least.is_empty() {
                lines.push(WAIT_ORIGIN.to_owned());
            }
        }
        lines
    }

    /// Options and rules, each with its range and default.
    fn choices(&self) -> AnyView {
        let card = self.card;
        let options = |rule: bool| -> Vec<(String, String)> {
            let options = card.options.iter().filter(|option| option.rule == rule);
            let line = |option: &CardOption| {
                let words = Card::option_words(option);
                let help = &option.help;
                let line = if help.is_empty() { words } else { format!("{words}. {help}") };
                (card.called(&option.id), line)
            };
            options.map(line).collect()
        };
        let counts = card.counts.iter();
        let counts = counts.map(|count| (card.called(&count.id), card.count_words(count)));
        let rows = [
            ("What can be chosen", options(false)),
            ("Rules of the trade", options(true)),
            ("Numbers that follow", counts.collect()),
        ];
        let rows = rows.into_iter().filter(|(_, all)| !all.is_empty()).map(|(title, all)| {
            let (names, lines): (Vec<String>, Vec<String>) = all.into_iter().unzip();
            row("", title, &capital(&names.join(", ")), lines, false)
        });
        view! {
            <section class="card stack tight">
                <h3>"Choices"</h3>
                {rows.collect_view()}
            </section>
        }
        .into_any()
    }

    /// The ways to the cards of its components.
    fn components(&self, shelf: Shelf) -> AnyView {
        let parts = self.card.components.iter().map(|part| {
            let id = part.card.clone();
            view! {
                <button type="button" class="button" on:click=move |_| shelf.open(id.clone())>
                    {format!("Card: {}", self.name_of(&part.card))}
                </button>
            }
            .into_any()
        });
        let parts: Vec<AnyView> = parts.collect();
        if parts.is_empty() {
            return ().into_any();
        }
        view! {
            <div class="row tight">
                <span>"Made with"</span>
                {parts}
            </div>
        }
        .into_any()
    }

    fn sizes(&self) -> AnyView {
        let mut rows = Vec::new();
        for thing in &self.card.things {
            let mut lines = vec![self.card.thing_words(thing)];
            let mut line = String::new();
            let stands = self.example.work.stands.iter();
            for found in
                stands.filter(|found| found.card == self.card.id && found.thing == thing.id)
            {
                let b = &found.takes.item;
                line = format!(
                    "{} of {} × {} × {} mm for {}",
                    b.count, b.width, b.depth, b.height, self.many
                );
                lines.push(capital(&found.takes.why));
            }
            lines.push(SIZE_ORIGIN.to_owned());
            rows.push(row("", &capital(&thing.what), &line, lines, false));
        }
        if rows.is_empty() {
            return ().into_any();
        }
        view! {
            <section class="card stack tight">
                <h3>"What it takes up"</h3>
                {rows}
            </section>
        }
        .into_any()
    }

    fn supplies(&self, title: &'static str, list: &[CardSupply]) -> AnyView {
        if list.is_empty() {
            return ().into_any();
        }
        let units = self.book.supplies.units;
        let own: Vec<StepId> = self.card.steps.iter().map(|step| id_of(&step.id)).collect();
        let mut shown: Vec<&str> = Vec::new();
        let mut rows = Vec::new();
        for used in list {
            if shown.contains(&used.of.as_str()) {
                continue;
            }
            shown.push(&used.of);
            let all = self.example.work.supplies.iter();
            let all = all.filter(|found| found.of == used.of && own.contains(&found.step));
            let milli: u64 = all.map(|found| found.milli).sum();
            let much = match good(&used.of) {
                Some(good) if 0 < milli => amount(good, milli, units),
                _ => "with other choices".to_owned(),
            };
            rows.push(
                view! {
                    <div>
                        <dt>{capital(&good_name(&used.of))}</dt>
                        <dd class="number">{much}</dd>
                    </div>
                }
                .into_any(),
            );
        }
        let mut lines: Vec<String> = list
            .iter()
            .map(|used| {
                let step = self.card.steps.iter().find(|step| step.id == used.step);
                let step = step.map_or(used.step.as_str(), |step| step.name.as_str());
                let unit = if title == "Ingredients" { "g: " } else { "" };
                format!(
                    "{} in “{step}”, {unit}{}",
                    capital(&good_name(&used.of)),
                    self.card.supply_words(used)
                )
            })
            .collect();
        lines.push(AMOUNT_ORIGIN.to_owned());
        view! {
            <section class="card stack tight">
                <h3>{title} " for " {self.many.clone()}</h3>
                <dl class="method-amounts">{rows}</dl>
                {row("", "How these amounts come about", "", lines, false)}
            </section>
        }
        .into_any()
    }

    fn name_of(&self, card: &str) -> String {
        self.book.card(card).map_or_else(|| card.to_owned(), |card| card.name)
    }
}

/// A step of the card in the example.
fn id_of(step: &str) -> StepId {
    StepId(format!("o1.i1.{step}"))
}

fn good_name(id: &str) -> String {
    good(id).map_or_else(|| id.to_owned(), |good| good.name.clone())
}

fn plain_amount(amount: &[rackweek::card::Term]) -> CardSupply {
    CardSupply {
        of: String::new(),
        step: String::new(),
        amount: amount.to_vec(),
        over: 1,
        waste: 0,
        when: None,
    }
}

fn source(text: &str) -> String {
    format!("Source: {text}")
}

/// A line that opens to more lines.
fn row(id: &str, title: &str, line: &str, lines: Vec<String>, open: bool) -> AnyView {
    let node = NodeRef::<Details>::new();
    if open {
        // After the page was scrolled to its top.
        node.on_load(|details| {
            set_timeout(move || details.scroll_into_view(), std::time::Duration::from_millis(60));
        });
    }
    let line =
        (!line.is_empty()).then(|| view! { <span class="soft small">{line.to_owned()}</span> });
    view! {
        <details
            class="method-part"
            open=open
            node_ref=node
            id=(!id.is_empty()).then(|| format!("part-{id}"))
        >
            <summary>
                <span>
                    <span class="method-title">{title.to_owned()}</span>
                    {line}
                </span>
            </summary>
            <ul>{lines.into_iter().map(|line| view! { <li>{line}</li> }).collect_view()}</ul>
        </details>
    }
    .into_any()
}
