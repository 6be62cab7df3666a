//! `recan supply`: its screens, its document, its errors.

use crate::recan;

fn job(name: &str) -> String {
    format!("{}/data/jobs/{name}", env!("CARGO_MANIFEST_DIR"))
}

#[track_caller]
fn screen(name: &str, arguments: &[&str]) {
    let run = recan(arguments);
    let first = run.stdout.lines().count();
    assert!(first <= 24 || arguments.contains(&"--explain"), "{first} lines");
    assert!(run.stdout.lines().all(|line| line.chars().count() <= 80));
    insta::assert_snapshot!(name, run.screen());
}

#[test]
fn screens_of_the_example_jobs() {
    for name in ["job1", "job2", "job3", "job4", "job5"] {
        screen(&format!("supply_{name}"), &["supply", "--job", &job(name)]);
    }
}

#[test]
fn before_and_after() {
    let job = job("job5");
    let what_if = ["supply", "--job", &job, "--what-if", "device=5U4-GB"];
    screen("supply_what_if_device", &what_if);
    let two = ["--what-if", "plate_resistor=150R", "--what-if", "half-round=47uF"];
    screen("supply_what_if_two", &[&["supply", "--job", &job][..], &two].concat());
}

#[test]
fn another_line_and_every_figure() {
    let job = job("job1");
    screen("supply_line", &["supply", "--job", &job, "--line", "126V"]);
    screen("supply_explain", &["supply", "--job", &job, "--explain"]);
}

#[test]
fn the_document() {
    let run = recan(&["supply", "--job", &job("job1"), "--format", "json"]);
    insta::assert_snapshot!("supply_json", run.stdout);
}

#[test]
fn what_cannot_be_changed_is_said() {
    let job = job("job1");
    for (name, change) in [
        ("supply_bad_name", "squar=47uF"),
        ("supply_bad_value", "square=47 V"),
        ("supply_no_value", "square"),
        ("supply_bad_device", "device=5U4"),
        ("supply_outside", "plain=47uF"),
    ] {
        let run = recan(&["supply", "--job", &job, "--what-if", change]);
        assert_eq!(run.code, 2);
        insta::assert_snapshot!(name, run.screen());
    }
}

#[test]
fn what_the_job_lacks_is_listed() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("job.toml"), "[[can]]\nstamping = \"40-40 MFD 450 V\"\n")
        .unwrap();
    let run = crate::recan_with(&["supply"], "", Some(folder.path()));
    assert_eq!(run.code, 2);
    insta::assert_snapshot!("supply_lacking", run.screen());
}
