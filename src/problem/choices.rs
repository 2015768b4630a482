//! Yes/no decisions: which materials they concern, what they demand of one another, what they demand of amounts.

use super::switch::{Logic, Need, Switch, SwitchBounds, Used};
use crate::finding::{Finding, Findings, Place, listed};
use crate::listed::{Id, Listed};
use crate::material::{Catalogue, Material, Use, written_use};
use crate::quantity::Scalar;
use crate::statement::{ChoiceEntry, ChoiceKind, Located, Word};

/// All decisions of a statement.
#[derive(Clone, Debug, Default)]
pub struct Choices {
    /// Switches.
    pub switches: Listed<Switch>,
    /// Conditions on them alone.
    pub logic: Listed<Logic>,
    /// Conditions on amounts.
    pub needs: Listed<Need>,
    /// Materials that must not be used, and where that is said.
    pub forbidden: Vec<(Id<Material>, Place)>,
}

/// Finds what is used of a material, by a measure that stands at a place of an owner; pushes a finding where it is not known.
pub type Measured<'m> = &'m dyn Fn(Id<Material>, &Use, (Place, &str), &mut Findings) -> Option<Used>;

/// Resolves the choices.
pub fn choices(
    entries: &[ChoiceEntry],
    catalogue: &Catalogue,
    measured: Measured<'_>,
    findings: &mut Findings,
) -> Choices {
    let mut choices = Choices::default();
    for (material, described) in catalogue.materials.named() {
        if let Some(bounds) = &described.if_used {
            let owner = format!("`if used` of material `{}`", described.name);
            let used = measured(material, &bounds.by, (bounds.place, &owner), findings);
            let (low, high, place) = (bounds.low, bounds.high, bounds.place);
            let bounds = used.map(|used| SwitchBounds { used, low, high, place });
            choices.switches.push(Switch { material, bounds });
        }
    }
    let mut implications: Vec<(Id<Material>, Id<Material>, Place)> = Vec::new();
    for entry in entries {
        one(entry, (catalogue, measured), &mut choices, &mut implications, findings);
    }
    if let Some(place) = circular(&implications) {
        let words: Vec<&str> =
            implications.iter().map(|(from, ..)| catalogue.materials[*from].name.as_str()).collect();
        findings.push(
            Finding::error(place, format!("`if ... then` runs in a circle among {}", listed(&words)))
                .note("each of them would call for the next, and the last for the first")
                .help("break the circle, or use `require`"),
        );
    }
    forbidden(&mut choices, catalogue, findings);
    choices
}

/// What is forbidden is not used, as a decision too, and must not be called for.
fn forbidden(choices: &mut Choices, catalogue: &Catalogue, findings: &mut Findings) {
    for (material, place) in choices.forbidden.clone() {
        let name = &catalogue.materials[material].name;
        let least = catalogue.materials[material]
            .bounds
            .iter()
            .find(|bounds| bounds.low.is_some_and(|low| 0.0 < low));
        if least.is_some() {
            findings.push(
                Finding::error(place, format!("material `{name}` is forbidden and has a lower bound"))
                    .help("take the lower bound out of the material, or do not forbid it"),
            );
            continue;
        }
        let Some(switch) = choices.switches.find_id(|switch| switch.material == material) else {
            continue;
        };
        let called = choices.logic.iter().find(|logic| logic.low == 1.0 && logic.terms == [(switch, 1.0)]);
        if let Some(called) = called {
            findings.push(
                Finding::error(place, format!("material `{name}` is both required and forbidden"))
                    .note(format!("choice `{}` requires it", called.name))
                    .help("take one of the two out"),
            );
            continue;
        }
        choices.logic.push(Logic {
            name: format!("forbidden: {name}"),
            place,
            terms: vec![(switch, 1.0)],
            low: 0.0,
            high: 0.0,
        });
    }
}

fn one(
    entry: &ChoiceEntry,
    (catalogue, measured): (&Catalogue, Measured<'_>),
    choices: &mut Choices,
    implications: &mut Vec<(Id<Material>, Id<Material>, Place)>,
    findings: &mut Findings,
) {
    let name = entry.name.value.clone();
    let place = entry.name.place;
    let owner = format!("choice `{name}`");
    let find = |word: &Word, findings: &mut Findings| named(word, catalogue, &owner, findings);
    match &entry.kind {
        ChoiceKind::Count { of, at_least, at_most } => {
            let counted = (of.as_slice(), at_least.as_ref(), at_most.as_ref());
            group((&name, place), counted, catalogue, choices, findings);
        }
        ChoiceKind::Needs { if_used, then, at_least } => {
            let (Some(from), Some(to)) = (find(if_used, findings), find(then, findings)) else { return };
            if from == to {
                findings.push(
                    Finding::error(then.place, format!("`{}` in {owner} calls for itself", then.value))
                        .help("name another material, or use `require`"),
                );
                return;
            }
            implications.push((from, to, place));
            let least = at_least.as_ref();
            needed((&name, place), (from, to, least), (catalogue, measured), choices, findings);
        }
        ChoiceKind::Require(words) => {
            for material in words.iter().filter_map(|word| find(word, findings)).collect::<Vec<_>>() {
                needs_least(catalogue, material, &owner, place, findings);
                let terms = vec![(choices.switch_of(material), 1.0)];
                choices.logic.push(Logic { name: name.clone(), place, terms, low: 1.0, high: 1.0 });
            }
        }
        ChoiceKind::Forbid(words) => {
            let forbidden: Vec<(Id<Material>, Place)> =
                words.iter().filter_map(|word| Some((find(word, findings)?, word.place))).collect();
            choices.forbidden.extend(forbidden);
        }
    }
}

/// A material by the author's word for it.
fn named(word: &Word, catalogue: &Catalogue, owner: &str, findings: &mut Findings) -> Option<Id<Material>> {
    let found = catalogue.find(&word.value);
    if found.is_none() {
        findings.push(
            Finding::error(word.place, format!("unknown material `{}` in {owner}", word.value)).known(
                "materials",
                &word.value,
                catalogue.names(),
            ),
        );
    }
    found
}

/// So many of a group.
fn group(
    (name, place): (&str, Place),
    (of, at_least, at_most): (&[Word], Option<&Located<u32>>, Option<&Located<u32>>),
    catalogue: &Catalogue,
    choices: &mut Choices,
    findings: &mut Findings,
) {
    let owner = format!("choice `{name}`");
    let members: Vec<Id<Material>> =
        of.iter().filter_map(|word| named(word, catalogue, &owner, findings)).collect();
    if members.len() < of.len() {
        return;
    }
    if members.is_empty() {
        findings.push(
            Finding::error(place, format!("{owner} has a group without members"))
                .help("name the materials of the group, or take the choice out"),
        );
        return;
    }
    let least = at_least.as_ref().map_or(0, |count| count.value);
    let most = at_most.as_ref().map_or(u32::MAX, |count| count.value);
    let size = u32::try_from(members.len()).unwrap_or(u32::MAX);
    if size < least || most < least {
        let (low, high) = (least, most.min(size));
        findings.push(
            Finding::error(
                at_least.as_ref().map_or(place, |count| count.place),
                format!("{owner} cannot hold: at least {low}, at most {high} of {size}"),
            )
            .note(format!("the group has {}", crate::finding::numbered("member", members.len())))
            .help("lower `at least`, raise `at most`, or add members"),
        );
        return;
    }
    let twice =
        of.iter().enumerate().find(|(at, word)| of[..*at].iter().any(|earlier| earlier.value == word.value));
    if let Some((_, word)) = twice {
        findings.push(
            Finding::error(word.place, format!("{owner} names `{}` twice", word.value))
                .help("take one of them out"),
        );
        return;
    }
    for material in &members {
        if 0 < least {
            needs_least(catalogue, *material, &owner, place, findings);
        }
    }
    let terms = members.iter().map(|material| (choices.switch_of(*material), 1.0)).collect();
    choices.logic.push(Logic {
        name: name.to_owned(),
        place,
        terms,
        low: f64::from(least),
        high: f64::from(most.min(size)),
    });
}

/// If one material is used, so is another, or so much of it.
fn needed(
    (name, place): (&str, Place),
    (from, to, at_least): (Id<Material>, Id<Material>, Option<&Located<Scalar>>),
    (catalogue, measured): (&Catalogue, Measured<'_>),
    choices: &mut Choices,
    findings: &mut Findings,
) {
    let owner = format!("choice `{name}`");
    let switch = choices.switch_of(from);
    if let Some(least) = at_least {
        let density = catalogue.materials[to].density;
        let Some((by, amount)) = written_use(least, &owner, density, findings) else { return };
        if amount <= 0.0 {
            findings.push(
                Finding::error(least.place, format!("`at least` of {owner} is not above zero"))
                    .note("allowed: any positive amount or dose")
                    .help("write how much, such as `0.05 % of binder`, or leave it out"),
            );
            return;
        }
        let owner = format!("`at least` of {owner}");
        let Some(used) = measured(to, &by, (least.place, &owner), findings) else { return };
        choices.needs.push(Need { name: name.to_owned(), place, switch, material: to, used, least: amount });
    } else {
        needs_least(catalogue, to, &owner, place, findings);
        let other = choices.switch_of(to);
        choices.logic.push(Logic {
            name: name.to_owned(),
            place,
            terms: vec![(other, 1.0), (switch, -1.0)],
            low: 0.0,
            high: 1.0,
        });
    }
}

impl Choices {
    fn switch_of(&mut self, material: Id<Material>) -> Id<Switch> {
        if let Some(at) = self.switches.find_id(|switch| switch.material == material) {
            return at;
        }
        self.switches.push(Switch { material, bounds: None })
    }
}

/// "Used" means nothing without a least amount: a trace would do.
fn needs_least(
    catalogue: &Catalogue,
    material: Id<Material>,
    owner: &str,
    place: Place,
    findings: &mut Findings,
) {
    let described = &catalogue.materials[material];
    let bounded = described.bounds.iter().any(|bounds| bounds.low.is_some_and(|low| 0.0 < low));
    if described.if_used.is_none() && !bounded {
        findings.push(
            Finding::error(
                place,
                format!("{owner} wants `{}` used, and a trace of it would do", described.name),
            )
            .note("a material that must be used needs a least amount")
            .help(format!(
                "add `if used: ... kg/m3` or `if used: ... % of binder` to material `{}`",
                described.name
            )),
        );
    }
}

fn circular(implications: &[(Id<Material>, Id<Material>, Place)]) -> Option<Place> {
    implications.iter().find_map(|(start, first, place)| {
        let mut seen = vec![*first];
        let mut at = 0;
        while at < seen.len() {
            if seen[at] == *start {
                return Some(*place);
            }
            let next: Vec<Id<Material>> = implications
                .iter()
                .filter(|(from, to, _)| *from == seen[at] && !seen.contains(to))
                .map(|(_, to, _)| *to)
                .collect();
            seen.extend(next);
            at += 1;
        }
        None
    })
}
