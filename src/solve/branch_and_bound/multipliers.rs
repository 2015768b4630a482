//! Multipliers at an optimum by elimination, without another program.
//!
//! Every column strictly inside its bounds has reduced cost zero, and only rows active at the point carry a
//! multiplier. Where more rows are active than needed the first choice of them may give a multiplier or a reduced
//! cost of the wrong sign; then the worst offender changes sides and the rest is eliminated anew. What comes out is
//! only a proposal: the bound computed from it holds whatever it is.

use crate::model::Program;

/// How often an offender may change sides.
const REPAIRS: usize = 24;
/// Size of a wrong sign that counts.
const WRONG: f64 = 1e-9;

/// Proposed row multipliers, if the elimination goes through.
pub fn eliminated(program: &Program, point: &[f64]) -> Option<Vec<f64>> {
    let mut guess = Guess::at(program, point);
    for _ in 0..REPAIRS {
        let multipliers = guess.eliminate(program)?;
        match guess.worst_offender(program, &multipliers) {
            None => return Some(multipliers),
            Some(Offender::Row(position)) => {
                guess.active.swap_remove(position);
            }
            Some(Offender::Column(column)) => guess.inside.push(column),
        }
    }
    None
}

/// Which rows may carry a multiplier, and which columns must have reduced cost zero.
struct Guess {
    active: Vec<(usize, Ends)>,
    inside: Vec<usize>,
    at_bound: Vec<Ends>,
}

/// At which ends a value stands.
#[derive(Clone, Copy, PartialEq)]
enum Ends {
    None,
    Low,
    High,
    Both,
}

enum Offender {
    Row(usize),
    Column(usize),
}

fn ends(value: f64, low: f64, high: f64) -> Ends {
    let near = |end: f64| end.is_finite() && (value - end).abs() <= 1e-8 * (1.0 + end.abs());
    match (near(low), near(high)) {
        (true, true) => Ends::Both,
        (true, false) => Ends::Low,
        (false, true) => Ends::High,
        (false, false) => Ends::None,
    }
}

/// How wrong the sign of a multiplier or reduced cost is: at the low end it is not negative, at the high end not
/// positive.
fn wrongness(ends: Ends, value: f64) -> f64 {
    match ends {
        Ends::Low => -value,
        Ends::High => value,
        Ends::None | Ends::Both => 0.0,
    }
}

impl Guess {
    fn at(program: &Program, point: &[f64]) -> Self {
        let at_bound: Vec<Ends> = program
            .columns
            .iter()
            .zip(point)
            .map(|(column, value)| ends(*value, column.low, column.high))
            .collect();
        let inside = (0..at_bound.len()).filter(|column| at_bound[*column] == Ends::None).collect();
        let active = program
            .rows
            .iter()
            .enumerate()
            .map(|(index, row)| {
                let value: f64 = row.terms.iter().map(|(column, factor)| factor * point[*column]).sum();
                (index, ends(value, row.low, row.high))
            })
            .filter(|(_, ends)| *ends != Ends::None)
            .collect();
        Self { active, inside, at_bound }
    }

    /// Solves `sum y A = cost` over the inside columns, by elimination with the largest coefficient of each
    /// equation as pivot.
    fn eliminate(&self, program: &Program) -> Option<Vec<f64>> {
        if self.active.len() < self.inside.len() {
            return None;
        }
        let width = self.active.len() + 1;
        let mut place = vec![None; program.columns.len()];
        for (equation, column) in self.inside.iter().enumerate() {
            place[*column] = Some(equation);
        }
        let mut matrix = vec![0.0; self.inside.len() * width];
        for (at, (row, _)) in self.active.iter().enumerate() {
            for (column, factor) in &program.rows[*row].terms {
                if let Some(equation) = place[*column] {
                    matrix[equation * width + at] = *factor;
                }
            }
        }
        for (equation, column) in self.inside.iter().enumerate() {
            matrix[equation * width + width - 1] = program.columns[*column].cost;
        }
        let mut pivots: Vec<Option<usize>> = Vec::with_capacity(self.inside.len());
        for step in 0..self.inside.len() {
            let pivot_row = matrix[step * width..(step + 1) * width].to_vec();
            let (at, largest) = (0..width - 1)
                .map(|at| (at, pivot_row[at].abs()))
                .max_by(|a, b| a.1.total_cmp(&b.1))
                .filter(|(_, largest)| 1e-11 < *largest)
                .unwrap_or((0, 0.0));
            if largest == 0.0 {
                // The column follows from others: its own equation must hold already.
                if 1e-9 < pivot_row[width - 1].abs() {
                    return None;
                }
                pivots.push(None);
                continue;
            }
            pivots.push(Some(at));
            for (other, equation) in matrix.chunks_mut(width).enumerate() {
                let factor = equation[at] / pivot_row[at];
                if other == step || factor == 0.0 {
                    continue;
                }
                for (value, pivot) in equation.iter_mut().zip(&pivot_row) {
                    *value -= factor * pivot;
                }
                equation[at] = 0.0;
            }
        }
        let mut multipliers = vec![0.0; program.rows.len()];
        for (equation, pivot) in matrix.chunks(width).zip(&pivots) {
            if let Some(at) = pivot {
                multipliers[self.active[*at].0] = equation[width - 1] / equation[*at];
            }
        }
        Some(multipliers)
    }

    fn worst_offender(&self, program: &Program, multipliers: &[f64]) -> Option<Offender> {
        let mut worst = WRONG;
        let mut offender = None;
        for (position, (row, ends)) in self.active.iter().enumerate() {
            let wrong = wrongness(*ends, multipliers[*row]);
            if worst < wrong {
                worst = wrong;
                offender = Some(Offender::Row(position));
            }
        }
        let mut reduced: Vec<f64> = program.columns.iter().map(|column| column.cost).collect();
        for (row, _) in &self.active {
            let y = multipliers[*row];
            if y != 0.0 {
                for (column, factor) in &program.rows[*row].terms {
                    reduced[*column] -= y * factor;
                }
            }
        }
        for (column, (ends, reduced)) in self.at_bound.iter().zip(&reduced).enumerate() {
            let wrong = wrongness(*ends, *reduced);
            if worst < wrong && !self.inside.contains(&column) {
                worst = wrong;
                offender = Some(Offender::Column(column));
            }
        }
        offender
    }
}
