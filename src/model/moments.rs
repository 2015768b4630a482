//! Moment cuts: rows that hold at every true mix, whatever the box and the decisions.
//!
//! At a true mix the matrix `[1 u'; u W]` of factors u and their products W is `[1; u] [1; u]'`, so that for any vector
//! v the sum `v' [1 u'; u W] v = (v0 + sum v_i u_i)^2` is not negative. What enters: a relaxation's point, at which the
//! matrix has negative eigenvalues. What leaves: vectors. The row is always rebuilt from the vector, with `v0^2` as its
//! right-hand side, so that roundings of an eigenvector give another valid row and never a false one.

use super::product_rows::MomentCut;
use super::separation::At;
use crate::number::symmetric::{Eigenpair, eigenpairs};

/// Entries of a vector below this share of the largest are left out.
const FAINT: f64 = 0.02;
/// Share of the root box below which a factor's box counts as a point.
const COLLAPSED: f64 = 1e-4;
/// Most eigenvectors that become cuts.
const VECTORS: usize = 4;
/// Entries kept in the sparse companions of an eigenvector.
const SPARSE: [usize; 2] = [3, 5];

impl At<'_> {
    /// Cuts that the point violates, with the violation relative to the row's largest coefficient.
    pub(super) fn moment_cuts(&self, least: f64) -> Vec<(f64, MomentCut)> {
        let mut cuts = self.tangents(least);
        if !self.lifting.is_complete() {
            return cuts;
        }
        let factors: Vec<usize> = self
            .lifting
            .multiplied()
            .into_iter()
            .filter(|factor| {
                let width = self.boxes[*factor].width();
                width.is_finite() && 2.0 * COLLAPSED * self.lifting.coordinates[*factor].half < width
            })
            .collect();
        let size = factors.len() + 1;
        let mut matrix = vec![0.0; size * size];
        matrix[0] = 1.0;
        for (at, i) in factors.iter().enumerate() {
            matrix[at + 1] = self.u(*i);
            matrix[(at + 1) * size] = self.u(*i);
            for (other, j) in factors.iter().enumerate().skip(at) {
                let Some(product) = self.lifting.find_product(*i, *j) else { return cuts };
                let w = self.w(product);
                matrix[(at + 1) * size + other + 1] = w;
                matrix[(other + 1) * size + at + 1] = w;
            }
        }
        for Eigenpair { value, vector } in eigenpairs(&matrix, size).into_iter().take(VECTORS) {
            if -least < value {
                break;
            }
            let mut order: Vec<usize> = (0..size).collect();
            order.sort_by(|a, b| vector[*b].abs().total_cmp(&vector[*a].abs()).then(a.cmp(b)));
            cuts.extend(self.cut(&factors, &vector, least));
            for few in SPARSE {
                let mut chosen: Vec<usize> = order.iter().take(few).copied().collect();
                chosen.sort_unstable();
                if few < size {
                    cuts.extend(self.restricted(&factors, &matrix, &chosen, least));
                }
            }
        }
        cuts
    }

    /// The cut of the least eigenvector over a few rows of the matrix.
    fn restricted(
        &self,
        factors: &[usize],
        matrix: &[f64],
        chosen: &[usize],
        least: f64,
    ) -> Option<(f64, MomentCut)> {
        let (few, size) = (chosen.len(), factors.len() + 1);
        let node: Vec<f64> = chosen
            .iter()
            .flat_map(|row| chosen.iter().map(move |column| matrix[row * size + column]))
            .collect();
        let first = eigenpairs(&node, few).into_iter().next().filter(|pair| pair.value < -least)?;
        let mut vector = vec![0.0; size];
        for (at, value) in chosen.iter().zip(first.vector) {
            vector[*at] = value;
        }
        self.cut(factors, &vector, least)
    }

    /// The cut of a vector over one and some factors, faint entries left out; none if the point does not violate it.
    fn cut(&self, factors: &[usize], vector: &[f64], least: f64) -> Option<(f64, MomentCut)> {
        let largest = vector.iter().fold(0.0_f64, |largest, entry| largest.max(entry.abs()));
        let entry = |at: usize| if FAINT * largest < vector[at].abs() { vector[at] / largest } else { 0.0 };
        let entries: Vec<(usize, f64)> = factors
            .iter()
            .enumerate()
            .map(|(at, factor)| (*factor, entry(at + 1)))
            .filter(|(_, a)| *a != 0.0)
            .collect();
        self.violated(MomentCut::of(self.lifting, entry(0), &entries), least)
    }

    fn violated(&self, cut: MomentCut, least: f64) -> Option<(f64, MomentCut)> {
        let missed = -self.cut_value(&cut);
        (least < missed && cut.form(self.lifting).is_some_and(|form| form.is_even())).then_some((missed, cut))
    }

    /// Tangents below squares: cuts of one factor.
    fn tangents(&self, least: f64) -> Vec<(f64, MomentCut)> {
        let squares = self.lifting.products.iter().filter(|(i, j)| i == j);
        squares
            .filter_map(|(factor, _)| {
                let cut = MomentCut::of(self.lifting, -self.u(*factor), &[(*factor, 1.0)]);
                self.violated(cut, least)
            })
            .collect()
    }
}
