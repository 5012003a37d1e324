//! The schema of a method card.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{CardSupply, Heat, Thing};
use crate::kitchen::Place;

/// The option that every card may have and that doubles all hands-on time: work never done before
/// takes about twice its estimate (rule of thumb, no published source).
pub const FIRST_TIME: &str = "first-time";

/// Counts that every card has without naming them: what is made, what the client gets, what is extra.
pub const GIVEN_COUNTS: [&str; 3] = ["pieces", "ordered", "spares"];

/// How one product, or one component of products, is made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Card {
    /// Stable id, for example `decorated-cookies`.
    pub id: String,
    /// Counts up with each change of meaning.
    pub version: u32,
    /// The built-in card that it began as a copy of: that one's safety limits hold for it too.
    #[serde(default)]
    pub copied_from: Option<String>,
    /// What it is called.
    pub name: String,
    /// One piece, for example "cookie".
    pub piece: String,
    /// Several pieces, for example "cookies".
    pub pieces: String,
    /// True for a component that is only made for other cards, for example buttercream.
    #[serde(default)]
    pub component: bool,
    /// One sentence for the chooser.
    pub about: String,
    /// Extra pieces that a batch has by default, per cent of the pieces, rounded up (common practice, no
    /// published source).
    #[serde(default)]
    pub spares: u8,
    /// What can be chosen for an item.
    #[serde(default)]
    pub options: Vec<CardOption>,
    /// Counts that follow from pieces and options, in order; each may use the ones before.
    #[serde(default)]
    pub counts: Vec<DerivedCount>,
    /// What stands somewhere while it rests; sizes and numbers follow from geometry and containers.
    #[serde(default)]
    pub things: Vec<Thing>,
    /// Other cards whose product goes into a step of this one.
    #[serde(default)]
    pub components: Vec<Component>,
    /// The work, and the passive stretches (bake, cool) that have a fixed length.
    pub steps: Vec<CardStep>,
    /// The waits between steps.
    pub rests: Vec<CardRest>,
    /// What the finished product (or component) does until its handover (or use).
    pub keeps: Vec<RestMode>,
    /// Limits that span several steps, for example "baked to handed over".
    #[serde(default)]
    pub limits: Vec<CardLimit>,
    /// What is used up, of the catalogue's ingredients. A component's are on its own card.
    #[serde(default)]
    pub ingredients: Vec<CardSupply>,
    /// Boxes, bags, sticks and boards, of the catalogue's packaging.
    #[serde(default)]
    pub packaging: Vec<CardSupply>,
    /// Cautions shown wherever keeping shows.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// What the client is told: how to keep it, when to take it out, how to cut it; sentences without their full stop.
    #[serde(default)]
    pub client: Vec<String>,
}

/// Something that can be chosen for an item.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CardOption {
    /// Stable id, for example `colours`.
    pub id: String,
    /// What the form says.
    pub label: String,
    /// One sentence of help, may be empty.
    #[serde(default)]
    pub help: String,
    /// What kind of value.
    pub kind: OptionKind,
    /// Value when nothing is chosen.
    pub default: i64,
    /// A rule of the trade that planning follows unless it is switched off; forms show it apart from
    /// what a client chooses.
    #[serde(default)]
    pub rule: bool,
}

/// Kinds of option values.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "is", deny_unknown_fields)]
pub enum OptionKind {
    /// A whole number.
    Count {
        /// Least.
        min: i64,
        /// Greatest.
        max: i64,
    },
    /// A length in mm.
    Length {
        /// Least, mm.
        min: i64,
        /// Greatest, mm.
        max: i64,
    },
    /// Yes (1) or no (0).
    Switch,
}

/// A count that follows from others.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DerivedCount {
    /// Its name, usable wherever a count is.
    pub id: String,
    /// How it is found.
    #[serde(flatten)]
    pub rule: CountRule,
}

/// How a derived count is found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "rule", deny_unknown_fields)]
pub enum CountRule {
    /// `max(at_least, ceil(product of `of` × times / per))`.
    Divide {
        /// Names of counts or options to multiply.
        of: Vec<String>,
        /// Factor, at least 1.
        #[serde(default = "one")]
        times: i64,
        /// Divisor, at least 1.
        per: i64,
        /// Floor of the result.
        #[serde(default)]
        at_least: i64,
    },
    /// One count shared among others: `ceil(of / product of `among`)`; the count itself when those
    /// are 0.
    Share {
        /// Count or option to share.
        of: String,
        /// Counts or options whose product it is shared among.
        among: Vec<String>,
    },
    /// The least of several.
    Least {
        /// Names of counts or options.
        of: Vec<String>,
    },
    /// One count less others, never below 0.
    Minus {
        /// Count or option to begin with.
        from: String,
        /// Counts or options taken from it.
        take: Vec<String>,
        /// A number taken as well.
        #[serde(default)]
        less: i64,
    },
    /// Trays for round pieces of a size with a gap, by the tray of the kitchen's first rack.
    Trays {
        /// Count of pieces, for example `pieces`.
        of: String,
        /// Option or count with the size across, mm.
        size: String,
        /// Gap between pieces, mm.
        gap: i64,
        /// Bare edge of the tray, mm.
        #[serde(default)]
        edge: i64,
    },
}

fn one() -> i64 {
    1
}

/// A condition on an option: true when its value is at least `at_least` (1 for a switch that is on).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct When {
    /// The option's (or count's) id.
    pub option: String,
    /// Least value for which it holds; 1 when missing.
    #[serde(default = "one")]
    pub at_least: i64,
    /// Turns the condition round.
    #[serde(default)]
    pub not: bool,
}

/// One term of a duration or an amount: `each` × the product of the counts named in `per`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Term {
    /// Seconds for hand times, minutes for rests.
    pub each: i64,
    /// Counts or options that multiply it; empty: a constant.
    #[serde(default)]
    pub per: Vec<String>,
    /// Only then.
    #[serde(default)]
    pub when: Option<When>,
}

/// Kinds of step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StepKind {
    /// Hands-on work.
    Plain,
    /// Fine handwork: piping, lettering, painting. Limited by the day.
    Fine,
    /// In the oven: somebody is home for all of it and at hand at its end.
    Oven,
    /// Nobody needed: cooling, setting for a fixed time.
    Wait,
}

/// What a step needs while it runs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "use", deny_unknown_fields)]
pub enum Need {
    /// One mixer.
    Mixer,
    /// Oven trays: as many as the named count, at most the oven's capacity.
    Oven {
        /// Count of trays.
        trays: String,
    },
    /// A place and what stands there meanwhile.
    Place {
        /// Which place.
        place: Place,
        /// What stands there.
        footprint: Footprint,
    },
}

/// A step of the card.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CardStep {
    /// Stable id within the card, for example `flood`.
    pub id: String,
    /// What to do, in the imperative, for example "Flood the base coat".
    pub name: String,
    /// How it came about, with counts in braces: `{amount}` is "24 cookies + 4 spares", `{trays}` a
    /// number, `{trays|tray|trays}` a number with its noun. Missing: `{amount}`.
    #[serde(default)]
    pub detail: Option<String>,
    /// What kind of step.
    pub kind: StepKind,
    /// Only then; a step that is left out joins its neighbours' rests (longest least time wins).
    #[serde(default)]
    pub when: Option<When>,
    /// Seconds to lay out before each sitting.
    #[serde(default)]
    pub setup: i64,
    /// Seconds of the work itself, as terms; for `Oven` and `Wait` the whole duration.
    pub work: Vec<Term>,
    /// Seconds to clear up after each sitting.
    #[serde(default)]
    pub cleanup: i64,
    /// Shortest sitting in minutes when it may be cut; missing: never cut.
    #[serde(default)]
    pub cut_min: Option<u16>,
    /// Longest sitting whatever the evenings allow, so that fine handwork is spread over days.
    #[serde(default)]
    pub cut_max: Option<CutMax>,
    /// Longest pause between sittings of this step, minutes.
    #[serde(default)]
    pub pause_max: Option<u32>,
    /// Where the product waits between sittings of this step.
    #[serde(default)]
    pub pause_at: Option<Stay>,
    /// What it needs.
    #[serde(default)]
    pub needs: Vec<Need>,
    /// Whether the margin for new work applies (hands-on steps: yes by default).
    #[serde(default = "yes")]
    pub margin: bool,
    /// Notes for the bench, one sentence each.
    #[serde(default)]
    pub notes: Vec<String>,
}

fn yes() -> bool {
    true
}

/// The longest sitting of a step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CutMax {
    /// Minutes, set-up and clear-up included.
    pub minutes: u16,
    /// Only then.
    #[serde(default)]
    pub when: Option<When>,
}

/// What stands somewhere.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "as", deny_unknown_fields)]
pub enum Footprint {
    /// One of the card's `things`, as many as there are of it.
    Thing {
        /// Its id.
        thing: String,
        /// How many may stand on each other here; as its container allows when missing.
        #[serde(default)]
        pile: Option<u8>,
    },
    /// Trays of the kitchen's first rack: as many as the named count, `height` mm each.
    Trays {
        /// Count of trays.
        count: String,
        /// Height of a loaded tray, mm.
        height: u16,
    },
    /// Boxes of a size: as many as the named count.
    Boxes {
        /// What it is.
        what: String,
        /// Count of boxes.
        count: String,
        /// mm: a constant plus, if given, an option's or count's value.
        width: Size,
        /// mm.
        depth: Size,
        /// mm.
        height: Size,
        /// How many may stand on each other.
        pile: u8,
    },
}

/// A length: `mm` plus the value of `plus`, times `times`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Size {
    /// Constant part, mm.
    pub mm: i64,
    /// Option or count added to it.
    #[serde(default)]
    pub plus: Option<String>,
    /// Factor on the added value, in per cent; 100 when missing.
    #[serde(default = "hundred")]
    pub percent: i64,
}

fn hundred() -> i64 {
    100
}

/// Standing somewhere.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stay {
    /// Where.
    pub place: Place,
    /// What stands there.
    pub footprint: Footprint,
}

/// The wait between two steps.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CardRest {
    /// Stable id within the card.
    pub id: String,
    /// Step that it follows.
    pub from: String,
    /// Step that it comes before.
    pub to: String,
    /// What rests, for example "base-coated cookies".
    pub what: String,
    /// Only then.
    #[serde(default)]
    pub when: Option<When>,
    /// At least one.
    pub modes: Vec<RestMode>,
}

/// One way to rest.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RestMode {
    /// In words, for example "dry on the rack".
    pub name: String,
    /// Only then.
    #[serde(default)]
    pub when: Option<When>,
    /// Least minutes, as terms (all that apply are added).
    #[serde(default)]
    pub least: Vec<Term>,
    /// Added to the least minutes: what cooling, chilling or thawing takes by size.
    #[serde(default)]
    pub heat: Option<Heat>,
    /// Greatest minutes; missing: no limit of quality or safety inside any horizon.
    #[serde(default)]
    pub greatest: Option<u32>,
    /// Whether `greatest` is a safety limit, never to be loosened.
    #[serde(default)]
    pub safety: bool,
    /// Where the limit comes from, shown to the reader.
    #[serde(default)]
    pub source: String,
    /// Where it stands, from the step's end on.
    #[serde(default)]
    pub stay: Option<Stay>,
    /// The last minutes before the next step, somewhere else (thawing, warming).
    #[serde(default)]
    pub tail: Option<Tail>,
    /// How unwelcome this way is against the others, 0 for the usual way.
    #[serde(default)]
    pub cost: u32,
}

/// The last stretch of a rest, of fixed length, in another place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tail {
    /// Minutes.
    pub minutes: u32,
    /// Where given, its minutes follow from size and replace `minutes`, in the least time too.
    #[serde(default)]
    pub heat: Option<Heat>,
    /// Where; missing: no place is taken.
    #[serde(default)]
    pub stay: Option<Stay>,
}

/// Another card's product, made for steps of this one in one batch.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Component {
    /// Stable id within the card when it differs from the other card's id.
    #[serde(default)]
    pub id: Option<String>,
    /// The other card.
    pub card: String,
    /// The steps of this card that use it; each share waits for its step by itself.
    pub uses: Vec<ComponentUse>,
    /// Options of the other card that are set from options or counts of this one: theirs → ours.
    #[serde(default)]
    pub pass: BTreeMap<String, String>,
    /// Options of the other card that are set to a number.
    #[serde(default)]
    pub set: BTreeMap<String, i64>,
    /// Only then.
    #[serde(default)]
    pub when: Option<When>,
}

impl Component {
    /// Its id within the card.
    pub fn name(&self) -> &str {
        self.id.as_deref().unwrap_or(&self.card)
    }
}

/// One use of a component.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ComponentUse {
    /// The step of this card that uses it.
    pub step: String,
    /// How much, in the other card's pieces (for example grams), as terms.
    pub amount: Vec<Term>,
}

/// A keeping limit that spans several steps: from the end (or the start) of one to the end of another,
/// or to the handover (for a component: to the end of the step that uses it).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CardLimit {
    /// Stable id within the card.
    pub id: String,
    /// What ages, for example "filled cake".
    pub what: String,
    /// Step from whose end the time counts.
    pub from: String,
    /// Counts from that step's start instead: for what ages while it is worked on.
    #[serde(default)]
    pub from_start: bool,
    /// Step by whose end it must be over; missing: the handover, or the use.
    #[serde(default)]
    pub to: Option<String>,
    /// Minutes.
    pub greatest: u32,
    /// Whether it is a safety limit, never to be loosened.
    #[serde(default)]
    pub safety: bool,
    /// Where the limit comes from, shown to the reader.
    pub source: String,
    /// Only then.
    #[serde(default)]
    pub when: Option<When>,
}
