//! Keys of `production`: how the concrete is weighed, and what varies from batch to batch.

use super::form::{Form, Key, key, needed, words_of};
use super::order::BATCHING_RULES;

/// What spreads inside a tolerance.
pub const SPREADS: [(&str, SpreadEntry); 2] =
    [("normal", SpreadEntry::Normal), ("uniform", SpreadEntry::Uniform)];

/// How deviations within a tolerance are spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpreadEntry {
    /// By the normal distribution.
    Normal,
    /// Evenly.
    Uniform,
}

/// What a response's scatter may hold already.
pub const SOURCES_HELD: &[&str] = &["weighing", "moisture", "materials"];

/// Keys of one scale.
pub const SCALE: &[Key] = &[
    needed(
        "of",
        Form::List(&Form::Name),
        "The materials weighed on it, one after another in this order, on top of each other.",
    ),
    key("capacity", Form::Value("3 t"), "Its capacity: small batches have other tolerances."),
    key("bias", Form::Value("0.2 %"), "Known bias of its readings, share of what it shows."),
];

/// Keys of `production`.
pub const PRODUCTION: &[Key] = &[
    needed("weighing", Form::Words(BATCHING_RULES), "Whose tolerances the plant keeps."),
    key("batch", Form::Value("2.5 m3"), "Volume weighed at once; 1 m3 when left out."),
    key(
        "tolerance",
        Form::Named(&Form::Value("1 %")),
        "Own tolerances by material, shares of what is weighed, in place of the rules'; 0 % is allowed.",
    ),
    key(
        "spread",
        Form::Words(&words_of(&SPREADS)),
        "How deviations lie inside a tolerance: normal with half of it as standard deviation, cut off at its ends (the usual), or uniform.",
    ),
    key(
        "scales",
        Form::Named(&Form::Keys(SCALE)),
        "Scales that weigh several materials, are small, or are biased.",
    ),
    key(
        "moisture error",
        Form::Named(&Form::Value("0.5 %")),
        "Standard deviation of each aggregate's true moisture about the one batched for, points of its oven-dry mass.",
    ),
    key(
        "densities",
        Form::Named(&Form::Value("0.5 %")),
        "Standard deviation of each material's density, share of it.",
    ),
    key(
        "air",
        Form::Value("0.7 %"),
        "Standard deviation of the air content, points of the concrete's volume.",
    ),
    key(
        "materials",
        Form::Named(&Form::Value("1.5 MPa")),
        "Standard deviation of each response that the materials' own variability brings, in its unit.",
    ),
    key(
        "scatter holds",
        Form::List(&Form::Words(SOURCES_HELD)),
        "What the responses' residuals hold already, having been fitted to plant records: counted once.",
    ),
    key("results", Form::Count, "Number of results judged together for conformity; 3 when left out."),
];
