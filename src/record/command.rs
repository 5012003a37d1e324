//! What can be done to the book.

use std::collections::BTreeMap;

use super::{Book, Change, Deed, Pin, Progress, Record, RecordKey, Settings, Shown, Swap, Timers};
use crate::breakdown::StepId;
use crate::calendar::{MyTime, Wall};
use crate::card::{Card, find_card};
use crate::keeping::Rules;
use crate::kitchen::{Clearing, Kitchen};
use crate::order::{ItemId, ORDER_NUMBER_MAX, Order, OrderId, Picture, Stage};
use crate::quote::Pricing;
use crate::refusal::Refusal;
use crate::supply::Supplies;

/// Most sittings of one step.
const SITTINGS_MAX: usize = 100;
/// Longest time between "all boxed" and the handover, in minutes.
const SAFETY_MARGIN_MAX: u32 = 1440;
/// Longest key of a book.
const KEY_MAX: usize = 40;

/// One thing that the baker does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Command {
    /// Adds an order (its id is given by [`Book::next_order`]) or replaces the one with its id. A new
    /// order may stand at any stage; one that is replaced moves only as [`Stage::moves`] allows. Pins and progress of
    /// items that are gone, or made from another card now, go with them.
    PutOrder(Order),
    /// Moves an order through its life.
    SetStage(OrderId, Stage),
    /// Ticks a line of an order's check list before the handover, or takes the tick away.
    CheckHandover(OrderId, String, bool),
    /// Sets the pictures of what an order looked like when it was handed over; with any, their line of the check list
    /// is ticked.
    SetHanded(OrderId, Vec<Picture>),
    /// Removes an order with its pins and progress.
    RemoveOrder(OrderId),
    /// Sets the kitchen.
    SetKitchen(Kitchen),
    /// Adds room that the household clears for a while.
    AddClearing(Clearing),
    /// Takes back the first clearing that is equal to this one.
    RemoveClearing(Clearing),
    /// Sets her time.
    SetTime(MyTime),
    /// Pins a step: the start of each of its sittings.
    PinStep(StepId, Vec<Wall>),
    /// Lets a pinned or ticked step go again; what was noted of how it went goes too.
    ReleaseStep(StepId),
    /// Ticks a step off as done at these times.
    TickStep(StepId, Vec<Wall>),
    /// Does something with the sitting at hand of a step, at an instant in seconds of universal time.
    Work(StepId, Deed, i64),
    /// Says that nothing of these steps has happened by an instant, or has to happen again: pins, ticks and
    /// what was noted of them go, and they are placed anew.
    NotDone(Vec<StepId>, i64),
    /// Sets the timers. Not undoable.
    SetTimers(Box<Timers>),
    /// Forgets what was timed of a step, by its key among the margins; of all steps without one.
    ForgetTimes(Option<String>),
    /// Remembers the plan shown. Not undoable by itself.
    Show(Shown),
    /// Saves a card as its newest version; its number is given here. Items that go by the one that was the newest
    /// until now keep it.
    SaveCard(Box<Card>),
    /// Removes a card of her own; a built-in one of its name holds again. Items that go by it keep it.
    RemoveCard(String),
    /// Has an item go by the newest versions of its cards.
    UseNewestCards(OrderId, ItemId),
    /// Minutes between "all boxed" and the handover.
    SetSafetyMargin(u32),
    /// Sets by which rules for keeping food she goes.
    SetRules(Rules),
    /// Gives the book its key, once; no step that is taken back.
    SetKey(String),
    /// Sets larder, packages and shopping.
    SetSupplies(Box<Supplies>),
    /// Sets rates, price list and what is agreed.
    SetPricing(Box<Pricing>),
    /// Replaces everything, for example by the demo or a backup.
    ReplaceAll(Box<Book>),
}

/// The records that a command leaves behind: none where one is gone.
pub(super) type After = BTreeMap<RecordKey, Option<Record>>;

impl Book {
    /// Does a command, or refuses it and leaves the book as it was. The change lists only what
    /// differs, and is empty when nothing does.
    pub fn apply(&mut self, command: Command) -> Result<Change, Vec<Refusal>> {
        let (label, after) = self.outcome(command)?;
        let mut swaps = Vec::new();
        for (key, after) in after {
            let before = self.record(&key);
            if before == after {
                continue;
            }
            match &after {
                Some(record) => self.put(record.clone()),
                None => self.remove(&key),
            }
            swaps.push(Swap { key, before, after });
        }
        Ok(Change { label, swaps })
    }

    /// What a command is called, and the records as it leaves them.
    fn outcome(&self, command: Command) -> Result<(String, After), Vec<Refusal>> {
        let mut after = After::new();
        let label = match command {
            Command::PutOrder(order) => self.put_order(order.cleaned(), &mut after)?,
            Command::SetStage(id, stage) => {
                let mut order = self.order(id)?.clone();
                check_stage(order.stage, stage)?;
                order.stage = stage;
                self.check_promise(&order)?;
                self.learn(&order, &mut after);
                let label = format!("mark order {} as {stage}", order.mark());
                put(&mut after, Record::Order(order));
                label
            }
            Command::CheckHandover(id, line, on) => {
                let mut order = self.order(id)?.clone();
                if on {
                    order.checked.insert(line);
                } else {
                    order.checked.remove(&line);
                }
                refuse_any(order.validate())?;
                let label = format!("tick the check list of {}", order.mark());
                put(&mut after, Record::Order(order));
                label
            }
            Command::SetHanded(id, handed) => {
                let mut order = Order { handed, ..self.order(id)?.clone() }.cleaned();
                if !order.handed.is_empty() {
                    order.checked.insert(crate::care::PHOTO.to_owned());
                }
                refuse_any(order.validate())?;
                let label = format!("change the photos of {}", order.mark());
                put(&mut after, Record::Order(order));
                label
            }
            Command::RemoveOrder(id) => {
                let label = format!("remove order {}", self.order(id)?.mark());
                after.insert(RecordKey::order(id), None);
                for step in self.pins.keys().filter(|step| order_of(step) == Some(id)) {
                    after.insert(RecordKey::pin(step), None);
                }
                for step in self.progress.keys().filter(|step| order_of(step) == Some(id)) {
                    after.insert(RecordKey::progress(step), None);
                }
                label
            }
            Command::SetKitchen(kitchen) => {
                refuse_any(kitchen.validate())?;
                put(&mut after, Record::Kitchen(kitchen));
                "change the kitchen".to_owned()
            }
            Command::AddClearing(clearing) => {
                let mut kitchen = self.kitchen()?.clone();
                refuse_any(kitchen.validate_clearing(&clearing))?;
                let label =
                    format!("clear {}", kitchen.shelf_words(clearing.place, clearing.shelf));
                kitchen.clearings.push(clearing);
                refuse_any(kitchen.validate())?;
                put(&mut after, Record::Kitchen(kitchen));
                label
            }
            Command::RemoveClearing(clearing) => {
                let mut kitchen = self.kitchen()?.clone();
                let found = kitchen.clearings.iter().position(|known| *known == clearing);
                let found = found.ok_or_else(|| {
                    let gone = "this clearing is no longer in the kitchen; look at the list again";
                    vec![Refusal::of("clearing", gone)]
                })?;
                kitchen.clearings.remove(found);
                let shelf = kitchen.shelf_words(clearing.place, clearing.shelf);
                put(&mut after, Record::Kitchen(kitchen));
                format!("no longer clear {shelf}")
            }
            Command::SetTime(time) => {
                refuse_any(time.validate())?;
                put(&mut after, Record::Time(time));
                "change my time".to_owned()
            }
            Command::PinStep(step, starts) => self.pin("move", step, starts, false, &mut after)?,
            Command::TickStep(step, starts) => {
                self.pin("tick off", step, starts, true, &mut after)?
            }
            Command::ReleaseStep(step) => {
                let label = format!("release {}", self.step_words(&step));
                after.insert(RecordKey::pin(&step), None);
                after.insert(RecordKey::progress(&step), None);
                label
            }
            Command::Work(step, deed, at) => self.work(step, deed, at, &mut after)?,
            Command::NotDone(steps, at) => self.not_done(&steps, at, &mut after)?,
            Command::SetTimers(timers) => {
                refuse_any(timers.validate())?;
                put(&mut after, Record::Timers(*timers));
                "change the timers".to_owned()
            }
            Command::ForgetTimes(step) => {
                let mut margins = self.margins.clone();
                match &step {
                    Some(key) => drop(margins.steps.remove(key)),
                    None => margins.steps.clear(),
                }
                put(&mut after, Record::Margins(margins));
                "forget what was timed".to_owned()
            }
            Command::Show(shown) => {
                put(&mut after, Record::Shown(shown));
                "show the plan".to_owned()
            }
            Command::SaveCard(card) => self.save_card(*card, &mut after)?,
            Command::RemoveCard(id) => self.remove_card(&id, &mut after)?,
            Command::UseNewestCards(order, item) => {
                self.use_newest_cards(order, item, &mut after)?
            }
            Command::SetSafetyMargin(minutes) => {
                let settings = Settings { safety_margin: minutes, ..self.settings.clone() };
                refuse_any(settings.validate())?;
                put(&mut after, Record::Settings(settings));
                "change the time before the handover".to_owned()
            }
            Command::SetRules(rules) => {
                let settings = Settings { rules, ..self.settings.clone() };
                refuse_any(settings.validate())?;
                put(&mut after, Record::Settings(settings));
                "change the rules for keeping".to_owned()
            }
            Command::SetKey(key) => {
                if self.settings.key.is_empty() {
                    let settings = Settings { key, ..self.settings.clone() };
                    refuse_any(settings.validate())?;
                    put(&mut after, Record::Settings(settings));
                }
                "give the book its key".to_owned()
            }
            Command::SetSupplies(supplies) => {
                refuse_any(supplies.validate())?;
                let before = &self.supplies;
                let label = if supplies.bought != before.bought {
                    "change the shopping list"
                } else if supplies.larder != before.larder {
                    "change the larder"
                } else {
                    "change packages and units"
                };
                put(&mut after, Record::Supplies(*supplies));
                label.to_owned()
            }
            Command::SetPricing(pricing) => {
                refuse_any(pricing.validate())?;
                put(&mut after, Record::Pricing(*pricing));
                "change rates and prices".to_owned()
            }
            Command::ReplaceAll(book) => {
                refuse_any(book.validate())?;
                for record in self.records() {
                    after.insert(record.key(), None);
                }
                for record in book.records() {
                    put(&mut after, record);
                }
                "replace everything".to_owned()
            }
        };
        Ok((label, after))
    }

    fn put_order(&self, order: Order, after: &mut After) -> Result<String, Vec<Refusal>> {
        let mut refusals = order.validate();
        let earlier = self.orders.get(&order.id);
        if let Some(earlier) = earlier
            && earlier.stage != order.stage
            && let Err(more) = check_stage(earlier.stage, order.stage)
        {
            refusals.extend(more);
        }
        refuse_any(refusals)?;
        // What was promised before stays promised; another allergy or product is another promise.
        let same = earlier.is_some_and(|earlier| {
            earlier.stage == order.stage
                && earlier.allergies == order.allergies
                && earlier.agreed == order.agreed
                && earlier.items == order.items
        });
        if !same {
            self.check_promise(&order)?;
        }
        if let Some(earlier) = earlier {
            let keeps = |step: &&StepId| {
                item_of(step).is_some_and(|id| {
                    let card = |order: &Order| {
                        order
                            .items
                            .iter()
                            .find(|item| item.id.0 == id)
                            .map(|item| item.card.clone())
                    };
                    card(&order).is_some() && card(&order) == card(earlier)
                })
            };
            let own = self.pins.keys().filter(|step| order_of(step) == Some(order.id));
            for step in own.filter(|step| !keeps(step)) {
                after.insert(RecordKey::pin(step), None);
            }
            let own = self.progress.keys().filter(|step| order_of(step) == Some(order.id));
            for step in own.filter(|step| !keeps(step)) {
                after.insert(RecordKey::progress(step), None);
            }
        }
        if order.id.0 > self.settings.orders_given {
            let settings = Settings { orders_given: order.id.0, ..self.settings.clone() };
            put(after, Record::Settings(settings));
        }
        if earlier.is_some_and(|earlier| earlier.stage != order.stage) {
            self.learn(&order, after);
        }
        let label =
            format!("{} order {}", if earlier.is_some() { "edit" } else { "add" }, order.mark());
        put(after, Record::Order(order));
        Ok(label)
    }

    fn pin(
        &self,
        verb: &str,
        step: StepId,
        starts: Vec<Wall>,
        done: bool,
        after: &mut After,
    ) -> Result<String, Vec<Refusal>> {
        self.check_step(&step)?;
        check_starts(&starts)?;
        let label = format!("{verb} {}", self.step_words(&step));
        put(after, Record::Pin(step, Pin { starts, done }));
        Ok(label)
    }

    fn work(
        &self,
        step: StepId,
        deed: Deed,
        at: i64,
        after: &mut After,
    ) -> Result<String, Vec<Refusal>> {
        self.check_step(&step)?;
        let went = self.progress.get(&step).cloned().unwrap_or_default();
        let went = went.after(deed, at).map_err(|why| vec![Refusal::of("step", why)])?;
        refuse_any(went.validate())?;
        let label = format!("{} {}", deed.verb(), self.step_words(&step));
        put(after, Record::Progress(step, went));
        Ok(label)
    }

    fn not_done(
        &self,
        steps: &[StepId],
        at: i64,
        after: &mut After,
    ) -> Result<String, Vec<Refusal>> {
        for step in steps {
            self.check_step(step)?;
            let went = Progress { open_at: Some(at), ..Progress::default() };
            refuse_any(went.validate())?;
            after.insert(RecordKey::pin(step), None);
            put(after, Record::Progress(step.clone(), went));
        }
        Ok(match steps {
            [one] => format!("place {} anew", self.step_words(one)),
            many => format!("place {} steps anew", many.len()),
        })
    }

    /// A confirmed order must not go against an allergy that the client named, unless somebody wrote what was agreed.
    fn check_promise(&self, order: &Order) -> Result<(), Vec<Refusal>> {
        let stops = order.stage == Stage::Confirmed && order.agreed.trim().is_empty();
        let Some(care) = self.care(order).filter(|care| stops && care.stops(order)) else {
            return Ok(());
        };
        let message = format!(
            "goes against “{}” ({}); write what was agreed with the client before it is confirmed, for example \
             nut-free chocolate bought, label read",
            order.allergies.trim(),
            care.clashes.join("; ")
        );
        Err(vec![Refusal::of("agreed", message)])
    }

    fn check_step(&self, step: &StepId) -> Result<(), Vec<Refusal>> {
        match order_of(step) {
            Some(id) => self.order(id).map(|_| ()),
            None => Err(vec![Refusal::of(
                "step",
                format!("“{}” names no step; for example o3.i1.flood", step.0),
            )]),
        }
    }

    fn kitchen(&self) -> Result<&Kitchen, Vec<Refusal>> {
        self.kitchen.as_ref().ok_or_else(|| {
            vec![Refusal::of("kitchen", "there is no kitchen yet; enter its shelves first")]
        })
    }

    pub(super) fn order(&self, id: OrderId) -> Result<&Order, Vec<Refusal>> {
        self.orders.get(&id).ok_or_else(|| {
            vec![Refusal::of(
                "order",
                format!("order {} is no longer in the order book; choose another", id.0),
            )]
        })
    }

    /// A step in a few words, for example "Flood the base coat · ML".
    fn step_words(&self, step: &StepId) -> String {
        let name = self
            .step_name(step)
            .unwrap_or_else(|| step.0.rsplit('.').next().unwrap_or_default().replace('-', " "));
        let mark = order_of(step).and_then(|id| self.orders.get(&id)).map(Order::mark);
        mark.map_or_else(|| name.clone(), |mark| format!("{name} · {mark}"))
    }

    /// What a step is called on its card. Its name runs from the item's card through the components
    /// to the step: `o3.i1.buttercream.whip`.
    fn step_name(&self, step: &StepId) -> Option<String> {
        let item_id = item_of(step)?;
        let order = self.orders.get(&order_of(step)?)?;
        let item = order.items.iter().find(|item| item.id.0 == item_id)?;
        let cards = self.all_cards();
        let known: Vec<&Card> = cards.iter().collect();
        let named = |id: &str| find_card(&known, id, &item.versions);
        let mut card = named(&item.card)?;
        let parts: Vec<&str> = step.0.split('.').skip(2).collect();
        let (last, components) = parts.split_last()?;
        for part in components {
            let component = card.components.iter().find(|component| component.name() == *part)?;
            card = named(&component.card)?;
        }
        card.steps.iter().find(|step| step.id == *last).map(|step| step.name.clone())
    }

    /// Everything in the book that a command would have refused; `order.3.client` and so on.
    pub fn validate(&self) -> Vec<Refusal> {
        self.records()
            .iter()
            .flat_map(|record| {
                let key = record.key();
                let under = if key.id.is_empty() {
                    key.kind.name().to_owned()
                } else {
                    format!("{}.{}", key.kind.name(), key.id)
                };
                record.validate().into_iter().map(move |refusal| {
                    let dot = if refusal.field.is_empty() { "" } else { "." };
                    Refusal::of(format!("{under}{dot}{}", refusal.field), refusal.message)
                })
            })
            .collect()
    }
}

impl Record {
    /// Everything in the record that a command would have refused.
    pub fn validate(&self) -> Vec<Refusal> {
        match self {
            Self::Kitchen(kitchen) => kitchen.validate(),
            Self::Time(time) => time.validate(),
            Self::Order(order) => order.validate(),
            Self::Pin(_, pin) => check_starts(&pin.starts).err().unwrap_or_default(),
            Self::Settings(settings) => settings.validate(),
            Self::Card(card) | Self::OldCard(card) => {
                let fault = card.validate().and_then(|()| card.is_as_safe_as_built_in()).err();
                fault.into_iter().map(|fault| Refusal::of(fault.place, fault.message)).collect()
            }
            Self::Shown(_) => Vec::new(),
            Self::Supplies(supplies) => supplies.validate(),
            Self::Pricing(pricing) => pricing.validate(),
            Self::Progress(_, progress) => progress.validate(),
            Self::Timers(timers) => timers.validate(),
            Self::Margins(margins) => margins.validate(),
        }
    }
}

impl Settings {
    /// Everything that is not right, by field; empty when it can be used.
    pub fn validate(&self) -> Vec<Refusal> {
        let mut refusals = Vec::new();
        if self.safety_margin > SAFETY_MARGIN_MAX {
            refusals.push(Refusal::of(
                "safety_margin",
                format!(
                    "{} minutes is more than a day; write 0 to {SAFETY_MARGIN_MAX}, for example 60",
                    self.safety_margin
                ),
            ));
        }
        if let Err(wrong) = self.rules.profile() {
            refusals.extend(wrong);
        }
        let plain = self.key.bytes().all(|byte| byte.is_ascii_alphanumeric());
        if !plain || KEY_MAX < self.key.len() {
            let message = format!("is up to {KEY_MAX} letters and digits, for example 4f1a9c");
            refusals.push(Refusal::of("key", message));
        }
        if self.orders_given > ORDER_NUMBER_MAX {
            refusals.push(Refusal::of(
                "orders_given",
                format!(
                    "{} is no order's number; write 0 to {ORDER_NUMBER_MAX}",
                    self.orders_given
                ),
            ));
        }
        refusals
    }
}

pub(super) fn put(after: &mut After, record: Record) {
    after.insert(record.key(), Some(record));
}

fn refuse_any(refusals: Vec<Refusal>) -> Result<(), Vec<Refusal>> {
    if refusals.is_empty() { Ok(()) } else { Err(refusals) }
}

fn check_stage(from: Stage, to: Stage) -> Result<(), Vec<Refusal>> {
    if from.may_become(to) {
        return Ok(());
    }
    let moves: Vec<&str> = from.moves().iter().map(|stage| stage.words()).collect();
    let message = format!("{from} cannot become {to}; it can become {}", moves.join(" or "));
    Err(vec![Refusal::of("stage", message)])
}

fn check_starts(starts: &[Wall]) -> Result<(), Vec<Refusal>> {
    let message = if starts.is_empty() {
        "give a start, for example 2026-11-28T18:30".to_owned()
    } else if starts.len() > SITTINGS_MAX {
        format!("{} sittings is too many; give at most {SITTINGS_MAX}", starts.len())
    } else if !starts.is_sorted_by(|earlier, later| earlier < later) {
        "each sitting starts after the one before; give the starts in order of time".to_owned()
    } else {
        return Ok(());
    };
    Err(vec![Refusal::of("starts", message)])
}

/// The order that a step belongs to, by its name: `o3.i1.flood`.
pub(super) fn order_of(step: &StepId) -> Option<OrderId> {
    let first = step.0.split('.').next()?;
    first.strip_prefix('o')?.parse().ok().map(OrderId)
}

/// The item that a step belongs to, by its name.
fn item_of(step: &StepId) -> Option<u32> {
    step.0.split('.').nth(1)?.strip_prefix('i')?.parse().ok()
}
