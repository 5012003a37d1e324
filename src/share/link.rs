//! The fragment of a link: version, alphabet, checksum.

use std::fmt;

use super::SharedWeek;
use super::pack::{pack, unpack};
use super::squeeze::{squeeze, unsqueeze};

/// Longer fragments are refused unread: no week that a link can hold needs as much.
pub const LINK_LONGEST: usize = 64 * 1024;
/// A week is at most so large when it is unpacked; what says that it is larger is refused unread.
const INFLATED_MAX: usize = 256 * 1024;
/// The version that this build writes and reads.
const VERSION: char = '1';
const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
/// How many digits hold one, two, three, four bytes.
const DIGITS: [usize; 5] = [0, 3, 5, 8, 10];

/// Why a link shows no week.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LinkError {
    /// It is no link to a week at all.
    NotAWeek,
    /// Another version wrote it.
    OtherVersion,
    /// Something in it was changed or is missing.
    Damaged,
    /// It says that it holds more than a week does.
    TooLarge,
}

impl fmt::Display for LinkError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NotAWeek => {
                "This link holds no week. Ask for it again, and open it as it was sent"
            }
            Self::OtherVersion => {
                "This week was shared by another version of Rackweek. Get the newest version, or ask for \
                 the link again"
            }
            Self::Damaged => {
                "This link was damaged on its way: a part of it is missing or was changed, so nothing of it \
                 is shown. Ask for it again, and copy it whole"
            }
            Self::TooLarge => {
                "This link says that it holds more than any week does, so it was not opened. Ask for it again"
            }
        })
    }
}

impl std::error::Error for LinkError {}

/// The fragment for a link, without `#`.
pub fn fragment_of(week: &SharedWeek) -> String {
    let bytes = carried(week);
    let mut out = format!("w{VERSION}.");
    for three in bytes.chunks(3) {
        let bits = three.iter().fold(0_u32, |bits, byte| bits << 8 | u32::from(*byte))
            << (8 * (3 - three.len()));
        for at in 0..=three.len() {
            let letter = (bits >> (18 - 6 * at)) & 63;
            out.push(char::from(LETTERS[letter as usize]));
        }
    }
    out
}

/// The same week's fragment in decimal digits, for a QR code.
pub fn digits_of(week: &SharedWeek) -> String {
    let mut out = format!("n{VERSION}.");
    for four in carried(week).chunks(4) {
        let number = four.iter().fold(0_u32, |number, byte| number << 8 | u32::from(*byte));
        let digits = number.to_string();
        for _ in digits.len()..DIGITS[four.len()] {
            out.push('0');
        }
        out.push_str(&digits);
    }
    out
}

/// Reads a link's fragment, without `#`, whole or not at all.
///
/// # Errors
///
/// When it is not exactly what [`fragment_of`] or [`digits_of`] gave.
pub fn read_fragment(fragment: &str) -> Result<SharedWeek, LinkError> {
    if fragment.len() > LINK_LONGEST {
        return Err(LinkError::TooLarge);
    }
    let (head, body) = fragment.split_once('.').ok_or(LinkError::NotAWeek)?;
    let mut head = head.chars();
    let read = match head.next() {
        Some('w') => of_letters,
        Some('n') => of_digits,
        _ => return Err(LinkError::NotAWeek),
    };
    let version = head.as_str();
    if version.is_empty() || !version.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(LinkError::NotAWeek);
    }
    if version.chars().ne([VERSION]) {
        return Err(LinkError::OtherVersion);
    }
    read_carried(&read(body).ok_or(LinkError::Damaged)?)
}

/// The week that bytes of either alphabet carry.
pub(super) fn read_carried(bytes: &[u8]) -> Result<SharedWeek, LinkError> {
    let (sum, rest) = bytes.split_first_chunk::<4>().ok_or(LinkError::Damaged)?;
    if u32::from_be_bytes(*sum) != checksum(rest) {
        return Err(LinkError::Damaged);
    }
    let (length, squeezed) = rest.split_first_chunk::<3>().ok_or(LinkError::Damaged)?;
    let length = length.iter().fold(0, |length, byte| length << 8 | usize::from(*byte));
    if length > INFLATED_MAX {
        return Err(LinkError::TooLarge);
    }
    unpack(&unsqueeze(squeezed, length)).ok_or(LinkError::Damaged)
}

/// What both alphabets carry: checksum, length, squeezed week.
fn carried(week: &SharedWeek) -> Vec<u8> {
    let packed = pack(week);
    sealed(packed.len(), &squeeze(&packed))
}

fn sealed(length: usize, squeezed: &[u8]) -> Vec<u8> {
    let length = u32::try_from(length).unwrap_or(u32::MAX).min(0xff_ffff);
    let rest = [&length.to_be_bytes()[1..], squeezed].concat();
    [&checksum(&rest).to_be_bytes(), rest.as_slice()].concat()
}

/// What carries these packed bytes; with a length given, these squeezed ones.
#[cfg(test)]
pub(super) fn carried_of(bytes: &[u8], length: Option<usize>) -> Vec<u8> {
    match length {
        Some(length) => sealed(length, bytes),
        None => sealed(bytes.len(), &squeeze(bytes)),
    }
}

/// CRC-32 as in ISO-HDLC (polynomial 04C11DB7 reflected, `cbf43926` for "123456789"), over the version and
/// what follows it.
fn checksum(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for byte in [VERSION as u8].iter().chain(bytes) {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = if sum & 1 == 1 { sum >> 1 ^ 0xedb8_8320 } else { sum >> 1 };
        }
    }
    !sum
}

fn of_letters(body: &str) -> Option<Vec<u8>> {
    let mut out = Vec::new();
    for four in body.as_bytes().chunks(4) {
        let mut bits = 0_u32;
        for letter in four {
            bits = bits << 6 | value_of(*letter)?;
        }
        bits <<= 6 * (4 - four.len());
        let (whole, rest) = match four.len() {
            4 => (3, 0),
            3 => (2, bits & 0xff),
            2 => (1, bits & 0xffff),
            _ => return None,
        };
        // Bits that no byte has must be none, or one week had several links.
        if rest != 0 {
            return None;
        }
        out.extend_from_slice(&bits.to_be_bytes()[1..=whole]);
    }
    Some(out)
}

fn value_of(letter: u8) -> Option<u32> {
    let value = match letter {
        b'A'..=b'Z' => letter - b'A',
        b'a'..=b'z' => letter - b'a' + 26,
        b'0'..=b'9' => letter - b'0' + 52,
        b'-' => 62,
        b'_' => 63,
        _ => return None,
    };
    Some(u32::from(value))
}

fn of_digits(body: &str) -> Option<Vec<u8>> {
    let mut out = Vec::new();
    for group in body.as_bytes().chunks(DIGITS[4]) {
        let bytes = DIGITS.iter().position(|digits| *digits == group.len())?;
        let mut number = 0_u64;
        for digit in group {
            if !digit.is_ascii_digit() {
                return None;
            }
            number = number * 10 + u64::from(digit - b'0');
        }
        if number >> (8 * bytes) != 0 {
            return None;
        }
        out.extend_from_slice(&number.to_be_bytes()[8 - bytes..]);
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_checksum_is_the_one_of_the_catalogue() {
        // The catalogue of CRC algorithms gives cbf43926 for the digits 1 to 9; the version is the first.
        assert_eq!(checksum(b"23456789"), 0xcbf4_3926);
    }

    #[test]
    fn letters_are_those_of_rfc_4648() {
        // RFC 4648 §10, without padding; the last two have the letters that differ in the URL alphabet.
        for (letters, bytes) in [
            ("", b"".as_slice()),
            ("Zg", b"f"),
            ("Zm8", b"fo"),
            ("Zm9v", b"foo"),
            ("Zm9vYg", b"foob"),
            ("Zm9vYmE", b"fooba"),
            ("Zm9vYmFy", b"foobar"),
            ("-_-_", &[0xfb, 0xff, 0xbf]),
        ] {
            assert_eq!(of_letters(letters).as_deref(), Some(bytes), "{letters}");
        }
        for wrong in ["Z", "Zh", "Zm9", "Zg==", "Zm9v+", "Zm 8", "é"] {
            assert_eq!(of_letters(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn digits_hold_bytes_and_nothing_else() {
        for (digits, bytes) in [
            ("", b"".as_slice()),
            ("000", &[0]),
            ("255", &[255]),
            ("65535", &[255, 255]),
            ("16777215", &[255, 255, 255]),
            ("4294967295", &[255, 255, 255, 255]),
            ("0000000001007", &[0, 0, 0, 1, 7]),
        ] {
            assert_eq!(of_digits(digits).as_deref(), Some(bytes), "{digits}");
        }
        for wrong in ["0", "256", "65536", "4294967296", "00a", "0000000001-1"] {
            assert_eq!(of_digits(wrong), None, "{wrong}");
        }
    }
}
