//! Screens of `recan open` without a terminal.

use super::{Run, recan_with};

/// A can with four marks, invented.
const STAMPING: &str =
    r"half-round 40 MFD 450 V\nsquare 20 MFD 450 V\ntriangle 20 MFD 450 V\nplain 20 MFD 25 V";

/// Flags of a supply with three nodes and a bypass, readings of a short between.
const KNOWN: [&str; 40] = [
    "--stamping",
    STAMPING,
    "--another-can",
    "no",
    "--name",
    "Corner console",
    "--construction",
    "isolated",
    "--heaters",
    "parallel",
    "--nominal",
    "117 V",
    "--frequency",
    "60 Hz",
    "--device",
    "5Y3-GT",
    "--lugs",
    "3",
    "--first",
    "half-round",
    "--wired",
    "square=resistor",
    "--from",
    "square=half-round",
    "--resistor",
    "square=1150",
    "--wired",
    "plain=bypass",
    "--cathode-resistor",
    "plain=150",
    "--volts",
    "121 V",
    "--winding",
    "322 V",
    "--dc",
    "half-round=301 V",
    "--dc",
    "square=278 V",
    "--height",
    "?",
];

/// The screen must fit 80 columns, and 24 lines where it is no list.
#[track_caller]
fn check(name: &str, run: &Run, most_lines: usize) {
    let lines = run.stdout.lines().count();
    assert!(lines <= most_lines, "{lines} lines:\n{}", run.stdout);
    for line in run.stdout.lines().chain(run.stderr.lines()) {
        let width = unicode_width::UnicodeWidthStr::width(line);
        assert!(width <= 80, "{width} columns: {line}");
    }
    insta::assert_snapshot!(name, run.screen());
}

#[test]
fn a_job_step_by_step() {
    let folder = tempfile::tempdir().unwrap();
    let open = |flags: &[&str]| {
        let arguments: Vec<&str> = ["open", "job"].iter().chain(flags).copied().collect();
        recan_with(&arguments, "", Some(folder.path()))
    };
    check("open_nothing_known", &open(&[]), 24);
    check("open_refused", &open(&["--volts", "121 W", "--stamping", STAMPING]), 24);
    check("open_first_answer", &open(&["--stamping", STAMPING]), 24);
    check("open_many_answers", &open(&KNOWN), 24);
    check("open_a_short", &open(&["--cold", "square=800"]), 24);
    check("open_all", &open(&["--cold", "square=210k", "--all"]), 60);
    let file = std::fs::read_to_string(folder.path().join("job/job.toml")).unwrap();
    insta::assert_snapshot!("open_job_file", file);
}
