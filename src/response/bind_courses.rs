//! From what depends on age in a description to courses over age; what cannot be is a finding.

use super::bind_cracking::{Building, ONSET, days};
use super::bind_law::{Clock, arranged, law_named};
use super::curve::{Course, Curve};
use super::law::{Input, Law};
use super::points::ordered;
use crate::finding::Finding;
use crate::quantity::{Unit, trimmed};
use crate::statement::{CourseEntry, CourseKind, Located, PointsEntry};

/// Age from which growth by codes is meant, d (EN 1992-1-1:2004, 3.1.2(6)).
const MEANT_FROM: f64 = 3.0;
/// Shares of an amount that make sense, %.
const SHARES: (f64, f64) = (0.1, 500.0);

impl Building<'_, '_, '_> {
    /// A strain with a growth of its own.
    pub(super) fn strain(&mut self, input: &Input, entry: &CourseEntry, start: f64) -> Option<Course> {
        let CourseKind::Grown { amount, at, half_time, rate, growth } = &entry.kind else {
            return self.course_by_law(input, entry);
        };
        let amount = self.slot(input, Some(amount), entry.place);
        if let Some(growth) = growth {
            self.refuse_growths(input, [at, half_time, rate], "its growth is given by own data");
            let curve = self.measured(input, growth)?;
            return Some(Course::Grown { amount: amount?, curve });
        }
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
    pub(super) fn aged(&mut self, input: &Input, entry: &CourseEntry, curve: Curve) -> Option<Course> {
        let CourseKind::Grown { amount, at, half_time, rate, growth } = &entry.kind else {
            self.too_early_law(input, entry);
            return self.course_by_law(input, entry);
        };
        self.refuse_growths(
            input,
            [at, half_time, rate],
            "it ages with `s`, with `hydration` or by own data",
        );
        let amount = self.slot(input, Some(amount), entry.place);
        let curve = match growth {
            Some(growth) => self.measured(input, growth)?,
            None => curve,
        };
        if matches!(curve, Curve::Ageing { .. }) {
            self.by_codes.push((input.name, entry.place));
        }
        Some(Course::Grown { amount: amount?, curve })
    }

    fn refuse_growths(&mut self, input: &Input, given: [&Option<Located<f64>>; 3], why: &str) {
        for given in given.into_iter().flatten() {
            self.findings.push(
                Finding::error(
                    given.place,
                    format!("`{}` of {} has a growth of its own", input.name, self.owner),
                )
                .note(why)
                .help("take this out, or bind a law over `age`"),
            );
        }
    }

    /// Shares of an amount by age.
    fn measured(&mut self, input: &Input, growth: &PointsEntry) -> Option<Curve> {
        let owner = format!("`growth` of `{}` of {}", input.name, self.owner);
        let percent = Unit::known("%");
        let points = ordered(
            growth,
            &owner,
            &percent,
            SHARES,
            "give shares of the stated amount, such as `60 %`",
            self.findings,
        )?;
        let points: Vec<_> = points.into_iter().map(|(age, share)| (age, 0.01 * share)).collect();
        let first = points.first().map_or(0.0, |(age, _)| *age);
        if self.onset * (1.0 + 1e-9) < first || first <= 0.0 {
            self.findings.push(
                Finding::error(
                    growth.place,
                    format!(
                        "{owner} begins at {} d, restraint at {} d",
                        trimmed(first, 4),
                        trimmed(self.onset, 4)
                    ),
                )
                .note("before its first age nothing is known, and an age of zero has no logarithm")
                .help("give an age at or before the onset of restraint, above zero"),
            );
            return None;
        }
        Some(Curve::Measured(points))
    }

    /// Growth by codes is not meant for ages before 3 d: before 1 d it is refused, later it is told.
    pub(super) fn too_early(&mut self) {
        let Some((_, place)) = self.by_codes.first() else { return };
        if MEANT_FROM <= self.onset {
            return;
        }
        let names: Vec<String> = self.by_codes.iter().map(|(name, _)| format!("`{name}`")).collect();
        let verb = if names.len() == 1 { "grows" } else { "grow" };
        let message = format!(
            "{} of {} {verb} as in codes from {} d",
            names.join(" and "),
            self.owner,
            trimmed(self.onset, 4)
        );
        let finding = if self.onset < ONSET {
            Finding::error(*place, message)
        } else {
            Finding::warning(*place, message)
        };
        self.findings.push(
            finding
                .note("codes mean it for ages from 3 d on, earlier ones go by tests (EN 1992-1-1:2004, 3.1.2(6))")
                .help("give own data as `growth: {1 d: 45 %, 3 d: 70 %, 28 d: 100 %}`, or `hydration` beside it"),
        );
    }

    fn too_early_law(&mut self, input: &Input, entry: &CourseEntry) {
        let CourseKind::Law(law) = &entry.kind else { return };
        let codes = [
            Law::EurocodeModulusAged,
            Law::ModelCodeModulusAged,
            Law::EurocodeTensionAged,
            Law::EurocodeStrengthAged,
            Law::AciStrengthAged,
        ];
        if codes.iter().any(|code| code.card().name == law.name.value) {
            self.by_codes.push((input.name, entry.place));
        }
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
}
