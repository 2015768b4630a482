//! Vectors of moment cuts in natural units: all that is ever carried from one problem to another.
//!
//! What enters: the cuts that one problem's search found worth a row. What leaves: cuts of another problem that has the same
//! factors. `(constant + sum v z)^2 >= 0` holds whatever the problem; boxes, planes and what follows from a cut-off do not, and
//! stay where they are.

use crate::listed::Id;
use crate::response::Response;
use std::sync::Arc;

use super::lifting::{Kind, Lifting};
use super::product_rows::{MomentCut, Rows};
use crate::mixture::{Measure, Ratio};

/// What a factor column stands for, whatever its number.
#[derive(Clone, Debug, PartialEq)]
enum Stands {
    For(Measure),
    /// A response in its own unit, by index.
    ForResponse(Id<Response>),
}

#[derive(Clone, Debug, PartialEq)]
struct CutVector {
    constant: f64,
    terms: Vec<(Stands, f64)>,
}

/// Vectors of cuts, the newest first.
#[derive(Clone, Debug, Default)]
pub struct CutVectors(Vec<CutVector>);

/// Most vectors that are carried: each is a row of the first programs.
const MOST: usize = 24;

impl CutVectors {
    /// Takes over the cuts of a search.
    pub fn take(&mut self, lifting: &Lifting, rows: &Rows) {
        let fresh = rows.cuts.iter().filter_map(|cut| natural(lifting, cut));
        let mut all: Vec<CutVector> = fresh.collect();
        for old in std::mem::take(&mut self.0) {
            if !all.contains(&old) {
                all.push(old);
            }
        }
        all.truncate(MOST);
        self.0 = all;
    }

    /// Takes over the vectors of another problem.
    pub fn join(&mut self, others: Self) {
        let mut all = others.0;
        all.extend(std::mem::take(&mut self.0));
        all.dedup();
        all.truncate(MOST);
        self.0 = all;
    }

    /// The cuts of a lifted problem: those whose factors it has, with all their products, and whose coefficients are even.
    pub fn in_columns(&self, lifting: &Lifting) -> Vec<Arc<MomentCut>> {
        let cut = |vector: &CutVector| {
            let mut terms = Vec::with_capacity(vector.terms.len());
            for (stands, v) in &vector.terms {
                let factor = match stands {
                    Stands::For(measure) => lifting.find(measure)?,
                    Stands::ForResponse(response) => lifting.find_response(*response)?,
                };
                terms.push((factor, v * lifting.factors[factor].scale));
            }
            let cut = MomentCut::in_columns(vector.constant, terms);
            cut.form(lifting).filter(super::product_rows::Form::is_even)?;
            Some(Arc::new(cut))
        };
        self.0.iter().filter_map(cut).collect()
    }
}

fn natural(lifting: &Lifting, cut: &MomentCut) -> Option<CutVector> {
    let mut terms = Vec::with_capacity(cut.terms().len());
    for (factor, v) in cut.terms() {
        let column = &lifting.factors[*factor];
        let stands = match &column.kind {
            Kind::Linear(affine) => Stands::For(Measure::Linear(affine.clone())),
            Kind::Ratio { numerator, denominator } => {
                let Kind::Linear(below) = &lifting.factors[*denominator].kind else { return None };
                Stands::For(Measure::Ratio(Ratio {
                    numerator: numerator.clone(),
                    denominator: below.clone(),
                }))
            }
            Kind::Response(response) => Stands::ForResponse(*response),
        };
        terms.push((stands, v / column.scale));
    }
    Some(CutVector { constant: cut.constant(), terms })
}
