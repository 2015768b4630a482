//! When to stop: a time limit of the user's and the one flag that a signal sets.
//!
//! What enters: a moment and a flag. What leaves: whether work has to end, and the time that is left. Everything that
//! loops is handed a [`Stop`] and asks it often; what it has by then it tells, and claims nothing that it did not
//! prove. Nothing here knows of signals: the flag belongs to `cli`.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// When to stop; by default never.
#[derive(Clone, Copy, Debug, Default)]
pub struct Stop {
    deadline: Option<Instant>,
    flag: Option<&'static AtomicBool>,
}

impl PartialEq for Stop {
    fn eq(&self, other: &Self) -> bool {
        let same = match (self.flag, other.flag) {
            (Some(one), Some(other)) => std::ptr::eq(one, other),
            (one, other) => one.is_none() && other.is_none(),
        };
        same && self.deadline == other.deadline
    }
}

impl Stop {
    /// Never: the work runs to its own end.
    pub const NEVER: Self = Self { deadline: None, flag: None };

    /// As soon as the flag is set.
    pub fn at_flag(flag: &'static AtomicBool) -> Self {
        Self { deadline: None, flag: Some(flag) }
    }

    /// The same, and not later than so long from now; without a limit the same.
    #[must_use]
    pub fn within(self, limit: Option<Duration>) -> Self {
        let ends = limit.and_then(|limit| Instant::now().checked_add(limit));
        let deadline = match (self.deadline, ends) {
            (Some(one), Some(other)) => Some(one.min(other)),
            (one, other) => one.or(other),
        };
        Self { deadline, ..self }
    }

    /// Whether work has to end: the flag is set, or the time is over.
    pub fn is_due(self) -> bool {
        self.is_interrupted() || self.deadline.is_some_and(|deadline| deadline <= Instant::now())
    }

    /// Whether the flag is set, whatever the clock says.
    pub fn is_interrupted(self) -> bool {
        self.flag.is_some_and(|flag| flag.load(Ordering::Relaxed))
    }

    /// The time that is left: zero once work has to end, `None` if it may take as long as it needs.
    pub fn time_left(self) -> Option<Duration> {
        if self.is_interrupted() {
            return Some(Duration::ZERO);
        }
        self.deadline.map(|deadline| deadline.saturating_duration_since(Instant::now()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_due_at_the_flag_or_at_the_end_of_the_time_and_never_by_itself() {
        static FLAG: AtomicBool = AtomicBool::new(false);
        assert!(!Stop::NEVER.is_due() && Stop::NEVER.time_left().is_none());
        let stop = Stop::at_flag(&FLAG);
        assert!(!stop.is_due() && stop.time_left().is_none());
        let over = stop.within(Some(Duration::ZERO));
        assert!(over.is_due() && !over.is_interrupted() && over.time_left() == Some(Duration::ZERO));
        let later = stop.within(Some(Duration::from_secs(3600)));
        assert!(!later.is_due() && later.time_left().is_some());
        assert!(later.within(Some(Duration::ZERO)).is_due(), "the earlier of two limits holds");
        assert!(later.within(Some(Duration::from_secs(7200))).time_left() <= Some(Duration::from_secs(3600)));
        FLAG.store(true, Ordering::Relaxed);
        assert!(stop.is_due() && later.is_interrupted() && later.time_left() == Some(Duration::ZERO));
    }
}
