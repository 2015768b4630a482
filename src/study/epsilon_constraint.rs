//! Points of a front by levels: one goal made least while the others are held at levels, wherever the front has its
//! largest region.
//!
//! What enters: a solver of "make goal i least, the others at most at these levels" as a closure; all goals are to be
//! small. What leaves: points of which none is as good as another in every goal. Nothing here knows of concrete. Rounds
//! have a fixed size and levels lie on a fixed grid, so that the points do not depend on threads.
//!
//! Levels, not weights: a weighted sum never meets the points of a concave part, and a level does.

use std::collections::BTreeMap;

use super::dominance::{Apart, Point, Question, Solver, best, nearest, thinned};
use super::gap_region::{GapRegion, Met, corners, halves};
use crate::number::Interval;
use crate::parallel;

/// What is wanted of a front.
#[derive(Clone, Debug, PartialEq)]
pub struct EpsilonConstraint {
    /// Goals: two or three.
    pub goals: usize,
    /// Points wanted.
    pub points: usize,
    /// Gap regions smaller than this share of the front's extent are left alone.
    pub resolution: f64,
    /// Goals differ where their values do by more than this, relative to their size.
    pub tolerance: f64,
    /// Scatter of each goal's own value: points nearer than that in every goal are one. Empty where values are exact.
    pub scatter: Vec<f64>,
}

/// A front.
#[derive(Clone, Debug, PartialEq)]
pub struct Generated<What> {
    /// Its points by rising first goal; none dominates another.
    pub points: Vec<Point<What>>,
    /// Whether the goals conflict at all.
    pub conflict: bool,
    /// Questions without an answer: levels that nothing meets.
    pub unmet: usize,
    /// Questions asked.
    pub asked: usize,
    /// Whether it was stopped before its end.
    pub stopped: bool,
}

/// Questions asked together; fixed.
const ROUND: usize = 6;
/// Steps of the grid of levels from the best to the worst value of a goal.
const GRID: u32 = 1 << 20;
/// Splits without a new point after which a region counts as empty.
const PATIENCE: u32 = 6;
/// A new point this near to a corner of its region, relative to the region, has not filled it.
const NEAR: f64 = 0.1;
/// Most of a goal's range within which values are as good as one another, whatever answers are known to.
const AS_GOOD: f64 = 0.01;
/// Points nearer than the resolution in every goal, as a share of its range, are one; least and most of that.
const REPEATED: (f64, f64) = (1e-3, 1e-2);
/// Questions per point wanted, and besides.
const EFFORT: (usize, usize) = (5, 20);
/// Room given to a level, as a share of the range of its goal, so that the best value itself can be met.
const ROOM: f64 = 1e-6;

/// Finds the points of a front.
pub fn front<What: Clone + Send + Sync>(
    wanted: &EpsilonConstraint,
    solve: &Solver<'_, What>,
    go_on: &(dyn Fn() -> bool + Sync),
) -> Generated<What> {
    let mut search = Search {
        wanted,
        solve,
        go_on,
        points: Vec::new(),
        known: BTreeMap::new(),
        low: Vec::new(),
        high: Vec::new(),
        unmet: 0,
        asked: 0,
    };
    let conflict = search.ends();
    let stopped = if conflict && go_on() { search.fill(go_on) } else { !go_on() };
    // Where not even the ends are known, nothing is said of how the goals stand to one another.
    let apart = (!search.low.is_empty()).then(|| search.apart());
    let points = apart.map_or_else(|| search.points.clone(), |apart| best(&search.points, &apart));
    let points = thinned(points, wanted.points, &search.low, &search.high);
    // Without a conflict every end is as good as the others within what can be told apart.
    let points = if conflict { points } else { points.into_iter().take(1).collect() };
    Generated { points, conflict, unmet: search.unmet, asked: search.asked, stopped }
}

struct Search<'s, What> {
    wanted: &'s EpsilonConstraint,
    solve: &'s Solver<'s, What>,
    go_on: &'s (dyn Fn() -> bool + Sync),
    points: Vec<Point<What>>,
    /// Answers by place on the grid: a point, or nothing that meets the levels.
    known: BTreeMap<Vec<u32>, Met>,
    /// Best value of each goal.
    low: Vec<f64>,
    /// Worst value of each goal among the ends.
    high: Vec<f64>,
    unmet: usize,
    asked: usize,
}

impl<What: Clone + Send + Sync> Search<'_, What> {
    /// Asks questions together and keeps the points; returns their indices.
    fn ask(&mut self, questions: &[Question]) -> Vec<Option<usize>> {
        let (solve, points) = (self.solve, &self.points);
        let answers = parallel::in_order(questions, |_, asked| solve(asked, nearest(points, asked)), |_| {});
        self.asked += questions.len();
        let stopped = !(self.go_on)();
        questions
            .iter()
            .zip(answers)
            .map(|(question, answer)| match answer {
                Some(solved) if solved.values.iter().all(|value| value.is_finite()) => {
                    self.points.push(Point { question: question.clone(), solved });
                    Some(self.points.len() - 1)
                }
                _ => {
                    // What was asked when work had to end may have an answer.
                    self.unmet += usize::from(!stopped);
                    None
                }
            })
            .collect()
    }

    /// The best of each goal, and of what is as good in it the best of the others. `false` if no goal stands against
    /// another.
    fn ends(&mut self) -> bool {
        let goals = self.wanted.goals;
        let free = |least| Question { least, levels: vec![None; goals] };
        let first = self.ask(&(0..goals).map(free).collect::<Vec<_>>());
        let Some(mut ends) = first.into_iter().collect::<Option<Vec<usize>>>() else {
            if (self.go_on)() {
                self.points.clear();
            }
            return false;
        };
        for turn in 1..goals {
            self.measure(&ends);
            let questions: Vec<Question> = ends
                .iter()
                .enumerate()
                .map(|(goal, end)| {
                    // The goals after this one, in turn, each made least while the earlier ones keep what they reached.
                    let kept = (0..turn).map(|step| (goal + step) % goals);
                    let mut levels = vec![None; goals];
                    for other in kept {
                        levels[other] = Some(self.points[*end].solved.values[other] + self.slice(other));
                    }
                    Question { least: (goal + turn) % goals, levels }
                })
                .collect();
            for (end, polished) in ends.iter_mut().zip(self.ask(&questions)) {
                *end = polished.unwrap_or(*end);
            }
        }
        self.measure(&ends);
        let conflicts =
            (0..goals).filter(|goal| self.wanted.tolerance * self.magnitude(*goal) < self.range(*goal));
        if conflicts.count() < 2 {
            return false;
        }
        // The last goals' ends among the points of the first goal: all others free, and each at its best.
        let top = vec![GRID; goals - 1];
        self.known.insert(top, Met::Point(ends[0]));
        if goals == 2 {
            self.known.insert(vec![0], Met::Point(ends[1]));
        }
        true
    }

    fn measure(&mut self, ends: &[usize]) {
        let points = &self.points;
        let extreme = |from: f64, pick: fn(f64, f64) -> f64| -> Vec<f64> {
            (0..self.wanted.goals)
                .map(|goal| ends.iter().map(|end| points[*end].solved.values[goal]).fold(from, pick))
                .collect()
        };
        let (low, high) = (extreme(f64::INFINITY, f64::min), extreme(f64::NEG_INFINITY, f64::max));
        (self.low, self.high) = (low, high);
    }

    fn range(&self, goal: usize) -> f64 {
        self.high[goal] - self.low[goal]
    }

    fn magnitude(&self, goal: usize) -> f64 {
        self.low[goal].abs().max(self.high[goal].abs())
    }

    /// Room around the best value of a goal in which the best of another is sought: a part of what can be told apart,
    /// since a thinner slice would take long to search.
    fn slice(&self, goal: usize) -> f64 {
        (0.1 * self.wanted.tolerance * self.magnitude(goal)).max(ROOM * self.range(goal))
    }

    /// What can be told apart on this front.
    fn apart(&self) -> Apart {
        let (wanted, goals) = (self.wanted, 0..self.low.len());
        let near = wanted.resolution.max(REPEATED.0).min(REPEATED.1);
        let as_good = |goal| (0.3 * wanted.tolerance * self.magnitude(goal)).min(AS_GOOD * self.range(goal));
        let scatter = |goal: usize| wanted.scatter.get(goal).copied().unwrap_or(0.0);
        let repeated = |goal| scatter(goal).max(near * self.range(goal));
        Apart { as_good: goals.clone().map(as_good).collect(), repeated: goals.map(repeated).collect() }
    }

    /// The level of a goal at a step of the grid.
    fn level(&self, goal: usize, step: u32) -> f64 {
        let share = f64::from(step) / f64::from(GRID);
        self.low[goal] + (share + ROOM) * self.range(goal)
    }

    /// The first step of the grid at which a value is met.
    fn step(&self, goal: usize, value: f64) -> u32 {
        let share = Interval::new(0.0, 1.0).nearest((value - self.low[goal]) / self.range(goal));
        // The share is between 0 and 1, so that the step is one of the grid.
        (0..=20).fold(0, |step, bit| {
            let next = step + (GRID >> bit);
            if f64::from(next) / f64::from(GRID) <= share { next } else { step }
        })
    }

    /// What is known at a place: from the same question, or from another one whose answer must be the same.
    fn at(&self, place: &[u32]) -> Option<Met> {
        if let Some(answer) = self.known.get(place) {
            return Some(*answer);
        }
        let from_wider = |(other, answer): (&Vec<u32>, &Met)| {
            let wider = other.iter().zip(place).all(|(other, here)| here <= other);
            let same = match answer {
                // The best within wider levels also meets these: it is the best here too.
                Met::Point(point) => place
                    .iter()
                    .enumerate()
                    .all(|(at, step)| self.points[*point].solved.values[at + 1] <= self.level(at + 1, *step)),
                // Nothing met wider levels: nothing meets these.
                Met::Nothing => true,
            };
            (wider && same).then_some(*answer)
        };
        self.known.iter().find_map(from_wider)
    }

    /// The point that is known to be the answer at a place.
    fn point(&self, place: &[u32]) -> Option<usize> {
        self.at(place).and_then(Met::point)
    }

    fn distance(&self, a: usize, b: usize) -> f64 {
        let (a, b) = (&self.points[a].solved.values, &self.points[b].solved.values);
        let sum: f64 = (0..self.wanted.goals)
            .filter(|goal| 0.0 < self.range(*goal))
            .map(|goal| ((a[goal] - b[goal]) / self.range(goal)).powi(2))
            .sum();
        sum.sqrt()
    }

    /// How large a region is: the largest distance between the points at its corners.
    fn size(&self, region: &GapRegion) -> f64 {
        let corners: Vec<Met> =
            corners(&region.low, &region.high).iter().filter_map(|corner| self.at(corner)).collect();
        let met: Vec<usize> = corners.iter().filter_map(|corner| corner.point()).collect();
        let mut size = 0.0_f64;
        for (at, a) in met.iter().enumerate() {
            for b in &met[at + 1..] {
                size = size.max(self.distance(*a, *b));
            }
        }
        if met.is_empty() {
            return 0.0;
        }
        if met.len() < corners.len() {
            // The front ends somewhere inside.
            let widths = region.low.iter().zip(&region.high).map(|(low, high)| high - low);
            size = size.max(0.5 * f64::from(widths.max().unwrap_or(0)) / f64::from(GRID));
        }
        size * 0.5_f64.powi(i32::try_from(region.failures).unwrap_or(i32::MAX))
    }

    /// Splits the largest regions, round by round. `true` if it was stopped.
    fn fill(&mut self, go_on: &(dyn Fn() -> bool + Sync)) -> bool {
        let dimensions = self.wanted.goals - 1;
        let mut regions =
            vec![GapRegion { low: vec![0; dimensions], high: vec![GRID; dimensions], failures: 0 }];
        self.settle(&corners(&regions[0].low, &regions[0].high));
        let most = EFFORT.0 * self.wanted.points + EFFORT.1;
        loop {
            let have = best(&self.points, &self.apart()).len();
            if self.wanted.points <= have || most <= self.asked {
                return false;
            }
            if !go_on() {
                return true;
            }
            let mut ranked: Vec<(f64, GapRegion)> =
                regions.iter().map(|region| (self.size(region), region.clone())).collect();
            ranked.retain(|(size, region)| self.wanted.resolution < *size && region.failures < PATIENCE);
            ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.low.cmp(&b.1.low)));
            ranked.truncate(ROUND.min(self.wanted.points - have));
            if ranked.is_empty() {
                return false;
            }
            let splits: Vec<(GapRegion, usize, u32)> = ranked
                .into_iter()
                .filter_map(|(_, region)| {
                    let (along, at) = self.split(&region)?;
                    Some((region, along, at))
                })
                .collect();
            let stuck = splits.is_empty();
            let mut places: Vec<Vec<u32>> = Vec::new();
            for (region, along, at) in &splits {
                let (lower, _) = halves(region, *along, *at);
                places.extend(corners(&lower.low, &lower.high));
            }
            self.settle(&places);
            for (region, along, at) in splits {
                regions.retain(|other| *other != region);
                let (mut lower, mut upper) = halves(&region, along, at);
                if dimensions == 1 {
                    let failures = self.failures(&region, at);
                    (lower.failures, upper.failures) = (failures, failures);
                }
                regions.extend([lower, upper]);
            }
            if stuck {
                return false;
            }
        }
    }

    /// Splits that found nothing new on the way to the halves of a region.
    fn failures(&self, region: &GapRegion, at: u32) -> u32 {
        let (low, high) = (self.point(&region.low), self.point(&region.high));
        let (Some(low), Some(high), Some(new)) = (low, high, self.point(&[at])) else {
            return region.failures + 1;
        };
        let nearest = self.distance(low, new).min(self.distance(high, new));
        if nearest < NEAR * self.distance(low, high) { region.failures + 1 } else { 0 }
    }

    /// Where a region is split: along the side whose ends differ most, in the middle of what is not known yet.
    fn split(&self, region: &GapRegion) -> Option<(usize, u32)> {
        let spread = |along: usize| {
            let pairs = corners(&region.low, &region.high)
                .into_iter()
                .filter(|corner| corner[along] == region.low[along]);
            pairs
                .map(|corner| {
                    let mut other = corner.clone();
                    other[along] = region.high[along];
                    match (self.point(&corner), self.point(&other)) {
                        (Some(a), Some(b)) => self.distance(a, b),
                        (None, None) => 0.0,
                        _ => 0.5 * f64::from(region.high[along] - region.low[along]) / f64::from(GRID),
                    }
                })
                .fold(0.0, f64::max)
        };
        let along = (0..region.low.len()).max_by(|a, b| spread(*a).total_cmp(&spread(*b)).then(b.cmp(a)))?;
        let mut high = region.high[along];
        if region.low.len() == 1
            && let Some(point) = self.point(&region.high)
        {
            // Between what the point reaches and its level the answer is the point itself.
            let reached = self.step(along + 1, self.points[point].solved.values[along + 1]);
            high = if region.low[along] < reached { high.min(reached) } else { high };
        }
        let middle = region.low[along] + (high - region.low[along]) / 2;
        (region.low[along] < middle && middle < region.high[along]).then_some((along, middle))
    }

    /// Asks what is not known yet at these places.
    fn settle(&mut self, places: &[Vec<u32>]) {
        let mut open: Vec<Vec<u32>> = Vec::new();
        for place in places {
            if let Some(answer) = self.at(place) {
                self.known.insert(place.clone(), answer);
            } else if !open.contains(place) {
                open.push(place.clone());
            }
        }
        let questions: Vec<Question> = open
            .iter()
            .map(|place| {
                let levels = place.iter().enumerate().map(|(at, step)| Some(self.level(at + 1, *step)));
                Question { least: 0, levels: std::iter::once(None).chain(levels).collect() }
            })
            .collect();
        let answers = self.ask(&questions).into_iter().map(|point| point.map_or(Met::Nothing, Met::Point));
        self.known.extend(open.into_iter().zip(answers));
    }
}
