//! Keys of responses: surfaces in named factors, and built-in laws with their inputs.

use super::cracking::CRACKING;
use super::form::{Form, INPUT, Key, LINKS, QUANTITY_REF, STATISTICS, key, needed};

/// Keys of a strength's description.
pub const STRENGTH: &[Key] = &[
    needed("specimen", Form::Text, "Specimen, such as `cylinder 150 x 300 mm`."),
    needed("statistic", Form::Words(STATISTICS), "What the figure is."),
    needed("age", Form::Value("28 d"), "Age at test."),
    needed("curing", Form::Text, "Curing, such as `moist`."),
];

/// Keys of one factor.
pub const FACTOR: &[Key] = &[
    key("is", QUANTITY_REF, "The quantity or response it stands for; the factor's own name when left out."),
    key("unit", Form::Text, "The unit in which the coefficients take it."),
    needed("region", Form::Bounds("0.32 .. 0.45"), "Where the surface is known; the mix must stay inside."),
    key(
        "coded",
        Form::Bounds("0.34 .. 0.44"),
        "The values coded as -1 and +1, if the coefficients are for coded factors.",
    ),
];

/// Keys of what a fit knows of its trials.
pub const TRIALS: &[Key] = &[
    needed(
        "degrees of freedom",
        Form::Number,
        "Of the residual, in batches: a confidence then takes Student's quantile.",
    ),
    key(
        "batch deviation",
        Form::Value("1.2 MPa"),
        "Standard deviation between repeated batches, on the link's scale.",
    ),
    key("power", Form::Number, "The residual grows with this power of the prediction; 0 when left out."),
    key("at", Form::Value("40 MPa"), "The prediction at which the residual holds; needed with a power."),
    key(
        "slope variance",
        Form::Number,
        "What a doubtful slope of a law adds to the square of the residual, as a share for each square of ln(prediction / at).",
    ),
    key(
        "region covariance",
        Form::List(&Form::List(&Form::Number)),
        "The covariance that `leverage` is measured by, where it is that of the form before selection.",
    ),
    key(
        "measured",
        Form::Text,
        "The measured column that was fitted, where it has another name than the response.",
    ),
    key(
        "age",
        Form::Value("28 d"),
        "Age of the results that were fitted, where `strength` does not tell it.",
    ),
    key("batches", Form::Count, "How many batches were fitted."),
    key("data", Form::Text, "Digest of the file of trials."),
    key("date", Form::Text, "Date of the last trial."),
];

/// Keys of a corrected slope: prediction = at x (law / at)^power.
pub const SLOPE: &[Key] = &[
    needed("power", Form::Number, "The power: 1 leaves the law as it is."),
    needed("at", Form::Value("38 MPa"), "The prediction that stays."),
];

/// Keys of one response.
pub const RESPONSE: &[Key] = &[
    key("unit", Form::Text, "Unit of the response; `% of binder` for a dose; needed unless a law gives it."),
    key(
        "law",
        Form::Name,
        "The built-in law it follows, in place of factors and terms; `mixbound laws` lists them.",
    ),
    key(
        "inputs",
        Form::Named(&Form::Either(&[Form::Value("28 d"), Form::Name, Form::Keys(INPUT)])),
        "The inputs of the law by their names: a value, a quantity of the mix, or another response.",
    ),
    key(
        "cracking",
        Form::Keys(CRACKING),
        "The age at which it cracks under restraint, step by step, in place of factors and terms.",
    ),
    key(
        "strength",
        Form::Keys(STRENGTH),
        "What the strength is: needed for any response in a unit of stress that a strength limit speaks of.",
    ),
    key(
        "link",
        Form::Words(LINKS),
        "The scale on which the surface is a polynomial; identity when left out.",
    ),
    key("factors", Form::Named(&Form::Keys(FACTOR)), "The factors by the short names used in the terms."),
    key("terms", Form::Named(&Form::Number), "Coefficients by `constant`, `a`, `a * b` and `a * a`."),
    key("residual", Form::Value("2.1 MPa"), "Residual standard deviation of the fit on the link's scale."),
    key(
        "covariance",
        Form::List(&Form::List(&Form::Number)),
        "Coefficient covariance divided by the residual variance, in the order of the terms.",
    ),
    key("leverage", Form::Number, "Largest leverage at which the surface may be used; needs the covariance."),
    key(
        "scale",
        Form::Number,
        "Factor on a law, or on all strains of an age at cracking, from own results; `mixbound calibrate` writes it.",
    ),
    key(
        "slope",
        Form::Keys(SLOPE),
        "How own results bend a law about one of its predictions; `mixbound calibrate` writes it.",
    ),
    key("trials", Form::Keys(TRIALS), "What the fit knows of its trials; `mixbound fit` writes it."),
];
