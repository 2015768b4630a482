//! Work that cannot be asked to stop: it runs on a thread of its own, and when work has to end nobody waits for it.
//!
//! What enters: a task that owns all it needs, and when to stop. What leaves: its result, or nothing. An abandoned task
//! goes on until it ends by itself or with the process; what it finds is dropped.

use std::panic::resume_unwind;
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

use super::cases::{STACK, caught};
use super::stop::Stop;

/// How often the flag is looked at.
const GLANCE: Duration = Duration::from_millis(20);

/// The result of a task, or nothing as soon as work has to end.
pub fn unless_due<Result: Send + 'static>(
    stop: Stop,
    task: impl FnOnce() -> Result + Send + 'static,
) -> Option<Result> {
    let (done, result) = channel();
    let thread = std::thread::Builder::new().name("abandonable".to_owned()).stack_size(STACK);
    // Where the system gives no more threads there is no result either: the caller's next question to `stop` decides.
    thread.spawn(move || done.send(caught(task))).ok()?;
    loop {
        let glance = stop.time_left().map_or(GLANCE, |left| left.min(GLANCE));
        match result.recv_timeout(glance) {
            Ok(Ok(result)) => return Some(result),
            Ok(Err(message)) => resume_unwind(Box::new(message)),
            Err(RecvTimeoutError::Timeout) if !stop.is_due() => {}
            Err(_) => return None,
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicBool, Ordering};
    use std::time::Instant;

    use super::*;

    #[test]
    fn a_task_that_does_not_end_is_left_behind_and_a_panic_is_handed_on() {
        static OVER: AtomicBool = AtomicBool::new(false);
        assert_eq!(unless_due(Stop::NEVER, || 7), Some(7));
        let began = Instant::now();
        let endless = || {
            while !OVER.load(Ordering::Relaxed) {
                std::thread::sleep(GLANCE);
            }
        };
        assert_eq!(unless_due(Stop::NEVER.within(Some(Duration::from_millis(50))), endless), None);
        assert!(began.elapsed() < Duration::from_secs(5));
        OVER.store(true, Ordering::Relaxed);
        let fell =
            caught(|| unless_due(Stop::NEVER, move || assert!(began.elapsed().is_zero(), "on purpose")));
        assert_eq!(fell, Err("on purpose".to_owned()));
    }
}
