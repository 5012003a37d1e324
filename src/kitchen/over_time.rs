//! The kitchen from period to period: what each place can hold while something is cleared, and while not.
//!
//! In: a kitchen with clearings, a horizon, a grid. Out: periods in which nothing changes, each with its
//! capacities, all in the same height classes. Decides nothing.

use super::{DoesNotFit, FootBox, HeightClass, Kitchen, Place, PlaceCapacity};
use crate::calendar::{Elapsed, Horizon, Span};
use crate::plan::arrange::set_of;

/// A kitchen over a horizon.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KitchenOverTime {
    /// Sorted, without gaps, from the horizon's start to its end; at least one.
    periods: Vec<(Span, Kitchen)>,
}

impl KitchenOverTime {
    /// Periods begin and end on multiples of `grid` minutes, but for the end of the last one. On that grid a
    /// clearing counts where it holds for a whole step.
    pub fn of(kitchen: &Kitchen, horizon: &Horizon, grid: u16) -> Self {
        let grid = i32::from(grid.max(1));
        let whole = horizon.span();
        let mut moments = set_of([whole.start]);
        for Elapsed(moment) in kitchen.clearing_moments(horizon) {
            let before = moment.div_euclid(grid) * grid;
            let after = if before == moment { before } else { before.saturating_add(grid) };
            moments.extend([Elapsed(before), Elapsed(after)]);
        }
        moments.retain(|moment| *moment < whole.end);
        let mut periods: Vec<(Span, Kitchen)> = Vec::new();
        let ends = moments.iter().skip(1).chain([&whole.end]);
        for (start, end) in moments.iter().zip(ends) {
            let then = kitchen.during(horizon, Span::new(*start, *end));
            match periods.last_mut() {
                Some((span, same)) if *same == then => span.end = *end,
                _ => periods.push((Span::new(*start, *end), then)),
            }
        }
        Self { periods }
    }

    /// In which nothing changes, from the first to the last.
    pub fn spans(&self) -> impl Iterator<Item = Span> {
        self.periods.iter().map(|(span, _)| *span)
    }

    /// The most that each class of a place ever holds. The classes are those of all periods.
    pub fn most(&self, place: Place) -> PlaceCapacity {
        let heights = self.heights(place);
        let mut most = vec![0; heights.len()];
        for (_, kitchen) in &self.periods {
            for (most, capacity) in most.iter_mut().zip(capacities(kitchen, place, &heights)) {
                *most = capacity.max(*most);
            }
        }
        let class = |(height, capacity)| HeightClass { height, capacity };
        PlaceCapacity { place, classes: heights.into_iter().zip(most).map(class).collect() }
    }

    /// What each class of [`KitchenOverTime::most`] holds in each period.
    pub fn capacities(&self, place: Place) -> Vec<Vec<u32>> {
        let heights = self.heights(place);
        self.periods.iter().map(|(_, kitchen)| capacities(kitchen, place, &heights)).collect()
    }

    /// What boxes take of each class in each period, or why they stand nowhere then; see [`Kitchen::demand`].
    pub fn demands(&self, place: Place, boxes: &[FootBox]) -> Vec<Result<Vec<u32>, DoesNotFit>> {
        let heights = self.heights(place);
        let of = |(_, kitchen): &(Span, Kitchen)| {
            let demand = kitchen.demand(place, boxes)?;
            let own = kitchen.capacity(place).classes;
            // What needs a shelf of some height is counted in every class that is not higher.
            let amount = |height: &u16| {
                let class = own.iter().position(|class| *height <= class.height);
                let of_class = demand.iter().find(|(index, _)| Some(*index) == class);
                of_class.map_or(0, |(_, amount)| *amount)
            };
            Ok(heights.iter().map(amount).collect())
        };
        self.periods.iter().map(of).collect()
    }

    fn heights(&self, place: Place) -> Vec<u16> {
        let all = self.periods.iter().flat_map(|(_, kitchen)| kitchen.capacity(place).classes);
        let heights = set_of(all.map(|class| class.height));
        heights.into_iter().collect()
    }
}

/// What a kitchen's shelves at least so high hold, for each height.
fn capacities(kitchen: &Kitchen, place: Place, heights: &[u16]) -> Vec<u32> {
    let own = kitchen.capacity(place).classes;
    let at_least = |height: &u16| {
        let class = own.iter().find(|class| *height <= class.height);
        class.map_or(0, |class| class.capacity)
    };
    heights.iter().map(at_least).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::{Wall, Zone};
    use crate::kitchen::{Cleared, Clearing, Household, presets};

    fn wall(text: &str) -> Wall {
        text.parse().expect(text)
    }

    fn horizon() -> Horizon {
        Horizon::from_monday_of(wall("2026-11-23T00:00").date(), 7, Zone::fixed("kitchen", 0))
    }

    /// A low shelf that is free and a high one that the household keeps but for a clearing.
    fn kitchen(from: &str, until: &str) -> Kitchen {
        let mut kitchen = presets().remove(0).kitchen;
        kitchen.fridge.truncate(2);
        kitchen.fridge[0].household = Household::Nothing;
        kitchen.fridge[1].household = Household::Whole;
        let (from, until) = (wall(from), wall(until));
        let (place, cleared) = (Place::Fridge, Cleared::Whole);
        kitchen.clearings.push(Clearing { place, shelf: 1, cleared, from, until });
        kitchen
    }

    fn cake(height: u16) -> FootBox {
        let kind = "cake box".into();
        FootBox { kind, width: 300, depth: 300, height, count: 1, pile: 1 }
    }

    #[test]
    fn classes_are_those_of_all_periods() {
        let kitchen = kitchen("2026-11-27T18:00", "2026-11-28T10:00");
        let over = KitchenOverTime::of(&kitchen, &horizon(), 15);
        let at = |text: &str| horizon().elapsed(wall(text));
        let (from, until) = (at("2026-11-27T18:00"), at("2026-11-28T10:00"));
        let spans: Vec<Span> = over.spans().collect();
        let whole = horizon().span();
        assert_eq!(
            spans,
            [Span::new(whole.start, from), Span::new(from, until), Span::new(until, whole.end)]
        );
        // 470 × 330 mm are 1551 cm² each; the high one is 220 mm clear.
        let most: Vec<_> =
            over.most(Place::Fridge).classes.iter().map(|c| (c.height, c.capacity)).collect();
        assert_eq!(most, [(180, 3102), (220, 1551)]);
        let usual = vec![1551, 0];
        assert_eq!(over.capacities(Place::Fridge), [usual.clone(), vec![3102, 1551], usual]);
        let low = over.demands(Place::Fridge, &[cake(100)]);
        assert_eq!(low, [Ok(vec![900, 0]), Ok(vec![900, 0]), Ok(vec![900, 0])]);
        let high = over.demands(Place::Fridge, &[cake(200)]);
        assert!(high[0].is_err() && high[2].is_err());
        assert_eq!(high[1], Ok(vec![900, 900]));
        // Other places have one class at all times.
        assert_eq!(over.capacities(Place::Rack), [vec![8], vec![8], vec![8]]);
    }

    #[test]
    fn on_a_grid_a_clearing_counts_where_it_holds_for_a_whole_step() {
        let kitchen = kitchen("2026-11-27T18:01", "2026-11-28T09:59");
        let at = |text: &str| horizon().elapsed(wall(text));
        let cleared = |grid| {
            let over = KitchenOverTime::of(&kitchen, &horizon(), grid);
            over.spans().nth(1).expect("is cleared")
        };
        assert_eq!(cleared(1), Span::new(at("2026-11-27T18:01"), at("2026-11-28T09:59")));
        assert_eq!(cleared(15), Span::new(at("2026-11-27T18:15"), at("2026-11-28T09:45")));
        let short = self::kitchen("2026-11-27T18:01", "2026-11-27T18:29");
        assert_eq!(KitchenOverTime::of(&short, &horizon(), 15).spans().count(), 1);
        let before = self::kitchen("2026-11-20T18:00", "2026-11-22T18:00");
        assert_eq!(KitchenOverTime::of(&before, &horizon(), 15).spans().count(), 1);
        let always = self::kitchen("2026-11-20T18:00", "2026-12-22T18:00");
        let over = KitchenOverTime::of(&always, &horizon(), 15);
        assert_eq!(over.capacities(Place::Fridge), [vec![3102, 1551]]);
    }
}
