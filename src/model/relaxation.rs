//! A linear program whose optimum bounds every mix inside a box: exact rows, McCormick rows, tangents.
//!
//! Every row here holds at every true mix whose decisions agree with the assignment and whose factors lie in the box;
//! nothing else is claimed of them.

use std::sync::Arc;

use super::basis::Basis;
use super::frame::{Assignment, Frame, Wholeness};
use super::lifting::{Kind, Lifting, Predictor};
use super::product_rows::{Corner, Plane, Rows, Side};
use super::program::Program;
use crate::listed::Id;
use crate::mixture::Affine;
use crate::number::Interval;
use crate::number::Number;
use crate::response::Response;

/// A node of the search tree.
#[derive(Clone, Debug)]
pub struct Node {
    /// Decisions taken.
    pub assignment: Assignment,
    /// Box of the mix's columns, base units.
    pub amounts: Vec<(f64, f64)>,
    /// Box of the factor columns.
    pub factors: Vec<Interval>,
    /// Which rows its products get.
    pub rows: ProductRows,
    /// Where the program of the node that it is a part of had its optimum, and what was decided there.
    pub start: Option<Arc<(Basis, Assignment)>>,
}

/// Which rows the products of a node get.
#[derive(Clone, Debug, Default)]
pub enum ProductRows {
    /// Every plane of every product on the side that matters: cheapest where products are few.
    #[default]
    Every,
    /// The chords of squares, and what was separated.
    Separated(Rows),
}

/// Where the lifted columns stand in a relaxation.
#[derive(Clone, Copy, Debug)]
pub struct Layout {
    /// First factor column.
    pub factors: usize,
    /// First product column.
    pub products: usize,
    /// First opaque predictor column.
    pub opaque: usize,
}

/// A relaxation and how to read its point.
#[derive(Clone, Debug)]
pub struct Relaxation {
    /// The program; mix columns first.
    pub program: Program,
    /// Where the lifted columns stand.
    pub layout: Layout,
    /// How much the lifted columns move the conditions.
    pub weights: Weights,
}

/// Largest coefficients of the lifted columns in any condition, relative to what is wanted.
#[derive(Clone, Debug)]
pub struct Weights {
    /// Of each factor column.
    pub factors: Vec<f64>,
    /// Of each product column where it raises a condition, and where it lowers one.
    pub products: Vec<(f64, f64)>,
    /// Of each opaque predictor.
    pub opaque: Vec<f64>,
}

/// A sum over lifted columns: `constant + sum of coefficient x program column`.
#[derive(Clone, Debug, Default)]
pub(super) struct Sum {
    pub(super) constant: f64,
    pub(super) terms: Vec<(usize, f64)>,
}

/// Builds the relaxation of a node.
pub fn relaxation(frame: &Frame<'_>, lifting: &Lifting, node: &Node) -> Relaxation {
    let mut program = frame.exact_part(&node.assignment, Wholeness::Relaxed);
    for ((column, (low, high)), scale) in program.columns.iter_mut().zip(&node.amounts).zip(&frame.scales) {
        column.low = column.low.max(low / scale);
        column.high = column.high.min(high / scale);
    }
    let factors = program.columns.len();
    for (factor, range) in lifting.factors.iter().zip(&node.factors) {
        program.add_column(factor.label.clone(), range.low(), range.high(), 0.0);
    }
    let products = program.columns.len();
    for (i, j) in &lifting.products {
        let a = lifting.coordinates[*i].range(node.factors[*i]);
        let b = lifting.coordinates[*j].range(node.factors[*j]);
        let range = if i == j { a.powi(2) } else { a * b };
        program.add_column("product", range.low(), range.high(), 0.0);
    }
    let opaque = program.columns.len();
    for response in &lifting.opaque {
        let range =
            frame.problem.responses[*response].bounds(&unit_box(frame, lifting, *response, &node.factors));
        program.add_column("predictor", range.low(), range.high(), 0.0);
    }
    let layout = Layout { factors, products, opaque };
    let mut builder = Builder { frame, lifting, node, layout, cut_at: None, program };
    builder.factor_rows();
    let weights = builder.condition_rows();
    match &node.rows {
        ProductRows::Every => builder.every_product_row(&weights),
        ProductRows::Separated(rows) => {
            builder.chords();
            builder.separated_rows(rows);
        }
    }
    Relaxation { program: builder.program, layout, weights }
}

/// Adds tangents at a point of a relaxation where a convex condition is missed there; whether there was any.
pub fn separate_cuts(
    frame: &Frame<'_>,
    lifting: &Lifting,
    node: &Node,
    relaxed: &mut Relaxation,
    point: &[f64],
) -> bool {
    let program = std::mem::take(&mut relaxed.program);
    let mut builder = Builder { frame, lifting, node, layout: relaxed.layout, cut_at: Some(point), program };
    let any = builder.separate_cuts(point);
    relaxed.program = builder.program;
    any
}

/// Adds separated rows to a node's relaxation; the rows as they were added.
pub fn add_rows(frame: &Frame<'_>, lifting: &Lifting, node: &Node, relaxed: &mut Relaxation, rows: &Rows) {
    let program = std::mem::take(&mut relaxed.program);
    let mut builder = Builder { frame, lifting, node, layout: relaxed.layout, cut_at: None, program };
    builder.separated_rows(rows);
    relaxed.program = builder.program;
}

/// The box of a response's factors in their own units.
pub fn unit_box(
    frame: &Frame<'_>,
    lifting: &Lifting,
    response: Id<Response>,
    factors: &[Interval],
) -> Vec<Interval> {
    let described = &frame.problem.responses[response];
    lifting.of_response[response.index()]
        .iter()
        .enumerate()
        .map(|(factor, column)| {
            let (slope, shift) = lifting.in_unit(frame, described, factor, *column);
            // A box outside the region holds no mix: what is said of it then is as good as anything that is true.
            let region = described.factors[factor].region;
            (factors[*column] * slope + shift).meet(region).unwrap_or(region)
        })
        .collect()
}

pub(super) struct Builder<'b, 'p> {
    pub(super) frame: &'b Frame<'p>,
    pub(super) lifting: &'b Lifting,
    pub(super) node: &'b Node,
    pub(super) layout: Layout,
    /// A point of the program at which tangents are taken; at the middle of the box without one.
    pub(super) cut_at: Option<&'b [f64]>,
    program: Program,
}

impl Builder<'_, '_> {
    pub(super) fn z(&self, factor: usize) -> usize {
        self.layout.factors + factor
    }

    /// Terms of an affine function over the program's mix columns.
    fn affine(&self, affine: &Affine, times: f64) -> Vec<(usize, f64)> {
        affine
            .terms
            .iter()
            .map(|(column, factor)| (*column, times * factor * self.frame.scales[*column]))
            .collect()
    }

    /// Links factor columns to amounts.
    fn factor_rows(&mut self) {
        for (index, factor) in self.lifting.factors.iter().enumerate() {
            let z = self.z(index);
            match &factor.kind {
                Kind::Linear(affine) => {
                    let mut terms = self.affine(affine, 1.0 / factor.scale);
                    terms.push((z, -1.0));
                    let constant = affine.constant / factor.scale;
                    self.program.add_loose_row("factor", terms, -constant, -constant);
                }
                Kind::Ratio { numerator, denominator } => {
                    self.ratio_rows(index, numerator, *denominator);
                    self.exact_product(index, numerator, *denominator);
                }
                Kind::Response(response) => self.link_rows(index, *response),
            }
        }
    }

    /// z D = N inside the box of z and D: McCormick rows, which with z in its box imply `z.low D <= N <= z.high D`.
    fn ratio_rows(&mut self, index: usize, numerator: &Affine, denominator: usize) {
        let scale = self.lifting.factors[index].scale * self.lifting.factors[denominator].scale;
        let (z, d) = (self.node.factors[index], self.node.factors[denominator]);
        if ![z.low(), z.high(), d.low(), d.high()].iter().all(|end| end.is_finite()) {
            // Nothing is known of a ratio without a box; its column stays free.
            return;
        }
        let (zc, dc) = (self.z(index), self.z(denominator));
        // N / scale compared with a plane over (z, D), both in column units.
        let mut plane = |z_slope: f64, d_slope: f64, constant: f64, above: bool| {
            let mut terms = self.affine(numerator, 1.0 / scale);
            terms.push((dc.min(zc), if dc < zc { -d_slope } else { -z_slope }));
            terms.push((dc.max(zc), if dc < zc { -z_slope } else { -d_slope }));
            terms.retain(|(_, factor)| *factor != 0.0);
            let bound = constant - numerator.constant / scale;
            let (low, high) = if above { (bound, f64::INFINITY) } else { (f64::NEG_INFINITY, bound) };
            self.program.add_loose_row("ratio", terms, low, high);
        };
        plane(d.low(), z.low(), -z.low() * d.low(), true);
        plane(d.high(), z.high(), -z.high() * d.high(), true);
        plane(d.low(), z.high(), -z.high() * d.low(), false);
        plane(d.high(), z.low(), -z.low() * d.high(), false);
    }

    /// Where the product of a ratio and its denominator has a column, it is the numerator.
    fn exact_product(&mut self, index: usize, numerator: &Affine, below: usize) {
        let Some(product) = self.lifting.find_product(index, below) else { return };
        let scale = self.lifting.factors[index].scale * self.lifting.factors[below].scale;
        let mut sum =
            Sum { constant: -numerator.constant / scale, terms: self.affine(numerator, -1.0 / scale) };
        self.add_product(&mut sum, product, 1.0);
        self.push_row("product", sum.terms, -sum.constant, -sum.constant);
    }

    /// A response's own unit against its predictor: planes from the least and greatest slope of the link.
    fn link_rows(&mut self, index: usize, response: Id<Response>) {
        let described = &self.frame.problem.responses[response];
        let range = described.bounds(&unit_box(self.frame, self.lifting, response, &self.node.factors));
        let scale = self.lifting.factors[index].scale;
        let z = self.z(index);
        let predictor = self.predictor(response);
        let slopes = described.link_slopes(range);
        if !slopes.high().is_finite() || !range.low().is_finite() || !range.high().is_finite() {
            return;
        }
        let (flattest, most) = (slopes.low(), slopes.high());
        for (at, slope, above) in [
            (range.low(), flattest, true),
            (range.low(), most, false),
            (range.high(), most, true),
            (range.high(), flattest, false),
        ] {
            // value >= or <= natural(at) + slope (p - at), direction by the end it starts from.
            let natural = described.natural(at);
            let mut terms: Vec<(usize, f64)> =
                predictor.terms.iter().map(|(column, b)| (*column, -slope * b / scale)).collect();
            terms.push((z, 1.0));
            let bound = (natural + slope * (predictor.constant - at)) / scale;
            let slack = 1e-9 * (1.0 + bound.abs());
            let (low, high) =
                if above { (bound - slack, f64::INFINITY) } else { (f64::NEG_INFINITY, bound + slack) };
            self.push_row("link", terms, low, high);
        }
    }

    /// The predictor of a response over program columns.
    pub(super) fn predictor(&self, response: Id<Response>) -> Sum {
        match self.lifting.predictors[response.index()]
            .as_ref()
            .expect("every response in a condition is lifted")
        {
            Predictor::Polynomial { constant, linear, products } => {
                let terms = linear.iter().map(|(factor, b)| (self.layout.factors + factor, *b)).collect();
                let mut sum = Sum { constant: *constant, terms };
                for (product, q) in products {
                    self.add_product(&mut sum, *product, *q);
                }
                sum.merge();
                sum
            }
            Predictor::Opaque { column } => {
                Sum { constant: 0.0, terms: vec![(self.layout.opaque + column, 1.0)] }
            }
        }
    }

    /// A response in base units over program columns.
    pub(super) fn natural(&self, response: Id<Response>) -> Sum {
        let unit = &self.frame.problem.responses[response].unit;
        let column = self.lifting.find_response(response).expect("a compared response has a column");
        let scale = self.lifting.factors[column].scale;
        Sum { constant: unit.zero, terms: vec![(self.z(column), scale * unit.factor)] }
    }

    pub(super) fn measure(&self, measure: &crate::mixture::Measure) -> Sum {
        let column = self.lifting.find(measure).expect("a compared measure has a column");
        Sum { constant: 0.0, terms: vec![(self.z(column), self.lifting.factors[column].scale)] }
    }

    /// Adds `times` the plain product z z' of two factor columns, in terms of their product column.
    pub(super) fn add_product(&self, sum: &mut Sum, product: usize, times: f64) {
        let (i, j) = self.lifting.products[product];
        let (a, b) = (self.lifting.coordinates[i], self.lifting.coordinates[j]);
        sum.constant -= times * a.centre * b.centre;
        sum.terms.push((self.layout.products + product, times * a.half * b.half));
        sum.terms.push((self.z(i), times * b.centre));
        sum.terms.push((self.z(j), times * a.centre));
    }

    /// w = u u' inside the box: McCormick rows, for squares tangents below and the chord above.
    fn every_product_row(&mut self, weights: &Weights) {
        for (index, (i, j)) in self.lifting.products.iter().enumerate() {
            if self.lifting.is_exact(index) {
                continue;
            }
            let (upper, lower) = (0.0 < weights.products[index].0, 0.0 < weights.products[index].1);
            let a = self.lifting.coordinates[*i].range(self.node.factors[*i]);
            if i == j {
                if upper {
                    self.chord(index);
                }
                if lower {
                    for at in [a.low(), a.middle(), a.high()] {
                        self.plane_row("tangent", index, (at, at), Side::Above);
                    }
                }
                continue;
            }
            let chosen = Corner::ALL.into_iter().filter(|corner| match corner.side() {
                Side::Above => lower,
                Side::Below => upper,
            });
            for corner in chosen {
                self.corner_row(&Plane { product: index, corner });
            }
        }
    }

    /// Adds a row with its terms merged and in order.
    pub(super) fn push_row(&mut self, label: &'static str, terms: Vec<(usize, f64)>, low: f64, high: f64) {
        let mut sum = Sum { constant: 0.0, terms };
        sum.merge();
        sum.terms.retain(|(_, factor)| *factor != 0.0);
        self.program.add_loose_row(label, sum.terms, low, high);
    }
}

impl Sum {
    /// The value at a point of the program.
    pub(super) fn at(&self, point: &[f64]) -> f64 {
        self.constant + self.terms.iter().map(|(column, b)| b * point[*column]).sum::<f64>()
    }

    /// Adds up the terms of each column; they come out rising.
    pub(super) fn merge(&mut self) {
        self.terms.sort_by_key(|(column, _)| *column);
        self.terms.dedup_by(|next, kept| {
            let same = next.0 == kept.0;
            if same {
                kept.1 += next.1;
            }
            same
        });
    }
}

impl Weights {
    pub(super) fn note(&mut self, layout: Layout, column: usize, factor: f64) {
        if let Some(opaque) = column.checked_sub(layout.opaque) {
            if let Some(weight) = self.opaque.get_mut(opaque) {
                *weight = weight.max(factor.abs());
            }
        } else if let Some(product) = column.checked_sub(layout.products) {
            let (up, down) = &mut self.products[product];
            *up = up.max(factor);
            *down = down.max(-factor);
        } else if let Some(at) = column.checked_sub(layout.factors) {
            self.factors[at] = self.factors[at].max(factor.abs());
        }
    }
}
