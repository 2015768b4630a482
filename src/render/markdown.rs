//! The report as Markdown: the figures of the terminal report as tables for a page or an issue.
//!
//! Names of the author's are escaped, so that they can neither break a table nor become links, images or markup.

use std::fmt::Write;

use super::text::headline;
use crate::answer::liquids::in_words;
use crate::answer::report::{LimitLine, Report, State};
use crate::finding::clean;
use crate::quantity::{Unit, as_written, significant, trimmed};

/// Writes the report.
pub fn render(report: &Report) -> String {
    let mut text = String::new();
    let title = report.title.as_deref().unwrap_or("Mix");
    let _ = writeln!(text, "# {}\n", escaped(title));
    if let Some(note) = &report.note {
        let _ = writeln!(text, "{}\n", escaped(note));
    }
    let mut lines = String::new();
    headline(&mut lines, report);
    for line in lines.lines() {
        let _ = writeln!(text, "{}", escaped(line));
    }
    text.push('\n');
    if report.state == State::Failed {
        return text;
    }
    conflict(&mut text, report);
    amounts(&mut text, report);
    totals(&mut text, report);
    curing(&mut text, report);
    limits(&mut text, report);
    responses(&mut text, report);
    measured(&mut text, report);
    changes(&mut text, report);
    prices(&mut text, report);
    text.push_str("## Cautions\n\n");
    for basis in &report.bases {
        let _ = writeln!(text, "- {}", escaped(basis));
    }
    for caution in &report.cautions {
        let _ = writeln!(text, "- {}", escaped(caution));
    }
    text
}

/// A text that means nothing to a Markdown reader.
pub fn escaped(text: &str) -> String {
    let mut safe = String::new();
    for letter in clean(text).chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '\\' | '`' | '*' | '_' | '[' | ']' | '|' | '#' | '!' | '~' => {
                safe.push('\\');
                safe.push(letter);
            }
            other => safe.push(other),
        }
    }
    safe
}

/// A table: header, then rows; columns from `numbers` on are set to the right.
fn table(text: &mut String, header: &[String], numbers: usize, rows: &[Vec<String>]) {
    let line = |cells: &[String]| format!("| {} |\n", cells.join(" | "));
    text.push_str(&line(header));
    let rule: Vec<String> =
        (0..header.len()).map(|at| if at < numbers { "---" } else { "---:" }.to_owned()).collect();
    text.push_str(&line(&rule));
    for row in rows {
        text.push_str(&line(row));
    }
    text.push('\n');
}

fn headed(name: &str, unit: &Unit) -> String {
    format!("{name}, {}", escaped(&unit.text))
}

fn amounts(text: &mut String, report: &Report) {
    let (content, volume) = (report.units.content(), report.units.volume());
    let (cost, carbon) = (report.units.cost(&report.currency), report.units.carbon());
    let header = [
        "material".to_owned(),
        "state".to_owned(),
        headed("amount", &content),
        headed("dry", &content),
        headed("as delivered", &content),
        headed("volume", &volume),
        headed("cost", &cost),
        headed("carbon", &carbon),
    ];
    let shown = |unit: &Unit, value: Option<f64>| {
        value.map_or_else(String::new, |value| significant(unit.from_base(value), 4))
    };
    let mut rows: Vec<Vec<String>> = report
        .amounts
        .iter()
        .map(|line| {
            vec![
                escaped(&line.material),
                line.state.to_owned(),
                shown(&content, Some(line.amount)),
                shown(&content, line.dry),
                shown(&content, line.delivered),
                shown(&volume, Some(line.volume)),
                shown(&cost, Some(line.cost)),
                shown(&carbon, line.carbon),
            ]
        })
        .collect();
    let mut air = vec![String::new(); header.len()];
    "air".clone_into(&mut air[0]);
    air[5] = shown(&volume, Some(report.air));
    rows.push(air);
    text.push_str("## Mix\n\n");
    table(text, &header, 2, &rows);
    let liquids = in_words(report, escaped);
    if !liquids.is_empty() {
        let _ = writeln!(text, "{liquids}\n");
    }
    if !report.unused.is_empty() {
        let names: Vec<String> = report.unused.iter().map(|name| escaped(name)).collect();
        let _ = writeln!(text, "Not used: {}.\n", names.join(", "));
    }
}

fn totals(text: &mut String, report: &Report) {
    let rows: Vec<Vec<String>> = report
        .totals
        .iter()
        .map(|total| {
            let value = total
                .value
                .map_or_else(|| "none".to_owned(), |value| total.unit.with_number(&significant(value, 4)));
            vec![escaped(&total.label), escaped(&value)]
        })
        .collect();
    text.push_str("## Totals\n\n");
    table(text, &["total".to_owned(), "value".to_owned()], 1, &rows);
}

fn curing(text: &mut String, report: &Report) {
    let Some(line) = &report.curing else { return };
    let content = report.units.content();
    let shown = |value: f64| significant(content.from_base(value), 4);
    let rows: Vec<Vec<String>> = line
        .aggregates
        .iter()
        .map(|one| vec![escaped(&one.material), shown(one.dry), shown(one.gives), shown(one.enough)])
        .collect();
    let _ = writeln!(text, "## Internal curing\n\n{}.\n", escaped(&line.words(&content)));
    if !rows.is_empty() {
        let header = [
            "lightweight aggregate".to_owned(),
            headed("oven-dry", &content),
            headed("gives water", &content),
            headed("just enough with the others as they are, oven-dry", &content),
        ];
        table(text, &header, 1, &rows);
    }
}

fn limits(text: &mut String, report: &Report) {
    let rows: Vec<Vec<String>> = report.limits.iter().map(limit).collect();
    let header = ["line", "limit", "standing", "wanted", "got", "margin", "slack"].map(str::to_owned);
    text.push_str("## Limits, bounds of materials, regions of responses\n\n");
    table(text, &header, 3, &rows);
}

fn limit(line: &LimitLine) -> Vec<String> {
    let name = match &line.note {
        Some(note) => format!("{} ({})", escaped(&line.name), escaped(note)),
        None => escaped(&line.name),
    };
    let start = vec![line.line.to_string(), name, line.standing.words().to_owned()];
    let figures = match line.measured {
        None => vec![line.side.words().to_owned(), String::new(), String::new(), String::new()],
        Some(measured) => {
            let with_unit = |value: f64| escaped(&line.unit.with_number(&significant(value, 4)));
            let wanted = match &line.against {
                Some(name) => {
                    format!("{} {} ({})", line.side.words(), escaped(name), with_unit(measured.wanted))
                }
                None => format!(
                    "{} {}",
                    line.side.words(),
                    escaped(&line.unit.with_number(&as_written(measured.wanted)))
                ),
            };
            vec![
                wanted,
                escaped(&line.got_text(|value| significant(value, 4))),
                if measured.margin == 0.0 { String::new() } else { significant(measured.margin, 3) },
                if measured.is_binding() && measured.is_met() {
                    "0".to_owned()
                } else {
                    significant(measured.slack, 3)
                },
            ]
        }
    };
    start.into_iter().chain(figures).collect()
}

fn responses(text: &mut String, report: &Report) {
    if report.responses.is_empty() {
        return;
    }
    text.push_str("## Responses\n\n");
    let rows: Vec<Vec<String>> = report
        .responses
        .iter()
        .flat_map(|response| {
            let value = response.value_text(|value| significant(value, 4));
            let law = response.law.map(|law| format!("by the law {law}"));
            let what: Vec<&str> = law.as_deref().into_iter().chain(response.strength.as_deref()).collect();
            let what = if what.is_empty() { "predicted".to_owned() } else { what.join("; ") };
            let mut rows =
                vec![vec![escaped(&response.name), escaped(&what), escaped(&value), String::new()]];
            rows.extend(response.factors.iter().map(|factor| {
                let edge = if factor.at_edge { ", at its edge" } else { "" };
                vec![
                    String::new(),
                    escaped(&factor.name),
                    escaped(&factor.unit.with_number(&significant(factor.value, 4))),
                    format!("{} .. {}{edge}", trimmed(factor.region.0, 4), trimmed(factor.region.1, 4)),
                ]
            }));
            if !response.unheeded.is_empty() {
                let names: Vec<String> = response.unheeded.iter().map(|name| escaped(name)).collect();
                let told = format!("takes no account of {}", names.join(", "));
                rows.push(vec![String::new(), told, String::new(), String::new()]);
            }
            rows
        })
        .collect();
    table(text, &["response", "figure or factor", "value", "known"].map(str::to_owned), 2, &rows);
}

fn measured(text: &mut String, report: &Report) {
    if report.measured.is_empty() {
        return;
    }
    let rows: Vec<Vec<String>> = report
        .measured
        .iter()
        .map(|line| {
            let shown = |value: f64| escaped(&line.unit.with_number(&significant(value, 4)));
            vec![
                escaped(&line.name),
                shown(line.value),
                line.predicted.map_or_else(|| "none".to_owned(), shown),
                line.predicted.map_or_else(String::new, |predicted| significant(line.value - predicted, 3)),
                escaped(&line.judged()),
            ]
        })
        .collect();
    text.push_str("## Measured beside predicted\n\n");
    let header = ["figure", "measured", "predicted", "difference", "remark"].map(str::to_owned);
    table(text, &header, 1, &rows);
}

fn changes(text: &mut String, report: &Report) {
    let Some(changes) = &report.changes else { return };
    let figure = |value: Option<f64>, digits: usize| {
        value.map_or_else(|| "none".to_owned(), |value| significant(value, digits))
    };
    let rows: Vec<Vec<String>> = changes
        .lines
        .iter()
        .map(|line| {
            let relative = line.relative().map_or_else(String::new, |part| format!("{:+.1} %", 100.0 * part));
            vec![
                escaped(&line.name),
                escaped(&line.unit.text),
                line.verdict.word().to_owned(),
                figure(line.before, 4),
                figure(line.after, 4),
                line.change().map_or_else(String::new, |change| significant(change, 3)),
                relative,
            ]
        })
        .collect();
    let _ = writeln!(text, "## Changes from {}\n", escaped(&changes.from));
    let header =
        ["figure", "unit", "for this use", "before", "after", "change", "relative"].map(str::to_owned);
    table(text, &header, 3, &rows);
}

fn prices(text: &mut String, report: &Report) {
    if report.prices.is_empty() {
        return;
    }
    let figure = |value: Option<f64>| value.map_or_else(String::new, |value| significant(value, 3));
    let rows: Vec<Vec<String>> = report
        .prices
        .iter()
        .map(|line| {
            vec![
                line.line.to_string(),
                format!("{} ({})", escaped(&line.name), line.side.words()),
                line.remark.unwrap_or_default().to_owned(),
                escaped(&line.step),
                figure(line.tightening),
                figure(line.loosening),
            ]
        })
        .collect();
    let _ = writeln!(text, "## Prices of the limits that bind, {}\n", escaped(&report.goal_unit.text));
    table(
        text,
        &["line", "limit", "remark", "moved by", "tighter costs", "looser saves"].map(str::to_owned),
        3,
        &rows,
    );
}

fn conflict(text: &mut String, report: &Report) {
    let Some(conflict) = &report.conflict else { return };
    let rows: Vec<Vec<String>> = conflict
        .members
        .iter()
        .map(|line| {
            let mark = if line.settled { "" } else { " (not settled whether it belongs here)" };
            vec![
                line.line.to_string(),
                format!("{}{mark}", escaped(&line.name)),
                escaped(&line.asked),
                escaped(&line.repair),
            ]
        })
        .collect();
    text.push_str(if conflict.members.len() == 1 {
        "## Conflict: this alone cannot be met\n\n"
    } else {
        "## Conflict: these cannot hold together\n\n"
    });
    table(text, &["line", "demand", "asked", "mended alone by"].map(str::to_owned), 4, &rows);
    if let Some(share) = conflict.compromise {
        let percent = trimmed(100.0 * share, 2);
        let _ = writeln!(text, "If every limit gives way alike, {percent} % of its value is enough.\n");
    }
}

#[cfg(test)]
mod tests {
    use super::escaped;

    #[test]
    fn a_name_can_neither_break_a_table_nor_become_markup() {
        assert_eq!(escaped("a|b"), "a\\|b");
        assert_eq!(escaped("[x](y) <b> & `c`"), "\\[x\\](y) &lt;b&gt; &amp; \\`c\\`");
        assert_eq!(escaped("two\nlines"), "two lines");
    }
}
