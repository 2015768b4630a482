//! The statement's shape as a JSON Schema (draft 2020-12), made from the same tables that the reader uses.
//!
//! Editors complete and check keys with it. It knows shapes only: units, names and meaning are for `check` to say.

use serde_json::{Map, Value, json};

use super::keys::{Form, Key, STATEMENT};

/// The schema as JSON text.
pub fn schema() -> String {
    let mut root = Map::new();
    root.insert("$schema".to_owned(), json!("https://json-schema.org/draft/2020-12/schema"));
    root.insert("title".to_owned(), json!("mixbound statement, format 1"));
    root.extend(keys(STATEMENT, Needed::Elsewhere, 1));
    // Keys that must be there may come from an included file: then only the reader can tell.
    root.insert("if".to_owned(), json!({"not": {"required": ["include"]}}));
    root.insert("then".to_owned(), Value::Object(needed_keys(STATEMENT, 1)));
    let mut text = serde_json::to_string_pretty(&root).expect("a schema is plain JSON");
    text.push('\n');
    text
}

/// Where needed keys are demanded.
#[derive(Clone, Copy, PartialEq)]
enum Needed {
    /// In the map itself.
    Here,
    /// In the overlay for statements without `include`.
    Elsewhere,
}

/// Levels at which included files lie under the statement; see `include`.
const LEVELS: usize = 3;

fn keys(table: &[Key], needed: Needed, level: usize) -> Map<String, Value> {
    let mut properties = Map::new();
    for key in table {
        let mut value = form(&key.form, needed, level + 1);
        value.insert("description".to_owned(), json!(key.meaning));
        properties.insert(key.name.to_owned(), Value::Object(value));
    }
    let mut map = object();
    if needed == Needed::Here || LEVELS < level {
        let names: Vec<&str> = table.iter().filter(|key| key.needed).map(|key| key.name).collect();
        if !names.is_empty() {
            map.insert("required".to_owned(), json!(names));
        }
    }
    map.insert("properties".to_owned(), Value::Object(properties));
    map.insert("additionalProperties".to_owned(), json!(false));
    map
}

/// Only what must be there, for every map at a level that included files reach.
fn needed_keys(table: &[Key], level: usize) -> Map<String, Value> {
    let mut map = Map::new();
    let names: Vec<&str> = table.iter().filter(|key| key.needed).map(|key| key.name).collect();
    if !names.is_empty() {
        map.insert("required".to_owned(), json!(names));
    }
    let mut properties = Map::new();
    for key in table {
        let inner = needed_form(&key.form, level + 1);
        if !inner.is_empty() {
            properties.insert(key.name.to_owned(), Value::Object(inner));
        }
    }
    if !properties.is_empty() {
        map.insert("properties".to_owned(), Value::Object(properties));
    }
    map
}

fn needed_form(of: &Form, level: usize) -> Map<String, Value> {
    if LEVELS < level {
        return Map::new();
    }
    match of {
        Form::Keys(table) => needed_keys(table, level),
        Form::Named(inner) => {
            let inner = needed_form(inner, level + 1);
            if inner.is_empty() {
                return Map::new();
            }
            Map::from_iter([("additionalProperties".to_owned(), Value::Object(inner))])
        }
        // `required` says nothing about what is no map, so it may stand beside the other forms.
        Form::Either(forms) => {
            let maps: Vec<_> =
                forms.iter().map(|one| needed_form(one, level)).filter(|map| !map.is_empty()).collect();
            maps.into_iter().next().unwrap_or_default()
        }
        _ => Map::new(),
    }
}

fn object() -> Map<String, Value> {
    Map::from_iter([("type".to_owned(), json!("object"))])
}

fn one(key: &str, value: Value) -> Map<String, Value> {
    Map::from_iter([(key.to_owned(), value)])
}

fn form(of: &Form, needed: Needed, level: usize) -> Map<String, Value> {
    match of {
        Form::Text => one("type", json!(["string", "number", "boolean"])),
        Form::Number => one("type", json!(["number", "string"])),
        Form::Count => {
            let mut map = one("type", json!("integer"));
            map.insert("minimum".to_owned(), json!(0));
            map
        }
        Form::Value(example) | Form::Bounds(example) => {
            let mut map = one("type", json!(["string", "number"]));
            map.insert("examples".to_owned(), json!([example]));
            map
        }
        Form::Words(words) => one("enum", json!(words)),
        Form::Name => one("type", json!("string")),
        // What is laid over a statement needs none of its keys, and names may be new: the reader tells.
        Form::Part => object(),
        Form::Keys(table) => keys(table, needed, level),
        Form::Named(inner) => {
            let mut map = object();
            let inner = form(inner, needed, level + 1);
            map.insert("additionalProperties".to_owned(), Value::Object(inner));
            map
        }
        Form::List(inner) => {
            let item = Value::Object(form(inner, Needed::Here, LEVELS + 1));
            let list = json!({"type": "array", "items": item});
            match inner {
                // A single word is a list of one.
                Form::Name | Form::Words(_) | Form::Text => one("anyOf", json!([list, item])),
                _ => list.as_object().cloned().unwrap_or_default(),
            }
        }
        Form::Either(forms) => {
            let forms: Vec<Value> = forms.iter().map(|one| Value::Object(form(one, needed, level))).collect();
            one("anyOf", json!(forms))
        }
    }
}
