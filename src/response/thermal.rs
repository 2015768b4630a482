//! The temperature of the concrete over age: one history for the equivalent age and for the strain of temperature.
//!
//! What enters: temperatures by age, the coefficient of expansion, the apparent activation energy. What leaves: the
//! equivalent age at 20 degrees Celsius, and the strain since restraint began, in microstrain, shortening positive. Where
//! the temperatures come from (measured, or worked out from heat of hydration) nothing here knows; gradients within the
//! concrete are not followed.

/// 20 degrees Celsius, K.
const REFERENCE: f64 = 293.15;
/// Degrees Celsius to K.
const ZERO: f64 = 273.15;
/// Parts that a line between two temperatures is cut into for the equivalent age.
const PARTS: u32 = 16;

/// Temperature over age.
#[derive(Clone, Debug, PartialEq)]
pub struct Thermal {
    /// Age since casting (d) and temperature (degrees Celsius), in order; straight lines between, level outside.
    points: Vec<(f64, f64)>,
    /// Equivalent age at each point, d.
    equivalent: Vec<f64>,
    /// Strain per degree, microstrain/K.
    expansion: f64,
    /// Apparent activation energy over the gas constant, K.
    activation: f64,
    /// Age at which restraint begins, d: the strain is zero there.
    onset: f64,
    /// Adiabatic rise that the temperatures belong to (K), where the strain goes with the mix's own.
    rise: Option<f64>,
}

impl Thermal {
    /// From points in order of age (d, degrees Celsius), strain per degree (microstrain/K), apparent activation energy over
    /// the gas constant (K), and the age from which strain counts (d).
    pub fn new(points: Vec<(f64, f64)>, expansion: f64, activation: f64, onset: f64) -> Self {
        let mut thermal = Self { points, equivalent: Vec::new(), expansion, activation, onset, rise: None };
        let mut sum = 0.0;
        let mut before = (0.0, thermal.celsius(0.0));
        for (age, celsius) in thermal.points.clone() {
            sum += thermal.matured(before, (age, celsius));
            thermal.equivalent.push(sum);
            before = (age, celsius);
        }
        thermal
    }

    /// The same with a strain in proportion to the adiabatic rise of a mix; the temperatures belong to this rise, K. The
    /// equivalent age stays that of the temperatures as given.
    #[must_use]
    pub fn of_rise(self, rise: f64) -> Self {
        Self { rise: Some(rise), ..self }
    }

    /// Adiabatic rise that the temperatures belong to, K, where the strain goes with the mix's own.
    pub fn rise(&self) -> Option<f64> {
        self.rise
    }

    /// Temperature at an age, degrees Celsius.
    pub fn celsius(&self, age: f64) -> f64 {
        let after = self.points.partition_point(|(known, _)| *known <= age);
        match (after.checked_sub(1).map(|before| self.points[before]), self.points.get(after)) {
            (Some((from, low)), Some((to, high))) => low + (high - low) * (age - from) / (to - from),
            (Some((_, celsius)), None) => celsius,
            (None, Some((_, celsius))) => *celsius,
            (None, None) => REFERENCE - ZERO,
        }
    }

    /// Equivalent age at 20 degrees Celsius, d: `sum exp(-Q (1/T - 1/293.15)) dt`. Source: ASTM C1074, Arrhenius.
    pub fn equivalent_age(&self, age: f64) -> f64 {
        let after = self.points.partition_point(|(known, _)| *known <= age);
        let (from, sum) = match after.checked_sub(1) {
            Some(before) => (self.points[before], self.equivalent[before]),
            None => ((0.0, self.celsius(0.0)), 0.0),
        };
        sum + self.matured(from, (age, self.celsius(age)))
    }

    /// Equivalent days between two points on a straight line, by Simpson's rule.
    fn matured(&self, (from, low): (f64, f64), (to, high): (f64, f64)) -> f64 {
        let rate = |celsius: f64| f64::exp(-self.activation * ((celsius + ZERO).recip() - REFERENCE.recip()));
        let step = (to - from) / f64::from(PARTS);
        let at = |part: f64| rate(low + (high - low) * part / f64::from(PARTS));
        (0..PARTS)
            .map(f64::from)
            .map(|part| (at(part) + 4.0 * at(part + 0.5) + at(part + 1.0)) * step / 6.0)
            .sum()
    }

    /// Strain since restraint began, microstrain, shortening positive.
    pub fn strain(&self, age: f64) -> f64 {
        self.expansion * (self.celsius(self.onset) - self.celsius(age))
    }

    /// Lowest and highest temperature, degrees Celsius.
    pub fn range(&self) -> (f64, f64) {
        let celsius = self.points.iter().map(|(_, celsius)| *celsius);
        (celsius.clone().fold(f64::INFINITY, f64::min), celsius.fold(f64::NEG_INFINITY, f64::max))
    }

    /// Strain per degree, microstrain/K.
    pub fn expansion(&self) -> f64 {
        self.expansion
    }

    /// Ages at which it turns, d since casting.
    pub fn ages(&self) -> impl Iterator<Item = f64> + '_ {
        self.points.iter().map(|(age, _)| *age)
    }
}
