//! Classes of ring test results, kept together with the ring that they were published for.
//!
//! Published intervals share their end points; here a stress rate at an end point goes to the worse class,
//! and so does a net time. Time and rate may disagree: both classes are reported, none is averaged.

/// The ring of a test.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ring {
    /// ASTM C1581: concrete 38 mm thick around steel of 330 mm outer diameter.
    Thin,
    /// AASHTO T 334: concrete 76 mm thick around steel of 305 mm outer diameter.
    Thick,
}

/// How likely cracking is, from worst to best.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CrackingPotential {
    /// Cracks within 7 d of drying.
    High,
    /// Cracks within 14 d of drying.
    ModerateHigh,
    /// Cracks within 28 d of drying.
    ModerateLow,
    /// Does not crack within 28 d of drying.
    Low,
}

const CLASSES: [CrackingPotential; 4] = [
    CrackingPotential::High,
    CrackingPotential::ModerateHigh,
    CrackingPotential::ModerateLow,
    CrackingPotential::Low,
];

impl Ring {
    /// Radii in mm: steel inside, steel outside, concrete outside.
    pub fn radii(self) -> [f64; 3] {
        match self {
            Self::Thin => [152.0, 165.0, 203.0],
            Self::Thick => [139.7, 152.4, 228.6],
        }
    }

    /// Mean hoop stress of thin rings per strain of the steel, GPa: what a test makes stress of its strain with.
    ///
    /// Source: ASTM C1581 for the thin ring (72.2 GPa, value from memory); its formula for the thick one.
    pub fn stress_factor(self) -> f64 {
        match self {
            Self::Thin => 72.2,
            Self::Thick => {
                let [inner, contact, outer] = self.radii();
                200.0 * contact * (contact - inner) / (inner * (outer - contact))
            }
        }
    }

    /// Stress rates in MPa/d from which a result is high, moderate-high, moderate-low.
    fn rates(self) -> [f64; 3] {
        match self {
            Self::Thin => [0.34, 0.17, 0.10],
            Self::Thick => [0.17, 0.11, 0.05],
        }
    }

    /// Class by the stress rate at cracking, or at the end of the test, MPa/d: the slope then, not the average since drying
    /// started.
    ///
    /// Source: ASTM C1581 for the thin ring; Advances in Materials Science and Engineering 2020, 4842369,
    /// table 3, for both.
    pub fn class_by_rate(self, rate: f64) -> CrackingPotential {
        CLASSES[self.rates().iter().take_while(|limit| rate < **limit).count()]
    }

    /// Class by net time to cracking in days since drying started, published for the thin ring only; `None`
    /// means that no crack occurred within the test.
    pub fn class_by_time(self, net_time: Option<f64>) -> Option<CrackingPotential> {
        match (self, net_time) {
            (Self::Thick, _) => None,
            (Self::Thin, None) => Some(CrackingPotential::Low),
            (Self::Thin, Some(time)) => {
                Some(CLASSES[[7.0, 14.0, 28.0].iter().take_while(|limit| time > **limit).count()])
            }
        }
    }
}
