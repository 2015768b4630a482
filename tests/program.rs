//! Runs the program as its users do. What enters: arguments. What leaves: its exit code and what it wrote.

use std::process::{Command, Output, Stdio};

/// The program with arguments, without a keyboard.
pub fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_mixbound"));
    command.args(arguments).stdin(Stdio::null());
    command
}

/// What a run of the program came to.
pub fn output(arguments: &[&str]) -> Output {
    command(arguments).output().expect("the program runs")
}

/// Exit code, standard output and standard error of a run.
pub fn ran(arguments: &[&str]) -> (i32, String, String) {
    ended(&mut command(arguments))
}

/// Exit code, standard output and standard error of a command.
pub fn ended(command: &mut Command) -> (i32, String, String) {
    let Output { status, stdout, stderr } = command.output().expect("the program runs");
    let text = |bytes| String::from_utf8(bytes).expect("it is UTF-8");
    (status.code().expect("the program ends by itself"), text(stdout), text(stderr))
}
