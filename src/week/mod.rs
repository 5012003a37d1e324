//! The week as a person reads it: columns, folded strips, blocks, threads, gauges. Geometry and words,
//! no screen: all positions are numbers that the app turns into pixels.
//!
//! In: book, outlook, plan and report, and what the clock shows. Out: [`WeekView`] for one week of the
//! horizon, answers to "where may this sitting go", and the sentences that go with both. Knows no
//! browser, asks no clock, changes nothing: a move is handed out as a [`crate::record::Command`].
//!
//! Vertical positions are units of which [`UNITS_PER_HOUR`] make an hour of free time; the app draws a
//! unit as one CSS pixel. They count from the top of their own day: hours in which nobody can work are
//! folded, so the same hour stands at different heights on different days.

mod accounts;
mod ahead;
mod axis;
mod bench;
mod blocks;
mod changes;
mod clock;
mod doings;
mod elsewhere;
mod fit;
mod gauges;
mod keeps;
mod list;
mod moved;
mod moves;
mod odds;
mod past_best;
mod problems;
mod remedies;
mod rooms;
mod sheet;
mod standing;
mod threads;
mod together;
mod trial;
mod view;
mod why;
mod why_not;
mod words;

#[cfg(test)]
mod explain_tests;
#[cfg(test)]
mod fixture;
#[cfg(test)]
mod tests;

pub use accounts::{AccountLine, Quality, account_lines};
pub use ahead::{AheadDay, look_ahead};
pub use axis::{DayAxis, FoldKey, SNAP, STRIP_HEIGHT, Section, Tick, UNITS_PER_HOUR};
pub use bench::{
    After, Bench, Count, Going, Job, JobState, Line, Ring, Setback, left_words, make_again,
    not_done, rings, setback,
};
pub use blocks::{Block, BlockKey, BlockKind, BlockState};
pub use changes::changes;
pub use doings::{Doing, DoingKind, doings};
pub use elsewhere::{Costs, ElsewhereDay, ElsewhereRow, Grade, Mark, elsewhere};
pub use fit::{FitWords, Take, Verdict, Way, fit_words, moment};
pub use gauges::{Gauge, GaugeStep, Occupant};
pub use keeps::{Keeps, keeps};
pub use list::ListItem;
pub use moved::{Moved, Starts, moved, moved_words};
pub use moves::{Band, Landing, MoveFrom, Nudge, Reach};
pub use odds::{Chance, HandoverOdds, Odds, chances, hand_times, odds};
pub use problems::ProblemView;
pub use remedies::{
    Suggestion, remedy_command, remedy_commands, seen_before, shown_before, suggestions,
    trial_words,
};
pub use rooms::{clearing_amount, clearing_words};
pub use sheet::{Sheet, SheetRest};
pub use standing::{Stood, standing, working};
pub use threads::{Run, Thread, ThreadPart, ThreadPiece};
pub use trial::{TrialChange, TrialDay, TrialSitting, TrialWeek};
pub use view::{DayView, HandoverMark, WeekInput, WeekView, first_day_of_week_with};
pub use why::WhyWords;
pub use why_not::{conflict_headline, conflict_words, remedy_words};
pub(crate) use words::{capitalised, day_and_month, duration, full_day};
pub use words::{day_name, day_short, place_letter, place_word, time_of};
