//! Stress in restrained concrete by superposition, step by step.
//!
//! Enters: the free strain of each step, modulus and creep at the middle of each step, as any kind of number, and what
//! restrains. Leaves: the stress at each age, with its gradient or bounds. Where strains and moduli come from is not
//! known here. Strains in microstrain (positive is shortening), moduli in GPa, stress in MPa (positive is tension).
//!
//! At every age the free strain is what the concrete gives by its compliance `1/E(t') + phi(t, t')/E_ref` under all
//! increments of stress, plus what the restraint gives at that age: steel and a base do not creep. A constant degree of
//! restraint has nothing that gives; it multiplies the free strain, which is as if the restraint crept with the concrete.
//! Written for differences between ages, the sums shrink, and so do rounding and the bounds of intervals. Creep is a
//! coefficient per step (any number, it may depend on inputs) times a shape of age and loading age (plain, it may
//! not), which is what keeps gradients cheap.

use super::cracking::{FreeStrain, Grid};
use super::ring::RingCoefficients;
use crate::number::Number;

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
        let (middles, ages) = (grid.middles(), grid.ages());
        let own = middles.iter().zip(&ages[1..]).map(|(middle, end)| shape(*end, *middle)).collect();
        let mut growth = Vec::with_capacity(grid.steps() * grid.steps().saturating_sub(1) / 2);
        for (row, pair) in ages.windows(2).enumerate() {
            growth.extend(
                middles[..row].iter().map(|middle| shape(pair[1], *middle) - shape(pair[0], *middle)),
            );
        }
        Self { own, growth }
    }
}

/// What holds the concrete back.
#[derive(Clone, Debug, PartialEq)]
pub struct Restrainer<N> {
    /// Part of the free strain that meets it.
    degree: N,
    /// What the restraint gives over what elastic concrete gives, per GPa of the concrete.
    softness: f64,
    /// Stress that is compared, per stress of a bar of the same elastic strain.
    stress: f64,
}

impl<N: Number> Restrainer<N> {
    /// A constant degree: 0 free, 1 held fast. The restraint gives in time as the concrete does.
    pub fn degree(degree: N) -> Self {
        Self { degree, softness: 0.0, stress: 1.0 }
    }

    /// An elastic base of `stiffness` GPa: its stress in the concrete per strain that it gives.
    pub fn base(stiffness: f64) -> Self {
        Self { degree: N::constant(1.0), softness: stiffness.recip(), stress: 1.0 }
    }

    /// A steel ring; `hoop` is the hoop stress that is compared, per pressure between steel and concrete.
    pub fn ring(ring: &RingCoefficients, hoop: f64) -> Self {
        Self { degree: N::constant(1.0), softness: ring.steel / ring.concrete, stress: hoop / ring.concrete }
    }
}

/// Stress at each age of the grid, MPa; zero at the first.
///
/// `modulus` (GPa) and `creep` (what the shape is multiplied by: creep strain over the elastic strain at loading) hold one
/// number per step, at its middle.
pub fn stress<N: Number>(
    strain: &FreeStrain<N>,
    restrainer: &Restrainer<N>,
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
    for (step, free) in strain.steps().iter().enumerate() {
        let (row, rest) = rows.split_at(step);
        rows = rest;
        let mut elastic = free.clone() * restrainer.degree.clone();
        for (earlier, growth) in creeping.iter().zip(row) {
            elastic.add_scaled(earlier, -growth);
        }
        let mut gives = creep[step].clone() * shape.own[step] + 1.0;
        if restrainer.softness != 0.0 {
            gives.add_scaled(&modulus[step], restrainer.softness);
        }
        elastic = elastic / gives;
        // microstrain times GPa is kPa
        sum.add_scaled(&(elastic.clone() * modulus[step].clone()), 1e-3 * restrainer.stress);
        stresses.push(sum.clone());
        creeping.push(elastic * creep[step].clone());
    }
    stresses
}
