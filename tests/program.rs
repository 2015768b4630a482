//! Runs the program as its users do. What enters: arguments. What leaves: its exit code and what it wrote.

use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

/// Where the program stands, for scripts of a shell.
pub const PROGRAM: &str = env!("CARGO_BIN_EXE_mixbound");
/// Longest that a bounded run may take, in an unoptimised program on a busy machine.
const LONGEST: Duration = Duration::from_secs(30);
/// Most address space of a bounded run, kB.
const MOST: &str = "1000000";

/// The program with arguments, without a keyboard.
pub fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(PROGRAM);
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
    (status.code().expect("the program ends by itself"), text(&stdout), text(&stderr))
}

/// What the program wrote, as text.
pub fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("it is UTF-8")
}

/// The JSON of a run that came to a result.
pub fn json(output: &Output) -> serde_json::Value {
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("it is JSON")
}

/// What a bounded run came to; the code is -1 where a signal ended it.
pub struct Ended {
    pub code: i32,
    pub out: String,
    pub err: String,
}

/// Runs the program in bounded memory; fails if it does not end in time.
pub fn bounded(arguments: &[&str]) -> Ended {
    let mut child = Command::new("sh")
        .args(["-c", &format!("ulimit -v {MOST}; exec \"$0\" \"$@\""), PROGRAM])
        .args(arguments)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let (mut out, mut err) = (child.stdout.take().unwrap(), child.stderr.take().unwrap());
    let reader = std::thread::spawn(move || std::io::read_to_string(&mut out).unwrap());
    let err_reader = std::thread::spawn(move || std::io::read_to_string(&mut err).unwrap());
    let began = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if LONGEST < began.elapsed() {
            child.kill().unwrap();
            panic!("{arguments:?} did not end");
        }
        std::thread::sleep(Duration::from_millis(5));
    };
    let (out, err) = (reader.join().unwrap(), err_reader.join().unwrap());
    Ended { code: status.code().unwrap_or(-1), out, err }
}
