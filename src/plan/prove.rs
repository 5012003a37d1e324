//! The least cost of any plan.
//!
//! In: the model compiled for proofs, in which pins are requirements like others. Out: a lower bound on the
//! objective, or nothing where lags and windows alone leave no plan; one that is known at once, and one that
//! grows with the effort spent. Whether a plan exists at all is asked of [`super::explain::impossible`] too.

use super::Problem;
use super::exact::relax::narrow::News;
use super::exact::relax::root::{Root, State};
use super::model::{Bounds, Model};
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

/// A lower bound that grows.
#[derive(Debug, Clone)]
pub(super) struct Growing {
    model: Model,
    /// None: refuted.
    root: Option<Root>,
}

impl Growing {
    /// Takes about as long as checking a plan.
    pub(super) fn new(problem: &Problem) -> Self {
        let model = Model::compile(problem, Bounds::Proof);
        let root = Root::new(&model);
        Self { model, root }
    }

    /// What has become known of plans cheaper than the best one, once each time.
    pub(super) fn news(&mut self) -> Option<News> {
        self.root.as_mut().and_then(Root::news)
    }

    /// Works on for so much effort, of which some 300,000 take a millisecond; `known` is the objective of the
    /// best sound plan. Out: the least cost that is proven, or none if no sound plan exists.
    pub(super) fn work(&mut self, effort: u64, known: Option<i64>) -> Option<i64> {
        let root = self.root.as_mut()?;
        if root.work(&self.model, effort, known) == State::Refuted {
            self.root = None;
            return None;
        }
        Some(root.least())
    }
}
