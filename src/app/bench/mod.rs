//! *Bench sheet*: what to do now, with floury hands; and what rings, on every page.
//!
//! In: the week on screen and what she noted. Out: deeds at an instant, timers, and the commands of the library's
//! bench. [`desk`] is what the parts share and what ticks; [`page`] the page, [`job`] a sitting in large, [`rows`]
//! what is to come and what was done, [`ask`] what nobody spoke of yet, [`behind`] what happened instead, [`going`] what leaves, [`timers`] the list of what runs, [`ring`]
//! what is seen and heard of it everywhere.

mod ask;
mod behind;
mod desk;
mod going;
mod job;
mod page;
mod ring;
mod rows;
mod sound;
mod timers;

pub(crate) use desk::BenchDesk;
pub(crate) use page::BenchPage;
pub(crate) use ring::RingBar;
