//! The results that a fit is about.
//!
//! What enters: trials, and what is asked. What leaves: one row for each batch, or for each batch and age where age is a factor,
//! with the values of the factors; or the reasons why there are none. Which results are not used is told by those that are.

use super::asked::Asked;
use super::batch::{Batch, Outcome, Trials};
use super::refusal::Refusal;

/// One result of one batch, at one age where age is a factor.
#[derive(Clone, Debug)]
pub struct Row {
    /// Indices of its outcomes: several where one batch was tested at nearly the age asked for twice.
    pub outcomes: Vec<usize>,
    /// The batch.
    pub batch: usize,
    /// The mix.
    pub mix: usize,
    /// Age, d.
    pub age: Option<f64>,
    /// Factor values in their units.
    pub factors: Vec<f64>,
    /// Measured, in the response's unit.
    pub measured: f64,
}

/// Share by which an age may differ from the one asked for.
const SAME_AGE: f64 = 0.02;

/// The results that are asked for.
///
/// # Errors
/// That there are none, a factor without a value, one age where age is a factor, several curings.
pub fn rows(trials: &Trials, asked: &Asked, remarks: &mut Vec<String>) -> Result<Vec<Row>, Refusal> {
    let measured = trials.measured.iter().position(|measured| measured.name == asked.name);
    let of_age = |outcome: &Outcome| match (asked.age, outcome.age) {
        (Some(wanted), Some(age)) => (age - wanted).abs() <= SAME_AGE * wanted,
        _ => true,
    };
    let own: Vec<usize> = (0..trials.outcomes.len())
        .filter(|index| Some(trials.outcomes[*index].measured) == measured)
        .collect();
    let (cured, other) = trials.cured(&own, asked.curing.as_deref());
    if let Some(other) = other {
        remarks.push(other);
    }
    let used: Vec<usize> = cured.into_iter().filter(|index| of_age(&trials.outcomes[*index])).collect();
    if used.is_empty() {
        return Err(none(trials, asked, &own));
    }
    one_curing(trials, asked, &used)?;
    let mut rows: Vec<Row> = Vec::new();
    for index in used {
        let outcome = &trials.outcomes[index];
        let batch = &trials.batches[outcome.batch];
        // Where age is no factor, one batch is one row.
        let twin = rows.iter_mut().find(|row| {
            row.batch == outcome.batch && (asked.age_factor().is_none() || row.age == outcome.age)
        });
        if let Some(row) = twin {
            row.outcomes.push(index);
            let values = row.outcomes.iter().map(|at| trials.outcomes[*at].mean());
            row.measured = values.sum::<f64>() / row.outcomes.len() as f64;
            continue;
        }
        rows.push(Row {
            outcomes: vec![index],
            batch: outcome.batch,
            mix: batch.mix,
            age: outcome.age,
            factors: factors(asked, batch, outcome)?,
            measured: outcome.mean(),
        });
    }
    if asked.age_factor().is_some() && rows.iter().all(|row| row.age == rows[0].age) {
        return Err(Refusal::new(
            "age is a factor, and all results are of one age",
            "take `ln age` out, or measure at several ages",
        ));
    }
    Ok(rows)
}

fn factors(asked: &Asked, batch: &Batch, outcome: &Outcome) -> Result<Vec<f64>, Refusal> {
    let one = |factor: &super::asked::FactorAsked| {
        let value = match &factor.quantity {
            Some(quantity) => quantity.measure.at(&batch.amounts).map(|base| factor.unit.from_base(base)),
            None => outcome.age.map(f64::ln),
        };
        value.filter(|value| value.is_finite()).ok_or_else(|| {
            let help = if factor.quantity.is_none() {
                "give its age in the column `age (d)`"
            } else {
                "leave out the factor whose denominator is zero, or the batch"
            };
            Refusal::new(
                format!("the factor `{}` has no value for batch `{}`", factor.name, batch.name),
                help,
            )
        })
    };
    asked.factors.iter().map(one).collect()
}

/// Results of several curings are not of one response.
fn one_curing(trials: &Trials, asked: &Asked, used: &[usize]) -> Result<(), Refusal> {
    let mut curings: Vec<&str> =
        used.iter().filter_map(|index| trials.outcomes[*index].curing.as_deref()).collect();
    curings.sort_unstable();
    curings.dedup();
    if curings.len() < 2 {
        return Ok(());
    }
    let list: Vec<String> = curings.iter().map(|curing| format!("`{curing}`")).collect();
    Err(Refusal::new(
        format!("results of `{}` are of several curings: {}", asked.name, list.join(", ")),
        "name the one that is meant: `curing` of the strength in the statement, or `--strength \"specimen, curing\"`",
    ))
}

fn none(trials: &Trials, asked: &Asked, own: &[usize]) -> Refusal {
    let mut refusal = Refusal::new(
        match asked.age {
            Some(age) => format!("no result of `{}` stands at {age} d", asked.name),
            None => format!("no result of `{}` stands in the trials", asked.name),
        },
        "name a column of the file, or another age",
    );
    let names: Vec<String> = trials.measured.iter().map(|m| format!("`{}`", m.name)).collect();
    refusal.notes.push(format!("measured: {}", names.join(", ")));
    let mut ages: Vec<f64> = own.iter().filter_map(|index| trials.outcomes[*index].age).collect();
    ages.sort_by(f64::total_cmp);
    ages.dedup();
    if !ages.is_empty() {
        let ages: Vec<String> = ages.iter().map(|age| format!("{age} d")).collect();
        refusal.notes.push(format!("ages: {}", ages.join(", ")));
    }
    refusal
}
