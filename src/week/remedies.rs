//! What a remedy means for the book, and what the week would be with it.
//!
//! In: a week and a remedy. Out: the command that gives it, where the book can hold it; and what would change.
//! A remedy is given on the side of a window that no job, road or engagement takes: hours that are hers.

use crate::breakdown::StepId;
use crate::calendar::{Elapsed, Exception, ExceptionKind, Span, TimeOfDay};
use crate::kitchen::Clearing;
use crate::order::{OrderId, Stage};
use crate::plan::arrange::{map_of, set_of};
use crate::plan::explain::{Conflict, Preference, Remedy, Requirement, account, crunch};
use crate::record::{Book, Command, Outlook, Shown};

use super::moved::{Starts, moved, moved_words};
use super::rooms::{clearing_words, clearings, suggested};
use super::view::{Context, WeekInput};
use super::why::Words;
use super::words::{capitalised, duration, full_day, time_range};

/// By which a handover is put off, to the same time of another day.
const DAYS_LATER: [i64; 4] = [1, 2, 3, 5];
/// Hours by which quality may give way, tried one after another.
const PAST_BEST: [u16; 3] = [12, 48, 96];
/// What extra hours are called in the list of days that differ.
const EXTRA: &str = "extra time";
/// What somebody who helps is called there.
const HELPER_NAME: &str = "a helper";

/// The command that gives a remedy; none where the book has no place for it, or where it takes several: see [`remedy_commands`].
pub fn remedy_command(input: WeekInput<'_>, remedy: &Remedy) -> Option<Command> {
    match remedy {
        Remedy::Unpin { activity } => {
            let step = input.book.pins.keys().find(|step| &step.0 == activity)?;
            Some(Command::ReleaseStep(step.clone()))
        }
        Remedy::LaterEnd { activity, slots } => {
            let point = input.outlook.work.handovers.iter().find(|of| &of.id.0 == activity)?;
            let mut order = input.book.orders.get(&point.order)?.clone();
            let grid = i64::from(input.outlook.assembled.problem.grid_minutes);
            order.handover.at = order.handover.at.plus_minutes(i64::from(*slots) * grid);
            Some(Command::PutOrder(order))
        }
        Remedy::MoreTime { .. } => more_time(input, &extra_hours(input, remedy)?),
        Remedy::Room { .. } => match clearings(input, remedy)?.as_slice() {
            [one] => Some(Command::AddClearing(one.clone())),
            _ => None,
        },
        Remedy::Helper { worker, window } => help(input, worker, *window),
        Remedy::EarlierStart { .. } | Remedy::Together(_) => None,
    }
}

/// The commands that give a remedy, all parts of it, one after another; none where the book has no place for
/// one of them. Hours of several parts go into one command.
pub fn remedy_commands(input: WeekInput<'_>, remedy: &Remedy) -> Option<Vec<Command>> {
    let is_time = |part: &&Remedy| matches!(part, Remedy::MoreTime { .. });
    let parts = remedy.parts();
    let hours: Option<Vec<Vec<Span>>> =
        parts.iter().filter(is_time).map(|part| extra_hours(input, part)).collect();
    let hours = hours?.concat();
    let mut commands = Vec::new();
    if !hours.is_empty() {
        commands.push(more_time(input, &hours)?);
    }
    for part in parts.iter().filter(|part| !is_time(part)) {
        if let Remedy::Room { .. } = part {
            commands.extend(clearings(input, part)?.into_iter().map(Command::AddClearing));
            continue;
        }
        commands.push(remedy_command(input, part)?);
    }
    Some(commands)
}

/// Somebody helps during a window of the baker's.
fn help(input: WeekInput<'_>, worker: &str, window: usize) -> Option<Command> {
    let problem = &input.outlook.assembled.problem;
    let &(from, to) = problem.workers.iter().find(|of| of.id == worker)?.windows.get(window)?;
    let grid = i32::from(problem.grid_minutes);
    let at = |slot: i32| Elapsed(slot.saturating_mul(grid));
    let hours = [Span::new(at(from), at(to))];
    noted(input, &hours, HELPER_NAME, |start, end| ExceptionKind::Helper { start, end })
}

fn more_time(input: WeekInput<'_>, hours: &[Span]) -> Option<Command> {
    noted(input, hours, EXTRA, |start, end| ExceptionKind::Extra { start, end })
}

/// The command that adds hours to the list of days that differ.
fn noted(
    input: WeekInput<'_>,
    hours: &[Span],
    label: &str,
    kind: impl Fn(TimeOfDay, TimeOfDay) -> ExceptionKind,
) -> Option<Command> {
    let mut time = input.book.time.clone()?;
    let horizon = &input.outlook.horizon;
    for hours in hours {
        let (start, end) = (horizon.wall(hours.start), horizon.wall(hours.end));
        let kind = kind(TimeOfDay(start.minute_of_day()), TimeOfDay(end.minute_of_day()));
        let (id, label) = (time.next_exception(), label.to_owned());
        time.exceptions.push(Exception { id, date: start.date(), kind, label });
    }
    Some(Command::SetTime(time))
}

/// The hours that "more time" adds: after each window, or before it where the hours after it are not hers.
/// None when a window can be lengthened on neither side.
pub(super) fn extra_hours(input: WeekInput<'_>, remedy: &Remedy) -> Option<Vec<Span>> {
    let Remedy::MoreTime { worker, windows, slots } = remedy else { return None };
    let context = Context::of(input);
    let words = Words::of(&context);
    let problem = &input.outlook.assembled.problem;
    let worker = problem.workers.iter().find(|of| &of.id == worker)?;
    let taken = |hours: Span| {
        let beyond = hours.start < context.now || context.horizon.len() < hours.end;
        let engaged = input.outlook.windows.busy.iter().any(|busy| {
            !busy.kind.is_hers() && busy.span.shared(hours).is_some_and(|shared| !shared.is_empty())
        });
        let free = |span: &Span| span.shared(hours).is_some_and(|shared| !shared.is_empty());
        beyond || engaged || input.outlook.windows.free.iter().any(free)
    };
    windows
        .iter()
        .map(|&window| {
            let &(from, to) = worker.windows.get(window)?;
            let after = Span::new(words.at(to), words.at(to + slots));
            let before = Span::new(words.at(from - slots), words.at(from));
            [after, before].into_iter().find(|hours| !taken(*hours))
        })
        .collect()
}

/// "22:45–23:45", for the hours that "more time" on one evening adds.
pub(super) fn extra_words(input: WeekInput<'_>, remedy: &Remedy) -> Option<String> {
    match extra_hours(input, remedy)?.as_slice() {
        [hours] => Some(time_range(&input.outlook.horizon, hours.start, hours.end)),
        _ => None,
    }
}

/// What a trial would mean: how much moves, and what it asks of her. `input` is the trial's own week.
pub fn trial_words(input: WeekInput<'_>, before: &Starts) -> Vec<String> {
    let context = Context::of(input);
    let words = Words::of(&context);
    let problem = &input.outlook.assembled.problem;
    let after = input.outlook.shown_from(input.plan).starts;
    let account = account(problem, input.plan);
    let lasting = |slots: i64| duration(words.at(i32::try_from(slots).unwrap_or(0)).0);
    let mut clauses = Vec::new();
    match moved(input, before, &after).len() {
        _ if before.is_empty() => {}
        0 => clauses.push("nothing moves".to_owned()),
        many => clauses.push(moved_words(many)),
    }
    let last_day = crunch(problem, input.plan);
    if last_day > 0 {
        clauses.push(format!("{} of work in the last 24 h", lasting(last_day)));
    }
    let long = account.amount(|p| matches!(p, Preference::ShortEvening(..)));
    if long > 0 {
        clauses.push(format!("evenings {} beyond what is easy", lasting(long)));
    }
    clauses
}

/// Where everything that may move was when this was planned.
pub fn seen_before(outlook: &Outlook) -> Starts {
    let problem = &outlook.assembled.problem;
    let grid = i32::from(problem.grid_minutes.max(1));
    let wall = |slot: &i32| outlook.horizon.wall(Elapsed(slot.saturating_mul(grid)));
    let known = problem.activities.iter().filter_map(|activity| {
        let starts = activity.reference.as_ref()?;
        Some((StepId(activity.id.clone()), starts.iter().map(wall).collect()))
    });
    map_of(known)
}

/// What to remember as shown while something is tried: everything that may move where it was when this was planned, and
/// what lies behind where the book has it, which no plan holds any more.
pub fn shown_before(book: &Book, outlook: &Outlook) -> Shown {
    let mut shown = book.shown.clone().unwrap_or_default();
    shown.starts.extend(seen_before(outlook));
    shown
}

/// Something that the book could say otherwise. Whether it helps is not known before it is planned.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Suggestion {
    /// For example "Thursday 26 Nov off the job".
    pub words: String,
    /// What says it.
    pub command: Command,
}

/// What the book could say otherwise about the orders that a conflict names, or about all when it names none:
/// room that the household clears, days off the job, no spares, a later day, and at last an order that is not
/// made. The gentlest first.
pub fn suggestions(input: WeekInput<'_>, conflict: &Conflict) -> Vec<Suggestion> {
    let context = Context::of(input);
    let mut orders: Vec<OrderId> = named_orders(&context, conflict);
    if orders.is_empty() {
        orders = input.outlook.work.handovers.iter().map(|point| point.order).collect();
    }
    let mut out = rooms(input, conflict);
    out.extend(days_off(&context, &orders));
    for order in orders.iter().filter_map(|id| input.book.orders.get(id)) {
        let mut with_none = order.clone();
        for item in &mut with_none.items {
            item.spares = 0;
        }
        if with_none != *order {
            let words = format!("No spares for {}", context.order_title(order.id));
            out.push(Suggestion { words, command: Command::PutOrder(with_none) });
        }
    }
    if may_be_too_early(conflict) {
        out.extend(past_its_best(&context, &orders));
    }
    for days in DAYS_LATER {
        for order in orders.iter().filter_map(|id| input.book.orders.get(id)) {
            let mut later = order.clone();
            later.handover.at =
                order.handover.at.date().plus_days(days).at(order.handover.at.minute_of_day());
            let day = full_day(later.handover.at.date());
            let words = format!("Hand over to {} on {day} instead", context.order_title(order.id));
            out.push(Suggestion { words, command: Command::PutOrder(later) });
        }
    }
    for order in orders.iter().filter_map(|id| input.book.orders.get(id)) {
        if order.stage.may_become(Stage::Declined) {
            let words = format!("Do not make the order of {}", context.order_title(order.id));
            out.push(Suggestion { words, command: Command::SetStage(order.id, Stage::Declined) });
        }
    }
    out
}

/// Whether something could stand in the way because it may not wait any longer.
fn may_be_too_early(conflict: &Conflict) -> bool {
    match conflict {
        Conflict::Proven { members, .. } => {
            members.iter().any(|member| matches!(member, Requirement::Max(_) | Requirement::Gap(_)))
        }
        Conflict::NotProven => true,
    }
}

/// Quality gives way, an order at a time. Limits of safety do not know of it.
fn past_its_best(context: &Context<'_>, orders: &[OrderId]) -> Vec<Suggestion> {
    let book = context.input.book;
    let of = |hours: u16, id: &OrderId| {
        let mut order = book.orders.get(id).filter(|order| order.past_best < hours)?.clone();
        order.past_best = hours;
        let by = duration(i32::from(hours) * 60);
        let words = format!("Let {} be up to {by} past its best", context.order_title(*id));
        Some(Suggestion { words, command: Command::PutOrder(order) })
    };
    PAST_BEST.iter().flat_map(|hours| orders.iter().filter_map(|id| of(*hours, id))).collect()
}

/// What the household could clear.
fn rooms(input: WeekInput<'_>, conflict: &Conflict) -> Vec<Suggestion> {
    let Some(kitchen) = &input.book.kitchen else { return Vec::new() };
    let of = |clearing: Clearing| Suggestion {
        words: capitalised(&clearing_words(kitchen, &clearing)),
        command: Command::AddClearing(clearing),
    };
    suggested(input, conflict).into_iter().map(of).collect()
}

fn named_orders(context: &Context<'_>, conflict: &Conflict) -> Vec<OrderId> {
    let Conflict::Proven { members, .. } = conflict else { return Vec::new() };
    let work = &context.input.outlook.work;
    let names = |id: &str| {
        members.iter().any(|member| match member {
            Requirement::Earliest(of)
            | Requirement::Latest(of)
            | Requirement::Gap(of)
            | Requirement::Calendar(of)
            | Requirement::Work(of)
            | Requirement::Pin(of)
            | Requirement::Min(of)
            | Requirement::Max(of) => of == id,
            Requirement::Limit(..) | Requirement::Capacity(_) => false,
        })
    };
    let steps = work.steps.iter().filter(|step| names(&step.id.0)).map(|step| step.order);
    let points = work.handovers.iter().filter(|p| names(&p.id.0)).map(|point| point.order);
    let rests = work
        .rests
        .iter()
        .filter(|rest| names(&rest.id))
        .filter_map(|rest| context.step(&rest.from).map(|step| step.order));
    let limits = work
        .limits
        .iter()
        .filter(|limit| names(&limit.id))
        .filter_map(|limit| context.step(&limit.from).map(|step| step.order));
    let orders = set_of(steps.chain(points).chain(rests).chain(limits));
    orders.into_iter().collect()
}

/// Each day of the job between now and the last of these handovers, taken off; at most a week of them.
fn days_off(context: &Context<'_>, orders: &[OrderId]) -> Vec<Suggestion> {
    let input = context.input;
    let Some(time) = &input.book.time else { return Vec::new() };
    let points = input.outlook.work.handovers.iter().filter(|p| orders.contains(&p.order));
    let Some(last) = points.map(|point| point.leaves.date()).max() else { return Vec::new() };
    let tomorrow = input.now.date().plus_days(1);
    (0..=last.days_since(tomorrow))
        .map(|days| tomorrow.plus_days(days))
        .filter(|date| time.works_on(*date))
        .take(5)
        .map(|date| {
            let mut time = time.clone();
            let (id, label) = (time.next_exception(), "off for baking".to_owned());
            time.exceptions.push(Exception { id, date, kind: ExceptionKind::DayOff, label });
            let words = format!("{} off the job", full_day(date));
            Suggestion { words, command: Command::SetTime(time) }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::fixture::fixture;
    use super::*;

    #[test]
    fn quality_is_asked_to_give_way_only_where_something_may_not_wait() {
        let fixture = fixture();
        let hours = |members: &[&str]| -> Vec<(u32, u16)> {
            let members = members.iter().map(|of| of.parse().expect("a requirement")).collect();
            let conflict = Conflict::Proven { members, smallest: true };
            let before = &fixture.book.orders;
            let found = suggestions(fixture.input(), &conflict).into_iter();
            found
                .filter_map(|suggestion| match suggestion.command {
                    Command::PutOrder(order) => Some(order),
                    _ => None,
                })
                .filter(|order| order.past_best != before[&order.id].past_best)
                .map(|order| (order.id.0, order.past_best))
                .collect()
        };
        let late = "latest:o1.handover";
        assert_eq!(hours(&[late, "min:o1.i1.dry"]), []);
        assert_eq!(hours(&[late, "max:o1.i1.keep"]), [(1, 12), (1, 48), (1, 96)]);
        assert_eq!(hours(&["max:o1.i1.baked.limit"]), [(1, 12), (1, 48), (1, 96)]);
    }
}
