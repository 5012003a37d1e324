//! What there is to do: the breakdown's result.

use serde::{Deserialize, Serialize};

use crate::card::StepKind;
use crate::kitchen::boxes::TakesUp;
use crate::kitchen::{FootBox, Place};
use crate::order::{ItemId, OrderId};

/// Names a step within the whole book: `o3.i1.flood`, or `o3.i1.buttercream.whip` in a component.
/// The same order, item and card version always give the same names. It is the activity's id too.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct StepId(pub String);

/// All steps and rests of the planned orders.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Work {
    /// In order of orders, items, and the card's steps.
    pub steps: Vec<Step>,
    /// The waits between them. `to` may name a handover point.
    pub rests: Vec<Rest>,
    /// Keeping limits that run across several steps.
    pub limits: Vec<AgeLimit>,
    /// One for each planned order.
    pub handovers: Vec<HandoverPoint>,
    /// What the products take up, and why: each thing of each batch, a component's too.
    pub stands: Vec<Stands>,
    /// What each step uses up, of the catalogue's ingredients and packaging ([`crate::supply`]).
    pub supplies: Vec<Used>,
    /// Waits whose length follows from size, each batch's, a component's too.
    pub waits: Vec<Wait>,
    /// What the reader should know: how amounts came about, what cannot be made as asked.
    pub notes: Vec<Note>,
}

/// A kind of thing of one batch: what it takes up wherever it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stands {
    /// Whose.
    pub order: OrderId,
    /// For which item.
    pub item: ItemId,
    /// The card that it is on (the component's card for a component).
    pub card: String,
    /// The product in words, for example "Decorated cookies".
    pub product: String,
    /// Its id on the card.
    pub thing: String,
    /// Size, number and reason. A component's batch is divided among the steps that use it, and what
    /// then waits for each step is reckoned by itself.
    pub takes: TakesUp,
}

/// What one step of one batch uses up of one good.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Used {
    /// Whose.
    pub order: OrderId,
    /// For which item.
    pub item: ItemId,
    /// The step; a component's own step for what goes into the component.
    pub step: StepId,
    /// The good's id in the catalogue.
    pub of: String,
    /// Thousandths of a gram (ingredients) or of a piece (packaging), waste left out.
    pub milli: u64,
    /// What is bought on top, per cent.
    pub waste: u8,
}

impl Work {
    /// Whether a rest is the last one of what it holds: until a handover.
    pub fn is_last(&self, rest: &Rest) -> bool {
        self.handovers.iter().any(|point| point.id == rest.to)
    }

    /// The rests of an order that last until its handover.
    pub fn last_of(&self, order: OrderId) -> impl Iterator<Item = &Rest> {
        let to = self.handovers.iter().find(|point| point.order == order).map(|point| &point.id);
        self.rests.iter().filter(move |rest| Some(&rest.to) == to)
    }
}

/// One step of one item, with its real minutes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// Its name in the book.
    pub id: StepId,
    /// Whose.
    pub order: OrderId,
    /// For which item.
    pub item: ItemId,
    /// The card it comes from (the component's card for a component's step).
    pub card: String,
    /// The product in words, for example "Decorated cookies".
    pub product: String,
    /// What to do, for example "Flood the base coat".
    pub name: String,
    /// What kind of work.
    pub kind: StepKind,
    /// Minutes of each sitting (one entry unless the step is cut), set-up and clear-up included.
    pub sittings: Vec<u32>,
    /// Longest pause between sittings, minutes.
    pub pause_max: Option<u32>,
    /// What stands where between sittings.
    pub pause_at: Option<RestStay>,
    /// What it needs while it runs.
    pub needs: Vec<StepNeed>,
    /// How it came about, for example "24 cookies + 4 spares on 3 trays".
    pub detail: String,
    /// For the bench.
    pub notes: Vec<String>,
}

/// A wait whose length follows from the size of what waits, or was timed by the baker.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wait {
    /// For which order.
    pub order: OrderId,
    /// For which item.
    pub item: ItemId,
    /// Id of the card.
    pub card: String,
    /// Its name.
    pub product: String,
    /// Which wait of the card: the rest and the way, for example `cool: cool in and out of the tins`.
    pub wait: String,
    /// What waits, in words.
    pub what: String,
    /// The way, in words.
    pub way: String,
    /// The size, in words: what she times counts for it.
    pub size: String,
    /// Reckoned minutes.
    pub reckoned: u32,
    /// No air or water, however cold and fast, does it in fewer minutes.
    pub fewest: u32,
    /// The minutes that count.
    pub minutes: u32,
    /// Whether she timed it: this very size, or another from which it is scaled.
    pub timed: Option<bool>,
    /// How it was reckoned, in a sentence without its full stop.
    pub why: String,
}

impl Wait {
    /// Refuses what nothing on earth could do, in words.
    ///
    /// # Errors
    ///
    /// When the minutes are fewer than [`Self::fewest`].
    pub fn accept(&self, minutes: u32) -> Result<u32, String> {
        if minutes < self.fewest {
            return Err(format!(
                "Its middle cannot be there in {minutes} min: even in iced water it would take {}. Time it \
                 with a thermometer in the middle, and write for example {}",
                self.fewest,
                self.reckoned.max(1)
            ));
        }
        Ok(minutes)
    }
}

/// What a step needs while it runs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StepNeed {
    /// One mixer.
    Mixer,
    /// This many oven trays at once.
    Oven(u32),
    /// Somebody beside it all the time, for example to change the trays between two loads.
    AtHand,
    /// Something stands somewhere.
    Stand(RestStay),
}

/// Boxes in a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RestStay {
    /// Where.
    pub place: Place,
    /// What.
    pub boxes: Vec<FootBox>,
}

/// A wait between two steps, or between the last step and the handover.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rest {
    /// `o3.i1.dry` and so on; `o3.i1.keep` for the last one. It is the link's id too.
    pub id: String,
    /// Step before.
    pub from: StepId,
    /// Step after, or the handover point's id (`o3.handover`).
    pub to: StepId,
    /// What rests, in words.
    pub what: String,
    /// The ways to do it, the usual one first; never empty.
    pub choices: Vec<RestChoice>,
}

/// One way to rest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RestChoice {
    /// In words, unique within the rest.
    pub name: String,
    /// Minutes.
    pub least: u32,
    /// Minutes; none: longer than any horizon.
    pub greatest: Option<u32>,
    /// Minutes by which the order lets it be past `greatest`; never of a safety limit.
    pub over: u32,
    /// Whether `greatest` is a safety limit.
    pub safety: bool,
    /// Where the limit comes from.
    pub source: String,
    /// Where it stands until the tail. None: takes no place.
    pub stay: Option<RestStay>,
    /// Last minutes and where.
    pub tail: Option<(u32, Option<RestStay>)>,
    /// How unwelcome.
    pub cost: u32,
}

/// A keeping limit from the end of one step to the end of another, or to the handover, whatever the
/// product does between. It takes no place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AgeLimit {
    /// `o3.i1.baked.limit`. It is the link's id too.
    pub id: String,
    /// From the end of this step.
    pub from: StepId,
    /// From its start instead.
    pub from_start: bool,
    /// To the end of this step, or the handover point.
    pub to: StepId,
    /// What ages, in words.
    pub what: String,
    /// Minutes.
    pub greatest: u32,
    /// Minutes by which the order lets it be past `greatest`; never of a safety limit.
    pub over: u32,
    /// Whether it is a safety limit.
    pub safety: bool,
    /// Where it comes from.
    pub source: String,
}

/// The moment when all of an order must be boxed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HandoverPoint {
    /// `o3.handover`.
    pub id: StepId,
    /// Whose.
    pub order: OrderId,
    /// When it leaves the kitchen: the agreed time, less travel for a delivery.
    pub leaves: crate::calendar::Wall,
}

/// A sentence about an item.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// Whose.
    pub order: OrderId,
    /// Which item; none: the whole order.
    pub item: Option<ItemId>,
    /// The sentence.
    pub text: String,
    /// True when something cannot be made as asked.
    pub problem: bool,
}
