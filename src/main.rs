//! The `recan` command: parses arguments, calls the library, prints, exits.

mod cli;

use std::{io::Write, process::ExitCode};

fn main() -> ExitCode {
    let outcome = cli::run(std::env::args_os());
    // A reader that went away, such as `head`, is no error of ours.
    let _ = anstream::stderr().write_all(outcome.stderr.as_bytes());
    let _ = anstream::stdout().write_all(outcome.stdout.as_bytes());
    ExitCode::from(outcome.code)
}
