//! Which cells of different tasks go together.
//!
//! In: the model and the cells. Out: for a set of cells still allowed for each task, those that every neighbour
//! allows too. Sets are bits of a `u64`; tasks with more cells take no part. Knows no costs.

use super::super::super::model::Model;
use super::cells::Cell;

/// Cells of a task with the cells of another that they go with.
#[derive(Debug, Clone)]
struct Tie {
    other: usize,
    /// For each cell of the task, the other's cells.
    with: Vec<u64>,
}

/// All lags between cells.
#[derive(Debug, Clone)]
pub(super) struct Net {
    ties: Vec<Vec<Tie>>,
    /// All cells of each task; 0 for a task that takes no part.
    pub(super) all: Vec<u64>,
}

impl Net {
    pub(super) fn new(model: &Model, cells: &[Vec<Cell>]) -> Self {
        let all: Vec<u64> = cells
            .iter()
            .map(|of| match of.len() {
                65.. => 0,
                64 => u64::MAX,
                count => (1 << count) - 1,
            })
            .collect();
        let mut ties = Vec::with_capacity(cells.len());
        for (task, arcs) in model.arcs.iter().enumerate() {
            let mut own = Vec::new();
            for arc in arcs.iter().filter(|arc| all[task] > 0 && all[arc.other] > 0) {
                let with: Vec<u64> = cells[task]
                    .iter()
                    .map(|here| {
                        let mut mask = 0;
                        for (bit, there) in cells[arc.other].iter().enumerate() {
                            if there.from - here.to <= arc.max && there.to - here.from >= arc.min {
                                mask |= 1 << bit;
                            }
                        }
                        mask
                    })
                    .collect();
                if with.iter().any(|&mask| mask != all[arc.other]) {
                    own.push(Tie { other: arc.other, with });
                }
            }
            ties.push(own);
        }
        Self { ties, all }
    }

    /// Takes cells away that go with none of a neighbour's, starting from tasks that changed; false if a
    /// task is left with none.
    pub(super) fn settle(&self, allowed: &mut [u64], mut changed: Vec<usize>) -> bool {
        while let Some(task) = changed.pop() {
            if self.all[task] == 0 {
                continue;
            }
            for tie in &self.ties[task] {
                let mut reach = 0;
                let mut left = allowed[task];
                while left != 0 {
                    reach |= tie.with[left.trailing_zeros() as usize];
                    left &= left - 1;
                }
                let next = allowed[tie.other] & reach;
                if next != allowed[tie.other] {
                    allowed[tie.other] = next;
                    if next == 0 {
                        return false;
                    }
                    if !changed.contains(&tie.other) {
                        changed.push(tie.other);
                    }
                }
            }
        }
        true
    }
}
