//! Which rows the products of a node have: names of planes, and vectors of cuts.
//!
//! Two kinds are kept apart by type. A [`MomentCut`] holds at every true mix, whatever the box, so a search may carry it
//! anywhere. A [`Plane`] is only the name of a product and of two corners: its row is written anew from the box of each node.
//! Rows themselves go from a node to its own parts alone, in the [`Basis`](super::Basis) that these start from, and never
//! where products have other coordinates.

use std::sync::Arc;

use super::lifting::Lifting;

/// Which way a plane bounds a product.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The product lies above the plane.
    Above,
    /// The product lies below the plane.
    Below,
}

/// The corner of a product's box at which a McCormick plane touches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Corner {
    /// Both factors at their low ends: the product lies above.
    LowLow,
    /// Both at their high ends: the product lies above.
    HighHigh,
    /// The first at its low, the second at its high end: the product lies below.
    LowHigh,
    /// The first at its high, the second at its low end: the product lies below.
    HighLow,
}

impl Corner {
    /// All four.
    pub const ALL: [Self; 4] = [Self::LowLow, Self::HighHigh, Self::LowHigh, Self::HighLow];

    /// Which way its plane bounds the product.
    pub fn side(self) -> Side {
        match self {
            Self::LowLow | Self::HighHigh => Side::Above,
            Self::LowHigh | Self::HighLow => Side::Below,
        }
    }
}

/// The name of a McCormick plane; its row holds in the box it is written for, and in no other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Plane {
    /// Product column.
    pub product: usize,
    /// Where it touches.
    pub corner: Corner,
}

/// What a node states of its products besides the chords of squares.
#[derive(Clone, Debug, Default)]
pub struct Rows {
    /// Planes, written anew in each box.
    pub planes: Vec<Plane>,
    /// Cuts that hold everywhere.
    pub cuts: Vec<Arc<MomentCut>>,
}

impl Rows {
    /// How many there are.
    pub fn len(&self) -> usize {
        self.planes.len() + self.cuts.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Takes over the rows of another.
    pub fn extend(&mut self, other: Self) {
        self.planes.extend(other.planes);
        self.cuts.extend(other.cuts);
    }
}

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
    pub(super) fn is_even(&self) -> bool {
        let least = UNEVEN * self.largest();
        self.linear.iter().chain(&self.products).all(|(_, b)| *b == 0.0 || least <= b.abs())
    }
}

/// Smallest coefficient of a cut, relative to its largest.
const UNEVEN: f64 = 1e-4;

impl MomentCut {
    /// A cut over factor columns.
    pub(super) fn in_columns(constant: f64, terms: Vec<(usize, f64)>) -> Self {
        Self { constant, terms }
    }

    /// The constant of its vector.
    pub(super) fn constant(&self) -> f64 {
        self.constant
    }

    /// Factor columns with the entries of its vector.
    pub(super) fn terms(&self) -> &[(usize, f64)] {
        &self.terms
    }

    /// The cut of a vector over one and the coordinates of factors.
    pub(super) fn of(lifting: &Lifting, constant: f64, entries: &[(usize, f64)]) -> Self {
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
                let product = lifting.find_product(*i, *j)?;
                form.products.push((product, if i == j { a * b } else { 2.0 * a * b }));
            }
        }
        Some(form)
    }
}
