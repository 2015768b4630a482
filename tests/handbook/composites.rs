//! Two-phase moduli and the aggregate's restraint of shrinkage: identities of classical formulas.

use super::{check, law};

const NAMES: [&str; 7] = [
    "reuss modulus",
    "hashin shtrikman lower modulus",
    "hashin shtrikman modulus",
    "counto modulus",
    "hirsch modulus",
    "hashin shtrikman upper modulus",
    "voigt modulus",
];

fn all(matrix: f64, inclusion: f64, share: f64) -> [f64; 7] {
    let inputs = [("matrix modulus", matrix), ("inclusion modulus", inclusion), ("inclusion share", share)];
    NAMES.map(|name| law(name, &inputs))
}

#[test]
fn stiff_inclusions() {
    let expected = [42.2535, 45.2479, 45.2479, 45.5654, 45.5906, 46.8063, 49.5];
    for (got, expected) in all(25.0, 60.0, 0.7).into_iter().zip(expected) {
        check(got, expected, 1e-4);
    }
}

#[test]
fn soft_inclusions() {
    let [reuss, lower, closed, _, _, upper, voigt] = all(20.0, 12.0, 0.25);
    check(voigt, 18.0, 1e-9);
    check(reuss, 17.1429, 1e-4);
    check(closed, 17.6471, 1e-4);
    // a soft inclusion makes the closed form the upper bound
    check(closed, upper, 1e-9);
    assert!(reuss <= lower && lower <= upper && upper <= voigt);
}

#[test]
fn equal_phases_give_their_modulus_and_bounds_are_in_order() {
    for got in all(30.0, 30.0, 0.4) {
        check(got, 30.0, 1e-9);
    }
    for share in [0.0, 0.1, 0.5, 0.9, 1.0] {
        let [reuss, lower, _, counto, _, upper, voigt] = all(15.0, 70.0, share);
        let order = [reuss, lower, upper, voigt];
        assert!(order.windows(2).all(|pair| pair[0] <= pair[1] + 1e-9), "{order:?}");
        assert!(reuss <= counto + 1e-9 && counto <= voigt + 1e-9);
    }
}

/// Pickett 1956: exponents are a value from memory.
#[test]
fn pickett() {
    for (share, exponent, expected) in [(0.70, 1.2, 235.8), (0.70, 1.7, 129.2), (0.65, 1.5, 207.1)] {
        let inputs = [("paste shrinkage", 1000.0), ("aggregate share", share), ("exponent", exponent)];
        check(law("pickett shrinkage", &inputs), expected, 0.06);
    }
}
