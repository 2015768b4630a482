//! Roles of materials and states of amounts.

use crate::statement::ROLES;

/// What a material is in the mix.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Portland or blended cement.
    Cement,
    /// Fly ash.
    FlyAsh,
    /// Ground granulated blast-furnace slag.
    Slag,
    /// Silica fume.
    SilicaFume,
    /// Natural pozzolan.
    NaturalPozzolan,
    /// Limestone filler.
    LimestoneFiller,
    /// Expansive agent.
    ExpansiveAgent,
    /// Normal-weight sand.
    Sand,
    /// Normal-weight coarse aggregate.
    CoarseAggregate,
    /// Lightweight sand.
    LightweightSand,
    /// Lightweight coarse aggregate.
    LightweightCoarseAggregate,
    /// Fibre.
    Fibre,
    /// Mixing water.
    Water,
    /// Water reducer, superplasticisers among them.
    WaterReducer,
    /// Air entrainer.
    AirEntrainer,
    /// Viscosity modifier.
    ViscosityModifier,
    /// Shrinkage reducer.
    ShrinkageReducer,
    /// Anything else.
    Other,
}

impl Role {
    /// All roles in the order of the role words.
    pub const ALL: [Self; 18] = [
        Self::Cement,
        Self::FlyAsh,
        Self::Slag,
        Self::SilicaFume,
        Self::NaturalPozzolan,
        Self::LimestoneFiller,
        Self::ExpansiveAgent,
        Self::Sand,
        Self::CoarseAggregate,
        Self::LightweightSand,
        Self::LightweightCoarseAggregate,
        Self::Fibre,
        Self::Water,
        Self::WaterReducer,
        Self::AirEntrainer,
        Self::ViscosityModifier,
        Self::ShrinkageReducer,
        Self::Other,
    ];

    /// The role with this word.
    pub fn named(word: &str) -> Option<Self> {
        ROLES.iter().position(|known| *known == word).map(|at| Self::ALL[at])
    }

    /// Its word in the statement.
    pub fn word(self) -> &'static str {
        ROLES[self as usize]
    }

    /// Whether it is an aggregate, whose particles hold water.
    pub fn is_aggregate(self) -> bool {
        matches!(
            self,
            Self::Sand | Self::CoarseAggregate | Self::LightweightSand | Self::LightweightCoarseAggregate
        )
    }

    /// Whether it is a lightweight aggregate, batched prewetted.
    pub fn is_lightweight(self) -> bool {
        matches!(self, Self::LightweightSand | Self::LightweightCoarseAggregate)
    }

    /// Whether it is an admixture, usually a liquid.
    pub fn is_admixture(self) -> bool {
        matches!(
            self,
            Self::WaterReducer | Self::AirEntrainer | Self::ViscosityModifier | Self::ShrinkageReducer
        )
    }

    /// Whether it is usually a liquid, which plants meter by volume.
    pub fn is_liquid(self) -> bool {
        self.is_admixture() || matches!(self, Self::Water | Self::Other)
    }

    /// The state its amounts are given in.
    pub fn reference_state(self) -> State {
        if self.is_lightweight() {
            State::Prewetted
        } else if self.is_aggregate() {
            State::SurfaceDry
        } else {
            State::AsDelivered
        }
    }
}

/// The moisture state an amount, price or density is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Oven-dry.
    Dry,
    /// Saturated surface-dry.
    SurfaceDry,
    /// Prewetted at the stated absorption, surface dry.
    Prewetted,
    /// As it comes to the plant.
    AsDelivered,
}

impl State {
    /// The state with this word.
    pub fn named(word: &str) -> Option<Self> {
        match word {
            "SSD" => Some(Self::SurfaceDry),
            "oven-dry" => Some(Self::Dry),
            _ => [Self::Dry, Self::SurfaceDry, Self::Prewetted, Self::AsDelivered]
                .into_iter()
                .find(|state| state.word() == word),
        }
    }

    /// Its word in statement and report.
    pub fn word(self) -> &'static str {
        match self {
            Self::Dry => "dry",
            Self::SurfaceDry => "surface-dry",
            Self::Prewetted => "prewetted",
            Self::AsDelivered => "as delivered",
        }
    }
}
