//! The report as one page that needs nothing else: tables, charts, the statement, and a small script.

pub mod sheet;
pub mod parts;
pub mod curves;
pub mod compared;
pub mod document;
pub mod leaf;
pub mod index;

pub use document::{charts, page};
pub use index::{IndexLine, index};
pub use leaf::leaf;
pub use sheet::Sheet;
