//! mixbound: from a YAML statement to the cheapest concrete mix that meets it.
//!
//! A statement is [`read`], [`admit`]ted as a problem, and [`solve`]d; a [`report()`] of the verdict is rendered as text,
//! Markdown, JSON or comma-separated values:
//!
//! ```
//! use mixbound::{Explanation, Format, Settings, Sources, Units, Verdict, Width};
//!
//! let text = "
//! mixbound: 1
//! title: A mortar, invented
//! currency: EUR
//! air: 2 %
//! materials:
//!   cement: {role: cement, density: 3100 kg/m3, price: 120 /t}
//!   sand: {role: sand, density: 2600 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry}
//!   water: {role: water, density: 1000 kg/m3, price: 1 /t, amount: 180 .. 260 kg/m3}
//! limits:
//!   water-binder ratio: at most 0.5
//! goal: least cost
//! ";
//! let mut sources = Sources::default();
//! let source = sources.add("mortar.yaml".to_owned(), text.to_owned());
//! let told = |findings: mixbound::Findings| findings.render(&sources);
//! let (statement, findings) = mixbound::read(&sources, source).map_err(told)?;
//! let (problem, _warnings) = mixbound::admit(&statement, findings, &sources).map_err(told)?;
//! let verdict = mixbound::solve(&problem, &Settings::default());
//! let Verdict::Found(found) = &verdict else { return Err("no mix".to_owned()) };
//! assert!(found.audit.passes());
//! let report = mixbound::report(&problem, &verdict, &Explanation::default(), &sources, Units::Si);
//! let cement = report.amounts.iter().find(|line| line.material == "cement").map(|line| line.amount);
//! assert!(cement.is_some_and(|amount| (amount - 360.0).abs() < 1e-6), "180 kg of water at a ratio of 0.5");
//! println!("{}", mixbound::render(&report, Format::Text, Width::PIPED));
//! # Ok::<(), String>(())
//! ```
//!
//! A predicted mix is a proposal for trial batches, never an approval.
//!
//! The rooms stand below in the order in which a number walks from the statement to the report; a room uses only rooms
//! above it. They are public for the tests; what is meant for others is exported here.

#[doc(hidden)]
pub mod quantity;
#[doc(hidden)]
pub mod number;
#[doc(hidden)]
pub mod listed;
#[doc(hidden)]
pub mod finding;
#[doc(hidden)]
pub mod parallel;
#[doc(hidden)]
pub mod statement;
#[doc(hidden)]
pub mod material;
#[doc(hidden)]
pub mod mixture;
#[doc(hidden)]
pub mod standard;
#[doc(hidden)]
pub mod response;
#[doc(hidden)]
pub mod problem;
#[doc(hidden)]
pub mod model;
#[doc(hidden)]
pub mod solve;
#[doc(hidden)]
pub mod admit;
#[doc(hidden)]
pub mod analysis;
#[doc(hidden)]
pub mod study;
#[doc(hidden)]
pub mod trial;
#[doc(hidden)]
pub mod plant;
#[doc(hidden)]
pub mod answer;
#[doc(hidden)]
pub mod render;
#[doc(hidden)]
pub mod cli;

pub use admit::admit;
pub use analysis::{Explanation, explain};
pub use answer::build::report;
pub use answer::report::Report;
pub use answer::units::Units;
pub use finding::{Finding, Findings, Sources};
pub use problem::Problem;
pub use render::layout::Width;
pub use render::{Format, render};
pub use solve::{Found, Limits, Nothing, Settings, Verdict, solve};
pub use statement::{Statement, read};
