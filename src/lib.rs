//! mixbound: from a YAML statement to the cheapest concrete mix that meets it.
//!
//! The modules stand in the order in which a number walks from the statement to the report; a
//! module uses only modules above it.

pub mod quantity;
pub mod number;
pub mod finding;
pub mod parallel;
pub mod statement;
pub mod material;
pub mod mixture;
pub mod response;
pub mod problem;
pub mod model;
pub mod solve;
pub mod admit;
pub mod analysis;
pub mod study;
pub mod trial;
pub mod answer;
pub mod render;
pub mod cli;
