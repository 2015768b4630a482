//! From trials to a fitted response.
//!
//! What enters: trials, and what is asked. What leaves: a [`Fitted`] surface with everything that a statement needs and
//! that judges it, or the reasons why the trials do not support the form. Results are means of the specimens of a batch
//! at an age; degrees of freedom count batches. This file knows neither files nor limits.

use std::collections::BTreeSet;

use super::asked::{Asked, LinkChoice, TermChoice};
use super::batch::Trials;
use super::folds::folds;
use super::refusal::{Refusal, dependent, too_few};
use super::regression::{Regression, quadratic, regression};
use super::results::{Row, rows};
use super::scatter::{BatchEffect, scattered, with_batch_effect};
use super::selection::{Candidates, corrected_criterion};
use super::term::{Term, columns, of_shares, up_to_order};
use crate::number::orthogonal::Dependence;
use crate::response::Link;

/// Where the surface is known: leverage by the form before selection, and its limit.
#[derive(Clone, Debug)]
pub struct Region {
    /// Terms of that form, indices into [`Form::candidates`].
    pub terms: Vec<usize>,
    /// `(X'X)^-1` over them.
    pub unscaled: Vec<Vec<f64>>,
    /// Largest leverage at which the surface may be used.
    pub limit: f64,
}

/// The chosen form and its fit.
#[derive(Clone, Debug)]
pub struct Form {
    /// Link.
    pub link: Link,
    /// Centre and half range of each factor; (0, 1) for shares that sum to one.
    pub coding: Vec<(f64, f64)>,
    /// Candidate terms.
    pub candidates: Vec<Term>,
    /// Those that stand.
    pub kept: Vec<usize>,
    /// The fit over those.
    pub fit: Regression,
    /// Power of the prediction by which the deviation grows.
    pub power: f64,
    /// The prediction at which the deviation holds.
    pub at: f64,
    /// Scatter within and between batches, where several ages are pooled.
    pub effect: Option<BatchEffect>,
    /// Corrected criterion, the change of scale counted.
    pub criterion: f64,
}

/// A fitted response.
#[derive(Clone, Debug)]
pub struct Fitted {
    /// What was asked.
    pub asked: Asked,
    /// Results in file order.
    pub rows: Vec<Row>,
    /// Form and fit.
    pub form: Form,
    /// Where it is known.
    pub region: Region,
    /// Links that were compared, with their criteria.
    pub compared: Vec<(Link, f64)>,
    /// What the reader should know of how it came about.
    pub remarks: Vec<String>,
}

/// Fits what is asked.
///
/// # Errors
/// Why the trials do not support the form.
pub fn fitted(trials: &Trials, asked: &Asked) -> Result<Fitted, Refusal> {
    let mut remarks = Vec::new();
    let rows = rows(trials, asked, &mut remarks)?;
    let coding = coding(&rows, asked, &mut remarks)?;
    let links: Vec<Link> = match asked.link {
        LinkChoice::Fixed(link) => vec![link],
        LinkChoice::Chosen => [Link::Identity, Link::Log, Link::SquareRoot]
            .into_iter()
            .filter(|link| rows.iter().all(|row| link.predictor(row.measured).is_finite()))
            .collect(),
    };
    if let LinkChoice::Fixed(link) = asked.link
        && let Some(row) = rows.iter().find(|row| !link.predictor(row.measured).is_finite())
    {
        return Err(Refusal::new(
            format!(
                "batch `{}` has {} of `{}`, which the link {} cannot take",
                trials.batches[row.batch].name,
                row.measured,
                asked.name,
                link.word()
            ),
            "choose another link, or correct the result",
        ));
    }
    let mut forms = Vec::new();
    for link in links {
        forms.push(form(asked, &rows, &coding, link, &mut remarks)?);
    }
    let compared = forms.iter().map(|form| (form.link, form.criterion)).collect();
    let form = forms
        .into_iter()
        .min_by(|a, b| a.criterion.total_cmp(&b.criterion))
        .ok_or_else(|| Refusal::new("no link can take these results", "name one with `--link`"))?;
    let region = region(&rows, &form, &mut remarks);
    remarks.dedup();
    Ok(Fitted { asked: asked.clone(), rows, form, region, compared, remarks })
}

/// Observed middle and half range of each factor; a factor that does not vary is refused.
fn coding(rows: &[Row], asked: &Asked, remarks: &mut Vec<String>) -> Result<Vec<(f64, f64)>, Refusal> {
    let sums: Vec<f64> = rows.iter().map(|row| row.factors.iter().sum()).collect();
    let mixture_form = asked.factors.len() > 1
        && asked.factors.iter().all(|factor| factor.unit.dimension == crate::quantity::Dimension::NONE)
        && sums.iter().all(|sum| {
            let one = asked.factors[0].unit.from_base(1.0);
            (sum - one).abs() <= 1e-9 * one
        });
    if mixture_form {
        remarks.push("the factors sum to one in every batch: fitted without constant and squares".to_owned());
    }
    (0..asked.factors.len())
        .map(|at| {
            let values = rows.iter().map(|row| row.factors[at]);
            let low = values.clone().fold(f64::INFINITY, f64::min);
            let high = values.fold(f64::NEG_INFINITY, f64::max);
            if high - low <= 1e-9 * high.abs().max(low.abs()) {
                let unit = &asked.factors[at].unit;
                let shown = unit.with_number(&crate::quantity::trimmed(low, 4));
                return Err(Refusal::new(
                    format!("factor `{}` has the one value {shown} in all trials", asked.factors[at].name),
                    "leave it out, or vary it in the next trials",
                ));
            }
            Ok(if mixture_form { (0.0, 1.0) } else { (0.5 * (low + high), 0.5 * (high - low)) })
        })
        .collect()
}

/// Rows of coded factors.
pub fn coded(rows: &[Row], coding: &[(f64, f64)]) -> Vec<Vec<f64>> {
    let one = |row: &Row| {
        row.factors.iter().zip(coding).map(|(value, (centre, half))| (value - centre) / half).collect()
    };
    rows.iter().map(one).collect()
}

fn candidates(asked: &Asked, coding: &[(f64, f64)]) -> Vec<Term> {
    let shares = coding.iter().all(|coding| *coding == (0.0, 1.0));
    let order = match &asked.terms {
        TermChoice::Listed(terms) => return terms.clone(),
        TermChoice::All(order) | TermChoice::Criterion(order) | TermChoice::CrossValidation(order) => *order,
    };
    let all = up_to_order(coding.len(), order);
    if shares { of_shares(&all) } else { all }
}

fn form(
    asked: &Asked,
    rows: &[Row],
    coding: &[(f64, f64)],
    link: Link,
    remarks: &mut Vec<String>,
) -> Result<Form, Refusal> {
    let terms = candidates(asked, coding);
    let table = columns(&terms, &coded(rows, coding));
    let measured: Vec<f64> = rows.iter().map(|row| link.predictor(row.measured)).collect();
    let batches: Vec<usize> = rows.iter().map(|row| row.batch).collect();
    let distinct = batches.iter().collect::<BTreeSet<_>>().len();
    let search = Candidates { terms: &terms, columns: &table, measured: &measured, batches: distinct };
    let kept = match &asked.terms {
        TermChoice::All(_) | TermChoice::Listed(_) => (0..terms.len()).collect(),
        TermChoice::Criterion(_) => search.by_criterion().0,
        TermChoice::CrossValidation(_) => {
            search.by_cross_validation(&folds(&rows.iter().map(|row| row.mix).collect::<Vec<_>>(), 0)).0
        }
    };
    if rows.len() <= kept.len() {
        let count = |of: fn(&Row) -> usize| rows.iter().map(of).collect::<BTreeSet<_>>().len();
        let counts = (rows.len(), count(|row| row.batch), count(|row| row.mix));
        return Err(too_few(asked, counts, &terms, &table, &kept));
    }
    let chosen: Vec<Vec<f64>> = kept.iter().map(|term| table[*term].clone()).collect();
    let dependent = |dependences: Vec<Dependence>| dependent(asked, &terms, &kept, &dependences);
    let pooled = asked.age_factor().is_some() && distinct < rows.len() && 2 < distinct;
    let (fit, power, at, effect) = if pooled {
        let (fit, effect) = with_batch_effect(&chosen, &measured, &batches).map_err(dependent)?;
        let mean = rows.iter().map(|row| row.measured).sum::<f64>() / rows.len() as f64;
        remarks.push(format!(
            "results of {} ages share their batches: degrees of freedom count batches",
            ages_of(rows).len()
        ));
        (fit, 0.0, mean, Some(effect))
    } else {
        let scattered = scattered(&chosen, &measured, link, asked.scatter).map_err(dependent)?;
        (scattered.fit, scattered.power, scattered.at, None)
    };
    let plain = fit.residuals.iter().map(|residual| residual * residual).sum::<f64>() / rows.len() as f64;
    // The change of scale: the density of the results themselves is what links are compared by.
    let scale: f64 = rows.iter().map(|row| link.slope(link.predictor(row.measured)).abs().ln()).sum();
    let criterion =
        corrected_criterion(plain, distinct, kept.len()) + 2.0 * scale * distinct as f64 / rows.len() as f64;
    Ok(Form { link, coding: coding.to_vec(), candidates: terms, kept, fit, power, at, effect, criterion })
}

/// The form with one link on some of the rows, all of it chosen anew; nothing where they do not support it.
pub fn fitted_on(rows: &[Row], asked: &Asked, link: Link) -> Option<Form> {
    let coding = coding(rows, asked, &mut Vec::new()).ok()?;
    form(asked, rows, &coding, link, &mut Vec::new()).ok()
}

/// Distinct ages, rising.
pub fn ages_of(rows: &[Row]) -> Vec<f64> {
    let mut ages: Vec<f64> = rows.iter().filter_map(|row| row.age).collect();
    ages.sort_by(f64::total_cmp);
    ages.dedup();
    ages
}

/// The region by the form before selection, by first order where that is singular, by the kept terms at last.
fn region(rows: &[Row], form: &Form, remarks: &mut Vec<String>) -> Region {
    let table = columns(&form.candidates, &coded(rows, &form.coding));
    let all: Vec<usize> = (0..form.candidates.len()).collect();
    let first: Vec<usize> = all.iter().copied().filter(|at| form.candidates[*at].0.len() <= 1).collect();
    for (round, set) in [all, first, form.kept.clone()].into_iter().enumerate() {
        let chosen: Vec<Vec<f64>> = set.iter().map(|term| table[*term].clone()).collect();
        let ones = vec![1.0; rows.len()];
        if rows.len() <= set.len() {
            continue;
        }
        let Ok(found) = regression(&chosen, &vec![0.0; rows.len()], &ones) else { continue };
        if round == 1 {
            remarks.push(
                "the form before selection is singular: the region is that of the terms of first order"
                    .to_owned(),
            );
        }
        let largest = found.leverages.iter().copied().fold(0.0, f64::max);
        let usual = 2.0 * set.len() as f64 / rows.len() as f64;
        return Region { terms: set, unscaled: found.unscaled, limit: largest.min(usual) };
    }
    let unscaled = form.fit.unscaled.clone();
    Region { terms: form.kept.clone(), unscaled, limit: 1.0 }
}

impl Form {
    /// Values of some of the candidate terms at factor values.
    pub fn values(&self, terms: &[usize], factors: &[f64]) -> Vec<f64> {
        let coded: Vec<f64> =
            factors.iter().zip(&self.coding).map(|(value, (centre, half))| (value - centre) / half).collect();
        terms.iter().map(|term| self.candidates[*term].at(&coded)).collect()
    }

    /// Prediction on the link's scale, its leverage, and the relative variance of a new result there.
    pub fn predict(&self, factors: &[f64]) -> Predicted {
        let values = self.values(&self.kept, factors);
        let predictor = self.fit.at(&values);
        let natural = self.link.response(predictor).max(0.02 * self.at);
        let scatter = if self.power == 0.0 { 1.0 } else { (natural / self.at).powf(2.0 * self.power) };
        Predicted { predictor, leverage: quadratic(&self.fit.unscaled, &values), scatter }
    }
}

/// A prediction.
#[derive(Clone, Copy, Debug)]
pub struct Predicted {
    /// On the link's scale.
    pub predictor: f64,
    /// `f'Cf` over the kept terms.
    pub leverage: f64,
    /// Variance of a new result over the square of the fit's deviation.
    pub scatter: f64,
}
