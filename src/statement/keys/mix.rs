//! Keys of a mix file.

use super::form::{Form, Key, key, needed};

/// What is made of amounts that do not fill their volume.
pub const VOLUMES: &[&str] = &["as given", "to yield"];

/// Keys of a mix that is given.
pub const MIX: &[Key] = &[
    key("title", Form::Text, "Shown as the name of the mix."),
    needed(
        "amounts",
        Form::Named(&Form::Value("380 kg/m3")),
        "Amounts per volume of concrete, in the material's reference state or the state named.",
    ),
    key(
        "volume",
        Form::Words(VOLUMES),
        "`as given`, the usual, or `to yield`: all amounts scaled so that with the air they fill their volume.",
    ),
    key("air", Form::Value("6 %"), "Air of this mix, where the statement leaves it variable."),
    key(
        "measured",
        Form::Named(&Form::Value("41.2 MPa")),
        "What was measured, by the names of responses, limits or quantities.",
    ),
];
