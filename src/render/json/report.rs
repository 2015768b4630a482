//! The report for programs: full digits, every figure beside its unit. Keys are stable within format 1.

use super::document::{
    Amount, Certainty, ConflictOut, Cracking, DerivativeOut, Document, Effort, Factor, Figure, Goal, Limit,
    MeasuredOut, MemberOut, PriceOut, RepairedAmount, RepairedOut, Response, Total,
};
use super::held::{ChangesOut, CuringOut, DemandOut, NotChecked};
use crate::answer::conflict::{ConflictLines, RepairedMix};
use crate::answer::reasons::Remark;
use crate::answer::record::closed_words::standing;
use crate::answer::record::json::written;
use crate::answer::report::{Report, State};
use crate::problem::Origin;
use crate::quantity::Unit;
use crate::standard::Side;

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
            ended: match report.effort.ended {
                crate::solve::Ended::ByItself => None,
                crate::solve::Ended::OutOfTime => Some("out of time"),
                crate::solve::Ended::Interrupted => Some("interrupted"),
            },
        },
        bases: &report.bases,
        acceptance: &report.acceptance,
        prices: prices(report),
        uncertainty: report.uncertainty.as_ref(),
        conflict: conflict(report),
        approved: report.approval.as_ref(),
        since: report.since.as_ref(),
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
            role: line.role.word(),
            state: line.state.word(),
            in_state: figure(&content, line.amount),
            dry: line.dry.map(|value| content.from_base(value)),
            as_delivered: line.delivered.map(|value| content.from_base(value)),
            volume: figure(&volume, line.volume),
            cost: Figure { value: line.cost.map(|value| cost.from_base(value)), unit: cost.text.clone() },
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
            standing: standing(line.standing),
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
            demands: line.demands.iter().map(DemandOut::from).collect(),
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
            moved_by: price.step_in_words(),
            tighter_costs: price.tightening,
            looser_saves: price.loosening,
            derivative: DerivativeOut { tighter: price.slopes.0, looser: price.slopes.1 },
            unit: &report.goal_unit.text,
            remark: price.remark.map(Remark::words),
        })
        .collect()
}

fn repaired<'r>(report: &'r Report, conflict: &'r ConflictLines, mix: &'r RepairedMix) -> RepairedOut<'r> {
    let content = report.units.content();
    let amount =
        |(material, base): &'r (String, f64)| RepairedAmount { material, amount: figure(&content, *base) };
    RepairedOut {
        gives_way: mix.member.map(|member| conflict.members[member].name.as_str()),
        goal: mix.goal,
        unit: &report.goal_unit.text,
        mix: mix.amounts.iter().map(amount).collect(),
    }
}

fn conflict(report: &Report) -> Option<ConflictOut<'_>> {
    report.conflict.as_ref().map(|conflict| ConflictOut {
        compromise: conflict.compromise,
        not_enough: conflict.not_enough,
        unsettled: &conflict.unsettled,
        mixes: conflict.mixes.iter().map(|mix| repaired(report, conflict, mix)).collect(),
        members: conflict
            .members
            .iter()
            .map(|member| MemberOut {
                line: member.line,
                name: &member.name,
                asked: member.asked.words(),
                mended_by: member.repair.words(),
                settled: member.settled,
            })
            .collect(),
    })
}

fn figure(unit: &Unit, base: f64) -> Figure {
    Figure { value: Some(unit.from_base(base)), unit: unit.text.clone() }
}
