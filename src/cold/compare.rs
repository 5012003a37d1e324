//! Two plans of one place beside each other, in words.

use crate::calendar::Span;
use crate::kitchen::Place;
use crate::order::OrderId;

use super::view::{ColdView, PlaceView};

/// The moment of a place at which it is fullest of all, from now on.
pub fn at_fullest(view: &ColdView, place: &PlaceView) -> usize {
    at_fullest_within(view, place, view.span())
}

/// The same, of the moments that share anything with a span; from now on where that leaves any.
pub fn at_fullest_within(view: &ColdView, place: &PlaceView, within: Span) -> usize {
    let (from, last) = (place.at(within.start), place.at(within.end.plus(-1).max(within.start)));
    let first = from.max(place.at(view.now)).min(last);
    let rank = |index: &usize| {
        let moment = place.moments.get(*index);
        moment.map_or((0, 0), |moment| {
            let outside: u32 = moment.outside.iter().map(|one| one.count).sum();
            (outside, moment.fullness())
        })
    };
    (first..=last).max_by_key(|index| (rank(index), std::cmp::Reverse(*index))).unwrap_or(last)
}

/// While anything of an order stands in a place by either plan; none when nothing of it ever does.
pub fn of_order(before: &ColdView, after: &ColdView, place: Place, order: OrderId) -> Option<Span> {
    let stands = before.stands.iter().chain(&after.stands);
    let here = stands.filter(|stand| stand.place == place && stand.order == order);
    let spans = here.map(|stand| stand.span).filter(|span| !span.is_empty());
    spans.reduce(|all, one| Span::new(all.start.min(one.start), all.end.max(one.end)))
}

/// What another plan does to a place within a span: its fullest moment, before and after.
pub fn compare(
    before: &ColdView,
    after: &ColdView,
    place: Place,
    within: Span,
) -> Option<[String; 2]> {
    let said = |view: &ColdView| {
        let found = view.place(place)?;
        let index = at_fullest_within(view, found, within);
        let moment = found.moments.get(index)?;
        let words = found.fill_words(index);
        let since = moment.span.start.max(within.start);
        Some(format!("fullest on {}: {words}", view.when(since)))
    };
    Some([said(before)?, said(after)?])
}
