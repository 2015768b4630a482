//! Named sets of limits: classes of a standard or of the trade, each a short list of rules with its source.
//!
//! What enters: a class name and what rules may depend on. What leaves: rules. Adding a family of classes is one file with
//! its names and rules and one variant of [`Family`](family::Family).

pub mod rule;
mod aci318;
mod alkali;
mod durable;
mod en206;
mod flowing;
mod fresh;
mod practice;
mod repair;
mod tested;
pub mod family;
