//! What a finding may only repeat: where something is wrong there, it is told once.

/// What a finding may only repeat, if something is wrong there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RestsOn {
    /// Nothing but its own place.
    ItsPlace,
    /// What the materials declare.
    Materials,
    /// Where responses are known.
    Regions,
}
