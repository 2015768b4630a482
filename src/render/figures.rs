//! Figures and phrases in digits: the one place where a value is rounded for people.
//!
//! What enters: a [`Phrase`]. What leaves: its text, words treated as a form asks for, or the value with all its digits.

use crate::answer::phrase::{Digits, Figure, Phrase, Piece, Sign};
use crate::quantity::{as_written, significant, trimmed};

/// Above this, figures are written with a power of ten: no column holds them otherwise.
const HUGE: f64 = 1e7;

/// What stands in place of a figure that has no value, such as a ratio to nothing.
const NO_VALUE: &str = "no value";
/// What stands in place of a figure that no number holds.
const BEYOND: &str = "beyond all numbers";

/// The number of a figure.
pub fn number(figure: &Figure) -> String {
    let value = figure.value;
    let text = match figure.digits {
        Digits::Significant(digits) => significant(value, digits),
        Digits::Trimmed(digits) => trimmed(value, digits),
        Digits::Written => as_written(value),
        _ if HUGE <= value.abs() => trimmed(value, 4),
        Digits::Decimals(decimals) => format!("{value:.decimals$}"),
        Digits::Money => format!("{value:.2}"),
        Digits::Amount if value.abs() >= 100.0 => format!("{value:.1}"),
        Digits::Amount if value.abs() >= 1.0 => format!("{value:.2}"),
        Digits::Amount => format!("{value:.3}"),
    };
    // What rounding leaves of a value just below zero is zero.
    let text = match text.strip_prefix('-') {
        Some(rest) if !rest.contains(|letter: char| letter.is_ascii_digit() && letter != '0') => {
            rest.to_owned()
        }
        _ => text,
    };
    let sign = if figure.sign == Sign::Both && 0.0 < value { "+" } else { "" };
    let mark = if figure.proven { "" } else { "?" };
    format!("{sign}{text}{mark}")
}

/// A phrase as text: words as `words` writes them; `space` stands between a number and the first word of its unit.
pub fn told(phrase: &Phrase, words: fn(&str) -> String, space: char) -> String {
    phrase.pieces.iter().fold(String::new(), |mut text, piece| {
        match piece {
            Piece::Words(plain) => text.push_str(&words(plain)),
            Piece::Figure(figure) if figure.value.is_nan() => text.push_str(NO_VALUE),
            Piece::Figure(figure) if figure.value.is_infinite() => text.push_str(BEYOND),
            Piece::Figure(figure) => {
                text.push_str(&number(figure));
                if !figure.unit.is_empty() {
                    text.push(space);
                    text.push_str(&words(&figure.unit));
                }
            }
        }
        text
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Unit;

    #[test]
    fn a_figure_is_rounded_once_and_keeps_its_unit() {
        let figure = |value: f64, digits| number(&Figure::new(value, digits));
        assert_eq!(figure(38.0, Digits::Significant(4)), "38.00");
        assert_eq!(figure(38.0, Digits::Trimmed(4)), "38");
        assert_eq!(figure(123.456, Digits::Amount), "123.5");
        assert_eq!(figure(1.236, Digits::Amount), "1.24");
        assert_eq!(figure(-0.0004, Digits::Money), "0.00");
        assert_eq!(figure(2e7, Digits::Money), "2e7");
        assert_eq!(number(&Figure::new(0.5, Digits::Trimmed(2)).signed()), "+0.5");
        assert_eq!(number(&Figure::new(0.5, Digits::Trimmed(2)).proven(Some(false))), "0.5?");
        let unit = Unit::known("MPa");
        let phrase = Phrase::from("at least ").and(Figure::new(30.0, Digits::Written).of(&unit));
        assert_eq!(told(&phrase, str::to_owned, '_'), "at least 30_MPa");
        let lost =
            |value: f64| told(&Figure::new(value, Digits::Amount).of(&unit).into(), str::to_owned, ' ');
        assert_eq!([lost(f64::NAN), lost(f64::INFINITY)], ["no value", "beyond all numbers"]);
    }
}
