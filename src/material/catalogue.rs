//! Materials as the later rooms see them.

use super::{Grading, Role, State};
use crate::finding::Place;
use crate::listed::{Id, Listed};
use crate::quantity::Unit;

/// What a dose is a share of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Base {
    /// Binder by mass.
    Binder,
    /// Cement by mass.
    Cement,
    /// Powder by mass.
    Powder,
}

impl Base {
    /// The base with this word.
    pub fn named(word: &str) -> Option<Self> {
        [Self::Binder, Self::Cement, Self::Powder].into_iter().find(|base| base.word() == word)
    }

    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Binder => "binder",
            Self::Cement => "cement",
            Self::Powder => "powder",
        }
    }
}

/// What bounds on a material's use are measured by.
#[derive(Clone, Debug, PartialEq)]
pub enum Use {
    /// kg of its reference state per m3 of concrete.
    Amount,
    /// kg per kg of a base.
    Dose(Base),
    /// Share of a named quantity, by that quantity's measure.
    Share(String),
}

/// Bounds on the use of a material, with the author's unit kept for the report.
#[derive(Clone, Debug)]
pub struct UseBounds {
    /// What is bounded.
    pub by: Use,
    /// Lower end, base units; absent when only an upper end was given.
    pub low: Option<f64>,
    /// Upper end, base units.
    pub high: Option<f64>,
    /// The author's unit.
    pub unit: Unit,
    /// Where it stands.
    pub place: Place,
}

/// The unit and state in which a price was written.
#[derive(Clone, Debug)]
pub struct Priced {
    /// The author's unit.
    pub unit: Unit,
    /// The state, if the author named one.
    pub state: Option<State>,
    /// A price per kg of the reference state, for one base unit of the price as written.
    pub factor: f64,
}

impl Priced {
    /// A price per kg of the reference state as its author would write it, in base units of a dimension like that of
    /// `unit`.
    pub fn written(&self, price: f64) -> f64 {
        price / self.factor
    }
}

/// One material; every figure is per kg of its reference state.
#[derive(Clone, Debug)]
pub struct Material {
    /// The author's name for it.
    pub name: String,
    /// Where the name stands.
    pub place: Place,
    /// What it is.
    pub role: Role,
    /// Particle density in the reference state, kg/m3.
    pub density: f64,
    /// Absorbed water when surface-dry or prewetted, kg per kg dry.
    pub absorption: f64,
    /// Share of the absorbed water given to the paste.
    pub desorption: f64,
    /// Total water as delivered, kg per kg dry; absent if the author gave none.
    pub moisture: Option<f64>,
    /// Mixing water in one kg.
    pub mixing_water: f64,
    /// Price, currency per kg.
    pub price: f64,
    /// How the author wrote the price.
    pub priced: Priced,
    /// Embodied carbon, kg per kg; absent if the author gave none.
    pub carbon: Option<f64>,
    /// Fibre length over diameter; absent if the author gave none.
    pub aspect: Option<f64>,
    /// Declared contents, kg per kg.
    pub contents: Vec<(String, f64)>,
    /// Dry-rodded bulk density of an aggregate, kg of dry mass per m3; absent if the author gave none.
    pub bulk_density: Option<f64>,
    /// What passes each declared sieve, for aggregates.
    pub grading: Option<Grading>,
    /// Constituents of a blended cement, kg per kg.
    pub constituents: Vec<(Role, f64)>,
    /// Bounds that always hold.
    pub bounds: Vec<UseBounds>,
    /// Bounds that hold only if it is used.
    pub if_used: Option<UseBounds>,
}

impl Material {
    /// The mass in another state of one kg in the reference state.
    ///
    /// Dry = reference / (1 + absorption) for aggregates; as delivered = dry (1 + moisture). For everything
    /// that is not an aggregate all states are one. `None` if the moisture as delivered is not known.
    pub fn mass_in(&self, state: State) -> Option<f64> {
        if !self.role.is_aggregate() {
            return Some(1.0);
        }
        let dry = 1.0 / (1.0 + self.absorption);
        match state {
            State::Dry => Some(dry),
            State::SurfaceDry | State::Prewetted => Some(1.0),
            State::AsDelivered => self.moisture.map(|moisture| dry * (1.0 + moisture)),
        }
    }

    /// Oven-dry mass in one kg of the reference state.
    pub fn dry(&self) -> f64 {
        1.0 / (1.0 + self.absorption)
    }

    /// Water given to the paste by one kg of the reference state, kg: dry mass x absorption x desorption.
    pub fn curing_water(&self) -> f64 {
        if self.role.is_lightweight() { self.dry() * self.absorption * self.desorption } else { 0.0 }
    }
}

/// All materials in file order.
#[derive(Clone, Debug, Default)]
pub struct Catalogue {
    /// The materials.
    pub materials: Listed<Material>,
}

impl Catalogue {
    /// The material with this name.
    pub fn find(&self, name: &str) -> Option<Id<Material>> {
        self.materials.find_id(|material| material.name == name)
    }

    /// The material in a column of mixes: material m is column m, and other columns follow.
    pub fn in_column(&self, column: usize) -> Option<&Material> {
        self.materials.get(column)
    }

    /// Whether every material declares its carbon, so that it adds up to something.
    pub fn declares_carbon(&self) -> bool {
        self.materials.iter().all(|material| material.carbon.is_some())
    }

    /// The names in file order.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.materials.iter().map(|material| material.name.as_str())
    }
}
