//! The reference of the statement's keys as Markdown, made from the same tables that the reader uses.
//!
//! What leaves: one table of keys for each map, in the order in which a statement meets them. It knows shapes and
//! meanings; what names mean is for later rooms to say.

use super::keys::{Form, Key, STATEMENT, STATES};
use super::roles::ROLES;

/// The reference as Markdown.
pub fn reference() -> String {
    let mut text = format!(
        "Keys in **bold** must be there. A value such as `142 /t` is an example of its shape and unit.\n\nRoles: {}.\n\nStates: {}.\n",
        alternatives(ROLES),
        alternatives(STATES)
    );
    let mut maps: Vec<Map> = Vec::new();
    gather("a statement", STATEMENT, &mut maps);
    for Map { owners, keys } in &maps {
        text.push_str(&format!(
            "\n#### Keys of {}\n\n| key | value | meaning |\n|---|---|---|\n",
            listed(owners)
        ));
        for key in *keys {
            let name = if key.needed { format!("**`{}`**", key.name) } else { format!("`{}`", key.name) };
            text.push_str(&format!("| {name} | {} | {} |\n", value(&key.form), cell(key.meaning)));
        }
    }
    text
}

/// One table of keys with the places where it stands.
struct Map {
    owners: Vec<String>,
    keys: &'static [Key],
}

fn gather(owner: &str, keys: &'static [Key], maps: &mut Vec<Map>) {
    let names = |keys: &'static [Key]| keys.iter().map(|key| key.name);
    if let Some(known) = maps.iter_mut().find(|map| names(map.keys).eq(names(keys))) {
        known.owners.push(owner.to_owned());
        return;
    }
    maps.push(Map { owners: vec![owner.to_owned()], keys });
    for key in keys {
        inside(&format!("`{}`", key.name), &key.form, maps);
    }
}

/// Finds the maps in a form.
fn inside(owner: &str, form: &'static Form, maps: &mut Vec<Map>) {
    match form {
        Form::Keys(keys) => gather(owner, keys, maps),
        Form::Named(inner) => inside(&format!("each of {owner}"), inner, maps),
        Form::List(inner) => inside(owner, inner, maps),
        Form::Either(forms) => {
            for form in *forms {
                inside(owner, form, maps);
            }
        }
        Form::Text
        | Form::Number
        | Form::Count
        | Form::Value(_)
        | Form::Bounds(_)
        | Form::Words(_)
        | Form::Name
        | Form::Part => {}
    }
}

/// The shape of a value in words.
fn value(form: &Form) -> String {
    match form {
        Form::Text => "text".to_owned(),
        Form::Number => "a number".to_owned(),
        Form::Count => "a whole number".to_owned(),
        Form::Value(example) | Form::Bounds(example) => format!("`{example}`"),
        Form::Words(words) if *words == ROLES => "a role".to_owned(),
        Form::Words(words) => alternatives(words),
        Form::Name => "a name".to_owned(),
        Form::Part => "a part of a statement".to_owned(),
        Form::Keys(_) => "keys, below".to_owned(),
        Form::Named(inner) => format!("names, each with {}", value(inner)),
        Form::List(inner) => several(inner),
        Form::Either(forms) => forms.iter().map(value).collect::<Vec<_>>().join("; or "),
    }
}

/// A list of such values in words.
fn several(form: &Form) -> String {
    match form {
        Form::Text => "a list of texts".to_owned(),
        Form::Number => "a list of numbers".to_owned(),
        Form::Name => "a list of names".to_owned(),
        Form::Words(words) if *words == ROLES => "a list of roles".to_owned(),
        other => format!("a list, each {}", value(other)),
    }
}

fn alternatives(words: &[&str]) -> String {
    words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ")
}

fn listed(owners: &[String]) -> String {
    // A table that stands in many places is named by the first few of them.
    const SHOWN: usize = 5;
    let mut names: Vec<&str> = Vec::new();
    for owner in owners {
        if !names.contains(&owner.as_str()) {
            names.push(owner);
        }
    }
    let rest = names.len().saturating_sub(SHOWN);
    let text = names[..names.len() - rest].join(", ");
    if rest == 0 { text } else { format!("{text} and others") }
}

/// Text that cannot break a table row.
fn cell(text: &str) -> String {
    text.replace('|', "\\|")
}
