//! Rackweek's domain: from a client's wish to a week that works, free of browser, clock and chance.
//!
//! What flows, in this order:
//!
//! 1. [`calendar`] turns the day job, sleep and exceptions into free windows, in elapsed minutes.
//! 2. [`kitchen`] says what fridge, freezer, racks, counter, oven and mixer can hold.
//! 3. [`card`] says how a product is made: steps, rests, hand times, places, keeping.
//!    [`supply`] says what is bought for it; [`quote`] what it costs, and what is asked.
//! 4. [`order`] says what a client wants, and when.
//! 5. [`keeping`] bounds how long a thing may rest where.
//!    [`allergen`] says what ingredients bring, and what clashes with what a client avoids; [`care`] what to know of
//!    an order before it is promised.
//!    [`margin`] learns from what was timed how long her hands really take.
//! 6. [`breakdown`] makes sittings and rests out of orders and cards, and a planning problem out of those.
//! 7. [`plan`] places them, and checks what was placed with separate code.
//! 8. [`week`] lays a plan out as the week that a person reads.
//! 9. [`record`] keeps it all: commands, undo, versions, backup.
//!    [`share`] hands a week on: a link that holds it, and what is read from one. [`export`] writes files for other
//!    programs.
//!
//! Every room that is filled in by hand answers with a [`refusal::Refusal`] for what it cannot take.
//! Given the same records the domain gives the same plan, natively and in WebAssembly, bit for bit.

pub mod allergen;
pub mod breakdown;
pub mod calendar;
pub mod card;
pub mod care;
pub mod cold;
pub mod demo;
pub mod export;
pub mod heat;
pub mod keeping;
pub mod kitchen;
pub mod margin;
pub mod order;
pub mod quote;
pub mod record;
pub mod refusal;
pub mod servings;
pub mod share;
pub mod supply;
pub mod week;

pub use rackweek_plan as plan;
