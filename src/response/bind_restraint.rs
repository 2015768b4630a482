//! From the description of restraint, creep and temperature to what the step-by-step stress needs; what cannot be is a finding.

use super::bind_cracking::Building;
use super::creep_course::{Creep, CreepLaw, Curing};
use super::curve::{Course, Curve};
use super::formula::Slot;
use super::law::Input;
use super::law::card::{NOT_NEGATIVE, SHARE};
use super::law::ring_class::Ring;
use super::points::ordered;
use super::restraint::{Face, Restraint};
use super::setting::{Cause, Strain};
use super::thermal::Thermal;
use crate::finding::{Finding, Place};
use crate::quantity::{Scalar, Unit, trimmed};
use crate::statement::{
    BindingEntry, CrackingEntry, CreepEntry, Located, RINGS, RestraintEntry, RingEntry, StressAt,
    ThermalEntry,
};

const DEGREE: Input = Input::given("restraint", "1", "degree of restraint", (0.0, 1.0), SHARE);
const RISE: Input = Input::given("rise", "K", "adiabatic rise of the mix", (5.0, 100.0), (0.0, 200.0));
const CREEP: Input = Input::given("creep", "1", "final creep coefficient", (0.0, 6.0), (0.0, 20.0)).or(2.35);
/// Notional sizes that make sense, mm.
const SIZES: (f64, f64) = (10.0, 3000.0);
/// Temperatures of concrete that make sense, degrees Celsius.
const CELSIUS: (f64, f64) = (-20.0, 100.0);
/// Coefficients of thermal expansion that make sense, microstrain/K.
const EXPANSIONS: (f64, f64) = (3.0, 20.0);
/// Apparent activation energy over the gas constant, K: ASTM C1074 has 5000 K for ordinary cement (value from memory).
const ACTIVATION: f64 = 5000.0;
/// Relative difference at which two sizes are the same.
const ALIKE: f64 = 0.02;

impl Building<'_, '_, '_> {
    pub(super) fn restraint(&mut self, entry: &RestraintEntry) -> Option<Restraint> {
        match entry {
            RestraintEntry::Degree(binding) => {
                let place = match binding {
                    BindingEntry::Value(value) => value.place,
                    BindingEntry::Of { is, .. } => is.place(),
                };
                self.slot(&DEGREE, Some(binding), place).map(Restraint::Degree)
            }
            RestraintEntry::Ring(ring, face) => {
                let mean = face.as_ref().is_some_and(|face| face.value == StressAt::Mean);
                self.ring(ring, if mean { Face::Mean } else { Face::Inner })
            }
            RestraintEntry::Overlay(parts) => self.overlay(parts),
        }
    }

    fn ring(&mut self, entry: &RingEntry, face: Face) -> Option<Restraint> {
        let radii = match entry {
            RingEntry::Radii(radii) => radii,
            RingEntry::Standard(word) => {
                let ring = match word.value.as_str() {
                    "astm c1581" => Some(Ring::Thin),
                    "aashto t 334" => Some(Ring::Thick),
                    _ => None,
                };
                let Some(ring) = ring else {
                    self.findings.push(
                        Finding::error(
                            word.place,
                            format!("unknown ring `{}` in {}", word.value, self.owner),
                        )
                        .known("rings", &word.value, RINGS.iter().copied()),
                    );
                    return None;
                };
                return Some(Restraint::Ring { radii: ring.radii(), standard: Some(ring), face });
            }
        };
        let mm = Unit::known("mm");
        let values: Vec<f64> = radii.value.iter().map(|radius| mm.from_base(radius.value.base)).collect();
        if let [inner, outer, concrete] = values.as_slice()
            && 0.0 < *inner
            && inner < outer
            && outer < concrete
            && *concrete <= 1e5
        {
            let standard = [Ring::Thin, Ring::Thick].into_iter().find(|ring| {
                ring.radii().iter().zip(&values).all(|(known, given)| (known - given).abs() <= 0.005 * known)
            });
            return Some(Restraint::Ring { radii: [*inner, *outer, *concrete], standard, face });
        }
        self.findings.push(
            Finding::error(radii.place, format!("the ring of {} cannot be", self.owner))
                .note("allowed: three radii, each above zero and larger than the one before it: steel inside, steel outside, concrete outside")
                .help("write `ring: [152 mm, 165 mm, 203 mm]`, or `ring: astm c1581`"),
        );
        None
    }

    fn overlay(&mut self, parts: &[Option<Located<Scalar>>; 3]) -> Option<Restraint> {
        let units = [Unit::known("GPa"), Unit::known("mm"), Unit::known("mm")];
        let mut values = [0.0; 3];
        for ((value, part), unit) in values.iter_mut().zip(parts).zip(&units) {
            let part = part.as_ref()?;
            *value = unit.from_base(part.value.base);
            if !(NOT_NEGATIVE.0 < *value && *value <= 1e6) {
                self.findings.push(
                    Finding::error(
                        part.place,
                        format!(
                            "the overlay of {} has {}",
                            self.owner,
                            unit.with_number(&trimmed(*value, 6))
                        ),
                    )
                    .note(format!("allowed: above 0, up to {}", unit.with_number("1000000")))
                    .help("write what is measured on the drawing; nothing here is negative"),
                );
                return None;
            }
        }
        Some(Restraint::Overlay { base_modulus: values[0], base: values[1], layer: values[2] })
    }

    /// What restraint and the size of the specimen say of drying must agree where a law's size is a plain number.
    pub(super) fn sizes(&mut self, restraint: &Restraint, strains: &[Strain], entry: &CrackingEntry) {
        let Some(ratio) = restraint.volume_over_surface() else { return };
        for strain in strains.iter().filter(|strain| strain.cause == Cause::Drying) {
            let Course::ByLaw { law, slots } = &strain.course else { continue };
            for (input, slot) in law.card().inputs.iter().zip(slots) {
                let expected = match input.name {
                    "volume surface ratio" => ratio,
                    "notional size" => 2.0 * ratio,
                    _ => continue,
                };
                let Some(Slot::Fixed(given)) = slot else { continue };
                if (given - expected).abs() <= ALIKE * expected {
                    continue;
                }
                self.findings.push(
                    Finding::warning(
                        entry.place,
                        format!("`{}` of the drying shrinkage of {} is {} mm", input.name, self.owner, trimmed(*given, 4)),
                    )
                    .note(format!(
                        "by the restraint's own geometry it is {} mm: a ring dries from its outer face, an overlay from its upper one",
                        trimmed(expected, 4)
                    )),
                );
            }
        }
    }

    /// Creep and its law.
    pub(super) fn creep(
        &mut self,
        entry: Option<&CreepEntry>,
        restraint: Option<&Restraint>,
        place: Place,
    ) -> Option<Creep> {
        let last = self.slot(&CREEP, entry.and_then(|entry| entry.last.as_ref()), place)?;
        let law = match entry {
            Some(entry) => self.creep_law(entry, restraint)?,
            None => CreepLaw::Aci(Curing::Moist),
        };
        Some(Creep { last, law })
    }

    fn creep_law(&mut self, entry: &CreepEntry, restraint: Option<&Restraint>) -> Option<CreepLaw> {
        let law = match entry.law.as_ref().map(|law| law.value.as_str()) {
            Some("aci 209 steam") => CreepLaw::Aci(Curing::Steam),
            Some("aci 209 any age") => CreepLaw::AciAnyAge,
            Some("en 1992-1-1") => return self.eurocode_creep(entry, restraint),
            _ => CreepLaw::Aci(Curing::Moist),
        };
        for given in entry.shape.iter().flatten() {
            self.findings.push(
                Finding::error(
                    given.place,
                    format!("`creep` of {} says what its law does not ask for", self.owner),
                )
                .note("ACI 209 takes its growth from the days under load alone")
                .help("take this out, or write `law: en 1992-1-1`"),
            );
        }
        Some(law)
    }

    fn eurocode_creep(&mut self, entry: &CreepEntry, restraint: Option<&Restraint>) -> Option<CreepLaw> {
        let [size, humidity, strength, exponent] = &entry.shape;
        let of = |given: &Option<Located<f64>>, unit: &str| {
            given.as_ref().map(|given| Unit::known(unit).from_base(given.value))
        };
        let by_geometry = restraint.and_then(Restraint::volume_over_surface).map(|ratio| 2.0 * ratio);
        let Some(size) = of(size, "mm").or(by_geometry) else {
            self.findings.push(
                Finding::error(entry.place, format!("`creep` of {} has no `notional size`", self.owner))
                    .note("EN 1992-1-1 slows creep with the size; a degree of restraint has none of its own")
                    .help("add `notional size: 76 mm`, twice the volume over the drying surface"),
            );
            return None;
        };
        let humidity = humidity.as_ref().map_or(50.0, |given| 100.0 * given.value);
        let strength = of(strength, "MPa").unwrap_or(35.0);
        let exponent = exponent.as_ref().map_or(0.0, |given| given.value);
        if !(SIZES.0 <= size
            && size <= SIZES.1
            && (40.0..=100.0).contains(&humidity)
            && (20.0..=98.0).contains(&strength))
        {
            self.findings.push(
                Finding::error(
                    entry.place,
                    format!("`creep` of {} lies outside EN 1992-1-1, annex B.1", self.owner),
                )
                .note("allowed: size 10 .. 3000 mm, humidity 40 .. 100 %, mean strength 20 .. 98 MPa")
                .help("stay within that, or take `law: aci 209`, which goes by the days under load alone"),
            );
            return None;
        }
        // EN 1992-1-1:2004, B.8 and B.9
        let slow = (35.0 / strength).min(1.0).sqrt();
        let slowness = (1.5 * (1.0 + (0.012 * humidity).powi(18)) * size + 250.0 * slow).min(1500.0 * slow);
        Some(CreepLaw::Eurocode { slowness, cement_exponent: exponent })
    }

    /// A strain of temperature in proportion to the heat of the mix, where its rise is bound to one.
    pub(super) fn heated(
        &mut self,
        thermal: Thermal,
        entry: &ThermalEntry,
        strains: &mut Vec<Strain>,
    ) -> Option<Thermal> {
        let place = entry.history.place;
        let (rise, stated) = match (&entry.rise, &entry.rise_of_history) {
            (None, None) => return Some(thermal),
            (Some(rise), Some(stated)) => (rise, stated),
            (one, other) => {
                let (there, missing, example) = if one.is_some() {
                    ("rise", "rise of history", "38 K")
                } else {
                    ("rise of history", "rise", "adiabatic rise")
                };
                let place = other.as_ref().map_or(place, |stated| stated.place);
                self.findings.push(
                    Finding::error(
                        place,
                        format!("`temperature` of {} has `{there}` and no `{missing}`", self.owner),
                    )
                    .note("the strain goes with the mix's own rise over that of the concrete whose temperatures these are")
                    .help(format!("add `{missing}: {example}`, or take `{there}` out")),
                );
                return None;
            }
        };
        if !(RISE.range.0 <= stated.value && stated.value <= RISE.range.1) {
            self.findings.push(
                Finding::error(
                    stated.place,
                    format!(
                        "`rise of history` of `temperature` of {} is {} K",
                        self.owner,
                        trimmed(stated.value, 5)
                    ),
                )
                .note("allowed: 5 .. 100 K, a difference of temperatures")
                .help("write the adiabatic rise of the concrete that was measured, such as `38 K`"),
            );
            return None;
        }
        let amount = self.slot(&RISE, Some(rise), place)?;
        let thermal = thermal.of_rise(stated.value);
        let curve = Curve::Heat(Box::new(thermal.clone()));
        strains.push(Strain { cause: Cause::Heat, course: Course::Grown { amount, curve } });
        Some(thermal)
    }

    /// The temperature of the concrete over age.
    pub(super) fn thermal(&mut self, entry: &ThermalEntry, is_strained: bool) -> Option<Thermal> {
        let owner = format!("`temperature` of {}", self.owner);
        let place = entry.history.place;
        if is_strained {
            self.findings.push(
                Finding::error(
                    place,
                    format!("{} has both `temperature` and `temperature strain`", self.owner),
                )
                .note("one history gives the equivalent age and the strain")
                .help("keep one of them"),
            );
            return None;
        }
        let degree = Unit::known("degC");
        let points = ordered(
            &entry.history,
            &owner,
            &degree,
            CELSIUS,
            "give the temperature of the concrete, such as `35 degC`",
            self.findings,
        )?;
        let expansion = entry.expansion.as_ref()?;
        let per_degree = 1e6 * expansion.value;
        if !(EXPANSIONS.0 <= per_degree && per_degree <= EXPANSIONS.1) {
            self.findings.push(
                Finding::error(
                    expansion.place,
                    format!("`expansion` of {owner} is {} microstrain/K", trimmed(per_degree, 4)),
                )
                .note("allowed: 3 .. 20 microstrain/K")
                .help("concrete has about 10 microstrain/K, less with limestone, more with quartzite"),
            );
            return None;
        }
        let activation = entry.activation.as_ref().map_or(ACTIVATION, |given| given.value);
        if !(1000.0..=10_000.0).contains(&activation) {
            let place = entry.activation.as_ref().map_or(place, |given| given.place);
            self.findings.push(
                Finding::error(place, format!("`activation` of {owner} is {} K", trimmed(activation, 5)))
                    .note("allowed: 1000 .. 10000 K, the apparent activation energy over the gas constant")
                    .help("write `activation: 5000 K` (ASTM C1074, ordinary cement), or leave it out"),
            );
            return None;
        }
        Some(Thermal::new(points, per_degree, activation, self.onset))
    }
}
