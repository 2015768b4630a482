//! Keys of a plant file: several statements that share silos, bins, tanks and stock.

use super::form::{Form, Key, key, needed};

/// Keys of one mix of a plant.
pub const PLANT_MIX: &[Key] = &[
    needed("statement", Form::Text, "Its statement, a file beside the plant's or below."),
    needed("volume", Form::Value("12000 m3"), "Concrete made of it in a year."),
];

/// Keys of one kind of place.
pub const PLACE: &[Key] = &[
    needed("number", Form::Count, "How many there are."),
    needed(
        "of",
        Form::List(&Form::Name),
        "The materials that need one each; those of no kind need none, such as bagged goods.",
    ),
];

/// Keys of a plant file.
pub const PLANT: &[Key] = &[
    key("title", Form::Text, "Shown above the answer."),
    key("note", Form::Text, "Shown below the title."),
    key("currency", Form::Text, "The currency of `keeping`, that of the statements."),
    needed("mixes", Form::Named(&Form::Keys(PLANT_MIX)), "The mixes by name."),
    needed(
        "places",
        Form::Named(&Form::Keys(PLACE)),
        "Kinds of places by name: silos, bins, tanks; each kind counts on its own.",
    ),
    key(
        "stock",
        Form::Named(&Form::Value("900 t")),
        "The most of a material that a year brings, in its reference state.",
    ),
    key(
        "keeping",
        Form::Named(&Form::Value("4000 EUR")),
        "What keeping a material costs in a year, however little is used.",
    ),
];
