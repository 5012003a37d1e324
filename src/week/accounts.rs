//! What a plan costs and how likely it works, in words: hours, not points.
//!
//! In: a week, an account or a risk. Out: lines.

use std::collections::BTreeMap;

use crate::calendar::Elapsed;
use crate::kitchen::Place;
use crate::plan::explain::{Account, Preference, Risk, account, crunch};

use super::view::{Context, WeekInput};
use super::why::Words;
use super::why_not::listed;
use super::words::{duration, full_day, time_of};

/// The account of the plan on screen: a line for each preference that it does not wholly meet.
pub fn account_words(input: WeekInput<'_>) -> Vec<String> {
    let context = Context::of(input);
    let words = Words::of(&context);
    let account = account(&input.outlook.assembled.problem, input.plan);
    let mut lines = Vec::new();
    let slots = |of: fn(&Preference) -> bool| account.amount(of);
    let late = slots(|p| matches!(p, Preference::OnTime(_)));
    if late > 0 {
        lines.push(format!("Late at handovers: {}", hours(&words, late)));
    }
    let crunch = crunch(&input.outlook.assembled.problem, input.plan);
    if crunch > 0 {
        let crunch = hours(&words, crunch);
        lines.push(format!("Crunch, work in the last 24 h before a handover: {crunch}"));
    }
    lines.extend(cold(&words, &account));
    let old = slots(|p| matches!(p, Preference::Fresh(_)));
    if old > 0 {
        lines.push(format!("Waiting, finished, for the handover: {} in all", hours(&words, old)));
    }
    let evening = slots(|p| matches!(p, Preference::ShortEvening(..)));
    if evening > 0 {
        lines.push(format!(
            "Long sittings at night: {} beyond what is easy",
            hours(&words, evening)
        ));
    }
    let moved: Vec<i64> = account
        .entries
        .iter()
        .filter(|entry| matches!(entry.preference, Preference::Stay(_)) && entry.amount > 0)
        .map(|entry| entry.amount)
        .collect();
    if !moved.is_empty() {
        let steps =
            if moved.len() == 1 { "1 step".into() } else { format!("{} steps", moved.len()) };
        let by = hours(&words, moved.iter().sum());
        lines.push(format!("Moved from where you saw them: {steps}, by {by} in all"));
    }
    let modes = account.entries.iter().filter_map(|entry| match &entry.preference {
        Preference::UsualMode(link) => Some(words.resting(link)),
        _ => None,
    });
    let modes: Vec<String> = modes.collect();
    if !modes.is_empty() {
        lines.push(format!("Resting in a less usual way: {}", listed(&modes)));
    }
    lines
}

/// Room times time, as hours of one shelf of average size.
fn cold(words: &Words<'_>, account: &Account) -> Vec<String> {
    let input = &words.context.input;
    let problem = &input.outlook.assembled.problem;
    let Some(kitchen) = &input.book.kitchen else { return Vec::new() };
    let mut lines = Vec::new();
    for entry in account.entries.iter().filter(|entry| entry.cost > 0) {
        let Preference::Room(id) = &entry.preference else { continue };
        let Some(place) = Place::ALL.into_iter().find(|place| place.id() == id) else { continue };
        let shelves = match place {
            Place::Fridge => kitchen.fridge.len(),
            Place::Freezer => kitchen.freezer.len(),
            Place::RoomShelf => kitchen.room.len(),
            Place::Rack | Place::Counter => 1,
        };
        let capacity = problem.resources.iter().find(|of| &of.id == id).map_or(1, |of| of.capacity);
        let shelf = (capacity / i64::try_from(shelves.max(1)).unwrap_or(1)).max(1);
        let minutes = entry.amount * i64::from(problem.grid_minutes);
        let shelf_hours = (minutes + shelf * 30) / (shelf * 60);
        lines.push(format!("Room in the {}: {shelf_hours} shelf-hours", place.name()));
    }
    lines
}

fn hours(words: &Words<'_>, slots: i64) -> String {
    words.lasting(i32::try_from(slots).unwrap_or(i32::MAX / 64))
}

/// How likely it works: for each order, then the windows that run over most, then what helps most.
pub fn risk_words(input: WeekInput<'_>, risk: &Risk) -> Vec<String> {
    let context = Context::of(input);
    let words = Words::of(&context);
    let mut lines = Vec::new();
    for handover in &risk.handovers {
        let sure = chance(handover.on_time, risk.runs);
        lines.push(format!(
            "{}: {sure} on time",
            super::words::capitalised(&words.name(&handover.activity))
        ));
    }
    let window = |worker: &str, index: usize| {
        let problem = &input.outlook.assembled.problem;
        let of = problem.workers.iter().find(|of| of.id == worker)?;
        of.windows.get(index).copied()
    };
    let day = |slot: i32| full_day(context.horizon.wall(words.at(slot)).date());
    for over in risk.windows.iter().take(3).filter(|over| over.over * 20 >= risk.runs) {
        let Some((from, to)) = window(&over.worker, over.window) else { continue };
        let end = time_of(context.horizon.wall(words.at(to)));
        let sure = chance(over.over, risk.runs);
        let by = duration(over.minutes_over);
        lines.push(format!("{} runs past {end} {sure}, then by {by}", day(from)));
    }
    let best = risk.helps.first().and_then(|help| Some((help, window(&help.worker, help.window)?)));
    if let Some((help, (from, _))) = best {
        let more = help.gained.div_euclid(10).max(1);
        lines.push(format!(
            "Half an hour more on {} helps most: {more} more of 100 on time",
            day(from)
        ));
    }
    lines
}

/// "in 87 of 100 weeks": never "always" for what chance decides.
fn chance(runs: u32, of: u32) -> String {
    let percent = (u64::from(runs) * 100).div_ceil(u64::from(of.max(1)));
    match percent {
        100 if runs == of => "in more than 99 of 100 weeks".to_owned(),
        percent => format!("in {} of 100 weeks", percent.min(99)),
    }
}

/// Each order's chance of being on time, in per cent rounded down, by its handover's id.
pub fn chances(risk: &Risk) -> BTreeMap<&str, u32> {
    let percent = |n: u32| u32::try_from(u64::from(n) * 100 / u64::from(risk.runs.max(1)));
    let of = risk
        .handovers
        .iter()
        .map(|handover| (handover.activity.as_str(), percent(handover.on_time).unwrap_or(100)));
    of.collect()
}

/// When all that an order waits for is done, in 8 of 10 weeks.
pub fn ready_by(input: WeekInput<'_>, risk: &Risk, activity: &str) -> Option<String> {
    let handover = risk.handovers.iter().find(|handover| handover.activity == activity)?;
    let at = Elapsed(*handover.ready_by.get(1)?);
    Some(super::words::day_time(&input.outlook.horizon, at))
}
