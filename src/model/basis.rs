//! Where a program's optimum stood, for programs that differ from it little.
//!
//! What enters: the columns that were strictly inside their ends or at which end they stood, and the rows that were tight.
//! What leaves: the same for a program with fewer decisions open. Every row holds in the node it comes from, and so in each
//! part of that node; nothing here may go to a node that is no part of it, or that has other coordinates of products.

use super::frame::Assignment;
use super::program::Row;

/// Where a column or a row stood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stand {
    /// Determined by the others.
    Basic,
    /// At its low end.
    Low,
    /// At its high end.
    High,
}

/// Columns and tight rows of an optimum.
#[derive(Clone, Debug, PartialEq)]
pub struct Basis {
    /// Every column, in order.
    pub columns: Vec<Stand>,
    /// Tight rows with their ends.
    pub rows: Vec<(Row, Stand)>,
}

impl Basis {
    /// The same after more of the first `choices` decisions are taken: their columns, which stand after `first` others in
    /// their order, are gone, with the rows in which they stood. `None` if a decision is open that was taken.
    pub fn narrowed(
        &self,
        (before, after): (&Assignment, &Assignment),
        choices: usize,
        first: usize,
    ) -> Option<Self> {
        let mut place: Vec<Option<usize>> = (0..first).map(Some).collect();
        let mut next = first;
        for (was, is) in before.iter().zip(after).take(choices) {
            match (was.fixed(), is.fixed()) {
                (None, None) => {
                    place.push(Some(next));
                    next += 1;
                }
                (None, Some(_)) => place.push(None),
                (Some(_), None) => return None,
                (Some(_), Some(_)) => {}
            }
        }
        let rest = self.columns.len().checked_sub(place.len())?;
        place.extend((next..next + rest).map(Some));
        let columns = self.columns.iter().zip(&place).filter(|(_, place)| place.is_some());
        let mut rows = Vec::with_capacity(self.rows.len());
        for (row, stand) in &self.rows {
            let terms: Option<Vec<(usize, f64)>> =
                row.terms.iter().map(|(column, factor)| Some((place[*column]?, *factor))).collect();
            if let Some(terms) = terms {
                rows.push((Row { terms, label: row.label.clone(), ..*row }, *stand));
            }
        }
        Some(Self { columns: columns.map(|(stand, _)| *stand).collect(), rows })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::RowOrigin;
    use crate::problem::DecisionRange;

    #[test]
    fn a_decision_that_is_taken_goes_with_its_column_and_rows() {
        let row = |terms: Vec<(usize, f64)>| {
            let row = Row { origin: RowOrigin::Derived, label: "row".into(), terms, low: 0.0, high: 1.0 };
            (row, Stand::Low)
        };
        let columns = vec![Stand::Basic, Stand::Low, Stand::High, Stand::Basic];
        let rows = vec![row(vec![(0, 1.0), (3, 2.0)]), row(vec![(0, 1.0), (1, 1.0)]), row(vec![(2, 1.0)])];
        let basis = Basis { columns, rows };
        let open = DecisionRange::OPEN;
        let after = vec![DecisionRange::at(1), open];
        let narrowed = basis.narrowed((&vec![open, open], &after), 2, 1);
        let Some(narrowed) = narrowed else { panic!("it is narrowed") };
        assert_eq!(narrowed.columns, [Stand::Basic, Stand::High, Stand::Basic]);
        assert_eq!(narrowed.rows, [row(vec![(0, 1.0), (2, 2.0)]), row(vec![(1, 1.0)])]);
        assert_eq!(basis.narrowed((&after, &vec![open, open]), 2, 1), None);
    }
}
