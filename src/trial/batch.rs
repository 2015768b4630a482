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
    /// Digest of the file's bytes, `sha256:` and 64 letters.
    pub digest: String,
    /// The latest date in the file, as written.
    pub date: Option<String>,
}

impl Trials {
    /// Outcomes of one measured column.
    pub fn outcomes_of(&self, measured: usize) -> impl Iterator<Item = &Outcome> {
        self.outcomes.iter().filter(move |outcome| outcome.measured == measured)
    }

    /// Standard deviation of specimens within a batch and age, with its degrees of freedom.
    pub fn specimen_scatter(&self, measured: usize) -> Option<(f64, usize)> {
        let (mut sum, mut freedom) = (0.0, 0);
        for outcome in self.outcomes_of(measured) {
            let mean = outcome.mean();
            sum += outcome.values.iter().map(|(value, _)| (value - mean).powi(2)).sum::<f64>();
            freedom += outcome.values.len() - 1;
        }
        (0 < freedom).then(|| ((sum / freedom as f64).sqrt(), freedom))
    }
}
