//! From the description of an age at cracking to its rule and factors; what cannot be is a finding.

use super::bind_law::{Clock, Known, arranged, bind, law_named};
use super::formula::Slot;
use super::law::Input;
use super::law::card::{NOT_NEGATIVE, SHARE};
use super::law::ring_class::Ring;
use super::response_kind::Factor;
use super::restrained::{Counted, Course, Curve, Restrained, Restraint, Setting};
use super::temperature::Temperature;
use crate::finding::{Finding, Findings, Place};
use crate::quantity::{Scalar, Unit, trimmed};
use crate::statement::{
    BindingEntry, CourseEntry, CourseKind, CrackingEntry, DryingEntry, InputEntry, Located, RINGS,
    RestraintEntry,
};

const STRAINS: (f64, f64) = (0.0, 5000.0);
const DRYING: Input =
    Input::given("drying shrinkage", "microstrain", "drying shrinkage", (0.0, 3000.0), STRAINS);
const AUTOGENOUS: Input =
    Input::given("autogenous shrinkage", "microstrain", "autogenous shrinkage", (0.0, 1500.0), STRAINS);
const EXPANSION: Input = Input::given("expansion", "microstrain", "expansion", (0.0, 3000.0), STRAINS);
const MODULUS: Input = Input::given("modulus", "GPa", "modulus at 28 d", (5.0, 60.0), (0.1, 200.0));
const TENSION: Input =
    Input::given("tensile strength", "MPa", "mean tensile strength at 28 d", (0.5, 12.0), (0.01, 100.0));
const DEGREE: Input = Input::given("restraint", "1", "degree of restraint", (0.0, 1.0), SHARE);
const AGEING: Input =
    Input::given("s", "1", "growth constant of the cement class", (0.15, 0.5), (0.0, 2.0)).or(0.25);
const CREEP: Input = Input::given("creep", "1", "final creep coefficient", (0.0, 6.0), (0.0, 20.0)).or(2.35);
const LEVEL: Input =
    Input::given("share", "1", "stress at cracking over tensile strength", (0.4, 1.0), (0.05, 2.0)).or(0.85);
const FIBRES: [Input; 3] = [
    Input::given("fibre volume", "%", "fibres by volume of concrete", (0.0, 3.0), (0.0, 100.0)).or(0.0),
    Input::given("fibre gain", "1", "largest gain through fibres", (0.0, 2.0), (0.0, 10.0)).or(0.0),
    Input::given("fibre scale", "%", "fibre volume that brings 63 % of the gain", (0.05, 3.0), (1e-3, 100.0))
        .or(0.5),
];

/// Powers of the age factor for modulus and tensile strength (EN 1992-1-1:2004, 3.1.3 for the first).
const POWERS: [f64; 2] = [0.3, 1.0];
/// Scatter of ring tests: Radlinska, Bucher and Weiss, Journal of ASTM International 2008, total coefficient of
/// variation.
const SCATTER: f64 = 0.12;
/// Ages at which restraint or drying may begin, d: before some hours there is nothing to restrain.
const BEGINNINGS: (f64, f64) = (0.2, 365.0);
/// Last day that may be looked at.
const LAST: f64 = 3650.0;
const ONSET: f64 = 1.0;
const HORIZON: f64 = 90.0;

struct Building<'b, 'k, 'q> {
    owner: &'b str,
    known: Known<'k, 'q>,
    factors: Vec<Factor>,
    findings: &'b mut Findings,
}

/// Builds the rule and its factors.
pub fn bind_cracking(
    entry: &CrackingEntry,
    owner: &str,
    known: Known<'_, '_>,
    findings: &mut Findings,
) -> Option<(Restrained, Vec<Factor>)> {
    let mut own = Findings::default();
    let mut building = Building { owner, known, factors: Vec::new(), findings: &mut own };
    let setting = building.setting(entry);
    let factors = building.factors;
    let setting = setting.filter(|_| !own.has_errors());
    findings.extend(own);
    Some((Restrained::new(setting?), factors))
}

/// A time as days.
fn days(time: &Located<f64>) -> f64 {
    Unit::known("d").from_base(time.value)
}

impl Building<'_, '_, '_> {
    fn setting(&mut self, entry: &CrackingEntry) -> Option<Setting> {
        let onset = self.beginning("onset", entry.onset.as_ref()).unwrap_or(ONSET);
        let drying = match &entry.drying {
            DryingEntry::At(at) => Some(self.beginning("drying from", Some(at))?),
            DryingEntry::Never(_) => None,
        };
        let horizon = entry.horizon.as_ref().map_or(HORIZON, days);
        if let Some(written) = &entry.horizon
            && !(onset < horizon && horizon <= LAST)
        {
            self.age("horizon", written, onset, LAST);
        }
        let counted = if entry.counted_from.value == "drying" { Counted::Drying } else { Counted::Casting };
        self.dryness(entry);
        let start = drying.unwrap_or(0.0);
        let mut strains = Vec::new();
        for (key, course) in &entry.strains {
            let (input, start, sign) = match *key {
                "drying shrinkage" => (DRYING, start, 1.0),
                "expansion" => (EXPANSION, 0.0, -1.0),
                _ => (AUTOGENOUS, 0.0, 1.0),
            };
            strains.extend(self.strain(&input, course, start).map(|course| (course, sign)));
        }
        let temperature = match &entry.temperature {
            Some(entry) => Some(Temperature::new(entry, self.owner, LAST, self.findings)?),
            None => None,
        };
        if entry.strains.is_empty() && temperature.is_none() {
            self.findings.push(
                Finding::error(entry.place, format!("nothing shrinks in {}", self.owner))
                    .note("strains: `drying shrinkage`, `autogenous shrinkage`, `expansion`, `temperature strain`")
                    .help("add at least one of them"),
            );
        }
        let s = match self.slot(&AGEING, entry.s.as_ref(), entry.place)? {
            Slot::Fixed(s) => s,
            Slot::Factor(_) => {
                self.findings.push(
                    Finding::error(entry.place, format!("`s` of {} is not a number", self.owner))
                        .note("the growth constant belongs to the cement class, not to the mix"),
                );
                return None;
            }
        };
        let power = |at: usize| entry.powers[at].as_ref().map_or(POWERS[at], |power| power.value);
        let modulus = self.aged(&MODULUS, entry.modulus.as_ref()?, Curve::Ageing { s, power: power(0) });
        let tension = self.aged(&TENSION, entry.tension.as_ref()?, Curve::Ageing { s, power: power(1) });
        let restraint = self.restraint(&entry.restraint);
        let creep = self.slot(&CREEP, entry.creep.as_ref(), entry.place);
        let share = self.slot(&LEVEL, entry.share.as_ref(), entry.place);
        let [volume, gain, scale] =
            [0, 1, 2].map(|at| self.slot(&FIBRES[at], entry.fibres[at].as_ref(), entry.place));
        Some(Setting {
            restraint: restraint?,
            onset,
            drying,
            counted,
            horizon,
            strains,
            temperature,
            modulus: modulus?,
            tension: tension?,
            creep: creep?,
            failure: [share?, volume?, gain?, scale?],
            scatter: entry.scatter.as_ref().map_or(SCATTER, |scatter| scatter.value),
        })
    }

    /// Where nothing dries, nothing can be counted from drying and nothing shrinks by it.
    fn dryness(&mut self, entry: &CrackingEntry) {
        let DryingEntry::Never(place) = entry.drying else { return };
        if entry.counted_from.value == "drying" {
            self.findings.push(
                Finding::error(
                    entry.counted_from.place,
                    format!("{} counts from drying, and nothing dries", self.owner),
                )
                .note("`drying from` is `never`")
                .help("count from casting, or say from what age it dries"),
            );
        }
        if entry.strains.iter().any(|(key, _)| *key == "drying shrinkage") {
            self.findings.push(
                Finding::error(place, format!("{} has a drying shrinkage, and nothing dries", self.owner))
                    .help("say from what age it dries, or take `drying shrinkage` out"),
            );
        }
    }

    fn beginning(&mut self, key: &str, written: Option<&Located<f64>>) -> Option<f64> {
        let written = written?;
        let age = days(written);
        if BEGINNINGS.0 <= age && age <= BEGINNINGS.1 {
            return Some(age);
        }
        self.age(key, written, BEGINNINGS.0, BEGINNINGS.1);
        None
    }

    fn age(&mut self, key: &str, written: &Located<f64>, low: f64, high: f64) {
        self.findings.push(
            Finding::error(
                written.place,
                format!("`{key}` of {} is {} d", self.owner, trimmed(days(written), 6)),
            )
            .note(format!("allowed: {} .. {} d since casting", trimmed(low, 4), trimmed(high, 6)))
            .help(match key {
                "onset" => "write `onset: 1 d`, when the concrete has set and begins to be held",
                "drying from" => "write the age at which moist curing ends, or `never`",
                _ => "write a day within it, such as `90 d`",
            }),
        );
    }

    fn slot(&mut self, input: &Input, entry: Option<&BindingEntry>, place: Place) -> Option<Slot> {
        let Some(entry) = entry else { return input.default.map(Slot::Fixed) };
        let place = match entry {
            BindingEntry::Value(_) => place,
            BindingEntry::Of { is, .. } => is.place(),
        };
        let name = Located { value: input.name.to_owned(), place };
        let given = InputEntry { name, binding: entry.clone() };
        bind(input, &given, self.owner, self.known, &mut self.factors, self.findings)
    }

    /// A strain with a growth of its own.
    fn strain(&mut self, input: &Input, entry: &CourseEntry, start: f64) -> Option<Course> {
        let CourseKind::Grown { amount, at, half_time, rate } = &entry.kind else {
            return self.course_by_law(input, entry);
        };
        let amount = self.slot(input, Some(amount), entry.place);
        let at = at.as_ref().map_or(f64::INFINITY, days);
        let curve = match (half_time, rate) {
            (Some(half), None) if 0.0 < half.value && 0.0 < at => {
                Curve::Hyperbola { start, half: days(half), at }
            }
            (None, Some(rate)) if 0.0 < at => Curve::Root { start, rate: rate.value, at },
            _ => {
                self.findings.push(
                    Finding::error(
                        entry.place,
                        format!("`{}` of {} does not say how it grows", input.name, self.owner),
                    )
                    .note("one of `half time` and `rate` is needed, above zero, and `at` after the start")
                    .help("add `half time: 20 d`, or bind a law over `age`"),
                );
                return None;
            }
        };
        Some(Course::Grown { amount: amount?, curve })
    }

    /// A modulus or strength that ages.
    fn aged(&mut self, input: &Input, entry: &CourseEntry, curve: Curve) -> Option<Course> {
        let CourseKind::Grown { amount, at, half_time, rate } = &entry.kind else {
            return self.course_by_law(input, entry);
        };
        for place in [
            at.as_ref().map(|at| at.place),
            half_time.as_ref().map(|t| t.place),
            rate.as_ref().map(|r| r.place),
        ]
        .into_iter()
        .flatten()
        {
            self.findings.push(
                Finding::error(place, format!("`{}` of {} has a growth of its own", input.name, self.owner))
                    .note("it ages as EN 1992-1-1 with the growth constant `s`")
                    .help("take this out, or bind a law over `age`"),
            );
        }
        let amount = self.slot(input, Some(amount), entry.place)?;
        Some(Course::Grown { amount, curve })
    }

    fn course_by_law(&mut self, input: &Input, entry: &CourseEntry) -> Option<Course> {
        let CourseKind::Law(entry) = &entry.kind else { return None };
        let owner = format!("`{}` of {}", input.name, self.owner);
        let law = law_named(entry, &owner, self.findings)?;
        let (own, wanted) = (Unit::known(law.card().unit), Unit::known(input.unit));
        if own.dimension != wanted.dimension || own.factor != wanted.factor {
            self.findings.push(
                Finding::error(
                    entry.name.place,
                    format!("law `{}` of {owner} is in {}", law.card().name, law.card().unit),
                )
                .note(format!("{} is needed", input.unit)),
            );
            return None;
        }
        let slots = arranged(entry, law, &owner, Clock::Age, self.known, &mut self.factors, self.findings)?;
        if slots.iter().all(Option::is_some) {
            self.findings.push(
                Finding::error(
                    entry.place,
                    format!("law `{}` of {owner} never changes with age", law.card().name),
                )
                .help("bind one of its inputs to the word `age`: `age: age`"),
            );
            return None;
        }
        Some(Course::ByLaw { law, slots })
    }

    fn restraint(&mut self, entry: &RestraintEntry) -> Option<Restraint> {
        match entry {
            RestraintEntry::Degree(binding) => {
                let place = match binding {
                    BindingEntry::Value(value) => value.place,
                    BindingEntry::Of { is, .. } => is.place(),
                };
                self.slot(&DEGREE, Some(binding), place).map(Restraint::Degree)
            }
            RestraintEntry::StandardRing(word) => {
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
                Some(Restraint::Ring { radii: ring.radii(), standard: Some(ring) })
            }
            RestraintEntry::Ring(radii) => self.ring(radii),
            RestraintEntry::Overlay(parts) => self.overlay(parts),
        }
    }

    fn ring(&mut self, radii: &Located<Vec<Located<Scalar>>>) -> Option<Restraint> {
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
            return Some(Restraint::Ring { radii: [*inner, *outer, *concrete], standard });
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
}
