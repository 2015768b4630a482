//! Numbered cases in, results in order out.
//!
//! Results never depend on the number of threads: a case sees only its own input.

use rayon::iter::{IndexedParallelIterator, IntoParallelRefIterator, ParallelIterator};

/// Runs `work` on every case, in parallel, and returns the results in the order of the cases.
///
/// `done` is told the number of each case as it finishes, in no particular order.
pub fn in_order<Case, Result, Work, Done>(cases: &[Case], work: Work, done: Done) -> Vec<Result>
where
    Case: Sync,
    Result: Send,
    Work: Fn(usize, &Case) -> Result + Sync,
    Done: Fn(usize) + Sync,
{
    cases
        .par_iter()
        .enumerate()
        .map(|(number, case)| {
            let result = work(number, case);
            done(number);
            result
        })
        .collect()
}

/// Runs `task` with at most `threads` threads for all cases under it.
///
/// # Errors
/// What the system said when it refused the threads.
pub fn with_threads<Result: Send>(
    threads: usize,
    task: impl FnOnce() -> Result + Send,
) -> std::result::Result<Result, String> {
    let pool =
        rayon::ThreadPoolBuilder::new().num_threads(threads).build().map_err(|error| error.to_string())?;
    Ok(pool.install(task))
}
