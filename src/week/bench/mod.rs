//! The bench sheet: what hands are at, what comes next, what was done, and what rings.
//!
//! In: the week as planned, and what she noted of how it went. Out: [`Bench`] for the day at hand, [`rings`] of what
//! bakes and rests, and the commands behind "Not done" and "Make it again". Knows no screen, asks no clock: the
//! moment is given, in minutes of the wall for the sheet and in seconds of universal time for what rings.
//!
//! | file | says |
//! |---|---|
//! | `job` | one sitting with all that is needed beside it |
//! | `count` | pieces: how many there should be, how many are there |
//! | `anew` | which steps have to happen again, or have not happened |
//! | `behind` | what it means for the book that the evening goes otherwise |
//! | `timers` | what rings, and when |

mod anew;
mod behind;
mod count;
mod job;
mod timers;

#[cfg(test)]
mod tests;

use crate::breakdown::HandoverPoint;
use crate::calendar::{Elapsed, Span};
use crate::order::{Order, OrderId};
use crate::plan::arrange::Arrange;

use super::clock::date_of;
use super::doings::{DoingKind, doings};
use super::view::{Context, WeekInput};
use super::words::{full_day, time_of, time_range};

pub use anew::{make_again, not_done};
pub use behind::{Setback, setback};
pub use count::Count;
use job::Around;
pub use job::{After, Job, JobState};
pub use timers::{Ring, left_words, rings};

/// A day at the bench turns at this hour: what is done after midnight belongs to the evening before.
const TURN: i32 = 4 * 60;
/// How long ago something may have been planned and still be asked about.
const ASKED_FOR: i32 = 48 * 60;

/// The bench at a moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bench {
    /// "Thursday 26 Nov".
    pub day: String,
    /// Planned to be over, and nothing said of it: was it done?
    pub ask: Vec<Job>,
    /// What hands are at, then what is paused, then what is due by the plan.
    pub at_hand: Vec<Job>,
    /// Orders that leave today, or should have left, by when.
    pub going: Vec<Going>,
    /// What is still to come today, by start: take-outs and handovers too.
    pub later: Vec<Line>,
    /// The next day on which anything happens, and what.
    pub ahead: Option<(String, Vec<Line>)>,
    /// What was done today, the last one first.
    pub done: Vec<Job>,
}

/// An order that leaves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Going {
    /// Which.
    pub order: OrderId,
    /// Two letters.
    pub mark: String,
    /// The client's name.
    pub whom: String,
    /// "Saturday 28 Nov, 15:00".
    pub when: String,
    /// Until when each of its products keeps, for the box.
    pub keeps: Vec<String>,
    /// It should have left by now.
    pub late: bool,
}

/// One line of what is to come.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// Names it: a sitting, a take-out, a handover.
    pub id: String,
    /// Whose.
    pub order: OrderId,
    /// Two letters for the order.
    pub mark: String,
    /// "18:30–19:45"; "18:10" for what lasts no time.
    pub time: String,
    /// "Flood the base coat", "Take cake layers out of the freezer".
    pub title: String,
    /// For whom or of what, may be empty.
    pub detail: String,
    /// The sitting; none for a take-out and a handover.
    pub job: Option<Job>,
}

impl Bench {
    /// Lays it out.
    pub fn of(input: WeekInput<'_>) -> Self {
        let context = Context::of(input);
        let around = Around::of(&context);
        let today = bench_day(&context, context.now);
        let mut bench = Self {
            day: full_day(context.horizon.wall(today.start).date()),
            ask: Vec::new(),
            at_hand: Vec::new(),
            going: going(&context, today),
            later: Vec::new(),
            ahead: None,
            done: Vec::new(),
        };
        let mut jobs = job::jobs(&around);
        jobs.arrange_by(|a, b| (a.span.start, &a.key).cmp(&(b.span.start, &b.key)));
        for job in jobs {
            let own = today.contains(job.span.start) || job.span.shared(today).is_some();
            match job.state {
                JobState::Running | JobState::Paused | JobState::Due => bench.at_hand.push(job),
                JobState::Unsaid if context.now.since(job.span.end) <= ASKED_FOR => {
                    bench.ask.push(job);
                }
                JobState::Done if own => bench.done.push(job),
                JobState::Later | JobState::Unsaid | JobState::Done => {}
            }
        }
        bench.at_hand.arrange_by_key(|job| (job.state, job.span.start));
        bench.done.reverse();
        let (later, ahead) = lines(&around, today);
        bench.later = later;
        bench.ahead = ahead;
        bench
    }

    /// What comes first when nothing is at hand.
    pub fn next(&self) -> Option<&Job> {
        self.later.iter().find_map(|line| line.job.as_ref())
    }
}

/// Orders of which nobody said that they were handed over, up to the end of the day at the bench.
fn going(context: &Context<'_>, today: Span) -> Vec<Going> {
    let mut points: Vec<_> = context
        .input
        .outlook
        .work
        .handovers
        .iter()
        .map(|point| (context.horizon.elapsed(point.leaves), point))
        .filter(|(at, point)| {
            *at < today.end && context.order(point.order).is_some_and(Order::is_planned)
        })
        .collect();
    points.arrange_by_key(|(at, point)| (*at, point.order));
    let keeps = super::keeps::of(context);
    let of = |order: OrderId| {
        let own = keeps.iter().filter(|one| one.order == order);
        own.map(|one| format!("{}: {}", one.product, one.date)).collect()
    };
    let one = |(at, point): (Elapsed, &HandoverPoint)| Going {
        order: point.order,
        mark: context.mark(point.order),
        whom: context.order_title(point.order),
        when: format!("{}, {}", full_day(point.leaves.date()), time_of(point.leaves)),
        keeps: of(point.order),
        late: at < context.now,
    };
    points.into_iter().map(one).collect()
}

/// The day at the bench that a moment lies in.
fn bench_day(context: &Context<'_>, moment: Elapsed) -> Span {
    let date = context.horizon.wall(moment.plus(-TURN)).date();
    let turn = |days: i64| {
        let date = date.plus_days(days);
        context.horizon.elapsed(date.at(u16::try_from(TURN).unwrap_or(0)))
    };
    Span::new(turn(0), turn(1))
}

/// What is to come today, and on the next day that has anything.
fn lines(around: &Around<'_>, today: Span) -> (Vec<Line>, Option<(String, Vec<Line>)>) {
    let context = around.context;
    let (mut later, mut ahead): (Vec<Line>, Vec<Line>) = (Vec::new(), Vec::new());
    let mut next: Option<Span> = None;
    for doing in doings(context.input) {
        let start = doing.span.start;
        if start <= context.now || doing.done {
            continue;
        }
        let sitting = context.sittings.iter().find(|one| one.key().to_string() == doing.id);
        let job = sitting.map(|sitting| job::job(around, sitting));
        if job.as_ref().is_some_and(|job| job.state != JobState::Later) {
            continue;
        }
        let of_today = today.contains(start);
        if !of_today && !next.get_or_insert_with(|| bench_day(context, start)).contains(start) {
            break;
        }
        let whom = context.order_title(doing.order);
        let detail = match doing.kind {
            DoingKind::Handover => format!("{whom}: boxed, checked, off it goes"),
            _ if doing.product.is_empty() => whom,
            _ => format!("{} · {whom}", doing.product),
        };
        let detail = match sitting.and_then(|sitting| sitting.helper.as_ref()) {
            Some(helper) => format!("{detail} · by {helper}"),
            None => detail,
        };
        let horizon = context.horizon;
        let time = if doing.span.is_empty() {
            time_of(horizon.wall(start))
        } else {
            time_range(horizon, start, doing.span.end)
        };
        let line = Line {
            id: doing.id,
            order: doing.order,
            mark: context.mark(doing.order),
            time,
            title: doing.title,
            detail,
            job,
        };
        if of_today { later.push(line) } else { ahead.push(line) }
    }
    let ahead = next.map(|span| {
        let day = date_of(context.horizon, i32::from(context.horizon.day_of(span.start)));
        (full_day(day), ahead)
    });
    (later, ahead)
}
