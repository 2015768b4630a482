//! What a solve came to, where a requirement stands, and whom a report is for: words that every form shares.

use crate::study::Outcome;

/// What the solve came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// A mix that meets everything, proven to be the best within the gap asked for.
    Optimal,
    /// A mix that meets everything, the best that was found.
    BestFound,
    /// Proven that no mix meets everything; the figures are those of the nearest one.
    Infeasible,
    /// No mix was found; the figures are those of the nearest one.
    NothingFound,
    /// Line and truth still differ; the figures are not a proposal.
    Unsettled,
    /// The solver failed; there are no figures.
    Failed,
    /// Nothing was sought: the figures are those of a mix that was given.
    Given,
}

impl State {
    /// In words, the same as in studies.
    pub fn words(self) -> &'static str {
        match self {
            Self::Optimal => Outcome::Optimal.words(),
            Self::BestFound => Outcome::BestFound.words(),
            Self::Infeasible => Outcome::Infeasible.words(),
            Self::NothingFound => Outcome::NothingFound.words(),
            Self::Unsettled => Outcome::Unsettled.words(),
            Self::Failed => Outcome::Failed.words(),
            Self::Given => "as given",
        }
    }

    /// Whether the mix is a proposal.
    pub fn is_proposal(self) -> bool {
        matches!(self, Self::Optimal | Self::BestFound)
    }
}

/// Where a requirement stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Met with room.
    Met,
    /// Met, and the mix stands at it.
    Binding,
    /// Not met.
    Violated,
    /// Nothing to measure.
    Empty,
}

impl Standing {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Met => "met",
            Self::Binding => "binding",
            Self::Violated => "NOT MET",
            Self::Empty => "nothing to measure",
        }
    }
}

/// Whom a report is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Audience {
    /// Who wrote the statement.
    Author,
    /// A client, who sees neither prices nor the statement.
    Client,
}
