//! What a card must be before anything is made from it.

use std::collections::BTreeSet;
use std::fmt;

use crate::plan::arrange::set_of;
use crate::plan::json;
use crate::supply::{Kind, good};

use super::differences::minutes;
use super::reach::{step_on_a_circle, step_that_leads_nowhere};
use super::{
    Card, CardStep, CardSupply, Component, CountRule, FIRST_TIME, Footprint, GIVEN_COUNTS, Heat,
    Need, OptionKind, RestMode, Size, Stay, StepKind, Term, When,
};

/// Shortest sitting that a card may ask for, minutes: below it set-up eats the work.
const SHORTEST_SITTING: u16 = 15;

/// What is wrong with a card, where, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardError {
    /// The card's id; empty when the file could not be read so far.
    pub card: String,
    /// Where in the file, for example `steps[2].work[0].per[1]` or `line 12`.
    pub place: String,
    /// What is wrong and what to write instead, with a valid example.
    pub message: String,
}

impl fmt::Display for CardError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.card.is_empty() {
            write!(f, "{}: {}", self.place, self.message)
        } else {
            write!(f, "card “{}”, {}: {}", self.card, self.place, self.message)
        }
    }
}

impl std::error::Error for CardError {}

impl Card {
    /// Reads and checks one card file. Components are checked against the other cards separately, by
    /// [`check_components`].
    pub fn parse(text: &str) -> Result<Self, CardError> {
        let card: Self = json::read(text).map_err(|fault| CardError {
            card: String::new(),
            place: if fault.place().is_empty() { "the card" } else { fault.place() }.to_owned(),
            message: format!(
                "{}; see the example in the description of card files",
                fault.message()
            ),
        })?;
        card.validate()?;
        Ok(card)
    }

    /// Checks that the card holds together. The first fault is told.
    pub fn validate(&self) -> Result<(), CardError> {
        Checker::new(self).card().map_err(|(place, message)| CardError {
            card: self.id.clone(),
            place,
            message,
        })
    }
}

/// Checks that the cards which a card uses exist, have the options that it sets, and do not use it.
pub fn check_components(card: &Card, known: &[&Card]) -> Result<(), CardError> {
    let fault =
        |place: String, message: String| Err(CardError { card: card.id.clone(), place, message });
    for (index, component) in card.components.iter().enumerate() {
        let place = format!("components[{index}]");
        let Some(other) = known.iter().find(|other| other.id == component.card) else {
            return fault(
                format!("{place}.card"),
                format!("there is no card “{}”; name one, such as royal-icing", component.card),
            );
        };
        for theirs in component.pass.keys().chain(component.set.keys()) {
            if !other.options.iter().any(|option| option.id == *theirs) {
                return fault(
                    format!("{place}.pass"),
                    format!("“{}” has no option “{theirs}”", component.card),
                );
            }
        }
        if uses(other, &card.id, known, known.len()) {
            return fault(
                format!("{place}.card"),
                format!("“{}” is itself made with this card; take one of the two out", other.id),
            );
        }
    }
    Ok(())
}

/// Whether a card is, or is made with, the card of that id.
fn uses(card: &Card, id: &str, known: &[&Card], depth: usize) -> bool {
    card.id == id
        || (depth > 0
            && card.components.iter().any(|component| {
                known
                    .iter()
                    .find(|other| other.id == component.card)
                    .is_some_and(|other| uses(other, id, known, depth - 1))
            }))
}

type Fault = (String, String);

struct Checker<'a> {
    card: &'a Card,
    /// Options, and counts that are known so far.
    names: BTreeSet<&'a str>,
}

impl<'a> Checker<'a> {
    fn new(card: &'a Card) -> Self {
        let mut names = set_of(GIVEN_COUNTS);
        names.extend(card.options.iter().map(|option| option.id.as_str()));
        Self { card, names }
    }

    fn card(mut self) -> Result<(), Fault> {
        let card = self.card;
        id("id", &card.id)?;
        for (place, text) in
            [("name", &card.name), ("piece", &card.piece), ("pieces", &card.pieces)]
        {
            filled(place, text)?;
        }
        let mut given = set_of(GIVEN_COUNTS);
        for (index, option) in card.options.iter().enumerate() {
            let place = format!("options[{index}]");
            id(&format!("{place}.id"), &option.id)?;
            if !given.insert(&option.id) {
                return Err((format!("{place}.id"), format!("“{}” is taken", option.id)));
            }
            filled(&format!("{place}.label"), &option.label)?;
            let (min, max) = match option.kind {
                OptionKind::Count { min, max } | OptionKind::Length { min, max } => (min, max),
                OptionKind::Switch => (0, 1),
            };
            if min < 0 || max < min || option.default < min || max < option.default {
                return Err((
                    place,
                    "the usual value lies between the least and the most, none below 0, such as 1, 3 and 10; in a file \
                     min 1, default 3, max 10"
                        .to_owned(),
                ));
            }
            if option.rule && (option.kind != OptionKind::Switch || option.default != 1) {
                return Err((
                    place,
                    "a rule of the trade is a switch that is on as a rule; in a file kind { \"is\": \"switch\" }, \
                     default 1"
                        .to_owned(),
                ));
            }
            if option.id == FIRST_TIME && option.kind != OptionKind::Switch {
                return Err((place, format!("“{FIRST_TIME}” must be a switch")));
            }
        }
        for (index, count) in card.counts.iter().enumerate() {
            let place = format!("counts[{index}]");
            id(&format!("{place}.id"), &count.id)?;
            self.rule(&place, &count.rule)?;
            if !self.names.insert(&count.id) {
                return Err((format!("{place}.id"), format!("“{}” is taken", count.id)));
            }
        }
        self.things()?;
        self.steps()?;
        self.rests()?;
        self.modes("keeps", &card.keeps)?;
        for (index, component) in card.components.iter().enumerate() {
            self.component(&format!("components[{index}]"), component)?;
        }
        let mut limits = BTreeSet::new();
        for (index, limit) in card.limits.iter().enumerate() {
            let place = format!("limits[{index}]");
            id(&format!("{place}.id"), &limit.id)?;
            if !limits.insert(&limit.id) {
                return Err((format!("{place}.id"), format!("“{}” is taken", limit.id)));
            }
            self.step(&format!("{place}.from"), &limit.from)?;
            if let Some(to) = &limit.to {
                self.step(&format!("{place}.to"), to)?;
            }
            self.when(&place, limit.when.as_ref())?;
            sourced(&place, Some(limit.greatest), &limit.source)?;
        }
        self.supplies("ingredients", &card.ingredients, Kind::Ingredient)?;
        self.supplies("packaging", &card.packaging, Kind::Packaging)
    }

    /// What is used up is in the catalogue, in a step of this card, and not below nothing.
    fn supplies(&self, place: &str, supplies: &[CardSupply], kind: Kind) -> Result<(), Fault> {
        for (index, supply) in supplies.iter().enumerate() {
            let place = format!("{place}[{index}]");
            if good(&supply.of).is_none_or(|good| good.kind != kind) {
                let example = kind.example();
                return Err((
                    format!("{place}.of"),
                    format!(
                        "the catalogue has no {kind} “{}”; write one, such as {example}",
                        supply.of
                    ),
                ));
            }
            self.step(&format!("{place}.step"), &supply.step)?;
            self.terms(&format!("{place}.amount"), &supply.amount)?;
            if supply.amount.is_empty() {
                return Err((
                    format!("{place}.amount"),
                    "needs an amount, such as 12 for each of the pieces; in a file { \"each\": 12, \"per\": \
                     [\"pieces\"] }"
                        .to_owned(),
                ));
            }
            if supply.over < 1 {
                return Err((
                    format!("{place}.over"),
                    "is 1 at the least, such as 1000".to_owned(),
                ));
            }
            if 100 < supply.waste {
                return Err((
                    format!("{place}.waste"),
                    "is 0 to 100 per cent, such as 10".to_owned(),
                ));
            }
            self.when(&place, supply.when.as_ref())?;
        }
        Ok(())
    }

    fn steps(&self) -> Result<(), Fault> {
        let card = self.card;
        let Some(last) = card.steps.last() else {
            return Err(("steps".to_owned(), "needs at least one step, such as “Bake”".to_owned()));
        };
        if last.when.is_some() {
            let place = format!("steps[{}].when", card.steps.len() - 1);
            return Err((
                place,
                "the last step must always happen, without a condition; in a file leave its “when” out"
                    .to_owned(),
            ));
        }
        let mut ids = BTreeSet::new();
        for (index, step) in card.steps.iter().enumerate() {
            let place = format!("steps[{index}]");
            id(&format!("{place}.id"), &step.id)?;
            if !ids.insert(&step.id) || card.components.iter().any(|c| c.name() == step.id) {
                return Err((format!("{place}.id"), format!("“{}” is taken", step.id)));
            }
            filled(&format!("{place}.name"), &step.name)?;
            self.one_step(&place, step)?;
        }
        Ok(())
    }

    fn one_step(&self, place: &str, step: &CardStep) -> Result<(), Fault> {
        self.when(place, step.when.as_ref())?;
        if step.setup < 0 || step.cleanup < 0 {
            return Err((place.to_owned(), "times are never below 0, such as 600".to_owned()));
        }
        self.terms(&format!("{place}.work"), &step.work)?;
        if step.work.is_empty() {
            return Err((
                format!("{place}.work"),
                "needs a time, such as 10 min; in a file { \"each\": 600 }".to_owned(),
            ));
        }
        if let Some(cut) = step.cut_min {
            if !matches!(step.kind, StepKind::Plain | StepKind::Fine) {
                return Err((
                    format!("{place}.cut_min"),
                    "only hands-on work can be cut into sittings; leave it out".to_owned(),
                ));
            }
            if !(SHORTEST_SITTING..=240).contains(&cut) {
                return Err((
                    format!("{place}.cut_min"),
                    format!("a sitting lasts {SHORTEST_SITTING} to 240 minutes, such as 60"),
                ));
            }
        }
        if let Some(most) = &step.cut_max {
            self.when(&format!("{place}.cut_max"), most.when.as_ref())?;
            if step.cut_min.is_none_or(|least| most.minutes < least.saturating_mul(2)) {
                return Err((
                    format!("{place}.cut_max"),
                    "a step that is cut has a shortest sitting too, and this is twice that at the least, such as \
                     120 min for 45; in a file cut_min"
                        .to_owned(),
                ));
            }
        }
        if step.cut_min.is_none() && (step.pause_max.is_some() || step.pause_at.is_some()) {
            return Err((
                format!("{place}.pause_max"),
                "a step that is never cut has no pause; give a shortest sitting, such as 60 min; in a file \
                 cut_min"
                    .to_owned(),
            ));
        }
        if let Some(stay) = &step.pause_at {
            self.stay(&format!("{place}.pause_at"), stay)?;
        }
        let oven = step.needs.iter().any(|need| matches!(need, Need::Oven { .. }));
        if oven != (step.kind == StepKind::Oven) {
            return Err((
                format!("{place}.needs"),
                "a step in the oven says how many trays it needs, other steps need none; in a file \
                 { \"use\": \"oven\", \"trays\": \"trays\" }"
                    .to_owned(),
            ));
        }
        for (index, need) in step.needs.iter().enumerate() {
            let place = format!("{place}.needs[{index}]");
            match need {
                Need::Mixer => {}
                Need::Oven { trays } => self.name(&format!("{place}.trays"), trays)?,
                Need::Place { footprint, .. } => self.footprint(&place, footprint)?,
            }
        }
        if let Some(detail) = &step.detail {
            self.detail(&format!("{place}.detail"), detail)?;
        }
        Ok(())
    }

    /// Every brace names a count: `{amount}`, `{trays}` or `{trays|tray|trays}`.
    fn detail(&self, place: &str, text: &str) -> Result<(), Fault> {
        for (index, part) in text.split('{').enumerate() {
            let inside = part.split_once('}').map(|(inside, _)| inside);
            match (index, inside) {
                (0, _) | (_, Some("amount")) => {}
                (_, Some(inside)) => {
                    let mut words = inside.split('|');
                    self.name(place, words.next().unwrap_or_default())?;
                    if ![0, 2].contains(&words.count()) {
                        return Err((
                            place.to_owned(),
                            "write a count, or a count with its noun, such as \
                             {trays|tray|trays}"
                                .to_owned(),
                        ));
                    }
                }
                (_, None) => {
                    return Err((place.to_owned(), "a brace is open; close it with }".to_owned()));
                }
            }
        }
        Ok(())
    }

    /// Things come after all counts, as they may use any of them; their ids are counts from then on.
    fn things(&mut self) -> Result<(), Fault> {
        for (index, thing) in self.card.things.iter().enumerate() {
            let place = format!("things[{index}]");
            id(&format!("{place}.id"), &thing.id)?;
            filled(&format!("{place}.what"), &thing.what)?;
            for (field, name) in thing.shape.names() {
                self.name(&format!("{place}.{field}"), name)?;
            }
            for (field, number, example) in thing.shape.least_one() {
                if number == 0 {
                    return Err((
                        format!("{place}.{field}"),
                        format!("is 1 at the least, such as {example}"),
                    ));
                }
            }
            if self.card.things[..index].iter().any(|other| other.id == thing.id)
                || self.names.contains(thing.id.as_str())
            {
                return Err((format!("{place}.id"), format!("“{}” is taken", thing.id)));
            }
        }
        self.names.extend(self.card.things.iter().map(|thing| thing.id.as_str()));
        Ok(())
    }

    fn rests(&self) -> Result<(), Fault> {
        let mut ids = BTreeSet::new();
        for (index, rest) in self.card.rests.iter().enumerate() {
            let place = format!("rests[{index}]");
            id(&format!("{place}.id"), &rest.id)?;
            if rest.id == "keep" || !ids.insert(&rest.id) {
                return Err((format!("{place}.id"), format!("“{}” is taken", rest.id)));
            }
            self.step(&format!("{place}.from"), &rest.from)?;
            self.step(&format!("{place}.to"), &rest.to)?;
            filled(&format!("{place}.what"), &rest.what)?;
            self.when(&place, rest.when.as_ref())?;
            self.modes(&format!("{place}.modes"), &rest.modes)?;
        }
        if let Some(step) = step_on_a_circle(self.card) {
            return Err((
                "rests".to_owned(),
                format!("step “{step}” comes after itself; turn one rest round or take it out"),
            ));
        }
        if let Some(step) = step_that_leads_nowhere(self.card) {
            return Err((
                "rests".to_owned(),
                format!("nothing leads from step “{step}” to the last step; add a rest from it"),
            ));
        }
        Ok(())
    }

    fn modes(&self, place: &str, modes: &[RestMode]) -> Result<(), Fault> {
        let mut names = BTreeSet::new();
        for (index, mode) in modes.iter().enumerate() {
            let place = format!("{place}[{index}]");
            filled(&format!("{place}.name"), &mode.name)?;
            if !names.insert(&mode.name) {
                return Err((format!("{place}.name"), format!("“{}” is taken", mode.name)));
            }
            self.when(&place, mode.when.as_ref())?;
            self.terms(&format!("{place}.least"), &mode.least)?;
            let (least, most) = self.least_bounds(&format!("{place}.least"), &mode.least)?;
            self.heat(&format!("{place}.heat"), mode.heat.as_ref())?;
            if mode.greatest.is_some_and(|greatest| i64::from(greatest) < most) {
                return Err((
                    format!("{place}.greatest"),
                    format!(
                        "may come to less than the least time; give {most} or more ({})",
                        minutes(most)
                    ),
                ));
            }
            if let Some(tail) = &mode.tail {
                if i64::from(tail.minutes) > least {
                    return Err((
                        format!("{place}.tail"),
                        format!(
                            "the last {} minutes must be part of the least time; give least {} or \
                             more",
                            tail.minutes, tail.minutes
                        ),
                    ));
                }
                self.heat(&format!("{place}.tail.heat"), tail.heat.as_ref())?;
                if let Some(stay) = &tail.stay {
                    self.stay(&format!("{place}.tail.stay"), stay)?;
                }
            }
            if let Some(stay) = &mode.stay {
                self.stay(&format!("{place}.stay"), stay)?;
            }
            sourced(&place, mode.greatest.filter(|_| mode.safety), &mode.source)?;
            if mode.safety && mode.greatest.is_none() {
                return Err((
                    format!("{place}.greatest"),
                    "a safety limit needs its minutes, such as 120".to_owned(),
                ));
            }
        }
        let always = modes.iter().any(|mode| match &mode.when {
            None => true,
            Some(when) => modes.iter().any(|other| {
                other.when.as_ref().is_some_and(|turned| {
                    turned.option == when.option
                        && turned.at_least == when.at_least
                        && turned.not != when.not
                })
            }),
        });
        if always {
            Ok(())
        } else {
            Err((
                place.to_owned(),
                "no way to rest is left for some choices; give one way without a condition; in a file a mode \
                 without “when”"
                    .to_owned(),
            ))
        }
    }

    fn heat(&self, place: &str, heat: Option<&Heat>) -> Result<(), Fault> {
        let Some(heat) = heat else { return Ok(()) };
        if let Some((field, right)) = heat.wrong() {
            return Err((format!("{place}.{field}"), right.to_owned()));
        }
        for (field, size) in heat.form.sizes() {
            self.size(&format!("{place}.form.{field}"), size)?;
        }
        Ok(())
    }

    /// Least and greatest that a least time can come to, over all options.
    fn least_bounds(&self, place: &str, terms: &[Term]) -> Result<(i64, i64), Fault> {
        let (mut low, mut high) = (0_i64, 0_i64);
        for term in terms {
            let (mut term_low, mut term_high) = (term.each, term.each);
            for name in &term.per {
                let Some(option) = self.card.options.iter().find(|option| option.id == *name)
                else {
                    return Err((
                        place.to_owned(),
                        format!("a waiting time may only follow options, not the count “{name}”"),
                    ));
                };
                let (min, max) = match option.kind {
                    OptionKind::Count { min, max } | OptionKind::Length { min, max } => (min, max),
                    OptionKind::Switch => (0, 1),
                };
                term_low = term_low.saturating_mul(min);
                term_high = term_high.saturating_mul(max);
            }
            high = high.saturating_add(term_high);
            if term.when.is_none() {
                low = low.saturating_add(term_low);
            }
        }
        Ok((low, high))
    }

    fn component(&self, place: &str, component: &Component) -> Result<(), Fault> {
        id(&format!("{place}.id"), component.name())?;
        let same = self.card.components.iter().filter(|c| c.name() == component.name()).count();
        if same > 1 {
            return Err((format!("{place}.id"), format!("“{}” is taken", component.name())));
        }
        if component.uses.is_empty() {
            return Err((format!("{place}.uses"), "name the step that uses it".to_owned()));
        }
        for (index, part) in component.uses.iter().enumerate() {
            let place = format!("{place}.uses[{index}]");
            self.step(&format!("{place}.step"), &part.step)?;
            self.terms(&format!("{place}.amount"), &part.amount)?;
        }
        for ours in component.pass.values() {
            self.name(&format!("{place}.pass"), ours)?;
        }
        self.when(place, component.when.as_ref())
    }

    fn rule(&self, place: &str, rule: &CountRule) -> Result<(), Fault> {
        let names: Vec<&String> = match rule {
            CountRule::Divide { of, times, per, at_least } => {
                if *times < 1 || *per < 1 || *at_least < 0 {
                    return Err((
                        place.to_owned(),
                        "times and divided by are 1 at the least, and nothing is below 0, such as divided by 12; in \
                         a file times ≥ 1, per ≥ 1, at_least ≥ 0"
                            .to_owned(),
                    ));
                }
                of.iter().collect()
            }
            CountRule::Share { of, among } => std::iter::once(of).chain(among).collect(),
            CountRule::Least { of } => of.iter().collect(),
            CountRule::Minus { from, take, less } => {
                if *less < 0 {
                    return Err((format!("{place}.less"), "is never below 0".to_owned()));
                }
                std::iter::once(from).chain(take).collect()
            }
            CountRule::Trays { of, size, gap, edge } => {
                if *gap < 0 || *edge < 0 {
                    return Err((place.to_owned(), "gap and edge are never below 0".to_owned()));
                }
                vec![of, size]
            }
        };
        if names.is_empty() {
            return Err((format!("{place}.of"), "needs a name, such as pieces".to_owned()));
        }
        names.into_iter().try_for_each(|name| self.name(place, name))
    }

    fn terms(&self, place: &str, terms: &[Term]) -> Result<(), Fault> {
        for (index, term) in terms.iter().enumerate() {
            let place = format!("{place}[{index}]");
            if term.each < 0 {
                return Err((format!("{place}.each"), "is never below 0, such as 30".to_owned()));
            }
            for (index, name) in term.per.iter().enumerate() {
                self.name(&format!("{place}.per[{index}]"), name)?;
            }
            self.when(&place, term.when.as_ref())?;
        }
        Ok(())
    }

    fn stay(&self, place: &str, stay: &Stay) -> Result<(), Fault> {
        self.footprint(&format!("{place}.footprint"), &stay.footprint)
    }

    fn footprint(&self, place: &str, footprint: &Footprint) -> Result<(), Fault> {
        match footprint {
            Footprint::Thing { thing, pile } => {
                if *pile == Some(0) {
                    return Err((
                        format!("{place}.pile"),
                        "is 1 when nothing may stand on top".to_owned(),
                    ));
                }
                if self.card.things.iter().any(|known| known.id == *thing) {
                    return Ok(());
                }
                let known: Vec<&str> =
                    self.card.things.iter().map(|thing| thing.id.as_str()).collect();
                let known = if known.is_empty() {
                    "add what stands somewhere first; in a file to “things”".to_owned()
                } else {
                    format!("write one of {}", known.join(", "))
                };
                Err((
                    format!("{place}.thing"),
                    format!("there is no thing “{thing}” on this card; {known}"),
                ))
            }
            Footprint::Trays { count, height } => {
                if *height == 0 {
                    return Err((format!("{place}.height"), "is in mm, such as 40".to_owned()));
                }
                self.name(&format!("{place}.count"), count)
            }
            Footprint::Boxes { what, count, width, depth, height, pile } => {
                filled(&format!("{place}.what"), what)?;
                if *pile == 0 {
                    return Err((
                        format!("{place}.pile"),
                        "is 1 when nothing may stand on top".to_owned(),
                    ));
                }
                for (part, size) in [("width", width), ("depth", depth), ("height", height)] {
                    self.size(&format!("{place}.{part}"), size)?;
                }
                self.name(&format!("{place}.count"), count)
            }
        }
    }

    fn size(&self, place: &str, size: &Size) -> Result<(), Fault> {
        if size.mm < 0 || size.percent < 0 || (size.mm == 0 && size.plus.is_none()) {
            return Err((
                place.to_owned(),
                "is in mm, such as 250; in a file { \"mm\": 250 }".to_owned(),
            ));
        }
        size.plus.iter().try_for_each(|name| self.name(&format!("{place}.plus"), name))
    }

    fn when(&self, place: &str, when: Option<&When>) -> Result<(), Fault> {
        when.map_or(Ok(()), |when| self.name(&format!("{place}.when"), &when.option))
    }

    fn name(&self, place: &str, name: &str) -> Result<(), Fault> {
        if self.names.contains(name) {
            return Ok(());
        }
        let known: Vec<&str> = self.names.iter().copied().collect();
        Err((
            place.to_owned(),
            format!("there is no option or count “{name}” here; write one of {}", known.join(", ")),
        ))
    }

    fn step(&self, place: &str, name: &str) -> Result<(), Fault> {
        if self.card.steps.iter().any(|step| step.id == name) {
            return Ok(());
        }
        let known: Vec<&str> = self.card.steps.iter().map(|step| step.id.as_str()).collect();
        Err((
            place.to_owned(),
            format!("there is no step “{name}”; write one of {}", known.join(", ")),
        ))
    }
}

fn id(place: &str, text: &str) -> Result<(), Fault> {
    let fits = text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
    if fits && !text.is_empty() && text.len() <= 60 {
        return Ok(());
    }
    Err((
        place.to_owned(),
        format!("“{text}” must be lower-case letters, digits and hyphens, such as base-coat"),
    ))
}

fn filled(place: &str, text: &str) -> Result<(), Fault> {
    if text.trim().is_empty() {
        return Err((place.to_owned(), "must say something, such as “Bake”".to_owned()));
    }
    Ok(())
}

/// A limit names where it comes from.
fn sourced(place: &str, limit: Option<u32>, source: &str) -> Result<(), Fault> {
    if limit.is_some() && source.trim().is_empty() {
        return Err((
            format!("{place}.source"),
            "say where the limit comes from, such as “common practice”".to_owned(),
        ));
    }
    Ok(())
}
