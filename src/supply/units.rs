//! Amounts in words: metric, or US measures; never both kinds of cup.
//!
//! In: an amount in thousandths of a gram or of a piece, and what the good weighs by volume or piece. Out: text.
//! US measures are exact (NIST Handbook 44, appendix C: a gallon is 231 cubic inches, a cup its sixteenth; a pound is
//! 453.59237 g); what fills a cup is USDA's weight of it (SR28), so what comes out is good to some parts in a
//! hundred, as every cup is. There are no metric cups: what is metric is weighed.

use serde::{Deserialize, Serialize};

use super::catalogue::{Good, Kind};

/// How amounts are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Units {
    /// Grams and kilograms.
    #[default]
    Metric,
    /// Cups, tablespoons and teaspoons; ounces and pounds of what is weighed.
    Us,
}

/// A US cup in femtolitres: 236.5882365 ml.
pub const CUP: u128 = 236_588_236_500_000;
/// A tablespoon in femtolitres: a sixteenth of a cup.
pub const TABLESPOON: u128 = CUP / 16;
/// A teaspoon in femtolitres: a third of a tablespoon.
pub const TEASPOON: u128 = TABLESPOON / 3;
/// A pound in nanograms.
pub const POUND: u128 = 453_592_370_000;
/// An ounce in nanograms: a sixteenth of a pound.
pub const OUNCE: u128 = POUND / 16;

/// Milligrams of a volume of a good of which a litre weighs so many grams.
pub fn weight(volume: u128, litre: u32) -> u64 {
    // Grams a litre are milligrams a millilitre; a millilitre is 10¹² femtolitres.
    let milligrams = (volume * u128::from(litre) + 500_000_000_000) / 1_000_000_000_000;
    u64::try_from(milligrams).unwrap_or(u64::MAX)
}

/// Quarters of a teaspoon that so many milligrams fill, to the nearest.
fn quarter_teaspoons(milli: u64, litre: u32) -> u64 {
    let volume = u128::from(milli) * 1_000_000_000_000 * 4;
    let one = TEASPOON * u128::from(litre.max(1));
    u64::try_from((volume + one / 2) / one).unwrap_or(u64::MAX)
}

/// An amount of a good in words, for example "1.25 kg", "4 eggs", "2¼ cups".
pub fn amount(good: &Good, milli: u64, units: Units) -> String {
    match (good.kind, good.piece, units) {
        (Kind::Packaging, ..) => milli.div_ceil(1000).to_string(),
        (_, Some(piece), _) if good.litre.is_none() => pieces(good, piece, milli),
        (_, _, Units::Metric) => grams(milli),
        (_, _, Units::Us) => match good.litre {
            Some(litre) => spoons(quarter_teaspoons(milli, litre)),
            None => ounces(milli),
        },
    }
}

/// "7", "2½": pieces are not bought by halves, but used by them.
fn pieces(good: &Good, piece: u32, milli: u64) -> String {
    let halves = (milli * 2).div_ceil(u64::from(piece.max(1)) * 1000);
    let whole = halves / 2;
    match (whole, halves % 2) {
        (1, 0) => format!("1 {}", good.name.strip_suffix('s').unwrap_or(&good.name)),
        (_, 0) => format!("{whole} {}", good.name),
        (0, _) => format!("½ {}", good.name),
        _ => format!("{whole}½ {}", good.name),
    }
}

/// "0.5 g", "12 g", "1.25 kg".
pub fn grams(milli: u64) -> String {
    let tenths = milli.div_ceil(100);
    let whole = milli.div_ceil(1000);
    match tenths {
        0..100 if !tenths.is_multiple_of(10) => format!("{}.{} g", tenths / 10, tenths % 10),
        0..10_000 => format!("{whole} g"),
        _ => {
            let tens = whole.div_ceil(10);
            let text = format!("{}.{:02}", tens / 100, tens % 100);
            format!("{} kg", text.trim_end_matches('0').trim_end_matches('.'))
        }
    }
}

/// "3½ oz", "1 lb 4 oz": to the half ounce, upwards.
fn ounces(milli: u64) -> String {
    let nano = u128::from(milli) * 1_000_000;
    let halves = u64::try_from((nano * 2).div_ceil(OUNCE)).unwrap_or(u64::MAX);
    let (pounds, rest) = (halves / 32, halves % 32);
    let oz = match (rest / 2, rest % 2) {
        (whole, 0) => format!("{whole} oz"),
        (0, _) => "½ oz".to_owned(),
        (whole, _) => format!("{whole}½ oz"),
    };
    match (pounds, rest) {
        (0, _) => oz,
        (_, 0) => format!("{pounds} lb"),
        _ => format!("{pounds} lb {oz}"),
    }
}

/// Quarters of a teaspoon in the largest spoon that measures them well.
fn spoons(quarters: u64) -> String {
    const TABLESPOONS: u64 = 12;
    const CUPS: u64 = 192;
    if quarters >= CUPS / 4 {
        let fourths = (quarters + CUPS / 8) / (CUPS / 4);
        let plural = if fourths > 4 { "cups" } else { "cup" };
        return format!("{} {plural}", fourth(fourths));
    }
    if quarters >= TABLESPOONS {
        let fourths = (quarters + TABLESPOONS / 4) / (TABLESPOONS / 2) * 2;
        return format!("{} tbsp", fourth(fourths));
    }
    format!("{} tsp", fourth(quarters.max(1)))
}

/// "¾", "2¼", "3".
fn fourth(fourths: u64) -> String {
    let sign = ["", "¼", "½", "¾"].get(usize::try_from(fourths % 4).unwrap_or(0)).unwrap_or(&"");
    match fourths / 4 {
        0 => (*sign).to_owned(),
        whole => format!("{whole}{sign}"),
    }
}

#[cfg(test)]
mod tests {
    use super::super::catalogue::good;
    use super::*;

    /// NIST Handbook 44, appendix C, and NIST SP 811: a cubic inch is 16.387064 ml, a gallon 231 of them.
    #[test]
    fn us_measures_are_exact() {
        let cubic_inch: u128 = 16_387_064_000_000;
        assert_eq!(CUP * 16, cubic_inch * 231);
        assert_eq!((TABLESPOON, TEASPOON), (14_786_764_781_250, 4_928_921_593_750));
        assert_eq!(CUP, TABLESPOON * 16);
        assert_eq!(TABLESPOON, TEASPOON * 3);
        assert_eq!(OUNCE, 28_349_523_125);
        // A metric cup of 250 ml is none of ours: 5.7 % more.
        assert_eq!(250_000_000_000_000_000 / CUP, 1_056);
    }

    /// USDA National Nutrient Database for Standard Reference 28, household weights: grams of a US cup.
    #[test]
    fn a_cup_weighs_what_usda_says() {
        for (id, cup) in [
            ("flour", 125),
            ("sugar", 200),
            ("brown-sugar", 220),
            ("powdered-sugar", 120),
            ("butter", 227),
            ("milk", 244),
            ("cream", 238),
            ("cream-cheese", 232),
            ("cocoa", 86),
            ("cornstarch", 128),
            ("salt", 292),
            ("vanilla-extract", 208),
            ("corn-syrup", 341),
            ("vegetable-oil", 218),
        ] {
            let litre = good(id).and_then(|good| good.litre).expect(id);
            let grams = weight(CUP, litre);
            assert!(grams.abs_diff(cup * 1000) <= 500, "{id}: {grams} mg");
        }
        let egg = good("eggs").and_then(|good| good.piece);
        assert_eq!(egg, Some(50), "a large egg without its shell");
    }

    #[test]
    fn metric_is_weighed() {
        for (milli, text) in [
            (0, "0 g"),
            (499, "0.5 g"),
            (6_000, "6 g"),
            (9_950, "10 g"),
            (811_000, "811 g"),
            (1_000_000, "1 kg"),
            (1_250_000, "1.25 kg"),
            (12_304_000, "12.31 kg"),
        ] {
            assert_eq!(grams(milli), text);
        }
        let sugar = good("sugar").expect("sugar");
        assert_eq!(amount(sugar, 450_000, Units::Metric), "450 g");
    }

    #[test]
    fn us_is_spooned_and_weighed_in_pounds() {
        let words = |id: &str, grams: u64| amount(good(id).expect(id), grams * 1000, Units::Us);
        assert_eq!(words("flour", 281), "2¼ cups");
        assert_eq!(words("flour", 125), "1 cup");
        assert_eq!(words("sugar", 50), "¼ cup");
        assert_eq!(words("butter", 28), "2 tbsp");
        assert_eq!(words("salt", 6), "1 tsp");
        assert_eq!(words("fondant", 454), "1 lb ½ oz");
        assert_eq!(words("fondant", 100), "4 oz");
        assert_eq!(words("eggs", 200), "4 eggs");
        assert_eq!(words("eggs", 25), "½ eggs");
        for text in [words("flour", 700), words("milk", 100)] {
            assert!(!text.contains(" g") && !text.contains("ml"), "{text}");
        }
    }
}
