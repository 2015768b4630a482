//! Each mix of a plant solved alone under the materials that it may use, every answer kept.
//!
//! What enters: a plant, and prices on limited stock. What leaves: a proven lower bound and the best mix found, for any set
//! of materials allowed. It does not choose the sets.
//!
//! A bound under an allowed set holds for every subset of it, and so does the mix where the subset keeps what it uses: most
//! questions are answered by an answer that is there.

use super::shared::SharedPlant;
use crate::listed::Id;
use crate::material::Material;
use crate::parallel;
use crate::problem::Problem;
use crate::solve::{Limits, Settings, Verdict, solve, used};

/// A set of the plant's materials, bit by bit.
pub type Set = u64;

/// How many materials a set has.
pub fn count(set: Set) -> usize {
    set.count_ones() as usize
}

/// The materials of a set in order.
pub fn members(set: Set) -> impl Iterator<Item = usize> {
    (0..64).filter(move |at| set & (1 << at) != 0)
}

/// What one mix comes to under an allowed set.
#[derive(Clone, Debug)]
pub struct Answer {
    /// Materials that it may use.
    pub allowed: Set,
    /// No mix costs less, currency per m3, prices on stock among it; infinite where none exists.
    pub lower: f64,
    /// What the mix costs so; infinite where none was found.
    pub upper: f64,
    /// Materials that it uses.
    pub used: Set,
    /// The mix; empty where none was found.
    pub mix: Vec<f64>,
}

/// One question: a mix and its allowed set.
pub type Question = (usize, Set);

/// The mixes with their answers so far.
#[derive(Clone, Debug)]
pub struct Oracle<'p> {
    plant: &'p SharedPlant,
    problems: Vec<Problem>,
    answers: Vec<Vec<Answer>>,
    settings: Settings,
    /// Solves so far.
    pub solves: usize,
}

impl<'p> Oracle<'p> {
    /// An oracle with `prices` per kg on some limited materials, in the order of `stock`.
    pub fn new(plant: &'p SharedPlant, stock: &[(usize, f64)], prices: &[f64], gap: f64) -> Self {
        let problems = plant
            .mixes
            .iter()
            .map(|mix| {
                stock.iter().zip(prices).fold(
                    mix.problem.clone(),
                    |problem, ((material, _), price)| match mix.columns[*material] {
                        Some(column) if 0.0 < *price => {
                            let now = problem.mixture.catalogue.materials[column].price;
                            problem.with_price(column, now + price)
                        }
                        _ => problem,
                    },
                )
            })
            .collect();
        let settings = Settings::proven(Limits { gap, ..Limits::default() });
        Self { plant, problems, answers: vec![Vec::new(); plant.mixes.len()], settings, solves: 0 }
    }

    /// Materials that a mix has at all.
    pub fn own(&self, mix: usize) -> Set {
        let columns = &self.plant.mixes[mix].columns;
        (0..columns.len()).filter(|material| columns[*material].is_some()).fold(0, |set, at| set | 1 << at)
    }

    /// Answers all questions that no kept answer settles; in parallel, in an order that does not depend on threads.
    pub fn ask(&mut self, questions: &[Question]) {
        let mut open: Vec<Question> = Vec::new();
        for (mix, allowed) in questions {
            let question = (*mix, allowed & self.own(*mix));
            if self.known(question.0, question.1).is_none() && !open.contains(&question) {
                open.push(question);
            }
        }
        let answers = parallel::in_order(&open, |_, (mix, allowed)| self.solved(*mix, *allowed), |_| {});
        self.solves += open.len();
        for ((mix, _), answer) in open.iter().zip(answers) {
            self.answers[*mix].push(answer);
        }
    }

    /// The answer of a mix under an allowed set, which must have been asked for.
    pub fn answer(&mut self, mix: usize, allowed: Set) -> Answer {
        self.ask(&[(mix, allowed)]);
        let own = allowed & self.own(mix);
        let known = self.known(mix, own).expect("it was asked for just now");
        let answer = &self.answers[mix][known];
        // Bounds of larger sets hold too.
        let lower = self.answers[mix]
            .iter()
            .filter(|answer| own & !answer.allowed == 0)
            .map(|answer| answer.lower)
            .fold(answer.lower, f64::max);
        Answer { lower, ..answer.clone() }
    }

    /// An answer under a larger set, whose mix the smaller one allows; or that nothing is to be had even there.
    fn known(&self, mix: usize, allowed: Set) -> Option<usize> {
        self.answers[mix].iter().position(|answer| {
            allowed & !answer.allowed == 0
                && (answer.allowed == allowed
                    || answer.lower == f64::INFINITY
                    || (answer.upper.is_finite() && answer.used & !allowed == 0))
        })
    }

    fn solved(&self, mix: usize, allowed: Set) -> Answer {
        let columns = &self.plant.mixes[mix].columns;
        let banned: Vec<Id<Material>> = (0..columns.len())
            .filter(|material| allowed & (1 << material) == 0)
            .filter_map(|material| columns[material])
            .collect();
        let problem =
            self.problems[mix].with_most(&banned.iter().map(|column| (*column, 0.0)).collect::<Vec<_>>());
        self.come_to(mix, allowed, problem.as_ref())
    }

    /// The answer of a mix with caps on some of its materials, kg per m3; not kept.
    pub fn capped(&self, mix: usize, allowed: Set, caps: &[(usize, f64)]) -> Answer {
        let columns = &self.plant.mixes[mix].columns;
        let most: Vec<(Id<Material>, f64)> = (0..columns.len())
            .filter_map(|material| {
                let column = columns[material]?;
                if allowed & (1 << material) == 0 {
                    return Some((column, 0.0));
                }
                caps.iter().find(|(known, _)| *known == material).map(|(_, cap)| (column, *cap))
            })
            .collect();
        // Prices on stock play no part where the stock is shared out.
        self.come_to(mix, allowed, self.plant.mixes[mix].problem.with_most(&most).as_ref())
    }

    fn come_to(&self, mix: usize, allowed: Set, problem: Option<&Problem>) -> Answer {
        let nothing = |lower: f64| Answer { allowed, lower, upper: f64::INFINITY, used: 0, mix: Vec::new() };
        let Some(problem) = problem else { return nothing(f64::INFINITY) };
        match solve(problem, &self.settings) {
            Verdict::Found(found) => {
                let uses = used(problem, &found.mix);
                let columns = &self.plant.mixes[mix].columns;
                let set = (0..columns.len())
                    .filter(|material| columns[*material].is_some_and(|column| uses[column.index()]))
                    .fold(0, |set: Set, at| set | 1 << at);
                let lower = found.certainty.map_or(f64::NEG_INFINITY, |certainty| certainty.bound);
                Answer { allowed, lower: lower.min(found.goal), upper: found.goal, used: set, mix: found.mix }
            }
            Verdict::Nothing(failed) => match failed.certainty {
                Some(certainty) if certainty.complete => nothing(f64::INFINITY),
                Some(certainty) => nothing(certainty.bound),
                None => nothing(f64::NEG_INFINITY),
            },
            Verdict::Unsettled(_) | Verdict::Failed(_) => nothing(f64::NEG_INFINITY),
        }
    }
}
