//! A dense dual simplex for small programs that are solved again and again with other rows and other goals.
//!
//! What enters: a program whose columns all have two ends, then more rows, other costs. What leaves: an optimum with its
//! multipliers, or the multipliers that show that there is no point. The engines behind `good_lp` can neither change a
//! goal nor tell multipliers, and take five to ten times as long on the few hundred dense rows that the nodes of a search
//! have; nothing here is believed: a point is checked against its program, and a bound is computed from multipliers by
//! `certificate`, which holds whatever they are. Where this loses its footing the engines are asked.
//!
//! Every row is a variable of its own, `s = a x`, boxed by what the columns' boxes let it reach. Basic variables are kept
//! as sums of the others, `basic = T nonbasic`; since all are boxed, any signs of reduced costs can be mended by moving
//! nonbasic variables to their other ends, so that the dual method starts from anywhere: from the basis of the node that a
//! node is a part of (20 to 60 steps instead of 215 from nothing), with only those rows stated that a point misses.
//!
//! Tried: costs moved by 1e-5 instead of 1e-6 of the largest (CPU x 1.05), not at all (x 1.15). Ends of boxes by the dual
//! method took 125 steps each; the primal one with the largest reduced cost 77, with estimated lengths of moves 26.

mod primal;
mod restart;
mod rows;
mod table;

use std::sync::Arc;

pub use primal::Sought;

use crate::model::{Program, ProgramColumn, Row};

/// What optimising came to.
#[derive(Clone, Debug, PartialEq)]
pub enum Ending {
    /// An optimum that stands up to its program.
    Optimal,
    /// No point: multipliers of the rows that may prove it.
    Infeasible(Vec<f64>),
    /// Neither: ask another engine.
    Lost,
}

/// A program and its present basis.
#[derive(Clone, Debug)]
pub struct DenseSimplex {
    /// Shared between a basis and those that go on from it with other costs.
    program: Arc<Program>,
    /// Costs of the columns where they are not the program's.
    other_costs: Option<Vec<f64>>,
    /// Miss of an end, against one and the end, at which a basic variable leaves.
    missed: f64,
    /// Lowest and highest value of each variable: columns first, then rows.
    bounds: Vec<(f64, f64)>,
    /// Variables that stand in the rows of the table, and those of its columns.
    basic: Vec<usize>,
    nonbasic: Vec<usize>,
    /// Values of the nonbasic variables, each at an end, and of the basic ones.
    at: Vec<f64>,
    values: Vec<f64>,
    /// Row by row: basic variable as a sum of the nonbasic ones.
    table: Vec<f64>,
    /// Reduced costs, true and as perturbed.
    costs: Vec<f64>,
    reduced: Vec<f64>,
}

/// Reduced costs below this are zero.
const FLAT: f64 = 1e-11;
/// Steps after which the values are computed anew, and after which it is lost, with reduced costs moved and true.
const REFRESH: usize = 40;
const MOST_STEPS: usize = 1500;
const LAST_STEPS: usize = 150;
/// Moves of the reduced costs, relative to the largest, one after the other.
const MOVES: [f64; 4] = [1e-6, 0.0, 1e-8, 0.0];
/// Largest violation of a (scaled) row or bound in a point that is accepted.
const FEASIBLE: f64 = 1e-7;
/// Miss of an end at which a basic variable leaves, and the same where the point itself is the answer.
const MISSED: f64 = 1e-9;
const EXACT: f64 = 1e-12;

/// Whether a column is one that this method takes.
fn fits(column: &ProgramColumn) -> bool {
    column.low <= column.high
        && (column.high - column.low).is_finite()
        && !column.integer
        && column.cost.is_finite()
}

impl DenseSimplex {
    /// A program before its first step; `None` if some column has no end or must be whole.
    pub fn new(program: Program) -> Option<Self> {
        let mut simplex = Self::without_rows(&program)?;
        if program.fault().is_some() {
            return None;
        }
        for row in program.rows {
            simplex.add_row(row);
        }
        Some(simplex)
    }

    /// The columns of a program, with none of its rows stated.
    pub fn without_rows(program: &Program) -> Option<Self> {
        let columns = program.columns.len();
        if columns == 0 || !program.columns.iter().all(fits) {
            return None;
        }
        let costs: Vec<f64> = program.columns.iter().map(|column| column.cost).collect();
        Some(Self {
            bounds: program.columns.iter().map(|column| (column.low, column.high)).collect(),
            basic: Vec::new(),
            nonbasic: (0..columns).collect(),
            at: program.columns.iter().map(|column| column.low).collect(),
            values: Vec::new(),
            table: Vec::new(),
            reduced: costs.clone(),
            costs,
            program: Arc::new(Program {
                columns: program.columns.clone(),
                rows: Vec::new(),
                offset: program.offset,
                stop: program.stop,
            }),
            other_costs: None,
            missed: MISSED,
        })
    }

    /// The same, with basic variables held to their ends as closely as the numbers allow.
    #[must_use]
    pub fn exactly(self) -> Self {
        Self { missed: EXACT, ..self }
    }

    /// The program, rows added so far included.
    pub fn program(&self) -> &Program {
        &self.program
    }

    /// Puts other costs in place of the program's.
    pub fn set_costs(&mut self, costs: &[(usize, f64)]) {
        let mut all = vec![0.0; self.program.columns.len()];
        let mut reduced = vec![0.0; self.nonbasic.len()];
        let places = self.places();
        for (column, cost) in costs {
            all[*column] = *cost;
            self.add_to(&mut reduced, places[*column], *cost);
        }
        self.other_costs = Some(all);
        self.costs = reduced;
    }

    /// Costs of the columns, with what is added to their sum.
    pub fn goal(&self) -> (Vec<f64>, f64) {
        match &self.other_costs {
            Some(costs) => (costs.clone(), 0.0),
            None => (self.program.columns.iter().map(|column| column.cost).collect(), self.program.offset),
        }
    }

    fn line(&self, row: usize) -> &[f64] {
        let width = self.nonbasic.len();
        &self.table[row * width..(row + 1) * width]
    }

    /// The columns at the present basis.
    pub fn point(&self) -> Vec<f64> {
        let mut point = vec![0.0; self.program.columns.len()];
        let all = self.nonbasic.iter().zip(&self.at).chain(self.basic.iter().zip(&self.values));
        for (variable, value) in all {
            if let Some(place) = point.get_mut(*variable) {
                let (low, high) = self.bounds[*variable];
                *place = value.max(low).min(high);
            }
        }
        point
    }

    /// Multipliers of the rows at the present basis.
    pub fn multipliers(&self) -> Vec<f64> {
        let columns = self.program.columns.len();
        let mut multipliers = vec![0.0; self.program.rows.len()];
        for (variable, cost) in self.nonbasic.iter().zip(&self.costs) {
            if let Some(row) = variable.checked_sub(columns) {
                multipliers[row] = *cost;
            }
        }
        multipliers
    }

    /// Goes on from the present basis to an optimum: first with reduced costs moved a little, each by its own number, so
    /// that no two ends come at once and no step stands still; then with what they truly are.
    pub fn optimise(&mut self) -> Ending {
        self.optimise_among(&[])
    }

    /// The same among rows of which only those are stated that a point on the way misses.
    pub fn optimise_among(&mut self, rows: &[Row]) -> Ending {
        let size = self.costs.iter().fold(1e-9_f64, |size, cost| size.max(cost.abs()));
        for moved in MOVES {
            self.price(moved * size);
            match self.steps(if moved == 0.0 { LAST_STEPS } else { MOST_STEPS }, rows) {
                None => {}
                Some(Ending::Optimal) if moved != 0.0 => {}
                Some(ending) => return ending,
            }
        }
        Ending::Lost
    }

    /// Puts every nonbasic variable at the end that its reduced cost asks for, and moves that by up to `most` away from
    /// zero.
    fn price(&mut self, most: f64) {
        self.reduced.clone_from(&self.costs);
        for place in 0..self.nonbasic.len() {
            let variable = self.nonbasic[place];
            let (low, high) = self.bounds[variable];
            let cost = self.costs[place];
            if cost < -FLAT {
                self.at[place] = high;
            } else if FLAT < cost || self.at[place] != high {
                self.at[place] = low;
            }
            let share = 0.5 + 0.5 * ((variable * 7919 + 13) % 1009) as f64 / 1009.0;
            let sign = if self.at[place] == high { -1.0 } else { 1.0 };
            self.reduced[place] += sign * share * most;
        }
        self.refresh();
    }

    /// Steps to an optimum of the present reduced costs; `None` after too many.
    fn steps(&mut self, most: usize, rows: &[Row]) -> Option<Ending> {
        for step in 1..most {
            let Some((row, end)) = self.leaving() else {
                self.refresh();
                if self.leaving().is_some() || self.state_missed(rows) {
                    continue;
                }
                let stands = self.program.violation(&self.point()) <= FEASIBLE;
                return Some(if stands { Ending::Optimal } else { Ending::Lost });
            };
            let Some((place, flipped)) = self.entering(row, end) else {
                return Some(Ending::Infeasible(self.reason(row)));
            };
            for place in flipped {
                self.flip(place);
            }
            self.pivot(row, place, end);
            if step.is_multiple_of(REFRESH) {
                self.refresh();
            }
        }
        None
    }

    /// Multipliers that combine the rows into the one that cannot hold.
    fn reason(&self, row: usize) -> Vec<f64> {
        let columns = self.program.columns.len();
        let mut multipliers = vec![0.0; self.program.rows.len()];
        let terms = self.nonbasic.iter().zip(self.line(row)).map(|(variable, factor)| (*variable, -factor));
        for (variable, factor) in terms.chain([(self.basic[row], 1.0)]) {
            if let Some(row) = variable.checked_sub(columns) {
                multipliers[row] = factor;
            }
        }
        multipliers
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::RowOrigin;
    use crate::solve::{engine::solve_program, outcome::Outcome};

    /// A fixed sequence of scattered numbers between -1 and 1.
    fn scattered(seed: &mut u64) -> f64 {
        *seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (*seed >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }

    fn row(seed: &mut u64, columns: usize) -> Row {
        let terms = (0..columns).map(|column| (column, scattered(seed))).collect();
        let low = 0.4 * scattered(seed);
        Row { origin: RowOrigin::Derived, label: "row".into(), terms, low, high: low + 1.0 }
    }

    fn program(seed: &mut u64) -> Program {
        let mut program = Program::default();
        for _ in 0..7 {
            program.add_column("x", -1.0, 1.0, scattered(seed));
        }
        program.rows.extend((0..6).map(|_| row(seed, 7)));
        program
    }

    fn agrees(simplex: &mut DenseSimplex) -> bool {
        let mut program = simplex.program().clone();
        let (costs, offset) = simplex.goal();
        program.offset = offset;
        for (column, cost) in program.columns.iter_mut().zip(costs) {
            column.cost = cost;
        }
        let theirs = solve_program(&program);
        match (simplex.optimise(), theirs) {
            (Ending::Optimal, Outcome::Optimal(_, theirs)) => {
                let ours = program.objective(&simplex.point());
                assert!((ours - theirs).abs() < 1e-7, "{ours} beside {theirs}");
                true
            }
            (Ending::Infeasible(_), Outcome::Infeasible) => false,
            (ours, theirs) => panic!("{ours:?} beside {theirs:?}"),
        }
    }

    #[test]
    fn optima_are_those_of_the_engines_also_after_more_rows_and_other_costs() {
        let mut possible = 0;
        for case in 0..200 {
            let mut seed = case;
            let Some(mut simplex) = DenseSimplex::new(program(&mut seed)) else { panic!("all are boxed") };
            for _ in 0..3 {
                if !agrees(&mut simplex) {
                    break;
                }
                possible += 1;
                simplex.set_costs(&[(2, scattered(&mut seed)), (5, 1.0)]);
                assert!(agrees(&mut simplex), "other costs take no point away");
                simplex.add_row(row(&mut seed, 7));
            }
        }
        assert!(100 < possible, "only {possible} had a point");
    }

    /// What optimising comes to; an objective stands for the point.
    fn told(simplex: &mut DenseSimplex, rows: &[Row]) -> Option<f64> {
        match simplex.optimise_among(rows) {
            Ending::Optimal => Some(simplex.program().objective(&simplex.point())),
            Ending::Infeasible(_) => None,
            Ending::Lost => panic!("it is small and well scaled"),
        }
    }

    #[test]
    fn a_basis_taken_up_again_and_rows_stated_when_missed_lead_to_the_same_optimum() {
        let same = |one: Option<f64>, other: Option<f64>| match (one, other) {
            (Some(one), Some(other)) => (one - other).abs() < 1e-6,
            (one, other) => one == other,
        };
        let mut possible = 0;
        for case in 0..200 {
            let mut seed = case;
            let whole = program(&mut seed);
            let fresh = |program: &Program| {
                let Some(simplex) = DenseSimplex::new(program.clone()) else { panic!("all are boxed") };
                simplex
            };
            let Some(mut stated) = DenseSimplex::without_rows(&whole) else { panic!("all are boxed") };
            let optimum = told(&mut stated, &whole.rows);
            assert!(same(optimum, told(&mut fresh(&whole), &[])), "case {case}");
            if optimum.is_none() {
                continue;
            }
            possible += 1;
            let mut narrow = whole.clone();
            for (column, value) in narrow.columns.iter_mut().zip(stated.point()).take(3) {
                column.high = value.max(-0.9) - 0.1 * (value + 1.0).max(0.0);
            }
            let wanted = told(&mut fresh(&narrow), &[]);
            let Some(mut begun) = DenseSimplex::begun(&narrow, &stated.basis()) else {
                panic!("columns fit")
            };
            assert!(same(wanted, told(&mut begun, &narrow.rows)), "case {case}, from its basis");
            let Some(mut moved) = stated.clone().within(&narrow.columns) else { panic!("columns fit") };
            moved.drop_slack_rows();
            assert!(same(wanted, told(&mut moved, &narrow.rows)), "case {case}, with other ends");
            let mut least = whole.clone();
            for (at, column) in least.columns.iter_mut().enumerate() {
                column.cost = if at == 4 { 1.0 } else { 0.0 };
            }
            let wanted = told(&mut fresh(&least), &[]).unwrap_or(f64::INFINITY);
            assert_eq!(stated.clone().seek(4, 1.0, wanted + 0.01), Sought::Enough, "case {case}");
            assert_eq!(stated.seek(4, 1.0, f64::NEG_INFINITY), Sought::Least, "case {case}");
            assert_eq!(stated.optimise_among(&whole.rows), Ending::Optimal, "case {case}");
            assert!((stated.point()[4] - wanted).abs() < 1e-6, "case {case}");
        }
        assert!(50 < possible, "only {possible} had a point");
    }
}
