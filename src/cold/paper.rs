//! How large a place is drawn, and how its pictures are arranged: one scale for all pictures of a place.

use crate::kitchen::Place;

use super::moments::MomentView;
use super::view::PlaceView;

/// Never larger than this many px for a metre.
const LARGEST: u32 = 1100;
/// Nor so small that nothing can be told apart.
const SMALLEST: u32 = 60;
/// Px between two pictures.
const GAP: u32 = 20;
/// Px of a board with its words.
const BOARD: u32 = 20;
/// Px of the words above a picture from above.
const CAPTION: u32 = 62;
/// A column narrower than this has no room for its words, px.
const NARROW: u32 = 132;
/// To see all at once is worth pictures as small as this, px.
const AT_ONCE: u32 = 200;

/// The scale and the arrangement.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Paper {
    /// Px for 1000 mm.
    pub scale: u32,
    /// The pictures from above stand beside the one from the front, not below it.
    pub beside: bool,
    /// How many pictures from above stand side by side.
    pub columns: u32,
}

/// A bar of a round length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ScaleBar {
    /// mm.
    pub length: u32,
    /// Px, in hundredths.
    pub px: u32,
}

impl Paper {
    /// The largest scale at which all of a place is seen in so many px; where that is not to be had, its
    /// pictures are as wide as there is room, and one scrolls.
    pub fn of(place: &PlaceView, room: u32, height: u32) -> Self {
        let surfaces = place.moments.first().map_or(&[][..], |first| first.surfaces.as_slice());
        let width = surfaces.iter().map(|surface| surface.width).max().unwrap_or(500).max(1);
        let depth = surfaces.iter().map(|surface| surface.depth).max().unwrap_or(300).max(1);
        let tops = u32::try_from(place.tops().len()).unwrap_or(1).max(1);
        let tall: u32 = place.heights.iter().sum::<u32>().max(1);
        let boards = u32::try_from(surfaces.len()).unwrap_or(1) * BOARD;
        // Whether all is seen at once, how high it is in px, and how it is drawn.
        let mut ways: Vec<(bool, u32, Self)> = Vec::new();
        let mut consider = |at_once: bool, paper: Self| {
            let tops = tops.div_ceil(paper.columns) * (paper.px(depth) + CAPTION);
            let front = paper.px(tall) + boards;
            let high = if paper.beside { front.max(tops) } else { front + tops };
            ways.push((at_once, high, paper));
        };
        for columns in 1..=tops.min(4) {
            let rows = tops.div_ceil(columns);
            for beside in [true, false] {
                let pictures = if beside { columns + 1 } else { columns };
                let gaps = (pictures - 1) * GAP;
                let across = room.saturating_sub(gaps) * 1000 / (pictures * width);
                let down = if beside {
                    fit((tall, boards + CAPTION), height)
                        .min(fit((rows * depth, rows * CAPTION), height))
                } else {
                    fit((tall + rows * depth, boards + (rows + 1) * CAPTION), height)
                };
                let legible = |scale: u32, least: u32| least.min(room) <= scale * width / 1000;
                let scale = across.min(down).min(LARGEST);
                if legible(scale, AT_ONCE) {
                    consider(true, Self { scale, beside, columns });
                }
                let scale = across.min(fit((tall, boards), height * 2)).clamp(SMALLEST, LARGEST);
                if !beside && legible(scale, NARROW) && scale <= across {
                    consider(false, Self { scale, beside, columns });
                }
            }
        }
        // A little smaller is nothing against less to scroll.
        let at_once = ways.iter().any(|(at_once, ..)| *at_once);
        ways.retain(|way| way.0 == at_once);
        let largest = ways.iter().map(|(.., paper)| paper.scale).max().unwrap_or(0);
        let large = ways.into_iter().filter(|(.., paper)| largest * 7 / 8 <= paper.scale);
        let best = large.min_by_key(|(_, high, paper)| (*high, std::cmp::Reverse(paper.scale)));
        best.map_or_else(
            || Self {
                scale: (room * 1000 / width).clamp(SMALLEST, LARGEST),
                beside: false,
                columns: 1,
            },
            |(.., paper)| paper,
        )
    }

    /// So small that it is all seen in a picture of so many px.
    pub fn small(place: &PlaceView, width: u32, height: u32, board: u32) -> Self {
        let surfaces = place.moments.first().map_or(&[][..], |first| first.surfaces.as_slice());
        let wide = surfaces.iter().map(|surface| surface.width).max().unwrap_or(1).max(1);
        let tall: u32 = place.heights.iter().sum::<u32>().max(1);
        let boards = u32::try_from(surfaces.len()).unwrap_or(0) * board;
        let scale = (width * 1000 / wide).min(fit((tall, boards), height)).clamp(1, LARGEST);
        Self { scale, beside: false, columns: 1 }
    }

    /// A length in px, rounded.
    pub fn px(self, mm: u32) -> u32 {
        (mm * self.scale + 500) / 1000
    }

    /// How many mm a length on screen is; at least 1.
    pub fn mm(self, px: u32) -> u32 {
        (px * 1000).div_ceil(self.scale.max(1)).max(1)
    }

    /// Height of a board with its words in mm.
    pub fn board(self) -> u32 {
        self.mm(BOARD)
    }

    /// A bar of 10, 20, 50 or 100 cm that is long enough to be read and no longer than needed.
    pub fn bar(self) -> ScaleBar {
        let length =
            [100, 200, 500, 1000].into_iter().find(|mm| self.px(*mm) >= 48).unwrap_or(1000);
        ScaleBar { length, px: length * self.scale / 10 }
    }
}

/// The largest scale at which so many mm and px fit into a height.
fn fit((mm, px): (u32, u32), height: u32) -> u32 {
    height.saturating_sub(px) * 1000 / mm.max(1)
}

impl PlaceView {
    /// The surfaces that are drawn from above, by index: all, but of racks one for each size of tray, since a
    /// tray fills its level and all levels look alike.
    pub fn tops(&self) -> Vec<usize> {
        let surfaces = self.moments.first().map_or(&[][..], |first| first.surfaces.as_slice());
        let mut tops: Vec<usize> = (0..surfaces.len()).collect();
        if self.place == Place::Rack {
            let size = |index: &usize| surfaces.get(*index).map(|level| (level.width, level.depth));
            let mut known = Vec::new();
            tops.retain(|index| {
                let own = size(index);
                let new = !known.contains(&own);
                known.push(own);
                new
            });
        }
        tops
    }

    /// The surface that a picture from above shows at a moment: of a rack the lowest level of that size on which
    /// something stands.
    pub fn top_shown(&self, top: usize, moment: &MomentView) -> usize {
        if self.place != Place::Rack {
            return top;
        }
        let size =
            |index: usize| moment.surfaces.get(index).map(|level| (level.width, level.depth));
        let alike = |index: &usize| size(*index) == size(top);
        let used = moment.boxes.iter().map(|one| one.surface).filter(alike);
        used.min().unwrap_or(top)
    }
}
