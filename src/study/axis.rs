//! One thing that varies: a key of the statement with its values, or scenarios by name.
//!
//! `14 d, 21 d, 28 d` are values; `14 d .. 42 d : 8` are eight values at equal steps from the first to the last. A value
//! is kept as text: it goes into the statement as it stands.

use crate::finding::{Finding, Findings, Place};
use crate::quantity::trimmed;
use crate::statement::{Part, Word};

/// One thing that varies.
#[derive(Clone, Debug)]
pub struct Axis {
    /// The path of the key, or `scenario`.
    pub name: String,
    /// What it takes, in order.
    pub values: Vec<String>,
    /// The unit that all values share, for charts; empty where they are plain numbers or names.
    pub unit: String,
    /// The values as numbers of that unit, where they all are.
    pub numbers: Option<Vec<f64>>,
    /// How a value is put into the statement.
    pub(super) values_of: Values,
}

/// How the values of an axis are put into a statement.
#[derive(Clone, Debug)]
pub enum Values {
    /// Each replaces the value at a path.
    AtPath {
        /// The path.
        path: Word,
        /// The values.
        values: Vec<Word>,
    },
    /// Each is a part of a statement laid over the whole.
    Parts(Vec<Part>),
}

/// Most values of one axis.
const MOST: usize = 100_000;
/// Digits of a value between the ends of a range.
const DIGITS: usize = 10;

impl Axis {
    /// A key and its values as written: each of `written` is one value, several with commas between them, or a range.
    pub fn of_values(path: &Word, written: &[Word], findings: &mut Findings) -> Option<Self> {
        let mut values: Vec<Word> = Vec::new();
        let mut sound = true;
        for word in written {
            for piece in word.value.split(',') {
                let word = within(word, piece);
                if word.value.is_empty() {
                    findings.push(
                        Finding::error(word.place, format!("a value of `{}` is empty", path.value))
                            .help("write values with commas between them: `14 d, 21 d, 28 d`"),
                    );
                    sound = false;
                    continue;
                }
                match range(path, &word) {
                    Ok(Some(several)) => values.extend(several),
                    Ok(None) => values.push(word),
                    Err(finding) => {
                        findings.push(*finding);
                        sound = false;
                    }
                }
            }
        }
        if values.is_empty() && sound {
            findings.push(Finding::error(path.place, format!("`{}` has no values", path.value)).help(
                format!("write some: `{}=14 d, 21 d` or `{}=14 d .. 42 d : 8`", path.value, path.value),
            ));
            return None;
        }
        for (at, value) in values.iter().enumerate() {
            if values[..at].iter().any(|earlier| earlier.value == value.value) {
                findings.push(
                    Finding::error(
                        value.place,
                        format!("`{}` stands twice among the values of `{}`", value.value, path.value),
                    )
                    .help("leave one of them out"),
                );
                sound = false;
            }
        }
        if MOST < values.len() {
            findings.push(
                Finding::error(path.place, format!("`{}` has {} values", path.value, values.len()))
                    .note(format!("allowed: {MOST}")),
            );
            sound = false;
        }
        sound.then(|| {
            let texts: Vec<String> = values.iter().map(|word| word.value.clone()).collect();
            let (numbers, unit) = numbers_of(&texts);
            let values_of = Values::AtPath { path: path.clone(), values };
            Self { name: path.value.clone(), values: texts, unit, numbers, values_of }
        })
    }

    /// Whether it stands for scenarios, whose names tell what they are.
    pub fn is_of_scenarios(&self) -> bool {
        matches!(self.values_of, Values::Parts(_))
    }

    /// All that its values put into a statement, as text.
    pub fn said(&self) -> String {
        match &self.values_of {
            Values::AtPath { .. } => self.values.join("\n"),
            Values::Parts(parts) => parts.iter().map(Part::text).collect::<Vec<_>>().join("\n"),
        }
    }

    /// Scenarios by name.
    pub fn of_scenarios(scenarios: Vec<(String, Part)>) -> Self {
        let (values, parts) = scenarios.into_iter().unzip();
        Self {
            name: "scenario".to_owned(),
            values,
            unit: String::new(),
            numbers: None,
            values_of: Values::Parts(parts),
        }
    }
}

/// A piece of a word, without the spaces around it.
fn within(word: &Word, piece: &str) -> Word {
    let text = piece.trim();
    Word { value: text.to_owned(), place: if text.is_empty() { word.place } else { word.part(text) } }
}

/// The values of a range; `None` if it is none.
fn range(path: &Word, word: &Word) -> Result<Option<Vec<Word>>, Box<Finding>> {
    let Some((ends, count)) = word.value.rsplit_once(':') else { return Ok(None) };
    let Some((low, high)) = ends.split_once("..") else { return Ok(None) };
    let (low, high, count) = (low.trim(), high.trim(), count.trim());
    let error = |place: Place, message: String| Finding::error(place, message);
    let steps = match count.parse::<usize>() {
        Ok(steps) if (2..=MOST).contains(&steps) => steps,
        _ => {
            return Err(error(word.part(count), format!("a range of `{}` has `{count}` values", path.value))
                .note(format!("allowed: 2 .. {MOST}"))
                .help("write the number of values behind the colon: `14 d .. 42 d : 8`")
                .into());
        }
    };
    let (Some(first), Some(last)) = (Number::read(low), Number::read(high)) else {
        return Err(error(
            word.place,
            format!("the ends of a range of `{}` are `{low}` and `{high}`", path.value),
        )
        .note("a range runs from one number to another of the same unit")
        .help("write `14 d .. 42 d : 8`")
        .into());
    };
    let bare = first.before.is_empty() && first.after.is_empty();
    if !bare && (first.before != last.before || first.after != last.after) {
        return Err(error(
            word.place,
            format!("the ends of a range of `{}` differ in their units", path.value),
        )
        .note(format!("`{low}` and `{high}`"))
        .help("give both ends the same unit")
        .into());
    }
    if last.value <= first.value {
        let how = if last.value < first.value { "runs downwards" } else { "is empty" };
        return Err(error(word.place, format!("the range of `{}` {how}: `{low} .. {high}`", path.value))
            .help("write the lower end first, and the higher one behind the points")
            .into());
    }
    let value = |step: usize| {
        let share = step as f64 / (steps - 1) as f64;
        let number = first.value + share * (last.value - first.value);
        let number = if step == steps - 1 { last.value } else { number };
        Word { value: format!("{}{}{}", last.before, trimmed(number, DIGITS), last.after), place: word.place }
    };
    let values: Vec<Word> = (0..steps).map(value).collect();
    Ok(Some(values))
}

/// A number with what stands before and after it: a currency, a unit.
struct Number<'t> {
    before: &'t str,
    value: f64,
    after: &'t str,
}

impl<'t> Number<'t> {
    fn read(text: &'t str) -> Option<Self> {
        let start = text.find(|letter: char| letter.is_ascii_digit())?;
        let start = if text[..start].ends_with(['-', '+', '.']) { start - 1 } else { start };
        let length = (1..=text.len() - start)
            .filter(|length| text.is_char_boundary(start + length))
            .filter(|length| text[start..start + length].parse::<f64>().is_ok())
            .max()?;
        let value: f64 = text[start..start + length].parse().ok()?;
        value.is_finite().then_some(Self { before: &text[..start], value, after: &text[start + length..] })
    }
}

/// Values as numbers of one unit.
fn numbers_of(values: &[String]) -> (Option<Vec<f64>>, String) {
    let read: Option<Vec<Number<'_>>> = values.iter().map(|value| Number::read(value)).collect();
    let Some(read) = read else { return (None, String::new()) };
    let Some(first) = read.first() else { return (None, String::new()) };
    let alike = read.iter().all(|number| number.before == first.before && number.after == first.after);
    if !alike || first.after.contains("..") {
        return (None, String::new());
    }
    (
        Some(read.iter().map(|number| number.value).collect()),
        format!("{}{}", first.before, first.after).trim().to_owned(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn axis(values: &str) -> Result<Vec<String>, String> {
        let place = Place { source: 0, start: 0, end: values.len() };
        let word = |text: &str| Word { value: text.to_owned(), place };
        let mut findings = Findings::default();
        let axis = Axis::of_values(&word("limits.age.at least"), &[word(values)], &mut findings);
        axis.map(|axis| axis.values).ok_or_else(|| findings.sorted()[0].message.clone())
    }

    #[test]
    fn values_and_ranges_are_written_as_people_say_them() {
        for (written, expected) in [
            ("14 d, 21 d", vec!["14 d", "21 d"]),
            ("14 d .. 42 d : 3", vec!["14 d", "28 d", "42 d"]),
            ("14..42 d:3", vec!["14 d", "28 d", "42 d"]),
            ("0.3 .. 0.4 : 2, 0.5", vec!["0.3", "0.4", "0.5"]),
            ("EUR 10/t .. EUR 20/t : 2", vec!["EUR 10/t", "EUR 20/t"]),
            ("-1 .. 1 : 3", vec!["-1", "0", "1"]),
            ("300 .. 400 kg/m3, 320 .. 400 kg/m3", vec!["300 .. 400 kg/m3", "320 .. 400 kg/m3"]),
        ] {
            assert_eq!(axis(written).unwrap(), expected, "{written}");
        }
    }

    #[test]
    fn empty_and_reversed_ranges_are_told() {
        for (written, expected) in [
            ("42 d .. 14 d : 3", "runs downwards"),
            ("14 d .. 14 d : 3", "is empty"),
            ("14 d .. 42 d : 1", "has `1` values"),
            ("14 d .. 42 d : 0", "has `0` values"),
            ("14 d .. 42 h : 3", "differ in their units"),
            ("14 d,, 15 d", "is empty"),
            ("", "is empty"),
            ("14 d, 14 d", "stands twice"),
            ("few .. many : 4", "the ends of a range"),
        ] {
            assert!(axis(written).unwrap_err().contains(expected), "{written}: {:?}", axis(written));
        }
    }
}
