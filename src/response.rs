//! What the amounts bring about: curved functions of factors, each with a known region.
//!
//! What enters: factor values, in the units the coefficients were fitted in. What leaves: the response on its
//! link's scale (the predictor), its gradient, and bounds over a box of factors. This room does not know what
//! is wanted of a response.

pub mod law;
mod link;
mod surface;
mod covariance;
mod basis;
mod formula;
mod points;
mod temperature;
mod thermal;
mod curve;
mod creep_course;
mod restraint;
mod setting;
mod restrained;
mod stress_terms;
mod response_kind;
mod factor;
mod joint_checks;
mod by_cement;
mod bind_law;
mod law_strengths;
mod bind_cracking;
mod bind_courses;
mod bind_restraint;
mod terms;
mod uncertainty;
mod build;

pub use basis::Basis;
pub use build::responses;
pub use covariance::Covariance;
pub use creep_course::{Creep, CreepLaw, Curing, Reference};
pub use curve::{Course, Curve, hydration};
pub use formula::{Formula, Slot};
pub use link::Link;
pub use response_kind::{Factor, Response, Rule, Source, Strength, depends_on};
pub use restrained::{History, Restrained};
pub use restraint::{Face, Restraint};
pub use setting::{Cause, Counted, Onset, Setting, Strain};
pub use stress_terms::{Plane, StressTerms, Term};
pub use surface::Surface;
pub use temperature::Temperature;
pub use thermal::Thermal;
