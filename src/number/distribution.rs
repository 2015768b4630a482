//! Quantiles and tails of the distributions that judge fits: normal, Student, Fisher.
//!
//! What enters: a probability and degrees of freedom, which need not be whole. What leaves: a quantile, by bisection
//! on the distribution function of a kept library, or a tail. This file knows nothing of what is being judged.

use statrs::distribution::{ContinuousCDF, FisherSnedecor, Normal, StudentsT};

/// Halvings of the search for a quantile: beyond the last bit of its numbers.
const HALVINGS: usize = 200;
/// Degrees of freedom from which Student's distribution is the normal one to all digits that are told.
const MANY: f64 = 1e8;

/// Quantile of the standard normal distribution for 0 < p < 1.
pub fn normal_quantile(p: f64) -> f64 {
    let normal = Normal::standard();
    searched(p, |z| normal.cdf(z))
}

/// Probability below `z` of the standard normal distribution.
pub fn normal_probability(z: f64) -> f64 {
    Normal::standard().cdf(z)
}

/// Quantile of Student's distribution for 0 < p < 1 with degrees of freedom above zero.
pub fn student_quantile(p: f64, degrees: f64) -> f64 {
    match StudentsT::new(0.0, 1.0, degrees) {
        Ok(student) if degrees < MANY => searched(p, |t| student.cdf(t)),
        _ => normal_quantile(p),
    }
}

/// Probability that the magnitude of Student's t exceeds `t`.
pub fn student_tail(t: f64, degrees: f64) -> f64 {
    match StudentsT::new(0.0, 1.0, degrees) {
        Ok(student) if degrees < MANY => 2.0 * student.cdf(-t.abs()),
        _ => 2.0 * normal_probability(-t.abs()),
    }
}

/// Probability that Fisher's F exceeds `ratio`; one for ratios that are not above zero.
pub fn fisher_tail(ratio: f64, above: f64, below: f64) -> f64 {
    match FisherSnedecor::new(above, below) {
        Ok(fisher) if 0.0 < ratio => fisher.sf(ratio),
        _ => 1.0,
    }
}

/// The argument at which a rising distribution function reaches `p`.
fn searched(p: f64, probability: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (-1.0, 1.0);
    while probability(high) < p && high < 1e150 {
        high *= 2.0;
    }
    while p < probability(low) && -1e150 < low {
        low *= 2.0;
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if probability(middle) < p { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Abramowitz and Stegun, tables 26.1, 26.9 and 26.10.
    #[test]
    fn quantiles_are_those_of_the_tables() {
        for (p, z) in [(0.95, 1.644_853_627), (0.975, 1.959_963_985), (0.1, -1.281_551_566)] {
            assert!((normal_quantile(p) - z).abs() < 1e-8, "{p}");
        }
        let table = [(0.95, 2.0, 2.920), (0.95, 4.0, 2.132), (0.95, 9.0, 1.833), (0.975, 10.0, 2.228)];
        for (p, degrees, t) in table {
            assert!((student_quantile(p, degrees) - t).abs() < 5e-4, "{p} {degrees}");
            assert!((student_tail(t, degrees) - 2.0 * (1.0 - p)).abs() < 1e-4, "{p} {degrees}");
        }
        assert!((student_quantile(0.95, 1e9) - 1.644_853_627).abs() < 1e-7);
        for (above, below, ratio) in [(2.0, 10.0, 4.10), (5.0, 9.0, 3.48), (1.0, 1.0, 161.45)] {
            assert!((fisher_tail(ratio, above, below) - 0.05).abs() < 2e-4, "{above} {below}");
        }
    }
}
