//! Links: the monotone scale on which a response is a polynomial.

/// How the response relates to its predictor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Link {
    /// response = predictor.
    Identity,
    /// ln(response) = predictor; responses above zero.
    Log,
    /// sqrt(response) = predictor; responses and predictors not below zero.
    SquareRoot,
    /// ln(p / (1 - p)) = predictor, p the response in base units, between zero and one.
    Logit,
    /// response = at (predictor / at)^power, nothing where the predictor is not above zero: a law whose slope own results
    /// correct. Both in the unit of the response.
    Bent {
        /// The power, above zero.
        power: f64,
        /// The prediction that stays.
        at: f64,
    },
}

/// Share of the prediction that stays, below which the slope of a bent law is that of this share: where a law comes to nothing
/// a power below one has no end of slope.
const FLAT: f64 = 1e-3;

impl Link {
    /// The link with this word.
    pub fn named(word: &str) -> Option<Self> {
        [Self::Identity, Self::Log, Self::SquareRoot, Self::Logit]
            .into_iter()
            .find(|link| link.word() == word)
    }

    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Identity => "identity",
            Self::Log => "log",
            Self::SquareRoot => "square root",
            Self::Logit => "logit",
            Self::Bent { .. } => "bent",
        }
    }

    /// From response to predictor; infinite at the ends of the range and beyond them.
    pub fn predictor(self, response: f64) -> f64 {
        match self {
            Self::Identity => response,
            Self::Log if response <= 0.0 => f64::NEG_INFINITY,
            Self::Log => response.ln(),
            Self::SquareRoot if response < 0.0 => f64::NEG_INFINITY,
            Self::SquareRoot => response.sqrt(),
            Self::Logit if response <= 0.0 => f64::NEG_INFINITY,
            Self::Logit if 1.0 <= response => f64::INFINITY,
            Self::Logit => (response / (1.0 - response)).ln(),
            Self::Bent { .. } if response <= 0.0 => f64::NEG_INFINITY,
            Self::Bent { power, at } => at * (response / at).powf(power.recip()),
        }
    }

    /// From predictor to response.
    pub fn response(self, predictor: f64) -> f64 {
        match self {
            Self::Identity => predictor,
            Self::Log => predictor.exp(),
            Self::SquareRoot => predictor.max(0.0).powi(2),
            Self::Logit => 1.0 / (1.0 + (-predictor).exp()),
            Self::Bent { power, at } => at * (predictor.max(0.0) / at).powf(power),
        }
    }

    /// Derivative of the response by the predictor.
    pub fn slope(self, predictor: f64) -> f64 {
        match self {
            Self::Identity => 1.0,
            Self::Log => predictor.exp(),
            Self::SquareRoot => 2.0 * predictor.max(0.0),
            Self::Logit => {
                let response = self.response(predictor);
                response * (1.0 - response)
            }
            Self::Bent { power, at } => power * (predictor / at).max(FLAT).powf(power - 1.0),
        }
    }

    /// Whether the predictor has the unit of the response: then deviations have it too.
    pub fn keeps_unit(self) -> bool {
        matches!(self, Self::Identity | Self::Bent { .. })
    }

    /// Whether the predictor itself must not fall below zero.
    pub fn needs_rising_predictor(self) -> bool {
        self == Self::SquareRoot
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn links_undo_themselves_and_their_slopes_are_derivatives() {
        let bent = [0.7, 1.2].map(|power| Link::Bent { power, at: 0.4 });
        for link in [Link::Identity, Link::Log, Link::SquareRoot, Link::Logit].into_iter().chain(bent) {
            for response in [0.05, 0.3, 0.9] {
                let predictor = link.predictor(response);
                assert!((link.response(predictor) - response).abs() < 1e-12);
                let step = 1e-6;
                let difference =
                    (link.response(predictor + step) - link.response(predictor - step)) / (2.0 * step);
                assert!((difference - link.slope(predictor)).abs() < 1e-8);
            }
        }
        assert_eq!(Link::Log.predictor(-1.0), f64::NEG_INFINITY);
        assert_eq!(bent.map(|link| link.response(-0.1)), [0.0; 2]);
        assert_eq!(Link::Logit.predictor(1.0), f64::INFINITY);
    }
}
