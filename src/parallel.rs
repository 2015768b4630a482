//! The only home of threads and of the clock: cases in, results in order out, and when to stop.

mod stop;
mod order;
mod cases;
mod abandon;

pub use abandon::unless_due;
pub use cases::{cases_in_order, caught};
pub use order::{in_order, with_threads};
pub use stop::Stop;
