//! The curved part of a problem in lifted form: factors and their products as columns of their own.
//!
//! A surface is linear in its factors and their products; what is left of its curvature is that a ratio column z
//! obeys z D = N and a product column w obeys w = z z'. Only these few relations are relaxed, see `relaxation`.

use std::collections::BTreeMap;

use super::coordinate::Coordinate;
use super::frame::Frame;
use super::program::power_of_two;
use crate::listed::Id;
use crate::mixture::{Affine, Measure};
use crate::number::Interval;
use crate::problem::{Curved, Form, Level, Side, Subject, Wanted, restrained};
use crate::response::{Response, Rule, Slot, Source, StressTerms, Surface};

/// What a factor column stands for.
#[derive(Clone, Debug)]
pub enum Kind {
    /// An affine function of the amounts.
    Linear(Affine),
    /// A ratio; `denominator` is the factor column of its denominator.
    Ratio {
        /// Above.
        numerator: Affine,
        /// Factor column of the denominator.
        denominator: usize,
    },
    /// Another response in its own unit.
    Response(Id<Response>),
}

/// One factor column: base value = scale x column.
#[derive(Clone, Debug)]
pub struct FactorColumn {
    /// What it stands for.
    pub kind: Kind,
    /// Scale.
    pub scale: f64,
    /// For people.
    pub label: String,
}

/// A predictor in lifted columns.
#[derive(Clone, Debug)]
pub enum Predictor {
    /// `constant + sum b z + sum q w`.
    Polynomial {
        /// Constant.
        constant: f64,
        /// Factor columns with coefficients.
        linear: Vec<(usize, f64)>,
        /// Plain products of two factor columns, by product column, with coefficients.
        products: Vec<(usize, f64)>,
    },
    /// Known only by its bounds and slopes over a box: a column of its own.
    Opaque {
        /// Which of the opaque columns.
        column: usize,
    },
}

/// The lifted form of a problem.
#[derive(Clone, Debug)]
pub struct Lifting {
    /// Factor columns.
    pub factors: Vec<FactorColumn>,
    /// Product columns: two factor columns, the first not after the second, multiplied in their coordinates.
    pub products: Vec<(usize, usize)>,
    /// The product column of two factor columns.
    by_pair: BTreeMap<(usize, usize), usize>,
    /// Coordinate of each factor column in its products.
    pub coordinates: Vec<Coordinate>,
    /// Predictor of each response, where it is needed.
    pub predictors: Vec<Option<Predictor>>,
    /// Factor columns of each response, in the order of its factors.
    pub of_response: Vec<Vec<usize>>,
    /// Responses whose predictor is opaque, by opaque column.
    pub opaque: Vec<Id<Response>>,
    /// Stress less failure level of each limited age at cracking, as a sum of products; none where it is no such sum.
    pub stresses: Vec<Option<StressTerms>>,
    /// Widest box of the factor columns.
    pub boxes: Vec<Interval>,
    /// Whether some factor is left without any value: then no mix meets everything, and the boxes say nothing.
    pub is_empty: bool,
}

impl Lifting {
    /// Lifts the curved conditions of a problem.
    pub fn new(frame: &Frame<'_>) -> Self {
        let problem = frame.problem;
        let mut lifting = Self {
            factors: Vec::new(),
            products: Vec::new(),
            by_pair: BTreeMap::new(),
            coordinates: Vec::new(),
            predictors: vec![None; problem.responses.len()],
            of_response: vec![Vec::new(); problem.responses.len()],
            opaque: Vec::new(),
            stresses: vec![None; problem.responses.len()],
            boxes: Vec::new(),
            is_empty: false,
        };
        for condition in &problem.conditions {
            let Form::Curved(curved) = &condition.form else { continue };
            // Whoever works against the clock asks it again before half a lifting is used.
            if frame.stop.is_due() {
                return lifting;
            }
            lifting.lift(frame, curved);
        }
        if let Some(Level::Response(response)) = problem.goal.level {
            lifting.response(frame, response);
        }
        lifting.centre(&lifting.boxes.clone());
        lifting
    }

    fn lift(&mut self, frame: &Frame<'_>, curved: &Curved) {
        match curved {
            Curved::Predictor { response, .. }
            | Curved::Leverage { response, .. }
            | Curved::Level { response, .. } => {
                self.response(frame, *response);
            }
            Curved::Against { response, measure, .. } => {
                self.natural(frame, *response);
                self.measure(frame, measure, None, "compared quantity");
            }
            Curved::Responses { left, right, .. } => {
                self.natural(frame, *left);
                self.natural(frame, *right);
            }
            Curved::Measures { left, right, .. } => {
                self.measure(frame, left, None, "left quantity");
                self.measure(frame, right, None, "right quantity");
            }
            Curved::LevelOfRatio { measure, .. } => {
                self.measure(frame, measure, None, "goal");
            }
            Curved::Cracking { response, .. } => {
                if self.of_response[response.index()].is_empty() {
                    self.of_response[response.index()] = self.columns(frame, *response);
                    self.stresses(frame, *response);
                }
            }
        }
    }

    /// Lifts the products that the stress of a response less its failure level is a sum of, where it is one.
    fn stresses(&mut self, frame: &Frame<'_>, response: Id<Response>) {
        let described = &frame.problem.responses[response];
        let Some(terms) = restrained(described).and_then(|rule| StressTerms::new(rule, &described.region()))
        else {
            return;
        };
        let columns = self.of_response[response.index()].clone();
        for term in terms.terms() {
            let Slot::Factor(amount) = term.amount else { continue };
            for arg in &term.args {
                self.product(columns[amount], columns[*arg]);
            }
        }
        self.stresses[response.index()] = Some(terms);
    }

    /// The factor column of a measure; a new one if there is none yet.
    pub fn measure(
        &mut self,
        frame: &Frame<'_>,
        measure: &Measure,
        region: Option<Interval>,
        label: &str,
    ) -> usize {
        if let Some(known) = self.find(measure) {
            if let Some(region) = region {
                let own = in_columns(region, self.factors[known].scale);
                self.boxes[known] = self.common(self.boxes[known], own);
            }
            return known;
        }
        let kind = match measure {
            Measure::Linear(affine) => Kind::Linear(affine.clone()),
            Measure::Ratio(ratio) => {
                let denominator = Measure::Linear(ratio.denominator.clone());
                let denominator = self.measure(frame, &denominator, None, &format!("below {label}"));
                Kind::Ratio { numerator: ratio.numerator.clone(), denominator }
            }
        };
        let reached = frame.problem.reach.of_measure(measure).unwrap_or(Interval::WHOLE);
        let wanted = asked(frame, measure).and_then(|asked| reached.meet(asked));
        self.is_empty |= wanted.is_none();
        let wanted = wanted.unwrap_or(reached);
        let base = region.map_or(wanted, |region| self.common(region, wanted));
        self.push(kind, base, label)
    }

    /// What two boxes of one value have in common; without anything in common there is no mix.
    fn common(&mut self, one: Interval, other: Interval) -> Interval {
        let common = one.meet(other);
        self.is_empty |= common.is_none();
        common.unwrap_or(one)
    }

    /// The factor column that stands for a measure.
    pub fn find(&self, measure: &Measure) -> Option<usize> {
        self.factors.iter().position(|factor| match (&factor.kind, measure) {
            (Kind::Linear(known), Measure::Linear(wanted)) => known == wanted,
            (Kind::Ratio { numerator, denominator }, Measure::Ratio(wanted)) => {
                *numerator == wanted.numerator
                    && matches!(&self.factors[*denominator].kind, Kind::Linear(known) if *known == wanted.denominator)
            }
            _ => false,
        })
    }

    /// The factor column that holds a response in its own unit.
    pub fn find_response(&self, response: Id<Response>) -> Option<usize> {
        self.factors
            .iter()
            .position(|factor| matches!(factor.kind, Kind::Response(known) if known == response))
    }

    fn push(&mut self, kind: Kind, base: Interval, label: &str) -> usize {
        let size = base.low().abs().max(base.high().abs());
        let scale = if size.is_finite() && 0.0 < size { power_of_two(size) } else { 1.0 };
        self.factors.push(FactorColumn { kind, scale, label: label.to_owned() });
        self.boxes.push(in_columns(base, scale));
        self.factors.len() - 1
    }

    /// Lifts a response so that its natural value has a column.
    fn natural(&mut self, frame: &Frame<'_>, response: Id<Response>) -> usize {
        if let Some(known) = self.find_response(response) {
            return known;
        }
        self.response(frame, response);
        let described = &frame.problem.responses[response];
        let predictor = described.bounds(&described.region());
        let value = predictor.rising(|p| described.natural(p));
        self.push(Kind::Response(response), value, &described.name)
    }

    /// Lifts a response: factor columns, product columns, predictor.
    fn response(&mut self, frame: &Frame<'_>, response: Id<Response>) {
        if self.predictors[response.index()].is_some() {
            return;
        }
        let described = &frame.problem.responses[response];
        let columns = self.columns(frame, response);
        self.predictors[response.index()] = Some(match &described.rule {
            Rule::Surface(surface) => self.polynomial(frame, described, surface, &columns),
            Rule::Law(_) | Rule::Cracking(_) => self.opaque(response),
        });
        self.of_response[response.index()] = columns;
    }

    /// The factor columns of a response, in the order of its factors.
    fn columns(&mut self, frame: &Frame<'_>, response: Id<Response>) -> Vec<usize> {
        frame.problem.responses[response]
            .factors
            .iter()
            .map(|factor| match &factor.source {
                Source::Quantity(quantity) => {
                    let region = Interval::new(
                        factor.unit.to_base(factor.region.low()),
                        factor.unit.to_base(factor.region.high()),
                    );
                    self.measure(frame, &quantity.measure, Some(region), &quantity.label)
                }
                Source::Response(inner) => self.natural(frame, *inner),
            })
            .collect()
    }

    /// A response known only by bounds and slopes over boxes.
    pub fn opaque(&mut self, response: Id<Response>) -> Predictor {
        self.opaque.push(response);
        Predictor::Opaque { column: self.opaque.len() - 1 }
    }

    /// A factor's value in its unit as `slope x column + shift`.
    pub fn in_unit(
        &self,
        frame: &Frame<'_>,
        response: &Response,
        factor: usize,
        column: usize,
    ) -> (f64, f64) {
        let unit = &response.factors[factor].unit;
        let scale = self.factors[column].scale;
        match self.factors[column].kind {
            Kind::Response(inner) => {
                let from = &frame.problem.responses[inner].unit;
                (scale * from.factor / unit.factor, (from.zero - unit.zero) / unit.factor)
            }
            _ => (scale / unit.factor, -unit.zero / unit.factor),
        }
    }

    fn polynomial(
        &mut self,
        frame: &Frame<'_>,
        response: &Response,
        surface: &Surface,
        columns: &[usize],
    ) -> Predictor {
        let coded: Vec<(f64, f64)> = columns
            .iter()
            .enumerate()
            .map(|(factor, column)| {
                let (slope, shift) = self.in_unit(frame, response, factor, *column);
                let (centre, half) = surface.coding[factor];
                (slope / half, (shift - centre) / half)
            })
            .collect();
        let mut constant = surface.constant;
        let mut linear = vec![0.0; columns.len()];
        for (i, b) in &surface.linear {
            constant += b * coded[*i].1;
            linear[*i] += b * coded[*i].0;
        }
        let mut products: Vec<(usize, f64)> = Vec::new();
        for (i, j, q) in &surface.products {
            let ((si, ci), (sj, cj)) = (coded[*i], coded[*j]);
            constant += q * ci * cj;
            linear[*i] += q * si * cj;
            linear[*j] += q * sj * ci;
            let product = self.product(columns[*i], columns[*j]);
            match products.iter_mut().find(|(known, _)| *known == product) {
                Some((_, total)) => *total += q * si * sj,
                None => products.push((product, q * si * sj)),
            }
        }
        // Leverage is a form in all monomials, those with a zero coefficient among them.
        for monomial in response.region_covariance().into_iter().flat_map(|covariance| &covariance.monomials)
        {
            if let [i, j] = monomial.as_slice() {
                self.product(columns[*i], columns[*j]);
            }
        }
        let mut by_column: Vec<(usize, f64)> = Vec::new();
        for (column, slope) in columns.iter().zip(linear) {
            match by_column.iter_mut().find(|(known, _)| known == column) {
                Some((_, total)) => *total += slope,
                None => by_column.push((*column, slope)),
            }
        }
        Predictor::Polynomial { constant, linear: by_column, products }
    }

    /// The product column of two factor columns, if there is one.
    pub fn find_product(&self, i: usize, j: usize) -> Option<usize> {
        self.by_pair.get(&(i.min(j), i.max(j))).copied()
    }

    /// The product column of two factor columns; a new one if there is none yet.
    pub fn product(&mut self, i: usize, j: usize) -> usize {
        self.find_product(i, j).unwrap_or_else(|| {
            let pair = (i.min(j), i.max(j));
            self.by_pair.insert(pair, self.products.len());
            self.products.push(pair);
            self.products.len() - 1
        })
    }
}

/// What plain bounds ask of a measure; nothing if they contradict one another.
fn asked(frame: &Frame<'_>, measure: &Measure) -> Option<Interval> {
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    for (requirement, dropped) in frame.problem.requirements.iter().zip(&frame.problem.dropped) {
        let (Subject::Quantity(quantity), Wanted::Value(value)) = (&requirement.subject, &requirement.wanted)
        else {
            continue;
        };
        if *dropped || quantity.measure != *measure {
            continue;
        }
        let end = requirement.unit.to_base(value + requirement.side.sign() * requirement.margin.natural);
        match requirement.side {
            Side::AtLeast => low = low.max(end),
            Side::AtMost => high = high.min(end),
        }
    }
    Interval::between(low, high)
}

/// A box in base values as a box of a column.
fn in_columns(base: Interval, scale: f64) -> Interval {
    Interval::new(base.low() / scale, base.high() / scale)
}
