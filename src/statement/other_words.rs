//! Words of the trade for which a statement has another one: what a finding proposes in their place.

/// Words of the trade for which the statement has another one.
pub const OTHER_WORDS: &[(&str, &str)] = &[
    ("portland cement", "cement"),
    ("ggbs", "slag"),
    ("slag cement", "slag"),
    ("microsilica", "silica fume"),
    ("pozzolan", "natural pozzolan"),
    ("metakaolin", "natural pozzolan"),
    ("limestone", "limestone filler"),
    ("filler", "limestone filler"),
    ("fine aggregate", "sand"),
    ("gravel", "coarse aggregate"),
    ("stone", "coarse aggregate"),
    ("crushed stone", "coarse aggregate"),
    ("lightweight fine aggregate", "lightweight sand"),
    ("fiber", "fibre"),
    ("fibres", "fibre"),
    ("plasticiser", "water reducer"),
    ("plasticizer", "water reducer"),
    ("superplasticiser", "water reducer"),
    ("superplasticizer", "water reducer"),
    ("high-range water reducer", "water reducer"),
    ("shrinkage-reducing admixture", "shrinkage reducer"),
    ("viscosity-modifying admixture", "viscosity modifier"),
    ("air-entraining admixture", "air entrainer"),
];
