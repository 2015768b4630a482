//! Keys of `rounding`: amounts in whole steps.

use super::form::{Form, Key, key, needed};

/// Keys of `rounding`.
pub const ROUNDING: &[Key] = &[
    needed(
        "steps",
        Form::Named(&Form::Value("5 kg")),
        "The step of each material, by mass: a scale's division, or `whole bags of 25 kg`; or a dose such as `0.1 mL/kg of binder`.",
    ),
    key(
        "load",
        Form::Value("7.5 m3"),
        "The volume that steps by mass are for; one m3 of concrete when left out. Bags need one.",
    ),
    key(
        "unrounded",
        Form::Name,
        "The one material that fills the volume and has no step, such as the water; in place of a yield band.",
    ),
    key(
        "yield band",
        Form::Value("0.2 %"),
        "How far the volume made may be from the volume weighed for; 0.2 % where no material stays unrounded.",
    ),
];
