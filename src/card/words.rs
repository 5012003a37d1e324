//! What stands on a card, as a reader says it, and where its numbers come from.

use super::differences::{minutes, seconds};
use super::{
    Card, CardOption, CardStep, CardSupply, CountRule, DerivedCount, OptionKind, RestMode, Shape,
    StepKind, Term, Thing, When,
};

/// Where hand times come from.
pub const HAND_ORIGIN: &str = "Hand times and times in the oven: estimates to begin with, common practice, no \
     published source. The times that you measure are better: change them in a card of your own";
/// Where waits without a source of their own come from.
pub const WAIT_ORIGIN: &str = "Least times: common practice, no published source";
/// Where waits that follow from size come from.
pub const HEAT_ORIGIN: &str = "By its size and how warm it is around it: conduction of heat (Çengel & Ghajar, Heat and \
     Mass Transfer, chapter 4); starting temperatures, and how near is near enough, are common practice, no published \
     source. Your own time, on the Kitchen page, goes before it";
/// Where sizes come from.
pub const SIZE_ORIGIN: &str = "From the number and size of the pieces and your containers on the Kitchen page; gaps and \
     heights on the card are common practice, no published source";
/// Where amounts come from.
pub const AMOUNT_ORIGIN: &str = "From the size of the pieces by geometry, densities and weights (USDA SR28, Choi & Okos \
     1986 where a test names them), and from ratios of common recipes; what is bought on top stays in bowls and bags \
     (common practice, no published source)";

impl Card {
    /// Hand times: "10 min + 30 s a biscuit".
    pub fn hand_words(&self, terms: &[Term]) -> String {
        self.terms(terms, &seconds)
    }

    /// Waiting times: "1 h".
    pub fn wait_words(&self, terms: &[Term]) -> String {
        self.terms(terms, &minutes)
    }

    /// A limit in words: "10 days".
    pub fn limit_words(greatest: u32) -> String {
        minutes(i64::from(greatest))
    }

    /// "By hand: 45 s a pop, 10 min to lay out, 8 min to clear up".
    pub fn step_words(&self, step: &CardStep) -> String {
        let kind = match step.kind {
            StepKind::Plain => "By hand",
            StepKind::Fine => "Fine handwork",
            StepKind::Oven => "In the oven, each load",
            StepKind::Wait => "By itself",
        };
        let mut text = format!("{kind}: {}", self.hand_words(&step.work));
        for (each, what) in [(step.setup, "to lay out"), (step.cleanup, "to clear up")] {
            if 0 < each {
                text = format!("{text}, {} {what}", seconds(each));
            }
        }
        self.only(text, step.when.as_ref())
    }

    /// What a way is called, with its place unless the name says it, and when it is one.
    pub fn way_name(&self, mode: &RestMode) -> String {
        let mut text = mode.name.clone();
        if let Some(stay) = &mode.stay
            && !text.contains(stay.place.name())
        {
            text = format!("{text} ({})", stay.place.name());
        }
        self.only(text, mode.when.as_ref())
    }

    /// "as long as its size needs and 30 min, at most 2 days"; may be empty.
    pub fn way_times(&self, mode: &RestMode) -> String {
        let mut times = Vec::new();
        let least = self.wait_words(&mode.least);
        match (&mode.heat, mode.least.is_empty()) {
            (Some(_), true) => times.push("as long as its size needs".to_owned()),
            (Some(_), false) => times.push(format!("as long as its size needs and {least}")),
            (None, false) => times.push(format!("at least {least}")),
            (None, true) => {}
        }
        if let Some(greatest) = mode.greatest {
            let safety = if mode.safety { ", a safety limit" } else { "" };
            times.push(format!("at most {}{safety}", Self::limit_words(greatest)));
        }
        if let Some(tail) = &mode.tail {
            let place = tail.stay.as_ref().map_or("out of it", |stay| stay.place.name());
            times.push(match tail.heat {
                Some(_) => format!("at the end as long as its size needs: {place}"),
                None => format!("the last {}: {place}", Self::limit_words(tail.minutes)),
            });
        }
        times.join(", ")
    }

    /// "boxed in the fridge: as long as its size needs, at most 2 days".
    pub fn way_words(&self, mode: &RestMode) -> String {
        let (name, times) = (self.way_name(mode), self.way_times(mode));
        if times.is_empty() { name } else { format!("{name}: {times}") }
    }

    /// "0.234 × batter grams, and 3 % on top".
    pub fn supply_words(&self, used: &CardSupply) -> String {
        let over = used.over.max(1);
        let amount = |each: i64| {
            let (whole, rest) = (each / over, each % over);
            if rest == 0 {
                return whole.to_string();
            }
            let thousandths = (i128::from(rest) * 1000 + i128::from(over) / 2) / i128::from(over);
            let text = format!("{whole}.{thousandths:03}");
            text.trim_end_matches('0').to_owned()
        };
        let mut text = self.terms(&used.amount, &amount);
        if 0 < used.waste {
            text = format!("{text}, and {} % on top", used.waste);
        }
        self.only(text, used.when.as_ref())
    }

    /// "Size across: 25 mm to 45 mm, usually 38 mm".
    pub fn option_words(option: &CardOption) -> String {
        let label = option.label.trim_end_matches(", mm");
        match option.kind {
            OptionKind::Switch if option.default == 1 => {
                format!("{label}: on unless it is switched off")
            }
            OptionKind::Switch => format!("{label}: off unless it is switched on"),
            OptionKind::Count { min, max } => {
                format!("{label}: {min} to {max}, usually {}", option.default)
            }
            OptionKind::Length { min, max } => {
                format!("{label}: {min} mm to {max} mm, usually {} mm", option.default)
            }
        }
    }

    /// "cake trays = pops × size across × size across × size across ÷ 2900000, at least 1".
    pub fn count_words(&self, count: &DerivedCount) -> String {
        let all = |names: &[String]| {
            names.iter().map(|name| self.called(name)).collect::<Vec<_>>().join(" × ")
        };
        let rule = match &count.rule {
            CountRule::Divide { of, times, per, at_least } => {
                let mut text = all(of);
                if *times != 1 {
                    text = format!("{text} × {times}");
                }
                if *per != 1 {
                    text = format!("{text} ÷ {per}, rounded up");
                }
                if 0 < *at_least { format!("{text}, at least {at_least}") } else { text }
            }
            CountRule::Share { of, among } => {
                format!("{} shared among {}, rounded up", self.called(of), all(among))
            }
            CountRule::Least { of } => {
                let names: Vec<String> = of.iter().map(|name| self.called(name)).collect();
                format!("the least of {}", names.join(", "))
            }
            CountRule::Minus { from, take, less } => {
                let taken = take.iter().map(|name| format!(" − {}", self.called(name)));
                let text = format!("{}{}", self.called(from), taken.collect::<String>());
                if 0 < *less { format!("{text} − {less}") } else { text }
            }
            CountRule::Trays { of, size, gap, edge } => format!(
                "trays for {} of {}, {gap} mm apart, {edge} mm from the edge",
                self.called(of),
                self.called(size)
            ),
        };
        format!("{} = {rule}", count.id.replace('-', " "))
    }

    /// "box of pops: boxed, 160 mm high each, 12 mm apart, at most 12 in one".
    pub fn thing_words(&self, thing: &Thing) -> String {
        let mm = |value: u16, what: &str| {
            if value == 0 { String::new() } else { format!(", {value} mm {what}") }
        };
        let layers = |layers: u8| {
            if layers < 2 { String::new() } else { format!(", up to {layers} layers") }
        };
        let rest = match &thing.shape {
            Shape::BoardCake { .. } => "a cake on its board".to_owned(),
            Shape::BoxedCake { .. } => "a cake on its board in a box".to_owned(),
            Shape::Wrapped { thick, wrap, pile, .. } => {
                format!(
                    "wrapped{}{}, up to {pile} on each other",
                    mm(*thick, "high"),
                    mm(*wrap, "of wrapping around it")
                )
            }
            Shape::Trays { gap, edge, height, .. } => {
                format!(
                    "on trays{}{}{}",
                    mm(*height, "high"),
                    mm(*gap, "apart"),
                    mm(*edge, "from the edge")
                )
            }
            Shape::Boxed { thick, gap, layers: all, most, .. } => {
                let most = most.map_or_else(String::new, |most| format!(", at most {most} in one"));
                format!(
                    "boxed{}{}{}{most}",
                    mm(*thick, "high each"),
                    mm(*gap, "apart"),
                    layers(*all)
                )
            }
            Shape::Tins { thick, gap, layers: all, .. } => {
                format!("in tins{}{}{}", mm(*thick, "high each"), mm(*gap, "apart"), layers(*all))
            }
            Shape::Tubs { density, deepest, .. } => {
                let deep =
                    deepest.map_or_else(String::new, |deep| format!(", at most {deep} mm deep"));
                format!("in tubs, {density} g a litre{deep}")
            }
            Shape::Bags { density, .. } => format!("in piping bags, {density} g a litre"),
        };
        format!("{}: {rest}", thing.what)
    }

    /// What a count, an option or a thing is called.
    pub fn called(&self, name: &str) -> String {
        if name == "pieces" {
            return self.pieces.clone();
        }
        let option = self.options.iter().find(|option| option.id == name);
        option.map_or_else(
            || name.replace('-', " "),
            |option| option.label.trim_end_matches(", mm").to_lowercase(),
        )
    }

    fn only(&self, text: String, when: Option<&When>) -> String {
        when.map_or(text.clone(), |when| format!("{text} ({})", self.when_words(when)))
    }

    fn when_words(&self, when: &When) -> String {
        let with = if when.not { "without" } else { "with" };
        let name = self.called(&when.option);
        match (when.at_least, when.not) {
            (..=1, _) => format!("{with} {name}"),
            (least, false) => format!("with {least} or more: {name}"),
            (least, true) => format!("with fewer than {least}: {name}"),
        }
    }

    fn terms(&self, terms: &[Term], unit: &dyn Fn(i64) -> String) -> String {
        let is_switch = |name: &String| {
            let option = self.options.iter().find(|option| option.id == *name);
            option.is_some_and(|option| option.kind == OptionKind::Switch)
        };
        let words = terms.iter().map(|term| {
            let mut text = unit(term.each);
            for name in term.per.iter().filter(|name| !is_switch(name)) {
                text = if name == "pieces" {
                    format!("{text} a {}", self.piece)
                } else {
                    format!("{text} × {}", self.called(name))
                };
            }
            let with = term.per.iter().filter(|name| is_switch(name)).map(|name| self.called(name));
            let with = with.collect::<Vec<_>>().join(" and ");
            if !with.is_empty() {
                text = format!("{text} (with {with})");
            }
            self.only(text, term.when.as_ref())
        });
        words.collect::<Vec<_>>().join(" + ")
    }
}

#[cfg(test)]
mod tests {
    use crate::card::{Card, builtin};

    fn biscuits() -> Card {
        Card::parse(include_str!("../../tests/data/cards/plain-biscuits.json")).expect("is a card")
    }

    fn of(id: &str) -> Card {
        builtin().into_iter().find(|card| card.id == id).expect("built in")
    }

    #[test]
    fn hand_times_and_waits_are_said_by_the_piece() {
        let card = biscuits();
        assert_eq!(card.hand_words(&card.steps[0].work), "10 min + 30 s a biscuit");
        assert_eq!(card.wait_words(&card.rests[1].modes[0].least), "1 h");
        assert_eq!(Card::limit_words(14_400), "10 days");
    }

    #[test]
    fn what_belongs_to_a_choice_says_so() {
        let pops = of("cake-pops");
        let decorate = pops.steps.iter().find(|step| step.id == "decorate").expect("a step");
        assert_eq!(
            pops.step_words(decorate),
            "Fine handwork: 25 s a pop × colours + 30 s a pop (with painted or lettered details), 8 min to lay out, \
             7 min to clear up"
        );
        let flour = &pops.ingredients[0];
        assert_eq!(pops.supply_words(flour), "0.234 × batter grams, and 3 % on top");
        assert_eq!(pops.supply_words(&pops.packaging[1]), "1 a pop, and 5 % on top");
        assert_eq!(
            Card::option_words(&pops.options[0]),
            "Size across: 25 mm to 45 mm, usually 38 mm"
        );
    }

    #[test]
    fn waits_say_how_long_and_where() {
        let pops = of("cake-pops");
        let ways: Vec<String> = pops
            .rests
            .iter()
            .flat_map(|rest| &rest.modes)
            .map(|mode| pops.way_words(mode))
            .collect();
        assert!(ways.contains(&"in its tin: at most 30 min".to_owned()), "{ways:?}");
        assert!(
            ways.contains(
                &"in the fridge, brought out an hour before dipping (with chilled ahead, out an hour before dipping): \
                  at least 1 h 30 min, at most 24 h, the last 1 h: counter"
                    .to_owned()
            ),
            "{ways:?}"
        );
    }

    #[test]
    fn every_built_in_card_can_be_read_out() {
        for card in builtin() {
            let mut lines: Vec<String> =
                card.steps.iter().map(|step| card.step_words(step)).collect();
            lines.extend(
                card.rests.iter().flat_map(|rest| &rest.modes).map(|mode| card.way_words(mode)),
            );
            lines.extend(card.keeps.iter().map(|mode| card.way_words(mode)));
            lines.extend(
                card.ingredients.iter().chain(&card.packaging).map(|used| card.supply_words(used)),
            );
            lines.extend(card.counts.iter().map(|count| card.count_words(count)));
            lines.extend(card.things.iter().map(|thing| card.thing_words(thing)));
            for line in lines {
                assert!(
                    !line.contains("  ") && !line.ends_with([' ', ',', ':']),
                    "{}: {line}",
                    card.id
                );
            }
        }
    }
}
