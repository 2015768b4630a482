//! What a reader is told, as typed facts in the reader's units, unrounded.
//!
//! What enters: a problem and its verdict, a study, a mix that was given. What leaves: facts; and the results files and
//! summaries that this program writes and reads again. Nothing is computed here that the audit has not measured. How facts
//! are written, nothing here knows.

pub mod units;
pub mod phrase;
pub mod unheeded;
pub mod restraint;
pub mod curing;
pub mod goal_value;
pub mod doubt;
pub mod grading;
pub mod reasons;
pub mod conflict;
pub mod changes;
pub mod state;
pub mod approval;
pub mod acceptance;
pub mod since;
pub mod report;
pub mod chart;
pub mod block;
pub mod sheet;
pub mod predicted;
pub mod measured;
pub mod cautions;
pub mod client;
pub mod build;
pub mod liquids;
pub mod compare;
pub mod curve;
pub mod curve_tables;
pub mod beside;
pub mod study_points;
pub mod front_curve;
pub mod sweep_curve;
pub mod tightness;
pub mod material_price;
pub mod price_ranges;
pub mod study;
pub mod sweep;
pub mod front;
pub mod record;
pub mod office;
pub mod parts;
pub mod matrix;
pub mod candidates;
pub mod batching_remarks;
pub mod batch_sheet;
pub mod rounded_mix;
pub mod risks;
pub mod plans;
pub mod overnight;
pub mod residuals;
pub mod fit_remarks;
pub mod fit;
pub mod fit_parts;
pub mod plan_sheet;
pub mod plan;
pub mod plan_of_front;
pub mod calibrate;
pub mod confirm;
pub mod rings;
