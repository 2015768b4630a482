//! The mix: amounts, totals, and where cost and carbon go.

use super::tables::{Drawn, Row, Table, numbers, short, words};
use crate::answer::report::{AmountLine, Report, State};
use crate::finding::clean;
use crate::quantity::{Unit, significant, trimmed};
use crate::render::chart::{Bar, Bars, Filling, bars};
use crate::render::text::{amount, money};

/// The heading over the mix.
pub fn heading(report: &Report) -> &'static str {
    match report.state {
        State::Given => "Mix as given",
        state if state.is_proposal() => "Mix",
        _ => "Nearest mix, not a proposal",
    }
}

/// The table of amounts.
pub fn amounts(report: &Report) -> Table {
    let content = report.units.content();
    let volume = report.units.volume();
    let cost = report.units.cost(&report.currency);
    let carbon = report.units.carbon();
    let with_delivered = report.amounts.iter().any(|line| line.delivered.is_some());
    let with_carbon = report.amounts.iter().all(|line| line.carbon.is_some());
    let mut header = vec![
        words("Material"),
        numbers("Amount", &content.text),
        short("State"),
        numbers("Oven-dry", &content.text),
    ];
    if with_delivered {
        header.push(numbers("To weigh as delivered", &content.text));
    }
    header.extend([numbers("Volume", &volume.text), numbers("Cost", clean(&cost.text))]);
    if with_carbon {
        header.push(numbers("Carbon", &carbon.text));
    }
    header.push(short("Role"));
    let number = |unit: &Unit, value: Option<f64>| {
        value.map_or_else(String::new, |value| amount(unit.from_base(value)))
    };
    let row = |first: [String; 3], figures: [Option<f64>; 6]| {
        let [total, dry, delivered, space, price, gas] = figures;
        let [name, role, state] = first;
        let mut cells = vec![name, number(&content, total), state, number(&content, dry)];
        if with_delivered {
            cells.push(number(&content, delivered));
        }
        cells.push(number(&volume, space));
        cells.push(price.map_or_else(String::new, |price| money(cost.from_base(price))));
        if with_carbon {
            cells.push(number(&carbon, gas));
        }
        cells.push(role);
        Row::of(cells)
    };
    let empty = String::new;
    let mut rows: Vec<Row> = report
        .amounts
        .iter()
        .map(|line| {
            row(
                [clean(&line.material), line.role.to_owned(), line.state.to_owned()],
                [
                    Some(line.amount),
                    line.dry,
                    line.delivered,
                    Some(line.volume),
                    Some(line.cost),
                    line.carbon,
                ],
            )
        })
        .collect();
    rows.push(row(["air".to_owned(), empty(), empty()], [None, None, None, Some(report.air), None, None]));
    let sum = |part: fn(&AmountLine) -> Option<f64>| report.amounts.iter().map(part).sum::<Option<f64>>();
    let volumes = sum(|line| Some(line.volume)).map(|volume| volume + report.air);
    rows.push(
        row(
            ["total".to_owned(), empty(), empty()],
            [
                sum(|line| Some(line.amount)),
                None,
                sum(|line| line.delivered),
                volumes,
                sum(|line| Some(line.cost)),
                sum(|line| line.carbon),
            ],
        )
        .class("total"),
    );
    let per = match report.units {
        crate::answer::units::Units::Si => "1 m3",
        crate::answer::units::Units::Customary => "1 yd3",
    };
    Table { caption: format!("Amounts for {per} of concrete"), header, rows }
}

/// Materials that the mix leaves out.
pub fn unused(report: &Report) -> String {
    report.unused.iter().map(|name| clean(name)).collect::<Vec<_>>().join(", ")
}

/// Totals by name.
pub fn totals(report: &Report) -> Vec<(String, String)> {
    let text = |value: Option<f64>, unit: &Unit| {
        value.map_or_else(|| "none".to_owned(), |value| unit.with_number(&significant(value, 4)))
    };
    report.totals.iter().map(|total| (clean(&total.label), clean(&text(total.value, &total.unit)))).collect()
}

/// Water for internal curing: wanted, given, and how much of each aggregate is just enough.
pub fn curing(report: &Report) -> Option<Table> {
    let line = report.curing.as_ref()?;
    let content = report.units.content();
    let unit = &content.text;
    let shown = |value: f64| amount(content.from_base(value));
    Some(Table {
        caption: format!("Internal curing: {}", clean(&line.words(&content))),
        header: vec![
            words("Lightweight aggregate"),
            numbers("Oven-dry", unit),
            numbers("Gives water", unit),
            numbers("Just enough with the others as they are, oven-dry", unit),
        ],
        rows: line
            .aggregates
            .iter()
            .map(|one| {
                Row::of(vec![clean(&one.material), shown(one.dry), shown(one.gives), shown(one.enough)])
            })
            .collect(),
    })
}

/// Bars of a part of the mix by material; none if not every material has it, or all is zero.
fn parts(
    report: &Report,
    id: &str,
    title: &str,
    unit: &Unit,
    part: fn(&AmountLine) -> Option<f64>,
) -> Option<Drawn> {
    let values: Vec<(String, f64)> = report
        .amounts
        .iter()
        .map(|line| Some((clean(&line.material), unit.from_base(part(line)?))))
        .collect::<Option<_>>()?;
    let total: f64 = values.iter().map(|(_, value)| value).sum();
    if values.iter().all(|(_, value)| *value == 0.0) {
        return None;
    }
    let bar = |(name, value): &(String, f64)| {
        let share =
            if 0.0 < total { format!(" ({} %)", trimmed(100.0 * value / total, 2)) } else { String::new() };
        Bar {
            name: name.clone(),
            value: *value,
            figure: format!("{}{share}", amount(*value)),
            filling: Filling::Solid,
        }
    };
    let said: Vec<String> = values.iter().map(|(name, value)| format!("{name} {}", amount(*value))).collect();
    let unit = clean(&unit.text);
    let svg = bars(&Bars {
        id: id.to_owned(),
        title: title.to_owned(),
        description: format!("{unit}: {}.", said.join(", ")),
        axis: unit.clone(),
        bars: values.iter().map(bar).collect(),
        mark: None,
    });
    Some(Drawn::new(id, format!("{title}, {} {unit} together", amount(total)), svg))
}

/// Where the cost goes.
pub fn cost(report: &Report) -> Option<Drawn> {
    let unit = report.units.cost(&report.currency);
    parts(report, "cost-by-material", "Cost by material", &unit, |line| Some(line.cost))
}

/// Where the carbon comes from.
pub fn carbon(report: &Report) -> Option<Drawn> {
    parts(report, "carbon-by-material", "Carbon by material", &report.units.carbon(), |line| line.carbon)
}
