//! Proofs: bounds and refutations that hold for every plan.

pub(super) mod relax;
