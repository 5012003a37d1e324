//! The breakdown: orders and their cards become steps and rests, and those a planning problem.
//!
//! In: orders, cards, kitchen. Out: [`Work`] (what there is to do, explained in words), and the neutral
//! [`crate::plan::Problem`] made from it, with the way back from activity names to steps.
//! Deterministic. Knows no plan.

mod assemble;
mod cakes;
mod counts;
mod cut;
mod cuts;
mod example;
mod explode;
mod grid;
mod join;
mod lags;
mod past;
mod standing;
mod stores;
mod wait;
mod work;

pub use assemble::{Assembled, Assembly, assemble};
pub use cakes::cakes;
pub use cut::Longest;
pub use cuts::Cut;
pub use example::{Example, ExampleStep, ExampleWait, example, example_count};
pub use explode::{break_down, break_down_within};
pub use standing::{CanStand, Origin, Standings};
pub use work::{
    AgeLimit, HandoverPoint, Note, Rest, RestChoice, RestStay, Stands, Step, StepId, StepNeed,
    Used, Wait, Work,
};
