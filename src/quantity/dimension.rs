//! Physical dimensions as exponents; what a unit and a limit must agree on.

use std::fmt;

/// Exponents of the base dimensions mass, length, time, temperature, money and electric charge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub struct Dimension {
    /// Exponent of mass (kg).
    pub mass: i8,
    /// Exponent of length (m).
    pub length: i8,
    /// Exponent of time (s).
    pub time: i8,
    /// Exponent of temperature (K).
    pub temperature: i8,
    /// Exponent of money (the statement's currency).
    pub money: i8,
    /// Exponent of electric charge (C).
    pub charge: i8,
}

impl Dimension {
    /// A plain number: ratios, shares, strains.
    pub const NONE: Self = Self { mass: 0, length: 0, time: 0, temperature: 0, money: 0, charge: 0 };
    /// Mass.
    pub const MASS: Self = Self { mass: 1, ..Self::NONE };
    /// Length.
    pub const LENGTH: Self = Self { length: 1, ..Self::NONE };
    /// Volume.
    pub const VOLUME: Self = Self { length: 3, ..Self::NONE };
    /// Time, ages among them.
    pub const TIME: Self = Self { time: 1, ..Self::NONE };
    /// Temperature.
    pub const TEMPERATURE: Self = Self { temperature: 1, ..Self::NONE };
    /// Mass per volume: densities, and contents per volume of concrete.
    pub const DENSITY: Self = Self { mass: 1, length: -3, ..Self::NONE };
    /// Force per area: strengths and moduli.
    pub const STRESS: Self = Self { mass: 1, length: -1, time: -2, ..Self::NONE };
    /// Price by mass.
    pub const PRICE_BY_MASS: Self = Self { money: 1, mass: -1, ..Self::NONE };
    /// Price by volume, and cost per volume of concrete.
    pub const PRICE_BY_VOLUME: Self = Self { money: 1, length: -3, ..Self::NONE };
    /// Volume per mass: a liquid dosed by volume on a mass of binder.
    pub const VOLUME_BY_MASS: Self = Self { mass: -1, length: 3, ..Self::NONE };
    /// Money.
    pub const MONEY: Self = Self { money: 1, ..Self::NONE };
    /// Electric charge.
    pub const CHARGE: Self = Self { charge: 1, ..Self::NONE };
    /// Mass per area, as in scaling loss.
    pub const MASS_BY_AREA: Self = Self { mass: 1, length: -2, ..Self::NONE };

    /// The dimension of a product.
    #[must_use]
    pub fn times(self, other: Self) -> Self {
        self.combined(other, 1)
    }

    /// The dimension of a quotient.
    #[must_use]
    pub fn over(self, other: Self) -> Self {
        self.combined(other, -1)
    }

    /// The dimension raised to a whole power.
    #[must_use]
    pub fn power(self, exponent: i8) -> Self {
        Self::NONE.combined(self, exponent)
    }

    fn combined(self, other: Self, factor: i8) -> Self {
        let add = |a: i8, b: i8| a.saturating_add(b.saturating_mul(factor));
        Self {
            mass: add(self.mass, other.mass),
            length: add(self.length, other.length),
            time: add(self.time, other.time),
            temperature: add(self.temperature, other.temperature),
            money: add(self.money, other.money),
            charge: add(self.charge, other.charge),
        }
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match *self {
            Self::NONE => "a ratio",
            Self::MASS => "a mass",
            Self::LENGTH => "a length",
            Self::VOLUME => "a volume",
            Self::TIME => "a time",
            Self::TEMPERATURE => "a temperature",
            Self::DENSITY => "a mass per volume",
            Self::STRESS => "a stress",
            Self::PRICE_BY_MASS => "a price per mass",
            Self::PRICE_BY_VOLUME => "a price per volume",
            Self::VOLUME_BY_MASS => "a volume per mass",
            Self::MONEY => "an amount of money",
            Self::CHARGE => "an electric charge",
            Self::MASS_BY_AREA => "a mass per area",
            _ => return self.spelled_out(f),
        })
    }
}

impl Dimension {
    fn spelled_out(self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let parts = [
            ("mass", self.mass),
            ("length", self.length),
            ("time", self.time),
            ("temperature", self.temperature),
            ("money", self.money),
            ("charge", self.charge),
        ];
        let mut first = true;
        for (name, exponent) in parts.into_iter().filter(|(_, exponent)| *exponent != 0) {
            if !first {
                f.write_str(" ")?;
            }
            first = false;
            f.write_str(name)?;
            if exponent != 1 {
                write!(f, "^{exponent}")?;
            }
        }
        Ok(())
    }
}
