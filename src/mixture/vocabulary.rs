//! The names that every statement may use without defining them.

use super::affine::{Affine, Measure, Ratio};
use super::columns::Mixture;
use super::counting::Total;
use super::declared::{BULK_VOLUME, FINENESS_MODULUS};
use super::quantity::{Quantity, carbon_unit, cost_unit};
use crate::material::{Base, Role};
use crate::quantity::{Dimension, Unit};

/// How a built-in quantity is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// kg/m3 or lb/yd3.
    Content,
    /// kg/m3 or lb/ft3: mass of the whole concrete.
    Density,
    /// Per cent.
    Percent,
    /// A plain number.
    Number,
    /// Currency per m3.
    Cost,
    /// kg `CO2e` per m3.
    Carbon,
}

/// Where a report tells a built-in quantity beside what is limited.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// Nowhere.
    Never,
    /// Always: every reader looks for it.
    Always,
    /// Where additions count by k-values.
    WithCountedAdditions,
    /// Where the statement says how much internal-curing water is wanted.
    WithCuringDemand,
    /// There, and where materials give such water.
    WithCuring,
    /// Where there are fibres.
    WithFibres,
}

impl Told {
    /// Whether it is told of mixes of this shelf.
    pub fn holds_for(self, mixture: &Mixture) -> bool {
        let has = |wanted: fn(Role) -> bool| {
            mixture.catalogue.materials.iter().any(|material| wanted(material.role))
        };
        match self {
            Self::Never => false,
            Self::Always => true,
            Self::WithCountedAdditions => !mixture.counted.is_empty() || !mixture.uncapped.is_zero(),
            Self::WithCuringDemand => mixture.curing_demand.is_some(),
            Self::WithCuring => mixture.curing_demand.is_some() || has(Role::is_lightweight),
            Self::WithFibres => has(|role| role == Role::Fibre),
        }
    }
}

/// One built-in name.
#[derive(Clone, Copy, Debug)]
pub struct BuiltIn {
    /// The name.
    pub name: &'static str,
    /// What it is, one sentence.
    pub meaning: &'static str,
    /// How it is shown.
    pub shown: Shown,
    /// Where it is told beside what is limited.
    pub told: Told,
    build: fn(&Mixture) -> Measure,
}

impl BuiltIn {
    /// The quantity it names in a mixture.
    pub fn quantity(&self, mixture: &Mixture, currency: &str) -> Quantity {
        let unit = match self.shown {
            Shown::Content | Shown::Density => Unit::known("kg/m3"),
            Shown::Percent => Unit::known("%"),
            Shown::Number => Unit::number(),
            Shown::Cost => cost_unit(currency),
            Shown::Carbon => carbon_unit(),
        };
        Quantity {
            label: self.name.to_owned(),
            measure: (self.build)(mixture),
            dimension: self.dimension(),
            unit,
        }
    }

    /// Its dimension.
    pub fn dimension(&self) -> Dimension {
        match self.shown {
            Shown::Content | Shown::Density | Shown::Carbon => Dimension::DENSITY,
            Shown::Percent | Shown::Number => Dimension::NONE,
            Shown::Cost => Dimension::PRICE_BY_VOLUME,
        }
    }
}

fn ratio(numerator: Affine, denominator: Affine) -> Measure {
    Measure::Ratio(Ratio { numerator, denominator })
}

const fn built_in(
    name: &'static str,
    shown: Shown,
    meaning: &'static str,
    build: fn(&Mixture) -> Measure,
) -> BuiltIn {
    BuiltIn { name, meaning, shown, told: Told::Never, build }
}

impl BuiltIn {
    /// The same, told in reports.
    const fn told(self, told: Told) -> Self {
        Self { told, ..self }
    }
}

/// Water that prewetted lightweight aggregates give to the paste.
pub const INTERNAL_CURING_WATER: BuiltIn = built_in(
    "internal-curing water",
    Shown::Content,
    "Water that prewetted lightweight aggregates give to the paste.",
    |m| Measure::Linear(m.sum(crate::material::Material::curing_water)),
)
.told(Told::WithCuring);

/// All built-in names.
pub const BUILT_IN: &[BuiltIn] = &[
    built_in("binder", Shown::Content, "Mass of the roles that count as binder.", |m| {
        Measure::Linear(m.mass_total(Total::Binder))
    }).told(Told::Always),
    built_in("powder", Shown::Content, "Mass of the roles that count as powder.", |m| {
        Measure::Linear(m.mass_total(Total::Powder))
    }).told(Told::Always),
    built_in("cement", Shown::Content, "Mass of cement; a blended cement counts whole.", |m| {
        Measure::Linear(m.cement())
    }),
    built_in("equivalent binder", Shown::Content, "Cement plus k times each counted addition.", |m| {
        Measure::Linear(m.equivalent_binder())
    }),
    built_in(
        "cement with additions",
        Shown::Content,
        "Cement plus each addition that counts by a k-value: whole, silica fume k times (EN 206, least cement).",
        |m| Measure::Linear(m.cement_with_additions()),
    ),
    built_in("free water", Shown::Content, "Mixing water and the water in admixtures.", |m| {
        Measure::Linear(m.free_water())
    }).told(Told::Always),
    built_in("water-binder ratio", Shown::Number, "Free water over binder, by mass.", |m| {
        ratio(m.free_water(), m.mass_total(Total::Binder))
    }).told(Told::Always),
    built_in("water-cement ratio", Shown::Number, "Free water over cement, by mass.", |m| {
        ratio(m.free_water(), m.cement())
    }),
    built_in(
        "equivalent water-binder ratio",
        Shown::Number,
        "Free water over equivalent binder, by mass.",
        |m| ratio(m.free_water(), m.equivalent_binder()),
    ).told(Told::WithCountedAdditions),
    built_in(
        "water-powder ratio by volume",
        Shown::Number,
        "Free water over powder, by absolute volume.",
        |m| {
            let powder = m.sum(|material| {
                if m.counting.counts(Total::Powder, material.role) { 1.0 / material.density } else { 0.0 }
            });
            ratio(m.free_water().times(1.0 / WATER_DENSITY), powder)
        },
    ),
    built_in(
        "paste volume",
        Shown::Percent,
        "Absolute volume of powder, water and admixtures, without air.",
        |m| Measure::Linear(m.volume_total(Total::Paste)),
    ).told(Told::Always),
    built_in("mortar volume", Shown::Percent, "Absolute volume of paste, air and sands.", |m| {
        Measure::Linear(m.volume_total(Total::Mortar))
    }).told(Told::Always),
    built_in("aggregate volume", Shown::Percent, "Absolute volume of all aggregates.", |m| {
        Measure::Linear(m.volume_of(Role::is_aggregate))
    }),
    built_in("sand volume", Shown::Percent, "Absolute volume of sand and lightweight sand.", |m| {
        Measure::Linear(m.volume_of(Role::is_sand))
    }),
    built_in(
        "coarse aggregate volume",
        Shown::Percent,
        "Absolute volume of coarse and lightweight coarse aggregate.",
        |m| Measure::Linear(m.volume_of(Role::is_coarse)),
    ),
    built_in("sand share", Shown::Percent, "Sand volume over aggregate volume.", |m| {
        ratio(m.volume_of(Role::is_sand), m.volume_of(Role::is_aggregate))
    }).told(Told::Always),
    built_in(
        "sand share by mass",
        Shown::Percent,
        "Sand mass over aggregate mass, each as its state says.",
        |m| {
            let mass = |wanted: fn(Role) -> bool| {
                m.sum(|material| f64::from(u8::from(wanted(material.role))))
            };
            ratio(mass(Role::is_sand), mass(Role::is_aggregate))
        },
    ),
    built_in(
        "lightweight share of sand",
        Shown::Percent,
        "Replacement of sand by lightweight sand, by volume.",
        |m| ratio(m.volume_of(|role| role == Role::LightweightSand), m.volume_of(Role::is_sand)),
    ),
    built_in(
        "lightweight share of coarse aggregate",
        Shown::Percent,
        "Replacement of coarse aggregate by lightweight coarse aggregate, by volume.",
        |m| ratio(m.volume_of(|role| role == Role::LightweightCoarseAggregate), m.volume_of(Role::is_coarse)),
    ),
    built_in("free water volume", Shown::Percent, "Absolute volume of the free water.", |m| {
        Measure::Linear(m.free_water().times(1.0 / WATER_DENSITY))
    }),
    built_in("fibre volume", Shown::Percent, "Absolute volume of fibres.", |m| {
        Measure::Linear(m.volume_of(|role| role == Role::Fibre))
    }).told(Told::WithFibres),
    built_in("fibre factor", Shown::Number, "Sum of fibre volume times length over diameter.", |m| {
        Measure::Linear(m.sum(|material| material.aspect.unwrap_or(0.0) / material.density))
    }),
    built_in("air", Shown::Percent, "Air, share of the concrete's volume.", |m| {
        Measure::Linear(m.air_volume())
    }),
    built_in(
        "fresh density",
        Shown::Density,
        "Mass of all materials in their reference states per volume.",
        |m| Measure::Linear(m.sum(|_| 1.0)),
    ).told(Told::Always),
    built_in(
        "dry density",
        Shown::Density,
        "Calculated oven-dry density: aggregates and fibres dry, powder times 1.2 for the water it binds (ASTM C567, value from memory).",
        |m| {
            Measure::Linear(m.sum(|material| {
                if m.counting.counts(Total::Powder, material.role) {
                    BOUND_WATER * material.dry()
                } else if material.role.is_aggregate() || material.role == Role::Fibre {
                    material.dry()
                } else {
                    0.0
                }
            }))
        },
    ).told(Told::Always),
    INTERNAL_CURING_WATER,
    built_in(
        "internal-curing demand",
        Shown::Content,
        "Internal-curing water wanted, as `internal curing` says.",
        |m| {
            let (dose, base) = m.curing_demand.unwrap_or((0.0, Base::Binder));
            Measure::Linear(m.base(base).times(dose))
        },
    ).told(Told::WithCuringDemand),
    built_in("cost", Shown::Cost, "Price of all materials per volume of concrete.", |m| {
        Measure::Linear(m.sum(|material| material.price))
    }),
    built_in("carbon", Shown::Carbon, "Embodied carbon of all materials per volume of concrete.", |m| {
        Measure::Linear(m.sum(|material| material.carbon.unwrap_or(0.0)))
    }),
];

/// Density of water, kg/m3 (common practice, no source).
const WATER_DENSITY: f64 = 1000.0;
/// Powder with the water it binds, per kg of powder (ASTM C567, value from memory).
const BOUND_WATER: f64 = 1.2;

/// The built-in names as Markdown: what each is, and the unit it is shown in.
pub fn reference() -> String {
    let mut text = String::from("#### Built-in quantities\n\n| name | shown in | meaning |\n|---|---|---|\n");
    for built_in in BUILT_IN {
        let unit = match built_in.shown {
            Shown::Content | Shown::Density => "kg/m3",
            Shown::Percent => "%",
            Shown::Number => "a number",
            Shown::Cost => "currency per m3",
            Shown::Carbon => "kg CO2e/m3",
        };
        text.push_str(&format!("| `{}` | {unit} | {} |\n", built_in.name, built_in.meaning));
    }
    for (name, unit, meaning) in DECLARED {
        text.push_str(&format!("| `{name}` | {unit} | {meaning} |\n"));
    }
    text
}

/// Quantities that rest on what materials declare.
const DECLARED: &[(&str, &str, &str)] = &[
    (
        "passing 4 mm",
        "%",
        "Share of all aggregates passing a sieve, by absolute volume; aggregates declare `grading`.",
    ),
    (
        FINENESS_MODULUS,
        "a number",
        "Fineness modulus of all sands together, by mass (ASTM C136); sands declare `grading` at its sieves.",
    ),
    (
        BULK_VOLUME,
        "%",
        "Dry mass of coarse aggregate over its dry-rodded bulk density (ACI 211.1); aggregates declare `bulk density`.",
    ),
    ("content of chlorides", "kg/m3", "Sum of a content that materials declare under `contents`."),
];
