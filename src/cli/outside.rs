//! The world outside: files and folders, progress on a terminal, signals.
//!
//! What enters: names of files, and signals. What leaves: texts, places to write to, and the one flag that says that the
//! user wants to end. Nothing here knows what the texts mean.

mod terminal;
mod temporary;
mod interrupt;
mod files;
mod lock;
mod folder;
mod output;
mod progress;

pub use files::{is_same, plain_file, read_text, reason, remember, was_read};
pub use folder::Folder;
pub use interrupt::{halt, install, is_interrupted, stop, undivided, undivided_until};
pub use lock::Lock;
pub use output::{Output, Purpose};
pub use progress::{spinner, steps};
pub use terminal::{columns, has_told_an_error, tell, tell_faults_briefly};
