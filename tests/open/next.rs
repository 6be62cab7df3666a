//! What the page of open questions says of the next step, and its caution.

use std::fs;

use super::{STAMPING, flags::open};

/// The command to go on with, by what is known.
#[test]
fn the_next_command_follows_from_what_is_known() {
    let folder = tempfile::tempdir().unwrap();
    let next = |flags: &[&str]| {
        let run = open(folder.path(), &[flags, &["--format", "json"]].concat());
        assert_eq!((run.code, run.stderr.as_str()), (0, ""), "{flags:?}");
        let document: serde_json::Value = serde_json::from_str(&run.stdout).unwrap();
        document["next"].as_str().unwrap().to_owned()
    };
    assert_eq!(next(&[]), "recan open");
    assert_eq!(
        next(&["--stamping", "40-20 MFD 450 V", "--construction", "isolated"]),
        "recan sets"
    );
    assert_eq!(
        next(&["--first", "1", "--wired", "2=resistor", "--device", "5Y3-GT"]),
        "recan sets"
    );
    assert_eq!(next(&["--cold", "1=800"]), "recan fault");
    assert_eq!(next(&["--cold", "1=OL"]), "recan sets");
    let rest = [
        "--from",
        "2=1",
        "--resistor",
        "2=1k",
        "--winding",
        "322 V",
        "--volts",
        "117 V",
        "--winding-resistance",
        "110",
        "--primary-resistance",
        "6",
        "--load",
        "2=40 mA",
        "--load",
        "1=20 mA",
    ];
    assert_eq!(next(&rest), "recan supply");
    assert_eq!(next(&["--hum", "1=14 V"]), "recan fault");
    assert_eq!(next(&["--can-state", "disconnected"]), "recan supply");
    fs::create_dir_all(folder.path().join("records/0001")).unwrap();
    fs::write(folder.path().join("records/0001/record.json"), "{}").unwrap();
    assert_eq!(next(&[]), "recan prove");
    let run = open(folder.path(), &["--all"]);
    assert!(run.stdout.contains("--after-dc A=VOLTS"), "{}", run.stdout);
    assert!(!run.stdout.contains(" --hum B=VOLTS"), "the old can is out: {}", run.stdout);
}

/// A reading of a set that is on, given by a flag, was taken with nobody asking:
/// the caution is said the first time.
#[test]
fn the_first_live_reading_by_a_flag_is_cautioned() {
    let folder = tempfile::tempdir().unwrap();
    let wired = ["--stamping", STAMPING, "--first", "square", "--construction", "line"];
    let run = open(folder.path(), &wired);
    assert_eq!((run.code, run.stderr.as_str()), (0, ""));
    let run = open(folder.path(), &["--dc", "square=301 V"]);
    assert!(run.stderr.starts_with("Caution   Lethal volts: up to"), "{}", run.stderr);
    assert!(run.stderr.contains("isolation transformer"), "{}", run.stderr);
    assert!(run.stderr.lines().all(|line| line.chars().count() <= 80), "{}", run.stderr);
    let run = open(folder.path(), &["--dc", "square=302 V"]);
    assert_eq!((run.code, run.stderr.as_str()), (0, ""));
}

/// Where the next open reading is a live one the caution stands above the next
/// step, and not before.
#[test]
fn the_caution_stands_before_the_next_live_reading() {
    let folder = tempfile::tempdir().unwrap();
    let run = open(folder.path(), &["--stamping", "20 MFD 450 V"]);
    assert!(!run.stdout.contains("Caution"), "{}", run.stdout);
    // Everything that is asked before is not known.
    for _ in 0..60 {
        let run = open(folder.path(), &["--format", "json"]);
        let document: serde_json::Value = serde_json::from_str(&run.stdout).unwrap();
        let open_now = document["open"].as_array().unwrap();
        let first = open_now.iter().find(|one| one["unknown"] == false).unwrap();
        let is_live = first["stage"] == "live";
        assert_eq!(document["caution"].is_string(), is_live, "{document}");
        if is_live {
            let page = open(folder.path(), &[]).stdout;
            let caution = page.find("Caution   Lethal volts").unwrap();
            assert!(caution < page.find("Next").unwrap() && page.lines().count() <= 24, "{page}");
            return;
        }
        let flag = format!("--{}", first["flag"].as_str().unwrap());
        let value = match first["place"].as_str() {
            Some(place) => format!("{place}=?"),
            None => "?".into(),
        };
        assert_eq!(open(folder.path(), &[&flag, &value]).code, 0, "{flag} {value}");
    }
    panic!("no live reading was ever next");
}

/// Sets are of one can, so the next step names one of several.
#[test]
fn the_next_step_names_a_can() {
    let folder = tempfile::tempdir().unwrap();
    let cans = ["--stamping", "40 MFD 450 V", "--stamping", "30 MFD 450 V"];
    let run = open(folder.path(), &cans);
    assert!(run.stdout.contains(" --can A;"), "{}", run.stdout);
}
