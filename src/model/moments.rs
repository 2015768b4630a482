//! Moment cuts: rows that hold at every true mix, whatever the box and the decisions.
//!
//! At a true mix the matrix `[1 u'; u W]` of factors u and their products W is `[1; u] [1; u]'`, so that for any vector
//! v the sum `v' [1 u'; u W] v = (v0 + sum v_i u_i)^2` is not negative. What enters: a relaxation's point, at which the
//! matrix has negative eigenvalues. What leaves: vectors. The row is always rebuilt from the vector, with `v0^2` as its
//! right-hand side, so that roundings of an eigenvector give another valid row and never a false one.

use super::lifting::Lifting;
use super::separation::At;
use crate::number::symmetric::{Eigenpair, eigenpairs};

/// A vector of a moment cut, in factor columns: `(constant + sum v z)^2 >= 0`.
#[derive(Clone, Debug, PartialEq)]
pub struct MomentCut {
    constant: f64,
    terms: Vec<(usize, f64)>,
}

/// A cut multiplied out in the coordinates of the factors.
#[derive(Clone, Debug)]
pub(super) struct Form {
    pub(super) constant: f64,
    /// Factors with coefficients of their coordinates.
    pub(super) linear: Vec<(usize, f64)>,
    /// Product columns with coefficients.
    pub(super) products: Vec<(usize, f64)>,
}

impl Form {
    /// The largest coefficient.
    pub(super) fn largest(&self) -> f64 {
        let all = self.linear.iter().chain(&self.products);
        all.map(|(_, b)| b.abs()).fold(f64::MIN_POSITIVE, f64::max)
    }

    /// Whether no coefficient is lost beside the largest.
    fn is_even(&self) -> bool {
        let least = UNEVEN * self.largest();
        self.linear.iter().chain(&self.products).all(|(_, b)| *b == 0.0 || least <= b.abs())
    }
}

/// Smallest coefficient of a cut, relative to its largest.
const UNEVEN: f64 = 1e-4;
/// Entries of a vector below this share of the largest are left out.
const FAINT: f64 = 0.02;
/// Share of the root box below which a factor's box counts as a point.
const COLLAPSED: f64 = 1e-4;
/// Most eigenvectors that become cuts.
const VECTORS: usize = 4;
/// Entries kept in the sparse companions of an eigenvector.
const SPARSE: [usize; 2] = [3, 5];

impl MomentCut {
    /// The cut of a vector over one and the coordinates of factors.
    fn of(lifting: &Lifting, constant: f64, entries: &[(usize, f64)]) -> Self {
        let mut cut = Self { constant, terms: Vec::with_capacity(entries.len()) };
        for (factor, a) in entries {
            let coordinate = lifting.coordinates[*factor];
            let v = a / coordinate.half;
            cut.constant -= v * coordinate.centre;
            cut.terms.push((*factor, v));
        }
        cut
    }

    /// The cut multiplied out; `None` where a product has no column.
    pub(super) fn form(&self, lifting: &Lifting) -> Option<Form> {
        let mut constant = self.constant;
        let mut entries = Vec::with_capacity(self.terms.len());
        for (factor, v) in &self.terms {
            let coordinate = lifting.coordinates[*factor];
            constant += v * coordinate.centre;
            entries.push((*factor, v * coordinate.half));
        }
        let mut form = Form { constant: constant * constant, linear: Vec::new(), products: Vec::new() };
        for (at, (i, a)) in entries.iter().enumerate() {
            form.linear.push((*i, 2.0 * constant * a));
            for (j, b) in &entries[at..] {
                let product = lifting.product_of(*i, *j)?;
                form.products.push((product, if i == j { a * b } else { 2.0 * a * b }));
            }
        }
        Some(form)
    }
}

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
                let Some(product) = self.lifting.product_of(*i, *j) else { return cuts };
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
