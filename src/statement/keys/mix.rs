//! Keys of a mix file.

use super::form::{Form, Key, key, needed};

/// Keys of a mix that is given.
pub const MIX: &[Key] = &[
    key("title", Form::Text, "Shown as the name of the mix."),
    needed(
        "amounts",
        Form::Named(&Form::Value("380 kg/m3")),
        "Amounts per volume of concrete, in the material's reference state or the state named.",
    ),
    key("air", Form::Value("6 %"), "Air of this mix, where the statement leaves it variable."),
    key(
        "measured",
        Form::Named(&Form::Value("41.2 MPa")),
        "What was measured, by the names of responses, limits or quantities.",
    ),
];
