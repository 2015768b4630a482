//! Questions, their answers, and which of these are worth showing: none that another is better than, each once.

/// One question: make this goal least, the others at most at these levels where there are any.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// The goal to make least.
    pub least: usize,
    /// One level for each goal, or none.
    pub levels: Vec<Option<f64>>,
}

/// An answer: values of all goals, and what belongs to them.
#[derive(Clone, Debug, PartialEq)]
pub struct Solved<What> {
    /// Values of all goals, all to be small.
    pub values: Vec<f64>,
    /// What belongs to them.
    pub what: What,
}

/// One point of a front.
#[derive(Clone, Debug, PartialEq)]
pub struct Point<What> {
    /// What was asked.
    pub question: Question,
    /// The answer.
    pub solved: Solved<What>,
}

/// Answers a question; knows what belongs to the answer nearest to it, where there is one already.
pub type Solver<'s, What> = dyn Fn(&Question, Option<&What>) -> Option<Solved<What>> + Sync + 's;

/// What belongs to the point whose values lie nearest to the levels of a question, in shares of what the points span.
pub fn nearest<'p, What>(points: &'p [Point<What>], question: &Question) -> Option<&'p What> {
    let span = |goal: usize| {
        let values = points.iter().map(|point| point.solved.values[goal]);
        let ends = values
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
        (ends.1 - ends.0).max(f64::MIN_POSITIVE)
    };
    let levels: Vec<(usize, f64, f64)> =
        (0..).zip(&question.levels).filter_map(|(goal, level)| Some((goal, (*level)?, span(goal)))).collect();
    let away = |point: &Point<What>| {
        let of = |(goal, level, span): &(usize, f64, f64)| (point.solved.values[*goal] - level).abs() / span;
        levels.iter().map(of).fold(0.0, f64::max)
    };
    let points = points.iter().filter(|_| !levels.is_empty());
    points.min_by(|a, b| away(a).total_cmp(&away(b))).map(|point| &point.solved.what)
}

/// What can be told apart, one figure for each goal.
#[derive(Clone, Debug, PartialEq)]
pub struct Apart {
    /// Values nearer than this are as good as one another: an answer is known no better.
    pub as_good: Vec<f64>,
    /// Points nearer than this in every goal are one.
    pub repeated: Vec<f64>,
}

/// The points that no other is better than, each once, by rising goals.
pub fn best<What: Clone>(points: &[Point<What>], apart: &Apart) -> Vec<Point<What>> {
    let mut sorted: Vec<&Point<What>> = points.iter().collect();
    sorted.sort_by(|a, b| order(&a.solved.values, &b.solved.values));
    // One after another, so that of points each hardly better than the next one is left.
    let mut at = 0;
    while at < sorted.len() {
        let values = &sorted[at].solved.values;
        if sorted.iter().any(|other| beats(&other.solved.values, values, &apart.as_good)) {
            sorted.remove(at);
        } else {
            at += 1;
        }
    }
    let mut kept: Vec<&Point<What>> = Vec::new();
    for point in sorted {
        let near = |other: &&Point<What>| {
            let pairs = other.solved.values.iter().zip(&point.solved.values).zip(&apart.repeated);
            pairs.fold(true, |near, ((a, b), apart)| near && (a - b).abs() <= *apart)
        };
        if !kept.iter().any(near) {
            kept.push(point);
        }
    }
    kept.into_iter().cloned().collect()
}

/// At most so many of the points: of more than are wanted those go that lie nearest to another, ends of goals never.
pub fn thinned<What: Clone>(
    mut points: Vec<Point<What>>,
    most: usize,
    low: &[f64],
    high: &[f64],
) -> Vec<Point<What>> {
    let distance = |a: &Point<What>, b: &Point<What>| -> f64 {
        let pairs = a.solved.values.iter().zip(&b.solved.values).zip(low.iter().zip(high));
        pairs.map(|((a, b), (low, high))| ((a - b) / (high - low).max(f64::MIN_POSITIVE)).powi(2)).sum()
    };
    while most.max(low.len()) < points.len() {
        let is_end = |at: usize| {
            (0..low.len()).any(|goal| {
                let own = points[at].solved.values[goal];
                points.iter().all(|other| own <= other.solved.values[goal])
            })
        };
        let nearest = |at: usize| {
            let others = points.iter().enumerate().filter(|(other, _)| *other != at);
            others.map(|(_, other)| distance(&points[at], other)).fold(f64::INFINITY, f64::min)
        };
        let inner = (0..points.len()).filter(|at| !is_end(*at));
        let Some(crowded) = inner.min_by(|a, b| nearest(*a).total_cmp(&nearest(*b)).then(a.cmp(b))) else {
            break;
        };
        points.remove(crowded);
    }
    points
}

/// Whether one point is better than another: as good in every goal, as far as can be told, and better in one; or
/// better without any room.
fn beats(a: &[f64], b: &[f64], as_good: &[f64]) -> bool {
    let pairs = || a.iter().zip(b).zip(as_good);
    dominates(a, b)
        || pairs().all(|((a, b), room)| *a <= b + room) && pairs().any(|((a, b), room)| *a < b - room)
}

fn order(a: &[f64], b: &[f64]) -> std::cmp::Ordering {
    a.iter()
        .zip(b)
        .map(|(a, b)| a.total_cmp(b))
        .find(|order| order.is_ne())
        .unwrap_or(std::cmp::Ordering::Equal)
}

/// Whether one point is as good as another in every goal and better in one.
pub fn dominates(a: &[f64], b: &[f64]) -> bool {
    a.iter().zip(b).all(|(a, b)| a <= b) && a.iter().zip(b).any(|(a, b)| a < b)
}
