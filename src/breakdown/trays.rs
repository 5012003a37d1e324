//! How many round pieces a tray holds.
//!
//! Convention: pieces of diameter d with a gap g between them, and a bare edge w, on a tray W × L, are
//! circles of diameter d + g packed into (W − 2w + g) × (L − 2w + g). Two layouts that a hand can lay
//! are tried, in both directions: a square grid, and rows shifted by half a piece.

/// The most round pieces that one tray holds, laid in a grid or in shifted rows. All lengths in one
/// unit (mm in this program); 0 when not even one fits.
pub fn pieces_per_tray(width: u32, depth: u32, across: u32, gap: u32, edge: u32) -> u32 {
    let inner =
        |length: u32| (u64::from(length) + u64::from(gap)).saturating_sub(2 * u64::from(edge));
    let (width, depth) = (inner(width), inner(depth));
    let pitch = u64::from(across) + u64::from(gap);
    if across == 0 || width < pitch || depth < pitch {
        return 0;
    }
    let grid = (width / pitch) * (depth / pitch);
    let best = grid.max(shifted_rows(width, depth, pitch)).max(shifted_rows(depth, width, pitch));
    u32::try_from(best).unwrap_or(u32::MAX)
}

/// Rows along `width`, each shifted by half a pitch against the one before. Both sides ≥ `pitch`.
fn shifted_rows(width: u64, depth: u64, pitch: u64) -> u64 {
    // Rows lie pitch × √3/2 apart; squared, so that exact touches are not lost to rounding.
    let room = u128::from(depth - pitch);
    let squared = 4 * room * room / (3 * u128::from(pitch) * u128::from(pitch));
    let rows = 1 + u64::try_from(squared.isqrt()).unwrap_or(0);
    let full = width / pitch;
    let shifted = if width % pitch * 2 >= pitch { full } else { full - 1 };
    rows.div_ceil(2) * full + rows / 2 * shifted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_fits_a_tray_that_is_too_small() {
        assert_eq!(pieces_per_tray(80, 300, 90, 10, 0), 0);
        assert_eq!(pieces_per_tray(300, 300, 0, 10, 0), 0);
        assert_eq!(pieces_per_tray(300, 300, 90, 10, 200), 0);
        assert_eq!(pieces_per_tray(90, 90, 90, 10, 0), 1);
    }

    #[test]
    fn turning_the_tray_changes_nothing() {
        for across in [40, 63, 90, 101] {
            assert_eq!(
                pieces_per_tray(330, 457, across, 13, 5),
                pieces_per_tray(457, 330, across, 13, 5)
            );
        }
    }
}
