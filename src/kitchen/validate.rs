//! What a kitchen must be before anything is planned in it, and how to measure one.

use super::{Cleared, Clearing, Counter, Household, Kitchen, Oven, Place, Rack, Shelf};
use crate::refusal::Refusal;

/// Most shelves of one place; protects the page from a damaged file.
const SHELVES_MAX: usize = 40;
const RACKS_MAX: usize = 20;
const NAME_MAX: usize = 60;
/// Least side of a cleared corner, in mm: less than a box.
const CORNER_LEAST: u16 = 20;
const CLEARINGS_MAX: usize = 200;
/// Least and most mm of width that are worth clearing.
const CLEARED_STRIP: (u16, u16) = (10, 2000);
/// Longest clearing, in days: what is cleared for longer is no longer the household's.
const CLEARED_DAYS_MAX: i64 = 60;

/// How to measure, one sentence for each group of fields: the group, then the sentence.
pub const HOW_TO_MEASURE: &[(&str, &str)] = &[
    (
        "fridge",
        "Measure each shelf inside, between the walls and from the back wall to the closed door, and \
         the clear height up to the shelf or light above it; then say what of it your household keeps: a \
         strip at the right, or everything but a corner at the front left",
    ),
    (
        "freezer",
        "Pull a drawer out and measure inside it at its floor, where it is narrowest; the clear height \
         is up to the drawer's rim or the shelf above, whichever is lower",
    ),
    (
        "racks",
        "Count the levels on which a tray stands with a hand's breadth of air above it, and measure \
         the flat floor of a tray, not its rim",
    ),
    (
        "counter",
        "Measure the clear worktop without sink and hob, and the width that you keep free for your \
         hands while you work",
    ),
    (
        "room",
        "Measure shelves in a dry, cool room, away from oven, radiator and sun, in the same way as \
         the fridge's",
    ),
    (
        "oven",
        "Count the levels that bake evenly at the same time, not those that the oven has, and the \
         trays that lie side by side on one level with air around them",
    ),
    (
        "boxes",
        "Measure inside for what goes in, and give the thickness of a wall with its rim, so that what it \
         takes up outside follows; a board has its own size, a piping bag its flat width and length",
    ),
    (
        "warmth",
        "Hang a thermometer where you work, and put one in a glass of water on the fridge's middle shelf \
         overnight; the humidity is what a room hygrometer shows",
    ),
    ("mixers", "Count the mixers, or bowls with a whisk, that you can run at once"),
];

/// The sentence for one group of fields, for example `fridge`; empty for an unknown group.
pub fn how_to_measure(group: &str) -> &'static str {
    HOW_TO_MEASURE.iter().find(|(name, _)| *name == group).map_or("", |(_, sentence)| sentence)
}

impl Kitchen {
    /// Everything that is not right, by field (`fridge.0.width`); empty when it can be used.
    pub fn validate(&self) -> Vec<Refusal> {
        let mut checks = Checks::default();
        for (place, shelves) in
            [("fridge", &self.fridge), ("freezer", &self.freezer), ("room", &self.room)]
        {
            checks.at_most(place, shelves.len(), SHELVES_MAX, "shelves");
            for (index, shelf) in shelves.iter().enumerate() {
                checks.shelf(&format!("{place}.{index}"), shelf);
            }
        }
        checks.at_most("racks", self.racks.len(), RACKS_MAX, "racks");
        for (index, rack) in self.racks.iter().enumerate() {
            checks.rack(&format!("racks.{index}"), rack);
        }
        checks.counter(&self.counter);
        checks.oven(&self.oven);
        checks.count("mixers", self.mixers, 1, 4, 1);
        checks.at_most("clearings", self.clearings.len(), CLEARINGS_MAX, "clearings");
        for (index, clearing) in self.clearings.iter().enumerate() {
            let field = format!("clearings.{index}");
            for refusal in self.validate_clearing(clearing) {
                checks.refuse(&format!("{field}.{}", refusal.field), refusal.message);
            }
        }
        checks.refusals.extend(self.boxes.validate());
        checks.refusals.extend(self.warmth.validate());
        checks.refusals
    }

    /// Everything that is not right about a clearing in this kitchen, by field: `shelf`, `width`, `from`,
    /// `until`.
    pub fn validate_clearing(&self, clearing: &Clearing) -> Vec<Refusal> {
        let mut checks = Checks::default();
        let place = clearing.place;
        let (least, greatest) = CLEARED_STRIP;
        match self.shelves(place).get(clearing.shelf) {
            _ if matches!(place, Place::Rack | Place::Counter) => checks.refuse(
                "shelf",
                format!(
                    "the {place} has no shelves; clear one of the fridge, the freezer or the room"
                ),
            ),
            None => checks.refuse(
                "shelf",
                format!("there is no {place} shelf of that number; choose one from the list"),
            ),
            Some(_) => {}
        }
        if let Cleared::Strip { width } = clearing.cleared
            && !(least..=greatest).contains(&width)
        {
            checks.refuse(
                "width",
                format!(
                    "{width} mm cannot be right; write how many mm of the width are cleared, {least} to \
                     {greatest}, for example 150"
                ),
            );
        }
        let days = clearing.until.date().days_since(clearing.from.date());
        if clearing.until <= clearing.from {
            checks.refuse(
                "until",
                format!(
                    "it ends before it begins; choose a time after {}, for example the next day at 10:00",
                    clearing.from.to_string().replace('T', " ")
                ),
            );
        } else if CLEARED_DAYS_MAX < days {
            checks.refuse(
                "until",
                format!(
                    "{days} days are more than {CLEARED_DAYS_MAX}; what is cleared for so long is better \
                     taken off the household’s share above"
                ),
            );
        }
        checks.refusals
    }
}

#[derive(Default)]
struct Checks {
    refusals: Vec<Refusal>,
}

impl Checks {
    fn refuse(&mut self, field: &str, message: String) {
        self.refusals.push(Refusal::of(field, message));
    }

    fn shelf(&mut self, field: &str, shelf: &Shelf) {
        self.name(field, &shelf.name, "top shelf");
        self.length(&format!("{field}.width"), shelf.width, 50, 2000, 470);
        self.length(&format!("{field}.depth"), shelf.depth, 50, 1200, 330);
        self.length(&format!("{field}.height"), shelf.height, 20, 2000, 220);
        self.household(field, shelf);
    }

    /// Strip and corner lie within the shelf, and leave something to both.
    fn household(&mut self, field: &str, shelf: &Shelf) {
        match shelf.household {
            Household::Nothing | Household::Whole => {}
            Household::Strip { width } => {
                let most = shelf.width.saturating_sub(1).max(1);
                if !(1..=most).contains(&width) {
                    self.refuse(
                        &format!("{field}.household.width"),
                        format!(
                            "a strip of {width} mm is not possible on a shelf {} mm wide; write 1 to \
                             {most}, for example {}, or say that the household keeps all or nothing of it",
                            shelf.width,
                            (shelf.width / 2).max(1)
                        ),
                    );
                }
            }
            Household::AllBut { width, depth, height } => {
                let sides = [
                    ("width", width, shelf.width, "wide"),
                    ("depth", depth, shelf.depth, "deep"),
                    ("height", height.unwrap_or(shelf.height), shelf.height, "high"),
                ];
                for (side, clear, whole, word) in sides {
                    if !(CORNER_LEAST..=whole).contains(&clear) {
                        self.refuse(
                            &format!("{field}.household.{side}"),
                            format!(
                                "a corner {clear} mm {word} is not possible on a shelf {whole} mm {word}; \
                                 write {CORNER_LEAST} to {whole}, for example {}",
                                (whole / 2).max(CORNER_LEAST)
                            ),
                        );
                    }
                }
            }
        }
    }

    fn rack(&mut self, field: &str, rack: &Rack) {
        self.name(field, &rack.name, "drying rack");
        self.count(&format!("{field}.levels"), rack.levels, 1, 40, 8);
        self.length(&format!("{field}.tray_width"), rack.tray_width, 100, 1000, 450);
        self.length(&format!("{field}.tray_depth"), rack.tray_depth, 100, 1000, 330);
    }

    fn counter(&mut self, counter: &Counter) {
        self.length("counter.width", counter.width, 300, 10_000, 1800);
        self.length("counter.depth", counter.depth, 200, 2000, 600);
        if counter.work_zone > counter.width {
            self.refusals.push(Refusal::of(
                "counter.work_zone",
                format!(
                    "{} mm is wider than the counter's {} mm; write what you keep clear for work, \
                     for example 600",
                    counter.work_zone, counter.width
                ),
            ));
        }
    }

    fn oven(&mut self, oven: &Oven) {
        self.count("oven.decks", oven.decks, 1, 4, 2);
        self.count("oven.trays_per_deck", oven.trays_per_deck, 1, 4, 1);
    }

    fn name(&mut self, field: &str, name: &str, example: &str) {
        if name.trim().is_empty() || name.chars().count() > NAME_MAX {
            self.refusals.push(Refusal::of(
                format!("{field}.name"),
                format!("needs 1 to {NAME_MAX} letters, for example {example}"),
            ));
        }
    }

    fn length(&mut self, field: &str, mm: u16, least: u16, greatest: u16, example: u16) {
        if !(least..=greatest).contains(&mm) {
            self.refusals.push(Refusal::of(
                field,
                format!(
                    "{mm} mm cannot be right; measure in millimetres, {least} to {greatest}, for \
                     example {example}"
                ),
            ));
        }
    }

    fn count(&mut self, field: &str, count: u8, least: u8, greatest: u8, example: u8) {
        if !(least..=greatest).contains(&count) {
            self.refusals.push(Refusal::of(
                field,
                format!(
                    "{count} is not possible; write {least} to {greatest}, for example {example}"
                ),
            ));
        }
    }

    fn at_most(&mut self, field: &str, count: usize, greatest: usize, what: &str) {
        if count > greatest {
            self.refusals
                .push(Refusal::of(field, format!("has {count} {what}; keep at most {greatest}")));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kitchen::presets;

    /// One in which each length can be changed alone: no share depends on it.
    fn kitchen() -> Kitchen {
        let mut kitchen = presets().remove(0).kitchen;
        let shelves =
            kitchen.fridge.iter_mut().chain(&mut kitchen.freezer).chain(&mut kitchen.room);
        shelves.for_each(|shelf| shelf.household = Household::Nothing);
        kitchen
    }

    fn fields(kitchen: &Kitchen) -> Vec<String> {
        kitchen.validate().into_iter().map(|refusal| refusal.field).collect()
    }

    #[test]
    fn every_field_is_checked_at_both_ends_of_its_range() {
        type Change = fn(&mut Kitchen, u16);
        type Count = fn(&mut Kitchen, u8);
        let lengths: [(&str, u16, u16, Change); 8] = [
            ("fridge.0.width", 50, 2000, |k, v| k.fridge[0].width = v),
            ("fridge.1.depth", 50, 1200, |k, v| k.fridge[1].depth = v),
            ("freezer.0.height", 20, 2000, |k, v| k.freezer[0].height = v),
            ("room.0.width", 50, 2000, |k, v| k.room[0].width = v),
            ("racks.0.tray_width", 100, 1000, |k, v| k.racks[0].tray_width = v),
            ("racks.0.tray_depth", 100, 1000, |k, v| k.racks[0].tray_depth = v),
            ("counter.depth", 200, 2000, |k, v| k.counter.depth = v),
            ("counter.width", 800, 10_000, |k, v| k.counter.width = v),
        ];
        for (field, least, greatest, change) in lengths {
            for good in [least, greatest] {
                let mut kitchen = kitchen();
                change(&mut kitchen, good);
                assert_eq!(fields(&kitchen), [""; 0], "{field} = {good}");
            }
            for bad in [0, greatest + 1, u16::MAX] {
                let mut kitchen = kitchen();
                change(&mut kitchen, bad);
                assert!(fields(&kitchen).contains(&field.to_owned()), "{field} = {bad}");
            }
        }
        let counts: [(&str, u8, u8, Count); 4] = [
            ("racks.0.levels", 1, 40, |k, v| k.racks[0].levels = v),
            ("oven.decks", 1, 4, |k, v| k.oven.decks = v),
            ("oven.trays_per_deck", 1, 4, |k, v| k.oven.trays_per_deck = v),
            ("mixers", 1, 4, |k, v| k.mixers = v),
        ];
        for (field, least, greatest, change) in counts {
            for (value, refused) in [(least, false), (greatest, false), (0, true), (41, true)] {
                let mut kitchen = kitchen();
                change(&mut kitchen, value);
                assert_eq!(fields(&kitchen) == [field], refused, "{field} = {value}");
            }
        }
    }

    #[test]
    fn a_fridge_three_metres_deep_is_refused_with_an_example() {
        let mut kitchen = kitchen();
        kitchen.fridge[2].depth = 3000;
        let refusals = kitchen.validate();
        assert_eq!(refusals.len(), 1);
        assert_eq!(refusals[0].field, "fridge.2.depth");
        for part in ["3000 mm", "50 to 1200", "for example 330"] {
            assert!(refusals[0].message.contains(part), "{}", refusals[0]);
        }
    }

    #[test]
    fn shares_names_and_work_zone_are_checked() {
        let mut kitchen = kitchen();
        kitchen.fridge[0].household = Household::Strip { width: 470 };
        kitchen.fridge[1].name = " ".into();
        kitchen.racks[0].name = "x".repeat(61);
        kitchen.counter.work_zone = kitchen.counter.width + 1;
        assert_eq!(
            fields(&kitchen),
            ["fridge.0.household.width", "fridge.1.name", "racks.0.name", "counter.work_zone"]
        );
        kitchen =
            Kitchen { fridge: Vec::new(), freezer: Vec::new(), ..presets().remove(0).kitchen };
        assert_eq!(fields(&kitchen), [""; 0], "a kitchen without a fridge is no mistake");
    }

    #[test]
    fn a_share_lies_within_its_shelf_and_says_what_would() {
        let corner = |width, depth, height| Household::AllBut { width, depth, height };
        for (household, wrong) in [
            (Household::Strip { width: 0 }, "width"),
            (Household::Strip { width: 469 }, ""),
            (Household::Strip { width: 470 }, "width"),
            (Household::Strip { width: 3000 }, "width"),
            (corner(20, 20, Some(20)), ""),
            (corner(470, 330, None), ""),
            (corner(0, 330, None), "width"),
            (corner(471, 330, None), "width"),
            (corner(300, 3000, None), "depth"),
            (corner(300, 200, Some(0)), "height"),
            (corner(300, 200, Some(181)), "height"),
        ] {
            let mut kitchen = kitchen();
            kitchen.fridge[0].household = household;
            let refusals = kitchen.validate();
            let fields: Vec<_> = refusals.iter().map(|refusal| refusal.field.as_str()).collect();
            if wrong.is_empty() {
                assert_eq!(fields, [""; 0], "{household:?}");
            } else {
                assert_eq!(fields, [format!("fridge.0.household.{wrong}")], "{household:?}");
                assert!(refusals[0].message.contains("for example"), "{}", refusals[0]);
            }
        }
    }

    #[test]
    fn a_clearing_needs_a_shelf_a_width_and_an_order_of_time() {
        let wall = |text: &str| text.parse().expect(text);
        let good = Clearing {
            place: Place::Fridge,
            shelf: 3,
            cleared: Cleared::Strip { width: 10 },
            from: wall("2026-11-27T18:00"),
            until: wall("2026-11-28T10:00"),
        };
        let with = |change: fn(&mut Clearing)| {
            let mut clearing = good.clone();
            change(&mut clearing);
            let kitchen = Kitchen { clearings: vec![good.clone(), clearing], ..kitchen() };
            fields(&kitchen)
        };
        assert_eq!(with(|_| {}), [""; 0]);
        assert_eq!(with(|c| c.shelf = 4), ["clearings.1.shelf"]);
        assert_eq!(with(|c| c.place = Place::Counter), ["clearings.1.shelf"]);
        assert_eq!(with(|c| c.cleared = Cleared::Strip { width: 9 }), ["clearings.1.width"]);
        assert_eq!(with(|c| c.cleared = Cleared::Strip { width: 2001 }), ["clearings.1.width"]);
        assert_eq!(with(|c| c.until = c.from), ["clearings.1.until"]);
        assert_eq!(with(|c| c.until = c.from.plus_minutes(-1)), ["clearings.1.until"]);
        assert_eq!(with(|c| c.until = c.from.plus_minutes(1)), [""; 0]);
        assert_eq!(with(|c| c.until = c.from.date().plus_days(61).at(0)), ["clearings.1.until"]);
    }

    #[test]
    fn each_group_says_how_to_measure_it() {
        for group in ["fridge", "freezer", "racks", "counter", "room", "oven", "mixers"] {
            assert!(how_to_measure(group).len() > 30, "{group}");
            assert!(!how_to_measure(group).ends_with('.'), "{group}");
        }
        assert_eq!(how_to_measure("cellar"), "");
    }
}
