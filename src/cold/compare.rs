//! Two plans of one place beside each other, in words.

use crate::kitchen::Place;

use super::view::{ColdView, PlaceView};

/// The moment of a place at which it is fullest of all, from now on.
pub fn at_fullest(view: &ColdView, place: &PlaceView) -> usize {
    let now = place.at(view.now);
    let later = place.fullest.iter().copied().filter(|index| *index >= now);
    let rank = |index: &usize| {
        let moment = place.moments.get(*index);
        moment.map_or((0, 0), |moment| {
            let outside: u32 = moment.outside.iter().map(|one| one.count).sum();
            (outside, moment.fullness())
        })
    };
    later.max_by_key(|index| (rank(index), std::cmp::Reverse(*index))).unwrap_or(now)
}

/// What another plan does to a place: its fullest moment, before and after.
pub fn compare(before: &ColdView, after: &ColdView, place: Place) -> Option<[String; 2]> {
    let said = |view: &ColdView| {
        let found = view.place(place)?;
        let index = at_fullest(view, found);
        let moment = found.moments.get(index)?;
        let words = found.fill_words(index);
        Some(format!("fullest on {}: {words}", view.when(moment.span.start)))
    };
    Some([said(before)?, said(after)?])
}
