//! The results file of a sweep: a line that says what was swept, then a line for each case, as JSON.
//!
//! What enters: a study and its cases. What leaves: lines, and cases read back from lines exactly as they were. Parts of
//! a sweep that fit together have equal first lines but for the shard.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::finding::listed;
use crate::solve::Settings;
use crate::study::{Answer, CaseResult, Outcome, Study};

/// What was swept, and how.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SweepHeader {
    /// Version of this format.
    mixbound: u32,
    /// What the file holds.
    kind: String,
    /// Version of the program: figures of another one may differ.
    version: String,
    /// How many cases there are in all.
    pub cases: usize,
    /// What varies.
    axes: Vec<AxisOut>,
    /// The goal in words.
    goal: String,
    /// Its unit.
    unit: String,
    /// Figures told of each mix.
    figures: Vec<FigureOut>,
    /// How it was solved.
    settings: SettingsOut,
    /// A fingerprint of what stands under each key of the statement.
    statement: BTreeMap<String, String>,
    /// Which of how many shards this is, if it is one.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub shard: Option<(usize, usize)>,
}

#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize, Deserialize)]
struct AxisOut {
    /// Its name.
    name: String,
    /// Its values in words.
    values: Vec<String>,
    /// For scenarios: what they say.
    fingerprint: String,
}

#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize, Deserialize)]
struct FigureOut {
    /// Its name.
    name: String,
    /// Its unit.
    unit: String,
}

#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize, Deserialize)]
struct SettingsOut {
    /// Whether there is a proof.
    proof: bool,
    /// Relative gap asked for.
    gap: Option<f64>,
    /// The most parts that a proof may have.
    parts: Option<usize>,
}

/// One line of a case.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CaseOut {
    /// Its number, from one.
    case: usize,
    /// Which value of each axis, from zero.
    at: Vec<usize>,
    /// What the solve came to.
    #[schemars(schema_with = "super::closed_words::states")]
    state: String,
    /// What the goal came to, in its unit.
    goal: Option<f64>,
    /// No mix has a better goal than this.
    bound: Option<f64>,
    /// Relative gap between the two.
    gap: Option<f64>,
    /// Materials with their amounts, kg in 1 m3.
    mix: Vec<(String, f64)>,
    /// Names of the limits that bind.
    binding: Vec<String>,
    /// The figures of the first line, in their units.
    figures: Vec<Option<f64>>,
    /// The mix as the program continues from it.
    columns: Vec<f64>,
    /// Parts of the proof that were looked at.
    parts: usize,
    /// Parts left open.
    open: usize,
    /// What is wrong with the case, where something is.
    told: String,
}

impl SweepHeader {
    /// The first line of a study's results.
    pub fn new(study: &Study, settings: &Settings, shard: Option<(usize, usize)>) -> Self {
        let limits = settings.proof;
        Self {
            mixbound: 1,
            kind: "sweep".to_owned(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            cases: study.count(),
            axes: study
                .axes
                .iter()
                .map(|axis| AxisOut {
                    name: axis.name.clone(),
                    values: axis.values.clone(),
                    fingerprint: fingerprint(&axis.said()),
                })
                .collect(),
            goal: study.base.goal.label(),
            unit: study.base.goal.unit.text.clone(),
            figures: study
                .figures
                .iter()
                .map(|figure| FigureOut { name: figure.name.clone(), unit: figure.unit.text.clone() })
                .collect(),
            settings: SettingsOut {
                proof: limits.is_some(),
                gap: limits.map(|limits| limits.gap),
                parts: limits.map(|limits| limits.nodes),
            },
            statement: study
                .document
                .sections()
                .into_iter()
                .map(|(key, text)| (key, fingerprint(&text)))
                .collect(),
            shard,
        }
    }

    /// Reads a first line.
    ///
    /// # Errors
    /// Why it is none.
    pub fn read(line: &str) -> Result<Self, String> {
        let header: Self = serde_json::from_str(line)
            .map_err(|_| "its first line does not say what was swept".to_owned())?;
        if header.mixbound != 1 || header.kind != "sweep" {
            return Err("it is not a results file of a sweep".to_owned());
        }
        Ok(header)
    }

    /// The line, with its end.
    pub fn line(&self) -> String {
        one_line(self)
    }

    /// What differs between two sweeps, in words; nothing if their results belong together. The shard does not matter.
    pub fn differences(&self, other: &Self) -> Vec<String> {
        let mut list = Vec::new();
        let keys: Vec<&str> = self
            .statement
            .keys()
            .chain(other.statement.keys().filter(|key| !self.statement.contains_key(*key)))
            .filter(|key| self.statement.get(*key) != other.statement.get(*key))
            .map(String::as_str)
            .collect();
        if !keys.is_empty() {
            list.push(format!("the statement differs under: {}", listed(&keys)));
        }
        if self.axes != other.axes {
            let names = |header: &Self| {
                let said = |axis: &AxisOut| format!("{} ({} values)", axis.name, axis.values.len());
                header.axes.iter().map(said).collect::<Vec<_>>().join(", ")
            };
            let (here, there) = (names(self), names(other));
            list.push(if here == there {
                format!("the values of what varies differ: {here}")
            } else {
                format!("what varies differs: {here}; in the file: {there}")
            });
        }
        if self.settings != other.settings {
            let said = |settings: &SettingsOut| match settings.gap {
                Some(gap) => format!("proof to {} %", crate::quantity::trimmed(100.0 * gap, 4)),
                None => "no proof".to_owned(),
            };
            list.push(format!(
                "the settings differ: {}; in the file: {}",
                said(&self.settings),
                said(&other.settings)
            ));
        }
        if self.version != other.version {
            list.push(format!("the program differs: {}; in the file: {}", self.version, other.version));
        }
        if list.is_empty()
            && (&self.goal, &self.unit, &self.figures) != (&other.goal, &other.unit, &other.figures)
        {
            list.push("the goal or the figures told differ".to_owned());
        }
        list
    }
}

/// One case as a line, with its end. Cases are counted from 1.
pub fn case_line(case: &CaseResult) -> String {
    let answer = &case.answer;
    one_line(&CaseOut {
        case: case.number + 1,
        at: case.at.clone(),
        state: answer.outcome.words().to_owned(),
        goal: answer.goal,
        bound: answer.bound,
        gap: answer.gap,
        mix: answer.mix.clone(),
        binding: answer.binding.clone(),
        figures: answer.figures.clone(),
        columns: answer.columns.clone(),
        parts: answer.nodes,
        open: answer.open,
        told: answer.told.clone(),
    })
}

/// Reads a case back.
///
/// # Errors
/// Why the line is no case.
pub fn read_case(line: &str) -> Result<CaseResult, String> {
    let read: CaseOut = serde_json::from_str(line).map_err(|error| format!("it is no case: {error}"))?;
    let outcome = Outcome::ALL
        .into_iter()
        .find(|outcome| outcome.words() == read.state)
        .ok_or_else(|| format!("its state is `{}`", crate::finding::clean(&read.state)))?;
    let number = read.case.checked_sub(1).ok_or("cases are counted from 1")?;
    Ok(CaseResult {
        number,
        at: read.at,
        answer: Answer {
            outcome,
            goal: read.goal,
            bound: read.bound,
            gap: read.gap,
            mix: read.mix,
            binding: read.binding,
            figures: read.figures,
            columns: read.columns,
            nodes: read.parts,
            open: read.open,
            told: read.told,
        },
    })
}

fn one_line<Value: Serialize>(value: &Value) -> String {
    let mut line = serde_json::to_string(value).expect("it holds only text and numbers");
    line.push('\n');
    line
}

/// A fingerprint of a text: FNV-1a with 64 bits. It tells changes, not forgeries.
fn fingerprint(text: &str) -> String {
    const OFFSET: u64 = 0xcbf2_9ce4_8422_2325;
    const PRIME: u64 = 0x0100_0000_01b3;
    let hash = text.bytes().fold(OFFSET, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(PRIME));
    format!("{hash:016x}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Test vectors of the FNV specification (G. Fowler, L. C. Noll, K.-P. Vo, D. Eastlake, RFC 9923; value from memory).
    #[test]
    fn the_fingerprint_is_fnv_1a() {
        assert_eq!(fingerprint(""), "cbf29ce484222325");
        assert_eq!(fingerprint("a"), "af63dc4c8601ec8c");
        assert_eq!(fingerprint("foobar"), "85944171f73967e8");
    }

    #[test]
    fn a_case_is_read_back_as_it_was() {
        let answer = Answer {
            outcome: Outcome::BestFound,
            goal: Some(0.1 + 0.2),
            bound: Some(1.0 / 3.0),
            gap: None,
            mix: vec![("say \"x\", \u{1f600}".to_owned(), 1e-17)],
            binding: vec!["a, b".to_owned()],
            figures: vec![None, Some(123_456_789.123_456_78)],
            columns: vec![f64::MIN_POSITIVE, 5e-324, 1.797e308],
            nodes: 3,
            open: 1,
            told: "two\nlines".to_owned(),
        };
        let case = CaseResult { number: 6, at: vec![1, 2], answer };
        let line = case_line(&case);
        assert_eq!(line.matches('\n').count(), 1);
        assert_eq!(read_case(line.trim_end()).unwrap(), case);
        assert!(read_case("{\"case\":0}").is_err());
    }
}
