//! What small linear programs tell about a problem before it is solved: denominators that may vanish, regions that
//! no allowed mix can reach. No mix is chosen here.

use crate::finding::{Finding, Findings, listed};
use crate::mixture::{Affine, Measure};
use crate::model::{Frame, Program};
use crate::problem::{Member, Origin, Problem, Subject};
use crate::quantity::trimmed;
use crate::response::{Factor, Response, Source};
use crate::solve::{Outcome, solve_program};
use crate::standard::Codes;

/// Findings that need the whole exact part to be seen.
pub fn examine(problem: &Problem) -> Findings {
    let mut findings = Findings::default();
    let wide = problem.widened();
    let frame = Frame::new(&wide);
    let mut allowed = Allowed::new(&frame);
    if allowed.least(&Affine::default()).is_none() {
        // Nothing is allowed at all: that is a verdict with its conflict, not a slip of the pen.
        return findings;
    }
    denominators(problem, &mut allowed, &mut findings);
    if !findings.has_errors() {
        // A limit on a response that its region cannot meet is a conflict, and no slip of the pen either.
        let plain = problem.without(&limits_on_responses(problem)).widened();
        let frame = Frame::new(&plain);
        regions(problem, &mut Allowed::new(&frame), &mut findings);
    }
    findings
}

fn limits_on_responses(problem: &Problem) -> Vec<Member> {
    let requirements = problem.requirements.named();
    requirements
        .filter(|(_, requirement)| {
            requirement.origin == Origin::Limit && matches!(requirement.subject, Subject::Response(_))
        })
        .map(|(index, _)| Member::Requirement(index))
        .collect()
}

/// The mixes that the linear limits allow, regions left out.
struct Allowed<'f, 'p> {
    program: Program,
    frame: &'f Frame<'p>,
    /// Allowed mixes met so far, in program units: what one of them has can be had, and no program need be solved.
    witnesses: Vec<Vec<f64>>,
}

/// Most witnesses kept.
const WITNESSES: usize = 64;

impl<'f, 'p> Allowed<'f, 'p> {
    fn new(frame: &'f Frame<'p>) -> Self {
        Self { program: frame.without_regions(), frame, witnesses: Vec::new() }
    }

    /// Least value of an affine function, if any mix is allowed.
    fn least(&mut self, affine: &Affine) -> Option<f64> {
        for column in &mut self.program.columns {
            column.cost = 0.0;
        }
        for (column, factor) in &affine.terms {
            self.program.columns[*column].cost = factor * self.frame.scales[*column];
        }
        self.program.offset = affine.constant;
        match solve_program(&self.program) {
            Outcome::Optimal(point, objective) => {
                if self.witnesses.len() < WITNESSES {
                    self.witnesses.push(point);
                }
                Some(objective)
            }
            _ => None,
        }
    }

    /// The value of an affine function at a witness.
    fn at(&self, affine: &Affine, witness: &[f64]) -> f64 {
        let terms = affine
            .terms
            .iter()
            .map(|(column, factor)| factor * self.frame.scales[*column] * witness[*column]);
        affine.constant + terms.sum::<f64>()
    }

    /// Whether some allowed mix has `sign (measure - bound) >= 0`; the measure's denominator is positive.
    fn reaches(&mut self, measure: &Measure, bound: f64, sign: f64) -> bool {
        let beyond = measure.minus_bound(bound).times(-sign);
        self.witnesses.iter().any(|witness| self.at(&beyond, witness) <= 0.0)
            || self.least(&beyond).is_none_or(|least| least <= 1e-9)
    }
}

fn denominators(problem: &Problem, allowed: &mut Allowed<'_, '_>, findings: &mut Findings) {
    let mut told: Vec<Affine> = Vec::new();
    for (measure, place, owner) in problem.ratios() {
        let Some(denominator) = measure.denominator() else { continue };
        if told.contains(denominator) {
            continue;
        }
        told.push(denominator.clone());
        let size = problem.reach.of_affine(denominator).high().abs().max(1e-9);
        let in_box = allowed.frame.problem.reach.of_affine(denominator);
        if 1e-6 * size < in_box.low() {
            continue;
        }
        if allowed.least(denominator).is_none_or(|least| 1e-6 * size < least) {
            continue;
        }
        let names: Vec<&str> = denominator
            .terms
            .iter()
            .map(|(column, _)| problem.mixture.columns[*column].label.as_str())
            .collect();
        let way = if names.len() == 1 { "it" } else { "one of them" };
        findings.push(
            Finding::error(place, format!("{owner} divides by what may be zero"))
                .note(format!("below the line: {}", listed(&names)))
                .help(format!(
                    "add a lower bound such as `amount: {}` to {way}",
                    Codes::of(problem.system).some()
                )),
        );
    }
}

fn regions(problem: &Problem, allowed: &mut Allowed<'_, '_>, findings: &mut Findings) {
    // Several responses may be known within the same range of one factor: it is told once, at the first of them.
    let same = |factor: &Factor, other: &Factor| match (&factor.source, &other.source) {
        (Source::Quantity(one), Source::Quantity(other_one)) => {
            let ends = |factor: &Factor| {
                [factor.region.low(), factor.region.high()].map(|end| factor.unit.to_base(end))
            };
            one.measure == other_one.measure && ends(factor) == ends(other)
        }
        _ => false,
    };
    for (at, response) in problem.responses.named() {
        for factor in &response.factors {
            let Source::Quantity(quantity) = &factor.source else { continue };
            let has_it = |response: &&Response| response.factors.iter().any(|other| same(factor, other));
            if problem.responses.iter().take(at.index()).any(|response| has_it(&response)) {
                continue;
            }
            let others: Vec<&str> = problem
                .responses
                .iter()
                .skip(at.index() + 1)
                .filter(has_it)
                .map(|response| response.name.as_str())
                .collect();
            let (low, high) = (factor.region.low(), factor.region.high());
            let measure = &quantity.measure;
            let above_low = allowed.reaches(measure, factor.unit.to_base(low), 1.0);
            let below_high = allowed.reaches(measure, factor.unit.to_base(high), -1.0);
            if above_low && below_high {
                continue;
            }
            let range = format!("{} .. {}", trimmed(low, 4), factor.unit.with_number(&trimmed(high, 4)));
            let side = if above_low { "above" } else { "below" };
            let finding = Finding::error(
                factor.place,
                format!(
                    "the region of factor `{}` of response `{}` excludes every allowed mix",
                    factor.name, response.name
                ),
            )
            .note(format!("region: {range}; every mix that the limits allow lies {side} it"))
            .help("check the unit of the region, or fit the surface where the mixes are");
            findings.push(if others.is_empty() {
                finding
            } else {
                finding.note(format!("the same region stands in: {}", listed(&others)))
            });
        }
    }
}
