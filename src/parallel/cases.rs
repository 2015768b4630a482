//! Numbered cases in, results in order out, each case by itself: what goes wrong in one stops none of the others.
//!
//! Each case runs from its beginning to its end on one thread, so that no case waits within another one's time; only the
//! work inside a case is shared out among threads, of which every case has its own.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

/// Stack of a thread that runs a case, in bytes: nesting is bounded where texts are read, and this holds all of it.
pub(super) const STACK: usize = 16 << 20;

/// Runs `work` on every case, in parallel, and returns the results in the order of the cases: of a case that panicked
/// its message.
pub fn cases_in_order<Case, Result, Work>(
    cases: &[Case],
    work: Work,
) -> Vec<std::result::Result<Result, String>>
where
    Case: Sync,
    Result: Send,
    Work: Fn(usize, &Case) -> Result + Sync,
{
    let threads = rayon::current_num_threads();
    let workers = threads.min(cases.len()).max(1);
    let next = AtomicUsize::new(0);
    let results: Mutex<Vec<Option<std::result::Result<Result, String>>>> =
        Mutex::new(cases.iter().map(|_| None).collect());
    let worker = || {
        // Without a pool of its own the work inside a case goes to the common one: slower, and right all the same.
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads((threads / workers).max(1))
            .stack_size(STACK)
            .build()
            .ok();
        loop {
            let number = next.fetch_add(1, Ordering::Relaxed);
            let Some(case) = cases.get(number) else { break };
            let run = || work(number, case);
            let result = caught(|| match &pool {
                Some(pool) => pool.install(run),
                None => run(),
            });
            results.lock().unwrap_or_else(PoisonError::into_inner)[number] = Some(result);
        }
    };
    std::thread::scope(|scope| {
        for _ in 1..workers {
            let thread = std::thread::Builder::new().stack_size(STACK);
            // Where the system gives no more threads this one does the work of all.
            if thread.spawn_scoped(scope, worker).is_err() {
                break;
            }
        }
        worker();
    });
    let results = results.into_inner().unwrap_or_else(PoisonError::into_inner);
    results.into_iter().map(|result| result.expect("every number was given out, and each was run")).collect()
}

/// Runs a task; if it panics, the message.
///
/// # Errors
/// The message of the panic.
pub fn caught<Result>(task: impl FnOnce() -> Result) -> std::result::Result<Result, String> {
    catch_unwind(AssertUnwindSafe(task)).map_err(|payload| {
        let text = payload.downcast_ref::<&str>().map(|text| (*text).to_owned());
        text.or_else(|| payload.downcast_ref::<String>().cloned()).unwrap_or_else(|| "no message".to_owned())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_case_that_panics_is_told_and_the_others_finish() {
        let cases: Vec<usize> = (0..20).collect();
        let results = cases_in_order(&cases, |number, case| {
            assert!(case % 7 != 3, "case {number} is one of those");
            number * 2
        });
        for (number, result) in results.into_iter().enumerate() {
            let expected =
                if number % 7 == 3 { Err(format!("case {number} is one of those")) } else { Ok(number * 2) };
            assert_eq!(result, expected);
        }
        assert!(cases_in_order(&[] as &[usize], |_, _| ()).is_empty());
    }

    #[test]
    fn a_panic_in_the_shared_work_of_a_case_is_that_cases_own() {
        let results = cases_in_order(&[1, 2, 3], |_, case| {
            super::super::in_order(
                &[10, 20, 30],
                |_, part| {
                    assert!(case * part != 40, "two times twenty");
                    case * part
                },
                |_| {},
            )
        });
        assert_eq!(results[0], Ok(vec![10, 20, 30]));
        assert_eq!(results[1], Err("two times twenty".to_owned()));
        assert_eq!(results[2], Ok(vec![30, 60, 90]));
    }
}
