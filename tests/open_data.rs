//! Real concrete: the forms with age and without, fitted to published results by orthogonal factorisation.
//!
//! Data: I-C. Yeh 1998, Concrete Compressive Strength, licence CC BY 4.0; kg/m3, d, MPa.

use mixbound::response::law::Law;

const DATA: &str = include_str!("data/concrete_strength_yeh1998.csv");

struct Row {
    cement: f64,
    slag: f64,
    ash: f64,
    water: f64,
    age: f64,
    all: Vec<f64>,
    strength: f64,
}

fn rows() -> Vec<Row> {
    let read = |line: &str| {
        let all: Vec<f64> = line.split(',').map(|cell| cell.parse().expect("a number")).collect();
        Row {
            cement: all[0],
            slag: all[1],
            ash: all[2],
            water: all[3],
            age: all[7],
            strength: all[8],
            all: all[..8].to_vec(),
        }
    };
    DATA.lines().skip(1).map(read).collect()
}

fn at_28(rows: Vec<Row>) -> Vec<Row> {
    rows.into_iter().filter(|row| row.age == 28.0).collect()
}

/// Least squares by Householder reflections: coefficients and root mean square of what is left.
fn fit(rows: &[Row], factors: impl Fn(&Row) -> Vec<f64>, target: impl Fn(&Row) -> f64) -> (Vec<f64>, f64) {
    let mut table: Vec<Vec<f64>> = rows
        .iter()
        .map(|row| {
            let mut line = factors(row);
            line.push(target(row));
            line
        })
        .collect();
    let (count, columns) = (table.len(), table[0].len() - 1);
    for column in 0..columns {
        let norm = table[column..].iter().map(|line| line[column].powi(2)).sum::<f64>().sqrt();
        let head = -norm.copysign(table[column][column]);
        let mut mirror: Vec<f64> = table[column..].iter().map(|line| line[column]).collect();
        mirror[0] -= head;
        let squared: f64 = mirror.iter().map(|part| part * part).sum();
        for other in column..=columns {
            let along: f64 = mirror.iter().zip(&table[column..]).map(|(part, line)| part * line[other]).sum();
            for (part, line) in mirror.iter().zip(&mut table[column..]) {
                line[other] -= 2.0 * along / squared * part;
            }
        }
    }
    let mut solution = vec![0.0; columns];
    for row in (0..columns).rev() {
        let known: f64 = (row + 1..columns).map(|at| table[row][at] * solution[at]).sum();
        solution[row] = (table[row][columns] - known) / table[row][row];
    }
    let left: f64 = table[columns..].iter().map(|line| line[columns].powi(2)).sum();
    (solution, (left / count as f64).sqrt())
}

fn check(got: &[f64], expected: &[f64], tolerance: f64) {
    assert_eq!(got.len(), expected.len());
    for (at, (got, expected)) in got.iter().zip(expected).enumerate() {
        assert!((got - expected).abs() <= tolerance, "coefficient {at}: got {got}, expected {expected}");
    }
}

#[test]
fn the_data_are_the_published_ones() {
    let rows = rows();
    assert_eq!(rows.len(), 1030);
    assert_eq!((rows[0].cement, rows[0].water, rows[0].strength), (540.0, 162.0, 79.99));
    assert_eq!(at_28(rows).len(), 425);
}

#[test]
fn bolomey_with_age_fits_and_its_law_gives_the_same_residuals() {
    let rows = rows();
    let factors = |row: &Row| {
        let (c, s, f, t) = (row.cement / row.water, row.slag / row.water, row.ash / row.water, row.age.ln());
        vec![1.0, c, s, f, t, t * c, t * s, t * f]
    };
    let (solution, left) = fit(&rows, factors, |row| row.strength);
    let golden = [-17.82072, 15.33967, 2.42976, 0.63191, 4.14709, 1.28312, 4.08004, 3.63411];
    check(&solution, &golden, 1e-4);
    check(&[left], &[7.0042], 1e-4);
    let residual = |row: &Row| {
        let mut inputs = vec![row.cement / row.water, row.slag / row.water, row.ash / row.water, row.age];
        inputs.extend(&solution);
        (Law::BolomeyAged.value(&inputs) - row.strength).powi(2)
    };
    let mean = rows.iter().map(residual).sum::<f64>() / rows.len() as f64;
    check(&[mean.sqrt()], &[left], 1e-9);
}

#[test]
fn abrams_with_age_fits_and_its_law_gives_the_same_residuals() {
    let rows = rows();
    let ratio = |row: &Row| row.water / (row.cement + row.slag + row.ash);
    let (solution, left) = fit(&rows, |row| vec![1.0, ratio(row), row.age.ln()], |row| row.strength.ln());
    check(&solution, &[3.83025, -2.81309, 0.29623], 1e-4);
    let residual = |row: &Row| {
        let inputs = [ratio(row), row.age, solution[0], solution[1], solution[2]];
        (Law::AbramsAged.value(&inputs).ln() - row.strength.ln()).powi(2)
    };
    let mean = rows.iter().map(residual).sum::<f64>() / rows.len() as f64;
    check(&[mean.sqrt()], &[left], 1e-9);
}

#[test]
fn bolomey_at_28_days_fits() {
    let rows = at_28(rows());
    let factors = |row: &Row| vec![1.0, row.cement / row.water, row.slag / row.water, row.ash / row.water];
    let (solution, left) = fit(&rows, factors, |row| row.strength);
    check(&solution, &[-6.5132, 21.76128, 16.87878, 8.94536], 1e-4);
    check(&[left], &[7.3377], 1e-4);
    // the additions' efficiency that follows
    check(&[solution[2] / solution[1], solution[3] / solution[1]], &[0.78, 0.41], 0.005);
    let binder = |row: &Row| (row.cement + row.slag + row.ash) / row.water;
    let (plain, _) = fit(&rows, |row| vec![1.0, binder(row)], |row| row.strength);
    check(&plain, &[-9.703_205, 20.209_003], 1e-5);
    // the law's offset is per unit of binder over water
    let law = Law::Bolomey.value(&[0.5, plain[1], -plain[0] / plain[1]]);
    check(&[law], &[plain[0] + 2.0 * plain[1]], 1e-9);
}

#[test]
fn abrams_at_28_days_fits() {
    let rows = at_28(rows());
    let effective = |row: &Row| {
        let inputs = [("water", row.water), ("cement", row.cement), ("fly ash", row.ash), ("slag", row.slag)];
        let caps = [("fly ash cap", 10.0), ("slag cap", 10.0)];
        let efficiencies = [("fly ash efficiency", 0.41), ("slag efficiency", 0.78)];
        let named = [&inputs[..], &caps, &efficiencies].concat();
        Law::EquivalentRatio.value(&Law::EquivalentRatio.arrange(&named).expect("inputs of the card"))
    };
    let (solution, _) = fit(&rows, |row| vec![1.0, effective(row)], |row| row.strength.ln());
    check(&solution, &[4.90855, -2.55394], 1e-4);
    let plain = |row: &Row| row.water / (row.cement + row.slag + row.ash);
    let (solution, _) = fit(&rows, |row| vec![1.0, plain(row)], |row| row.strength.ln());
    check(&solution, &[4.818_424, -2.800_950], 1e-5);
    // as constants of the law
    let (a, b) = (solution[0].exp(), (-solution[1]).exp());
    check(&[a, b], &[123.77, 16.460], 0.005);
    check(&[Law::Abrams.value(&[0.5, a, b])], &[(solution[0] + 0.5 * solution[1]).exp()], 1e-9);
}

#[test]
fn a_plain_linear_form_fits() {
    let rows = rows();
    let factors = |row: &Row| [vec![1.0], row.all.clone()].concat();
    let (solution, _) = fit(&rows, factors, |row| row.strength);
    let golden = [
        -23.331_213_6,
        0.119_804_334,
        0.103_865_809,
        0.087_934_321_5,
        -0.149_918_419,
        0.292_224_595,
        0.018_086_214_8,
        0.020_190_351_1,
        0.114_222_068,
    ];
    check(&solution, &golden, 2e-7);
}

#[test]
fn the_eurocode_age_factor_misses_by_what_is_known() {
    // each mix's own strength at 28 d, averaged over its repeats, against its other ages: 583 rows
    let rows = rows();
    let own = |row: &Row| {
        let same: Vec<f64> = rows
            .iter()
            .filter(|other| other.age == 28.0 && other.all[..7] == row.all[..7])
            .map(|other| other.strength)
            .collect();
        (!same.is_empty()).then(|| same.iter().sum::<f64>() / same.len() as f64)
    };
    let others: Vec<(f64, f64, f64)> = rows
        .iter()
        .filter(|row| row.age != 28.0)
        .filter_map(|row| own(row).map(|mean| (mean, row.age, row.strength)))
        .collect();
    assert_eq!(others.len(), 583);
    let left = |s: f64| {
        let squares = others
            .iter()
            .map(|(mean, age, got)| (Law::EurocodeStrengthAged.value(&[*mean, *age, s]) - got).powi(2));
        (squares.sum::<f64>() / others.len() as f64).sqrt()
    };
    check(&[left(0.20), left(0.25), left(0.38)], &[7.4, 6.3, 5.24], 0.05);
    assert!(left(0.362) < left(0.35) && left(0.362) < left(0.375));
}
