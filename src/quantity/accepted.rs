//! Units that a message offers where a value has none, or another one.
//!
//! What enters: the dimensions that are accepted, and what is meant there. What leaves: a list for people, from the units
//! that this program reads. Which system an author writes in is not known here: both are offered.

use super::{Dimension, Unit};

/// What a value is, where its dimension alone says too little.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Meant {
    /// Whatever has the dimension.
    Anything,
    /// The density of particles or liquids.
    Particles,
    /// An amount per volume of concrete.
    Content,
    /// The same of a liquid, also by its volume.
    LiquidContent,
    /// A dose on the mass of a base.
    Dose,
    /// A share of a quantity.
    Share,
    /// Carbon by mass, or by volume of the material.
    Carbon,
}

/// What is expected of a value.
#[derive(Clone, Copy, Debug)]
pub struct Expected<'d> {
    /// Any of these; of any dimension where there are none.
    pub dimensions: &'d [Dimension],
    /// What is meant.
    pub meant: Meant,
}

impl<'d> Expected<'d> {
    /// One of these dimensions, with this meaning.
    pub const fn meaning(dimensions: &'d [Dimension], meant: Meant) -> Self {
        Self { dimensions, meant }
    }
}

impl<'d> From<&'d [Dimension]> for Expected<'d> {
    fn from(dimensions: &'d [Dimension]) -> Self {
        Self { dimensions, meant: Meant::Anything }
    }
}

impl<'d, const N: usize> From<&'d [Dimension; N]> for Expected<'d> {
    fn from(dimensions: &'d [Dimension; N]) -> Self {
        Self { dimensions, meant: Meant::Anything }
    }
}

/// Units worth offering, and where; nowhere named, they are offered wherever their dimension is accepted.
const OFFERED: &[(&str, &[Meant])] = &[
    ("%", &[Meant::Anything, Meant::Dose, Meant::Share]),
    ("per mille", &[Meant::Anything]),
    ("kg/kg", &[Meant::Carbon]),
    ("kg/t", &[Meant::Carbon]),
    ("lb/lb", &[Meant::Carbon]),
    ("lb/ton", &[Meant::Carbon]),
    ("kg", &[]),
    ("g", &[]),
    ("t", &[]),
    ("lb", &[]),
    ("ton", &[]),
    ("mm", &[]),
    ("m", &[]),
    ("um", &[]),
    ("in", &[]),
    ("ft", &[]),
    ("m3", &[]),
    ("L", &[]),
    ("mL", &[]),
    ("ft3", &[]),
    ("yd3", &[]),
    ("gal", &[]),
    ("d", &[]),
    ("h", &[]),
    ("min", &[]),
    ("weeks", &[]),
    ("degC", &[]),
    ("degF", &[]),
    ("K", &[]),
    ("kg/m3", &[]),
    ("g/cm3", &[Meant::Anything, Meant::Particles]),
    ("lb/ft3", &[Meant::Anything, Meant::Particles]),
    ("lb/yd3", &[Meant::Anything, Meant::Content, Meant::LiquidContent, Meant::Dose, Meant::Carbon]),
    ("SG", &[Meant::Particles]),
    ("L/m3", &[Meant::LiquidContent]),
    ("gal/yd3", &[Meant::LiquidContent]),
    ("fl oz/yd3", &[Meant::LiquidContent]),
    ("MPa", &[]),
    ("GPa", &[]),
    ("psi", &[]),
    ("ksi", &[]),
    ("/t", &[]),
    ("/kg", &[]),
    ("/ton", &[]),
    ("/lb", &[]),
    ("/L", &[]),
    ("/m3", &[]),
    ("/gal", &[]),
    ("/yd3", &[]),
    ("mL/kg", &[]),
    ("L/kg", &[]),
    ("fl oz/cwt", &[]),
    ("C", &[]),
    ("g/m2", &[]),
    ("kg/m2", &[]),
    ("lb/ft2", &[]),
];

/// The units to offer, dimension by dimension, for a message.
pub fn accepted<'d>(expected: impl Into<Expected<'d>>) -> String {
    let expected = expected.into();
    let list: Vec<String> =
        expected.dimensions.iter().map(|dimension| offered(*dimension, expected.meant)).collect();
    list.join("; or ")
}

fn offered(dimension: Dimension, meant: Meant) -> String {
    let liquid = |unit: &Unit| unit.is_volume_by_volume() && meant == Meant::LiquidContent;
    let fits = |unit: &Unit| unit.dimension == dimension || (dimension == Dimension::DENSITY && liquid(unit));
    let words: Vec<String> = OFFERED
        .iter()
        .filter(|(text, places)| (places.is_empty() || places.contains(&meant)) && fits(&Unit::known(text)))
        .map(|(text, _)| format!("`{text}`"))
        .collect();
    let mut list = if words.is_empty() { "a unit of that dimension".to_owned() } else { words.join(", ") };
    if dimension == Dimension::NONE && meant == Meant::Anything {
        list.insert_str(0, "a plain number, ");
    }
    if matches!(dimension, Dimension::PRICE_BY_MASS | Dimension::PRICE_BY_VOLUME) {
        list.push_str(", with or without the currency");
    }
    match meant {
        Meant::Dose if matches!(dimension, Dimension::NONE | Dimension::VOLUME_BY_MASS) => {
            list.push_str(" with `of binder`, `of cement` or `of powder` behind it");
        }
        Meant::Share if dimension == Dimension::NONE => {
            list.push_str(" with what it is a share of behind it: `of sand volume`");
        }
        _ => {}
    }
    list
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_offered_has_the_dimension_and_every_dimension_that_authors_meet_has_offers() {
        for (text, _) in OFFERED {
            assert!(Unit::parse(text, "").is_ok(), "{text}");
        }
        for dimension in [
            Dimension::MASS,
            Dimension::LENGTH,
            Dimension::VOLUME,
            Dimension::TIME,
            Dimension::TEMPERATURE,
            Dimension::DENSITY,
            Dimension::STRESS,
            Dimension::PRICE_BY_MASS,
            Dimension::PRICE_BY_VOLUME,
            Dimension::VOLUME_BY_MASS,
            Dimension::CHARGE,
            Dimension::MASS_BY_AREA,
            Dimension::NONE,
        ] {
            assert!(accepted(&[dimension]).contains('`'), "{dimension}");
        }
        assert_eq!(accepted(&[Dimension::STRESS]), "`MPa`, `GPa`, `psi`, `ksi`");
        let liquid = Expected::meaning(&[Dimension::DENSITY], Meant::LiquidContent);
        assert_eq!(accepted(liquid), "`kg/m3`, `lb/yd3`, `L/m3`, `gal/yd3`, `fl oz/yd3`");
        let particles = Expected::meaning(&[Dimension::DENSITY], Meant::Particles);
        assert_eq!(accepted(particles), "`kg/m3`, `g/cm3`, `lb/ft3`, `SG`");
    }
}
