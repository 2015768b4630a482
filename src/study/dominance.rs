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

/// Points nearer than this in every goal, as a share of its range, are one.
const REPEATED: f64 = 1e-3;

/// The points that no other is better than, each once, by rising goals.
pub fn best<What: Clone>(points: &[Point<What>], ranges: &[f64]) -> Vec<Point<What>> {
    let mut sorted: Vec<&Point<What>> = points.iter().collect();
    sorted.sort_by(|a, b| order(&a.solved.values, &b.solved.values));
    let mut kept: Vec<&Point<What>> = Vec::new();
    for point in &sorted {
        let values = &point.solved.values;
        let dominated = sorted.iter().any(|other| dominates(&other.solved.values, values));
        let repeated = kept.iter().any(|other| {
            let pairs = other.solved.values.iter().zip(values).zip(ranges);
            pairs.fold(true, |near, ((a, b), range)| near && (a - b).abs() <= REPEATED * range)
        });
        if !dominated && !repeated {
            kept.push(point);
        }
    }
    kept.into_iter().cloned().collect()
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
