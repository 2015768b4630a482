//! Tables, enums and plain formulas of codes: classes, strengths, margin rules, required averages, rules and tolerances of batching.
//!
//! What enters: names of classes and figures. What leaves: rules and figures, each with its source. Nothing here knows a mix:
//! cards of laws call these formulas, and applying a class to a mix is the problem's.

pub mod side;
pub mod names;
pub mod strength;
pub mod strength_class;
pub mod required_average;
pub mod margin_rule;
pub mod conformity;
pub mod exposure;
pub mod classes;
pub mod usual_figures;
pub mod batching;
pub mod tolerance;

pub use batching::BatchingRules;
pub use classes::family::{About, Family};
pub use margin_rule::MarginRule;
pub use side::Side;
pub use strength::{Shape, Statistic};
pub use strength_class::{looks_like_class, strength_class, strength_class_names};
pub use usual_figures::Codes;
