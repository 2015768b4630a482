//! Classes and measures of durability test results.
//!
//! Results are judged as they stand; nothing here predicts durability from proportions.

/// Chloride ion penetrability.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Penetrability {
    /// Below 100 C.
    Negligible,
    /// 100 to 1000 C.
    VeryLow,
    /// 1000 to 2000 C.
    Low,
    /// 2000 to 4000 C.
    Moderate,
    /// Above 4000 C.
    High,
}

/// Penetrability by the charge passed in 6 h at 60 V, C. Source: ASTM C1202, table X1.1 (value from memory);
/// intervals share end points, which go to the worse class; as printed, only above 4000 is high and only
/// below 100 negligible.
pub fn penetrability(charge: f64) -> Penetrability {
    match charge {
        _ if charge < 100.0 => Penetrability::Negligible,
        _ if charge < 1000.0 => Penetrability::VeryLow,
        _ if charge < 2000.0 => Penetrability::Low,
        _ if charge <= 4000.0 => Penetrability::Moderate,
        _ => Penetrability::High,
    }
}

/// Durability factor `P N / M`, %: relative modulus P (%) after N of M cycles. Source: ASTM C666 (value from
/// memory).
pub fn durability_factor(relative_modulus: f64, cycles: f64, planned: f64) -> f64 {
    relative_modulus * cycles / planned
}

/// Whether scaling (kg/m2 after 28 and 56 cycles) meets class FT2: at most 0.5 and 1.0. Source: EN 13877-2
/// with CEN/TS 12390-9.
pub fn scaling_meets_ft2(after_28: f64, after_56: f64) -> bool {
    after_28 <= 0.5 && after_56 <= 1.0
}

/// Scaling resistance of the Swedish rating.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Scaling {
    /// Very good.
    VeryGood,
    /// Good.
    Good,
    /// Acceptable.
    Acceptable,
    /// Unacceptable.
    Unacceptable,
}

/// Rating by scaling in kg/m2 after 28 and 56 cycles. Source: SS 13 72 44 (value from memory).
pub fn scaling(after_28: f64, after_56: f64) -> Scaling {
    let steady = after_56 < 2.0 * after_28;
    match after_56 {
        _ if after_56 < 0.10 => Scaling::VeryGood,
        _ if after_56 < 0.20 || (after_56 < 0.50 && steady) => Scaling::Good,
        _ if after_56 < 1.00 && steady => Scaling::Acceptable,
        _ => Scaling::Unacceptable,
    }
}
