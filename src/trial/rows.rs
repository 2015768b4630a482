//! From the text of a trial file to batches and outcomes.
//!
//! What enters: the file's text, and what its names may refer to. What leaves: [`Trials`], with every row or value that
//! is not used listed, and findings with row and column. A row is a specimen; rows of one batch and age are averaged
//! later. Identical rows count once unless the author confirms them. This file does not fit anything.

use sha2::{Digest, Sha256};

use super::batch::{Measured, Trials};
use super::header::{Column, Header, Known, header};
use super::header::{FIXED, FOR_OTHERS};
use super::remarks::Remarks;
use super::row::{Decimal, Reader};
use crate::finding::{Finding, Findings, Place, Sources, nearest};
use crate::statement::{Word, between, rows, with_point};

/// What rows that are alike in every cell are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Repeats {
    /// A slip of copying until the author says otherwise: they count once.
    CountOnce,
    /// Separate results that happen to agree.
    Confirmed,
}

/// Reads trials.
///
/// # Errors
/// All findings, if any of them forbids using the file.
pub fn read_trials(
    sources: &Sources,
    source: usize,
    known: Known<'_>,
    repeats: Repeats,
) -> Result<(Trials, Findings), Findings> {
    let text = sources.whole(source);
    let mut findings = Findings::default();
    let whole = Place { source, start: 0, end: text.len().min(1) };
    let mut lines = rows(text, source).into_iter();
    let Some(first) = lines.next() else {
        findings.push(
            Finding::error(whole, "the trial file is empty")
                .help("name the columns in the first line: `mix,batch,cement (kg/m3),...,strength (MPa)`"),
        );
        return Err(findings);
    };
    let columns = header(&first, known, &mut findings);
    check_columns(&columns, &first, whole, &mut findings);
    if findings.has_errors() {
        return Err(findings);
    }
    let point = if between(text) == ',' { Decimal::Point } else { Decimal::Comma };
    let lines: Vec<Vec<Word>> = lines.collect();
    tell_unread(&columns, &first, &lines, &mut findings);
    let sheet = Sheet { header: columns, names: first, rows: lines, point };
    taken(sources, source, known, repeats, &sheet, findings)
}

/// A table of trials whose columns are understood.
#[derive(Debug)]
pub struct Sheet {
    /// What the columns hold.
    pub header: Header,
    /// Their names.
    pub names: Vec<Word>,
    /// The rows, the first line not among them.
    pub rows: Vec<Vec<Word>>,
    /// Whether numbers may have a decimal comma.
    pub point: Decimal,
}

/// Takes the rows of a table.
///
/// # Errors
/// All findings, if any of them forbids using the file.
pub fn taken(
    sources: &Sources,
    source: usize,
    known: Known<'_>,
    repeats: Repeats,
    sheet: &Sheet,
    mut findings: Findings,
) -> Result<(Trials, Findings), Findings> {
    let text = sources.whole(source);
    let measured = sheet.header.measured.iter().map(|column| Measured {
        name: column.name.value.clone(),
        unit: column.unit.clone(),
        is_known: column.is_known,
    });
    let digest = Sha256::digest(text.as_bytes());
    let digest = digest.iter().fold("sha256:".to_owned(), |text, byte| format!("{text}{byte:02x}"));
    let mut reader = Reader {
        known,
        header: &sheet.header,
        names: &sheet.names,
        sources,
        point: sheet.point,
        trials: Trials { measured: measured.collect(), digest, ..Trials::default() },
        findings: &mut findings,
        remarks: Remarks::default(),
    };
    let mut seen: Vec<&[Word]> = Vec::new();
    for row in &sheet.rows {
        if row.len() != sheet.names.len() {
            reader.ragged(row);
        } else if let Some(twin) = seen.iter().find(|other| alike(other, row))
            && repeats == Repeats::CountOnce
        {
            reader.twin(twin, row);
        } else {
            reader.row(row);
            seen.push(row);
        }
    }
    let Reader { trials, remarks, .. } = reader;
    remarks.tell(&mut findings);
    if trials.outcomes.is_empty() && trials.rings.is_empty() && !findings.has_errors() {
        let whole = Place { source, start: 0, end: text.len().min(1) };
        findings.push(Finding::error(whole, "the trial file holds no result"));
    }
    if findings.has_errors() { Err(findings) } else { Ok((trials, findings)) }
}

/// Columns that nothing reads: figures without a unit, and names that are nearly one that is known.
fn tell_unread(columns: &Header, names: &[Word], lines: &[Vec<Word>], findings: &mut Findings) {
    for (at, name) in names.iter().enumerate() {
        if !matches!(columns.columns[at], Column::Other)
            || FOR_OTHERS.contains(&name.value.to_lowercase().as_str())
        {
            continue;
        }
        let mut cells =
            lines.iter().filter_map(|line| line.get(at)).filter(|word| !word.value.is_empty()).peekable();
        let are_figures =
            cells.peek().is_some() && cells.all(|word| with_point(&word.value).parse::<f64>().is_ok());
        let near = nearest(&name.value.to_lowercase(), FIXED.iter().copied());
        if !are_figures && near.is_none() {
            continue;
        }
        let mut finding = Finding::warning(name.place, format!("the column `{}` is not read", name.value));
        finding = match near {
            Some(near) => {
                finding.note("no column of this name is known").help(format!("did you mean `{near}`?"))
            }
            None => finding
                .note("it holds figures, and its name has no unit")
                .help("write the unit behind the name where it is a result, as in `mean strength (MPa)`"),
        };
        findings.push(finding);
    }
}

fn alike(one: &[Word], other: &[Word]) -> bool {
    one.iter().zip(other).all(|(a, b)| a.value == b.value)
}

fn check_columns(columns: &Header, first: &[Word], whole: Place, findings: &mut Findings) {
    let has_amounts =
        columns.columns.iter().any(|column| matches!(column, Column::Content(..) | Column::Weighed(..)));
    let per_volume = columns.columns.iter().position(|column| matches!(column, Column::Content(..)));
    let weighed = columns.columns.iter().position(|column| matches!(column, Column::Weighed(..)));
    if let (Some(content), Some(weighed)) = (per_volume, weighed) {
        findings.push(
            Finding::error(
                first[weighed].place,
                "some amounts are as weighed, others per volume of concrete",
            )
            .note(format!("`{}` and `{}`", first[content].value, first[weighed].value))
            .help("give all of them in one way"),
        );
    }
    if !has_amounts && !findings.has_errors() {
        findings.push(
            Finding::error(
                first.first().map_or(whole, |word| word.place),
                "no column holds the amount of a material",
            )
            .help("name the materials as the statement does, with a unit: `cement (kg/m3)`"),
        );
    }
    if columns.measured.is_empty() && !findings.has_errors() {
        findings.push(
            Finding::error(first.first().map_or(whole, |word| word.place), "no column holds a result")
                .help("name a response of the statement, or a new one with its unit: `strength (MPa)`"),
        );
    }
}
