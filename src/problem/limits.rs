//! From limit entries, material bounds and regions to requirements.

use super::context::Context;
use super::cracking_limit::check_limit;
use super::doses::{base_named, dosed};
use super::magnitude::check_magnitude;
use super::margins::margin_of;
use super::requirement::{Margin, Origin, Requirement, Subject, Wanted};
use super::statistic::check_statistic;
use super::strength_class::against_class;
use crate::finding::{Finding, Findings};
use crate::material::Base;
use crate::quantity::{Dimension, Expected, Meant, Scalar, Unit, accepted, trimmed};
use crate::standard::Side;
use crate::standard::looks_like_class;
use crate::statement::{LimitEntry, Located, QuantityRef, SideEntry};

/// The requirements of all limits, in file order, lower side first.
pub fn limits(entries: &[LimitEntry], context: &Context<'_>, findings: &mut Findings) -> Vec<Requirement> {
    let mut list = Vec::new();
    for entry in entries {
        let owner = format!("limit `{}`", entry.name.value);
        let Some(subject) = subject(&entry.on, &owner, context, findings) else { continue };
        let sides = [(Side::AtLeast, &entry.at_least), (Side::AtMost, &entry.at_most)];
        for (side, wanted) in sides {
            let Some(wanted) = wanted else { continue };
            if let Some(requirement) = limit(entry, &owner, subject.clone(), side, wanted, context, findings)
            {
                list.push(requirement);
            }
        }
    }
    list
}

/// What a reference stands for: a response or a quantity.
pub fn subject(
    on: &QuantityRef,
    owner: &str,
    context: &Context<'_>,
    findings: &mut Findings,
) -> Option<Subject> {
    if let QuantityRef::Phrase(word) = on {
        if let Some(index) = context.responses.find_id(|response| response.name == word.value) {
            return Some(Subject::Response(index));
        }
        return match context.quantities.phrase(word) {
            Ok(quantity) => Some(Subject::Quantity(quantity)),
            Err(unknown) => {
                let responses: Vec<&str> =
                    context.responses.iter().map(|response| response.name.as_str()).collect();
                findings.push(context.quantities.unknown_among(&unknown, &responses, word, owner));
                None
            }
        };
    }
    context.quantities.resolve(on, owner, findings).map(Subject::Quantity)
}

fn limit(
    entry: &LimitEntry,
    owner: &str,
    subject: Subject,
    side: Side,
    wanted: &SideEntry,
    context: &Context<'_>,
    findings: &mut Findings,
) -> Option<Requirement> {
    let place = wanted.place();
    let base = Requirement {
        name: entry.name.value.clone(),
        place,
        origin: Origin::Limit,
        subject,
        side,
        wanted: Wanted::Value(0.0),
        margin: Margin::default(),
        unit: Unit::number(),
        note: entry.note.as_ref().map(|note| note.value.clone()),
        in_place_of: Vec::new(),
    };
    let mut characteristic = None;
    let mut requirement = match wanted {
        SideEntry::Value(value) => against_value(base, value, owner, context, findings)?,
        SideEntry::Times(1.0, word) if looks_like_class(&word.value) => {
            let statistic = Located { value: "characteristic".to_owned(), place: word.place };
            characteristic.get_or_insert(LimitEntry { statistic: Some(statistic), ..entry.clone() });
            against_class(base, word, entry.statistic.as_ref(), owner, context.responses, findings)?
        }
        SideEntry::Times(times, word) => {
            let right = subject_of_word(word, owner, context, findings)?;
            against_other(base, *times, right, owner, context, findings)?
        }
    };
    if let Some(margin) = &entry.margin {
        requirement.margin = margin_of(margin, &requirement, owner, context, findings)?;
    }
    check_statistic(characteristic.as_ref().unwrap_or(entry), &requirement, owner, context, findings);
    if let (Some(rule), Wanted::Value(asked)) = (requirement.margin.rule, &requirement.wanted) {
        let required = trimmed(rule.required(*asked, &requirement.unit), 4);
        let told = format!("{}: {}", rule.words(&requirement.unit), requirement.unit.with_number(&required));
        requirement.note = Some(requirement.note.map_or(told.clone(), |note| format!("{note}; {told}")));
    }
    check_limit(&requirement, owner, context, findings);
    check_magnitude(&requirement, owner, context, findings);
    Some(requirement)
}

fn subject_of_word(
    word: &crate::statement::Word,
    owner: &str,
    context: &Context<'_>,
    findings: &mut Findings,
) -> Option<Subject> {
    subject(&QuantityRef::Phrase(word.clone()), owner, context, findings)
}

/// A plain value, or a dose that turns the subject into its ratio to the base.
fn against_value(
    mut requirement: Requirement,
    value: &Located<Scalar>,
    owner: &str,
    context: &Context<'_>,
    findings: &mut Findings,
) -> Option<Requirement> {
    let scalar = &value.value;
    let (dimension, shown, response_base) = match &requirement.subject {
        Subject::Quantity(quantity) => (quantity.dimension, quantity.unit.clone(), None),
        Subject::Response(index) => {
            let response = &context.responses[*index];
            (response.unit.dimension, response.unit.clone(), response.base)
        }
    };
    let of = scalar.words.strip_prefix("of ").map(str::trim);
    if let (Some(of), Subject::Quantity(quantity)) = (of, &requirement.subject) {
        let base = base_named(of, value.place, owner, findings)?;
        let Some(ratio) = dosed(quantity, base, scalar.unit.dimension, context.mixture) else {
            findings.push(
                Finding::error(value.place, format!("{owner} compares {dimension} with a dose"))
                    .help("a dose limits a mass per volume of concrete, such as a material or `free water`"),
            );
            return None;
        };
        requirement.unit = scalar.unit.of(base.word());
        requirement.wanted = Wanted::Value(scalar.unit.from_base(scalar.base));
        requirement.subject = Subject::Quantity(ratio);
        return Some(requirement);
    }
    if !scalar.words.is_empty() && (response_base.is_none() || of != response_base.map(Base::word)) {
        findings.push(
            Finding::error(value.place, format!("`{}` does not fit {owner}", scalar.words))
                .help("take these words out"),
        );
        return None;
    }
    if let Subject::Quantity(quantity) = &requirement.subject
        && scalar.is_volume_by_volume()
        && let Some(by_volume) = context.mixture.content_by_volume(quantity)
    {
        requirement.unit = scalar.unit.clone();
        requirement.wanted = Wanted::Value(scalar.unit.from_base(scalar.base));
        requirement.subject = Subject::Quantity(by_volume);
        return Some(requirement);
    }
    if scalar.unit.dimension != dimension {
        findings.push(other_dimension(&requirement, value, owner, (dimension, &shown), context));
        return None;
    }
    if scalar.unit.text.is_empty() && shown.text == "%" && 1.0 < scalar.base.abs() {
        let number = trimmed(scalar.base, 6);
        findings.push(
            Finding::error(
                value.place,
                format!("{owner} has no unit: `{number}` would be {} %", trimmed(100.0 * scalar.base, 6)),
            )
            .note("what it limits is a share")
            .help(format!("write `{number} %`")),
        );
        return None;
    }
    requirement.unit = if scalar.unit.text.is_empty()
        && !shown.text.is_empty()
        && scalar.unit.dimension == Dimension::NONE
        && scalar.base == 0.0
    {
        shown
    } else {
        scalar.unit.clone()
    };
    requirement.wanted = Wanted::Value(requirement.unit.from_base(scalar.base));
    Some(requirement)
}

/// The finding for a value of another dimension than its subject, or without a unit.
fn other_dimension(
    requirement: &Requirement,
    value: &Located<Scalar>,
    owner: &str,
    (dimension, shown): (Dimension, &Unit),
    context: &Context<'_>,
) -> Finding {
    let unit = &value.value.unit;
    let message = if unit.text.is_empty() {
        format!("{owner} has no unit; {dimension} is needed")
    } else {
        format!("{owner} is {} (`{}`); {dimension} is needed", unit.dimension, unit.text)
    };
    let by_volume = matches!(
        &requirement.subject,
        Subject::Quantity(quantity) if context.mixture.content_by_volume(quantity).is_some()
    );
    let meant = if by_volume { Meant::LiquidContent } else { Meant::Anything };
    let units = accepted(Expected::meaning(&[dimension], meant));
    let finding = Finding::error(value.place, message).note(format!("allowed units: {units}"));
    if unit.text.is_empty() && !shown.text.is_empty() {
        finding.help(format!("write the unit behind the number, such as `{}`", shown.text))
    } else {
        finding
    }
}

fn against_other(
    mut requirement: Requirement,
    times: f64,
    right: Subject,
    owner: &str,
    context: &Context<'_>,
    findings: &mut Findings,
) -> Option<Requirement> {
    // A mass compared with a response that is a dose: both become doses.
    if let (Subject::Quantity(quantity), Subject::Response(index)) = (&requirement.subject, &right)
        && let Some(base) = context.responses[*index].base
        && let Some(ratio) = dosed(quantity, base, context.responses[*index].unit.dimension, context.mixture)
    {
        requirement.subject = Subject::Quantity(ratio);
    }
    let dimension = |subject: &Subject| match subject {
        Subject::Quantity(quantity) => quantity.dimension,
        Subject::Response(index) => context.responses[*index].unit.dimension,
    };
    let (left_dimension, right_dimension) = (dimension(&requirement.subject), dimension(&right));
    if left_dimension != right_dimension {
        findings.push(
            Finding::error(
                requirement.place,
                format!("{owner} compares {left_dimension} with {right_dimension}"),
            )
            .help("compare two quantities of the same dimension"),
        );
        return None;
    }
    requirement.unit = match (&requirement.subject, &right) {
        (_, Subject::Response(index)) | (Subject::Response(index), _) => {
            let response = &context.responses[*index];
            response.base.map_or_else(|| response.unit.clone(), |base| response.unit.of(base.word()))
        }
        (Subject::Quantity(quantity), _) => quantity.unit.clone(),
    };
    requirement.wanted = match right {
        Subject::Quantity(quantity) => Wanted::Quantity(times, quantity),
        Subject::Response(index) => Wanted::Response(times, index),
    };
    Some(requirement)
}
