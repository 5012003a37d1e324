//! Orders × cards → steps and rests.

use std::collections::BTreeMap;

use crate::card::{
    Card, CardStep, Component, FIRST_TIME, Footprint, Heat, Need, RestMode, Stay, StepKind,
    find_card,
};
use crate::heat::Air;
use crate::kitchen::{FootBox, Kitchen, Place};
use crate::margin::Margins;
use crate::order::{HandoverWay, ItemId, Order};

use super::counts::{Counts, Wanted, tray};
use super::cut::{HandTime, Longest, sittings};
use super::join::{Joined, join};
use super::wait::{dew, reckon};
use super::{
    AgeLimit, HandoverPoint, Note, Rest, RestChoice, RestStay, Stands, Step, StepId, StepNeed,
    Used, Wait, Work,
};

/// Components of components of … : deeper than this a card file is taken for a mistake.
const DEEPEST: usize = 4;

/// Breaks the given orders down. `cards` holds every card that they name, and their components; of several
/// versions of a card the item's own is taken, or the first.
/// `longest` is the longest sitting, in minutes, that the baker's windows and day limits allow;
/// longer steps are cut where their card allows it. An unknown card becomes a problem note.
pub fn break_down(orders: &[&Order], cards: &[&Card], kitchen: &Kitchen, longest: u32) -> Work {
    let longest = Longest { hands_on: longest, fine: longest };
    break_down_within(orders, cards, kitchen, longest, &Margins::default())
}

/// Like [`break_down`], with a limit of its own for fine handwork, and with her own margins.
pub fn break_down_within(
    orders: &[&Order],
    cards: &[&Card],
    kitchen: &Kitchen,
    longest: Longest,
    margins: &Margins,
) -> Work {
    let mut work = Work::default();
    for order in orders {
        let handover = StepId(format!("o{}.handover", order.id.0));
        let leaves = match order.handover.way {
            HandoverWay::Collection => order.handover.at,
            HandoverWay::Delivery { travel, .. } => {
                order.handover.at.plus_minutes(-i64::from(travel))
            }
        };
        work.handovers.push(HandoverPoint { id: handover.clone(), order: order.id, leaves });
        for item in &order.items {
            let (versions, id) = (&item.versions, item.id);
            let mut making = Making {
                order,
                item: id,
                cards,
                versions,
                kitchen,
                longest,
                margins,
                work: &mut work,
            };
            let Some(card) = find_card(cards, &item.card, versions) else {
                making.trouble(format!(
                    "There is no method card “{}”; choose another product or bring the card back",
                    item.card
                ));
                continue;
            };
            let wanted = Wanted {
                ordered: i64::from(item.count),
                spares: i64::from(item.spares),
                options: &item.options,
            };
            let prefix = format!("o{}.i{}", order.id.0, item.id.0);
            making.item(card, wanted, &prefix, &handover);
        }
    }
    work
}

/// One item being broken down.
struct Making<'a> {
    order: &'a Order,
    item: ItemId,
    cards: &'a [&'a Card],
    versions: &'a BTreeMap<String, u32>,
    kitchen: &'a Kitchen,
    longest: Longest,
    margins: &'a Margins,
    work: &'a mut Work,
}

/// A card with its counts, and its place in the book.
struct Batch<'a> {
    card: &'a Card,
    counts: Counts,
    prefix: &'a str,
}

impl Batch<'_> {
    fn step(&self, id: &str) -> StepId {
        StepId(format!("{}.{id}", self.prefix))
    }
}

impl Making<'_> {
    fn trouble(&mut self, text: String) {
        self.note(text, true);
    }

    fn note(&mut self, text: String, problem: bool) {
        let note = Note { order: self.order.id, item: Some(self.item), text, problem };
        if !self.work.notes.contains(&note) {
            self.work.notes.push(note);
        }
    }

    fn item(&mut self, card: &Card, wanted: Wanted<'_>, prefix: &str, handover: &StepId) {
        if wanted.ordered.saturating_add(wanted.spares) == 0 {
            self.trouble(format!(
                "{}: nothing is ordered; give a count, for example 24",
                card.name
            ));
            return;
        }
        let Some((batch, last)) = self.batch(card, wanted, prefix, DEEPEST) else { return };
        self.note(format!("{}: {}", card.name, amount(card, &batch.counts)), false);
        let keep = Joined::keep(card);
        self.rest(&batch, &batch.counts, &keep, format!("{prefix}.keep"), last, handover.clone());
        self.limits(&batch, handover, "");
    }

    /// Steps and rests of one card, its components first. Returns the last step's id.
    fn batch<'c>(
        &mut self,
        card: &'c Card,
        wanted: Wanted<'_>,
        prefix: &'c str,
        depth: usize,
    ) -> Option<(Batch<'c>, StepId)> {
        let (counts, troubles) = Counts::of(card, wanted, self.kitchen);
        for trouble in troubles {
            self.trouble(trouble);
        }
        let batch = Batch { card, counts, prefix };
        let last = batch.step(&card.steps.last()?.id);
        for thing in &card.things {
            let takes = batch.counts.thing(&thing.id).filter(|takes| takes.item.count > 0);
            self.work.stands.extend(takes.map(|takes| Stands {
                order: self.order.id,
                item: self.item,
                card: card.id.clone(),
                product: card.name.clone(),
                thing: thing.id.clone(),
                takes: takes.clone(),
            }));
        }
        for component in &card.components {
            if batch.counts.holds(component.when.as_ref()) {
                self.component(&batch, component, depth);
            }
        }
        for step in &card.steps {
            if batch.counts.holds(step.when.as_ref()) {
                self.step(&batch, step);
            }
        }
        self.supplies(&batch);
        for joined in join(card, &batch.counts, &self.kitchen.warmth.climate) {
            let id = format!("{prefix}.{}", joined.id);
            let (from, to) = (batch.step(joined.from), batch.step(joined.to));
            self.rest(&batch, &batch.counts, &joined, id, from, to);
        }
        Some((batch, last))
    }

    /// What the steps that happen use up.
    fn supplies(&mut self, batch: &Batch<'_>) {
        let Batch { card, counts, .. } = batch;
        for supply in card.ingredients.iter().chain(&card.packaging) {
            let step = card.steps.iter().find(|step| step.id == supply.step);
            let happens = step.is_some_and(|step| counts.holds(step.when.as_ref()));
            let over = u64::try_from(supply.over).unwrap_or(1).max(1);
            let milli = counts.sum(&supply.amount).saturating_mul(1000).div_ceil(over);
            if happens && 0 < milli && counts.holds(supply.when.as_ref()) {
                self.work.supplies.push(Used {
                    order: self.order.id,
                    item: self.item,
                    step: batch.step(&supply.step),
                    of: supply.of.clone(),
                    milli,
                    waste: supply.waste,
                });
            }
        }
    }

    fn component(&mut self, user: &Batch<'_>, component: &Component, depth: usize) {
        let Some(card) = find_card(self.cards, &component.card, self.versions) else {
            self.trouble(format!(
                "There is no method card “{}”, which “{}” is made with; bring the card back",
                component.card, user.card.name
            ));
            return;
        };
        if depth == 0 {
            self.trouble(format!("“{}” is made with itself; change its components", card.name));
            return;
        }
        // A use in a step that is left out falls away with it.
        let uses: Vec<(&str, i64)> = component
            .uses
            .iter()
            .filter(|part| {
                user.card
                    .steps
                    .iter()
                    .any(|step| step.id == part.step && user.counts.holds(step.when.as_ref()))
            })
            .map(|part| {
                let amount = i64::try_from(user.counts.sum(&part.amount)).unwrap_or(i64::MAX);
                (part.step.as_str(), amount)
            })
            .filter(|(_, amount)| 0 < *amount)
            .collect();
        let total = uses.iter().map(|(_, amount)| *amount).fold(0, i64::saturating_add);
        if total == 0 {
            return;
        }
        let mut options = component.set.clone();
        for (theirs, ours) in &component.pass {
            options.insert(theirs.clone(), user.counts.get(ours));
        }
        let wanted = Wanted { ordered: total, spares: 0, options: &options };
        let prefix = format!("{}.{}", user.prefix, component.name());
        let Some((batch, last)) = self.batch(card, wanted, &prefix, depth - 1) else { return };
        for (step, share) in uses {
            let counts = batch.counts.for_share(card, share, self.kitchen);
            let keep = Joined::keep(card);
            let to = user.step(step);
            let id = format!("{prefix}.keep.{step}");
            self.rest(&batch, &counts, &keep, id, last.clone(), to.clone());
            self.limits(&batch, &to, &format!(".{step}"));
        }
    }

    fn step(&mut self, batch: &Batch<'_>, step: &CardStep) {
        let Batch { card, counts, .. } = batch;
        let by_hand = matches!(step.kind, StepKind::Plain | StepKind::Fine);
        let margin = by_hand && step.margin;
        let first_time = margin && 0 < counts.get(FIRST_TIME);
        let factor =
            if margin { self.margins.factor(&card.id, &step.id, first_time) } else { 1000 };
        let timed = if margin { self.margins.times(&card.id, &step.id) } else { 0 };
        let scaled = |seconds: u64| seconds.saturating_mul(u64::from(factor)).div_ceil(1000);
        let mut detail = words(step.detail.as_deref().unwrap_or("{amount}"), card, counts);
        let mut needs = Vec::new();
        let mut loads = 1;
        for need in &step.needs {
            match need {
                Need::Mixer => needs.push(StepNeed::Mixer),
                Need::Oven { trays } => {
                    let oven = &self.kitchen.oven;
                    let holds = u32::from(oven.decks) * u32::from(oven.trays_per_deck);
                    let trays = counts.number(trays);
                    if holds == 0 {
                        self.trouble(format!(
                            "{}: the kitchen has no oven; give it at least one level",
                            card.name
                        ));
                    }
                    loads = trays.div_ceil(holds.max(1)).max(1);
                    // Loads are equal where they can be: 5 trays in 3 loads need room for 2.
                    needs.push(StepNeed::Oven(trays.div_ceil(loads)));
                    if 1 < loads {
                        needs.push(StepNeed::AtHand);
                        detail = format!("{detail}, {loads} loads");
                    }
                }
                Need::Place { place, footprint } => {
                    let boxes = self.boxes(footprint, counts);
                    needs.push(StepNeed::Stand(RestStay { place: *place, boxes }));
                }
            }
        }
        let time = HandTime {
            setup: scaled(seconds(step.setup)),
            work: scaled(counts.sum(&step.work)).saturating_mul(u64::from(loads)),
            cleanup: scaled(seconds(step.cleanup)),
        };
        let longest = match step.kind {
            StepKind::Plain => self.longest.hands_on,
            StepKind::Fine => self.longest.fine.min(self.longest.hands_on),
            StepKind::Oven | StepKind::Wait => u32::MAX,
        };
        let most = step.cut_max.as_ref().filter(|most| counts.holds(most.when.as_ref()));
        let longest = most.map_or(longest, |most| longest.min(u32::from(most.minutes)));
        let (sittings, fits) = sittings(time, step.cut_min, longest);
        if !fits {
            let minutes = sittings.first().copied().unwrap_or(0);
            self.trouble(format!(
                "{}: “{}” needs {minutes} minutes at a stretch and your evenings allow {longest}; \
                 make room for it or order fewer {}",
                card.name, step.name, card.pieces
            ));
        }
        if 0 < timed {
            let (times, tens) = (if timed == 1 { "time" } else { "times" }, (factor + 5) / 10);
            let (whole, rest) = (tens / 100, tens % 100);
            detail = format!(
                "{detail}; your pace from {timed} {times}: {whole}.{rest:02} of the usual time"
            );
        } else if first_time {
            detail = format!("{detail}; never made before: double time");
        }
        let cut = 1 < sittings.len();
        let pause_at = step.pause_at.as_ref().filter(|_| cut).map(|stay| self.stay(stay, counts));
        self.work.steps.push(Step {
            id: batch.step(&step.id),
            order: self.order.id,
            item: self.item,
            card: card.id.clone(),
            product: card.name.clone(),
            name: step.name.clone(),
            kind: step.kind,
            sittings,
            pause_max: step.pause_max.filter(|_| cut),
            pause_at,
            needs,
            detail,
            notes: step.notes.clone(),
        });
    }

    fn rest(
        &mut self,
        batch: &Batch<'_>,
        counts: &Counts,
        joined: &Joined<'_>,
        id: String,
        from: StepId,
        to: StepId,
    ) {
        let mut choices: Vec<RestChoice> = Vec::new();
        for mode in joined.modes.iter().filter(|mode| batch.counts.holds(mode.when.as_ref())) {
            choices.push(self.choice(batch, joined, mode, counts));
        }
        self.caution(&choices, &from, &to);
        self.work.rests.push(Rest { id, from, to, what: joined.what.to_owned(), choices });
    }

    /// Tells the hands what cold things do in the room: fine work on them, or the packing before they leave.
    fn caution(&mut self, choices: &[RestChoice], from: &StepId, to: &StepId) {
        let usual = choices.first().filter(|choice| choice.tail.is_none());
        let air = match usual.and_then(|choice| choice.stay.as_ref()).map(|stay| stay.place) {
            Some(Place::Fridge) => Air::Fridge,
            Some(Place::Freezer) => Air::Freezer,
            _ => return,
        };
        let leaves = self.work.handovers.iter().any(|point| point.id == *to);
        let told = if leaves { from } else { to };
        let step = self.work.steps.iter_mut().find(|step| step.id == *told);
        let step = step.filter(|step| leaves || step.kind == StepKind::Fine);
        let Some((step, note)) = step.zip(dew(&self.kitchen.warmth.climate, air, leaves)) else {
            return;
        };
        if !step.notes.contains(&note) {
            step.notes.push(note);
        }
    }

    fn choice(
        &mut self,
        batch: &Batch<'_>,
        joined: &Joined<'_>,
        mode: &RestMode,
        counts: &Counts,
    ) -> RestChoice {
        let mut least = u32::try_from(counts.sum(&mode.least)).unwrap_or(u32::MAX);
        if let Some(heat) = &mode.heat {
            least = least.saturating_add(self.wait(batch, joined, &mode.name, heat, counts));
        }
        let tail = mode.tail.as_ref().map(|tail| {
            let minutes = tail.heat.as_ref().map_or(tail.minutes, |heat| {
                let way = format!("{}, then warming up", mode.name);
                self.wait(batch, joined, &way, heat, counts)
            });
            least = least.saturating_sub(tail.minutes).saturating_add(minutes);
            (minutes, tail.stay.as_ref().map(|stay| self.stay(stay, counts)))
        });
        if let Some(greatest) = mode.greatest.filter(|greatest| *greatest < least) {
            self.trouble(format!(
                "{}: {} cannot be ready in time: {} takes {least} minutes and may last {greatest}; make it \
                 smaller or flatter, or choose another way",
                batch.card.name, joined.what, mode.name
            ));
            least = greatest;
        }
        RestChoice {
            name: mode.name.clone(),
            least,
            greatest: mode.greatest,
            over: self.over(mode.safety),
            safety: mode.safety,
            source: mode.source.clone(),
            stay: mode.stay.as_ref().map(|stay| self.stay(stay, counts)),
            tail,
            cost: mode.cost,
        }
    }

    /// Minutes that heat takes, noted with their reasons.
    fn wait(
        &mut self,
        batch: &Batch<'_>,
        joined: &Joined<'_>,
        way: &str,
        heat: &Heat,
        counts: &Counts,
    ) -> u32 {
        let rest = if joined.id.is_empty() { "keep" } else { joined.id.as_str() };
        let wait = format!("{rest}: {way}");
        let reckoned = reckon(heat, counts, &self.kitchen.warmth.climate);
        let timed =
            self.kitchen.warmth.timed(&batch.card.id, &wait, &reckoned.size, reckoned.minutes);
        let minutes = timed.map_or(reckoned.minutes, |(minutes, _)| minutes);
        let found = Wait {
            order: self.order.id,
            item: self.item,
            card: batch.card.id.clone(),
            product: batch.card.name.clone(),
            wait,
            what: joined.what.to_owned(),
            way: way.to_owned(),
            size: reckoned.size,
            reckoned: reckoned.minutes,
            fewest: reckoned.fewest,
            minutes,
            timed: timed.map(|(_, same)| same),
            why: reckoned.why,
        };
        if !self.work.waits.contains(&found) {
            self.work.waits.push(found);
        }
        minutes
    }

    fn limits(&mut self, batch: &Batch<'_>, end: &StepId, suffix: &str) {
        for limit in &batch.card.limits {
            let happens = |id: &str| {
                batch
                    .card
                    .steps
                    .iter()
                    .any(|step| step.id == id && batch.counts.holds(step.when.as_ref()))
            };
            let to_happens = limit.to.as_deref().is_none_or(happens);
            if !batch.counts.holds(limit.when.as_ref()) || !happens(&limit.from) || !to_happens {
                continue;
            }
            let inside = limit.to.as_deref().map(|to| batch.step(to));
            let suffix = if inside.is_some() { "" } else { suffix };
            let limit = AgeLimit {
                id: format!("{}.{}.limit{suffix}", batch.prefix, limit.id),
                from: batch.step(&limit.from),
                from_start: limit.from_start,
                to: inside.unwrap_or_else(|| end.clone()),
                what: limit.what.clone(),
                greatest: limit.greatest,
                over: self.over(limit.safety),
                safety: limit.safety,
                source: limit.source.clone(),
            };
            if !self.work.limits.contains(&limit) {
                self.work.limits.push(limit);
            }
        }
    }

    /// Minutes by which the order lets a limit be passed.
    fn over(&self, safety: bool) -> u32 {
        if safety { 0 } else { u32::from(self.order.past_best) * 60 }
    }

    fn stay(&self, stay: &Stay, counts: &Counts) -> RestStay {
        RestStay { place: stay.place, boxes: self.boxes(&stay.footprint, counts) }
    }

    fn boxes(&self, footprint: &Footprint, counts: &Counts) -> Vec<FootBox> {
        let count = |name: &str| u16::try_from(counts.number(name)).unwrap_or(u16::MAX);
        let found = match footprint {
            Footprint::Thing { thing, pile } => {
                let Some(takes) = counts.thing(thing) else { return Vec::new() };
                FootBox { pile: pile.unwrap_or(takes.item.pile), ..takes.item.clone() }
            }
            Footprint::Trays { count: name, height } => {
                let (width, depth) = tray(self.kitchen);
                FootBox {
                    kind: "tray".to_owned(),
                    width,
                    depth,
                    height: *height,
                    count: count(name),
                    pile: 1,
                }
            }
            Footprint::Boxes { what, count: name, width, depth, height, pile } => FootBox {
                kind: what.clone(),
                width: counts.length(width),
                depth: counts.length(depth),
                height: counts.length(height),
                count: count(name),
                pile: *pile,
            },
        };
        if found.count == 0 { Vec::new() } else { vec![found] }
    }
}

fn seconds(value: i64) -> u64 {
    u64::try_from(value).unwrap_or(0)
}

/// "24 cookies + 4 spares", "1 cake", "640 grams".
fn amount(card: &Card, counts: &Counts) -> String {
    let ordered = counts.get("ordered");
    let noun = if ordered == 1 { &card.piece } else { &card.pieces };
    match counts.get("spares") {
        0 => format!("{ordered} {noun}"),
        1 => format!("{ordered} {noun} + 1 spare"),
        spares => format!("{ordered} {noun} + {spares} spares"),
    }
}

/// Puts the counts into a card's sentence.
fn words(text: &str, card: &Card, counts: &Counts) -> String {
    let mut out = String::new();
    for (index, part) in text.split('{').enumerate() {
        let Some((inside, after)) = part.split_once('}').filter(|_| 0 < index) else {
            out.push_str(part);
            continue;
        };
        if inside == "amount" {
            out.push_str(&amount(card, counts));
        } else {
            let mut parts = inside.split('|');
            let value = counts.get(parts.next().unwrap_or_default());
            out.push_str(&value.to_string());
            if let (Some(one), Some(many)) = (parts.next(), parts.next()) {
                out.push(' ');
                out.push_str(if value == 1 { one } else { many });
            }
        }
        out.push_str(after);
    }
    out
}
