//! Statements about variables: "at least", seen from either side.
//!
//! Every variable `x` has two *views*: number `2x` is `x` itself, `2x + 1` is `-x`. A bound of `x`, lower
//! or upper, is a lower bound of one of them, so that everything is said once.

/// `view >= least`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Lit {
    pub(super) view: u32,
    pub(super) least: i32,
}

impl Lit {
    /// Always true: variable 0 is the constant 1.
    pub(super) const TRUE: Self = Self { view: 0, least: 1 };

    /// `variable >= value`.
    pub(super) const fn at_least(variable: u32, value: i32) -> Self {
        Self { view: variable * 2, least: value }
    }

    /// `variable <= value`.
    pub(super) const fn at_most(variable: u32, value: i32) -> Self {
        Self { view: variable * 2 + 1, least: -value }
    }

    /// The opposite.
    pub(super) const fn not(self) -> Self {
        Self { view: self.view ^ 1, least: 1 - self.least }
    }

    /// Its variable.
    #[cfg(test)]
    pub(super) const fn variable(self) -> u32 {
        self.view / 2
    }
}

/// An index as the vectors want it.
#[inline]
pub(super) const fn ix(index: u32) -> usize {
    index as usize
}

/// An index as it is kept; there are far fewer than four thousand million of anything.
#[expect(clippy::cast_possible_truncation, reason = "far fewer than 2^32 of anything")]
#[inline]
pub(super) const fn no(index: usize) -> u32 {
    index as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_opposite_of_a_bound_is_the_other_bound() {
        assert_eq!(Lit::at_least(3, 5).not(), Lit::at_most(3, 4));
        assert_eq!(Lit::at_most(3, 4).not(), Lit::at_least(3, 5));
        assert_eq!(Lit::TRUE.not().not(), Lit::TRUE);
    }
}
