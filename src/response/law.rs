//! The library of built-in laws: one closed list, each law with its card and one formula.
//!
//! Inputs enter as numbers in the order of the card, in the card's units; the output leaves in the card's
//! unit. The laws do not know materials, amounts, or what is required of a mix. Adding a law is one function
//! and one card in a topic file and one line in the list below.

mod ageing;
mod air_voids;
mod autogenous;
pub mod card;
pub mod cement_class;
mod composite;
pub mod cracking;
mod creep;
mod creep_eurocode;
mod failure;
mod fibres;
mod heat;
mod internal_curing;
mod modulus;
pub mod required;
pub mod ring;
pub mod ring_class;
mod shrinkage;
mod shrinkage_american;
mod shrinkage_model_code;
mod strength;
mod strength_aged;
pub mod superposition;
mod tension;
mod transport;

pub use card::{Card, Input, Worked};
pub use creep::aci_growth;
pub use creep_eurocode::temperature_adjusted_age;

use crate::number::{Dual, Interval, Number};

/// Takes the inputs of one law apart, in the order of its card.
fn take<N: Number, const COUNT: usize>(inputs: &[N]) -> [N; COUNT] {
    std::array::from_fn(|at| inputs[at].clone())
}

macro_rules! laws {
    ($($law:ident: $topic:ident, $card:ident, $formula:ident;)*) => {
        /// A built-in law.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Law {
            $(
                #[doc = concat!("Card `", stringify!($card), "` in `", stringify!($topic), ".rs`.")]
                $law,
            )*
        }

        impl Law {
            /// Every law, in the order of the topics.
            pub const ALL: &'static [Self] = &[$(Self::$law,)*];

            /// What the law says about itself.
            pub fn card(self) -> &'static Card {
                match self {
                    $(Self::$law => &$topic::$card,)*
                }
            }

            /// The law at the inputs of its card, in their order and units; gives the card's unit.
            ///
            /// # Panics
            /// If there are fewer inputs than the card names.
            pub fn evaluate<N: Number>(self, inputs: &[N]) -> N {
                match self {
                    $(Self::$law => $topic::$formula(inputs),)*
                }
            }
        }
    };
}

laws! {
    EquivalentRatio: strength, EQUIVALENT_RATIO, equivalent_ratio;
    Abrams: strength, ABRAMS, abrams;
    Bolomey: strength, BOLOMEY, bolomey;
    Feret: strength, FERET, feret;
    AirPenalty: strength, AIR_PENALTY, air_penalty;
    LightweightPenalty: strength, LIGHTWEIGHT_PENALTY, lightweight_penalty;
    GelSpaceRatio: strength, GEL_SPACE_RATIO, gel_space_ratio;
    GelSpaceStrength: strength, GEL_SPACE_STRENGTH, gel_space_strength;
    AbramsAged: strength_aged, ABRAMS_AGED, abrams_aged;
    BolomeyAged: strength_aged, BOLOMEY_AGED, bolomey_aged;
    EurocodeAgeFactor: ageing, EUROCODE_AGE_FACTOR, eurocode_age_factor;
    AciAgeFactor: ageing, ACI_AGE_FACTOR, aci_age_factor;
    EurocodeStrengthAged: ageing, EUROCODE_STRENGTH_AGED, eurocode_strength_aged;
    AciStrengthAged: ageing, ACI_STRENGTH_AGED, aci_strength_aged;
    EurocodeModulusAged: ageing, EUROCODE_MODULUS_AGED, eurocode_modulus_aged;
    ModelCodeModulusAged: ageing, MODEL_CODE_MODULUS_AGED, model_code_modulus_aged;
    EurocodeTensionAged: ageing, EUROCODE_TENSION_AGED, eurocode_tension_aged;
    AciRequired: required, ACI_REQUIRED, aci_required;
    AciRequiredPsi: required, ACI_REQUIRED_PSI, aci_required_psi;
    AciUnrecorded: required, ACI_UNRECORDED, aci_unrecorded;
    AciUnrecordedPsi: required, ACI_UNRECORDED_PSI, aci_unrecorded_psi;
    AciSampleFactor: required, ACI_SAMPLE_FACTOR, aci_sample_factor;
    EurocodeMean: required, EUROCODE_MEAN, eurocode_mean;
    TargetStrength: required, TARGET_STRENGTH, target_strength;
    InitialConformity: required, INITIAL_CONFORMITY, initial_conformity;
    ContinuousConformity: required, CONTINUOUS_CONFORMITY, continuous_conformity;
    UltimateHydration: heat, ULTIMATE_HYDRATION, ultimate_hydration;
    Hydration: heat, HYDRATION, hydration;
    CementHeat: heat, CEMENT_HEAT, cement_heat;
    BinderHeat: heat, BINDER_HEAT, binder_heat;
    AdiabaticRise: heat, ADIABATIC_RISE, adiabatic_rise;
    EquivalentAge: heat, EQUIVALENT_AGE, equivalent_age;
    EurocodeTension: tension, EUROCODE_TENSION, eurocode_tension;
    ModelCodeTension: tension, MODEL_CODE_TENSION, model_code_tension;
    EurocodeLightweightTension: tension, EUROCODE_LIGHTWEIGHT_TENSION, eurocode_lightweight_tension;
    DirectTension: tension, DIRECT_TENSION, direct_tension;
    EurocodeFlexure: tension, EUROCODE_FLEXURE, eurocode_flexure;
    AciRupture: tension, ACI_RUPTURE, aci_rupture;
    AciSplitting: tension, ACI_SPLITTING, aci_splitting;
    ModelCodeFractureEnergy: tension, MODEL_CODE_FRACTURE_ENERGY, model_code_fracture_energy;
    EurocodeModulus: modulus, EUROCODE_MODULUS, eurocode_modulus;
    EurocodeLightweightModulus: modulus, EUROCODE_LIGHTWEIGHT_MODULUS, eurocode_lightweight_modulus;
    AciModulus: modulus, ACI_MODULUS, aci_modulus;
    AciDensityModulus: modulus, ACI_DENSITY_MODULUS, aci_density_modulus;
    AciHighStrengthModulus: modulus, ACI_HIGH_STRENGTH_MODULUS, aci_high_strength_modulus;
    ModelCodeModulus: modulus, MODEL_CODE_MODULUS, model_code_modulus;
    ModelCodeReducedModulus: modulus, MODEL_CODE_REDUCED_MODULUS, model_code_reduced_modulus;
    Gl2000Modulus: modulus, GL2000_MODULUS, gl2000_modulus;
    VoigtModulus: composite, VOIGT, voigt;
    ReussModulus: composite, REUSS, reuss;
    HirschModulus: composite, HIRSCH, hirsch;
    CountoModulus: composite, COUNTO, counto;
    HashinShtrikmanModulus: composite, HASHIN_SHTRIKMAN, hashin_shtrikman;
    HashinShtrikmanLower: composite, HASHIN_SHTRIKMAN_LOWER, hashin_shtrikman_lower;
    HashinShtrikmanUpper: composite, HASHIN_SHTRIKMAN_UPPER, hashin_shtrikman_upper;
    SuccessiveModulus: composite, SUCCESSIVE, successive;
    LightweightAggregateModulus: composite, LIGHTWEIGHT_AGGREGATE, lightweight_aggregate;
    NotionalSize: shrinkage, SECTION_SIZE, section_size;
    EurocodeDryingUltimate: shrinkage, EUROCODE_DRYING_ULTIMATE, eurocode_drying_ultimate;
    EurocodeDrying: shrinkage, EUROCODE_DRYING, eurocode_drying;
    EurocodeAutogenousUltimate: shrinkage, EUROCODE_AUTOGENOUS_ULTIMATE, eurocode_autogenous_ultimate;
    EurocodeAutogenous: shrinkage, EUROCODE_AUTOGENOUS, eurocode_autogenous;
    CuredAutogenous: shrinkage, CURED_AUTOGENOUS, cured_autogenous;
    PickettShrinkage: shrinkage, PICKETT, pickett;
    Mc90Shrinkage: shrinkage_model_code, MC90, mc90;
    Mc9099Drying: shrinkage_model_code, MC90_99_DRYING, mc90_99_drying;
    Mc9099Autogenous: shrinkage_model_code, MC90_99_AUTOGENOUS, mc90_99_autogenous;
    ModelCodeBasicShrinkage: shrinkage_model_code, MODEL_CODE_BASIC, model_code_basic;
    ModelCodeDryingShrinkage: shrinkage_model_code, MODEL_CODE_DRYING, model_code_drying;
    AciCuringFactor: shrinkage_american, ACI_CURING_FACTOR, aci_curing_factor;
    AciShrinkage: shrinkage_american, ACI_SHRINKAGE, aci_shrinkage;
    Gl2000Shrinkage: shrinkage_american, GL2000_SHRINKAGE, gl2000_shrinkage;
    AashtoShrinkage: shrinkage_american, AASHTO_SHRINKAGE, aashto_shrinkage;
    JsceAutogenousUltimate: autogenous, JSCE_AUTOGENOUS_ULTIMATE, jsce_autogenous_ultimate;
    JsceAutogenous: autogenous, JSCE_AUTOGENOUS, jsce_autogenous;
    EurocodeBridgeAutogenous: autogenous, EUROCODE_BRIDGE_AUTOGENOUS, eurocode_bridge_autogenous;
    EurocodeBridgeAutogenousYoung: autogenous, EUROCODE_BRIDGE_AUTOGENOUS_YOUNG, eurocode_bridge_autogenous_young;
    B4Autogenous: shrinkage_american, B4_AUTOGENOUS, b4_autogenous;
    EurocodeCreepUltimate: creep_eurocode, EUROCODE_CREEP_ULTIMATE, eurocode_creep_ultimate;
    EurocodeCreep: creep_eurocode, EUROCODE_CREEP, eurocode_creep;
    HighStressCreep: creep_eurocode, HIGH_STRESS_CREEP, high_stress_creep;
    ModelCodeBasicCreep: creep, MODEL_CODE_BASIC_CREEP, model_code_basic_creep;
    ModelCodeDryingCreep: creep, MODEL_CODE_DRYING_CREEP, model_code_drying_creep;
    AgeAdjustedModulus: creep, AGE_ADJUSTED_MODULUS, age_adjusted_modulus;
    AciCreep: creep, ACI_CREEP, aci_creep;
    MaximumHydration: internal_curing, MAXIMUM_HYDRATION, maximum_hydration;
    BlendChemicalShrinkage: internal_curing, BLEND_CHEMICAL_SHRINKAGE, blend_chemical_shrinkage;
    InternalCuringDemand: internal_curing, DEMAND, demand;
    InternalCuringSupply: internal_curing, SUPPLY, supply;
    InternalCuringAggregate: internal_curing, AGGREGATE, aggregate;
    RingStress: ring, RING_STRESS, ring_stress;
    RingRestraint: ring, RING_RESTRAINT, ring_restraint;
    RingStressFromStrain: ring, RING_STRESS_FROM_STRAIN, ring_stress_from_strain;
    RingStressFactor: ring, RING_STRESS_FACTOR, ring_stress_factor;
    RingStressRate: ring, RING_STRESS_RATE, ring_stress_rate;
    AxialRestraint: ring, AXIAL_RESTRAINT, axial_restraint;
    FailureLevel: failure, FAILURE_LEVEL, failure_level;
    FibreServiceStrength: fibres, FIBRE_SERVICE_STRENGTH, fibre_service_strength;
    FibreUltimateStrength: fibres, FIBRE_ULTIMATE_STRENGTH, fibre_ultimate_strength;
    SpacingFactor: air_voids, SPACING_FACTOR, spacing_factor;
    ChlorideDiffusion: transport, CHLORIDE_DIFFUSION, chloride_diffusion;
    ChlorideDiffusionAged: transport, CHLORIDE_DIFFUSION_AGED, chloride_diffusion_aged;
    SurfaceEvaporation: transport, SURFACE_EVAPORATION, surface_evaporation;
    CrackingAgeFromTests: failure, CRACKING_AGE_FROM_TESTS, cracking_age_from_tests;
}

/// The one ratio that a law of several amounts depends on, by indices of inputs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Core {
    /// The amount above the line.
    pub above: usize,
    /// The amounts below the line, that above among them.
    pub below: &'static [usize],
    /// One of those below that does not stand above.
    pub rest: usize,
}

impl Law {
    /// The ratio of inputs that the law depends on, if it depends on amounts through one ratio alone.
    pub fn core(self) -> Option<Core> {
        match self {
            Self::Feret => Some(Core { above: 0, below: &[0, 1, 2], rest: 1 }),
            _ => None,
        }
    }

    /// The law of that name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|law| law.card().name == name)
    }

    /// The law's value at inputs in the order of its card.
    pub fn value(self, inputs: &[f64]) -> f64 {
        self.evaluate(inputs)
    }

    /// The law's derivative with respect to each input.
    pub fn gradient(self, inputs: &[f64]) -> Vec<f64> {
        let count = inputs.len();
        let duals: Vec<Dual> =
            inputs.iter().enumerate().map(|(index, &value)| Dual::variable(value, index, count)).collect();
        let output = self.evaluate(&duals);
        (0..count).map(|index| output.slope(index)).collect()
    }

    /// Guaranteed bounds of the law over a box of inputs.
    pub fn bounds(self, inputs: &[Interval]) -> Interval {
        bounds(inputs, |natural| self.evaluate(natural), |slopes| self.evaluate(slopes))
    }

    /// Inputs by name, in the order of the card, with defaults for those not named; none if one is missing or
    /// unknown.
    pub fn arrange(self, named: &[(&str, f64)]) -> Option<Vec<f64>> {
        let inputs = self.card().inputs;
        if named.iter().any(|(name, _)| inputs.iter().all(|input| input.name != *name)) {
            return None;
        }
        let value = |input: &Input| {
            named.iter().find(|(name, _)| *name == input.name).map(|(_, value)| *value).or(input.default)
        };
        inputs.iter().map(value).collect()
    }

    /// A few valid vectors of inputs: the worked numbers and two points near each.
    pub fn samples(self) -> Vec<Vec<f64>> {
        let mut samples = Vec::new();
        for worked in self.card().worked {
            let Some(centre) = self.arrange(worked.inputs) else { continue };
            for push in [-0.011, 0.0, 0.017] {
                let moved = centre.iter().zip(self.card().inputs).enumerate().map(|(at, (value, input))| {
                    // each input moves a different way, so that no symmetry hides an error
                    let factor = 1.0 + push * if at % 2 == 0 { 1.0 } else { -0.6 };
                    Interval::new(input.allowed.0, input.allowed.1).nearest(value * factor)
                });
                samples.push(moved.collect());
            }
        }
        samples
    }
}

/// Guaranteed bounds of a formula over a box, given the formula for intervals and the same formula for their
/// slopes.
pub fn bounds(
    inputs: &[Interval],
    natural: impl Fn(&[Interval]) -> Interval,
    slopes: impl Fn(&[Dual<Interval>]) -> Dual<Interval>,
) -> Interval {
    bounds_of_all(inputs, |inputs| vec![natural(inputs)], |inputs| vec![slopes(inputs)])[0]
}

/// Guaranteed bounds of several outputs of the same inputs.
///
/// Three enclosures are intersected: the natural one; the mean-value form around the middle, whose excess
/// falls with the square of the width; and the natural one on the sides of the box to which a slope of one
/// sign leads, which is exact where every slope has one sign. Outputs that lead to the same sides share one
/// evaluation.
///
/// # Panics
/// If the two formulas give different numbers of outputs.
pub fn bounds_of_all(
    inputs: &[Interval],
    natural: impl Fn(&[Interval]) -> Vec<Interval>,
    slopes: impl Fn(&[Dual<Interval>]) -> Vec<Dual<Interval>>,
) -> Vec<Interval> {
    let count = inputs.len();
    let enclosures = natural(inputs);
    if inputs.iter().all(|input| input.low() == input.high()) {
        return enclosures;
    }
    let duals: Vec<_> =
        inputs.iter().enumerate().map(|(index, input)| Dual::variable(*input, index, count)).collect();
    let middle: Vec<_> = inputs.iter().map(|input| Interval::point(input.middle())).collect();
    let at_middle = natural(&middle);
    let mut sides: Vec<(Vec<Slope>, Vec<Interval>, Vec<Interval>)> = Vec::new();
    let outputs = slopes(&duals);
    assert_eq!(enclosures.len(), outputs.len(), "the same formula gives as many outputs");
    let output = |(at, sloped): (usize, Dual<Interval>)| {
        let mut mean_value = at_middle[at];
        let mut signs = Vec::with_capacity(count);
        for (index, input) in inputs.iter().enumerate() {
            let slope = sloped.slope(index);
            mean_value = mean_value + slope * (*input - middle[index]);
            signs.push(Slope::of(slope));
        }
        let known = sides.iter().position(|(pattern, ..)| *pattern == signs).unwrap_or_else(|| {
            let side = |to_low: bool| -> Vec<Interval> {
                inputs.iter().zip(&signs).map(|(input, slope)| slope.side(*input, to_low)).collect()
            };
            let (lower, upper) = (natural(&side(true)), natural(&side(false)));
            sides.push((signs, lower, upper));
            sides.len() - 1
        });
        let sided = Interval::new(sides[known].1[at].low(), sides[known].2[at].high());
        enclosures[at].agreed(sloped.value).agreed(mean_value).agreed(sided)
    };
    outputs.into_iter().enumerate().map(output).collect()
}

/// The sign that a slope has all over a box.
#[derive(Clone, Copy, PartialEq)]
enum Slope {
    Up,
    Down,
    Unknown,
}

impl Slope {
    fn of(slope: Interval) -> Self {
        if slope.low() >= 0.0 {
            Self::Up
        } else if slope.high() <= 0.0 {
            Self::Down
        } else {
            Self::Unknown
        }
    }

    /// The side of the input on which the output is low (or else high).
    fn side(self, input: Interval, to_low: bool) -> Interval {
        match self {
            Self::Unknown => input,
            Self::Up => Interval::point(if to_low { input.low() } else { input.high() }),
            Self::Down => Interval::point(if to_low { input.high() } else { input.low() }),
        }
    }
}
