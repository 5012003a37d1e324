//! What every place holds at every moment, and its peak on each day.
//!
//! In: stays (boxes in a place for a span). Out: for each place a step function over the horizon. The
//! gauges of the week and the list of who is in the fridge are drawn from it; nothing is decided here.

use super::{DoesNotFit, FootBox, Kitchen, Place, PlaceCapacity};
use crate::calendar::{Elapsed, Horizon, Span};

/// Boxes of one product in one place for a while.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stay {
    /// Where.
    pub place: Place,
    /// What stands there.
    pub boxes: Vec<FootBox>,
    /// What it is, for example "base-coated cookies".
    pub label: String,
    /// Two letters of the order that it belongs to.
    pub mark: String,
    /// When; the end is not included.
    pub span: Span,
}

/// One place over the horizon.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Occupancy {
    /// What it can hold; no class when the place does not exist.
    pub capacity: PlaceCapacity,
    /// From moment 0 on, one entry wherever something changes: sorted, no two at one moment.
    pub steps: Vec<OccupancyStep>,
    /// One for each day of the horizon.
    pub peaks: Vec<DayPeak>,
    /// Stays that no single shelf can take (by their index), with the reason.
    pub misfits: Vec<(usize, DoesNotFit)>,
}

/// What a place holds from one moment until the next step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OccupancyStep {
    /// From when.
    pub at: Elapsed,
    /// Amount in each height class of the capacity, in its unit (cm², or levels of a rack).
    pub amounts: Vec<u32>,
    /// Who is there: indexes of the stays, in their order.
    pub stays: Vec<usize>,
    /// More than a class can hold, or something that fits nowhere.
    pub overfull: bool,
}

/// The fullest moment of a place on one day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DayPeak {
    /// Counted from 0.
    pub day: u16,
    /// When it first is so full that day.
    pub at: Elapsed,
    /// The class that is fullest then, as an index of the capacity's classes.
    pub class: usize,
    /// Amount in that class.
    pub amount: u32,
    /// What that class can hold; 0 when the place does not exist.
    pub capacity: u32,
    /// Per cent of the capacity, rounded up; above 100 when overfull.
    pub percent: u32,
    /// Some moment of that day is overfull.
    pub overfull: bool,
}

/// Every place's use over the horizon, in [`Place::ALL`]'s order. Stays outside the horizon are cut
/// to it; those that are empty then count nowhere.
pub fn use_over_time(kitchen: &Kitchen, horizon: &Horizon, stays: &[Stay]) -> Vec<Occupancy> {
    let days: Vec<Span> = (0..horizon.days).map(|day| horizon.day_span(day)).collect();
    Place::ALL
        .into_iter()
        .map(|place| of_place(kitchen, place, horizon.span(), &days, stays))
        .collect()
}

/// A stay as it counts: when, and how much of each class.
struct Counted {
    index: usize,
    span: Span,
    amounts: Vec<u32>,
    fits: bool,
}

fn of_place(
    kitchen: &Kitchen,
    place: Place,
    whole: Span,
    days: &[Span],
    stays: &[Stay],
) -> Occupancy {
    let capacity = kitchen.capacity(place);
    let mut misfits = Vec::new();
    let mut counted = Vec::new();
    for (index, stay) in stays.iter().enumerate().filter(|(_, stay)| stay.place == place) {
        let Some(span) = stay.span.shared(whole) else { continue };
        let mut amounts = vec![0; capacity.classes.len()];
        let demand = kitchen.demand(place, &stay.boxes);
        let fits = demand.is_ok();
        match demand {
            Ok(demand) => {
                for (class, amount) in demand {
                    if let Some(slot) = amounts.get_mut(class) {
                        *slot = amount;
                    }
                }
            }
            Err(misfit) => misfits.push((index, misfit)),
        }
        counted.push(Counted { index, span, amounts, fits });
    }
    let steps = steps(&capacity, whole, &counted);
    let peaks =
        (0_u16..).zip(days).map(|(day, span)| peak(&capacity, &steps, day, *span)).collect();
    Occupancy { capacity, steps, peaks, misfits }
}

fn steps(capacity: &PlaceCapacity, whole: Span, counted: &[Counted]) -> Vec<OccupancyStep> {
    let ends = counted.iter().flat_map(|stay| [stay.span.start, stay.span.end]);
    let mut moments: Vec<Elapsed> =
        ends.chain([whole.start]).filter(|at| *at < whole.end).collect();
    moments.sort_unstable();
    moments.dedup();
    let at_moment = |at: Elapsed| {
        let mut amounts = vec![0_u32; capacity.classes.len()];
        let mut here = Vec::new();
        let mut overfull = false;
        for stay in counted.iter().filter(|stay| stay.span.contains(at)) {
            here.push(stay.index);
            overfull |= !stay.fits;
            for (sum, amount) in amounts.iter_mut().zip(&stay.amounts) {
                *sum = sum.saturating_add(*amount);
            }
        }
        overfull |= amounts.iter().zip(&capacity.classes).any(|(sum, class)| *sum > class.capacity);
        OccupancyStep { at, amounts, stays: here, overfull }
    };
    moments.into_iter().map(at_moment).collect()
}

fn peak(capacity: &PlaceCapacity, steps: &[OccupancyStep], day: u16, span: Span) -> DayPeak {
    let mut peak = DayPeak {
        day,
        at: span.start,
        class: 0,
        amount: 0,
        capacity: 0,
        percent: 0,
        overfull: false,
    };
    peak.capacity = capacity.classes.first().map_or(0, |class| class.capacity);
    for (index, step) in steps.iter().enumerate() {
        let until = steps.get(index + 1).map_or(span.end, |next| next.at);
        // A step counts on each day that it reaches into.
        let Some(part) = Span::new(step.at, until.max(step.at.plus(1))).shared(span) else {
            continue;
        };
        peak.overfull |= step.overfull;
        for (class, (height_class, &amount)) in
            capacity.classes.iter().zip(&step.amounts).enumerate()
        {
            let share = (u64::from(amount) * 100).div_ceil(u64::from(height_class.capacity.max(1)));
            let percent = u32::try_from(share).unwrap_or(u32::MAX);
            if percent > peak.percent {
                peak = DayPeak {
                    at: part.start,
                    class,
                    amount,
                    capacity: height_class.capacity,
                    percent,
                    ..peak
                };
            }
        }
    }
    peak
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::calendar::Zone;
    use crate::kitchen::presets;

    fn horizon() -> Horizon {
        let monday = "2026-11-23".parse().expect("a date");
        Horizon::from_monday_of(monday, 7, Zone::fixed("kitchen", 0))
    }

    fn stay(place: Place, count: u16, start: i32, end: i32) -> Stay {
        Stay {
            place,
            boxes: vec![FootBox {
                kind: "tray".into(),
                width: 300,
                depth: 200,
                height: 100,
                count,
                pile: 1,
            }],
            label: "cookies".into(),
            mark: "AB".into(),
            span: Span::new(Elapsed(start), Elapsed(end)),
        }
    }

    fn of(stays: &[Stay], place: Place) -> Occupancy {
        let all = use_over_time(&presets()[0].kitchen, &horizon(), stays);
        let found = all.into_iter().find(|occupancy| occupancy.capacity.place == place);
        found.expect("every place is there")
    }

    #[test]
    fn what_stands_together_adds_up_and_what_follows_does_not() {
        let stays = [
            stay(Place::Rack, 3, 100, 200),
            stay(Place::Rack, 2, 150, 300),
            stay(Place::Fridge, 1, 0, 50),
            stay(Place::Rack, 4, 300, 400),
        ];
        let rack = of(&stays, Place::Rack);
        let seen: Vec<_> =
            rack.steps.iter().map(|s| (s.at.0, s.amounts.clone(), s.stays.clone())).collect();
        assert_eq!(
            seen,
            [
                (0, vec![0], vec![]),
                (100, vec![3], vec![0]),
                (150, vec![5], vec![0, 1]),
                (200, vec![2], vec![1]),
                (300, vec![4], vec![3]),
                (400, vec![0], vec![]),
            ]
        );
        let peak = rack.peaks[0];
        assert_eq!((peak.at, peak.amount, peak.capacity, peak.percent), (Elapsed(150), 5, 8, 63));
        assert!(!peak.overfull);
        assert_eq!(rack.peaks.len(), 7);
        assert_eq!((rack.peaks[1].amount, rack.peaks[1].percent), (0, 0));
    }

    #[test]
    fn a_stay_over_midnight_counts_on_both_days() {
        let rack = of(&[stay(Place::Rack, 9, 1000, 2000)], Place::Rack);
        assert_eq!((rack.peaks[0].at, rack.peaks[1].at), (Elapsed(1000), Elapsed(1440)));
        for day in [0, 1] {
            assert_eq!((rack.peaks[day].percent, rack.peaks[day].overfull), (113, true));
        }
        assert!(!rack.peaks[2].overfull);
    }

    #[test]
    fn what_fits_nowhere_is_overfull_with_its_reason() {
        let mut cake = stay(Place::Fridge, 1, 3000, 3100);
        cake.boxes[0].height = 400;
        let fridge = of(&[cake], Place::Fridge);
        assert_eq!(fridge.misfits.len(), 1);
        assert!(fridge.misfits[0].1.message.contains("260 mm clear"), "{}", fridge.misfits[0].1);
        assert!(fridge.peaks[2].overfull && fridge.peaks[2].percent == 0);
        assert!(fridge.steps.iter().any(|step| step.overfull && step.stays == [0]));
    }

    #[test]
    fn stays_outside_the_horizon_are_cut_to_it() {
        let rack = of(
            &[stay(Place::Rack, 1, -500, 10), stay(Place::Rack, 1, 10_000, 99_999)],
            Place::Rack,
        );
        assert_eq!(rack.steps[0].amounts, [1]);
        assert_eq!(rack.steps.last().map(|step| step.at), Some(Elapsed(10_000)));
        assert_eq!(rack.peaks[6].amount, 1);
        let none = of(&[stay(Place::Rack, 1, -500, 0)], Place::Rack);
        assert_eq!(none.steps.len(), 1);
    }

    proptest! {
        #[test]
        fn each_minute_agrees_with_a_plain_sum(
            spans in prop::collection::vec((1..4_u16, 0..3000_i32, 1..2000_i32), 0..6),
        ) {
            let stays: Vec<Stay> =
                spans.iter().map(|&(count, start, len)| stay(Place::Rack, count, start, start + len)).collect();
            let rack = of(&stays, Place::Rack);
            for minute in (0..5000).step_by(7) {
                let at = Elapsed(minute);
                let sum: u32 = stays.iter().filter(|s| s.span.contains(at))
                    .map(|s| u32::from(s.boxes[0].count)).sum();
                let step = rack.steps.iter().rfind(|step| step.at <= at).expect("starts at 0");
                prop_assert_eq!(step.amounts[0], sum);
                let day = usize::from(horizon().day_of(at));
                prop_assert!(rack.peaks[day].amount >= sum);
            }
            for day in &rack.peaks {
                let step = rack.steps.iter().rfind(|step| step.at <= day.at).expect("starts at 0");
                prop_assert_eq!(step.amounts[0], day.amount);
            }
        }
    }
}
