//! The least cost of any plan.
//!
//! In: the model compiled for proofs, in which pins are requirements like others. Out: a lower bound on the
//! objective, or nothing where lags and windows alone leave no plan. Whether a plan exists at all is asked
//! of [`super::explain::impossible`].

use super::model::Model;
use super::spread::Spread;
use super::tree;

/// The least cost that is proven, or none if no sound plan exists.
pub(super) fn least_cost(model: &Model) -> Option<i64> {
    if model.broken {
        return None;
    }
    let mut spread = Spread::new(model);
    if !spread.settle_root(model) {
        return None;
    }
    tree::least_cost(model, &spread.root)
}
