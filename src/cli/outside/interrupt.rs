//! The one flag of the process that says that work has to end, and what sets it.
//!
//! What enters: Ctrl-C and SIGTERM; SIGHUP is left alone, since `nohup` relies on that. What leaves: a [`Stop`] for
//! everything that loops. The first signal asks for an orderly end; a second one, or the first while nothing is known yet
//! that could be told, ends the program at once, temporary files taken away.

use std::process::exit;
use std::sync::atomic::{AtomicBool, AtomicI32, AtomicUsize, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

use super::temporary;
use super::terminal::tell;
use crate::parallel::Stop;

/// Set once work has to end, for whatever reason.
static ENDING: AtomicBool = AtomicBool::new(false);
/// Set by signals alone.
static SIGNALLED: AtomicBool = AtomicBool::new(false);
/// How many threads are at something that has nothing to tell before it is done: they need no orderly end.
static UNDIVIDED: AtomicUsize = AtomicUsize::new(0);
/// Exit code when the time was over before anything was known: that of a case that stayed unsettled.
const UNDONE: i32 = 1;
/// Exit code after a signal.
static CODE: AtomicI32 = AtomicI32::new(0);

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

/// One more thread that has nothing to tell yet, until this is dropped.
struct Undivided;

impl Undivided {
    fn new() -> Self {
        UNDIVIDED.fetch_add(1, Ordering::SeqCst);
        if is_interrupted() {
            end(CODE.load(Ordering::SeqCst));
        }
        Self
    }
}

impl Drop for Undivided {
    fn drop(&mut self) {
        UNDIVIDED.fetch_sub(1, Ordering::SeqCst);
    }
}

fn end(code: i32) -> ! {
    temporary::remove_all();
    exit(code)
}

/// Runs what has nothing to tell before it is done, such as reading a pipe that nobody writes to: a signal meanwhile ends
/// the program at once.
pub fn undivided<Result>(task: impl FnOnce() -> Result) -> Result {
    let _guard = Undivided::new();
    task()
}

/// The same, and when the time is over meanwhile, what was not done is told, and the program ends as it does where nothing was found.
pub fn undivided_until<Result>(stop: Stop, undone: &'static str, task: impl FnOnce() -> Result) -> Result {
    let Some(left) = stop.time_left() else { return undivided(task) };
    let (done, over) = channel::<()>();
    // Where the system gives no thread to watch the clock, the limit holds once the task is done.
    let _watch = std::thread::Builder::new().name("clock".to_owned()).spawn(move || {
        if over.recv_timeout(left) == Err(RecvTimeoutError::Timeout) {
            tell(&format!("the time was over before {undone}\n"));
            end(UNDONE);
        }
    });
    let result = undivided(task);
    drop(done);
    result
}

/// Listens for signals from now on; called once, before anything else. Where that cannot be, they end the program as
/// usual.
pub fn install(code: u8) {
    CODE.store(i32::from(code), Ordering::SeqCst);
    let on_signal = move || {
        ENDING.store(true, Ordering::SeqCst);
        if SIGNALLED.swap(true, Ordering::SeqCst) || 0 < UNDIVIDED.load(Ordering::SeqCst) {
            end(i32::from(code));
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
