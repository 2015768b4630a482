//! The one flag of the process that says that work has to end, and what sets it.
//!
//! What enters: Ctrl-C and SIGTERM; SIGHUP is left alone, since `nohup` relies on that. What leaves: a [`Stop`] for
//! everything that loops. The first signal asks for an orderly end; a second one, or the first while the program waits
//! for a file, ends the program at once, temporary files taken away.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

use super::temporary;
use crate::parallel::Stop;

/// Set once work has to end, for whatever reason.
static ENDING: AtomicBool = AtomicBool::new(false);
/// Set by signals alone.
static SIGNALLED: AtomicBool = AtomicBool::new(false);
/// How many threads wait for something outside that no flag can end.
static WAITING: AtomicUsize = AtomicUsize::new(0);

/// When work has to end: at a signal, and within the limit if there is one.
pub fn stop(limit: Option<Duration>) -> Stop {
    Stop::at_flag(&ENDING).within(limit)
}

/// Whether a signal has asked for the end.
pub fn is_interrupted() -> bool {
    SIGNALLED.load(Ordering::Relaxed)
}

/// Asks everything that loops to end, though no signal came: what was found can no longer be written.
pub fn halt() {
    ENDING.store(true, Ordering::Relaxed);
}

/// Runs what may wait without end, such as reading a pipe that nobody writes to.
pub fn waiting<Result>(task: impl FnOnce() -> Result) -> Result {
    WAITING.fetch_add(1, Ordering::SeqCst);
    let result = task();
    WAITING.fetch_sub(1, Ordering::SeqCst);
    result
}

/// Listens for signals from now on; called once, before anything else. Where that cannot be, they end the program as
/// usual.
pub fn install(code: u8) {
    let on_signal = move || {
        ENDING.store(true, Ordering::SeqCst);
        if SIGNALLED.swap(true, Ordering::SeqCst) || 0 < WAITING.load(Ordering::SeqCst) {
            temporary::remove_all();
            std::process::exit(i32::from(code));
        }
    };
    listen(on_signal);
}

#[cfg(unix)]
fn listen(on_signal: impl Fn() + Send + 'static) {
    use signal_hook::consts::{SIGINT, SIGTERM};
    let Ok(mut signals) = signal_hook::iterator::Signals::new([SIGINT, SIGTERM]) else { return };
    // Without a thread to hear them signals would be lost: they are then handed back to the system.
    let handle = signals.handle();
    let listener = std::thread::Builder::new().name("signals".to_owned()).spawn(move || {
        for _ in signals.forever() {
            on_signal();
        }
    });
    if listener.is_err() {
        handle.close();
    }
}

#[cfg(not(unix))]
fn listen(on_signal: impl Fn() + Send + 'static) {
    let _ = ctrlc::set_handler(on_signal);
}
