//! The keys of a report for programs; see [`super::report`] for what stands under them.

use serde::Serialize;

use super::held::{ChangesOut, CuringOut, DemandOut, NotChecked};
use crate::answer::doubt::UncertaintyLines;

#[derive(Serialize)]
pub(super) struct Document<'r> {
    pub(super) mixbound: u32,
    pub(super) version: &'static str,
    pub(super) title: &'r Option<String>,
    pub(super) state: &'static str,
    pub(super) proven: bool,
    pub(super) certainty: Option<Certainty>,
    pub(super) reason: &'r Option<String>,
    pub(super) goal: Goal<'r>,
    pub(super) air: Figure,
    pub(super) mix: Vec<Amount<'r>>,
    pub(super) not_used: &'r [String],
    pub(super) totals: Vec<Total<'r>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) internal_curing: Option<CuringOut<'r>>,
    pub(super) limits: Vec<Limit<'r>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) not_checked: Vec<NotChecked<'r>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) fills: Option<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) measured: Vec<MeasuredOut<'r>>,
    pub(super) choices_not_met: Vec<&'r str>,
    pub(super) responses: Vec<Response<'r>>,
    pub(super) largest_violation: f64,
    pub(super) linearisation_error: Option<f64>,
    pub(super) effort: Effort,
    pub(super) bases: &'r [String],
    pub(super) prices: Vec<PriceOut<'r>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) uncertainty: Option<&'r UncertaintyLines>,
    pub(super) conflict: Option<ConflictOut<'r>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) changes: Option<ChangesOut<'r>>,
    pub(super) cautions: &'r [String],
}

#[derive(Serialize)]
pub(super) struct PriceOut<'r> {
    pub(super) line: usize,
    pub(super) name: &'r str,
    pub(super) side: &'static str,
    pub(super) moved_by: String,
    pub(super) tighter_costs: Option<f64>,
    pub(super) looser_saves: Option<f64>,
    pub(super) unit: &'r str,
    pub(super) remark: Option<&'static str>,
}

#[derive(Serialize)]
pub(super) struct ConflictOut<'r> {
    pub(super) members: Vec<MemberOut<'r>>,
    pub(super) compromise: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct MemberOut<'r> {
    pub(super) line: usize,
    pub(super) name: &'r str,
    pub(super) asked: String,
    pub(super) mended_by: String,
    pub(super) settled: bool,
}

#[derive(Serialize)]
pub(super) struct Certainty {
    pub(super) bound: Option<f64>,
    pub(super) gap: Option<f64>,
    pub(super) complete: bool,
    pub(super) parts: usize,
    pub(super) open: usize,
}

#[derive(Serialize)]
pub(super) struct Figure {
    pub(super) value: Option<f64>,
    pub(super) unit: String,
}

#[derive(Serialize)]
pub(super) struct Goal<'r> {
    pub(super) wish: &'r str,
    pub(super) value: Option<f64>,
    pub(super) unit: &'r str,
}

#[derive(Serialize)]
pub(super) struct Amount<'r> {
    pub(super) material: &'r str,
    pub(super) role: &'static str,
    pub(super) state: &'static str,
    #[serde(rename = "amount")]
    pub(super) in_state: Figure,
    pub(super) dry: Option<f64>,
    pub(super) as_delivered: Option<f64>,
    pub(super) volume: Figure,
    pub(super) cost: Figure,
    pub(super) carbon: Option<Figure>,
}

#[derive(Serialize)]
pub(super) struct Total<'r> {
    pub(super) name: &'r str,
    pub(super) value: Option<f64>,
    pub(super) unit: &'r str,
}

#[derive(Serialize)]
pub(super) struct Limit<'r> {
    pub(super) line: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) file: &'r Option<String>,
    pub(super) name: &'r str,
    pub(super) kind: &'static str,
    pub(super) side: &'static str,
    pub(super) against: &'r Option<String>,
    pub(super) wanted: Option<f64>,
    pub(super) got: Option<f64>,
    pub(super) margin: Option<f64>,
    pub(super) slack: Option<f64>,
    pub(super) unit: &'r str,
    pub(super) standing: &'static str,
    pub(super) note: &'r Option<String>,
}

#[derive(Serialize)]
pub(super) struct MeasuredOut<'r> {
    pub(super) name: &'r str,
    pub(super) measured: f64,
    pub(super) predicted: Option<f64>,
    pub(super) standard_deviation: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) scatter: Option<[Option<f64>; 2]>,
    pub(super) unit: &'r str,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) demands: Vec<DemandOut<'r>>,
}

#[derive(Serialize)]
pub(super) struct Response<'r> {
    pub(super) name: &'r str,
    pub(super) value: f64,
    pub(super) unit: &'r str,
    pub(super) of: Option<&'static str>,
    pub(super) deviation_below: Option<f64>,
    pub(super) deviation_above: Option<f64>,
    pub(super) leverage: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) law: Option<&'static str>,
    pub(super) strength: &'r Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) cracking: Option<Cracking<'r>>,
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    pub(super) takes_no_account_of: &'r [String],
    pub(super) factors: Vec<Factor<'r>>,
}

/// An age at cracking; ages in days, stresses in MPa.
#[derive(Serialize)]
pub(super) struct Cracking<'r> {
    pub(super) since_casting: Option<f64>,
    pub(super) net_of_drying: Option<f64>,
    pub(super) none_by: Option<f64>,
    pub(super) earliest: Option<f64>,
    pub(super) latest: Option<f64>,
    pub(super) highest_share: f64,
    pub(super) restraint: &'r str,
    pub(super) classes: &'r [String],
    pub(super) remarks: &'r [String],
    pub(super) ages: &'r [f64],
    pub(super) stress: &'r [f64],
    pub(super) level: &'r [f64],
}

#[derive(Serialize)]
pub(super) struct Factor<'r> {
    pub(super) name: &'r str,
    pub(super) value: f64,
    pub(super) unit: &'r str,
    pub(super) region: [f64; 2],
    pub(super) at_edge: bool,
}

#[derive(Serialize)]
pub(super) struct Effort {
    pub(super) patterns: usize,
    pub(super) tried: usize,
    pub(super) linear_programs: usize,
    /// Only where it did not end by itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) ended: Option<&'static str>,
}
