//! The evening goes otherwise than planned: what that means for the book, before it is planned again.
//!
//! In: the week and what happened. Out: the commands that say so, to be tried on a copy first. What was done and what
//! runs stays; what should have begun and has not is placed anew.

use crate::breakdown::StepId;
use crate::calendar::{Exception, ExceptionKind, Span, TimeOfDay};
use crate::plan::arrange::set_of;
use crate::record::Command;
use crate::week::view::{Context, WeekInput};
use crate::week::words::{duration, time_of};

use super::anew::not_done_steps;
use super::bench_day;
use super::job::{Around, JobState, jobs};

/// What happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Setback {
    /// Nothing can begin for so many minutes, 1 to 720.
    Late(u16),
    /// Nothing more is done until the day at the bench turns.
    NotTonight,
    /// She can work so many minutes longer than she thought, 1 to 720.
    Longer(u16),
    /// Somebody helps for so many minutes from now on, 1 to 720.
    Helped(u16),
}

/// Most minutes of a setback.
const MINUTES_MAX: u16 = 720;

impl Setback {
    /// "Running 30 min late", for a heading and for what is said.
    pub fn words(self) -> String {
        let lasting = |minutes: u16| duration(i32::from(minutes));
        match self {
            Self::Late(minutes) => format!("Running {} late", lasting(minutes)),
            Self::NotTonight => "Nothing more tonight".to_owned(),
            Self::Longer(minutes) => format!("{} more tonight", lasting(minutes)),
            Self::Helped(minutes) => format!("A helper for {}", lasting(minutes)),
        }
    }

    fn label(self) -> &'static str {
        match self {
            Self::Late(_) => "running late",
            Self::NotTonight => "not tonight",
            Self::Longer(_) => "extra time",
            Self::Helped(_) => "a helper",
        }
    }
}

/// The commands that say so. `at`: seconds of universal time.
///
/// # Errors
///
/// In words, when the hours are taken by something that no evening at home can move.
pub fn setback(input: WeekInput<'_>, what: Setback, at: i64) -> Result<Vec<Command>, String> {
    let context = Context::of(input);
    let mut commands = Vec::new();
    let steps = match what {
        Setback::Longer(_) | Setback::Helped(_) => Vec::new(),
        Setback::Late(_) | Setback::NotTonight => unbegun(&context),
    };
    if !steps.is_empty() {
        commands.push(Command::NotDone(steps, at));
    }
    let hours = hours(&context, what)?;
    let Some(mut time) = input.book.time.clone() else {
        return Err("Say first on the page “My time” when you can work".to_owned());
    };
    let (start, end) = (context.horizon.wall(hours.start), context.horizon.wall(hours.end));
    let (from, to) = (TimeOfDay(start.minute_of_day()), TimeOfDay(end.minute_of_day()));
    let kind = match what {
        Setback::Late(_) => ExceptionKind::Busy { start: from, end: to, away: false },
        // Nothing is baked either, though she may be at home.
        Setback::NotTonight => ExceptionKind::Busy { start: from, end: to, away: true },
        Setback::Longer(_) => ExceptionKind::Extra { start: from, end: to },
        Setback::Helped(_) => ExceptionKind::Helper { start: from, end: to },
    };
    let (id, label) = (time.next_exception(), what.label().to_owned());
    time.exceptions.push(Exception { id, date: start.date(), kind, label });
    commands.push(Command::SetTime(time));
    Ok(commands)
}

/// Steps that should be at hand by the plan and were never begun, with what needs them.
fn unbegun(context: &Context<'_>) -> Vec<StepId> {
    let due = jobs(&Around::of(context)).into_iter().filter(|job| {
        let went = context.input.book.progress.get(&job.key.step);
        job.state == JobState::Due && went.is_none_or(|went| went.sittings.is_empty())
    });
    let all = set_of(due.flat_map(|job| not_done_steps(context, &job.key.step)));
    let steps = context.input.outlook.work.steps.iter().map(|step| step.id.clone());
    steps.filter(|id| all.contains(id)).collect()
}

fn hours(context: &Context<'_>, what: Setback) -> Result<Span, String> {
    let now = context.now;
    let minutes = |minutes: u16| i32::from(minutes.clamp(1, MINUTES_MAX));
    match what {
        Setback::Late(until) | Setback::Helped(until) => {
            Ok(Span::new(now, now.plus(minutes(until))))
        }
        Setback::NotTonight => {
            let end = bench_day(context, now).end;
            // Right before the day turns there is no evening left: the next one is meant.
            Ok(Span::new(now, end.max(now.plus(1))))
        }
        Setback::Longer(more) => {
            let windows = &context.input.outlook.windows;
            let today = bench_day(context, now);
            let last = windows
                .free
                .iter()
                .rfind(|free| today.contains(free.start.max(now)) && now < free.end);
            let from = last.map_or(now, |free| free.end);
            let hours = Span::new(from, from.plus(minutes(more)));
            let taken = windows
                .busy
                .iter()
                .find(|busy| !busy.kind.is_hers() && busy.span.shared(hours).is_some());
            match taken {
                Some(busy) => Err(format!(
                    "From {} on there is “{}”; choose fewer minutes, or change it on the page “My time”",
                    time_of(context.horizon.wall(busy.span.start.max(from))),
                    busy.label
                )),
                None => Ok(hours),
            }
        }
    }
}
