//! Restrained concrete as a rule of a response: stress and failure level over age, at the factors of the mix.
//!
//! What enters: factor values. What leaves: headroom (failure level less stress, MPa) at each age of a grid, with
//! gradients and bounds, and the age at cracking. What the strains, moduli and strengths are bound to was settled when
//! the statement was read. Ages in days since casting.

use super::creep_course::Reference;
use super::formula::Slot;
use super::law::Law;
use super::law::cracking::{Cracking, FreeStrain, Grid, age_at_cracking, ages_at_cracking};
use super::law::superposition::{CreepShape, stress};
use super::setting::{Counted, Setting, Strain};
use super::temperature::Temperature;
use super::thermal::Thermal;
use crate::number::{Dual, Interval, Number};

/// Steps of the grid over the whole horizon.
const STEPS: usize = 60;
/// Share of the failure level by which a stress must pass it to count as a crack: below it lies the tolerance at which
/// limits count as met.
const BEYOND: f64 = 1e-6;

/// The rule of a response that is an age at cracking.
#[derive(Clone, Debug)]
pub struct Restrained {
    /// Its setting.
    pub setting: Setting,
    steps: Steps,
}

/// An amount and what it is multiplied by at each age.
type Separated = (Slot, Vec<f64>);

/// The grid and what does not depend on the mix, worked out once.
#[derive(Clone, Debug)]
struct Steps {
    grid: Grid,
    /// Equivalent ages at 20 degrees Celsius of the ages and of the middles of the steps, d.
    mature: [Vec<f64>; 2],
    shape: CreepShape,
    /// Modulus at the middles, and what it is multiplied by at 28 d.
    modulus: Option<(Separated, f64)>,
    tension: Option<Separated>,
    /// Signed, at the ages.
    strains: Vec<Option<Separated>>,
    /// What no mix changes, microstrain at the ages.
    temperature: Vec<f64>,
}

impl Steps {
    fn on(grid: Grid, setting: &Setting) -> Self {
        let mature = |ages: &[f64]| -> Vec<f64> { ages.iter().map(|age| setting.mature(*age)).collect() };
        let mature = [mature(grid.ages()), mature(&grid.middles())];
        let law = setting.creep.law;
        let shape = CreepShape::new(&grid, |age, loading| law.share(age - loading, setting.mature(loading)));
        let modulus = setting.modulus.separated(&mature[1]);
        let stated = setting.modulus.separated(&[28.0]).and_then(|(_, curve)| curve.first().copied());
        let scale = setting.strain_scale;
        let signed = |strain: &Strain| {
            let ages = if strain.cause.is_by_clock() { grid.ages() } else { &mature[0] };
            let (amount, curve) = strain.course.separated(ages)?;
            Some((amount, curve.iter().map(|grown| scale * strain.cause.sign() * grown).collect()))
        };
        let strain = |age: &f64| {
            scale
                * (setting.temperature.as_ref().map_or(0.0, |given| given.at(*age))
                    + setting
                        .thermal
                        .as_ref()
                        .filter(|thermal| thermal.rise().is_none())
                        .map_or(0.0, |thermal| thermal.strain(*age)))
        };
        Self {
            shape,
            modulus: modulus.zip(stated),
            tension: setting.tension.separated(&mature[0]),
            strains: setting.strains.iter().map(signed).collect(),
            temperature: grid.ages().iter().map(strain).collect(),
            mature,
            grid,
        }
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

impl Restrained {
    /// The rule on a grid that holds the beginning of drying.
    pub fn new(setting: Setting) -> Self {
        let steps = Steps::on(grid(&setting, &[]), &setting);
        Self { setting, steps }
    }

    /// Makes ages (d since casting) points of the grid, so that limits at them are judged at them.
    pub fn mark(&mut self, ages: &[f64]) {
        let wanted = grid(&self.setting, ages);
        if wanted != self.steps.grid {
            self.steps = Steps::on(wanted, &self.setting);
        }
    }

    /// The rule with every step cut in two, for an audit.
    #[must_use]
    pub fn finer(&self) -> Self {
        let steps = Steps::on(self.steps.grid.halved(), &self.setting);
        Self { setting: self.setting.clone(), steps }
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
        let (setting, known) = (&self.setting, &self.steps);
        let ages = &self.ages()[..=steps];
        let modulus = self.modulus(factors, steps);
        let mut strain = FreeStrain::none(&known.grid).first(steps);
        for (given, separated) in setting.strains.iter().zip(&known.strains) {
            if let Some((amount, grown)) = separated {
                strain.add_grown(&amount.of(factors), grown);
            } else {
                let ages = if given.cause.is_by_clock() { ages } else { &known.mature[0][..=steps] };
                let sign = setting.strain_scale * given.cause.sign();
                strain.add_curve(&given.course.over(ages, factors), sign);
            }
        }
        strain.add_grown(&N::constant(1.0), &known.temperature);
        let creep = self.creep(&modulus, factors);
        let restrainer = setting.restraint.restrainer(factors);
        let stresses = stress(&strain, &restrainer, &modulus, &creep, &known.shape);
        let [share, volume, gain, scale] = setting.failure.map(|slot| slot.of(factors));
        let per_strength =
            Law::FailureLevel.evaluate(&[N::constant(setting.direct), share, volume, gain, scale]);
        let tension = match &known.tension {
            Some((amount, curve)) => {
                let amount = amount.of(factors);
                curve[..=steps].iter().map(|grown| amount.clone() * *grown).collect()
            }
            None => setting.tension.over(&known.mature[0][..=steps], factors),
        };
        let levels = tension.into_iter().map(|tension| tension * per_strength.clone()).collect();
        (stresses, levels)
    }

    /// Modulus at the middle of the first steps, GPa.
    pub(super) fn modulus<N: Number>(&self, factors: &[N], steps: usize) -> Vec<N> {
        match &self.steps.modulus {
            Some(((amount, curve), _)) => {
                let amount = amount.of(factors);
                curve[..steps].iter().map(|grown| amount.clone() * *grown).collect()
            }
            None => self.setting.modulus.over(&self.steps.mature[1][..steps], factors),
        }
    }

    /// Creep strain over elastic strain at loading, for stress applied in the middle of each step: the final coefficient,
    /// brought to the modulus there.
    pub(super) fn creep<N: Number>(&self, modulus: &[N], factors: &[N]) -> Vec<N> {
        let last = self.setting.creep.last.of(factors);
        let Reference::At28(times) = self.setting.creep.law.reference() else {
            return vec![last; modulus.len()];
        };
        if let Some(((_, curve), stated)) = &self.steps.modulus {
            let over = |grown: &f64| last.clone() * (grown / (times * stated));
            return curve[..modulus.len()].iter().map(over).collect();
        }
        let stated = self.setting.modulus.over(&[28.0], factors);
        let over = |modulus: &N| last.clone() * modulus.clone() / (stated[0].clone() * times);
        modulus.iter().map(over).collect()
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

    /// Highest share of the failure level that the stress reaches up to an age (d since casting), between two points of the
    /// grid as [`Self::outcome`] takes it: linear in the logarithm of age. Zero before restraint begins; none beyond the
    /// horizon.
    pub fn share_up_to(&self, history: &History, age: f64) -> Option<f64> {
        let ages = self.ages();
        let share = |at: usize| history.stress[at] / history.level[at];
        if ages.last().is_none_or(|last| last * (1.0 + 1e-9) < age) {
            return None;
        }
        let mut most = 0.0_f64;
        for at in 1..ages.len() {
            if age <= ages[at - 1] {
                break;
            }
            let part = (f64::ln(age / ages[at - 1]) / f64::ln(ages[at] / ages[at - 1])).min(1.0);
            most = most.max(share(at - 1) + part * (share(at) - share(at - 1)));
        }
        Some(most)
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
            .skip(1)
            .map(|(stress, level)| stress / level)
            .max_by(|a, b| a.value.total_cmp(&b.value))
            .unwrap_or_else(|| Dual::constant(0.0));
        (peak.value, (0..count).map(|index| peak.slope(index)).collect())
    }

    /// Bounds of the peak over a box.
    pub fn peak_bounds(&self, factors: &[Interval]) -> Interval {
        let (stress, level) = self.courses(factors, self.steps.grid.steps());
        let shares = stress.into_iter().zip(level).skip(1).map(|(stress, level)| stress / level);
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

    /// Earliest and latest age with the scatter of stress and strength, taken as independent; days since casting.
    pub fn outcomes(&self, history: &History) -> [Cracking; 2] {
        let [stress, strength] = self.setting.scatter;
        ages_at_cracking(&self.steps.grid, &history.stress, &history.level, stress.hypot(strength))
    }
}

/// What the terms of the stress are made of.
impl Restrained {
    pub(super) fn grid(&self) -> &Grid {
        &self.steps.grid
    }

    pub(super) fn creep_shape(&self) -> &CreepShape {
        &self.steps.shape
    }

    /// The amounts of modulus, strains and tensile strength, where no factor of the mix shapes their growth.
    pub(super) fn separated(&self) -> (Option<&Slot>, Vec<Option<&Slot>>, Option<&Slot>) {
        let steps = &self.steps;
        let modulus = steps.modulus.as_ref().map(|((amount, _), _)| amount);
        let strains = steps.strains.iter().map(|strain| strain.as_ref().map(|(amount, _)| amount)).collect();
        (modulus, strains, steps.tension.as_ref().map(|(amount, _)| amount))
    }

    /// A strain's growth at the ages, signed; level where the mix shapes it.
    pub(super) fn grown_strain(&self, at: usize) -> &[f64] {
        self.steps.strains[at].as_ref().map_or(&[], |(_, grown)| grown)
    }

    /// The strain that no mix changes, microstrain at the ages.
    pub(super) fn known_strain(&self) -> &[f64] {
        &self.steps.temperature
    }

    /// Whether anything but the mix strains it.
    pub(super) fn has_known_strain(&self) -> bool {
        self.steps.temperature.windows(2).any(|pair| pair[0] != pair[1])
    }

    pub(super) fn grown_tension(&self) -> &[f64] {
        self.steps.tension.as_ref().map_or(&[], |(_, grown)| grown)
    }
}

fn grid(setting: &Setting, ages: &[f64]) -> Grid {
    let mut breaks = ages.to_vec();
    breaks.extend(setting.drying);
    breaks.extend(setting.temperature.iter().flat_map(Temperature::ages));
    breaks.extend(setting.thermal.iter().flat_map(Thermal::ages));
    Grid::new(setting.onset, setting.horizon, STEPS, &breaks)
}
