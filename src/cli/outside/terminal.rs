//! What is told on standard error, and how wide the terminal is that results are shown on.

use std::io::{IsTerminal, Write};

/// Text to standard error; a closed standard error is nobody's fault.
pub fn tell(text: &str) {
    let _ = std::io::stderr().lock().write_all(text.as_bytes());
}

/// Columns of standard output: those that `COLUMNS` asks for, or those of its terminal; none where it is piped.
pub fn columns() -> Option<usize> {
    let asked = std::env::var("COLUMNS").ok().and_then(|text| text.trim().parse().ok());
    asked.or_else(|| {
        let output = std::io::stdout();
        let size = output.is_terminal().then(|| terminal_size::terminal_size_of(&output)).flatten();
        size.map(|(terminal_size::Width(columns), _)| usize::from(columns))
    })
}
