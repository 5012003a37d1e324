//! Pictures of an order: photos and sketches of what it should look like, and of what it looked like in the end.
//!
//! An order holds only what a picture is called and how large it is. What it shows is text of its own, a `data:` URL
//! (RFC 2397) that a browser draws as it is, kept under the picture's [`PictureId`]. Content that is named by its digest
//! never changes, so it can be written before the order that mentions it and removed after the last one that does.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// Most pictures of an order on each of its two lists.
pub const PICTURES_MAX: usize = 12;
/// Longest words beside a picture.
const WORDS_MAX: usize = 200;
/// Longest side, in pixels: twice what the app makes of a photo.
const SIDE_MAX: u16 = 4096;
/// Most letters of a picture's text: a photo as the app shrinks it has about a quarter of that.
const TEXT_MAX: usize = 2_000_000;

/// Names the content of a picture: the first 128 bits of the SHA-256 (FIPS 180-4) of its text, as 32 hexadecimal digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(into = "String", try_from = "String")]
pub struct PictureId(u128);

impl PictureId {
    /// Of a picture's text.
    pub fn of(text: &str) -> Self {
        let digest = Sha256::digest(text.as_bytes());
        let first: [u8; 16] = std::array::from_fn(|at| digest[at]);
        Self(u128::from_be_bytes(first))
    }
}

impl fmt::Display for PictureId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:032x}", self.0)
    }
}

impl FromStr for PictureId {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let plain = text.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'));
        let number = u128::from_str_radix(text, 16).ok().filter(|_| plain && text.len() == 32);
        number.map(Self).ok_or_else(|| {
            "names no picture; it is 32 digits such as 0123456789abcdef0123456789abcdef".to_owned()
        })
    }
}

impl From<PictureId> for String {
    fn from(id: PictureId) -> Self {
        id.to_string()
    }
}

impl TryFrom<String> for PictureId {
    type Error = String;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        text.parse()
    }
}

/// What a picture's text begins with: RFC 2397, then the format's first bytes in base64 (RFC 4648). Nothing that could
/// hold a script.
const BEGINNINGS: [&str; 2] = [
    // A photo (ITU-T T.81): FF D8 FF, start of image and the marker that follows.
    "data:image/jpeg;base64,/9j/",
    // A sketch (ISO/IEC 15948): 89 50 4E 47 0D 0A 1A 0A; its last bits share a letter with what follows.
    "data:image/png;base64,iVBORw0KGg",
];

/// A picture as its order knows it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Picture {
    /// Its content.
    pub id: PictureId,
    /// Pixels across, 1 to 4096.
    pub width: u16,
    /// Pixels down, 1 to 4096.
    pub height: u16,
    /// What it shows, in her words; may be empty.
    pub words: String,
}

impl Picture {
    /// What is wrong with it, if anything is.
    pub(super) fn fault(&self) -> Option<String> {
        let side = 1..=SIDE_MAX;
        if !side.contains(&self.width) || !side.contains(&self.height) {
            return Some(format!(
                "is {} × {} pixels; each side has 1 to {SIDE_MAX}",
                self.width, self.height
            ));
        }
        let letters = self.words.chars().count();
        (WORDS_MAX < letters)
            .then(|| format!("is described in {letters} letters; shorten it to {WORDS_MAX}"))
    }
}

/// A picture's content: text that was looked at, so that it can be kept and drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PictureFile {
    id: PictureId,
    text: String,
}

impl PictureFile {
    /// Looks at a picture's text, or says why it is none.
    pub fn new(text: String) -> Result<Self, String> {
        if TEXT_MAX < text.len() {
            return Err(format!(
                "has {} KB; a picture has at most {} KB",
                text.len() / 1000,
                TEXT_MAX / 1000
            ));
        }
        let Some(rest) = BEGINNINGS.into_iter().find_map(|start| text.strip_prefix(start)) else {
            return Err("is neither a JPEG nor a PNG picture as Rackweek writes it".to_owned());
        };
        let rest = rest.trim_end_matches('=');
        let base64 = |byte: u8| byte.is_ascii_alphanumeric() || matches!(byte, b'+' | b'/');
        if rest.is_empty() || !rest.bytes().all(base64) {
            return Err("is damaged: it is not base64 to its end".to_owned());
        }
        Ok(Self { id: PictureId::of(&text), text })
    }

    /// The same, of a text that is kept under a name; refused when it is another picture's.
    pub fn named(id: PictureId, text: String) -> Result<Self, String> {
        let file = Self::new(text)?;
        if file.id == id { Ok(file) } else { Err(format!("is damaged: it is not picture {id}")) }
    }

    /// Its name.
    pub fn id(&self) -> PictureId {
        self.id
    }

    /// A `data:` URL.
    pub fn text(&self) -> &str {
        &self.text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A photo of one grey pixel would be longer; what is inside is the browser's to read.
    const PHOTO: &str = "data:image/jpeg;base64,/9j/4AAQSkZJRgABAQAAAQABAAD/2Q==";

    #[test]
    fn a_name_is_the_digest_of_the_text() {
        // python3: hashlib.sha256(PHOTO.encode()).hexdigest()[:32]
        assert_eq!(PictureId::of(PHOTO).to_string(), "11cce9deb9854643ccd6ebb23c775b7a");
        // FIPS 180-4's own example, "abc".
        assert_eq!(PictureId::of("abc").to_string(), "ba7816bf8f01cfea414140de5dae2223");
        let small = PictureId(7);
        assert_eq!(small.to_string().parse(), Ok(small));
        for wrong in
            ["", "7", "BA7816BF8F01CFEA414140DE5DAE2223", "+0000000000000000000000000000007"]
        {
            assert!(wrong.parse::<PictureId>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn only_pictures_are_taken() {
        let file = PictureFile::new(PHOTO.into()).expect("a photo");
        assert_eq!((file.id(), file.text()), (PictureId::of(PHOTO), PHOTO));
        assert_eq!(PictureFile::named(file.id(), PHOTO.into()), Ok(file.clone()));
        let png = "data:image/png;base64,iVBORw0KGgoAAAANSUhEUg==";
        assert!(
            PictureFile::named(file.id(), png.into()).is_err_and(|why| why.contains("not picture"))
        );
        assert!(PictureFile::new(png.into()).is_ok());
        for (wrong, part) in [
            (String::new(), "neither"),
            ("data:image/svg+xml;base64,PHN2Zz4=".into(), "neither"),
            ("data:text/html;base64,/9j/4AAQ".into(), "neither"),
            (PHOTO.replace("/9j/", "R0lG"), "neither"),
            (PHOTO.replace("4AAQ", "4A\"Q"), "base64"),
            (PHOTO.replace("4AAQ", "4A=Q"), "base64"),
            ("data:image/jpeg;base64,/9j/".into(), "base64"),
            (format!("{PHOTO}{}", "A".repeat(TEXT_MAX)), "KB"),
        ] {
            let why = PictureFile::new(wrong).expect_err("is no picture");
            assert!(why.contains(part), "{why} / {part}");
        }
    }
}
