//! Amounts of money: whole minor units (cents), and how they are rounded.
//!
//! An amount is an `i64` of minor units of whatever currency the baker has chosen; the screen writes it with the
//! currency's own sign and digits. Rates are hundredths of a per cent, so that 8.25 % is 825. Rounding is half away
//! from zero, once, at the end of a calculation that is exact until then: the rule that the Streamlined Sales and Use
//! Tax Agreement § 324 has for tax ("carried to the third decimal place; rounded up when the third is greater than
//! four"), taken for everything.

/// Minor units, for example cents.
pub type Minor = i64;

/// Hundredths of a per cent in the whole.
pub const WHOLE: u32 = 10_000;

/// Where tax is rounded; the Agreement leaves it to the seller.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rounding {
    /// On each line, and then added up.
    PerLine,
    /// Once, on the sum.
    PerQuote,
}

/// `a × b / c`, rounded half away from zero; 0 where `c` is 0. Never overflows: it stops at the greatest amount.
pub fn times(a: i64, b: i64, c: i64) -> i64 {
    if c == 0 {
        return 0;
    }
    let below = (i128::from(a) * i128::from(b)).signum() * i128::from(c.signum()) < 0;
    let product = (i128::from(a) * i128::from(b)).unsigned_abs();
    let divisor = u128::from(c.unsigned_abs());
    // An odd divisor has no exact half, so none is rounded wrongly.
    let rounded = (product + divisor / 2) / divisor;
    match (i64::try_from(rounded), below) {
        (Ok(amount), false) => amount,
        (Ok(amount), true) => -amount,
        (Err(_), false) => i64::MAX,
        (Err(_), true) => i64::MIN,
    }
}

/// A rate of an amount.
pub fn share(amount: Minor, rate: u32) -> Minor {
    times(amount, i64::from(rate), i64::from(WHOLE))
}

/// The price of which `margin` is left after a cost: cost ÷ (1 − margin). None for a margin of the whole or more.
pub fn with_margin(cost: Minor, margin: u32) -> Option<Minor> {
    let rest = WHOLE.checked_sub(margin).filter(|rest| *rest > 0)?;
    Some(times(cost, i64::from(WHOLE), i64::from(rest)))
}

/// The margin that a markup comes to, both as rates: markup ÷ (1 + markup).
pub fn margin_of_markup(markup: u32) -> u32 {
    let whole = i64::from(WHOLE);
    u32::try_from(times(i64::from(markup), whole, whole + i64::from(markup))).unwrap_or(WHOLE)
}

/// What edible weight costs when only a part of what is bought is used: cost ÷ yield. None for a yield of nothing.
pub fn edible(cost: Minor, used: u32) -> Option<Minor> {
    (used > 0).then(|| times(cost, i64::from(WHOLE), i64::from(used)))
}

/// Tax on lines.
pub fn tax(lines: &[Minor], rate: u32, rounding: Rounding) -> Minor {
    match rounding {
        Rounding::PerLine => lines.iter().map(|line| share(*line, rate)).sum(),
        Rounding::PerQuote => share(lines.iter().sum(), rate),
    }
}

/// A deposit of a rate, and the balance: together always the whole.
pub fn deposit(total: Minor, rate: u32) -> (Minor, Minor) {
    let deposit = share(total, rate.min(WHOLE));
    (deposit, total - deposit)
}

/// An amount as it is typed, "12.5" or "12,50", in a currency with so many decimals; none where it is no amount or
/// has more decimals than the currency.
pub fn read_amount(text: &str, digits: u8) -> Option<Minor> {
    let text = text.trim().replace(',', ".");
    let (whole, part) = text.split_once('.').unwrap_or((&text, ""));
    let digits = usize::from(digits);
    let number = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if (whole.is_empty() && part.is_empty()) || !number(whole) || !number(part) {
        return None;
    }
    if part.len() > digits {
        return None;
    }
    format!("{whole}{part:0<digits$}").parse().ok()
}

/// An amount as it would be typed: "12.50".
pub fn written_amount(amount: Minor, digits: u8) -> String {
    let sign = if amount < 0 { "-" } else { "" };
    let amount = amount.unsigned_abs();
    match 10_u64.checked_pow(u32::from(digits)) {
        Some(one) if digits > 0 => {
            let width = usize::from(digits);
            format!("{sign}{}.{:0width$}", amount / one, amount % one)
        }
        _ => format!("{sign}{amount}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Culinary arithmetic: price as bought ÷ yield (VCC Learning Centre, "Recipe costing": 10 lb of apples at 5.60
    /// and 75 % cost 7.4667 as used; 20 lb of flour at 10.50).
    #[test]
    fn what_is_used_costs_more_than_what_is_bought() {
        assert_eq!(edible(560, 7_500), Some(747));
        assert_eq!(edible(1_245, 6_000), Some(2_075));
        assert_eq!(edible(560, 0), None);
        // 0.525 a pound, in tenths of a cent.
        assert_eq!(times(10_500, 1, 20), 525);
    }

    /// M = G ÷ (1 − G): 20, 25, 33⅓, 40, 50 and 60 % of margin are 25, 33.33, 50, 66.67, 100 and 150 % of markup.
    #[test]
    fn a_markup_is_not_a_margin() {
        for (markup, margin) in
            [(2_500, 2_000), (5_000, 3_333), (6_667, 4_000), (10_000, 5_000), (15_000, 6_000)]
        {
            assert_eq!(margin_of_markup(markup), margin);
        }
        assert_eq!(with_margin(4_000, 3_333), Some(6_000));
        assert_eq!(with_margin(18_583, 2_000), Some(23_229));
        assert_eq!(with_margin(1, WHOLE), None);
        assert_eq!(with_margin(1, WHOLE + 1), None);
    }

    /// Rounding half away from zero at the third decimal (Streamlined Sales and Use Tax Agreement § 324), with the
    /// examples of an explanation of it: 10.99 at 6.25 % is 0.686875; and what half-even would do otherwise.
    #[test]
    fn tax_is_rounded_at_the_half_and_once() {
        for (amount, rate, tax) in [
            (1_099, 625, 69),
            (50, 500, 3),
            (250, 500, 13),
            (150, 700, 11),
            (100, 650, 7),
            (500, 650, 33),
            (300, 650, 20),
            // 0.8047: not by way of 0.805.
            (1_238, 650, 80),
            (-50, 500, -3),
        ] {
            assert_eq!(share(amount, rate), tax, "{amount} at {rate}");
        }
        assert_eq!(tax(&[125; 4], 625, Rounding::PerLine), 32);
        assert_eq!(tax(&[125; 4], 625, Rounding::PerQuote), 31);
        assert_eq!(tax(&[350; 3], 700, Rounding::PerLine), 75);
        assert_eq!(tax(&[350; 3], 700, Rounding::PerQuote), 74);
    }

    #[test]
    fn deposit_and_balance_are_the_whole() {
        assert_eq!(deposit(25_145, 5_000), (12_573, 12_572));
        for total in 0..300 {
            for rate in [0, 3_333, 5_000, WHOLE, WHOLE + 5] {
                let (deposit, balance) = deposit(total, rate);
                assert_eq!(deposit + balance, total);
                assert!(0 <= deposit && deposit <= total);
            }
        }
    }

    #[test]
    fn amounts_are_read_as_they_are_written() {
        for (text, digits, amount) in [
            ("12.5", 2, Some(1_250)),
            (" 12,50 ", 2, Some(1_250)),
            (".5", 2, Some(50)),
            ("7", 0, Some(7)),
            ("7", 3, Some(7_000)),
            ("7.5", 0, None),
            ("1.005", 2, None),
            ("", 2, None),
            (".", 2, None),
            ("-3", 2, None),
            ("3 €", 2, None),
            ("99999999999999999999", 2, None),
        ] {
            assert_eq!(read_amount(text, digits), amount, "{text}");
        }
        for amount in [0, 5, 50, 1_250, 123_456] {
            for digits in 0..=3 {
                assert_eq!(read_amount(&written_amount(amount, digits), digits), Some(amount));
            }
        }
        assert_eq!(written_amount(-1_205, 2), "-12.05");
    }

    #[test]
    fn halves_go_away_from_zero_whatever_the_signs_and_nothing_overflows() {
        for (a, b, c, out) in [
            (5, 1, 2, 3),
            (-5, 1, 2, -3),
            (5, 1, -2, -3),
            (-5, -1, 2, 3),
            (5, 1, 3, 2),
            (4, 1, 3, 1),
            (7, 0, 9, 0),
            (7, 1, 0, 0),
            (i64::MAX, i64::MAX, 1, i64::MAX),
            (i64::MAX, -2, 1, i64::MIN),
        ] {
            assert_eq!(times(a, b, c), out, "{a} × {b} / {c}");
        }
    }
}
