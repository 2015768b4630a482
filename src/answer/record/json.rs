//! A value as JSON text that is safe on a terminal.
//!
//! What enters: anything that can be serialised. What leaves: text with a line end.

use serde::Serialize;

use crate::finding::clean;

/// A value as JSON text with a line end. Characters that steer a terminal or turn the direction of writing are escaped:
/// JSON itself asks that only of the oldest of them.
pub fn written<Value: Serialize + ?Sized>(value: &Value) -> String {
    let text = serde_json::to_string_pretty(value).expect("a report holds only text and finite numbers");
    let mut safe = String::with_capacity(text.len() + 1);
    for letter in text.chars() {
        // Outside strings there are none of these; line ends are the writer's own.
        if letter != '\n' && !letter.is_ascii_graphic() && clean(&letter.to_string()) != letter.to_string() {
            safe.push_str(&format!("\\u{:04x}", u32::from(letter)));
        } else {
            safe.push(letter);
        }
    }
    safe.push('\n');
    safe
}
