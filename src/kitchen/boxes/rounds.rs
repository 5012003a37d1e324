//! Round pieces laid flat: how many go on a sheet, and where each lies.
//!
//! Convention: pieces of diameter d with a gap g between them, and a bare edge w, on a sheet W × L, are
//! circles of diameter d + g packed into (W − 2w + g) × (L − 2w + g).
//!
//! Three ways of laying are tried. A square *grid*. *Rows* along either side, of which every second one
//! is shifted by half a step; the step is stretched until the row fills the sheet, so that the rows
//! move together. And patterns that are *searched* for (see [`super::search`]), each proved by the
//! coordinates of its pieces. Grid and rows are reckoned exactly and never hold fewer on a larger
//! sheet; the search can only add to them.

use super::search::search;

/// Parts of the sheet's unit in which places are given.
pub const PARTS: i64 = 1024;

/// Most pieces for which patterns are searched: beyond, rows are as good within a few in a hundred.
const SEARCH_MAX: u32 = 40;
/// Longest side for which patterns are searched, so that squares of parts stay whole numbers.
const SIDE_MAX: u64 = 1 << 20;

/// A tray or a box's floor with round pieces. All lengths in one unit, mm in this program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sheet {
    /// Left to right.
    pub width: u32,
    /// Front to back.
    pub depth: u32,
    /// Diameter of a piece.
    pub across: u32,
    /// Least gap between two pieces.
    pub gap: u32,
    /// Bare edge all round.
    pub edge: u32,
}

/// How pieces are laid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Laid {
    /// In a square grid.
    Grid,
    /// In rows, every second one shifted.
    Rows,
    /// One by one, as a drawing says.
    Searched,
}

/// Pieces on a sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    /// How.
    pub laid: Laid,
    /// Centres from the sheet's left front corner, in [`PARTS`] of its unit.
    pub centres: Vec<(i64, i64)>,
}

/// What the pieces' centres may move in, and how far apart they are to stay.
#[derive(Debug, Clone, Copy)]
struct Room {
    a: u64,
    b: u64,
    pitch: u64,
}

/// Rows of `half_steps` + 1 places, of which even rows use the even and odd rows the odd ones.
#[derive(Debug, Clone, Copy)]
struct Rows {
    half_steps: u64,
    number: u64,
    count: u64,
}

impl Sheet {
    fn room(&self) -> Option<Room> {
        let pitch = u64::from(self.across) + u64::from(self.gap);
        let inner = |side: u32| {
            let side = u64::from(side) + u64::from(self.gap);
            side.checked_sub(2 * u64::from(self.edge))?.checked_sub(pitch)
        };
        let (a, b) = (inner(self.width)?, inner(self.depth)?);
        (self.across > 0).then_some(Room { a, b, pitch })
    }

    /// The most pieces in a grid or in rows; 0 when not even one fits.
    pub fn in_rows(&self) -> u32 {
        let Some(room) = self.room() else { return 0 };
        let best = room.grid().max(room.best_rows().count).max(room.turned().best_rows().count);
        u32::try_from(best).unwrap_or(u32::MAX)
    }

    /// The most pieces in a square grid, as the cells of an insert are.
    pub fn in_grid(&self) -> u32 {
        self.room().map_or(0, |room| u32::try_from(room.grid()).unwrap_or(u32::MAX))
    }

    /// More than this many cannot lie on the sheet, however they are laid: Oler's inequality, N ≤ 2A /
    /// (√3 d²) + P / 2d + 1 for centres d apart in a region of area A and perimeter P (N. Oler, "An
    /// inequality in the geometry of numbers", Acta Mathematica 105, 1961; from memory).
    pub fn at_most(&self) -> u32 {
        let Some(Room { a, b, pitch }) = self.room() else { return 0 };
        let wide = |value: u64| u128::from(value);
        // In thousandths, rounded up: 2 / √3 = 1.154700…
        let area = (wide(a) * wide(b) * 1_154_701).div_ceil(wide(pitch) * wide(pitch) * 1000);
        let rim = ((wide(a) + wide(b)) * 1000).div_ceil(wide(pitch));
        u32::try_from((area + rim) / 1000 + 1).unwrap_or(u32::MAX)
    }

    /// The most pieces found: grid, rows, and one more at a time by search.
    pub fn most(&self) -> u32 {
        let mut best = self.in_rows();
        while best < SEARCH_MAX && best < self.at_most() && self.searched(best + 1).is_some() {
            best += 1;
        }
        best
    }

    /// A way to lay `count` pieces: in a grid or in rows where they go, else searched for.
    pub fn lay(&self, count: u32) -> Option<Layout> {
        let room = self.room()?;
        let wanted = u64::from(count);
        let (along, across) = (room.best_rows(), room.turned().best_rows());
        let (laid, mut places) = if wanted <= room.grid() {
            (Laid::Grid, room.grid_places(wanted))
        } else if wanted <= along.count {
            (Laid::Rows, room.row_places(along))
        } else if wanted <= across.count {
            let turned = room.turned().row_places(across);
            (Laid::Rows, turned.into_iter().map(|(x, y)| (y, x)).collect())
        } else {
            (Laid::Searched, self.searched(count)?)
        };
        places.truncate(usize::try_from(count).unwrap_or(usize::MAX));
        let rim = i64::from(self.edge) * PARTS + i64::from(self.across) * PARTS / 2;
        let centres = places.into_iter().map(|(x, y)| (x + rim, y + rim)).collect();
        Some(Layout { laid, centres })
    }

    /// Sheets for so many pieces, and how many go on a full one. A pattern is searched only if
    /// `by_drawing` and where it saves a sheet: an odd one is harder to lay by hand than rows. None when
    /// no piece fits.
    pub fn sheets(&self, pieces: u32, by_drawing: bool) -> Option<(u32, u32)> {
        let rows = self.in_rows();
        let sheets = pieces.checked_div(rows).map(|_| pieces.div_ceil(rows))?;
        if sheets < 2 || !by_drawing {
            return Some((sheets, rows.min(pieces)));
        }
        let dense = pieces.div_ceil(sheets - 1);
        if dense <= self.at_most().min(SEARCH_MAX) && self.searched(dense).is_some() {
            return Some((sheets - 1, dense));
        }
        Some((sheets, rows))
    }

    fn searched(&self, count: u32) -> Option<Vec<(i64, i64)>> {
        let room = self.room()?;
        if count > SEARCH_MAX || room.a.max(room.b).max(room.pitch) > SIDE_MAX {
            return None;
        }
        let parts = |value: u64| i64::try_from(value).ok().map(|value| value * PARTS);
        // The longer side first, so that a turned sheet is searched in the same way.
        let (a, b, pitch) = (parts(room.a)?, parts(room.b)?, parts(room.pitch)?);
        let found = search(count, (a.max(b), a.min(b)), pitch)?;
        Some(if a < b { found.into_iter().map(|(x, y)| (y, x)).collect() } else { found })
    }
}

impl Layout {
    /// Whether every piece lies on the sheet and no two are closer than the gap, by their coordinates.
    /// `slack` is what rounding to [`PARTS`] may take, in those parts: 0 for searched patterns.
    pub fn holds(&self, sheet: &Sheet, slack: i64) -> bool {
        let radius = i64::from(sheet.across) * PARTS / 2;
        let rim = i64::from(sheet.edge) * PARTS + radius;
        let inside = |at: i64, side: u32| rim <= at && at <= i64::from(side) * PARTS - rim;
        let least = (i64::from(sheet.across) + i64::from(sheet.gap)) * PARTS - slack;
        self.centres.iter().enumerate().all(|(index, &(x, y))| {
            let apart = |&(u, v): &(i64, i64)| {
                (x - u) * (x - u) + (y - v) * (y - v) >= least.max(0) * least.max(0)
            };
            inside(x, sheet.width)
                && inside(y, sheet.depth)
                && self.centres[..index].iter().all(apart)
        })
    }
}

impl Room {
    fn turned(self) -> Self {
        Self { a: self.b, b: self.a, pitch: self.pitch }
    }

    fn grid(self) -> u64 {
        (self.a / self.pitch + 1) * (self.b / self.pitch + 1)
    }

    /// The rows along `a` that hold most, of k half steps of a ÷ k, where a whole one is at least a
    /// pitch.
    fn best_rows(self) -> Rows {
        let single = Rows { half_steps: 0, number: 0, count: 0 };
        // One half step is a zigzag of single pieces, which any width allows.
        (1..=(2 * self.a / self.pitch).max(1))
            .map(|half_steps| self.rows(half_steps))
            .fold(single, |best, rows| if rows.count > best.count { rows } else { best })
    }

    fn rows(self, half_steps: u64) -> Rows {
        let wide = |value: u64| u128::from(value);
        let (a, b, pitch, k) = (wide(self.a), wide(self.b), wide(self.pitch), wide(half_steps));
        // Distance of rows h = √(pitch² − (a/k)²), at least half a pitch for the row after next;
        // squared and times k², so that exact touches are not lost to rounding.
        let squared = (k * k * pitch * pitch).saturating_sub(a * a);
        let steps = if 4 * squared <= k * k * pitch * pitch {
            2 * b / pitch
        } else {
            (b * b * k * k / squared).isqrt()
        };
        let rows = 1 + u64::try_from(steps).unwrap_or(0);
        let (even, odd) = (half_steps / 2 + 1, half_steps.div_ceil(2));
        Rows { half_steps, number: rows, count: rows.div_ceil(2) * even + rows / 2 * odd }
    }

    fn grid_places(self, wanted: u64) -> Vec<(i64, i64)> {
        let columns = self.a / self.pitch + 1;
        let place =
            |index: u64| (parts(index % columns * self.pitch), parts(index / columns * self.pitch));
        (0..wanted).map(place).collect()
    }

    fn row_places(self, rows: Rows) -> Vec<(i64, i64)> {
        let mut places = Vec::new();
        for row in 0..rows.number {
            let y = parts(row * self.b).checked_div(parts(rows.number - 1) / PARTS).unwrap_or(0);
            for half in (row % 2..=rows.half_steps).step_by(2) {
                let x = parts(half * self.a) / (parts(rows.half_steps) / PARTS);
                places.push((x, y));
            }
        }
        places
    }
}

fn parts(value: u64) -> i64 {
    i64::try_from(value).unwrap_or(i64::MAX / PARTS / 2) * PARTS
}
