//! Numbers as people read them: sensible digits, no noise.

/// A number with `digits` significant figures, never in exponent form between 1e-4 and 1e7, and never `-0`.
pub fn significant(value: f64, digits: usize) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 { "0".to_owned() } else { value.to_string() };
    }
    let magnitude = value.abs().log10().floor();
    if !(-5.0..7.0).contains(&magnitude) {
        return format!("{value:.*e}", digits.saturating_sub(1));
    }
    #[expect(clippy::cast_possible_truncation, reason = "the exponent lies between -5 and 7")]
    let decimals = usize::try_from(i64::try_from(digits).unwrap_or(9) - 1 - magnitude as i64).unwrap_or(0);
    let text = format!("{value:.decimals$}");
    // Rounding may add a digit in front (9.996 -> 10.00): drop one behind.
    let written = text.chars().filter(char::is_ascii_digit).count() - usize::from(magnitude < 0.0);
    if written > digits && decimals > 0 && magnitude >= 0.0 {
        return format!("{value:.*}", decimals - 1);
    }
    text
}

/// The same without trailing zeros: `38`, `0.4`, `2.25`, `1e30`.
pub fn trimmed(value: f64, digits: usize) -> String {
    let text = significant(value, digits);
    let (number, power) = text.split_at(text.find('e').unwrap_or(text.len()));
    let number =
        if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number };
    format!("{number}{power}")
}

/// Digits that survive a conversion between units and back.
const KEPT: usize = 12;
/// More digits than this no author writes: such a figure comes of a conversion.
const WRITTEN: usize = 8;

/// The number without what conversions between units leave behind: 58 for 57.99999999999999.
pub fn tidied(value: f64) -> f64 {
    format!("{value:.*e}", KEPT - 1).parse().unwrap_or(value)
}

/// A figure with the digits its author wrote, or with four where it comes of a conversion.
pub fn as_written(value: f64) -> String {
    let text = format!("{:e}", tidied(value).abs());
    let number = text.split('e').next().unwrap_or("");
    let digits = number.chars().filter(char::is_ascii_digit).count();
    trimmed(value, if digits <= WRITTEN { digits.max(1) } else { 4 })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_are_sensible() {
        for (value, digits, expected) in [
            (0.0, 3, "0"),
            (38.0, 3, "38.0"),
            (9.996, 3, "10.0"),
            (1234.5, 3, "1234"),
            (0.003_014_9, 3, "0.00301"),
            (-0.5, 2, "-0.50"),
            (1.234e-9, 3, "1.23e-9"),
        ] {
            assert_eq!(significant(value, digits), expected, "{value}");
        }
        assert_eq!(trimmed(38.0, 5), "38");
        assert_eq!(trimmed(100.0, 3), "100");
        assert_eq!(trimmed(0.42, 5), "0.42");
        assert_eq!(trimmed(1e30, 6), "1e30");
    }

    #[test]
    fn figures_keep_the_digits_of_their_author_through_a_conversion() {
        for (value, expected) in [
            (57.999_999_999_999_99, "58"),
            (0.163_853, "0.163853"),
            (4000.0, "4000"),
            (12345.5, "12345.5"),
            // 4000 psi in MPa, 520 lb/yd3 in kg/m3: nobody wrote these.
            (27.579_029_172_673, "27.58"),
            (308.503_741_5, "308.5"),
            (0.0, "0"),
            (-3.0, "-3"),
            (1e-9, "1e-9"),
        ] {
            assert_eq!(as_written(value), expected, "{value}");
        }
        assert_eq!(tidied(57.999_999_999_999_99), 58.0);
        assert!(tidied(f64::INFINITY).is_infinite());
    }
}
