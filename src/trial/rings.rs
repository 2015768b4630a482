//! Ages at cracking calibrated by own rings: one scale on all strains.
//!
//! What enters: rings that were whole at one reading and cracked at the next, or whole at the last, and for each the highest
//! share of the failure level that the stress reaches by those ages. What leaves: the scale with its scatter over rings.
//!
//! The model. Stress is proportional to strain, so a ring whose strains are `S` times those of the laws has cracked by `t` when
//! `S` reaches `m(t)`, the least of level over stress up to `t`. `ln S` is normal over rings with mean `mu` and deviation
//! `tau`; a ring whole at `a` and cracked at `b` has the probability `Phi((ln m(a) - mu) / tau) - Phi((ln m(b) - mu) / tau)`, one
//! that never cracked the first term alone. The greatest likelihood gives both; under three cracks, or where the readings are
//! too coarse to tell a scatter, `tau` stays at 12 % (Radlinska, Bucher and Weiss, Journal of ASTM International 2008: total
//! coefficient of variation of 24 rings). Where no ring cracked there is a bound alone. Strains, restraint and share of the
//! strength each multiply level over stress by a number: ages at cracking cannot tell them apart.
//!
//! Where mixes deviate from one another by a stated deviation besides, rings of one mix share theirs: the variance of the mean
//! grows by it over the mixes (sum of the squared shares of rings), and a bound counts one ring of each mix.

use super::batch::Trials;
use crate::listed::Id;
use crate::number::distribution::{normal_probability, normal_quantile};
use crate::number::golden::highest;
use crate::problem::{Problem, restrained};
use crate::response::law::cracking::Cracking;
use crate::response::{History, Response, Restrained};

/// Scatter over rings where own results cannot tell it.
pub const SCATTER: f64 = 0.12;
/// How often a range is narrowed when the likeliest figure is sought: far below the digits told.
const STEPS: usize = 60;
/// Fewest cracks from which the scatter is estimated.
pub const FEWEST: usize = 3;
/// Scatter below which readings are too coarse to tell it, and the largest that is believed.
const TOLD: (f64, f64) = (0.02, 1.0);
/// Confidence of bounds.
pub const SURE: f64 = 0.95;
/// Logarithms of scales between which one is sought.
const SOUGHT: (f64, f64) = (-3.0, 3.0);

/// One ring.
#[derive(Clone, Debug)]
pub struct Ring {
    /// Batch, an index into the trials.
    pub batch: usize,
    /// Its mix.
    pub mix: usize,
    /// Days since casting: whole at, cracked by; zero and infinity where not known.
    pub between: [f64; 2],
    /// `ln m` at both.
    pub limits: [f64; 2],
    /// Age at cracking by the laws without a scale, d since casting; none by the horizon.
    pub by_law: Option<f64>,
    /// Factors of its mix.
    pub factors: Vec<f64>,
}

/// A reading that cannot be used, and why.
#[derive(Clone, Debug)]
pub struct Unused {
    /// Index among the readings.
    pub reading: usize,
    /// Why.
    pub reason: String,
}

/// What rings come to.
#[derive(Clone, Copy, Debug)]
pub enum Strains {
    /// A scale.
    Scale {
        /// Mean of its logarithm.
        mean: f64,
        /// Standard error of that mean.
        error: f64,
        /// Deviation over rings.
        scatter: f64,
        /// Whether that was estimated.
        told: Scatter,
    },
    /// No ring cracked: with the confidence [`SURE`] the logarithm of the scale lies below this.
    AtMost(f64),
    /// All rings cracked before their first reading: with that confidence it lies above this.
    AtLeast(f64),
}

/// Where the scatter over rings comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scatter {
    /// From the rings.
    Estimated,
    /// Too few cracks: published scatter.
    FewCracks,
    /// Readings too far apart: published scatter.
    CoarseReadings,
}

/// The rings on which an age at cracking was read.
pub fn rings(problem: &Problem, response: Id<Response>, trials: &Trials) -> (Vec<Ring>, Vec<Unused>) {
    let described = &problem.responses[response];
    let (mut list, mut unused) = (Vec::new(), Vec::new());
    let Some(rule) = restrained(described) else { return (list, unused) };
    let measured = trials.measured.iter().position(|measured| measured.name == described.name);
    for (index, reading) in trials.rings.iter().enumerate().filter(|(_, one)| Some(one.measured) == measured)
    {
        let mut mix = trials.batches[reading.batch].amounts.clone();
        mix.resize(problem.mixture.columns.len(), 0.0);
        let Some(prediction) = problem.predict(response, &mix) else {
            unused.push(Unused { reading: index, reason: "its mix has no value of a factor".to_owned() });
            continue;
        };
        let history = rule.history(&prediction.factors);
        let stands = rule.setting.strain_scale.ln();
        let unit = &trials.measured[reading.measured].unit;
        let since_casting = |age: f64| unit.to_base(age) / 86_400.0 + rule.counted_since();
        let whole = if 0.0 < reading.whole_at { since_casting(reading.whole_at) } else { 0.0 };
        let cracked =
            if reading.cracked_by.is_finite() { since_casting(reading.cracked_by) } else { f64::INFINITY };
        let limit = |age: f64| rule.share_up_to(&history, age).map(|share| stands - share.max(0.0).ln());
        let horizon = rule.setting.horizon;
        // A ring watched for longer than stresses are followed was whole at the last age that they are.
        let watched = if cracked.is_infinite() { whole.min(horizon) } else { whole };
        let last = if cracked.is_finite() { limit(cracked) } else { Some(f64::NEG_INFINITY) };
        let (Some(first), Some(last)) = (limit(watched), last) else {
            unused.push(Unused {
                reading: index,
                reason: format!("its crack was read after the horizon of {horizon} d: raise `horizon`"),
            });
            continue;
        };
        if last == f64::INFINITY {
            unused.push(Unused {
                reading: index,
                reason: "no tension has come up by the reading at which it was cracked".to_owned(),
            });
            continue;
        }
        list.push(Ring {
            batch: reading.batch,
            mix: trials.batches[reading.batch].mix,
            between: [whole, cracked],
            limits: [first, last],
            by_law: age_at_scale(rule, &history, 1.0),
            factors: prediction.factors,
        });
    }
    (list, unused)
}

/// The age at cracking with this scale on the strains, whatever scale the history was made with; days since casting.
fn age_at_scale(rule: &Restrained, history: &History, scale: f64) -> Option<f64> {
    let stress = history.stress.iter().map(|stress| stress * scale / rule.setting.strain_scale).collect();
    match rule.outcome(&History { stress, ..history.clone() }) {
        Cracking::At(age) => Some(age),
        Cracking::NoneBy(_) => None,
    }
}

/// The age at cracking of a ring's mix with this scale on the strains; days since casting.
pub fn corrected(problem: &Problem, response: Id<Response>, ring: &Ring, scale: f64) -> Option<f64> {
    let rule = restrained(&problem.responses[response])?;
    age_at_scale(rule, &rule.history(&ring.factors), scale)
}

impl Ring {
    fn has_cracked(&self) -> bool {
        self.between[1].is_finite()
    }

    /// Logarithm of the probability of what was read.
    fn likelihood(&self, mean: f64, scatter: f64) -> f64 {
        let [above, below] = self.limits.map(|limit| (limit - mean) / scatter);
        // Of two tails the thinner one is differenced: digits are lost in neither.
        let probability = if below < 0.0 {
            normal_probability(above) - normal_probability(below)
        } else {
            normal_probability(-below) - normal_probability(-above)
        };
        probability.max(1e-300).ln()
    }
}

fn whole_likelihood(rings: &[Ring], mean: f64, scatter: f64) -> f64 {
    rings.iter().map(|ring| ring.likelihood(mean, scatter)).sum()
}

/// One ring of each mix: the one that tells most of a bound, with the lowest limit upwards and the highest downwards.
fn one_of_each(rings: &[Ring], way: f64) -> Vec<Ring> {
    let mut list: Vec<Ring> = Vec::new();
    let told = |ring: &Ring| if 0.0 < way { -ring.limits[0] } else { ring.limits[1] };
    for ring in rings {
        match list.iter_mut().find(|known| known.mix == ring.mix) {
            Some(known) if told(known) < told(ring) => *known = ring.clone(),
            Some(_) => {}
            None => list.push(ring.clone()),
        }
    }
    list
}

/// The scale of greatest likelihood, where mixes deviate from one another by `between` besides; `rings` are not empty.
pub fn strains(rings: &[Ring], between: f64) -> Strains {
    let bound = |way: f64| {
        if between == 0.0 {
            return where_improbable(rings, way, SCATTER);
        }
        where_improbable(&one_of_each(rings, way), way, SCATTER.hypot(between))
    };
    let cracks = rings.iter().filter(|ring| ring.has_cracked()).count();
    if cracks == 0 {
        return Strains::AtMost(bound(1.0));
    }
    if rings.iter().all(|ring| ring.limits[0] == f64::INFINITY) {
        return Strains::AtLeast(bound(-1.0));
    }
    let best = |scatter: f64| highest(SOUGHT, STEPS, |mean| whole_likelihood(rings, mean, scatter));
    let (mut scatter, mut told) = (SCATTER, Scatter::FewCracks);
    if FEWEST <= cracks {
        let (low, high) = (TOLD.0.ln(), TOLD.1.ln());
        let found = highest((low, high), STEPS, |log| best(log.exp()).1).0.exp();
        (scatter, told) = if found < 1.05 * TOLD.0 {
            (SCATTER, Scatter::CoarseReadings)
        } else {
            (found, Scatter::Estimated)
        };
    }
    let mean = best(scatter).0;
    let shares: f64 = rings
        .iter()
        .map(|ring| rings.iter().filter(|other| other.mix == ring.mix).count() as f64)
        .sum::<f64>()
        / (rings.len() as f64).powi(2);
    let error = error(rings, mean, scatter, told).hypot(between * shares.sqrt());
    Strains::Scale { mean, error, scatter, told }
}

/// Standard error of the mean from the curvature of the likelihood; with an estimated scatter, of both together.
fn error(rings: &[Ring], mean: f64, scatter: f64, told: Scatter) -> f64 {
    let step = 0.05 * scatter;
    let at = |i: f64, j: f64| whole_likelihood(rings, mean + i * step, scatter * (j * 0.05).exp());
    let here = at(0.0, 0.0);
    let by_mean = -(at(1.0, 0.0) - 2.0 * here + at(-1.0, 0.0)) / (step * step);
    let information = if told == Scatter::Estimated {
        let by_scatter = -(at(0.0, 1.0) - 2.0 * here + at(0.0, -1.0)) / (0.05 * 0.05);
        let mixed = -(at(1.0, 1.0) - at(1.0, -1.0) - at(-1.0, 1.0) + at(-1.0, -1.0)) / (4.0 * step * 0.05);
        if 0.0 < by_scatter { by_mean - mixed * mixed / by_scatter } else { by_mean }
    } else {
        by_mean
    };
    // Readings so coarse that the likelihood is flat tell no more than the scatter of one ring does.
    if 0.0 < information { information.sqrt().recip().min(1.0) } else { scatter }
}

/// The mean, upwards or downwards, beyond which what was read is less probable than `1 - SURE`.
fn where_improbable(rings: &[Ring], way: f64, scatter: f64) -> f64 {
    let (mut near, mut far) = (-10.0 * way, 10.0 * way);
    for _ in 0..80 {
        let middle = 0.5 * (near + far);
        if whole_likelihood(rings, middle, scatter) < (1.0 - SURE).ln() {
            far = middle;
        } else {
            near = middle;
        }
    }
    0.5 * (near + far)
}

/// The scale that so large a share of rings stays below, the doubt about the mean counted.
pub fn scale_of_share(mean: f64, error: f64, scatter: f64, share: f64) -> f64 {
    (mean + normal_quantile(share) * scatter.hypot(error)).exp()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trial::lot::Lot;

    /// A ring whose level over stress falls from 3 at day 1 as `3 / sqrt(t)`: it cracks at `(3 / S)^2`.
    fn ring(whole: f64, cracked: f64) -> Ring {
        let limit = |age: f64| if age == 0.0 { f64::INFINITY } else { (3.0 / age.sqrt()).ln() };
        let limits = [limit(whole), if cracked.is_finite() { limit(cracked) } else { f64::NEG_INFINITY }];
        Ring { batch: 0, mix: 0, between: [whole, cracked], limits, by_law: Some(9.0), factors: Vec::new() }
    }

    /// Finely read rings without censoring: mean and deviation of the logarithms themselves.
    #[test]
    fn fine_readings_give_the_moments_of_the_logarithms() {
        let ages = [6.0, 7.5, 8.0, 9.5, 11.0, 14.0];
        let rings: Vec<Ring> = ages.iter().map(|age| ring(age - 1e-3, age + 1e-3)).collect();
        let logs: Vec<f64> = ages.iter().map(|age| (3.0 / age.sqrt()).ln()).collect();
        let mean = logs.iter().sum::<f64>() / 6.0;
        let deviation = (logs.iter().map(|log| (log - mean).powi(2)).sum::<f64>() / 6.0).sqrt();
        let Strains::Scale { mean: got, scatter, error, told } = strains(&rings, 0.0) else { panic!() };
        assert!((got - mean).abs() < 1e-5 && (scatter - deviation).abs() < 1e-4, "{got} {mean} {scatter}");
        assert!((error - deviation / 6f64.sqrt()).abs() < 0.02 * error && told == Scatter::Estimated);
    }

    #[test]
    fn rings_that_never_cracked_give_a_bound_alone_and_few_cracks_the_published_scatter() {
        let Strains::AtMost(bound) = strains(&[ring(16.0, f64::INFINITY), ring(16.0, f64::INFINITY)], 0.0)
        else {
            panic!()
        };
        // Two rings: each whole with the probability root of 0.05.
        let z = (0.75_f64.ln() - bound) / SCATTER;
        assert!((normal_probability(z) - 0.05_f64.sqrt()).abs() < 1e-9);
        let Strains::AtLeast(bound) = strains(&[ring(0.0, 4.0)], 0.0) else { panic!() };
        assert!((normal_probability((1.5_f64.ln() - bound) / SCATTER) - 0.95).abs() < 1e-9);
        let few = [ring(8.0, 10.0), ring(6.0, 8.0), ring(14.0, f64::INFINITY)];
        let Strains::Scale { scatter, told, .. } = strains(&few, 0.0) else { panic!() };
        assert!(scatter == SCATTER && told == Scatter::FewCracks);
        let coarse = [ring(7.0, 14.0), ring(7.0, 14.0), ring(7.0, 14.0)];
        let Strains::Scale { told, .. } = strains(&coarse, 0.0) else { panic!() };
        assert_eq!(told, Scatter::CoarseReadings);
    }

    /// Rings of one mix share its deviation: the mean is no better known than one mix tells, and a bound counts one ring.
    #[test]
    fn mixes_that_deviate_widen_what_rings_tell() {
        let rings = |mixes: [usize; 4]| -> Vec<Ring> {
            let of = |(age, mix): (f64, usize)| Ring { mix, ..ring(age - 0.5, age + 0.5) };
            [8.0, 9.0, 10.0, 11.0].into_iter().zip(mixes).map(of).collect()
        };
        let error = |mixes, between| match strains(&rings(mixes), between) {
            Strains::Scale { error, .. } => error,
            _ => panic!(),
        };
        let plain = error([0, 0, 0, 0], 0.0);
        assert!((error([0, 0, 0, 0], 0.1) - plain.hypot(0.1)).abs() < 1e-9);
        assert!((error([0, 0, 1, 1], 0.1) - plain.hypot(0.1 / 2f64.sqrt())).abs() < 1e-9);
        assert!((error([0, 1, 2, 3], 0.1) - plain.hypot(0.05)).abs() < 1e-9);
        let whole = |age: f64| Ring { mix: 0, ..ring(age, f64::INFINITY) };
        let Strains::AtMost(one) = strains(&[whole(16.0), whole(9.0)], 0.1) else { panic!() };
        let z = (0.75_f64.ln() - one) / SCATTER.hypot(0.1);
        assert!((normal_probability(z) - 0.05).abs() < 1e-9);
    }

    /// Rings drawn by the model, read once a week, the last time at day 20: the scale that was drawn comes back.
    #[test]
    fn censored_rings_give_back_the_scale_that_made_them() {
        let (mut lot, mut sum, mut held, runs) = (Lot::new(3), 0.0, 0_u32, 200_u32);
        let truth = 0.15;
        for _ in 0..runs {
            let rings: Vec<Ring> = (0..8)
                .map(|_| {
                    let age = (3.0 / (truth + 0.12 * lot.normal()).exp()).powi(2);
                    let whole = if age < 20.0 { (age / 2.0).floor() * 2.0 } else { 20.0 };
                    ring(whole, if age < 20.0 { whole + 2.0 } else { f64::INFINITY })
                })
                .collect();
            let Strains::Scale { mean, error, .. } = strains(&rings, 0.0) else { panic!() };
            sum += mean;
            held += u32::from((mean - truth).abs() < 1.96 * error);
        }
        assert!((sum / f64::from(runs) - truth).abs() < 0.01, "{}", sum / f64::from(runs));
        assert!(held * 100 > 85 * runs, "{held}");
    }
}
