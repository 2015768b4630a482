//! From response entries to responses: names resolved, regions finite, no circles.

use super::bind_cracking::bind_cracking;
use super::bind_law::bind_law;
use super::factor::factor;
use super::law_strengths::{check_bindings, check_written, inherit_strengths, strength_of};
use super::link::Link;
use super::response_kind::{Factor, Response, Rule, Source, Strength};
use super::surface::Surface;
use super::terms::surface;
use super::uncertainty::{Scale, basis, covariance, deviation, is_of_one_file};
use crate::finding::{Finding, Findings, Place, listed};
use crate::listed::{Id, Listed};
use crate::material::Base;
use crate::mixture::Quantities;
use crate::quantity::{Dimension, System, Unit};
use crate::standard::Codes;
use crate::standard::{Shape, Statistic};
use crate::statement::ResponseEntry;

/// Builds the responses in file order; those that cannot be built are left out with a finding.
pub fn responses(
    entries: &[ResponseEntry],
    quantities: &Quantities<'_>,
    findings: &mut Findings,
) -> Listed<Response> {
    let names: Vec<&str> = entries.iter().map(|entry| entry.name.value.as_str()).collect();
    for entry in entries {
        if quantities.names().contains(&entry.name.value) {
            findings.push(
                Finding::error(
                    entry.name.place,
                    format!("the response `{}` has the name of a quantity", entry.name.value),
                )
                .help("choose another name"),
            );
        }
    }
    let built: Vec<Option<Response>> =
        entries.iter().map(|entry| response(entry, &names, quantities, findings)).collect();
    let built = closed_up(built);
    if let Some(circle) = circle(&built) {
        let words: Vec<&str> = circle.iter().map(|index| built[*index].name.as_str()).collect();
        findings.push(
            Finding::error(
                built[circle[0]].place,
                format!("responses use one another in a circle: {}", listed(&words)),
            )
            .help("break the circle at one of them"),
        );
        return Listed::default();
    }
    let mut built = built;
    inherit_strengths(&mut built);
    check_bindings(&built, findings);
    built
}

/// Leaves out responses that could not be built, and those that use them; ids of the others close up.
fn closed_up(mut built: Vec<Option<Response>>) -> Listed<Response> {
    loop {
        let missing: Vec<bool> = built.iter().map(Option::is_none).collect();
        for slot in &mut built {
            let uses_missing =
                |factor: &Factor| matches!(factor.source, Source::Response(index) if missing[index.index()]);
            if slot.as_ref().is_some_and(|response| response.factors.iter().any(uses_missing)) {
                *slot = None;
            }
        }
        if built.iter().filter(|slot| slot.is_none()).count() == missing.iter().filter(|gone| **gone).count()
        {
            break;
        }
    }
    let before: Vec<bool> = built.iter().map(Option::is_some).collect();
    let place = |id: Id<Response>| Id::at(before[..id.index()].iter().filter(|kept| **kept).count());
    let mut kept: Listed<Response> = built.into_iter().flatten().collect();
    for factor in kept.iter_mut().flat_map(|response| &mut response.factors) {
        if let Source::Response(id) = &mut factor.source {
            *id = place(*id);
        }
    }
    kept
}

fn circle(responses: &Listed<Response>) -> Option<Vec<Id<Response>>> {
    fn visit(
        at: Id<Response>,
        responses: &Listed<Response>,
        path: &mut Vec<Id<Response>>,
        done: &mut [bool],
    ) -> bool {
        if done[at.index()] {
            return false;
        }
        if let Some(start) = path.iter().position(|seen| *seen == at) {
            path.drain(..start);
            return true;
        }
        path.push(at);
        for factor in &responses[at].factors {
            if let Source::Response(next) = factor.source
                && visit(next, responses, path, done)
            {
                return true;
            }
        }
        path.pop();
        done[at.index()] = true;
        false
    }
    let mut done = vec![false; responses.len()];
    responses.ids().find_map(|start| {
        let mut path = Vec::new();
        visit(start, responses, &mut path, &mut done).then_some(path)
    })
}

fn response(
    entry: &ResponseEntry,
    names: &[&str],
    quantities: &Quantities<'_>,
    findings: &mut Findings,
) -> Option<Response> {
    let owner = format!("response `{}`", entry.name.value);
    let law = match &entry.law {
        Some(law) => Some(bind_law(law, &owner, entry.unit.as_ref(), names, quantities, findings)?),
        None => None,
    };
    let cracking = match &entry.cracking {
        Some(cracking) => {
            let scale = scale_of(entry, &owner, findings);
            Some(bind_cracking((cracking, scale), &owner, (names, quantities), findings)?)
        }
        None => None,
    };
    let unit = match (&law, &entry.unit) {
        (Some((.., unit)), _) => unit.clone(),
        (None, None) if cracking.is_some() => Unit::known("d"),
        (None, unit) => unit.as_ref()?.value.clone(),
    };
    if let Some(written) =
        entry.unit.as_ref().filter(|_| cracking.is_some() && unit.dimension != Dimension::TIME)
    {
        findings.push(
            Finding::error(written.place, format!("{owner} is an age, and its unit is `{}`", unit.text))
                .note(format!("allowed units: {}", crate::quantity::accepted(&[Dimension::TIME]))),
        );
    }
    let link = bent(entry, &unit, &owner, findings).unwrap_or_else(|| link(entry, &unit, &owner, findings));
    let base = base(entry, &owner, findings);
    let strength = strength(entry, &unit, &owner, findings);
    let (factors, rule, given) = if let Some((restrained, factors)) = cracking {
        (factors, Rule::Cracking(Box::new(restrained)), None)
    } else if let Some((formula, factors, _)) = law {
        check_written(entry, &formula, &owner, findings);
        let given = strength_of(&formula);
        (factors, Rule::Law(formula), given)
    } else {
        let (factors, surface) = by_surface(entry, &owner, names, quantities, findings)?;
        (factors, Rule::Surface(surface), None)
    };
    let scale = Scale { unit: &unit, link, owner: &owner };
    let residual =
        entry.residual.as_ref().and_then(|residual| deviation(residual, "residual", &scale, findings));
    let is_whole = is_of_one_file(entry, &owner, findings);
    let covariance = entry
        .covariance
        .as_ref()
        .filter(|_| is_whole)
        .and_then(|given| covariance(entry, given, "covariance", &owner, findings));
    let basis =
        entry.trials.as_ref().filter(|_| is_whole).map(|trials| basis(entry, trials, &scale, findings));
    Some(Response {
        name: entry.name.value.clone(),
        place: entry.name.place,
        unit,
        base,
        strength: strength.or(given),
        link,
        factors,
        rule,
        residual,
        covariance,
        leverage: leverage(entry, &owner, findings),
        basis,
        scale: scale_of(entry, &owner, findings),
    })
}

/// The link, one that fits the unit.
fn link(entry: &ResponseEntry, unit: &Unit, owner: &str, findings: &mut Findings) -> Link {
    let link = entry.link.as_ref().and_then(|word| Link::named(&word.value)).unwrap_or(Link::Identity);
    if link == Link::Logit && unit.dimension != Dimension::NONE {
        let place = entry.link.as_ref().map_or(entry.name.place, |word| word.place);
        findings.push(
            Finding::error(place, format!("{owner} has the link logit and the unit `{}`", unit.text))
                .note("a logit response is a share between 0 and 100 %")
                .help("set `unit: \"%\"`, or take another link"),
        );
    }
    link
}

/// The slope of a law as own results correct it.
fn bent(entry: &ResponseEntry, unit: &Unit, owner: &str, findings: &mut Findings) -> Option<Link> {
    let slope = entry.slope.as_ref()?;
    if entry.law.is_none() {
        findings.push(
            Finding::error(slope.power.place, format!("{owner} has a `slope` and no law"))
                .note("a slope corrects a built-in law by own results; a surface is fitted anew")
                .help("take it out"),
        );
        return None;
    }
    let (power, at) = (slope.power.value, slope.at.value.base);
    let power_fits = (0.2..=5.0).contains(&power);
    if !power_fits {
        findings.push(
            Finding::error(slope.power.place, format!("`power` of the slope of {owner} is {power}"))
                .note("allowed: 0.2 .. 5; a law that is farther off is not the right one"),
        );
    }
    let at_fits = slope.at.value.unit.dimension == unit.dimension && 0.0 < at;
    if !at_fits {
        findings.push(
            Finding::error(slope.at.place, format!("`at` of the slope of {owner} is no such prediction"))
                .note(format!("allowed: above zero, in units such as `{}`", unit.text)),
        );
    }
    (power_fits && at_fits).then(|| Link::Bent { power, at: unit.from_base(at) })
}

/// What a dose is measured against.
fn base(entry: &ResponseEntry, owner: &str, findings: &mut Findings) -> Option<Base> {
    let word = entry.base.as_ref()?;
    let base = Base::named(&word.value);
    if base.is_none() {
        findings.push(
            Finding::error(word.place, format!("unknown base `{}` in the unit of {owner}", word.value))
                .known("bases", &word.value, ["binder", "cement", "powder"]),
        );
    }
    base
}

/// What strength a response is, as its author says. A fitted stress that is called a strength must say it: the name is
/// looked at here alone.
fn strength(entry: &ResponseEntry, unit: &Unit, owner: &str, findings: &mut Findings) -> Option<Strength> {
    let is_stress = unit.dimension == Dimension::STRESS;
    let Some(written) = &entry.strength else {
        let name = &entry.name;
        if is_stress && entry.law.is_none() && name.value.to_lowercase().contains("strength") {
            findings.push(
                Finding::error(name.place, format!("the strength `{}` does not say what it is", name.value))
                    .note("a strength has a specimen, a statistic (mean, characteristic, specified), an age and a curing")
                    .help(format!("add `{}`", Codes::of(unit.system().unwrap_or(System::Si)).described_strength())),
            );
        }
        return None;
    };
    if !is_stress {
        findings.push(
            Finding::error(written.place, format!("{owner} is a strength in `{}`", unit.text))
                .note("a strength is a stress: `MPa`, `psi`")
                .help("correct the unit, or take `strength` out"),
        );
    }
    Some(Strength {
        specimen: written.value.specimen.value.clone(),
        shape: Shape::of(&written.value.specimen.value),
        statistic: Statistic::named(&written.value.statistic.value)?,
        age: written.value.age.value,
        curing: written.value.curing.value.clone(),
    })
}

/// The largest leverage that a response lets a mix have, and where it stands.
fn leverage(entry: &ResponseEntry, owner: &str, findings: &mut Findings) -> Option<(f64, Place)> {
    let leverage = entry.leverage.as_ref()?;
    if entry.covariance.is_none() {
        findings.push(
            Finding::error(leverage.place, format!("{owner} limits the leverage without a `covariance`"))
                .help("add the covariance of the coefficients divided by the residual variance"),
        );
        return None;
    }
    if leverage.value <= 0.0 {
        findings.push(
            Finding::error(leverage.place, format!("`leverage` of {owner} is not above zero")).note(
                "allowed: any positive number; the largest leverage among the trials is a usual choice",
            ),
        );
        return None;
    }
    Some((leverage.value, leverage.place))
}

fn by_surface(
    entry: &ResponseEntry,
    owner: &str,
    names: &[&str],
    quantities: &Quantities<'_>,
    findings: &mut Findings,
) -> Option<(Vec<Factor>, Surface)> {
    let factors: Vec<Option<(Factor, (f64, f64))>> =
        entry.factors.iter().map(|entry| factor(entry, owner, names, quantities, findings)).collect();
    let terms = surface(entry, owner, findings);
    let (factors, coding): (Vec<Factor>, Vec<(f64, f64)>) =
        factors.into_iter().collect::<Option<Vec<_>>>()?.into_iter().unzip();
    Some((factors, Surface { coding, ..terms? }))
}

/// The factor on a law; one where none is given, or none can be.
fn scale_of(entry: &ResponseEntry, owner: &str, findings: &mut Findings) -> f64 {
    let Some(scale) = &entry.scale else { return 1.0 };
    if entry.law.is_none() && entry.cracking.is_none() {
        findings.push(
            Finding::error(scale.place, format!("{owner} has a `scale` and no law"))
                .note("a scale corrects a built-in law, or the strains of an age at cracking, by own results; a surface is fitted anew")
                .help("take it out"),
        );
        return 1.0;
    }
    if !(0.2..=5.0).contains(&scale.value) {
        findings.push(
            Finding::error(scale.place, format!("`scale` of {owner} is {}", scale.value))
                .note("allowed: 0.2 .. 5; a law that is farther off is not the right one"),
        );
        return 1.0;
    }
    scale.value
}
