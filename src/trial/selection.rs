//! Which terms stay: by the corrected information criterion, or by cross-validation that repeats the selection.
//!
//! What enters: candidate terms with their columns, measured values, groups of rows that belong to one mix. What
//! leaves: the chosen terms, always hierarchical. Rows are batches: nothing here counts specimens. The criterion is
//! Hurvich and Tsai (1989), `n ln(RSS / n) + 2 k + 2 k (k + 1) / (n - k - 1)` with k the coefficients and the variance.

use super::regression::regression;
use super::term::{Term, closure, may_leave};
use crate::number::orthogonal::Triangle;

/// Candidate terms and the rows they are judged on.
#[derive(Clone, Copy, Debug)]
pub struct Candidates<'a> {
    /// Terms.
    pub terms: &'a [Term],
    /// Their columns.
    pub columns: &'a [Vec<f64>],
    /// Measured values on the link's scale.
    pub measured: &'a [f64],
    /// How many batches the rows are of.
    pub batches: usize,
}

/// Corrected information criterion of a fit with `size` coefficients and a mean squared residual to so many batches;
/// infinite where it is undefined.
pub fn corrected_criterion(mean_square: f64, batches: usize, size: usize) -> f64 {
    let (n, k) = (batches as f64, size as f64 + 1.0);
    if n - k - 1.0 <= 0.0 {
        return f64::INFINITY;
    }
    n * mean_square.max(f64::MIN_POSITIVE).ln() + 2.0 * k + 2.0 * k * (k + 1.0) / (n - k - 1.0)
}

impl Candidates<'_> {
    /// The terms with the least criterion that steps of one term reach, from the smallest form and from the whole one.
    pub fn by_criterion(&self) -> (Vec<usize>, f64) {
        let triangle = Triangle::new(self.columns, self.measured);
        let score = |chosen: &[usize]| {
            let part = triangle.selection(chosen);
            if part.is_regular() {
                corrected_criterion(part.rest() / self.measured.len() as f64, self.batches, chosen.len())
            } else {
                f64::INFINITY
            }
        };
        let all: Vec<usize> = (0..self.terms.len()).collect();
        let mut starts = vec![self.smallest()];
        if score(&all).is_finite() {
            starts.push(all);
        }
        let mut best = (Vec::new(), f64::INFINITY);
        for start in starts {
            let found = self.descent(&start, &score);
            if found.1 < best.1 {
                best = found;
            }
        }
        if best.0.is_empty() { (self.smallest(), f64::INFINITY) } else { best }
    }

    /// The constant where it is a candidate, else all terms of first order.
    pub fn smallest(&self) -> Vec<usize> {
        match self.terms.iter().position(|term| term.0.is_empty()) {
            Some(constant) => vec![constant],
            None => (0..self.terms.len()).filter(|at| self.terms[*at].0.len() == 1).collect(),
        }
    }

    fn descent(&self, start: &[usize], score: &impl Fn(&[usize]) -> f64) -> (Vec<usize>, f64) {
        let mut here = (start.to_vec(), score(start));
        loop {
            let mut next = (Vec::new(), here.1);
            for moved in self.moves(&here.0) {
                let scored = score(&moved);
                if scored < next.1 {
                    next = (moved, scored);
                }
            }
            if next.0.is_empty() {
                return here;
            }
            here = next;
        }
    }

    /// Every hierarchical set one step away: a term more with what it needs, or one less that nobody needs.
    fn moves(&self, chosen: &[usize]) -> Vec<Vec<usize>> {
        let kept = self.smallest();
        let mut moves = Vec::new();
        for term in 0..self.terms.len() {
            if !chosen.contains(&term) {
                moves.push(closure(self.terms, &[chosen, &[term]].concat()));
            } else if !kept.contains(&term) && may_leave(self.terms, chosen, term) {
                moves.push(chosen.iter().copied().filter(|other| *other != term).collect());
            }
        }
        moves
    }

    /// The sets met while the sum of squares falls fastest, from the smallest form up; at most so many terms.
    fn path(&self, most: usize) -> Vec<Vec<usize>> {
        let triangle = Triangle::new(self.columns, self.measured);
        let mut path = vec![self.smallest()];
        while let Some(last) = path.last().filter(|last| last.len() < most).cloned() {
            let step = self
                .moves(&last)
                .into_iter()
                .filter(|set| last.len() < set.len() && set.len() <= most)
                .filter_map(|set| {
                    let part = triangle.selection(&set);
                    let gain =
                        (triangle_rest(&triangle, &last) - part.rest()) / (set.len() - last.len()) as f64;
                    part.is_regular().then_some((set, gain))
                })
                .max_by(|a, b| a.1.total_cmp(&b.1));
            match step {
                Some((set, _)) => path.push(set),
                None => break,
            }
        }
        path
    }

    /// The terms whose number predicts left-out folds best, the path being walked anew without each fold.
    pub fn by_cross_validation(&self, folds: &[Vec<usize>]) -> (Vec<usize>, f64) {
        let smallest_rest = (0..folds.len())
            .map(|fold| self.measured.len() - folds[fold].len())
            .min()
            .unwrap_or(self.measured.len());
        let most = self.terms.len().min(smallest_rest.saturating_sub(2)).max(self.smallest().len());
        let mut squares = vec![0.0; most + 1];
        for fold in folds {
            let kept: Vec<usize> = (0..self.measured.len()).filter(|row| !fold.contains(row)).collect();
            let columns: Vec<Vec<f64>> =
                self.columns.iter().map(|column| kept.iter().map(|row| column[*row]).collect()).collect();
            let measured: Vec<f64> = kept.iter().map(|row| self.measured[*row]).collect();
            let inner = Candidates { columns: &columns, measured: &measured, ..*self };
            let path = inner.path(most);
            let mut sum = f64::INFINITY;
            for (size, total) in squares.iter_mut().enumerate() {
                // A step may bring several terms: between its sizes the smaller set stands.
                if let Some(set) = path.iter().rev().find(|set| set.len() <= size) {
                    sum = inner.squared_error(set, self, fold);
                }
                *total += sum;
            }
        }
        let size = (0..=most).min_by(|a, b| squares[*a].total_cmp(&squares[*b])).unwrap_or(most);
        let chosen = self.path(size.max(self.smallest().len())).pop().unwrap_or_else(|| self.smallest());
        (chosen, (squares[size] / self.measured.len() as f64).sqrt())
    }

    /// Squared errors at rows of the whole that a set of terms fitted to these rows makes.
    fn squared_error(&self, set: &[usize], whole: &Candidates<'_>, rows: &[usize]) -> f64 {
        let chosen: Vec<Vec<f64>> = set.iter().map(|term| self.columns[*term].clone()).collect();
        let Ok(fit) = regression(&chosen, self.measured, &vec![1.0; self.measured.len()]) else {
            return f64::INFINITY;
        };
        rows.iter()
            .map(|row| {
                let values: Vec<f64> = set.iter().map(|term| whole.columns[*term][*row]).collect();
                (whole.measured[*row] - fit.at(&values)).powi(2)
            })
            .sum()
    }
}

fn triangle_rest(triangle: &Triangle, chosen: &[usize]) -> f64 {
    triangle.selection(chosen).rest()
}
