//! From factor entries to factors: source resolved, unit settled, region and coding in that unit.

use super::response_kind::{Factor, Source};
use crate::finding::{Finding, Findings, Place};
use crate::listed::Id;
use crate::mixture::Quantities;
use crate::number::Interval;
use crate::quantity::{Dimension, Scalar, Unit, trimmed};
use crate::statement::{Bounds, FactorEntry, QuantityRef};

/// Builds one factor and its coding (centre and half range).
pub fn factor(
    entry: &FactorEntry,
    response: &str,
    names: &[&str],
    quantities: &Quantities<'_>,
    findings: &mut Findings,
) -> Option<(Factor, (f64, f64))> {
    let owner = format!("factor `{}` of {response}", entry.name.value);
    let reference = entry.is.clone().unwrap_or_else(|| QuantityRef::Phrase(entry.name.clone()));
    let (source, dimension) = source_of(&reference, &owner, names, quantities, findings)?;
    let region = entry.region.as_ref()?;
    let written = region.value.any().map(|scalar| scalar.unit.clone()).filter(|unit| !unit.text.is_empty());
    let unit = match (&entry.unit, dimension) {
        (Some(unit), _) => unit.value.clone(),
        (None, Some(Dimension::NONE)) => {
            if let (Some(written), None) = (written.filter(|unit| unit.factor != 1.0), &entry.coded) {
                findings.push(
                    Finding::warning(
                        region.place,
                        format!(
                            "the region of {owner} is in `{}`, its coefficients count the plain number",
                            written.text
                        ),
                    )
                    .note(format!("1 {} is {} to them", written.text, trimmed(written.factor, 6)))
                    .help(format!(
                        "add `unit: \"{}\"` if they count in it, or write the region as plain numbers",
                        written.text
                    )),
                );
            }
            Unit::number()
        }
        (None, Some(_) | None) if written.is_some() => written.unwrap_or_else(Unit::number),
        (None, Some(dimension)) => {
            findings.push(
                Finding::error(region.place, format!("{owner} is {dimension} and has no unit"))
                    .note(format!("allowed units: {}", crate::quantity::accepted(&[dimension])))
                    .help("add `unit:` so that the coefficients are read rightly"),
            );
            return None;
        }
        (None, None) => Unit::number(),
    };
    let (source, dimension) = match source {
        Source::Quantity(quantity) if unit.dimension == Dimension::VOLUME_BY_MASS => {
            match quantities.dose_by_volume(&quantity) {
                Some(by_volume) => (Source::Quantity(by_volume), Some(Dimension::VOLUME_BY_MASS)),
                None => (Source::Quantity(quantity), dimension),
            }
        }
        other => (other, dimension),
    };
    if dimension.is_some_and(|dimension| dimension != unit.dimension) {
        let place = entry.unit.as_ref().map_or(region.place, |unit| unit.place);
        let dimension = dimension.unwrap_or_default();
        findings.push(
            Finding::error(place, format!("{owner} is {dimension}, and its unit is `{}`", unit.text))
                .note(format!("allowed units: {}", crate::quantity::accepted(&[dimension]))),
        );
        return None;
    }
    let region_interval = interval(&region.value, region.place, "region", &owner, &unit, findings)?;
    let coding = match &entry.coded {
        Some(coded) => {
            let ends = interval(&coded.value, coded.place, "coding", &owner, &unit, findings)?;
            (ends.middle(), 0.5 * ends.width())
        }
        None => (0.0, 1.0),
    };
    let factor = Factor {
        name: entry.name.value.clone(),
        source,
        unit,
        region: region_interval,
        statistic: None,
        place: region.place,
    };
    Some((factor, coding))
}

/// What a reference stands for, with its dimension where that is known already: responses are built later.
pub fn source_of(
    reference: &QuantityRef,
    owner: &str,
    names: &[&str],
    quantities: &Quantities<'_>,
    findings: &mut Findings,
) -> Option<(Source, Option<Dimension>)> {
    let quantity = match reference {
        QuantityRef::Phrase(word) => {
            if let Some(index) = names.iter().position(|name| *name == word.value) {
                return Some((Source::Response(Id::at(index)), None));
            }
            match quantities.phrase(word) {
                Ok(quantity) => quantity,
                Err(unknown) => {
                    findings.push(quantities.unknown_among(&unknown, names, word, owner));
                    return None;
                }
            }
        }
        QuantityRef::Spec(_) => quantities.resolve(reference, owner, findings)?,
    };
    let dimension = quantity.dimension;
    Some((Source::Quantity(quantity), Some(dimension)))
}

/// Two ends in the factor's own unit: as they stand if they carry no unit, else converted.
pub fn interval(
    bounds: &Bounds,
    place: Place,
    what: &str,
    owner: &str,
    unit: &Unit,
    findings: &mut Findings,
) -> Option<Interval> {
    let (Some(low), Some(high)) = (&bounds.low, &bounds.high) else {
        findings.push(
            Finding::error(place, format!("the {what} of {owner} has only one end"))
                .help("write both ends: `0.32 .. 0.45`"),
        );
        return None;
    };
    if !high.unit.text.is_empty() && high.unit.dimension != unit.dimension {
        findings.push(
            Finding::error(
                place,
                format!("the {what} of {owner} is {}, the factor is {}", high.unit.dimension, unit.dimension),
            )
            .help(format!("give it in `{}`", unit.text)),
        );
        return None;
    }
    let in_unit =
        |scalar: &Scalar| if scalar.unit.text.is_empty() { scalar.base } else { unit.from_base(scalar.base) };
    let interval = Interval::new(in_unit(low), in_unit(high));
    if interval.width() <= 0.0 {
        findings.push(
            Finding::error(
                place,
                format!("the {what} of {owner} is the single value {}", trimmed(interval.low(), 6)),
            )
            .help("give a range, or take the factor out of the surface"),
        );
        return None;
    }
    Some(interval)
}
