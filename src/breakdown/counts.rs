//! Counts of one item: pieces, options, and what the card derives from them.

use std::collections::BTreeMap;

use crate::card::{Card, CountRule, GIVEN_COUNTS, OptionKind, Shape, Size, Term, Thing, When};
use crate::kitchen::Kitchen;
use crate::kitchen::boxes::{Load, Purpose, Sheet, TakesUp};
use crate::plan::arrange::map_of;

/// Tray that is reckoned with while the kitchen has no rack, mm: about 33 × 46 cm.
const USUAL_TRAY: (u16, u16) = (330, 457);

/// Named numbers of one item. An unknown name is 0: cards are checked before they come here.
#[derive(Debug, Clone)]
pub(super) struct Counts {
    values: BTreeMap<String, i64>,
    /// What each of the card's things takes up.
    takes: BTreeMap<String, TakesUp>,
}

/// What an item or a component asks of a card.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted<'a> {
    /// Pieces for the client.
    pub ordered: i64,
    /// Extra pieces.
    pub spares: i64,
    /// Chosen options.
    pub options: &'a BTreeMap<String, i64>,
}

impl Counts {
    /// Works out every count of a card, and says what cannot be made as asked.
    pub(super) fn of(card: &Card, wanted: Wanted<'_>, kitchen: &Kitchen) -> (Self, Vec<String>) {
        let mut troubles = Vec::new();
        let pieces = wanted.ordered.saturating_add(wanted.spares);
        let given = GIVEN_COUNTS.into_iter().zip([pieces, wanted.ordered, wanted.spares]);
        let mut values = map_of(given.map(|(name, value)| (name.to_owned(), value)));
        for option in &card.options {
            let chosen = wanted.options.get(&option.id).copied().unwrap_or(option.default);
            let (min, max) = match option.kind {
                OptionKind::Count { min, max } | OptionKind::Length { min, max } => (min, max),
                OptionKind::Switch => (0, 1),
            };
            if !(min..=max).contains(&chosen) {
                troubles.push(format!(
                    "{}: “{}” is {chosen}; choose {min} to {max}, for example {}",
                    card.name, option.label, option.default
                ));
            }
            values.insert(option.id.clone(), chosen.clamp(min, max));
        }
        let mut counts = Self { values, takes: BTreeMap::new() };
        for count in &card.counts {
            let value = counts.derive(&count.rule, kitchen).unwrap_or_else(|| {
                troubles.push(too_wide(card));
                counts.get("pieces")
            });
            counts.values.insert(count.id.clone(), value);
        }
        for thing in &card.things {
            let Some(takes) = counts.takes_up(card, thing, kitchen) else {
                troubles.push(too_wide(card));
                counts.values.insert(thing.id.clone(), counts.get("pieces"));
                continue;
            };
            counts.values.insert(thing.id.clone(), i64::from(takes.item.count));
            counts.takes.insert(thing.id.clone(), takes);
        }
        (counts, troubles)
    }

    pub(super) fn get(&self, name: &str) -> i64 {
        self.values.get(name).copied().unwrap_or(0)
    }

    /// What a thing of the card takes up; none when it does not fit anywhere.
    pub(super) fn thing(&self, id: &str) -> Option<&TakesUp> {
        self.takes.get(id)
    }

    /// A count as a number of things, never below 0.
    pub(super) fn number(&self, name: &str) -> u32 {
        u32::try_from(self.get(name).max(0)).unwrap_or(u32::MAX)
    }

    pub(super) fn holds(&self, when: Option<&When>) -> bool {
        when.is_none_or(|when| (when.at_least <= self.get(&when.option)) != when.not)
    }

    /// The sum of the terms that apply, never below 0.
    pub(super) fn sum(&self, terms: &[Term]) -> u64 {
        let total = terms
            .iter()
            .filter(|term| self.holds(term.when.as_ref()))
            .map(|term| self.product(&term.per).saturating_mul(term.each))
            .fold(0_i64, i64::saturating_add);
        u64::try_from(total).unwrap_or(0)
    }

    /// A length in mm, at least 1.
    pub(super) fn length(&self, size: &Size) -> u16 {
        let added = size.plus.as_deref().map_or(0, |name| self.get(name));
        let total = size.mm.saturating_add(added.saturating_mul(size.percent) / 100);
        u16::try_from(total.max(1)).unwrap_or(u16::MAX)
    }

    /// The same counts for a share of the pieces: only `pieces` and what the card derives changes.
    pub(super) fn for_share(&self, card: &Card, share: i64, kitchen: &Kitchen) -> Self {
        let options = card.options.iter().map(|option| (option.id.clone(), self.get(&option.id)));
        let options = map_of(options);
        let wanted = Wanted { ordered: share, spares: 0, options: &options };
        Self::of(card, wanted, kitchen).0
    }

    /// None when a piece does not fit a tray.
    fn takes_up(&self, card: &Card, thing: &Thing, kitchen: &Kitchen) -> Option<TakesUp> {
        let (amount, load) = match &thing.shape {
            Shape::BoardCake { of, across, tall } => {
                (of, Load::BoardCake { across: self.number(across), tall: self.number(tall) })
            }
            Shape::BoxedCake { of, across, tall } => {
                (of, Load::BoxedCake { across: self.number(across), tall: self.number(tall) })
            }
            Shape::Wrapped { of, across, thick, wrap, pile } => {
                let load = Load::Wrapped {
                    across: self.number(across),
                    thick: u32::from(*thick),
                    wrap: u32::from(*wrap),
                    pile: *pile,
                };
                (of, load)
            }
            Shape::Trays { of, across, gap, edge, height } => {
                let load = Load::Trays {
                    tray: tray(kitchen),
                    across: self.number(across),
                    gap: u32::from(*gap),
                    edge: u32::from(*edge),
                    height: u32::from(*height),
                };
                (of, load)
            }
            Shape::Boxed { of, across, thick, gap, layers, most, cells } => {
                let load = Load::Boxed {
                    into: Purpose::PieceBox,
                    across: self.number(across),
                    thick: u32::from(*thick),
                    gap: u32::from(*gap),
                    layers: u32::from(*layers),
                    most: most.map(u32::from),
                    cells: *cells,
                };
                (of, load)
            }
            Shape::Tins { of, across, thick, gap, layers } => {
                let load = Load::Boxed {
                    into: Purpose::Tin,
                    across: self.number(across),
                    thick: u32::from(*thick),
                    gap: u32::from(*gap),
                    layers: u32::from(*layers),
                    most: None,
                    cells: false,
                };
                (of, load)
            }
            Shape::Tubs { grams, density, deepest } => {
                let deepest = deepest.map(u32::from);
                (grams, Load::Tubs { density: u32::from(*density), deepest })
            }
            Shape::Bags { grams, density } => (grams, Load::Bags { density: u32::from(*density) }),
        };
        let named = (card.id.as_str(), thing.id.as_str());
        kitchen.boxes.takes_up_here(named, &thing.what, self.number(amount), &load)
    }

    /// None when a piece does not fit a tray.
    fn derive(&self, rule: &CountRule, kitchen: &Kitchen) -> Option<i64> {
        Some(match rule {
            CountRule::Divide { of, times, per, at_least } => {
                let total = self.product(of).saturating_mul(*times).max(0);
                let per = (*per).max(1);
                (total / per + i64::from(total % per != 0)).max(*at_least)
            }
            CountRule::Share { of, among } => {
                let (total, parts) = (self.get(of).max(0), self.product(among).max(1));
                total / parts + i64::from(total % parts != 0)
            }
            CountRule::Least { of } => of.iter().map(|name| self.get(name)).min().unwrap_or(0),
            CountRule::Minus { from, take, less } => {
                let taken = take.iter().map(|name| self.get(name)).fold(*less, i64::saturating_add);
                self.get(from).saturating_sub(taken).max(0)
            }
            CountRule::Trays { of, size, gap, edge } => {
                let (width, depth) = tray(kitchen);
                let mm = |value: i64| u32::try_from(value).unwrap_or(u32::MAX / 4);
                let sheet = Sheet {
                    width: u32::from(width),
                    depth: u32::from(depth),
                    across: self.number(size),
                    gap: mm(*gap),
                    edge: mm(*edge),
                };
                i64::from(sheet.sheets(self.number(of), kitchen.boxes.by_drawing)?.0)
            }
        })
    }

    fn product(&self, names: &[String]) -> i64 {
        names.iter().map(|name| self.get(name)).fold(1_i64, i64::saturating_mul)
    }
}

fn too_wide(card: &Card) -> String {
    format!(
        "{}: one {} does not fit the tray; choose a smaller size or measure a larger tray",
        card.name, card.piece
    )
}

/// The tray of the kitchen's first rack, width and depth in mm.
pub(super) fn tray(kitchen: &Kitchen) -> (u16, u16) {
    kitchen.racks.first().map_or(USUAL_TRAY, |rack| (rack.tray_width, rack.tray_depth))
}
