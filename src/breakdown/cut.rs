//! How long a step takes at the bench, and how it is cut into sittings.

/// The longest sittings that the baker's free windows and day limits allow, in minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Longest {
    /// Of any hands-on work.
    pub hands_on: u32,
    /// Of fine handwork.
    pub fine: u32,
}

/// Sitting lengths are whole multiples of this many minutes.
const STEP: u32 = 5;
/// More sittings than this are nobody's plan; the number also bounds the search.
const MOST_SITTINGS: u32 = 60;

/// Seconds of one step, margin included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct HandTime {
    /// To lay out before each sitting.
    pub setup: u64,
    /// The work itself, shared among the sittings.
    pub work: u64,
    /// To clear up after each sitting.
    pub cleanup: u64,
}

impl HandTime {
    /// Minutes of each of `sittings` equal sittings, on whole 5 minutes, rounded up.
    fn each(self, sittings: u32) -> u32 {
        let work = self.work.div_ceil(u64::from(sittings));
        let seconds = self.setup.saturating_add(work).saturating_add(self.cleanup);
        let minutes = u32::try_from(seconds.div_ceil(60)).unwrap_or(u32::MAX - STEP);
        minutes.div_ceil(STEP).saturating_mul(STEP).max(STEP)
    }
}

/// The sittings of a step, and whether none of them is longer than `longest`.
///
/// As few equal sittings as possible; no cut makes them shorter than `cut_min` minutes.
pub(super) fn sittings(time: HandTime, cut_min: Option<u16>, longest: u32) -> (Vec<u32>, bool) {
    let mut best = (1, time.each(1));
    if let Some(cut_min) = cut_min {
        for count in 2..=MOST_SITTINGS {
            if best.1 <= longest {
                break;
            }
            let each = time.each(count);
            if each < u32::from(cut_min) || each >= best.1 {
                // Nothing is won by sittings below the least, or that are all set-up.
                if each < u32::from(cut_min) {
                    break;
                }
                continue;
            }
            best = (count, each);
        }
    }
    (vec![best.1; best.0 as usize], best.1 <= longest)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn minutes(setup: u64, work: u64, cleanup: u64) -> HandTime {
        HandTime { setup: setup * 60, work: work * 60, cleanup: cleanup * 60 }
    }

    #[test]
    fn a_step_that_fits_is_not_cut() {
        assert_eq!(sittings(minutes(10, 60, 10), Some(45), 120), (vec![80], true));
        assert_eq!(sittings(minutes(10, 58, 10), None, 120), (vec![80], true), "rounded up to 5");
    }

    #[test]
    fn set_up_and_clear_up_come_with_every_sitting() {
        // 200 min of work in two: 10 + 100 + 10.
        assert_eq!(sittings(minutes(10, 200, 10), Some(45), 120), (vec![120, 120], true));
        assert_eq!(sittings(minutes(10, 201, 10), Some(45), 120), (vec![90, 90, 90], true));
    }

    #[test]
    fn a_sitting_is_never_cut_below_the_least() {
        assert_eq!(sittings(minutes(10, 80, 10), Some(60), 59), (vec![60, 60], false));
        assert_eq!(sittings(minutes(10, 80, 10), None, 60), (vec![100], false));
        assert!(!sittings(minutes(50, 80, 50), Some(60), 60).1);
    }
}
