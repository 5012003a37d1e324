//! Quantiles of the normal distribution, and a seeded source of evenly spread numbers.
//!
//! The same bits on every machine: only additions, multiplications, divisions and square roots, which
//! IEEE 754 fixes, and the portable `libm` crate's `exp` and `log` instead of the platform's.

use crate::random::Random;

/// Standard normal deviate of a probability strictly between 0 and 1, to about 1 part in 10⁷:
/// algorithm AS 241, PPND7 (M. J. Wichura, Applied Statistics 37, 1988, 477–484), from memory.
pub(super) fn normal_quantile(probability: f64) -> f64 {
    let q = probability - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        let upper = ((5.910_937_472e1 * r + 1.592_911_320_2e2) * r + 5.043_427_193_8e1) * r
            + 3.387_132_717_9;
        let lower = ((6.718_756_36e1 * r + 7.875_775_766_4e1) * r + 1.789_516_946_9e1) * r + 1.0;
        return q * upper / lower;
    }
    let tail = if q < 0.0 { probability } else { 1.0 - probability };
    let r = (-libm::log(tail)).sqrt();
    let size = if r <= 5.0 {
        let r = r - 1.6;
        let upper =
            ((1.702_382_110_3e-1 * r + 1.306_728_481_6) * r + 2.756_815_39) * r + 1.423_437_277_7;
        upper / ((1.202_113_297_5e-1 * r + 7.370_016_425e-1) * r + 1.0)
    } else {
        let r = r - 5.0;
        let upper =
            ((1.733_720_399_7e-2 * r + 4.286_829_433_7e-1) * r + 3.081_226_386) * r + 6.657_905_115;
        upper / ((1.225_820_263_5e-2 * r + 2.419_789_422_5e-1) * r + 1.0)
    };
    if q < 0.0 { -size } else { size }
}

/// Strictly between 0 and 1.
pub(super) fn between_0_and_1(random: &mut Random) -> f64 {
    // 52 bits and a half step: exactly representable, never 0 or 1.
    let bits = random.next() >> 12;
    #[expect(clippy::cast_precision_loss, reason = "52 bits fit into the mantissa exactly")]
    let whole = bits as f64;
    (whole + 0.5) / 4_503_599_627_370_496.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_agree_with_printed_tables() {
        // Abramowitz & Stegun, Handbook of Mathematical Functions (1964), table 26.5.
        for (probability, deviate) in [
            (0.5, 0.0),
            (0.8, 0.841_621),
            (0.9, 1.281_552),
            (0.975, 1.959_964),
            (0.995, 2.575_829),
            (0.9995, 3.290_527),
        ] {
            assert!((normal_quantile(probability) - deviate).abs() < 2e-6, "{probability}");
            assert!((normal_quantile(1.0 - probability) + deviate).abs() < 2e-6, "{probability}");
        }
        // From memory: one in 10¹² lies beyond 7.0345 standard deviations.
        assert!((normal_quantile(1e-12) + 7.034_48).abs() < 1e-4);
    }

    #[test]
    fn numbers_are_spread_evenly_and_inside() {
        let mut random = Random::new(3);
        let mut tenths = [0_u32; 10];
        for _ in 0..100_000 {
            let x = between_0_and_1(&mut random);
            assert!(0.0 < x && x < 1.0);
            #[expect(clippy::cast_possible_truncation, reason = "between 0 and 10")]
            #[expect(clippy::cast_sign_loss, reason = "between 0 and 10")]
            let tenth = (x * 10.0) as usize;
            tenths[tenth] += 1;
        }
        // Standard deviation of a tenth is 95.
        assert!(tenths.iter().all(|&n| (9_600..=10_400).contains(&n)), "{tenths:?}");
    }
}
