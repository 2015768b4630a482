//! What a class needs beside its rules.
//!
//! What enters: a need, the class that has it, and what the author limits already. What leaves: findings, and demands that
//! nothing checks. Figures of classes, nothing here knows.

use super::context::Context;
use crate::finding::{Finding, Findings};
use crate::problem::requirement::{Requirement, Subject};
use crate::problem::unchecked::Unchecked;
use crate::standard::Side;
use crate::standard::classes::rule::Need;
use crate::statement::Word;

/// What a class needs beside its rules: told to its author, and a demand that nothing checks if it stays open.
pub fn needed(
    need: Need,
    class: &Word,
    context: &Context<'_>,
    requirements: &[Requirement],
    findings: &mut Findings,
) -> Option<Unchecked> {
    let demand = |figure: &str, demand: &str, why: &str| Unchecked {
        class: class.value.clone(),
        figure: figure.to_owned(),
        wanted: Vec::new(),
        of: String::new(),
        said: Some(demand.to_owned()),
        why: why.to_owned(),
        place: class.place,
    };
    match need {
        Need::Size => {
            if !is_limited("air", Side::AtLeast, context, requirements) {
                findings.push(
                    Finding::error(
                        class.place,
                        format!("class `{}` asks for air by the largest size of aggregate", class.value),
                    )
                    .note("its table has sizes from 9.5 mm (3/8 in) upwards")
                    .help("write `classes: {of: [...], largest aggregate: 3/4 in}`, or limit `air` yourself"),
                );
            }
            None
        }
        Need::Limit(figure) => {
            if is_limited(figure, Side::AtMost, context, requirements) {
                return None;
            }
            let why = "no figure holds for every mix (common practice, no source)";
            let told = demand(figure, "limited from above", why);
            findings.push(
                told.finding().help(format!("add a limit such as `{figure}: at most ...` from own trials")),
            );
            Some(told)
        }
        Need::Told(figure, what, why) => {
            let told = demand(figure, what, why);
            findings.push(told.finding());
            Some(told)
        }
    }
}

fn is_limited(name: &str, side: Side, context: &Context<'_>, requirements: &[Requirement]) -> bool {
    let Some(quantity) = context.quantities.named(name) else { return false };
    requirements.iter().any(|requirement| {
        requirement.side == side
            && matches!(&requirement.subject, Subject::Quantity(known) if known.measure == quantity.measure)
    })
}
