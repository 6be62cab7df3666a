//! User time of whole processes, from their start to their end, beside that of
//! `recan read` in the same run: `cargo bench --bench process`.

mod table;

use std::{
    io::Write,
    process::{Command, Stdio},
};

use nix::sys::{
    resource::{UsageWho, getrusage},
    time::{TimeVal, TimeValLike},
};

/// Runs of each, of which the median is told.
const RUNS: usize = 21;
/// What the others are compared with.
const READ: [&str; 2] = ["read", "40-40-20 MFD 450 V 20 MFD 25 V"];
/// Whose supply takes longest, and ordinary ones.
const JOBS: [&str; 6] = ["job1", "job2", "job3", "job4", "full-wave-doubler", "choke-input"];

fn main() {
    table::with("process", measure);
}

fn measure() {
    let read = times(&READ.map(str::to_owned));
    line("read", &read, &read);
    line("sets", &times(&["sets", READ[1]].map(str::to_owned)), &read);
    for job in JOBS {
        let folder = format!("{}/data/jobs/{job}", env!("CARGO_MANIFEST_DIR"));
        let arguments = ["sets".to_owned(), "--job".to_owned(), folder];
        line(&format!("sets_{job}"), &times(&arguments), &read);
    }
}

/// User time of [`RUNS`] runs in milliseconds, least first.
fn times(arguments: &[String]) -> Vec<f64> {
    let mut times: Vec<f64> = (0..RUNS).map(|_| time(arguments)).collect();
    times.sort_by(f64::total_cmp);
    times
}

fn time(arguments: &[String]) -> f64 {
    let before = user();
    let mut program = Command::new(env!("CARGO_BIN_EXE_recan"));
    program.args(arguments).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    let status = program.status().expect("the program starts");
    assert!(status.success(), "{arguments:?}: {status}");
    user() - before
}

/// User time of all that this program started and that has ended, in milliseconds.
#[expect(clippy::cast_precision_loss, reason = "some seconds, in microseconds")]
fn user() -> f64 {
    let spent: TimeVal = getrusage(UsageWho::RUSAGE_CHILDREN).expect("a count").user_time();
    spent.num_microseconds() as f64 / 1e3
}

fn line(name: &str, times: &[f64], read: &[f64]) {
    let median = |of: &[f64]| of[RUNS / 2];
    let told = writeln!(
        std::io::stdout(),
        "├─ {name:<24}  {:.3} ms │ {:.3} ms │ {:.3} ms, {:.0} × `read` │",
        times[0],
        times[RUNS - 1],
        median(times),
        median(times) / median(read)
    );
    told.expect("a place to print");
}
