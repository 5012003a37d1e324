//! Whole orders are taken off and placed anew, one after the other: who comes first decides who is late.
//!
//! Where hands are short, a few tasks at a time do not get from one set of late orders to another. Here an order
//! that is late, or has found no place at all, goes first where it is best for it, and the few that worked there
//! follow in any order (ruin and recreate, Schrimpf et al. 2000). What stays without a place counts the more, the
//! longer it does.
//!
//! In: the search's board. Out: the best board goes the usual way. Knows no problem file.

use super::Search;
use super::cooling::Cooling;
use crate::arrange::Arrange;
use crate::board::{Board, NOWHERE};
use crate::dive::{Lean, Style, Turn};
use crate::model::NEVER;

/// Who works up to this many slots before an order can begin, or ends, may be in its way.
const BEFORE: i32 = 96;

/// A search over whole orders.
#[derive(Debug, Clone)]
pub(super) struct Orders {
    /// Movable tasks of each order.
    tasks: Vec<Vec<usize>>,
    /// Orders without a place.
    missing: Vec<usize>,
    /// How much it matters that an order is missing.
    weight: Vec<u64>,
    cooling: Cooling,
}

impl Orders {
    /// Whether every order is placed.
    pub(super) fn complete(&self) -> bool {
        self.missing.is_empty()
    }
}

impl Search {
    /// Begins with what is on the board; orders that are not whole are taken off.
    pub(super) fn orders(&mut self, steps: u64) -> Orders {
        let mut tasks: Vec<Vec<usize>> = vec![Vec::new(); self.model.orders];
        for &task in &self.movable {
            tasks[self.model.order_of[self.model.tasks[task].activity]].push(task);
        }
        tasks.retain(|order| !order.is_empty());
        let typical = self.diver.board.cost / 60;
        let weight = vec![1; tasks.len()];
        let mut orders = Orders {
            tasks,
            missing: Vec::new(),
            weight,
            cooling: Cooling::lasting(typical, steps),
        };
        for order in 0..orders.tasks.len() {
            let placed = |&task: &usize| self.diver.board.places[task].start != NOWHERE;
            if !orders.tasks[order].iter().all(placed) {
                self.take_off(&orders.tasks[order]);
                orders.missing.push(order);
            }
        }
        orders
    }

    /// Places every order anew, the one that is due first first.
    pub(super) fn serve_all(&mut self) -> Orders {
        self.take_off(&self.movable.clone());
        let mut orders = self.orders(u64::MAX);
        let due = |tasks: &Vec<usize>| {
            let last = |&task: &usize| {
                let of = &self.model.tasks[task];
                self.diver.spread.root[task].1.min(if of.late > 0 { of.due } else { i32::MAX })
            };
            tasks.iter().map(last).max()
        };
        let mut turns = std::mem::take(&mut orders.missing);
        turns.arrange_by_key(|&order| due(&orders.tasks[order]));
        for order in turns {
            if !self.serve(&orders.tasks[order], 0) {
                orders.missing.push(order);
            }
        }
        orders
    }

    pub(super) fn take_off(&mut self, tasks: &[usize]) {
        for &task in tasks {
            if self.diver.board.places[task].start != NOWHERE {
                self.diver.board.remove(&self.model, task);
            }
            self.diver.spread.ignored[task] = true;
        }
    }

    /// Places an order; false, and nothing changed, if it finds no place.
    fn serve(&mut self, tasks: &[usize], noise: usize) -> bool {
        let ways = [
            (Turn::Latest, Lean::Late, false),
            (Turn::Earliest, Lean::Early, true),
            (Turn::Tightest, Lean::Late, false),
        ];
        let first =
            if noise > 0 && self.random.chance(1, 4) { 1 + self.random.below(2) } else { 0 };
        for index in 0..ways.len() {
            let (turn, lean, blind) = ways[(first + index) % ways.len()];
            let style = Style {
                turn,
                lean,
                width: 6,
                nodes: tasks.len() * 4 + 30,
                noise,
                skip: false,
                blind,
                grouped: false,
                below: NEVER,
            };
            if self.diver.dive(&self.model, tasks, style, &mut self.random) {
                return true;
            }
        }
        false
    }

    /// Takes some orders off and places them anew. False once this search is over.
    pub(super) fn reorder(&mut self, orders: &mut Orders) -> bool {
        let chosen = self.choose_orders(orders);
        let mut off = Vec::new();
        for &order in chosen.iter().filter(|order| !orders.missing.contains(order)) {
            off.extend_from_slice(&orders.tasks[order]);
        }
        let before = self.diver.board.cost;
        let (old, modes) = self.lift(&off);
        for &task in &off {
            self.diver.spread.ignored[task] = true;
        }
        let noise = self.random.below(4);
        let mut missing: Vec<usize> =
            orders.missing.iter().copied().filter(|order| !chosen.contains(order)).collect();
        for &order in &chosen {
            if !self.serve(&orders.tasks[order], noise) {
                missing.push(order);
            }
        }
        let weigh =
            |missing: &[usize]| missing.iter().map(|&order| orders.weight[order]).sum::<u64>();
        let (now, then) = (weigh(&missing), weigh(&orders.missing));
        let slack = orders.cooling.step(&mut self.random);
        let good = now < then
            || (now == then && (now > 0 || self.diver.board.cost <= before.saturating_add(slack)));
        if good {
            orders.missing = missing;
            self.keep();
        } else {
            for &order in &chosen {
                self.take_off(&orders.tasks[order]);
            }
            self.put_back(&old, &modes);
        }
        for &order in &orders.missing {
            orders.weight[order] += 1;
        }
        !orders.cooling.over()
    }

    /// Orders to be placed anew, in this order.
    fn choose_orders(&mut self, orders: &Orders) -> Vec<usize> {
        let many = orders.tasks.len();
        let mut first = self.random.below(many);
        if let Some(last) = orders.missing.len().checked_sub(1) {
            first = orders.missing[self.random.below(last + 1)];
        } else {
            let late = |order: usize| {
                let of = orders.tasks[order].iter();
                of.map(|&task| Board::times(&self.model, task, self.diver.board.places[task].start))
                    .sum::<i64>()
            };
            for _ in 0..self.random.below(3) {
                let other = self.random.below(many);
                if late(other) > late(first) {
                    first = other;
                }
            }
        }
        let span = |task: usize| {
            let start = self.diver.board.places[task].start;
            if start == NOWHERE { self.diver.spread.root[task] } else { (start, start) }
        };
        let mine = &orders.tasks[first];
        let from = mine.iter().map(|&task| span(task).0).min().unwrap_or(0) - BEFORE;
        let to = mine.iter().map(|&task| span(task).1).max().unwrap_or(0);
        let mut weights: Vec<u64> = orders
            .tasks
            .iter()
            .map(|tasks| {
                let work = tasks.iter().filter(|&&task| {
                    let place = self.diver.board.places[task];
                    place.window != usize::MAX && (from..=to).contains(&place.start)
                });
                let sum: u64 =
                    work.map(|&task| u64::from(self.model.tasks[task].length.unsigned_abs())).sum();
                sum * sum
            })
            .collect();
        weights[first] = 0;
        let mut chosen = vec![first];
        for _ in 0..=self.random.below(4) {
            let sum = usize::try_from(weights.iter().sum::<u64>()).unwrap_or(usize::MAX);
            if sum == 0 {
                break;
            }
            let mut at = self.random.below(sum) as u64;
            let next = weights.iter().position(|&weight| {
                let here = at < weight;
                at = at.saturating_sub(weight);
                here
            });
            let Some(next) = next else { break };
            weights[next] = 0;
            chosen.push(next);
        }
        // The first mostly stays first.
        let from = usize::from(!self.random.chance(1, 4));
        for at in (from + 1..chosen.len()).rev() {
            let other = from + self.random.below(at + 1 - from);
            chosen.swap(at, other);
        }
        chosen
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Problem;
    use crate::model::{Bounds, Model};

    /// Two orders, one worker, room for one of them in time.
    fn problem() -> Problem {
        let work = |order: &str, due: i32, weight: i64| {
            serde_json::json!({ "id": order, "order": order, "segments": [4], "workers": ["w"],
                "due": due, "late_weight": weight })
        };
        let text = serde_json::json!({
            "format": "makeahead-sched/2", "name": "two", "grid_minutes": 15, "slots_per_day": 96, "horizon": 96,
            "workers": [{ "id": "w", "windows": [[0, 4], [10, 14]] }],
            "resources": [], "links": [], "weights": { "late": 1 },
            "activities": [work("light", 4, 1), work("heavy", 5, 100)],
        });
        Problem::from_json(&text.to_string()).expect("a problem")
    }

    #[test]
    fn the_order_whose_lateness_costs_more_changes_places_with_the_one_due_before_it() {
        let mut search = Search::new(Model::compile(&problem(), Bounds::Hard), 1);
        let mut orders = search.serve_all();
        assert!(orders.complete());
        // Nine slots late at 100.
        assert_eq!(search.diver.board.cost, 900);
        orders.cooling = Cooling::lasting(1, 50);
        while search.reorder(&mut orders) {}
        // Ten slots late at 1.
        assert_eq!((search.best.left, search.best.cost), (0, 10));
    }

    #[test]
    fn what_is_not_whole_is_taken_off_and_finds_its_place_again() {
        let mut search = Search::new(Model::compile(&problem(), Bounds::Hard), 1);
        search.serve_all();
        search.take_off(&[0]);
        let mut orders = search.orders(50);
        assert!(!orders.complete());
        while !orders.complete() && search.reorder(&mut orders) {}
        assert!(orders.complete());
        assert_eq!(search.best.left, 0);
    }
}
