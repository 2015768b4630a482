//! Limits that an age at cracking cannot have.
//!
//! What enters: a requirement. What leaves: findings.

use super::context::Context;
use super::cracking::{asked, restrained};
use super::requirement::{Origin, Requirement, Subject, Wanted};
use crate::finding::{Finding, Findings};
use crate::quantity::trimmed;
use crate::standard::Side;

/// Refuses what cannot be asked of an age at cracking.
pub fn check_limit(requirement: &Requirement, owner: &str, context: &Context<'_>, findings: &mut Findings) {
    let about = match (&requirement.subject, &requirement.wanted) {
        (Subject::Response(index), _) | (_, Wanted::Response(_, index)) => *index,
        _ => return,
    };
    let Some(rule) = restrained(&context.responses[about]) else { return };
    let place = requirement.place;
    let fits = requirement.side == Side::AtLeast
        && requirement.origin == Origin::Limit
        && matches!(requirement.subject, Subject::Response(index) if index == about);
    let Some(age) = asked(requirement, rule).filter(|_| fits) else {
        findings.push(
            Finding::error(place, format!("{owner} does not ask for an age without cracks"))
                .note("an age at cracking may only be limited by `at least` so many days: a mix need not crack at all")
                .help("write `at least 28 d`"),
        );
        return;
    };
    let (first, last) = (rule.setting.onset, rule.setting.horizon);
    if age <= first || last < age {
        let since = rule.counted_since();
        findings.push(
            Finding::error(place, format!("{owner} asks for an age outside the days looked at"))
                .note(format!(
                    "allowed: above {} d, up to {} d, counted as the response counts",
                    trimmed(first - since, 6),
                    trimmed(last - since, 6)
                ))
                .help("set `horizon` of the response to a later day, or ask for fewer days"),
        );
    }
}
