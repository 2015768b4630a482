//! Which roles count in binder, powder, paste and mortar.
//!
//! The usual table (common practice, no source): binder is cement, fly ash, slag, silica fume, natural pozzolan
//! and expansive agent; powder is binder and limestone filler; paste is powder, water and admixtures by volume,
//! without air; mortar is paste, air, sand and lightweight sand by volume.

use crate::material::{Role, RoleKind};
use crate::statement::CountingEntry;

/// A total that has members by role.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Total {
    /// Binder, by mass.
    Binder,
    /// Powder, by mass.
    Powder,
    /// Paste, by volume.
    Paste,
    /// Mortar, by volume.
    Mortar,
}

/// Members of each total.
#[derive(Clone, Debug)]
pub struct Counting {
    members: [Vec<Role>; 4],
    air: [bool; 4],
}

/// The roles that something is said of.
fn roles(wanted: fn(Role) -> bool) -> impl Iterator<Item = Role> {
    Role::ALL.iter().copied().filter(move |role| wanted(*role))
}

/// Water and admixtures.
fn is_in_paste(role: Role) -> bool {
    role.is_admixture() || role.kind() == RoleKind::Water
}

impl Counting {
    /// The usual table with the author's overrides.
    pub fn new(entries: &[CountingEntry]) -> Self {
        let binder = roles(Role::is_binder).collect();
        let powder = roles(Role::is_powder).collect();
        let mut counting =
            Self { members: [binder, powder, Vec::new(), Vec::new()], air: [false, false, false, true] };
        for entry in entries {
            let Some(total) = Total::named(&entry.total.value) else { continue };
            counting.members[total as usize] =
                entry.roles.iter().filter_map(|role| Role::named(&role.value)).collect();
            counting.air[total as usize] = entry.roles.iter().any(|role| role.value == "air");
        }
        // Paste and mortar that the author did not list follow the (perhaps overridden) powder.
        let written = |total: Total| entries.iter().any(|entry| entry.total.value == total.word());
        if !written(Total::Paste) {
            counting.members[2] = counting.members[1].iter().copied().chain(roles(is_in_paste)).collect();
        }
        if !written(Total::Mortar) {
            counting.members[3] = counting.members[2].iter().copied().chain(roles(Role::is_sand)).collect();
        }
        counting
    }

    /// Whether a role counts in a total.
    pub fn counts(&self, total: Total, role: Role) -> bool {
        self.members[total as usize].contains(&role)
    }

    /// Whether air counts in a total.
    pub fn counts_air(&self, total: Total) -> bool {
        self.air[total as usize]
    }
}

impl Total {
    fn named(word: &str) -> Option<Self> {
        [Self::Binder, Self::Powder, Self::Paste, Self::Mortar].into_iter().find(|total| total.word() == word)
    }

    fn word(self) -> &'static str {
        match self {
            Self::Binder => "binder",
            Self::Powder => "powder",
            Self::Paste => "paste",
            Self::Mortar => "mortar",
        }
    }
}
