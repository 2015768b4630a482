//! One statement of several: what is told of it in a line, and what changed since an earlier run.
//!
//! What enters: a [`Report`], or what was wrong with the statement.

use crate::answer::cautions::cautioned;
use schemars::JsonSchema;
use serde::Serialize;

use super::cells::{cell, number};
use super::earlier::{Previous, Since};
use super::json::written;
use crate::answer::report::{Report, Standing};

/// One statement of several.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct SummaryLine {
    /// The file.
    pub file: String,
    /// What it came to, in words.
    pub state: String,
    /// The goal in words.
    pub goal: Option<String>,
    /// Its value in `unit`.
    pub value: Option<f64>,
    /// The goal's unit.
    pub unit: Option<String>,
    /// Relative gap between the goal and its proven bound.
    pub gap: Option<f64>,
    /// Its change since an earlier run, in `unit`.
    pub change: Option<f64>,
    /// Names of the limits that the mix stands at.
    pub stands_at: Vec<String>,
    /// The file that holds the whole report.
    pub report: Option<String>,
}

impl SummaryLine {
    /// The line of a solved statement; figures only where the mix is a proposal.
    pub fn solved(file: String, report: &Report) -> Self {
        let proposal = report.state.is_proposal();
        Self {
            file,
            state: report.state.words().to_owned(),
            goal: Some(report.goal.clone()),
            value: report.goal_value.filter(|_| proposal),
            unit: Some(report.goal_unit.text.clone()),
            gap: report.certainty.and_then(|certainty| certainty.gap).filter(|_| proposal),
            change: None,
            stands_at: (report.limits.iter())
                .filter(|line| proposal && line.standing == Standing::Binding)
                .map(|line| line.name.clone())
                .collect(),
            report: None,
        }
    }

    /// The line of a statement that was not solved.
    pub fn not_solved(file: String, state: &str) -> Self {
        Self {
            file,
            state: state.to_owned(),
            goal: None,
            value: None,
            unit: None,
            gap: None,
            change: None,
            stands_at: Vec::new(),
            report: None,
        }
    }

    /// The same with its change since an earlier run; what cannot be compared has none.
    #[must_use]
    pub fn since(mut self, previous: &Previous) -> Self {
        if let (Some(goal), Some(unit), Some(value)) = (&self.goal, &self.unit, self.value)
            && let Since::Value(then) = previous.since(&self.file, goal, unit)
        {
            self.change = Some(value - then);
        }
        self
    }
}

/// Names of the columns, in order.
const HEADER: [&str; 9] = ["file", "state", "goal", "value", "unit", "gap", "change", "stands at", "report"];

/// The lines as JSON: what [`Previous`] reads.
pub fn json(lines: &[SummaryLine]) -> String {
    written(&cautioned(lines))
}

/// The lines as comma-separated values: what [`Previous`] reads.
pub fn csv(lines: &[SummaryLine]) -> String {
    let mut text = HEADER.join(",") + "\r\n";
    for line in lines {
        let plain = |text: &Option<String>| text.as_deref().map_or_else(String::new, cell);
        let cells = [
            cell(&line.file),
            cell(&line.state),
            plain(&line.goal),
            number(line.value),
            plain(&line.unit),
            number(line.gap),
            number(line.change),
            cell(&line.stands_at.join("; ")),
            plain(&line.report),
        ];
        text.push_str(&cells.join(","));
        text.push_str("\r\n");
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_summary_wrote_is_read_back_from_json_and_csv() {
        let line = SummaryLine {
            file: "mixes/a, \"b\".yaml".to_owned(),
            state: "optimal".to_owned(),
            goal: Some("least cost".to_owned()),
            value: Some(57.900_000_000_000_01),
            unit: Some("EUR/m3".to_owned()),
            gap: Some(0.0),
            change: None,
            stands_at: vec!["binder; total".to_owned()],
            report: None,
        };
        for format in [json, csv] {
            let lines = [line.clone(), SummaryLine::not_solved("wrong.yaml".to_owned(), "wrong")];
            let previous = Previous::read(&format(&lines)).unwrap();
            let since = |unit| previous.since("mixes/a, \"b\".yaml", "least cost", unit);
            assert_eq!(since("EUR/m3"), Since::Value(57.900_000_000_000_01));
            assert_eq!(since("USD/m3"), Since::Unlike);
            assert_eq!(previous.since("wrong.yaml", "least cost", "EUR/m3"), Since::New);
            assert_eq!(previous.files().count(), 2);
        }
        for text in ["", "[]", "[{}]", "file,goal\na,b\n", "file,goal,value,unit\na,least cost,few,EUR/m3\n"]
        {
            assert!(Previous::read(text).is_err(), "{text}");
        }
    }
}
