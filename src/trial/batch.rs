//! Trial batches and what was measured on them.
//!
//! What enters: nothing; these are the values that reading makes and fitting uses. Specimens of one batch and age stand
//! together in one [`Outcome`]: their mean is one result, their scatter is told apart. This file does not know files.

use crate::finding::Place;
use crate::quantity::Unit;

/// One batch.
#[derive(Clone, Debug)]
pub struct Batch {
    /// Its name.
    pub name: String,
    /// Whether its author named it.
    pub is_named: bool,
    /// Its mix, an index into [`Trials::mixes`].
    pub mix: usize,
    /// What it shares with other batches beside the mix, if that was told.
    pub block: Option<String>,
    /// Values of the mixture's columns per m3 of concrete.
    pub amounts: Vec<f64>,
    /// Volume that the amounts as written fill, per m3 of concrete.
    pub fills: f64,
    /// Where its first row stands.
    pub place: Place,
}

/// Results of one batch at one age.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The batch.
    pub batch: usize,
    /// What was measured, an index into [`Trials::measured`].
    pub measured: usize,
    /// Age, d.
    pub age: Option<f64>,
    /// Curing.
    pub curing: Option<String>,
    /// Values of the specimens in the column's unit, with their places.
    pub values: Vec<(f64, Place)>,
}

impl Outcome {
    /// Mean of the specimens.
    pub fn mean(&self) -> f64 {
        self.values.iter().map(|(value, _)| value).sum::<f64>() / self.values.len() as f64
    }
}

/// A measured response.
#[derive(Clone, Debug)]
pub struct Measured {
    /// Its name.
    pub name: String,
    /// Its unit.
    pub unit: Unit,
    /// Whether the statement holds a response of this name.
    pub is_known: bool,
}

/// When a ring was seen to crack: between two readings, or not by the last one.
#[derive(Clone, Debug)]
pub struct RingReading {
    /// The batch.
    pub batch: usize,
    /// The age at cracking, an index into [`Trials::measured`].
    pub measured: usize,
    /// Last age at which it was whole, in the column's unit; zero where it cracked before the first reading.
    pub whole_at: f64,
    /// First age at which it was cracked; infinite where it never was.
    pub cracked_by: f64,
    /// Where it stands.
    pub place: Place,
}

/// A row or value that is not used, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOut {
    /// The file, where there are several.
    pub file: Option<String>,
    /// Line of the file, counted from one.
    pub line: usize,
    /// Why.
    pub reason: String,
}

/// Everything a trial file says.
#[derive(Clone, Debug, Default)]
pub struct Trials {
    /// What was measured.
    pub measured: Vec<Measured>,
    /// Names of the mixes.
    pub mixes: Vec<String>,
    /// Batches in file order.
    pub batches: Vec<Batch>,
    /// Outcomes in file order.
    pub outcomes: Vec<Outcome>,
    /// Readings of rings in file order.
    pub rings: Vec<RingReading>,
    /// Rows and values that are not used.
    pub left_out: Vec<LeftOut>,
    /// Digest of the file's bytes, `sha256:` and 64 letters; of several files one each, parted by blanks.
    pub digest: String,
    /// The latest date in the file, as written.
    pub date: Option<String>,
}

impl Trials {
    /// Outcomes of one measured column.
    pub fn outcomes_of(&self, measured: usize) -> impl Iterator<Item = &Outcome> {
        self.outcomes.iter().filter(move |outcome| outcome.measured == measured)
    }

    /// Adds a result: a specimen of an outcome that is known, or the first of its own.
    pub fn add_result(&mut self, one: Outcome) {
        let same = |outcome: &&mut Outcome| {
            outcome.batch == one.batch
                && outcome.measured == one.measured
                && outcome.age == one.age
                && outcome.curing == one.curing
        };
        match self.outcomes.iter_mut().find(same) {
            Some(outcome) => outcome.values.extend(one.values),
            None => self.outcomes.push(one),
        }
    }

    /// Those of some outcomes that are cured as asked. A curing that no result has is told, and asks nothing.
    pub fn cured(&self, outcomes: &[usize], wanted: Option<&str>) -> (Vec<usize>, Option<String>) {
        let Some(wanted) = wanted else { return (outcomes.to_vec(), None) };
        let is_wanted = |curing: &str| curing.trim().eq_ignore_ascii_case(wanted.trim());
        let told = |index: &usize| self.outcomes[*index].curing.as_deref();
        let has_wanted = outcomes.iter().filter_map(told).any(is_wanted);
        match outcomes.iter().find_map(told) {
            Some(other) if !has_wanted => (
                outcomes.to_vec(),
                Some(format!("the results are cured `{other}`, the response says `{wanted}`")),
            ),
            _ => (outcomes.iter().copied().filter(|index| told(index).is_none_or(is_wanted)).collect(), None),
        }
    }

    /// Whether a digest that a fit was told is that of one of these files.
    pub fn has_data(&self, told: &str) -> bool {
        told.split_whitespace().any(|digest| self.digest.split_whitespace().any(|own| own == digest))
    }

    /// Standard deviation of specimens within a batch and age, with its degrees of freedom, over these outcomes.
    pub fn specimen_scatter(&self, outcomes: impl Iterator<Item = usize>) -> Option<(f64, usize)> {
        let (mut sum, mut freedom) = (0.0, 0);
        for outcome in outcomes.map(|at| &self.outcomes[at]) {
            let mean = outcome.mean();
            sum += outcome.values.iter().map(|(value, _)| (value - mean).powi(2)).sum::<f64>();
            freedom += outcome.values.len() - 1;
        }
        (0 < freedom).then(|| ((sum / freedom as f64).sqrt(), freedom))
    }
}
