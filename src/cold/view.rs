//! All places over all days, put together.

use std::fmt;

use crate::breakdown::StepId;
use crate::calendar::{Elapsed, Horizon, Span};
use crate::kitchen::stow::{Surface, stow, surfaces};
use crate::kitchen::{Place, Stay};
use crate::order::OrderId;
use crate::plan::arrange::Arrange;
use crate::week::{
    Stood, WeekInput, capitalised, day_and_month, day_short, duration, full_day, standing, time_of,
    working,
};

use super::moments::{BoxView, MomentView, moments};
use super::words::{cm, counted, listed};

/// Nodes of the packer for each question.
const NODE_LIMIT: u64 = crate::kitchen::packing::NODE_LIMIT;
/// Drawn above what is open above, at least, mm.
const OPEN_ABOVE: u32 = 250;
/// Drawn for a level of a rack on which nothing stands, mm.
const LEVEL: u32 = 50;
/// So many pieces of work are named for one moment.
const MOST_WORK: usize = 4;
/// Room above what stands on a level of a rack, mm.
const LEVEL_AIR: u32 = 10;

/// Names a box while it stays in its place, as long as the work is the same.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BoxKey {
    /// The stand's id.
    pub stand: String,
    /// Which of its kinds of boxes.
    pub item: usize,
    /// Which of that kind, from 0.
    pub number: u16,
}

impl fmt::Display for BoxKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}/{}", self.stand, self.item, self.number)
    }
}

/// Something that stands in a place for a while.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stand {
    /// Names it as long as the work is the same.
    pub id: String,
    /// Whose.
    pub order: OrderId,
    /// Two letters for the order.
    pub mark: String,
    /// "Mira Holm, woodland".
    pub whose: String,
    /// Where.
    pub place: Place,
    /// For example "base-coated cookies".
    pub what: String,
    /// Its number in the place, from 1 by start: what is written where words have no room.
    pub key: usize,
    /// When.
    pub span: Span,
    /// "Tuesday 24 Nov 19:45".
    pub since: String,
    /// "Friday 27 Nov 19:00".
    pub until: String,
    /// "3 days", "14 h 15 min".
    pub lasts: String,
    /// What follows, for example "“Pipe the details” on Friday 27 Nov 19:00".
    pub next: String,
    /// How long it may rest in all, with the source; empty when nothing limits it.
    pub limit: String,
    /// The step that made it, or that is worked on.
    pub made_by: StepId,
}

/// A day of the horizon.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayName {
    /// "Thu".
    pub short: &'static str,
    /// "26 Nov".
    pub date: String,
    /// "Thursday 26 Nov".
    pub full: String,
    /// From midnight to midnight.
    pub span: Span,
}

/// One place over all days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlaceView {
    /// Which.
    pub place: Place,
    /// Height at which each surface is drawn, mm: its clear height, or what stands on it at its fullest.
    pub heights: Vec<u32>,
    /// From the horizon's start to its end, without gaps; one where nothing ever stands.
    pub moments: Vec<MomentView>,
    /// For each day the moment at which it is fullest, as an index of `moments`.
    pub fullest: Vec<usize>,
}

/// Everything that the screen shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColdView {
    /// All five, in [`Place::ALL`]'s order.
    pub places: Vec<PlaceView>,
    /// Everything that stands anywhere at any time.
    pub stands: Vec<Stand>,
    /// The days planned.
    pub days: Vec<DayName>,
    /// What the clock shows.
    pub now: Elapsed,
    /// When hands work, on what, by start.
    work: Vec<(Span, String)>,
    horizon: Horizon,
}

impl ColdView {
    /// Lays everything out; none while there is no kitchen. `input.first_day` does not matter.
    pub fn of(input: WeekInput<'_>) -> Option<Self> {
        let kitchen = input.book.kitchen.as_ref()?;
        let horizon = &input.outlook.horizon;
        let stood = standing(input);
        let stays: Vec<Stay> = stood.iter().map(|one| one.stay.clone()).collect();
        let days: Vec<DayName> = (0..horizon.days)
            .map(|day| {
                let date = horizon.date(day);
                DayName {
                    short: day_short(date),
                    date: day_and_month(date),
                    full: full_day(date),
                    span: horizon.day_span(day),
                }
            })
            .collect();
        let places = stow(kitchen, horizon, &stays, NODE_LIMIT)
            .into_iter()
            .map(|stowed| {
                let place = stowed.place;
                let surfaces = |moment: Elapsed| surfaces(&kitchen.at(horizon, moment), place);
                PlaceView::of(place, moments(&stood, place, &stowed.moments, surfaces), &days)
            })
            .collect();
        Some(Self {
            places,
            stands: stands(&input, &stood),
            days,
            now: horizon.elapsed(input.now),
            work: working(input),
            horizon: horizon.clone(),
        })
    }

    /// A place.
    pub fn place(&self, place: Place) -> Option<&PlaceView> {
        self.places.iter().find(|view| view.place == place)
    }

    /// "Thursday 26 Nov, 18:30"; at midnight of the horizon's start too.
    pub fn when(&self, moment: Elapsed) -> String {
        let wall = self.horizon.wall(moment);
        format!("{}, {}", full_day(wall.date()), time_of(wall))
    }

    /// From when to when a moment lasts: "Thursday 26 Nov, 18:30 to 20:00".
    pub fn from_to(&self, span: Span) -> String {
        let (start, end) = (self.horizon.wall(span.start), self.horizon.wall(span.end));
        if start.date() == end.date() {
            format!("{} to {}", self.when(span.start), time_of(end))
        } else {
            format!("{} to {}", self.when(span.start), self.when(span.end))
        }
    }

    /// All days planned.
    pub fn span(&self) -> Span {
        self.horizon.span()
    }

    /// The moment that the clock of the kitchen shows.
    pub fn elapsed(&self, wall: crate::calendar::Wall) -> Elapsed {
        self.horizon.elapsed(wall)
    }

    /// What the clock of the kitchen shows at a moment.
    pub fn wall(&self, moment: Elapsed) -> crate::calendar::Wall {
        self.horizon.wall(moment)
    }

    /// The day that a moment lies on.
    pub fn day_of(&self, moment: Elapsed) -> usize {
        usize::from(self.horizon.day_of(moment))
    }

    /// The name of a box.
    pub fn key(&self, one: &BoxView) -> Option<BoxKey> {
        let stand = self.stands.get(one.stand)?.id.clone();
        Some(BoxKey { stand, item: one.item, number: one.number })
    }

    /// "cake layers: cake box 2 of 3", or "cake layers: cake box".
    pub fn name(&self, one: &BoxView) -> String {
        let Some(stand) = self.stands.get(one.stand) else { return one.kind.clone() };
        format!("{}: {}", capitalised(&stand.what), one.kind)
    }

    /// Why a box stands elsewhere than before; none when it was not moved.
    pub fn why_moved(
        &self,
        place: &PlaceView,
        moment: &MomentView,
        one: &BoxView,
    ) -> Option<String> {
        let from = one.moved.as_ref()?;
        let shelf = moment.surfaces.get(from.surface).map_or("", |surface| surface.name.as_str());
        let place_is_counter = place.place == Place::Counter;
        let there = if place_is_counter {
            format!("{} cm further from the left edge", cm(from.x))
        } else {
            format!("“{shelf}”, {} cm from the left", cm(from.x))
        };
        let came: Vec<String> = from
            .came
            .iter()
            .filter_map(|index| Some(self.stands.get(*index)?.what.clone()))
            .collect();
        let why = if came.is_empty() {
            String::new()
        } else {
            format!(", to make room for {}", listed(&came))
        };
        Some(format!("Moved on {} from {there}{why}", self.when(from.at)))
    }

    /// What happens when a moment begins: what comes, what goes, what is moved.
    pub fn changes(&self, place: &PlaceView, index: usize) -> Vec<String> {
        let Some(moment) = place.moments.get(index) else { return Vec::new() };
        let here = self.stands.iter().filter(|stand| stand.place == place.place);
        let at = moment.span.start;
        let names = |wanted: &dyn Fn(&Stand) -> bool| -> Vec<String> {
            let found = here.clone().filter(|stand| wanted(stand));
            found.map(|stand| format!("{} {}", stand.mark, stand.what)).collect()
        };
        let mut lines = Vec::new();
        let came = names(&|stand| stand.span.start == at);
        let gone = names(&|stand| stand.span.end == at);
        if !came.is_empty() {
            lines.push(format!("Comes: {}", came.join(", ")));
        }
        if !gone.is_empty() {
            lines.push(format!("Goes: {}", gone.join(", ")));
        }
        if moment.moved > 0 {
            lines.push(format!("Moved to make room: {}", counted(place.place, moment.moved)));
        }
        let before = index.checked_sub(1).and_then(|index| place.moments.get(index));
        let free = |surface: &Surface| {
            surface.free.map_or(0, |(width, depth, _)| u64::from(width) * u64::from(depth))
        };
        let turned = |freed: bool| {
            let pairs =
                before.map_or(&[][..], |before| &before.surfaces).iter().zip(&moment.surfaces);
            let changed =
                pairs.filter(
                    |(was, is)| if freed { free(was) < free(is) } else { free(is) < free(was) },
                );
            changed.map(|(_, is)| format!("“{}”", is.name)).collect::<Vec<String>>()
        };
        let (cleared, back) = (turned(true), turned(false));
        if !cleared.is_empty() {
            lines.push(format!("Cleared for baking: {}", listed(&cleared)));
        }
        if !back.is_empty() {
            lines.push(format!("The household's again: {}", listed(&back)));
        }
        lines
    }

    /// Who works at the counter during a moment, for which its work zone is kept; empty elsewhere.
    pub fn work_words(&self, place: &PlaceView, index: usize) -> String {
        let Some(moment) = place.moments.get(index).filter(|_| place.place == Place::Counter)
        else {
            return String::new();
        };
        let at_work = self.work.iter().filter(|(span, _)| span.shared(moment.span).is_some());
        let words: Vec<String> = at_work
            .map(|(span, what)| {
                let (start, end) = (self.horizon.wall(span.start), self.horizon.wall(span.end));
                format!("{} {}–{} {what}", day_short(start.date()), time_of(start), time_of(end))
            })
            .collect();
        match words.split_at_checked(MOST_WORK) {
            _ if words.is_empty() => {
                "Nobody works meanwhile; the work zone is kept all the same".to_owned()
            }
            Some((first, rest)) if !rest.is_empty() => {
                format!("Kept for work: {} and {} more", first.join(", "), rest.len())
            }
            _ => format!("Kept for work: {}", words.join(", ")),
        }
    }
}

impl PlaceView {
    fn of(place: Place, moments: Vec<MomentView>, days: &[DayName]) -> Self {
        let surfaces = moments.first().map_or(&[][..], |first| first.surfaces.as_slice());
        let heights = surfaces
            .iter()
            .enumerate()
            .map(|(index, surface)| {
                let tops = moments.iter().flat_map(|moment| &moment.boxes);
                let tops = tops.filter(|one| one.surface == index).map(|one| one.z + one.height);
                let most = tops.max().unwrap_or(0);
                match (surface.height, place) {
                    (0, Place::Rack) => LEVEL.max(most + LEVEL_AIR),
                    (0, _) => OPEN_ABOVE.max(most),
                    (clear, _) => clear,
                }
            })
            .collect();
        let fullest = days.iter().map(|day| fullest(&moments, day.span)).collect();
        Self { place, heights, moments, fullest }
    }

    /// Whether the kitchen has it.
    pub fn exists(&self) -> bool {
        self.moments.first().is_some_and(|moment| !moment.surfaces.is_empty())
    }

    /// Whether anything ever stands or should stand there.
    pub fn is_used(&self) -> bool {
        self.moments.iter().any(|moment| !moment.is_empty())
    }

    /// The moment that holds a point in time; the nearest one outside the days planned.
    pub fn at(&self, time: Elapsed) -> usize {
        let after = self.moments.partition_point(|moment| moment.span.start <= time);
        after.saturating_sub(1)
    }

    /// "2 boxes, 41 % of the room for baking", "3 of 10 trays", "empty", with what stands outside.
    pub fn fill_words(&self, index: usize) -> String {
        let Some(moment) = self.moments.get(index) else { return String::new() };
        let outside: u32 = moment.outside.iter().map(|one| one.count).sum();
        let inside = match (self.place, moment.boxes.len()) {
            (_, 0) if outside == 0 => "empty".to_owned(),
            (_, 0) => "nothing stands".to_owned(),
            (Place::Rack, trays) => format!("{trays} of {} trays", moment.surfaces.len()),
            (place, boxes) => {
                let percent = moment.fullness().div_ceil(10);
                format!("{}, {percent} % of the floor", counted(place, boxes))
            }
        };
        match outside {
            0 => inside,
            1 => format!("{inside}; 1 does not fit"),
            many => format!("{inside}; {many} do not fit"),
        }
    }
}

/// Of the moments of a day, the first of those with most outside, then most covered.
fn fullest(moments: &[MomentView], day: Span) -> usize {
    let of_day = moments.iter().enumerate().filter(|(_, moment)| moment.span.shared(day).is_some());
    let rank = |moment: &MomentView| {
        let outside: u32 = moment.outside.iter().map(|one| one.count).sum();
        (outside, moment.fullness(), moment.boxes.len())
    };
    let best = of_day.max_by_key(|(index, moment)| (rank(moment), std::cmp::Reverse(*index)));
    best.map_or(0, |(index, _)| index)
}

fn stands(input: &WeekInput<'_>, stood: &[Stood]) -> Vec<Stand> {
    let horizon = &input.outlook.horizon;
    let when = |moment: Elapsed| {
        let wall = horizon.wall(moment);
        format!("{} {}", full_day(wall.date()), time_of(wall))
    };
    let mut stands: Vec<Stand> = stood
        .iter()
        .map(|one| Stand {
            id: one.id.clone(),
            order: one.order,
            mark: one.stay.mark.clone(),
            whose: whose(input, one.order),
            place: one.stay.place,
            what: one.stay.label.clone(),
            key: 0,
            span: one.stay.span,
            since: when(one.stay.span.start),
            until: when(one.stay.span.end),
            lasts: duration(one.stay.span.minutes()),
            next: one.next.clone(),
            limit: one.limit.clone(),
            made_by: one.made_by.clone(),
        })
        .collect();
    let mut by_start: Vec<usize> = (0..stands.len()).collect();
    by_start.arrange_by_key(|index| stands.get(*index).map(|stand| (stand.span, stand.id.clone())));
    let mut given = std::collections::BTreeMap::new();
    for index in by_start {
        if let Some(stand) = stands.get_mut(index) {
            let next = given.entry(stand.place).or_insert(0);
            *next += 1;
            stand.key = *next;
        }
    }
    stands
}

/// "Mira Holm, woodland"; whatever of both there is.
fn whose(input: &WeekInput<'_>, order: OrderId) -> String {
    let Some(found) = input.book.orders.get(&order) else { return format!("order {}", order.0) };
    let parts = [found.client.trim(), found.theme.trim()];
    let parts: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    if parts.is_empty() { format!("order {}", order.0) } else { parts.join(", ") }
}
