//! Names of figures and contents that rules and usual limits speak of: an author who means them uses these.

/// What deicing salt scales off in a test.
pub const SCALING_LOSS: &str = "scaling loss";
/// How far concrete flows in a test.
pub const SLUMP_FLOW: &str = "slump flow";
/// Content of materials that corrodes reinforcement.
pub const CHLORIDES: &str = "chlorides";
/// Content of materials that reacts with aggregate, as equivalent `Na2O`.
pub const ALKALIS: &str = "alkalis";
