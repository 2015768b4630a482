//! Bounds and certificates by multipliers, on programs whose optimum is known by construction, scaled to hurt.

use mixbound::model::{Program, Row, RowOrigin};
use mixbound::solve::{Outcome, certified_bound, certified_infeasible, solve_program};

use super::Scatter;

/// A random program of which an optimum is known by construction: costs are what multipliers of the right signs on
/// the rows active at a point, and on its columns' bounds, make of it. Rows and columns are then scaled apart by up to
/// `decades` powers of ten each way.
fn with_known_optimum(scatter: &mut Scatter, decades: f64) -> (Program, Vec<f64>) {
    let (columns, rows) = (8, 12);
    let mut program = Program::default();
    let mut point = Vec::new();
    for _ in 0..columns {
        let (low, high) = (scatter.between(-1.0, 0.5), scatter.between(0.6, 2.0));
        let at = match (scatter.chance(0.4), scatter.chance(0.5)) {
            (true, true) => low,
            (true, false) => high,
            _ => scatter.between(low, high),
        };
        let push = scatter.between(0.0, 1.0);
        let cost = if at == low {
            push
        } else if at == high {
            -push
        } else {
            0.0
        };
        program.add_column("x", low, high, cost);
        point.push(at);
    }
    for _ in 0..rows {
        let mut terms = Vec::new();
        for column in 0..columns {
            if scatter.chance(0.6) {
                terms.push((column, scatter.between(-1.0, 1.0)));
            }
        }
        let sum: f64 = terms.iter().map(|(column, factor)| factor * point[*column]).sum();
        let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
        if scatter.chance(0.5) {
            low = sum;
            let y = scatter.between(0.0, 1.0);
            for (column, factor) in &terms {
                program.columns[*column].cost += y * factor;
            }
        } else {
            high = sum + scatter.between(0.1, 1.0);
        }
        program.rows.push(Row { origin: RowOrigin::Derived, label: "row".into(), terms, low, high });
    }
    for (index, value) in point.iter_mut().enumerate() {
        let scale = 10_f64.powf(scatter.between(-decades, decades));
        let column = &mut program.columns[index];
        (column.low, column.high, column.cost) =
            (column.low * scale, column.high * scale, column.cost / scale);
        *value *= scale;
        for row in &mut program.rows {
            for (at, factor) in &mut row.terms {
                if *at == index {
                    *factor /= scale;
                }
            }
        }
    }
    for row in &mut program.rows {
        let scale = 10_f64.powf(scatter.between(-decades, decades));
        row.terms.iter_mut().for_each(|(_, factor)| *factor *= scale);
        (row.low, row.high) = (row.low * scale, row.high * scale);
    }
    (program, point)
}

#[test]
fn no_certified_bound_exceeds_the_optimum_however_badly_a_program_is_scaled() {
    let mut scatter = Scatter(1);
    for (decades, least_close) in [(0.0, 0.99), (2.0, 0.9), (4.0, 0.2), (6.0, 0.0)] {
        let mut close = 0.0;
        for _ in 0..150 {
            let (program, best) = with_known_optimum(&mut scatter, decades);
            let optimum = program.objective(&best);
            let size: f64 =
                program.columns.iter().zip(&best).map(|(c, x)| (c.cost * x).abs()).sum::<f64>() + 1.0;
            let by_engine = match solve_program(&program) {
                Outcome::Optimal(point, _) => Some(point),
                _ => None,
            };
            let corner: Vec<f64> = program.columns.iter().map(|column| column.low).collect();
            for point in by_engine.iter().chain([&best, &corner]) {
                let bound = certified_bound(&program, point);
                assert!(
                    bound <= optimum + 1e-12 * size,
                    "{bound} is claimed, {optimum} is possible\n{}",
                    program.text()
                );
            }
            let bound = by_engine.map_or(f64::NEG_INFINITY, |point| certified_bound(&program, &point));
            close += f64::from(u8::from(optimum - 1e-6 * size <= bound)) / 150.0;
        }
        assert!(least_close <= close, "only {close} of the bounds are close at {decades} decades");
    }
}

#[test]
fn no_program_with_a_point_is_certified_infeasible_and_contradictions_are() {
    let mut scatter = Scatter(2);
    for decades in [0.0, 2.0, 4.0, 6.0] {
        for _ in 0..150 {
            let (program, _) = with_known_optimum(&mut scatter, decades);
            assert!(!certified_infeasible(&program), "{}", program.text());
        }
    }
    for _ in 0..100 {
        let (mut program, best) = with_known_optimum(&mut scatter, 0.0);
        let optimum = program.objective(&best);
        // What must cost less than the least.
        let terms = program.columns.iter().enumerate().map(|(index, column)| (index, column.cost)).collect();
        program.rows.push(Row {
            origin: RowOrigin::Derived,
            label: "less".into(),
            terms,
            low: f64::NEG_INFINITY,
            high: optimum - 1e-3,
        });
        assert!(certified_infeasible(&program), "{}", program.text());
    }
}
