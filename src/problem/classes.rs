//! Classes asked for, as limits of the problem.
//!
//! What enters: the class names of a statement. What leaves: limits like any other, each named after its class; of
//! several rules on one figure the most severe stands. An author's own limit on the same figure and side stands in
//! place of a rule and says so. Rules whose figure the statement does not hold are told as not checked, never
//! silently dropped.

use super::class_needs::needed;
use super::context::Context;
use super::k_values;
use super::limits::{limits, subject};
use super::requirement::{Requirement, Subject, Wanted};
use super::strength_class::undecided;
use super::unchecked::{Unchecked, joined, tell};
use super::which_strength::{check_strength, strength};
use crate::finding::{Finding, Findings, Place, listed};
use crate::material::Role;
use crate::quantity::{Scalar, Unit, trimmed};
use crate::standard::classes::rule::{Concrete, On, Rule, Rules, Setting};
use crate::standard::exposure::Exposure;
use crate::standard::{Family, Shape, Side};
use crate::statement::{ClassesEntry, LimitEntry, Located, QuantityRef, QuantitySpec, SideEntry, Word};

/// A rule with the class that asks for it.
struct Asked {
    rule: Rule,
    class: Word,
    family: Family,
}

/// A class that a statement asks for.
#[derive(Clone, Debug)]
pub struct AskedClass {
    /// Its name.
    pub name: String,
    /// The family that it belongs to.
    pub family: Family,
    /// Where it stands.
    pub place: Place,
}

/// What the classes of a statement bring beside limits.
#[derive(Debug, Default)]
pub struct ByClasses {
    /// The classes in the order in which they are written.
    pub classes: Vec<AskedClass>,
    /// What a report says about them: sources and assumptions.
    pub bases: Vec<String>,
    /// What they demand and nothing checks.
    pub unchecked: Vec<Unchecked>,
}

/// Adds the limits of the classes to the author's own.
pub fn add_classes(
    entry: &ClassesEntry,
    context: &Context<'_>,
    requirements: &mut Vec<Requirement>,
    findings: &mut Findings,
) -> ByClasses {
    let mut by_classes = ByClasses::default();
    let setting = Setting {
        largest: entry.largest.as_ref().map(|size| size.value),
        counted: k_values::counted(context.mixture),
        pozzolan: k_values::pozzolan(context.mixture),
        concrete: match entry.concrete.as_ref().map(|word| word.value.as_str()) {
            Some("prestressed") => Concrete::Prestressed,
            Some("plain") => Concrete::Plain,
            _ => Concrete::Reinforced,
        },
    };
    if let Some(said) = &entry.strength {
        check_strength(said, context, findings);
    }
    let mut asked: Vec<Asked> = Vec::new();
    let mut known: Vec<(Family, Vec<&str>)> = Vec::new();
    for class in &entry.of {
        let Some(family) = Family::of(&class.value) else {
            let names: Vec<String> = Family::ALL.into_iter().flat_map(Family::classes).collect();
            findings.push(Finding::error(class.place, format!("unknown class `{}`", class.value)).known(
                "classes",
                &class.value,
                names.iter().map(String::as_str),
            ));
            continue;
        };
        by_classes.classes.push(AskedClass { name: class.value.clone(), family, place: class.place });
        match known.iter_mut().find(|(other, _)| *other == family) {
            Some((_, classes)) => classes.push(&class.value),
            None => known.push((family, vec![&class.value])),
        }
        let Rules { rules, needs } = family.rules(&class.value, &setting);
        for need in needs {
            let told = needed(need, class, context, requirements, findings);
            by_classes.unchecked.extend(told);
        }
        asked.extend(rules.into_iter().map(|rule| Asked { rule, class: class.clone(), family }));
    }
    let own = requirements.len();
    let counts: Vec<(Word, usize)> = entry
        .of
        .iter()
        .map(|class| (class.clone(), asked.iter().filter(|one| one.class.value == class.value).count()))
        .collect();
    for asked in most_severe(asked) {
        by_classes.unchecked.extend(add_rule(&asked, entry, context, (requirements, own), findings));
    }
    by_classes.unchecked = joined(std::mem::take(&mut by_classes.unchecked));
    by_classes.unchecked.sort_by_key(|demand| entry.of.iter().position(|class| class.value == demand.class));
    tell(&counts, &by_classes.unchecked, findings);
    if let Some(margin) = &entry.margin
        && !findings.has_errors()
        && !requirements[own..].iter().any(|added| matches!(added.subject, Subject::Response(_)))
    {
        findings.push(
            Finding::warning(margin.place, "the margin of `classes` stands with no strength")
                .note("the strength of a class is not checked, or an own limit stands in its place")
                .help("give the margin in that limit, or take it out here"),
        );
    }
    let basis = |(family, classes): (Family, Vec<&str>)| {
        let source = family.source();
        format!("Classes {}: {source} National and local rules differ, and govern.", listed(&classes))
    };
    by_classes.bases = known.into_iter().map(basis).collect();
    let exposures: Vec<_> = entry
        .of
        .iter()
        .filter_map(|class| Exposure::named(&class.value).map(|exposure| (exposure, class.place)))
        .collect();
    by_classes.bases.extend(k_values::remarks(&exposures, &setting.counted, context.mixture, findings));
    by_classes
}

/// Of rules on one figure and side the most severe, the first of equals.
fn most_severe(asked: Vec<Asked>) -> Vec<Asked> {
    let mut kept: Vec<Asked> = Vec::new();
    for one in asked {
        let base = |rule: &Rule| Unit::known(rule.unit).to_base(rule.value) * rule.side.sign();
        let figure = |rule: &Rule| match rule.on {
            On::Strength { .. } => On::Strength { cube: None },
            other => other,
        };
        let same =
            |other: &&mut Asked| figure(&other.rule) == figure(&one.rule) && other.rule.side == one.rule.side;
        match kept.iter_mut().find(same) {
            Some(other) => {
                if base(&other.rule) < base(&one.rule) {
                    *other = one;
                }
            }
            None => kept.push(one),
        }
    }
    kept
}

/// What a rule comes to on this statement.
enum Meant {
    /// A figure of it, under this label, and the value that is asked of it.
    Figure(String, QuantityRef, f64),
    /// Nothing: no material of the shelf is of its roles.
    Nothing,
    /// Something that the statement does not hold, and why.
    NotHeld(String),
}

impl Asked {
    fn at(&self, value: String) -> Word {
        Located { value, place: self.class.place }
    }

    /// The rule as a demand that nothing checks.
    fn not_checked(&self, why: String) -> Unchecked {
        let Self { rule, class, .. } = self;
        let (figure, said) = match rule.on {
            On::Name(name) | On::PerBinder(name) => (name.to_owned(), None),
            On::Strength { cube: Some(cube) } if cube != rule.value => {
                let class = format!("C{}/{}", trimmed(rule.value, 4), trimmed(cube, 4));
                ("strength".to_owned(), Some(format!("{} {class}", rule.side.words())))
            }
            On::Strength { .. } => ("compressive strength".to_owned(), None),
            On::Share(roles) => (shares_label(roles), None),
        };
        Unchecked {
            class: class.value.clone(),
            figure,
            wanted: vec![(rule.side, rule.value, Unit::known(rule.unit))],
            of: rule.on.base().to_owned(),
            said,
            why,
            place: class.place,
        }
    }

    /// Which figure of the statement the rule means.
    fn meant(
        &self,
        entry: &ClassesEntry,
        context: &Context<'_>,
        requirements: &[Requirement],
        findings: &mut Findings,
    ) -> Meant {
        let value = self.rule.value;
        match self.rule.on {
            On::Name(name) | On::PerBinder(name) => {
                Meant::Figure(name.to_owned(), QuantityRef::Phrase(self.at(name.to_owned())), value)
            }
            On::Share(roles) => {
                let materials = &context.mixture.catalogue.materials;
                let is_on_shelf = |role: &&Role| {
                    let holds = |held: &(Role, f64)| held.0 == **role;
                    materials
                        .iter()
                        .any(|material| material.role == **role || material.constituents.iter().any(holds))
                };
                let total = |role: &Role| (self.at(format!("total {}", role.word())), 1.0);
                let of: Vec<(Word, f64)> = roles.iter().filter(is_on_shelf).map(total).collect();
                if of.is_empty() {
                    return Meant::Nothing;
                }
                let to = vec![(self.at("binder".to_owned()), 1.0)];
                let spec = QuantitySpec { of, to, by: None };
                let on = QuantityRef::Spec(Located { value: spec, place: self.class.place });
                Meant::Figure(shares_label(roles), on, value)
            }
            On::Strength { cube } => {
                let index = match strength(entry.strength.as_ref(), context, requirements) {
                    Ok(index) => index,
                    Err(why) => return Meant::NotHeld(why),
                };
                let response = &context.responses[index];
                let is_cube =
                    response.strength.as_ref().is_some_and(|strength| strength.shape == Shape::Cube);
                let value = match (is_cube, cube) {
                    (false, _) => value,
                    (true, Some(cube)) => cube,
                    (true, None) => {
                        let why = "it is a cylinder strength, and the response is for cubes";
                        return Meant::NotHeld(why.to_owned());
                    }
                };
                undecided(response, findings);
                let on = QuantityRef::Phrase(self.at(response.name.clone()));
                Meant::Figure(response.name.clone(), on, value)
            }
        }
    }
}

fn add_rule(
    asked: &Asked,
    entry: &ClassesEntry,
    context: &Context<'_>,
    (requirements, own): (&mut Vec<Requirement>, usize),
    findings: &mut Findings,
) -> Option<Unchecked> {
    let Asked { rule, class, family } = asked;
    let unit = Unit::known(rule.unit);
    let words = rule.on.base().to_owned();
    let (label, on, value) = match asked.meant(entry, context, requirements, findings) {
        Meant::Figure(label, on, value) => (label, on, value),
        Meant::Nothing => return None,
        Meant::NotHeld(why) => return Some(asked.not_checked(why)),
    };
    if let QuantityRef::Phrase(word) = &on
        && subject(&on, "", context, &mut Findings::default()).is_none()
    {
        return Some(asked.not_checked(format!("the statement holds no `{}`", word.value)));
    }
    let scalar = Scalar { base: unit.to_base(value), unit: unit.clone(), words };
    let side = Some(SideEntry::Value(at_place(scalar, class)));
    let is_strength = matches!(rule.on, On::Strength { .. });
    let (at_least, at_most) = match rule.side {
        Side::AtLeast => (side, None),
        Side::AtMost => (None, side),
    };
    let limit = LimitEntry {
        name: asked.at(format!("{}: {label}", class.value)),
        on,
        at_least,
        at_most,
        margin: entry.margin.clone().filter(|_| is_strength),
        statistic: is_strength.then(|| asked.at(family.statistic().word().to_owned())),
        note: None,
    };
    // The author's own limit is looked for first: a rule it stands in for needs no margin.
    let mut trial = Findings::default();
    let made = limits(std::slice::from_ref(&limit), context, &mut trial);
    let resolved = subject(&limit.on, &limit.name.value, context, &mut Findings::default());
    let same = |known: &Requirement| {
        known.side == rule.side
            && known.origin == super::requirement::Origin::Limit
            && resolved.as_ref().is_some_and(|subject| same_figure(&known.subject, subject, made.first()))
    };
    let (by_author, by_classes) = requirements.split_at_mut(own);
    if let Some(own) = by_author.iter_mut().find(|known| same(known)) {
        stand_in(own, &unit, value, class, findings);
        return None;
    }
    // Two rules may come to one figure on this shelf, such as the share of pozzolans where there is but one.
    if let (Some(known), Some(made)) = (by_classes.iter_mut().find(|known| same(known)), made.first()) {
        if severity(known) < severity(made) {
            known.clone_from(made);
        }
        return None;
    }
    findings.extend(trial);
    requirements.extend(made);
    None
}

/// Larger is more severe; base units.
fn severity(requirement: &Requirement) -> f64 {
    match requirement.wanted {
        Wanted::Value(value) => requirement.side.sign() * requirement.unit.to_base(value),
        Wanted::Quantity(..) | Wanted::Response(..) => f64::NEG_INFINITY,
    }
}

fn at_place(scalar: Scalar, class: &Word) -> Located<Scalar> {
    Located { value: scalar, place: class.place }
}

fn shares_label(roles: &[Role]) -> String {
    let words: Vec<&str> = roles.iter().map(|role| role.word()).collect();
    format!("share of {}", words.join(" + "))
}

fn same_figure(own: &Subject, subject: &Subject, made: Option<&Requirement>) -> bool {
    match (own, subject) {
        (Subject::Response(own), Subject::Response(rule)) => own == rule,
        (Subject::Quantity(own), Subject::Quantity(rule)) => {
            let as_made = made.is_some_and(
                |made| matches!(&made.subject, Subject::Quantity(made) if made.measure == own.measure),
            );
            own.measure == rule.measure || as_made
        }
        _ => false,
    }
}

/// The author's limit stands in place of a rule: its note says so, and a looser one is a warning.
fn stand_in(own: &mut Requirement, unit: &Unit, value: f64, class: &Word, findings: &mut Findings) {
    let Wanted::Value(wanted) = own.wanted else { return };
    let ruled = own.unit.from_base(unit.to_base(value));
    let shown = own.unit.with_number(&trimmed(ruled, 5));
    own.in_place_of.push((class.value.clone(), unit.to_base(value)));
    if own.side.sign() * (wanted - ruled) < -1e-9 * ruled.abs() {
        findings.push(
            Finding::warning(
                own.place,
                format!("limit `{}` is looser than class `{}` asks", own.name, class.value),
            )
            .note(format!(
                "the class asks for {} {shown}; the own limit stands in its place",
                own.side.words()
            )),
        );
    }
}
