//! Roles of materials: one table, from which the enum, its words and every list of roles follow.
//!
//! What enters: a word of the statement. What leaves: a [`Role`], and what is said of it. A role is a row here; a row that says
//! less than the others does not compile, nor does a new kind of which something is not said below.

/// What kind of thing a role is; the lists of roles go by it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RoleKind {
    /// Cement.
    Cement,
    /// An addition that counts as binder: pozzolan or slag.
    Addition,
    /// Powder that is no binder.
    Filler,
    /// An agent that expands; it counts as binder.
    Expansive,
    /// Normal-weight sand.
    Sand,
    /// Normal-weight coarse aggregate.
    Coarse,
    /// Lightweight sand, batched prewetted.
    LightweightSand,
    /// Lightweight coarse aggregate, batched prewetted.
    LightweightCoarse,
    /// Fibres.
    Fibre,
    /// Mixing water.
    Water,
    /// An admixture, usually a liquid.
    Admixture,
    /// Anything else, usually a liquid.
    Other,
}

/// What the dust of a role holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dust {
    /// Respirable crystalline silica, possibly.
    Silica,
    /// Nothing that is told.
    Plain,
}

/// What a role is put in for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MeantFor {
    /// To act on shrinkage and cracking, so that a prediction which takes no account of it misleads.
    Cracking,
    /// Something else.
    Else,
}

macro_rules! roles {
    ($($(#[$meaning:meta])+ $role:ident: $word:literal, $kind:ident, $dust:ident, $meant:ident;)*) => {
        /// What a material is in the mix.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Role {
            $($(#[$meaning])+ $role,)*
        }

        /// The role words.
        pub const ROLES: &[&str] = &[$($word,)*];

        impl Role {
            /// All roles in the order of their words.
            pub const ALL: &'static [Self] = &[$(Self::$role,)*];

            /// Its word in the statement.
            pub fn word(self) -> &'static str {
                match self {
                    $(Self::$role => $word,)*
                }
            }

            /// What kind of thing it is.
            pub fn kind(self) -> RoleKind {
                match self {
                    $(Self::$role => RoleKind::$kind,)*
                }
            }

            /// What its dust holds.
            pub fn dust(self) -> Dust {
                match self {
                    $(Self::$role => Dust::$dust,)*
                }
            }

            /// What it is put in for.
            pub fn meant_for(self) -> MeantFor {
                match self {
                    $(Self::$role => MeantFor::$meant,)*
                }
            }
        }
    };
}

roles! {
    /// Portland or blended cement.
    Cement: "cement", Cement, Plain, Else;
    /// Fly ash.
    FlyAsh: "fly ash", Addition, Silica, Else;
    /// Ground granulated blast-furnace slag.
    Slag: "slag", Addition, Plain, Else;
    /// Silica fume.
    SilicaFume: "silica fume", Addition, Silica, Else;
    /// Natural pozzolan.
    NaturalPozzolan: "natural pozzolan", Addition, Silica, Else;
    /// Limestone filler.
    LimestoneFiller: "limestone filler", Filler, Plain, Else;
    /// Expansive agent.
    ExpansiveAgent: "expansive agent", Expansive, Plain, Cracking;
    /// Normal-weight sand.
    Sand: "sand", Sand, Silica, Else;
    /// Normal-weight coarse aggregate.
    CoarseAggregate: "coarse aggregate", Coarse, Plain, Else;
    /// Lightweight sand.
    LightweightSand: "lightweight sand", LightweightSand, Plain, Cracking;
    /// Lightweight coarse aggregate.
    LightweightCoarseAggregate: "lightweight coarse aggregate", LightweightCoarse, Plain, Cracking;
    /// Fibre.
    Fibre: "fibre", Fibre, Plain, Cracking;
    /// Mixing water.
    Water: "water", Water, Plain, Else;
    /// Water reducer, superplasticisers among them.
    WaterReducer: "water reducer", Admixture, Plain, Else;
    /// Air entrainer.
    AirEntrainer: "air entrainer", Admixture, Plain, Else;
    /// Viscosity modifier.
    ViscosityModifier: "viscosity modifier", Admixture, Plain, Else;
    /// Shrinkage reducer.
    ShrinkageReducer: "shrinkage reducer", Admixture, Plain, Cracking;
    /// Anything else.
    Other: "other", Other, Plain, Else;
}

impl Role {
    /// The role with this word.
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|role| role.word() == word)
    }

    /// Whether it counts as binder where the author does not list the roles that do.
    pub fn is_binder(self) -> bool {
        match self.kind() {
            RoleKind::Cement | RoleKind::Addition | RoleKind::Expansive => true,
            RoleKind::Filler | RoleKind::Fibre | RoleKind::Water | RoleKind::Admixture | RoleKind::Other => {
                false
            }
            RoleKind::Sand | RoleKind::Coarse | RoleKind::LightweightSand | RoleKind::LightweightCoarse => {
                false
            }
        }
    }

    /// Whether it counts as powder where the author does not list the roles that do.
    pub fn is_powder(self) -> bool {
        self.is_binder() || self.kind() == RoleKind::Filler
    }

    /// Whether it is sand of any weight.
    pub fn is_sand(self) -> bool {
        matches!(self.kind(), RoleKind::Sand | RoleKind::LightweightSand)
    }

    /// Whether it is coarse aggregate of any weight.
    pub fn is_coarse(self) -> bool {
        matches!(self.kind(), RoleKind::Coarse | RoleKind::LightweightCoarse)
    }

    /// Whether it is an aggregate, whose particles hold water.
    pub fn is_aggregate(self) -> bool {
        self.is_sand() || self.is_coarse()
    }

    /// Whether it is a lightweight aggregate, batched prewetted.
    pub fn is_lightweight(self) -> bool {
        matches!(self.kind(), RoleKind::LightweightSand | RoleKind::LightweightCoarse)
    }

    /// Whether it is an admixture, usually a liquid.
    pub fn is_admixture(self) -> bool {
        self.kind() == RoleKind::Admixture
    }

    /// Whether it is usually a liquid, which plants meter by volume.
    pub fn is_liquid(self) -> bool {
        match self.kind() {
            RoleKind::Water | RoleKind::Admixture | RoleKind::Other => true,
            RoleKind::Cement | RoleKind::Addition | RoleKind::Filler | RoleKind::Expansive => false,
            RoleKind::Sand | RoleKind::Coarse | RoleKind::LightweightSand | RoleKind::LightweightCoarse => {
                false
            }
            RoleKind::Fibre => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_role_is_found_by_its_word_and_belongs_to_one_kind_of_total() {
        for (role, word) in Role::ALL.iter().zip(ROLES) {
            assert_eq!((role.word(), Role::named(word)), (*word, Some(*role)));
            let kinds =
                [role.is_powder(), role.is_aggregate(), role.is_liquid(), role.kind() == RoleKind::Fibre];
            assert_eq!(kinds.iter().filter(|is| **is).count(), 1, "{word}");
        }
        assert_eq!(Role::named("gravel"), None);
    }
}
