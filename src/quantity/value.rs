//! Reading `38 MPa`, `0.36 .. 0.42`, `0.30 % of binder`, `95 /t dry`: number, unit, and the words after it.

use super::{Unit, UnitError};

/// Where a piece stands inside the text it was read from, in bytes.
pub type Span = std::ops::Range<usize>;

/// A number in base units with the unit it was written in and any trailing words (`of binder`, `dry`).
#[derive(Clone, Debug, PartialEq)]
pub struct Scalar {
    /// The value in base units.
    pub base: f64,
    /// The unit as written; plain number when there was none.
    pub unit: Unit,
    /// Words after the unit, such as `of binder` or `prewetted`; empty when there were none.
    pub words: String,
}

impl Scalar {
    /// Whether it is a volume by volume, as `3 L/m3`: without dimension, yet no plain share.
    pub fn is_volume_by_volume(&self) -> bool {
        self.unit.is_volume_by_volume()
    }
}

/// Text of one value and the words that may follow its unit.
#[derive(Clone, Copy, Debug)]
pub struct Text<'t> {
    /// The author's text.
    pub text: &'t str,
    /// The statement's currency, or an empty text.
    pub currency: &'t str,
    /// Words that may stand after the unit (`dry`, `prewetted`, ...); `of ...` is always recognised.
    pub trailing: &'t [&'t str],
}

/// Why a value was not understood, and which piece of it.
#[derive(Clone, Debug, PartialEq)]
pub enum ValueError {
    /// No number at the beginning.
    NoNumber(Span),
    /// Not a finite number: infinite, not a number, or too large.
    NotFinite(Span),
    /// So small that it would be lost: another number than was written, zero as a rule.
    TooSmall(Span),
    /// The unit is not known.
    Unit(UnitError, Span),
    /// A range needs two ends in rising order.
    Reversed(Span),
    /// A range whose ends have different dimensions.
    MixedUnits(Span),
    /// A range whose ends are of different things.
    MixedWords(Span),
}

impl ValueError {
    /// The piece of the text that is wrong.
    pub fn span(&self) -> Span {
        match self {
            Self::NoNumber(span)
            | Self::NotFinite(span)
            | Self::TooSmall(span)
            | Self::Unit(_, span)
            | Self::Reversed(span)
            | Self::MixedUnits(span)
            | Self::MixedWords(span) => span.clone(),
        }
    }
}

/// Reads one value. The number uses a decimal point; `1,5` and `1_000` are refused.
///
/// # Errors
/// See [`ValueError`].
pub fn parse_scalar(source: Text<'_>) -> Result<Scalar, ValueError> {
    let (number, rest_start) = leading_number(source)?;
    let (unit, words) = unit_and_words(source, rest_start)?;
    Ok(Scalar { base: in_base(&unit, number, 0..rest_start)?, unit, words })
}

/// A number below which zero in base units is a number lost.
const TINY: f64 = 1e-100;

/// A number in base units; finite as written it may be too large there, or too small.
fn in_base(unit: &Unit, number: f64, span: Span) -> Result<f64, ValueError> {
    match unit.to_base(number) {
        base if !base.is_finite() => Err(ValueError::NotFinite(span)),
        // Zero of a scale with a beginning of its own, such as -273.15 degC, is what was written.
        base if base.is_subnormal() || base == 0.0 && number != 0.0 && number.abs() < TINY => {
            Err(ValueError::TooSmall(span))
        }
        base => Ok(base),
    }
}

/// Reads `a .. b unit words`, each end with its own unit or both with the last one's; a single value is
/// returned as itself at both ends.
///
/// # Errors
/// See [`ValueError`].
pub fn parse_range(source: Text<'_>) -> Result<(Scalar, Scalar), ValueError> {
    let Some(dots) = source.text.find("..") else {
        let value = parse_scalar(source)?;
        return Ok((value.clone(), value));
    };
    let shift = |error: ValueError, by: usize| match error {
        ValueError::NoNumber(span) => ValueError::NoNumber(span.start + by..span.end + by),
        ValueError::NotFinite(span) => ValueError::NotFinite(span.start + by..span.end + by),
        ValueError::TooSmall(span) => ValueError::TooSmall(span.start + by..span.end + by),
        ValueError::Unit(unit, span) => ValueError::Unit(unit, span.start + by..span.end + by),
        other => other,
    };
    let high_start = dots + 2;
    let high = parse_scalar(Text { text: &source.text[high_start..], ..source })
        .map_err(|error| shift(error, high_start))?;
    let low_source = Text { text: &source.text[..dots], ..source };
    let (number, rest) = leading_number(low_source)?;
    let low = if low_source.text[rest..].trim().is_empty() {
        Scalar { base: in_base(&high.unit, number, 0..rest)?, ..high.clone() }
    } else {
        parse_scalar(low_source)?
    };
    let whole = 0..source.text.len();
    if low.unit.dimension != high.unit.dimension {
        return Err(ValueError::MixedUnits(whole));
    }
    if !low.words.is_empty() && low.words != high.words {
        return Err(ValueError::MixedWords(whole));
    }
    if low.base > high.base {
        return Err(ValueError::Reversed(whole));
    }
    Ok((low, high))
}

fn leading_number(source: Text<'_>) -> Result<(f64, usize), ValueError> {
    let text = source.text;
    let mut start = text.len() - text.trim_start().len();
    if !source.currency.is_empty() {
        let rest = &text[start..];
        if let Some(after) = rest.strip_prefix(source.currency)
            && after.trim_start().starts_with(|c: char| c.is_ascii_digit())
        {
            start = text.len() - after.trim_start().len();
        }
    }
    let rest = &text[start..];
    let end = start + number_length(rest);
    let word_end = start + rest.find(char::is_whitespace).unwrap_or(rest.len());
    let written = &text[start..end];
    let mantissa = written.split(['e', 'E']).next().unwrap_or(written);
    match written.parse::<f64>() {
        Ok(number)
            if !number.is_normal()
                && mantissa.contains(|c: char| matches!(c, '1'..='9'))
                && number.is_finite() =>
        {
            Err(ValueError::TooSmall(start..end))
        }
        Ok(number) if number.is_finite() => Ok((number, end)),
        Ok(_) => Err(ValueError::NotFinite(start..end)),
        Err(_) if is_not_finite(text[start..word_end].trim()) => Err(ValueError::NotFinite(start..word_end)),
        Err(_) => Err(ValueError::NoNumber(start..word_end.max(start))),
    }
}

fn is_not_finite(word: &str) -> bool {
    let word = word.trim_start_matches(['+', '-', '.']).to_ascii_lowercase();
    matches!(word.as_str(), "nan" | "inf" | "infinity" | "∞")
}

/// Length in bytes of the longest decimal number at the start of `text`.
fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digits = |mut at: usize| {
        while bytes.get(at).is_some_and(u8::is_ascii_digit) {
            at += 1;
        }
        at
    };
    let sign = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    let mut end = digits(sign);
    // A single point is decimal, two points are a range.
    if bytes.get(end) == Some(&b'.') && bytes.get(end + 1) != Some(&b'.') {
        end = digits(end + 1);
    }
    if end > sign && matches!(bytes.get(end), Some(b'e' | b'E')) {
        let exponent = end + 1 + usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        if digits(exponent) > exponent {
            end = digits(exponent);
        }
    }
    end
}

fn unit_and_words(source: Text<'_>, start: usize) -> Result<(Unit, String), ValueError> {
    let rest = &source.text[start..];
    let trimmed = rest.trim();
    let offset = start + (rest.len() - rest.trim_start().len());
    let (unit_text, words) = split_words(trimmed, source.trailing);
    let unit = Unit::parse(unit_text, source.currency)
        .map_err(|error| ValueError::Unit(error, offset..offset + unit_text.len()))?;
    Ok((unit, words.to_owned()))
}

fn split_words<'t>(text: &'t str, trailing: &[&str]) -> (&'t str, &'t str) {
    if text.starts_with("of ") {
        return ("", text);
    }
    if let Some(at) = text.find(" of ") {
        return (text[..at].trim_end(), text[at + 1..].trim());
    }
    for word in trailing {
        if let Some(before) = text.strip_suffix(word)
            && (before.is_empty() || before.ends_with(' '))
        {
            return (before.trim_end(), word_of(text, word));
        }
    }
    (text, "")
}

fn word_of<'t>(text: &'t str, word: &str) -> &'t str {
    &text[text.len() - word.len()..]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(text: &str) -> Text<'_> {
        Text { text, currency: "EUR", trailing: &["surface-dry", "prewetted", "as delivered", "dry"] }
    }

    #[test]
    fn values_are_read_as_people_write_them() {
        for (written, base, unit, words) in [
            ("38 MPa", 38e6, "MPa", ""),
            ("0.30 % of binder", 0.003, "%", "of binder"),
            ("142 /t", 0.142, "/t", ""),
            ("95 /t surface-dry", 0.095, "/t", "surface-dry"),
            ("EUR 12/L", 12_000.0, "/L", ""),
            ("1.5e2kg/m3", 150.0, "kg/m3", ""),
            ("7 fl oz/cwt of binder", 7.0 * 2.957_352_956_25e-5 / 45.359_237, "fl oz/cwt", "of binder"),
            ("0.91 kg CO2e/kg", 0.91, "kg CO2e/kg", ""),
        ] {
            let value = parse_scalar(text(written)).unwrap();
            assert!((value.base - base).abs() <= 1e-12 * base, "{written}: {}", value.base);
            assert_eq!((value.unit.text.as_str(), value.words.as_str()), (unit, words), "{written}");
        }
    }

    #[test]
    fn what_is_too_large_or_too_small_in_base_units_is_told() {
        for written in ["1e308 kg/L", "-1e308 GPa", "-1e308 .. 1 GPa", "1 .. 1e308 GPa"] {
            assert!(matches!(parse_range(text(written)), Err(ValueError::NotFinite(_))), "{written}");
        }
        assert!(parse_scalar(text("1e298 GPa")).is_ok());
        for written in ["1e-400 kg/m3", "-2.5e-320 MPa", "1e-310", "0 .. 1e-400 m", "1e-303 ue"] {
            assert!(matches!(parse_range(text(written)), Err(ValueError::TooSmall(_))), "{written}");
        }
        for written in ["0", "0.000 kg/m3", "0e-400", "-0", "1e-300 kg/m3"] {
            assert!(parse_scalar(text(written)).is_ok(), "{written}");
        }
    }

    #[test]
    fn a_range_may_name_its_unit_once_or_twice() {
        for written in
            ["300 .. 420 kg/m3", "300 kg/m3 .. 420 kg/m3", "300..420 kg/m3", "0.3 t/m3 .. 420 kg/m3"]
        {
            let (low, high) = parse_range(text(written)).unwrap();
            assert_eq!((low.base, high.base), (300.0, 420.0), "{written}");
        }
        let (low, high) = parse_range(text("0.1 .. 0.6 % of binder")).unwrap();
        assert_eq!((low.base, high.base, high.words.as_str()), (0.001, 0.006, "of binder"));
    }

    #[test]
    fn wrong_values_say_which_piece_is_wrong() {
        assert_eq!(parse_scalar(text("about 3 MPa")), Err(ValueError::NoNumber(0..5)));
        assert_eq!(parse_scalar(text(".inf")), Err(ValueError::NotFinite(0..4)));
        assert_eq!(parse_scalar(text("1e999 MPa")), Err(ValueError::NotFinite(0..5)));
        assert_eq!(
            parse_scalar(text("3 Mpa")),
            Err(ValueError::Unit(UnitError::Unknown("Mpa".into()), 2..5))
        );
        assert_eq!(parse_range(text("5 .. 3 MPa")), Err(ValueError::Reversed(0..10)));
        assert_eq!(parse_range(text("5 d .. 3 MPa")), Err(ValueError::MixedUnits(0..12)));
        for written in ["0.3 % of cement .. 0.6 % of binder", "0.3 % of binder .. 0.6 %"] {
            assert_eq!(parse_range(text(written)), Err(ValueError::MixedWords(0..written.len())));
        }
        assert!(matches!(parse_scalar(text("1_000 kg/m3")), Err(ValueError::Unit(..))));
        assert!(matches!(parse_scalar(text("0,42")), Err(ValueError::Unit(..))));
    }
}
