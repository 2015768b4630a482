//! Terms of a polynomial in factors, and which sets of them belong together.
//!
//! What enters: how many factors there are, and which of them is the age. What leaves: candidate sets, their columns
//! over rows of factor values, and what a hierarchical model demands: no product without its factors. This file does
//! not know what the factors are.

/// A product of factors, rising; empty for the constant.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Term(pub Vec<usize>);

impl Term {
    /// The constant.
    pub fn constant() -> Self {
        Self(Vec::new())
    }

    /// The product of these factors.
    pub fn product(factors: &[usize]) -> Self {
        let mut factors = factors.to_vec();
        factors.sort_unstable();
        Self(factors)
    }

    /// Its value at factor values.
    pub fn at(&self, factors: &[f64]) -> f64 {
        self.0.iter().map(|factor| factors[*factor]).product()
    }

    /// In words: `constant`, `a`, `a * b`.
    pub fn words(&self, names: &[String]) -> String {
        if self.0.is_empty() {
            return "constant".to_owned();
        }
        let names: Vec<&str> = self.0.iter().map(|factor| names[*factor].as_str()).collect();
        names.join(" * ")
    }

    /// The terms that it must not stand without: itself with one factor less; the constant is nobody's.
    pub fn parents(&self) -> Vec<Self> {
        if self.0.len() < 2 {
            return Vec::new();
        }
        let mut parents: Vec<Self> = (0..self.0.len())
            .map(|at| {
                let mut rest = self.0.clone();
                rest.remove(at);
                Self(rest)
            })
            .collect();
        parents.dedup();
        parents
    }
}

/// The terms up to an order in so many factors: the constant, each factor, squares and products.
pub fn up_to_order(factors: usize, order: usize) -> Vec<Term> {
    let mut terms = vec![Term::constant()];
    terms.extend((0..factors).map(|factor| Term(vec![factor])));
    if 2 <= order {
        for first in 0..factors {
            terms.extend((first..factors).map(|second| Term(vec![first, second])));
        }
    }
    terms
}

/// The form for shares that sum to one: no constant, no squares.
pub fn of_shares(terms: &[Term]) -> Vec<Term> {
    let is_square = |term: &Term| term.0.len() == 2 && term.0[0] == term.0[1];
    terms.iter().filter(|term| !term.0.is_empty() && !is_square(term)).cloned().collect()
}

/// The column of each term over rows of factor values.
pub fn columns(terms: &[Term], rows: &[Vec<f64>]) -> Vec<Vec<f64>> {
    terms.iter().map(|term| rows.iter().map(|row| term.at(row)).collect()).collect()
}

/// Indices of all terms that must stand if these do, rising.
pub fn closure(terms: &[Term], chosen: &[usize]) -> Vec<usize> {
    let mut all = chosen.to_vec();
    let mut at = 0;
    while at < all.len() {
        for parent in terms[all[at]].parents() {
            if let Some(index) = terms.iter().position(|term| *term == parent)
                && !all.contains(&index)
            {
                all.push(index);
            }
        }
        at += 1;
    }
    all.sort_unstable();
    all.dedup();
    all
}

/// Whether a term may leave: no other chosen term needs it.
pub fn may_leave(terms: &[Term], chosen: &[usize], leaving: usize) -> bool {
    chosen.iter().all(|other| *other == leaving || !terms[*other].parents().contains(&terms[leaving]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_bring_their_factors_and_keep_them() {
        let terms = up_to_order(3, 2);
        assert_eq!(terms.len(), 10);
        let product = terms.iter().position(|term| *term == Term::product(&[2, 0])).unwrap();
        let closed = closure(&terms, &[product]);
        assert_eq!(closed, [1, 3, product]);
        assert!(!may_leave(&terms, &closed, 1) && may_leave(&terms, &closed, product));
        assert_eq!(of_shares(&terms).len(), 6);
        let names = ["a".to_owned(), "b".to_owned(), "c".to_owned()];
        assert_eq!(terms[product].words(&names), "a * c");
        assert_eq!(terms[product].at(&[2.0, 5.0, 3.0]), 6.0);
    }
}
