//! Which results are left out together: folds of whole mixes.
//!
//! Batches of one mix stay together, since another age or a second batch of a known mix is easy to predict.

use super::lot::shuffle;

/// Most folds.
const FOLDS: usize = 10;

/// Rows in at most ten folds, by the mix of each row and a seed.
pub fn folds(mix_of_row: &[usize], seed: u64) -> Vec<Vec<usize>> {
    let mut mixes = mix_of_row.to_vec();
    mixes.sort_unstable();
    mixes.dedup();
    shuffle(&mut mixes, seed);
    let count = FOLDS.min(mixes.len());
    let mut folds = vec![Vec::new(); count];
    for (row, own) in mix_of_row.iter().enumerate() {
        let at = mixes.iter().position(|mix| mix == own).unwrap_or(0);
        folds[at % count].push(row);
    }
    folds
}
