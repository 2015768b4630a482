//! Standard normal deviates from numbers between zero and one.
//!
//! What enters: a probability, neither zero nor one. What leaves: the quantile, fast enough for millions of them. Where one
//! quantile is told to people, `distribution` searches for it more exactly.

use statrs::distribution::{ContinuousCDF, Normal};

/// The quantile of the standard normal distribution.
pub fn normal_deviate(uniform: f64) -> f64 {
    Normal::standard().inverse_cdf(uniform)
}

#[cfg(test)]
mod tests {
    use super::normal_deviate;

    /// Abramowitz and Stegun, table 26.5.
    #[test]
    fn deviates_are_quantiles() {
        for (p, z) in [(0.5, 0.0), (0.975, 1.959_963_985), (0.05, -1.644_853_627), (0.999, 3.090_232_306)] {
            assert!((normal_deviate(p) - z).abs() < 1e-8, "{p}");
        }
    }
}
