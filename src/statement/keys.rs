//! Every key of the statement in one table: what the reader allows, what the schema and the reference print.

mod form;
mod approved;
mod cracking;
mod mix;
mod order;
mod plant;
mod production;
mod responses;
mod rounding;
mod trial_batches;

pub use approved::APPROVED;
pub use cracking::{
    COUNTED, COURSE, CRACKING, CREEP, CREEP_LAWS, CountedFrom, FACES, FIBRES, HYDRATION, ONSET, OVERLAY,
    RESTRAINT, RINGS, SETTING_TESTS, STRAINS, SettingTest, StrainOf, StressAt, TEMPERATURE, TENSION_TESTS,
    TensionTest,
};
pub use form::{Form, INPUT, Key, LINKS, QUANTITY, STATISTICS};
pub use mix::{MIX, VOLUMES};
pub use order::{BATCHING_RULES, MEASURED_LOAD, ORDER, SPLITS, WASH_WATER};
pub use plant::{PLACE, PLANT, PLANT_MIX};
pub use production::{PRODUCTION, SCALE, SOURCES_HELD, SPREADS, SpreadEntry};
pub use responses::{FACTOR, RESPONSE, SLOPE, STRENGTH, TRIALS};
pub use rounding::ROUNDING;
pub use trial_batches::{TRIAL_BATCH, TRIAL_FILE};

use super::roles::ROLES;
use form::{NAMES, QUANTITY_REF, key, needed, words_of};

/// The states an amount, density or price may be given in.
pub const STATES: &[&str] = &["surface-dry", "prewetted", "as delivered", "dry", "SSD", "oven-dry"];

const SHARES: Form = Form::Named(&Form::Value("0.9 %"));

/// Keys of one material.
pub const MATERIAL: &[Key] = &[
    needed("role", Form::Words(ROLES), "What the material is."),
    needed(
        "density",
        Form::Value("2650 kg/m3"),
        "Particle density, in the material's reference state or the state named; `2.65 SG SSD` for a relative density.",
    ),
    needed(
        "price",
        Form::Value("142 /t"),
        "Price by mass or volume, in the state named: `dry`, `surface-dry`, `prewetted` or `as delivered`.",
    ),
    key("carbon", Form::Value("0.91 kg/kg"), "Embodied carbon per mass or volume, in the state named."),
    key(
        "absorption",
        Form::Value("1.2 %"),
        "Water absorbed when surface-dry or prewetted, share of the dry mass.",
    ),
    key(
        "bulk density",
        Form::Value("1600 kg/m3"),
        "Dry-rodded bulk density of an aggregate (ASTM C29), for `bulk volume of coarse aggregate`.",
    ),
    key(
        "desorption",
        Form::Value("90 %"),
        "Share of the absorbed water that the aggregate gives to the paste.",
    ),
    key("moisture", Form::Value("4 %"), "Total water as delivered, share of the dry mass."),
    key("solids", Form::Value("35 %"), "Solids of a liquid admixture, share of its mass; the rest is water."),
    key(
        "mixing water",
        Form::Value("65 %"),
        "Share of a liquid's mass that counts as mixing water, where it is not one less the solids.",
    ),
    key("length", Form::Value("38 mm"), "Fibre length."),
    key("diameter", Form::Value("0.6 mm"), "Fibre diameter."),
    key("contents", SHARES, "Declared contents such as alkalis or chlorides, shares of mass."),
    key(
        "grading",
        SHARES,
        "Share of an aggregate passing each sieve, by sieve: `8 mm`, `63 um`, `3/4 in`, `No. 200`.",
    ),
    key("constituents", SHARES, "Constituents of a blended cement by role, shares of mass."),
    key("amount", Form::Bounds("250 .. 450 kg/m3"), "Bounds on the amount per volume of concrete."),
    key(
        "dose",
        Form::Bounds("0.2 .. 1.2 % of binder"),
        "Bounds on the dose; the base is binder, cement or powder.",
    ),
    key(
        "share",
        Form::Bounds("at most 30 % of sand volume"),
        "Bounds on the share of a named quantity, by that quantity's measure.",
    ),
    key(
        "if used",
        Form::Bounds("60 .. 250 kg/m3"),
        "Bounds that hold only if the material is used: an amount, a dose, or the share of a named quantity.",
    ),
];

/// Overdesign rules of standards.
pub const MARGIN_RULES: &[&str] = &["aci 301", "aci 318", "en 206", "en 1992"];

/// What a confidence is to hold for.
pub const HOLDS: &[&str] = &["mean", "trial batch", "production batch"];

/// Keys of a margin: by the rule of a standard, or by a confidence.
pub const MARGIN: &[Key] = &[
    key(
        "confidence",
        Form::Value("95 %"),
        "One-sided confidence; beside a rule, which holds scatter already, that of the mean alone.",
    ),
    key(
        "of",
        Form::Words(HOLDS),
        "What the confidence is to hold for; a batch like those of the trials when left out.",
    ),
    key(
        "rule",
        Form::Words(MARGIN_RULES),
        "Whose rule: the average that a strength must reach follows from it.",
    ),
    key(
        "deviation",
        Form::Value("3.5 MPa"),
        "Standard deviation of the strength tests on record, or of production batches; without it a rule takes that for no record.",
    ),
    key(
        "tests",
        Form::Count,
        "Number of those tests, at least 15; from 30 on the deviation counts as it stands.",
    ),
    key(
        "lambda",
        Form::Number,
        "EN 206: deviations between target and strength, at least 1.64; 2 when left out (annex A.5).",
    ),
    key(
        "offset",
        Form::Value("8 MPa"),
        "EN 206 without tests on record: how far the target lies over the strength, 6 to 12 MPa.",
    ),
];

/// Keys of one limit.
pub const LIMIT: &[Key] = &[
    key("on", QUANTITY_REF, "What is limited; the limit's own name when left out."),
    key(
        "at least",
        Form::Either(&[Form::Value("38 MPa"), Form::Name]),
        "Lower side: a value, a dose, a strength class such as `C30/37`, or another quantity (`1.1 x reducer demand`).",
    ),
    key("at most", Form::Either(&[Form::Value("28 GPa"), Form::Name]), "Upper side."),
    key("within", Form::Bounds("0.36 .. 0.42"), "Both sides at once."),
    key(
        "margin",
        Form::Either(&[Form::Value("5 MPa"), Form::Keys(MARGIN)]),
        "How far the prediction must stay from the limit: a value, `1.64 deviations`, `95 % confidence`, or a rule.",
    ),
    key(
        "risk",
        Form::Value("5 %"),
        "In place of a margin: the most risk that a result lies beyond the limit, as `production` and the residual bring it.",
    ),
    key(
        "statistic",
        Form::Words(STATISTICS),
        "For strengths: what the limit's figure is; the response's own when left out.",
    ),
    key(
        "grading",
        Form::Named(&Form::Bounds("55 .. 75 %")),
        "Share of all aggregates passing each sieve, by absolute volume; one limit for each sieve.",
    ),
    key(
        "tolerance",
        Form::Value("5 %"),
        "How far the grading may stay from single values, in points of per cent.",
    ),
    key("note", Form::Text, "Shown with the limit."),
];

/// Keys of one choice.
pub const CHOICE: &[Key] = &[
    key("of", NAMES, "The group."),
    key(
        "at least",
        Form::Either(&[Form::Count, Form::Value("0.05 % of binder")]),
        "At least so many of the group; or at least so much of what is needed.",
    ),
    key("at most", Form::Count, "At most so many of the group."),
    key("if", Form::Name, "If this material is used ..."),
    key("then", Form::Name, "... so is this one."),
    key("require", NAMES, "These materials are used."),
    key("forbid", NAMES, "These materials are not used."),
];

/// Keys of the goal.
pub const GOAL: &[Key] = &[
    key(
        "least",
        QUANTITY_REF,
        "The quantity or response to make as small as possible: `cost`, `carbon`, or another.",
    ),
    key("most", QUANTITY_REF, "The quantity or response to make as large as possible."),
    key("carbon price", Form::Value("80 /t"), "Price of carbon added to the cost."),
];

/// How concrete may be reinforced.
pub const CONCRETES: &[&str] = &["reinforced", "prestressed", "plain"];

/// Keys of the classes.
pub const CLASSES: &[Key] = &[
    needed("of", NAMES, "Class names, such as `[XC4, XD3, XF4]` of EN 206-1 or `[F3, C2]` of ACI 318."),
    key(
        "margin",
        Form::Either(&[Form::Value("8 MPa"), Form::Keys(MARGIN)]),
        "How far the predicted strength must stay from the strength of the class, as in a limit.",
    ),
    key(
        "strength",
        Form::Name,
        "The response that is the strength of the classes, where the statement holds several.",
    ),
    key("largest aggregate", Form::Text, "Largest size of aggregate, a sieve such as `3/4 in` or `16 mm`."),
    key("concrete", Form::Words(CONCRETES), "How it is reinforced; reinforced when left out."),
];

const COUNTING_ROLES: Form = Form::List(&Form::Words(ROLES));

/// Keys of `counting`.
pub const COUNTING: &[Key] = &[
    key("binder", COUNTING_ROLES, "Roles that count as binder."),
    key("powder", COUNTING_ROLES, "Roles that count as powder."),
    key("paste", COUNTING_ROLES, "Roles whose volume counts as paste; `air` may be listed."),
    key("mortar", COUNTING_ROLES, "Roles whose volume counts as mortar; `air` may be listed."),
];

/// An edition of EN 206, 5.2.5.2.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edition {
    /// EN 206-1:2000.
    Of2000,
    /// EN 206:2013.
    Of2013,
}

/// Editions of EN 206 with k-values, by words.
pub const EDITIONS: [(&str, Edition); 2] =
    [("en 206-1:2000", Edition::Of2000), ("en 206:2013", Edition::Of2013)];

/// A strength class of cement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CementStrength {
    /// 32.5 MPa.
    Of32,
    /// 42.5 MPa.
    Of42,
    /// 52.5 MPa.
    Of52,
}

/// Strength classes of cement, by words.
pub const CEMENT_STRENGTHS: [(&str, CementStrength); 3] =
    [("32.5", CementStrength::Of32), ("42.5", CementStrength::Of42), ("52.5", CementStrength::Of52)];

/// Keys of one addition of the equivalent water-binder ratio.
pub const EQUIVALENT: &[Key] = &[
    key("k", Form::Number, "The k-value, where no edition says it."),
    key(
        "edition",
        Form::Words(&words_of(&EDITIONS)),
        "The edition of EN 206 whose k-value and cap are taken, in place of `k`.",
    ),
    key(
        "cement class",
        Form::Either(&[Form::Words(&words_of(&CEMENT_STRENGTHS)), Form::Number]),
        "Strength class of the cement, by which the edition of 2000 has the k-value of fly ash.",
    ),
    key(
        "cap",
        Form::Value("0.33"),
        "Largest amount that counts, as a ratio to cement by mass; the excess counts nothing.",
    ),
];

/// Keys of internal curing.
pub const CURING: &[Key] =
    &[needed("demand", Form::Value("7 % of binder"), "Internal-curing water wanted, as a dose.")];

/// Keys of a study.
pub const STUDY: &[Key] = &[
    key(
        "vary",
        Form::Named(&Form::Either(&[Form::Text, Form::List(&Form::Text)])),
        "Values for one or two keys of the statement, each by its path: `limits.crack-free age.at least: 14 d .. 42 d : 8`, or a list.",
    ),
    key(
        "scenarios",
        Form::Named(&Form::Part),
        "Parts of a statement by name, each laid over the whole: a price list, a material that is not to be had.",
    ),
];

/// Keys at the top of the file.
pub const STATEMENT: &[Key] = &[
    needed("mixbound", Form::Count, "Version of this format: 1."),
    key(
        "include",
        Form::List(&Form::Text),
        "Files in the statement's folder or below whose keys lie under the statement's own: a shelf, a price list.",
    ),
    key("title", Form::Text, "Shown above the report."),
    key("note", Form::Text, "Shown below the title."),
    needed("currency", Form::Text, "The one currency of the file."),
    needed(
        "air",
        Form::Bounds("6 %"),
        "Air, share of the concrete's volume: one value, or a range if every strength response depends on it.",
    ),
    needed("materials", Form::Named(&Form::Keys(MATERIAL)), "What the plant can supply."),
    key(
        "counting",
        Form::Keys(COUNTING),
        "Which roles count in binder, powder, paste and mortar, where the usual table does not fit.",
    ),
    key(
        "equivalent binder",
        Form::Named(&Form::Keys(EQUIVALENT)),
        "k-values of the equivalent water-binder ratio.",
    ),
    key("internal curing", Form::Keys(CURING), "Internal-curing water wanted."),
    key("quantities", Form::Named(&Form::Keys(QUANTITY)), "Quantities of the author's own."),
    key("responses", Form::Named(&Form::Keys(RESPONSE)), "What the amounts bring about."),
    key(
        "classes",
        Form::Either(&[NAMES, Form::Keys(CLASSES)]),
        "Classes of a standard whose usual limits the mix must meet; an own limit on the same figure stands in place.",
    ),
    key(
        "limits",
        Form::Named(&Form::Either(&[Form::Bounds("0.36 .. 0.42"), Form::Keys(LIMIT)])),
        "What the mix must meet.",
    ),
    key("choices", Form::Named(&Form::Keys(CHOICE)), "Yes/no decisions."),
    needed(
        "goal",
        Form::Either(&[Form::Words(&["least cost", "least carbon"]), Form::Keys(GOAL)]),
        "What makes one mix better than another.",
    ),
    key(
        "rounding",
        Form::Keys(ROUNDING),
        "Steps of the plant's scales, in which `mixbound round` finds the best mix.",
    ),
    key(
        "approved",
        Form::Keys(APPROVED),
        "Ranges within which a mix was approved: it limits nothing, and a mix beyond it needs a new trial.",
    ),
    key(
        "production",
        Form::Keys(PRODUCTION),
        "How the concrete is weighed, and what varies from batch to batch.",
    ),
    key("study", Form::Keys(STUDY), "Cases that `mixbound sweep` solves besides the statement itself."),
];
