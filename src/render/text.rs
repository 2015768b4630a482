//! The report for a terminal: tables within 100 columns, no colours, no drawing beyond rules.

mod curing;
pub(super) mod limits;
mod reasons;
mod restraint;

use std::fmt::Write;

use comfy_table::{CellAlignment, ContentArrangement, ContentLineStyle, LineStyle, Table, TableStyle};

use crate::answer::headline::outcome;
use crate::answer::liquids::in_words;
use crate::answer::report::{AmountLine, Report, State};
use crate::finding::{clean, listed};
use crate::quantity::{Unit, significant, trimmed};
use restraint::cracking;

/// One rule under the header, columns set apart by spaces.
const STYLE: TableStyle = TableStyle::new()
    .header_lines(ContentLineStyle::none().junction(' '))
    .header_separator(LineStyle::none().fill('-').junction(' '))
    .content_lines(ContentLineStyle::none().junction(' '));

/// Widest line.
const WIDTH: u16 = 100;

/// Writes the report.
pub fn render(report: &Report) -> String {
    let mut text = String::new();
    for line in [&report.title, &report.note].into_iter().flatten() {
        let _ = writeln!(text, "{}", wrapped(&clean(line), 0));
    }
    text.push('\n');
    headline(&mut text, report);
    if report.state == State::Failed {
        return text;
    }
    reasons::conflict(&mut text, report);
    amounts(&mut text, report);
    totals(&mut text, report);
    curing::curing(&mut text, report);
    limits::limits(&mut text, report);
    reasons::prices(&mut text, report);
    responses(&mut text, report);
    measured(&mut text, report);
    text.push_str("\nCAUTIONS\n");
    for caution in &report.cautions {
        let _ = writeln!(text, "- {}", wrapped(caution, 2));
    }
    text
}

fn amounts(text: &mut String, report: &Report) {
    let content = report.units.content();
    let volume = report.units.volume();
    let cost = report.units.cost(&report.currency);
    let carbon = report.units.carbon();
    let heading = match report.state {
        State::Given => "MIX AS GIVEN",
        state if state.is_proposal() => "MIX",
        _ => "NEAREST MIX, NOT A PROPOSAL",
    };
    let _ = writeln!(text, "\n{heading} for 1 {} of concrete", report.units.body());
    let with_delivered = report.amounts.iter().any(|line| line.delivered.is_some());
    let with_carbon = report.amounts.iter().all(|line| line.carbon.is_some());
    let mut header = vec![
        "material".to_owned(),
        "state".to_owned(),
        format!("amount\n{}", content.text),
        format!("dry\n{}", content.text),
    ];
    if with_delivered {
        header.push(format!("to weigh as\ndelivered {}", content.text));
    }
    header.extend([format!("volume\n{}", volume.text), format!("cost\n{}", cost.text)]);
    if with_carbon {
        header.push(format!("carbon\n{}", carbon.text));
    }
    let columns = header.len();
    let mut table = table(header);
    let number = |unit: &Unit, value: Option<f64>| {
        value.map_or_else(String::new, |value| amount(unit.from_base(value)))
    };
    for line in &report.amounts {
        let mut row = vec![
            clean(&line.material),
            line.state.to_owned(),
            number(&content, Some(line.amount)),
            number(&content, line.dry),
        ];
        if with_delivered {
            row.push(number(&content, line.delivered));
        }
        row.extend([number(&volume, Some(line.volume)), money(cost.from_base(line.cost))]);
        if with_carbon {
            row.push(number(&carbon, line.carbon));
        }
        table.add_row(row);
    }
    let mut air = vec!["air".to_owned(), String::new(), String::new(), String::new()];
    if with_delivered {
        air.push(String::new());
    }
    air.extend([number(&volume, Some(report.air)), String::new()]);
    air.resize(columns, String::new());
    table.add_row(air);
    let sum = |part: fn(&AmountLine) -> f64| report.amounts.iter().map(part).sum::<f64>();
    let mut total = vec![
        "total".to_owned(),
        String::new(),
        number(&content, Some(sum(|line| line.amount))),
        String::new(),
    ];
    if with_delivered {
        let weighed: Option<f64> = report.amounts.iter().map(|line| line.delivered).sum();
        total.push(number(&content, weighed));
    }
    total.extend([
        number(&volume, Some(sum(|line| line.volume) + report.air)),
        money(cost.from_base(sum(|line| line.cost))),
    ]);
    if with_carbon {
        total.push(number(&carbon, Some(sum(|line| line.carbon.unwrap_or(0.0)))));
    }
    table.add_row(total);
    align_numbers(&mut table, 2, columns);
    push_table(text, &table);
    let liquids = in_words(report, clean);
    if !liquids.is_empty() {
        let _ = writeln!(text, "{}", wrapped(&liquids, 2));
    }
    if !with_carbon {
        text.push_str("Carbon is not added up: not every material declares it.\n");
    }
    if !report.unused.is_empty() {
        let names: Vec<String> = report.unused.iter().map(|name| clean(name)).collect();
        let _ = writeln!(text, "{}", wrapped(&format!("Not used: {}.", names.join(", ")), 2));
    }
}

fn totals(text: &mut String, report: &Report) {
    text.push_str("\nTOTALS\n");
    let cells: Vec<String> = report
        .totals
        .iter()
        .map(|total| {
            let value = total
                .value
                .map_or_else(|| "none".to_owned(), |value| total.unit.with_number(&significant(value, 4)));
            format!("{}: {value}", total.label)
        })
        .collect();
    let width = cells.iter().map(String::len).max().unwrap_or(0) + 2;
    let per_line = (usize::from(WIDTH) / width.max(1)).max(1);
    for line in cells.chunks(per_line) {
        let padded = line.iter().fold(String::new(), |text, cell| text + &format!("{cell:width$}"));
        let _ = writeln!(text, "{}", padded.trim_end());
    }
}

fn measured(text: &mut String, report: &Report) {
    if report.measured.is_empty() {
        return;
    }
    text.push_str("\nMEASURED beside predicted\n");
    let with_judgement = report.measured.iter().any(|line| !line.judged().is_empty());
    let mut header = ["", "measured", "predicted", "difference"].map(str::to_owned).to_vec();
    header.extend(with_judgement.then(String::new));
    let mut table = table(header);
    for line in &report.measured {
        let with_unit = |value: f64| line.unit.with_number(&figure(value));
        let (predicted, difference) = match line.predicted {
            None => ("none".to_owned(), String::new()),
            Some(predicted) => (with_unit(predicted), significant(line.value - predicted, 3)),
        };
        let mut row = vec![clean(&line.name), with_unit(line.value), predicted, difference];
        row.extend(with_judgement.then(|| line.judged()));
        table.add_row(row);
    }
    align_numbers(&mut table, 1, 4);
    push_table(text, &table);
}

fn responses(text: &mut String, report: &Report) {
    if report.responses.is_empty() {
        return;
    }
    text.push_str("\nRESPONSES\n");
    for response in &report.responses {
        let mut line = format!("{}: {}", clean(&response.name), response.value_text(figure));
        if let Some((below, above)) = response.deviation {
            let _ = if (below - above).abs() <= 0.02 * above.abs() {
                write!(line, ", standard deviation of one result {}", significant(above, 2))
            } else {
                write!(line, ", one standard deviation -{} +{}", significant(below, 2), significant(above, 2))
            };
        }
        if let Some(leverage) = response.leverage {
            let _ = write!(line, ", leverage {}", significant(leverage, 2));
        }
        if let Some(law) = response.law {
            let _ = write!(line, ", by the law {law}");
        }
        if let Some(strength) = &response.strength {
            let _ = write!(line, " ({})", clean(strength));
        }
        let _ = writeln!(text, "{}", wrapped(&line, 2));
        let factors: Vec<String> = response
            .factors
            .iter()
            .map(|factor| {
                let width = factor.region.1 - factor.region.0;
                let beyond = factor.value < factor.region.0 - 1e-6 * width
                    || factor.region.1 + 1e-6 * width < factor.value;
                let edge = match (beyond, factor.at_edge) {
                    (true, _) => ", OUTSIDE",
                    (false, true) => ", AT ITS EDGE",
                    (false, false) => "",
                };
                format!(
                    "{} {} (known {} .. {}{edge})",
                    clean(&factor.name),
                    factor.unit.with_number(&significant(factor.value, 3)),
                    trimmed(factor.region.0, 4),
                    trimmed(factor.region.1, 4)
                )
            })
            .collect();
        if !factors.is_empty() {
            let _ = writeln!(text, "    {}", wrapped(&factors.join("; "), 4));
        }
        if !response.unheeded.is_empty() {
            let line = format!("takes no account of {}", listed(&response.unheeded));
            let _ = writeln!(text, "    {}", wrapped(&clean(&line), 4));
        }
        if let Some(line) = &response.cracking {
            cracking(text, line);
        }
    }
}

pub(super) fn table(header: Vec<String>) -> Table {
    let mut table = Table::new();
    table
        .load_style(STYLE)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(WIDTH)
        .set_header(header);
    table
}

pub(super) fn align_numbers(table: &mut Table, from: usize, to: usize) {
    for index in from..to {
        if let Some(column) = table.column_mut(index) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
}

pub(super) fn push_table(text: &mut String, table: &Table) {
    for line in table.to_string().lines() {
        let _ = writeln!(text, "{}", line.trim_end());
    }
}

pub(super) fn figure(value: f64) -> String {
    significant(value, 4)
}

/// Above this, figures are written with a power of ten: no column holds them otherwise.
const HUGE: f64 = 1e7;

pub(super) fn amount(value: f64) -> String {
    if HUGE <= value.abs() {
        return trimmed(value, 4);
    }
    let decimals = if value.abs() >= 100.0 {
        1
    } else if value.abs() >= 1.0 {
        2
    } else {
        3
    };
    format!("{value:.decimals$}")
}

pub(super) fn money(value: f64) -> String {
    if HUGE <= value.abs() { trimmed(value, 4) } else { format!("{value:.2}") }
}

/// Breaks text at spaces so that no line is wider than the page; later lines are indented.
pub fn wrapped(text: &str, indent: usize) -> String {
    let mut lines: Vec<String> = vec![String::new()];
    for word in text.split_whitespace() {
        let width = lines.last().map_or(0, |line| line.chars().count());
        if width > 0 && usize::from(WIDTH) - indent < width + 1 + word.chars().count() {
            lines.push(String::new());
        }
        let line = lines.last_mut().expect("there is always a line");
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    lines.join(&format!("\n{}", " ".repeat(indent)))
}

/// What the solve came to, in a few lines.
pub fn headline(text: &mut String, report: &Report) {
    let mut lines = String::new();
    outcome(&mut lines, report);
    for line in lines.lines() {
        let _ = writeln!(text, "{}", wrapped(line, 0));
    }
}
