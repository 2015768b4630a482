//! Questions in which this program fell: each is kept by its message, and the others are answered.
//!
//! What enters: tasks. What leaves: their answers, nothing for one that panicked, and the messages. It knows no question.

use std::sync::{Mutex, PoisonError};

use crate::parallel::caught;

/// Messages of what fell.
#[derive(Debug, Default)]
pub struct Failures(Mutex<Vec<String>>);

impl Failures {
    /// What a task answers; nothing if it panicked.
    pub fn catch<Answer>(&self, task: impl FnOnce() -> Option<Answer>) -> Option<Answer> {
        caught(task).unwrap_or_else(|message| {
            self.0.lock().unwrap_or_else(PoisonError::into_inner).push(message);
            None
        })
    }

    /// Whether nothing fell so far.
    pub fn is_empty(&self) -> bool {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).is_empty()
    }

    /// The messages, in an order that does not depend on threads.
    pub fn told(self) -> Vec<String> {
        let mut list = self.0.into_inner().unwrap_or_else(PoisonError::into_inner);
        list.sort();
        list
    }
}
