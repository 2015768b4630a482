//! The keys of a report for programs; see [`super::report`] for what stands under them.

use schemars::JsonSchema;
use serde::Serialize;

use super::held::{ChangesOut, CuringOut, DemandOut, NotChecked};
use crate::answer::acceptance::AcceptanceLine;
use crate::answer::approval::ApprovalLine;
use crate::answer::doubt::UncertaintyLines;
use crate::answer::record::closed_words::{roles, sides, standings, states};
use crate::answer::since::Since;

/// An answer to one statement, or a given mix judged by it.
#[derive(JsonSchema, Serialize)]
pub(super) struct Document<'r> {
    /// Version of this format.
    #[schemars(extend("const" = 1))]
    pub(super) mixbound: u32,
    /// Version of the program.
    pub(super) version: &'static str,
    /// Title of the statement.
    pub(super) title: &'r Option<String>,
    /// What the solve came to.
    #[schemars(schema_with = "states")]
    pub(super) state: &'static str,
    /// Whether that is proven: no better mix, or no mix at all.
    pub(super) proven: bool,
    /// What is proven of better mixes; null without a proof.
    pub(super) certainty: Option<Certainty>,
    /// Why there is no answer, in words.
    pub(super) reason: &'r Option<String>,
    /// What was wished for and what it came to.
    pub(super) goal: Goal<'r>,
    /// Volume of air.
    pub(super) air: Figure,
    /// Amounts of what the mix uses.
    pub(super) mix: Vec<Amount<'r>>,
    /// Names of the materials that the mix does not use.
    pub(super) not_used: &'r [String],
    /// Quantities of the whole mix.
    pub(super) totals: Vec<Total<'r>>,
    /// Water for internal curing, where anything asks for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) internal_curing: Option<CuringOut<'r>>,
    /// Limits, bounds of materials and regions, each measured again as written.
    pub(super) limits: Vec<Limit<'r>>,
    /// Demands of classes that nothing checks.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) not_checked: Vec<NotChecked<'r>>,
    /// What the amounts of a given mix fill, as a share of the volume of concrete.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) fills: Option<f64>,
    /// Measured results of a given mix.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) measured: Vec<MeasuredOut<'r>>,
    /// Names of choices that are not met.
    pub(super) choices_not_met: Vec<&'r str>,
    /// What the amounts bring about.
    pub(super) responses: Vec<Response<'r>>,
    /// Largest violation of a condition, divided by the size of what is wanted; null where something has no value.
    #[schemars(with = "Option<f64>")]
    pub(super) largest_violation: f64,
    /// Largest difference between the last linear program and the truth, likewise divided.
    pub(super) linearisation_error: Option<f64>,
    /// Work done.
    pub(super) effort: Effort,
    /// What the figures of the statement rest on, in words.
    pub(super) bases: &'r [String],
    /// How strengths designed to a target fare by the acceptance criteria of their standard.
    #[serde(skip_serializing_if = "<[AcceptanceLine]>::is_empty")]
    pub(super) acceptance: &'r [AcceptanceLine],
    /// What moving each limit that binds costs, with the choices kept.
    pub(super) prices: Vec<PriceOut<'r>>,
    /// What uncertain coefficients do to the answer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) uncertainty: Option<&'r UncertaintyLines>,
    /// Demands that cannot hold together.
    pub(super) conflict: Option<ConflictOut<'r>>,
    /// Changes from a given mix.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) approved: Option<&'r ApprovalLine>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) since: Option<&'r Since>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) changes: Option<ChangesOut<'r>>,
    /// What has to be known with the figures.
    pub(super) cautions: &'r [String],
}

/// The price of one limit that binds.
#[derive(JsonSchema, Serialize)]
pub(super) struct PriceOut<'r> {
    /// Line in the statement.
    pub(super) line: usize,
    /// The limit's name.
    pub(super) name: &'r str,
    /// Its side.
    #[schemars(schema_with = "sides")]
    pub(super) side: &'static str,
    /// How far it is moved, in words.
    pub(super) moved_by: String,
    /// What the goal loses when it is tightened by that, in `unit`.
    pub(super) tighter_costs: Option<f64>,
    /// What the goal gains when it is loosened by that, in `unit`.
    pub(super) looser_saves: Option<f64>,
    /// What the derivatives at the mix make of one such step.
    pub(super) derivative: DerivativeOut,
    /// Unit of the goal.
    pub(super) unit: &'r str,
    /// Why there is no figure.
    pub(super) remark: Option<&'static str>,
}

/// What derivatives make of one step of a limit.
#[derive(JsonSchema, Serialize)]
pub(super) struct DerivativeOut {
    /// Goal lost when it is tightened, in the goal's unit.
    pub(super) tighter: Option<f64>,
    /// Goal gained when it is loosened, in the goal's unit.
    pub(super) looser: Option<f64>,
}

/// Demands that cannot hold together, of which none can be left out.
#[derive(JsonSchema, Serialize)]
pub(super) struct ConflictOut<'r> {
    /// The demands.
    pub(super) members: Vec<MemberOut<'r>>,
    /// Share of what each asks that must be given up when all give up alike.
    pub(super) compromise: Option<f64>,
    /// A share of which it is proven that it is not enough.
    pub(super) not_enough: Option<f64>,
    /// Names of bounds, choices and regions of which it is not settled whether they belong here.
    pub(super) unsettled: &'r [String],
    /// The nearest mix and those of single repairs.
    pub(super) mixes: Vec<RepairedOut<'r>>,
}

/// A mix that meets everything once something gives way.
#[derive(JsonSchema, Serialize)]
pub(super) struct RepairedOut<'r> {
    /// The demand that gives way; all limits alike without a name.
    pub(super) gives_way: Option<&'r str>,
    /// The goal's value, in `unit`.
    pub(super) goal: Option<f64>,
    /// Unit of the goal.
    pub(super) unit: &'r str,
    /// The materials used.
    pub(super) mix: Vec<RepairedAmount<'r>>,
}

/// One material of such a mix.
#[derive(JsonSchema, Serialize)]
pub(super) struct RepairedAmount<'r> {
    /// Its name.
    pub(super) material: &'r str,
    /// Its amount in its reference state.
    pub(super) amount: Figure,
}

/// One demand of a conflict.
#[derive(JsonSchema, Serialize)]
pub(super) struct MemberOut<'r> {
    /// Line in the statement.
    pub(super) line: usize,
    /// Its name.
    pub(super) name: &'r str,
    /// What it asks, in words.
    pub(super) asked: String,
    /// What would mend the conflict, in words.
    pub(super) mended_by: String,
    /// Whether it is proven to belong to the conflict.
    pub(super) settled: bool,
}

/// What is proven.
#[derive(JsonSchema, Serialize)]
pub(super) struct Certainty {
    /// No mix has a better goal than this, in the goal's unit.
    pub(super) bound: Option<f64>,
    /// Relative gap between the goal and that bound.
    pub(super) gap: Option<f64>,
    /// Whether the proof is complete within the gap that was asked for.
    pub(super) complete: bool,
    /// Parts of the proof that were looked at.
    pub(super) parts: usize,
    /// Parts left open.
    pub(super) open: usize,
}

/// A figure with its unit.
#[derive(JsonSchema, Serialize)]
pub(super) struct Figure {
    /// The figure; null where there is none.
    pub(super) value: Option<f64>,
    /// Its unit.
    pub(super) unit: String,
}

/// The goal.
#[derive(JsonSchema, Serialize)]
pub(super) struct Goal<'r> {
    /// In words.
    pub(super) wish: &'r str,
    /// What it came to; null without a mix.
    pub(super) value: Option<f64>,
    /// Its unit.
    pub(super) unit: &'r str,
}

/// One material of the mix.
#[derive(JsonSchema, Serialize)]
pub(super) struct Amount<'r> {
    /// Its name.
    pub(super) material: &'r str,
    /// Its role.
    #[schemars(schema_with = "roles")]
    pub(super) role: &'static str,
    /// The state in which `amount` is told.
    pub(super) state: &'static str,
    /// Mass in 1 unit of volume of concrete.
    #[serde(rename = "amount")]
    pub(super) in_state: Figure,
    /// The same oven-dry, for aggregates.
    pub(super) dry: Option<f64>,
    /// The same as delivered, where moisture is known.
    pub(super) as_delivered: Option<f64>,
    /// Volume it takes.
    pub(super) volume: Figure,
    /// Its cost.
    pub(super) cost: Figure,
    /// Its carbon; null where the statement does not say.
    pub(super) carbon: Option<Figure>,
}

/// A quantity of the whole mix.
#[derive(JsonSchema, Serialize)]
pub(super) struct Total<'r> {
    /// Its name.
    pub(super) name: &'r str,
    /// Its value; null where it has none.
    pub(super) value: Option<f64>,
    /// Its unit.
    pub(super) unit: &'r str,
}

/// A limit, a bound of a material or a region; figures in `unit`.
#[derive(JsonSchema, Serialize)]
pub(super) struct Limit<'r> {
    /// Line in the statement.
    pub(super) line: usize,
    /// The file, if that is an included one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) file: &'r Option<String>,
    /// Its name.
    pub(super) name: &'r str,
    /// What it is.
    #[schemars(extend("enum" = ["limit", "bound of a material", "region", "leverage"]))]
    pub(super) kind: &'static str,
    /// Its side.
    #[schemars(schema_with = "sides")]
    pub(super) side: &'static str,
    /// What it is compared with, if that is another quantity of the mix.
    pub(super) against: &'r Option<String>,
    /// What is wanted.
    pub(super) wanted: Option<f64>,
    /// What the mix gives.
    pub(super) got: Option<f64>,
    /// The margin that is kept.
    pub(super) margin: Option<f64>,
    /// What is left, its margin taken off; below zero where it is not met.
    pub(super) slack: Option<f64>,
    /// Its unit.
    pub(super) unit: &'r str,
    /// Where it stands.
    #[schemars(schema_with = "standings")]
    pub(super) standing: &'static str,
    /// A remark.
    pub(super) note: &'r Option<String>,
}

/// A measured result beside its prediction.
#[derive(JsonSchema, Serialize)]
pub(super) struct MeasuredOut<'r> {
    /// What was measured.
    pub(super) name: &'r str,
    /// The result.
    pub(super) measured: f64,
    /// The prediction.
    pub(super) predicted: Option<f64>,
    /// Its standard deviation.
    pub(super) standard_deviation: Option<f64>,
    /// Ages between which an age at cracking scatters; null ends are beyond the last day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) scatter: Option<[Option<f64>; 2]>,
    /// Unit of all of them.
    pub(super) unit: &'r str,
    /// What is asked of it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) demands: Vec<DemandOut<'r>>,
}

/// A response at the mix.
#[derive(JsonSchema, Serialize)]
pub(super) struct Response<'r> {
    /// Its name.
    pub(super) name: &'r str,
    /// Its value.
    pub(super) value: f64,
    /// Its unit.
    pub(super) unit: &'r str,
    /// What 1 of a relative unit refers to.
    pub(super) of: Option<&'static str>,
    /// Standard deviation towards lower values.
    pub(super) deviation_below: Option<f64>,
    /// Standard deviation towards higher values.
    pub(super) deviation_above: Option<f64>,
    /// How far the mix lies from the data of the fit.
    pub(super) leverage: Option<f64>,
    /// The law behind it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) law: Option<&'static str>,
    /// Which strength it is, in words.
    pub(super) strength: &'r Option<String>,
    /// Stress and cracking under restraint.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) cracking: Option<Cracking<'r>>,
    /// Materials of the mix that it does not know.
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    pub(super) takes_no_account_of: &'r [String],
    /// What it depends on.
    pub(super) factors: Vec<Factor<'r>>,
}

/// An age at cracking; ages in days, stresses in MPa.
#[derive(JsonSchema, Serialize)]
pub(super) struct Cracking<'r> {
    /// Age at cracking since casting; null where nothing cracks.
    pub(super) since_casting: Option<f64>,
    /// The same since drying began.
    pub(super) net_of_drying: Option<f64>,
    /// Where nothing cracks: the last age that was looked at.
    pub(super) none_by: Option<f64>,
    /// Earliest age within the scatter.
    pub(super) earliest: Option<f64>,
    /// Latest age within the scatter.
    pub(super) latest: Option<f64>,
    /// Highest stress, as a share of the level at which it cracks.
    pub(super) highest_share: f64,
    /// What restrains, in words.
    pub(super) restraint: &'r str,
    /// Classes that the age falls into.
    pub(super) classes: &'r [String],
    /// Remarks.
    pub(super) remarks: &'r [String],
    /// Ages of the history.
    pub(super) ages: &'r [f64],
    /// Stress at these ages.
    pub(super) stress: &'r [f64],
    /// Level at which it cracks, at these ages.
    pub(super) level: &'r [f64],
}

/// A factor of a response.
#[derive(JsonSchema, Serialize)]
pub(super) struct Factor<'r> {
    /// Its name.
    pub(super) name: &'r str,
    /// Its value.
    pub(super) value: f64,
    /// Its unit.
    pub(super) unit: &'r str,
    /// Between which values the response is known.
    pub(super) region: [f64; 2],
    /// Whether the mix stands at an end of that.
    pub(super) at_edge: bool,
}

/// Work done.
#[derive(JsonSchema, Serialize)]
pub(super) struct Effort {
    /// Possible sets of decisions.
    pub(super) patterns: usize,
    /// How many were tried.
    pub(super) tried: usize,
    /// Linear programs solved.
    pub(super) linear_programs: usize,
    /// Only where it did not end by itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) ended: Option<&'static str>,
}
