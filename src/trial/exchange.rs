//! Which of many candidate trials to make: exchange of points on a criterion.
//!
//! What enters: candidate rows of term values for one or several responses, what is known already as a matrix of
//! information, and a criterion. What leaves: indices of candidates, repeats allowed. Start greedily or by lot, then
//! exchange one trial for the best candidate until nothing improves (Fedorov, 1972; each change is a rank-one update of
//! the inverse). This file does not know what is being tried.

use super::lot::Lot;
use super::regression::quadratic;
use crate::number::orthogonal::Triangle;

/// One response in the choice of trials.
#[derive(Clone, Debug)]
pub struct Part {
    /// Term values of each candidate.
    pub rows: Vec<Vec<f64>>,
    /// Information there is before the new trials, `X'X` of the existing ones; zeros for none.
    pub known: Vec<Vec<f64>>,
    /// What is to become small.
    pub aim: Aim,
}

/// What is to become small.
#[derive(Clone, Debug)]
pub enum Aim {
    /// Minus the logarithm of the determinant of the information.
    Determinant,
    /// The mean variance of predictions: trace of the inverse times this matrix of moments.
    MeanVariance(Vec<Vec<f64>>),
    /// The expected premium for uncertainty: mean over these rows of `price (sqrt(scatter + h) - sqrt(scatter))`.
    Premium {
        /// Term values of the mixes that matter.
        rows: Vec<Vec<f64>>,
        /// Price of a deviation times the quantile.
        price: f64,
        /// Variance of a result over that of the residual.
        scatter: f64,
    },
}

/// Information that every direction is given so that the first steps have an inverse.
const FAINT: f64 = 1e-7;
/// Rounds of exchange at most.
const ROUNDS: usize = 60;
/// Relative gain below which an exchange is rounding.
const GAIN: f64 = 1e-9;

struct Inverse {
    matrix: Vec<Vec<f64>>,
    log_determinant: f64,
}

impl Inverse {
    /// Of the known information and some rows.
    fn new(part: &Part, chosen: &[usize]) -> Self {
        let size = part.known.len();
        let mut information = part.known.clone();
        for (at, line) in information.iter_mut().enumerate() {
            line[at] += FAINT;
        }
        for row in chosen.iter().map(|candidate| &part.rows[*candidate]) {
            for i in 0..size {
                for j in 0..size {
                    information[i][j] += row[i] * row[j];
                }
            }
        }
        inverse(&information)
    }

    /// `C f`.
    fn times(&self, row: &[f64]) -> Vec<f64> {
        self.matrix.iter().map(|line| line.iter().zip(row).map(|(c, f)| c * f).sum()).collect()
    }

    /// After adding (+1) or taking away (-1) a row.
    fn changed(&self, row: &[f64], sign: f64) -> Self {
        let cf = self.times(row);
        let h: f64 = cf.iter().zip(row).map(|(c, f)| c * f).sum();
        let below = 1.0 + sign * h;
        let mut matrix = self.matrix.clone();
        for (line, a) in matrix.iter_mut().zip(&cf) {
            for (value, b) in line.iter_mut().zip(&cf) {
                *value -= sign * a * b / below;
            }
        }
        Self { matrix, log_determinant: self.log_determinant + below.max(f64::MIN_POSITIVE).ln() }
    }
}

/// Inverse of a positive definite matrix by elimination, and the logarithm of its determinant.
fn inverse(matrix: &[Vec<f64>]) -> Inverse {
    let size = matrix.len();
    let mut rest = matrix.to_vec();
    let mut found: Vec<Vec<f64>> =
        (0..size).map(|i| (0..size).map(|j| if i == j { 1.0 } else { 0.0 }).collect()).collect();
    let mut log_determinant = 0.0;
    for pivot in 0..size {
        let value = rest[pivot][pivot].max(f64::MIN_POSITIVE);
        log_determinant += value.ln();
        for column in 0..size {
            rest[pivot][column] /= value;
            found[pivot][column] /= value;
        }
        let (above, beside) = (rest[pivot].clone(), found[pivot].clone());
        for row in (0..size).filter(|row| *row != pivot) {
            let factor = rest[row][pivot];
            for column in 0..size {
                rest[row][column] -= factor * above[column];
                found[row][column] -= factor * beside[column];
            }
        }
    }
    Inverse { matrix: found, log_determinant }
}

/// What a criterion needs of the present inverse, so that a row more costs little.
struct Prepared {
    /// `C f` of each mix that matters, with its leverage; columns of `C W` for mean variances.
    points: Vec<(Vec<f64>, f64)>,
    moments: Option<Vec<Vec<f64>>>,
    trace: f64,
}

fn prepared(aim: &Aim, inverse: &Inverse) -> Prepared {
    match aim {
        Aim::Determinant => Prepared { points: Vec::new(), moments: None, trace: 0.0 },
        Aim::MeanVariance(moments) => {
            let c = &inverse.matrix;
            let size = c.len();
            let cw: Vec<Vec<f64>> = (0..size)
                .map(|i| (0..size).map(|j| (0..size).map(|k| c[i][k] * moments[k][j]).sum()).collect())
                .collect();
            let cwc = (0..size)
                .map(|i| (0..size).map(|j| (0..size).map(|k| cw[i][k] * c[k][j]).sum()).collect())
                .collect();
            Prepared { points: Vec::new(), trace: (0..size).map(|at| cw[at][at]).sum(), moments: Some(cwc) }
        }
        Aim::Premium { rows, .. } => {
            let point = |row: &Vec<f64>| {
                let cf = inverse.times(row);
                let h = cf.iter().zip(row).map(|(c, f)| c * f).sum();
                (cf, h)
            };
            Prepared { points: rows.iter().map(point).collect(), moments: None, trace: 0.0 }
        }
    }
}

/// The criterion after one row more.
fn with_row(aim: &Aim, inverse: &Inverse, prepared: &Prepared, row: &[f64]) -> f64 {
    let h = quadratic(&inverse.matrix, row).max(0.0);
    match aim {
        Aim::Determinant => -(inverse.log_determinant + (1.0 + h).ln()),
        Aim::MeanVariance(_) => {
            prepared.trace - prepared.moments.as_ref().map_or(0.0, |cwc| quadratic(cwc, row)) / (1.0 + h)
        }
        Aim::Premium { price, scatter, .. } => {
            let sum: f64 = prepared
                .points
                .iter()
                .map(|(cf, before)| {
                    let along: f64 = cf.iter().zip(row).map(|(c, f)| c * f).sum();
                    (scatter + (before - along * along / (1.0 + h)).max(0.0)).sqrt() - scatter.sqrt()
                })
                .sum();
            price * sum / prepared.points.len().max(1) as f64
        }
    }
}

/// The criterion of some trials beside what is known.
pub fn criterion(parts: &[Part], chosen: &[usize]) -> f64 {
    parts
        .iter()
        .map(|part| {
            let inverse = Inverse::new(part, chosen);
            value(&part.aim, &inverse)
        })
        .sum()
}

fn value(aim: &Aim, inverse: &Inverse) -> f64 {
    match aim {
        Aim::Determinant => -inverse.log_determinant,
        Aim::MeanVariance(_) => prepared(aim, inverse).trace,
        Aim::Premium { rows, price, scatter } => {
            let sum: f64 = rows
                .iter()
                .map(|row| (scatter + quadratic(&inverse.matrix, row).max(0.0)).sqrt() - scatter.sqrt())
                .sum();
            price * sum / rows.len().max(1) as f64
        }
    }
}

/// The candidate that makes the criterion least beside these inverses, and the criterion then, among those that are not
/// taken `most` times already.
fn best_row(parts: &[Part], inverses: &[Inverse], taken: &[usize], most: usize) -> (usize, f64) {
    let prepared: Vec<Prepared> =
        parts.iter().zip(inverses).map(|(part, inverse)| prepared(&part.aim, inverse)).collect();
    let candidates = parts.first().map_or(0, |part| part.rows.len());
    let mut best = (0, f64::INFINITY);
    for candidate in 0..candidates {
        if most <= taken.iter().filter(|other| **other == candidate).count() {
            continue;
        }
        let mut sum = 0.0;
        for ((part, inverse), prepared) in parts.iter().zip(inverses).zip(&prepared) {
            sum += with_row(&part.aim, inverse, prepared, &part.rows[candidate]);
        }
        if sum < best.1 {
            best = (candidate, sum);
        }
    }
    best
}

/// Chooses `count` trials, each candidate at most `most` times: greedily, and from `lots` random starts, the best of all.
pub fn exchange(parts: &[Part], count: usize, most: usize, lots: u64) -> Vec<usize> {
    let candidates = parts.first().map_or(0, |part| part.rows.len());
    if candidates == 0 {
        return Vec::new();
    }
    let mut best: (Vec<usize>, f64) = (Vec::new(), f64::INFINITY);
    for start in 0..=lots {
        let mut chosen = Vec::with_capacity(count);
        if start == 0 {
            let mut inverses: Vec<Inverse> = parts.iter().map(|part| Inverse::new(part, &[])).collect();
            for _ in 0..count {
                let (candidate, _) = best_row(parts, &inverses, &chosen, most);
                chosen.push(candidate);
                inverses = added(parts, &inverses, candidate, 1.0);
            }
        } else {
            let mut lot = Lot::new(start);
            let mut order: Vec<usize> = (0..candidates).collect();
            for at in (1..order.len()).rev() {
                order.swap(at, lot.below(at + 1));
            }
            chosen.extend(order.iter().cycle().take(count));
        }
        let found = improved(parts, chosen, most);
        if found.1 < best.1 - GAIN * best.1.abs().min(1e12) {
            best = found;
        }
    }
    best.0.sort_unstable();
    best.0
}

fn added(parts: &[Part], inverses: &[Inverse], candidate: usize, sign: f64) -> Vec<Inverse> {
    parts.iter().zip(inverses).map(|(part, inverse)| inverse.changed(&part.rows[candidate], sign)).collect()
}

fn improved(parts: &[Part], mut chosen: Vec<usize>, most: usize) -> (Vec<usize>, f64) {
    let mut here = criterion(parts, &chosen);
    for _ in 0..ROUNDS {
        let before = here;
        for at in 0..chosen.len() {
            let others: Vec<usize> =
                chosen.iter().enumerate().filter(|(other, _)| *other != at).map(|(_, c)| *c).collect();
            let without: Vec<Inverse> = parts.iter().map(|part| Inverse::new(part, &others)).collect();
            let (candidate, _) = best_row(parts, &without, &others, most);
            let mut tried = chosen.clone();
            tried[at] = candidate;
            let then = criterion(parts, &tried);
            if then < here - GAIN * here.abs() {
                chosen = tried;
                here = then;
            }
        }
        if before - here <= GAIN * before.abs() {
            break;
        }
    }
    (chosen, here)
}

/// The information that a covariance over some terms tells, zeros for terms without variance in it.
pub fn information(covariance: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let size = covariance.len();
    let known: Vec<usize> = (0..size).filter(|at| covariance[*at][*at] != 0.0).collect();
    let columns: Vec<Vec<f64>> =
        known.iter().map(|column| known.iter().map(|row| covariance[*row][*column]).collect()).collect();
    let mut matrix = vec![vec![0.0; size]; size];
    for (at, column) in known.iter().enumerate() {
        let unit: Vec<f64> = (0..known.len()).map(|row| if row == at { 1.0 } else { 0.0 }).collect();
        if let Some(solved) = Triangle::new(&columns, &unit).solution() {
            for (row, value) in known.iter().zip(solved) {
                matrix[*row][*column] = value;
            }
        }
    }
    matrix
}

#[cfg(test)]
mod tests {
    use super::*;

    fn zeros(size: usize) -> Vec<Vec<f64>> {
        vec![vec![0.0; size]; size]
    }

    fn moment(power: i32) -> f64 {
        if power % 2 == 0 { 1.0 / f64::from(power + 1) } else { 0.0 }
    }

    /// The quadratic on [-1, 1] with least mean variance has the weights 1/4, 1/2, 1/4 and the trace 32/15 (Atkinson,
    /// Donev and Tobias, Optimum Experimental Designs, 2007; the trace by hand).
    #[test]
    fn the_quadratic_on_a_line_is_tried_at_its_ends_and_twice_in_the_middle() {
        let at: Vec<f64> = (-10..=10).map(|step| f64::from(step) / 10.0).collect();
        let rows = at.iter().map(|x| vec![1.0, *x, x * x]).collect();
        let moments = (0..3).map(|i| (0..3).map(|j| moment(i + j)).collect()).collect();
        let parts = [Part { rows, known: zeros(3), aim: Aim::MeanVariance(moments) }];
        let chosen = exchange(&parts, 4, 4, 5);
        assert_eq!(chosen, [0, 10, 10, 20]);
        assert!((4.0 * criterion(&parts, &chosen) - 32.0 / 15.0).abs() < 1e-5);
    }

    /// Best determinants and least mean variances of the full quadratic on the 3 x 3 grid, from all plans of so many
    /// trials (enumerated by an independent program).
    #[test]
    fn plans_on_the_grid_are_the_best_of_all_plans() {
        let exponents = [(0, 0), (1, 0), (0, 1), (2, 0), (1, 1), (0, 2)];
        let grid: Vec<(f64, f64)> =
            [-1.0, 0.0, 1.0].iter().flat_map(|x| [-1.0, 0.0, 1.0].map(|y| (*x, y))).collect();
        let rows: Vec<Vec<f64>> = grid
            .iter()
            .map(|(x, y)| exponents.iter().map(|(a, b)| x.powi(*a) * y.powi(*b)).collect())
            .collect();
        let moments: Vec<Vec<f64>> = exponents
            .iter()
            .map(|(a, b)| exponents.iter().map(|(c, d)| moment(a + c) * moment(b + d)).collect())
            .collect();
        for (count, determinant, variance) in
            [(6, 256.0, 0.966_667), (7, 960.0, 0.665_556), (8, 2304.0, 0.521_795), (9, 5184.0, 0.438_889)]
        {
            let parts = [Part { rows: rows.clone(), known: zeros(6), aim: Aim::Determinant }];
            let found = (-criterion(&parts, &exchange(&parts, count, count, 20))).exp();
            assert!((found / determinant - 1.0).abs() < 1e-4, "{count}: {found}");
            let parts =
                [Part { rows: rows.clone(), known: zeros(6), aim: Aim::MeanVariance(moments.clone()) }];
            let found = criterion(&parts, &exchange(&parts, count, count, 20));
            assert!((found - variance).abs() < 1e-5, "{count}: {found}");
        }
    }

    #[test]
    fn trials_that_were_made_count() {
        let rows = vec![vec![1.0, -1.0], vec![1.0, 1.0]];
        let known = vec![vec![3.0, 3.0], vec![3.0, 3.0]];
        let parts = [Part { rows, known, aim: Aim::Determinant }];
        assert_eq!(exchange(&parts, 2, 2, 2), [0, 0]);
        let again = information(&[vec![0.5, 0.0], vec![0.0, 0.25]]);
        assert!((again[0][0] - 2.0).abs() < 1e-12 && (again[1][1] - 4.0).abs() < 1e-12);
    }
}
