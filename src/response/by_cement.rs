//! The constants of a law by the class of its cement.
//!
//! What enters: the word that stands beside the inputs of a law. What leaves: the class in the law's own code, or a finding
//! that says which classes it knows. Which cement a statement's material is, nothing here looks at.

use super::law::Law;
use super::law::cement_class::{CementClass, cement_class, cement_classes};
use crate::finding::{Finding, Findings, listed};
use crate::statement::{CEMENT_CLASS, LawEntry, Word};

/// Whether an input is a constant that a class of cement stands for.
pub fn is_of_cement(law: Law, input: &str) -> bool {
    cement_classes(law).iter().any(|class| class.constant(input).is_some())
}

/// The code's own words of its classes.
pub fn listed_classes(law: Law) -> String {
    let words: Vec<&str> = cement_classes(law).iter().map(|class| class.words[0]).collect();
    listed(&words)
}

/// The class of cement that an entry names, if its law knows it and no constant of it is given beside it.
pub fn of_cement(
    word: &Word,
    entry: &LawEntry,
    law: Law,
    owner: &str,
    findings: &mut Findings,
) -> Option<&'static CementClass> {
    let name = law.card().name;
    let Some(class) = cement_class(law, &word.value) else {
        let finding = Finding::error(
            word.place,
            format!("law `{name}` of {owner} knows no cement class `{}`", word.value),
        );
        let all: Vec<&str> =
            cement_classes(law).iter().flat_map(|class| class.words.iter().copied()).collect();
        findings.push(if all.is_empty() {
            finding
                .note("none of its constants depends on the cement")
                .help(format!("take `{CEMENT_CLASS}` out"))
        } else {
            finding.known("cement classes", &word.value, all)
        });
        return None;
    };
    for given in entry.inputs.iter().filter(|given| class.constant(&given.name.value).is_some()) {
        findings.push(
            Finding::error(
                given.name.place,
                format!("`{}` of {owner} stands beside `{CEMENT_CLASS}: {}`", given.name.value, word.value),
            )
            .note("the class of cement says this constant")
            .help(format!("take one of the two out: `{}` or `{CEMENT_CLASS}`", given.name.value)),
        );
    }
    Some(class)
}
