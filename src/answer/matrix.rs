//! Several mixes of one problem against its limits: which they meet, by how much, and what nothing can judge.
//!
//! What enters: reports of mixes of one problem. What leaves: figures as programs read them, and tables of them. A limit is
//! not judged where its figure has no value, where the response it is about is asked outside the range that it is known for,
//! or where nothing in the statement answers it.

use schemars::JsonSchema;
use serde::Serialize;

use super::block::{Cell, Column, Part, RowKind, Spot, Table};
use super::parts::compared::remark;
use super::phrase::{Digits, Figure, Phrase};
use super::report::{Audience, FactorLine, LimitLine, Report, Standing};
use crate::problem::{FULL, Origin};

/// What is said of one limit and one mix.
#[derive(Clone, Copy, Debug, PartialEq, Eq, JsonSchema, Serialize)]
pub enum Judged {
    /// The mix meets it.
    #[serde(rename = "pass")]
    Pass,
    /// The mix does not meet it.
    #[serde(rename = "fail")]
    Fail,
    /// Nothing can be said.
    #[serde(rename = "not judged")]
    NotJudged,
}

/// Mixes against limits.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct Matrix {
    /// The mixes.
    pub mixes: Vec<MixRow>,
    /// The limits, each with what is said of every mix, in the order of the mixes.
    pub limits: Vec<LimitRow>,
}

/// One mix in short.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct MixRow {
    /// Its name.
    pub mix: String,
    /// The goal's name.
    pub goal: String,
    /// The goal's value in `unit`, if there is one.
    pub value: Option<f64>,
    /// The goal's unit.
    pub unit: String,
    /// How many limits, bounds and choices it meets.
    pub passes: usize,
    /// Names of what it does not meet.
    pub fails: Vec<String>,
    /// How many limits nothing can judge.
    pub not_judged: usize,
    /// What its amounts fill, in the reader's volume of concrete; absent for a mix that was sought.
    pub fills: Option<f64>,
    #[serde(skip)]
    remark: Phrase,
}

/// One limit, bound or choice.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct LimitRow {
    /// The file it stands in, if that is an included one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// Line in the statement; absent for choices.
    pub line: Option<usize>,
    /// Its name.
    pub limit: String,
    /// What is asked, in words.
    pub side: String,
    /// What is asked, in `unit`; absent where it is no plain number.
    pub wanted: Option<f64>,
    /// Its unit.
    pub unit: String,
    /// What is said of each mix.
    pub results: Vec<Entry>,
}

/// What is said of one limit and one mix, figures in the limit's unit.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub struct Entry {
    /// Whether the mix meets it.
    pub judged: Judged,
    /// What the mix gives.
    pub got: Option<f64>,
    /// What is left of the limit, its margin taken off; below zero where it is not met.
    pub slack: Option<f64>,
    /// Why nothing can be said.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<&'static str>,
}

impl Entry {
    fn of(report: &Report, line: &LimitLine) -> Self {
        let got = line.measured.map(|measured| measured.got).filter(|got| got.is_finite());
        let slack = line.measured.map(|measured| measured.slack).filter(|slack| slack.is_finite());
        let response =
            line.response.as_ref().and_then(|name| report.responses.iter().find(|one| one.name == *name));
        let outside = response.is_some_and(|response| response.factors.iter().any(FactorLine::is_beyond));
        let (judged, why) = match line.standing {
            Standing::Empty => (Judged::NotJudged, Some("it has no value")),
            _ if outside => (Judged::NotJudged, Some("its response is asked outside what it is known for")),
            Standing::Violated => (Judged::Fail, None),
            Standing::Met | Standing::Binding => (Judged::Pass, None),
        };
        Self { judged, got, slack, why }
    }

    fn plain(judged: Judged, why: Option<&'static str>) -> Self {
        Self { judged, got: None, slack: None, why }
    }

    fn told(&self) -> Phrase {
        let word = match self.judged {
            Judged::Pass => "pass",
            Judged::Fail => "FAIL",
            Judged::NotJudged => return "not judged".into(),
        };
        match self.slack {
            Some(slack) => Phrase::from(format!("{word}\u{a0}("))
                .and(Figure::new(slack, Digits::Significant(3)).signed())
                .and(")"),
            None => word.into(),
        }
    }
}

/// Mixes of one problem against its limits, against bounds and choices that one of them misses, and against what nothing
/// checks.
pub fn matrix(mixes: &[(String, Report)]) -> Matrix {
    let limits = rows(mixes);
    let mix = |(at, (name, report)): (usize, &(String, Report))| {
        let of = |judged: Judged| limits.iter().filter(move |row| row.results[at].judged == judged);
        let mut fails: Vec<String> = Vec::new();
        for row in of(Judged::Fail) {
            if !fails.contains(&row.limit) {
                fails.push(row.limit.clone());
            }
        }
        MixRow {
            mix: name.clone(),
            goal: report.goal_name.clone(),
            value: report.goal_value,
            unit: report.goal_unit.text.clone(),
            passes: of(Judged::Pass).count(),
            fails,
            not_judged: of(Judged::NotJudged).count(),
            fills: report.fills,
            remark: remark(report).unwrap_or_default(),
        }
    };
    let mixes = mixes.iter().enumerate().map(mix).collect();
    Matrix { mixes, limits }
}

fn rows(mixes: &[(String, Report)]) -> Vec<LimitRow> {
    let Some((_, first)) = mixes.first() else { return Vec::new() };
    let mut rows = Vec::new();
    // All reports are of one problem: their lines stand in one order.
    for (at, line) in first.limits.iter().enumerate() {
        let lines: Vec<(&Report, &LimitLine)> =
            mixes.iter().filter_map(|(_, report)| Some((report, report.limits.get(at)?))).collect();
        let missed = lines.iter().any(|(_, line)| line.standing == Standing::Violated);
        if line.origin != Origin::Limit && !(missed && matches!(line.origin, Origin::Material(_))) {
            continue;
        }
        let side = match &line.against {
            Some(name) => format!("{} {name}", line.side.words()),
            None => line.side.words().to_owned(),
        };
        rows.push(LimitRow {
            file: line.file.clone(),
            line: (first.audience == Audience::Author).then_some(line.line),
            limit: line.name.clone(),
            side,
            wanted: line.measured.map(|measured| measured.wanted).filter(|_| line.against.is_none()),
            unit: line.unit.text.clone(),
            results: lines.iter().map(|(report, line)| Entry::of(report, line)).collect(),
        });
    }
    let mut choices: Vec<&str> = Vec::new();
    for choice in mixes.iter().flat_map(|(_, report)| &report.broken_choices) {
        if !choices.contains(&choice.name.as_str()) {
            choices.push(&choice.name);
        }
    }
    let row = |line: Option<usize>, name: &str, side: &str, results: Vec<Entry>| LimitRow {
        file: None,
        line,
        limit: name.to_owned(),
        side: side.to_owned(),
        wanted: None,
        unit: String::new(),
        results,
    };
    rows.extend(choices.into_iter().map(|name| {
        let judged = |report: &Report| {
            if report.broken_choices.iter().any(|broken| broken.name == name) {
                Judged::Fail
            } else {
                Judged::Pass
            }
        };
        let results = mixes.iter().map(|(_, report)| Entry::plain(judged(report), None)).collect();
        row(None, name, "choice", results)
    }));
    rows.extend(first.unchecked.iter().map(|demand| {
        let entry = Entry::plain(Judged::NotJudged, Some("nothing in the statement answers it"));
        row(
            (first.audience == Audience::Author).then_some(demand.line),
            &demand.name,
            &demand.demand,
            vec![entry; mixes.len()],
        )
    }));
    rows
}

/// Mixes in one table for people.
const MIXES: usize = 6;

/// The matrix for people: each mix in a line, then every limit against every mix.
pub fn parts(matrix: &Matrix, body: &str) -> Vec<Part> {
    let mut part = Part::new("Mixes", "in short").with(short(matrix, body));
    if matrix.mixes.iter().any(|mix| 0 < mix.not_judged) {
        part = part.saying(
            "Not judged: a figure without a value, a prediction outside what its response is known for, or a demand that \
             nothing in the statement answers.",
        );
    }
    let all: Vec<usize> = (0..matrix.mixes.len()).collect();
    let count = all.len().div_ceil(MIXES).max(1);
    let tables = all.chunks(all.len().div_ceil(count).max(1)).enumerate().map(|(number, some)| {
        let about = "with what is left of each limit, its margin taken off";
        let part = if number == 0 { Part::new("Mixes against limits,", about) } else { Part::default() };
        part.with(table(matrix, some))
    });
    std::iter::once(part).chain(tables).collect()
}

/// A line for each mix.
fn short(matrix: &Matrix, body: &str) -> Table {
    let (goal, unit) =
        matrix.mixes.first().map_or(("goal", ""), |mix| (mix.goal.as_str(), mix.unit.as_str()));
    let mut table = Table::new([
        Column::words("mix"),
        Column { unit: unit.to_owned(), ..Column::figures(goal) },
        Column::figures("meets"),
        Column::figures("fails"),
        Column::figures("not judged"),
        Column { unit: body.to_owned(), ..Column::figures("fills") },
        Column::words("remark"),
    ]);
    for mix in &matrix.mixes {
        let kind = if mix.fails.is_empty() { RowKind::Usual } else { RowKind::Missed };
        let fills = mix.fills.filter(|fills| FULL < (fills - 1.0).abs());
        table.row_of(
            kind,
            [
                Cell::from(&mix.mix),
                mix.value.map(|value| Figure::new(value, Digits::Significant(5))).into(),
                mix.passes.to_string().into(),
                mix.fails.len().to_string().into(),
                mix.not_judged.to_string().into(),
                fills.map(|fills| Figure::new(fills, Digits::Significant(4))).into(),
                mix.remark.clone().into(),
            ],
        );
    }
    table.without_empty_columns()
}

/// Every limit against some of the mixes.
fn table(matrix: &Matrix, some: &[usize]) -> Table {
    let columns = [Column::words("limit"), Column::figures("line"), Column::words("wanted")];
    let names = some.iter().map(|at| Column::words(&matrix.mixes[*at].mix));
    let mut table = Table::new(columns.into_iter().chain(names));
    for row in &matrix.limits {
        let wanted = row.wanted.map(|wanted| {
            Phrase::from(" ").and(Figure { unit: row.unit.clone(), ..Figure::new(wanted, Digits::Written) })
        });
        let line = row.line.map_or_else(Cell::empty, |line| Spot::cell(row.file.as_ref(), line));
        let cells = some.iter().map(|at| Cell::from(row.results[*at].told()));
        let first = [Cell::from(&row.limit), line, Phrase::from(&row.side).and(wanted).into()];
        table.row(first.into_iter().chain(cells));
    }
    table.without_empty_columns()
}

/// One line for each limit and mix, for spreadsheets.
pub fn tidy(matrix: &Matrix) -> Table {
    let mut table = Table::new([
        Column::words("mix"),
        Column::words("limit"),
        Column::figures("line"),
        Column::words("side"),
        Column::figures("wanted"),
        Column::words("unit"),
        Column::words("judged"),
        Column::figures("got"),
        Column::figures("slack"),
        Column::words("why"),
    ]);
    for (at, mix) in matrix.mixes.iter().enumerate() {
        for row in &matrix.limits {
            let entry = &row.results[at];
            let figure =
                |value: Option<f64>| Cell::from(value.map(|value| Figure::new(value, Digits::Written)));
            let word = match entry.judged {
                Judged::Pass => "pass",
                Judged::Fail => "fail",
                Judged::NotJudged => "not judged",
            };
            table.row([
                Cell::from(&mix.mix),
                (&row.limit).into(),
                row.line.map(|line| line.to_string()).into(),
                (&row.side).into(),
                figure(row.wanted),
                (&row.unit).into(),
                word.into(),
                figure(entry.got),
                figure(entry.slack),
                entry.why.into(),
            ]);
        }
    }
    table
}
