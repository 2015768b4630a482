//! From the description of an age at cracking to its rule and factors; what cannot be is a finding.

use super::bind_law::{Known, bind};
use super::curve::{Curve, hydration};
use super::formula::Slot;
use super::law::Input;
use super::points::LAST;
use super::response_kind::Factor;
use super::restrained::Restrained;
use super::setting::{Cause, Counted, Onset, Setting, Strain};
use super::temperature::Temperature;
use crate::finding::{Finding, Findings, Place};
use crate::quantity::{Unit, trimmed};
use crate::statement::{
    BindingEntry, CountedFrom, CrackingEntry, DryingEntry, InputEntry, Located, OnsetEntry, SettingTest,
    StrainOf, TensionTest,
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
const AGEING: Input =
    Input::given("s", "1", "growth constant of the cement class", (0.15, 0.5), (0.0, 2.0)).or(0.25);
/// The share of the mean direct tensile strength: the lower end of `alpha_ct` in EN 1992-2:2005, 3.1.6(102), a factor for the
/// design strength under long loading, borrowed here.
const LEVEL: Input =
    Input::given("share", "1", "stress at cracking over tensile strength", (0.4, 1.0), (0.05, 1.0)).or(0.80);
const FIBRES: [Input; 3] = [
    Input::given("fibre volume", "%", "fibres by volume of concrete", (0.0, 3.0), (0.0, 100.0)).or(0.0),
    Input::given("fibre gain", "1", "largest gain through fibres", (0.0, 2.0), (0.0, 10.0)).or(0.0),
    Input::given("fibre scale", "%", "fibre volume that brings 63 % of the gain", (0.05, 3.0), (1e-3, 100.0))
        .or(0.5),
];

/// Powers of the age factor for modulus and tensile strength (EN 1992-1-1:2004, 3.1.3(3) and 3.1.2(9)).
const POWERS: [f64; 2] = [0.3, 1.0];
/// Power of the age factor for tension from 28 d on, over the one before (EN 1992-1-1:2004, 3.1.2(9)).
const OLD: f64 = 2.0 / 3.0;
/// Powers of growth with hydration for modulus and tensile strength: 1/2 and 1, Rostasy, Gutsch and Krauss (value from
/// memory).
const HYDRATED: [f64; 2] = [0.5, 1.0];
/// Direct over splitting tensile strength (EN 1992-1-1:2004, 3.1.2(8)).
const DIRECT: f64 = 0.9;
/// Scatter of ring tests: Radlinska, Bucher and Weiss, Journal of ASTM International 2008, total coefficient of
/// variation. Of tensile strength: what its lower 5 % fractile at 0.7 of the mean comes to (EN 1992-1-1:2004, table 3.1),
/// 0.3 / 1.645.
const SCATTER: [f64; 2] = [0.12, 0.18];
/// Ages at which drying may begin, or restraint without a test of setting, d.
const BEGINNINGS: (f64, f64) = (1.0, 365.0);
/// Ages at which drying may begin, d.
const DRYING_FROM: (f64, f64) = (0.04, 365.0);
/// Setting times, d: 1 h to 3 d.
const SETTING: (f64, f64) = (1.0 / 24.0, 3.0);
/// Age at which restraint begins where none is given, d.
pub(super) const ONSET: f64 = 1.0;
const HORIZON: f64 = 90.0;

pub(super) struct Building<'b, 'k, 'q> {
    pub(super) owner: &'b str,
    pub(super) known: Known<'k, 'q>,
    pub(super) factors: Vec<Factor>,
    pub(super) findings: &'b mut Findings,
    /// Age at which restraint begins, d.
    pub(super) onset: f64,
    /// What grows by codes, and where it stands.
    pub(super) by_codes: Vec<(&'static str, Place)>,
}

/// Builds the rule and its factors; all strains are multiplied by a scale.
pub fn bind_cracking(
    (entry, strain_scale): (&CrackingEntry, f64),
    owner: &str,
    known: Known<'_, '_>,
    findings: &mut Findings,
) -> Option<(Restrained, Vec<Factor>)> {
    let mut own = Findings::default();
    let mut building = Building {
        owner,
        known,
        factors: Vec::new(),
        findings: &mut own,
        onset: ONSET,
        by_codes: Vec::new(),
    };
    let setting = building.setting(entry);
    let factors = building.factors;
    let setting = setting.filter(|_| !own.has_errors());
    findings.extend(own);
    Some((Restrained::new(Setting { strain_scale, ..setting? }), factors))
}

/// A time as days.
pub(super) fn days(time: &Located<f64>) -> f64 {
    Unit::known("d").from_base(time.value)
}

impl Building<'_, '_, '_> {
    fn setting(&mut self, entry: &CrackingEntry) -> Option<Setting> {
        let (onset, onset_by) = self.onset(entry.onset.as_ref()).unwrap_or((ONSET, Onset::Stated));
        self.onset = onset;
        let drying = match &entry.drying {
            DryingEntry::At(at) => self.beginning("drying from", at, DRYING_FROM),
            DryingEntry::Never(_) => None,
        };
        let horizon = entry.horizon.as_ref().map_or(HORIZON, days);
        if let Some(written) = &entry.horizon
            && !(onset < horizon && horizon <= LAST)
        {
            self.age("horizon", written, onset, LAST);
        }
        let counted = match entry.counted_from.value {
            CountedFrom::Drying => Counted::Drying,
            CountedFrom::Casting => Counted::Casting,
        };
        self.dryness(entry);
        let start = drying.unwrap_or(0.0);
        let mut strains = Vec::new();
        for (what, course) in &entry.strains {
            let (input, start, cause) = match what {
                StrainOf::Drying => (DRYING, start, Cause::Drying),
                StrainOf::Expansion => (EXPANSION, 0.0, Cause::Expansion),
                StrainOf::Autogenous => (AUTOGENOUS, 0.0, Cause::Autogenous),
            };
            strains.extend(self.strain(&input, course, start).map(|course| Strain { cause, course }));
        }
        let temperature = match &entry.temperature {
            Some(entry) => Temperature::new(entry, self.owner, self.findings),
            None => None,
        };
        let thermal = match &entry.thermal {
            Some(given) => self.thermal(given, entry.temperature.is_some()),
            None => None,
        };
        let thermal = match (thermal, &entry.thermal) {
            (Some(thermal), Some(given)) => self.heated(thermal, given, &mut strains),
            (thermal, _) => thermal,
        };
        if entry.strains.is_empty() && entry.temperature.is_none() && entry.thermal.is_none() {
            self.findings.push(
                Finding::error(entry.place, format!("nothing shrinks in {}", self.owner))
                    .note("strains: `drying shrinkage`, `autogenous shrinkage`, `expansion`, `temperature`, `temperature strain`")
                    .help("add at least one of them"),
            );
        }
        let grown = self.growth(entry);
        let restraint = self.restraint(&entry.restraint);
        if let Some(restraint) = &restraint {
            self.sizes(restraint, &strains, entry);
        }
        let creep = self.creep(entry.creep.as_ref(), restraint.as_ref(), entry.place);
        let share = self.slot(&LEVEL, entry.share.as_ref(), entry.place);
        let [volume, gain, scale] =
            [0, 1, 2].map(|at| self.slot(&FIBRES[at], entry.fibres[at].as_ref(), entry.place));
        let [stiffening, strengthening] = grown?;
        let modulus = self.aged(&MODULUS, entry.modulus.as_ref()?, stiffening);
        let tension = self.aged(&TENSION, entry.tension.as_ref()?, strengthening);
        self.too_early();
        let splitting = entry.tension_test.as_ref().is_some_and(|test| test.value == TensionTest::Splitting);
        Some(Setting {
            restraint: restraint?,
            onset,
            onset_by,
            drying,
            counted,
            horizon,
            strains,
            strain_scale: 1.0,
            temperature,
            thermal,
            modulus: modulus?,
            tension: tension?,
            direct: if splitting { DIRECT } else { 1.0 },
            creep: creep?,
            failure: [share?, volume?, gain?, scale?],
            scatter: [0, 1].map(|at| entry.scatter[at].as_ref().map_or(SCATTER[at], |given| given.value)),
        })
    }

    /// How modulus and tensile strength grow.
    fn growth(&mut self, entry: &CrackingEntry) -> Option<[Curve; 2]> {
        let Some(given) = &entry.hydration else {
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
            return Some([
                Curve::Ageing { s, young: power(0), old: power(0) },
                Curve::Ageing { s, young: power(1), old: OLD * power(1) },
            ]);
        };
        if entry.s.is_some() {
            self.findings.push(
                Finding::error(given.place, format!("{} has both `s` and `hydration`", self.owner))
                    .note("each of them is a growth of its own")
                    .help("keep one of them"),
            );
            return None;
        }
        let (time, slope) = (days(given.time.as_ref()?), given.slope.as_ref()?.value);
        let setting = given.setting.as_ref()?.value;
        let reached = hydration(self.onset, time, slope);
        if !(0.0 < time && setting < reached) {
            self.findings.push(
                Finding::error(
                    given.place,
                    format!("`hydration` of {} has not set at the onset of restraint", self.owner),
                )
                .note(format!(
                    "by {} d it has reached {} % of its final degree; stiffness begins above {} %",
                    trimmed(self.onset, 4),
                    trimmed(100.0 * reached, 3),
                    trimmed(100.0 * setting, 3)
                ))
                .help("give a later onset, a lower `setting degree`, or a shorter `time`"),
            );
            return None;
        }
        let power = |at: usize| entry.powers[at].as_ref().map_or(HYDRATED[at], |power| power.value);
        Some([0, 1].map(|at| Curve::Hydration { time, slope, setting, power: power(at) }))
    }

    /// The age at which restraint begins, and how it is known.
    fn onset(&mut self, entry: Option<&OnsetEntry>) -> Option<(f64, Onset)> {
        let Some(entry) = entry else { return Some((ONSET, Onset::Stated)) };
        let Some(test) = &entry.test else {
            return Some((self.beginning("onset", &entry.time, BEGINNINGS)?, Onset::Stated));
        };
        let by = match test.value {
            SettingTest::AstmC403 => Onset::AstmC403,
            SettingTest::En480 => Onset::En480,
        };
        Some((self.beginning("setting time", &entry.time, SETTING)?, by))
    }

    /// Where nothing dries, nothing can be counted from drying and nothing shrinks by it.
    fn dryness(&mut self, entry: &CrackingEntry) {
        let DryingEntry::Never(place) = entry.drying else { return };
        if entry.counted_from.value == CountedFrom::Drying {
            self.findings.push(
                Finding::error(
                    entry.counted_from.place,
                    format!("{} counts from drying, and nothing dries", self.owner),
                )
                .note("`drying from` is `never`")
                .help("count from casting, or say from what age it dries"),
            );
        }
        if entry.strains.iter().any(|(what, _)| *what == StrainOf::Drying) {
            self.findings.push(
                Finding::error(place, format!("{} has a drying shrinkage, and nothing dries", self.owner))
                    .help("say from what age it dries, or take `drying shrinkage` out"),
            );
        }
    }

    fn beginning(&mut self, key: &str, written: &Located<f64>, (low, high): (f64, f64)) -> Option<f64> {
        let age = days(written);
        if low <= age && age <= high {
            return Some(age);
        }
        self.age(key, written, low, high);
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
                "onset" => {
                    "write `onset: 1 d`, or `onset: {setting time: 6 h, test: astm c403}` for an earlier one"
                }
                "setting time" => "write the setting time that the test gave, such as `6 h`",
                "drying from" => "write the age at which moist curing ends, or `never`",
                _ => "write a day within it, such as `90 d`",
            }),
        );
    }

    pub(super) fn slot(&mut self, input: &Input, entry: Option<&BindingEntry>, place: Place) -> Option<Slot> {
        let Some(entry) = entry else { return input.default.map(Slot::Fixed) };
        let place = match entry {
            BindingEntry::Value(_) => place,
            BindingEntry::Of { is, .. } => is.place(),
        };
        let name = Located { value: input.name.to_owned(), place };
        let given = InputEntry { name, binding: entry.clone() };
        bind(input, &given, self.owner, self.known, &mut self.factors, self.findings)
    }
}
