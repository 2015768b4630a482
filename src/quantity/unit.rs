//! Units of measure: SI and US customary, exact by definition, and how they combine.
//!
//! Sources of the factors: the international foot, pound and US gallon are exact by definition
//! (NIST Special Publication 811, appendix B); standard gravity 9.80665 m/s2 exactly.

use super::Dimension;

/// What a unit is of, beyond its dimension.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Of {
    /// Nothing that is named.
    Nothing,
    /// Carbon dioxide, or as much of other gases.
    Carbon,
    /// The base of a dose, such as `binder`.
    Base(String),
}

/// A unit as the author wrote it.
#[derive(Clone, Debug, PartialEq)]
pub struct Unit {
    /// The author's own text, for output.
    pub text: String,
    /// What it measures.
    pub dimension: Dimension,
    /// Base units in one of this unit.
    pub factor: f64,
    /// Base value of the unit's zero: 273.15 for `degC`, zero for nearly all others.
    pub zero: f64,
    /// What it is of.
    pub of: Of,
}

/// Why a unit text was not understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum UnitError {
    /// This word is not a unit.
    Unknown(String),
    /// A currency other than the statement's.
    OtherCurrency(String),
}

const POUND: f64 = 0.453_592_37;
const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;
const GALLON: f64 = 231.0 * INCH * INCH * INCH;
const POUND_FORCE: f64 = POUND * 9.806_65;
const PSI: f64 = POUND_FORCE / (INCH * INCH);
const DAY: f64 = 86_400.0;
/// Water as US practice reckons with relative densities (specific gravities): 62.4 lb/ft3 (ACI 211.1, value from memory).
const WATER_OF_RELATIVE_DENSITY: f64 = 62.4 * POUND / (FOOT * FOOT * FOOT);

/// Words, the dimension, the factor to base units, and the base value of zero.
const UNITS: &[(&[&str], Dimension, f64, f64)] = &[
    (&["%", "percent"], Dimension::NONE, 0.01, 0.0),
    (&["‰", "per mille"], Dimension::NONE, 1e-3, 0.0),
    (&["microstrain", "ue", "µε", "με"], Dimension::NONE, 1e-6, 0.0),
    (&["ppm"], Dimension::NONE, 1e-6, 0.0),
    (&["kg"], Dimension::MASS, 1.0, 0.0),
    (&["g"], Dimension::MASS, 1e-3, 0.0),
    (&["mg"], Dimension::MASS, 1e-6, 0.0),
    (&["t", "tonne", "tonnes"], Dimension::MASS, 1e3, 0.0),
    (&["lb", "lbs"], Dimension::MASS, POUND, 0.0),
    (&["oz"], Dimension::MASS, POUND / 16.0, 0.0),
    (&["cwt"], Dimension::MASS, 100.0 * POUND, 0.0),
    (&["ton", "tons"], Dimension::MASS, 2000.0 * POUND, 0.0),
    (&["m"], Dimension::LENGTH, 1.0, 0.0),
    (&["mm"], Dimension::LENGTH, 1e-3, 0.0),
    (&["cm"], Dimension::LENGTH, 1e-2, 0.0),
    (&["um", "µm", "μm"], Dimension::LENGTH, 1e-6, 0.0),
    (&["km"], Dimension::LENGTH, 1e3, 0.0),
    (&["in"], Dimension::LENGTH, INCH, 0.0),
    (&["ft"], Dimension::LENGTH, FOOT, 0.0),
    (&["yd"], Dimension::LENGTH, 3.0 * FOOT, 0.0),
    (&["mile", "miles"], Dimension::LENGTH, 5280.0 * FOOT, 0.0),
    (&["L", "l", "litre", "liter", "litres", "liters"], Dimension::VOLUME, 1e-3, 0.0),
    (&["mL", "ml"], Dimension::VOLUME, 1e-6, 0.0),
    (&["gal"], Dimension::VOLUME, GALLON, 0.0),
    (&["fl oz"], Dimension::VOLUME, GALLON / 128.0, 0.0),
    (&["cy"], Dimension::VOLUME, 27.0 * FOOT * FOOT * FOOT, 0.0),
    (&["d", "day", "days"], Dimension::TIME, DAY, 0.0),
    (&["h", "hour", "hours"], Dimension::TIME, 3600.0, 0.0),
    (&["min"], Dimension::TIME, 60.0, 0.0),
    (&["s"], Dimension::TIME, 1.0, 0.0),
    (&["week", "weeks"], Dimension::TIME, 7.0 * DAY, 0.0),
    (&["Pa"], Dimension::STRESS, 1.0, 0.0),
    (&["kPa"], Dimension::STRESS, 1e3, 0.0),
    (&["MPa"], Dimension::STRESS, 1e6, 0.0),
    (&["GPa"], Dimension::STRESS, 1e9, 0.0),
    (&["psi"], Dimension::STRESS, PSI, 0.0),
    (&["ksi"], Dimension::STRESS, 1e3 * PSI, 0.0),
    (&["Msi"], Dimension::STRESS, 1e6 * PSI, 0.0),
    (&["pcf"], Dimension::DENSITY, POUND / (FOOT * FOOT * FOOT), 0.0),
    (&["SG", "relative density", "specific gravity"], Dimension::DENSITY, WATER_OF_RELATIVE_DENSITY, 0.0),
    (&["pcy"], Dimension::DENSITY, POUND / (27.0 * FOOT * FOOT * FOOT), 0.0),
    (&["K"], Dimension::TEMPERATURE, 1.0, 0.0),
    (&["degC", "°C"], Dimension::TEMPERATURE, 1.0, 273.15),
    (&["degF", "°F"], Dimension::TEMPERATURE, 5.0 / 9.0, 459.67 * 5.0 / 9.0),
    (&["C", "coulomb"], Dimension::CHARGE, 1.0, 0.0),
    (&["J"], ENERGY, 1.0, 0.0),
    (&["kJ"], ENERGY, 1e3, 0.0),
];

/// Heat, as in `J/g`.
const ENERGY: Dimension = Dimension { mass: 1, length: 2, time: -2, ..Dimension::NONE };
/// Newton is not in the table of words an author needs alone, only inside `N/mm2`.
const NEWTON: Dimension = Dimension { mass: 1, length: 1, time: -2, ..Dimension::NONE };

impl Unit {
    /// The unit of plain numbers.
    pub fn number() -> Self {
        Self { text: String::new(), dimension: Dimension::NONE, factor: 1.0, zero: 0.0, of: Of::Nothing }
    }

    /// A unit this program itself uses.
    ///
    /// # Panics
    /// If `text` is not a unit: a slip in this program's own tables.
    pub fn known(text: &str) -> Self {
        Self::parse(text, "").expect("units named by the program itself are in its own table")
    }

    /// Reads a unit such as `kg/m3`, `fl oz/cwt`, `/t` (money per tonne) or `EUR/m3`.
    ///
    /// # Errors
    /// The first word that is not a unit, or a currency other than `currency`.
    pub fn parse(text: &str, currency: &str) -> Result<Self, UnitError> {
        let text = text.trim();
        let mut unit = Self { text: text.to_owned(), ..Self::number() };
        if text.is_empty() || text == "1" {
            unit.text = String::new();
            return Ok(unit);
        }
        for (index, part) in text.split('/').enumerate() {
            let part = part.trim();
            let sign = if index == 0 { 1 } else { -1 };
            if index == 0 && part.is_empty() {
                unit.dimension = unit.dimension.times(Dimension::MONEY);
                continue;
            }
            let (dimension, factor, zero) = one_unit(part, currency)?;
            unit.dimension = unit.dimension.times(dimension.power(sign));
            unit.factor *= factor.powi(i32::from(sign));
            if text == part {
                unit.zero = zero;
            }
            if without_carbon(part).is_some() {
                unit.of = Of::Carbon;
            }
        }
        Ok(unit)
    }

    /// The value in base units of `number` of this unit.
    pub fn to_base(&self, number: f64) -> f64 {
        number * self.factor + self.zero
    }

    /// How many of this unit a value in base units is.
    pub fn from_base(&self, base: f64) -> f64 {
        (base - self.zero) / self.factor
    }

    /// A difference in base units, as a number of this unit (no zero point).
    pub fn difference_from_base(&self, base: f64) -> f64 {
        base / self.factor
    }

    /// Whether it is a volume by volume, as `L/m3`: without dimension, yet no plain share.
    pub fn is_volume_by_volume(&self) -> bool {
        let of_volume =
            |part: &str| Self::parse(part, "").is_ok_and(|unit| unit.dimension == Dimension::VOLUME);
        self.text.split_once('/').is_some_and(|(above, below)| of_volume(above) && of_volume(below))
    }

    /// Whether it is a relative density (specific gravity), which means nothing without a state of the particles.
    pub fn is_relative_density(&self) -> bool {
        self.dimension == Dimension::DENSITY && self.factor == WATER_OF_RELATIVE_DENSITY
    }

    /// A number followed by the unit as people write it.
    pub fn with_number(&self, number: &str) -> String {
        match self.text.as_str() {
            "" => number.to_owned(),
            text => format!("{number} {text}"),
        }
    }

    /// The unit of a dose: `% of binder`.
    #[must_use]
    pub fn of(&self, base: &str) -> Self {
        let text = format!("{} of {base}", self.text).trim_start().to_owned();
        Self { text, of: Of::Base(base.to_owned()), ..self.clone() }
    }

    /// The unit of a dose without its base, and that base.
    pub fn without_base(&self) -> Option<(Self, &str)> {
        let Of::Base(base) = &self.of else { return None };
        let plain =
            self.text.strip_suffix(base.as_str()).and_then(|text| text.strip_suffix("of ")).unwrap_or("");
        Some((Self { text: plain.trim_end().to_owned(), of: Of::Nothing, ..self.clone() }, base))
    }

    /// All words this table knows, for "did you mean".
    pub fn words() -> impl Iterator<Item = &'static str> {
        UNITS.iter().flat_map(|(words, ..)| words.iter().copied())
    }
}

fn one_unit(part: &str, currency: &str) -> Result<(Dimension, f64, f64), UnitError> {
    if !currency.is_empty() && part == currency {
        return Ok((Dimension::MONEY, 1.0, 0.0));
    }
    if part == "N" {
        return Ok((NEWTON, 1.0, 0.0));
    }
    let plain = without_carbon(part).unwrap_or(part).trim();
    let (word, exponent) = match plain.strip_suffix(['2', '3', '²', '³']) {
        Some(word) => {
            let square = plain.ends_with('2') || plain.ends_with('²');
            (word.strip_suffix('^').unwrap_or(word), if square { 2_i8 } else { 3 })
        }
        None => (plain, 1),
    };
    match UNITS.iter().find(|(words, ..)| words.contains(&word)) {
        Some((_, dimension, factor, zero)) => {
            Ok((dimension.power(exponent), factor.powi(i32::from(exponent)), *zero))
        }
        None if looks_like_currency(part) => Err(UnitError::OtherCurrency(part.to_owned())),
        None => Err(UnitError::Unknown(part.to_owned())),
    }
}

/// The unit before what says that it is of carbon dioxide; `None` where nothing does.
fn without_carbon(part: &str) -> Option<&str> {
    part.strip_suffix("CO2e").or_else(|| part.strip_suffix("CO2"))
}

fn looks_like_currency(word: &str) -> bool {
    matches!(word, "$" | "€" | "£" | "¥")
        || (word.len() == 3 && word.chars().all(|letter| letter.is_ascii_uppercase()))
}

/// A number of one unit as a number of another of the same dimension.
pub fn convert(value: f64, from: &Unit, to: &Unit) -> f64 {
    if from == to { value } else { to.from_base(from.to_base(value)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ton_and_tonne_are_different_words() {
        assert_eq!(Unit::known("t").factor, 1000.0);
        assert_eq!(Unit::known("tonne").factor, 1000.0);
        assert!((Unit::known("ton").factor - 907.184_74).abs() < 1e-9);
    }

    /// NIST Special Publication 811 (2008), appendix B.9: 1 lb/yd3 = 5.932 764 E-01 kg/m3, 1 psi = 6.894 757 E+03 Pa,
    /// 1 US gal = 3.785 412 E-03 m3, 1 US fl oz = 2.957 353 E-05 m3, 1 lb/ft3 = 1.601 846 E+01 kg/m3.
    #[test]
    fn customary_units_are_those_of_the_nist_tables() {
        for (unit, expected) in [
            ("lb/yd3", 5.932_764e-1),
            ("psi", 6.894_757e3),
            ("gal", 3.785_412e-3),
            ("fl oz", 2.957_353e-5),
            ("pcf", 16.018_46),
        ] {
            let factor = Unit::known(unit).factor;
            assert!((factor / expected - 1.0).abs() < 5e-7, "{unit}: {factor}");
        }
    }

    #[test]
    fn a_leading_slash_is_money_and_other_currencies_are_refused() {
        let price = Unit::parse("/t", "EUR").unwrap();
        assert_eq!((price.dimension, price.factor), (Dimension::PRICE_BY_MASS, 1e-3));
        assert_eq!(Unit::parse("EUR/t", "EUR").unwrap().dimension, Dimension::PRICE_BY_MASS);
        assert_eq!(Unit::parse("USD/t", "EUR"), Err(UnitError::OtherCurrency("USD".into())));
        assert_eq!(Unit::parse("kg/furlong", "EUR"), Err(UnitError::Unknown("furlong".into())));
    }

    #[test]
    fn temperatures_have_their_own_zero() {
        assert!((Unit::known("degF").to_base(68.0) - 293.15).abs() < 1e-9);
        assert!((Unit::known("degC").from_base(293.15) - 20.0).abs() < 1e-9);
    }
}
