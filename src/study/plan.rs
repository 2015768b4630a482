//! The cases of a sweep: numbered before they run, each a statement of its own.

use super::answer::{Answer, Figure, Outcome, figures_of};
use super::axis::{Axis, Values};
use super::solver::{Solver, as_stated};
use crate::admit::{admit_document, admit_document_until};
use crate::finding::{Finding, Findings, Sources};
use crate::parallel;
use crate::problem::Problem;
use crate::quantity::Unit;
use crate::solve::{Carried, Settings};
use crate::statement::{Document, Part, StudyEntry, Word};

/// A statement with what varies in it.
#[derive(Clone, Debug)]
pub struct Study {
    /// The statement as it stands.
    pub document: Document,
    /// Its files, and what was typed.
    pub sources: Sources,
    /// Its problem.
    pub base: Problem,
    /// What varies, the slowest first: scenarios, then keys.
    pub axes: Vec<Axis>,
    /// The figures told of every case.
    pub figures: Vec<Figure>,
    solver: Solver,
}

/// One case and what it came to.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseResult {
    /// Its number, from 0.
    pub number: usize,
    /// Which value of each axis it has.
    pub at: Vec<usize>,
    /// What it came to.
    pub answer: Answer,
}

/// A sweep: plain figures of its cases, in order of their numbers. Cases that were not reached are absent.
#[derive(Clone, Debug)]
pub struct Sweep {
    /// What varies, the slowest first.
    pub axes: Vec<Axis>,
    /// The goal in words.
    pub goal: String,
    /// What the goal is about, without its direction.
    pub goal_name: String,
    /// The goal's unit.
    pub unit: Unit,
    /// The figures told of every case.
    pub figures: Vec<Figure>,
    /// The cases.
    pub cases: Vec<CaseResult>,
}

/// Most keys varied together.
const MOST_AXES: usize = 2;
/// Most cases.
const MOST_CASES: usize = 1_000_000;

impl Study {
    /// Plans a sweep over what a statement's `study` asks for and over `vary`: paths with values as written. A path in
    /// `vary` stands in place of the same one in the statement. Warnings are returned beside the plan.
    ///
    /// # Errors
    /// All findings, if any of them is an error.
    pub fn plan(
        document: Document,
        sources: Sources,
        asked: Option<&StudyEntry>,
        vary: &[(Word, Vec<Word>)],
    ) -> Result<(Self, Findings), Findings> {
        let (base, mut findings) = admit_document(&document, &sources)?;
        let figures = figures_of(&base);
        let mut study = Self { document, sources, base, axes: Vec::new(), figures, solver: as_stated };
        if let Some(asked) = asked.filter(|asked| !asked.scenarios.is_empty()) {
            let parts: Vec<(String, Part)> = asked
                .scenarios
                .iter()
                .map(|scenario| (scenario.name.value.clone(), scenario.part.clone()))
                .collect();
            study.axes.push(Axis::of_scenarios(parts));
        }
        let mut paths: Vec<(&Word, &[Word])> = Vec::new();
        for entry in asked.iter().flat_map(|asked| &asked.vary) {
            if vary.iter().all(|(path, _)| path.value != entry.path.value) {
                paths.push((&entry.path, &entry.values));
            }
        }
        for (path, values) in vary {
            if let Some((earlier, _)) = paths.iter().find(|(earlier, _)| earlier.value == path.value) {
                findings.push(
                    Finding::error(path.place, format!("`{}` is varied twice", earlier.value))
                        .help("put all its values into one list"),
                );
            }
            paths.push((path, values));
        }
        if let Some((path, _)) = paths.get(MOST_AXES) {
            findings.push(
                Finding::error(path.place, format!("{} keys are varied together", paths.len()))
                    .note(format!("allowed: {MOST_AXES}, besides scenarios"))
                    .help("vary the others in a sweep of their own, or write scenarios"),
            );
        }
        for (path, values) in paths {
            if let Some(axis) = Axis::of_values(path, values, &mut findings) {
                study.try_path(&axis, &mut findings);
                study.axes.push(axis);
            }
        }
        if study.axes.is_empty() && !findings.has_errors() {
            let mut whole = Findings::default();
            whole.push(
                Finding::error(study.base.place, "nothing varies in this statement")
                    .note("a sweep needs a key and its values, or scenarios; one to be resumed needs the same again")
                    .help("write `--vary 'limits.binder.at most=400 kg/m3 .. 480 kg/m3 : 5'`, or a `study:` in the statement"),
            );
            return Err(whole);
        }
        if MOST_CASES < study.count() {
            findings.push(
                Finding::error(study.base.place, format!("the sweep has {} cases", study.count()))
                    .note(format!("allowed: {MOST_CASES}"))
                    .help("take fewer values"),
            );
        }
        if findings.has_errors() { Err(findings) } else { Ok((study, findings)) }
    }

    /// The same, its cases solved by another solver.
    #[must_use]
    pub fn solved_by(self, solver: Solver) -> Self {
        Self { solver, ..self }
    }

    /// Whether the path of an axis leads to a value.
    fn try_path(&self, axis: &Axis, findings: &mut Findings) {
        if let Values::AtPath { path, values } = &axis.values_of
            && let Some(value) = values.first()
            && let Err(finding) = self.document.changed(path, value)
        {
            findings.push(*finding);
        }
    }

    /// How many cases there are.
    pub fn count(&self) -> usize {
        self.axes.iter().map(|axis| axis.values.len()).product()
    }

    /// Which value of each axis a case has; the last axis runs fastest.
    pub fn at(&self, number: usize) -> Vec<usize> {
        let mut rest = number;
        let mut at = vec![0; self.axes.len()];
        for (index, axis) in at.iter_mut().zip(&self.axes).rev() {
            *index = rest % axis.values.len();
            rest /= axis.values.len();
        }
        at
    }

    /// The statement of a case.
    ///
    /// # Errors
    /// If a scenario has taken away what a path leads to.
    pub fn document(&self, number: usize) -> Result<Document, Findings> {
        let mut document = self.document.clone();
        for (axis, at) in self.axes.iter().zip(self.at(number)) {
            document = match &axis.values_of {
                Values::Parts(parts) => document.under(&parts[at]),
                Values::AtPath { path, values } => {
                    document.changed(path, &values[at]).map_err(|finding| {
                        let mut findings = Findings::default();
                        findings.push(*finding);
                        findings
                    })?
                }
            };
        }
        Ok(document)
    }

    /// The problem of a case, through the gate.
    ///
    /// # Errors
    /// What is wrong with the case.
    pub fn problem(&self, number: usize) -> Result<Problem, Findings> {
        let (problem, _) = admit_document(&self.document(number)?, &self.sources)?;
        Ok(problem)
    }

    /// Solves one case. `None` if it was stopped before its end: what it had by then depends on the clock.
    pub fn solve(&self, number: usize, settings: &Settings) -> Option<CaseResult> {
        if settings.stop.is_due() {
            return None;
        }
        let problem = match self.document(number) {
            Ok(document) => admit_document_until(&document, &self.sources, settings.stop)?,
            Err(findings) => Err(findings),
        };
        let answer = match problem.map(|(problem, _)| problem) {
            Err(findings) => Answer::without_mix(Outcome::Wrong, findings.render(&self.sources)),
            Ok(problem) if problem.goal.unit.dimension != self.base.goal.unit.dimension => {
                Answer::without_mix(
                    Outcome::Wrong,
                    format!(
                        "its goal is `{}`, that of the statement is `{}`",
                        problem.goal.label(),
                        self.base.goal.label()
                    ),
                )
            }
            Ok(problem) => {
                let verdict = (self.solver)(&problem, settings, &mut Carried::default());
                Answer::of(&problem, &verdict, &self.base.goal.unit, &self.figures)
            }
        };
        (!settings.stop.is_due()).then(|| CaseResult { number, at: self.at(number), answer })
    }

    /// Solves cases by their numbers, in parallel; `finished` is told of each as it ends, in no particular order. The
    /// results are in the order of the numbers; cases that were not reached are left out. A fault of this program in one
    /// case is what that case came to, and the others go on.
    pub fn run(
        &self,
        numbers: &[usize],
        settings: &Settings,
        finished: &(dyn Fn(&CaseResult) + Sync),
    ) -> Vec<CaseResult> {
        let results = parallel::cases_in_order(numbers, |_, number| {
            let result = self.solve(*number, settings);
            if let Some(result) = &result {
                finished(result);
            }
            result
        });
        let told = |(number, result): (&usize, Result<_, String>)| match result {
            Ok(result) => result,
            Err(message) => {
                let answer =
                    Answer::without_mix(Outcome::Failed, format!("a fault of this program: {message}"));
                let result = CaseResult { number: *number, at: self.at(*number), answer };
                finished(&result);
                Some(result)
            }
        };
        numbers.iter().zip(results).filter_map(told).collect()
    }

    /// The numbers of one of several shards: every `of`-th case from the `shard`-th on, both counted from 1.
    pub fn shard(&self, shard: usize, of: usize) -> Vec<usize> {
        (0..self.count()).filter(|number| number % of == shard - 1).collect()
    }

    /// The sweep of these results.
    pub fn sweep(&self, mut cases: Vec<CaseResult>) -> Sweep {
        cases.sort_by_key(|case| case.number);
        Sweep {
            axes: self.axes.clone(),
            goal: self.base.goal.label(),
            goal_name: self.base.goal.name.clone(),
            unit: self.base.goal.unit.clone(),
            figures: self.figures.clone(),
            cases,
        }
    }
}

impl Sweep {
    /// The values of a case, one for each axis.
    pub fn values(&self, case: &CaseResult) -> Vec<&str> {
        self.axes.iter().zip(&case.at).map(|(axis, at)| axis.values[*at].as_str()).collect()
    }

    /// The case before this one on its curve: the last axis one step back, all else the same.
    pub fn before(&self, case: &CaseResult) -> Option<&CaseResult> {
        let (last, axis) = (case.at.last()?, self.axes.last()?);
        if *last == 0 || axis.numbers.is_none() {
            return None;
        }
        let number = case.number.checked_sub(1)?;
        self.cases.binary_search_by_key(&number, |case| case.number).ok().map(|at| &self.cases[at])
    }

    /// Materials that come in and go out from the case before: what changes along the curve.
    pub fn changes(&self, case: &CaseResult) -> (Vec<String>, Vec<String>) {
        match self.before(case) {
            Some(before) => changes(&before.answer, &case.answer),
            None => (Vec::new(), Vec::new()),
        }
    }
}

/// Materials that come in and that go out from one answer to another; none unless both have a mix.
pub fn changes(before: &Answer, after: &Answer) -> (Vec<String>, Vec<String>) {
    if !before.outcome.has_mix() || !after.outcome.has_mix() {
        return (Vec::new(), Vec::new());
    }
    let missing = |from: &Answer, to: &Answer| {
        let to = to.used();
        from.used().into_iter().filter(|name| !to.contains(name)).map(str::to_owned).collect()
    };
    (missing(after, before), missing(before, after))
}
