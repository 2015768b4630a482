//! What is told on standard error.

use std::io::Write;

/// Text to standard error; a closed standard error is nobody's fault.
pub fn tell(text: &str) {
    let _ = std::io::stderr().lock().write_all(text.as_bytes());
}
