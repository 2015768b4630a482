//! Boxes of levels on a grid, and what is known at a place of it.

/// What met the levels at a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Met {
    /// A point, by index.
    Point(usize),
    /// Nothing.
    Nothing,
}

impl Met {
    /// The point, if there is one.
    pub fn point(self) -> Option<usize> {
        match self {
            Self::Point(point) => Some(point),
            Self::Nothing => None,
        }
    }
}

/// A box of levels, its corners on the grid.
#[derive(Clone, Debug, PartialEq)]
pub struct GapRegion {
    /// Lower ends, in steps of the grid, one for each goal held.
    pub low: Vec<u32>,
    /// Upper ends.
    pub high: Vec<u32>,
    /// Splits that found nothing new.
    pub failures: u32,
}

/// The two parts of a region split along one side.
pub fn halves(region: &GapRegion, along: usize, at: u32) -> (GapRegion, GapRegion) {
    let (mut lower, mut upper) = (region.clone(), region.clone());
    lower.high[along] = at;
    upper.low[along] = at;
    (lower, upper)
}

/// The corners of a box.
pub fn corners(low: &[u32], high: &[u32]) -> Vec<Vec<u32>> {
    (0..1_usize << low.len())
        .map(|choice| {
            low.iter()
                .zip(high)
                .enumerate()
                .map(|(at, (low, high))| if choice >> at & 1 == 0 { *low } else { *high })
                .collect()
        })
        .collect()
}
