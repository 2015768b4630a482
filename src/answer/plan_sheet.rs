//! The sheet of the next trials: what to weigh for each batch, and columns to fill in.
//!
//! What enters: batches in their order, the problem, the volume of a batch. What leaves: a file of trials without results,
//! which `fit` and `confirm` read once they stand in it. A batch has a line for each age at which something is to be tested.

use std::fmt::Write as _;

use super::units::Units;
use crate::problem::Problem;
use crate::quantity::Unit;
use crate::trial::candidates::fitted_responses;

/// One batch to make.
#[derive(Clone, Copy, Debug)]
pub struct ToMake<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its mix.
    pub mix: &'a str,
    /// Day, from one.
    pub day: usize,
    /// Amounts per m3 in reference states, kg.
    pub amounts: &'a [f64],
}

/// How many batches the fits of a problem rest on: new ones are numbered from the next.
pub fn batches_so_far(problem: &Problem) -> usize {
    let counts = fitted_responses(problem).into_iter().filter_map(|index| {
        let basis = problem.responses[index].basis.as_ref()?;
        usize::try_from(basis.batches?).ok()
    });
    counts.max().unwrap_or(0)
}

/// A cell, in quotes where it holds a comma or quotes.
fn quoted(text: &str) -> String {
    if text.contains([',', '"', ';']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

/// A mass as a laboratory weighs it: thousandths, small amounts ten times finer.
fn weighed(mass: f64) -> String {
    if mass < 1.0 { format!("{mass:.4}") } else { format!("{mass:.3}") }
}

/// The sheet for batches of this volume, m3.
pub fn sheet(batches: &[ToMake<'_>], problem: &Problem, volume: f64, units: Units) -> String {
    let (mass, body) = match units {
        Units::Si => (Unit::known("kg"), Unit::known("L")),
        Units::Customary => (Unit::known("lb"), Unit::known("ft3")),
    };
    let materials = &problem.mixture.catalogue.materials;
    let mut text = format!("date,block,mix,batch,batch volume ({})", body.text);
    for material in materials {
        let state = if material.role.is_aggregate() {
            format!(" {}", material.role.reference_state().word())
        } else {
            String::new()
        };
        let _ = write!(text, ",{}", quoted(&format!("{} ({}{state})", material.name, mass.text)));
    }
    text.push_str(",specimen,age (d)");
    // A response at each of several ages is one column and several lines.
    let mut columns: Vec<&str> = Vec::new();
    let mut ages: Vec<f64> = Vec::new();
    for index in fitted_responses(problem) {
        let response = &problem.responses[index];
        if !columns.contains(&response.measured_as()) {
            columns.push(response.measured_as());
            let unit = &response.unit.text;
            let unit = if unit.is_empty() { String::new() } else { format!(" ({unit})") };
            let _ = write!(text, ",{}", quoted(&format!("{}{unit}", response.measured_as())));
        }
        if let Some(age) = response.age().filter(|age| !ages.contains(age)) {
            ages.push(age);
        }
    }
    ages.sort_by(f64::total_cmp);
    let ages: Vec<String> =
        if ages.is_empty() { vec![String::new()] } else { ages.iter().map(f64::to_string).collect() };
    text.push('\n');
    for batch in batches {
        let mut line = format!(",day {},{},{}", batch.day, quoted(batch.mix), quoted(batch.name));
        let _ = write!(line, ",{}", crate::quantity::trimmed(body.from_base(volume), 5));
        for (_, amount) in materials.iter().zip(batch.amounts) {
            let _ = write!(line, ",{}", weighed(mass.from_base(amount * volume)));
        }
        for age in &ages {
            let _ = writeln!(text, "{line},a,{age}{}", ",".repeat(columns.len()));
        }
    }
    text
}
