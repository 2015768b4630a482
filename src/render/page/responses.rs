//! Responses with the region they are known in, and stress against strength where cracking is asked.

use serde::Serialize;

use super::tables::{Cell, Drawn, Heading, Row, Table, numbers, short, words};
use crate::answer::report::{FactorLine, Report, ResponseLine};
use crate::answer::restraint::CrackingLine;
use crate::finding::{clean, listed};
use crate::quantity::{significant, trimmed};
use crate::render::chart::{Axis, Dash, Plot, Point, Series, Spread, Vertical, plot, position};
use crate::render::text::figure;

/// The table of responses: a row for each factor, the response in the first of them.
pub fn responses(report: &Report) -> Option<Table> {
    if report.responses.is_empty() {
        return None;
    }
    let header = vec![
        words("Response"),
        words("Predicted"),
        words("Factor"),
        numbers("Value", ""),
        short("Known range"),
        words("Where in it"),
        short("Remark"),
    ];
    let mut rows = Vec::new();
    for response in &report.responses {
        for (number, factor) in response.factors.iter().enumerate() {
            rows.push(factor_row(response, number, factor));
        }
        if response.factors.is_empty() {
            let mut cells = vec![Cell::from(clean(&response.name)), predicted(response).into()];
            cells.extend((0..5).map(|_| Cell::default()));
            rows.push(Row { class: "first", cells });
        }
    }
    Some(Table {
        caption: "Responses, and where the mix stands in what they are known for".to_owned(),
        header,
        rows,
    })
}

/// The value with everything that belongs to it.
fn predicted(response: &ResponseLine) -> String {
    let mut text = response.value_text(figure);
    if let Some((below, above)) = response.deviation {
        text.push_str(&if (below - above).abs() <= 0.02 * above.abs() {
            format!(", standard deviation of one result {}", significant(above, 2))
        } else {
            format!(", one standard deviation -{} +{}", significant(below, 2), significant(above, 2))
        });
    }
    if let Some(leverage) = response.leverage {
        text.push_str(&format!(", leverage {}", significant(leverage, 2)));
    }
    if let Some(law) = response.law {
        text.push_str(&format!(", by the law {law}"));
    }
    if let Some(strength) = &response.strength {
        text.push_str(&format!(" ({strength})"));
    }
    if !response.unheeded.is_empty() {
        text.push_str(&format!(", takes no account of {}", listed(&response.unheeded)));
    }
    clean(&text)
}

fn factor_row(response: &ResponseLine, number: usize, factor: &FactorLine) -> Row {
    let (low, high) = factor.region;
    let width = high - low;
    let beyond = factor.value < low - 1e-6 * width || high + 1e-6 * width < factor.value;
    let (remark, class) = match (beyond, factor.at_edge) {
        (true, _) => ("OUTSIDE: extrapolated", "bad"),
        (false, true) => ("at its edge", if number == 0 { "first binding" } else { "binding" }),
        (false, false) => ("", if number == 0 { "first" } else { "" }),
    };
    let range = format!("{} .. {}", trimmed(low, 4), trimmed(high, 4));
    let value = factor.unit.with_number(&significant(factor.value, 3));
    let said = format!("{value} in {range}");
    let mut cells = Vec::new();
    if number == 0 {
        let rows = response.factors.len();
        cells.push(Cell::over(clean(&response.name), rows, Heading::Row));
        cells.push(Cell::over(predicted(response), rows, Heading::Usual));
    }
    cells.extend([
        Cell { heading: Heading::Row, ..Cell::from(clean(&factor.name)) },
        Cell::from(clean(&value)),
        Cell::from(range),
        Cell::drawn(position(low, high, factor.value, &said)),
        Cell::from(remark.to_owned()),
    ]);
    Row { class, cells }
}

/// One age at cracking.
#[derive(Debug, Serialize)]
pub struct CrackingPart {
    /// The response.
    pub name: String,
    /// What came out.
    pub outcome: String,
    /// What else is said.
    pub said: Vec<String>,
    /// Stress and strength over age.
    pub chart: Drawn,
}

/// All ages at cracking.
pub fn cracking(report: &Report) -> Vec<CrackingPart> {
    let lines = report.responses.iter().filter_map(|response| Some((response, response.cracking.as_ref()?)));
    lines.enumerate().map(|(number, (response, line))| part(number, response, line)).collect()
}

fn part(number: usize, response: &ResponseLine, line: &CrackingLine) -> CrackingPart {
    let mut said = vec![line.interval_words(), clean(&line.restraint)];
    said.extend(line.classes.iter().map(|class| clean(class)));
    if let (Some(age), Some(finer)) = (line.age, line.finer)
        && 0.01 * age < (age - finer).abs()
    {
        said.push(format!("with steps half as long {} d: take it as rough", trimmed(finer, 3)));
    }
    said.extend(line.remarks.iter().map(|remark| clean(remark)));
    let name = clean(&response.name);
    CrackingPart { chart: chart(number, &name, line), outcome: line.words(), name, said }
}

fn chart(number: usize, name: &str, line: &CrackingLine) -> Drawn {
    let id = format!("stress-{number}");
    let history = &line.history;
    let series = |title: &str, values: &[f64], dash| Series {
        name: title.to_owned(),
        points: (history.ages.iter().zip(values)).map(|(age, value)| Point::bare(*age, *value)).collect(),
        dash: Some(dash),
        marker: None,
    };
    let title = format!("Stress under restraint and the stress at which it cracks: {name}");
    let crack = line.age.map(|age| Vertical { x: age, words: format!("cracks at {} d", trimmed(age, 3)) });
    let svg = plot(&Plot {
        id: id.clone(),
        title: title.clone(),
        description: format!("{name}: {}.", line.words()),
        across: Axis { spread: Spread::Logarithmic, ..Axis::linear("age since casting, d".to_owned()) },
        up: Axis { holds: vec![0.0], ..Axis::linear("stress, MPa".to_owned()) },
        series: vec![
            series("stress under restraint", &history.stress, Dash::Solid),
            series("stress at which it cracks", &history.level, Dash::Dashed),
        ],
        verticals: crack.into_iter().collect(),
    });
    Drawn::new(&id, title, svg)
}
