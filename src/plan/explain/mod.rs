//! Answers about a plan: why a segment lies here, where else it could lie, why nothing works and what
//! would help, what each preference costs, and how likely it all ends in time.
//!
//! In: a problem and a plan, as their files have them. Out: plain data in ids and slots; words are made
//! elsewhere. Knows nothing of baking, dates or screens. Every plan handed out was looked at by
//! [`super::check`].

mod account;
mod against;
mod conflict;
mod ledger;
mod net;
mod net_build;
mod network;
mod normal;
mod proof;
mod proof_clash;
mod proof_hands;
mod proof_rooms;
mod remedy;
mod requirement;
mod risk;
mod suggest;
mod supply;
mod tighten;
mod weave;
mod where_else;
mod why_here;
mod why_not;

pub use account::{Account, Entry, Preference, account, crunch};
pub use conflict::{Conflict, conflict, impossible, proven_impossible};
pub use remedy::{HELPER, Remedy};
pub use requirement::{NotARequirement, Requirement, holding_only, requirements};
pub use risk::{HandTime, HandTimes, HandoverRisk, Help, Risk, WindowRisk, risk};
pub use where_else::{Candidate, Verdict, WhereElse};
pub use why_here::{Cause, Hold, Nearby, Side, WhyHere, why_here};
pub use why_not::{Tried, WhyNot};
