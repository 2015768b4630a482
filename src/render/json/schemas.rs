//! What each command writes as JSON, as JSON Schemas (draft 2020-12) for the software that reads it.
//!
//! What enters: a result. What leaves: its schema, derived from the very types that are written, so that a key cannot be
//! written without standing here. A key that a schema does not name is refused. It knows no statement: the schema of those
//! is [`crate::statement::schema`].

use schemars::generate::SchemaSettings;
use schemars::transform::{RecursiveTransform, Transform};
use schemars::{JsonSchema, Schema, json_schema};

use super::document::Document;
use super::study::{FrontOut, SweepOut};
use crate::answer::batch_sheet::BatchSheet;
use crate::answer::calibrate::CalibrationFacts;
use crate::answer::cautions::Cautioned;
use crate::answer::confirm::ConfirmFacts;
use crate::answer::fit::FitFacts;
use crate::answer::matrix::Matrix;
use crate::answer::plan::PlanFacts;
use crate::answer::plan_of_front::FrontPlanFacts;
use crate::answer::plans::Plans;
use crate::answer::record::json::written;
use crate::answer::record::summary::SummaryLine;
use crate::answer::record::sweep::{CaseOut, SweepHeader};
use crate::answer::rings::RingFacts;
use crate::answer::risks::Risks;
use crate::answer::rounded_mix::RoundedMix;
use crate::answer::{price_ranges, tightness};

/// What is written as JSON.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Written {
    /// `solve` with one statement, and each report that several leave in a folder.
    Report,
    /// `solve` with several statements.
    Summary,
    /// `predict` with one mix or several.
    Predictions,
    /// `predict --short`.
    Matrix,
    /// `limits`.
    Limits,
    /// `prices`.
    Prices,
    /// `sweep`.
    Sweep,
    /// Each line of a results file of `sweep` and `merge`.
    SweepLine,
    /// `front`.
    Front,
    /// `fit`.
    Fit,
    /// `plan`.
    Plan,
    /// `confirm`.
    Confirm,
    /// `calibrate`.
    Calibrate,
    /// `batch-sheet`.
    BatchSheet,
    /// `round`.
    Round,
    /// `risk`.
    Risk,
    /// `plant`.
    Plant,
}

/// The schema as JSON text.
pub fn schema_of(what: Written) -> String {
    let (title, schema) = match what {
        Written::Report => ("a report", of::<Document<'static>>()),
        Written::Summary => ("several statements", of::<Vec<Cautioned<'static, SummaryLine>>>()),
        Written::Predictions => {
            ("given mixes", either(&[of::<Document<'static>>(), of::<Vec<Document<'static>>>()]))
        }
        Written::Matrix => ("given mixes in short", of::<Matrix>()),
        Written::Limits => ("how tight each limit is", of::<Vec<Cautioned<'static, tightness::Entry>>>()),
        Written::Prices => ("prices of materials", of::<Vec<Cautioned<'static, price_ranges::Entry>>>()),
        Written::Sweep => ("a sweep", of::<SweepOut<'static>>()),
        Written::SweepLine => {
            ("a line of a results file of a sweep", either(&[of::<SweepHeader>(), of::<CaseOut>()]))
        }
        Written::Front => ("a front", of::<FrontOut<'static>>()),
        Written::Fit => ("fitted responses", of::<FitFacts>()),
        Written::Plan => ("the next trial batches", either(&[of::<PlanFacts>(), of::<FrontPlanFacts>()])),
        Written::Confirm => ("a fit judged by other batches", of::<ConfirmFacts>()),
        Written::Calibrate => {
            ("a law corrected by own results", either(&[of::<CalibrationFacts>(), of::<RingFacts>()]))
        }
        Written::BatchSheet => ("a batch sheet", of::<BatchSheet>()),
        Written::Round => ("a mix in whole steps", of::<RoundedMix>()),
        Written::Risk => ("risks of a mix", of::<Risks>()),
        Written::Plant => ("several mixes on one plant", of::<Plans>()),
    };
    let mut whole = json_schema!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": format!("mixbound results, format 1: {title}"),
    });
    for (key, value) in schema.as_object().into_iter().flatten() {
        if !matches!(key.as_str(), "$schema" | "title") {
            whole.insert(key.clone(), value.clone());
        }
    }
    written(&whole)
}

/// The schema of a type as it is written, everything in place; no map takes other keys than its own.
fn of<Facts: JsonSchema>() -> Schema {
    let mut settings = SchemaSettings::draft2020_12().for_serialize();
    settings.inline_subschemas = true;
    let mut schema = settings.into_generator().into_root_schema_for::<Facts>();
    RecursiveTransform(closed).transform(&mut schema);
    schema
}

fn closed(schema: &mut Schema) {
    if schema.get("properties").is_some() && schema.get("additionalProperties").is_none() {
        schema.insert("additionalProperties".to_owned(), false.into());
    }
    // Titles would be names of types, which are nobody's business.
    if schema.get("title").is_some_and(serde_json::Value::is_string) {
        schema.remove("title");
    }
}

fn either(forms: &[Schema]) -> Schema {
    let forms: Vec<serde_json::Value> = forms
        .iter()
        .map(|form| {
            let mut form = form.clone();
            form.remove("$schema");
            form.to_value()
        })
        .collect();
    json_schema!({ "anyOf": forms })
}
