//! Quantities that are reckoned from themselves, by way of others or not. What enters: the entries of a statement. What
//! leaves: a finding that names the circle. What the quantities measure is not known here.

use crate::finding::Finding;
use crate::statement::QuantityEntry;

/// A finding for a quantity that is reckoned from itself, by way of others or not; told once for each circle.
pub fn circle(entry: &QuantityEntry, entries: &[QuantityEntry]) -> Option<Finding> {
    let uses = |entry: &QuantityEntry| -> Vec<usize> {
        let parts = entry.spec.value.of.iter().chain(&entry.spec.value.to);
        parts.filter_map(|(word, _)| entries.iter().position(|e| e.name.value == word.value)).collect()
    };
    let own = entries.iter().position(|other| other.name.value == entry.name.value)?;
    // Breadth first, so that the circle that is told is a shortest one.
    let mut from: Vec<Option<usize>> = vec![None; entries.len()];
    let mut queue = std::collections::VecDeque::from([own]);
    while let Some(at) = queue.pop_front() {
        for next in uses(&entries[at]) {
            if next == own {
                let mut circle = vec![at];
                while let Some(before) = from[circle[circle.len() - 1]] {
                    circle.push(before);
                }
                let is_first = circle.iter().all(|other| own <= *other);
                let names: Vec<&str> =
                    circle.iter().rev().map(|at| entries[*at].name.value.as_str()).collect();
                let told = Finding::error(
                    entry.name.place,
                    format!("quantities use one another in a circle: {}", crate::finding::listed(&names)),
                )
                .help("break the circle at one of them");
                return is_first.then_some(told);
            }
            if from[next].is_none() {
                from[next] = Some(at);
                queue.push_back(next);
            }
        }
    }
    None
}
