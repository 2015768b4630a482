//! Boxes of factors tightened by optima: what a node's relaxation and the cut-off leave of each end.
//!
//! What enters: a node, its solved program and the cut-off. What leaves: smaller boxes, every end proven by multipliers.
//!
//! Tried, on ten statements: ends attained within a tenth or a fifth of the box passed over instead of a fiftieth (CPU x 1.07,
//! x 1.12); 2, 3 or 6 factors a node instead of 4 (x 1.07, x 1.0, x 1.04), none (x 1.23); 2 or 5 rounds of cuts a node instead of
//! 3 (x 1.09, x 1.14).

use super::branch::NodeContext;
use super::certificate::{bound_with, certified_bound, certified_infeasible, is_impossible_by};
use super::solved::{Warm, Work, cutoff_row, with_cutoff};
use crate::model::{Node, Relaxation, Row, relaxation};
use crate::parallel;
use crate::solve::dense_simplex::{DenseSimplex, Ending, Sought};
use crate::solve::engine::solve_program;
use crate::solve::outcome::Outcome;

/// What tightening a node came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tightened {
    /// Its boxes are hardly smaller.
    Little,
    /// Some box became much smaller.
    Much,
    /// Nothing in it beats the cut-off: proven by multipliers.
    Empty,
}

/// Share of a box within which a point attains its end.
const ATTAINED: f64 = 0.02;
/// Share of a box that is left when it became much smaller.
const MUCH: f64 = 0.8;
/// Share of a box by which an end must move.
const MOVED: f64 = 0.02;

impl NodeContext<'_, '_> {
    /// Tightens the boxes of some factors to what the relaxation with the cut-off allows: two programs a factor, each
    /// end proven by multipliers. Ends that a point within the relaxation and the cut-off attains are passed over.
    pub fn obbt(&self, node: &mut Node, cutoff: f64, factors: &[usize], work: &mut Work<'_>) -> Tightened {
        let mut much = false;
        let mut seen: Vec<Vec<f64>> = Vec::new();
        for factor in factors.iter().copied() {
            if self.frame.stop.is_due() {
                break;
            }
            let relaxed = relaxation(self.frame, self.lifting, node);
            if let Some(known) = work.carried {
                known.check_program(self.frame, self.lifting, node, &relaxed.program);
            }
            let column = relaxed.layout.factors + factor;
            let mut program = with_cutoff(relaxed.program, cutoff);
            for column in &mut program.columns {
                column.cost = 0.0;
            }
            program.offset = 0.0;
            let before = node.factors[factor];
            for sign in [1.0, -1.0] {
                let near = ATTAINED * before.width();
                let attained = |point: &Vec<f64>| {
                    if 0.0 < sign {
                        point[column] <= before.low() + near
                    } else {
                        before.high() - near <= point[column]
                    }
                };
                if seen.iter().any(attained) {
                    continue;
                }
                program.columns[column].cost = sign;
                work.programs += 2;
                let point = match solve_program(&program) {
                    Outcome::Optimal(point, _) => point,
                    Outcome::Infeasible if certified_infeasible(&program) => {
                        return Tightened::Empty;
                    }
                    _ => continue,
                };
                let range = &mut node.factors[factor];
                // An end that only rounding moves is left alone, and needs no proof.
                if sign * point[column]
                    <= sign * (if 0.0 < sign { range.low() } else { range.high() }) + 1e-3 * range.width()
                {
                    seen.push(point);
                    continue;
                }
                let end = sign * certified_bound(&program, &point);
                if sign > 0.0 && range.low() + 1e-3 * range.width() < end {
                    *range = range.from(end);
                } else if sign < 0.0 && end < range.high() - 1e-3 * range.width() {
                    *range = range.up_to(end);
                }
                seen.push(point);
            }
            self.check_boxes(node, work, "tightening by optima");
            much |= node.factors[factor].width() < MUCH * before.width();
        }
        if much { Tightened::Much } else { Tightened::Little }
    }

    /// The same from a solved program, whose basis each end goes on from. Every end sees the same program, so that they
    /// may be sought at once; ends that its point attains are passed over.
    pub fn obbt_warm(
        &self,
        node: &mut Node,
        cutoff: f64,
        factors: &[usize],
        warm: &Warm,
        relaxed: &Relaxation,
        work: &mut Work<'_>,
    ) -> Tightened {
        let mut base = warm.simplex.clone();
        base.drop_slack_rows();
        if let Some(row) = cutoff_row(base.program(), cutoff) {
            base.add_row(row);
        }
        let boxes = &node.factors;
        let sought = |_: usize, factor: &usize| {
            let (column, range) = (relaxed.layout.factors + factor, boxes[*factor]);
            let near = ATTAINED * range.width();
            let value = warm.point[column];
            let rows = &relaxed.program.rows;
            let low = range.low() + near;
            let low = (low < value).then(|| end(&base, rows, (column, 1.0), low));
            let high = range.high() - near;
            let high = (value < high).then(|| end(&base, rows, (column, -1.0), -high));
            (low, high)
        };
        let mut much = false;
        let found = parallel::in_order(factors, sought, |_| {});
        for (factor, (low, high)) in factors.iter().zip(found) {
            let before = node.factors[*factor];
            let least = MOVED * before.width();
            work.programs += usize::from(low.is_some()) + usize::from(high.is_some());
            for (side, sought) in [(1.0, low), (-1.0, high)] {
                let reached = match sought {
                    Some(End::Empty) => return Tightened::Empty,
                    Some(End::At(value)) => side * value,
                    Some(End::Unknown) | None => continue,
                };
                let range = &mut node.factors[*factor];
                if 0.0 < side && before.low() + least < reached {
                    *range = range.from(reached);
                } else if side < 0.0 && reached < before.high() - least {
                    *range = range.up_to(reached);
                }
            }
            much |= node.factors[*factor].width() < MUCH * before.width();
        }
        self.check_boxes(node, work, "tightening by optima");
        if much { Tightened::Much } else { Tightened::Little }
    }
}

/// What seeking an end came to.
enum End {
    /// The least value of the column, or of its opposite: proven by multipliers.
    At(f64),
    /// No point beats the cut-off: proven by multipliers.
    Empty,
    /// Nothing that stands up.
    Unknown,
}

/// The least value of a column, or of its opposite, from a basis on, unless it goes down to what is `enough`; rows are stated
/// where a point misses them.
fn end(base: &DenseSimplex, rows: &[Row], (column, sign): (usize, f64), enough: f64) -> End {
    let mut simplex = base.clone();
    if simplex.seek(column, sign, enough) == Sought::Enough {
        return End::Unknown;
    }
    match simplex.optimise_among(rows) {
        Ending::Optimal => End::At(bound_with(simplex.program(), simplex.goal(), &simplex.multipliers())),
        Ending::Infeasible(multipliers) if is_impossible_by(simplex.program(), &multipliers) => End::Empty,
        Ending::Infeasible(_) | Ending::Lost => End::Unknown,
    }
}
