//! `recan open`: the real binary through a pseudo-terminal and through flags.

#![expect(clippy::unwrap_used, reason = "a test stops where it must")]

mod any_answers;
mod flags;
mod next;
#[cfg(unix)]
mod person;
mod refused;
#[cfg(unix)]
mod terminal;

use std::{fs, path::Path};

use recan::job::{self, Job};

/// A can with four marks, invented.
const STAMPING: &str =
    r"half-round 40 MFD 450 V\nsquare 20 MFD 450 V\ntriangle 20 MFD 450 V\nplain 20 MFD 25 V";

/// The job in a file's text, read as every other command reads it.
#[track_caller]
fn read(text: &str) -> Job {
    let read = job::read_safely("job.toml", text, None);
    read.unwrap_or_else(|errors| unreachable!("{errors:?}\n{text}"))
}

/// The text of `job.toml` in a folder, which must read as a job.
#[track_caller]
fn text(folder: &Path) -> String {
    let text = fs::read_to_string(folder.join("job.toml")).unwrap();
    read(&text);
    text
}

#[track_caller]
fn check_has(folder: &Path, lines: &[&str]) {
    let text = text(folder);
    for line in lines {
        assert!(text.contains(line), "no {line} in\n{text}");
    }
}
