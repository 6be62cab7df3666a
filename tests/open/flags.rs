//! Flags instead of a terminal, and files that people edit by hand.

use std::{fs, path::Path};

use assert_cmd::Command;

use super::{STAMPING, check_has, text};

pub(crate) struct Run {
    pub(crate) code: i32,
    pub(crate) stdout: String,
    pub(crate) stderr: String,
}

pub(crate) fn open(folder: &Path, flags: &[&str]) -> Run {
    let mut command = Command::cargo_bin("recan").unwrap();
    command.arg("open").arg(folder).args(flags).write_stdin("isolated\n");
    let output = command.output().unwrap();
    Run {
        code: output.status.code().unwrap(),
        stdout: String::from_utf8(output.stdout).unwrap(),
        stderr: String::from_utf8(output.stderr).unwrap(),
    }
}

/// A file in the manner of a person: odd spaces, remarks, an order of its own.
const BY_HAND: &str = "\
# Bench book, page 12.
[mains]            # the meter is the small one
frequency='60 Hz'
   volts   =   \"121 V\"   # Tuesday

# ---- the can ----
[[can]]
stamping = '''half-round 40 MFD 450 V; square 20 MFD 450 V'''  # top of can
diameter = \"1-3/8 in\"

[[node]]
section = \"half-round\" # reservoir, traced
# B2 is behind the speaker field
[[node]]
from = \"B1\"
choke = \"10 H\"
section = \"square\"

[measured]
dc = { B1 = \"310 V\" }  # warm

# last words
";

#[test]
fn a_file_by_hand_changes_in_the_answered_keys_alone() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("job.toml");
    fs::write(&file, BY_HAND).unwrap();
    let run = open(
        folder.path(),
        &["--volts", "119 V", "--choke-resistance", "square=900", "--dc", "square=240"],
    );
    assert_eq!((run.code, run.stderr.as_str()), (0, ""));
    let expected = BY_HAND
        .replace("\"121 V\"", "\"119 V\"")
        .replace(
            "section = \"square\"\n",
            "section = \"square\"\nchoke_resistance = \"900 Ω\"  # DC ohms of the choke or field coil\n",
        )
        .replace("{ B1 = \"310 V\" }", "{ B1 = \"310 V\", B2 = \"240 V\" }");
    assert_eq!(text(folder.path()), expected);
}

#[test]
fn a_file_by_hand_without_flags_stays_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("job.toml");
    fs::write(&file, BY_HAND).unwrap();
    assert_eq!(open(folder.path(), &[]).code, 0);
    assert_eq!(fs::read_to_string(&file).unwrap(), BY_HAND);
}

#[test]
fn notes_are_found_where_a_hand_put_tables_behind_them() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("job.toml");
    assert_eq!(
        open(folder.path(), &["--stamping", STAMPING, "--name", "?", "--cold", "square=90k"]).code,
        0
    );
    let text = fs::read_to_string(&file).unwrap() + "[chassis]\n# mine\nheaters = \"series\"\n";
    fs::write(&file, text).unwrap();
    let run = open(folder.path(), &["--wired", "square=choke"]);
    assert_eq!((run.code, run.stderr.as_str()), (0, ""));
    check_has(
        folder.path(),
        &["# mine\nheaters = \"series\"", "not known: name", "cold_ohms = { square = \"90k\" }"],
    );
    assert_eq!(super::text(folder.path()).matches("square = \"90k\"").count(), 1);
}

#[test]
fn nothing_is_asked_and_nothing_written_where_one_flag_is_wrong() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("job");
    for wrong in [
        ["--volts", "121 W"],
        ["--first", "circle"],
        ["--dc", "301 V"],
        ["--dc", "circle=301 V"],
        ["--construction", "isolted"],
        ["--volts", "9 kV"],
        ["--lugs", "none"],
        ["--device", "5Y9"],
        ["--name", "a\u{1b}[31mb"],
    ] {
        let run = open(&job, &["--stamping", STAMPING, wrong[0], wrong[1]]);
        assert_eq!(run.code, 2, "{wrong:?} {}", run.stdout);
        assert!(run.stderr.contains('×') && !run.stderr.contains('\u{1b}'), "{}", run.stderr);
        assert!(!job.exists(), "{wrong:?}");
    }
}

#[test]
fn what_is_open_is_printed_with_its_flag() {
    let folder = tempfile::tempdir().unwrap();
    let run = open(folder.path(), &["--stamping", "40-20 MFD 450 V", "--all"]);
    assert_eq!((run.code, run.stderr.as_str()), (0, ""));
    for flag in ["--construction WORD", "--first SECTION", "--winding VOLTS"] {
        assert!(run.stdout.contains(flag), "{}", run.stdout);
    }
    let json = open(folder.path(), &["--format", "json"]);
    let document: serde_json::Value = serde_json::from_str(&json.stdout).unwrap();
    assert_eq!(document["schema"], "recan.open/1");
    assert_eq!(document["known"][0]["flag"], "stamping");
    assert_eq!(document["open"][0]["flag"], "another-can");
}

#[test]
fn a_doubler_stands_when_its_sections_are_known() {
    let folder = tempfile::tempdir().unwrap();
    let known = ["--stamping", "red 100 MFD 200 V; blue 100 MFD 200 V; green 40 MFD 350 V"];
    assert_eq!(open(folder.path(), &known).code, 0);
    assert_eq!(open(folder.path(), &["--circuit", "full-wave-doubler", "--upper", "red"]).code, 0);
    check_has(folder.path(), &["# noted: circuit = \"full-wave-doubler\""]);
    let more = ["--lower", "blue", "--wired", "green=resistor", "--from", "green=B1"];
    // B1 is there only when the stack is.
    assert_eq!(open(folder.path(), &more[..2]).code, 0);
    assert_eq!(open(folder.path(), &more[2..]).code, 0);
    let run =
        open(folder.path(), &["--resistor", "green=470", "--dc", "red=150 V", "--dc", "B1=300 V"]);
    assert_eq!(run.code, 0);
    assert!(run.stderr.starts_with("Caution   Lethal volts"), "{}", run.stderr);
    check_has(
        folder.path(),
        &["[rectifier.upper]\nsection = \"red\"", "from = \"B1\"", "red = \"150 V\""],
    );
}

#[test]
fn a_choke_input_stands_when_the_choke_is_known() {
    let folder = tempfile::tempdir().unwrap();
    let known = ["--stamping", "40-20 MFD 450 V", "--first", "choke", "--wired", "1=choke"];
    assert_eq!(open(folder.path(), &known).code, 0);
    assert!(!text(folder.path()).contains("[[node]]"));
    assert_eq!(open(folder.path(), &["--choke", "1=10 H", "--dc", "1=300"]).code, 0);
    check_has(folder.path(), &["choke = \"10 H\"", "from = \"B1\"", "dc = { B2 = \"300 V\" }"]);
}

#[test]
fn a_second_can_gives_both_a_name() {
    let folder = tempfile::tempdir().unwrap();
    let known =
        ["--stamping", "40-20 MFD 450 V", "--first", "1", "--dc", "1=301 V", "--diameter", "35 mm"];
    assert_eq!(open(folder.path(), &known).code, 0);
    let run = open(
        folder.path(),
        &["--another-can", "10 MFD 450 V", "--diameter", "B=25 mm", "--cold", "B/1=90k"],
    );
    assert_eq!((run.code, run.stderr.as_str()), (0, ""));
    check_has(
        folder.path(),
        &[
            "section = \"A/A\"",
            "name = \"B\"",
            "diameter = \"25 mm\"",
            "cold_ohms = { \"B/A\" = \"90k\" }",
        ],
    );
}

#[test]
fn hostile_files_are_told_and_left_alone() {
    let deep = "a=".to_owned() + &"[".repeat(20_000);
    let huge = format!("[[can]]\nstamping = \"40 450\"\n# {}", "x".repeat(2 << 20));
    let files: [(&str, i32); 7] = [
        (&deep, 2),
        (&huge, 3),
        ("[[can]]\nstamping = nan\n", 2),
        ("[[can]]\nstamping = \"40 450\"\n[mains]\nvolts = \"121 W\"\n", 2),
        ("[[can]]\nstamping = \"40 450\"\n[chassis]\nname = \"\\u001b]0;x\\u0007\"\n", 2),
        ("[[can]]\nstamping = \"40 450\"\nname = \"../../etc\"\n", 2),
        ("= 3 \u{1b}[2J", 2),
    ];
    for (file, code) in files {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.toml");
        fs::write(&path, file).unwrap();
        let run = open(folder.path(), &["--frequency", "50 Hz"]);
        let shown: String = file.chars().take(60).collect();
        assert_eq!(run.code, code, "{shown} {}{}", run.stdout, run.stderr);
        assert!(!run.stderr.contains('\u{1b}') && !run.stdout.contains('\u{1b}'), "{}", run.stderr);
        assert_eq!(fs::read_to_string(&path).unwrap(), file);
    }
}

#[test]
fn markup_in_a_name_is_text() {
    let folder = tempfile::tempdir().unwrap();
    let name = "<b>\"'x'\" # = [[can]]\\n</b>";
    assert_eq!(open(folder.path(), &["--stamping", "40 450", "--name", name]).code, 0);
    let job = super::read(&text(folder.path()));
    assert_eq!(job.chassis.name.as_deref(), Some(name));
}

#[cfg(unix)]
#[test]
fn a_file_that_may_not_be_written_is_told() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.toml");
    fs::write(&path, BY_HAND).unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
    let run = open(folder.path(), &["--volts", "119 V"]);
    assert_eq!(run.code, 3);
    assert_eq!(fs::read_to_string(&path).unwrap(), BY_HAND);
}

/// The job files know no key of readings that `open` does not ask for, but for
/// how the can stands after the repair: it is out.
#[test]
fn every_key_of_readings_has_its_question() {
    let folder = tempfile::tempdir().unwrap();
    let known = ["--stamping", "40-20 MFD 450 V", "--first", "1", "--wired", "2=resistor"];
    assert_eq!(open(folder.path(), &known).code, 0);
    let run = open(
        folder.path(),
        &[
            "--from",
            "2=1",
            "--resistor",
            "2=1k",
            "--frequency",
            "60 Hz",
            "--cold",
            "1=OL",
            "--cold",
            "2=210k",
            "--can-state",
            "faulty",
            "--line",
            "121 V",
            "--fed-by",
            "mains",
            "--meter",
            "average 2 %",
            "--dc",
            "1=301 V",
            "--hum",
            "1=4 V",
            "--hum-frequency",
            "120 Hz",
            "--after-cold",
            "1=900k",
            "--after-supply",
            "lamp 60 W",
            "--after-line",
            "119 V",
            "--after-meter",
            "true-rms 1 %",
            "--after-dc",
            "2=278 V",
            "--after-hum",
            "2=30 mV",
            "--after-hum-frequency",
            "120 Hz",
        ],
    );
    assert_eq!(run.code, 0);
    assert!(run.stderr.starts_with("Caution   Lethal volts"), "{}", run.stderr);
    let text = text(folder.path());
    let mut keys: Vec<&str> = Vec::new();
    for question in recan::interview::list::all() {
        let (recan::interview::Kept::Key(table, key) | recan::interview::Kept::Reading(table, key)) =
            question.kept
        else {
            continue;
        };
        if ["measured", "after"].contains(&table) {
            assert!(text.contains(&format!("\n{key} = ")), "{key}: {text}");
            keys.push(key);
        }
    }
    keys.sort_unstable();
    let all = [
        "can",
        "cold_ohms",
        "cold_ohms",
        "dc",
        "dc",
        "hum",
        "hum",
        "hum_frequency",
        "hum_frequency",
        "line",
        "line",
        "meter",
        "meter",
        "supply",
        "supply",
    ];
    assert_eq!(keys, all);
    let job = super::read(&text);
    let (before, after) = (job.measured.unwrap(), job.after.unwrap());
    assert_eq!((before.cold_ohms.len(), before.cold_ohms[0].ohms), (2, None));
    assert_eq!((after.cold_ohms.len(), after.dc.len(), after.hum.len()), (1, 1, 1));
    assert!(text.contains("cold_ohms = { A = \"open\", B = \"210k\" }"), "{text}");
}
