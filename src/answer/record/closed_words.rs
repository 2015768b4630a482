//! Words of results that come from a closed list, as the published schemas state them.
//!
//! What enters: nothing. What leaves: the schema of such a word. The words themselves live with the enums they belong to.

use schemars::{Schema, SchemaGenerator, json_schema};

use crate::analysis::Judgement;
use crate::answer::state::{Standing, State};
use crate::material::Role;
use crate::standard::Side;
use crate::study::Outcome;

/// Both sides of a limit.
pub fn sides(_: &mut SchemaGenerator) -> Schema {
    one_of(&[Side::AtLeast, Side::AtMost].map(Side::words))
}

/// What a solve came to.
pub fn states(_: &mut SchemaGenerator) -> Schema {
    let mut words: Vec<&str> = Outcome::ALL.into_iter().map(Outcome::words).collect();
    words.push(State::Given.words());
    one_of(&words)
}

/// Where a limit stands.
pub fn standings(_: &mut SchemaGenerator) -> Schema {
    let all = [Standing::Met, Standing::Binding, Standing::Violated, Standing::Empty];
    one_of(&all.map(standing))
}

/// The word of a standing for programs, which shout nothing.
pub fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::Violated => "not met",
        standing => standing.words(),
    }
}

/// What a limit is for the mix.
pub fn judgements(_: &mut SchemaGenerator) -> Schema {
    one_of(&Judgement::ALL.map(Judgement::word))
}

/// Roles of materials.
pub fn roles(_: &mut SchemaGenerator) -> Schema {
    let words: Vec<&str> = Role::ALL.iter().map(|role| role.word()).collect();
    one_of(&words)
}

fn one_of(words: &[&str]) -> Schema {
    json_schema!({ "type": "string", "enum": words })
}
