//! Gauges: how full each place is over a day, its peak in words, and what is in it then.

use crate::calendar::{Elapsed, Span};
use crate::kitchen::{DayPeak, Occupancy, OccupancyStep, Place, Stay};
use crate::plan::arrange::Arrange;

use super::view::Context;
use super::words::{time_of, time_range};

/// One place over one day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gauge {
    /// Which place.
    pub place: Place,
    /// How full it is: sorted, without gaps, over the whole day.
    pub steps: Vec<GaugeStep>,
    /// Fullness at the peak, in thousandths; more than 1000 is overfull.
    pub peak: i32,
    /// When the peak is, for example "20:00–23:15"; empty when the place is empty all day.
    pub peak_time: String,
    /// The peak as a number with its unit, for example "5 of 8 trays" or "62 %".
    pub peak_text: String,
    /// Holds more at the peak than it can.
    pub overfull: bool,
    /// The peak in a sentence, for example "rack 5 of 8 trays, 20:00–23:15".
    pub words: String,
    /// What is in it at the peak.
    pub at_peak: Vec<Occupant>,
    /// What is in it at any time of the day, by start.
    pub over_day: Vec<Occupant>,
}

/// A stretch of a day over which a place stays as full as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GaugeStep {
    /// Thousandths of the day from its start.
    pub from: i32,
    /// Thousandths of the day.
    pub to: i32,
    /// Thousandths of the place; more than 1000 is overfull.
    pub fill: i32,
}

/// Something that stands in a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Occupant {
    /// Two letters for the order.
    pub mark: String,
    /// For example "base-coated cookies: 3 trays".
    pub what: String,
    /// The part of the day that it is there, for example "from 19:45".
    pub when: String,
}

/// Every place that the kitchen has, over one day. A day outside the horizon has none.
pub(super) fn gauges(
    context: &Context<'_>,
    day: i32,
    span: Span,
    places: &[Occupancy],
    stays: &[Stay],
) -> Vec<Gauge> {
    let Ok(index) = usize::try_from(day) else { return Vec::new() };
    places
        .iter()
        .filter(|place_use| !place_use.capacity.classes.is_empty())
        .filter_map(|place_use| {
            Some(gauge(context, span, place_use, place_use.peaks.get(index)?, stays))
        })
        .collect()
}

fn gauge(
    context: &Context<'_>,
    day: Span,
    occupancy: &Occupancy,
    peak: &DayPeak,
    stays: &[Stay],
) -> Gauge {
    let place = occupancy.capacity.place;
    let mut steps: Vec<GaugeStep> = Vec::new();
    let mut peak_end = peak.at;
    for (step, until) in stretches(occupancy, day) {
        let Some(part) = Span::new(step.at, until).shared(day) else { continue };
        let fill = fill(step);
        let (from, to) = (share_of_day(day, part.start), share_of_day(day, part.end));
        match steps.last_mut() {
            Some(last) if last.fill == fill => last.to = to,
            _ => steps.push(GaugeStep { from, to, fill }),
        }
        let same = step.amounts.get(peak.class) == Some(&peak.amount)
            && step.capacities.get(peak.class) == Some(&peak.capacity);
        if part.start == peak_end && same {
            peak_end = part.end;
        }
    }
    let peak_span = Span::new(peak.at, peak_end);
    let empty = peak.percent == 0 && !peak.overfull;
    let peak_text = amount_text(place, peak);
    let peak_time = if empty { String::new() } else { when(context, day, peak_span) };
    let name = place.name();
    let mut words = match (peak.percent, peak.overfull) {
        (0, false) => format!("{name} empty"),
        // Nothing that counts, but something that fits nowhere: said below.
        (0, true) => format!("{name}:"),
        _ => format!("{name} {peak_text}, {peak_time}"),
    };
    if peak.amount > peak.capacity {
        words = format!("{words}, overfull by {}", excess(place, peak.amount - peak.capacity));
    }
    let here: Vec<(&Stay, Span)> = stays
        .iter()
        .filter(|stay| stay.place == place)
        .filter_map(|stay| Some((stay, stay.span.shared(day)?)))
        .collect();
    for (index, misfit) in &occupancy.misfits {
        if stays.get(*index).is_some_and(|stay| stay.span.shared(day).is_some()) {
            let glue = if words.ends_with(':') { "" } else { ";" };
            words = format!("{words}{glue} {misfit}");
        }
    }
    let occupant = |(stay, shown): &(&Stay, Span)| Occupant {
        mark: stay.mark.clone(),
        what: what(stay),
        when: when(context, day, *shown),
    };
    let mut over_day: Vec<(Span, Occupant)> =
        here.iter().map(|one| (one.1, occupant(one))).collect();
    over_day.arrange_by(|a, b| (a.0, &a.1.what).cmp(&(b.0, &b.1.what)));
    Gauge {
        place,
        steps,
        peak: i32::try_from(peak.percent.saturating_mul(10)).unwrap_or(i32::MAX),
        peak_time,
        peak_text,
        overfull: peak.overfull,
        words,
        at_peak: here
            .iter()
            .filter(|(_, shown)| !empty && shown.contains(peak_span.start))
            .map(occupant)
            .collect(),
        over_day: over_day.into_iter().map(|(_, occupant)| occupant).collect(),
    }
}

/// The steps of a place, each with the moment at which the next one begins.
fn stretches(occupancy: &Occupancy, day: Span) -> impl Iterator<Item = (&OccupancyStep, Elapsed)> {
    occupancy.steps.iter().enumerate().map(move |(index, step)| {
        let until = occupancy.steps.get(index + 1).map_or(day.end.max(step.at), |next| next.at);
        (step, until)
    })
}

/// Thousandths of the fullest class. Rounding never hides an overfull place.
fn fill(step: &OccupancyStep) -> i32 {
    let classes = step.capacities.iter().zip(&step.amounts);
    let share = classes
        .map(|(capacity, amount)| u64::from(*amount) * 1000 / u64::from((*capacity).max(1)))
        .max()
        .unwrap_or(0);
    let share = i32::try_from(share).unwrap_or(i32::MAX);
    if step.overfull { share.max(1001) } else { share }
}

/// "5 of 8 trays", "62 %", "no room" for what stands on no shelf at all.
fn amount_text(place: Place, peak: &DayPeak) -> String {
    if place == Place::Rack {
        format!("{} of {} trays", peak.amount, peak.capacity)
    } else if peak.percent == 0 && peak.overfull {
        "no room".to_owned()
    } else {
        format!("{} %", peak.percent)
    }
}

/// "2 trays", "3 dm²": how much too much.
pub(super) fn excess(place: Place, over: u32) -> String {
    match (place, over) {
        (Place::Rack, 1) => "1 tray".to_owned(),
        (Place::Rack, _) => format!("{over} trays"),
        _ => format!("{} dm²", over.div_ceil(100)),
    }
}

fn share_of_day(day: Span, moment: Elapsed) -> i32 {
    moment.since(day.start) * 1000 / day.minutes().max(1)
}

/// "base-coated cookies: 3 × tray".
fn what(stay: &Stay) -> String {
    let boxes: Vec<String> =
        stay.boxes.iter().map(|one| format!("{} × {}", one.count, one.kind)).collect();
    if boxes.is_empty() {
        stay.label.clone()
    } else {
        format!("{}: {}", stay.label, boxes.join(", "))
    }
}

/// The part of the day: "all day", "until 19:10", "from 19:45", "18:30–19:10".
fn when(context: &Context<'_>, day: Span, shown: Span) -> String {
    let time = |moment| time_of(context.horizon.wall(moment));
    match (shown.start <= day.start, shown.end >= day.end) {
        (true, true) => "all day".to_owned(),
        (true, false) => format!("until {}", time(shown.end)),
        (false, true) => format!("from {}", time(shown.start)),
        (false, false) => time_range(context.horizon, shown.start, shown.end),
    }
}
