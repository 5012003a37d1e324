//! The week as a person reads it: columns, folded strips, blocks, threads, gauges. Geometry and words,
//! no screen: all positions are numbers that the app turns into pixels.
//!
//! In: outlook and plan. Out: views that the app draws. Knows no browser.
