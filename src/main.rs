//! The `recan` command: parses arguments, calls the library, prints, exits.

mod cli;

use std::{
    io::{ErrorKind, Write},
    process::ExitCode,
};

fn main() -> ExitCode {
    let outcome = cli::run(std::env::args_os());
    // Where stderr is gone there is nowhere left to say so.
    let _ = anstream::stderr().write_all(outcome.stderr.as_bytes());
    let mut stdout = anstream::stdout();
    let written = stdout.write_all(outcome.stdout.as_bytes()).and_then(|()| stdout.flush());
    match written {
        // A reader that went away, such as `head`, is no error of ours.
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            let _ = writeln!(anstream::stderr(), "the answer can't be written: {error}");
            ExitCode::from(cli::NO_FILE)
        }
        _ => ExitCode::from(outcome.code),
    }
}
