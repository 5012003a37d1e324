//! A place seen from the front, in mm: its surfaces above each other, boxes by width and height.

use crate::kitchen::Place;
use crate::plan::arrange::Arrange;

use super::moments::{MomentView, Outside};
use super::view::PlaceView;

/// The picture's size and parts, in mm from its upper left corner.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Front {
    /// The widest surface.
    pub width: u32,
    /// All surfaces with their boards.
    pub height: u32,
    /// From the top.
    pub rows: Vec<FrontRow>,
    /// The farthest first, so that what stands in front is drawn over what stands behind.
    pub boxes: Vec<FrontBox>,
}

/// One surface.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FrontRow {
    /// Its index.
    pub surface: usize,
    /// Left to right, mm.
    pub width: u32,
    /// Where its clear height begins.
    pub top: u32,
    /// Where boxes stand; its board is drawn below.
    pub floor: u32,
    /// From where to where its width is kept over its whole depth: left edge and width.
    pub kept: Vec<(u32, u32)>,
}

/// One box.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FrontBox {
    /// Index in the moment's boxes.
    pub index: usize,
    /// Left edge.
    pub x: u32,
    /// Upper edge.
    pub y: u32,
    /// mm.
    pub width: u32,
    /// mm.
    pub height: u32,
    /// Another one stands before its middle.
    pub hidden: bool,
}

/// One of the boxes that do not fit, side by side on one line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OutsideBox {
    /// Index in the moment's list of what is outside.
    pub index: usize,
    /// Left edge.
    pub x: u32,
    /// mm.
    pub width: u32,
    /// mm.
    pub height: u32,
}

/// A moment from the front; below each surface a board of `board` mm.
pub fn front(place: &PlaceView, moment: &MomentView, board: u32) -> Front {
    let mut rows: Vec<FrontRow> = Vec::new();
    let mut top = 0;
    // Levels of a rack are counted from below, shelves from above.
    let surfaces: Vec<usize> = match place.place {
        Place::Rack => (0..moment.surfaces.len()).rev().collect(),
        _ => (0..moment.surfaces.len()).collect(),
    };
    for index in surfaces {
        let Some(surface) = moment.surfaces.get(index) else { continue };
        let floor = top + place.heights.get(index).copied().unwrap_or(surface.height);
        let kept = surface.kept.iter().filter(|kept| kept.y == 0 && kept.depth >= surface.depth);
        rows.push(FrontRow {
            surface: index,
            width: surface.width,
            top,
            floor,
            kept: kept.map(|kept| (kept.x, kept.width)).collect(),
        });
        top = floor + board;
    }
    let mut order: Vec<usize> = (0..moment.boxes.len()).collect();
    order.arrange_by_key(|index| {
        moment.boxes.get(*index).map(|one| (std::cmp::Reverse(one.y), one.level))
    });
    let mut boxes: Vec<FrontBox> = Vec::new();
    for index in order {
        let Some(one) = moment.boxes.get(index) else { continue };
        let Some(row) = rows.iter().find(|row| row.surface == one.surface) else { continue };
        let y = row.floor.saturating_sub(one.z + one.height);
        let own =
            FrontBox { index, x: one.x, y, width: one.width, height: one.height, hidden: false };
        let covers = |other: &FrontBox| {
            let (x, y) = (other.x + other.width / 2, other.y + other.height / 2);
            own.x <= x && x < own.x + own.width && own.y <= y && y < own.y + own.height
        };
        for other in boxes.iter_mut().filter(|other| covers(other)) {
            other.hidden = true;
        }
        boxes.push(own);
    }
    let width = moment.surfaces.iter().map(|surface| surface.width).max().unwrap_or(0);
    Front { width, height: top, rows, boxes }
}

/// What does not fit, side by side with `gap` mm between them; at most `most` of each.
pub fn outside(outside: &[Outside], gap: u32, most: u32) -> Vec<OutsideBox> {
    let mut boxes = Vec::new();
    let mut x = 0;
    for (index, one) in outside.iter().enumerate() {
        for _ in 0..one.count.min(most) {
            boxes.push(OutsideBox { index, x, width: one.width, height: one.height });
            x += one.width + gap;
        }
    }
    boxes
}
