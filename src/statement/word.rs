//! What an author wrote, with its place: words, values, bounds, and quantities by name or written out.

use crate::finding::Place;
use crate::quantity::Scalar;

/// A value and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Located<T> {
    /// The value.
    pub value: T,
    /// Where the author wrote it.
    pub place: Place,
}

/// A word or phrase of the author's.
pub type Word = Located<String>;

impl Word {
    /// Where a part of the phrase stands, if it is written as it reads; else the place of the whole.
    pub fn part(&self, part: &str) -> Place {
        let at = if self.value.starts_with(part) { Some(0) } else { self.value.rfind(part) };
        match at {
            Some(at) if self.place.end - self.place.start == self.value.len() => {
                Place { start: self.place.start + at, end: self.place.start + at + part.len(), ..self.place }
            }
            _ => self.place,
        }
    }
}

/// Lower and upper end, each optional, in base units.
#[derive(Clone, Debug, PartialEq)]
pub struct Bounds {
    /// Lowest value.
    pub low: Option<Scalar>,
    /// Highest value.
    pub high: Option<Scalar>,
}

impl Bounds {
    /// The scalar that carries the unit and words, of whichever end is there.
    pub fn any(&self) -> Option<&Scalar> {
        self.low.as_ref().or(self.high.as_ref())
    }
}

/// A quantity named in place.
#[derive(Clone, Debug)]
pub enum QuantityRef {
    /// A name, `A / B`, or `volume of A`.
    Phrase(Word),
    /// Written out as a map.
    Spec(Located<QuantitySpec>),
}

impl QuantityRef {
    /// Where it stands.
    pub fn place(&self) -> Place {
        match self {
            Self::Phrase(word) => word.place,
            Self::Spec(spec) => spec.place,
        }
    }
}

/// A linear quantity or a ratio, written out.
#[derive(Clone, Debug)]
pub struct QuantitySpec {
    /// What is added up, each with its weight.
    pub of: Vec<(Word, f64)>,
    /// What it is divided by.
    pub to: Vec<(Word, f64)>,
    /// How amounts are measured.
    pub by: Option<Word>,
}

impl QuantitySpec {
    /// In words: `cement + slag / binder`.
    pub fn words(&self) -> String {
        let sum = |parts: &[(Word, f64)]| {
            parts.iter().map(|(word, _)| word.value.as_str()).collect::<Vec<_>>().join(" + ")
        };
        if self.to.is_empty() { sum(&self.of) } else { format!("({}) / ({})", sum(&self.of), sum(&self.to)) }
    }
}
