//! The shape of keys and values, and what several tables of keys share.

/// The shape of a value.
#[derive(Clone, Copy, Debug)]
pub enum Form {
    /// Free text.
    Text,
    /// A plain number.
    Number,
    /// A whole number.
    Count,
    /// A value with its unit, like the example.
    Value(&'static str),
    /// `a .. b`, `at least a`, `at most b` or one fixed value, like the example.
    Bounds(&'static str),
    /// One of these words.
    Words(&'static [&'static str]),
    /// The name of a material, role, quantity or response.
    Name,
    /// A map with these keys.
    Keys(&'static [Key]),
    /// A map from names of the author's choosing to values of this shape.
    Named(&'static Form),
    /// A list of values of this shape.
    List(&'static Form),
    /// Any one of these shapes.
    Either(&'static [Form]),
    /// A part of a statement, with any of its keys.
    Part,
}

/// One key.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// The word in the file.
    pub name: &'static str,
    /// The shape of its value.
    pub form: Form,
    /// Whether it must be there.
    pub needed: bool,
    /// What it means, one sentence.
    pub meaning: &'static str,
}

/// A key that may be left out.
pub const fn key(name: &'static str, form: Form, meaning: &'static str) -> Key {
    Key { name, form, needed: false, meaning }
}

/// A key that must be there.
pub const fn needed(name: &'static str, form: Form, meaning: &'static str) -> Key {
    Key { name, form, needed: true, meaning }
}

/// Links of surfaces.
pub const LINKS: &[&str] = &["identity", "log", "square root", "logit"];

/// What a strength figure is.
pub const STATISTICS: &[&str] = &["mean", "characteristic", "specified"];

/// A list of names.
pub const NAMES: Form = Form::List(&Form::Name);
/// A name, a list of names, or names with weights.
pub const WEIGHTED: Form = Form::Either(&[Form::Name, NAMES, Form::Named(&Form::Number)]);

/// Keys of a quantity written out.
pub const QUANTITY: &[Key] = &[
    needed("of", WEIGHTED, "What is added up: a name, a list of names, or names with weights."),
    key("to", WEIGHTED, "What the sum is divided by; leave it out for a linear quantity."),
    key(
        "by",
        Form::Words(&["mass", "volume", "dry mass"]),
        "How materials are measured: by mass in their own reference state (the default), by absolute volume, or by dry mass.",
    ),
];

/// A quantity by its name or written out.
pub const QUANTITY_REF: Form = Form::Either(&[Form::Name, Form::Keys(QUANTITY)]);

/// Keys of an input of a law that is not a plain value or name.
pub const INPUT: &[Key] = &[
    needed("is", QUANTITY_REF, "The quantity or response that the input is bound to."),
    key(
        "region",
        Form::Bounds("0.30 .. 0.60"),
        "Where the law may be used, in place of its published region; the mix must stay inside.",
    ),
];

/// The words of a list alone, for tables of keys.
pub const fn words_of<T: Copy, const N: usize>(list: &[(&'static str, T); N]) -> [&'static str; N] {
    let mut words = [""; N];
    let mut at = 0;
    while at < N {
        words[at] = list[at].0;
        at += 1;
    }
    words
}
