//! The whole problem without any linearisation, as polynomials: what another global solver is given.
//!
//! What enters: a [`Frame`]. What leaves: a [`PolynomialProgram`], or every reason why the problem has none. A ratio
//! `z = N / D` becomes `z D = N`; a limit has been moved through its link already; a margin of constant deviation is
//! folded into its limit; a margin with leverage h gets a column m with `m m = v + h`, v the scatter; decisions are whole columns with
//! the same tight rows as our own programs. No tangent and no estimator enters here.

use super::frame::Frame;
use super::lifting::{Kind, Lifting};
use super::polynomial::{Polynomial, PolynomialProgram, PolynomialRow, Sense};
use super::program::ProgramColumn;
use crate::listed::Id;
use crate::mixture::Measure;
use crate::problem::{Condition, Curved, DecisionRange, Doubt, Form};
use crate::response::{Covariance, Link, Response, Rule, Surface};

/// States the whole problem as polynomials.
///
/// # Errors
/// Every reason why it cannot be: what is no polynomial, by its name.
pub fn unlinearised(frame: &Frame<'_>) -> Result<PolynomialProgram, Vec<String>> {
    let mut linear = frame.complete_part();
    for column in &mut linear.columns {
        column.cost *= frame.goal_scale;
    }
    linear.offset *= frame.goal_scale;
    let mut scales = frame.scales.clone();
    scales.resize(linear.columns.len(), 1.0);
    let lifting = Lifting::new(frame);
    let mut writing = Writing {
        frame,
        known: vec![None; lifting.factors.len()],
        margins: Vec::new(),
        lifting,
        program: PolynomialProgram { linear, rows: Vec::new(), scales },
        refusals: Vec::new(),
    };
    for condition in &frame.problem.conditions {
        if let Form::Curved(curved) = &condition.form {
            writing.condition(condition, curved);
        }
    }
    for count in frame.problem.counts.iter().filter(|count| !frame.problem.is_fixed(&count.step)) {
        let material = &frame.problem.mixture.columns[count.step.material.index()].label;
        writing.refusals.push(format!("material `{material}`: its steps are shares of what itself varies"));
    }
    if writing.refusals.is_empty() {
        Ok(writing.program)
    } else {
        writing.refusals.sort();
        writing.refusals.dedup();
        Err(writing.refusals)
    }
}

/// The point of the unlinearised problem at a mix: columns of the mix, decisions, then what rows define.
pub fn point_at(
    frame: &Frame<'_>,
    program: &PolynomialProgram,
    mix: &[f64],
    assignment: &[DecisionRange],
) -> Vec<f64> {
    let mut point: Vec<f64> = mix.iter().zip(&frame.scales).map(|(value, scale)| value / scale).collect();
    point.extend(assignment.iter().map(|decision| f64::from(decision.low())));
    point.resize(program.linear.columns.len(), 0.0);
    for row in &program.rows {
        let Some(column) = row.defines else { continue };
        let at = |value: f64, point: &mut Vec<f64>| {
            point[column] = value;
            row.polynomial.at(point)
        };
        // The row is a line in its column, or a square: c + s v, or c + v v.
        let constant = at(0.0, &mut point);
        let (up, down) = (at(1.0, &mut point) - constant, at(-1.0, &mut point) - constant);
        let slope = 0.5 * (up - down);
        point[column] = if slope == 0.0 { (-constant / up).max(0.0).sqrt() } else { -constant / slope };
    }
    point
}

struct Writing<'f, 'p> {
    frame: &'f Frame<'p>,
    lifting: Lifting,
    program: PolynomialProgram,
    /// Column of each factor column that was needed.
    known: Vec<Option<usize>>,
    /// Columns of sqrt(scatter + leverage) that were needed: response, scatter, column.
    margins: Vec<(Id<Response>, f64, usize)>,
    refusals: Vec<String>,
}

impl Writing<'_, '_> {
    fn condition(&mut self, condition: &Condition, curved: &Curved) {
        let requirement = condition.origin.requirement().map(|index| &self.frame.problem.requirements[index]);
        let label = requirement.map_or_else(|| "goal".to_owned(), |requirement| requirement.name.clone());
        let Some(polynomial) = self.stated(curved, &label) else { return };
        self.program.rows.push(PolynomialRow {
            label,
            polynomial: polynomial.times(1.0 / condition.scale),
            sense: Sense::NotNegative,
            defines: None,
        });
    }

    /// The polynomial that must not be negative.
    fn stated(&mut self, curved: &Curved, label: &str) -> Option<Polynomial> {
        let problem = self.frame.problem;
        match curved {
            Curved::Predictor { response, sign, target, doubt } => {
                let margin = self.margin(*response, *doubt, 1.0)?;
                let predictor = self.predictor(*response)?;
                Some(predictor.plus_term(-target, &[]).times(*sign).plus(-1.0, &margin))
            }
            Curved::Against { response, sign, measure, times, margin, doubt } => {
                let described = &problem.responses[*response];
                if !doubt.is_none() && described.link != Link::Identity {
                    let reason = "its margin in deviations stands behind a link";
                    return self.refuse(format!("limit `{label}`: {reason}"));
                }
                let uncertain = self.margin(*response, *doubt, described.unit.factor)?;
                let left = self.natural(*response, label)?;
                let right = self.measure(measure)?.times(*times);
                let difference = left.plus(-1.0, &right).times(*sign);
                Some(difference.plus_term(-margin, &[]).plus(-1.0, &uncertain))
            }
            Curved::Responses { left, right, times, sign, margin } => {
                let left = self.natural(*left, label)?;
                let right = self.natural(*right, label)?.times(*times);
                Some(left.plus(-1.0, &right).times(*sign).plus_term(-margin, &[]))
            }
            Curved::Measures { left, right, times, sign } => {
                let right = self.measure(right)?.times(*times);
                Some(self.measure(left)?.plus(-1.0, &right).times(*sign))
            }
            Curved::Leverage { response, most } => {
                let region = problem.responses[*response].region_covariance();
                let leverage = self.leverage(*response, region)?;
                Some(Polynomial::constant(*most).plus(-1.0, &leverage))
            }
            Curved::Level { response, column, sign } => {
                let level = Polynomial::line(self.frame.scales[*column], *column, 0.0);
                Some(level.plus(-1.0, &self.predictor(*response)?).times(*sign))
            }
            Curved::Cracking { response, .. } => {
                self.coded(*response)?;
                None
            }
            Curved::LevelOfRatio { measure, column, sign } => {
                let level = Polynomial::line(self.frame.scales[*column], *column, 0.0);
                Some(level.plus(-1.0, &self.measure(measure)?).times(*sign))
            }
        }
    }

    fn refuse<T>(&mut self, reason: String) -> Option<T> {
        self.refusals.push(reason);
        None
    }

    /// A measure in base units.
    fn measure(&mut self, measure: &Measure) -> Option<Polynomial> {
        let factor = self.lifting.find(measure).expect("every measure of a curved condition is lifted");
        let column = self.factor(factor)?;
        Some(Polynomial::line(self.lifting.factors[factor].scale, column, 0.0))
    }

    /// The column of a factor, with the row that defines it.
    fn factor(&mut self, factor: usize) -> Option<usize> {
        if let Some(column) = self.known[factor] {
            return Some(column);
        }
        let described = self.lifting.factors[factor].clone();
        let (value, denominator) = match &described.kind {
            Kind::Linear(affine) => (self.affine(affine), None),
            Kind::Ratio { numerator, denominator } => {
                let denominator = (self.factor(*denominator)?, self.lifting.factors[*denominator].scale);
                (self.affine(numerator), Some(denominator))
            }
            Kind::Response(inner) => {
                let label = self.frame.problem.responses[*inner].name.clone();
                (self.in_own_unit(*inner, &label)?, None)
            }
        };
        let bounds = self.lifting.boxes[factor];
        let column = self.column(&described.label, bounds.low(), bounds.high(), described.scale);
        let (scale, size) = (described.scale, denominator.map_or(1.0, |(_, scale)| scale));
        let product = match denominator {
            Some((denominator, _)) => vec![denominator, column],
            None => vec![column],
        };
        // z D = N, divided by both scales.
        let polynomial = value.times(-1.0 / (scale * size)).plus_term(1.0, &product);
        self.define(&described.label, polynomial, column);
        self.known[factor] = Some(column);
        Some(column)
    }

    fn column(&mut self, label: &str, low: f64, high: f64, scale: f64) -> usize {
        self.program.scales.push(scale);
        let columns = &mut self.program.linear.columns;
        columns.push(ProgramColumn { label: label.to_owned().into(), low, high, integer: false, cost: 0.0 });
        columns.len() - 1
    }

    fn define(&mut self, label: &str, polynomial: Polynomial, column: usize) {
        let label = label.to_owned();
        self.program.rows.push(PolynomialRow {
            label,
            polynomial,
            sense: Sense::Zero,
            defines: Some(column),
        });
    }

    fn affine(&self, affine: &crate::mixture::Affine) -> Polynomial {
        affine.terms.iter().fold(Polynomial::constant(affine.constant), |sum, (column, factor)| {
            sum.plus_term(factor * self.frame.scales[*column], &[*column])
        })
    }

    /// The surface of a response, with each of its factors as a line in a column, coded.
    fn coded(&mut self, response: Id<Response>) -> Option<(Surface, Vec<Polynomial>)> {
        let described: &Response = &self.frame.problem.responses[response];
        let surface = match &described.rule {
            Rule::Surface(surface) => surface,
            Rule::Cracking(_) => {
                return self.refuse(format!(
                    "the response `{}` is an age at cracking, no polynomial",
                    described.name
                ));
            }
            Rule::Law(formula) => {
                return self.refuse(format!(
                    "the response `{}` follows the law `{}`, which is no polynomial",
                    described.name,
                    formula.law.card().name
                ));
            }
        };
        let columns = self.lifting.of_response[response.index()].clone();
        let mut coded = Vec::with_capacity(columns.len());
        for (factor, column) in columns.into_iter().enumerate() {
            let (slope, shift) = self.lifting.in_unit(self.frame, described, factor, column);
            let (centre, half) = surface.coding[factor];
            let column = self.factor(column)?;
            coded.push(Polynomial::line(slope / half, column, (shift - centre) / half));
        }
        Some((surface.clone(), coded))
    }

    fn predictor(&mut self, response: Id<Response>) -> Option<Polynomial> {
        let (surface, coded) = self.coded(response)?;
        let mut sum = Polynomial::constant(surface.constant);
        for (i, b) in &surface.linear {
            sum = sum.plus(*b, &coded[*i]);
        }
        for (i, j, q) in &surface.products {
            sum = sum.plus(*q, &coded[*i].product(&coded[*j]));
        }
        Some(sum)
    }

    /// A response in its own unit, where the link leaves a polynomial.
    fn in_own_unit(&mut self, response: Id<Response>, label: &str) -> Option<Polynomial> {
        let described = &self.frame.problem.responses[response];
        match described.link {
            Link::Identity => self.predictor(response),
            link @ (Link::Log | Link::SquareRoot | Link::Logit | Link::Bent { .. }) => self.refuse(format!(
                "`{label}`: the response `{}` enters through the link `{}`, which is no polynomial there",
                described.name,
                link.word()
            )),
        }
    }

    /// A response in base units.
    fn natural(&mut self, response: Id<Response>, label: &str) -> Option<Polynomial> {
        let unit = &self.frame.problem.responses[response].unit;
        Some(self.in_own_unit(response, label)?.times(unit.factor).plus_term(unit.zero, &[]))
    }

    fn leverage(&mut self, response: Id<Response>, covariance: Option<&Covariance>) -> Option<Polynomial> {
        let (_, coded) = self.coded(response)?;
        let Some(covariance) = covariance else { return Some(Polynomial::default()) };
        let monomials: Vec<Polynomial> = covariance
            .monomials
            .iter()
            .map(|factors| {
                factors.iter().fold(Polynomial::constant(1.0), |product, i| product.product(&coded[*i]))
            })
            .collect();
        let mut sum = Polynomial::default();
        for (row, left) in covariance.matrix.iter().zip(&monomials) {
            for (entry, right) in row.iter().zip(&monomials) {
                sum = sum.plus(*entry, &left.product(right));
            }
        }
        Some(sum)
    }

    /// `deviations x s x slope`, times `m` with `m m = scatter + leverage` where the covariance is known.
    fn margin(&mut self, response: Id<Response>, doubt: Doubt, slope: f64) -> Option<Polynomial> {
        let described = &self.frame.problem.responses[response];
        let size = doubt.deviations * described.residual.unwrap_or(0.0) * slope.abs();
        if size == 0.0 || described.covariance.is_none() {
            return Some(Polynomial::constant(size * doubt.scatter.sqrt()));
        }
        let known = self.margins.iter().find(|(of, scatter, _)| *of == response && *scatter == doubt.scatter);
        if let Some((.., column)) = known {
            return Some(Polynomial::line(size, *column, 0.0));
        }
        let label = format!("deviations of {}", described.name);
        let leverage = self.leverage(response, described.covariance.as_ref())?;
        let column = self.column(&label, doubt.scatter.sqrt(), f64::INFINITY, 1.0);
        let square =
            Polynomial::constant(-doubt.scatter).plus(-1.0, &leverage).plus_term(1.0, &[column, column]);
        self.define(&label, square, column);
        self.margins.push((response, doubt.scatter, column));
        Some(Polynomial::line(size, column, 0.0))
    }
}
