//! How a command ends: its exit code, and how wide its lines are.

use super::outside::{Output, columns, is_interrupted};
use crate::answer::report::State;
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

/// How wide lines are where results go: as the terminal, or as a page where there is none.
pub fn width_of(output: &Output) -> Width {
    match output {
        Output::Standard => columns().map_or(Width::PIPED, Width::of),
        Output::File { .. } | Output::Device { .. } => Width::PIPED,
    }
}
