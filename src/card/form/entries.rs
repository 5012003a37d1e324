//! What a form shows at a place: its entries, with what is written in each.

use serde_json::Value;

use super::schema::{Base, Kind, Source};
use super::{Part, Sheet, field, item, join};
use crate::card::{Card, GIVEN_COUNTS, OptionKind};
use crate::supply::{Kind as Goods, catalogue};

/// One entry of the form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Its place, for example `steps[2].name`.
    pub path: String,
    /// What is asked; for an item of a list what it is called.
    pub label: String,
    /// A sentence of help, or what an item says in short; may be empty.
    pub hint: String,
    /// What can be written.
    pub what: What,
}

/// What can be written at a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum What {
    /// A line.
    Text,
    /// Sentences, one to a line.
    Lines,
    /// A whole number with its unit.
    Number(&'static str),
    /// A time: written as a number and `s`, `min`, `h` or `days`; the least unit that it has.
    Time(Base),
    /// Yes, written `1`, or no, `0`.
    Switch,
    /// One of these: a name for the program and words.
    Choice(Vec<(String, String)>),
    /// Further entries.
    Group,
    /// The same, or nothing, written as a switch; whether it is there.
    May(bool),
    /// Items; what the button that adds one says.
    List(&'static str),
    /// One of a list, with entries of its own.
    Item,
}

impl Sheet {
    /// The entries at a place: of the whole card where that is empty, of an object, or the items of a list.
    pub fn entries(&self, path: &str) -> Vec<Entry> {
        if let Some(Kind::List(..)) = self.kind(path) {
            return self.items(path);
        }
        let Some(of) = self.object(path) else { return Vec::new() };
        let mut entries = Vec::new();
        for (name, label, kind, hint) in self.rows(of, path) {
            let place = join(path, name);
            let tag = of.forms.as_ref().filter(|forms| forms.tag == name);
            if let Kind::Names = kind {
                entries.extend(self.names_at(&place, label));
                continue;
            }
            // Rests are shown with the step that they come after.
            let hidden =
                place == "rests" || (place == "component" && self.card.copied_from.is_some());
            let what = match tag {
                Some(forms) => {
                    let each = forms.all.iter();
                    What::Choice(
                        each.map(|form| (form.name.to_owned(), form.words.to_owned())).collect(),
                    )
                }
                None => self.what(&place, kind),
            };
            if !hidden {
                entries.push(Entry {
                    path: place.clone(),
                    label: label.to_owned(),
                    hint: hint.to_owned(),
                    what,
                });
            }
            if let (Kind::When, Some(least)) = (kind, self.least_of(&place)) {
                let path = format!("{place}.at_least");
                let label = format!("{}: from", self.card.called(&least));
                entries.push(Entry { path, label, hint: String::new(), what: What::Number("") });
            }
        }
        if let Some(("components", _)) = item(path) {
            entries.extend(self.passed(path));
        }
        entries
    }

    fn what(&self, place: &str, kind: Kind) -> What {
        match kind {
            Kind::Text | Kind::MayText => What::Text,
            Kind::Lines => What::Lines,
            Kind::Number(unit, ..) | Kind::MayNumber(unit, _) => What::Number(unit),
            Kind::Set => What::Number(""),
            Kind::Time(base, _) | Kind::MayTime(base, _) => What::Time(base),
            Kind::Switch => What::Switch,
            Kind::Value => {
                let kind = place.rsplit_once('.').and_then(|(option, _)| item(option));
                match kind.and_then(|(_, at)| self.card.options.get(at)).map(|option| &option.kind)
                {
                    Some(OptionKind::Length { .. }) => What::Number("mm"),
                    Some(OptionKind::Count { .. }) => What::Number(""),
                    _ => What::Switch,
                }
            }
            Kind::Choice(from) => What::Choice(self.choices(from)),
            Kind::MayChoice(from, nothing) => {
                let none = (String::new(), nothing.to_owned());
                What::Choice(std::iter::once(none).chain(self.choices(from)).collect())
            }
            Kind::When => What::Choice(self.conditions(place)),
            Kind::Names | Kind::Group(_) => What::Group,
            Kind::May(..) => What::May(self.get(place).is_some_and(|value| !value.is_null())),
            Kind::List(_, add, _) => What::List(add),
        }
    }

    /// A choice for each name that is multiplied, and one to add another.
    fn names_at(&self, place: &str, label: &str) -> Vec<Entry> {
        let there = self.get(place).and_then(Value::as_array).map_or(0, Vec::len);
        let nothing = if field(place) == "per" { "all of it once" } else { "nothing" };
        let entry = |at: usize| {
            let none = if at == 0 { nothing } else { "nothing more" };
            let none = (String::new(), none.to_owned());
            Entry {
                path: format!("{place}[{at}]"),
                label: if at == 0 { label.to_owned() } else { "times".to_owned() },
                hint: String::new(),
                what: What::Choice(
                    std::iter::once(none).chain(self.choices(Source::Names)).collect(),
                ),
            }
        };
        (0..=there).map(entry).collect()
    }

    /// For each option of a component's card: what of this card it follows, or what it is set to.
    fn passed(&self, path: &str) -> Vec<Entry> {
        let card = self.get(&join(path, "card")).and_then(Value::as_str);
        let Some(part) = self.parts.iter().find(|part| Some(part.id.as_str()) == card) else {
            return Vec::new();
        };
        let mut entries = Vec::new();
        for (id, label) in &part.options {
            let label = label.trim_end_matches(", mm");
            let pass = format!("{path}.pass.{id}");
            let set = format!("{path}.set.{id}");
            let follows = self.get(&pass).is_some();
            let what = self.what(&pass, super::PASS);
            entries.push(Entry {
                path: pass,
                label: format!("Its “{label}” follows"),
                hint: String::new(),
                what,
            });
            if !follows {
                let hint = "Empty: as usual there".to_owned();
                entries.push(Entry {
                    path: set,
                    label: format!("Its “{label}” is"),
                    hint,
                    what: What::Number(""),
                });
            }
        }
        entries
    }

    /// The option of a condition, where it is one with numbers.
    fn least_of(&self, place: &str) -> Option<String> {
        let name = self.get(place)?.get("option")?.as_str()?;
        let option = self.card.options.iter().find(|option| option.id == name);
        match option.map(|option| &option.kind) {
            Some(OptionKind::Switch) => None,
            _ => Some(name.to_owned()),
        }
    }

    pub(super) fn choices(&self, from: Source) -> Vec<(String, String)> {
        let card = &self.card;
        match from {
            Source::These(all) => {
                all.iter().map(|(name, words)| ((*name).to_owned(), (*words).to_owned())).collect()
            }
            Source::Steps => {
                card.steps.iter().map(|step| (step.id.clone(), step.name.clone())).collect()
            }
            Source::Things => {
                card.things.iter().map(|thing| (thing.id.clone(), thing.what.clone())).collect()
            }
            Source::Names => self.names(),
            Source::Cards => {
                let pair = |part: &Part| (part.id.clone(), part.name.clone());
                self.parts.iter().map(pair).collect()
            }
            Source::Ingredients => goods(Goods::Ingredient),
            Source::Packaging => goods(Goods::Packaging),
        }
    }

    /// Counts that every card has, its options, counts and things.
    fn names(&self) -> Vec<(String, String)> {
        let card = &self.card;
        let given = GIVEN_COUNTS.into_iter().map(|id| {
            let words = match id {
                "pieces" => card.pieces.clone(),
                "ordered" => format!("{} that were ordered", card.pieces),
                _ => "spares".to_owned(),
            };
            (id.to_owned(), words)
        });
        let options = card.options.iter().map(|option| option.id.clone());
        let counts = card.counts.iter().map(|count| count.id.clone());
        let named = options.chain(counts).map(|id| {
            let words = card.called(&id);
            (id, words)
        });
        let things =
            card.things.iter().map(|thing| (thing.id.clone(), format!("how many: {}", thing.what)));
        given.chain(named).chain(things).collect()
    }

    /// Always, or only with or without each option; a condition that has a least number keeps it.
    fn conditions(&self, place: &str) -> Vec<(String, String)> {
        let mut all = vec![(String::new(), "always".to_owned())];
        let now = self.get(place).and_then(|when| when["option"].as_str());
        let mut names: Vec<&str> = self.card.options.iter().map(|o| o.id.as_str()).collect();
        if let Some(now) = now
            && !names.contains(&now)
        {
            names.push(now);
        }
        for name in names {
            for (sign, with) in [("", "with"), ("-", "without")] {
                all.push((format!("{sign}{name}"), format!("{with} {}", self.card.called(name))));
            }
        }
        all
    }

    /// The items of a list, by their names, each with what it says in short.
    fn items(&self, list: &str) -> Vec<Entry> {
        let count = self.get(list).and_then(Value::as_array).map_or(0, Vec::len);
        let mut paths: Vec<String> = Vec::new();
        for at in 0..count {
            paths.push(format!("{list}[{at}]"));
            if list == "steps" {
                let step = &self.card.steps[at].id;
                let rests = self.card.rests.iter().enumerate();
                paths.extend(
                    rests.filter(|(_, r)| r.from == *step).map(|(at, _)| format!("rests[{at}]")),
                );
            }
        }
        paths
            .into_iter()
            .map(|path| {
                let (label, hint) = self.item_words(&path);
                Entry { path, label, hint, what: What::Item }
            })
            .collect()
    }

    /// What an item is called and what it says in short.
    pub fn item_words(&self, path: &str) -> (String, String) {
        let card = &self.card;
        let Some((list, at)) = item(path) else { return (String::new(), String::new()) };
        let way = |mode: &crate::card::RestMode| (card.way_name(mode), card.way_times(mode));
        let supply = |used: &crate::card::CardSupply, unit: &str| {
            let name =
                crate::supply::good(&used.of).map_or(used.of.clone(), |good| good.name.clone());
            (name, format!("{unit}{}", card.supply_words(used)))
        };
        let words = match list {
            "steps" => card
                .steps
                .get(at)
                .map(|step| (format!("{}. {}", at + 1, step.name), card.step_words(step))),
            "rests" => card.rests.get(at).map(|rest| {
                let ways: Vec<String> =
                    rest.modes.iter().map(|mode| card.way_words(mode)).collect();
                (format!("↓ {}", rest.what), ways.join("\nor "))
            }),
            "keeps" => card.keeps.get(at).map(way),
            "limits" => card.limits.get(at).map(|limit| {
                (limit.what.clone(), format!("at most {}", Card::limit_words(limit.greatest)))
            }),
            "options" => card
                .options
                .get(at)
                .map(|option| (card.called(&option.id), Card::option_words(option))),
            "counts" => {
                card.counts.get(at).map(|count| (card.called(&count.id), card.count_words(count)))
            }
            "things" => {
                card.things.get(at).map(|thing| (thing.what.clone(), card.thing_words(thing)))
            }
            "ingredients" => card.ingredients.get(at).map(|used| supply(used, "g: ")),
            "packaging" => card.packaging.get(at).map(|used| supply(used, "")),
            "components" => card.components.get(at).map(|part| {
                let name = self.parts.iter().find(|known| known.id == part.card);
                (name.map_or(part.card.clone(), |known| known.name.clone()), String::new())
            }),
            _ => match (list.strip_prefix("rests["), list.ends_with("].modes")) {
                (Some(rest), true) => {
                    let rest = rest.split(']').next().and_then(|at| at.parse::<usize>().ok());
                    let rest = rest.and_then(|at| card.rests.get(at));
                    rest.and_then(|rest| rest.modes.get(at)).map(way)
                }
                _ => None,
            },
        };
        words.unwrap_or_default()
    }
}

fn goods(kind: Goods) -> Vec<(String, String)> {
    let all = catalogue().iter().filter(|good| good.kind == kind);
    all.map(|good| (good.id.clone(), good.name.clone())).collect()
}
