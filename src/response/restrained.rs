//! Restrained concrete as a rule of a response: stress and failure level over age, at the factors of the mix.
//!
//! What enters: factor values. What leaves: headroom (failure level less stress, MPa) at each age of a grid, with
//! gradients and bounds, and the age at cracking. What the strains, moduli and strengths are bound to was settled when
//! the statement was read. Ages in days since casting.

use super::formula::Slot;
use super::law::cracking::{
    Cracking, CreepShape, FreeStrain, Grid, age_at_cracking, ages_at_cracking, stress,
};
use super::law::ring_class::Ring;
use super::law::{Law, aci_growth};
use super::temperature::Temperature;
use crate::number::{Dual, Interval, Number};

/// Steps of the grid over the whole horizon.
const STEPS: usize = 60;
/// Share of the failure level by which a stress must pass it to count as a crack: below it lies the tolerance at which
/// limits count as met.
const BEYOND: f64 = 1e-6;

/// Something that depends on age: an amount that grows by a known curve, or a law evaluated at every age.
#[derive(Clone, Debug)]
pub enum Course {
    /// An amount times a curve.
    Grown {
        /// The amount.
        amount: Slot,
        /// What it is multiplied by.
        curve: Curve,
    },
    /// A law; the input without a slot is the age.
    ByLaw {
        /// The law.
        law: Law,
        /// What stands at each input.
        slots: Vec<Option<Slot>>,
    },
}

/// A curve over age.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Curve {
    /// `d / (half + d)` over the same at `at`, with `d` days since `start`; `at` infinite for the final amount.
    Hyperbola {
        /// Start, d since casting.
        start: f64,
        /// Days after which half of the final amount is there.
        half: f64,
        /// Days after the start at which the amount is stated.
        at: f64,
    },
    /// `1 - exp(-rate sqrt(d))` over the same at `at`.
    Root {
        /// Start, d since casting.
        start: f64,
        /// Rate per root of a day.
        rate: f64,
        /// Days after the start at which the amount is stated.
        at: f64,
    },
    /// The age factor of EN 1992-1-1 with growth constant `s`, to a power.
    Ageing {
        /// Growth constant of the cement class.
        s: f64,
        /// Power.
        power: f64,
    },
}

impl Curve {
    /// The curve at an age in days since casting.
    pub fn at(self, age: f64) -> f64 {
        match self {
            Self::Hyperbola { start, half, at } => {
                let shape = |days: f64| if days.is_finite() { days / (half + days) } else { 1.0 };
                shape((age - start).max(0.0)) / shape(at)
            }
            Self::Root { start, rate, at } => {
                let shape = |days: f64| 1.0 - f64::exp(-rate * days.sqrt());
                shape((age - start).max(0.0)) / shape(at)
            }
            Self::Ageing { s, power } => Law::EurocodeAgeFactor.value(&[age, s]).powf(power),
        }
    }
}

/// How the free strain is held back.
#[derive(Clone, Debug, PartialEq)]
pub enum Restraint {
    /// A degree between 0 and 1.
    Degree(Slot),
    /// A steel ring inside the concrete: steel inside, steel outside, concrete outside, mm.
    Ring {
        /// Radii, mm.
        radii: [f64; 3],
        /// The standard ring, if it is one.
        standard: Option<Ring>,
    },
    /// A layer on a base: modulus of the base, GPa; thickness of base and layer, mm.
    Overlay {
        /// Modulus of the base, GPa.
        base_modulus: f64,
        /// Thickness of the base, mm.
        base: f64,
        /// Thickness of the layer, mm.
        layer: f64,
    },
}

/// What restrained concrete is subjected to, and what it is made of.
#[derive(Clone, Debug)]
pub struct Setting {
    /// How the strain is held back.
    pub restraint: Restraint,
    /// Age at which restraint begins, d.
    pub onset: f64,
    /// Age at which drying begins, d; none if nothing dries.
    pub drying: Option<f64>,
    /// From when the response counts its days.
    pub counted: Counted,
    /// Last age looked at, d.
    pub horizon: f64,
    /// Free strains with their signs: shrinkage +1, expansion -1.
    pub strains: Vec<(Course, f64)>,
    /// Strain of temperature, if one was given.
    pub temperature: Option<Temperature>,
    /// Modulus, GPa.
    pub modulus: Course,
    /// Tensile strength, MPa.
    pub tension: Course,
    /// Final creep coefficient; its growth is that of ACI 209.
    pub creep: Slot,
    /// Share, fibre volume (%), gain through fibres, fibre scale (%): the inputs of the failure level.
    pub failure: [Slot; 4],
    /// Scatter of the test, share of the stress.
    pub scatter: f64,
}

/// The rule of a response that is an age at cracking.
#[derive(Clone, Debug)]
pub struct Restrained {
    /// Its setting.
    pub setting: Setting,
    steps: Steps,
}

/// From when a response counts its days.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counted {
    /// Since casting.
    Casting,
    /// Since drying began.
    Drying,
}

/// The grid and what does not depend on the mix, worked out once.
#[derive(Clone, Debug)]
struct Steps {
    grid: Grid,
    middles: Vec<f64>,
    shape: CreepShape,
}

impl Steps {
    fn on(grid: Grid) -> Self {
        let shape = CreepShape::new(&grid, |age, loading| aci_growth(&(age - loading)));
        Self { middles: grid.middles(), grid, shape }
    }
}

/// What a mix comes to.
#[derive(Clone, Debug)]
pub struct History {
    /// Ages, d since casting.
    pub ages: Vec<f64>,
    /// Stress, MPa.
    pub stress: Vec<f64>,
    /// Stress at which it cracks, MPa.
    pub level: Vec<f64>,
}

fn at<N: Number>(slot: Slot, factors: &[N]) -> N {
    match slot {
        Slot::Fixed(value) => N::constant(value),
        Slot::Factor(index) => factors[index].clone(),
    }
}

impl Course {
    fn over<N: Number>(&self, ages: &[f64], factors: &[N]) -> Vec<N> {
        match self {
            Self::Grown { amount, curve } => {
                let amount = at(*amount, factors);
                ages.iter().map(|age| amount.clone() * curve.at(*age)).collect()
            }
            Self::ByLaw { law, slots } => ages
                .iter()
                .map(|age| {
                    let inputs: Vec<N> = slots
                        .iter()
                        .map(|slot| slot.map_or_else(|| N::constant(*age), |slot| at(slot, factors)))
                        .collect();
                    law.evaluate(&inputs)
                })
                .collect(),
        }
    }
}

impl Restrained {
    /// The rule on a grid that holds the beginning of drying.
    pub fn new(setting: Setting) -> Self {
        let steps = grid(&setting, &[]);
        Self { setting, steps: Steps::on(steps) }
    }

    /// Makes ages (d since casting) points of the grid, so that limits at them are judged at them.
    pub fn mark(&mut self, ages: &[f64]) {
        let wanted = grid(&self.setting, ages);
        if wanted != self.steps.grid {
            self.steps = Steps::on(wanted);
        }
    }

    /// The rule with every step cut in two, for an audit.
    #[must_use]
    pub fn finer(&self) -> Self {
        Self { setting: self.setting.clone(), steps: Steps::on(self.steps.grid.halved()) }
    }

    /// Ages of the grid, d since casting.
    pub fn ages(&self) -> &[f64] {
        self.steps.grid.ages()
    }

    /// Days since casting at which the response begins to count.
    pub fn counted_since(&self) -> f64 {
        match self.setting.counted {
            Counted::Casting => 0.0,
            Counted::Drying => self.setting.drying.unwrap_or(0.0),
        }
    }

    /// Points of the grid after the onset and up to an age (d since casting): where a limit has its rows.
    pub fn rows_up_to(&self, age: f64) -> impl Iterator<Item = usize> + '_ {
        let last = age * (1.0 + 1e-12);
        (1..self.ages().len()).take_while(move |step| self.ages()[*step] <= last)
    }

    /// Stress and failure level at the first points of the grid, MPa, the onset at index 0 among them.
    fn courses<N: Number>(&self, factors: &[N], steps: usize) -> (Vec<N>, Vec<N>) {
        let setting = &self.setting;
        let ages = &self.ages()[..=steps];
        let modulus = setting.modulus.over(&self.steps.middles[..steps], factors);
        let mut strain = FreeStrain::none(&self.steps.grid).first(steps);
        for (course, sign) in &setting.strains {
            match course {
                Course::Grown { amount, curve } => {
                    let grown: Vec<f64> = ages.iter().map(|age| sign * curve.at(*age)).collect();
                    strain.add_grown(&at(*amount, factors), &grown);
                }
                Course::ByLaw { .. } => strain.add_curve(&course.over(ages, factors), *sign),
            }
        }
        if let Some(temperature) = &setting.temperature {
            let known: Vec<f64> = ages.iter().map(|age| temperature.at(*age)).collect();
            strain.add_grown(&N::constant(1.0), &known);
        }
        let degree: Vec<N> = modulus.iter().map(|modulus| self.degree(modulus, factors)).collect();
        let creep = vec![at(setting.creep, factors); steps];
        let stresses = stress(&strain, &degree, &modulus, &creep, &self.steps.shape);
        let [share, volume, gain, scale] = setting.failure.map(|slot| at(slot, factors));
        let per_strength = Law::FailureLevel.evaluate(&[N::constant(1.0), share, volume, gain, scale]);
        let tension = setting.tension.over(ages, factors);
        let levels = tension.into_iter().map(|tension| tension * per_strength.clone()).collect();
        (stresses, levels)
    }

    fn degree<N: Number>(&self, modulus: &N, factors: &[N]) -> N {
        let with = |law: Law, given: &[f64], at: usize| {
            let inputs = law.card().inputs.iter().enumerate().map(|(index, input)| {
                if index == at {
                    return modulus.clone();
                }
                let value = given.get(index - usize::from(at < index)).copied().or(input.default);
                N::constant(value.expect("every other input is given or has a published value"))
            });
            law.evaluate(&inputs.collect::<Vec<N>>())
        };
        match &self.setting.restraint {
            Restraint::Degree(slot) => at(*slot, factors),
            Restraint::Ring { radii, .. } => with(Law::RingRestraint, radii, 0),
            Restraint::Overlay { base_modulus, base, layer } => {
                with(Law::AxialRestraint, &[*base_modulus, *base, *layer], 2)
            }
        }
    }

    /// Failure level less stress at every point of the grid up to one, MPa, with gradients by factors.
    pub fn sloped_headrooms(&self, factors: &[f64], last: usize) -> Vec<(f64, Vec<f64>)> {
        let count = factors.len();
        let duals: Vec<Dual> =
            factors.iter().enumerate().map(|(index, value)| Dual::variable(*value, index, count)).collect();
        let (stress, level) = self.courses(&duals, last);
        let sloped = |(stress, level): (Dual, Dual)| {
            let headroom = level - stress;
            (headroom.value, (0..count).map(|index| headroom.slope(index)).collect())
        };
        stress.into_iter().zip(level).map(sloped).collect()
    }

    /// Failure level less stress at every point of the grid up to one, MPa.
    pub fn headrooms(&self, factors: &[f64], last: usize) -> Vec<f64> {
        let (stress, level) = self.courses(factors, last);
        stress.iter().zip(&level).map(|(stress, level)| level - stress).collect()
    }

    /// Bounds of the slopes of the headroom by each factor over a box, at every point of the grid up to one.
    pub fn headroom_slopes(&self, factors: &[Interval], last: usize) -> Vec<Vec<Interval>> {
        let count = factors.len();
        let duals: Vec<Dual<Interval>> =
            factors.iter().enumerate().map(|(index, range)| Dual::variable(*range, index, count)).collect();
        let (stress, level) = self.courses(&duals, last);
        let slopes = |(stress, level): (&Dual<Interval>, &Dual<Interval>)| {
            let headroom = level.clone() - stress.clone();
            (0..count).map(|index| headroom.slope(index)).collect()
        };
        stress.iter().zip(&level).map(slopes).collect()
    }

    /// Highest share of the failure level that the stress reaches up to the horizon, with its gradient.
    pub fn peak(&self, factors: &[f64]) -> (f64, Vec<f64>) {
        let count = factors.len();
        let duals: Vec<Dual> =
            factors.iter().enumerate().map(|(index, value)| Dual::variable(*value, index, count)).collect();
        let (stress, level) = self.courses(&duals, self.steps.grid.steps());
        let peak = stress
            .into_iter()
            .zip(level)
            .map(|(stress, level)| stress / level)
            .max_by(|a, b| a.value.total_cmp(&b.value))
            .unwrap_or_else(|| Dual::constant(0.0));
        (peak.value, (0..count).map(|index| peak.slope(index)).collect())
    }

    /// Bounds of the peak over a box.
    pub fn peak_bounds(&self, factors: &[Interval]) -> Interval {
        let (stress, level) = self.courses(factors, self.steps.grid.steps());
        let shares = stress.into_iter().zip(level).map(|(stress, level)| stress / level);
        shares.reduce(|a, b| Number::max(&a, &b)).unwrap_or(Interval::WHOLE)
    }

    /// Stress and failure level over age.
    pub fn history(&self, factors: &[f64]) -> History {
        let (stress, level) = self.courses(factors, self.steps.grid.steps());
        History { ages: self.ages().to_vec(), stress, level }
    }

    /// The age at which it cracks; days since casting.
    pub fn outcome(&self, history: &History) -> Cracking {
        let level: Vec<f64> = history.level.iter().map(|level| level * (1.0 + BEYOND)).collect();
        age_at_cracking(&self.steps.grid, &history.stress, &level)
    }

    /// Earliest and latest age with the scatter of the test; days since casting.
    pub fn outcomes(&self, history: &History) -> [Cracking; 2] {
        ages_at_cracking(&self.steps.grid, &history.stress, &history.level, self.setting.scatter)
    }
}

fn grid(setting: &Setting, ages: &[f64]) -> Grid {
    let mut breaks = ages.to_vec();
    breaks.extend(setting.drying);
    breaks.extend(setting.temperature.iter().flat_map(Temperature::ages));
    Grid::new(setting.onset, setting.horizon, STEPS, &breaks)
}
