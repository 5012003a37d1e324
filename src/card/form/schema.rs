//! What can be written on a card: every field of its file, with a label, the kind of value and its range.

/// What stands at a place.
#[derive(Debug, Clone, Copy)]
pub(super) enum Kind {
    /// A line of text.
    Text,
    /// The same, or nothing.
    MayText,
    /// Sentences, one to a line.
    Lines,
    /// A whole number: its unit, least and greatest.
    Number(&'static str, i64, i64),
    /// The same from 1 on, or nothing.
    MayNumber(&'static str, i64),
    /// A whole number from 0 on, or nothing: an option of another card that is set to it.
    Set,
    /// A time kept in such a unit, up to so many of them.
    Time(Base, i64),
    /// The same from one on, or nothing.
    MayTime(Base, i64),
    /// Yes or no.
    Switch,
    /// A number that is shown as a switch where the option is one.
    Value,
    /// One of a few.
    Choice(Source),
    /// The same, or nothing, and what nothing means.
    MayChoice(Source, &'static str),
    /// Names of counts and options to multiply.
    Names,
    /// Only with, or without, an option.
    When,
    /// An object.
    Group(&'static Type),
    /// An object, or nothing; and what it begins as.
    May(&'static Type, &'static str),
    /// Objects; what the button that adds one says, and what it begins as.
    List(&'static Type, &'static str, &'static str),
}

/// The unit in which a time is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Base {
    /// Hand times.
    Seconds,
    /// All other times.
    Minutes,
}

/// Where the few come from.
#[derive(Debug, Clone, Copy)]
pub(super) enum Source {
    /// The steps of the card.
    Steps,
    /// Its counts, options and things.
    Names,
    /// Its things.
    Things,
    /// Cards of components.
    Cards,
    /// Ingredients of the catalogue.
    Ingredients,
    /// Packaging of the catalogue.
    Packaging,
    /// These.
    These(&'static [(&'static str, &'static str)]),
}

/// The fields of an object.
#[derive(Debug)]
pub(super) struct Type {
    pub(super) rows: &'static [Row],
    /// Which of several forms the object has.
    pub(super) forms: Option<Forms>,
}

/// A field: its name in the file, its label, its kind, and a sentence of help that may be empty.
pub(super) type Row = (&'static str, &'static str, Kind, &'static str);

/// Forms of an object, told apart by a field.
#[derive(Debug)]
pub(super) struct Forms {
    pub(super) tag: &'static str,
    pub(super) label: &'static str,
    pub(super) all: &'static [Form],
}

/// One form: its name in the file, in words, its own fields, and what it begins as.
#[derive(Debug)]
pub(super) struct Form {
    pub(super) name: &'static str,
    pub(super) words: &'static str,
    pub(super) rows: &'static [Row],
    pub(super) start: &'static str,
}

const fn plain(rows: &'static [Row]) -> Type {
    Type { rows, forms: None }
}

const fn form(
    name: &'static str,
    words: &'static str,
    rows: &'static [Row],
    start: &'static str,
) -> Form {
    Form { name, words, rows, start }
}

/// Longest hand time, seconds: a day.
const HAND: i64 = 86_400;
/// Longest wait, minutes: ten years, as what is frozen for good.
const WAIT: i64 = 5_256_000;
/// Longest length, mm.
const MM: i64 = 5000;
/// Greatest number of anything.
const MANY: i64 = 1_000_000_000;
/// Greatest number in one byte of a record.
const BYTE: i64 = 255;

use Base::{Minutes, Seconds};
use Kind::{
    Choice, Group, Lines, List, May, MayChoice, MayNumber, MayText, MayTime, Names, Number, Switch,
    Text, Time, Value, When,
};
use Source::{Cards, Ingredients, Names as Named, Packaging, Steps, These, Things};

const PLACES: Source = These(&[
    ("fridge", "fridge"),
    ("freezer", "freezer"),
    ("rack", "rack"),
    ("counter", "counter"),
    ("room-shelf", "room shelf"),
]);

/// The whole card.
pub(super) static CARD: Type = plain(&[
    ("name", "Name", Text, ""),
    ("piece", "One piece", Text, "As it reads in a sentence: cookie"),
    ("pieces", "Several pieces", Text, "As it reads in a sentence: cookies"),
    ("about", "In one sentence", MayText, ""),
    (
        "spares",
        "Spares",
        Number("%", 0, 100),
        "Extra pieces in every batch (common practice, no published source)",
    ),
    (
        "component",
        "Only made for other cards",
        Switch,
        "Such as a filling; its pieces are then grams",
    ),
    ("steps", "Steps and rests", List(&STEP, "Add a step", ""), ""),
    ("rests", "Rests", List(&REST, "Add a rest between two steps", REST_START), ""),
    ("keeps", "Keeping until the handover", List(&WAY, "Add a way to keep it", WAY_START), ""),
    ("limits", "Limits across several steps", List(&LIMIT, "Add a limit", LIMIT_START), ""),
    ("ingredients", "Ingredients", List(&INGREDIENT, "Add an ingredient", INGREDIENT_START), ""),
    ("packaging", "Packaging", List(&PACKAGING, "Add packaging", PACKAGING_START), ""),
    ("components", "Made with other cards", List(&PART, "Add a component", PART_START), ""),
    ("options", "What can be chosen", List(&OPTION, "Add a choice", OPTION_START), ""),
    ("counts", "Numbers that follow", List(&COUNT, "Add a number", COUNT_START), ""),
    ("things", "What it takes up", List(&THING, "Add a container", THING_START), ""),
    ("cautions", "Cautions", Lines, "One sentence a line; shown wherever keeping shows"),
    (
        "client",
        "What the client is told",
        Lines,
        "One sentence a line; goes with the quote and the confirmation",
    ),
]);

static STEP: Type = plain(&[
    ("name", "What to do", Text, ""),
    (
        "kind",
        "Kind of work",
        Choice(These(&[
            ("plain", "by hand"),
            ("fine", "fine handwork"),
            ("oven", "in the oven, one load"),
            ("wait", "by itself, for a fixed time"),
        ])),
        "",
    ),
    ("work", "Work", List(&HAND_TERM, "Add time", TERM_START), "Added up"),
    ("setup", "To lay out", Time(Seconds, HAND), "Before each sitting"),
    ("cleanup", "To clear up", Time(Seconds, HAND), "After each sitting"),
    ("when", "Only", When, ""),
    ("notes", "Notes for the bench", Lines, "One sentence a line"),
    (
        "detail",
        "Says how many",
        MayText,
        "{amount} is the pieces; {trays|tray|trays} a number with its word",
    ),
    (
        "margin",
        "Takes longer when new",
        Switch,
        "Work never done before takes about twice its estimate (rule of thumb, no published source)",
    ),
    (
        "cut_min",
        "May be cut into sittings of at least",
        MayTime(Minutes, 1440),
        "Empty: always in one go",
    ),
    (
        "cut_max",
        "No sitting is longer than a limit",
        May(&LONGEST, r#"{"minutes":120,"when":null}"#),
        "Spreads fine work over days",
    ),
    ("pause_max", "Longest pause between two sittings", MayTime(Minutes, WAIT), "Empty: no limit"),
    ("pause_at", "Takes up room between sittings", May(&STAY, STAY_START), ""),
    ("needs", "Needs", List(&NEED, "Add a need", r#"{"use":"mixer"}"#), ""),
]);

static LONGEST: Type =
    plain(&[("minutes", "Longest sitting", Time(Minutes, 1440), ""), ("when", "Only", When, "")]);

/// A minute of work, or an hour of waiting.
const TERM_START: &str = r#"{"each":60,"per":[],"when":null}"#;
static HAND_TERM: Type = plain(&[
    ("each", "Time", Time(Seconds, HAND), ""),
    ("per", "for each", Names, ""),
    ("when", "Only", When, ""),
]);

static WAIT_TERM: Type = plain(&[
    ("each", "Time", Time(Minutes, WAIT), ""),
    ("per", "for each", Names, ""),
    ("when", "Only", When, ""),
]);

const AMOUNT_START: &str = r#"{"each":10,"per":["pieces"],"when":null}"#;
static AMOUNT: Type = plain(&[
    ("each", "So many", Number("", 0, MANY), ""),
    ("per", "for each", Names, ""),
    ("when", "Only", When, ""),
]);

static NEED: Type = Type {
    rows: &[],
    forms: Some(Forms {
        tag: "use",
        label: "What",
        all: &[
            form("mixer", "a mixer", &[], "{}"),
            form(
                "oven",
                "the oven",
                &[("trays", "So many trays", Choice(Named), "")],
                r#"{"trays":"pieces"}"#,
            ),
            form(
                "place",
                "room meanwhile",
                &[
                    ("place", "Where", Choice(PLACES), ""),
                    ("footprint", "What stands there", Group(&FOOTPRINT), ""),
                ],
                STAY_START,
            ),
        ],
    }),
};

const STAY_START: &str = r#"{"place":"counter","footprint":{"as":"boxes","what":"box","count":"pieces","width":{"mm":200,"plus":null,"percent":100},"depth":{"mm":200,"plus":null,"percent":100},"height":{"mm":100,"plus":null,"percent":100},"pile":1}}"#;
static STAY: Type = plain(&[
    ("place", "Where", Choice(PLACES), ""),
    ("footprint", "What stands there", Group(&FOOTPRINT), ""),
]);

static FOOTPRINT: Type = Type {
    rows: &[],
    forms: Some(Forms {
        tag: "as",
        label: "Measured as",
        all: &[
            form(
                "thing",
                "a container of this card",
                &[
                    ("thing", "Which", Choice(Things), ""),
                    (
                        "pile",
                        "At most on each other",
                        MayNumber("", BYTE),
                        "Empty: as the container allows",
                    ),
                ],
                r#"{"thing":"$thing","pile":null}"#,
            ),
            form(
                "trays",
                "trays of the rack",
                &[
                    ("count", "So many", Choice(Named), ""),
                    ("height", "Height of a loaded tray", Number("mm", 1, MM), ""),
                ],
                r#"{"count":"pieces","height":40}"#,
            ),
            form(
                "boxes",
                "boxes of a size",
                &[
                    ("what", "What it is", Text, ""),
                    ("count", "So many", Choice(Named), ""),
                    ("width", "Width", Group(&SIZE), ""),
                    ("depth", "Depth", Group(&SIZE), ""),
                    ("height", "Height", Group(&SIZE), ""),
                    ("pile", "At most on each other", Number("", 1, BYTE), ""),
                ],
                r#"{"what":"box","count":"pieces","width":{"mm":200,"plus":null,"percent":100},"depth":{"mm":200,"plus":null,"percent":100},"height":{"mm":100,"plus":null,"percent":100},"pile":1}"#,
            ),
        ],
    }),
};

static SIZE: Type = plain(&[
    ("mm", "Length", Number("mm", 0, MM), ""),
    ("plus", "and for each mm of", MayChoice(Named, "nothing more"), ""),
    ("percent", "of that", Number("%", 0, 10_000), ""),
]);

const REST_START: &str = r#"{"id":"rest","from":"$first","to":"$last","what":"it","when":null,"modes":[{"name":"straight on","when":null,"least":[],"heat":null,"greatest":null,"safety":false,"source":"","stay":null,"tail":null,"cost":0}]}"#;
static REST: Type = plain(&[
    ("what", "What rests", Text, ""),
    ("from", "After", Choice(Steps), ""),
    ("to", "Before", Choice(Steps), ""),
    ("when", "Only", When, ""),
    ("modes", "Ways to rest, the usual one first", List(&WAY, "Add another way", WAY_START), ""),
]);

const WAY_START: &str = r#"{"name":"another way","when":null,"least":[],"heat":null,"greatest":null,"safety":false,"source":"","stay":null,"tail":null,"cost":0}"#;
static WAY: Type = plain(&[
    ("name", "In words", Text, ""),
    ("least", "At least", List(&WAIT_TERM, "Add waiting time", TERM_START), "Added up"),
    (
        "heat",
        "As long as its size needs",
        May(&HEAT, HEAT_START),
        "Cooling, chilling or thawing, reckoned from its size",
    ),
    ("greatest", "At most", MayTime(Minutes, WAIT), "Empty: no limit"),
    ("safety", "That is a safety limit", Switch, "It may be made shorter, never longer"),
    ("source", "Where the limit comes from", MayText, ""),
    ("stay", "Takes up room", May(&STAY, STAY_START), ""),
    (
        "tail",
        "Somewhere else at the end",
        May(&TAIL, r#"{"minutes":60,"heat":null,"stay":null}"#),
        "Brought out to warm or thaw",
    ),
    ("when", "Only", When, ""),
    ("cost", "How unwelcome", Number("", 0, 1_000_000), "0: as good as the usual way"),
]);

static TAIL: Type = plain(&[
    ("minutes", "The last", Time(Minutes, WAIT), "They are part of the least time"),
    ("heat", "As long as its size needs", May(&HEAT, HEAT_START), ""),
    ("stay", "Takes up room then", May(&STAY, STAY_START), ""),
]);

const HEAT_START: &str = r#"{"stuff":"crumb","form":{"is":"round","across":{"mm":200,"plus":null,"percent":100},"tall":{"mm":40,"plus":null,"percent":100}},"air":"room","cover":"open","on_board":false,"from":96,"within":8,"below":null}"#;
static HEAT: Type = plain(&[
    (
        "stuff",
        "Made of",
        Choice(These(&[
            ("crumb", "crumb"),
            ("filled-cake", "filled cake"),
            ("bound-cake", "bound cake"),
            ("dough", "dough"),
            ("cookie", "cookie"),
            ("fruit-filling", "fruit filling"),
            ("custard", "custard"),
            ("ganache", "ganache"),
        ])),
        "",
    ),
    (
        "air",
        "In the air of",
        Choice(These(&[
            ("room", "the room"),
            ("rack", "the room, on a rack"),
            ("fridge", "the fridge"),
            ("freezer", "the freezer"),
        ])),
        "",
    ),
    (
        "cover",
        "Cover",
        Choice(These(&[("open", "open"), ("wrapped", "wrapped"), ("boxed", "boxed")])),
        "",
    ),
    ("on_board", "On a board that lets no heat through", Switch, ""),
    ("from", "Starts at", Number("°C", -30, 130), ""),
    ("within", "Ready so near to the air", Number("°C", 1, 40), ""),
    ("below", "Measured below the surface", MayNumber("mm", 1000), "Empty: in the middle"),
    ("form", "Form", Group(&HEAT_FORM), ""),
]);

static HEAT_FORM: Type = Type {
    rows: &[],
    forms: Some(Forms {
        tag: "is",
        label: "Form",
        all: &[
            form(
                "round",
                "round: a layer, a cake",
                &[("across", "Across", Group(&SIZE), ""), ("tall", "High", Group(&SIZE), "")],
                r#"{"across":{"mm":200,"plus":null,"percent":100},"tall":{"mm":40,"plus":null,"percent":100}}"#,
            ),
            form(
                "block",
                "a block or sheet",
                &[
                    ("width", "Width", Group(&SIZE), ""),
                    ("depth", "Depth", Group(&SIZE), ""),
                    ("tall", "High", Group(&SIZE), ""),
                ],
                r#"{"width":{"mm":300,"plus":null,"percent":100},"depth":{"mm":200,"plus":null,"percent":100},"tall":{"mm":40,"plus":null,"percent":100}}"#,
            ),
            form(
                "ball",
                "a ball",
                &[("across", "Across", Group(&SIZE), "")],
                r#"{"across":{"mm":40,"plus":null,"percent":100}}"#,
            ),
            form(
                "spread",
                "spread out in a dish",
                &[("tall", "Deep", Group(&SIZE), "")],
                r#"{"tall":{"mm":40,"plus":null,"percent":100}}"#,
            ),
        ],
    }),
};

const LIMIT_START: &str = r#"{"id":"limit","what":"it","from":"$first","from_start":false,"to":null,"greatest":1440,"safety":false,"source":"my own experience","when":null}"#;
static LIMIT: Type = plain(&[
    ("what", "What ages", Text, ""),
    ("from", "From", Choice(Steps), ""),
    ("from_start", "From that step's start", Switch, "Otherwise from its end"),
    ("to", "Until the end of", MayChoice(Steps, "the handover, or the use"), ""),
    ("greatest", "At most", Time(Minutes, WAIT), ""),
    ("safety", "That is a safety limit", Switch, "It may be made shorter, never longer"),
    ("source", "Where the limit comes from", Text, ""),
    ("when", "Only", When, ""),
]);

const INGREDIENT_START: &str = r#"{"of":"flour","step":"$first","amount":[{"each":10,"per":["pieces"],"when":null}],"over":1,"waste":0,"when":null}"#;
static INGREDIENT: Type = plain(&[
    ("of", "Which", Choice(Ingredients), ""),
    ("step", "Used in", Choice(Steps), ""),
    ("amount", "Grams", List(&AMOUNT, "Add to the amount", AMOUNT_START), "Added up"),
    ("over", "Divided by", Number("", 1, MANY), "For grams of it in so many grams of something"),
    ("waste", "Stays in bowls and bags", Number("%", 0, 100), "Bought on top"),
    ("when", "Only", When, ""),
]);

const PACKAGING_START: &str = r#"{"of":"treat-box","step":"$last","amount":[{"each":1,"per":["pieces"],"when":null}],"over":1,"waste":0,"when":null}"#;
static PACKAGING: Type = plain(&[
    ("of", "Which", Choice(Packaging), ""),
    ("step", "Used in", Choice(Steps), ""),
    ("amount", "Pieces", List(&AMOUNT, "Add to the amount", AMOUNT_START), "Added up"),
    ("over", "Divided by", Number("", 1, MANY), ""),
    ("waste", "Spare", Number("%", 0, 100), "Bought on top"),
    ("when", "Only", When, ""),
]);

const PART_START: &str = r#"{"id":null,"card":"$card","uses":[{"step":"$first","amount":[{"each":10,"per":["pieces"],"when":null}]}],"pass":{},"set":{},"when":null}"#;
static PART: Type = plain(&[
    ("card", "Which", Choice(Cards), ""),
    ("uses", "Used in", List(&USE, "Add a step that uses it", USE_START), ""),
    ("when", "Only", When, ""),
]);

const USE_START: &str = r#"{"step":"$first","amount":[{"each":10,"per":["pieces"],"when":null}]}"#;
static USE: Type = plain(&[
    ("step", "In the step", Choice(Steps), ""),
    ("amount", "Grams", List(&AMOUNT, "Add to the amount", AMOUNT_START), "Added up"),
]);

const OPTION_START: &str =
    r#"{"id":"choice","label":"Choice","help":"","kind":{"is":"switch"},"default":0,"rule":false}"#;
static OPTION: Type = plain(&[
    ("label", "What the form says", Text, ""),
    ("help", "Help", MayText, ""),
    ("kind", "", Group(&OPTION_KIND), ""),
    ("default", "Usual", Value, ""),
    ("rule", "A rule of the trade", Switch, "On unless it is switched off; shown apart"),
]);

static OPTION_KIND: Type = Type {
    rows: &[],
    forms: Some(Forms {
        tag: "is",
        label: "Kind of choice",
        all: &[
            form("switch", "yes or no", &[], "{}"),
            form(
                "count",
                "a number",
                &[
                    ("min", "Least", Number("", 0, MANY), ""),
                    ("max", "Greatest", Number("", 0, MANY), ""),
                ],
                r#"{"min":0,"max":10}"#,
            ),
            form(
                "length",
                "a length",
                &[
                    ("min", "Least", Number("mm", 0, MM), ""),
                    ("max", "Greatest", Number("mm", 0, MM), ""),
                ],
                r#"{"min":0,"max":500}"#,
            ),
        ],
    }),
};

const COUNT_START: &str =
    r#"{"id":"number","rule":"divide","of":["pieces"],"times":1,"per":1,"at_least":0}"#;
static COUNT: Type = Type {
    rows: &[("id", "Called", Text, "")],
    forms: Some(Forms {
        tag: "rule",
        label: "How it follows",
        all: &[
            form(
                "divide",
                "multiplied and divided",
                &[
                    ("of", "Product of", Names, ""),
                    ("times", "times", Number("", 1, MANY), ""),
                    ("per", "divided by", Number("", 1, 1_000_000_000_000_000), "Rounded up"),
                    ("at_least", "at least", Number("", 0, MANY), ""),
                ],
                r#"{"of":["pieces"],"times":1,"per":1,"at_least":0}"#,
            ),
            form(
                "share",
                "shared among others",
                &[("of", "What", Choice(Named), ""), ("among", "among", Names, "")],
                r#"{"of":"pieces","among":["ordered"]}"#,
            ),
            form(
                "least",
                "the least of several",
                &[("of", "of", Names, "")],
                r#"{"of":["pieces"]}"#,
            ),
            form(
                "minus",
                "less others",
                &[
                    ("from", "From", Choice(Named), ""),
                    ("take", "less", Names, ""),
                    ("less", "and less", Number("", 0, MANY), ""),
                ],
                r#"{"from":"pieces","take":["spares"],"less":0}"#,
            ),
            form(
                "trays",
                "trays for round pieces",
                &[
                    ("of", "So many", Choice(Named), ""),
                    ("size", "Across", Choice(Named), ""),
                    ("gap", "Apart", Number("mm", 0, MM), ""),
                    ("edge", "From the edge", Number("mm", 0, MM), ""),
                ],
                r#"{"of":"pieces","size":"$length","gap":15,"edge":0}"#,
            ),
        ],
    }),
};

const OF: Row = ("of", "For so many", Choice(Named), "");
const ACROSS: Row = ("across", "Across", Choice(Named), "");
const TALL: Row = ("tall", "High", Choice(Named), "");
const GAP: Row = ("gap", "Apart", Number("mm", 0, MM), "");
const THICK: Row = ("thick", "Height of one", Number("mm", 1, MM), "Paper between layers included");
const GRAMS: Row = ("grams", "Grams", Choice(Named), "");
const DENSITY: Row = ("density", "A litre weighs", Number("g", 1, 20_000), "");

const THING_START: &str = r#"{"id":"box","what":"box","is":"boxed","of":"pieces","across":"$length","thick":30,"gap":5,"layers":1,"most":null,"cells":false}"#;
static THING: Type = Type {
    rows: &[("what", "One of them", Text, "As it reads in a sentence: box of cookies")],
    forms: Some(Forms {
        tag: "is",
        label: "Kind",
        all: &[
            form("board-cake", "a cake on its board", &[OF, ACROSS, TALL], CAKE_START),
            form("boxed-cake", "a cake on its board in a box", &[OF, ACROSS, TALL], CAKE_START),
            form(
                "wrapped",
                "flat and wrapped",
                &[
                    OF,
                    ACROSS,
                    ("thick", "Height of one", Number("mm", 1, MM), ""),
                    ("wrap", "Wrapping on each side", Number("mm", 0, MM), ""),
                    ("pile", "At most on each other", Number("", 1, BYTE), ""),
                ],
                r#"{"of":"pieces","across":"$length","thick":40,"wrap":10,"pile":3}"#,
            ),
            form(
                "trays",
                "round pieces on trays",
                &[
                    OF,
                    ACROSS,
                    GAP,
                    ("edge", "From the edge", Number("mm", 0, MM), ""),
                    ("height", "Height of a loaded tray", Number("mm", 1, MM), ""),
                ],
                r#"{"of":"pieces","across":"$length","gap":15,"edge":0,"height":40}"#,
            ),
            form(
                "boxed",
                "round pieces in boxes",
                &[
                    OF,
                    ACROSS,
                    THICK,
                    GAP,
                    ("layers", "Most layers", Number("", 1, BYTE), ""),
                    ("most", "Most in one box", MayNumber("", 10_000), "Empty: as many as fit"),
                    ("cells", "Each in the cell of an insert", Switch, ""),
                ],
                r#"{"of":"pieces","across":"$length","thick":30,"gap":5,"layers":1,"most":null,"cells":false}"#,
            ),
            form(
                "tins",
                "round pieces in tins",
                &[OF, ACROSS, THICK, GAP, ("layers", "Most layers", Number("", 1, BYTE), "")],
                r#"{"of":"pieces","across":"$length","thick":15,"gap":0,"layers":6}"#,
            ),
            form(
                "tubs",
                "something soft in tubs",
                &[
                    GRAMS,
                    DENSITY,
                    (
                        "deepest",
                        "As deep as",
                        MayNumber("mm", MM),
                        "For what must cool fast; empty: as deep as the tub is",
                    ),
                ],
                r#"{"grams":"pieces","density":1000,"deepest":null}"#,
            ),
            form(
                "bags",
                "something soft in piping bags",
                &[GRAMS, DENSITY],
                r#"{"grams":"pieces","density":1300}"#,
            ),
        ],
    }),
};
const CAKE_START: &str = r#"{"of":"pieces","across":"$length","tall":"$length"}"#;
