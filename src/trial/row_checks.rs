//! What a row of a trial file says beside its amounts, held against them.
//!
//! What enters: batches as read. What leaves: remarks: a figure that the amounts do not give, a batch that is no repeat of its mix.

use super::joined::are_apart;
use super::row::Reader;
use crate::finding::{Finding, Place};
use crate::mixture::Quantity;
use crate::quantity::{Unit, trimmed};
use crate::statement::Word;

/// Share by which a written ratio may differ from the one its amounts give.
const CHECKED: f64 = 0.02;

impl Reader<'_> {
    /// Tells a batch that is no repeat of the mix it is called.
    pub(super) fn tell_apart(&mut self, group: usize, name: &str, values: &[f64], place: Place) {
        let Some(first) = self.trials.batches.iter().find(|known| known.mix == group) else { return };
        if !are_apart(&first.amounts, values) {
            return;
        }
        let mix = &self.trials.mixes[group];
        let mut finding = Finding::warning(
            place,
            format!("batch `{name}` is called mix `{mix}`, and is no repeat of `{}`", first.name),
        )
        .help("give it a mix of its own: repeats tell the scatter between batches, and these would tell too much");
        if let Some(difference) = self.difference(values, &first.amounts) {
            finding = finding.note(format!("the largest difference: {difference}"));
        }
        self.findings.push(finding);
    }

    /// The material whose amounts differ most, with both.
    pub(super) fn difference(&self, one: &[f64], other: &[f64]) -> Option<String> {
        let materials = self.known.mixture.catalogue.materials.iter().zip(one).zip(other);
        let far = |a: f64, b: f64| (a - b).abs() / a.abs().max(b.abs()).max(1.0);
        let ((material, a), b) = materials.max_by(|x, y| far(*x.0.1, *x.1).total_cmp(&far(*y.0.1, *y.1)))?;
        let unit = Unit::known("kg/m3");
        let shown = |value: f64| unit.with_number(&trimmed(value, 4));
        (0.0 < far(*a, *b)).then(|| format!("`{}`, {} against {}", material.name, shown(*a), shown(*b)))
    }

    /// Compares what was written with what the amounts give.
    pub(super) fn compare(&mut self, batch: usize, row: &[Word], checks: &[(usize, Quantity, f64)]) {
        for (at, quantity, written) in checks {
            let Some(got) = quantity.measure.at(&self.trials.batches[batch].amounts) else { continue };
            if CHECKED * got.abs().max(written.abs()) < (got - written).abs() {
                let shown = trimmed(quantity.unit.from_base(got), 4);
                let finding = Finding::warning(
                    row[*at].place,
                    format!("`{}` is {} here", quantity.label, row[*at].value),
                )
                .note(format!(
                    "from the amounts and the statement's materials it is {}; that is used",
                    quantity.unit.with_number(&shown)
                ));
                let batch = &self.trials.batches[batch].name;
                self.remarks.differs(batch, &quantity.label, row[*at].place, finding);
            }
        }
    }
}
