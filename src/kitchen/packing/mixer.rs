//! A hasher for tables of states: equal in every run and on every machine, unlike the standard one.
//! Keys are always compared in full; the hash only finds them.

use std::hash::{BuildHasherDefault, Hasher};

/// Mixes words; the same in every run and on every machine, unlike the standard hasher.
#[derive(Default)]
pub(super) struct Mixer(u64);

impl Hasher for Mixer {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            let mut word = [0; 8];
            for (to, from) in word.iter_mut().zip(chunk) {
                *to = *from;
            }
            self.write_u64(u64::from_le_bytes(word));
        }
    }

    fn write_u32(&mut self, word: u32) {
        self.write_u64(u64::from(word));
    }

    fn write_usize(&mut self, word: usize) {
        self.write_u64(word as u64);
    }

    fn write_u64(&mut self, word: u64) {
        self.0 = (self.0.rotate_left(5) ^ word).wrapping_mul(0x517c_c1b7_2722_0a95);
        self.0 ^= self.0 >> 29;
    }
}

/// Of keys that are compared in full; the hash only finds them.
pub(super) type Mixed = BuildHasherDefault<Mixer>;
