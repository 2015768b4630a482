//! The risk of a mix as facts and blocks: how often what is really weighed misses each limit, and why.
//!
//! What enters: a problem and the risk of a mix. What leaves: facts in the reader's units, and blocks. It simulates nothing.

use crate::listed::Id;
use crate::material::Material;
use crate::response::Response;
use schemars::JsonSchema;
use serde::Serialize;

use super::cautions::PROPOSAL;
use super::units::Units;
use crate::plant::{Cause, Contributor, Criteria, LimitRisk, Risk, Sampling, Share};
use crate::problem::{Problem, Production, Wanted, convert, restrained};
use crate::quantity::trimmed;

/// The risk of a mix.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct Risks {
    /// Name of the mix.
    pub title: String,
    /// Batches simulated.
    pub batches: usize,
    /// The risk that margins are sought for, per cent.
    pub target: f64,
    /// Mean volume really made, per cent of what is ordered.
    pub volume_mean: f64,
    /// Its standard deviation, per cent.
    pub volume_deviation: f64,
    /// The limits.
    pub limits: Vec<RiskLine>,
    /// What has to be known with the figures.
    pub remarks: Vec<String>,
    /// What stands with every mix and every prediction.
    pub caution: &'static str,
}

/// The risk of one limit.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct RiskLine {
    /// Its name.
    pub limit: String,
    /// The side that is allowed.
    pub side: &'static str,
    /// What is wanted, where that is a number.
    pub wanted: Option<f64>,
    /// What the mix as designed gives.
    pub designed: f64,
    /// Unit of both.
    pub unit: String,
    /// Share of results beyond the limit, per cent, with its interval.
    pub beyond: [f64; 3],
    /// Share beyond the limit and the allowed deviation, per cent, with its interval; none where no rule allows any.
    pub beyond_allowed: Option<[f64; 3]>,
    /// The allowed deviation.
    pub allowed: f64,
    /// Upper end where nothing was seen beyond, per cent.
    pub unseen_below: Option<f64>,
    /// Probability that results judged together fail, per cent, with its interval.
    pub fails: [f64; 3],
    /// How many are judged together.
    pub results: usize,
    /// By which criteria.
    pub criteria: &'static str,
    /// The share beyond over what the coefficients leave open, per cent.
    pub uncertainty: Option<[f64; 2]>,
    /// The risk that the margin is sought for, per cent: its own, or that of the run.
    pub target: f64,
    /// To be added to the margin for the target risk; negative where there is room; none for an age at cracking.
    pub margin: Option<f64>,
    /// What contributes to the variance, per cent, largest first.
    pub contributors: Vec<(String, f64)>,
    /// Results below which a twentieth, half and nineteen twentieths lie.
    pub quantiles: [f64; 3],
    /// Counts of results in equal classes: where the first begins, their width, the counts.
    pub histogram: (f64, f64, Vec<usize>),
}

/// Classes of a histogram.
const CLASSES: usize = 15;

/// The facts.
pub fn risks(
    problem: &Problem,
    production: &Production,
    title: &str,
    (risk, sampling): (&Risk, &Sampling),
    units: Units,
) -> Risks {
    Risks {
        title: title.to_owned(),
        batches: risk.batches,
        target: 100.0 * sampling.target,
        volume_mean: 100.0 * risk.volume.0,
        volume_deviation: 100.0 * risk.volume.1,
        limits: risk.limits.iter().map(|limit| line(problem, limit, sampling.target, units)).collect(),
        remarks: remarks(problem, production, risk),
        caution: PROPOSAL,
    }
}

fn line(problem: &Problem, limit: &LimitRisk, target: f64, units: Units) -> RiskLine {
    let requirement = &problem.requirements[limit.requirement];
    let shown = units.shown(&requirement.unit, &problem.currency);
    let to = |value: f64| convert(value, &requirement.unit, &shown);
    let difference = |value: f64| value * requirement.unit.factor / shown.factor;
    let percent = |share: &Share| [100.0 * share.estimate, 100.0 * share.low, 100.0 * share.high];
    RiskLine {
        limit: requirement.name.clone(),
        side: requirement.side.words(),
        wanted: match requirement.wanted {
            Wanted::Value(value) => Some(to(value)),
            Wanted::Quantity(..) | Wanted::Response(..) => None,
        },
        designed: to(limit.designed),
        unit: shown.text.clone(),
        beyond: percent(&limit.beyond),
        beyond_allowed: (0.0 < limit.allowed).then(|| percent(&limit.beyond_allowed)),
        allowed: difference(limit.allowed),
        unseen_below: limit.unseen_below.map(|share| 100.0 * share),
        fails: percent(&limit.conformity.fails),
        results: limit.conformity.results,
        criteria: match limit.conformity.criteria {
            Criteria::Initial => "EN 206, initial production",
            Criteria::Continuous => "EN 206, continuous production",
            Criteria::Averages => "ACI 318, averages of three",
            Criteria::Each => "every single result",
        },
        uncertainty: limit.uncertainty.map(|(low, high)| [100.0 * low, 100.0 * high]),
        target: 100.0 * requirement.margin.risk.unwrap_or(target),
        margin: Some(difference(limit.margin)).filter(|margin| margin.is_finite()),
        contributors: limit
            .contributors
            .iter()
            .map(|(contributor, share)| (contributor_name(problem, *contributor), 100.0 * share))
            .collect(),
        quantiles: quantiles(&limit.results).map(to),
        histogram: histogram(&limit.results, to),
    }
}

fn contributor_name(problem: &Problem, contributor: Contributor) -> String {
    let material = |index: Id<Material>| problem.mixture.catalogue.materials[index].name.as_str();
    match contributor {
        Contributor::Scatter => "scatter of the response".to_owned(),
        Contributor::Cause(Cause::Weighing(index)) => format!("weighing of {}", material(index)),
        Contributor::Cause(Cause::Moisture(index)) => format!("moisture of {}", material(index)),
        Contributor::Cause(Cause::Density(index)) => format!("density of {}", material(index)),
        Contributor::Cause(Cause::Air) => "air content".to_owned(),
        Contributor::Cause(Cause::Materials(index)) => {
            format!("materials, as {} shows them", problem.responses[index].name)
        }
    }
}

/// The results at a twentieth, half and nineteen twentieths.
fn quantiles(results: &[f64]) -> [f64; 3] {
    let mut sorted: Vec<f64> = results.to_vec();
    sorted.sort_by(f64::total_cmp);
    [1, 10, 19].map(|part| sorted.get(part * sorted.len() / 20).copied().unwrap_or(f64::NAN))
}

/// Results in equal classes between their ends.
fn histogram(results: &[f64], to: impl Fn(f64) -> f64) -> (f64, f64, Vec<usize>) {
    let values: Vec<f64> = results.iter().map(|value| to(*value)).filter(|value| value.is_finite()).collect();
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if values.is_empty() || high - low <= 1e-9 * high.abs() {
        return (low, 0.0, vec![values.len()]);
    }
    let width = (high - low) / CLASSES as f64;
    let mut counts = vec![0; CLASSES];
    for value in &values {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between zero and CLASSES"
        )]
        let class = ((value - low) / width) as usize;
        counts[class.min(CLASSES - 1)] += 1;
    }
    (low, width, counts)
}

fn remarks(problem: &Problem, production: &Production, risk: &Risk) -> Vec<String> {
    let names = |list: &[Id<Response>]| {
        list.iter().map(|index| problem.responses[*index].name.as_str()).collect::<Vec<_>>().join(", ")
    };
    let mut list = vec![
        "Deviations in weighing are taken about a target in the middle of its tolerance: a tolerance is a limit, not a \
         deviation. The share beyond a characteristic strength is 5 % by definition; a limit that the design stands at \
         is missed by about half of all batches."
            .to_owned(),
    ];
    let own =
        risk.limits.iter().filter(|limit| problem.requirements[limit.requirement].margin.risk.is_some());
    for limit in own {
        let requirement = &problem.requirements[limit.requirement];
        list.push(format!(
            "{} asks for a risk of {} % of its own: more margin is reckoned for that.",
            requirement.name,
            trimmed(100.0 * requirement.margin.risk.unwrap_or(0.0), 3)
        ));
    }
    let cracks = problem.responses.iter().any(|response| restrained(response).is_some());
    if cracks {
        list.push(
            "Ages at cracking are judged by the stress up to the age asked for, with the scatter of stress and strength; results \
             told of them are without it."
                .to_owned(),
        );
    }
    if risk.weighed_exactly {
        list.push("Every tolerance of weighing is zero: the batches are weighed as designed.".to_owned());
    }
    if !risk.without_residual.is_empty() {
        list.push(format!(
            "No residual is known of: {}. They count as if their results did not scatter; their risk is too low.",
            names(&risk.without_residual)
        ));
    }
    if !risk.overfull.is_empty() {
        list.push(format!(
            "The residual of {} is smaller than what it is said to hold: nothing of it is left, and its risk is rather \
             too high than too low.",
            names(&risk.overfull)
        ));
    }
    if risk.limits.iter().all(|limit| limit.uncertainty.is_none()) {
        list.push(
            "No covariance of coefficients is known: the surfaces count as exact, and what that hides is not in any \
             interval."
                .to_owned(),
        );
    }
    if risk.limits.iter().any(|limit| limit.unseen_below.is_some()) {
        list.push(
            "Where nothing was seen beyond a limit, the figure is the upper end at 95 % of plain independent draws: zero \
             misses is not zero risk."
                .to_owned(),
        );
    }
    for scale in production.scales.iter().filter(|scale| scale.bias != 0.0) {
        list.push(format!(
            "On `{}` every mass really is {} % {} than shown: a bias shifts the mean and is no scatter.",
            scale.name,
            trimmed(100.0 * scale.bias.abs(), 3),
            if scale.bias < 0.0 { "less" } else { "more" }
        ));
    }
    list.push(
        "A simulation says what its inputs say: check them with the plant's own records. It approves no mix."
            .to_owned(),
    );
    list
}
