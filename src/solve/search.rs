//! Decisions and starts: every admissible assignment within reach, several starts each, the best audited mix kept.

use crate::listed::Listed;
use std::time::Duration;

use super::assignments::{admissible, neighbours};
use super::branch_and_bound::{Limits, Watch, glance, prove};
use super::engine::solve_program;
use super::from_mix::{FEASIBLE, begun_from, to_the_bottom};
use super::local::{Precision, Stopped, improve};
use super::outcome::Outcome;
use super::settings::{Carried, Effort, Ended, Settings};
use super::starts::starts;
use super::steps::in_steps;
use super::traces::without_traces;
use super::verdict::{Certainty, Found, Nothing, Verdict, audit};
use crate::model::{Assignment, CutVectors, Frame, Program, Wholeness};
use crate::parallel::{self, Stop};
use crate::problem::{DecisionRange, Problem};

/// Cases that share what is known of the best mix; fixed, so that results do not depend on threads.
const BLOCK: usize = 16;
/// Relative distance above the best goal at which an assignment is not looked at again.
const FAR: f64 = 0.05;
/// What a last program may take when the time is over.
const MOMENT: Duration = Duration::from_millis(300);

/// Nodes that are looked at for other basins, after the starts of `looks`.
const GLIMPSES: usize = 96;
/// First looks at all assignments together, where surfaces are dense, and the least and the most at one of them.
const LOOKS: usize = 512;
const LOOKS_AT_ONE: (usize, usize) = (6, 32);
/// Nodes that are looked at while no mix is known.
const HOPES: usize = 256;

/// Solves a problem.
pub fn solve(problem: &Problem, settings: &Settings) -> Verdict {
    solve_watched(problem, settings, &|_| ())
}

/// Whether the relaxation of the whole space alone proves that no mix meets a problem, and the linear programs that it took:
/// a few, where a search may take thousands. `false` says nothing.
pub fn is_impossible_at_a_glance(problem: &Problem, stop: Stop, cuts: &mut CutVectors) -> (bool, usize) {
    glance(&Frame::new(problem).until(stop), cuts)
}

/// Solves a problem; `watch` is told how the proof comes along.
pub fn solve_watched(problem: &Problem, settings: &Settings, watch: &Watch<'_>) -> Verdict {
    solve_carrying(problem, settings, watch, &mut Carried::default())
}

/// The same with what is carried over from another problem; vectors of cuts of this one are added to it.
pub fn solve_carrying(
    problem: &Problem,
    settings: &Settings,
    watch: &Watch<'_>,
    carried: &mut Carried,
) -> Verdict {
    let frame = Frame::new(problem).until(settings.stop);
    let mut effort = Effort::default();
    let mut search =
        Search { frame: &frame, best: None, least_violated: None, unsettled: false, failure: None };
    let mut certainty = None;
    if let Some(limits) = &settings.proof {
        let known = carried.mix.as_ref().and_then(|known| begun_from(&frame, known));
        effort.programs += known.as_ref().map_or(0, |(_, stop)| stop.programs);
        let tree = prove(&frame, known, limits, watch, &carried.cuts);
        effort.programs += tree.proof.programs;
        certainty = Some(Certainty::new(&tree.proof, &frame));
        carried.cuts.join(tree.cuts);
        search.best = tree.best.map(|best| to_the_bottom(&frame, best));
    }
    let settled = search.best.is_some() || certainty.is_some_and(|certainty| certainty.complete);
    if !settled && 0 < settings.starts {
        // Without a proof, or where branch and bound met no mix: the local loop over decisions and starts.
        match admissible(&frame, settings.most_assignments) {
            Some(assignments) => {
                effort.assignments = assignments.len();
                search.all(assignments, settings, &mut effort);
            }
            None => search.around(settings, &mut effort),
        }
        if settings.proof.is_none() {
            search.glimpse(&mut effort);
        }
    }
    if !certainty.is_some_and(|certainty| certainty.complete) {
        effort.ended = Ended::now(settings.stop);
    }
    if let Some(best) = search.best.take() {
        let (_, stop) = without_traces(&frame, best);
        let audit = audit(problem, &stop.mix);
        let goal = problem.goal.objective.at(&stop.mix);
        if audit.passes() {
            return Verdict::Found(Found {
                goal,
                audit,
                linearisation_error: stop.linearisation_error,
                effort,
                certainty,
                mix: stop.mix,
            });
        }
        return Verdict::Unsettled(Nothing { audit, effort, mix: stop.mix, certainty: None });
    }
    if let (Some(reason), None) = (&search.failure, &search.least_violated) {
        return Verdict::Failed(reason.clone());
    }
    nearest(problem, &search, effort, certainty)
}

struct Search<'f, 'p> {
    frame: &'f Frame<'p>,
    best: Option<(Assignment, Stopped)>,
    least_violated: Option<(Assignment, Stopped)>,
    unsettled: bool,
    failure: Option<String>,
}

/// What one assignment came to.
enum Tried {
    /// The exact part alone cannot hold, or cannot beat the best.
    Hopeless,
    Stops(Vec<Stopped>),
    Failed(String),
}

impl Search<'_, '_> {
    fn all(&mut self, assignments: Vec<Assignment>, settings: &Settings, effort: &mut Effort) {
        let frame = self.frame;
        let bound = |_, assignment: &Assignment| {
            if frame.stop.is_due() { Outcome::Interrupted } else { cheapest(frame, assignment) }
        };
        let bounds = parallel::in_order(&assignments, bound, |_| {});
        effort.programs += assignments.len();
        let mut order: Vec<(f64, Vec<f64>, Assignment)> = Vec::new();
        for (assignment, cheapest) in assignments.into_iter().zip(bounds) {
            match cheapest {
                Outcome::Optimal(point, bound) => order.push((bound, point, assignment)),
                Outcome::Failed(reason) => self.failure = Some(reason),
                Outcome::Unbounded => self.failure = Some("the goal has no bound".to_owned()),
                Outcome::Infeasible | Outcome::Interrupted => {}
            }
        }
        order.sort_by(|a, b| a.0.total_cmp(&b.0));
        let looks = looks(frame, order.len());
        let mut ranked: Vec<(f64, usize, Vec<f64>)> = Vec::new();
        for (block_number, block) in order.chunks(BLOCK).enumerate() {
            let limit = self.best_goal();
            let results = parallel::in_order(
                block,
                |_, (bound, point, assignment)| {
                    if limit <= *bound || frame.stop.is_due() {
                        return Tried::Hopeless;
                    }
                    let starts = starts(frame, assignment, point, looks);
                    run(frame, assignment, starts, Precision::ROUGH)
                },
                |_| {},
            );
            for (offset, result) in results.into_iter().enumerate() {
                let index = block_number * BLOCK + offset;
                let assignment = &order[index].2;
                effort.tried += 1;
                if let Some((rank, mix)) = self.take(assignment, result, effort) {
                    ranked.push((rank, index, mix));
                }
            }
        }
        ranked.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        // What stopped far above the best found so far will not end below it.
        let worst = self.best_goal() + FAR * self.best_goal().abs();
        let finalists: Vec<(&Assignment, &Vec<f64>, Vec<f64>)> = ranked
            .into_iter()
            .take(settings.finalists)
            .filter(|(rank, ..)| *rank <= worst)
            .map(|(_, index, mix)| (&order[index].2, &order[index].1, mix))
            .collect();
        let results = parallel::in_order(
            &finalists,
            |_, (assignment, cheapest, mix)| {
                if frame.stop.is_due() {
                    return Tried::Hopeless;
                }
                let mut starts = starts(frame, assignment, cheapest, settings.starts);
                // In place of the cheapest point itself: where the first look from there has led.
                if let Some(first) = starts.first_mut() {
                    first.clone_from(mix);
                }
                run(frame, assignment, starts, Precision::FINE)
            },
            |_| {},
        );
        for ((assignment, ..), result) in finalists.into_iter().zip(results) {
            self.take(assignment, result, effort);
        }
    }

    /// Too many assignments to try all: from the assignment of the exact program, on to better neighbours.
    fn around(&mut self, settings: &Settings, effort: &mut Effort) {
        let frame = self.frame;
        let Some(mut assignment) = first_assignment(frame) else { return };
        let mut seen: Vec<Assignment> = Vec::new();
        while !frame.stop.is_due() {
            let mut cases: Vec<Assignment> = neighbours(frame, &assignment);
            cases.insert(0, assignment.clone());
            cases.retain(|case| !seen.contains(case));
            seen.extend(cases.iter().cloned());
            let before = self.best_goal();
            for block in cases.chunks(BLOCK) {
                let limit = self.best_goal();
                let results = parallel::in_order(
                    block,
                    |_, assignment| match cheapest(frame, assignment) {
                        Outcome::Optimal(point, bound) if bound < limit => {
                            run(frame, assignment, vec![frame.raise(&point)], Precision::ROUGH)
                        }
                        _ => Tried::Hopeless,
                    },
                    |_| {},
                );
                for (assignment, result) in block.iter().zip(results) {
                    effort.tried += 1;
                    effort.programs += 1;
                    self.take(assignment, result, effort);
                }
            }
            let Some((best, _)) = self.best.as_ref().or(self.least_violated.as_ref()) else { break };
            if *best == assignment || before <= self.best_goal() {
                break;
            }
            assignment.clone_from(best);
        }
        if let Some((assignment, stop)) = self.best.clone().or_else(|| self.least_violated.clone())
            && let Outcome::Optimal(point, _) = cheapest(frame, &assignment)
        {
            let mut starts = starts(frame, &assignment, &point, settings.starts);
            starts.insert(0, stop.mix);
            let result = run(frame, &assignment, starts, Precision::FINE);
            self.take(&assignment, result, effort);
        }
    }

    /// Where surfaces are dense the local loop may end in the wrong basin, and where groups are many it may miss the
    /// assignments that have a mix: the relaxations of a few nodes of branch and bound show others. What they would
    /// prove is not claimed.
    fn glimpse(&mut self, effort: &mut Effort) {
        let limits = match self.best {
            Some(_) if self.frame.problem.has_dense_surfaces() => {
                Limits { gap: 1e-4, nodes: GLIMPSES, ..Limits::default() }
            }
            Some(_) => return,
            None => Limits { gap: f64::INFINITY, nodes: HOPES, ..Limits::default() },
        };
        let tree = prove(self.frame, self.best.clone(), &limits, &|_| (), &CutVectors::default());
        effort.programs += tree.proof.programs;
        if let Some(best) = tree.best {
            self.best = Some(to_the_bottom(self.frame, best));
        }
    }

    fn best_goal(&self) -> f64 {
        self.best.as_ref().map_or(f64::INFINITY, |(_, stop)| stop.goal)
    }

    /// Keeps what is better; returns the best stop's mix with a rank for choosing finalists: goal, with violations far behind.
    fn take(
        &mut self,
        assignment: &Assignment,
        tried: Tried,
        effort: &mut Effort,
    ) -> Option<(f64, Vec<f64>)> {
        let stops = match tried {
            Tried::Hopeless => return None,
            Tried::Failed(reason) => {
                self.failure = Some(reason);
                return None;
            }
            Tried::Stops(stops) => stops,
        };
        let mut first = (f64::INFINITY, Vec::new());
        for stop in stops {
            effort.programs += stop.programs;
            let rank = stop.goal + 100.0 * (stop.violation - FEASIBLE).max(0.0);
            if rank < first.0 || first.1.is_empty() {
                first = (rank, stop.mix.clone());
            }
            if stop.violation <= FEASIBLE {
                if stop.goal < self.best_goal() {
                    self.best = Some((assignment.clone(), stop));
                }
            } else {
                self.unsettled |= !stop.settled;
                let least = self.least_violated.as_ref().map_or(f64::INFINITY, |(_, stop)| stop.violation);
                if stop.violation < least {
                    self.least_violated = Some((assignment.clone(), stop));
                }
            }
        }
        Some(first)
    }
}

/// Starts of a first look at each of so many assignments. A dense surface has basins: the fewer assignments there are, the
/// more of them each has, and the more starts there is time for. On 60 generated dense statements 8 starts missed three
/// mixes that proofs find, by up to 0.8 %; 96 nodes of branch and bound in their place took four times as long.
fn looks(frame: &Frame<'_>, assignments: usize) -> usize {
    if !frame.problem.has_dense_surfaces() {
        return 1;
    }
    let (least, most) = LOOKS_AT_ONE;
    (LOOKS / assignments.max(1)).clamp(least, most)
}

/// The exact part alone at its best: a point to start from, and a bound that needs no proof.
fn cheapest(frame: &Frame<'_>, assignment: &Assignment) -> Outcome {
    solve_program(&frame.exact_part(assignment, Wholeness::Relaxed))
}

fn run(frame: &Frame<'_>, assignment: &Assignment, starts: Vec<Vec<f64>>, precision: Precision) -> Tried {
    let mut stops = Vec::new();
    for start in starts {
        let stopped = improve(frame, assignment, start, precision).and_then(|stop| {
            if frame.decisions.counts == 0 || FEASIBLE < stop.violation {
                return Ok(stop);
            }
            in_steps(frame, assignment, stop, precision).map(|(_, stop)| stop)
        });
        match stopped {
            Ok(stop) => stops.push(stop),
            Err(reason) => return Tried::Failed(reason),
        }
    }
    Tried::Stops(stops)
}

/// The assignment of the exact part solved with whole decisions.
pub fn first_assignment(frame: &Frame<'_>) -> Option<Assignment> {
    let undecided = frame.undecided();
    let program: Program = frame.exact_part(&undecided, Wholeness::Whole);
    let Outcome::Optimal(point, _) = solve_program(&program) else { return None };
    let first = frame.problem.mixture.columns.len();
    let choices = frame.decisions.choices();
    let taken = (0..choices).map(|at| DecisionRange::at(undecided[at].nearest(point[first + at])));
    Some(taken.chain(undecided[choices..].iter().copied()).collect())
}

/// No mix was found: the one that comes nearest, from the elastic problem.
fn nearest(
    problem: &Problem,
    search: &Search<'_, '_>,
    mut effort: Effort,
    certainty: Option<Certainty>,
) -> Verdict {
    let mut candidates: Vec<Vec<f64>> =
        search.least_violated.iter().map(|(_, stop)| stop.mix.clone()).collect();
    if candidates.is_empty() {
        // Where no amount is a whole number of steps, the nearest mix is one without them.
        let wide = problem.varied(|draft| draft.counts = Listed::default()).widened();
        // A moment more where the time is over: a mix is needed to measure the limits by.
        let stop = search.frame.stop;
        let until = if stop.is_due() { Stop::NEVER.within(Some(MOMENT)) } else { stop };
        let frame = Frame::new(&wide).until(until);
        let program = frame.elastic_part();
        effort.programs += 1;
        if let Outcome::Optimal(point, _) = solve_program(&program) {
            candidates.push(frame.raise(&point));
        }
    }
    if candidates.is_empty() && search.frame.stop.is_due() {
        let mut mix: Vec<f64> = problem.reach.columns.iter().map(|(low, _)| *low).collect();
        problem.mixture.settle(&mut mix);
        candidates.push(problem.reach.samples().into_iter().next().unwrap_or(mix));
    }
    let Some(mix) = candidates.pop() else {
        return Verdict::Failed("no mix fills one cubic metre within the bounds of the materials".to_owned());
    };
    let nothing = Nothing { audit: audit(problem, &mix), effort, mix, certainty };
    let proven = certainty.is_some_and(|certainty| certainty.complete);
    let cut_short = search.frame.stop.is_due();
    if !proven && (cut_short || search.unsettled && search.least_violated.is_some()) {
        Verdict::Unsettled(nothing)
    } else {
        Verdict::Nothing(nothing)
    }
}
