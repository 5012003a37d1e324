//! A moment as a table, for ears, for paper, and for whoever likes lists.

use crate::calendar::Elapsed;
use crate::kitchen::Place;
use crate::week::capitalised;

use super::view::{BoxKey, ColdView};
use super::words::{position, size};

/// One box, or what does not fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Names it; none for what does not fit.
    pub key: Option<BoxKey>,
    /// Where.
    pub place: Place,
    /// Its number in the picture.
    pub number: usize,
    /// The surface's name, or that it stands outside.
    pub shelf: String,
    /// For example "Base-coated cookies: tray".
    pub what: String,
    /// Two letters for the order.
    pub mark: String,
    /// "Mira Holm, woodland".
    pub whose: String,
    /// "Tuesday 24 Nov 19:45".
    pub from: String,
    /// "Friday 27 Nov 19:00".
    pub until: String,
    /// "24 × 33 × 12 cm".
    pub size: String,
    /// "12 cm from the left, at the front"; the reason for what does not fit.
    pub position: String,
    /// It stands nowhere.
    pub outside: bool,
}

/// Everything that stands anywhere at a moment, place by place, shelf by shelf, from the left.
pub fn rows(view: &ColdView, time: Elapsed) -> Vec<Row> {
    let mut rows = Vec::new();
    for place in &view.places {
        let Some(moment) = place.moments.get(place.at(time)) else { continue };
        for one in &moment.boxes {
            let Some(stand) = view.stands.get(one.stand) else { continue };
            let shelf = moment.surfaces.get(one.surface);
            rows.push(Row {
                key: view.key(one),
                place: place.place,
                number: stand.key,
                shelf: shelf.map_or_else(String::new, |shelf| shelf.name.clone()),
                what: view.name(one),
                mark: stand.mark.clone(),
                whose: stand.whose.clone(),
                from: stand.since.clone(),
                until: stand.until.clone(),
                size: size(one.width, one.depth, one.height),
                position: position(one.x, one.y, one.level),
                outside: false,
            });
        }
        for one in &moment.outside {
            let Some(stand) = view.stands.get(one.stand) else { continue };
            rows.push(Row {
                key: None,
                place: place.place,
                number: stand.key,
                shelf: "outside: no room".to_owned(),
                what: format!("{}: {} × {}", capitalised(&stand.what), one.count, one.kind),
                mark: stand.mark.clone(),
                whose: stand.whose.clone(),
                from: stand.since.clone(),
                until: stand.until.clone(),
                size: size(one.width, one.depth, one.height),
                position: moment.reason.clone(),
                outside: true,
            });
        }
    }
    rows
}
