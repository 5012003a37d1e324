//! Sittings as blocks: when, what, whose, and where they stand beside each other.

use std::fmt;

use crate::breakdown::{Step, StepId};
use crate::calendar::{Elapsed, ExceptionKind, Span};
use crate::card::StepKind;
use crate::order::OrderId;
use crate::plan::arrange::Arrange;
use crate::plan::explain::HELPER;

use super::axis::DayAxis;
use super::clock::day_span;
use super::past_best::PastBest;
use super::problems::ProblemView;
use super::view::{Context, WeekInput};
use super::words::time_range;

/// Names a sitting: its step, and which of the step's sittings, counted from 0.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BlockKey {
    /// The step.
    pub step: StepId,
    /// Counted from 0.
    pub sitting: usize,
}

impl fmt::Display for BlockKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}#{}", self.step.0, self.sitting)
    }
}

/// How a sitting is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BlockKind {
    /// Hands-on work.
    Plain,
    /// Fine handwork.
    Fine,
    /// In the oven.
    Oven,
}

impl BlockKind {
    /// Waits have no block; they count as plain where one is asked for.
    pub(super) fn of(kind: StepKind) -> Self {
        match kind {
            StepKind::Fine => Self::Fine,
            StepKind::Oven => Self::Oven,
            StepKind::Plain | StepKind::Wait => Self::Plain,
        }
    }

    /// Counts against the hands of whoever works.
    pub fn hands_on(self) -> bool {
        self != Self::Oven
    }

    /// In words.
    pub fn text(self) -> &'static str {
        match self {
            Self::Plain => "hands-on work",
            Self::Fine => "fine handwork",
            Self::Oven => "in the oven",
        }
    }
}

/// Whether the planner may move a sitting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BlockState {
    /// It may.
    Planned,
    /// Placed by hand.
    Pinned,
    /// Ticked off.
    Done,
}

impl BlockState {
    /// A sitting's, counted from 0.
    pub(super) fn of(context: &Context<'_>, step: &StepId, sitting: usize) -> Self {
        let went = context.input.book.progress.get(step);
        if went.and_then(|went| went.sittings.get(sitting)).is_some_and(|worked| worked.done) {
            return Self::Done;
        }
        match context.input.book.pins.get(step) {
            None => Self::Planned,
            Some(pin) if pin.done => Self::Done,
            Some(_) => Self::Pinned,
        }
    }
}

/// A sitting, drawn on one day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Block {
    /// Which sitting.
    pub key: BlockKey,
    /// Whose.
    pub order: OrderId,
    /// Two letters for the order.
    pub mark: String,
    /// For example "Decorated cookies".
    pub product: String,
    /// For example "Flood the base coat".
    pub name: String,
    /// "18:30–19:45".
    pub time: String,
    /// Which sitting of how many, counted from 1; none when the step is not cut.
    pub part: Option<(usize, usize)>,
    /// How it is drawn.
    pub kind: BlockKind,
    /// Start of the whole sitting.
    pub start: Elapsed,
    /// End of the whole sitting.
    pub end: Elapsed,
    /// Units from the top of the day.
    pub top: i32,
    /// Units.
    pub height: i32,
    /// Thousandths of the day's width from its left.
    pub left: i32,
    /// Thousandths of the day's width.
    pub width: i32,
    /// Whether the planner may move it.
    pub state: BlockState,
    /// Should have ended by now, and is not ticked off.
    pub overdue: bool,
    /// Who helps: it is not done by the baker's own hands.
    pub helper: Option<String>,
    /// Whether it runs beside other work.
    pub beside: bool,
    /// What is wrong with it, in sentences.
    pub breaches: Vec<String>,
    /// What is past its best with it, because the order allows that, in sentences.
    pub past_best: Vec<String>,
    /// For example "24 cookies + 4 spares on 3 trays".
    pub detail: String,
}

impl Block {
    /// Minutes of the whole sitting.
    pub fn length(&self) -> i32 {
        self.end.0 - self.start.0
    }

    /// "2 of 3", or nothing.
    pub fn part_text(&self) -> Option<String> {
        self.part.map(|(part, of)| format!("{part} of {of}"))
    }
}

/// A placed sitting, before it is drawn.
pub(super) struct Sitting<'a> {
    pub(super) step: &'a Step,
    /// Who helps: it is not done by the baker's own hands.
    pub(super) helper: Option<String>,
    pub(super) index: usize,
    pub(super) count: usize,
    pub(super) span: Span,
}

impl Sitting<'_> {
    pub(super) fn key(&self) -> BlockKey {
        BlockKey { step: self.step.id.clone(), sitting: self.index }
    }

    /// Waits are shown as threads only.
    pub(super) fn shown(&self) -> bool {
        self.step.kind != StepKind::Wait
    }
}

/// A sitting's minutes, rounded up to the planner's grid.
pub(super) fn on_grid(minutes: u32, grid: i32) -> i32 {
    let minutes = i32::try_from(minutes).unwrap_or(i32::MAX - grid);
    (minutes + grid - 1).div_euclid(grid) * grid
}

/// All placed sittings, step by step in the order of the work. What is ticked off stands where it was
/// ticked, what is pinned where it is pinned, even before the planner has answered.
pub(super) fn sittings<'a>(input: &WeekInput<'a>) -> Vec<Sitting<'a>> {
    let outlook = input.outlook;
    let grid = i32::from(outlook.assembled.problem.grid_minutes.max(1));
    let went =
        |step: &StepId| input.book.progress.get(step).is_some_and(|p| !p.sittings.is_empty());
    let planned = outlook.assembled.starts(input.plan);
    let mut sittings = Vec::new();
    for step in &outlook.work.steps {
        let pinned: Option<Vec<Elapsed>> =
            input.book.pins.get(&step.id).filter(|pin| pin.done || !went(&step.id)).map(|pin| {
                pin.starts.iter().map(|start| outlook.horizon.elapsed(*start)).collect()
            });
        let Some(starts) = pinned.as_ref().or_else(|| planned.get(&step.id)) else { continue };
        let count = step.sittings.len();
        for (index, (minutes, start)) in step.sittings.iter().zip(starts).enumerate() {
            let end = Elapsed(start.0.saturating_add(on_grid(*minutes, grid)));
            let span = Span { start: *start, end };
            // Of a step under way the plan has what is left.
            let left = input.plan.worker.get(&step.id.0).map_or(&[][..], Vec::as_slice);
            let who =
                (index + left.len()).checked_sub(count).and_then(|at| left.get(at)?.as_deref());
            let helper = (who == Some(HELPER)).then(|| helper_at(input, *start));
            sittings.push(Sitting { step, helper, index, count, span });
        }
    }
    sittings
}

/// The name of who helps at a moment.
fn helper_at(input: &WeekInput<'_>, at: Elapsed) -> String {
    let horizon = &input.outlook.horizon;
    let exceptions = input.book.time.iter().flat_map(|time| &time.exceptions);
    let found =
        exceptions.filter(|one| matches!(one.kind, ExceptionKind::Helper { .. })).find(|one| {
            one.kind
                .hours()
                .is_some_and(|(start, end)| horizon.hours(one.date, start, end).contains(at))
        });
    found.map_or_else(|| "a helper".to_owned(), |one| one.label.clone())
}

/// The blocks of one day, by start.
pub(super) fn blocks(context: &Context<'_>, day: i32, axis: &DayAxis) -> Vec<Block> {
    let span = day_span(context.horizon, day);
    let mut blocks: Vec<Block> = context
        .sittings
        .iter()
        .filter(|sitting| sitting.shown())
        .filter_map(|sitting| Some(block(context, sitting, sitting.span.shared(span)?, axis)))
        .collect();
    blocks.arrange_by(|a, b| (a.start, a.end, &a.key).cmp(&(b.start, b.end, &b.key)));
    side_by_side(&mut blocks);
    blocks
}

fn block(context: &Context<'_>, sitting: &Sitting<'_>, shown: Span, axis: &DayAxis) -> Block {
    let step = sitting.step;
    let (top, bottom) = (axis.y_of(shown.start), axis.y_of(shown.end));
    let state = BlockState::of(context, &step.id, sitting.index);
    Block {
        key: sitting.key(),
        order: step.order,
        mark: context.mark(step.order),
        product: step.product.clone(),
        name: step.name.clone(),
        time: time_range(context.horizon, sitting.span.start, sitting.span.end),
        part: (sitting.count > 1).then_some((sitting.index + 1, sitting.count)),
        kind: BlockKind::of(step.kind),
        start: sitting.span.start,
        end: sitting.span.end,
        top,
        height: bottom - top,
        left: 0,
        width: 1000,
        state,
        overdue: state != BlockState::Done && sitting.span.end <= context.now,
        helper: sitting.helper.clone(),
        beside: false,
        breaches: Vec::new(),
        past_best: Vec::new(),
        detail: step.detail.clone(),
    }
}

/// Thousandths of the width that the oven's lane gets beside hands-on work.
const OVEN_SHARE: i32 = 300;

/// Blocks that overlap share the width: hands-on work on the left, the oven in its own lane on the
/// right. A block with nothing beside it has the whole width.
fn side_by_side(blocks: &mut [Block]) {
    let mut from = 0;
    while from < blocks.len() {
        let mut reach = blocks[from].end;
        let mut to = from + 1;
        while to < blocks.len() && blocks[to].start < reach {
            reach = reach.max(blocks[to].end);
            to += 1;
        }
        share(&mut blocks[from..to]);
        from = to;
    }
}

/// Gives each block of a connected group its lane.
fn share(group: &mut [Block]) {
    let crowd = group.len() > 1;
    let hands = lanes(group, BlockKind::hands_on);
    let ovens = lanes(group, |kind| !kind.hands_on());
    let hands_width = match (hands.1, ovens.1) {
        (0, _) => 0,
        (_, 0) => 1000,
        _ => 1000 - OVEN_SHARE,
    };
    for (index, block) in group.iter_mut().enumerate() {
        block.beside = crowd;
        let (lane, count, left, width) = if block.kind.hands_on() {
            (hands.0[index], hands.1, 0, hands_width)
        } else {
            (ovens.0[index], ovens.1, hands_width, 1000 - hands_width)
        };
        let count = i32::try_from(count.max(1)).unwrap_or(1);
        let lane = i32::try_from(lane).unwrap_or(0);
        block.left = left + width * lane / count;
        block.width = width / count;
    }
}

/// The lane of each block of the wanted kinds, and how many lanes there are.
fn lanes(group: &[Block], wanted: impl Fn(BlockKind) -> bool) -> (Vec<usize>, usize) {
    let mut ends: Vec<Elapsed> = Vec::new();
    let lanes = group
        .iter()
        .map(|block| {
            if !wanted(block.kind) {
                return 0;
            }
            let lane = ends.iter().position(|end| *end <= block.start).unwrap_or(ends.len());
            match ends.get_mut(lane) {
                Some(end) => *end = block.end,
                None => ends.push(block.end),
            }
            lane
        })
        .collect();
    (lanes, ends.len())
}

/// Writes each problem on the blocks that it is about.
pub(super) fn mark_breaches(blocks: &mut [Block], problems: &[ProblemView]) {
    for block in blocks {
        block.breaches = problems
            .iter()
            .filter(|problem| problem.blocks.contains(&block.key))
            .map(|problem| problem.text.clone())
            .collect();
    }
}

/// Writes what is past its best on the blocks of the steps before and after.
pub(super) fn mark_past_best(blocks: &mut [Block], all: &[PastBest]) {
    for block in blocks {
        let own = all.iter().filter(|one| one.steps.contains(&block.key.step));
        block.past_best = own.map(|one| one.words.clone()).collect();
    }
}
