//! One batch as really weighed, from numbers between zero and one.
//!
//! What enters: a problem with its production, a mix, and a point of the unit cube. What leaves: the mix really made per m3
//! of concrete really made, and what the materials' variability adds to each predictor. It does not judge.
//!
//! A tolerance is a limit, not a deviation: it applies to what the scale shows, the stockpile's mass with its water, or
//! the metered water. Where materials are weighed on top of each other, the running total is what deviates, so that an
//! excess of one is missing from the next. Water is metered for the moisture believed; what the aggregates really bring
//! differs by the error of the moisture.

use crate::listed::Id;
use crate::material::{Material, Role};
use crate::mixture::Air;
use crate::number::Interval;
use crate::number::deviate::normal_deviate;
use crate::problem::{BatchingRules, Deviations, Problem, Production};
use crate::response::Response;
use crate::standard::tolerance::{Tolerance, Weighed, running, single};

/// Something that varies from batch to batch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// The scale or meter of a material.
    Weighing(Id<Material>),
    /// The moisture of an aggregate.
    Moisture(Id<Material>),
    /// The density of a material.
    Density(Id<Material>),
    /// The air content.
    Air,
    /// The materials' own variability, as a response shows it.
    Materials(Id<Response>),
}

/// One mass that is weighed or metered, per m3 of concrete.
#[derive(Clone, Copy, Debug)]
struct Stage {
    material: Id<Material>,
    /// What the scale is to show, kg.
    target: f64,
    /// Ends of the deviation of the running total, kg.
    low: f64,
    high: f64,
    /// Whether the scale holds what was weighed before.
    follows: bool,
    bias: f64,
    dimension: usize,
}

/// How batches of one mix are made.
#[derive(Clone, Debug)]
pub struct Batching<'p> {
    problem: &'p Problem,
    deviations: Deviations,
    mix: Vec<f64>,
    stages: Vec<Stage>,
    water: Option<Id<Material>>,
    /// Believed moisture by material, kg per kg dry.
    moisture: Vec<f64>,
    moisture_error: Vec<(Id<Material>, f64, usize)>,
    densities: Vec<(Id<Material>, f64, usize)>,
    air: Option<(f64, usize)>,
    materials: Vec<(Id<Response>, f64, usize)>,
    /// What varies, by dimension of the cube.
    pub causes: Vec<Cause>,
}

/// A batch.
#[derive(Clone, Debug)]
pub struct Batch {
    /// Columns of the problem, per m3 of concrete really made.
    pub mix: Vec<f64>,
    /// Added to each response's predictor.
    pub shifts: Vec<f64>,
    /// Volume really made, m3 for one m3 ordered.
    pub volume: f64,
}

/// Amounts below this are not weighed, kg per m3.
const NONE: f64 = 1e-9;

impl<'p> Batching<'p> {
    /// How batches of a mix are made under a production.
    pub fn new(problem: &'p Problem, production: &Production, mix: &[f64]) -> Self {
        let shelf = &problem.mixture.catalogue.materials;
        let moisture: Vec<f64> =
            shelf.iter().map(|material| material.moisture.unwrap_or(material.absorption)).collect();
        let mut made = Self {
            problem,
            deviations: production.deviations,
            mix: mix.to_vec(),
            stages: Vec::new(),
            water: problem.mixture.corrected_water(mix),
            moisture,
            moisture_error: Vec::new(),
            densities: Vec::new(),
            air: None,
            materials: Vec::new(),
            causes: Vec::new(),
        };
        made.add_stages(production);
        let used = |index: Id<Material>| NONE < mix[index.index()];
        for (material, deviation) in production.moisture.iter().filter(|(index, _)| used(*index)) {
            let dimension = made.dimension(Cause::Moisture(*material));
            made.moisture_error.push((*material, *deviation, dimension));
        }
        for (material, deviation) in production.densities.iter().filter(|(index, _)| used(*index)) {
            let dimension = made.dimension(Cause::Density(*material));
            made.densities.push((*material, *deviation, dimension));
        }
        if 0.0 < production.air {
            made.air = Some((production.air, made.dimension(Cause::Air)));
        }
        for (response, deviation) in &production.materials {
            // On the scale of the predictor, by the slope of the link at the mix as designed.
            let slope = problem
                .predict(*response, mix)
                .map_or(0.0, |prediction| problem.responses[*response].slope(prediction.predictor).abs());
            if 0.0 < slope {
                let dimension = made.dimension(Cause::Materials(*response));
                made.materials.push((*response, deviation / slope, dimension));
            }
        }
        made
    }

    fn dimension(&mut self, cause: Cause) -> usize {
        self.causes.push(cause);
        self.causes.len() - 1
    }

    /// What the scale is to show of a material, kg per m3: aggregates moist, water corrected for them.
    fn target(&self, material: Id<Material>) -> f64 {
        let described = &self.problem.mixture.catalogue.materials[material];
        if described.role.is_aggregate() {
            return self.mix[material.index()] * described.dry() * (1.0 + self.moisture[material.index()]);
        }
        if self.water == Some(material) {
            let brought: f64 = self
                .problem
                .mixture
                .catalogue
                .materials
                .ids()
                .filter(|index| self.problem.mixture.catalogue.materials[*index].role.is_aggregate())
                .map(|index| self.target(index) - self.mix[index.index()])
                .sum();
            return (self.mix[material.index()] - brought).max(0.0);
        }
        self.mix[material.index()]
    }

    fn add_stages(&mut self, production: &Production) {
        let shelf = &self.problem.mixture.catalogue.materials;
        let cement: f64 = shelf
            .iter()
            .zip(&self.mix)
            .filter(|(m, _)| m.role == Role::Cement)
            .map(|(_, amount)| amount)
            .sum();
        let weighed = |material: Id<Material>| {
            Weighed::of(
                shelf[material].role,
                if cement <= 0.0 { 1.0 } else { self.mix[material.index()] / cement },
            )
        };
        let used = |material: &Id<Material>| NONE < self.mix[material.index()];
        let on_scales: Vec<Id<Material>> =
            production.scales.iter().flat_map(|scale| scale.of.clone()).collect();
        let free: Vec<Id<Material>> =
            shelf.ids().filter(used).filter(|index| !on_scales.contains(index)).collect();
        // EN 206 gives its tolerance to all aggregates together: their running total deviates.
        let together: Vec<Id<Material>> = free
            .iter()
            .copied()
            .filter(|index| production.rules == BatchingRules::En206 && shelf[*index].role.is_aggregate())
            .collect();
        let alone: Vec<Vec<Id<Material>>> =
            free.iter().filter(|index| !together.contains(index)).map(|index| vec![*index]).collect();
        let scales = production.scales.iter().map(|scale| {
            let of: Vec<Id<Material>> = scale.of.iter().copied().filter(used).collect();
            (of, scale.capacity, scale.bias)
        });
        let groups: Vec<(Vec<Id<Material>>, Option<f64>, f64)> = scales
            .chain(std::iter::once((together, None, 0.0)))
            .chain(alone.into_iter().map(|of| (of, None, 0.0)))
            .filter(|(of, ..)| !of.is_empty())
            .collect();
        let mut stages = Vec::new();
        let mut causes = Vec::new();
        for (of, capacity, bias) in groups {
            let mut total = 0.0;
            for (position, material) in of.iter().enumerate() {
                let target = self.target(*material);
                total += target;
                let load = capacity.map(|capacity| total * production.batch / capacity);
                let own = production.tolerances.iter().find(|(index, _)| index == material);
                let tolerance = match own {
                    // An author's tolerance is of the mass itself.
                    Some((_, share)) => Tolerance::both(share * target / total.max(NONE)),
                    None if of.len() == 1 => single(production.rules, weighed(*material), load),
                    None => running(production.rules, weighed(*material), load),
                };
                stages.push(Stage {
                    material: *material,
                    target,
                    low: tolerance.low * total,
                    high: tolerance.high * total,
                    follows: 0 < position,
                    bias,
                    dimension: causes.len(),
                });
                causes.push(Cause::Weighing(*material));
            }
        }
        self.stages = stages;
        self.causes = causes;
    }

    /// The batch at a point of the unit cube, whose dimensions are those of `causes`.
    pub fn at(&self, point: &[f64]) -> Batch {
        let mut batch = Batch {
            mix: vec![0.0; self.mix.len()],
            shifts: vec![0.0; self.problem.responses.len()],
            volume: 1.0,
        };
        self.make(point, &mut batch);
        batch
    }

    /// The same into a batch that is there.
    pub fn make(&self, point: &[f64], batch: &mut Batch) {
        let shelf = &self.problem.mixture.catalogue.materials;
        batch.mix.copy_from_slice(&self.mix);
        let mut before = 0.0;
        for stage in &self.stages {
            let deviation = self.deviation(stage.low, stage.high, point[stage.dimension]);
            let prior = if stage.follows { before } else { 0.0 };
            batch.mix[stage.material.index()] =
                ((stage.target + deviation - prior) * (1.0 + stage.bias)).max(0.0);
            before = deviation;
        }
        // What was weighed moist becomes reference states and free water.
        let mut free_water = 0.0;
        for (index, material) in shelf.named().filter(|(_, m)| m.role.is_aggregate()) {
            let error = self.moisture_error.iter().find(|(known, ..)| *known == index);
            let error =
                error.map_or(0.0, |(_, deviation, dimension)| deviation * normal_deviate(point[*dimension]));
            let weighed = batch.mix[index.index()];
            let dry = weighed / (1.0 + (self.moisture[index.index()] + error).max(0.0));
            batch.mix[index.index()] = dry * (1.0 + material.absorption);
            free_water += weighed - batch.mix[index.index()];
        }
        if let Some(water) = self.water {
            batch.mix[water.index()] = (batch.mix[water.index()] + free_water).max(0.0);
        }
        let mut solid: f64 =
            shelf.iter().zip(&batch.mix).map(|(material, mass)| mass / material.density).sum();
        for (material, deviation, dimension) in &self.densities {
            let factor = 1.0 + deviation * normal_deviate(point[*dimension]);
            let volume = batch.mix[material.index()] / shelf[*material].density;
            solid += volume / factor.max(0.1) - volume;
        }
        let error = self.air.map_or(0.0, |(deviation, at)| deviation * normal_deviate(point[at]));
        let air = Interval::new(0.0, 0.9).nearest(self.problem.mixture.air_volume().at(&self.mix) + error);
        batch.volume = solid / (1.0 - air);
        for mass in batch.mix.iter_mut().take(shelf.len()) {
            *mass /= batch.volume;
        }
        if let Air::Variable(column) = self.problem.mixture.air {
            batch.mix[column] = air;
        }
        self.problem.mixture.settle(&mut batch.mix);
        batch.shifts.fill(0.0);
        for (response, deviation, dimension) in &self.materials {
            batch.shifts[response.index()] += deviation * normal_deviate(point[*dimension]);
        }
    }

    fn deviation(&self, low: f64, high: f64, uniform: f64) -> f64 {
        /// Probability outside two standard deviations on one side.
        const TAIL: f64 = 0.022_750_131_948_179_2;
        let (middle, half) = (0.5 * (low + high), 0.5 * (high - low));
        if half == 0.0 {
            return middle;
        }
        match self.deviations {
            Deviations::Uniform => middle + half * (2.0 * uniform - 1.0),
            Deviations::Normal => middle + 0.5 * half * normal_deviate(TAIL + uniform * (1.0 - 2.0 * TAIL)),
        }
    }

    /// Whether nothing varies that is weighed: every tolerance is zero.
    pub fn is_exact(&self) -> bool {
        self.stages.iter().all(|stage| stage.low == 0.0 && stage.high == 0.0)
    }

    /// The point at which nothing deviates from its middle.
    pub fn middle(&self) -> Vec<f64> {
        vec![0.5; self.causes.len()]
    }
}
