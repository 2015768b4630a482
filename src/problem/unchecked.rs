//! What the classes of a statement demand and no limit stands for.
//!
//! What enters: the class, what it demands, and why nothing checks it. What leaves: the demand in words, for findings and
//! for every form of a report. It is no requirement: no mix is judged by it.

use crate::finding::{Finding, Findings, Place};
use crate::quantity::{Unit, as_written, tidied, trimmed};
use crate::standard::Side;
use crate::statement::Word;

/// A demand of a class that nothing checks.
#[derive(Clone, Debug)]
pub struct Unchecked {
    /// The class that demands it.
    pub class: String,
    /// What it is about.
    pub figure: String,
    /// Sides with their values in a unit, one or both; empty where the author has to say the value.
    pub wanted: Vec<(Side, f64, Unit)>,
    /// What a dose goes by, such as `of binder`; empty for other figures.
    pub of: String,
    /// The demand in words where sides and values do not say it, such as `at least C35/45`.
    pub said: Option<String>,
    /// Why it is not checked.
    pub why: String,
    /// Where the class stands.
    pub place: Place,
}

impl Unchecked {
    /// What a requirement of it would be called.
    pub fn name(&self) -> String {
        format!("{}: {}", self.class, self.figure)
    }

    /// The demand in words, such as `660 .. 750 mm`, each unit shown as another one.
    pub fn demand(&self, shown: impl Fn(&Unit) -> Unit) -> String {
        if let Some(said) = &self.said {
            return said.clone();
        }
        let value = |(_, value, unit): &(Side, f64, Unit)| {
            let other = shown(unit);
            if other.factor == unit.factor {
                return (trimmed(*value, 5), other);
            }
            (as_written(tidied(other.from_base(unit.to_base(*value)))), other)
        };
        let figure = match self.wanted.as_slice() {
            [] => String::new(),
            [one] => {
                let (number, unit) = value(one);
                format!("{} {}", one.0.words(), unit.with_number(&number))
            }
            [one, other, ..] => {
                let (low, high) = if one.0 == Side::AtLeast { (one, other) } else { (other, one) };
                let (high, unit) = value(high);
                unit.with_number(&format!("{} .. {high}", value(low).0))
            }
        };
        format!("{figure} {}", self.of).trim_end().to_owned()
    }

    fn own_words(&self) -> String {
        format!("{} {}", self.figure, self.demand(Unit::clone))
    }

    /// The remark that its author is told.
    pub fn finding(&self) -> Finding {
        Finding::warning(self.place, format!("class `{}` asks for {}", self.class, self.own_words()))
            .note(format!("{}: this is not checked", self.why))
    }

    /// Whether this is the other side of the same window.
    fn completes(&self, other: &Self) -> bool {
        self.class == other.class
            && self.figure == other.figure
            && self.of == other.of
            && self.said.is_none()
            && other.said.is_none()
            && matches!((self.wanted.as_slice(), other.wanted.as_slice()), ([one], [two]) if one.0 != two.0)
    }
}

/// Both sides of a window as one demand.
pub fn joined(list: Vec<Unchecked>) -> Vec<Unchecked> {
    let mut kept: Vec<Unchecked> = Vec::new();
    for one in list {
        match kept.iter_mut().find(|other| one.completes(other)) {
            Some(other) => other.wanted.extend(one.wanted),
            None => kept.push(one),
        }
    }
    kept
}

/// Tells the author what is not checked: each demand, or the class as a whole where none of its demands is. `counts` are
/// the classes with how many rules they have.
pub fn tell(counts: &[(Word, usize)], list: &[Unchecked], findings: &mut Findings) {
    for (class, count) in counts {
        let open: Vec<&Unchecked> =
            list.iter().filter(|demand| demand.class == class.value && !demand.wanted.is_empty()).collect();
        if *count == 0 || open.iter().map(|demand| demand.wanted.len()).sum::<usize>() < *count {
            for demand in open {
                findings.push(demand.finding());
            }
            continue;
        }
        let asked: Vec<String> = open.iter().map(|demand| demand.own_words()).collect();
        findings.push(
            Finding::warning(
                class.place,
                format!("nothing that class `{}` asks for is checked", class.value),
            )
            .note(format!("it asks for {}; the statement holds none of it", asked.join(", and for ")))
            .help("add a response, a quantity or declared `contents` of that name, or take the class out"),
        );
    }
}
