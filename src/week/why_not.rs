//! Why something is impossible and what would help, in words.
//!
//! In: a week, a conflict and remedies. Out: sentences, drawn together by order and by evening. The remedies were
//! tried before they come here.

use std::collections::BTreeMap;

use crate::breakdown::StepId;
use crate::calendar::Date;
use crate::plan::explain::{Conflict, Remedy, Requirement, Tried};

use super::gauges::excess;
use super::remedies::extra_words;
use super::rooms::{clearing_words, clearings};
use super::together::{Together, place_of};
use super::view::{Context, WeekInput};
use super::why::Words;
use super::words::{capitalised, day_name, full_day, part_of_day, time_range};

/// What cannot be, in one sentence.
pub fn conflict_headline(input: WeekInput<'_>, conflict: &Conflict) -> String {
    let context = Context::of(input);
    let words = Words::of(&context);
    let members = match conflict {
        Conflict::Proven { members, .. } => members.as_slice(),
        Conflict::NotProven => &[],
    };
    let pins: Vec<String> = members
        .iter()
        .filter_map(|member| match member {
            Requirement::Pin(id) => Some(words.name(id)),
            _ => None,
        })
        .collect();
    let late: Vec<String> = context
        .input
        .outlook
        .work
        .handovers
        .iter()
        .filter(|point| members.contains(&Requirement::Latest(point.id.0.clone())))
        .map(|point| {
            let at = Words::when_leaves(point);
            format!("{} cannot be ready by {at}", context.order_title(point.order))
        })
        .collect();
    let place = members.iter().find_map(|member| match member {
        Requirement::Capacity(id) => place_of(id),
        _ => None,
    });
    match (pins.as_slice(), late.as_slice(), place) {
        ([one], ..) => format!("{} cannot stay where it is pinned", capitalised(one)),
        ([_, ..], ..) => {
            format!("{} cannot all stay where they are pinned", capitalised(&listed(&pins)))
        }
        ([], [_, ..], _) => listed(&late),
        ([], [], Some(place)) => format!("The {} is too small for this", place.name()),
        _ if members.is_empty() => "No plan was found that keeps everything".to_owned(),
        _ => "Not everything can be kept at once".to_owned(),
    }
}

/// What cannot hold together, one line each; what is needed alike is drawn together.
pub fn conflict_words(input: WeekInput<'_>, conflict: &Conflict) -> Vec<String> {
    let Conflict::Proven { members, .. } = conflict else { return Vec::new() };
    let context = Context::of(input);
    let words = Words::of(&context);
    let mut lines: Vec<String> = Vec::new();
    let (mut hands, mut soonest): (Vec<&str>, Vec<&str>) = (Vec::new(), Vec::new());
    let now = context.now;
    for member in members {
        match member {
            Requirement::Work(id) => hands.push(id),
            Requirement::Earliest(id) if is_about_now(&words, id, now) => soonest.push(id),
            other => lines.push(requirement(&words, other)),
        }
    }
    if !hands.is_empty() {
        let until = members.iter().filter_map(|member| latest(&words, member)).max();
        lines.splice(0..0, by_order(&words, &hands));
        lines.extend(free_until(&words, until));
    } else if let [Requirement::Latest(_)] = members.as_slice() {
        lines.push("Its steps and rests alone take longer than there is until then".to_owned());
    } else if !soonest.is_empty() {
        let names = |ids: &[&str]| ids.iter().map(|id| words.name(id)).collect::<Vec<_>>();
        lines.push(format!("{} cannot begin before now", capitalised(&listed(&names(&soonest)))));
    }
    lines.dedup();
    lines
}

/// “Mira Holm: 9 steps need 6 h 45 min of hands, from “Mix” to “Box””.
fn by_order(words: &Words<'_>, hands: &[&str]) -> Vec<String> {
    let problem = &words.context.input.outlook.assembled.problem;
    let mut orders: BTreeMap<String, Vec<(&str, i32)>> = BTreeMap::new();
    for activity in problem.activities.iter().filter(|of| hands.contains(&of.id.as_str())) {
        let step = words.context.step(&StepId(activity.id.clone()));
        let whose = step.map_or_else(String::new, |step| words.context.order_title(step.order));
        orders.entry(whose).or_default().push((&activity.id, activity.segments.iter().sum()));
    }
    let line = |(whose, steps): (String, Vec<(&str, i32)>)| {
        let length = words.lasting(steps.iter().map(|(_, length)| length).sum());
        let names: Vec<String> = match steps.as_slice() {
            [first, _, _, .., last] => {
                let (first, last) = (words.name(first.0), words.name(last.0));
                let many = steps.len();
                return format!(
                    "{whose}: {many} steps from {first} to {last} need {length} of work"
                );
            }
            few => few.iter().map(|(id, _)| words.name(id)).collect(),
        };
        let verb = if names.len() == 1 { "needs" } else { "need" };
        format!("{whose}: {} {verb} {length} of work", listed(&names))
    };
    orders.into_iter().map(line).collect()
}

/// The last moment that a requirement leaves.
fn latest(words: &Words<'_>, requirement: &Requirement) -> Option<i32> {
    let problem = &words.context.input.outlook.assembled.problem;
    let find = |id: &str| problem.activities.iter().find(|of| of.id == id);
    match requirement {
        Requirement::Latest(id) => find(id)?.latest,
        Requirement::Pin(id) => find(id)?.pin.as_ref()?.first().copied(),
        _ => None,
    }
}

/// “Free until then: Monday 1 h, Tuesday 2 h 15 min”: what the windows and the days' limits leave.
fn free_until(words: &Words<'_>, until: Option<i32>) -> Option<String> {
    let until = until?;
    let (context, problem) = (words.context, &words.context.input.outlook.assembled.problem);
    let grid = i32::from(problem.grid_minutes.max(1));
    let now = (context.now.0 + grid - 1).div_euclid(grid);
    let mut days: BTreeMap<Date, i32> = BTreeMap::new();
    for worker in &problem.workers {
        for &(from, to) in &worker.windows {
            let (from, to) = (from.max(now), to.min(until));
            if from < to {
                *days.entry(context.horizon.wall(words.at(from)).date()).or_default() += to - from;
            }
        }
        for limit in worker.limits.iter().filter(|limit| limit.kinds.is_none()) {
            let most = i32::try_from(limit.max).unwrap_or(i32::MAX);
            if let Some(free) = days.get_mut(&context.horizon.wall(words.at(limit.from)).date()) {
                *free = (*free).min(most);
            }
        }
    }
    let sum = words.lasting(days.values().sum());
    let named: Vec<String> = days
        .iter()
        .filter(|(_, free)| **free > 0)
        .map(|(date, free)| format!("{} {}", day_name(*date), words.lasting(*free)))
        .collect();
    match named.len() {
        0 => Some(format!("There is no free time before {}", words.when(until))),
        1..=4 => Some(format!("Free until {}: {}", words.when(until), named.join(", "))),
        many => Some(format!("Free until {}: {sum} on {many} days", words.when(until))),
    }
}

/// A remedy in a short line, such as “1 h more on Thursday 26 Nov, evening, 22:45–23:45 (layers: frozen)”.
pub fn remedy_words(input: WeekInput<'_>, tried: &Tried) -> String {
    let mut line = capitalised(&what_is_given(input, &tried.remedy));
    if let Some(hours) = extra_words(input, &tried.remedy) {
        line = format!("{line}, {hours}");
    }
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
        Requirement::Latest(id) => match (words.point(id), activity(id).and_then(|of| of.latest)) {
            (Some(point), _) => {
                let title = words.context.order_title(point.order);
                format!("{title} leaves on {}", Words::when_leaves(point))
            }
            (None, Some(at)) => format!("{} is {}", words.name(id), words.on(at)),
            (None, None) => words.name(id),
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
        Requirement::Capacity(id) => match (Together::of(words.context, id), place_of(id)) {
            (Some(together), _) => format!("there is no room for {} together", together.set()),
            (None, Some(place)) => format!("the {} holds no more than it does", place.name()),
            (None, None) => format!("there is only so much {id}"),
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

fn remedy(words: &Words<'_>, remedy: &Remedy) -> String {
    let horizon = words.context.horizon;
    let problem = &words.context.input.outlook.assembled.problem;
    let window = |worker: &str, index: usize| {
        let worker = problem.workers.iter().find(|of| of.id == worker)?;
        worker.windows.get(index).copied()
    };
    let activity = |id: &str| problem.activities.iter().find(|of| of.id == id);
    match remedy {
        Remedy::Together(parts) => {
            let parts: Vec<String> = parts.iter().map(|part| self::remedy(words, part)).collect();
            format!("{}, all together", parts.join(" + "))
        }
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
            match words.point(id) {
                Some(point) => {
                    let title = words.context.order_title(point.order);
                    format!("hand over to {title} on {} instead", words.when(at))
                }
                None => format!("move {} to {}", words.name(id), words.when(at)),
            }
        }
        Remedy::Room { resource, from, to, amount } => {
            let input = words.context.input;
            if let Some((kitchen, all)) = input.book.kitchen.as_ref().zip(clearings(input, remedy))
            {
                let each = all.iter().map(|clearing| clearing_words(kitchen, clearing));
                return listed(&each.collect::<Vec<_>>());
            }
            let hours = format!("from {} to {}", words.when(*from), words.when(*to));
            let over = u32::try_from(*amount).unwrap_or(u32::MAX);
            match (Together::of(words.context, resource), place_of(resource)) {
                (Some(together), _) => format!("make room for {} together {hours}", together.set()),
                (None, Some(place)) => {
                    let place_words = Words::place(resource);
                    format!("clear {} {place_words} {hours}", excess(place, over))
                }
                (None, None) => format!("one more {resource} {hours}"),
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
