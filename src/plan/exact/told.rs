//! What the relaxation says of cheaper plans, put into the exact search.
//!
//! In: the ways and starts that are left, and a tariff. Out: narrower domains and one more sum of prices, both true
//! of every plan cheaper than the best one known only.

use super::build::{Built, Cost};
use super::domain::Domain;
use super::engine::Reason;
use super::literal::{Lit, ix};
use super::price::{self, DEAR};
use super::relax::tariff::{self, Of, Tariff};

impl Built {
    /// At the root: leaves each segment only these ways and starts. Says no if nothing is left.
    pub(super) fn narrow(&mut self, starts: &[Vec<(usize, i32, i32)>]) -> bool {
        let engine = &mut self.engine;
        for (task, left) in starts.iter().enumerate() {
            let (variable, by) = self.start[task];
            let parts = left.iter().map(|&(_, from, to)| (from - by, to - by)).collect();
            let domain = engine.domains[ix(variable)].met(&Domain::of(parts));
            if domain.is_empty() {
                return false;
            }
            let (low, high) = (domain.low(), domain.high());
            engine.domains[ix(variable)] = domain;
            for lit in [Lit::at_least(variable, low), Lit::at_most(variable, high)] {
                // Bounds between values of the domain would be said in two ways.
                let at = engine.lower(lit.view).max(lit.least);
                if !engine.raise(lit.view, engine.snap(lit.view, at), Reason::Free) {
                    return false;
                }
            }
            for cell in &self.cells[task] {
                let meets = |&&(way, from, to): &&(usize, i32, i32)| {
                    way == cell.way && from <= cell.to && cell.from <= to
                };
                let out = Lit::at_most(cell.inside, 0);
                if !left.iter().any(|part| meets(&part))
                    && !engine.raise(out.view, out.least, Reason::Free)
                {
                    return false;
                }
            }
        }
        true
    }

    /// Adds a tariff, at the root. One whose numbers are too large is made coarser, which only says less.
    pub(super) fn charge(&mut self, tariff: &Tariff) {
        let (objective, engine) = (self.objective, &self.engine);
        let bounds = |variable: u32| (engine.lower(variable * 2), engine.upper(variable * 2));
        let (low, high) = bounds(objective);
        let paid = tariff::Piece {
            from: i64::from(low),
            to: i64::from(high),
            base: -i128::from(tariff.scale) * i128::from(low),
            slope: -i128::from(tariff.scale),
        };
        let over = |window: usize| {
            let mut of = self.derived.iter();
            of.find(|of| matches!(of.cost, Cost::Over { window: other } if other == window))
        };
        let mut parts = vec![(objective, 0, vec![paid])];
        let mut most = tariff.most;
        for (of, pieces) in &tariff.parts {
            let at = match *of {
                Of::Start(task) => Some(self.start[task]),
                Of::Over(window) => over(window).map(|of| (of.variable, 0)),
                Of::Mode(rest, mode) => self.modes[rest].get(mode).map(|&mode| (mode, 0)),
            };
            match at {
                Some((variable, by)) => parts.push((variable, by, pieces.clone())),
                // Not told apart here: at least its least.
                None => most -= pieces.iter().map(tariff::Piece::least).min().unwrap_or(0),
            }
        }
        for shift in (0..80).step_by(4) {
            if let Some(rough) = self.rough(&parts, shift) {
                if let Ok(most) = i64::try_from(most >> shift) {
                    self.engine.price(&rough, most);
                }
                return;
            }
        }
    }

    /// Pieces within the bounds of their variables, divided and rounded down; none if they are too large.
    fn rough(
        &self,
        parts: &[(u32, i32, Vec<tariff::Piece>)],
        shift: u32,
    ) -> Option<Vec<(u32, Vec<price::Piece>)>> {
        let mut out = Vec::with_capacity(parts.len());
        for (variable, by, pieces) in parts {
            let (low, high) = (self.engine.lower(variable * 2), self.engine.upper(variable * 2));
            let (low, high) = (i64::from(low) + i64::from(*by), i64::from(high) + i64::from(*by));
            let mut own = Vec::new();
            for piece in pieces.iter().filter(|piece| piece.from <= high && low <= piece.to) {
                let (from, to) = (piece.from.max(low), piece.to.min(high));
                let base = piece.base + piece.slope * i128::from(from - piece.from);
                let base = i64::try_from(base >> shift).ok()?;
                let slope = i64::try_from(piece.slope >> shift).ok()?;
                let end = i128::from(slope) * i128::from(to - from) + i128::from(base);
                if i128::from(base).abs().max(end.abs()) >= i128::from(DEAR) {
                    return None;
                }
                let at = |x: i64| i32::try_from(x - i64::from(*by)).ok();
                own.push(price::Piece { from: at(from)?, to: at(to)?, base, slope });
            }
            out.push((*variable, own));
        }
        Some(out)
    }
}
