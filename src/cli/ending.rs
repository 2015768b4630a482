//! How a command ends: its exit code, and how wide its lines are.

use std::path::Path;

use super::outside::{Output, columns, is_interrupted, tell};
use crate::answer::report::State;
use crate::finding::clean;
use crate::render::layout::Width;

/// Exit code when some case has no mix.
pub const NO_MIX: u8 = 1;
/// Exit code when the statement or the arguments are wrong.
pub const WRONG: u8 = 2;
/// Exit code when the world failed.
pub const FAULT: u8 = 3;

/// Exit code when the user stopped the work; what was found is still told.
pub const INTERRUPTED: u8 = 130;

/// The exit code of work that came to this one, unless a signal has ended it.
pub fn ended(code: u8) -> u8 {
    if is_interrupted() { INTERRUPTED } else { code }
}

/// The exit code of one answer.
pub fn code_of(state: State) -> u8 {
    match state {
        State::Optimal | State::BestFound | State::Given => 0,
        State::Infeasible | State::NothingFound | State::Unsettled => NO_MIX,
        State::Failed => FAULT,
    }
}

/// Tells that this program failed at one file of several; the others go on. The exit code.
pub fn failed(file: &Path, why: &str) -> u8 {
    tell(&failure(file, why));
    FAULT
}

/// The same in words.
pub fn failure(file: &Path, why: &str) -> String {
    let name = clean(&file.display().to_string());
    format!("error: FAILED at `{name}`: a fault of this program: {}\n", clean(why))
}

/// How wide lines are where results go: as the terminal, or as a page where there is none.
pub fn width_of(output: &Output) -> Width {
    match output {
        Output::Standard => columns().map_or(Width::PIPED, Width::of),
        Output::File { .. } | Output::Device { .. } => Width::PIPED,
    }
}
