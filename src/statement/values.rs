//! Reading scalars: values with units, shares, counts and bounds; what is wrong becomes a finding.

use super::fields::Reading;
use super::keys::STATES;
use super::tree::{Kind, Node};
use super::word::{Bounds, Located, Word};
use crate::finding::{Finding, Place};
use crate::quantity::{
    Dimension, Expected, Meant, Scalar, Tally, Text, Unit, UnitError, ValueError, accepted, parse_range,
    parse_scalar,
};

impl Reading {
    /// A value of one of the expected dimensions, and nothing behind its unit: the whole text is understood here.
    pub fn scalar<'e>(
        &mut self,
        node: &Node,
        owner: &str,
        expected: impl Into<Expected<'e>>,
    ) -> Option<Located<Scalar>> {
        let value = self.scalar_with_words(node, owner, expected)?;
        self.nothing_behind(&value.value, value.place, owner).then_some(value)
    }

    /// A value with a base or a state behind its unit: whoever takes it must judge these words.
    pub fn scalar_with_words<'e>(
        &mut self,
        node: &Node,
        owner: &str,
        expected: impl Into<Expected<'e>>,
    ) -> Option<Located<Scalar>> {
        let expected = expected.into();
        let word = self.raw_text(node, owner)?;
        match parse_scalar(self.text(&word.value)) {
            Ok(value) => {
                self.tally.count(&value.unit);
                (self.dimension_fits(&value, word.place, owner, expected)
                    && self.base_fits(&value, word.place, owner))
                .then_some(Located { value, place: word.place })
            }
            Err(error) => {
                self.value_finding(&word, &error, owner, expected);
                None
            }
        }
    }

    /// An amount per volume of concrete: by mass, or by the volume of a liquid (`25 fl oz/yd3`).
    pub fn content(&mut self, node: &Node, owner: &str) -> Option<Located<Scalar>> {
        if self.is_volume_by_volume(node) {
            return self.scalar_with_words(node, owner, &[Dimension::NONE]);
        }
        let expected = Expected::meaning(&[Dimension::DENSITY], Meant::Content);
        self.scalar_with_words(node, owner, expected)
    }

    /// Whether a value, or the last end of a range, is a volume by volume of concrete, as `3 L/m3`.
    pub fn is_volume_by_volume(&self, node: &Node) -> bool {
        let Kind::Scalar(text) = &node.kind else { return false };
        let text = ["at least ", "at most "].iter().find_map(|side| text.strip_prefix(side)).unwrap_or(text);
        parse_range(self.text(text)).is_ok_and(|(_, high)| high.is_volume_by_volume())
    }

    /// A plain number or share.
    pub fn number(&mut self, node: &Node, owner: &str) -> Option<Located<f64>> {
        let value = self.scalar(node, owner, &[Dimension::NONE])?;
        Some(Located { value: value.value.base, place: value.place })
    }

    /// A share between `low` and `high`.
    pub fn share(&mut self, node: &Node, owner: &str, low: f64, high: f64) -> Option<Located<f64>> {
        let number = self.number(node, owner)?;
        if low <= number.value && number.value <= high {
            return Some(number);
        }
        let percent = |share: f64| format!("{} %", crate::quantity::trimmed(100.0 * share, 6));
        self.push(Finding::error(node.place, format!("{owner} is {}", percent(number.value))).note(format!(
            "allowed: {} .. {}",
            percent(low),
            percent(high)
        )));
        None
    }

    /// A share between `low` and `high` written with its unit; only zero needs none.
    pub fn percentage(&mut self, node: &Node, owner: &str, low: f64, high: f64) -> Option<Located<f64>> {
        let value = self.scalar(node, owner, &[Dimension::NONE])?;
        if value.value.unit.text.is_empty() && value.value.base != 0.0 {
            let number = crate::quantity::trimmed(value.value.base, 6);
            self.push(
                Finding::error(value.place, format!("{owner} has no unit: `{number}`"))
                    .note("allowed units: `%`, `per mille` or `ppm`")
                    .help(format!(
                        "write `{number} %`, or `{} %` if a ratio is meant",
                        crate::quantity::trimmed(100.0 * value.value.base, 6)
                    )),
            );
            return None;
        }
        self.share(node, owner, low, high)
    }

    /// A whole number.
    pub fn count(&mut self, node: &Node, owner: &str) -> Option<Located<u32>> {
        self.count_up_to(node, owner, 1000)
    }

    /// A whole number up to another.
    pub fn count_up_to(&mut self, node: &Node, owner: &str, most: u32) -> Option<Located<u32>> {
        let word = self.word(node, owner)?;
        match word.value.parse::<u32>() {
            Ok(value) if value <= most => Some(Located { value, place: word.place }),
            _ => {
                self.push(
                    Finding::error(word.place, format!("{owner} is `{}`", word.value))
                        .note(format!("a whole number from 0 to {most} is needed")),
                );
                None
            }
        }
    }

    /// `a .. b`, `at least a`, `at most b` or one value, and nothing behind the unit.
    pub fn bounds<'e>(
        &mut self,
        node: &Node,
        owner: &str,
        expected: impl Into<Expected<'e>>,
    ) -> Option<Located<Bounds>> {
        let bounds = self.bounds_with_words(node, owner, expected)?;
        let end = bounds.value.any()?;
        self.nothing_behind(end, bounds.place, owner).then_some(bounds)
    }

    /// Bounds with a base or a state behind their unit: whoever takes them must judge these words.
    pub fn bounds_with_words<'e>(
        &mut self,
        node: &Node,
        owner: &str,
        expected: impl Into<Expected<'e>>,
    ) -> Option<Located<Bounds>> {
        let expected = expected.into();
        let word = self.raw_text(node, owner)?;
        let (rest, side) = match word.value.as_str() {
            text if text.starts_with("at least ") => (&text[9..], -1),
            text if text.starts_with("at most ") => (&text[8..], 1),
            text => (text, 0),
        };
        let shift = word.value.len() - rest.len();
        match parse_range(self.text(rest)) {
            Ok((low, high)) => {
                self.tally.count(&high.unit);
                if !self.dimension_fits(&high, word.place, owner, expected)
                    || !self.base_fits(&high, word.place, owner)
                {
                    return None;
                }
                let value = Bounds { low: (side <= 0).then_some(low), high: (0 <= side).then_some(high) };
                Some(Located { value, place: word.place })
            }
            Err(error) => {
                let shifted = Located {
                    value: rest.to_owned(),
                    place: Place { start: word.place.start + shift, ..word.place },
                };
                self.value_finding(&shifted, &error, owner, expected);
                None
            }
        }
    }

    /// The text of a scalar, spacing kept so that places inside it are right.
    fn raw_text(&mut self, node: &Node, owner: &str) -> Option<Word> {
        match &node.kind {
            Kind::Scalar(text) => {
                let quoted = usize::from(node.place.end - node.place.start == text.len() + 2);
                let place =
                    Place { start: node.place.start + quoted, end: node.place.end - quoted, ..node.place };
                Some(Located { value: text.clone(), place })
            }
            other => {
                self.push(
                    Finding::error(node.shown(), format!("{owner} is {}", other.described()))
                        .note("a single value is needed"),
                );
                None
            }
        }
    }

    fn text<'t>(&'t self, text: &'t str) -> Text<'t> {
        Text { text, currency: &self.currency, trailing: STATES }
    }

    /// Words behind a unit that nobody would look at are a finding.
    fn nothing_behind(&mut self, value: &Scalar, place: Place, owner: &str) -> bool {
        let words = value.words.as_str();
        if !words.is_empty() {
            self.push(
                Finding::error(place, format!("{owner} has `{words}` behind its value"))
                    .note("it is a plain value: a number and its unit")
                    .help("take these words out"),
            );
        }
        words.is_empty()
    }

    /// Only shares and doses are of something.
    fn base_fits(&mut self, value: &Scalar, place: Place, owner: &str) -> bool {
        let dimension = value.unit.dimension;
        let fits = !value.words.starts_with("of ")
            || [Dimension::NONE, Dimension::VOLUME_BY_MASS].contains(&dimension);
        if !fits {
            let (unit, words) = (&value.unit.text, &value.words);
            self.push(
                Finding::error(place, format!("{owner} has `{words}` behind `{unit}`, which is {dimension}"))
                    .note("only shares and doses are of something: `0.8 % of binder`, `300 mL/100 kg of cement`")
                    .help("take these words out, or write a share"),
            );
        }
        fits
    }

    fn dimension_fits(&mut self, value: &Scalar, place: Place, owner: &str, expected: Expected<'_>) -> bool {
        if expected.dimensions.is_empty() || expected.dimensions.contains(&value.unit.dimension) {
            return true;
        }
        let wanted = expected.dimensions.iter().map(ToString::to_string).collect::<Vec<_>>().join(" or ");
        let examples = accepted(expected);
        let message = if value.unit.text.is_empty() {
            format!("{owner} has no unit; {wanted} is needed")
        } else {
            format!("{owner} is {} (`{}`); {wanted} is needed", value.unit.dimension, value.unit.text)
        };
        let finding = Finding::error(place, message).note(format!("allowed units: {examples}"));
        let example = example(&examples, self.tally).filter(|_| value.unit.text.is_empty());
        self.push(match example {
            _ if value.unit.dimension == Dimension::MONEY
                && expected.dimensions.contains(&Dimension::PRICE_BY_MASS) =>
            {
                finding.help("write what it is the price of: `/t`, `/ton`, `/L` or `/gal` behind the number")
            }
            Some(unit) => finding.help(format!("write the unit behind the number, such as `{unit}`")),
            None => finding,
        });
        false
    }

    fn value_finding(&mut self, word: &Word, error: &ValueError, owner: &str, expected: Expected<'_>) {
        let span = error.span();
        let start = (word.place.start + span.start).min(word.place.end);
        let place = Place {
            start,
            end: (word.place.start + span.end).clamp(start, word.place.end.max(start)),
            ..word.place
        };
        let piece = word.value.get(span.clone()).unwrap_or("");
        let units = match expected.dimensions {
            [] => format!("known units: {}", crate::finding::listed(&Unit::words().collect::<Vec<_>>())),
            _ => format!("allowed units: {}", accepted(expected)),
        };
        let finding = match error {
            ValueError::NoNumber(_) => self.no_number(place, piece, owner),
            ValueError::NotFinite(_) => {
                Finding::error(place, format!("{owner} is `{piece}`, not a finite number"))
                    .note("allowed: finite numbers, at most about 1e308")
                    .help("write the number that is meant, or leave the key out")
            }
            ValueError::TooSmall(_) => {
                Finding::error(place, format!("{owner} is `{piece}`, which would be read as another number"))
                    .note("allowed: 0, and numbers from about 1e-307 in size")
                    .help("write 0, or the number that is meant")
            }
            ValueError::Unit(UnitError::Unknown(unit), _) if unit.starts_with([',', '_', '\'']) => {
                let (number, at) = separated_number(&word.value, span.start);
                let place = Place { start: word.place.start + at, ..place };
                let place = Place { end: (place.start + number.len()).min(word.place.end), ..place };
                Finding::error(place, format!("{owner} has a separator in its number: `{number}`"))
                    .note("numbers have a decimal point and no separators: `0.42`, `1000`")
                    .help("write a point for the decimal comma, and nothing between thousands")
            }
            ValueError::Unit(UnitError::Unknown(unit), _) => unknown_unit(place, unit, owner, units),
            // Without a currency of the statement nothing is another one: that it is missing has been told.
            ValueError::Unit(UnitError::OtherCurrency(_), _) if self.currency.is_empty() => return,
            ValueError::Unit(UnitError::OtherCurrency(other), _) => {
                let own = &self.currency;
                Finding::error(
                    place,
                    format!("{owner} is in `{other}`; the currency of this statement is `{own}`"),
                )
                .help("convert the price, or leave the currency out")
            }
            ValueError::Reversed(_) => {
                Finding::error(place, format!("the range of {owner} runs downwards: `{piece}`"))
                    .help("write the lower end first")
            }
            ValueError::MixedWords(_) => {
                Finding::error(place, format!("the two ends of {owner} are not of the same: `{piece}`"))
                    .note("what stands behind the second end holds for both")
                    .help("write it once, behind the range: `0.2 .. 0.8 % of binder`")
            }
            ValueError::MixedUnits(_) => {
                Finding::error(place, format!("the two ends of {owner} have different dimensions: `{piece}`"))
                    .note("a range has one unit behind it, or two of the same dimension")
                    .help("write `250 .. 450 kg/m3`")
            }
        };
        self.push(finding);
    }

    /// A value that does not begin with a number.
    fn no_number(&self, place: Place, piece: &str, owner: &str) -> Finding {
        let Some(sign) = begins_with_money(piece) else {
            return Finding::error(place, format!("{owner} does not begin with a number: `{piece}`")).help(
                match piece {
                    "<=" | "<" | "≤" => "write `at most` and the value",
                    ">=" | ">" | "≥" => "write `at least` and the value",
                    _ => "write the number first, with a decimal point, then its unit",
                },
            );
        };
        let finding = Finding::error(place, format!("{owner} begins with `{sign}`: `{piece}`"));
        if self.currency.is_empty() {
            finding.help(format!("write `currency: {sign}` in the statement"))
        } else {
            finding
                .note(format!("the currency of this statement is `{}`", self.currency))
                .help(format!("drop the `{sign}`, or write `currency: {sign}`"))
        }
    }
}

/// A word behind a number that is no unit.
fn unknown_unit(place: Place, unit: &str, owner: &str, units: String) -> Finding {
    let finding = Finding::error(place, format!("unknown unit `{unit}` in {owner}")).note(units);
    match crate::finding::nearest(unit, Unit::words()).map(str::to_owned) {
        _ if unit.starts_with(['-', '–']) || unit.starts_with("to ") => {
            finding.help("write a range with two points: `300 .. 400 kg/m3`")
        }
        _ if unit.ends_with(" surface") => finding.help("write `surface-dry`, with a hyphen"),
        _ if unit.contains(" per ") || unit.starts_with("per ") => {
            finding.help("write a slash for `per`: `/t`, `kg/m3`")
        }
        Some(near) => finding.help(format!("did you mean `{near}`?")),
        None => finding,
    }
}

/// The sign of money before a number, if there is one.
fn begins_with_money(piece: &str) -> Option<char> {
    let sign = piece.chars().next().filter(|letter| "$€£¥".contains(*letter))?;
    piece[sign.len_utf8()..].trim_start().starts_with(|letter: char| letter.is_ascii_digit()).then_some(sign)
}

/// The first unit in a list of examples that goes with those written so far.
fn example(examples: &str, tally: Tally) -> Option<&str> {
    let other = |unit: &&str| {
        let system = Unit::parse(unit, "").ok().and_then(|unit| unit.system());
        system.is_some_and(|system| system != tally.system())
    };
    let units = || examples.split('`').skip(1).step_by(2);
    units().find(|unit| !other(unit)).or_else(|| units().next())
}

/// A number with its separator, and where it begins: `2,650` of `2,650 kg/m3` when the comma stands at `at`.
fn separated_number(text: &str, at: usize) -> (&str, usize) {
    let part_of_number = |letter: char| letter.is_ascii_digit() || ".,_'+-".contains(letter);
    let before = text.get(..at).unwrap_or("");
    let start = before.trim_end_matches(part_of_number).len();
    let rest = text.get(start..).unwrap_or("");
    let length = rest.find(|letter| !part_of_number(letter)).unwrap_or(rest.len());
    (&rest[..length], start)
}
