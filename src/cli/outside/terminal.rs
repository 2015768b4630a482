//! What is told on standard error, and how wide the terminal is that results are shown on.

use std::io::{IsTerminal, Write};
use std::sync::atomic::{AtomicBool, Ordering};

use crate::finding::clean;

static ERROR: AtomicBool = AtomicBool::new(false);

/// Takes note of an error that the user is told, wherever that goes.
pub fn note(text: &str) {
    if text.contains("error:") {
        ERROR.store(true, Ordering::Relaxed);
    }
}

/// Whether any error has been told.
pub fn has_told_an_error() -> bool {
    ERROR.load(Ordering::Relaxed)
}

/// From now on a fault of this program is told in one line; whoever catches it says what it means.
pub fn tell_faults_briefly() {
    std::panic::set_hook(Box::new(|fault| {
        let place =
            fault.location().map_or_else(String::new, |at| format!(" at {}:{}", at.file(), at.line()));
        tell(&format!("note: this program gave up a piece of work{}; please report it\n", clean(&place)));
    }));
}

/// Text to standard error; a closed standard error is nobody's fault.
pub fn tell(text: &str) {
    note(text);
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
