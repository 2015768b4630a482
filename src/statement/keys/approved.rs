//! Keys of `approved`: what trial batches or a submittal have approved.

use super::form::{Form, Key, key, needed};

/// Keys of `approved`.
pub const APPROVED: &[Key] = &[
    key("note", Form::Text, "What approved it, such as the number of a trial report; shown with it."),
    needed(
        "ranges",
        Form::Named(&Form::Bounds("320 +/- 10 kg/m3")),
        "What was approved, by the names of materials, quantities, ratios or responses: `320 +/- 10 kg/m3`, `320 kg/m3 +/- 3 %`, \
         `310 .. 330 kg/m3` or `at most 0.45`.",
    ),
];
