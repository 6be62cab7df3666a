//! Hostile job files through every command that reads a job: a clear error or
//! harmless output, never a hang, a panic, or a byte that steers a terminal.

#![cfg(unix)]
#![expect(clippy::unwrap_used, reason = "a test stops where it must")]

mod files;
mod markup;
mod places;

use std::{
    fs,
    io::Read,
    path::Path,
    process::{Command, Stdio},
    sync::OnceLock,
    time::{Duration, Instant},
};

/// The longest that any of these may take on a slow machine.
const PATIENCE: Duration = Duration::from_mins(1);

/// What a command printed, and how it ended.
struct Ended {
    code: i32,
    out: String,
    err: String,
}

/// Every command that reads a job, as its arguments; `JOB` is the folder.
/// `RECORD` a record of another folder.
const COMMANDS: [&[&str]; 11] = [
    &["sets", "--no-ask", "--job", "JOB"],
    &["check", "--no-ask", "--fit", "1=47/450", "--fit", "2=22/450", "--job", "JOB"],
    &["supply", "--job", "JOB"],
    &["fault", "--explain", "--job", "JOB"],
    &["prove", "--explain", "--job", "JOB"],
    &["open", "--no-ask", "--all", "JOB"],
    &["record", "--no-ask", "--choose", "1", "--job", "JOB"],
    &["record", "--no-ask", "--choose", "1", "--can", "1", "--job", "JOB"],
    &["record", "check", "RECORD", "--job", "JOB"],
    &["stock", "--cover", "JOB"],
    &["supply", "--format", "json", "--job", "JOB"],
];

/// A record of a good job, made once.
fn made() -> &'static str {
    static MADE: OnceLock<tempfile::TempDir> = OnceLock::new();
    static RECORD: OnceLock<String> = OnceLock::new();
    let folder = MADE.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("job.toml"), files::GOOD).unwrap();
        let mut command = Command::new(env!("CARGO_BIN_EXE_recan"));
        command.args(["record", "--no-ask", "--choose", "1", "--job"]).arg(folder.path());
        assert!(command.stdin(Stdio::null()).output().unwrap().status.success());
        folder
    });
    RECORD.get_or_init(|| folder.path().join("records/0001").display().to_string())
}

/// Runs one command on a folder; what steers a terminal must not come out.
#[track_caller]
fn run(arguments: &[&str], job: &Path) -> Ended {
    let folder = job.to_str().unwrap();
    let record = made();
    let arguments = arguments.iter().map(|a| match *a {
        "JOB" => folder,
        "RECORD" => record,
        other => other,
    });
    let mut command = Command::new(env!("CARGO_BIN_EXE_recan"));
    command.args(arguments).env("NO_COLOR", "1").stdin(Stdio::null());
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let (mut out, mut err) = (child.stdout.take().unwrap(), child.stderr.take().unwrap());
    let read = std::thread::spawn(move || {
        let mut bytes = Vec::new();
        out.read_to_end(&mut bytes).map(|_| bytes)
    });
    let read_err = std::thread::spawn(move || {
        let mut bytes = Vec::new();
        err.read_to_end(&mut bytes).map(|_| bytes)
    });
    let start = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if start.elapsed() > PATIENCE {
            child.kill().unwrap();
            child.wait().unwrap();
            unreachable!("{:?} hangs", command.get_args().collect::<Vec<_>>());
        }
        std::thread::yield_now();
        std::thread::park_timeout(Duration::from_millis(2));
    };
    let out = String::from_utf8(read.join().unwrap().unwrap()).unwrap();
    let err = String::from_utf8(read_err.join().unwrap().unwrap()).unwrap();
    let code = status.code().unwrap_or_else(|| unreachable!("killed: {out}{err}"));
    assert!((0..=3).contains(&code), "exit {code}: {out}{err}");
    for text in [&out, &err] {
        let steers =
            |c: char| c.is_control() && c != '\n' || ('\u{202a}'..='\u{202e}').contains(&c);
        assert!(
            !text.contains(steers),
            "{arguments:?}: {text:?}",
            arguments = command.get_args().collect::<Vec<_>>()
        );
        assert!(!text.contains("panicked"), "{text}");
    }
    Ended { code, out, err }
}

/// Runs every command on a job file of these bytes, which none may change.
#[track_caller]
fn every_command(bytes: &[u8], mut check: impl FnMut(&[&str], &Ended)) {
    for arguments in COMMANDS {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("job.toml");
        fs::write(&file, bytes).unwrap();
        let ended = run(arguments, folder.path());
        check(arguments, &ended);
        assert!(fs::read(&file).unwrap() == bytes, "{arguments:?} changed the file");
    }
}
