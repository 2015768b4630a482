//! What the author wrote, with the place of every value.
//!
//! What enters: the text of a YAML file. What leaves: a [`Statement`] whose shapes, units and keys are right,
//! with every name still unresolved, or findings. This room is the only home of YAML and does not know what
//! the materials mean.

mod word;
mod part;
mod entry;
mod roles;
mod keys;
mod tree;
mod other_words;
mod fields;
mod closed;
mod values;
mod materials;
mod laws;
mod courses;
mod cracking;
mod margins;
mod trials;
mod responses;
mod gradings;
mod quantity_refs;
mod limits_and_goal;
mod classes;
mod include;
mod schema;
mod reference;
mod mix;
mod trial_batches;
mod order;
mod writing;
mod path;
mod production;
mod rounding;
mod approved;
mod plant;
mod studies;
mod read;
mod decimals;
mod table;
mod price_list;
mod document;

pub use approved::ApprovedEntry;
pub use courses::{CourseEntry, CourseKind, PointsEntry};
pub use cracking::{
    CrackingEntry, CreepEntry, DryingEntry, HydrationEntry, OnsetEntry, RestraintEntry, RingEntry,
    ThermalEntry,
};
pub use document::Document;
pub use entry::{
    ChoiceEntry, ChoiceKind, ClassesEntry, CountingEntry, EquivalentEntry, FactorEntry, GoalEntry,
    LimitEntry, MaterialEntry, QuantityEntry, ResponseEntry, SideEntry, Statement, StrengthEntry, TermEntry,
};
pub use include::{Library, NoLibrary, Opened};
pub use keys::{
    CementStrength, CountedFrom, Edition, RINGS, SettingTest, SpreadEntry, StrainOf, StressAt, TensionTest,
};
pub use keys::{Form, Key, LINKS, STATEMENT, STATES, STATISTICS};
pub use laws::{BindingEntry, CEMENT_CLASS, InputEntry, LawEntry};
pub use margins::{ConfidenceEntry, Holds, MarginEntry, RuleEntry};
pub use mix::{MixEntry, Volume, read_mix};
pub use order::{MeasuredLoadEntry, OrderEntry, Split, WashWaterEntry, read_order};
pub use part::Part;
pub use plant::{PlaceEntry, PlantEntry, PlantMixEntry, read_plant};
pub use price_list::PriceList;
pub use production::{ProductionEntry, ScaleEntry};
pub use read::{read, read_from};
pub use reference::reference;
pub use roles::{Dust, MeantFor, ROLES, Role, RoleKind};
pub use rounding::{Pack, RoundingEntry, StepEntry};
pub use schema::schema;
pub use studies::{ScenarioEntry, StudyEntry, VaryEntry};
pub use table::{between, rows, with_point};
pub use trial_batches::{TrialBatchEntry, TrialResultEntry, read_trial_batches};
pub use trials::TrialsEntry;
pub use word::{Bounds, Located, QuantityRef, QuantitySpec, Word};

/// A commented statement that solves, to start from.
pub const STARTER: &str = include_str!("statement/starter.yaml");
