//! The local loop: successive linear programs inside a trust region, for one assignment of decisions.
//!
//! At a mix every curved condition is replaced by its tangent with elastic slack at a price; the step is judged
//! by the merit `goal + penalty x sum of relative violations` of the unlinearised problem.

use super::dense_simplex::{DenseSimplex, Ending as Simplex};
use super::engine::solve_program;
use super::outcome::Outcome;
use crate::model::{Frame, Linearisation, Program, Wholeness, linearised};
use crate::problem::{DecisionRange, Form};

/// How far the loop goes.
#[derive(Clone, Copy, Debug)]
pub struct Precision {
    /// Predicted gain, relative to the merit, below which it stops.
    pub gain: f64,
    /// Most steps.
    pub steps: usize,
    /// Price up to which violations are driven out.
    pub penalty: f64,
}

impl Precision {
    /// To the last digits that matter.
    pub const FINE: Self = Self { gain: 1e-9, steps: 200, penalty: 2e6 };
    /// Enough to tell whether there is a mix nearby at all.
    pub const ANY: Self = Self { gain: 1e-5, steps: 40, penalty: 2e4 };
    /// Enough to tell a good assignment from a bad one.
    pub const ROUGH: Self = Self { gain: 1e-4, steps: 25, penalty: 10.0 * FIRST_PENALTY };
}

/// Where the loop stopped.
#[derive(Clone, Debug)]
pub struct Stopped {
    /// The mix.
    pub mix: Vec<f64>,
    /// Goal, scaled and to be minimised.
    pub goal: f64,
    /// Largest relative violation of a curved condition.
    pub violation: f64,
    /// Largest difference between line and truth at the last accepted step, relative to what is wanted.
    pub linearisation_error: f64,
    /// Whether it stopped because nothing more was to be gained.
    pub settled: bool,
    /// Linear programs solved.
    pub programs: usize,
}

const FIRST_PENALTY: f64 = 20.0;
const FIRST_RADIUS: f64 = 0.5;
const SMALLEST_RADIUS: f64 = 1e-9;
/// Violation at which a point counts as feasible inside the loop.
const FEASIBLE: f64 = 1e-8;

/// The optimum of a tangent program, or of the same with its tangents moved. The dense simplex takes a tenth of the time of
/// the engines, and needs two ends of every column: no tangent is short by more than its row can be missed in the box.
fn solved(tangents: &Linearisation, mut program: Program) -> Outcome {
    let first = program.rows.len() - tangents.elastic.len();
    for (at, elastic) in tangents.elastic.iter().enumerate() {
        let row = &program.rows[first + at];
        let (mut least, mut unit) = (0.0, 1.0);
        for (column, factor) in &row.terms {
            if column == elastic {
                unit = *factor;
            } else {
                let ends = &program.columns[*column];
                least += (factor * ends.low).min(factor * ends.high);
            }
        }
        program.columns[*elastic].high = ((row.low - least) / unit).max(0.0) + 1.0;
    }
    if program.stop.is_due() {
        return Outcome::Interrupted;
    }
    let Some(mut simplex) = DenseSimplex::new(program.clone()) else { return solve_program(&program) };
    match simplex.optimise() {
        Simplex::Optimal => {
            let point = simplex.point();
            let objective = program.objective(&point);
            Outcome::Optimal(point, objective)
        }
        // Neither is believed.
        Simplex::Infeasible(_) | Simplex::Lost => solve_program(&program),
    }
}

/// A start taken from a relaxation, brought to the assignment by a first program, whatever that costs; `None` where the
/// assignment has no mix in the exact part, or there was no time to see.
fn brought_to(
    frame: &Frame<'_>,
    assignment: &[DecisionRange],
    state: &State,
    penalty: f64,
) -> Result<Option<State>, String> {
    let program = linearised(frame, assignment, &state.mix, f64::INFINITY, penalty);
    match solved(&program, program.program.clone()) {
        Outcome::Optimal(point, _) => Ok(Some(State::at(frame, frame.raise(&point)))),
        Outcome::Failed(reason) => Err(reason),
        Outcome::Infeasible | Outcome::Unbounded | Outcome::Interrupted => Ok(None),
    }
}

/// Runs the loop from a mix.
///
/// # Errors
/// What both engines said when they failed.
pub fn improve(
    frame: &Frame<'_>,
    assignment: &[DecisionRange],
    start: Vec<f64>,
    precision: Precision,
) -> Result<Stopped, String> {
    let mut state = State::at(frame, start);
    let mut penalty = FIRST_PENALTY;
    let mut radius = FIRST_RADIUS;
    let mut programs = 0;
    let mut linearisation_error = 0.0;
    let mut settled = false;
    if !obeys_exact_part(frame, assignment, &state.mix) {
        programs += 1;
        state = match brought_to(frame, assignment, &state, penalty)? {
            Some(state) => state,
            None if frame.stop.is_due() => return Ok(state.stuck(Ending::Stopped, programs)),
            None => return Ok(state.stuck(Ending::Settled, programs)),
        };
    }
    while programs < precision.steps && !frame.stop.is_due() {
        let program = linearised(frame, assignment, &state.mix, radius, penalty);
        programs += 1;
        let (point, objective) = match solved(&program, program.program.clone()) {
            Outcome::Optimal(point, objective) => (point, objective),
            Outcome::Failed(reason) => return Err(reason),
            // The centre satisfies the program up to rounding; a smaller region lost it.
            Outcome::Infeasible | Outcome::Unbounded | Outcome::Interrupted => break,
        };
        let merit = state.merit(penalty);
        let predicted = merit - objective;
        if predicted <= precision.gain * (1.0 + merit.abs()) {
            if FEASIBLE < state.violation && penalty < precision.penalty {
                penalty *= 10.0;
                radius = radius.max(1e-3);
                continue;
            }
            settled = true;
            break;
        }
        let mut point = point;
        let mut next = State::at(frame, frame.raise(&point));
        let mut ratio = (merit - next.merit(penalty)) / predicted;
        let step = frame.distance(&state.mix, &next.mix);
        if ratio.is_nan() || ratio < 0.25 {
            // Curvature spoilt the step: once more with the tangents moved to where it led.
            programs += 1;
            let moved = program.moved_to(frame, &next.mix, &next.values);
            if let Outcome::Optimal(other, _) = solved(&program, moved) {
                let corrected = State::at(frame, frame.raise(&other));
                let better = (merit - corrected.merit(penalty)) / predicted;
                if ratio.is_nan() || ratio < better {
                    (point, next, ratio) = (other, corrected, better);
                }
            }
        }
        if ratio < 0.25 || ratio.is_nan() {
            radius = 0.3 * step.min(radius);
        } else if 0.75 < ratio && 0.9 * radius < step {
            radius = (2.0 * radius).min(4.0);
        }
        if 0.05 < ratio {
            linearisation_error = next.difference_from_lines(&point, &program.elastic);
            state = next;
        }
        if radius < SMALLEST_RADIUS {
            settled = true;
            break;
        }
    }
    Ok(Stopped {
        goal: state.goal,
        violation: state.violation,
        mix: state.mix,
        linearisation_error,
        settled,
        programs,
    })
}

/// Whether a mix satisfies what the tangents never touch: bounds, volume, linear rows, decisions.
fn obeys_exact_part(frame: &Frame<'_>, assignment: &[DecisionRange], mix: &[f64]) -> bool {
    let program = frame.exact_part(assignment, Wholeness::Relaxed);
    let point: Vec<f64> = mix.iter().zip(&frame.scales).map(|(value, scale)| value / scale).collect();
    // With decisions left open there are columns that the mix does not hold: the first program will say.
    point.len() < program.columns.len() || program.violation(&point) <= 1e-6
}

/// Why a loop ended without a mix.
#[derive(Clone, Copy, PartialEq)]
enum Ending {
    /// There is none.
    Settled,
    /// Its time was over.
    Stopped,
}

struct State {
    mix: Vec<f64>,
    goal: f64,
    /// Relative values of the curved conditions.
    values: Vec<f64>,
    violation: f64,
}

impl State {
    /// What is known where no mix of the assignment meets the exact part.
    fn stuck(self, ending: Ending, programs: usize) -> Stopped {
        let (goal, mix, settled) = (self.goal, self.mix, ending == Ending::Settled);
        Stopped { mix, goal, violation: f64::INFINITY, linearisation_error: 0.0, settled, programs }
    }

    fn at(frame: &Frame<'_>, mix: Vec<f64>) -> Self {
        let curved =
            frame.problem.conditions.iter().filter(|condition| matches!(condition.form, Form::Curved(_)));
        let values: Vec<f64> = frame
            .problem
            .curved_values(&mix)
            .into_iter()
            .zip(curved)
            .map(|(value, condition)| value / condition.scale)
            .collect();
        let violation = values
            .iter()
            .map(|value| if value.is_nan() { f64::INFINITY } else { -value })
            .fold(0.0, f64::max);
        Self { goal: frame.goal_at(&mix), mix, values, violation }
    }

    fn merit(&self, penalty: f64) -> f64 {
        let short: f64 = self
            .values
            .iter()
            .map(|value| if value.is_nan() { f64::INFINITY } else { (-value).max(0.0) })
            .sum();
        self.goal + penalty * short
    }

    /// What the tangents left unsaid at this point: where they claim no shortage, the true shortage.
    fn difference_from_lines(&self, point: &[f64], elastic: &[usize]) -> f64 {
        self.values
            .iter()
            .zip(elastic)
            .map(|(value, s)| (-value).max(0.0) - point[*s])
            .map(f64::abs)
            .fold(0.0, f64::max)
    }
}
