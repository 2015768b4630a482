//! What a front is between, and what it came to, as plain figures.

use super::answer::{Answer, Figure, Outcome};
use crate::finding::{Finding, Place, listed};
use crate::problem::{Direction, Problem, Subject};
use crate::quantity::Unit;
use crate::response::Response;
use crate::standard::Side;
use crate::statement::Word;

/// One goal as asked for: a name, with `least` or `most` before it or without.
#[derive(Clone, Debug)]
pub struct GoalWish {
    /// As written.
    pub word: Word,
}

impl GoalWish {
    /// What is wished where nothing is: cost and carbon.
    pub fn usual(place: Place) -> Vec<Self> {
        let wish = |burden: Burden| Self { word: Word { value: burden.name().to_owned(), place } };
        Burden::ALL.map(wish).to_vec()
    }
}

/// What is better the less there is of it, whatever a statement limits: the two goals of a front without a wish.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Burden {
    /// Price of all materials.
    Cost,
    /// Embodied carbon of all materials.
    Carbon,
}

impl Burden {
    /// Both, in the order of a front without a wish.
    const ALL: [Self; 2] = [Self::Cost, Self::Carbon];

    /// The built-in quantity that it is.
    fn name(self) -> &'static str {
        match self {
            Self::Cost => "cost",
            Self::Carbon => "carbon",
        }
    }

    fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|burden| burden.name() == name)
    }
}

/// One goal of a front.
#[derive(Clone, Debug)]
pub struct FrontGoal {
    /// Name of the quantity or response.
    pub name: String,
    /// Whether the most is wanted.
    pub most: bool,
    /// The unit of its values.
    pub unit: Unit,
    /// Last day looked at, in `unit`, if it is an age at cracking: it is swept as a limit, and ends "beyond" that day.
    pub last: Option<f64>,
}

/// One point of a front.
#[derive(Clone, Debug)]
pub struct FrontPoint {
    /// Values of the goals, in their units; an age at cracking is infinite where nothing cracks by the last day.
    pub values: Vec<f64>,
    /// The levels at which the other goals were held, in their units.
    pub levels: Vec<Option<f64>>,
    /// Which goal was made best.
    pub best: usize,
    /// The mix; its goal, bound and gap are those of the goal that was made best.
    pub answer: Answer,
    /// What uncertainty about fitted responses does to it.
    pub doubt: Doubtful,
    /// Materials that come in from the point before.
    pub enters: Vec<String>,
    /// Materials that go out.
    pub leaves: Vec<String>,
}

/// What uncertainty about fitted responses does to a point, in the unit of the goal that was made best.
#[derive(Clone, Copy, Debug, Default)]
pub struct Doubtful {
    /// The part of that goal that is paid because coefficients are estimates.
    pub paid: Option<f64>,
    /// That goal without the regions of fitted responses that the mix stands at: no proposal.
    pub beyond: Option<f64>,
}

/// A front: points by rising first goal, none as good as another in every goal.
#[derive(Clone, Debug)]
pub struct Front {
    /// The goals.
    pub goals: Vec<FrontGoal>,
    /// The figures told of every point.
    pub figures: Vec<Figure>,
    /// The points.
    pub points: Vec<FrontPoint>,
    /// Whether the goals conflict.
    pub conflict: bool,
    /// Questions that no mix answered.
    pub unmet: usize,
    /// Questions asked.
    pub asked: usize,
    /// Whether it was stopped before its end.
    pub stopped: bool,
    /// What was said where the program itself failed on a question: the front was stopped there.
    pub failures: Vec<String>,
}

/// The side on which less, or more, is better, by the side on which the statement limits it.
pub fn usual_side(problem: &Problem, name: &str) -> Option<bool> {
    if Burden::named(name).is_some() {
        return Some(false);
    }
    if problem.goal.name == name {
        return Some(problem.goal.direction == Direction::Most);
    }
    let about = |subject: &Subject| match subject {
        Subject::Response(index) => problem.responses[*index].name == name,
        Subject::Quantity(quantity) => quantity.label == name,
    };
    let sides: Vec<Side> = problem
        .requirements
        .iter()
        .filter(|requirement| {
            requirement.origin == crate::problem::Origin::Limit && about(&requirement.subject)
        })
        .map(|requirement| requirement.side)
        .collect();
    match (sides.contains(&Side::AtLeast), sides.contains(&Side::AtMost)) {
        (true, false) => Some(true),
        (false, true) => Some(false),
        _ => None,
    }
}

/// Goals that a statement offers besides cost and carbon, each with its side: what is predicted or limited.
fn offered(problem: &Problem) -> Vec<String> {
    let predicted = problem.responses.iter().map(|response| response.name.as_str());
    let limited = problem.requirements.iter().filter_map(|requirement| match &requirement.subject {
        Subject::Quantity(quantity) if requirement.origin == crate::problem::Origin::Limit => {
            Some(quantity.label.as_str())
        }
        _ => None,
    });
    let mut list = Vec::new();
    for name in predicted.chain(limited).filter(|name| Burden::named(name).is_none()) {
        let goal = match usual_side(problem, name) {
            Some(true) => format!("most {name}"),
            Some(false) => format!("least {name}"),
            None => continue,
        };
        if !list.contains(&goal) {
            list.push(goal);
        }
    }
    list
}

/// Standard deviation of one result of a goal in its unit, in the middle of what its response is known for; zero where it is
/// no response, or its scatter is not known.
pub fn scatter(problem: &Problem, goal: &FrontGoal) -> f64 {
    let known = problem.responses.iter().find(|response| response.name == goal.name);
    let of = |response: &Response| {
        let residual = response.residual?;
        let middle = response.bounds(&response.region()).middle();
        let (low, high) = (response.natural(middle - residual), response.natural(middle + residual));
        let scatter = 0.5 * (high - low).abs() * response.unit.factor / goal.unit.factor;
        Some(scatter).filter(|scatter| scatter.is_finite())
    };
    known.and_then(of).unwrap_or(0.0)
}

impl Front {
    /// Whether every point is proven within the gap asked for.
    pub fn is_proven(&self) -> bool {
        !self.stopped && self.points.iter().all(|point| point.answer.outcome == Outcome::Optimal)
    }
}

/// What is told where no goals are given and carbon cannot be one.
pub fn without_carbon(base: &Problem) -> Option<Finding> {
    let materials = &base.mixture.catalogue.materials;
    let silent: Vec<&str> = materials
        .iter()
        .filter(|material| material.carbon.is_none())
        .map(|material| material.name.as_str())
        .collect();
    if silent.is_empty() {
        return None;
    }
    let others = offered(base);
    let other = others.first().map_or("least paste volume", String::as_str);
    let cost = Burden::Cost.name();
    let offered: Vec<&str> = std::iter::once(cost).chain(others.iter().map(String::as_str)).collect();
    Some(
        Finding::error(base.place, "no goals are given, and cost and carbon cannot be both")
            .note(format!("`carbon` is missing for: {}", listed(&silent)))
            .note(format!("goals that this statement offers: {}", listed(&offered)))
            .help(format!("write `--goals '{cost}, {other}'`, or declare the carbon of every material")),
    )
}
