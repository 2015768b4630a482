//! A fitted response as a piece of a statement.
//!
//! What enters: a fit, an age where age is one of its factors, what its strength is. What leaves: a [`Fragment`], and its
//! YAML, which any statement may include. Terms that selection left out stand with the coefficient zero, because the
//! region is measured by the form before selection. The same trials give the same bytes.

use std::fmt::Write as _;

use super::asked::{FactorAsked, quoted};
use super::batch::Trials;
use super::fitting::Fitted;
use super::judged::lack_of_fit;
use super::term::Term;
use crate::response::Link;

/// What a strength is.
#[derive(Clone, Debug, PartialEq)]
pub struct StrengthWords {
    /// Specimen.
    pub specimen: String,
    /// Statistic.
    pub statistic: String,
    /// Curing.
    pub curing: String,
}

/// A factor as a statement writes it.
#[derive(Clone, Debug)]
pub struct FragmentFactor {
    /// Short name.
    pub name: String,
    /// The quantity.
    pub is: String,
    /// Unit; empty for plain numbers.
    pub unit: String,
    /// Least and greatest value in the trials.
    pub region: (f64, f64),
    /// Whether the terms are in coded values.
    pub coding: (f64, f64),
}

/// A fitted response at one age.
#[derive(Clone, Debug)]
pub struct Fragment {
    /// Name.
    pub name: String,
    /// Unit.
    pub unit: String,
    /// What it is, if it is a strength.
    pub strength: Option<StrengthWords>,
    /// Age, d.
    pub age: Option<f64>,
    /// The measured column, where the name is another one.
    pub measured: Option<String>,
    /// Link.
    pub link: Link,
    /// Factors.
    pub factors: Vec<FragmentFactor>,
    /// Terms.
    pub terms: Vec<Term>,
    /// Coefficients.
    pub coefficients: Vec<f64>,
    /// Covariance over the residual variance.
    pub covariance: Vec<Vec<f64>>,
    /// Covariance that the region is measured by.
    pub region: Vec<Vec<f64>>,
    /// Largest leverage.
    pub leverage: f64,
    /// Residual deviation on the link's scale.
    pub residual: f64,
    /// Degrees of freedom.
    pub freedom: f64,
    /// Deviation between repeated batches.
    pub batch: Option<f64>,
    /// Power by which the residual grows, and the prediction at which it holds.
    pub growth: Option<(f64, f64)>,
    /// How many batches.
    pub batches: usize,
    /// Digest of the data.
    pub data: String,
    /// Date of the last trial.
    pub date: Option<String>,
}

/// The fragment of a fit; where age is a factor, at this age in days: coefficients `A b`, covariance `A C A'`.
pub fn fragment(
    fit: &Fitted,
    trials: &Trials,
    age: Option<f64>,
    strength: Option<StrengthWords>,
) -> Fragment {
    let form = &fit.form;
    let age_factor = fit.asked.age_factor();
    let coded_age = age_factor.zip(age).map(|(factor, age)| {
        let (centre, half) = form.coding[factor];
        (factor, (age.ln() - centre) / half)
    });
    let reduced = reduced(&form.candidates, coded_age);
    let mut terms: Vec<Term> = Vec::new();
    for (term, _) in &reduced {
        if !terms.contains(term) {
            terms.push(term.clone());
        }
    }
    let place = |candidate: usize| {
        let at = terms.iter().position(|term| *term == reduced[candidate].0).unwrap_or(0);
        (at, reduced[candidate].1)
    };
    let mut coefficients = vec![0.0; terms.len()];
    for (index, candidate) in form.kept.iter().enumerate() {
        let (at, times) = place(*candidate);
        coefficients[at] += times * form.fit.coefficients[index];
    }
    let spread = |candidates: &[usize], matrix: &[Vec<f64>]| {
        let mut all = vec![vec![0.0; terms.len()]; terms.len()];
        for (row, one) in candidates.iter().enumerate() {
            for (column, other) in candidates.iter().enumerate() {
                let ((i, a), (j, b)) = (place(*one), place(*other));
                all[i][j] += a * b * matrix[row][column];
            }
        }
        all
    };
    let measured = trials.measured.iter().find(|measured| measured.name == fit.asked.name);
    let mut batches: Vec<usize> = fit.rows.iter().map(|row| row.batch).collect();
    batches.sort_unstable();
    batches.dedup();
    Fragment {
        name: fit.asked.name.clone(),
        unit: measured.map_or_else(String::new, |measured| measured.unit.text.clone()),
        strength,
        age: age.or(fit.asked.age),
        measured: None,
        link: form.link,
        factors: factors(fit, age_factor),
        coefficients,
        covariance: spread(&form.kept, &form.fit.unscaled),
        region: spread(&fit.region.terms, &fit.region.unscaled),
        leverage: fit.region.limit,
        residual: form.fit.deviation,
        freedom: form.fit.freedom,
        batch: lack_of_fit(fit).map(|lack| lack.deviation),
        growth: (form.power != 0.0).then_some((form.power, form.at)),
        batches: batches.len(),
        data: trials.digest.clone(),
        date: trials.date.clone(),
        terms,
    }
}

/// Candidate terms at an age: each becomes a term without the age, times a power of the coded age.
fn reduced(candidates: &[Term], coded_age: Option<(usize, f64)>) -> Vec<(Term, f64)> {
    candidates
        .iter()
        .map(|term| match coded_age {
            None => (term.clone(), 1.0),
            Some((factor, value)) => {
                let rest: Vec<usize> = term.0.iter().copied().filter(|other| *other != factor).collect();
                let power = term.0.len() - rest.len();
                let closed =
                    rest.iter().map(|other| if *other < factor { *other } else { other - 1 }).collect();
                (Term(closed), (0..power).map(|_| value).product())
            }
        })
        .collect()
}

/// The factors but that of age, each with the region that the trials cover.
fn factors(fit: &Fitted, age_factor: Option<usize>) -> Vec<FragmentFactor> {
    let described = |(at, factor): (usize, &FactorAsked)| {
        let values = fit.rows.iter().map(|row| row.factors[at]);
        let low = values.clone().fold(f64::INFINITY, f64::min);
        let high = values.fold(f64::NEG_INFINITY, f64::max);
        FragmentFactor {
            name: factor.name.clone(),
            is: factor.is.clone(),
            unit: factor.unit.text.clone(),
            region: (low, high),
            coding: fit.form.coding[at],
        }
    };
    let factors = fit.asked.factors.iter().enumerate();
    factors.filter(|(at, _)| Some(*at) != age_factor).map(described).collect()
}

/// A number with all its digits, as the statement's reader takes it.
fn full(value: f64) -> String {
    let text = format!("{value:e}");
    let exponent: i32 = text.rsplit_once('e').and_then(|(_, power)| power.parse().ok()).unwrap_or(0);
    if value != 0.0 && !(-5..15).contains(&exponent) { text } else { format!("{value}") }
}

impl Fragment {
    /// Named by its age too, so that several ages of one measured column stand side by side.
    #[must_use]
    pub fn named_by_age(mut self) -> Self {
        if let Some(age) = self.age {
            let name = format!("{} at {age} d", self.name);
            self.measured = Some(std::mem::replace(&mut self.name, name));
        }
        self
    }

    /// The response under `responses` of a statement, indented for it.
    pub fn yaml(&self) -> String {
        let unit = |text: &str| if text.is_empty() { String::new() } else { format!(" {text}") };
        let scaled = |value: f64| match self.link {
            Link::Identity => quoted(&format!("{}{}", full(value), unit(&self.unit))),
            _ => full(value),
        };
        let mut text = format!("  {}:\n", quoted(&self.name));
        let _ = writeln!(text, "    unit: {}", quoted(&self.unit));
        if let (Some(strength), Some(age)) = (&self.strength, self.age) {
            let _ = writeln!(
                text,
                "    strength: {{specimen: {}, statistic: {}, age: {age} d, curing: {}}}",
                quoted(&strength.specimen),
                strength.statistic,
                quoted(&strength.curing)
            );
        }
        if self.link != Link::Identity {
            let _ = writeln!(text, "    link: {}", self.link.word());
        }
        text.push_str("    factors:\n");
        for factor in &self.factors {
            let is = if factor.is.starts_with('{') { factor.is.clone() } else { quoted(&factor.is) };
            let range = |low: f64, high: f64| {
                quoted(&format!("{} .. {}{}", full(low), full(high), unit(&factor.unit)))
            };
            let _ = write!(text, "      {}: {{is: {is}", quoted(&factor.name));
            if !factor.unit.is_empty() {
                let _ = write!(text, ", unit: {}", quoted(&factor.unit));
            }
            let _ = write!(text, ", region: {}", range(factor.region.0, factor.region.1));
            let (centre, half) = factor.coding;
            if factor.coding != (0.0, 1.0) {
                let _ = write!(text, ", coded: {}", range(centre - half, centre + half));
            }
            text.push_str("}\n");
        }
        text.push_str("    terms:\n");
        let names: Vec<String> = self.factors.iter().map(|factor| factor.name.clone()).collect();
        for (term, coefficient) in self.terms.iter().zip(&self.coefficients) {
            let _ = writeln!(text, "      {}: {}", quoted(&term.words(&names)), full(*coefficient));
        }
        let _ = writeln!(text, "    residual: {}", scaled(self.residual));
        push_matrix(&mut text, "    covariance", &self.covariance);
        let _ = writeln!(text, "    leverage: {}", full(self.leverage));
        let _ = writeln!(text, "    trials:\n      degrees of freedom: {}", full(self.freedom));
        if let Some(batch) = self.batch {
            let _ = writeln!(text, "      batch deviation: {}", scaled(batch));
        }
        if let Some((power, at)) = self.growth {
            let at = quoted(&format!("{}{}", full(at), unit(&self.unit)));
            let _ = writeln!(text, "      power: {}\n      at: {at}", full(power));
        }
        push_matrix(&mut text, "      region covariance", &self.region);
        if let Some(measured) = &self.measured {
            let _ = writeln!(text, "      measured: {}", quoted(measured));
        }
        if let (None, Some(age)) = (&self.strength, self.age) {
            let _ = writeln!(text, "      age: {age} d");
        }
        let _ = writeln!(text, "      batches: {}\n      data: {}", self.batches, quoted(&self.data));
        if let Some(date) = &self.date {
            let _ = writeln!(text, "      date: \"{}\"", date.replace(['\\', '"'], ""));
        }
        text
    }
}

fn push_matrix(text: &mut String, key: &str, matrix: &[Vec<f64>]) {
    let indent = " ".repeat(key.len() - key.trim_start().len() + 2);
    let _ = writeln!(text, "{key}:");
    for row in matrix {
        let numbers: Vec<String> = row.iter().map(|value| full(*value)).collect();
        let _ = writeln!(text, "{indent}- [{}]", numbers.join(", "));
    }
}

/// A whole file of responses.
pub fn file(fragments: &[Fragment], from: &str) -> String {
    let mut text = format!(
        "# Fitted by `mixbound fit` to the trials in {from}. Include it in a statement; do not edit it: `confirm` judges it\n\
         # by its digest.\nmixbound: 1\nresponses:\n"
    );
    for fragment in fragments {
        text.push_str(&fragment.yaml());
    }
    text
}
