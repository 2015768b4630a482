//! Ages at which stress is followed, free strain between them, and the age at which restrained concrete cracks.
//!
//! Enters: free strains over age, as any kind of number; stress and failure level at each age. Leaves: the strain of each
//! step, and the age at cracking with its interval. How stress comes of strain stands in `superposition`. Strains in
//! microstrain (positive is shortening), stress in MPa (positive is tension), ages in days since casting.

use crate::number::Number;

/// Ages from the beginning of restraint on.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    ages: Vec<f64>,
}

impl Grid {
    /// About `steps` steps of equal ratio from `onset` to `end` (days, above zero), with each of `breaks`
    /// among the ages: ages at which something starts, such as drying.
    pub fn new(onset: f64, end: f64, steps: usize, breaks: &[f64]) -> Self {
        let mut corners: Vec<f64> = breaks.iter().copied().filter(|age| onset < *age && *age < end).collect();
        corners.extend([onset, end]);
        corners.sort_by(f64::total_cmp);
        corners.dedup();
        let whole = f64::ln(end / onset);
        let mut ages = vec![onset];
        for pair in corners.windows(2) {
            let part = f64::ln(pair[1] / pair[0]);
            // truncation is wanted: a whole number of steps, at least one
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let count = usize::max(1, (steps as f64 * part / whole).round() as usize);
            ages.extend((1..count).map(|step| pair[0] * f64::exp(part * step as f64 / count as f64)));
            ages.push(pair[1]);
        }
        Self { ages }
    }

    /// The ages, the beginning of restraint first.
    pub fn ages(&self) -> &[f64] {
        &self.ages
    }

    /// Number of steps: one less than ages.
    pub fn steps(&self) -> usize {
        self.ages.len() - 1
    }

    /// The middle of each step: modulus and creep are wanted at these ages.
    pub fn middles(&self) -> Vec<f64> {
        self.ages.windows(2).map(|pair| 0.5 * (pair[0] + pair[1])).collect()
    }

    /// The grid with every step cut in two, for an audit.
    #[must_use]
    pub fn halved(&self) -> Self {
        let mut ages = vec![self.ages[0]];
        for pair in self.ages.windows(2) {
            ages.extend([f64::sqrt(pair[0] * pair[1]), pair[1]]);
        }
        Self { ages }
    }
}

/// Free strain of each step, summed over what shrinks and swells.
#[derive(Clone, Debug)]
pub struct FreeStrain<N> {
    steps: Vec<N>,
}

impl<N: Number> FreeStrain<N> {
    /// No strain at all.
    pub fn none(grid: &Grid) -> Self {
        Self { steps: vec![N::constant(0.0); grid.steps()] }
    }

    /// The first steps alone.
    #[must_use]
    pub fn first(mut self, steps: usize) -> Self {
        self.steps.truncate(steps);
        self
    }

    /// Adds a strain of `amplitude` microstrain (negative for expansion) times what it has grown to at each age.
    pub fn add_grown(&mut self, amplitude: &N, grown: &[f64]) {
        for (step, pair) in self.steps.iter_mut().zip(grown.windows(2)) {
            step.add_scaled(amplitude, pair[1] - pair[0]);
        }
    }

    /// Adds a strain of `amplitude` microstrain (negative for expansion) times a growth with age.
    pub fn add(&mut self, grid: &Grid, amplitude: &N, growth: impl Fn(f64) -> f64) {
        let mut before = growth(grid.ages[0]);
        for (step, age) in self.steps.iter_mut().zip(&grid.ages[1..]) {
            let now = growth(*age);
            step.add_scaled(amplitude, now - before);
            before = now;
        }
    }

    /// The strain of each step, microstrain.
    pub fn steps(&self) -> &[N] {
        &self.steps
    }

    /// Adds `sign` times a strain known at each age of the grid, microstrain. Bounds are sharper with [`Self::add`].
    pub fn add_curve(&mut self, strains: &[N], sign: f64) {
        for (step, pair) in self.steps.iter_mut().zip(strains.windows(2)) {
            step.add_scaled(&(pair[1].clone() - pair[0].clone()), sign);
        }
    }
}

/// Whether and when restrained concrete cracks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cracking {
    /// Cracks at this age, days since casting.
    At(f64),
    /// Has not cracked by this age, days since casting: no age is known.
    NoneBy(f64),
}

/// The age at which stress first reaches the failure level, both in MPa at each age of the grid.
///
/// Between two ages, the share of stress in level is taken as linear in the logarithm of age.
pub fn age_at_cracking(grid: &Grid, stress: &[f64], level: &[f64]) -> Cracking {
    let excess = |at: usize| stress[at] - level[at];
    for (step, pair) in grid.ages.windows(2).enumerate() {
        let (before, after) = (excess(step), excess(step + 1));
        if after >= 0.0 {
            if before >= 0.0 {
                return Cracking::At(pair[0]);
            }
            let (before, after) = (before / level[step], after / level[step + 1]);
            let part = before / (before - after);
            return Cracking::At(pair[0] * f64::exp(f64::ln(pair[1] / pair[0]) * part));
        }
    }
    Cracking::NoneBy(grid.ages[grid.steps()])
}

/// Earliest and latest age at cracking when stress scatters by this share of itself (0.12 for rings:
/// Radlinska, Bucher and Weiss, Journal of ASTM International 2008, total coefficient of variation).
pub fn ages_at_cracking(grid: &Grid, stress: &[f64], level: &[f64], scatter: f64) -> [Cracking; 2] {
    [1.0 + scatter, 1.0 - scatter].map(|factor| {
        let scattered: Vec<f64> = stress.iter().map(|stress| stress * factor).collect();
        age_at_cracking(grid, &scattered, level)
    })
}
