//! Required average strength: how far the mean must lie above the strength that is specified.
//!
//! What enters: strengths and deviations, MPa or psi where the name says so, as any [`Number`]. The rules hold for cylinder
//! tests that scatter normally.

use crate::number::{Join, Number};

/// Mean less characteristic strength, MPa (EN 1992-1-1:2004, table 3.1).
pub const EUROCODE_MARGIN: f64 = 8.0;
/// Deviations that a target lies over the characteristic strength (EN 206-1:2000, annex A.5, value from memory).
pub const TARGET_DEVIATIONS: f64 = 2.0;
/// Fewest strength tests from which a standard deviation may be taken (ACI 301 and ACI 318).
pub const FEWEST_TESTS: f64 = 15.0;

/// Required average from records, MPa; the deviation with its factor for few tests (ACI 318M-05, table 5.3.2.1).
pub fn aci_recorded<N: Number>(specified: N, deviation: N) -> N {
    recorded(specified, deviation, 35.0, 3.5)
}

/// Required average from records, psi (ACI 318-05, table 5.3.2.1).
pub fn aci_recorded_psi<N: Number>(specified: N, deviation: N) -> N {
    recorded(specified, deviation, 5000.0, 500.0)
}

/// The rule for records; at the threshold one tenth of it is the allowance, so the branches meet.
fn recorded<N: Number>(specified: N, deviation: N, threshold: f64, allowance: f64) -> N {
    let floor = specified.piecewise(
        threshold,
        Join::Continuous,
        |low| low.clone() - allowance,
        |high| high.clone() * 0.9,
    );
    (specified + deviation.clone() * 1.34).max(&(floor + deviation * 2.33))
}

/// Required average without records, MPa (ACI 318M-05, table 5.3.2.2).
#[expect(clippy::needless_pass_by_value, reason = "rules of averages are called alike")]
pub fn aci_unrecorded<N: Number>(specified: N) -> N {
    unrecorded(&specified, [21.0, 35.0], [7.0, 8.3, 5.0])
}

/// Required average without records, psi (ACI 318-05, table 5.3.2.2).
#[expect(clippy::needless_pass_by_value, reason = "rules of averages are called alike")]
pub fn aci_unrecorded_psi<N: Number>(specified: N) -> N {
    unrecorded(&specified, [3000.0, 5000.0], [1000.0, 1200.0, 700.0])
}

/// The rule for no record: a step at the first threshold, which itself belongs to the middle, and a new slope
/// at the second.
fn unrecorded<N: Number>(specified: &N, [first, second]: [f64; 2], [low, middle, high]: [f64; 3]) -> N {
    specified.piecewise(
        first.next_down(),
        Join::Jump,
        |weak| weak.clone() + low,
        |rest| {
            rest.piecewise(
                second,
                Join::Jump,
                |usual| usual.clone() + middle,
                |strong| strong.clone() * 1.1 + high,
            )
        },
    )
}

/// Factor on a standard deviation from few tests: 1.16 at 15, 1.08 at 20, 1.03 at 25, 1.00 from 30, straight lines
/// between (ACI 318-05, table 5.3.1.2).
#[expect(clippy::needless_pass_by_value, reason = "rules of averages are called alike")]
pub fn aci_sample_factor<N: Number>(tests: N) -> N {
    // the broken line is convex: the highest of its pieces
    let piece = |start: f64, value: f64, slope: f64| (tests.clone() - start) * slope + value;
    piece(15.0, 1.16, -0.016).max(&piece(20.0, 1.08, -0.010)).max(&piece(25.0, 1.03, -0.006)).at_least(1.0)
}
