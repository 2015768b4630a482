//! Between which ages a ring cracked, as a cell says it.
//!
//! What enters: the text of a cell. What leaves: the last age at which the ring was whole and the first at which it was not.

/// `14 .. 17`, `at least 56` for a ring that was whole then, `at most 3`, or a single age, which is taken to the digit that it
/// is written with; nothing where the text is none of these.
pub fn ring_ages(text: &str, number: impl Fn(&str) -> Option<f64>) -> Option<(f64, f64)> {
    let ends = if let Some(last) = text.strip_prefix("at least ") {
        number(last).map(|last| (last, f64::INFINITY))
    } else if let Some(first) = text.strip_prefix("at most ") {
        number(first).map(|first| (0.0, first))
    } else if let Some((whole, cracked)) = text.split_once("..") {
        number(whole).zip(number(cracked))
    } else {
        let decimals = text.split_once(['.', ',']).map_or(0, |(_, behind)| behind.trim().len());
        let digit = 0.5 * 0.1_f64.powi(i32::try_from(decimals).unwrap_or(9));
        number(text).map(|age| ((age - digit).max(0.0), age + digit))
    };
    ends.filter(|(whole, cracked)| whole < cracked && 0.0 < *cracked)
}
