//! From a law's name and its bound inputs to a formula and factors; what does not fit the law's card is a finding.

use super::by_cement::{is_of_cement, listed_classes, of_cement};
use super::factor::{interval, source_of};
use super::formula::{Formula, Slot};
use super::joint_checks::hold_together;
use super::law::{Input, Law};
use super::response_kind::Factor;
use crate::finding::{Finding, Findings, Place, nearest};
use crate::mixture::Quantities;
use crate::number::Interval;
use crate::quantity::{Scalar, Unit, trimmed};
use crate::statement::{BindingEntry, CEMENT_CLASS, InputEntry, LawEntry, Located, QuantityRef};

/// Builds the formula and its factors.
pub fn bind_law(
    entry: &LawEntry,
    owner: &str,
    unit: Option<&Located<Unit>>,
    names: &[&str],
    quantities: &Quantities<'_>,
    findings: &mut Findings,
) -> Option<(Formula, Vec<Factor>, Unit)> {
    let law = law_named(entry, owner, findings)?;
    let card = law.card();
    let own = Unit::known(card.unit);
    let shown = unit.map_or_else(|| own.clone(), |unit| unit.value.clone());
    if let Some(unit) = unit.filter(|unit| unit.value.dimension != own.dimension) {
        findings.push(
            Finding::error(
                unit.place,
                format!(
                    "law `{}` of {owner} gives {}, and its unit is `{}`",
                    card.name, own.dimension, shown.text
                ),
            )
            .note(format!("the law's own unit: {}", card.unit))
            .help("leave `unit` out"),
        );
        return None;
    }
    let mut factors: Vec<Factor> = Vec::new();
    let slots = arranged(entry, law, owner, Clock::None, (names, quantities), &mut factors, findings)?;
    let slots = slots.into_iter().collect::<Option<Vec<Slot>>>()?;
    hold_together(entry, law, &slots, owner, findings)
        .then(|| (Formula::new(law, slots, &shown), factors, shown))
}

/// The law that an entry names.
pub fn law_named(entry: &LawEntry, owner: &str, findings: &mut Findings) -> Option<Law> {
    let Some(law) = Law::named(&entry.name.value) else {
        let near = nearest(&entry.name.value, Law::ALL.iter().map(|law| law.card().name));
        let finding =
            Finding::error(entry.name.place, format!("unknown law `{}` in {owner}", entry.name.value))
                .note("`mixbound laws` lists all laws, `mixbound laws NAME` their inputs");
        findings.push(match near {
            Some(near) => finding.help(format!("did you mean `{near}`?")),
            None => finding,
        });
        return None;
    };
    Some(law)
}

/// Whether an input may be bound to the age itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clock {
    /// It may not.
    None,
    /// The word `age` stands for it; that input has no slot.
    Age,
}

/// What names resolve against: responses, then quantities.
pub type Known<'k, 'q> = (&'k [&'k str], &'k Quantities<'q>);

/// The slots of a law's inputs; the one bound to the clock is empty.
pub fn arranged(
    entry: &LawEntry,
    law: Law,
    owner: &str,
    clock: Clock,
    known: Known<'_, '_>,
    factors: &mut Vec<Factor>,
    findings: &mut Findings,
) -> Option<Vec<Option<Slot>>> {
    let card = law.card();
    for given in &entry.inputs {
        if card.inputs.iter().all(|input| input.name != given.name.value) {
            let known = card.inputs.iter().map(|input| input.name);
            findings.push(
                Finding::error(
                    given.name.place,
                    format!("law `{}` of {owner} has no input `{}`", card.name, given.name.value),
                )
                .known("inputs", &given.name.value, known),
            );
        }
    }
    let mut slots = Vec::with_capacity(card.inputs.len());
    let class = entry.cement.as_ref().and_then(|word| of_cement(word, entry, law, owner, findings));
    let mut complete = entry.cement.is_none() || class.is_some();
    for input in card.inputs {
        let given = entry.inputs.iter().find(|given| given.name.value == input.name);
        let is_clock = |given: &&InputEntry| {
            clock == Clock::Age
                && input.unit == "d"
                && matches!(&given.binding, BindingEntry::Of { is: QuantityRef::Phrase(word), .. } if word.value == "age")
        };
        let by_class = class.and_then(|class| class.constant(input.name));
        let slot = match (given, by_class.or(input.default)) {
            (Some(given), _) if is_clock(&given) => Some(None),
            (Some(given), _) => bind(input, given, owner, known, factors, findings).map(Some),
            (None, Some(default)) => Some(Some(Slot::Fixed(default))),
            (None, None) => {
                // a class that is not known is told once, not once for each of its constants
                if class.is_some() || entry.cement.is_none() || !is_of_cement(law, input.name) {
                    findings.push(missing(input, entry.place, law, owner));
                }
                None
            }
        };
        complete &= slot.is_some();
        slots.extend(slot);
    }
    complete.then_some(slots)
}

/// A number with the unit of an input.
fn of_input(value: f64, input: &Input) -> String {
    input_unit(input).with_number(&trimmed(value, 6))
}

fn input_unit(input: &Input) -> Unit {
    Unit::known(input.unit)
}

fn range_of(input: &Input, (low, high): (f64, f64)) -> String {
    match (low <= -1e9, 1e9 <= high) {
        (true, true) => "any number".to_owned(),
        (false, true) if 0.0 < low && low < 1e-6 => "anything above 0".to_owned(),
        (false, true) => format!("{} and more", of_input(low, input)),
        _ => format!("{} .. {}", trimmed(low, 6), of_input(high, input)),
    }
}

/// A way out where an input lies beyond what makes sense.
fn known_for(input: &Input) -> String {
    format!("stay where it is known: {}", range_of(input, input.range))
}

fn missing(input: &Input, place: Place, law: Law, owner: &str) -> Finding {
    let name = law.card().name;
    let help = if is_of_cement(law, input.name) {
        format!("add `{CEMENT_CLASS}:` with {}, or `{}:` with a value", listed_classes(law), input.name)
    } else {
        format!("add `{}:` with a value, a quantity of the mix, or a response", input.name)
    };
    Finding::error(place, format!("law `{name}` of {owner} lacks the input `{}`", input.name))
        .note(format!("{}; known for {}", input.meaning, range_of(input, input.range)))
        .help(help)
}

/// What an input is bound to: a number, or a factor that is added to the others.
pub fn bind(
    input: &Input,
    given: &InputEntry,
    owner: &str,
    (names, quantities): Known<'_, '_>,
    factors: &mut Vec<Factor>,
    findings: &mut Findings,
) -> Option<Slot> {
    let owner = format!("input `{}` of {owner}", input.name);
    match &given.binding {
        BindingEntry::Value(value) => constant(input, value, &owner, findings).map(Slot::Fixed),
        BindingEntry::Of { is, region } => {
            let (source, dimension) = source_of(is, &owner, names, quantities, findings)?;
            let unit = input_unit(input);
            if let Some(dimension) = dimension.filter(|dimension| *dimension != unit.dimension) {
                findings.push(
                    Finding::error(is.place(), format!("{owner} is {}; this is {dimension}", unit.dimension))
                        .note(input.meaning),
                );
                return None;
            }
            let (region, place) = match region {
                Some(region) => {
                    (interval(&region.value, region.place, "region", &owner, &unit, findings)?, region.place)
                }
                None => (Interval::new(input.range.0, input.range.1), given.name.place),
            };
            if region.low() < input.allowed.0 || input.allowed.1 < region.high() {
                findings.push(
                    Finding::error(place, format!("the region of {owner} goes beyond what makes sense"))
                        .note(format!("allowed: {}", range_of(input, input.allowed)))
                        .help(known_for(input)),
                );
                return None;
            }
            factors.push(Factor {
                name: input.name.to_owned(),
                source,
                unit,
                region,
                statistic: input.statistic,
                place,
            });
            Some(Slot::Factor(factors.len() - 1))
        }
    }
}

/// A fixed input in its own unit: refused outside what makes sense, remarked on outside the published region.
pub fn constant(input: &Input, value: &Located<Scalar>, owner: &str, findings: &mut Findings) -> Option<f64> {
    let (scalar, unit) = (&value.value, input_unit(input));
    let has_no_unit = scalar.unit.text.is_empty();
    if scalar.unit.dimension != unit.dimension || (has_no_unit && unit.factor != 1.0 && scalar.base != 0.0) {
        let message = if has_no_unit {
            format!("{owner} has no unit; `{}` is needed", input.unit)
        } else {
            format!(
                "{owner} is {} (`{}`); {} is needed",
                scalar.unit.dimension, scalar.unit.text, unit.dimension
            )
        };
        let example = if has_no_unit { scalar.base } else { input.range.0 };
        findings.push(
            Finding::error(value.place, message)
                .note(input.meaning)
                .help(format!("write it like `{}`", of_input(example, input))),
        );
        return None;
    }
    let number = unit.from_base(scalar.base);
    let within =
        |(low, high): (f64, f64)| low - 1e-9 * low.abs() <= number && number <= high + 1e-9 * high.abs();
    if !within(input.allowed) {
        findings.push(
            Finding::error(value.place, format!("{owner} is {}", of_input(number, input)))
                .note(format!("allowed: {}", range_of(input, input.allowed)))
                .help(known_for(input)),
        );
        return None;
    }
    if !within(input.range) {
        findings.push(
            Finding::warning(
                value.place,
                format!("{owner} is {}, where the law is not known", of_input(number, input)),
            )
            .note(format!("known for {}", range_of(input, input.range)))
            .help("take the result as an extrapolation, or choose another law"),
        );
    }
    Some(number)
}
