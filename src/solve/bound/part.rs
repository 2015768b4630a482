//! One part of the search space: tightened, bounded, and split or closed.

use super::branch::{Sight, Split};
use super::certificate::{certified_bound, certified_infeasible};
use crate::model::{Kind, Part, Program, Relaxation, relaxation, tighten, touch};
use crate::number::Interval;
use crate::solve::engine::{Outcome, solve_program};

/// What became of a part.
#[derive(Clone, Debug)]
pub enum Fate {
    /// No mix lies in it: proven by multipliers.
    Empty,
    /// No mix in it is better than this bound, which reaches the cut-off: proven by multipliers.
    Closed(f64),
    /// Split in two; the bound is proven for both.
    Split(f64, Box<[Part; 2]>),
    /// It can be neither closed nor split further; the bound is proven.
    Stuck(f64),
}

/// A processed part.
pub struct Processed {
    /// What became of it.
    pub fate: Fate,
    /// The relaxation's mix and its decisions, rounded: a place to look for a better mix.
    pub candidate: Option<(Vec<f64>, Vec<Option<bool>>)>,
    /// Programs solved.
    pub programs: usize,
}

/// What is known before a part's program is solved.
pub struct Known {
    /// Proven bound of the part it was split from.
    pub bound: f64,
    /// What a bound must reach for the part to be closed.
    pub cutoff: f64,
    /// Programs solved so far.
    pub programs: usize,
}

/// What squeezing a part came to, with the programs it took.
pub enum Squeezed {
    /// Its boxes are as tight as its relaxation makes them.
    Smaller(usize),
    /// Nothing in it beats the cut-off: proven by multipliers.
    Empty(usize),
}

/// Passes of tightening and rebuilding before the program is solved.
const PASSES: usize = 2;
/// Most rounds of tangents to convex conditions at the program's point.
const TOUCHES: usize = 6;

impl Sight<'_, '_> {
    /// Bounds a part whose parent has the proven bound `known`; closes it if its own bound reaches `cutoff`.
    ///
    /// Boxes may have been tightened by the cut-off, so that what was cut away lies at or beyond it and no more: a part
    /// is never closed at more than the cut-off, and never empty while there is one.
    pub fn process(&self, part: &Part, known: f64, cutoff: f64) -> Processed {
        let mut part = part.clone();
        let mut programs = 0;
        let mut relaxed = relaxation(self.frame, self.lifting, &part);
        for _ in 0..PASSES {
            if self.tighten(&mut part, &relaxed, cutoff) {
                relaxed = relaxation(self.frame, self.lifting, &part);
                continue;
            }
            programs += 2;
            if certified_infeasible(&with_cutoff(relaxed.program.clone(), cutoff)) {
                return Processed { fate: emptied(cutoff), candidate: None, programs };
            }
            break;
        }
        programs += 2;
        let mut outcome = solve_program(&relaxed.program);
        for _ in 0..TOUCHES {
            let Outcome::Optimal(point, _) = &outcome else { break };
            if !touch(self.frame, self.lifting, &part, &mut relaxed, point) {
                break;
            }
            programs += 1;
            outcome = solve_program(&relaxed.program);
        }
        self.settle(part, &relaxed, &outcome, &Known { bound: known, cutoff, programs })
    }

    /// What a program's outcome makes of its part.
    pub fn settle(&self, part: Part, relaxed: &Relaxation, outcome: &Outcome, known: &Known) -> Processed {
        let Known { bound: known, cutoff, programs } = *known;
        match outcome {
            Outcome::Optimal(point, _) => {
                let bound = certified_bound(&relaxed.program, point).max(known);
                if cutoff <= bound {
                    return Processed { fate: Fate::Closed(cutoff), candidate: None, programs };
                }
                let candidate =
                    Some((self.frame.raise(&point[..self.frame.scales.len()]), self.rounded(&part, point)));
                let split = self.split(&part, relaxed, point).or_else(|| self.widest(&part));
                Processed { fate: fate(part, split, bound), candidate, programs }
            }
            Outcome::Infeasible if certified_infeasible(&relaxed.program) => {
                Processed { fate: emptied(cutoff), candidate: None, programs }
            }
            // A part whose program gave no answer that stands up is split, never closed.
            Outcome::Infeasible | Outcome::Unbounded | Outcome::Failed(_) => {
                let split = self.widest(&part);
                Processed { fate: fate(part, split, known), candidate: None, programs }
            }
        }
    }

    /// Tightens by the relaxation's rows and the cut-off; the part takes over the tighter boxes.
    fn tighten(&self, part: &mut Part, relaxed: &Relaxation, cutoff: f64) -> bool {
        let mut program = with_cutoff(relaxed.program.clone(), cutoff);
        if !tighten(&mut program, 3) {
            return false;
        }
        for ((column, scale), bounds) in program.columns.iter().zip(&self.frame.scales).zip(&mut part.amounts)
        {
            let (low, high) = (bounds.0.max(column.low * scale), bounds.1.min(column.high * scale));
            *bounds = if low <= high { (low, high) } else { (0.5 * (low + high), 0.5 * (low + high)) };
        }
        self.divide(part);
        for (at, range) in part.factors.iter_mut().enumerate() {
            let column = &program.columns[relaxed.layout.factors + at];
            let tighter = range.meet(Interval::new(column.low, column.high));
            if !tighter.is_empty() {
                *range = tighter;
            }
        }
        true
    }

    /// Tightens each factor's box to what the relaxation with the cut-off allows: two programs a factor, each end
    /// proven by multipliers.
    pub fn squeeze(&self, part: &mut Part, cutoff: f64) -> Squeezed {
        let mut programs = 0;
        for factor in 0..part.factors.len() {
            let relaxed = relaxation(self.frame, self.lifting, part);
            let column = relaxed.layout.factors + factor;
            let mut program = with_cutoff(relaxed.program, cutoff);
            for column in &mut program.columns {
                column.cost = 0.0;
            }
            program.offset = 0.0;
            for sign in [1.0, -1.0] {
                program.columns[column].cost = sign;
                programs += 2;
                let point = match solve_program(&program) {
                    Outcome::Optimal(point, _) => point,
                    Outcome::Infeasible if certified_infeasible(&program) => {
                        return Squeezed::Empty(programs);
                    }
                    _ => continue,
                };
                let end = sign * certified_bound(&program, &point);
                let range = &mut part.factors[factor];
                // An end that only rounding moves is left alone.
                if sign > 0.0 && range.low + 1e-3 * range.width() < end {
                    range.low = end.min(range.high);
                } else if sign < 0.0 && end < range.high - 1e-3 * range.width() {
                    range.high = end.max(range.low);
                }
            }
        }
        Squeezed::Smaller(programs)
    }

    /// Ratios by their parts: what the box of the denominator has become tells more than it did at the root.
    fn divide(&self, part: &mut Part) {
        for (at, factor) in self.lifting.factors.iter().enumerate() {
            let Kind::Ratio { numerator, below } = &factor.kind else { continue };
            let denominator = part.factors[*below] * self.lifting.factors[*below].scale;
            if denominator.low <= 0.0 {
                continue;
            }
            let ends = |high: bool| {
                numerator.terms.iter().fold(numerator.constant, |sum, (column, factor)| {
                    let (low, top) = part.amounts[*column];
                    sum + factor * if (0.0 < *factor) == high { top } else { low }
                })
            };
            let above = Interval::new(ends(false), ends(true));
            let tighter = part.factors[at].meet(above / denominator / factor.scale);
            if !tighter.is_empty() {
                part.factors[at] = tighter;
            }
        }
    }

    fn rounded(&self, part: &Part, point: &[f64]) -> Vec<Option<bool>> {
        let mut column = self.frame.problem.mixture.columns.len();
        let decide = |decided: &Option<bool>| {
            decided.or_else(|| {
                column += 1;
                Some(0.5 < point[column - 1])
            })
        };
        part.pattern.iter().map(decide).collect()
    }
}

/// The fate of a part in which nothing better than the cut-off is left.
fn emptied(cutoff: f64) -> Fate {
    if cutoff.is_finite() { Fate::Closed(cutoff) } else { Fate::Empty }
}

fn fate(part: Part, split: Option<Split>, bound: f64) -> Fate {
    match split {
        Some(split) => Fate::Split(bound, Box::new(halves(part, split))),
        None => Fate::Stuck(bound),
    }
}

/// The objective as a row: only what beats the cut-off is of interest.
fn with_cutoff(mut program: Program, cutoff: f64) -> Program {
    if cutoff.is_finite() {
        let costly = program.columns.iter().enumerate().filter(|(_, column)| column.cost != 0.0);
        let terms: Vec<(usize, f64)> = costly.map(|(index, column)| (index, column.cost)).collect();
        let most = cutoff - program.offset;
        program.add_row("better than the best", terms, f64::NEG_INFINITY, most);
    }
    program
}

fn halves(part: Part, split: Split) -> [Part; 2] {
    let (mut one, mut other) = (part.clone(), part);
    match split {
        Split::Decision(decision) => {
            one.pattern[decision] = Some(true);
            other.pattern[decision] = Some(false);
        }
        Split::Factor(factor, at) => {
            one.factors[factor].high = at;
            other.factors[factor].low = at;
        }
    }
    [one, other]
}
