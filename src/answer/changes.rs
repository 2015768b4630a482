//! What changes from one given mix to another: kilograms, cost and carbon, properties, each with the direction that is
//! better for this use.
//!
//! What enters: figures of two mixes. What leaves: the same with their changes; which direction is better, others decide.

use crate::quantity::Unit;

/// Changes from a reference mix.
#[derive(Clone, Debug)]
pub struct Changes {
    /// Name of the reference.
    pub from: String,
    /// One for each material in either mix, each total and each response.
    pub lines: Vec<ChangeLine>,
}

/// One figure of both mixes.
#[derive(Clone, Debug)]
pub struct ChangeLine {
    /// Its name.
    pub name: String,
    /// Its unit.
    pub unit: Unit,
    /// In the reference; absent where there is none, such as an age at cracking of a mix that does not crack.
    pub before: Option<f64>,
    /// In the other mix.
    pub after: Option<f64>,
    /// What the statement makes of the change.
    pub verdict: Worth,
}

impl ChangeLine {
    /// After less before.
    pub fn change(&self) -> Option<f64> {
        Some(self.after? - self.before?)
    }

    /// The change as a share of what was before.
    pub fn relative(&self) -> Option<f64> {
        let before = self.before.filter(|before| *before != 0.0)?;
        Some(self.change()? / before.abs())
    }
}

/// What a change is worth for this use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Worth {
    /// Towards what the statement asks for.
    Better,
    /// Away from it.
    Worse,
    /// No change worth telling.
    Same,
    /// The statement does not say.
    Open,
}

impl Worth {
    /// In a word; empty where the statement does not say.
    pub fn word(self) -> &'static str {
        match self {
            Self::Better => "better",
            Self::Worse => "worse",
            Self::Same => "same",
            Self::Open => "",
        }
    }
}
