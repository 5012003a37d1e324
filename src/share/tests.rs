use super::link::{carried_of, read_carried};
use super::pack::{pack, unpack};
use super::{Entry, EntryKind, LinkError, SharedOrder, SharedWeek};
use crate::calendar::Wall;

/// Numbers that are the same in every run.
struct Noise(u64);

impl Noise {
    fn next(&mut self, below: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap_or(0) % below
    }

    fn byte(&mut self) -> u8 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        self.next(256).to_le_bytes()[0]
    }
}

fn week() -> SharedWeek {
    let made = Wall::new(2026, 11, 26, 7, 40).expect("a time");
    let order = |mark: &str| SharedOrder {
        mark: mark.into(),
        name: "woodland".into(),
        allergies: String::new(),
        tint: 3,
    };
    let entry = |index: usize| Entry {
        kind: EntryKind::ALL[index % 5],
        order: index % 2,
        at: made.plus_minutes(
            [0, 200, 215, 400][index % 4] + 1440 * i64::from(u8::try_from(index / 4).expect("few")),
        ),
        minutes: 45,
        title: format!("Pipe the details {index}"),
        product: "Decorated cookies".into(),
        detail: String::new(),
        part: (index.is_multiple_of(3)).then_some((1, 2)),
        done: index < 2,
    };
    let orders = vec![order("MH"), order("NO")];
    SharedWeek { made, note: "thank you".into(), orders, entries: (0..12).map(entry).collect() }
}

#[test]
fn a_hundred_thousand_changed_weeks_are_read_whole_or_refused() {
    let whole = pack(&week());
    assert_eq!(unpack(&whole), Some(week()));
    let mut noise = Noise(1);
    let (mut refused, mut read) = (0, 0);
    for _ in 0..100_000 {
        let mut bytes = whole.clone();
        for _ in 0..=noise.next(3) {
            let at = noise.next(bytes.len());
            match noise.next(4) {
                0 => bytes[at] = noise.byte(),
                1 => bytes.truncate(at.max(1)),
                2 => bytes.insert(at, noise.byte()),
                _ => bytes[at] ^= 1 << noise.next(8),
            }
        }
        match unpack(&bytes) {
            None => refused += 1,
            Some(other) => {
                read += 1;
                // Whatever was read is a week like any other.
                assert_eq!(unpack(&pack(&other)), Some(other));
            }
        }
    }
    assert!(refused > 50_000 && read > 1_000, "{refused} refused, {read} read");
}

#[test]
fn a_hundred_thousand_damaged_links_are_refused() {
    let whole = carried_of(&pack(&week()), None);
    let mut noise = Noise(2);
    let mut tried = 0;
    while tried < 100_000 {
        let mut bytes = whole.clone();
        for _ in 0..=noise.next(4) {
            let at = noise.next(bytes.len());
            match noise.next(3) {
                0 => bytes[at] = noise.byte(),
                1 => bytes.truncate(at),
                _ => bytes.insert(at, noise.byte()),
            }
            if bytes.is_empty() {
                bytes.push(0);
            }
        }
        if bytes == whole {
            continue;
        }
        assert_eq!(read_carried(&bytes), Err(LinkError::Damaged));
        tried += 1;
    }
}

#[test]
fn what_passes_the_checksum_and_is_no_week_is_refused() {
    let mut noise = Noise(3);
    for _ in 0..60 {
        let bytes: Vec<u8> = (0..noise.next(300)).map(|_| noise.byte()).collect();
        let length = noise.next(3000);
        assert_eq!(read_carried(&carried_of(&bytes, Some(length))), Err(LinkError::Damaged));
    }
}

#[test]
fn a_link_cannot_grow_beyond_its_bounds() {
    // What says that it is larger is refused before a byte of it is unpacked …
    for length in [256 * 1024 + 1, 0xff_ffff] {
        assert_eq!(read_carried(&carried_of(&[], Some(length))), Err(LinkError::TooLarge));
    }
    // … and what is as large as allowed ends, in words.
    assert_eq!(read_carried(&carried_of(&[7; 9], Some(256 * 1024))), Err(LinkError::Damaged));
    let mut large = week();
    large.note = "x".repeat(300 * 1024);
    assert_eq!(read_carried(&carried_of(&pack(&large), None)), Err(LinkError::TooLarge));
}
