//! The office table: a row for each mix, a column for each material, cost, water-binder ratio and the main responses at its
//! end; and the sheets of a workbook made of the same columns.
//!
//! What enters: lines of a summary. What leaves: tables whose figures stand in the unit of their column, with all their digits.
//! How a sheet or a file is written is not known here.

use super::block::{Cell, Column, Table};
use super::cautions::PROPOSAL;
use super::material_price::MaterialPrice;
use super::phrase::{Digits, Figure, Phrase};
use super::record::summary::{FigureKind, NamedFigure, SummaryLine};
use super::sheet::Sheet;
use super::since::{AmountSince, MixSince, Since, Staying};

/// A column with what stands in it for each line.
struct Field<'f> {
    column: Column,
    cell: Box<dyn Fn(&SummaryLine) -> Cell + 'f>,
}

impl<'f> Field<'f> {
    fn words(name: &str, cell: impl Fn(&SummaryLine) -> Phrase + 'f) -> Self {
        Self { column: Column::words(name), cell: Box::new(move |line| cell(line).into()) }
    }

    /// A figure in the unit of its column.
    fn figure(
        name: &str,
        unit: &str,
        digits: Digits,
        value: impl Fn(&SummaryLine) -> Option<f64> + 'f,
    ) -> Self {
        Self {
            column: Column { unit: unit.to_owned(), ..Column::figures(name) },
            cell: Box::new(move |line| value(line).map(|value| Figure::new(value, digits)).into()),
        }
    }

    fn names(name: &str, names: impl Fn(&SummaryLine) -> Vec<String> + 'f) -> Self {
        Self::words(name, move |line| names(line).join("; ").into())
    }
}

/// The rows of the table for spreadsheets and for a later run to read: everything in one table.
pub fn office(lines: &[SummaryLine]) -> Table {
    let mut fields = identity();
    fields.extend(result());
    if has_changes(lines) {
        fields.extend(changes(lines));
    }
    fields.extend(standing(lines));
    fields.extend(amounts(lines));
    fields.extend(figures(lines));
    table(&fields, lines)
}

/// The sheet of all mixes.
pub fn mixes(lines: &[SummaryLine]) -> Table {
    let mut fields = named();
    fields.push(Field::words("goal", |line| line.goal.as_ref().into()));
    fields.extend(valued(lines));
    fields.push(gap());
    fields.extend(standing(lines));
    fields.extend(amounts(lines));
    fields.extend(figures(lines));
    table(&fields, lines)
}

/// Amounts and figures alone, for tables that name their mixes themselves.
pub fn told(lines: &[SummaryLine]) -> Table {
    let mut fields = amounts(lines);
    fields.extend(figures(lines));
    table(&fields, lines)
}

/// The sheets of a workbook: all mixes, their changes since an earlier run, and the prices.
pub fn sheets(lines: &[SummaryLine]) -> Vec<Sheet> {
    let cautions = cautions(lines);
    let sheet = |name: &'static str, table: Table, first: Option<&str>| Sheet {
        name,
        table,
        caution: PROPOSAL,
        remarks: first.map(str::to_owned).into_iter().chain(cautions.iter().cloned()).collect(),
    };
    let none = "No earlier run was named: `--previous` with the table of one tells what became of each mix.";
    let changes = match changes_sheet(lines) {
        Some(table) => sheet("changes", table, Some(CHANGES)),
        None => sheet("changes", table(&named(), &[]), Some(none)),
    };
    vec![sheet("mixes", mixes(lines), Some(STATES)), changes, sheet("prices", prices(lines), None)]
}

/// What amounts are.
pub const STATES: &str =
    "Amounts are those of reference states: aggregates surface-dry or prewetted, all else as delivered.";
/// What stands in the sheet of changes.
const CHANGES: &str = "Values, changes and costs of staying are in the unit of each goal where no unit stands in the head. The earlier mix is judged on today's \
    materials, prices and limits. Amounts that changed by less than the scale shows are left out.";

/// The cautions that any of the mixes calls for, each once.
pub fn cautions(lines: &[SummaryLine]) -> Vec<String> {
    let mut list: Vec<String> = Vec::new();
    for caution in lines.iter().flat_map(|line| &line.cautions) {
        if !list.contains(caution) {
            list.push(caution.clone());
        }
    }
    list
}

/// The sheet of changes since an earlier run; none where no earlier run was named.
pub fn changes_sheet(lines: &[SummaryLine]) -> Option<Table> {
    if !has_changes(lines) {
        return None;
    }
    let mut fields = named();
    fields.extend(valued(lines));
    fields.extend(changes(lines));
    fields.extend(changes_of_amounts(lines));
    Some(table(&fields, lines))
}

/// The sheet of prices: each material at each price that the statements have for it.
pub fn prices(lines: &[SummaryLine]) -> Table {
    let earlier = |price: &MaterialPrice| {
        let all =
            lines.iter().filter(|line| line.prices.contains(price)).filter_map(|line| line.since.as_ref());
        let mut all = all.flat_map(|since| &since.prices);
        all.find(|one| one.material == price.material && one.now == price.price).cloned()
    };
    let mut seen: Vec<&MaterialPrice> = Vec::new();
    for price in lines.iter().flat_map(|line| &line.prices) {
        if !seen.contains(&price) {
            seen.push(price);
        }
    }
    let by_mass = seen.first().map_or("", |price| price.by_mass_unit.as_str());
    let mut table = Table::new([
        Column::words("material"),
        Column::words("role"),
        Column::words("state that is priced"),
        Column::figures("price as written"),
        Column::words("unit of the price"),
        Column { unit: by_mass.to_owned(), ..Column::figures("price by mass of the reference state") },
        Column::figures("earlier price as written"),
        Column { unit: "%".to_owned(), ..Column::figures("change") },
        Column::figures("statements with this price"),
        Column::figures("mixes that use it"),
    ]);
    for price in seen {
        let having: Vec<&SummaryLine> = lines.iter().filter(|line| line.prices.contains(price)).collect();
        let using =
            having.iter().filter(|line| line.mix.iter().any(|one| one.material == price.material)).count();
        let count = |count: usize| Figure::new(count as f64, Digits::Trimmed(6));
        let alike = price.by_mass_unit == by_mass;
        let earlier = earlier(price);
        let share = earlier.as_ref().and_then(|one| one.relative);
        table.row([
            Cell::from(&price.material),
            price.role.into(),
            price.state.into(),
            Figure::new(price.price, Digits::Written).into(),
            (&price.unit).into(),
            alike.then(|| Figure::new(price.by_mass, Digits::Money)).into(),
            earlier.map(|one| Figure::new(one.before, Digits::Written)).into(),
            share.map(|share| Figure::new(100.0 * share, Digits::Significant(3))).into(),
            count(having.len()).into(),
            count(using).into(),
        ]);
    }
    table.without_empty_columns()
}

fn has_changes(lines: &[SummaryLine]) -> bool {
    lines.iter().any(|line| line.since.is_some())
}

fn table(fields: &[Field<'_>], lines: &[SummaryLine]) -> Table {
    let mut table = Table::new(fields.iter().map(|field| field.column.clone()));
    for line in lines {
        table.row(fields.iter().map(|field| (field.cell)(line)));
    }
    table
}

/// Title, file and state: a sheet begins with what people call the mix.
fn named() -> Vec<Field<'static>> {
    let mut fields = identity();
    fields.swap(0, 1);
    fields[0] = Field::words("mix", |line| line.title.as_ref().unwrap_or(&line.file).into());
    fields
}

fn identity() -> Vec<Field<'static>> {
    vec![
        Field::words("file", |line| (&line.file).into()),
        Field::words("title", |line| line.title.as_ref().into()),
        Field::words("state", |line| (&line.state).into()),
    ]
}

/// What a later run reads again: always the same columns.
fn result() -> Vec<Field<'static>> {
    vec![
        Field::words("goal", |line| line.goal.as_ref().into()),
        Field::figure("value", "", Digits::Significant(5), |line| line.value),
        Field::words("unit", |line| line.unit.as_ref().into()),
        gap(),
    ]
}

fn gap() -> Field<'static> {
    Field::figure("gap", "%", Digits::Trimmed(2), |line| line.gap.map(|gap| 100.0 * gap))
}

/// The unit of all goals; empty where they differ.
fn goal_unit(lines: &[SummaryLine]) -> &str {
    let mut units = lines.iter().filter_map(|line| line.unit.as_deref());
    let first = units.next().unwrap_or("");
    if units.all(|unit| unit == first) { first } else { "" }
}

/// The values of the goals in their one unit, or with a column of units.
fn valued(lines: &[SummaryLine]) -> Vec<Field<'static>> {
    let unit = goal_unit(lines);
    let value = Field::figure("value", unit, Digits::Significant(5), |line| line.value);
    let units = unit.is_empty().then(|| Field::words("unit", |line| line.unit.as_ref().into()));
    std::iter::once(value).chain(units).collect()
}

/// What the mix stands at, and what nothing says that it meets.
fn standing(lines: &[SummaryLine]) -> Vec<Field<'static>> {
    let mut fields = vec![Field::names("stands at", |line| line.stands_at.clone())];
    if lines.iter().any(|line| line.approved.is_some()) {
        fields.push(Field::words("approval", |line| {
            line.approved.as_ref().map(super::approval::ApprovalLine::phrase).into()
        }));
    }
    if lines.iter().any(|line| !line.not_checked.is_empty()) {
        fields.push(Field::names("not checked", |line| line.not_checked.clone()));
    }
    if lines.iter().any(|line| line.report.is_some()) {
        fields.push(Field::words("report", |line| line.report.as_ref().into()));
    }
    fields
}

/// What became of the mixes since an earlier run.
fn changes(lines: &[SummaryLine]) -> Vec<Field<'static>> {
    let unit = goal_unit(lines);
    let mix = |names: fn(&MixSince) -> Vec<String>| {
        move |line: &SummaryLine| {
            since(line).and_then(|since| since.mix.as_ref()).map(names).unwrap_or_default()
        }
    };
    let staying = |line: &SummaryLine| since(line).and_then(|since| since.earlier_mix_today.clone());
    vec![
        Field::figure("earlier value", unit, Digits::Significant(5), |line| since(line)?.before),
        Field::figure("change", unit, Digits::Significant(3), |line| line.change),
        Field::figure("change", "%", Digits::Significant(3), |line| {
            since(line)?.relative.map(|by| 100.0 * by)
        }),
        Field::names("came in", mix(|mix| mix.came_in.clone())),
        Field::names("went out", mix(|mix| mix.went_out.clone())),
        Field::names("began to bind", mix(|mix| mix.began_to_bind.clone())),
        Field::names("ceased to bind", mix(|mix| mix.ceased_to_bind.clone())),
        Field::figure("earlier mix today", unit, Digits::Significant(5), move |line| staying(line)?.value),
        Field::figure("staying costs", unit, Digits::Significant(3), move |line| staying(line)?.difference),
        Field::words("earlier mix still holds", move |line| {
            staying(line).map(|staying| if staying.holds { "yes" } else { "NO" }).map(Phrase::from).into()
        }),
        Field::words("why not", move |line| staying(line).map(|staying| why_not(&staying)).into()),
    ]
}

fn since(line: &SummaryLine) -> Option<&Since> {
    line.since.as_ref()
}

/// Why the earlier mix does not hold today; nothing where it does.
pub fn why_not(staying: &Staying) -> Phrase {
    let mut told: Vec<Phrase> = Vec::new();
    if !staying.lacks.is_empty() {
        told.push(format!("today's statement has no {}", staying.lacks.join(", ")).into());
    }
    if !staying.misses.is_empty() {
        told.push(format!("it misses {}", staying.misses.join(", ")).into());
    }
    if let Some(fills) = staying.fills {
        told.push(
            Phrase::from("it fills ")
                .and(Figure::new(fills, Digits::Significant(4)))
                .and(" of the volume it is for"),
        );
    }
    Phrase::joined(told, "; ")
}

/// Air, then a column for each material in the order in which mixes name them.
fn amounts(lines: &[SummaryLine]) -> Vec<Field<'static>> {
    let mut columns: Vec<(String, String)> = Vec::new();
    for one in lines.iter().flat_map(|line| &line.mix) {
        let column = (one.material.clone(), one.amount.unit.clone());
        if !columns.contains(&column) {
            columns.push(column);
        }
    }
    let air = Field::figure("air", "%", Digits::Trimmed(3), |line| line.air.as_ref()?.value);
    let field = |(name, unit): (String, String)| {
        let head = (name.clone(), unit.clone());
        Field::figure(&head.0, &head.1, Digits::Amount, move |line| {
            line.mix.iter().find(|one| one.material == name && one.amount.unit == unit)?.amount.value
        })
    };
    std::iter::once(air).chain(columns.into_iter().map(field)).collect()
}

/// A column for each material whose amount changed in any mix.
fn changes_of_amounts(lines: &[SummaryLine]) -> Vec<Field<'static>> {
    let of = |line: &SummaryLine| since(line).and_then(|since| since.mix.clone());
    let mut columns: Vec<(String, String)> = Vec::new();
    for mix in lines.iter().filter_map(of) {
        for AmountSince { material, .. } in &mix.amounts {
            let column = (material.clone(), mix.unit.clone());
            if !columns.contains(&column) {
                columns.push(column);
            }
        }
    }
    let field = |(name, unit): (String, String)| {
        let head = (format!("change of {name}"), unit.clone());
        Field::figure(&head.0, &head.1, Digits::Amount, move |line| {
            let mix = of(line).filter(|mix| mix.unit == unit)?;
            mix.amounts.iter().find(|one| one.material == name).map(|one| one.change)
        })
    };
    columns.into_iter().map(field).collect()
}

/// Cost, totals and the responses of which anything is asked: a column for each name and unit.
fn figures(lines: &[SummaryLine]) -> Vec<Field<'static>> {
    let mut columns: Vec<&NamedFigure> = Vec::new();
    for one in lines.iter().flat_map(|line| &line.figures) {
        if !columns.iter().any(|known| (&known.name, &known.unit) == (&one.name, &one.unit)) {
            columns.push(one);
        }
    }
    columns.sort_by_key(|one| one.kind);
    let field = |one: &NamedFigure| {
        let (name, unit, kind) = (one.name.clone(), one.unit.clone(), one.kind);
        let digits = if kind == FigureKind::Whole { Digits::Money } else { Digits::Significant(4) };
        let head = (name.clone(), unit.clone());
        Field::figure(&head.0, &head.1, digits, move |line| {
            line.figures.iter().find(|one| one.name == name && one.unit == unit)?.value
        })
    };
    columns.into_iter().map(field).collect()
}
