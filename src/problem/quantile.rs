//! The standard normal distribution, for margins stated as a confidence.

/// Quantile of the standard normal distribution for 0.5 <= p < 1.
///
/// By bisection on the series below: a handful of calls per statement, and no constants to trust.
pub fn normal_quantile(p: f64) -> f64 {
    let (mut low, mut high) = (0.0, 40.0);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if normal_probability(middle) < p { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// Probability below z of the standard normal distribution, z >= 0, by the series of Abramowitz and Stegun 26.2.11.
fn normal_probability(z: f64) -> f64 {
    let density = (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
    let (mut term, mut sum, mut k) = (z, z, 1.0);
    while 1e-17 * sum < term {
        k += 2.0;
        term *= z * z / k;
        sum += term;
    }
    (0.5 + density * sum).min(1.0)
}

#[cfg(test)]
mod tests {
    /// Abramowitz and Stegun, table 26.1 and 26.5: P(1.645) = 0.95002, quantile of 0.95 is 1.64485, of 0.975 1.95996.
    #[test]
    fn normal_quantiles_are_those_of_the_tables() {
        for (p, z) in [(0.95, 1.644_853_6), (0.975, 1.959_964_0), (0.99, 2.326_347_9), (0.5, 0.0)] {
            assert!((super::normal_quantile(p) - z).abs() < 1e-6, "{p}");
        }
    }
}
