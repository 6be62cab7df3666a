//! The real binary: screens, exit codes, bad input.

#![expect(clippy::unwrap_used, reason = "a test stops where it must")]

mod bad_input;
mod contract;
mod fault;
mod job_answers;
mod job_check;
mod open;
mod prove;
mod same;
mod screens;
mod supply;

use std::path::Path;

use assert_cmd::Command;

/// What a run of the binary gave.
struct Run {
    code: i32,
    stdout: String,
    stderr: String,
}

impl Run {
    /// Both streams and the code, as a screen to look at.
    fn screen(&self) -> String {
        let mut screen = self.stdout.clone();
        if !self.stderr.is_empty() {
            screen.push_str("--- stderr\n");
            screen.push_str(&self.stderr);
        }
        format!("{screen}--- exit {}\n", self.code)
    }

    fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.stdout).expect("one JSON document on stdout")
    }
}

fn recan(arguments: &[&str]) -> Run {
    recan_with(arguments, "", None)
}

fn recan_with(arguments: &[&str], stdin: &str, folder: Option<&Path>) -> Run {
    let mut command = Command::cargo_bin("recan").expect("the binary is built");
    command.args(arguments).write_stdin(stdin);
    if let Some(folder) = folder {
        command.current_dir(folder);
    }
    let output = command.output().expect("the binary runs");
    Run {
        code: output.status.code().expect("an exit, not a signal"),
        stdout: String::from_utf8(output.stdout).expect("text"),
        stderr: String::from_utf8(output.stderr).expect("text"),
    }
}
