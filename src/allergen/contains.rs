//! What ingredients bring together, and the line of a label that says so.

use std::collections::BTreeMap;

use super::ingredients::ingredient;
use super::lists::{Allergen, List};

/// What ingredients bring together.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Content {
    /// Each allergen that is in for sure, with the ingredients that bring it.
    pub brings: BTreeMap<Allergen, Vec<String>>,
    /// Each allergen that may be in, with the ingredients whose label has to be read. An allergen that is in
    /// for sure may stand here too.
    pub check: BTreeMap<Allergen, Vec<String>>,
    /// Ingredients of which the map knows nothing: the whole cannot be judged before their labels are read.
    pub unknown: Vec<String>,
}

/// What these ingredients bring. A name that stands twice counts once.
pub fn content<'a>(names: impl IntoIterator<Item = &'a str>) -> Content {
    let mut content = Content::default();
    for name in names {
        let Some(row) = ingredient(name) else {
            let name = name.trim();
            if !name.is_empty() && !content.unknown.iter().any(|other| other == name) {
                content.unknown.push(name.to_owned());
            }
            continue;
        };
        for (found, allergens) in
            [(&mut content.brings, row.brings), (&mut content.check, row.check)]
        {
            for allergen in allergens {
                let by = found.entry(*allergen).or_insert_with(Vec::new);
                if !by.iter().any(|other| other == row.name) {
                    by.push(row.name.to_owned());
                }
            }
        }
    }
    content
}

/// The line "Contains: …" of what is in for sure, by a list; None when the list names nothing of it. Nuts, and
/// in Europe cereals, are named one by one (21 U.S.C. 343(w)(2); Regulation (EU) 1169/2011, annex II). In
/// Europe the ingredient list of a packed food emphasises the same names instead. What is still to be
/// checked or unknown is no part of the line: show it beside.
pub fn contains_line(content: &Content, list: List) -> Option<String> {
    let mut groups: Vec<(&'static str, Vec<&'static str>)> = Vec::new();
    for allergen in content.brings.keys() {
        let Some(group) = allergen.group(list) else { continue };
        let kinds = match allergen {
            Allergen::TreeNut(nut) => vec![nut.name()],
            Allergen::Gluten(_) if list == List::Europe => vec![allergen.name()],
            _ => Vec::new(),
        };
        match groups.iter_mut().find(|(name, _)| *name == group) {
            Some((_, known)) => known.extend(kinds),
            None => groups.push((group, kinds)),
        }
    }
    let written = groups.into_iter().map(|(group, kinds)| {
        if kinds.is_empty() { group.to_owned() } else { format!("{group} ({})", kinds.join(", ")) }
    });
    let written: Vec<String> = written.collect();
    (!written.is_empty()).then(|| format!("Contains: {}.", written.join(", ")))
}
