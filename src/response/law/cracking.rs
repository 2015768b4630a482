//! Stress in restrained concrete, step by step, and the age at which it cracks.
//!
//! Enters: a grid of ages, the free strain of each step, and modulus and creep at the middle of each step, as
//! any kind of number. Leaves: the stress at each age, with its gradient or bounds. Where strains, moduli and
//! strengths come from is not known here. Strains in microstrain (positive is shortening), moduli in GPa,
//! stress in MPa (positive is tension), ages in days since casting.
//!
//! Superposition: each step's increment of stress, applied in the middle of the step, strains by `(1 + creep)
//! / modulus`, and all together cancel the restrained part of the free strain at every age of the grid.
//! Written for differences between ages, the sums shrink, and so do rounding and the bounds of intervals.
//! Creep is a coefficient per step (any number, it may depend on inputs) times a shape of age and loading age
//! (plain, it may not), which is what keeps gradients cheap.

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

    /// Adds `sign` times a strain known at each age of the grid, microstrain. Bounds are sharper with [`Self::add`].
    pub fn add_curve(&mut self, strains: &[N], sign: f64) {
        for (step, pair) in self.steps.iter_mut().zip(strains.windows(2)) {
            step.add_scaled(&(pair[1].clone() - pair[0].clone()), sign);
        }
    }
}

/// How creep grows on a grid, whatever the mix; worked out once for many mixes.
#[derive(Clone, Debug)]
pub struct CreepShape {
    /// At the end of the loading step itself.
    own: Vec<f64>,
    /// Growth during step i of what was loaded in step j < i, row after row.
    growth: Vec<f64>,
}

impl CreepShape {
    /// From a shape of age and loading age (days), such as `d^0.6 / (10 + d^0.6)` with `d = age - loading
    /// age`.
    pub fn new(grid: &Grid, shape: impl Fn(f64, f64) -> f64) -> Self {
        let middles = grid.middles();
        let own = middles.iter().zip(&grid.ages[1..]).map(|(middle, end)| shape(*end, *middle)).collect();
        let mut growth = Vec::with_capacity(grid.steps() * (grid.steps() - 1) / 2);
        for (row, pair) in grid.ages.windows(2).enumerate() {
            growth.extend(
                middles[..row].iter().map(|middle| shape(pair[1], *middle) - shape(pair[0], *middle)),
            );
        }
        Self { own, growth }
    }
}

/// Stress at each age of the grid, MPa; zero at the first.
///
/// `degree` is the degree of restraint, one number per step; `modulus` (GPa) and `creep` (the coefficient that the shape
/// multiplies, relative to that modulus) hold one number per step, at its middle.
pub fn stress<N: Number>(
    strain: &FreeStrain<N>,
    degree: &[N],
    modulus: &[N],
    creep: &[N],
    shape: &CreepShape,
) -> Vec<N> {
    let mut sum = N::constant(0.0);
    let mut stresses = Vec::with_capacity(modulus.len() + 1);
    stresses.push(sum.clone());
    // per step: elastic strain of its increment, times its creep coefficient
    let mut creeping: Vec<N> = Vec::with_capacity(modulus.len());
    let mut rows = shape.growth.as_slice();
    for (step, free) in strain.steps.iter().enumerate() {
        let (row, rest) = rows.split_at(step);
        rows = rest;
        let mut elastic = free.clone() * degree[step].clone();
        for (earlier, growth) in creeping.iter().zip(row) {
            elastic.add_scaled(earlier, -growth);
        }
        elastic = elastic / (creep[step].clone() * shape.own[step] + 1.0);
        // microstrain times GPa is kPa
        sum.add_scaled(&(elastic.clone() * modulus[step].clone()), 1e-3);
        stresses.push(sum.clone());
        creeping.push(elastic * creep[step].clone());
    }
    stresses
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
