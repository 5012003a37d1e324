//! Which sittings could be tried at another time.

use crate::breakdown::StepId;
use crate::calendar::Elapsed;
use crate::card::StepKind;
use crate::order::{Order, OrderId};
use crate::plan::arrange::Arrange;
use crate::week::{BlockKey, WeekInput, day_short, time_of};

/// A sitting that is still to come.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Movable {
    /// Which.
    pub key: BlockKey,
    /// Whose.
    pub order: OrderId,
    /// "OM · Ottoline Marsh".
    pub whose: String,
    /// "Bake the layers (Tall layer cake), Thu 19:30".
    pub words: String,
    /// When it starts.
    pub start: Elapsed,
}

/// Every sitting that is placed, not done, and has not begun: order by order, by start.
pub fn movable(input: WeekInput<'_>) -> Vec<Movable> {
    let (book, outlook) = (input.book, input.outlook);
    let horizon = &outlook.horizon;
    let now = horizon.elapsed(input.now);
    let planned = outlook.assembled.starts(input.plan);
    let mut all = Vec::new();
    for step in outlook.work.steps.iter().filter(|step| step.kind != StepKind::Wait) {
        let pin = book.pins.get(&step.id);
        let under_way = book.progress.get(&step.id).is_some_and(|p| !p.sittings.is_empty());
        if under_way || pin.is_some_and(|pin| pin.done) {
            continue;
        }
        let pinned = pin.map(|pin| {
            pin.starts.iter().map(|start| horizon.elapsed(*start)).collect::<Vec<Elapsed>>()
        });
        let Some(starts) = pinned.or_else(|| planned.get(&step.id).cloned()) else { continue };
        let order = book.orders.get(&step.order);
        let whose = order.map_or_else(
            || format!("order {}", step.order.0),
            |order| format!("{} · {}", order.mark(), name(order)),
        );
        for (sitting, start) in starts.into_iter().enumerate().filter(|(_, start)| now < *start) {
            let wall = horizon.wall(start);
            let when = format!("{} {}", day_short(wall.date()), time_of(wall));
            let part = if step.sittings.len() > 1 {
                format!(", sitting {} of {}", sitting + 1, step.sittings.len())
            } else {
                String::new()
            };
            all.push(Movable {
                key: BlockKey { step: step.id.clone(), sitting },
                order: step.order,
                whose: whose.clone(),
                words: format!("{} ({}{part}), {when}", step.name, step.product),
                start,
            });
        }
    }
    all.arrange_by(|a, b| (a.order, a.start, &a.key).cmp(&(b.order, b.start, &b.key)));
    all
}

/// The first sitting of a step among those that can be tried.
pub fn of_step(all: &[Movable], step: &StepId) -> Option<BlockKey> {
    all.iter().find(|one| &one.key.step == step).map(|one| one.key.clone())
}

fn name(order: &Order) -> String {
    let (client, theme) = (order.client.trim(), order.theme.trim());
    if client.is_empty() { theme.to_owned() } else { client.to_owned() }
}
