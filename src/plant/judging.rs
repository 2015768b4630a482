//! How far a batch is inside each limit, and how likely one result of it lies beyond.
//!
//! What enters: a problem, and batches. What leaves: for each limit of the author's a [`Distance`]: on the scale where the
//! response scatters normally, with the standard deviation of one result. It knows nothing of weighing.
//!
//! A result of a response lies beyond its limit with probability F(-distance / deviation), F the normal distribution: the
//! scatter is never drawn where it can be integrated. Quantities of the mix do not scatter beside what is weighed.

use super::batching::Batch;
use crate::finding::{Findings, Place};
use crate::listed::Id;
use crate::mixture::{Measure, Quantities};
use crate::number::distribution::normal_probability;
use crate::parallel::Stop;
use crate::problem::{
    BatchingRules, Origin, Problem, Requirement, Side, Subject, Wanted, convert, in_unit, restrained,
};
use crate::quantity::Unit;
use crate::response::{Response, Source};
use crate::statement::Located;

/// How far a result is inside a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Distance {
    /// Above zero inside; on the predictor's scale for responses, in the limit's unit for quantities.
    pub inside: f64,
    /// The same with the allowed deviation given.
    pub inside_allowed: f64,
    /// Standard deviation of one result on that scale.
    pub deviation: f64,
    /// What the batch gives, in the limit's unit, without scatter.
    pub got: f64,
}

/// One limit that is judged.
#[derive(Clone, Debug)]
pub struct Judged {
    /// The requirement's index.
    pub requirement: Id<Requirement>,
    /// The deviation that a single result may show, in the limit's unit; zero where no rule has one.
    pub allowed: f64,
    /// Whether results are strengths that conformity rules speak of, and the strength asked for, in MPa.
    pub strength: Option<f64>,
}

/// Judges batches of one problem.
#[derive(Clone, Debug)]
pub struct Judging<'p> {
    /// The problem.
    pub problem: &'p Problem,
    /// The limits, in file order.
    pub limits: Vec<Judged>,
    /// Standard deviation of one result by response, on its predictor's scale.
    pub scatter: Vec<f64>,
    /// When loops over batches end.
    stop: Stop,
}

/// Values at a batch, response by response.
#[derive(Clone, Debug, Default)]
pub struct Predictors {
    /// On the link's scale.
    pub predictor: Vec<f64>,
    /// In the response's unit.
    pub value: Vec<f64>,
    factors: Vec<f64>,
}

/// How many batches go by between two looks at the clock.
const GLANCE: usize = 32;
/// Distances nearer to zero than this, relative to what is compared, count as met.
const EDGE: f64 = 1e-9;

impl<'p> Judging<'p> {
    /// The limits of a problem under the rules of batching.
    pub fn new(problem: &'p Problem, rules: BatchingRules) -> Self {
        let (ratios, cement) = known(problem);
        let limits = problem
            .requirements
            .named()
            .filter(|(index, requirement)| {
                requirement.origin == Origin::Limit && !problem.dropped[index.index()]
            })
            .map(|(index, requirement)| {
                let strength = strength_asked(problem, requirement);
                let allowed = match (rules, &requirement.subject) {
                    (BatchingRules::En206, Subject::Quantity(quantity)) => {
                        if ratios.contains(&quantity.measure) && requirement.side == Side::AtMost {
                            RATIO_ALLOWED
                        } else if cement.contains(&quantity.measure) && requirement.side == Side::AtLeast {
                            requirement.unit.difference_from_base(CEMENT_ALLOWED)
                        } else {
                            0.0
                        }
                    }
                    (_, Subject::Response(_)) => {
                        strength.map_or(0.0, |asked| single_allowed(rules, asked, requirement))
                    }
                    (BatchingRules::AstmC94, Subject::Quantity(_)) => 0.0,
                };
                Judged { requirement: index, allowed, strength }
            })
            .collect();
        let scatter = problem.responses.iter().map(|response| response.residual.unwrap_or(0.0)).collect();
        Self { problem, limits, scatter, stop: Stop::NEVER }
    }

    /// The same, given up when work has to end.
    #[must_use]
    pub fn until(self, stop: Stop) -> Self {
        Self { stop, ..self }
    }

    /// Whether a loop over batches has to end before this one; asked of every few only.
    pub fn ends_before(&self, batch: usize) -> bool {
        batch.is_multiple_of(GLANCE) && self.stop.is_due()
    }

    /// The predictors of all responses at a batch; NaN where a ratio has no value. `changes` holds what is added to the
    /// coefficients of fitted surfaces, by response; none where it is empty.
    pub fn predict(&self, batch: &Batch, changes: &[Option<Vec<f64>>], into: &mut Predictors) {
        let responses = &self.problem.responses;
        into.predictor.resize(responses.len(), 0.0);
        into.value.resize(responses.len(), 0.0);
        for (index, response) in responses.named() {
            if restrained(response).is_some() {
                continue;
            }
            into.factors.clear();
            for factor in &response.factors {
                let value = match &factor.source {
                    Source::Quantity(quantity) => {
                        quantity.measure.at(&batch.mix).map_or(f64::NAN, |base| factor.unit.from_base(base))
                    }
                    Source::Response(inner) => {
                        convert(into.value[inner.index()], &responses[*inner].unit, &factor.unit)
                    }
                };
                into.factors.push(value);
            }
            let mut predictor = response.predictor_value(&into.factors) + batch.shifts[index.index()];
            if let Some(Some(change)) = changes.get(index.index()) {
                predictor += response.change_of(&into.factors, change);
            }
            into.predictor[index.index()] = predictor;
            into.value[index.index()] = response.natural(predictor);
        }
    }

    /// Standard deviation of one result on its predictor's scale at a batch: a residual that grows with the prediction
    /// does so here too.
    fn deviation(&self, response: Id<Response>, at: &Predictors) -> f64 {
        let scatter = self.scatter[response.index()];
        match &self.problem.responses[response].basis {
            Some(basis) if basis.power != 0.0 && 0.0 < basis.at => {
                scatter * (at.value[response.index()].max(0.0) / basis.at).powf(basis.power)
            }
            _ => scatter,
        }
    }

    /// How far a batch is inside a limit.
    pub fn distance(&self, limit: &Judged, batch: &Batch, at: &Predictors) -> Distance {
        let requirement = &self.problem.requirements[limit.requirement];
        let sign = requirement.side.sign();
        let unit = &requirement.unit;
        let natural = |inside: f64, deviation: f64, got: f64| Distance {
            inside,
            inside_allowed: inside + limit.allowed,
            deviation,
            got,
        };
        let quantity =
            |measure: &Measure| measure.at(&batch.mix).map_or(f64::NAN, |base| unit.from_base(base));
        let in_unit =
            |index: Id<Response>| convert(at.value[index.index()], &self.problem.responses[index].unit, unit);
        match (&requirement.subject, &requirement.wanted) {
            (Subject::Response(index), _) if restrained(&self.problem.responses[*index]).is_some() => self
                .cracking(*index, requirement, &batch.mix)
                .unwrap_or_else(|| natural(f64::NAN, 0.0, f64::NAN)),
            (Subject::Quantity(subject), Wanted::Value(wanted)) => {
                let got = quantity(&subject.measure);
                natural(sign * (got - wanted), 0.0, got)
            }
            (Subject::Quantity(subject), Wanted::Quantity(times, other)) => {
                let got = quantity(&subject.measure);
                natural(sign * (got - times * quantity(&other.measure)), 0.0, got)
            }
            (Subject::Response(index), Wanted::Value(_) | Wanted::Quantity(..)) => {
                let wanted = match &requirement.wanted {
                    Wanted::Quantity(times, other) => times * quantity(&other.measure),
                    Wanted::Value(value) => *value,
                    Wanted::Response(..) => f64::NAN,
                };
                let response = &self.problem.responses[*index];
                let on_link = |wanted: f64| response.on_link(convert(wanted, unit, &response.unit));
                let predictor = at.predictor[index.index()];
                Distance {
                    inside: sign * (predictor - on_link(wanted)),
                    inside_allowed: sign * (predictor - on_link(wanted - sign * limit.allowed)),
                    deviation: self.deviation(*index, at),
                    got: in_unit(*index),
                }
            }
            (Subject::Quantity(subject), Wanted::Response(times, index)) => {
                let got = quantity(&subject.measure);
                let response = &self.problem.responses[*index];
                let inside = sign
                    * (response.on_link(convert(got / times, unit, &response.unit))
                        - at.predictor[index.index()]);
                Distance { inside, inside_allowed: inside, deviation: self.deviation(*index, at), got }
            }
            (Subject::Response(index), Wanted::Response(times, other)) => {
                let (got, wanted) = (in_unit(*index), in_unit(*other));
                let spread = |index: Id<Response>| {
                    let response = &self.problem.responses[index];
                    response.slope(at.predictor[index.index()])
                        * self.deviation(index, at)
                        * response.unit.factor
                        / unit.factor
                };
                let deviation = spread(*index).hypot(times * spread(*other));
                natural(sign * (got - times * wanted), deviation, got)
            }
        }
    }

    /// How far the stress stays below the failure level up to the age asked for, as a share of the level: what cracks is a
    /// stress, and it is stress and strength that scatter.
    fn cracking(&self, index: Id<Response>, requirement: &Requirement, mix: &[f64]) -> Option<Distance> {
        let rule = restrained(&self.problem.responses[index])?;
        let Wanted::Value(wanted) = requirement.wanted else { return None };
        let factors = self.problem.predict(index, mix)?.factors;
        let history = rule.history(&factors);
        let days = Unit::known("d").from_base(requirement.unit.to_base(wanted)) + rule.counted_since();
        let share = rule.share_up_to(&history, days)?;
        let [stress, strength] = rule.setting.scatter;
        let got = in_unit(rule.outcome(&history), rule, &requirement.unit);
        let inside = requirement.side.sign() * (1.0 - share);
        Some(Distance { inside, inside_allowed: inside, deviation: stress.hypot(strength) * share, got })
    }

    /// The response whose scatter a limit sees.
    pub fn response_of(&self, limit: &Judged) -> Option<Id<Response>> {
        let requirement = &self.problem.requirements[limit.requirement];
        match (&requirement.subject, &requirement.wanted) {
            (Subject::Response(index), _) | (_, Wanted::Response(_, index)) => Some(*index),
            _ => None,
        }
    }

    /// +1 where a higher result of that response lies further inside, -1 where it lies less far.
    pub fn towards(&self, limit: &Judged) -> f64 {
        let requirement = &self.problem.requirements[limit.requirement];
        let sign = requirement.side.sign();
        if matches!(requirement.subject, Subject::Response(_)) { sign } else { -sign }
    }

    /// One result of a batch in the limit's unit, `deviate` being a standard normal number.
    pub fn result(&self, limit: &Judged, distance: &Distance, at: &Predictors, deviate: f64) -> f64 {
        let requirement = &self.problem.requirements[limit.requirement];
        match (&requirement.subject, &requirement.wanted) {
            (Subject::Response(index), Wanted::Value(_) | Wanted::Quantity(..))
                if 0.0 < distance.deviation =>
            {
                let response = &self.problem.responses[*index];
                let predictor = at.predictor[index.index()] + distance.deviation * deviate;
                convert(response.natural(predictor), &response.unit, &requirement.unit)
            }
            (Subject::Response(_), Wanted::Response(..)) => distance.got + distance.deviation * deviate,
            _ => distance.got,
        }
    }
}

impl Distance {
    /// The probability that one result lies beyond the limit.
    pub fn beyond(&self) -> f64 {
        probability(self.inside, self.deviation, self.got)
    }

    /// The probability that one result lies beyond the limit and the allowed deviation.
    pub fn beyond_allowed(&self) -> f64 {
        probability(self.inside_allowed, self.deviation, self.got)
    }
}

/// What has no value is beyond.
pub fn probability(inside: f64, deviation: f64, got: f64) -> f64 {
    if inside.is_nan() {
        1.0
    } else if 0.0 < deviation {
        normal_probability(-inside / deviation)
    } else if inside < -EDGE * got.abs().max(EDGE) {
        1.0
    } else {
        0.0
    }
}

/// Allowed deviation of a single water-cement ratio: EN 206, conformity of other properties, value from memory.
const RATIO_ALLOWED: f64 = 0.02;
/// Allowed deviation of a single cement content, kg/m3: EN 206, value from memory.
const CEMENT_ALLOWED: f64 = 10.0;

/// What a single strength may fall short by, in the limit's unit: 4 MPa in EN 206; 500 psi, or 10 % above 5000 psi, in
/// ACI 318 (values from memory).
fn single_allowed(rules: BatchingRules, asked: f64, requirement: &Requirement) -> f64 {
    const PSI: f64 = 6.894_757e-3;
    let shortfall = match rules {
        BatchingRules::En206 => 4.0,
        BatchingRules::AstmC94 => (500.0 * PSI).max(0.1 * asked),
    };
    requirement.unit.difference_from_base(shortfall * 1e6)
}

/// The strength asked for in MPa, where results are judged by the rules of strengths.
fn strength_asked(problem: &Problem, requirement: &Requirement) -> Option<f64> {
    let (Subject::Response(index), Wanted::Value(wanted), Side::AtLeast) =
        (&requirement.subject, &requirement.wanted, requirement.side)
    else {
        return None;
    };
    problem.responses[*index].strength.as_ref()?;
    Some(requirement.unit.to_base(*wanted) / 1e6)
}

/// The measures whose single results EN 206 allows a deviation: water-cement ratios, and cement contents.
fn known(problem: &Problem) -> (Vec<Measure>, Vec<Measure>) {
    let mut findings = Findings::default();
    let quantities = Quantities::new(&problem.mixture, &problem.currency, &[], &mut findings);
    let place = Place { source: 0, start: 0, end: 0 };
    let measures = |names: &[&str]| {
        names
            .iter()
            .filter_map(|name| quantities.phrase(&Located { value: (*name).to_owned(), place }).ok())
            .map(|quantity| quantity.measure)
            .collect()
    };
    (
        measures(&["water-cement ratio", "water-binder ratio", "equivalent water-binder ratio"]),
        measures(&["cement", "binder", "equivalent binder"]),
    )
}
