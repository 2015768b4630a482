//! What a report tells of an age at cracking: the age or that there is none, its interval, the class of a ring with its
//! geometry, the history of stress and strength, and where the test does not apply.

use super::phrase::{Digits, Figure, Phrase};
use super::unheeded::is_heeded;
use super::units::Units;
use crate::listed::Id;
use crate::material::Role;
use crate::problem::{Problem, restrained};
use crate::quantity::{Unit, trimmed};
use crate::response::law::cracking::Cracking;
use crate::response::law::ring_class::{CrackingPotential, Ring};
use crate::response::{Cause, Face, History, Onset, Response, Restrained, Restraint, Setting, Slot};

/// Days of drying after which a ring test ends.
const TEST_DAYS: f64 = 28.0;
/// Largest aggregate of the ring test, m (ASTM C1581, scope).
const LARGEST: f64 = 13e-3;
/// Share of the strength that stands where the author gives none.
const BORROWED: f64 = 0.80;
/// Share passing that sieve from which an aggregate counts as small enough.
const PASSING: f64 = 0.9;

/// What is told of an age at cracking. Ages in days.
#[derive(Clone, Debug)]
pub struct CrackingLine {
    /// Since casting; none if nothing cracks by the last day looked at.
    pub age: Option<f64>,
    /// Since drying began.
    pub net: Option<f64>,
    /// Last day looked at, since casting.
    pub last: f64,
    /// Earliest and latest with the scatter of the test, since casting.
    pub interval: [Option<f64>; 2],
    /// Coefficients of variation of stress and strength.
    pub scatter: [f64; 2],
    /// The age with every step cut in two.
    pub finer: Option<f64>,
    /// Highest share of the failure level that the stress reaches.
    pub peak: f64,
    /// Restraint in words.
    pub restraint: String,
    /// Classes of the ring test, with what they go by.
    pub classes: Vec<String>,
    /// What a reader should know before believing it.
    pub remarks: Vec<String>,
    /// Stress and failure level over age, MPa.
    pub history: History,
    /// The reader's unit of stress.
    pub stress_unit: Unit,
}

impl CrackingLine {
    /// The outcome.
    pub fn phrase(&self) -> Phrase {
        let Some(casting) = self.age else {
            return self
                .none()
                .and("; the stress reaches ")
                .and(Figure::percent(self.peak, Digits::Trimmed(3)))
                .and(" of the level at which it cracks");
        };
        let phrase = Phrase::from(day(casting)).and(" since casting");
        match self.net {
            Some(net) if 0.0 < net => phrase.and(", ").and(day(net)).and(" since drying began"),
            Some(_) => phrase.and(", before drying began"),
            None => phrase,
        }
    }

    fn none(&self) -> Phrase {
        Phrase::from("none by day ").and(Figure::new(self.last, Digits::Trimmed(4)))
    }

    /// The interval.
    pub fn interval_phrase(&self) -> Phrase {
        let end = |age: Option<f64>| age.map_or_else(|| self.none(), |days| day(days).into());
        let [stress, strength] = self.scatter.map(|share| Figure::percent(share, Digits::Trimmed(3)));
        Phrase::from("with stresses over strengths one deviation higher or lower (scatter ")
            .and(stress)
            .and(" of the stress, ")
            .and(strength)
            .and(" of the strength): ")
            .and(end(self.interval[0]))
            .and(" .. ")
            .and(end(self.interval[1]))
            .and(" since casting")
    }
}

/// An age in days.
fn day(age: f64) -> Figure {
    Figure { unit: "d".to_owned(), ..Figure::new(age, Digits::Trimmed(3)) }
}

/// Everything told of one response, if it is an age at cracking.
pub fn cracking_line(
    problem: &Problem,
    response: Id<Response>,
    factors: &[f64],
    used: &[bool],
    units: Units,
) -> Option<CrackingLine> {
    let rule = restrained(&problem.responses[response])?;
    let history = rule.history(factors);
    let outcome = age_of(rule.outcome(&history));
    let finer = rule.finer();
    let shares = history.stress.iter().zip(&history.level).map(|(stress, level)| stress / level);
    Some(CrackingLine {
        age: outcome,
        net: outcome.zip(rule.setting.drying).map(|(age, drying)| age - drying),
        last: rule.setting.horizon,
        interval: rule.outcomes(&history).map(age_of),
        scatter: rule.setting.scatter,
        finer: age_of(finer.outcome(&finer.history(factors))),
        peak: shares.fold(0.0, f64::max),
        restraint: words(&rule.setting.restraint, units),
        classes: classes(rule, &history, outcome, units),
        remarks: remarks(problem, response, rule, used, units),
        stress_unit: units.shown(&Unit::known("MPa"), ""),
        history,
    })
}

fn age_of(outcome: Cracking) -> Option<f64> {
    match outcome {
        Cracking::At(age) => Some(age),
        Cracking::NoneBy(_) => None,
    }
}

/// A value in the reader's unit, with it.
fn told(value: f64, unit: &str, units: Units) -> String {
    let unit = Unit::known(unit);
    let shown = units.shown(&unit, "");
    shown.with_number(&trimmed(shown.from_base(unit.to_base(value)), 4))
}

fn words(restraint: &Restraint, units: Units) -> String {
    match restraint {
        Restraint::Degree(Slot::Fixed(degree)) => {
            format!("constant degree of restraint {}", trimmed(*degree, 3))
        }
        Restraint::Degree(Slot::Factor(_)) => "constant degree of restraint from the mix".to_owned(),
        Restraint::Ring { radii, standard, face } => {
            let [steel, contact, outer] = radii.map(|radius| told(radius, "mm", units));
            let name = match standard {
                Some(Ring::Thin) => " (ASTM C1581)",
                Some(Ring::Thick) => " (AASHTO T 334)",
                None => "",
            };
            let stress = match face {
                Face::Inner => "hoop stress at the inner face",
                Face::Mean => "mean hoop stress over the wall",
            };
            format!("ring{name} with radii of {steel}, {contact} and {outer}, {stress}")
        }
        Restraint::Overlay { base_modulus, base, layer } => format!(
            "layer of {}, flat on an elastic base of {} with {}",
            told(*layer, "mm", units),
            told(*base, "mm", units),
            told(*base_modulus, "GPa", units)
        ),
    }
}

fn potential(class: CrackingPotential) -> &'static str {
    match class {
        CrackingPotential::High => "high",
        CrackingPotential::ModerateHigh => "moderate-high",
        CrackingPotential::ModerateLow => "moderate-low",
        CrackingPotential::Low => "low",
    }
}

/// Classes of a standard ring: by net time where it is published for that ring, and by stress rate.
fn classes(rule: &Restrained, history: &History, age: Option<f64>, units: Units) -> Vec<String> {
    let Restraint::Ring { standard: Some(ring), face, .. } = &rule.setting.restraint else {
        return Vec::new();
    };
    let Some(drying) = rule.setting.drying else { return Vec::new() };
    let mut list = Vec::new();
    // A test ends after 28 d of drying: a later crack is none in the test.
    let net = age.map(|age| age - drying).filter(|net| *net <= TEST_DAYS);
    let looked_at = net.is_some() || drying + TEST_DAYS <= rule.setting.horizon;
    if let Some(class) = ring.class_by_time(net).filter(|_| looked_at) {
        list.push(format!("cracking potential {} by net time", potential(class)));
    }
    let end = drying + net.unwrap_or(TEST_DAYS).max(1e-3);
    if let Some(stress) = stress_at(history, end) {
        // The test reckons stress from the strain of the steel, which grows with the root of time: the rate is that
        // stress over twice the time.
        let rate = stress * face.steel_stress(*ring) / (2.0 * (end - drying));
        let unit = units.shown(&Unit::known("MPa"), "");
        list.push(format!(
            "cracking potential {} by stress rate, {} {}/d as the test reckons it from the strain of the steel",
            potential(ring.class_by_rate(rate)),
            trimmed(unit.from_base(Unit::known("MPa").to_base(rate)), 2),
            unit.text
        ));
    }
    list
}

/// The stress at an age between the points of the grid, MPa.
fn stress_at(history: &History, age: f64) -> Option<f64> {
    let after = history.ages.iter().position(|point| age <= *point)?;
    if after == 0 {
        return None;
    }
    let (from, to) = (history.ages[after - 1], history.ages[after]);
    let part = (age - from) / (to - from);
    Some(history.stress[after - 1] + part * (history.stress[after] - history.stress[after - 1]))
}

/// What the step-by-step stress takes for granted.
fn assumptions(setting: &Setting, units: Units) -> Vec<String> {
    let mut list = vec![onset(setting), temperature(setting, units)];
    match &setting.restraint {
        Restraint::Degree(_) => list.push(
            "A constant degree of restraint acts as if what restrains crept with the concrete; steel or a base that does not creep brings higher stress."
                .to_owned(),
        ),
        Restraint::Overlay { layer, .. } => list.push(format!(
            "The layer lies flat on a base that neither shrinks nor creeps, and dries from one face (volume over surface {}). \
             Curling, peeling at edges, debonding and the gradient of drying are not computed: no crack is no proof of bond.",
            told(*layer, "mm", units)
        )),
        Restraint::Ring { .. } => {}
    }
    if setting.failure[0] == Slot::Fixed(BORROWED) {
        list.push(
            "It cracks at 80 % of the mean direct tensile strength: a design factor, borrowed from EN 1992-2, 3.1.6(102); own rings override it."
                .to_owned(),
        );
    }
    if setting.direct != 1.0 {
        list.push(format!(
            "{} of the splitting strength is taken as direct tension (EN 1992-1-1, 3.1.2(8)).",
            trimmed(setting.direct, 3)
        ));
    }
    if let Some(earliest) = setting.creep.law.earliest().filter(|earliest| setting.onset < *earliest) {
        list.push(format!(
            "Stress applied before {} d creeps as if applied then: the factor of its law is not meant for earlier ages.",
            trimmed(earliest, 3)
        ));
    }
    list
}

fn onset(setting: &Setting) -> String {
    let age = trimmed(setting.onset, 3);
    let test = match setting.onset_by {
        Onset::AstmC403 => "ASTM C403",
        Onset::En480 => "EN 480-2",
        Onset::Stated => {
            return format!("Restraint is taken to begin at {age} d: strain before that is not counted.");
        }
    };
    format!("Restraint begins at the setting time by {test}, {age} d; strain before that is not counted.")
}

fn temperature(setting: &Setting, units: Units) -> String {
    if let Some(thermal) = &setting.thermal {
        let (low, high) = thermal.range();
        let (per, degree) = match units {
            Units::Si => (1.0, "K"),
            Units::Customary => (1.8, "degF"),
        };
        if let Some(rise) = thermal.rise() {
            let rise = match units {
                Units::Si => format!("{} K", trimmed(rise, 4)),
                Units::Customary => format!("{} degF", trimmed(1.8 * rise, 4)),
            };
            return format!(
                "The temperature of the concrete, {} to {} as given for an adiabatic rise of {rise}, sets the equivalent age; its strain since the onset, with {} microstrain/{degree}, goes with the mix's own adiabatic rise; gradients are not followed.",
                told(low, "degC", units),
                told(high, "degC", units),
                trimmed(thermal.expansion() / per, 3)
            );
        }
        return format!(
            "The temperature of the concrete, {} to {} as given, sets the equivalent age and, with {} microstrain/{degree}, the strain since the onset; gradients are not followed.",
            told(low, "degC", units),
            told(high, "degC", units),
            trimmed(thermal.expansion() / per, 3)
        );
    }
    let Some(temperature) = &setting.temperature else {
        return "Strains of temperature are left out.".to_owned();
    };
    let ages: Vec<f64> = temperature.ages().collect();
    let ends = ages.first().zip(ages.last()).map_or_else(String::new, |(first, last)| {
        format!(" from {} to {} d since casting", trimmed(*first, 4), trimmed(*last, 4))
    });
    format!("Strains of temperature act as given{ends}.")
}

fn remarks(
    problem: &Problem,
    response: Id<Response>,
    rule: &Restrained,
    used: &[bool],
    units: Units,
) -> Vec<String> {
    let materials = &problem.mixture.catalogue.materials;
    let in_use: Vec<_> =
        materials.iter().zip(used).filter(|(_, used)| **used).map(|(material, _)| material).collect();
    let has = |role: Role| in_use.iter().any(|material| material.role == role);
    let mut list = assumptions(&rule.setting, units);
    if rule.setting.strain_scale != 1.0 {
        let scale = trimmed(rule.setting.strain_scale, 4);
        list.push(format!("All strains are multiplied by {scale}, by own rings (`scale`)."));
    }
    if has(Role::LightweightSand) || has(Role::LightweightCoarseAggregate) {
        list.push("Internal curing acts through what is given for the strains alone.".to_owned());
    }
    if let Restraint::Ring { .. } = rule.setting.restraint {
        if has(Role::ExpansiveAgent) {
            list.push(
                "The ring test is not intended for expansive binders (ASTM C1581, scope): no class holds."
                    .to_owned(),
            );
        }
        let coarse = in_use.iter().filter(|material| {
            matches!(material.role, Role::CoarseAggregate | Role::LightweightCoarseAggregate)
        });
        let mut known = true;
        let mut large = Vec::new();
        for material in coarse {
            match material.grading.as_ref().and_then(|grading| grading.passing(LARGEST)) {
                Some(passing) if passing < PASSING => large.push(material.name.as_str()),
                Some(_) => {}
                None => known = false,
            }
        }
        if !large.is_empty() {
            list.push(format!(
                "The ring test holds for aggregate up to 13 mm (ASTM C1581, scope); larger here: {}.",
                crate::finding::listed(&large)
            ));
        } else if !known {
            list.push("The ring test holds for aggregate up to 13 mm (ASTM C1581, scope): no grading says how large this is.".to_owned());
        }
    }
    let expands = rule.setting.strains.iter().any(|strain| strain.cause == Cause::Expansion);
    let heeds = |role: Role| {
        materials.named().any(|(index, material)| {
            used[index.index()] && material.role == role && is_heeded(problem, response, index)
        })
    };
    if heeds(Role::ExpansiveAgent) && !expands {
        list.push(
            "The expansive agent has no early compression here: it acts through the shrinkage alone."
                .to_owned(),
        );
    }
    if heeds(Role::Fibre) && rule.setting.failure[2] == Slot::Fixed(0.0) {
        list.push("Fibres add nothing to the stress at cracking here: no gain is given.".to_owned());
    }
    list
}
