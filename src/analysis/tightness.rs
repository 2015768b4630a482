//! How tight each limit is, all others kept: the tightest value any mix reaches, the loosest that still matters,
//! and what the goal is between.

use super::affordable::affordable;
use super::latest_age::{Latest, last_day, latest_age};
use super::shadow_prices::assignment_of;
use super::trials::in_columns_of;
use super::uncertainty::with_known_coefficients;
use super::value::Value;
use crate::listed::Id;
use crate::parallel::{self, Stop};
use crate::problem::{Member, Origin, Problem, Requirement, Subject, Wanted};
use crate::solve::{Carried, Found, Precision, Settings, Verdict, nearby, solve, solve_carrying};

/// One limit.
#[derive(Clone, Debug)]
pub struct Tightness {
    /// The requirement.
    pub requirement: Id<Requirement>,
    /// What it asks, in its own unit.
    pub asked: f64,
    /// What the best mix gives, margin taken off.
    pub got: Option<f64>,
    /// The tightest value any mix reaches with all other limits kept, margin taken off; absent if it is compared
    /// with another quantity of the mix.
    pub tightest: Option<Value>,
    /// Whether mixes go beyond that: an age at cracking is looked for up to a last day only.
    pub beyond: bool,
    /// The value beyond which loosening it changes nothing more.
    pub loosest: Option<Value>,
    /// Limit values with the goal (base units) there, from tight to loose.
    pub costs: Vec<(f64, Option<Value>)>,
    /// In a word.
    pub word: Judgement,
    /// What it would come to if the coefficients of its fitted response were known, where its margin counts that they are
    /// estimates.
    pub known: Option<KnownCoefficients>,
}

/// A limit if the coefficients of its response were known: scatter and regions kept, all other limits too.
#[derive(Clone, Copy, Debug)]
pub struct KnownCoefficients {
    /// The tightest value any mix would reach.
    pub tightest: Option<Value>,
    /// The goal (base units) at what is asked.
    pub goal: Option<Value>,
}

/// How tight a limit is, in a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Judgement {
    /// Left out, the best mix stays the same.
    Idle,
    /// It shapes the mix.
    Binding,
    /// It shapes the mix, and little more can be asked.
    Strained,
    /// No mix meets it together with the others.
    Impossible,
    /// No mix meets the others even without it.
    NoHelp,
    /// Work had to end before it was known.
    Unsettled,
}

impl Judgement {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::Idle, Self::Binding, Self::Strained, Self::Impossible, Self::NoHelp, Self::Unsettled];

    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Idle => "idle",
            Self::Binding => "binding",
            Self::Strained => "strained",
            Self::Impossible => "impossible",
            Self::NoHelp => "no help",
            Self::Unsettled => "not settled",
        }
    }
}

/// Values between tightest and loosest at which the goal is told.
const BETWEEN: usize = 3;
/// How far inside the tightest value the first of them lies, as a share of the way to the loosest.
const INSIDE: f64 = 0.02;
/// Gap at which a goal between counts as proven.
const COARSE: f64 = 5e-3;
/// Relative gain from which a search is begun again with a better mix.
const BETTER: f64 = 1e-7;
/// Share of the way from loosest to tightest beyond which a limit is strained.
const STRAINED: f64 = 0.85;

/// Tightness of every plain limit of the author's.
pub fn tightness(
    problem: &Problem,
    best: Option<&Found>,
    gap: f64,
    stop: Stop,
    done: impl Fn(usize) + Sync,
) -> Vec<Tightness> {
    let limits: Vec<Id<Requirement>> = problem
        .requirements
        .ids()
        .filter(|index| problem.requirements[*index].origin == Origin::Limit)
        .collect();
    parallel::in_order(&limits, |_, index| settled(problem, best, (gap, stop), *index), done)
}

/// What is known of one limit. What a solve came to that had to end says nothing of a limit: then no more is told than
/// what the best mix gives.
fn settled(
    problem: &Problem,
    best: Option<&Found>,
    (gap, stop): (f64, Stop),
    index: Id<Requirement>,
) -> Tightness {
    let known = (!stop.is_due()).then(|| one(problem, best, (gap, stop), index)).filter(|_| !stop.is_due());
    let known = known.map(|known| with_the_best(known, best));
    known.unwrap_or_else(|| {
        let requirement = &problem.requirements[index];
        let measured = best.and_then(|found| problem.measure(requirement, &found.mix));
        let wanted = if let Wanted::Value(value) = requirement.wanted { Some(value) } else { None };
        Tightness {
            requirement: index,
            asked: wanted.or(measured.map(|measured| measured.wanted)).unwrap_or(f64::NAN),
            got: measured
                .map(|measured| requirement.severest_met(measured.got, measured.margin))
                .filter(|value| value.is_finite()),
            tightest: None,
            beyond: false,
            loosest: None,
            costs: Vec::new(),
            word: Judgement::Unsettled,
            known: None,
        }
    })
}

/// What the limit costs where it stands is known already: the best mix is one of the points.
fn with_the_best(mut tightness: Tightness, best: Option<&Found>) -> Tightness {
    let (Some(found), Some(tight), Some(loose)) = (best, tightness.tightest, tightness.loosest) else {
        return tightness;
    };
    let asked = tightness.asked;
    let (low, high) = (tight.value.min(loose.value), tight.value.max(loose.value));
    let is_new = tightness.costs.iter().all(|(value, _)| *value != asked);
    if low <= asked && asked <= high && is_new && !tightness.costs.is_empty() {
        tightness.costs.push((asked, Some(Value { value: found.goal, proven: proven(found) })));
        tightness.costs.sort_by(|a, b| (a.0 - tight.value).abs().total_cmp(&(b.0 - tight.value).abs()));
    }
    tightness
}

fn one(
    problem: &Problem,
    best: Option<&Found>,
    (gap, stop): (f64, Stop),
    index: Id<Requirement>,
) -> Tightness {
    let requirement = &problem.requirements[index];
    let sign = requirement.side.sign();
    let settings = affordable(problem, gap, 4000).until(stop);
    let got = best
        .and_then(|found| problem.measure(requirement, &found.mix))
        .map(|measured| requirement.severest_met(measured.got, measured.margin))
        // An age at cracking that there is none of is no value.
        .filter(|value| value.is_finite());
    let freed = problem.without(&[Member::Requirement(index)]);
    let Wanted::Value(asked) = requirement.wanted else {
        let asked =
            best.and_then(|found| problem.measure(requirement, &found.mix)).map_or(f64::NAN, |m| m.wanted);
        let word = match best {
            Some(found) if problem.measure(requirement, &found.mix).is_some_and(|m| m.is_binding()) => {
                Judgement::Binding
            }
            Some(_) => Judgement::Idle,
            None if matches!(solve(&freed, &settings), Verdict::Found(_)) => Judgement::Impossible,
            None => Judgement::NoHelp,
        };
        return Tightness {
            requirement: index,
            asked,
            got,
            tightest: None,
            beyond: false,
            loosest: None,
            costs: Vec::new(),
            word,
            known: None,
        };
    };
    let reach = |found: &Found| {
        let measured = problem.measure(requirement, &found.mix)?;
        let value = requirement.severest_met(measured.got, measured.margin);
        value.is_finite().then(|| Value { value, proven: proven(found) })
    };
    if let Some(last) = last_day(problem, index) {
        return an_age(problem, index, (asked, got, best), &freed, (last, gap, stop));
    }
    let mut asked_before = AskedBefore::new(best);
    let extreme = freed.with_extreme(index);
    let tightest_mix = extreme.and_then(|extreme| asked_before.best(&extreme, &settings));
    let tightest = tightest_mix
        .as_ref()
        .and_then(reach)
        .map(|value| Value { proven: value.proven && problem.is_severest_at_extreme(index), ..value });
    asked_before.mix = best.map(|found| found.mix.clone());
    let loosest = asked_before.best(&freed, &settings).and_then(|found| reach(&found));
    let word = judge(asked, sign, tightest, loosest);
    let costs = match (tightest, loosest) {
        (Some(tight), Some(loose)) if word != Judgement::Idle => {
            let settings = affordable(problem, gap.max(COARSE), 1000).until(stop);
            asked_before.mix = tightest_mix.map(|found| in_columns_of(problem, &found.mix));
            costs(problem, index, (tight.value, loose.value), &settings, &mut asked_before)
        }
        _ => Vec::new(),
    };
    let known = known(problem, index, &settings);
    Tightness { requirement: index, asked, got, tightest, beyond: false, loosest, costs, word, known }
}

/// What a limit with a margin for uncertain coefficients comes to without that part of its margin.
fn known(problem: &Problem, index: Id<Requirement>, settings: &Settings) -> Option<KnownCoefficients> {
    let requirement = &problem.requirements[index];
    let Subject::Response(response) = requirement.subject else { return None };
    if requirement.margin.doubt.is_none() {
        return None;
    }
    let known = with_known_coefficients(problem, Some(response))?;
    let extreme = known.without(&[Member::Requirement(index)]).with_extreme(index);
    let tightest = extreme.and_then(|extreme| match solve(&extreme, settings) {
        Verdict::Found(found) => known.measure(requirement, &found.mix).map(|measured| Value {
            value: requirement.severest_met(measured.got, measured.margin),
            proven: proven(&found) && known.is_severest_at_extreme(index),
        }),
        _ => None,
    });
    let goal = match solve(&known, settings) {
        Verdict::Found(found) => Some(Value { value: found.goal, proven: proven(&found) }),
        _ => None,
    };
    Some(KnownCoefficients { tightest: tightest.filter(|value| value.value.is_finite()), goal })
}

/// A limit on an age at cracking.
fn an_age(
    problem: &Problem,
    index: Id<Requirement>,
    (asked, got, best): (f64, Option<f64>, Option<&Found>),
    freed: &Problem,
    (last, gap, stop): (f64, f64, Stop),
) -> Tightness {
    let requirement = &problem.requirements[index];
    let (free, mix) = match solve_from(
        freed,
        &affordable(freed, gap, 4000).until(stop),
        best.map(|found| found.mix.as_slice()),
    ) {
        Verdict::Found(found) => {
            let measured = problem.measure(requirement, &found.mix);
            let value = measured.map(|m| Value { value: m.got - m.margin, proven: proven(&found) });
            (value, Some(found.mix))
        }
        _ => (None, None),
    };
    // The best mix without the limit may not crack at all: then there is no age, and the limit is idle.
    let loosest = free.filter(|age| age.value.is_finite());
    let reached = [loosest.map(|loosest| loosest.value), got].into_iter().flatten().reduce(f64::max);
    let mix = best.map(|found| found.mix.clone()).or(mix);
    let latest = latest_age(problem, index, (reached, mix), last, stop);
    let (tightest, beyond) = match latest {
        Some(Latest::At(value)) => (Some(value), false),
        // That a mix reaches the last day is shown by the mix.
        Some(Latest::Beyond(last)) => (Some(Value { value: last, proven: true }), true),
        None => (None, false),
    };
    let word = if free.is_some_and(|free| free.value == f64::INFINITY) {
        Judgement::Idle
    } else {
        judge(asked, 1.0, tightest, loosest)
    };
    let costs = match (tightest, loosest) {
        (Some(tight), Some(loose)) if word != Judgement::Idle => {
            let settings = affordable(problem, gap.max(COARSE), 1000).until(stop);
            costs(problem, index, (tight.value, loose.value), &settings, &mut AskedBefore::new(None))
        }
        _ => Vec::new(),
    };
    Tightness { requirement: index, asked, got, tightest, beyond, loosest, costs, word, known: None }
}

/// What earlier questions about one limit left for the next.
struct AskedBefore {
    carried: Carried,
    /// A mix from which the next search begins.
    mix: Option<Vec<f64>>,
}

impl AskedBefore {
    fn new(best: Option<&Found>) -> Self {
        Self { carried: Carried::default(), mix: best.map(|found| found.mix.clone()) }
    }

    /// The best mix of a varied problem, from a mix that is known; where the proof is a short one a search of its own first.
    fn best(&mut self, problem: &Problem, settings: &Settings) -> Option<Found> {
        if !problem.limited_ages().is_empty() {
            let mix = self.mix.as_ref().map(|mix| in_columns_of(problem, mix));
            return match solve_from(problem, settings, mix.as_deref()) {
                Verdict::Found(found) => Some(found),
                _ => None,
            };
        }
        self.carried.mix = self.mix.as_ref().map(|mix| {
            let mix = in_columns_of(problem, mix);
            (assignment_of(problem, &mix), mix)
        });
        match solve_carrying(problem, settings, &|_| (), &mut self.carried) {
            Verdict::Found(found) => Some(found),
            _ => None,
        }
    }
}

/// The goal at a few values of a limit, from tight to loose: what meets a tight one meets the next.
fn costs(
    problem: &Problem,
    index: Id<Requirement>,
    (tight, loose): (f64, f64),
    settings: &Settings,
    asked_before: &mut AskedBefore,
) -> Vec<(f64, Option<Value>)> {
    let steps = if (tight - loose).abs() <= 1e-6 * tight.abs().max(loose.abs()) { 1 } else { BETWEEN + 2 };
    (0..steps)
        .map(|step| {
            // Inside the tightest value: at the very end hardly a mix is left to choose.
            let share = (step as f64 / (BETWEEN + 1) as f64).max(INSIDE);
            let value = tight + share * (loose - tight);
            let found = asked_before.best(&problem.with_wanted(index, value), settings);
            let goal = found.map(|found| {
                let goal = Value { value: found.goal, proven: proven(&found) };
                asked_before.mix = Some(found.mix);
                goal
            });
            (value, goal)
        })
        .collect()
}

/// Solves a problem that a known mix may meet. Where that is not proven, and where the local loop goes from the known mix is
/// better, the search begins with that mix: one that looks about by itself first finds other mixes more often.
fn solve_from(problem: &Problem, settings: &Settings, mix: Option<&[f64]>) -> Verdict {
    let verdict = solve(problem, settings);
    let goal = match &verdict {
        Verdict::Found(found) if proven(found) => return verdict,
        Verdict::Found(found) => found.goal,
        Verdict::Nothing(nothing) if nothing.certainty.is_some_and(|certainty| certainty.complete) => {
            return verdict;
        }
        Verdict::Nothing(_) | Verdict::Unsettled(_) | Verdict::Failed(_) => {
            problem.goal.direction.sign() * f64::INFINITY
        }
    };
    // A curved goal has a column of its own, which a mix of another goal lacks.
    let Some(mix) = mix.filter(|mix| mix.len() == problem.mixture.columns.len()) else { return verdict };
    let assignment = assignment_of(problem, mix);
    let Some(known) = nearby(problem, &assignment, mix, Precision::FINE, settings.stop).mix else {
        return verdict;
    };
    let known_goal = problem.goal.objective.at(&known);
    if problem.goal.direction.sign() * (goal - known_goal) <= BETTER * known_goal.abs() {
        return verdict;
    }
    let mut carried = Carried { mix: Some((assignment, known)), ..Carried::default() };
    solve_carrying(problem, settings, &|_| (), &mut carried)
}

fn proven(found: &Found) -> bool {
    found.certainty.is_some_and(|certainty| certainty.complete)
}

fn judge(asked: f64, sign: f64, tightest: Option<Value>, loosest: Option<Value>) -> Judgement {
    let Some(tight) = tightest else {
        return if loosest.is_some() { Judgement::Impossible } else { Judgement::NoHelp };
    };
    let room = 1e-6 * asked.abs().max(1e-9);
    if sign * (tight.value - asked) < -room {
        return Judgement::Impossible;
    }
    match loosest {
        Some(loose) if sign * (loose.value - asked) >= -room => Judgement::Idle,
        Some(loose) => {
            let share = (asked - loose.value) / (tight.value - loose.value);
            if STRAINED < share { Judgement::Strained } else { Judgement::Binding }
        }
        None => Judgement::Binding,
    }
}
