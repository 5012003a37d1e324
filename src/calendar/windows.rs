//! Free windows: what is left of the horizon when all that is fixed is taken out.

use super::{
    Date, ExceptionKind, Horizon, MyTime, Rhythm, Span, TimeOfDay, WeeklySpan, merge_spans,
    subtract_spans,
};
use crate::plan::arrange::Arrange;

/// The horizon seen as time to work, time at home, and time that is taken.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Windows {
    /// When the baker can work: sorted, disjoint, not cut at midnight.
    pub free: Vec<Span>,
    /// When somebody is awake at home and may watch an oven: sorted, disjoint, contains `free`.
    pub home: Vec<Span>,
    /// When somebody else's hands are there too: sorted, disjoint, within `home`.
    pub helped: Vec<Span>,
    /// Everything else, with its reason: sorted, disjoint, complements `free`.
    pub busy: Vec<BusySpan>,
}

/// A span that is not free.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BusySpan {
    /// When.
    pub span: Span,
    /// Why.
    pub kind: BusyKind,
    /// In the baker's words, for example "day job".
    pub label: String,
}

/// Why a span is not free.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BusyKind {
    /// Day job and the way there and back.
    DayJob,
    /// Sleep.
    Sleep,
    /// Family time.
    Family,
    /// A one-off commitment.
    Exception,
    /// On the road with a delivery.
    Delivery,
    /// Just up or just home, not yet at work.
    Settling,
    /// Tidying up and winding down before bed.
    WindingDown,
    /// A break between two stretches of work.
    Break,
}

impl BusyKind {
    /// Whether the hours are hers to give up for work.
    pub fn is_hers(self) -> bool {
        matches!(
            self,
            Self::Sleep | Self::Family | Self::Settling | Self::WindingDown | Self::Break
        )
    }
}

/// What stretches are called that nobody named.
const JOB: &str = "day job";
const SLEEP: &str = "sleep";
const SETTLING: &str = "settling";
const WINDING_DOWN: &str = "tidying up";
const BREAK: &str = "break";

/// A stretch that is taken, before overlaps are resolved.
struct Block {
    span: Span,
    kind: BusyKind,
    label: String,
    /// Somebody is awake at home meanwhile.
    home: bool,
    /// Lower wins where stretches overlap.
    rank: u8,
}

impl Block {
    /// What is left of a habit when some hours are worked against it; deliveries and exceptions stay.
    fn without(self, extra: &[Span]) -> Vec<Self> {
        if matches!(self.kind, BusyKind::Delivery | BusyKind::Exception) {
            return vec![self];
        }
        let left = subtract_spans(&[self.span], extra);
        left.into_iter().map(|span| Self { span, label: self.label.clone(), ..self }).collect()
    }
}

impl Windows {
    /// Takes everything that is fixed out of the horizon. `deliveries` are the spans on the road for
    /// planned orders, with what they are called. Habits of the days around the horizon count where
    /// they run into it.
    pub fn of(time: &MyTime, horizon: &Horizon, deliveries: &[(Span, String)]) -> Self {
        let mut blocks =
            Blocks { time, horizon, found: Vec::new(), extra: Vec::new(), helped: Vec::new() };
        // Two days on either side: a night shift, its way home and settling reach that far at most.
        for day in -2..=i64::from(horizon.days) + 1 {
            blocks.add_day(horizon.start.plus_days(day));
        }
        for (span, label) in deliveries {
            blocks.add(*span, BusyKind::Delivery, label, false, 1);
        }
        let helped = merge_spans(blocks.helped);
        let extra = merge_spans(blocks.extra);
        let mut blocks: Vec<Block> =
            blocks.found.into_iter().flat_map(|b| b.without(&extra)).collect();
        let whole = [horizon.span()];
        let worked = subtract_spans(&whole, &merge_spans(blocks.iter().map(|block| block.span)));
        blocks.extend(breaks(&worked, time.rhythm));
        blocks.arrange_by_key(|block| (block.rank, block.span));

        let taken = |away_only: bool| {
            merge_spans(
                blocks.iter().filter(|block| !(away_only && block.home)).map(|block| block.span),
            )
        };
        let away = taken(true);
        Self {
            free: subtract_spans(&whole, &taken(false)),
            home: subtract_spans(&whole, &away),
            helped: subtract_spans(&helped, &away),
            busy: label_busy(&blocks),
        }
    }
}

/// The breaks of stretches of work. One at the end of a stretch is none: nothing comes after it.
fn breaks(worked: &[Span], rhythm: Rhythm) -> Vec<Block> {
    let (after, length) = (i32::from(rhythm.break_after), i32::from(rhythm.break_length));
    let mut found = Vec::new();
    if after == 0 || length == 0 {
        return found;
    }
    for stretch in worked {
        let mut start = stretch.start.plus(after);
        while start.plus(length) < stretch.end {
            let span = Span::new(start, start.plus(length));
            let label = BREAK.to_owned();
            found.push(Block { span, kind: BusyKind::Break, label, home: true, rank: 7 });
            start = span.end.plus(after);
        }
    }
    found
}

/// Gives each taken minute to the first block that claims it, and joins equal neighbours.
fn label_busy(blocks: &[Block]) -> Vec<BusySpan> {
    let mut labelled: Vec<BusySpan> = Vec::new();
    let mut covered: Vec<Span> = Vec::new();
    for block in blocks {
        for span in subtract_spans(&[block.span], &covered) {
            labelled.push(BusySpan { span, kind: block.kind, label: block.label.clone() });
        }
        covered = merge_spans(covered.into_iter().chain([block.span]));
    }
    labelled.arrange_by_key(|busy| busy.span);
    labelled.dedup_by(|next, kept| {
        let joins =
            next.span.start == kept.span.end && next.kind == kept.kind && next.label == kept.label;
        if joins {
            kept.span.end = next.span.end;
        }
        joins
    });
    labelled
}

/// Collects blocks, day by day.
struct Blocks<'a> {
    time: &'a MyTime,
    horizon: &'a Horizon,
    found: Vec<Block>,
    /// Hours to work against the habit.
    extra: Vec<Span>,
    /// Hours in which somebody helps.
    helped: Vec<Span>,
}

impl Blocks<'_> {
    /// Adds what starts on this date.
    fn add_day(&mut self, date: Date) {
        let time = self.time;
        let weekday = date.weekday();
        let starting = |spans: &'_ [WeeklySpan]| -> Vec<WeeklySpan> {
            spans.iter().filter(|span| span.days.contains(&weekday)).cloned().collect()
        };

        if !time.is_off(date) {
            for span in starting(&time.day_job) {
                let label = if span.label.is_empty() { JOB } else { &span.label };
                let at_work = self.horizon.hours(date, span.start, span.end);
                if at_work.is_empty() {
                    continue;
                }
                let travel = i32::from(time.travel);
                let away = Span::new(at_work.start.plus(-travel), at_work.end.plus(travel));
                self.add(away, BusyKind::DayJob, label, false, 0);
                self.settle_after(away);
            }
        }
        for span in starting(&time.family) {
            let hours = self.horizon.hours(date, span.start, span.end);
            self.add(hours, BusyKind::Family, &span.label, !span.away, 4);
            if span.away {
                self.settle_after(hours);
            }
        }
        for exception in time.exceptions.iter().filter(|exception| exception.date == date) {
            match exception.kind {
                ExceptionKind::DayOff => {}
                ExceptionKind::Busy { start, end, away } => {
                    let hours = self.horizon.hours(date, start, end);
                    self.add(hours, BusyKind::Exception, &exception.label, !away, 2);
                    if away {
                        self.settle_after(hours);
                    }
                }
                ExceptionKind::Extra { start, end } => {
                    let hours = self.horizon.hours(date, start, end);
                    self.extra.extend(hours.shared(self.horizon.span()));
                }
                ExceptionKind::Helper { start, end } => {
                    let hours = self.horizon.hours(date, start, end);
                    self.helped.extend(hours.shared(self.horizon.span()));
                }
                ExceptionKind::NoBaking => {
                    let day = self.horizon.hours(date, TimeOfDay::MIDNIGHT, TimeOfDay(1440));
                    self.add(day, BusyKind::Exception, &exception.label, false, 5);
                }
            }
        }
        let asleep = self.horizon.hours(date, time.bedtime, time.wake);
        self.add(asleep, BusyKind::Sleep, SLEEP, false, 3);
        if !asleep.is_empty() {
            let from = asleep.start.plus(-i32::from(time.rhythm.wind_down));
            let span = Span::new(from, asleep.start);
            self.add(span, BusyKind::WindingDown, WINDING_DOWN, true, 6);
        }
        self.settle_after(asleep);
    }

    fn settle_after(&mut self, span: Span) {
        if !span.is_empty() {
            let settled = Span::new(span.end, span.end.plus(i32::from(self.time.settle)));
            self.add(settled, BusyKind::Settling, SETTLING, true, 6);
        }
    }

    fn add(&mut self, span: Span, kind: BusyKind, label: &str, home: bool, rank: u8) {
        if let Some(span) = span.shared(self.horizon.span()) {
            self.found.push(Block { span, kind, label: label.to_owned(), home, rank });
        }
    }
}
