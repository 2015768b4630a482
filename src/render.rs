//! Facts as people and programs read them: text, JSON, CSV, Markdown, and the page.
//!
//! What enters: facts of [`answer`](crate::answer). What leaves: text. Figures are rounded here, nothing else.

pub mod figures;
pub mod layout;
pub mod lines;
pub mod blocks;
pub mod format;
pub mod text;
pub mod markdown;
pub mod csv;
pub mod json;
pub mod tables;
pub mod workbook;
pub mod laws;
pub mod chart;
pub mod svg;
pub mod page;
pub mod forms;

pub use format::Format;
pub use forms::{render, render_all, render_with, written};
pub use layout::Width;
pub use workbook::workbook;
