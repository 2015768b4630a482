//! Least squares against certified and published results.
//!
//! NIST Statistical Reference Datasets, linear regression (certified values; data in `data/strd`), the yarn mixture of
//! the NIST/SEMATECH handbook 5.5.4.2 (Cornell) and the central composite example of Myers and Montgomery, chemical
//! yield (both values from memory; they reproduce exactly). Tolerances stand beside each set: rounding of double
//! precision times the condition of the columns.

use std::fs;

use mixbound::trial::regression::{Regression, regression};
use mixbound::trial::term::{Term, columns, up_to_order};

/// Columns of a reference data set, the response first.
fn data(name: &str) -> Vec<Vec<f64>> {
    let path = format!("{}/tests/data/strd/{name}.csv", env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(path).unwrap();
    let rows: Vec<Vec<f64>> = text
        .lines()
        .skip(1)
        .map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect())
        .collect();
    (0..rows[0].len()).map(|at| rows.iter().map(|row| row[at]).collect()).collect()
}

fn fit(columns: &[Vec<f64>], measured: &[f64]) -> Regression {
    regression(columns, measured, &vec![1.0; measured.len()]).unwrap()
}

fn powers(x: &[f64], degree: i32) -> Vec<Vec<f64>> {
    (0..=degree).map(|power| x.iter().map(|x| x.powi(power)).collect()).collect()
}

fn near(got: f64, certified: f64, tolerance: f64) {
    assert!((got - certified).abs() <= tolerance * certified.abs().max(1e-300), "{got} is not {certified}");
}

fn all_near(got: &[f64], certified: &[f64], tolerance: f64) {
    assert_eq!(got.len(), certified.len());
    for (got, certified) in got.iter().zip(certified) {
        near(*got, *certified, tolerance);
    }
}

#[test]
fn norris_and_longley_are_met_as_certified() {
    let norris = data("norris");
    let found = fit(&powers(&norris[1], 1), &norris[0]);
    all_near(&found.coefficients, &[-0.262_323_073_774_029, 1.002_116_818_020_45], 1e-11);
    all_near(&found.errors, &[0.232_818_234_301_152, 4.297_968_481_999_37e-4], 1e-11);
    near(found.deviation, 0.884_796_396_144_373, 1e-11);
    near(found.explained, 0.999_993_745_883_712, 1e-11);

    let longley = data("longley");
    let mut columns = vec![vec![1.0; 16]];
    columns.extend_from_slice(&longley[1..]);
    let found = fit(&columns, &longley[0]);
    let certified = [
        -3_482_258.634_595_82,
        15.061_872_271_373_3,
        -0.035_819_179_292_591_0,
        -2.020_229_803_816_83,
        -1.033_226_867_173_59,
        -0.051_104_105_653_580_7,
        1_829.151_464_613_55,
    ];
    all_near(&found.coefficients, &certified, 1e-9);
    let errors = [
        890_420.383_607_373,
        84.914_925_774_766_9,
        0.033_491_007_772_243_2,
        0.488_399_681_651_699,
        0.214_274_163_161_675,
        0.226_073_200_069_370,
        455.478_499_142_212,
    ];
    all_near(&found.errors, &errors, 1e-6);
    near(found.deviation, 304.854_073_561_965, 1e-9);
    near(found.explained, 0.995_479_004_577_296, 1e-9);
}

#[test]
fn filip_keeps_all_eleven_columns() {
    let filip = data("filip");
    let found = fit(&powers(&filip[1], 10), &filip[0]);
    let certified = [
        -1_467.489_614_229_80,
        -2_772.179_591_933_42,
        -2_316.371_081_608_93,
        -1_127.973_940_983_72,
        -354.478_233_703_349,
        -75.124_201_739_375_7,
        -10.875_318_035_534_3,
        -1.062_214_985_889_47,
        -0.067_019_115_459_340_8,
        -0.002_467_810_782_754_79,
        -4.029_625_250_804_04e-5,
    ];
    all_near(&found.coefficients, &certified, 1e-6);
    near(found.deviation, 0.003_348_010_513_245_44, 1e-6);
    near(found.explained, 0.996_727_416_185_620, 1e-6);
    assert!(1e9 < found.condition && found.condition < 1e10, "{}", found.condition);
}

#[test]
fn the_polynomials_of_wampler_are_found_through_their_noise() {
    let x: Vec<f64> = (0..=20).map(f64::from).collect();
    let terms = powers(&x, 5);
    let exact: Vec<f64> = (0..21).map(|row| terms.iter().map(|column| column[row]).sum()).collect();
    all_near(&fit(&terms, &exact).coefficients, &[1.0; 6], 1e-8);
    let tenths: Vec<f64> = x.iter().map(|x| (0..=5).map(|power| (x / 10.0).powi(power)).sum()).collect();
    all_near(&fit(&terms, &tenths).coefficients, &[1.0, 0.1, 0.01, 1e-3, 1e-4, 1e-5], 1e-8);
    let noise = [
        759.0, -2048.0, 2048.0, -2048.0, 2523.0, -2048.0, 2048.0, -2048.0, 1838.0, -2048.0, 2048.0, -2048.0,
        1838.0, -2048.0, 2048.0, -2048.0, 2523.0, -2048.0, 2048.0, -2048.0, 759.0,
    ];
    for (times, tolerance, explained) in [
        (1.0, 1e-8, 0.999_995_559_025_820),
        (100.0, 1e-6, 0.957_478_440_825_662),
        (1e4, 1e-4, 0.002_246_689_214_909_40),
    ] {
        let measured: Vec<f64> = exact.iter().zip(noise).map(|(y, d)| y + times * d).collect();
        let found = fit(&terms, &measured);
        all_near(&found.coefficients, &[1.0; 6], tolerance);
        near(found.deviation, 2_360.145_023_792_68 * times, 1e-9);
        near(found.errors[0], 2_152.326_246_781_70 * times, 1e-8);
        near(found.errors[5], 0.112_324_854_679_312 * times, 1e-8);
        near(found.explained, explained, 1e-8);
    }
}

#[test]
fn lines_without_a_constant_are_judged_about_zero() {
    let x: Vec<f64> = (60..=70).map(f64::from).collect();
    let y: Vec<f64> = (130..=140).map(f64::from).collect();
    let found = fit(&[x], &y);
    near(found.coefficients[0], 2.074_380_165_289_26, 1e-12);
    near(found.errors[0], 0.016_528_925_619_834_7, 1e-12);
    near(found.deviation, 3.567_530_340_063_38, 1e-12);
    near(found.explained, 0.999_365_492_298_663, 1e-12);
    let found = fit(&[vec![4.0, 5.0, 6.0]], &[3.0, 4.0, 4.0]);
    near(found.coefficients[0], 0.727_272_727_272_727, 1e-12);
    near(found.errors[0], 0.042_082_731_807_843_2, 1e-12);
    near(found.deviation, 0.369_274_472_937_998, 1e-12);
    near(found.explained, 0.993_348_115_299_335, 1e-12);
}

#[test]
fn shares_that_sum_to_one_are_fitted_without_a_constant() {
    let trials: [([f64; 3], &[f64]); 6] = [
        ([1.0, 0.0, 0.0], &[11.0, 12.4]),
        ([0.5, 0.5, 0.0], &[15.0, 14.8, 16.1]),
        ([0.0, 1.0, 0.0], &[8.8, 10.0]),
        ([0.0, 0.5, 0.5], &[10.0, 9.7, 11.8]),
        ([0.0, 0.0, 1.0], &[16.8, 16.0]),
        ([0.5, 0.0, 0.5], &[17.7, 16.4, 16.6]),
    ];
    let rows: Vec<(Vec<f64>, f64)> = trials
        .iter()
        .flat_map(|(shares, results)| results.iter().map(|result| (shares.to_vec(), *result)))
        .collect();
    let (shares, measured): (Vec<Vec<f64>>, Vec<f64>) = rows.into_iter().unzip();
    let terms: Vec<Term> = [vec![0], vec![1], vec![2], vec![0, 1], vec![0, 2], vec![1, 2]].map(Term).to_vec();
    let found = fit(&columns(&terms, &shares), &measured);
    all_near(&found.coefficients, &[11.7, 9.4, 16.4, 19.0, 11.4, -9.6], 1e-12);
    near(found.errors[0], 0.603_69, 1e-5);
    near(found.errors[4], 2.608_25, 1e-5);
    near(found.deviation, 0.853_749_9, 1e-6);
    near(found.explained, 0.951_355_5, 1e-6);
    let all = up_to_order(3, 2);
    let refused = regression(&columns(&all, &shares), &measured, &vec![1.0; measured.len()]).unwrap_err();
    assert!(refused.iter().any(|dependence| dependence.column == 3 && dependence.combination.len() == 3));
}

#[test]
fn the_central_composite_example_is_met() {
    let a = 1.414;
    let trials = [
        (-1.0, -1.0, 76.5),
        (-1.0, 1.0, 77.0),
        (1.0, -1.0, 78.0),
        (1.0, 1.0, 79.5),
        (0.0, 0.0, 79.9),
        (0.0, 0.0, 80.3),
        (0.0, 0.0, 80.0),
        (0.0, 0.0, 79.7),
        (0.0, 0.0, 79.8),
        (a, 0.0, 78.4),
        (-a, 0.0, 75.6),
        (0.0, a, 78.5),
        (0.0, -a, 77.0),
    ];
    let rows: Vec<Vec<f64>> = trials.iter().map(|(x, y, _)| vec![*x, *y]).collect();
    let measured: Vec<f64> = trials.iter().map(|(.., z)| *z).collect();
    let found = fit(&columns(&up_to_order(2, 2), &rows), &measured);
    let printed = [79.939_95, 0.995_05, 0.515_20, -1.376_45, 0.25, -1.001_34];
    for (got, printed) in found.coefficients.iter().zip(printed) {
        assert!((got - printed).abs() < 1e-4, "{got} is not {printed}");
    }
}
