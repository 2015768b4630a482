//! States of amounts, and the state that each role is given in.

pub use crate::statement::{Dust, MeantFor, Role, RoleKind};

impl Role {
    /// The state its amounts are given in.
    pub fn reference_state(self) -> State {
        if self.is_lightweight() {
            State::Prewetted
        } else if self.is_aggregate() {
            State::SurfaceDry
        } else {
            State::AsDelivered
        }
    }
}

/// The moisture state an amount, price or density is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Oven-dry.
    Dry,
    /// Saturated surface-dry.
    SurfaceDry,
    /// Prewetted at the stated absorption, surface dry.
    Prewetted,
    /// As it comes to the plant.
    AsDelivered,
}

impl State {
    /// The state with this word.
    pub fn named(word: &str) -> Option<Self> {
        match word {
            "SSD" => Some(Self::SurfaceDry),
            "oven-dry" => Some(Self::Dry),
            _ => [Self::Dry, Self::SurfaceDry, Self::Prewetted, Self::AsDelivered]
                .into_iter()
                .find(|state| state.word() == word),
        }
    }

    /// Its word in statement and report.
    pub fn word(self) -> &'static str {
        match self {
            Self::Dry => "dry",
            Self::SurfaceDry => "surface-dry",
            Self::Prewetted => "prewetted",
            Self::AsDelivered => "as delivered",
        }
    }
}
