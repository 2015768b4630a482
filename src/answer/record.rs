//! What this program writes and reads again, writer and reader side by side: results files of sweeps, summaries.

pub mod cells;
pub mod closed_words;
pub mod json;
pub mod earlier;
pub mod summary;
pub mod sweep;
