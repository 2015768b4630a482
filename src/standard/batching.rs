//! Rules of batching: what a code says of loads, of water added on site and of wash water.
//!
//! What enters: the word of a rule. What leaves: figures of ASTM C94 and EN 206 and of the standards of mixing water. It does
//! not know any mix.

use crate::number::Interval;

/// Whose rules of batching hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BatchingRules {
    /// ASTM C94.
    AstmC94,
    /// EN 206.
    En206,
}

impl BatchingRules {
    /// The rules with this word of a statement or an order.
    pub fn named(word: &str) -> Option<Self> {
        [Self::AstmC94, Self::En206].into_iter().find(|rules| rules.word() == word)
    }

    /// Their word.
    pub fn word(self) -> &'static str {
        match self {
            Self::AstmC94 => "astm c94",
            Self::En206 => "en 206",
        }
    }

    /// Their name in a sentence.
    pub fn title(self) -> &'static str {
        match self {
            Self::AstmC94 => "ASTM C94",
            Self::En206 => "EN 206",
        }
    }
}

/// What the drum of a truck does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Drum {
    /// It mixes.
    Mixing,
    /// It keeps moving what a plant mixer mixed.
    Agitating,
}

impl Drum {
    /// Largest load, share of the drum's gross volume: 63 % where it mixes, 80 % where it agitates (ASTM C94, values
    /// from memory; taken for EN 206 too, which leaves it to the maker's plate).
    pub fn share(self) -> f64 {
        match self {
            Self::Mixing => 0.63,
            Self::Agitating => 0.80,
        }
    }

    /// What it does, in a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::Mixing => "mixing",
            Self::Agitating => "agitating",
        }
    }
}

/// Revolutions at mixing speed after water was added on site: ASTM C94, value from memory.
pub const REVOLUTIONS_AFTER_WATER: u32 = 30;

/// Particle density of the solids of wash water, kg/m3: EN 1008 annex A, value from memory.
pub const WASH_SOLIDS_DENSITY: f64 = 2100.0;

/// Most solids from used water, share of the aggregates' mass: EN 1008, value from memory.
pub const MOST_WASH_SOLIDS_OF_AGGREGATE: f64 = 0.01;

/// Most solids in all mixing water, share of its mass (50 000 ppm): ASTM C1602, value from memory.
pub const MOST_SOLIDS_OF_WATER: f64 = 0.05;

/// Share of the mixer below which a load is a small one: ASTM C94 has other tolerances below 30 % of a scale, value
/// from memory; that mixers mix small loads badly is common practice, no source.
pub const SMALL_LOAD: f64 = 0.3;

/// Solids in one kilogram of wash water of a density, kg.
///
/// With V litres of water of 1 kg/L and solids of 2.1 kg/L in one litre: EN 1008 table A.1, from memory, has 0.038 kg
/// in a litre of 1.02 kg/L and 0.095 kg at 1.05 kg/L.
pub fn solids_of(density: f64) -> f64 {
    let water = 1000.0;
    let by_volume = (density - water) / (1.0 - water / WASH_SOLIDS_DENSITY);
    Interval::new(0.0, 1.0).nearest(by_volume / density)
}

#[cfg(test)]
mod tests {
    use super::solids_of;

    /// EN 1008 table A.1, values from memory: kg of solids in a litre of wash water.
    #[test]
    fn solids_of_wash_water_follow_from_its_density() {
        for (density, solids) in [(1020.0, 0.038), (1030.0, 0.057), (1050.0, 0.095), (1000.0, 0.0)] {
            let litre = solids_of(density) * density / 1000.0;
            assert!((litre - solids).abs() < 6e-4, "{density}: {litre}");
        }
    }
}
