//! The report for programs: full digits, every figure beside its unit. Keys are stable within format 1.

use serde::Serialize;

use super::held::{ChangesOut, CuringOut, NotChecked};
use crate::answer::reasons::Remark;
use crate::answer::record::json::written;
use crate::answer::report::{Report, Standing, State};
use crate::problem::{Origin, Side};
use crate::quantity::Unit;

#[derive(Serialize)]
struct Document<'r> {
    mixbound: u32,
    version: &'static str,
    title: &'r Option<String>,
    state: &'static str,
    proven: bool,
    certainty: Option<Certainty>,
    reason: &'r Option<String>,
    goal: Goal<'r>,
    air: Figure,
    mix: Vec<Amount<'r>>,
    not_used: &'r [String],
    totals: Vec<Total<'r>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    internal_curing: Option<CuringOut<'r>>,
    limits: Vec<Limit<'r>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_checked: Vec<NotChecked<'r>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    fills: Option<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    measured: Vec<MeasuredOut<'r>>,
    choices_not_met: Vec<&'r str>,
    responses: Vec<Response<'r>>,
    largest_violation: f64,
    linearisation_error: Option<f64>,
    effort: Effort,
    bases: &'r [String],
    prices: Vec<PriceOut<'r>>,
    conflict: Option<ConflictOut<'r>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    changes: Option<ChangesOut<'r>>,
    cautions: &'r [String],
}

#[derive(Serialize)]
struct PriceOut<'r> {
    line: usize,
    name: &'r str,
    side: &'static str,
    moved_by: &'r str,
    tighter_costs: Option<f64>,
    looser_saves: Option<f64>,
    unit: &'r str,
    remark: Option<&'static str>,
}

#[derive(Serialize)]
struct ConflictOut<'r> {
    members: Vec<MemberOut<'r>>,
    compromise: Option<f64>,
}

#[derive(Serialize)]
struct MemberOut<'r> {
    line: usize,
    name: &'r str,
    asked: &'r str,
    mended_by: &'r str,
    settled: bool,
}

#[derive(Serialize)]
struct Certainty {
    bound: Option<f64>,
    gap: Option<f64>,
    complete: bool,
    parts: usize,
    open: usize,
}

#[derive(Serialize)]
struct Figure {
    value: Option<f64>,
    unit: String,
}

#[derive(Serialize)]
struct Goal<'r> {
    wish: &'r str,
    value: Option<f64>,
    unit: &'r str,
}

#[derive(Serialize)]
struct Amount<'r> {
    material: &'r str,
    role: &'static str,
    state: &'static str,
    #[serde(rename = "amount")]
    in_state: Figure,
    dry: Option<f64>,
    as_delivered: Option<f64>,
    volume: Figure,
    cost: Figure,
    carbon: Option<Figure>,
}

#[derive(Serialize)]
struct Total<'r> {
    name: &'r str,
    value: Option<f64>,
    unit: &'r str,
}

#[derive(Serialize)]
struct Limit<'r> {
    line: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    file: &'r Option<String>,
    name: &'r str,
    kind: &'static str,
    side: &'static str,
    against: &'r Option<String>,
    wanted: Option<f64>,
    got: Option<f64>,
    margin: Option<f64>,
    slack: Option<f64>,
    unit: &'r str,
    standing: &'static str,
    note: &'r Option<String>,
}

#[derive(Serialize)]
struct MeasuredOut<'r> {
    name: &'r str,
    measured: f64,
    predicted: Option<f64>,
    standard_deviation: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    scatter: Option<[Option<f64>; 2]>,
    unit: &'r str,
}

#[derive(Serialize)]
struct Response<'r> {
    name: &'r str,
    value: f64,
    unit: &'r str,
    of: Option<&'static str>,
    deviation_below: Option<f64>,
    deviation_above: Option<f64>,
    leverage: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    law: Option<&'static str>,
    strength: &'r Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cracking: Option<Cracking<'r>>,
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    takes_no_account_of: &'r [String],
    factors: Vec<Factor<'r>>,
}

/// An age at cracking; ages in days, stresses in MPa.
#[derive(Serialize)]
struct Cracking<'r> {
    since_casting: Option<f64>,
    net_of_drying: Option<f64>,
    none_by: Option<f64>,
    earliest: Option<f64>,
    latest: Option<f64>,
    highest_share: f64,
    restraint: &'r str,
    classes: &'r [String],
    remarks: &'r [String],
    ages: &'r [f64],
    stress: &'r [f64],
    level: &'r [f64],
}

#[derive(Serialize)]
struct Factor<'r> {
    name: &'r str,
    value: f64,
    unit: &'r str,
    region: [f64; 2],
    at_edge: bool,
}

#[derive(Serialize)]
struct Effort {
    patterns: usize,
    tried: usize,
    linear_programs: usize,
}

/// Writes the report.
pub fn render(report: &Report) -> String {
    written(&document(report))
}

/// The report as a value to be written within another document.
pub fn value(report: &Report) -> serde_json::Value {
    serde_json::to_value(document(report)).expect("a report holds only text and finite numbers")
}

fn document(report: &Report) -> Document<'_> {
    let content = report.units.content();
    let volume = report.units.volume();
    Document {
        mixbound: 1,
        version: env!("CARGO_PKG_VERSION"),
        title: &report.title,
        state: report.state.words(),
        proven: matches!(report.state, State::Optimal | State::Infeasible),
        certainty: report.certainty.map(|certainty| Certainty {
            bound: certainty.bound,
            gap: certainty.gap,
            complete: certainty.complete,
            parts: certainty.parts,
            open: certainty.open,
        }),
        reason: &report.reason,
        goal: Goal { wish: &report.goal, value: report.goal_value, unit: &report.goal_unit.text },
        air: figure(&volume, report.air),
        mix: mix(report),
        not_used: &report.unused,
        totals: report
            .totals
            .iter()
            .map(|total| Total { name: &total.label, value: total.value, unit: &total.unit.text })
            .collect(),
        internal_curing: report.curing.as_ref().map(|line| CuringOut::new(line, &content)),
        limits: limits(report),
        fills: report.fills,
        not_checked: report.unchecked.iter().map(NotChecked::from).collect(),
        measured: measured(report),
        choices_not_met: report.broken_choices.iter().map(|choice| choice.name.as_str()).collect(),
        responses: responses(report),
        largest_violation: report.worst,
        linearisation_error: report.linearisation_error,
        effort: Effort {
            patterns: report.effort.assignments,
            tried: report.effort.tried,
            linear_programs: report.effort.programs,
        },
        bases: &report.bases,
        prices: prices(report),
        conflict: conflict(report),
        changes: report.changes.as_ref().map(ChangesOut::new),
        cautions: &report.cautions,
    }
}

fn mix(report: &Report) -> Vec<Amount<'_>> {
    let (content, volume) = (report.units.content(), report.units.volume());
    let (cost, carbon) = (report.units.cost(&report.currency), report.units.carbon());
    report
        .amounts
        .iter()
        .map(|line| Amount {
            material: &line.material,
            role: line.role,
            state: line.state,
            in_state: figure(&content, line.amount),
            dry: line.dry.map(|value| content.from_base(value)),
            as_delivered: line.delivered.map(|value| content.from_base(value)),
            volume: figure(&volume, line.volume),
            cost: figure(&cost, line.cost),
            carbon: line.carbon.map(|value| figure(&carbon, value)),
        })
        .collect()
}

fn limits(report: &Report) -> Vec<Limit<'_>> {
    report
        .limits
        .iter()
        .map(|line| Limit {
            line: line.line,
            file: &line.file,
            name: &line.name,
            kind: match line.origin {
                Origin::Limit => "limit",
                Origin::Material(_) => "bound of a material",
                Origin::Region { .. } => "region",
                Origin::Leverage(_) => "leverage",
            },
            side: match line.side {
                Side::AtLeast => "at least",
                Side::AtMost => "at most",
            },
            against: &line.against,
            wanted: line.measured.map(|measured| measured.wanted),
            got: line.measured.map(|measured| measured.got),
            margin: line.measured.map(|measured| measured.margin),
            slack: line.measured.map(|measured| measured.slack),
            unit: &line.unit.text,
            standing: match line.standing {
                Standing::Violated => "not met",
                standing => standing.words(),
            },
            note: &line.note,
        })
        .collect()
}

fn measured(report: &Report) -> Vec<MeasuredOut<'_>> {
    report
        .measured
        .iter()
        .map(|line| MeasuredOut {
            name: &line.name,
            measured: line.value,
            predicted: line.predicted,
            standard_deviation: line.deviation,
            scatter: line
                .scatter
                .map(|(early, late)| [early, late].map(|age| Some(age).filter(|age| age.is_finite()))),
            unit: &line.unit.text,
        })
        .collect()
}

fn responses(report: &Report) -> Vec<Response<'_>> {
    report
        .responses
        .iter()
        .map(|response| Response {
            name: &response.name,
            value: response.value,
            unit: &response.unit.text,
            of: response.base,
            deviation_below: response.deviation.map(|(below, _)| below),
            deviation_above: response.deviation.map(|(_, above)| above),
            leverage: response.leverage,
            law: response.law,
            strength: &response.strength,
            cracking: response.cracking.as_ref().map(|line| Cracking {
                since_casting: line.age,
                net_of_drying: line.net,
                none_by: line.age.is_none().then_some(line.last),
                earliest: line.interval[0],
                latest: line.interval[1],
                highest_share: line.peak,
                restraint: &line.restraint,
                classes: &line.classes,
                remarks: &line.remarks,
                ages: &line.history.ages,
                stress: &line.history.stress,
                level: &line.history.level,
            }),
            takes_no_account_of: &response.unheeded,
            factors: response
                .factors
                .iter()
                .map(|factor| Factor {
                    name: &factor.name,
                    value: factor.value,
                    unit: &factor.unit.text,
                    region: [factor.region.0, factor.region.1],
                    at_edge: factor.at_edge,
                })
                .collect(),
        })
        .collect()
}

fn prices(report: &Report) -> Vec<PriceOut<'_>> {
    report
        .prices
        .iter()
        .map(|price| PriceOut {
            line: price.line,
            name: &price.name,
            side: price.side.words(),
            moved_by: &price.step,
            tighter_costs: price.tightening,
            looser_saves: price.loosening,
            unit: &report.goal_unit.text,
            remark: price.remark.map(Remark::words),
        })
        .collect()
}

fn conflict(report: &Report) -> Option<ConflictOut<'_>> {
    report.conflict.as_ref().map(|conflict| ConflictOut {
        compromise: conflict.compromise,
        members: conflict
            .members
            .iter()
            .map(|member| MemberOut {
                line: member.line,
                name: &member.name,
                asked: &member.asked,
                mended_by: &member.repair,
                settled: member.settled,
            })
            .collect(),
    })
}

fn figure(unit: &Unit, base: f64) -> Figure {
    Figure { value: Some(unit.from_base(base)), unit: unit.text.clone() }
}
