//! `recan prove`: screens, exit codes, the parts of a record.

use std::{fs, path::Path};

use super::{Run, recan_with};

/// A job folder with the first example job and this behind it.
fn folder(after: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let path = format!("{}/data/jobs/job1/job.toml", env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(path).unwrap();
    fs::write(folder.path().join("job.toml"), format!("{text}\n{after}")).unwrap();
    folder
}

fn prove(folder: &Path, more: &[&str]) -> Run {
    let mut arguments = vec!["prove", "--job", "."];
    arguments.extend(more);
    recan_with(&arguments, "", Some(folder))
}

#[track_caller]
fn check(name: &str, run: &Run, code: i32, most_lines: usize) {
    assert_eq!(run.code, code, "{}{}", run.stdout, run.stderr);
    let count = run.stdout.lines().count();
    assert!(count <= most_lines, "{count} lines:\n{}", run.stdout);
    for line in run.stdout.lines().chain(run.stderr.lines()) {
        let width = unicode_width::UnicodeWidthStr::width(line);
        assert!(width <= 80, "{width} columns: {line}");
    }
    insta::assert_snapshot!(name, run.screen());
}

pub(super) const FIT: [&str; 8] = [
    "--fit",
    "half-round=47/450",
    "--fit",
    "square=22/450",
    "--fit",
    "triangle=22/450",
    "--fit",
    "plain=22/50",
];

const GOOD: &str = "[after]\nline = \"122 V\"\nmeter = \"true-rms 1 %\"\n\
    dc = { B1 = \"312 V\", B2 = \"293 V\", B3 = \"233 V\", plain = \"19.9 V\" }\n\
    hum = { B1 = \"6.1 V\", B2 = \"0.18 V\" }\nhum_frequency = \"120 Hz\"\n";

#[test]
fn readings_to_take() {
    check("prove_to_take", &prove(folder("").path(), &FIT), 1, 30);
}

#[test]
fn readings_that_agree() {
    check("prove_agree", &prove(folder(GOOD).path(), &FIT), 0, 30);
}

#[test]
fn a_dry_joint_at_one_lug() {
    let after = GOOD.replace("0.18 V", "1.6 V");
    check("prove_disagree", &prove(folder(&after).path(), &FIT), 1, 30);
    check(
        "prove_explained",
        &prove(folder(&after).path(), &[&FIT[..], &["--explain"]].concat()),
        1,
        110,
    );
}

#[test]
fn behind_a_lamp() {
    let after = "[after]\nsupply = \"lamp 60 W\"\ndc = { B1 = \"190 V\", B2 = \"180 V\" }\n";
    check("prove_behind_a_lamp", &prove(folder(after).path(), &FIT), 1, 30);
}

#[test]
fn on_a_low_variac() {
    let after = "[after]\nsupply = \"variac\"\nline = \"80 V\"\ndc = { B1 = \"200 V\" }\n";
    check("prove_on_a_low_variac", &prove(folder(after).path(), &FIT), 1, 30);
}

/// The set chosen stands in the last record; --fit goes before it.
#[test]
fn the_parts_of_the_last_record() {
    let folder = folder(GOOD);
    let choose = |rank| {
        let run = recan_with(&["record", "--job", ".", "--choose", rank], "", Some(folder.path()));
        assert_eq!(run.code, 0, "{}", run.stderr);
    };
    choose("2");
    choose("1");
    let document = prove(folder.path(), &["--format", "json"]).json();
    assert_eq!(document["schema"], "recan.prove/1");
    for part in document["parts"].as_array().unwrap() {
        assert_eq!(part["from"], "as chosen in record 0002");
        assert!(part["tolerance_minus"].is_number(), "{part}");
    }
    let typed = prove(folder.path(), &[&FIT[..], &["--format", "json"]].concat()).json();
    assert_eq!(typed["parts"][0]["from"], "as given by --fit");
}

#[test]
fn a_record_that_is_none() {
    let folder = folder(GOOD);
    fs::create_dir(folder.path().join("records")).unwrap();
    fs::write(folder.path().join("records/0003.json"), "{\"schema\": \"recan.sets/1\"}").unwrap();
    check("prove_broken_record", &prove(folder.path(), &[]), 2, 30);
}

#[test]
fn a_reading_of_no_place() {
    let folder = folder("[after]\ndc = { B9 = \"300 V\" }\nsupply = \"bulb\"\n");
    check("prove_no_such_place", &prove(folder.path(), &[]), 2, 30);
}

#[test]
fn a_job_that_tells_too_little() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("job.toml"), "[[can]]\nstamping = \"40 MFD 450 V\"\n").unwrap();
    check("prove_too_little", &prove(folder.path(), &[]), 1, 30);
    let empty = tempfile::tempdir().unwrap();
    let run = recan_with(&["prove"], "", Some(empty.path()));
    assert_eq!(run.code, 2);
    let run = recan_with(&["prove", "--job", "none"], "", Some(empty.path()));
    assert_eq!(run.code, 3);
}

/// 22 Ω against the 10 kΩ of a supply's section is a short whatever the live
/// readings say; 240 Ω across a cathode resistor of 250 Ω is none.
#[test]
fn a_short_that_was_read_cold() {
    let cold = "cold_ohms = { B1 = \"open\", B2 = \"22 Ω\", plain = \"240 Ω\" }\n";
    let bad = folder(&format!("{GOOD}{cold}"));
    check("prove_short_cold", &prove(bad.path(), &[]), 1, 30);
    let document = prove(bad.path(), &["--format", "json"]).json();
    let lugs = document["cold"].as_array().unwrap().iter();
    let states: Vec<&str> = lugs.map(|c| c["state"].as_str().unwrap()).collect();
    assert_eq!(states, ["sound", "short", "sound"]);
    assert_eq!(document["outcome"], "disagree");
    let good = folder(&format!("{GOOD}{}", cold.replace("22 Ω", "190 kΩ")));
    let run = prove(good.path(), &[]);
    assert_eq!(run.code, 0, "{}", run.stdout);
    assert!(run.stdout.contains("square reads open cold"), "{}", run.stdout);
    // Cold lugs alone are no proof that the supply works.
    let alone = folder("[after]\ncold_ohms = { B1 = \"open\" }\n");
    let run = prove(alone.path(), &[]);
    assert!(run.stdout.contains("Not read yet") && run.code == 1, "{}", run.stdout);
    // Nor does a lamp hide a short.
    let lamp = folder(
        "[after]\nsupply = \"lamp 60 W\"\ndc = { B1 = \"20 V\" }\ncold_ohms = { B1 = \"9 Ω\" }\n",
    );
    assert_eq!(prove(lamp.path(), &["--format", "json"]).json()["outcome"], "disagree");
}
