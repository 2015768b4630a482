//! What a strength is: its statistic and the shape of its specimen.
//!
//! What enters: the author's words. What leaves: enums, so that no later decision looks at a word.

/// Which statistic of the strength distribution a strength is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Statistic {
    /// The average of many tests.
    Mean,
    /// The 5 % fractile.
    Characteristic,
    /// The strength named in a specification.
    Specified,
}

impl Statistic {
    /// Every statistic.
    pub const ALL: [Self; 3] = [Self::Mean, Self::Characteristic, Self::Specified];

    /// Its word in a statement.
    pub fn word(self) -> &'static str {
        match self {
            Self::Mean => "mean",
            Self::Characteristic => "characteristic",
            Self::Specified => "specified",
        }
    }

    /// The statistic of that word.
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|statistic| statistic.word() == word)
    }
}

/// The shape of a specimen, as far as its description says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// A cylinder.
    Cylinder,
    /// A cube.
    Cube,
    /// A beam, which is tested in bending: no compressive strength.
    Beam,
    /// None of these words stands in the description.
    Unsaid,
}

impl Shape {
    /// The shape that a description names.
    pub fn of(description: &str) -> Self {
        let description = description.to_lowercase();
        if description.contains("cube") {
            Self::Cube
        } else if description.contains("cylinder") {
            Self::Cylinder
        } else if description.contains("beam") {
            Self::Beam
        } else {
            Self::Unsaid
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_an_author_become_what_they_mean() {
        for statistic in Statistic::ALL {
            assert_eq!(Statistic::named(statistic.word()), Some(statistic));
        }
        assert_eq!(Statistic::named("median"), None);
        assert_eq!(Shape::of("Cylinder 150 x 300 mm"), Shape::Cylinder);
        assert_eq!(Shape::of("cube 100 mm"), Shape::Cube);
        assert_eq!(Shape::of("beam 150 x 150 x 600 mm"), Shape::Beam);
        assert_eq!(Shape::of("specimen of the law's source"), Shape::Unsaid);
    }
}
