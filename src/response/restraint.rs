//! What holds restrained concrete back, and which stress meets the strength.
//!
//! What enters: a degree, a ring's radii or an overlay's thicknesses. What leaves: what the step-by-step stress needs of
//! them. Steel and base are elastic and do not creep; the overlay lies flat on a base that neither shrinks nor creeps.

use super::formula::Slot;
use super::law::ring::RingCoefficients;
use super::law::ring_class::Ring;
use super::law::superposition::Restrainer;
use crate::number::Number;

/// How the free strain is held back.
#[derive(Clone, Debug, PartialEq)]
pub enum Restraint {
    /// A degree between 0 and 1 that stays as it is.
    Degree(Slot),
    /// A steel ring inside the concrete: steel inside, steel outside, concrete outside, mm.
    Ring {
        /// Radii, mm.
        radii: [f64; 3],
        /// The standard ring, if it is one.
        standard: Option<Ring>,
        /// Where the hoop stress meets the strength.
        face: Face,
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

/// Which hoop stress of a ring meets the strength.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// At the inner face, where it is greatest under a uniform strain.
    Inner,
    /// The mean over the wall.
    Mean,
}

impl Face {
    fn hoop(self, ring: &RingCoefficients) -> f64 {
        match self {
            Self::Inner => ring.inner_face,
            Self::Mean => ring.mean,
        }
    }

    /// Stress as the test of a standard ring reckons it from the strain of the steel's inner face, over the hoop stress
    /// here: `G 2 b^2 / ((b^2 - a^2) E_s)` per pressure (Lame's thick ring; G of the standard's own law).
    pub fn steel_stress(self, ring: Ring) -> f64 {
        let [inner, contact, _] = ring.radii();
        let strain = 2.0 * contact * contact / ((contact * contact - inner * inner) * STEEL);
        ring.stress_factor() * strain / self.hoop(&RingCoefficients::new(ring.radii()))
    }
}

/// Modulus of steel, GPa.
const STEEL: f64 = 200.0;

impl Restraint {
    /// What the step-by-step stress needs, at factors of the mix.
    pub fn restrainer<N: Number>(&self, factors: &[N]) -> Restrainer<N> {
        match self {
            Self::Degree(slot) => Restrainer::degree(slot.of(factors)),
            Self::Ring { radii, face, .. } => {
                let ring = RingCoefficients::new(*radii);
                Restrainer::ring(&ring, face.hoop(&ring))
            }
            Self::Overlay { base_modulus, base, layer } => Restrainer::base(base_modulus * base / layer),
        }
    }

    /// The degree, where it is one.
    pub fn degree(&self) -> Option<Slot> {
        match self {
            Self::Degree(slot) => Some(*slot),
            Self::Ring { .. } | Self::Overlay { .. } => None,
        }
    }

    /// Volume over drying surface where the geometry tells it, mm: a ring dries from its outer face, an overlay from its
    /// upper one.
    pub fn volume_over_surface(&self) -> Option<f64> {
        match self {
            Self::Degree(_) => None,
            Self::Ring { radii: [_, inner, outer], .. } => {
                Some((outer * outer - inner * inner) / (2.0 * outer))
            }
            Self::Overlay { layer, .. } => Some(*layer),
        }
    }
}
