//! Temperatures as integers, so that a limit is met or not, never nearly.

use std::fmt;

/// A temperature in hundredths of a degree Celsius. Rules that are printed in both scales are taken in
/// the scale in which they are round: 70 °F is 21.11 °C, printed as 21 °C.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Temperature(pub i32);

impl Temperature {
    /// 5 °C, 41 °F: cold holding by the FDA Food Code 3-501.16(A)(2).
    pub const COLD: Self = Self::celsius(5);
    /// −18 °C, 0 °F: the freezer (FSIS 0 °F; Directive 89/108/EEC −18 °C).
    pub const FROZEN: Self = Self::celsius(-18);

    /// Whole degrees Celsius.
    pub const fn celsius(degrees: i16) -> Self {
        Self(degrees as i32 * 100)
    }

    /// Whole degrees Fahrenheit, rounded to the nearest hundredth of a degree Celsius.
    pub const fn fahrenheit(degrees: i16) -> Self {
        // Hundredths of °C are (°F − 32) × 500 / 9; half away from zero.
        let ninths = (degrees as i32 - 32) * 500;
        let half = if ninths < 0 { -4 } else { 4 };
        Self((ninths + half) / 9)
    }

    /// In whole degrees Fahrenheit, rounded to the nearest.
    pub const fn to_fahrenheit(self) -> i32 {
        let fifths = self.0 * 9 + 32 * 500;
        let half = if fifths < 0 { -250 } else { 250 };
        (fifths + half) / 500
    }
}

/// In both scales, the Celsius to a tenth at most: "5 °C (41 °F)", "21.1 °C (70 °F)".
impl fmt::Display for Temperature {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let half = if self.0 < 0 { -5 } else { 5 };
        let tenths = (self.0 + half) / 10;
        let sign = if tenths < 0 { "−" } else { "" };
        let (whole, part) = (tenths.abs() / 10, tenths.abs() % 10);
        if part == 0 {
            write!(f, "{sign}{whole} °C ")?;
        } else {
            write!(f, "{sign}{whole}.{part} °C ")?;
        }
        let degrees = self.to_fahrenheit();
        let sign = if degrees < 0 { "−" } else { "" };
        write!(f, "({sign}{} °F)", degrees.abs())
    }
}
