//! Runs the real binary.

use std::{
    ffi::OsStr,
    fs,
    path::Path,
    process::{Command, Output},
};

use recan::report::{
    json,
    record::{documents::RecordDoc, html, markdown, parts, read},
};

/// A stamping that the built-in stock answers in every kind.
pub(crate) const STAMPING: &str = "40 450; 20 25";

/// `recan` with its arguments, not yet run.
pub(crate) fn recan<S: AsRef<OsStr>>(arguments: impl IntoIterator<Item = S>) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_recan"));
    command.args(arguments).env("NO_COLOR", "1");
    command
}

/// `recan record STAMPING --job FOLDER --choose 1`.
pub(crate) fn record(folder: &Path) -> Command {
    let mut command = recan(["record", STAMPING, "--choose", "1", "--job"]);
    command.arg(folder);
    command
}

/// What a command printed, where it ended with `code`.
#[track_caller]
pub(crate) fn run(command: &mut Command, code: i32) -> (String, String) {
    let Output { status, stdout, stderr } = command.output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    let (stdout, stderr) = (text(stdout), text(stderr));
    assert_eq!(status.code(), Some(code), "{stdout}{stderr}");
    (stdout, stderr)
}

/// The names in a folder, sorted; none where it is absent.
pub(crate) fn names(folder: &Path) -> Vec<String> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let mut names: Vec<String> =
        entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// The files of a record.
pub(crate) const FILES: [&str; 4] = ["parts.csv", "record.html", "record.json", "record.md"];

/// Checks that record `number` is whole in every form, which all say the same.
#[track_caller]
pub(crate) fn check_whole(folder: &Path, number: u32) -> RecordDoc {
    let record = folder.join("records").join(format!("{number:04}"));
    assert_eq!(names(&record), FILES);
    let text = |name: &str| fs::read_to_string(record.join(name)).unwrap();
    let document = read::read("record.json", &text("record.json")).unwrap();
    assert_eq!(document.number, number);
    assert_eq!(json::to_text(&document), text("record.json"));
    assert_eq!(markdown::page(&document), text("record.md"));
    assert_eq!(html::page(&document), text("record.html"));
    assert_eq!(parts::list(&document), text("parts.csv"));
    document
}
