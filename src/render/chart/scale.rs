//! Numbers to places on paper, with round ticks.

use crate::number::Interval;
/// How numbers are spread over an axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spread {
    /// Equal differences, equal lengths.
    Linear,
    /// Equal ratios, equal lengths; only numbers above zero.
    Logarithmic,
}

/// A scale from numbers to pixels; ends and step are logarithms where the spread is logarithmic.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    spread: Spread,
    low: f64,
    high: f64,
    from: f64,
    to: f64,
    step: f64,
}

/// Fewest steps between ticks.
const STEPS: f64 = 4.0;

impl Scale {
    /// A scale whose ends are ticks and that holds all `values`, on pixels `from` .. `to`. Values that are no finite
    /// numbers are left out.
    pub fn over(values: impl IntoIterator<Item = f64>, from: f64, to: f64) -> Self {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for value in values.into_iter().filter(|value| value.is_finite()) {
            low = low.min(value);
            high = high.max(value);
        }
        if high < low {
            (low, high) = (0.0, 1.0);
        }
        // A single value gets room on both sides.
        if high - low <= 1e-9 * high.abs().max(low.abs()) {
            let room = if high == 0.0 { 1.0 } else { 0.05 * high.abs() };
            (low, high) = (low - room, high + room);
        }
        let step = round_step((high - low) / STEPS);
        let (low, high) = ((low / step).floor() * step, (high / step).ceil() * step);
        Self { spread: Spread::Linear, low, high, from, to, step }
    }

    /// A scale with these ends, on pixels `from` .. `to`.
    pub fn exactly(low: f64, high: f64, from: f64, to: f64) -> Self {
        Self { spread: Spread::Linear, low, high, from, to, step: high - low }
    }

    /// A scale of either spread; a logarithmic one leaves out what is not above zero, and ends at the values.
    pub fn spread(spread: Spread, values: impl IntoIterator<Item = f64>, from: f64, to: f64) -> Self {
        if spread == Spread::Linear {
            return Self::over(values, from, to);
        }
        let logarithms: Vec<f64> =
            values.into_iter().filter(|value| 0.0 < *value && value.is_finite()).map(f64::log10).collect();
        let low = logarithms.iter().copied().fold(f64::INFINITY, f64::min);
        let high = logarithms.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let (low, high) = if low < high { (low, high) } else { (low.min(0.0) - 1.0, high.max(0.0) + 1.0) };
        let (low, high) = if low.is_finite() && high.is_finite() { (low, high) } else { (0.0, 1.0) };
        Self { spread, low, high, from, to, step: 1.0 }
    }

    /// The place of a number.
    pub fn place(&self, value: f64) -> f64 {
        let value = if self.spread == Spread::Logarithmic { value.log10() } else { value };
        self.from + (value - self.low) / (self.high - self.low) * (self.to - self.from)
    }

    /// The ticks.
    pub fn ticks(&self) -> Vec<f64> {
        if self.spread == Spread::Logarithmic {
            return self.logarithmic_ticks();
        }
        let mut ticks = Vec::new();
        let mut index = 0.0;
        loop {
            let tick = self.low + index * self.step;
            if self.high + 0.5 * self.step < tick {
                return ticks;
            }
            // What is left of a difference of equal numbers is zero.
            ticks.push(if tick.abs() < 1e-9 * self.step { 0.0 } else { tick });
            index += 1.0;
        }
    }

    /// One, two and five times powers of ten; powers alone over more than three of them.
    fn logarithmic_ticks(&self) -> Vec<f64> {
        let multiples: &[f64] = if self.high - self.low <= 3.3 { &[1.0, 2.0, 5.0] } else { &[1.0] };
        let mut ticks = Vec::new();
        let mut power = self.low.floor();
        while power <= self.high {
            for multiple in multiples {
                let tick = multiple * 10_f64.powf(power);
                if self.low - 1e-9 <= tick.log10() && tick.log10() <= self.high + 1e-9 {
                    ticks.push(tick);
                }
            }
            power += 1.0;
        }
        ticks
    }

    /// A tick as text, with as many decimals as the step needs.
    pub fn tick_text(&self, tick: f64) -> String {
        if self.spread == Spread::Logarithmic {
            return crate::quantity::trimmed(tick, 2);
        }
        let digits = Interval::new(0.0, 12.0).nearest(-self.step.log10().floor());
        if 1e7 <= self.high.abs().max(self.low.abs()) || digits == 12.0 {
            return format!("{tick:.2e}");
        }
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 0 .. 12")]
        let digits = digits as usize;
        format!("{tick:.digits$}")
    }
}

/// The least of 1, 2, 5 times a power of ten that is at least `step` over 2.5 and near it.
fn round_step(step: f64) -> f64 {
    let power = 10_f64.powf(step.log10().floor());
    let share = step / power;
    power
        * if share < 1.5 {
            1.0
        } else if share < 3.5 {
            2.0
        } else if share < 7.5 {
            5.0
        } else {
            10.0
        }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_hold_all_values() {
        for values in [[3.0, 17.0], [-0.021, 0.043], [99.5, 100.5], [0.0, 0.0], [1e6, 1.2e9]] {
            let scale = Scale::over(values, 0.0, 100.0);
            let ticks = scale.ticks();
            assert!((3..=9).contains(&ticks.len()), "{values:?}: {ticks:?}");
            assert!(ticks[0] <= values[0] && values[1] <= *ticks.last().unwrap(), "{values:?}: {ticks:?}");
            assert!(values.iter().all(|value| (-1e-9..=100.000_001).contains(&scale.place(*value))));
        }
        let scale = Scale::over([0.31, 0.47], 0.0, 100.0);
        let texts: Vec<String> = scale.ticks().iter().map(|tick| scale.tick_text(*tick)).collect();
        assert_eq!(texts, ["0.30", "0.35", "0.40", "0.45", "0.50"]);
    }

    #[test]
    fn a_logarithmic_scale_has_ticks_within_its_ends_and_leaves_out_what_is_not_above_zero() {
        let scale = Scale::spread(Spread::Logarithmic, [0.0, 0.5, 365.0], 0.0, 100.0);
        assert_eq!(scale.ticks(), [0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0]);
        assert!((scale.place(365.0) - 100.0).abs() < 1e-9 && scale.place(0.5).abs() < 1e-9);
        assert_eq!(scale.tick_text(200.0), "200");
        assert!(Scale::spread(Spread::Logarithmic, [], 0.0, 1.0).place(3.0).is_finite());
    }

    #[test]
    fn what_is_no_number_is_left_out() {
        let scale = Scale::over([f64::NAN, 2.0, f64::INFINITY, 4.0], 0.0, 10.0);
        assert_eq!(scale, Scale::over([2.0, 4.0], 0.0, 10.0));
        assert!(Scale::over([], 0.0, 10.0).place(0.5).is_finite());
    }
}
