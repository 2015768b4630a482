//! A part of a statement, to be laid over a whole one.

use super::tree::{Node, read_tree};
use super::writing::{plain_or_quoted, written_out};
use crate::finding::{Finding, Sources};

/// A part of a statement to be laid over a whole one.
#[derive(Clone, Debug)]
pub struct Part(pub(super) Node);

impl Part {
    /// Reads a part of a statement.
    ///
    /// # Errors
    /// What is wrong with its YAML.
    pub fn read(sources: &Sources, source: usize) -> Result<Self, Box<Finding>> {
        read_tree(sources.whole(source), source).map(Self)
    }

    /// The part written out.
    pub fn text(&self) -> String {
        written_out(&self.0)
    }

    /// A single value as it is written in a part.
    pub fn scalar(text: &str) -> String {
        plain_or_quoted(text)
    }
}
