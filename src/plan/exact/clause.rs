//! Clauses, one after the other in a single vector, and who watches what.

use super::literal::{Lit, ix, no};

/// How good a learnt clause is: the fewer levels it joins, the better.
#[derive(Debug, Clone, Copy)]
pub(super) struct Clause {
    start: u32,
    length: u32,
    /// Levels joined when it was learnt; 0: belongs to the problem.
    pub(super) levels: u32,
    /// Number of the last conflict it had a part in.
    pub(super) used: u64,
}

/// A watched literal of a clause: it gets false as its view's opposite reaches `mark`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Watch {
    pub(super) mark: i32,
    pub(super) clause: u32,
    /// If this is true the clause need not be looked at.
    pub(super) hint: Lit,
}

/// All clauses.
#[derive(Debug, Clone, Default)]
pub(super) struct Clauses {
    pub(super) list: Vec<Clause>,
    lits: Vec<Lit>,
    /// How many were learnt.
    pub(super) learnt: usize,
}

impl Clauses {
    pub(super) fn push(&mut self, lits: &[Lit], levels: u32, used: u64) -> u32 {
        let start = no(self.lits.len());
        self.lits.extend_from_slice(lits);
        self.list.push(Clause { start, length: no(lits.len()), levels, used });
        self.learnt += usize::from(levels > 0);
        no(self.list.len() - 1)
    }

    #[inline]
    pub(super) fn lits(&self, clause: u32) -> &[Lit] {
        let Clause { start, length, .. } = self.list[ix(clause)];
        &self.lits[ix(start)..ix(start + length)]
    }

    #[inline]
    pub(super) fn lits_mut(&mut self, clause: u32) -> &mut [Lit] {
        let Clause { start, length, .. } = self.list[ix(clause)];
        &mut self.lits[ix(start)..ix(start + length)]
    }
}
