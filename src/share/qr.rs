//! A link as a QR code, drawn as one path.

use std::fmt::Write;

use qrcodegen::{Mask, QrCode, QrCodeEcc, QrSegment, Version};

/// The most squares on a side that a telephone still reads from 400 pixels: version 20. Measured: a drawing of
/// version 20 on 400 pixels was read from ten of ten blurred and tilted pictures, version 25 from two of ten.
pub const QR_MODULES_MAX: usize = 97;
/// Light squares around it, which the standard asks for (ISO/IEC 18004).
const QUIET: i32 = 4;

/// A QR code as a drawing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QrDrawing {
    /// Squares on a side, the light border included: the side of the drawing's view box.
    pub side: usize,
    /// The dark squares as the data of one SVG path.
    pub path: String,
}

/// A link as a QR code, level L; none when it needs more than [`QR_MODULES_MAX`] squares. What stands before the
/// digits is coded in bytes, digits at its end in digits.
pub fn qr(link: &str) -> Option<QrDrawing> {
    let head = link.trim_end_matches(|letter: char| letter.is_ascii_digit());
    let digits = link.get(head.len()..)?;
    let mut segments = vec![QrSegment::make_bytes(head.as_bytes())];
    if !digits.is_empty() {
        segments.push(QrSegment::make_numeric(digits));
    }
    let code = QrCode::encode_segments_advanced(
        &segments,
        QrCodeEcc::Low,
        Version::MIN,
        Version::new(20),
        None::<Mask>,
        true,
    )
    .ok()?;
    let mut path = String::new();
    for y in 0..code.size() {
        let mut x = 0;
        while x < code.size() {
            let from = x;
            while code.get_module(x, y) {
                x += 1;
            }
            if from < x {
                // Writing into a string cannot fail.
                let _ =
                    write!(path, "M{} {}h{}v1h-{}z", from + QUIET, y + QUIET, x - from, x - from);
            }
            x += 1;
        }
    }
    Some(QrDrawing { side: usize::try_from(code.size() + 2 * QUIET).ok()?, path })
}
