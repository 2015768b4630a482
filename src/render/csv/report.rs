//! The report as comma-separated values: one tidy table, one figure a line, full digits.
//!
//! Lines end in CR LF (RFC 4180); figures are written as plain numbers.

use super::compared;
use super::line::{HEADER, Line, figure};
use crate::answer::conflict::{ConflictLines, MemberLine};
use crate::answer::liquids::liquids;
use crate::answer::reasons::{PriceLine, Remark};
use crate::answer::record::cells::cell;
use crate::answer::report::{
    AmountLine, JudgedLine, LimitLine, MeasuredLine, Report, ResponseLine, Standing,
};
use crate::problem::Origin;
use crate::solve::Ended;

/// Writes the report.
pub fn render(report: &Report) -> String {
    let mut text = HEADER.join(",") + "\r\n";
    for line in lines(report) {
        text.push_str(&line.cells().join(","));
        text.push_str("\r\n");
    }
    text
}

/// Writes several reports as one table, each line led by the name of its mix.
pub fn render_all(mixes: &[(String, Report)]) -> String {
    let mut text = format!("mix,{}\r\n", HEADER.join(","));
    for (name, report) in mixes {
        for line in lines(report) {
            text.push_str(&format!("{},{}\r\n", cell(name), line.cells().join(",")));
        }
    }
    text
}

fn lines(report: &Report) -> Vec<Line> {
    let mut list = answer(report);
    list.extend(certainty(report));
    for choice in &report.broken_choices {
        list.push(Line {
            part: "choice",
            name: choice.name.clone(),
            standing: Standing::Violated.words().to_owned(),
            ..Line::default()
        });
    }
    list.extend(report.measured.iter().flat_map(measured));
    list.extend(mix(report));
    list.extend(report.totals.iter().map(|total| Line {
        part: "total",
        name: total.label.clone(),
        value: total.value,
        unit: total.unit.text.clone(),
        ..Line::default()
    }));
    list.extend(report.curing.iter().flat_map(|line| compared::curing(report, line)));
    list.extend(report.limits.iter().map(limit));
    list.extend(report.unchecked.iter().map(|line| Line {
        part: "demand",
        name: format!("{} {}", line.name, line.demand),
        figure: line.why.clone(),
        standing: "not checked".to_owned(),
        ..Line::default()
    }));
    list.extend(report.responses.iter().flat_map(response));
    list.extend(report.prices.iter().flat_map(|line| price(report, line)));
    list.extend(report.conflict.iter().flat_map(conflict));
    list.extend(report.approval.iter().flat_map(compared::approval));
    list.extend(report.since.iter().flat_map(compared::since));
    list.extend(report.changes.iter().flat_map(compared::changes));
    list.extend(report.bases.iter().map(|basis| Line {
        part: "basis",
        name: basis.clone(),
        ..Line::default()
    }));
    list.extend(report.cautions.iter().map(|caution| Line {
        part: "caution",
        name: caution.clone(),
        ..Line::default()
    }));
    list
}

/// What it came to.
fn answer(report: &Report) -> Vec<Line> {
    let mut list = vec![Line {
        part: "answer",
        name: report.goal.clone(),
        figure: "goal".to_owned(),
        value: report.goal_value,
        unit: report.goal_unit.text.clone(),
        standing: report.state.words().to_owned(),
        ..Line::default()
    }];
    if let Some(title) = &report.title {
        list.push(Line {
            part: "answer",
            name: title.clone(),
            figure: "title".to_owned(),
            ..Line::default()
        });
    }
    if let Some(reason) = &report.reason {
        list.push(Line {
            part: "answer",
            name: reason.clone(),
            figure: "reason".to_owned(),
            ..Line::default()
        });
    }
    let ended = match report.effort.ended {
        Ended::ByItself => None,
        Ended::OutOfTime => Some("out of time"),
        Ended::Interrupted => Some("interrupted"),
    };
    list.extend(ended.map(|ended| Line {
        part: "answer",
        name: "ended before its end".to_owned(),
        standing: ended.to_owned(),
        ..Line::default()
    }));
    list
}

/// A measured value, what is predicted, and what is asked of it.
fn measured(line: &MeasuredLine) -> Vec<Line> {
    let one = |figure: &str, value: Option<f64>| Line {
        part: "measured",
        name: line.name.clone(),
        figure: figure.to_owned(),
        value,
        unit: line.unit.text.clone(),
        ..Line::default()
    };
    let demand = |demand: &JudgedLine| Line {
        part: "measured",
        name: line.name.clone(),
        figure: format!("{} {}", demand.name, demand.wanted),
        standing: if demand.met { Standing::Met } else { Standing::Violated }.words().to_owned(),
        ..Line::default()
    };
    let figures = [one("measured", Some(line.value)), one("predicted", line.predicted)];
    figures.into_iter().chain(line.demands.iter().map(demand)).collect()
}

/// What is weighed, what is metered, and what is left out.
fn mix(report: &Report) -> Vec<Line> {
    let mut list: Vec<Line> = report.amounts.iter().flat_map(|line| amount(report, line)).collect();
    list.extend(liquids(report).into_iter().map(|line| Line {
        part: "mix",
        name: line.material.to_owned(),
        figure: "volume to batch".to_owned(),
        value: Some(line.volume),
        unit: line.unit.text,
        ..Line::default()
    }));
    list.extend(report.unused.iter().map(|name| Line {
        part: "mix",
        name: name.clone(),
        figure: "not used".to_owned(),
        ..Line::default()
    }));
    if !report.amounts.is_empty() {
        list.push(figure("mix", "air", "volume", report.air, &report.units.volume()));
    }
    list
}

fn certainty(report: &Report) -> Vec<Line> {
    let Some(certainty) = &report.certainty else { return Vec::new() };
    let standing = if certainty.complete { "proven" } else { "proven so far" };
    let one = |figure: &str, value: Option<f64>, unit: &str| Line {
        part: "answer",
        name: report.goal.clone(),
        figure: figure.to_owned(),
        value,
        unit: unit.to_owned(),
        standing: standing.to_owned(),
        ..Line::default()
    };
    vec![
        one("bound", certainty.bound, &report.goal_unit.text),
        one("relative gap", certainty.gap, ""),
        one("parts open", Some(certainty.open as f64), ""),
    ]
}

fn price(report: &Report, line: &PriceLine) -> Vec<Line> {
    [("tighter costs", line.tightening), ("looser saves", line.loosening)]
        .into_iter()
        .map(|(what, value)| Line {
            part: "price",
            name: line.name.clone(),
            figure: format!("{} moved by {}: {what}", line.side.words(), line.step_in_words()),
            value,
            unit: report.goal_unit.text.clone(),
            standing: line.remark.map_or("", Remark::words).to_owned(),
            ..Line::default()
        })
        .collect()
}

fn conflict(lines: &ConflictLines) -> Vec<Line> {
    let member = |line: &MemberLine| Line {
        part: "conflict",
        name: line.name.clone(),
        figure: format!("{}; mended alone by: {}", line.asked.words(), line.repair.words()),
        standing: if line.settled { "settled" } else { "not settled" }.to_owned(),
        ..Line::default()
    };
    let mut list: Vec<Line> = lines.members.iter().map(member).collect();
    list.push(Line {
        part: "conflict",
        name: "all limits together".to_owned(),
        figure: "share by which all must give way".to_owned(),
        value: lines.compromise,
        ..Line::default()
    });
    list
}

fn amount(report: &Report, line: &AmountLine) -> Vec<Line> {
    let content = report.units.content();
    let name = &line.material;
    let mut list =
        vec![figure("mix", name, &format!("amount, {}", line.state.word()), line.amount, &content)];
    if let Some(dry) = line.dry {
        list.push(figure("mix", name, "amount, oven-dry", dry, &content));
    }
    if let Some(delivered) = line.delivered {
        list.push(figure("mix", name, "amount, as delivered with its moisture", delivered, &content));
    }
    list.push(figure("mix", name, "volume", line.volume, &report.units.volume()));
    if let Some(cost) = line.cost {
        list.push(figure("mix", name, "cost", cost, &report.units.cost(&report.currency)));
    }
    if let Some(carbon) = line.carbon {
        list.push(figure("mix", name, "carbon", carbon, &report.units.carbon()));
    }
    list
}

fn limit(line: &LimitLine) -> Line {
    let side = match &line.against {
        Some(name) => format!("{} {name}", line.side.words()),
        None => line.side.words().to_owned(),
    };
    Line {
        part: match line.origin {
            Origin::Limit => "limit",
            Origin::Material(_) => "bound of a material",
            Origin::Region { .. } => "region",
            Origin::Leverage(_) => "leverage",
        },
        name: line.name.clone(),
        figure: side,
        value: line.measured.map(|measured| measured.got),
        unit: line.unit.text.clone(),
        wanted: line.measured.map(|measured| measured.wanted),
        margin: line.measured.map(|measured| measured.margin),
        slack: line.measured.map(|measured| measured.slack),
        standing: line.standing.words().to_owned(),
    }
}

fn response(line: &ResponseLine) -> Vec<Line> {
    let unit = match line.base {
        Some(base) => format!("{} of {base}", line.unit.text),
        None => line.unit.text.clone(),
    };
    let one = |figure: &str, value: f64, unit: &str| Line {
        part: "response",
        name: line.name.clone(),
        figure: figure.to_owned(),
        value: Some(value),
        unit: unit.to_owned(),
        ..Line::default()
    };
    let mut list = vec![one("predicted", line.value, &unit)];
    list[0].standing = line.law.map_or_else(String::new, |law| format!("by the law {law}"));
    if let Some((below, above)) = line.deviation {
        list.push(one("one standard deviation below", below, &unit));
        list.push(one("one standard deviation above", above, &unit));
    }
    if let Some(leverage) = line.leverage {
        list.push(one("leverage", leverage, ""));
    }
    if let Some(cracking) = &line.cracking {
        if let Some(age) = cracking.age {
            list.push(one("age since casting", age, "d"));
        } else {
            list.push(one("none by age since casting", cracking.last, "d"));
        }
        for (what, age) in [
            ("age net of drying", cracking.net),
            ("earliest age since casting", cracking.interval[0]),
            ("latest age since casting", cracking.interval[1]),
        ] {
            list.extend(age.map(|age| one(what, age, "d")));
        }
        list.push(one("highest share of the stress at cracking", cracking.peak, ""));
    }
    list.extend(line.unheeded.iter().map(|material| Line {
        part: "response",
        name: line.name.clone(),
        figure: format!("takes no account of {material}"),
        ..Line::default()
    }));
    for factor in &line.factors {
        list.push(one(&format!("factor {}", factor.name), factor.value, &factor.unit.text));
    }
    list
}
