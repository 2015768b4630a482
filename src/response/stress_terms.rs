//! Stress less failure level as a sum of products: an amount of the mix times a function of one or two of its factors.
//!
//! What enters: the rule of a restrained concrete, boxes of its factors. What leaves: the terms of that sum, and planes that
//! lie below each function over a box, for a proof. The stress at an age is linear in the free strains; its coefficients
//! depend on the degree of restraint, the modulus and the final creep alone. Bounds of the curvature of those coefficients
//! are worked out once for each cell of a grid over the region, where a box first needs them, by second derivatives over
//! intervals; they hold in every box of the cells, so planes close in on the function with the square of the box. What the
//! amounts are bound to is not known here.

use std::sync::OnceLock;

use super::formula::Slot;
use super::law::Law;
use super::law::cracking::FreeStrain;
use super::law::superposition::stress;
use super::restrained::Restrained;
use crate::number::{Dual, Interval, Number};

/// Relative width of a cell of the modulus.
const MODULUS_CELL: f64 = 0.02;
/// Width of a cell of any other factor, as a share of its region.
const OTHER_CELL: f64 = 1.0 / 48.0;
/// Most cells along one factor.
const MOST_CELLS: usize = 192;
/// Share of a term's size by which a plane is lowered against rounding.
const ROUNDING: f64 = 1e-11;

/// One term: an amount times a function of at most two factors.
#[derive(Clone, Debug)]
pub struct Term {
    /// The amount; never negative within its region.
    pub amount: Slot,
    /// The factors that the function depends on, by index.
    pub args: Vec<usize>,
    kind: Kind,
}

#[derive(Clone, Copy, Debug)]
enum Kind {
    /// Stress of a free strain per amount.
    Strain(usize),
    /// Stress of what no mix changes.
    Known,
    /// Less the failure level per tensile strength.
    Level,
}

/// A plane over the factors that a function depends on.
#[derive(Clone, Debug, PartialEq)]
pub struct Plane {
    /// Value where all of them are zero.
    pub constant: f64,
    /// Slope by each, in the order of the term.
    pub slopes: Vec<f64>,
}

/// Curvatures of a function over a cell, at each age: by the first factor twice, by the second twice, by both.
type Curvatures = Vec<[Interval; 3]>;

/// The terms of a rule, with the curvatures of their functions as they are asked for.
#[derive(Clone, Debug)]
pub struct StressTerms {
    terms: Vec<Term>,
    cells: Vec<Cells>,
    /// Factors of the rule.
    factors: usize,
}

#[derive(Clone, Debug)]
struct Cells {
    /// Ends of the cells along each factor.
    edges: Vec<Vec<f64>>,
    /// Row by row.
    known: Vec<OnceLock<Curvatures>>,
}

impl StressTerms {
    /// The terms whose sum is the stress less the failure level; none where growth or creep is bound to the mix in a way that
    /// leaves no such sum. `regions` are those of the factors.
    pub fn new(rule: &Restrained, regions: &[Interval]) -> Option<Self> {
        let terms = rule.found_terms()?;
        let cells = terms.iter().map(|term| Cells::over(rule, term, regions)).collect();
        Some(Self { terms, cells, factors: regions.len() })
    }

    /// The terms.
    pub fn terms(&self) -> &[Term] {
        &self.terms
    }

    /// For each of the given points of the grid a plane that lies nowhere above a term's function within a box of all factors.
    ///
    /// One factor: the chord, lowered by what the function may sag below it, or the tangent in the middle, lowered by what
    /// the function may bend away, whichever is lowered less. Two: the tangent.
    pub fn planes_below(
        &self,
        rule: &Restrained,
        at: usize,
        range: &[Interval],
        points: &[usize],
    ) -> Option<Vec<Plane>> {
        let (term, cells) = (&self.terms[at], &self.cells[at]);
        let last = points.iter().copied().max().unwrap_or(0);
        let own: Vec<Interval> = term.args.iter().map(|arg| range[*arg]).collect();
        let middle: Vec<f64> = own.iter().map(Interval::middle).collect();
        let tangents = rule.sloped(term, &middle, self.factors, last);
        let ends = |pick: fn(&Interval) -> f64| {
            let mut factors: Vec<f64> = vec![0.0; range.len()];
            for (arg, own) in term.args.iter().zip(&own) {
                factors[*arg] = pick(own);
            }
            rule.along(term, &factors, last)
        };
        let (low, high) = (ends(Interval::low), ends(Interval::high));
        let bends = cells.within(rule, term, &own, self.factors, points)?;
        let plane = |(point, bend): (&usize, [Interval; 3])| {
            let (value, slopes) = &tangents[*point];
            let sinks = |curvature: f64| 0.125 * f64::max(0.0, curvature);
            let (mut constant, mut slopes) = (*value, slopes.clone());
            if let [own] = own.as_slice() {
                let width = own.width();
                let (chord, tangent) =
                    (sinks(bend[0].high()) * width * width, sinks(-bend[0].low()) * width * width);
                if chord < tangent && 0.0 < width {
                    slopes = vec![(high[*point] - low[*point]) / width];
                    constant = low[*point] + slopes[0] * (middle[0] - own.low()) - chord;
                } else {
                    constant -= tangent;
                }
            } else if let [one, two] = own.as_slice() {
                let (one, two) = (one.width(), two.width());
                let mixed = f64::max(-bend[2].low(), bend[2].high());
                constant -= sinks(-bend[0].low()) * one * one
                    + sinks(-bend[1].low()) * two * two
                    + 2.0 * sinks(mixed) * one * two;
            }
            let shift: f64 = slopes.iter().zip(&middle).map(|(slope, middle)| slope * middle).sum();
            let size = value.abs() + shift.abs() + low[*point].abs() + high[*point].abs();
            Plane { constant: constant - shift - ROUNDING * size, slopes }
        };
        let planes: Vec<Plane> = points.iter().zip(bends).map(plane).collect();
        let known =
            |plane: &Plane| plane.constant.is_finite() && plane.slopes.iter().all(|slope| slope.is_finite());
        planes.iter().all(known).then_some(planes)
    }
}

impl Restrained {
    fn found_terms(&self) -> Option<Vec<Term>> {
        let setting = &self.setting;
        let (modulus, strains, tension) = self.separated();
        let stiffness = [setting.restraint.degree(), Some(*modulus?), Some(setting.creep.last)];
        let args = factors_of(&stiffness.into_iter().flatten().collect::<Vec<_>>());
        let strain = |(at, amount): (usize, Option<&Slot>)| {
            Some(Term { amount: *amount?, args: args.clone(), kind: Kind::Strain(at) })
        };
        let mut terms: Vec<Term> = strains.into_iter().enumerate().map(strain).collect::<Option<_>>()?;
        if self.has_known_strain() {
            terms.push(Term { amount: Slot::Fixed(1.0), args, kind: Kind::Known });
        }
        terms.push(Term { amount: *tension?, args: factors_of(&setting.failure), kind: Kind::Level });
        terms.iter().all(|term| term.args.len() <= 2).then_some(terms)
    }

    /// The function of a term at each age up to a point of the grid; only its own factors are looked at.
    pub fn along<N: Number>(&self, term: &Term, factors: &[N], last: usize) -> Vec<N> {
        let setting = &self.setting;
        let grown = match term.kind {
            Kind::Strain(at) => self.grown_strain(at),
            Kind::Known => self.known_strain(),
            Kind::Level => {
                let [share, volume, gain, scale] = setting.failure.map(|slot| slot.of(factors));
                let direct = N::constant(-setting.direct);
                let level = Law::FailureLevel.evaluate(&[direct, share, volume, gain, scale]);
                return self.grown_tension()[..=last].iter().map(|grown| level.clone() * *grown).collect();
            }
        };
        let mut strain = FreeStrain::none(self.grid()).first(last);
        strain.add_grown(&N::constant(1.0), grown);
        let modulus = self.modulus(factors, last);
        let creep = self.creep(&modulus, factors);
        stress(&strain, &setting.restraint.restrainer(factors), &modulus, &creep, self.creep_shape())
    }

    /// Values and slopes by the factors of a term, at each age.
    fn sloped(&self, term: &Term, own: &[f64], count: usize, last: usize) -> Vec<(f64, Vec<f64>)> {
        let mut factors: Vec<Dual> = vec![Dual::constant(0.0); count];
        for (index, (arg, value)) in term.args.iter().zip(own).enumerate() {
            factors[*arg] = Dual::variable(*value, index, own.len());
        }
        let apart = |dual: Dual| (dual.value, (0..own.len()).map(|index| dual.slope(index)).collect());
        self.along(term, &factors, last).into_iter().map(apart).collect()
    }
}

/// The factors among slots, each once.
fn factors_of(slots: &[Slot]) -> Vec<usize> {
    let mut list: Vec<usize> = Vec::new();
    for slot in slots {
        if let Slot::Factor(index) = slot
            && !list.contains(index)
        {
            list.push(*index);
        }
    }
    list
}

impl Cells {
    fn over(rule: &Restrained, term: &Term, regions: &[Interval]) -> Self {
        let modulus = rule.separated().0.copied();
        let edges: Vec<Vec<f64>> = term
            .args
            .iter()
            .map(|arg| {
                let region = regions[*arg];
                let relative = modulus == Some(Slot::Factor(*arg)) && 0.0 < region.low();
                let wanted = if relative {
                    f64::ln(region.high() / region.low()) / MODULUS_CELL
                } else {
                    OTHER_CELL.recip()
                };
                // truncation is wanted: a whole number of cells, at least one
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                let count = (wanted.ceil() as usize).clamp(1, MOST_CELLS);
                let at = |part: f64| {
                    if relative {
                        region.low() * f64::powf(region.high() / region.low(), part)
                    } else {
                        region.low() + part * region.width()
                    }
                };
                let mut edges: Vec<f64> = (0..=count).map(|cell| at(cell as f64 / count as f64)).collect();
                // rounding must not leave a sliver of the region outside
                edges[0] = region.low();
                edges[count] = region.high();
                edges
            })
            .collect();
        let count: usize = edges.iter().map(|edges| edges.len() - 1).product();
        Self { edges, known: vec![OnceLock::new(); count] }
    }

    /// Curvatures at some points of the grid over a box of the term's factors; none where it leaves the region.
    fn within(
        &self,
        rule: &Restrained,
        term: &Term,
        own: &[Interval],
        count: usize,
        points: &[usize],
    ) -> Option<Vec<[Interval; 3]>> {
        let mut spans = Vec::with_capacity(own.len());
        for (range, edges) in own.iter().zip(&self.edges) {
            let (first, last) = (edges.first()?, edges.last()?);
            if !(*first <= range.low() && range.high() <= *last) {
                return None;
            }
            let cells = edges.len() - 1;
            let from = edges.partition_point(|edge| *edge <= range.low()).saturating_sub(1).min(cells - 1);
            let to = edges.partition_point(|edge| *edge < range.high()).clamp(from + 1, cells);
            spans.push(from..to);
        }
        let mut found: Option<Vec<[Interval; 3]>> = None;
        let rows = spans.first().cloned().unwrap_or(0..1);
        for row in rows {
            for column in spans.get(1).cloned().unwrap_or(0..1) {
                let width = self.edges.get(1).map_or(1, |edges| edges.len() - 1);
                let cell: Vec<Interval> = [row, column]
                    .into_iter()
                    .zip(&self.edges)
                    .map(|(at, edges)| Interval::new(edges[at], edges[at + 1]))
                    .collect();
                let known =
                    self.known[row * width + column].get_or_init(|| curvatures(rule, term, &cell, count));
                let here = points.iter().map(|point| known[*point]);
                found = Some(match found {
                    None => here.collect(),
                    Some(sofar) => sofar
                        .iter()
                        .zip(here)
                        .map(|(a, b)| {
                            std::array::from_fn(|at| a[at].hull(&b[at], crate::number::Join::Continuous))
                        })
                        .collect(),
                });
            }
        }
        found
    }
}

/// Curvatures of a term's function over a cell of its factors, at each age.
fn curvatures(rule: &Restrained, term: &Term, cell: &[Interval], count: usize) -> Curvatures {
    type Second = Dual<Dual<Interval>>;
    let own = cell.len();
    let mut factors: Vec<Second> = vec![Second::constant(0.0); count];
    for (index, (arg, range)) in term.args.iter().zip(cell).enumerate() {
        factors[*arg] = Dual::variable(Dual::variable(*range, index, own), index, own);
    }
    let last = rule.ages().len() - 1;
    let apart = |value: Second| {
        let bend = |one: usize, two: usize| {
            if own <= one.max(two) { Interval::point(0.0) } else { value.slope(one).slope(two) }
        };
        [bend(0, 0), bend(1, 1), bend(0, 1)]
    };
    rule.along(term, &factors, last).into_iter().map(apart).collect()
}
