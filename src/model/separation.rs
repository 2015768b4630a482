//! Rows for products of factors, stated only where a point of the program violates them.
//!
//! What enters: a node, its relaxation and a point. What leaves: names of McCormick planes and vectors of moment cuts.
//! What a search may carry is said in `product_rows`.

use std::sync::Arc;

use super::lifting::Lifting;
use super::product_rows::{Corner, MomentCut, Plane, Rows, Side};
use super::relaxation::{Builder, Relaxation};
use crate::number::Interval;

/// Violation from which on a row is added; all coefficients of products are at most about one.
const VIOLATED: f64 = 1e-6;
/// Distance within which a row is tight.
const TIGHT: f64 = 1e-7;

impl Rows {
    /// Drops what is not tight at a point; the optimum stays what it is.
    pub fn keep_tight(&mut self, lifting: &Lifting, boxes: &[Interval], relaxed: &Relaxation, point: &[f64]) {
        let at = At { lifting, boxes, relaxed, point };
        self.planes.retain(|plane| at.distance(*plane) <= TIGHT);
        self.cuts.retain(|cut| at.cut_value(cut) <= TIGHT);
    }

    /// The planes and cuts that a point violates most, at most so many of each.
    pub fn separated(
        lifting: &Lifting,
        boxes: &[Interval],
        relaxed: &Relaxation,
        point: &[f64],
        most: (usize, usize),
    ) -> Self {
        let at = At { lifting, boxes, relaxed, point };
        let mut planes: Vec<(f64, Plane)> = Vec::new();
        for (product, (i, j)) in lifting.products.iter().enumerate() {
            // A ratio times its denominator has its planes as rows of the ratio.
            if i == j || lifting.is_exact(product) {
                continue;
            }
            for corner in Corner::ALL {
                let plane = Plane { product, corner };
                let missed = -at.distance(plane);
                if VIOLATED < missed {
                    planes.push((missed, plane));
                }
            }
        }
        planes.sort_by(|a, b| b.0.total_cmp(&a.0));
        planes.truncate(most.0);
        let mut cuts = at.moment_cuts(VIOLATED);
        cuts.sort_by(|a, b| b.0.total_cmp(&a.0));
        cuts.truncate(most.1);
        Self {
            planes: planes.into_iter().map(|(_, plane)| plane).collect(),
            cuts: cuts.into_iter().map(|(_, cut)| Arc::new(cut)).collect(),
        }
    }
}

/// A point of a relaxation.
pub(super) struct At<'a> {
    pub(super) lifting: &'a Lifting,
    pub(super) boxes: &'a [Interval],
    pub(super) relaxed: &'a Relaxation,
    pub(super) point: &'a [f64],
}

impl At<'_> {
    /// A factor in its coordinate.
    pub(super) fn u(&self, factor: usize) -> f64 {
        self.lifting.coordinates[factor].at(self.point[self.relaxed.layout.factors + factor])
    }

    /// A product column.
    pub(super) fn w(&self, product: usize) -> f64 {
        self.point[self.relaxed.layout.products + product]
    }

    /// How far inside a plane the point lies; negative where the plane is violated.
    fn distance(&self, plane: Plane) -> f64 {
        let (i, j) = self.lifting.products[plane.product];
        let (x, y) = corner_of(self.lifting, self.boxes, plane);
        let over = self.w(plane.product) - (y * self.u(i) + x * self.u(j) - x * y);
        match plane.corner.side() {
            Side::Above => over,
            Side::Below => -over,
        }
    }

    /// What the row of a cut comes to at the point, relative to its largest coefficient; infinite where a product has
    /// no column.
    pub(super) fn cut_value(&self, cut: &MomentCut) -> f64 {
        let Some(form) = cut.form(self.lifting) else { return f64::INFINITY };
        let linear: f64 = form.linear.iter().map(|(factor, b)| b * self.u(*factor)).sum();
        let products: f64 = form.products.iter().map(|(product, q)| q * self.w(*product)).sum();
        (form.constant + linear + products) / form.largest()
    }
}

fn corner_of(lifting: &Lifting, boxes: &[Interval], plane: Plane) -> (f64, f64) {
    let (i, j) = lifting.products[plane.product];
    let a = lifting.coordinates[i].range(boxes[i]);
    let b = lifting.coordinates[j].range(boxes[j]);
    match plane.corner {
        Corner::LowLow => (a.low(), b.low()),
        Corner::HighHigh => (a.high(), b.high()),
        Corner::LowHigh => (a.low(), b.high()),
        Corner::HighLow => (a.high(), b.low()),
    }
}

impl Builder<'_, '_> {
    /// The chord above every square.
    pub(super) fn chords(&mut self) {
        for (index, (i, j)) in self.lifting.products.iter().enumerate() {
            if i == j {
                self.chord(index);
            }
        }
    }

    /// The rows separated for a node.
    pub(super) fn separated_rows(&mut self, rows: &Rows) {
        for plane in &rows.planes {
            self.corner_row(plane);
        }
        for cut in &rows.cuts {
            self.cut_row(cut);
        }
    }

    /// The chord above a square over its box.
    pub(super) fn chord(&mut self, product: usize) {
        let range = corner_of(self.lifting, &self.node.factors, Plane { product, corner: Corner::LowHigh });
        self.plane_row("chord", product, range, Side::Below);
    }

    /// The row of a McCormick plane in this node's box.
    pub(super) fn corner_row(&mut self, plane: &Plane) {
        let corner = corner_of(self.lifting, &self.node.factors, *plane);
        self.plane_row("product", plane.product, corner, plane.corner.side());
    }

    /// `w >= y u + x u' - x y`, or at most that, for values x of u and y of u'.
    pub(super) fn plane_row(&mut self, label: &'static str, product: usize, (x, y): (f64, f64), side: Side) {
        if !x.is_finite() || !y.is_finite() {
            return;
        }
        let (i, j) = self.lifting.products[product];
        let (a, b) = (self.lifting.coordinates[i], self.lifting.coordinates[j]);
        let w = self.layout.products + product;
        let terms = vec![(self.z(i), -y / a.half), (self.z(j), -x / b.half), (w, 1.0)];
        let bound = -x * y - y * a.centre / a.half - x * b.centre / b.half;
        match side {
            Side::Above => self.push_row(label, terms, bound, f64::INFINITY),
            Side::Below => self.push_row(label, terms, f64::NEG_INFINITY, bound),
        }
    }

    /// The row of a moment cut; none where a product has no column.
    pub(super) fn cut_row(&mut self, cut: &MomentCut) {
        let Some(form) = cut.form(self.lifting) else { return };
        let mut bound = -form.constant;
        let mut terms = Vec::with_capacity(form.linear.len() + form.products.len());
        for (factor, b) in &form.linear {
            let coordinate = self.lifting.coordinates[*factor];
            terms.push((self.z(*factor), b / coordinate.half));
            bound += b * coordinate.centre / coordinate.half;
        }
        terms.extend(form.products.iter().map(|(product, q)| (self.layout.products + product, *q)));
        self.push_row("moments", terms, bound, f64::INFINITY);
    }
}
