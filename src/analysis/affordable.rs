//! How much proof is worth its time where many solves are asked for.
//!
//! What enters: a problem, and what a proof of it may take by itself. What leaves: settings. A proof through stresses costs
//! more a node than any other: it is a short one. It solves nothing.

use crate::problem::{Problem, is_known_by_slopes};
use crate::solve::{Limits, Settings};

/// Nodes of a proof through stresses, where so many solves are asked for: what closes within them is proven.
const AGE_NODES: usize = 24;

/// With a proof: a short one where a limit on an age at cracking holds, and none where it knows the stress by slopes alone.
pub fn affordable(problem: &Problem, gap: f64, nodes: usize) -> Settings {
    if !is_provable(problem) {
        return Settings::local();
    }
    let nodes = if problem.limited_ages().is_empty() { nodes } else { nodes.min(AGE_NODES) };
    Settings::proven(Limits { gap, nodes, ..Limits::default() })
}

/// Whether a proof can be expected to close: not where it knows the stress of a limited age by slopes alone.
pub fn is_provable(problem: &Problem) -> bool {
    !problem.limited_ages().iter().any(|response| is_known_by_slopes(&problem.responses[*response]))
}
