//! Fronts between goals of a statement: each question becomes a statement with another goal and further limits.

use super::answer::{Answer, Figure, figures_of, goal_in};
use super::dominance::{Question, Solved};
use super::epsilon_constraint::{EpsilonConstraint, front};
use super::failures::Failures;
use super::goals::{Doubtful, Front, FrontGoal, FrontPoint, GoalWish, scatter, usual_side, without_carbon};
use super::plan::changes;
use super::solver::{Solver, as_stated};
use crate::admit::{admit_document, admit_document_until};
use crate::analysis::{assignment_of, in_columns_of, uncertainty};
use crate::finding::{Finding, Findings, Sources};
use crate::model::CutVectors;
use crate::parallel::{Stop, in_order};
use crate::problem::{Problem, convert, in_unit, restrained};
use crate::response::law::cracking::Cracking;
use crate::solve::{Carried, Settings, Verdict, is_impossible_at_a_glance};
use crate::statement::{Document, Part};

/// A statement and the goals between which its front is sought.
#[derive(Clone, Debug)]
pub struct FrontPlan {
    document: Document,
    sources: Sources,
    /// The statement with each goal as its own; for an age at cracking the statement as it stands.
    problems: Vec<Problem>,
    goals: Vec<FrontGoal>,
    figures: Vec<Figure>,
    solver: Solver,
}

/// Halvings of the time between an age that mixes reach and one that none does.
const HALVINGS: usize = 12;
/// How goals are counted: two or three.
const COUNTS: std::ops::RangeInclusive<usize> = 2..=3;

impl FrontPlan {
    /// Looks up the goals; cost and carbon where none are given.
    ///
    /// # Errors
    /// All findings, if any of them is an error.
    pub fn new(
        document: Document,
        sources: Sources,
        wishes: Option<&[GoalWish]>,
    ) -> Result<(Self, Findings), Findings> {
        let (base, mut findings) = admit_document(&document, &sources)?;
        let usual: Vec<GoalWish>;
        let wishes = if let Some(wishes) = wishes {
            wishes
        } else if let Some(untold) = without_carbon(&base) {
            findings.push(untold);
            return Err(findings);
        } else {
            usual = GoalWish::usual(base.place);
            &usual
        };
        if !COUNTS.contains(&wishes.len()) {
            findings.push(
                Finding::error(
                    wishes.last().map_or(base.place, |wish| wish.word.place),
                    format!("{} goals are given", wishes.len()),
                )
                .note("a front is between two or three goals")
                .help("write `--goals 'cost, carbon'`"),
            );
            return Err(findings);
        }
        let mut plan = Self {
            document,
            sources,
            problems: Vec::new(),
            goals: Vec::new(),
            figures: figures_of(&base),
            solver: as_stated,
        };
        for wish in wishes {
            if let Some((goal, problem)) = plan.goal(&base, wish, &mut findings) {
                if plan.goals.iter().any(|known| known.name == goal.name) {
                    findings.push(
                        Finding::error(wish.word.place, format!("the goal `{}` stands twice", goal.name))
                            .help("name two goals that differ"),
                    );
                }
                plan.goals.push(goal);
                plan.problems.push(problem);
            }
        }
        if !findings.has_errors() && plan.goals[0].last.is_some() {
            findings.push(
                Finding::error(wishes[0].word.place, format!("the first goal is `{}`, an age at cracking", plan.goals[0].name))
                    .note("a mix need not crack at all: such an age is held as a limit while another goal is made best")
                    .help("name the other goal first"),
            );
        }
        if findings.has_errors() { Err(findings) } else { Ok((plan, findings)) }
    }

    /// The same, its questions answered by another solver.
    #[must_use]
    pub fn solved_by(self, solver: Solver) -> Self {
        Self { solver, ..self }
    }

    fn goal(&self, base: &Problem, wish: &GoalWish, findings: &mut Findings) -> Option<(FrontGoal, Problem)> {
        let text = wish.word.value.as_str();
        let (most, name) = match (text.strip_prefix("least "), text.strip_prefix("most ")) {
            (Some(name), _) => (Some(false), name.trim()),
            (_, Some(name)) => (Some(true), name.trim()),
            _ => (None, text),
        };
        let Some(most) = most.or_else(|| usual_side(base, name)) else {
            findings.push(
                Finding::error(
                    wish.word.place,
                    format!("it is not said whether the least or the most `{name}` is wanted"),
                )
                .note("the statement limits it on no side, or on both")
                .help(format!("write `least {name}` or `most {name}`")),
            );
            return None;
        };
        let age = base.responses.iter().find(|response| response.name == name).and_then(|response| {
            let rule = restrained(response)?;
            Some((response.unit.clone(), in_unit(Cracking::At(rule.setting.horizon), rule, &response.unit)))
        });
        if let Some((unit, last)) = age {
            if !most {
                findings.push(
                    Finding::error(
                        wish.word.place,
                        format!("the least `{name}` is asked for, an age at cracking"),
                    )
                    .help(format!("write `most {name}`")),
                );
            }
            return Some((FrontGoal { name: name.to_owned(), most, unit, last: Some(last) }, base.clone()));
        }
        let mut sources = self.sources.clone();
        let document = self.with_goal(name, most, &mut sources);
        match admit_document(&document, &sources) {
            Ok((problem, _)) => {
                let unit = problem.goal.unit.clone();
                Some((FrontGoal { name: name.to_owned(), most, unit, last: None }, problem))
            }
            Err(told) => {
                // The finding is about the goal: it points at the word of the goal that was asked for.
                for finding in told.sorted() {
                    findings.push(Finding { place: Some(wish.word.place), ..finding.clone() });
                }
                None
            }
        }
    }

    fn with_goal(&self, name: &str, most: bool, sources: &mut Sources) -> Document {
        let side = if most { "most" } else { "least" };
        let text = format!("goal: {{{side}: {}}}\n", Part::scalar(name));
        self.document.without("goal").under(&part(&text, sources))
    }

    /// The statement that a question asks: a goal, and limits on the others.
    fn question(&self, question: &Question, sources: &mut Sources) -> Document {
        let goal = &self.goals[question.least];
        let mut document = self.with_goal(&goal.name, goal.most, sources);
        for (other, level) in self.goals.iter().zip(&question.levels) {
            let Some(level) = level else { continue };
            let (side, value) = if other.most { ("at least", -level) } else { ("at most", *level) };
            let text = format!(
                "limits:\n  {}: {{on: {}, {side}: {}}}\n",
                Part::scalar(&level_name(other)),
                Part::scalar(&other.name),
                Part::scalar(&other.unit.with_number(&value.to_string())),
            );
            document = document.under(&part(&text, sources));
        }
        document
    }

    /// The statement's problem with the first goal as its own.
    pub fn base(&self) -> &Problem {
        &self.problems[0]
    }

    /// The currency.
    pub fn currency(&self) -> &str {
        &self.problems[0].currency
    }

    /// The goals.
    pub fn goals(&self) -> &[FrontGoal] {
        &self.goals
    }

    /// The statement of a point, to be read or printed.
    pub fn document(&self, point: &FrontPoint) -> (Document, Sources) {
        let mut sources = self.sources.clone();
        let levels = point
            .levels
            .iter()
            .zip(&self.goals)
            .map(|(level, goal)| level.map(|level| if goal.most { -level } else { level }));
        let question = Question { least: point.best, levels: levels.collect() };
        (self.question(&question, &mut sources), sources)
    }

    /// The problem of a point with the verdict on its mix: what a report is made from. `None` if work had to end first.
    pub fn verdict(&self, point: &FrontPoint, stop: Stop) -> Option<(Problem, Verdict, Sources)> {
        let (document, sources) = self.document(point);
        let (problem, _) = admit_document_until(&document, &sources, stop)?.ok()?;
        let verdict = point.answer.verdict(&problem, &self.goals[point.best].unit)?;
        Some((problem, verdict, sources))
    }

    /// Seeks so many points; what was found until work has to end is told. `asked` is told of every question that has been answered.
    pub fn run(
        &self,
        points: usize,
        resolution: f64,
        settings: &Settings,
        asked: &(dyn Fn() + Sync),
    ) -> Front {
        let gap = settings.proof.map_or(0.0, |limits| limits.gap);
        let scatter =
            self.problems.iter().zip(&self.goals).map(|(problem, goal)| scatter(problem, goal)).collect();
        let (goals, tolerance) = (self.goals.len(), gap.max(1e-5));
        let wanted = EpsilonConstraint { goals, points, resolution, tolerance, scatter };
        let cuts = self.cuts(settings);
        let failures = Failures::default();
        let solver = |question: &Question, near: Option<&Answer>| {
            let found = failures.catch(|| self.solve(question, settings, &cuts, near));
            asked();
            found
        };
        // Where a question fell there may be an answer: nothing is claimed of what lies beyond.
        let generated = front(&wanted, &solver, &|| !settings.stop.is_due() && failures.is_empty());
        let mut points: Vec<FrontPoint> = Vec::new();
        for point in generated.points {
            let told = |at: usize, value: f64| self.told(at, value);
            let answer = point.solved.what;
            let (enters, leaves) =
                points.last().map(|before: &FrontPoint| changes(&before.answer, &answer)).unwrap_or_default();
            points.push(FrontPoint {
                values: point.solved.values.iter().enumerate().map(|(at, value)| told(at, *value)).collect(),
                levels: point
                    .question
                    .levels
                    .iter()
                    .zip(&self.goals)
                    .map(|(level, goal)| level.map(|level| if goal.most { -level } else { level }))
                    .collect(),
                best: point.question.least,
                answer,
                doubt: Doubtful::default(),
                enters,
                leaves,
            });
        }
        let doubt = |_, point: &FrontPoint| failures.catch(|| Some(self.doubt(point, settings.stop)));
        let doubts = in_order(&points, doubt, |_| asked());
        for (point, doubt) in points.iter_mut().zip(doubts) {
            point.doubt = doubt.unwrap_or_default();
        }
        Front {
            goals: self.goals.clone(),
            figures: self.figures.clone(),
            points,
            conflict: generated.conflict,
            unmet: generated.unmet,
            asked: generated.asked,
            stopped: generated.stopped,
            failures: failures.told(),
        }
    }

    /// What uncertainty about fitted responses does to the goal that was made best at a point.
    fn doubt(&self, point: &FrontPoint, stop: Stop) -> Doubtful {
        let unit = &self.goals[point.best].unit;
        let Some((problem, Verdict::Found(found), _)) = self.verdict(point, stop) else {
            return Doubtful::default();
        };
        let told = uncertainty(&problem, &found.mix, &found.audit, stop);
        let here = goal_in(&problem, &found.mix, unit);
        let there = |mix: &Vec<f64>| goal_in(&problem, mix, unit);
        Doubtful {
            paid: told.sure.as_ref().and_then(there).zip(here).map(|(sure, here)| (here - sure).abs()),
            beyond: told.beyond.as_ref().and_then(|(_, mix)| there(mix)),
        }
    }

    /// A value to be small as the author says it.
    fn told(&self, goal: usize, value: f64) -> f64 {
        let described = &self.goals[goal];
        let value = if described.most { -value } else { value };
        if described.last.is_some_and(|last| last <= value) { f64::INFINITY } else { value }
    }

    /// Vectors of cuts that one look at each goal's own problem asks for: they hold in every question, whatever its levels.
    fn cuts(&self, settings: &Settings) -> CutVectors {
        let mut cuts = CutVectors::default();
        if settings.proof.is_some() {
            for problem in self.problems.iter().filter(|problem| problem.has_dense_surfaces()) {
                let _ = is_impossible_at_a_glance(problem, settings.stop, &mut cuts);
            }
        }
        cuts
    }

    /// Answers a question; the search begins from an answer to one near it, whose mix may meet these levels or not.
    fn solve(
        &self,
        question: &Question,
        settings: &Settings,
        cuts: &CutVectors,
        near: Option<&Answer>,
    ) -> Option<Solved<Answer>> {
        if self.goals[question.least].last.is_some() {
            return self.longest(question, settings, cuts);
        }
        if settings.stop.is_due() {
            return None;
        }
        let mut sources = self.sources.clone();
        let document = self.question(question, &mut sources);
        let (problem, _) = admit_document_until(&document, &sources, settings.stop)?.ok()?;
        let begin = |near: &Answer| {
            let mix = in_columns_of(&problem, &near.columns);
            (assignment_of(&problem, &mix), mix)
        };
        let mut carried = Carried { cuts: cuts.clone(), mix: near.map(begin) };
        let verdict = (self.solver)(&problem, settings, &mut carried);
        let mut answer = Answer::of(&problem, &verdict, &self.goals[question.least].unit, &self.figures);
        // That a mix stands at the level which it was held at says nothing.
        answer.binding.retain(|name| self.goals.iter().all(|goal| level_name(goal) != *name));
        if !answer.outcome.has_mix() || settings.stop.is_due() {
            return None;
        }
        let values: Option<Vec<f64>> =
            (0..self.goals.len()).map(|goal| self.value(goal, &answer.columns)).collect();
        Some(Solved { values: values?, what: answer })
    }

    /// A goal at a mix, to be small; an age at cracking is the last day where there is none by then.
    fn value(&self, goal: usize, mix: &[f64]) -> Option<f64> {
        let (described, problem) = (&self.goals[goal], &self.problems[goal]);
        let value = match described.last {
            Some(last) => {
                let index = problem.responses.find_id(|response| response.name == described.name)?;
                let response = &problem.responses[index];
                convert(problem.predict(index, mix)?.value, &response.unit, &described.unit).min(last)
            }
            None => goal_in(problem, mix, &described.unit)?,
        };
        Some(if described.most { -value } else { value })
    }

    /// The longest age at cracking that any mix reaches, by raising the limit on it.
    fn longest(&self, question: &Question, settings: &Settings, cuts: &CutVectors) -> Option<Solved<Answer>> {
        let last = self.goals[question.least].last?;
        let at_least = |age: Option<f64>| {
            let mut levels = question.levels.clone();
            levels[question.least] = age.map(|age| -age);
            self.solve(&Question { least: 0, levels }, settings, cuts, None)
        };
        let reached = |solved: &Solved<Answer>| -solved.values[question.least];
        if let Some(beyond) = at_least(Some(last)) {
            return Some(beyond);
        }
        let mut best = at_least(None)?;
        let (mut low, mut high) = (reached(&best), last);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            match at_least(Some(middle)) {
                Some(solved) => {
                    low = middle.max(reached(&solved));
                    best = solved;
                }
                None => high = middle,
            }
            if high <= low {
                break;
            }
        }
        Some(best)
    }
}

/// The name of the limit that holds a goal at a level.
fn level_name(goal: &FrontGoal) -> String {
    format!("level of {} on the front", goal.name)
}

fn part(text: &str, sources: &mut Sources) -> Part {
    let source = sources.add("question of a front", text);
    Part::read(sources, source).expect("it is written by this file, names quoted")
}
