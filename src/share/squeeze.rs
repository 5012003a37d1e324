//! A small coder for short texts: an arithmetic coder whose predictions are mixed from what followed
//! the last few bytes before, in the text and in words of the trade that it has read beforehand.
//!
//! On a week of a few kilobytes it needs about a third less room than DEFLATE, and less code. It follows the
//! usual construction of a context-mixing coder (predictions in the logistic domain, mixed by weights that learn by
//! gradient descent, binary arithmetic coding with 12-bit probabilities). Integers only, so that every device
//! reads what any other wrote. Version 1 of the link is this file and `words.txt`: a change of either is a
//! new version.

/// What the coder has read before it reads a week: steps, products, amounts and take-outs as the built-in cards have
/// them, a line each, the commonest last. Never edited: a change is a new version of the link.
const WORDS: &str = include_str!("words.txt");

/// How many of the last bytes the predictions look at: none, one, … four; and the word begun.
const LOOKS: usize = 6;
/// Slots of one look, a power of two.
const SLOTS: usize = 1 << 16;
/// Weights begin at a quarter each: their unit is 1/65536.
const FIRST_WEIGHT: i32 = 16_000;
/// How fast the weights learn.
const LEARN: i32 = 16;
/// A slot's memory: its rate falls to one in so many.
const COUNT_MAX: u32 = 30;

/// `4096 / (1 + e^(-x/256))` at `x` = −2048, −1920, … 2048.
const SQUASH: [i32; 33] = [
    1, 2, 3, 6, 10, 16, 27, 45, 73, 120, 194, 310, 488, 747, 1101, 1546, 2047, 2549, 2994, 3348,
    3607, 3785, 3901, 3975, 4022, 4050, 4068, 4079, 4085, 4089, 4092, 4093, 4094,
];

fn squash(x: i32) -> i32 {
    let x = x.clamp(-2047, 2047) + 2048;
    let at = usize::try_from(x >> 7).unwrap_or(0);
    let part = x & 127;
    let (low, high) = (SQUASH[at], SQUASH[at + 1]);
    (low * (128 - part) + high * part + 64) >> 7
}

/// Predicts one bit after the other.
struct Model {
    /// The inverse of [`squash`] by probability.
    stretch: Vec<i32>,
    /// Of each look and slot: a probability of a one in 22 bits, and how often it was seen in 10.
    slots: Vec<u32>,
    weights: [[i32; LOOKS]; LOOKS + 1],
    /// Where each look reads now, and what it says.
    at: [usize; LOOKS],
    said: [i32; LOOKS],
    /// Which weights count now: by how many looks have seen this before.
    known: usize,
    /// The bits of this byte so far, after a leading one.
    bits: u32,
    /// The last four bytes, the newest lowest.
    last: u32,
    /// A digest of the word begun.
    word: u32,
    /// What was predicted, 1 to 4095.
    predicted: i32,
}

impl Model {
    fn new() -> Self {
        let mut stretch = vec![2047; 4096];
        let mut from = 0;
        for x in -2047..=2047 {
            let to = usize::try_from(squash(x)).unwrap_or(0);
            for slot in stretch.iter_mut().take(to + 1).skip(from) {
                *slot = x;
            }
            from = from.max(to + 1);
        }
        let mut model = Self {
            stretch,
            slots: vec![1 << 31; SLOTS * LOOKS],
            weights: [[FIRST_WEIGHT; LOOKS]; LOOKS + 1],
            at: [0; LOOKS],
            said: [0; LOOKS],
            known: 0,
            bits: 1,
            last: 0,
            word: 0,
            predicted: 2048,
        };
        model.predict();
        for byte in WORDS.bytes() {
            // Texts of a week end with a zero byte.
            let byte = if byte == b'\n' { 0 } else { byte };
            for bit in (0..8).rev() {
                model.learn(u32::from(byte >> bit) & 1);
            }
        }
        model
    }

    /// Looks up what follows as a rule, and mixes it.
    fn predict(&mut self) {
        let mut sum: i64 = 0;
        self.known = 0;
        for look in 0..LOOKS {
            let bytes = match look {
                0 => 0,
                5 => self.word,
                n => self.last & (u32::MAX >> (32 - 8 * n)),
            };
            let mut hash =
                bytes.wrapping_add(self.bits.wrapping_mul(0x9e37_79b1)).wrapping_mul(0x85eb_ca6b);
            hash = (hash ^ (hash >> 15)).wrapping_mul(0xc2b2_ae35) >> 16;
            let at = look * SLOTS + usize::try_from(hash).unwrap_or(0);
            let slot = self.slots[at];
            let count = slot & 1023;
            self.known += usize::from(count > 0);
            self.at[look] = at;
            self.said[look] = self.stretch[usize::try_from(slot >> 20).unwrap_or(0)];
        }
        let weights = &self.weights[self.known];
        for (weight, said) in weights.iter().zip(&self.said) {
            sum += i64::from(*weight) * i64::from(*said);
        }
        let mixed = i32::try_from((sum >> 16).clamp(-2047, 2047)).unwrap_or(0);
        self.predicted = squash(mixed).clamp(1, 4095);
    }

    /// Hears the bit that was predicted.
    fn learn(&mut self, bit: u32) {
        let target = if bit == 1 { 4095 } else { 0 };
        let miss = (target - self.predicted) * LEARN;
        for (weight, said) in self.weights[self.known].iter_mut().zip(&self.said) {
            *weight += (said * miss + 0x8000) >> 16;
        }
        for at in self.at {
            let slot = &mut self.slots[at];
            let (count, chance) = (*slot & 1023, i64::from(*slot >> 10));
            let goal: i64 = if bit == 1 { 0x3f_ffff } else { 0 };
            // One over the count and a half.
            let chance = chance + (goal - chance) * 2 / (2 * i64::from(count) + 3);
            let count = (count + 1).min(COUNT_MAX);
            *slot = (u32::try_from(chance).unwrap_or(0) << 10) | count;
        }
        self.bits = (self.bits << 1) | bit;
        if self.bits > 255 {
            let byte = self.bits & 255;
            self.last = (self.last << 8) | byte;
            self.word = if (byte | 32).wrapping_sub(97) < 26 || byte > 127 {
                (self.word ^ (byte | 32)).wrapping_mul(0x0100_0193).wrapping_add(1)
            } else {
                byte
            };
            self.bits = 1;
        }
        self.predict();
    }
}

/// The interval's middle by a prediction.
fn middle(low: u32, high: u32, predicted: i32) -> u32 {
    let width = u64::from(high - low);
    let part = (width * u64::try_from(predicted).unwrap_or(0)) >> 12;
    low + u32::try_from(part).unwrap_or(0)
}

/// The bytes, squeezed. How many there are is not written.
pub(super) fn squeeze(bytes: &[u8]) -> Vec<u8> {
    let mut model = Model::new();
    let (mut low, mut high) = (0_u32, u32::MAX);
    let mut out = Vec::new();
    for byte in bytes {
        for shift in (0..8).rev() {
            let bit = u32::from(byte >> shift) & 1;
            let middle = middle(low, high, model.predicted);
            if bit == 1 {
                high = middle;
            } else {
                low = middle + 1;
            }
            model.learn(bit);
            while (low ^ high) >> 24 == 0 {
                out.push((high >> 24) as u8);
                low <<= 8;
                high = (high << 8) | 255;
            }
        }
    }
    // The shortest ending that lies within, since what is missing is read as nothing.
    for bits in [24, 16, 8, 0] {
        let mask = (1_u32 << bits) - 1;
        let ending = low.saturating_add(mask) & !mask;
        if low == 0 {
            break;
        }
        if low <= ending && ending <= high {
            let whole = ending.to_be_bytes();
            out.extend_from_slice(&whole[..4 - bits / 8]);
            break;
        }
    }
    while out.last() == Some(&0) {
        out.pop();
    }
    out
}

/// So many bytes from what was squeezed. Any bytes give some answer: a checksum says whether it is the
/// right one.
pub(super) fn unsqueeze(squeezed: &[u8], length: usize) -> Vec<u8> {
    let mut model = Model::new();
    let mut input = squeezed.iter().copied().chain(std::iter::repeat(0));
    let mut next = || u32::from(input.next().unwrap_or(0));
    let (mut low, mut high) = (0_u32, u32::MAX);
    let mut held = 0_u32;
    for _ in 0..4 {
        held = (held << 8) | next();
    }
    let mut out = Vec::with_capacity(length);
    for _ in 0..length {
        let mut byte = 0_u32;
        for _ in 0..8 {
            let middle = middle(low, high, model.predicted);
            let bit = u32::from(held <= middle);
            if bit == 1 {
                high = middle;
            } else {
                low = middle + 1;
            }
            model.learn(bit);
            byte = (byte << 1) | bit;
            while (low ^ high) >> 24 == 0 {
                low <<= 8;
                high = (high << 8) | 255;
                held = (held << 8) | next();
            }
        }
        out.push(byte.to_le_bytes()[0]);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_squeezed_comes_back() {
        let mut all: Vec<Vec<u8>> = vec![
            Vec::new(),
            vec![0],
            vec![0; 1000],
            vec![255; 1000],
            b"Flood the base coat".to_vec(),
            "🎂 Ω ñ".repeat(50).into_bytes(),
            (0..=255).collect(),
        ];
        let mut seed = 1_u32;
        let mut noise = || {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (seed >> 24) as u8
        };
        all.push((0..5000).map(|_| noise()).collect());
        for bytes in all {
            let squeezed = squeeze(&bytes);
            assert!(squeezed.len() <= bytes.len() + bytes.len() / 16 + 8, "{}", squeezed.len());
            assert_eq!(unsqueeze(&squeezed, bytes.len()), bytes);
        }
    }

    #[test]
    fn words_of_the_trade_take_little_room() {
        let text = b"Flood the base coat";
        assert!(squeeze(text).len() < text.len() / 2, "{}", squeeze(text).len());
    }
}
