//! Requirements as tables: limits, and the bounds and regions that bind or fail.

use std::fmt::Write;

use super::{align_numbers, figure, push_table, table, wrapped};
use crate::answer::report::{LimitLine, Report, Standing};
use crate::finding::clean;
use crate::problem::{Origin, Side};
use crate::quantity::{as_written, significant};

/// Writes the tables.
pub fn limits(text: &mut String, report: &Report) {
    for (heading, wanted) in [
        ("LIMITS", Shown::Limits),
        ("BOUNDS OF MATERIALS that bind or fail", Shown::Materials),
        (
            "REGIONS OF RESPONSES that bind or fail: make a trial there before trusting the prediction",
            Shown::Regions,
        ),
    ] {
        let lines: Vec<&LimitLine> = report.limits.iter().filter(|line| wanted.covers(line)).collect();
        if lines.is_empty() {
            continue;
        }
        let _ = writeln!(text, "\n{heading}");
        let mut table =
            table(["line", "limit", "wanted", "got", "margin", "slack", ""].map(str::to_owned).to_vec());
        for (_, row) in rows(&lines) {
            table.add_row(row);
        }
        align_numbers(&mut table, 0, 1);
        align_numbers(&mut table, 3, 6);
        push_table(text, &table);
        if let Shown::Limits = wanted {
            for basis in &report.bases {
                let _ = writeln!(text, "{}", wrapped(&clean(basis), 2));
            }
        }
    }
}

/// The rows of these lines, each with the line whose figures it shows: both ends of a range stand in one row.
pub fn rows<'r>(lines: &[&'r LimitLine]) -> Vec<(&'r LimitLine, Vec<String>)> {
    let mut list = Vec::new();
    let mut rest = lines;
    while let [line, after @ ..] = rest {
        rest = match after {
            [upper, beyond @ ..] if are_one_range(line, upper) => {
                list.push((nearer(line, upper), range_row(line, upper)));
                beyond
            }
            _ => {
                list.push((*line, limit_row(line)));
                after
            }
        };
    }
    list
}

/// Which requirements a table shows.
#[derive(Clone, Copy)]
pub enum Shown {
    /// The author's limits.
    Limits,
    /// Bounds of materials that bind or fail.
    Materials,
    /// Regions of responses that bind or fail.
    Regions,
}

impl Shown {
    /// Whether it shows this line.
    pub fn covers(self, line: &LimitLine) -> bool {
        let tight = matches!(line.standing, Standing::Binding | Standing::Violated);
        match (self, line.origin) {
            (Self::Limits, Origin::Limit) => true,
            (Self::Materials, Origin::Material(_))
            | (Self::Regions, Origin::Region { .. } | Origin::Leverage(_)) => tight,
            _ => false,
        }
    }
}

/// Whether two lines are the ends of one range: same name, place and figure, no margin.
fn are_one_range(lower: &LimitLine, upper: &LimitLine) -> bool {
    let plain = |line: &LimitLine| {
        line.against.is_none() && line.measured.is_some_and(|measured| measured.margin == 0.0)
    };
    plain(lower)
        && plain(upper)
        && (lower.side, upper.side) == (Side::AtLeast, Side::AtMost)
        && (lower.line, &lower.file, &lower.name, &lower.unit, lower.origin)
            == (upper.line, &upper.file, &upper.name, &upper.unit, upper.origin)
}

/// The end of a range that the mix is nearer to.
fn nearer<'r>(lower: &'r LimitLine, upper: &'r LimitLine) -> &'r LimitLine {
    let slack = |line: &LimitLine| line.measured.map_or(f64::INFINITY, |measured| measured.slack);
    if slack(upper) < slack(lower) { upper } else { lower }
}

/// Both ends of a range in one row; the figures are those of the end that is nearer.
fn range_row(lower: &LimitLine, upper: &LimitLine) -> Vec<String> {
    let (Some(low), Some(high)) = (lower.measured, upper.measured) else { return limit_row(lower) };
    let mut row = limit_row(nearer(lower, upper));
    row[2] = format!("{} .. {}", as_written(low.wanted), lower.unit.with_number(&as_written(high.wanted)));
    row
}

/// The line, behind the last part of the file's name if it is an included one.
fn line_number(line: &LimitLine) -> String {
    match &line.file {
        Some(file) => format!("{}:{}", clean(file.rsplit('/').next().unwrap_or(file)), line.line),
        None => line.line.to_string(),
    }
}

fn limit_row(line: &LimitLine) -> Vec<String> {
    let unit = if line.unit.text.is_empty() { String::new() } else { format!(" {}", line.unit.text) };
    let Some(measured) = line.measured else {
        return vec![
            line_number(line),
            clean(&line.name),
            line.side.words().to_owned(),
            String::new(),
            String::new(),
            String::new(),
            line.standing.words().to_owned(),
        ];
    };
    let wanted = match &line.against {
        Some(name) => format!("{} {} ({}{unit})", line.side.words(), clean(name), figure(measured.wanted)),
        None => format!("{} {}{unit}", line.side.words(), as_written(measured.wanted)),
    };
    let margin = if measured.margin == 0.0 { String::new() } else { significant(measured.margin, 3) };
    let slack =
        if line.standing == Standing::Binding { "0".to_owned() } else { significant(measured.slack, 3) };
    let name = match (&line.note, line.origin) {
        (Some(note), _) => format!("{} ({})", clean(&line.name), clean(note)),
        (None, Origin::Region { .. }) => clean(&line.name).replacen("region of ", "", 1),
        (None, _) => clean(&line.name),
    };
    // A mix at its limit shows the limit's own digits: 45.00 against 45, not 44.99999996.
    let got = if line.standing == Standing::Binding && line.against.is_none() && measured.margin == 0.0 {
        format!("{}{unit}", figure(measured.wanted))
    } else {
        line.got_text(figure)
    };
    vec![line_number(line), name, wanted, got, margin, slack, line.standing.words().to_owned()]
}
