//! The decimal sign of a list of prices: a point or a comma, one and the same for the whole list.
//!
//! What enters: prices as written, `1.250,50 /t`. What leaves: the same with a decimal point and nothing between
//! thousands, or a finding where the list does not say which sign is meant. Units are for the reader of values.

use super::word::Word;
use crate::finding::{Finding, Findings, Place};

/// What a number shows of its decimal sign.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shown {
    /// It has neither sign, or is no number that can be read at all.
    Nothing,
    /// It can only be read with this sign, `.` or `,`.
    Sign(char),
    /// Thousands or decimals: `1.250`.
    Either,
}

/// Writes every price with a decimal point, if one sign fits all of them.
pub fn settle<'w>(prices: impl Iterator<Item = &'w mut Word>, findings: &mut Findings) {
    let mut prices: Vec<&mut Word> = prices.collect();
    let mut known: Option<(char, Place, String)> = None;
    for price in &prices {
        let Shown::Sign(sign) = shown(number(&price.value)) else { continue };
        match &known {
            None => known = Some((sign, price.place, price.value.clone())),
            Some((first, _, example)) if *first != sign => {
                findings.push(
                    Finding::error(price.place, "this list writes decimals in two ways")
                        .note(format!("`{example}` stands in an earlier line, here `{}`", price.value))
                        .help("write all prices with a decimal point, or all with a decimal comma"),
                );
                return;
            }
            Some(_) => {}
        }
    }
    for price in &mut prices {
        let written = number(&price.value).to_owned();
        match (shown(&written), &known) {
            (Shown::Nothing, _) => {}
            (_, Some((sign, ..))) => {
                let between = if *sign == ',' { '.' } else { ',' };
                let plain = written.replace(between, "").replace(*sign, ".");
                price.value = price.value.replacen(&written, &plain, 1);
            }
            (_, None) => findings.push(
                Finding::error(price.place, format!("`{written}` can be read in two ways"))
                    .note("no price of this list shows whether its sign parts decimals or thousands")
                    .help("write thousands without a sign: `1250`; or decimals with two digits: `1.25`"),
            ),
        }
    }
}

/// The digits of a price with the points and commas among them.
fn number(price: &str) -> &str {
    let start = price.find(|letter: char| letter.is_ascii_digit()).unwrap_or(price.len());
    let rest = &price[start..];
    let is_part = |letter: char| letter.is_ascii_digit() || letter == '.' || letter == ',';
    let end = rest.find(|letter| !is_part(letter)).unwrap_or(rest.len());
    &rest[..end]
}

fn shown(number: &str) -> Shown {
    let signs: Vec<char> = number.chars().filter(|letter| !letter.is_ascii_digit()).collect();
    let Some(last) = signs.last().copied() else { return Shown::Nothing };
    let other = if last == ',' { '.' } else { ',' };
    let count = signs.iter().filter(|sign| **sign == last).count();
    let (whole, part) = number.rsplit_once(last).unwrap_or((number, ""));
    if count == signs.len() {
        return match count {
            _ if part.is_empty() || whole.is_empty() => Shown::Nothing,
            1 if part.len() == 3 && is_grouped(number, last) => Shown::Either,
            1 => Shown::Sign(last),
            _ if is_grouped(number, last) => Shown::Sign(other),
            _ => Shown::Nothing,
        };
    }
    if count == 1 && !part.is_empty() && is_grouped(whole, other) {
        Shown::Sign(last)
    } else {
        Shown::Nothing
    }
}

/// Whether a number has its digits in threes with this sign between them: `1.250`, `12.500.000`.
fn is_grouped(number: &str, sign: char) -> bool {
    let mut groups = number.split(sign);
    let first = groups.next().unwrap_or("");
    (1..=3).contains(&first.len()) && !first.starts_with('0') && groups.all(|group| group.len() == 3)
}
