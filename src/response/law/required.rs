//! Required average strength: how far the mean must lie above the strength that is specified.
//!
//! MPa, or psi where the name says so. The rules hold for cylinder tests that scatter normally.

use super::card::{CHARACTERISTIC_STRENGTH, Card, Input, Output, SPECIFIED_STRENGTH, Worked};
use super::take;
use crate::number::Number;
use crate::standard::{Statistic, required_average};

const DEVIATION: Input =
    Input::given("standard deviation", "MPa", "of the strength tests on record", (1.5, 8.0), (0.0, 100.0));
const SAMPLE_FACTOR: Input = Input::given(
    "sample factor",
    "1",
    "on the deviation for few tests: 1.16 at 15, 1.08 at 20, 1.03 at 25, 1.00 from 30",
    (1.0, 1.16),
    (1.0, 2.0),
);
const SPECIFIED_PSI: Input = Input::given(
    "specified strength",
    "psi",
    "specified cylinder strength",
    (2000.0, 12_000.0),
    (100.0, 45_000.0),
)
.of(Statistic::Specified);
const DEVIATION_PSI: Input = Input::given(
    "standard deviation",
    "psi",
    "of the strength tests on record",
    (200.0, 1200.0),
    (0.0, 15_000.0),
);

const ACI: &str = "ACI 318-05, table 5.3.2.1, since 2014 in ACI 301; ACI 214R";
const ACI_METRIC: &str =
    "ACI 318M-05, table 5.3.2.1, since 2014 in ACI 301M (constants in MPa: value from memory)";

/// Required average strength from records, in MPa.
pub const ACI_REQUIRED: Card = Card {
    name: "aci required average strength",
    group: "required strength",
    formula: "max(f + 1.34 k s, f + 2.33 k s - 3.5) up to 35 MPa, max(f + 1.34 k s, 0.90 f + 2.33 k s) \
              above",
    source: ACI_METRIC,
    inputs: &[SPECIFIED_STRENGTH, DEVIATION, SAMPLE_FACTOR.or(1.0)],
    unit: "MPa",
    meaning: "required average cylinder strength",
    output: Output::Strength(Statistic::Mean),
    worked: &[
        Worked {
            inputs: &[("specified strength", 28.0), ("standard deviation", 4.0)],
            expected: 33.82,
            tolerance: 0.005,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("specified strength", 45.0), ("standard deviation", 4.0)],
            expected: 50.36,
            tolerance: 0.005,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn aci_required<N: Number>(inputs: &[N]) -> N {
    let [specified, deviation, factor] = take(inputs);
    required_average::aci_recorded(specified, deviation * factor)
}

/// Required average strength from records, in psi.
pub const ACI_REQUIRED_PSI: Card = Card {
    name: "aci required average strength in psi",
    group: "required strength",
    formula: "max(f + 1.34 k s, f + 2.33 k s - 500) up to 5000 psi, max(f + 1.34 k s, 0.90 f + 2.33 k s) \
              above",
    source: ACI,
    inputs: &[SPECIFIED_PSI, DEVIATION_PSI, SAMPLE_FACTOR.or(1.0)],
    unit: "psi",
    meaning: "required average cylinder strength",
    output: Output::Strength(Statistic::Mean),
    worked: &[Worked {
        inputs: &[("specified strength", 4000.0), ("standard deviation", 600.0)],
        expected: 4898.0,
        tolerance: 0.5,
        note: "the formula's own output",
    }],
};

pub(super) fn aci_required_psi<N: Number>(inputs: &[N]) -> N {
    let [specified, deviation, factor] = take(inputs);
    required_average::aci_recorded_psi(specified, deviation * factor)
}

/// Required average strength without records, in MPa.
pub const ACI_UNRECORDED: Card = Card {
    name: "aci required average strength without record",
    group: "required strength",
    formula: "f + 7.0 below 21 MPa, f + 8.3 up to 35 MPa, 1.10 f + 5.0 above",
    source: "ACI 318M-05, table 5.3.2.2, since 2014 in ACI 301M (values in MPa: value from memory)",
    inputs: &[SPECIFIED_STRENGTH],
    unit: "MPa",
    meaning: "required average cylinder strength",
    output: Output::Strength(Statistic::Mean),
    worked: &[
        Worked {
            inputs: &[("specified strength", 30.0)],
            expected: 38.3,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("specified strength", 50.0)],
            expected: 60.0,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn aci_unrecorded<N: Number>(inputs: &[N]) -> N {
    let [specified] = take(inputs);
    required_average::aci_unrecorded(specified)
}

/// Required average strength without records, in psi.
pub const ACI_UNRECORDED_PSI: Card = Card {
    name: "aci required average strength without record in psi",
    group: "required strength",
    formula: "f + 1000 below 3000 psi, f + 1200 up to 5000 psi, 1.10 f + 700 above",
    source: "ACI 318-05, table 5.3.2.2, since 2014 in ACI 301 (rule above 5000 psi: value from memory)",
    inputs: &[SPECIFIED_PSI],
    unit: "psi",
    meaning: "required average cylinder strength",
    output: Output::Strength(Statistic::Mean),
    worked: &[
        Worked {
            inputs: &[("specified strength", 2500.0)],
            expected: 3500.0,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("specified strength", 4000.0)],
            expected: 5200.0,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("specified strength", 6000.0)],
            expected: 7300.0,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
    ],
};

pub(super) fn aci_unrecorded_psi<N: Number>(inputs: &[N]) -> N {
    let [specified] = take(inputs);
    required_average::aci_unrecorded_psi(specified)
}

/// Factor on a standard deviation from few tests.
pub const ACI_SAMPLE_FACTOR: Card = Card {
    name: "aci sample factor",
    group: "required strength",
    formula: "1.16 at 15 tests, 1.08 at 20, 1.03 at 25, 1.00 from 30, linear between",
    source: "ACI 318-05, table 5.3.1.2, since 2014 in ACI 301",
    inputs: &[Input::given("tests", "1", "number of strength tests on record", (15.0, 100.0), (15.0, 1e6))],
    unit: "1",
    meaning: "factor on the standard deviation",
    output: Output::Other,
    worked: &[
        Worked {
            inputs: &[("tests", 17.0)],
            expected: 1.128,
            tolerance: 1e-9,
            note: "the formula's own output, between two rows of the table",
        },
        Worked {
            inputs: &[("tests", 22.0)],
            expected: 1.06,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
        Worked {
            inputs: &[("tests", 28.0)],
            expected: 1.012,
            tolerance: 1e-9,
            note: "the formula's own output",
        },
        Worked { inputs: &[("tests", 40.0)], expected: 1.0, tolerance: 1e-9, note: "ACI 318" },
    ],
};

pub(super) fn aci_sample_factor<N: Number>(inputs: &[N]) -> N {
    let [tests] = take(inputs);
    required_average::aci_sample_factor(tests)
}

/// Mean strength from characteristic strength.
pub const EUROCODE_MEAN: Card = Card {
    name: "eurocode mean strength",
    group: "required strength",
    formula: "f_ck + margin",
    source: "EN 1992-1-1:2004, table 3.1",
    inputs: &[
        CHARACTERISTIC_STRENGTH,
        Input::given("margin", "MPa", "mean less characteristic strength", (4.0, 12.0), (0.0, 50.0))
            .or(required_average::EUROCODE_MARGIN),
    ],
    unit: "MPa",
    meaning: "mean cylinder strength at 28 d",
    output: Output::Strength(Statistic::Mean),
    worked: &[Worked {
        inputs: &[("characteristic strength", 30.0)],
        expected: 38.0,
        tolerance: 1e-9,
        note: "EN 1992-1-1:2004, table 3.1",
    }],
};

pub(super) fn eurocode_mean<N: Number>(inputs: &[N]) -> N {
    let [characteristic, margin] = take(inputs);
    characteristic + margin
}

/// Target of a mix design by EN 206.
pub const TARGET_STRENGTH: Card = Card {
    name: "en 206 target strength",
    group: "required strength",
    formula: "f_ck + lambda s",
    source: "EN 206-1:2000, annex A.5: about twice the expected standard deviation (value from memory)",
    inputs: &[
        CHARACTERISTIC_STRENGTH,
        DEVIATION,
        Input::given(
            "lambda",
            "1",
            "deviations between mean and characteristic strength",
            (1.64, 3.0),
            (0.0, 10.0),
        )
        .or(required_average::TARGET_DEVIATIONS),
    ],
    unit: "MPa",
    meaning: "mean strength that a mix is designed for",
    output: Output::Strength(Statistic::Mean),
    worked: &[Worked {
        inputs: &[("characteristic strength", 30.0), ("standard deviation", 4.0)],
        expected: 38.0,
        tolerance: 1e-9,
        note: "the formula's own output",
    }],
};

pub(super) fn target_strength<N: Number>(inputs: &[N]) -> N {
    continuous_conformity(inputs)
}

/// Mean of three results in initial production.
pub const INITIAL_CONFORMITY: Card = Card {
    name: "initial conformity mean strength",
    group: "required strength",
    formula: "f_ck + margin; each single result at least f_ck - 4",
    source: "EN 206, conformity criteria for compressive strength (value from memory)",
    inputs: &[
        CHARACTERISTIC_STRENGTH,
        Input::given("margin", "MPa", "mean of three less characteristic strength", (1.0, 8.0), (0.0, 50.0))
            .or(4.0),
    ],
    unit: "MPa",
    meaning: "mean that three results must reach to be accepted: a criterion, no target",
    output: Output::Strength(Statistic::Mean),
    worked: &[Worked {
        inputs: &[("characteristic strength", 30.0)],
        expected: 34.0,
        tolerance: 1e-9,
        note: "the formula's own output",
    }],
};

pub(super) fn initial_conformity<N: Number>(inputs: &[N]) -> N {
    eurocode_mean(inputs)
}

/// Mean of at least fifteen results in continuous production.
pub const CONTINUOUS_CONFORMITY: Card = Card {
    name: "continuous conformity mean strength",
    group: "required strength",
    formula: "f_ck + k s; each single result at least f_ck - 4",
    source: "EN 206, conformity criteria for compressive strength (value from memory)",
    inputs: &[
        CHARACTERISTIC_STRENGTH,
        DEVIATION,
        Input::given(
            "factor",
            "1",
            "standard deviations between mean and characteristic",
            (1.3, 2.4),
            (0.0, 10.0),
        )
        .or(1.48),
    ],
    unit: "MPa",
    meaning: "mean that at least fifteen results must reach to be accepted: a criterion, no target",
    output: Output::Strength(Statistic::Mean),
    worked: &[Worked {
        inputs: &[("characteristic strength", 30.0), ("standard deviation", 5.0)],
        expected: 37.4,
        tolerance: 1e-9,
        note: "the formula's own output",
    }],
};

pub(super) fn continuous_conformity<N: Number>(inputs: &[N]) -> N {
    let [characteristic, deviation, factor] = take(inputs);
    characteristic + deviation * factor
}
