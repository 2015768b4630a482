//! Several mixes on one plant: their materials under common names, places to keep them, stock and volumes.
//!
//! What enters: checked problems with volumes, and a plant as written. What leaves: a [`SharedPlant`], or all findings. It
//! solves nothing.

use crate::finding::{Finding, Findings, Place as Spot};
use crate::listed::Id;
use crate::material::Material;
use crate::problem::Problem;
use crate::quantity::trimmed;
use crate::statement::{PlantEntry, Word};

/// One mix.
#[derive(Clone, Debug)]
pub struct PlantMix {
    /// Its name.
    pub name: String,
    /// Its problem.
    pub problem: Problem,
    /// Concrete in a year, m3.
    pub volume: f64,
    /// Its own material for each of the plant's, if it has it.
    pub columns: Vec<Option<Id<Material>>>,
}

/// One kind of place.
#[derive(Clone, Debug, PartialEq)]
pub struct Places {
    /// Its name.
    pub name: String,
    /// How many there are.
    pub number: usize,
    /// The materials that need one each.
    pub of: Vec<usize>,
}

/// A plant.
#[derive(Clone, Debug)]
pub struct SharedPlant {
    /// Title.
    pub title: Option<String>,
    /// Note.
    pub note: Option<String>,
    /// The one currency.
    pub currency: String,
    /// The mixes.
    pub mixes: Vec<PlantMix>,
    /// Names of all materials, in the order in which the statements bring them.
    pub materials: Vec<String>,
    /// The kinds of places.
    pub places: Vec<Places>,
    /// The most of a material in a year, kg of its reference state.
    pub stock: Vec<(usize, f64)>,
    /// What keeping a material costs in a year, by material.
    pub keeping: Vec<f64>,
}

/// Most materials of a plant: sets of them are kept in one word.
const MOST_MATERIALS: usize = 64;

/// Builds a plant; `problems` stand in the order of the entry's mixes, each with the name of its file.
///
/// # Errors
/// All findings.
pub fn shared_plant(entry: &PlantEntry, problems: Vec<(String, Problem)>) -> Result<SharedPlant, Findings> {
    let mut findings = Findings::default();
    let mut materials: Vec<String> = Vec::new();
    for (_, problem) in &problems {
        for name in problem.mixture.catalogue.names() {
            if !materials.iter().any(|known| known == name) {
                materials.push(name.to_owned());
            }
        }
    }
    amounts(entry, &mut findings);
    compare(entry, &problems, &mut findings);
    let currency = currency(entry, &problems, &mut findings);
    if MOST_MATERIALS < materials.len() {
        let place = entry.mixes.first().map_or(Spot { source: 0, start: 0, end: 0 }, |mix| mix.name.place);
        findings.push(
            Finding::error(place, format!("the statements bring {} materials", materials.len()))
                .note(format!("allowed: {MOST_MATERIALS}"))
                .help("call one material by one name in all of them"),
        );
    }
    let places = places(entry, &materials, &mut findings);
    let find = |word: &Word, key: &str, findings: &mut Findings| found(word, key, &materials, findings);
    let stock: Vec<(usize, f64)> = entry
        .stock
        .iter()
        .filter_map(|(word, mass)| Some((find(word, "`stock`", &mut findings)?, mass.value.base)))
        .collect();
    let mut keeping = vec![0.0; materials.len()];
    for (word, cost) in &entry.keeping {
        if let Some(index) = find(word, "`keeping`", &mut findings) {
            keeping[index] = cost.value.base;
        }
    }
    if findings.has_errors() {
        return Err(findings);
    }
    let mixes = problems.into_iter().zip(&entry.mixes).map(|((_, problem), mix)| PlantMix {
        name: mix.name.value.clone(),
        volume: mix.volume.value.base,
        columns: materials.iter().map(|name| problem.mixture.catalogue.find(name)).collect(),
        problem,
    });
    let text = |word: &Option<Word>| word.as_ref().map(|word| word.value.clone());
    Ok(SharedPlant {
        title: text(&entry.title),
        note: text(&entry.note),
        currency,
        mixes: mixes.collect(),
        materials,
        places,
        stock,
        keeping,
    })
}

/// Volumes are above zero, stock and keeping not below.
fn amounts(entry: &PlantEntry, findings: &mut Findings) {
    for mix in entry.mixes.iter().filter(|mix| mix.volume.value.base <= 0.0) {
        findings.push(
            Finding::error(
                mix.volume.place,
                format!("the volume of mix `{}` is not above zero", mix.name.value),
            )
            .help("give the volume of a year, or take the mix out"),
        );
    }
    for (key, list) in [("stock", &entry.stock), ("keeping", &entry.keeping)] {
        for (name, value) in list.iter().filter(|(_, value)| value.value.base < 0.0) {
            findings.push(
                Finding::error(value.place, format!("`{}` in `{key}` is below zero", name.value))
                    .help("leave it out"),
            );
        }
    }
}

/// The one currency of a plant and its statements, whose goals must be their costs.
fn currency(entry: &PlantEntry, problems: &[(String, Problem)], findings: &mut Findings) -> String {
    let currency = problems.first().map(|(_, problem)| problem.currency.clone()).unwrap_or_default();
    if let Some(word) = entry.currency.as_ref().filter(|word| word.value != currency) {
        findings.push(
            Finding::error(
                word.place,
                format!("the plant reckons in {}, its statements in {currency}", word.value),
            )
            .help(format!("write `currency: {currency}`")),
        );
    }
    for ((_, problem), mix) in problems.iter().zip(&entry.mixes) {
        if problem.currency != currency {
            findings.push(
                Finding::error(
                    mix.statement.place,
                    format!("mix `{}` is priced in {}", mix.name.value, problem.currency),
                )
                .note(format!("the first mix is in {currency}"))
                .help("give all statements one currency"),
            );
        }
        if !problem.is_about_cost() {
            findings.push(
                Finding::error(
                    mix.statement.place,
                    format!("the goal of mix `{}` is not its cost", mix.name.value),
                )
                .note("what a plant shares is weighed in money")
                .help("write `goal: least cost` in its statement"),
            );
        }
    }
    currency
}

/// A material of the plant by the author's word for it.
fn found(word: &Word, key: &str, materials: &[String], findings: &mut Findings) -> Option<usize> {
    let found = materials.iter().position(|name| *name == word.value);
    if found.is_none() {
        findings.push(
            Finding::error(
                word.place,
                format!("no statement has a material `{}`, which stands in {key}", word.value),
            )
            .known("materials", &word.value, materials.iter().map(String::as_str)),
        );
    }
    found
}

/// The places of a plant; a material has one kind of them.
fn places(entry: &PlantEntry, materials: &[String], findings: &mut Findings) -> Vec<Places> {
    let mut places: Vec<Places> = Vec::new();
    for place in &entry.places {
        let key = format!("place `{}`", place.name.value);
        let mut of = Vec::new();
        for word in &place.of {
            let Some(index) = found(word, &key, materials, findings) else { continue };
            if let Some(other) = places.iter().find(|other| other.of.contains(&index)) {
                findings.push(
                    Finding::error(word.place, format!("`{}` has two kinds of places", word.value))
                        .note(format!("it stands in `{}` already", other.name))
                        .help("leave it in one"),
                );
            } else if !of.contains(&index) {
                of.push(index);
            }
        }
        let number = usize::try_from(place.number.value).unwrap_or(usize::MAX);
        places.push(Places { name: place.name.value.clone(), number, of });
    }
    places
}

/// Materials that two statements call by one name must be one material.
fn compare(entry: &PlantEntry, problems: &[(String, Problem)], findings: &mut Findings) {
    for (later, (file, problem)) in problems.iter().enumerate() {
        for material in &problem.mixture.catalogue.materials {
            let earlier = problems[..later].iter().find_map(|(file, problem)| {
                let index = problem.mixture.catalogue.find(&material.name)?;
                Some((file, &problem.mixture.catalogue.materials[index]))
            });
            let Some((other_file, other)) = earlier else { continue };
            let differences = differences(material, other);
            if differences.is_empty() {
                continue;
            }
            findings.push(
                Finding::error(
                    entry.mixes[later].statement.place,
                    format!("`{}` is not one material in `{file}` and `{other_file}`", material.name),
                )
                .note(differences.join("; "))
                .help("include one file of materials in both, or give one of the two another name"),
            );
        }
    }
}

/// Where two descriptions differ: here, there.
fn differences(here: &Material, there: &Material) -> Vec<String> {
    let mut list = Vec::new();
    if here.role != there.role {
        list.push(format!("role: {} here, {} there", here.role.word(), there.role.word()));
    }
    let mut number = |name: &str, here: f64, there: f64, factor: f64, unit: &str| {
        if 1e-9 * here.abs().max(there.abs()) < (here - there).abs() {
            let shown = |value: f64| trimmed(factor * value, 6);
            list.push(format!("{name}: {}{unit} here, {}{unit} there", shown(here), shown(there)));
        }
    };
    number("density", here.density, there.density, 1.0, " kg/m3");
    number("absorption", here.absorption, there.absorption, 100.0, " %");
    number("desorption", here.desorption, there.desorption, 100.0, " %");
    number("mixing water", here.mixing_water, there.mixing_water, 100.0, " %");
    number("price", here.price, there.price, 1000.0, " /t");
    if here.contents != there.contents {
        list.push("its contents".to_owned());
    }
    list
}
