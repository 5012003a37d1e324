//! Sets of spans: sorted, disjoint, none empty, none touching the next.

use super::Span;
use crate::plan::arrange::Arrange;

/// All that any of the given spans holds.
pub fn merge_spans(spans: impl IntoIterator<Item = Span>) -> Vec<Span> {
    let mut sorted: Vec<Span> = spans.into_iter().filter(|span| !span.is_empty()).collect();
    sorted.arrange();
    let mut merged: Vec<Span> = Vec::with_capacity(sorted.len());
    for span in sorted {
        match merged.last_mut() {
            Some(last) if span.start <= last.end => last.end = last.end.max(span.end),
            _ => merged.push(span),
        }
    }
    merged
}

/// What `from` holds and none of `taken` does. Both are sets as [`merge_spans`] makes them.
pub fn subtract_spans(from: &[Span], taken: &[Span]) -> Vec<Span> {
    let mut left = Vec::with_capacity(from.len());
    let mut next = 0;
    for &span in from {
        // Taken spans that end before this one starts are of no use to any later one either.
        while taken.get(next).is_some_and(|hole| hole.end <= span.start) {
            next += 1;
        }
        let mut start = span.start;
        for hole in taken.get(next..).unwrap_or_default() {
            if hole.start >= span.end {
                break;
            }
            if hole.start > start {
                left.push(Span::new(start, hole.start));
            }
            start = start.max(hole.end);
        }
        if start < span.end {
            left.push(Span::new(start, span.end));
        }
    }
    left
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::calendar::Elapsed;

    fn span(start: i32, end: i32) -> Span {
        Span::new(Elapsed(start), Elapsed(end))
    }

    #[test]
    fn merging_joins_what_overlaps_or_touches() {
        let merged = merge_spans([span(5, 7), span(0, 2), span(2, 3), span(6, 9), span(4, 4)]);
        assert_eq!(merged, [span(0, 3), span(5, 9)]);
    }

    #[test]
    fn subtracting_leaves_the_rest() {
        let left = subtract_spans(&[span(0, 10), span(20, 30)], &[span(2, 4), span(8, 25)]);
        assert_eq!(left, [span(0, 2), span(4, 8), span(25, 30)]);
        assert_eq!(subtract_spans(&[span(0, 10)], &[span(0, 10)]), []);
    }

    proptest! {
        #[test]
        fn minute_by_minute_they_agree_with_the_definition(
            a in prop::collection::vec((0..60_i32, 0..20_i32), 0..8),
            b in prop::collection::vec((0..60_i32, 0..20_i32), 0..8),
        ) {
            let set = |pairs: &[(i32, i32)]| merge_spans(pairs.iter().map(|&(s, l)| span(s, s + l)));
            let holds = |spans: &[Span], t| spans.iter().any(|s| s.contains(Elapsed(t)));
            let (a_set, b_set) = (set(&a), set(&b));
            let left = subtract_spans(&a_set, &b_set);
            prop_assert_eq!(&merge_spans(left.iter().copied()), &left);
            for t in 0..90 {
                prop_assert_eq!(holds(&a_set, t), a.iter().any(|&(s, l)| s <= t && t < s + l));
                prop_assert_eq!(holds(&left, t), holds(&a_set, t) && !holds(&b_set, t));
            }
        }
    }
}
