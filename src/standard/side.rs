//! Which side of a figure is allowed.

/// Which side of the wanted value is allowed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// `got >= wanted`.
    AtLeast,
    /// `got <= wanted`.
    AtMost,
}

impl Side {
    /// +1 for at least, -1 for at most.
    pub fn sign(self) -> f64 {
        match self {
            Self::AtLeast => 1.0,
            Self::AtMost => -1.0,
        }
    }

    /// The other side.
    #[must_use]
    pub fn opposite(self) -> Self {
        match self {
            Self::AtLeast => Self::AtMost,
            Self::AtMost => Self::AtLeast,
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::AtLeast => "at least",
            Self::AtMost => "at most",
        }
    }
}
