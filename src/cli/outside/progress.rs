//! Progress on standard error: nothing where it is piped, no spinner before a second has passed.

use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// A spinner that shows itself on a terminal once the work has taken a second.
pub fn spinner(what: &'static str) -> ProgressBar {
    let bar = ProgressBar::new_spinner();
    bar.set_draw_target(ProgressDrawTarget::stderr_with_hz(4));
    bar.set_style(style("{spinner} {msg}, {elapsed}"));
    bar.set_message(what);
    bar.enable_steady_tick(Duration::from_secs(1));
    bar
}

/// A bar that counts steps on a terminal, with their rate and the time left.
pub fn steps(what: &'static str, count: usize) -> ProgressBar {
    let bar = ProgressBar::new(count as u64);
    bar.set_draw_target(ProgressDrawTarget::stderr_with_hz(4));
    bar.set_style(style("{msg} {bar:30} {pos}/{len}, {per_sec}, {eta} left"));
    bar.set_message(what);
    bar
}

fn style(template: &'static str) -> ProgressStyle {
    ProgressStyle::with_template(template).expect("the templates above are right")
}
