//! Responses as the later rooms see them.

use super::basis::Basis;
use super::covariance::Covariance;
use super::formula::Formula;
use super::link::Link;
use super::restrained::Restrained;
use super::surface::Surface;
use crate::finding::Place;
use crate::listed::{Id, Listed};
use crate::material::Base;
use crate::mixture::{Measure, Quantity};
use crate::number::Interval;
use crate::number::distribution::{normal_quantile, student_quantile};
use crate::quantity::Unit;
use crate::standard::{Shape, Statistic};

/// What a strength is.
#[derive(Clone, Debug, PartialEq)]
pub struct Strength {
    /// Specimen, as its author wrote it.
    pub specimen: String,
    /// Its shape, as far as that says.
    pub shape: Shape,
    /// What the figure is.
    pub statistic: Statistic,
    /// Age at test, s.
    pub age: f64,
    /// Curing.
    pub curing: String,
}

/// Where a factor's value comes from.
#[derive(Clone, Debug)]
pub enum Source {
    /// A quantity of the mix.
    Quantity(Quantity),
    /// Another response, by its index; always an earlier one in evaluation order.
    Response(Id<Response>),
}

/// One factor of a response.
#[derive(Clone, Debug)]
pub struct Factor {
    /// Its short name in the terms.
    pub name: String,
    /// Where its value comes from.
    pub source: Source,
    /// The unit the coefficients take it in.
    pub unit: Unit,
    /// Region of validity, in that unit.
    pub region: Interval,
    /// Which statistic of a strength it takes, if it takes one only.
    pub statistic: Option<Statistic>,
    /// Where the region stands.
    pub place: Place,
}

impl Factor {
    /// Whether the lower end of the region can be crossed at all: zero of what is never negative cannot.
    pub fn has_lower_edge(&self) -> bool {
        let natural_zero = match &self.source {
            Source::Quantity(quantity) => quantity.measure.is_never_negative(),
            Source::Response(_) => false,
        };
        !(natural_zero && self.unit.to_base(self.region.low()) <= 0.0)
    }
}

/// The rule by which factors bring about the predictor.
#[derive(Clone, Debug)]
pub enum Rule {
    /// A second-order polynomial.
    Surface(Surface),
    /// A built-in law; its link is the identity.
    Law(Formula),
    /// The age at which restrained concrete cracks. Its predictor is the highest share of the failure level that the
    /// stress reaches; the age is no function of that, and `Problem::predict` works it out.
    Cracking(Box<Restrained>),
}

/// One response.
#[derive(Clone, Debug)]
pub struct Response {
    /// The author's name for it.
    pub name: String,
    /// Where the name stands.
    pub place: Place,
    /// Its unit.
    pub unit: Unit,
    /// The base, if it is a dose.
    pub base: Option<Base>,
    /// What it is, if it is a strength.
    pub strength: Option<Strength>,
    /// Scale of the predictor.
    pub link: Link,
    /// Factors.
    pub factors: Vec<Factor>,
    /// Rule.
    pub rule: Rule,
    /// Residual standard deviation on the predictor's scale.
    pub residual: Option<f64>,
    /// Covariance of the coefficients.
    pub covariance: Option<Covariance>,
    /// Largest leverage allowed, and where it stands.
    pub leverage: Option<(f64, Place)>,
    /// What its trials tell, if it was fitted.
    pub basis: Option<Basis>,
    /// Factor on a law, from own results; one elsewhere.
    pub scale: f64,
}

/// Share of a response's largest value that counts as its absolute scale.
const ABSOLUTE_SCALE: f64 = 1e-3;

impl Response {
    /// Age of the results that it is about, d: that of its strength, or of the trials that it was fitted to.
    pub fn age(&self) -> Option<f64> {
        let strength = self.strength.as_ref().map(|strength| strength.age / 86_400.0);
        strength.or_else(|| self.basis.as_ref()?.age)
    }

    /// The measured column that tells of it.
    pub fn measured_as(&self) -> &str {
        self.basis.as_ref().and_then(|basis| basis.measured.as_deref()).unwrap_or(&self.name)
    }

    /// The predictor and its gradient by factors.
    pub fn predictor(&self, factors: &[f64]) -> (f64, Vec<f64>) {
        match &self.rule {
            Rule::Surface(surface) => surface.value_and_gradient(factors),
            Rule::Law(formula) => {
                let (value, mut gradient) = formula.value_and_gradient(factors);
                for slope in &mut gradient {
                    *slope *= self.scale;
                }
                (self.scale * value, gradient)
            }
            Rule::Cracking(restrained) => restrained.peak(factors),
        }
    }

    /// The predictor alone, where no gradient is needed.
    pub fn predictor_value(&self, factors: &[f64]) -> f64 {
        match &self.rule {
            Rule::Surface(surface) => surface.value(factors),
            Rule::Law(formula) => self.scale * formula.evaluate(factors),
            Rule::Cracking(restrained) => restrained.peak(factors).0,
        }
    }

    /// What a change of the coefficients, in the order of the covariance's monomials, adds to the predictor; zero
    /// without a covariance.
    pub fn change_of(&self, factors: &[f64], change: &[f64]) -> f64 {
        match (&self.rule, &self.covariance) {
            (Rule::Surface(surface), Some(covariance)) => covariance.change(surface, factors, change),
            _ => 0.0,
        }
    }

    /// Bounds of the predictor over a box of factors.
    pub fn bounds(&self, factors: &[Interval]) -> Interval {
        match &self.rule {
            Rule::Surface(surface) => surface.bounds(factors),
            Rule::Law(formula) => formula.bounds(factors) * self.scale,
            Rule::Cracking(restrained) => restrained.peak_bounds(factors),
        }
    }

    /// Bounds of the predictor's slope by each factor over a box, where the rule knows them.
    pub fn slopes(&self, factors: &[Interval]) -> Option<Vec<Interval>> {
        match &self.rule {
            Rule::Surface(surface) => Some(surface.slopes(factors)),
            Rule::Law(formula) => {
                Some(formula.slopes(factors).into_iter().map(|slope| slope * self.scale).collect())
            }
            Rule::Cracking(_) => None,
        }
    }

    /// Least and greatest slope of the link, response by predictor, over a range of predictors.
    ///
    /// The slope of every link rises to at most one top (the logit's at zero) and falls again, or does either alone: the least
    /// is at an end.
    pub fn link_slopes(&self, predictor: Interval) -> Interval {
        let (low, high) = (self.slope(predictor.low()), self.slope(predictor.high()));
        let top =
            if self.link == Link::Logit && predictor.contains(0.0) { self.slope(0.0) } else { low.max(high) };
        Interval::new(low.min(high), top)
    }

    /// Leverage of a prediction and its gradient by factors, if the covariance is known.
    pub fn leverage_at(&self, factors: &[f64]) -> Option<(f64, Vec<f64>)> {
        self.leverage_by(self.covariance.as_ref()?, factors)
    }

    /// Leverage that the region is measured by, and its gradient by factors.
    pub fn region_leverage_at(&self, factors: &[f64]) -> Option<(f64, Vec<f64>)> {
        self.leverage_by(self.region_covariance()?, factors)
    }

    /// The covariance that the region is measured by.
    pub fn region_covariance(&self) -> Option<&Covariance> {
        self.basis.as_ref().and_then(|basis| basis.region.as_ref()).or(self.covariance.as_ref())
    }

    fn leverage_by(&self, covariance: &Covariance, factors: &[f64]) -> Option<(f64, Vec<f64>)> {
        match &self.rule {
            Rule::Surface(surface) => Some(covariance.leverage(surface, factors)),
            Rule::Law(_) | Rule::Cracking(_) => None,
        }
    }

    /// Quantile of the prediction's error over its deviation, one-sided: Student's where degrees of freedom are known.
    pub fn quantile(&self, confidence: f64) -> f64 {
        match &self.basis {
            Some(basis) => student_quantile(confidence, basis.freedom),
            None => normal_quantile(confidence),
        }
    }

    /// The response without doubt about its coefficients: scatter and region stay.
    #[must_use]
    pub fn without_doubt(&self) -> Self {
        let region = self.region_covariance().cloned();
        let mut sure = self.clone();
        sure.covariance = None;
        match (&mut sure.basis, region) {
            (Some(basis), region) => basis.region = region,
            (None, Some(region)) => sure.basis = Some(Basis::of_region(region)),
            (None, None) => {}
        }
        sure
    }

    /// From the predictor to the response in its own unit.
    pub fn natural(&self, predictor: f64) -> f64 {
        match self.link {
            Link::Logit => self.unit.from_base(self.link.response(predictor)),
            link => link.response(predictor),
        }
    }

    /// From the response in its own unit to the predictor; infinite outside the link's range.
    pub fn on_link(&self, natural: f64) -> f64 {
        match self.link {
            Link::Logit => self.link.predictor(self.unit.to_base(natural)),
            link => link.predictor(natural),
        }
    }

    /// Derivative of the response in its own unit by the predictor.
    pub fn slope(&self, predictor: f64) -> f64 {
        match self.link {
            Link::Logit => self.link.slope(predictor) / self.unit.factor,
            link => link.slope(predictor),
        }
    }

    /// The magnitude below which values are judged absolutely, in its own unit: a thousandth of the largest value in
    /// its region. A limit at zero has no magnitude of its own. Links other than identity have no zero to limit at.
    pub fn absolute_scale(&self) -> f64 {
        if self.link != Link::Identity || self.factors.is_empty() || matches!(self.rule, Rule::Cracking(_)) {
            return 0.0;
        }
        let bounds = self.bounds(&self.region());
        let largest = bounds.low().abs().max(bounds.high().abs());
        if largest.is_finite() { ABSOLUTE_SCALE * largest } else { 0.0 }
    }

    /// The region of all factors as a box.
    pub fn region(&self) -> Vec<Interval> {
        self.factors.iter().map(|factor| factor.region).collect()
    }
}

/// Whether a response depends on a quantity with this measure, directly or through another response.
pub fn depends_on(responses: &Listed<Response>, index: Id<Response>, measure: &Measure) -> bool {
    responses[index].factors.iter().any(|factor| match &factor.source {
        Source::Quantity(quantity) => quantity.measure == *measure,
        Source::Response(inner) => depends_on(responses, *inner, measure),
    })
}
