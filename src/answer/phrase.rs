//! Words and figures in a row: what a sentence or a cell of a table says before any figure is rounded.
//!
//! What enters: words, and values in the reader's unit. What leaves: a [`Phrase`]. How a figure looks in the end, and what
//! has to be escaped, the forms of `render` know.

use crate::quantity::Unit;

/// How many digits a reader needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Digits {
    /// So many significant figures, zeros at the end kept: `38.00`.
    Significant(usize),
    /// So many significant figures, zeros at the end left out: `38`.
    Trimmed(usize),
    /// As its author wrote it, or four figures where it comes of a conversion.
    Written,
    /// So many decimals: `0.42`.
    Decimals(usize),
    /// As a scale shows it: a tenth above 100, a hundredth above 1, a thousandth below.
    Amount,
    /// Two decimals.
    Money,
}

/// Whether a figure that is not below zero carries a sign.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sign {
    /// A minus alone.
    #[default]
    Minus,
    /// Plus or minus: the figure is a change.
    Both,
}

/// One value in the reader's unit, unrounded.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// The value.
    pub value: f64,
    /// The unit as it is written after the number; empty in columns that are headed by it, and for plain numbers.
    pub unit: String,
    /// How many digits are shown.
    pub digits: Digits,
    /// Whether a plus is shown.
    pub sign: Sign,
    /// Whether the value is only the best found, where others beside it are proven.
    pub proven: bool,
}

impl Figure {
    /// A figure without a unit.
    pub fn new(value: f64, digits: Digits) -> Self {
        Self { value, unit: String::new(), digits, sign: Sign::Minus, proven: true }
    }

    /// One in the last digit that is shown; none where that depends on the figure's size alone.
    pub fn last_digit(&self) -> Option<f64> {
        match self.digits {
            Digits::Decimals(decimals) => Some(10f64.powi(-i32::try_from(decimals).ok()?)),
            Digits::Money => Some(0.01),
            Digits::Amount if 100.0 <= self.value.abs() => Some(0.1),
            Digits::Amount if 1.0 <= self.value.abs() => Some(0.01),
            Digits::Amount => Some(0.001),
            Digits::Significant(_) | Digits::Trimmed(_) | Digits::Written => None,
        }
    }

    /// The same followed by a unit, in which it is.
    #[must_use]
    pub fn of(self, unit: &Unit) -> Self {
        Self { unit: unit.text.clone(), ..self }
    }

    /// A share in per cent.
    pub fn percent(share: f64, digits: Digits) -> Self {
        Self { unit: "%".to_owned(), ..Self::new(100.0 * share, digits) }
    }

    /// A gap in per cent; what rounding leaves of none is none.
    pub fn gap(gap: f64) -> Self {
        Self::percent(if gap < 1e-8 { 0.0 } else { gap }, Digits::Trimmed(2))
    }

    /// The same as a change, with its sign.
    #[must_use]
    pub fn signed(self) -> Self {
        Self { sign: Sign::Both, ..self }
    }

    /// The same, marked where it is not proven.
    #[must_use]
    pub fn proven(self, proven: Option<bool>) -> Self {
        Self { proven: proven != Some(false), ..self }
    }
}

/// A part of a phrase.
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    /// Words, also the author's: not cleaned, not escaped.
    Words(String),
    /// A figure.
    Figure(Figure),
}

/// Words and figures in a row. Nothing is put between them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Phrase {
    /// The parts in order.
    pub pieces: Vec<Piece>,
}

impl Phrase {
    /// Nothing.
    pub fn empty() -> Self {
        Self::default()
    }

    /// Whether it says nothing.
    pub fn is_empty(&self) -> bool {
        self.pieces.iter().all(|piece| matches!(piece, Piece::Words(words) if words.is_empty()))
    }

    /// The same, going on with words, a figure or another phrase.
    #[must_use]
    pub fn and(mut self, more: impl Into<Phrase>) -> Self {
        self.pieces.extend(more.into().pieces);
        self
    }

    /// The figure, if it is one and nothing else.
    pub fn figure(&self) -> Option<&Figure> {
        match self.pieces.as_slice() {
            [Piece::Figure(figure)] => Some(figure),
            _ => None,
        }
    }

    /// Phrases with words between them.
    pub fn joined(list: impl IntoIterator<Item = Self>, between: &str) -> Self {
        let mut all = Self::empty();
        for (at, phrase) in list.into_iter().enumerate() {
            if 0 < at {
                all = all.and(between);
            }
            all = all.and(phrase);
        }
        all
    }
}

impl From<&str> for Phrase {
    fn from(words: &str) -> Self {
        words.to_owned().into()
    }
}

impl From<String> for Phrase {
    fn from(words: String) -> Self {
        Self { pieces: vec![Piece::Words(words)] }
    }
}

impl From<&String> for Phrase {
    fn from(words: &String) -> Self {
        words.clone().into()
    }
}

impl From<Figure> for Phrase {
    fn from(figure: Figure) -> Self {
        Self { pieces: vec![Piece::Figure(figure)] }
    }
}

impl<Content: Into<Phrase>> From<Option<Content>> for Phrase {
    fn from(content: Option<Content>) -> Self {
        content.map_or_else(Self::empty, Into::into)
    }
}
