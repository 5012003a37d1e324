//! The relaxation against published optima, against all vertices, and against all whole points.

use super::super::super::random::Random;
use super::{Bound, Outcome, Relaxation, Row};

fn row(terms: &[(usize, i64)], least: i64) -> Row {
    Row { terms: terms.to_vec(), least }
}

/// `Σ a·x ≤ most`.
fn at_most(terms: &[(usize, i64)], most: i64) -> Row {
    Row { terms: terms.iter().map(|&(x, a)| (x, -a)).collect(), least: -most }
}

fn bound(outcome: Outcome) -> Bound {
    match outcome {
        Outcome::Bound(bound) => bound,
        other => panic!("no bound: {other:?}"),
    }
}

/// Optima as the books give them; the problems are quoted from memory.
#[test]
fn published_optima_are_met() {
    // Chvátal, Linear Programming (1983), chapter 2: maximise 5x + 4y + 3z; 13.
    let rows = [
        at_most(&[(0, 2), (1, 3), (2, 1)], 5),
        at_most(&[(0, 4), (1, 1), (2, 2)], 11),
        at_most(&[(0, 3), (1, 4), (2, 2)], 8),
    ];
    let costs = [(0, -5), (1, -4), (2, -3)];
    let mut lp = Relaxation::new(&[0; 3], &[1000; 3], &rows, &costs);
    assert_eq!(bound(lp.solve(100)).least, -13);
    assert!(lp.point().iter().zip([2.0, 0.0, 1.0]).all(|(a, b)| (a - b).abs() < 1e-6));
    // Hillier & Lieberman, Introduction to Operations Research, the glass works: maximise 3x + 5y; 36.
    let rows = [at_most(&[(0, 1)], 4), at_most(&[(1, 2)], 12), at_most(&[(0, 3), (1, 2)], 18)];
    let mut lp = Relaxation::new(&[0; 2], &[1000; 2], &rows, &[(0, -3), (1, -5)]);
    assert_eq!(bound(lp.solve(100)).least, -36);
    // Klee & Minty (1972), the cube of three dimensions: maximise 100x + 10y + z; 10000.
    let rows = [
        at_most(&[(0, 1)], 1),
        at_most(&[(0, 20), (1, 1)], 100),
        at_most(&[(0, 200), (1, 20), (2, 1)], 10_000),
    ];
    let costs = [(0, -100), (1, -10), (2, -1)];
    let mut lp = Relaxation::new(&[0; 3], &[100_000; 3], &rows, &costs);
    assert_eq!(bound(lp.solve(100)).least, -10_000);
    // Beale (1955), on which a careless method turns in circles: least −1/20, here in units of 1/100.
    let rows = [
        at_most(&[(0, 25), (1, -6000), (2, -4), (3, 900)], 0),
        at_most(&[(0, 50), (1, -9000), (2, -2), (3, 300)], 0),
        at_most(&[(2, 1)], 1),
    ];
    let costs = [(0, -75), (1, 15_000), (2, -2), (3, 600)];
    let mut lp = Relaxation::new(&[0; 4], &[1000; 4], &rows, &costs);
    assert_eq!(bound(lp.solve(100)).least, -5);
}

/// A small problem: bounds, rows, which of them are equations, costs.
#[derive(Debug, Clone)]
struct Small {
    low: Vec<i64>,
    high: Vec<i64>,
    rows: Vec<(Row, bool)>,
    costs: Vec<(usize, i64)>,
}

impl Small {
    fn draw(random: &mut Random) -> Self {
        let n = 1 + random.below(4);
        let number = |random: &mut Random, spread: usize| {
            i64::try_from(random.below(2 * spread + 1)).expect("small")
                - i64::try_from(spread).expect("small")
        };
        let low: Vec<i64> = (0..n).map(|_| number(random, 3)).collect();
        let high = low.iter().map(|low| low + number(random, 2).abs()).collect();
        let rows = (0..random.below(5))
            .map(|_| {
                let spread = if random.chance(1, 8) { 0 } else { 5 };
                let terms = (0..n).map(|x| (x, number(random, spread))).collect();
                (Row { terms, least: number(random, 7) }, random.chance(1, 6))
            })
            .collect();
        let costs = (0..n).map(|x| (x, number(random, 6))).collect();
        Self { low, high, rows, costs }
    }

    fn relaxation(&self) -> Relaxation {
        let mut out = Relaxation::new(&self.low, &self.high, &[], &self.costs);
        for (row, equal) in &self.rows {
            if *equal {
                out.add_equation(&row.terms, row.least);
            } else {
                out.add_row(row);
            }
        }
        out
    }

    /// Every whole point between the bounds.
    fn points(&self) -> Vec<Vec<i64>> {
        let mut out = vec![Vec::new()];
        for (&low, &high) in self.low.iter().zip(&self.high) {
            out = out
                .iter()
                .flat_map(|point| {
                    (low..=high).map(|value| {
                        let mut point = point.clone();
                        point.push(value);
                        point
                    })
                })
                .collect();
        }
        out
    }

    fn keeps(&self, point: &[i64]) -> bool {
        self.rows.iter().all(|(row, equal)| {
            let sum = total(&row.terms, point);
            if *equal { sum == row.least } else { sum >= row.least }
        })
    }

    /// Least cost over all vertices as a fraction, rounded up; none if there is no vertex.
    fn least(&self) -> Option<i128> {
        let n = self.low.len();
        let mut planes: Vec<(Vec<i128>, i128)> = Vec::new();
        for x in 0..n {
            let unit: Vec<i128> = (0..n).map(|other| i128::from(other == x)).collect();
            planes.push((unit.clone(), i128::from(self.low[x])));
            planes.push((unit, i128::from(self.high[x])));
        }
        for (row, _) in &self.rows {
            let mut plane = vec![0; n];
            for &(x, a) in &row.terms {
                plane[x] += i128::from(a);
            }
            planes.push((plane, i128::from(row.least)));
        }
        let mut best: Option<i128> = None;
        for chosen in 0..1_u32 << planes.len() {
            if chosen.count_ones() as usize != n {
                continue;
            }
            let of: Vec<_> =
                (0..planes.len()).filter(|k| chosen >> k & 1 == 1).map(|k| &planes[k]).collect();
            let Some((point, by)) = meeting(&of) else { continue };
            let inside = (0..n).all(|x| {
                i128::from(self.low[x]) * by <= point[x]
                    && point[x] <= i128::from(self.high[x]) * by
            });
            let kept = inside
                && self.rows.iter().all(|(row, equal)| {
                    let sum: i128 = row.terms.iter().map(|&(x, a)| i128::from(a) * point[x]).sum();
                    let least = i128::from(row.least) * by;
                    if *equal { sum == least } else { sum >= least }
                });
            if kept {
                let cost: i128 = self.costs.iter().map(|&(x, c)| i128::from(c) * point[x]).sum();
                let up = cost.div_euclid(by) + i128::from(cost.rem_euclid(by) > 0);
                best = Some(best.map_or(up, |old| old.min(up)));
            }
        }
        best
    }
}

fn total(terms: &[(usize, i64)], point: &[i64]) -> i64 {
    terms.iter().map(|&(x, a)| a * point[x]).sum()
}

/// Where planes meet, as whole numbers over a positive common denominator.
fn meeting(planes: &[&(Vec<i128>, i128)]) -> Option<(Vec<i128>, i128)> {
    let n = planes.len();
    let minor = |replace: Option<usize>| -> i128 {
        let mut m: Vec<Vec<i128>> = planes
            .iter()
            .map(|(plane, right)| {
                let mut line = plane.clone();
                if let Some(x) = replace {
                    line[x] = *right;
                }
                line
            })
            .collect();
        // Bareiss' elimination stays in whole numbers.
        let (mut sign, mut before) = (1, 1);
        for k in 0..n {
            let Some(pivot) = (k..n).find(|&i| m[i][k] != 0) else { return 0 };
            if pivot != k {
                m.swap(pivot, k);
                sign = -sign;
            }
            for i in k + 1..n {
                for j in k + 1..n {
                    m[i][j] = (m[i][j] * m[k][k] - m[i][k] * m[k][j]) / before;
                }
            }
            before = m[k][k];
        }
        sign * before
    };
    let by = minor(None);
    if by == 0 {
        return None;
    }
    Some(((0..n).map(|x| minor(Some(x)) * by.signum()).collect(), by.abs()))
}

/// The outcome against all vertices and all whole points.
fn judge(small: &Small, outcome: &Outcome) {
    let least = small.least();
    match outcome {
        Outcome::Bound(bound) => {
            assert_eq!(Some(i128::from(bound.least)), least, "{small:?}");
            for point in small.points().iter().filter(|point| small.keeps(point)) {
                assert!(total(&bound.row.terms, point) >= bound.row.least, "{small:?} {bound:?}");
                assert!(total(&small.costs, point) >= bound.least, "{small:?} {bound:?}");
            }
        }
        Outcome::Conflict(row) => {
            assert_eq!(least, None, "{small:?}");
            let broken = small.points().iter().all(|point| total(&row.terms, point) < row.least);
            assert!(broken, "{small:?} {row:?}");
        }
        Outcome::Unfinished(_) => panic!("{small:?}: {outcome:?}"),
    }
}

#[test]
fn answers_are_those_of_all_vertices() {
    let mut random = Random::new(11);
    for _ in 0..1500 {
        let small = Small::draw(&mut random);
        judge(&small, &small.relaxation().solve(1000));
    }
}

#[test]
fn moved_bounds_and_new_rows_give_what_a_fresh_start_gives() {
    let mut random = Random::new(12);
    for _ in 0..150 {
        let mut small = Small::draw(&mut random);
        let mut warm = small.relaxation();
        for _ in 0..8 {
            judge(&small, &warm.solve(1000));
            let other = Small::draw(&mut random);
            if random.chance(1, 3) && small.rows.len() < 5 {
                let terms: Vec<_> = small
                    .low
                    .iter()
                    .enumerate()
                    .map(|(x, _)| (x, if x % 2 == 0 { 1 } else { -1 }))
                    .collect();
                let added = row(&terms, other.low[0]);
                warm.add_row(&added);
                small.rows.push((added, false));
            } else {
                let x = random.below(small.low.len());
                small.low[x] = other.low[0];
                small.high[x] = other.high[0];
                warm.set_bounds(x, small.low[x], small.high[x]);
            }
        }
    }
}

#[test]
fn rows_that_do_not_matter_can_go() {
    let mut random = Random::new(13);
    for _ in 0..200 {
        let small = Small::draw(&mut random);
        let mut lp = small.relaxation();
        let before = lp.solve(1000);
        lp.drop_idle_rows(|_| false);
        if let Outcome::Bound(bound) = before {
            match lp.solve(1000) {
                Outcome::Bound(after) => assert_eq!(after.least, bound.least),
                other => panic!("{other:?}"),
            }
        }
    }
}

#[test]
fn hostile_rows_prove_nothing_false() {
    // Nothing at all.
    assert_eq!(bound(Relaxation::new(&[], &[], &[], &[]).solve(10)).least, 0);
    // No terms, and nothing asked for; then something.
    let mut lp = Relaxation::new(&[0], &[1], &[row(&[], 0)], &[(0, 1)]);
    assert_eq!(bound(lp.solve(10)).least, 0);
    lp.add_row(&row(&[], 1));
    assert!(matches!(lp.solve(10), Outcome::Conflict(_)));
    // Terms that cancel.
    let mut lp = Relaxation::new(&[0], &[9], &[row(&[(0, 4), (0, -4)], -1)], &[(0, -2)]);
    assert_eq!(bound(lp.solve(10)).least, -18);
    // Bounds that cross, and back.
    lp.set_bounds(0, 3, 2);
    assert!(matches!(lp.solve(10), Outcome::Conflict(_)));
    lp.set_bounds(0, 3, 4);
    assert_eq!(bound(lp.solve(10)).least, -8);
    // Coefficients near the end of what fits: nothing false, and no panic.
    let huge = i64::MAX / 2;
    for a in [huge, -huge, i64::MAX, 1 << 55] {
        let rows =
            [row(&[(0, a), (1, 3)], 5), row(&[(0, a), (0, a), (0, a)], 1), row(&[(1, 1)], 2)];
        let mut lp = Relaxation::new(&[0, 0], &[7, 7], &rows, &[(0, 1), (1, 1)]);
        match lp.solve(100) {
            Outcome::Bound(bound) | Outcome::Unfinished(Some(bound)) => assert!(bound.least <= 3),
            Outcome::Unfinished(None) => {}
            Outcome::Conflict(row) => panic!("{row:?}"),
        }
    }
    let mut lp = Relaxation::new(&[0], &[9], &[], &[(0, i64::MAX), (0, i64::MAX)]);
    assert_eq!(lp.solve(10), Outcome::Unfinished(None));
    // Out of steps: what is said so far still holds.
    let rows = [row(&[(0, 3), (1, 2)], 12), row(&[(0, 1), (1, 4)], 11)];
    let mut lp = Relaxation::new(&[0, 0], &[9, 9], &rows, &[(0, 2), (1, 3)]);
    assert!(matches!(lp.solve(0), Outcome::Unfinished(Some(Bound { least: ..=12, .. }))));
    assert_eq!(bound(lp.solve(100)).least, 12);
}
