//! The usual limits that these classes and these materials call for and the statement lacks.
//!
//! A statement without them can be solved; its author is told what a specification would usually hold, the usual
//! figure and where it comes from. Nothing here is imposed.

use super::classes::AskedClass;
use super::requirement::{Origin, Requirement, Subject};
use super::switch::Switch;
use super::whole::Problem;
use crate::finding::{Finding, Findings, Place};
use crate::listed::Id;
use crate::material::{Material, Role, RoleKind};
use crate::mixture::{Affine, Measure};
use crate::response::{Response, Source};
use crate::standard::{About, Codes, Side};

/// One usual limit that is missing.
struct Missing {
    place: Place,
    what: String,
    figure: &'static str,
    help: String,
}

/// Warnings, each with the usual figure and its source.
pub fn usual(problem: &Problem) -> Findings {
    let mut findings = Findings::default();
    let mut missing: Vec<Missing> = Vec::new();
    missing.extend(strength(problem));
    missing.extend(water(problem));
    missing.extend(chlorides(problem));
    missing.extend(alkalis(problem));
    missing.extend(salt(problem));
    missing.extend(doses(problem));
    findings.extend(viscosity(problem));
    findings.extend(curing_aggregates(problem));
    for one in missing {
        findings.push(
            Finding::warning(one.place, format!("nothing limits {}", one.what))
                .note(one.figure)
                .help(one.help),
        );
    }
    findings
}

/// The first class that is about this.
fn class(problem: &Problem, what: About) -> Option<&AskedClass> {
    problem.classes.iter().find(|class| class.family.is_about(&class.name, what))
}

fn limits(problem: &Problem, side: Side) -> impl Iterator<Item = &Requirement> {
    problem.requirements.iter().filter(move |r| r.origin == Origin::Limit && r.side == side)
}

fn above(measure: &Measure) -> &Affine {
    match measure {
        Measure::Linear(affine) => affine,
        Measure::Ratio(ratio) => &ratio.numerator,
    }
}

/// Whether a limit on this side is on a quantity whose upper part is this sum, whatever it is divided by.
fn is_limited(problem: &Problem, side: Side, sum: &Affine) -> bool {
    limits(problem, side)
        .any(|r| matches!(&r.subject, Subject::Quantity(quantity) if above(&quantity.measure) == sum))
}

fn strength(problem: &Problem) -> Option<Missing> {
    let strengths: Vec<Id<Response>> =
        problem.responses.ids().filter(|index| problem.responses[*index].strength.is_some()).collect();
    let first = *strengths.first()?;
    let limited = limits(problem, Side::AtLeast)
        .any(|r| matches!(r.subject, Subject::Response(index) if strengths.contains(&index)));
    (!limited).then(|| Missing {
        place: problem.responses[first].place,
        what: format!("the strength `{}` from below", problem.responses[first].name),
        figure: "a strength that is predicted is usually also asked for (common practice, no source)",
        help: format!(
            "add a limit such as `{}: {}`",
            problem.responses[first].name,
            Codes::of(problem.system).strength()
        ),
    })
}

fn water(problem: &Problem) -> Option<Missing> {
    let AskedClass { name, place, family } = class(problem, About::Exposure)?;
    let (figure, example) = Codes::of_class(*family, problem.system).water();
    let water = problem.mixture.free_water();
    (!is_limited(problem, Side::AtMost, &water)).then(|| Missing {
        place: *place,
        what: format!("the water, and class `{name}` is asked for"),
        figure,
        help: format!("add a limit such as `{example}`"),
    })
}

fn chlorides(problem: &Problem) -> Option<Missing> {
    let AskedClass { name, place, family } = class(problem, About::Corrosion)?;
    let (figure, example) = Codes::of_class(*family, problem.system).chlorides();
    let content = &problem.figures.chlorides;
    if content.as_ref().is_some_and(|content| is_limited(problem, Side::AtMost, content)) {
        return None;
    }
    Some(Missing {
        place: *place,
        what: format!("the chlorides of the materials, and class `{name}` is about reinforcement"),
        figure,
        help: if content.is_some() {
            format!("add `{example}`")
        } else {
            "declare `contents: {chlorides: ...}` of the materials, and limit `content of chlorides`"
                .to_owned()
        },
    })
}

fn alkalis(problem: &Problem) -> Option<Missing> {
    let content = problem.figures.alkalis.as_ref()?;
    let material = problem.mixture.catalogue.in_column(content.terms.first()?.0)?;
    let (figure, example) = Codes::of(problem.system).alkalis();
    (!is_limited(problem, Side::AtMost, content)).then(|| Missing {
        place: material.place,
        what: "the alkalis that the materials declare".to_owned(),
        figure,
        help: format!("add `{example}`"),
    })
}

/// Deicing salt: additions eat into scaling resistance, and scaling is what is tested.
fn salt(problem: &Problem) -> Vec<Missing> {
    let Some(AskedClass { name, place, family }) = class(problem, About::DeicingSalt) else {
        return Vec::new();
    };
    let codes = Codes::of_class(*family, problem.system);
    let mut list = Vec::new();
    let scaling = problem.requirements.iter().any(|r| {
        matches!(r.subject, Subject::Response(index) if problem.figures.scaling_loss == Some(index))
            && r.side == Side::AtMost
    });
    if !scaling {
        list.push(Missing {
            place: *place,
            what: format!("the scaling loss, and class `{name}` is about deicing salt"),
            figure: codes.scaling(),
            help: "fit a response `scaling loss` to tests and limit it, or test the mix before use"
                .to_owned(),
        });
    }
    for (role, most) in [
        (Role::FlyAsh, "25 %"),
        (Role::NaturalPozzolan, "25 %"),
        (Role::Slag, "50 %"),
        (Role::SilicaFume, "10 %"),
    ] {
        let held = |material: &&crate::material::Material| {
            material.role == role || material.constituents.iter().any(|(held, _)| *held == role)
        };
        let materials: Vec<_> = problem.mixture.catalogue.materials.iter().filter(held).collect();
        let Some(first) = materials.first() else { continue };
        let capped = problem
            .mixture
            .catalogue
            .materials
            .named()
            .all(|(index, material)| !held(&material) || is_capped(problem, index));
        if !capped {
            list.push(Missing {
                place: first.place,
                what: format!("the share of {} under deicing salt", role.word()),
                figure: codes.additions_under_salt(),
                help: format!("add `share of {}: at most {most}`", role.word()),
            });
        }
    }
    list
}

/// Flowing concrete with a shrinkage reducer tends to bleed and segregate.
fn viscosity(problem: &Problem) -> Findings {
    let mut findings = Findings::default();
    let flows = class(problem, About::Flow).is_some() || problem.figures.slump_flow.is_some();
    let materials = &problem.mixture.catalogue.materials;
    let reducer = materials.find_id(|material| material.role == Role::ShrinkageReducer);
    let Some(reducer) = reducer.filter(|_| flows) else { return findings };
    let of_switch = |index: Id<Switch>, role: Role| materials[problem.switches[index].material].role == role;
    let tied = problem.logic.iter().any(|logic| {
        let has = |role: Role, sign: f64| {
            logic.terms.iter().any(|(switch, factor)| of_switch(*switch, role) && 0.0 < sign * factor)
        };
        0.0 <= logic.low && has(Role::ViscosityModifier, 1.0) && has(Role::ShrinkageReducer, -1.0)
    });
    let modifiers = || materials.iter().filter(|material| material.role == Role::ViscosityModifier);
    let always = modifiers()
        .any(|material| material.bounds.iter().any(|bounds| bounds.low.is_some_and(|low| 0.0 < low)));
    let needed = problem.needs.iter().any(|need| {
        of_switch(need.switch, Role::ShrinkageReducer)
            && materials[need.material].role == Role::ViscosityModifier
    });
    let required = problem.logic.iter().any(|logic| {
        0.0 < logic.low && logic.terms.iter().all(|(switch, _)| of_switch(*switch, Role::ViscosityModifier))
    });
    if tied || needed || required || always {
        return findings;
    }
    let found = modifiers().next();
    let help = match found {
        Some(modifier) => format!(
            "add a choice such as `stable: {{if: {}, then: {}}}`",
            materials[reducer].name, modifier.name
        ),
        None => {
            "add a viscosity modifier to the materials, and a choice that uses it with the reducer".to_owned()
        }
    };
    findings.push(
        Finding::warning(
            materials[reducer].place,
            format!(
                "nothing asks for a viscosity modifier with shrinkage reducer `{}`",
                materials[reducer].name
            ),
        )
        .note("a shrinkage reducer tends to call for one in flowing concrete (common practice, no source)")
        .help(help),
    );
    findings
}

/// Lightweight aggregates that are to cure from inside and hold or give too little water for it.
fn curing_aggregates(problem: &Problem) -> Findings {
    let mut findings = Findings::default();
    if problem.mixture.curing_demand.is_none() {
        return findings;
    }
    for material in
        problem.mixture.catalogue.materials.iter().filter(|material| material.role.is_lightweight())
    {
        for (what, share, least) in
            [("absorbs", material.absorption, 0.05), ("gives back", material.desorption, 0.85)]
        {
            // What gives nothing back is not meant to.
            if 0.0 < material.desorption && share < least {
                findings.push(
                    Finding::warning(
                        material.place,
                        format!(
                            "lightweight aggregate `{}` {what} {} %",
                            material.name,
                            crate::quantity::trimmed(100.0 * share, 4)
                        ),
                    )
                    .note(
                        "usual for internal curing: at least 5 % absorbed, and 85 % of that given back at 94 % \
                         humidity (ASTM C1761, values from memory)",
                    )
                    .help("check the figure, or take another aggregate for internal curing"),
                );
            }
        }
    }
    findings
}

/// Materials that harm when there is too much of them.
fn doses(problem: &Problem) -> Vec<Missing> {
    let codes = Codes::of(problem.system);
    let mut list = Vec::new();
    for (index, material) in problem.mixture.catalogue.materials.named() {
        let (figure, example) = match material.role {
            Role::ExpansiveAgent => (
                "too much of it disrupts hardened concrete (common practice, no source)",
                "if used: 3 .. 8 % of binder",
            ),
            Role::Fibre => codes.fibres(),
            role if role.is_admixture() => codes.admixtures(),
            _ => continue,
        };
        if !is_capped(problem, index) {
            list.push(Missing {
                place: material.place,
                what: format!("{} `{}` from above", material.role.word(), material.name),
                figure,
                help: format!("add `{example}` to it"),
            });
        }
    }
    list
}

/// Whether a material's use has an upper end: its own bounds, a limit on a sum it counts in whole, or the region of
/// a factor.
fn is_capped(problem: &Problem, index: Id<Material>) -> bool {
    let material = &problem.mixture.catalogue.materials[index];
    let of_role = |affine: &Affine| {
        affine.terms.iter().any(|(column, _)| *column == index.index())
            && affine.terms.iter().all(|(column, _)| {
                problem.mixture.catalogue.in_column(*column).is_some_and(|other| {
                    other.role.kind() == RoleKind::Addition || other.role == material.role
                })
            })
    };
    let by_limit = limits(problem, Side::AtMost)
        .any(|r| matches!(&r.subject, Subject::Quantity(quantity) if of_role(above(&quantity.measure))));
    let by_region = problem.responses.iter().flat_map(|response| &response.factors).any(
        |factor| matches!(&factor.source, Source::Quantity(quantity) if of_role(above(&quantity.measure))),
    );
    material.bounds.iter().any(|bounds| bounds.high.is_some())
        || material.if_used.as_ref().is_some_and(|bounds| bounds.high.is_some())
        || by_limit
        || by_region
}
