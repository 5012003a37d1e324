//! What an amount of something takes up, from its geometry and the containers that there are, and why.
//!
//! Rules of the trade used here are common practice, no published source, and named at their constants.

use super::{Boxes, Container, Purpose, Sheet};
use crate::kitchen::FootBox;

/// A board is at least this much wider than its cake, mm: an inch all round, coat and border included.
const BOARD_OVER: u32 = 50;
/// Thickness of a board when none is listed that takes the cake, mm.
const BOARD_THICK: u32 = 12;
/// Air above a cake, mm, so that nothing touches its top.
const AIR_ABOVE: u32 = 20;
/// Wall of a box when none is listed that takes it, mm.
const OWN_WALL: u32 = 3;
/// A tub is filled to at most so many hundredths, so that the lid stays clean.
const FULL: u64 = 90;
/// Pieces in a box when none is listed that takes one.
const OWN_PIECES: u32 = 12;
/// A filled bag lies at least so high, mm.
const BAG_LEAST: u64 = 10;

/// Something of which a whole number, or so many grams, is to be put away. Lengths in mm.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Load {
    /// Cakes, each on its board, open.
    BoardCake {
        /// Diameter.
        across: u32,
        /// Height.
        tall: u32,
    },
    /// Cakes, each on its board, in boxes.
    BoxedCake {
        /// Diameter.
        across: u32,
        /// Height.
        tall: u32,
    },
    /// Flat things, wrapped.
    Wrapped {
        /// Diameter.
        across: u32,
        /// Height of one.
        thick: u32,
        /// What the wrapping adds on each side.
        wrap: u32,
        /// How many on each other.
        pile: u8,
    },
    /// Round pieces on trays.
    Trays {
        /// Width and depth of a tray.
        tray: (u16, u16),
        /// Diameter.
        across: u32,
        /// Gap between two.
        gap: u32,
        /// Bare edge.
        edge: u32,
        /// Height of a loaded tray.
        height: u32,
    },
    /// Round pieces in boxes or tins.
    Boxed {
        /// [`Purpose::PieceBox`] or [`Purpose::Tin`].
        into: Purpose,
        /// Diameter.
        across: u32,
        /// Height that one needs, paper between layers included.
        thick: u32,
        /// Gap between two.
        gap: u32,
        /// Most layers on each other.
        layers: u32,
        /// Most pieces in one box.
        most: Option<u32>,
        /// In the cells of an insert: a square grid only.
        cells: bool,
    },
    /// Grams in tubs.
    Tubs {
        /// Grams in a litre.
        density: u32,
        /// How deep it may lie, for what must cool fast; None: as deep as the tub is.
        deepest: Option<u32>,
    },
    /// Grams in piping bags.
    Bags {
        /// Grams in a litre.
        density: u32,
    },
}

/// What something takes up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakesUp {
    /// As it stands: her own measure where she took one.
    pub item: FootBox,
    /// As reckoned.
    pub reckoned: FootBox,
    /// Which size this is, as her own measures are filed: "150 mm across, 180 mm tall".
    pub size: String,
    /// Why, in a sentence without a full stop.
    pub why: String,
    /// Whether she measured it herself.
    pub measured: bool,
    /// False when no listed container takes it and one of its own was reckoned with.
    pub listed: bool,
    /// The sheet and the pieces on it, where they are to be laid by a drawing.
    pub drawing: Option<(Sheet, u32)>,
}

impl Boxes {
    /// What `amount` pieces or grams take up. `what` names one of the things that then stand there:
    /// "box of cookies". None when one piece does not fit the tray.
    pub fn takes_up(&self, what: &str, amount: u32, load: &Load) -> Option<TakesUp> {
        let found = match *load {
            Load::BoardCake { across, tall } => self.board_cake(across, tall),
            Load::BoxedCake { across, tall } => self.boxed_cake(across, tall),
            Load::Wrapped { across, thick, wrap, pile } => wrapped(across, thick, wrap, pile),
            Load::Trays { .. } => self.trays(amount, load)?,
            Load::Boxed { .. } => self.boxed(amount, load),
            Load::Tubs { density, deepest } => self.tubs(amount, density, deepest),
            Load::Bags { density } => self.bags(amount, density),
        };
        let each =
            matches!(load, Load::BoardCake { .. } | Load::BoxedCake { .. } | Load::Wrapped { .. });
        let count = if amount == 0 {
            0
        } else if each {
            amount
        } else {
            found.count
        };
        let (width, depth, height) = found.outside;
        let reckoned = FootBox {
            kind: what.to_owned(),
            width: mm(width),
            depth: mm(depth),
            height: mm(height),
            count: mm(count),
            pile: found.pile,
        };
        Some(TakesUp {
            item: reckoned.clone(),
            reckoned,
            size: found.size,
            why: found.why,
            measured: false,
            listed: found.listed,
            drawing: found.drawing,
        })
    }

    /// The same, with her own measure of that thing where she took one.
    pub fn takes_up_here(
        &self,
        (card, thing): (&str, &str),
        what: &str,
        amount: u32,
        load: &Load,
    ) -> Option<TakesUp> {
        let mut found = self.takes_up(what, amount, load)?;
        if let Some(own) = self.measured(card, thing, &found.size) {
            found.measured = true;
            found.item = FootBox {
                width: own.width,
                depth: own.depth,
                height: own.height,
                ..found.reckoned.clone()
            };
        }
        Some(found)
    }

    fn of(&self, purpose: Purpose) -> impl Iterator<Item = &Container> {
        self.containers.iter().filter(move |container| container.purpose == purpose)
    }

    /// The smallest of a kind that will do.
    fn smallest(
        &self,
        purpose: Purpose,
        will_do: impl Fn(&Container) -> bool,
    ) -> Option<&Container> {
        self.of(purpose).filter(|container| will_do(container)).min_by_key(|c| c.volume())
    }

    fn board(&self, across: u32) -> Board {
        let least = across.saturating_add(BOARD_OVER);
        let takes = |c: &Container| least <= u32::from(c.width.min(c.depth));
        self.smallest(Purpose::Board, takes).map_or(
            Board { width: least, depth: least, thick: BOARD_THICK, name: None },
            |board| Board {
                width: u32::from(board.width),
                depth: u32::from(board.depth),
                thick: u32::from(board.height),
                name: Some(board.name.clone()),
            },
        )
    }

    fn board_cake(&self, across: u32, tall: u32) -> Found {
        let board = self.board(across);
        let height = tall.saturating_add(board.thick + AIR_ABOVE);
        Found {
            outside: (board.width, board.depth, height),
            size: cake_size(across, tall),
            why: format!(
                "{across} mm cake, {tall} mm tall, on {}, {AIR_ABOVE} mm air above",
                board.words()
            ),
            listed: board.name.is_some(),
            ..Found::default()
        }
    }

    fn boxed_cake(&self, across: u32, tall: u32) -> Found {
        let board = self.board(across);
        let need = tall.saturating_add(board.thick + AIR_ABOVE);
        let takes = |c: &Container| {
            let (short, long) = (c.width.min(c.depth), c.width.max(c.depth));
            board.width.min(board.depth) <= u32::from(short)
                && board.width.max(board.depth) <= u32::from(long)
                && need <= u32::from(c.height)
        };
        // The narrowest first, so that the board does not slide; then the lowest.
        let base = |c: &Container| u32::from(c.width) * u32::from(c.depth);
        let carton = self
            .of(Purpose::CakeBox)
            .filter(|carton| takes(carton))
            .min_by_key(|carton| (base(carton), carton.height));
        let begin = format!(
            "{across} mm cake, {tall} mm tall, on {}, {AIR_ABOVE} mm air above",
            board.words()
        );
        let size = cake_size(across, tall);
        match carton {
            Some(carton) => Found {
                outside: outside(carton),
                pile: carton.pile,
                size,
                why: format!("{begin}: the {}", carton.name),
                listed: board.name.is_some(),
                ..Found::default()
            },
            None => Found {
                outside: (
                    board.width + 2 * OWN_WALL,
                    board.depth + 2 * OWN_WALL,
                    need.saturating_add(2 * OWN_WALL),
                ),
                size,
                why: format!(
                    "{begin}: no cake box in your list takes it, so a box made to measure"
                ),
                listed: false,
                ..Found::default()
            },
        }
    }

    fn trays(&self, pieces: u32, load: &Load) -> Option<Found> {
        let Load::Trays { tray: (width, depth), across, gap, edge, height } = *load else {
            return None;
        };
        let (width, depth) = (u32::from(width), u32::from(depth));
        let sheet = Sheet { width, depth, across, gap, edge };
        let (trays, on_one) = sheet.sheets(pieces.max(1), self.by_drawing)?;
        let drawn = sheet.in_rows() < on_one;
        let edge_words =
            if edge == 0 { String::new() } else { format!(" and {edge} mm from the edge") };
        Some(Found {
            outside: (width, depth, height),
            count: trays,
            size: format!("{width} × {depth} mm tray"),
            why: format!(
                "{across} mm across, {gap} mm apart{edge_words}: {on_one} on a tray of {width} × \
                 {depth} mm{}",
                if drawn { ", laid as drawn" } else { "" }
            ),
            drawing: drawn.then_some((sheet, on_one)),
            ..Found::default()
        })
    }

    fn boxed(&self, pieces: u32, load: &Load) -> Found {
        let Load::Boxed { into, across, thick, gap, layers, most, cells } = *load else {
            return Found::default();
        };
        let filled = |c: &Container| {
            let layers = (u32::from(c.height) / thick.max(1)).min(layers);
            let sheet = Sheet {
                width: u32::from(c.width),
                depth: u32::from(c.depth),
                across,
                gap,
                edge: 0,
            };
            let piles = pieces.max(1).div_ceil(layers.max(1));
            let (boxes, in_layer) = if layers == 0 {
                return None;
            } else if cells {
                let cells = sheet.in_grid();
                (piles.div_ceil(cells.max(1)), cells)
            } else {
                sheet.sheets(piles, self.by_drawing)?
            };
            let least = most.map_or(1, |most| pieces.max(1).div_ceil(most.max(1)));
            (in_layer > 0).then_some(Filled { boxes: boxes.max(least), in_layer, sheet })
        };
        let best = self
            .of(into)
            .filter_map(|c| filled(c).map(|filled| (c, filled)))
            .min_by_key(|(c, filled)| (filled.boxes, c.volume()));
        let Some((carton, filled)) = best else {
            let pitch = across.saturating_add(gap);
            return Found {
                outside: (
                    pitch.saturating_mul(4) + 2 * OWN_WALL,
                    pitch.saturating_mul(3) + 2 * OWN_WALL,
                    thick.saturating_add(2 * OWN_WALL),
                ),
                count: pieces.div_ceil(OWN_PIECES),
                size: format!("{across} mm in boxes of {OWN_PIECES}"),
                why: format!(
                    "{across} mm across, {thick} mm high: nothing in your list takes it, so boxes \
                     of 4 × 3"
                ),
                listed: false,
                ..Found::default()
            };
        };
        let in_one = pieces.max(1).div_ceil(filled.boxes);
        // As one fills a box: the floor first, then the next layer.
        let rows = if cells { filled.in_layer } else { filled.sheet.in_rows() };
        let in_layer = in_one.min(filled.in_layer.max(rows));
        let layers = in_one.div_ceil(in_layer.max(1));
        let drawn = rows < in_layer;
        let exact = filled.boxes > 1 || in_one.is_multiple_of(in_layer.max(1));
        let of = if exact { "of" } else { "of up to" };
        let how = match (layers, drawn) {
            (1, false) => "in one layer".to_owned(),
            (1, true) => "in one layer as drawn".to_owned(),
            (_, false) => format!("in {layers} layers {of} {in_layer}"),
            (_, true) => format!("in {layers} layers {of} {in_layer} as drawn"),
        };
        let up_to = if filled.boxes == 1 { String::new() } else { "up to ".to_owned() };
        Found {
            outside: outside(carton),
            count: filled.boxes,
            pile: carton.pile,
            size: format!("{across} mm in the {}", carton.name),
            why: format!(
                "{across} mm across, {thick} mm high: {up_to}{in_one} {how} in the {}",
                carton.name
            ),
            drawing: drawn.then_some((filled.sheet, in_layer)),
            ..Found::default()
        }
    }

    fn tubs(&self, grams: u32, density: u32, deepest: Option<u32>) -> Found {
        let ml = millilitres(grams, density);
        let holds = |c: &Container| {
            // In hundredths of a mm.
            let full = u64::from(c.height) * FULL;
            let full = deepest.map_or(full, |deepest| full.min(u64::from(deepest) * 100));
            u64::from(c.width) * u64::from(c.depth) * full / 100_000
        };
        let Some((tubs, tub)) = self.fewest(Purpose::Tub, ml, holds) else {
            // As wide as it is deep and half as high, a tenth of air.
            let side = (1..=600).find(|side| side * side * side / 2 * FULL / 100_000 >= ml);
            let side = side.unwrap_or(600);
            return Found {
                outside: (small(side), small(side), small(side / 2)),
                size: "a tub of its own".to_owned(),
                why: format!("{}: there is no tub in your list", volume_words(ml)),
                listed: false,
                ..Found::default()
            };
        };
        Found {
            outside: outside(tub),
            count: tubs,
            pile: tub.pile,
            size: tub.name.clone(),
            why: format!(
                "{grams} g are {}; {}: {} {}",
                volume_words(ml),
                deepest.map_or_else(
                    || format!("filled to {FULL} %"),
                    |deepest| format!("no more than {deepest} mm deep")
                ),
                if tubs == 1 { "the".to_owned() } else { format!("{tubs} times the") },
                tub.name
            ),
            ..Found::default()
        }
    }

    fn bags(&self, grams: u32, density: u32) -> Found {
        let ml = millilitres(grams, density);
        let holds = |c: &Container| bag_holds(c, u64::from(c.height));
        let Some((bags, bag)) = self.fewest(Purpose::Bag, ml, holds) else {
            return Found {
                outside: (140, 229, 35),
                count: u32::try_from(ml.div_ceil(200)).unwrap_or(u32::MAX),
                size: "a bag of its own".to_owned(),
                why: format!("{}: there is no piping bag in your list", volume_words(ml)),
                listed: false,
                ..Found::default()
            };
        };
        let each = ml.div_ceil(u64::from(bags.max(1)));
        let thick = (BAG_LEAST..=u64::from(bag.height))
            .find(|thick| each <= bag_holds(bag, *thick))
            .unwrap_or(u64::from(bag.height));
        Found {
            outside: (u32::from(bag.width), u32::from(bag.depth), small(thick)),
            count: bags,
            pile: bag.pile,
            size: bag.name.clone(),
            why: format!(
                "{grams} g are {}: in the {}, lying, {thick} mm thick",
                volume_words(ml),
                bag.name
            ),
            ..Found::default()
        }
    }

    /// As few as the largest would be, each the smallest that holds its share.
    fn fewest(
        &self,
        purpose: Purpose,
        amount: u64,
        holds: impl Fn(&Container) -> u64,
    ) -> Option<(u32, &Container)> {
        let largest = self.of(purpose).map(&holds).max().filter(|largest| *largest > 0)?;
        let count = amount.div_ceil(largest).max(1);
        let each = amount.div_ceil(count);
        let found = self.smallest(purpose, |container| each <= holds(container))?;
        Some((u32::try_from(count).unwrap_or(u32::MAX), found))
    }
}

struct Board {
    width: u32,
    depth: u32,
    thick: u32,
    name: Option<String>,
}

impl Board {
    fn words(&self) -> String {
        match &self.name {
            Some(name) => format!("the {name} {} mm thick", self.thick),
            None => format!(
                "a board of {} mm that your list does not have, {} mm thick",
                self.width, self.thick
            ),
        }
    }
}

struct Filled {
    boxes: u32,
    in_layer: u32,
    sheet: Sheet,
}

/// Before it is counted and named.
struct Found {
    outside: (u32, u32, u32),
    count: u32,
    pile: u8,
    size: String,
    why: String,
    listed: bool,
    drawing: Option<(Sheet, u32)>,
}

impl Default for Found {
    fn default() -> Self {
        Self {
            outside: (1, 1, 1),
            count: 1,
            pile: 1,
            size: String::new(),
            why: String::new(),
            listed: true,
            drawing: None,
        }
    }
}

fn wrapped(across: u32, thick: u32, wrap: u32, pile: u8) -> Found {
    let side = across.saturating_add(wrap.saturating_mul(2));
    Found {
        outside: (side, side, thick),
        pile,
        size: format!("{across} mm across"),
        why: format!("{across} mm across and {thick} mm high, {wrap} mm of wrapping all round"),
        ..Found::default()
    }
}

fn cake_size(across: u32, tall: u32) -> String {
    format!("{across} mm across, {tall} mm tall")
}

fn outside(container: &Container) -> (u32, u32, u32) {
    let (width, depth, height) = container.outside();
    (u32::from(width), u32::from(depth), u32::from(height))
}

/// What a bag holds when it lies `thick` mm high, ml. Filled it is a flat tube: of a flat width w its
/// section is w·h − π h² / 4, as its girth stays 2 w. It tapers to its tip, so that its mean width is
/// half of that at the top; a third of its length is tip and twist (common practice).
fn bag_holds(bag: &Container, thick: u64) -> u64 {
    let width = u64::from(bag.width) / 2;
    let thick = thick.min(width);
    let section = (width * thick).saturating_sub(thick * thick * 7854 / 10_000);
    section * u64::from(bag.depth) * 2 / 3 / 1000
}

/// Millilitres, rounded up.
fn millilitres(grams: u32, density: u32) -> u64 {
    (u64::from(grams) * 1000).div_ceil(u64::from(density.max(1)))
}

fn volume_words(ml: u64) -> String {
    if ml < 1000 { format!("{ml} ml") } else { format!("{}.{} litres", ml / 1000, ml % 1000 / 100) }
}

fn small(mm: u64) -> u32 {
    u32::try_from(mm).unwrap_or(u32::MAX)
}

fn mm(length: u32) -> u16 {
    u16::try_from(length).unwrap_or(u16::MAX)
}
