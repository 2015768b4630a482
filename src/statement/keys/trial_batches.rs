//! Keys of a file of trial batches: mixes as `predict` reads them, many in one, results beside them.

use super::form::{Form, Key, key, needed};
use super::mix::VOLUMES;

const VALUES: Form = Form::Named(&Form::Value("38.2 MPa"));

/// Keys of one batch.
pub const TRIAL_BATCH: &[Key] = &[
    key("title", Form::Text, "Name of the mix, where `mix` does not give it."),
    key("mix", Form::Text, "Name of the mix: batches of one mix tell the scatter between batches."),
    key("block", Form::Text, "What several batches share beside their mix: a day, a delivery of cement."),
    key("date", Form::Text, "Date of the batch."),
    needed(
        "amounts",
        Form::Named(&Form::Value("380 kg/m3")),
        "Amounts per volume of concrete, or as weighed (`15.2 kg`), in the material's reference state or the state named.",
    ),
    key(
        "volume",
        Form::Words(VOLUMES),
        "As in a mix that is predicted; either way contents are taken of the concrete that was made.",
    ),
    key(
        "moisture",
        Form::Named(&Form::Value("4.6 %")),
        "Total water of aggregates as weighed, share of their dry mass.",
    ),
    key("batch volume", Form::Value("40 L"), "Volume that was batched, where amounts are as weighed."),
    key("air", Form::Value("2.1 %"), "Air as measured; the statement's where there is none."),
    key("measured", VALUES, "Results without an age, by the names of responses or of new ones."),
    key(
        "results",
        Form::List(&VALUES),
        "Results at an age: `age`, `curing`, and one value or a list of specimens under each name.",
    ),
];

/// Keys of a file of batches.
pub const TRIAL_FILE: &[Key] = &[
    key("title", Form::Text, "For people."),
    key("note", Form::Text, "For people."),
    needed("batches", Form::Named(&Form::Keys(TRIAL_BATCH)), "The batches by name."),
];
