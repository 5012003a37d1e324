//! What every place holds at every moment, and its peak on each day.
//!
//! In: stays (boxes in a place for a span). Out: for each place a step function over the horizon. The
//! gauges of the week and the list of who is in the fridge are drawn from it; nothing is decided here.

use super::{DoesNotFit, FootBox, Kitchen, KitchenOverTime, Place, PlaceCapacity};
use crate::calendar::{Elapsed, Horizon, Span};
use crate::plan::arrange::Arrange;

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
    /// The most that it can ever hold; no class when the place does not exist. What it can hold at a moment
    /// is said by the step.
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
    /// What each class can hold then, with what the household clears.
    pub capacities: Vec<u32>,
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
    /// What that class can hold then; 0 when the place does not exist.
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
    let kitchen = KitchenOverTime::of(kitchen, horizon, 1);
    Place::ALL
        .into_iter()
        .map(|place| of_place(&kitchen, place, horizon.span(), &days, stays))
        .collect()
}

/// A stay as it counts: when, and how much of each class in each period; none where it fits nowhere.
struct Counted {
    index: usize,
    span: Span,
    amounts: Vec<Option<Vec<u32>>>,
}

/// A place in a period in which nothing is cleared or taken back.
struct Period {
    span: Span,
    capacities: Vec<u32>,
}

fn of_place(
    kitchen: &KitchenOverTime,
    place: Place,
    whole: Span,
    days: &[Span],
    stays: &[Stay],
) -> Occupancy {
    let capacity = kitchen.most(place);
    let capacities = kitchen.capacities(place).into_iter();
    let periods: Vec<Period> = kitchen
        .spans()
        .zip(capacities)
        .map(|(span, capacities)| Period { span, capacities })
        .collect();
    let mut misfits = Vec::new();
    let mut counted = Vec::new();
    for (index, stay) in stays.iter().enumerate().filter(|(_, stay)| stay.place == place) {
        let Some(span) = stay.span.shared(whole) else { continue };
        let demands = kitchen.demands(place, &stay.boxes);
        let meets = |(period, _): &(&Period, _)| period.span.shared(span).is_some();
        let misfit = periods.iter().zip(&demands).filter(meets).find_map(|(_, d)| d.clone().err());
        misfits.extend(misfit.map(|misfit| (index, misfit)));
        counted.push(Counted {
            index,
            span,
            amounts: demands.into_iter().map(Result::ok).collect(),
        });
    }
    let steps = steps(&periods, whole, &counted);
    let peaks = (0_u16..).zip(days).map(|(day, span)| peak(&steps, day, *span)).collect();
    Occupancy { capacity, steps, peaks, misfits }
}

fn steps(periods: &[Period], whole: Span, counted: &[Counted]) -> Vec<OccupancyStep> {
    let ends = counted.iter().flat_map(|stay| [stay.span.start, stay.span.end]);
    let periods_begin = periods.iter().map(|period| period.span.start);
    let mut moments: Vec<Elapsed> =
        ends.chain(periods_begin).chain([whole.start]).filter(|at| *at < whole.end).collect();
    moments.arrange();
    moments.dedup();
    let at_moment = |at: Elapsed| {
        let period = periods.iter().position(|period| period.span.contains(at)).unwrap_or(0);
        let capacities = periods.get(period).map_or_else(Vec::new, |of| of.capacities.clone());
        let mut amounts = vec![0_u32; capacities.len()];
        let mut here = Vec::new();
        let mut overfull = false;
        for stay in counted.iter().filter(|stay| stay.span.contains(at)) {
            here.push(stay.index);
            let Some(Some(own)) = stay.amounts.get(period) else {
                overfull = true;
                continue;
            };
            for (sum, amount) in amounts.iter_mut().zip(own) {
                *sum = sum.saturating_add(*amount);
            }
        }
        overfull |= amounts.iter().zip(&capacities).any(|(sum, most)| sum > most);
        OccupancyStep { at, amounts, capacities, stays: here, overfull }
    };
    moments.into_iter().map(at_moment).collect()
}

fn peak(steps: &[OccupancyStep], day: u16, span: Span) -> DayPeak {
    let mut peak = DayPeak {
        day,
        at: span.start,
        class: 0,
        amount: 0,
        capacity: 0,
        percent: 0,
        overfull: false,
    };
    let first = steps.iter().rfind(|step| step.at <= span.start);
    peak.capacity = first.and_then(|step| step.capacities.first().copied()).unwrap_or(0);
    for (index, step) in steps.iter().enumerate() {
        let until = steps.get(index + 1).map_or(span.end, |next| next.at);
        // A step counts on each day that it reaches into.
        let Some(part) = Span::new(step.at, until.max(step.at.plus(1))).shared(span) else {
            continue;
        };
        peak.overfull |= step.overfull;
        for (class, (&capacity, &amount)) in step.capacities.iter().zip(&step.amounts).enumerate() {
            let share = (u64::from(amount) * 100).div_ceil(u64::from(capacity.max(1)));
            let percent = u32::try_from(share).unwrap_or(u32::MAX);
            if percent > peak.percent {
                peak = DayPeak { at: part.start, class, amount, capacity, percent, ..peak };
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
    use crate::kitchen::{Cleared, Clearing, Household, presets};

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

    #[test]
    fn what_is_cleared_counts_while_it_is_cleared() {
        // The household keeps 282 of 470 × 330 mm of the third shelf, and all of the others.
        let mut kitchen = presets().remove(0).kitchen;
        for index in [0, 1, 3] {
            kitchen.fridge[index].household = Household::Whole;
        }
        kitchen.fridge[2].household = Household::strip(470, 282);
        let (from, until) = (Elapsed(5 * 1440 - 360), Elapsed(5 * 1440 + 600));
        let wall = |moment| horizon().wall(moment);
        kitchen.clearings.push(Clearing {
            place: Place::Fridge,
            shelf: 2,
            cleared: Cleared::Whole,
            from: wall(from),
            until: wall(until),
        });
        let fridge = |stays: &[Stay]| {
            let mut all = use_over_time(&kitchen, &horizon(), stays);
            all.swap_remove(0)
        };
        // A box of 300 × 200 mm does not stand on the 188 mm that are free as a rule.
        let inside = fridge(&[stay(Place::Fridge, 2, from.0, until.0)]);
        assert_eq!((inside.misfits.len(), inside.capacity.classes[0].capacity), (0, 1551));
        let steps: Vec<_> = inside
            .steps
            .iter()
            .map(|s| (s.at, s.amounts[0], s.capacities[0], s.overfull))
            .collect();
        assert_eq!(
            steps,
            [(Elapsed(0), 0, 620, false), (from, 1200, 1551, false), (until, 0, 620, false)]
        );
        let friday = inside.peaks[4];
        assert_eq!((friday.percent, friday.capacity, friday.overfull), (78, 1551, false));
        let longer = fridge(&[stay(Place::Fridge, 2, from.0, until.0 + 60)]);
        assert_eq!(longer.misfits.len(), 1);
        let overfull: Vec<_> =
            longer.steps.iter().filter(|step| step.overfull).map(|step| step.at).collect();
        assert_eq!(overfull, [until], "only once the household has its part back");
        assert!(longer.peaks[5].overfull && !longer.peaks[4].overfull);
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
