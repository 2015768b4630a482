//! Columns and rows, plain numbers and labels: what stands between the problem and a solver.
//!
//! What enters: a [`Problem`](crate::problem::Problem) and the point around which it is linearised. What leaves: a
//! [`Program`], and mixes raised from its solutions. No solver is known here.

mod program;
mod basis;
mod needed;
mod frame;
mod decisions;
mod goals;
mod linearisation;
mod coordinate;
mod lifting;
mod products;
mod product_rows;
mod cut_vectors;
mod relaxation;
mod separation;
mod moments;
mod relaxed_conditions;
mod relaxed_cracking;
mod relaxed_responses;
mod fbbt;
mod names;
mod mps;
mod polynomial;
mod unlinearised;
mod pip;

pub use basis::{Basis, Stand};
pub use coordinate::Coordinate;
pub use cut_vectors::CutVectors;
pub use fbbt::fbbt;
pub use frame::{Assignment, Decisions, Frame, Wholeness};
pub use lifting::{FactorColumn, Kind, Lifting, Predictor};
pub use linearisation::{Linearisation, linearised};
pub use mps::mps;
pub use names::Remarks;
pub use pip::pip;
pub use polynomial::{Polynomial, PolynomialProgram, PolynomialRow, Sense};
pub use product_rows::{Corner, MomentCut, Plane, Rows};
pub use program::{Program, ProgramColumn, Row, RowOrigin};
pub use relaxation::{
    Layout, Node, ProductRows, Relaxation, Weights, add_rows, relaxation, separate_cuts, unit_box,
};
pub use unlinearised::{point_at, unlinearised};
