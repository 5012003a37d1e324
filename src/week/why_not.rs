//! Why something is impossible and what would help, in words.
//!
//! In: a week, a conflict and remedies. Out: sentences. The remedies were tried before they come here.

use crate::kitchen::Place;
use crate::plan::explain::{Conflict, Remedy, Requirement, Tried};

use super::gauges::excess;
use super::view::{Context, WeekInput};
use super::why::Words;
use super::words::{capitalised, day_name, full_day, part_of_day, time_range};

/// What cannot hold together, one line each; what is needed alike is drawn together.
pub fn conflict_words(input: WeekInput<'_>, conflict: &Conflict) -> Vec<String> {
    let Conflict::Proven { members, .. } = conflict else { return Vec::new() };
    let context = Context::of(input);
    let words = Words::of(&context);
    let mut lines: Vec<String> = Vec::new();
    let (mut hands, mut soonest): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
    let now = context.now;
    for member in members {
        match member {
            Requirement::Work(id) => hands.push(words.name(id)),
            Requirement::Earliest(id) if is_about_now(&words, id, now) => {
                soonest.push(words.name(id));
            }
            other => lines.push(requirement(&words, other)),
        }
    }
    if !hands.is_empty() {
        let verb = if hands.len() == 1 { "needs" } else { "need" };
        lines.insert(0, capitalised(&format!("{} {verb} free time", listed(&hands))));
    }
    if !soonest.is_empty() {
        lines.push(format!("{} cannot begin before now", capitalised(&listed(&soonest))));
    }
    lines.dedup();
    lines
}

/// A remedy in a short line, such as “1 h more on Thursday 26 Nov, evening (layers: frozen)”.
pub fn remedy_words(input: WeekInput<'_>, tried: &Tried) -> String {
    let line = what_is_given(input, &tried.remedy);
    let changed: Vec<String> = other_rests(input, tried).into_iter().take(3).collect();
    if changed.is_empty() { line } else { format!("{line} ({})", changed.join("; ")) }
}

/// What a remedy gives, such as “1 h more on Thursday 26 Nov, evening”.
pub(super) fn what_is_given(input: WeekInput<'_>, remedy: &Remedy) -> String {
    let context = Context::of(input);
    self::remedy(&Words::of(&context), remedy)
}

/// What then rests in another way, such as “layers: frozen”.
pub(super) fn other_rests(input: WeekInput<'_>, tried: &Tried) -> Vec<String> {
    let changed = tried.modes.iter().filter_map(|(link, mode)| {
        let rest = input.outlook.work.rests.iter().find(|rest| &rest.id == link)?;
        Some(format!("{}: {mode}", rest.what))
    });
    changed.collect()
}

/// A step's earliest start is, as a rule, the present moment.
fn is_about_now(words: &Words<'_>, id: &str, now: crate::calendar::Elapsed) -> bool {
    let problem = &words.context.input.outlook.assembled.problem;
    let activity = problem.activities.iter().find(|activity| activity.id == id);
    let earliest = activity.and_then(|activity| activity.earliest);
    earliest.is_some_and(|slot| words.at(slot).0 <= now.0 + i32::from(problem.grid_minutes))
}

fn requirement(words: &Words<'_>, requirement: &Requirement) -> String {
    let problem = &words.context.input.outlook.assembled.problem;
    let activity = |id: &str| problem.activities.iter().find(|activity| activity.id == id);
    let link = |id: &str| problem.links.iter().find(|link| link.id == id);
    let text = match requirement {
        Requirement::Work(id) => format!("{} needs free time", words.name(id)),
        Requirement::Calendar(id) => format!("{} needs somebody at home", words.name(id)),
        Requirement::Gap(id) => match activity(id).and_then(|of| of.gap_max) {
            Some(most) => {
                format!("{} may pause for {} at most", words.name(id), words.lasting(most))
            }
            None => format!("{} may not pause for long", words.name(id)),
        },
        Requirement::Earliest(id) => match activity(id).and_then(|of| of.earliest) {
            Some(at) => format!("{} cannot be before {}", words.name(id), words.when(at)),
            None => words.name(id),
        },
        Requirement::Latest(id) => match activity(id).and_then(|of| of.latest) {
            Some(at) => format!("{} is {}", words.name(id), words.on(at)),
            None => words.name(id),
        },
        Requirement::Pin(id) => {
            let pin = activity(id).and_then(|of| of.pin.as_ref()?.first().copied());
            match pin {
                Some(at) => format!("{} is pinned to {}", words.name(id), words.when(at)),
                None => format!("{} is pinned", words.name(id)),
            }
        }
        Requirement::Limit(worker, index) => {
            let worker = problem.workers.iter().find(|of| &of.id == worker);
            match worker.and_then(|of| of.limits.get(*index)) {
                Some(limit) => {
                    let day = words.context.horizon.wall(words.at(limit.from)).date();
                    let most = words.lasting(i32::try_from(limit.max).unwrap_or(i32::MAX));
                    let kind = if limit.kinds.is_some() { "fine handwork" } else { "work" };
                    format!("{} may hold {most} of {kind}", full_day(day))
                }
                None => "a day may hold only so much work".to_owned(),
            }
        }
        Requirement::Capacity(id) => match place_of(id) {
            Some(place) => format!("the {} holds no more than it does", place.name()),
            None => format!("there is only so much {id}"),
        },
        Requirement::Min(id) => {
            let least = link(id).map_or(0, |link| link.min);
            format!("{} need {}", words.resting(id), words.lasting(least))
        }
        Requirement::Max(id) => {
            let of = link(id);
            let modes = of.into_iter().flat_map(|link| link.modes.iter().filter_map(|m| m.max));
            match modes.max().or(of.and_then(|link| link.max)) {
                Some(most) => {
                    format!("{} keep for {} at most", words.resting(id), words.lasting(most))
                }
                None => format!("{} keep only so long", words.resting(id)),
            }
        }
    };
    capitalised(&text)
}

fn place_of(resource: &str) -> Option<Place> {
    Place::ALL.into_iter().find(|place| resource.starts_with(place.id()))
}

fn remedy(words: &Words<'_>, remedy: &Remedy) -> String {
    let horizon = words.context.horizon;
    let problem = &words.context.input.outlook.assembled.problem;
    let window = |worker: &str, index: usize| {
        let worker = problem.workers.iter().find(|of| of.id == worker)?;
        worker.windows.get(index).copied()
    };
    let activity = |id: &str| problem.activities.iter().find(|of| of.id == id);
    match remedy {
        Remedy::MoreTime { worker, windows, slots } => {
            let more = words.lasting(*slots);
            match windows.as_slice() {
                [one] => {
                    let when = window(worker, *one).map_or_else(String::new, |(from, _)| {
                        let at = horizon.wall(words.at(from));
                        format!("{}, {}", full_day(at.date()), part_of_day(at))
                    });
                    format!("{more} more on {when}")
                }
                many => {
                    let days = many.iter().filter_map(|&one| {
                        let (from, _) = window(worker, one)?;
                        Some(day_name(horizon.wall(words.at(from)).date()).to_owned())
                    });
                    let mut days: Vec<String> = days.collect();
                    days.dedup();
                    if days.len() <= 4 {
                        format!("{more} more each on {}", listed(&days))
                    } else {
                        format!("{more} more each time that is free until then")
                    }
                }
            }
        }
        Remedy::Helper { worker, window: index } => match window(worker, *index) {
            Some((from, to)) => {
                let (from, to) = (words.at(from), words.at(to));
                let day = full_day(horizon.wall(from).date());
                format!("a helper on {day}, {}", time_range(horizon, from, to))
            }
            None => "a helper".to_owned(),
        },
        Remedy::Unpin { activity } => format!("let {} go from its pin", words.name(activity)),
        Remedy::EarlierStart { activity: id, slots } => {
            let at = activity(id).and_then(|of| of.earliest).unwrap_or(0) - slots;
            format!("begin {} from {} on", words.name(id), words.when(at))
        }
        Remedy::LaterEnd { activity: id, slots } => {
            let at = activity(id).and_then(|of| of.latest).unwrap_or(0) + slots;
            format!("move {} to {}", words.name(id), words.when(at))
        }
        Remedy::Room { resource, from, to, amount } => {
            let hours = format!("from {} to {}", words.when(*from), words.when(*to));
            let over = u32::try_from(*amount).unwrap_or(u32::MAX);
            match place_of(resource) {
                Some(place) => {
                    let place_words = Words::place(resource);
                    format!("clear {} {place_words} {hours}", excess(place, over))
                }
                None => format!("one more {resource} {hours}"),
            }
        }
    }
}

/// "a", "a and b", "a, b and c".
pub(super) fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
