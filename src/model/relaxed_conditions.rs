//! The curved conditions of a relaxation: each as one row over lifted columns, convex margins by their tangents,
//! opaque predictors by planes from bounds of their slopes.

use super::lifting::Kind;
use super::relaxation::{Builder, Sum, Weights, unit_box};
use crate::listed::Id;
use crate::number::Interval;
use crate::problem::{Curved, Doubt, Form};
use crate::response::{Covariance, Response, Rule, Surface};

/// Relative miss of a condition at which a tangent is added.
const MISSED: f64 = 1e-7;

impl Builder<'_, '_> {
    /// Conditions as rows; returns how much each lifted column matters in them.
    pub(super) fn condition_rows(&mut self) -> Weights {
        let mut weights = Weights {
            factors: vec![0.0; self.lifting.factors.len()],
            products: vec![(0.0, 0.0); self.lifting.products.len()],
            opaque: vec![0.0; self.lifting.opaque.len()],
        };
        let conditions = &self.frame.problem.conditions;
        for condition in conditions {
            let Form::Curved(curved) = &condition.form else { continue };
            let Some(mut sum) = self.condition(curved) else { continue };
            for (column, factor) in &mut sum.terms {
                *factor /= condition.scale;
                weights.note(self.layout, *column, *factor);
            }
            if self.leverage_in(curved).is_some() {
                // A tangent elsewhere may need the other side of a product.
                for (column, factor) in &sum.terms {
                    weights.note(self.layout, *column, -*factor);
                }
            }
            let bound = -sum.constant / condition.scale;
            self.push_row("condition", sum.terms, bound, f64::INFINITY);
        }
        for factor in &self.lifting.factors {
            let Kind::Response(response) = factor.kind else { continue };
            for (column, _) in self.predictor(response).terms {
                weights.note(self.layout, column, 1.0);
                weights.note(self.layout, column, -1.0);
            }
        }
        self.opaque_rows();
        self.closer_rows();
        self.cracking_rows(&mut weights);
        weights
    }

    /// Adds, for each condition with leverage that the cut point misses, its tangent there; whether there was any.
    ///
    /// Leverage and margins are convex in the lifted monomials: a tangent at any point holds everywhere.
    pub(super) fn separate_cuts(&mut self, point: &[f64]) -> bool {
        let mut any = false;
        for condition in &self.frame.problem.conditions {
            let Form::Curved(curved) = &condition.form else { continue };
            if self.leverage_in(curved).is_none() {
                continue;
            }
            let Some(mut sum) = self.condition(curved) else { continue };
            let value = sum.constant + sum.terms.iter().map(|(column, b)| b * point[*column]).sum::<f64>();
            if -MISSED * condition.scale <= value {
                continue;
            }
            for (_, factor) in &mut sum.terms {
                *factor /= condition.scale;
            }
            self.push_row("tangent", sum.terms, -sum.constant / condition.scale, f64::INFINITY);
            any = true;
        }
        any
    }

    /// The response whose leverage enters a condition.
    fn leverage_in(&self, curved: &Curved) -> Option<Id<Response>> {
        let response = match curved {
            Curved::Leverage { response, .. } => {
                return self.frame.problem.responses[*response].region_covariance().map(|_| *response);
            }
            Curved::Predictor { response, doubt, .. } | Curved::Against { response, doubt, .. }
                if !doubt.is_none() =>
            {
                *response
            }
            _ => return None,
        };
        self.frame.problem.responses[response].covariance.as_ref().map(|_| response)
    }

    /// One condition `sum >= 0`, its convex margins replaced by a tangent from below; none where `cracking_rows` states
    /// it.
    fn condition(&self, curved: &Curved) -> Option<Sum> {
        let sum = match curved {
            Curved::Predictor { response, sign, target, doubt } => {
                let mut sum = times(&self.predictor(*response), *sign);
                sum.constant -= sign * target;
                self.take_margin(&mut sum, *response, *doubt, 1.0);
                sum
            }
            Curved::Against { response, sign, measure, times: factor, margin, doubt } => {
                let mut sum = times(&self.natural(*response), *sign);
                add(&mut sum, &self.measure(measure), -sign * factor);
                sum.constant -= margin;
                let described = &self.frame.problem.responses[*response];
                let range =
                    described.bounds(&unit_box(self.frame, self.lifting, *response, &self.node.factors));
                let least = described.link_slopes(range).low();
                self.take_margin(&mut sum, *response, *doubt, least * described.unit.factor);
                sum
            }
            Curved::Responses { left, right, times: factor, sign, margin } => {
                let mut sum = times(&self.natural(*left), *sign);
                add(&mut sum, &self.natural(*right), -sign * factor);
                sum.constant -= margin;
                sum
            }
            Curved::Measures { left, right, times: factor, sign } => {
                let mut sum = times(&self.measure(left), *sign);
                add(&mut sum, &self.measure(right), -sign * factor);
                sum
            }
            Curved::Leverage { response, most } => {
                let mut sum = Sum { constant: *most, terms: Vec::new() };
                let region = self.frame.problem.responses[*response].region_covariance();
                if let Some((value, tangent)) = self.leverage_tangent(*response, region) {
                    sum.constant -= value;
                    add(&mut sum, &tangent, -1.0);
                }
                sum
            }
            Curved::Level { response, column, sign } => {
                let mut sum = times(&self.predictor(*response), -sign);
                sum.terms.push((*column, sign * self.frame.scales[*column]));
                sum
            }
            Curved::LevelOfRatio { measure, column, sign } => {
                let mut sum = times(&self.measure(measure), -sign);
                sum.terms.push((*column, sign * self.frame.scales[*column]));
                sum
            }
            Curved::Cracking { .. } => return None,
        };
        Some(sum)
    }

    /// Takes `deviations s slope sqrt(scatter + h)` off, bounded from below by its tangent at the middle of the box or at the
    /// cut point: the root is convex in the monomials, so the tangent lies below it everywhere.
    fn take_margin(&self, sum: &mut Sum, response: Id<Response>, doubt: Doubt, slope: f64) {
        let described = &self.frame.problem.responses[response];
        let factor = described.residual.unwrap_or(0.0) * slope;
        if factor == 0.0 || doubt.is_none() {
            return;
        }
        match self.leverage_tangent(response, described.covariance.as_ref()) {
            Some((leverage, tangent)) => {
                let (deviations, by_leverage) = doubt.at(leverage);
                sum.constant -= factor * deviations;
                add(sum, &tangent, -factor * by_leverage);
            }
            None => sum.constant -= factor * doubt.at(0.0).0,
        }
    }

    /// Leverage at the middle of the box, or at the cut point, and its tangent in the lifted monomials, as `h(f0) + tangent`.
    fn leverage_tangent(
        &self,
        response: Id<Response>,
        covariance: Option<&Covariance>,
    ) -> Option<(f64, Sum)> {
        let described = &self.frame.problem.responses[response];
        match &described.rule {
            Rule::Surface(surface) => leverage_tangent(self, response, described, surface, covariance?),
            Rule::Law(_) | Rule::Cracking(_) => None,
        }
    }

    /// Opaque predictors: planes from bounds of the slopes over the box, started from two corners.
    fn opaque_rows(&mut self) {
        for (at, response) in self.lifting.opaque.iter().enumerate() {
            let described = &self.frame.problem.responses[*response];
            let range = unit_box(self.frame, self.lifting, *response, &self.node.factors);
            let Some(slopes) = described.slopes(&range) else { continue };
            for low_corner in [true, false] {
                let corner: Vec<f64> =
                    range.iter().map(|r| if low_corner { r.low() } else { r.high() }).collect();
                let (value, _) = described.predictor(&corner);
                if !value.is_finite()
                    || slopes.iter().any(|slope| !slope.low().is_finite() || !slope.high().is_finite())
                {
                    continue;
                }
                for above in [true, false] {
                    // p >= p(corner) + sum of (least slope if moving up, greatest if moving down) x move.
                    let pick =
                        |slope: &Interval| if above == low_corner { slope.low() } else { slope.high() };
                    let mut terms = vec![(self.layout.opaque + at, 1.0)];
                    let mut constant = value;
                    for (factor, column) in self.lifting.of_response[response.index()].iter().enumerate() {
                        let (scale, shift) = self.lifting.in_unit(self.frame, described, factor, *column);
                        let slope = pick(&slopes[factor]);
                        constant += slope * (shift - corner[factor]);
                        terms.push((self.z(*column), -slope * scale));
                    }
                    let slack = 1e-9 * (1.0 + constant.abs() + value.abs());
                    let (low, high) = if above {
                        (constant - slack, f64::INFINITY)
                    } else {
                        (f64::NEG_INFINITY, constant + slack)
                    };
                    self.push_row("slopes", terms, low, high);
                }
            }
        }
    }
}

fn leverage_tangent(
    builder: &Builder<'_, '_>,
    response: Id<Response>,
    described: &Response,
    surface: &Surface,
    covariance: &Covariance,
) -> Option<(f64, Sum)> {
    let columns = &builder.lifting.of_response[response.index()];
    let coded: Vec<(f64, f64)> = columns
        .iter()
        .enumerate()
        .map(|(factor, column)| {
            let (slope, shift) = builder.lifting.in_unit(builder.frame, described, factor, *column);
            let (centre, half) = surface.coding[factor];
            (slope / half, (shift - centre) / half)
        })
        .collect();
    // Coded factors and their products: at the middle of the box, or what the cut point holds in their columns.
    let value = |factor: usize| match builder.cut_at {
        Some(point) => point[builder.z(columns[factor])],
        None => builder.node.factors[columns[factor]].middle(),
    };
    let t = |factor: usize| coded[factor].0 * value(factor) + coded[factor].1;
    let pair = |i: usize, j: usize| builder.lifting.find_product(columns[i], columns[j]);
    let mut f = Vec::with_capacity(covariance.monomials.len());
    for monomial in &covariance.monomials {
        f.push(match (monomial.as_slice(), builder.cut_at) {
            ([i, j], Some(point)) => {
                let ((si, ci), (sj, cj)) = (coded[*i], coded[*j]);
                let mut product = Sum::default();
                builder.add_product(&mut product, pair(*i, *j)?, 1.0);
                let product = product.at(point);
                si * sj * product + ci * sj * value(*j) + cj * si * value(*i) + ci * cj
            }
            (factors, _) => factors.iter().map(|i| t(*i)).product(),
        });
    }
    let cf: Vec<f64> =
        covariance.matrix.iter().map(|row| row.iter().zip(&f).map(|(c, f)| c * f).sum()).collect();
    let leverage: f64 = f.iter().zip(&cf).map(|(f, c)| f * c).sum();
    let mut tangent = Sum { constant: -2.0 * leverage, terms: Vec::new() };
    for (monomial, weight) in covariance.monomials.iter().zip(&cf) {
        let factor = 2.0 * weight;
        match monomial.as_slice() {
            [] => tangent.constant += factor,
            [i] => {
                tangent.constant += factor * coded[*i].1;
                tangent.terms.push((builder.z(columns[*i]), factor * coded[*i].0));
            }
            [i, j] => {
                let ((si, ci), (sj, cj)) = (coded[*i], coded[*j]);
                let product = pair(*i, *j)?;
                tangent.constant += factor * ci * cj;
                tangent.terms.push((builder.z(columns[*i]), factor * si * cj));
                tangent.terms.push((builder.z(columns[*j]), factor * sj * ci));
                builder.add_product(&mut tangent, product, factor * si * sj);
            }
            _ => return None,
        }
    }
    Some((leverage, tangent))
}

fn times(sum: &Sum, factor: f64) -> Sum {
    Sum {
        constant: factor * sum.constant,
        terms: sum.terms.iter().map(|(column, b)| (*column, factor * b)).collect(),
    }
}

fn add(sum: &mut Sum, other: &Sum, factor: f64) {
    sum.constant += factor * other.constant;
    sum.terms.extend(other.terms.iter().map(|(column, b)| (*column, factor * b)));
}
