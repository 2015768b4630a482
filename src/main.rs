//! The `mixbound` program: everything is in the library; this only hands over and returns the exit code.

use std::process::ExitCode;

fn main() -> ExitCode {
    mixbound::cli::run(std::env::args_os())
}
