//! One day's vertical axis: free time to scale, the rest folded into strips.

use crate::calendar::{BusyKind, BusySpan, Elapsed, Horizon, Span, Windows};
use crate::plan::arrange::Arrange;

use super::clock::day_span;
use super::words::time_of;

/// Units that an hour of free time takes. Half an hour is then 48, a comfortable target for a finger,
/// and the shortest sitting, a quarter of an hour, 24, the least that a target may be.
pub const UNITS_PER_HOUR: i32 = 96;

/// Units that a folded strip takes, however long it is: two short lines of text, and room for a finger.
pub const STRIP_HEIGHT: i32 = 44;

/// Sittings start on multiples of this many minutes.
pub const SNAP: i32 = 15;

/// Names a strip: the horizon's day, and the elapsed minute at which the strip starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FoldKey {
    /// Day of the horizon.
    pub day: i32,
    /// Start of what is folded.
    pub start: Elapsed,
}

/// A stretch of a day that is drawn at one scale.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// When.
    pub span: Span,
    /// Units from the top of the day.
    pub top: i32,
    /// Units from the top of the day.
    pub bottom: i32,
    /// Drawn as a strip of fixed height instead of to scale.
    pub folded: bool,
    /// Why nobody can work; none: free.
    pub busy: Option<BusyKind>,
    /// For example "day job"; empty when free.
    pub label: String,
    /// For example "08:00–18:15".
    pub times: String,
    /// The strip that a tap folds or unfolds; none where there is nothing to fold.
    pub fold: Option<FoldKey>,
}

/// A line across the day at a full or half hour of the wall clock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tick {
    /// Units from the top of the day.
    pub y: i32,
    /// The hour, for example "19"; empty for a half hour.
    pub label: String,
}

/// The axis of one day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayAxis {
    /// From midnight to midnight, in elapsed time: 23, 24 or 25 hours as a rule.
    pub span: Span,
    /// Top to bottom, without gaps.
    pub sections: Vec<Section>,
    /// Full and half hours of what is drawn to scale.
    pub ticks: Vec<Tick>,
    /// Units from top to bottom.
    pub height: i32,
}

/// Rounded to the nearest.
fn scaled(value: i32, from: i32, to: i32) -> i32 {
    if from <= 0 { 0 } else { (value * to + from / 2) / from }
}

/// A stretch of the day with its reason, before it has a place.
struct Piece {
    span: Span,
    named: Span,
    busy: Option<(BusyKind, String)>,
}

impl DayAxis {
    /// Lays out a day. Stretches in which something is placed (`occupied`) are drawn to scale even
    /// where nobody is free, and so are strips that the reader has unfolded.
    pub fn of(
        horizon: &Horizon,
        day: i32,
        windows: &Windows,
        occupied: &[Span],
        unfolded: &dyn Fn(FoldKey) -> bool,
    ) -> Self {
        let span = day_span(horizon, day);
        let mut sections = Vec::new();
        let mut top = 0;
        for piece in pieces(span, windows) {
            let fold = FoldKey { day, start: piece.span.start };
            let foldable = piece.busy.is_some()
                && scaled(piece.span.minutes(), 60, UNITS_PER_HOUR)
                    > STRIP_HEIGHT + STRIP_HEIGHT / 2;
            let open = !foldable || unfolded(fold);
            for (part, folded) in cut(piece.span, occupied, open) {
                let height =
                    if folded { STRIP_HEIGHT } else { scaled(part.minutes(), 60, UNITS_PER_HOUR) };
                let (busy, label) = match &piece.busy {
                    Some((kind, label)) => (Some(*kind), label.clone()),
                    None => (None, String::new()),
                };
                sections.push(Section {
                    span: part,
                    top,
                    bottom: top + height,
                    folded,
                    busy,
                    label,
                    times: times(horizon, span, piece.named),
                    fold: foldable.then_some(fold),
                });
                top += height;
            }
        }
        let mut axis = Self { span, sections, ticks: Vec::new(), height: top };
        axis.ticks = axis.ticks_by(horizon);
        axis
    }

    /// Units from the top at which a moment lies; moments outside the day lie at its ends.
    pub fn y_of(&self, moment: Elapsed) -> i32 {
        for section in &self.sections {
            if moment < section.span.end {
                let inside = (moment.0 - section.span.start.0).max(0);
                return section.top
                    + scaled(inside, section.span.minutes(), section.bottom - section.top);
            }
        }
        self.height
    }

    /// The moment at a height, to the minute; heights outside the day lie at its ends.
    pub fn moment_at(&self, y: i32) -> Elapsed {
        for section in &self.sections {
            if y < section.bottom {
                let inside = (y - section.top).max(0);
                return Elapsed(
                    section.span.start.0
                        + scaled(inside, section.bottom - section.top, section.span.minutes()),
                );
            }
        }
        self.span.end
    }

    /// The section at a height.
    pub fn section_at(&self, y: i32) -> Option<&Section> {
        self.sections.iter().find(|section| y < section.bottom)
    }

    /// Hours and half hours as the kitchen clock shows them: on a night that has two o'clock twice,
    /// there are two lines.
    fn ticks_by(&self, horizon: &Horizon) -> Vec<Tick> {
        let mut ticks = Vec::new();
        for section in self.sections.iter().filter(|section| !section.folded) {
            let mut moment = section.span.start.0;
            while moment < section.span.end.0 {
                let clock = horizon.wall(Elapsed(moment)).minute_of_day();
                if clock.is_multiple_of(30) {
                    let label = if clock.is_multiple_of(60) {
                        (clock / 60).to_string()
                    } else {
                        String::new()
                    };
                    ticks.push(Tick { y: self.y_of(Elapsed(moment)), label });
                }
                moment += SNAP - moment.rem_euclid(SNAP);
            }
        }
        ticks
    }
}

/// The nearest moment at which a sitting may start.
pub(super) fn snap(moment: Elapsed) -> Elapsed {
    Elapsed((moment.0 + SNAP / 2).div_euclid(SNAP) * SNAP)
}

/// What the strip says of its hours. A strip at an end of the day runs on into its neighbour.
fn times(horizon: &Horizon, day: Span, named: Span) -> String {
    let (start, end) = (horizon.wall(named.start), horizon.wall(named.end));
    if named.start <= day.start && named.end >= day.end {
        "all day".to_owned()
    } else if named.start <= day.start {
        format!("until {}", time_of(end))
    } else if named.end >= day.end {
        format!("from {}", time_of(start))
    } else {
        format!("{}–{}", time_of(start), time_of(end))
    }
}

/// The day cut into free and busy pieces, without gaps. Settling in joins what it follows or precedes,
/// and neighbours with the same reason become one.
fn pieces(day: Span, windows: &Windows) -> Vec<Piece> {
    let mut raw: Vec<(Span, Option<&BusySpan>)> = Vec::new();
    raw.extend(windows.free.iter().filter_map(|free| Some((free.shared(day)?, None))));
    raw.extend(windows.busy.iter().filter_map(|busy| Some((busy.span.shared(day)?, Some(busy)))));
    raw.arrange_by_key(|(span, _)| span.start);
    let mut pieces: Vec<Piece> = Vec::new();
    let mut reached = day.start;
    for (span, busy) in raw {
        let span = Span { start: span.start.max(reached), end: span.end };
        if span.start >= span.end {
            continue;
        }
        if reached < span.start {
            let gap = Span { start: reached, end: span.start };
            pieces.push(not_free(gap));
        }
        reached = span.end;
        let busy = busy.map(|busy| match busy.kind {
            BusyKind::Sleep => (BusyKind::Sleep, "asleep".to_owned()),
            kind => (kind, busy.label.clone()),
        });
        pieces.push(Piece { span, named: span, busy });
    }
    if reached < day.end {
        pieces.push(not_free(Span { start: reached, end: day.end }));
    }
    merge(pieces)
}

/// A stretch of which the calendar says nothing: nobody can be expected to work then.
fn not_free(span: Span) -> Piece {
    let busy = Some((BusyKind::Exception, "not planned".to_owned()));
    Piece { span, named: span, busy }
}

fn merge(pieces: Vec<Piece>) -> Vec<Piece> {
    let settling =
        |piece: &Piece| matches!(piece.busy, Some((BusyKind::Settling | BusyKind::WindingDown, _)));
    let mut merged: Vec<Piece> = Vec::new();
    for piece in pieces {
        match merged.last_mut() {
            Some(last) if last.busy.is_some() && settling(&piece) => {
                last.span.end = piece.span.end;
            }
            Some(last) if settling(last) && piece.busy.is_some() => {
                let start = last.span.start;
                *last = piece;
                last.span.start = start;
            }
            Some(last) if last.busy == piece.busy => {
                last.span.end = piece.span.end;
                last.named.end = piece.named.end;
            }
            _ => merged.push(piece),
        }
    }
    merged
}

/// Cuts a piece into folded and open parts. Open parts reach to the quarter hour around what is placed
/// there; a remainder too short to be worth a strip stays open.
fn cut(piece: Span, occupied: &[Span], open: bool) -> Vec<(Span, bool)> {
    if open {
        return vec![(piece, false)];
    }
    let worth = minutes_in(STRIP_HEIGHT);
    let mut inside: Vec<Span> = occupied.iter().filter_map(|span| span.shared(piece)).collect();
    inside.arrange_by_key(|span| span.start);
    let mut parts: Vec<(Span, bool)> = Vec::new();
    let mut reached = piece.start;
    for span in inside {
        if span.end <= reached {
            continue;
        }
        let start = span.start.max(reached);
        let gap = Span { start: reached, end: start };
        if gap.minutes() > worth {
            parts.push((gap, true));
            parts.push((Span { start, end: span.end }, false));
        } else if let Some((last, false)) = parts.last_mut() {
            last.end = span.end;
        } else {
            parts.push((Span { start: reached, end: span.end }, false));
        }
        reached = span.end;
    }
    let rest = Span { start: reached, end: piece.end };
    if rest.minutes() > worth || (parts.is_empty() && rest.minutes() > 0) {
        parts.push((rest, true));
    } else if let Some((last, _)) = parts.last_mut() {
        last.end = piece.end;
    }
    parts
}

/// Minutes that a height takes when drawn to scale.
fn minutes_in(height: i32) -> i32 {
    scaled(height, UNITS_PER_HOUR, 60)
}
