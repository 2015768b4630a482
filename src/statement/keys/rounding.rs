//! Keys of `rounding`: amounts in whole steps.

use super::form::{Form, Key, key, needed};

/// Keys of `rounding`.
pub const ROUNDING: &[Key] = &[
    needed(
        "steps",
        Form::Named(&Form::Value("5 kg")),
        "The step of each material, by mass: a scale's division, or a bag; or a dose such as `0.1 mL/kg of binder`.",
    ),
    key(
        "load",
        Form::Value("7.5 m3"),
        "The volume that steps by mass are for; one m3 of concrete when left out.",
    ),
    needed(
        "unrounded",
        Form::Name,
        "The one material that fills the volume and has no step, such as the water.",
    ),
];
