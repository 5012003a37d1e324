//! Room that the household could clear: what gives a room remedy, clearings worth trying, and their words.
//!
//! In: a week, and what is lacking in it. Out: clearings of shelves. Whether they help is known once they are
//! planned.

use crate::calendar::{Elapsed, Span};
use crate::kitchen::{Cleared, Clearing, Household, Kitchen, use_over_time};
use crate::plan::arrange::{Arrange, set_of};
use crate::plan::explain::{Conflict, Remedy, Requirement};
use crate::record::{room_clearings, shelf_volume, shelves_of};

use super::standing::stays;
use super::view::{Context, WeekInput};
use super::words::{full_day, time_of};

/// Clearings suggested for one place.
const SUGGESTED_MOST: usize = 4;
/// Where nothing is overfull that could say when: so many minutes before what leaves last.
const BEFORE_LEAVING: i32 = 2 * 1440;

/// The clearings that give a room remedy, of one shelf where one is enough; none where no shelf of the
/// household's can give so much, or where it is no room on shelves.
pub(super) fn clearings(input: WeekInput<'_>, remedy: &Remedy) -> Option<Vec<Clearing>> {
    room_clearings(&input.outlook.assembled, input.plan, remedy)
}

/// Clearings of whole shelves that may end a conflict about room: of each place that it names.
pub(super) fn suggested(input: WeekInput<'_>, conflict: &Conflict) -> Vec<Clearing> {
    let Some(kitchen) = &input.book.kitchen else { return Vec::new() };
    let context = Context::of(input);
    let all = stays(&context);
    let over_time = use_over_time(kitchen, context.horizon, &all);
    let named = match conflict {
        Conflict::Proven { members, .. } => set_of(members.iter().filter_map(|member| {
            let Requirement::Capacity(id) = member else { return None };
            shelves_of(id).map(|(place, _)| place)
        })),
        Conflict::NotProven => {
            let shelved =
                over_time.iter().filter(|of| !kitchen.shelves(of.capacity.place).is_empty());
            let over = shelved.filter(|of| of.steps.iter().any(|step| step.overfull));
            set_of(over.map(|of| of.capacity.place))
        }
    };
    let leaves =
        input.outlook.work.handovers.iter().map(|p| context.horizon.elapsed(p.leaves)).max();
    let mut found = Vec::new();
    for place in named {
        let steps = over_time.iter().find(|of| of.capacity.place == place).map(|of| &of.steps);
        let ends = steps.into_iter().flatten().skip(1).map(|step| step.at);
        let ends = ends.chain([context.horizon.len()]);
        let over = steps.into_iter().flatten().zip(ends).filter(|(step, _)| step.overfull);
        let over: Vec<(Elapsed, Elapsed)> = over.map(|(step, end)| (step.at, end)).collect();
        let first = over.iter().map(|(from, _)| *from).min();
        let last = over.iter().map(|(_, until)| *until).max().or(leaves);
        let Some(last) = last else { continue };
        let from = first.unwrap_or(last.plus(-BEFORE_LEAVING)).max(context.now);
        let span = Span::new(from, last);
        if span.is_empty() {
            continue;
        }
        let then = kitchen.during(context.horizon, span);
        let mut kept: Vec<(u64, usize)> = then
            .shelves(place)
            .iter()
            .enumerate()
            .map(|(index, shelf)| {
                (shelf_volume(shelf.whole()) - shelf.free().map_or(0, shelf_volume), index)
            })
            .filter(|(kept, _)| *kept > 0)
            .collect();
        kept.arrange();
        found.extend(kept.into_iter().take(SUGGESTED_MOST).map(|(_, shelf)| Clearing {
            place,
            shelf,
            cleared: Cleared::Whole,
            from: context.horizon.wall(span.start),
            until: context.horizon.wall(span.end),
        }));
    }
    found
}

/// "clear 30 × 33 cm of the middle shelf of the fridge from Friday 27 Nov 18:00 until Saturday 28 Nov 10:00".
pub fn clearing_words(kitchen: &Kitchen, clearing: &Clearing) -> String {
    let shelf = kitchen.shelf_words(clearing.place, clearing.shelf);
    let moment =
        |wall: crate::calendar::Wall| format!("{} {}", full_day(wall.date()), time_of(wall));
    let (from, until) = (moment(clearing.from), moment(clearing.until));
    if clearing.cleared == Cleared::Taken {
        return format!("the household needs {shelf} from {from} until {until}");
    }
    let what = clearing_amount(kitchen, clearing);
    format!("clear {what} of {shelf} from {from} until {until}")
}

/// "30 × 33 cm", "the household’s part".
pub fn clearing_amount(kitchen: &Kitchen, clearing: &Clearing) -> String {
    let shelf = kitchen.shelves(clearing.place).get(clearing.shelf);
    match (clearing.cleared, shelf) {
        (Cleared::Strip { width }, Some(shelf)) => {
            let depth = match shelf.household {
                Household::AllBut { depth, .. } => depth,
                _ => shelf.depth,
            };
            format!("{} × {} cm", centimetres(width), centimetres(depth))
        }
        _ => "the household’s part".to_owned(),
    }
}

/// "33", "32.5".
fn centimetres(mm: u16) -> String {
    if mm.is_multiple_of(10) { (mm / 10).to_string() } else { format!("{}.{}", mm / 10, mm % 10) }
}
