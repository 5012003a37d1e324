//! What a plan costs, and how good it is, in words: hours, not points.
//!
//! In: a week, and how far the search has come. Out: lines.

use crate::kitchen::{Kitchen, Place};
use crate::plan::Progress;
use crate::plan::arrange::Arrange;
use crate::plan::explain::{Account, Preference, account, crunch};

use super::past_best::past_best;
use super::view::{Context, WeekInput};
use super::why::Words;
use super::why_not::listed;
use super::words::{at_place, capitalised, day_name, duration};

/// One preference and what the plan on screen pays for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AccountLine {
    /// For example "Work in the last 24 h before a handover".
    pub what: String,
    /// For example "2 h 15 min"; "none" where nothing is paid.
    pub amount: String,
    /// More to it, for example "Thursday 45 min"; may be empty.
    pub detail: String,
    /// This is not only unwelcome but wrong.
    pub bad: bool,
}

/// The account of the plan on screen: what is late first, then a line for every preference.
pub fn account_lines(input: WeekInput<'_>) -> Vec<AccountLine> {
    let context = Context::of(input);
    let words = Words::of(&context);
    let problem = &input.outlook.assembled.problem;
    let account = account(problem, input.plan);
    let slots = |of: fn(&Preference) -> bool| account.amount(of);
    let line = |what: &str, slots: i64, detail: String| AccountLine {
        what: what.to_owned(),
        amount: hours(&words, slots),
        detail,
        bad: false,
    };
    let mut lines = Vec::new();
    let late = slots(|p| matches!(p, Preference::OnTime(_)));
    if late > 0 {
        let whose = account.entries.iter().filter_map(|entry| match &entry.preference {
            Preference::OnTime(id) if entry.amount > 0 => Some(words.name(id)),
            _ => None,
        });
        let whose = capitalised(&listed(&whose.collect::<Vec<_>>()));
        lines.push(AccountLine { bad: true, ..line("Late at a handover", late, whose) });
    }
    let last_day = crunch(problem, input.plan);
    lines.push(line("Work in the last 24 h before a handover", last_day, String::new()));
    lines.extend(cold(&context, &account));
    let past = past_best(&context);
    if !past.is_empty() {
        let minutes: i32 = past.iter().map(|one| one.by).sum();
        let each = past.iter().map(|one| one.words.as_str()).collect::<Vec<_>>();
        lines.push(AccountLine {
            what: "Past its best, as you allow".to_owned(),
            amount: duration(minutes),
            detail: each.join("; "),
            bad: false,
        });
    }
    let old = slots(|p| matches!(p, Preference::Fresh(_)));
    let detail = "added up over everything that is made".to_owned();
    lines.push(line("Finished or half-finished, waiting for the handover", old, detail));
    let long = slots(|p| matches!(p, Preference::ShortEvening(..)));
    lines.push(line("Evenings beyond what is easy", long, evenings(&words, &account)));
    let moved: Vec<i64> = account
        .entries
        .iter()
        .filter(|entry| matches!(entry.preference, Preference::Stay(_)) && entry.amount > 0)
        .map(|entry| entry.amount)
        .collect();
    let steps = match moved.len() {
        0 => String::new(),
        1 => "1 step".to_owned(),
        many => format!("{many} steps, added up"),
    };
    lines.push(line("Moved away from where you last saw it", moved.iter().sum(), steps));
    let modes = account.entries.iter().filter_map(|entry| match &entry.preference {
        Preference::UsualMode(link) => Some(words.resting(link)),
        _ => None,
    });
    let modes: Vec<String> = modes.collect();
    if !modes.is_empty() {
        lines.push(AccountLine {
            what: "Resting in a less usual way".to_owned(),
            amount: modes.len().to_string(),
            detail: capitalised(&listed(&modes)),
            bad: false,
        });
    }
    lines
}

/// "Thursday 45 min, Friday 1 h".
fn evenings(words: &Words<'_>, account: &Account) -> String {
    let problem = &words.context.input.outlook.assembled.problem;
    let mut long: Vec<(i32, i64)> = account
        .entries
        .iter()
        .filter(|entry| entry.amount > 0)
        .filter_map(|entry| {
            let Preference::ShortEvening(worker, window) = &entry.preference else { return None };
            let worker = problem.workers.iter().find(|of| &of.id == worker)?;
            Some((worker.windows.get(*window)?.0, entry.amount))
        })
        .collect();
    long.arrange();
    let named = long.iter().map(|&(start, slots)| {
        let day = day_name(words.context.horizon.wall(words.at(start)).date());
        format!("{day} {}", hours(words, slots))
    });
    named.collect::<Vec<_>>().join(", ")
}

/// Room times time in the cold, as hours of one shelf of average size.
fn cold(context: &Context<'_>, account: &Account) -> Vec<AccountLine> {
    let problem = &context.input.outlook.assembled.problem;
    let Some(kitchen) = &context.input.book.kitchen else { return Vec::new() };
    let mut lines = Vec::new();
    for place in [Place::Fridge, Place::Freezer] {
        let entry = account.entries.iter().find(|entry| {
            matches!(&entry.preference, Preference::Room(id) if id == place.id()) && entry.cost > 0
        });
        let Some(entry) = entry else { continue };
        let shelf = shelf_units(kitchen, place);
        let minutes = entry.amount * i64::from(problem.grid_minutes);
        let shelf_hours = (minutes + shelf * 30) / (shelf * 60);
        lines.push(AccountLine {
            what: format!("Room taken {}", at_place(place)),
            amount: format!("{shelf_hours} shelf-hours"),
            detail: "one shelf full for one hour is 1".to_owned(),
            bad: false,
        });
    }
    lines
}

/// Units of room on an average shelf of a place.
fn shelf_units(kitchen: &Kitchen, place: Place) -> i64 {
    let shelves = match place {
        Place::Fridge => kitchen.fridge.len(),
        Place::Freezer => kitchen.freezer.len(),
        Place::RoomShelf => kitchen.room.len(),
        Place::Rack | Place::Counter => 1,
    };
    // As a rule, whatever is cleared for a while.
    let capacity = kitchen.capacity(place).classes.first().map_or(1, |class| class.capacity);
    (i64::from(capacity) / i64::try_from(shelves.max(1)).unwrap_or(1)).max(1)
}

fn hours(words: &Words<'_>, slots: i64) -> String {
    match i32::try_from(slots).unwrap_or(i32::MAX / 64) {
        0 => "none".to_owned(),
        slots => duration(words.at(slots).0),
    }
}

/// How good a plan is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quality {
    /// Better ones may still come.
    Looking,
    /// Proven: none is better.
    Best,
    /// At most so many per cent better is possible.
    Within(i64),
    /// A better one may exist; how much better is not known.
    Unknown,
    /// It does not keep everything.
    NotSound,
}

/// From here on a bound says nothing that helps, in per cent.
const SAYS_NOTHING: i64 = 60;

impl Quality {
    /// From how far the search has come; `sound`: separate code found nothing wrong.
    pub fn of(progress: &Progress, sound: bool, looking: bool) -> Self {
        let Some(cost) = progress.objective.filter(|_| sound) else {
            return if looking { Self::Looking } else { Self::NotSound };
        };
        let gap = cost - progress.bound.max(0);
        if gap <= 0 {
            return Self::Best;
        }
        if looking {
            return Self::Looking;
        }
        match (gap * 100 + cost - 1) / cost.max(1) {
            percent if percent <= SAYS_NOTHING => Self::Within(percent),
            _ => Self::Unknown,
        }
    }

    /// In a sentence.
    pub fn words(self) -> String {
        match self {
            Self::Looking => "Still looking for a better plan".to_owned(),
            Self::Best => "No plan is better".to_owned(),
            Self::Within(percent) => format!("At most {percent} % better is possible"),
            Self::Unknown => "A better plan may exist; none was found in the time".to_owned(),
            Self::NotSound => "This plan does not keep everything".to_owned(),
        }
    }

    /// In two or three words.
    pub fn short(self) -> String {
        match self {
            Self::Looking => "still looking".to_owned(),
            Self::Best => "best plan".to_owned(),
            Self::Within(percent) => format!("within {percent} % of the best"),
            Self::Unknown => "good plan".to_owned(),
            Self::NotSound => "does not hold".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn progress(objective: Option<i64>, bound: i64) -> Progress {
        Progress { evaluations: 9, objective, bound, finished: false }
    }

    #[test]
    fn how_good_a_plan_is_follows_from_the_bound_alone() {
        let of = |cost, bound| Quality::of(&progress(Some(cost), bound), true, false);
        assert_eq!(of(1000, 1000), Quality::Best);
        assert_eq!(of(1000, 991), Quality::Within(1));
        assert_eq!(of(1000, 990), Quality::Within(1));
        assert_eq!(of(1000, 989), Quality::Within(2), "rounded up: never better than it is");
        assert_eq!(of(1000, 0), Quality::Unknown);
        assert_eq!(of(0, 0), Quality::Best);
        assert_eq!(Quality::of(&progress(Some(10), 9), true, true), Quality::Looking);
        assert_eq!(Quality::of(&progress(Some(10), 10), true, true), Quality::Best);
        assert_eq!(Quality::of(&progress(Some(10), 10), false, false), Quality::NotSound);
        assert_eq!(Quality::of(&progress(None, 10), false, false), Quality::NotSound);
    }
}
