//! One clear error or the right answer for each, never a panic.

use std::fmt::Write;

use super::{Run, recan, recan_with};

/// A refusal: the code, a cause, and nothing on stdout.
#[track_caller]
fn refused(run: &Run, code: i32, cause: &str) {
    assert_eq!(run.code, code, "{}{}", run.stdout, run.stderr);
    assert_eq!(run.stdout, "");
    assert!(run.stderr.to_lowercase().contains(cause), "{}", run.stderr);
    assert_eq!(run.stderr.matches("help:").count(), 1, "{}", run.stderr);
}

#[test]
fn empty_stamping() {
    refused(&recan(&["read", ""]), 2, "empty");
    refused(&recan(&["sets", "   "]), 2, "empty");
    refused(&recan(&["sets"]), 2, "no stamping");
    refused(&recan_with(&["read", "-"], "", None), 2, "empty");
}

#[test]
fn ten_thousand_characters() {
    refused(&recan(&["read", &"40-".repeat(3_334)]), 2, "characters");
    refused(&recan_with(&["sets", "-"], &"x".repeat(2 << 20), None), 2, "stdin");
}

#[test]
fn control_characters() {
    let run = recan(&["read", "40 MFD\u{7} 450 V\u{1b}[31m"]);
    assert!(matches!(run.code, 0 | 2));
    assert!(
        !run.screen().contains('\u{7}') && !run.screen().contains('\u{1b}'),
        "{}",
        run.screen()
    );
}

#[test]
fn impossible_values() {
    for text in
        ["0 MFD 450 V", "-40 MFD 0 V", "1000000 MFD 450 V", "NaN MFD 450 V", "1e400 MFD 450 V"]
    {
        let run = recan(&["read", text]);
        assert_eq!(run.code, 2, "{text}: {}", run.screen());
    }
}

/// The same two parts in every dialect that spreadsheets write.
#[test]
fn stock_in_every_dialect() {
    let plain = "part,style,sections,tolerance,price\nA,radial,\"47 µF 450 V\",\"-10/+50 %\",1.5\nB,can,\"40 µF 450 V; 20 µF 450 V\",20 %,9\n";
    let semicolons = "part;style;sections;tolerance;price\nA;radial;47 µF 450 V;-10/+50 %;1,5\nB;can;\"40 µF 450 V; 20 µF 450 V\";20 %;9\n";
    let dialects = [
        plain.to_owned(),
        format!("\u{feff}{plain}"),
        plain.replace('\n', "\r\n"),
        semicolons.to_owned(),
        format!("\u{feff}{}", semicolons.replace('\n', "\r\n")),
    ];
    let folder = tempfile::tempdir().unwrap();
    let mut answers = Vec::new();
    for dialect in dialects {
        std::fs::write(folder.path().join("list.csv"), dialect).unwrap();
        let arguments = ["sets", "40-20 MFD 450 V", "--stock", "list.csv", "--format", "json"];
        let run = recan_with(&arguments, "", Some(folder.path()));
        assert_eq!(run.code, 0, "{}", run.screen());
        answers.push(run.stdout);
    }
    assert!(answers.iter().all(|a| a == &answers[0]));
}

#[test]
fn a_million_lines() {
    let mut list = String::from("part,style,sections\n");
    for i in 0..1_000_000 {
        writeln!(list, "P{i},radial,{} uF {} V", 10 + i % 40, 100 + i % 400).unwrap();
    }
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("long.csv"), list).unwrap();
    let arguments = ["sets", "40-20 MFD 450 V", "--stock", "long.csv", "--format", "json"];
    let run = recan_with(&arguments, "", Some(folder.path()));
    assert_eq!(run.code, 0, "{}", run.stderr);
    let document = run.json();
    assert_eq!(document["stock"]["lines"], 1_000_000);
    assert_eq!(document["sets"][0]["verdict"], "pass");
}

#[test]
fn a_folder_in_place_of_a_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().to_str().unwrap();
    refused(&recan(&["stock", path]), 3, "folder");
    refused(&recan(&["sets", "40 MFD 450 V", "--stock", path]), 3, "folder");
    refused(&recan(&["stock", "no such file.csv"]), 3, "does not exist");
}

#[test]
fn stock_that_is_no_list() {
    let folder = tempfile::tempdir().unwrap();
    for (name, bytes) in [
        ("empty.csv", &b""[..]),
        ("binary.csv", &[0, 159, 146, 150, 0, 1][..]),
        ("wrong.csv", b"a,b\n1,2\n"),
    ] {
        std::fs::write(folder.path().join(name), bytes).unwrap();
        let run = recan_with(&["stock", name], "", Some(folder.path()));
        assert_eq!(run.code, 2, "{name}: {}", run.screen());
        assert!(run.stderr.contains("help:"), "{name}: {}", run.stderr);
    }
}

#[test]
fn wrong_facts() {
    let with = |arguments: &[&str]| recan(&[&["sets", "40-20 MFD 450 V"], arguments].concat());
    refused(&with(&["--role", "3=reservoir"]), 2, "no section");
    refused(&with(&["--role", "reservoir"]), 2, "no =");
    refused(&with(&["--role", "1=resevoir"]), 2, "no role");
    refused(&with(&["--role", "1=reservoir", "--role", "1=smoothing"]), 2, "twice");
    refused(&with(&["--volts", "1=313 mA"]), 2, "");
    refused(&with(&["--rectifier", "5Y33"]), 2, "not in the table");
    refused(&with(&["--circuit", "bridge"]), 2, "without its rectifier");
    refused(&with(&["--load", "-5 mA"]), 2, "");
    refused(&with(&["--frequency", "5 kHz"]), 2, "line frequency");
}

#[test]
fn wrong_fits() {
    let with = |fits: &[&str]| {
        let mut arguments = vec!["check", "40-20 MFD 450 V"];
        for fit in fits {
            arguments.extend(["--fit", *fit]);
        }
        recan(&arguments)
    };
    refused(&with(&["1=47/450"]), 2, "section b");
    refused(&with(&["1=47/450", "1=47/450"]), 2, "twice");
    refused(&with(&["1=47/450", "2="]), 2, "no part");
    refused(&with(&["1=47/450", "2=NOPE"]), 2, "neither in stock nor a value");
    refused(&with(&["1=C40-40-20-475:1", "2=C40-40-20-475:1"]), 2, "used twice");
    refused(&with(&["1=C40-40-20-475", "2=22/450"]), 2, "3 sections");
    refused(&with(&["1=C40-40-20-475:4", "2=22/450"]), 2, "3 sections");
    refused(&with(&["1=47/450 in series", "2=22/450"]), 2, "series");
    refused(&with(&["1=99x 47/450", "2=22/450"]), 2, "99");
    refused(&with(&["1=0/450", "2=22/450"]), 2, "");
}

/// Errors echo what was typed: on a terminal that takes colour, too, nothing of
/// it may steer the terminal.
#[test]
fn errors_do_not_steer_the_terminal() {
    for arguments in [
        ["sets", "40 MFD 450 V", "--rectifier", "5Y3\u{1b}[31mX\u{202e}"],
        ["sets", "40 MFD 450 V", "--stock", "no\u{1b}]0;x\u{7}file.csv"],
    ] {
        let output = assert_cmd::Command::cargo_bin("recan")
            .unwrap()
            .args(arguments)
            .env("CLICOLOR_FORCE", "1")
            .output()
            .unwrap();
        let shown = String::from_utf8(output.stderr).unwrap();
        assert!(!shown.contains(['\u{1b}', '\u{7}', '\u{202e}']), "{shown:?}");
    }
}

#[test]
fn a_line_longer_than_any_screen() {
    for length in [10_000, 65_537, 200_000] {
        let run = recan_with(&["read", "-"], &"x".repeat(length), None);
        assert_eq!(run.code, 2);
        assert!(run.stderr.len() < 2_000, "{} bytes", run.stderr.len());
    }
}

#[test]
fn two_reservoirs_on_one_rectifier() {
    let run = recan(&["sets", "40-20 MFD 450 V", "--role", "1=reservoir", "--role", "2=reservoir"]);
    refused(&run, 2, "reservoir");
}

#[test]
fn a_name_that_stands_twice_in_the_list() {
    let folder = tempfile::tempdir().unwrap();
    let list = "part,style,sections\nA,radial,47 uF 450 V\nA,radial,47 uF 350 V\n";
    std::fs::write(folder.path().join("two.csv"), list).unwrap();
    let arguments = ["check", "40 MFD 450 V", "--fit", "1=A", "--stock", "two.csv"];
    refused(&recan_with(&arguments, "", Some(folder.path())), 2, "lines 2 and 3");
}

/// A full disk or a closed stream is no success.
#[cfg(target_os = "linux")]
#[test]
fn an_answer_that_cannot_be_written() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let binary = assert_cmd::cargo::cargo_bin("recan");
    let status = std::process::Command::new(binary)
        .args(["near", "40"])
        .stdout(full)
        .stderr(std::process::Stdio::null())
        .status();
    assert_eq!(status.unwrap().code(), Some(3));
}

#[test]
fn two_bad_values_of_one_can() {
    let text = "0 MFD 450 V; 20 MFD 4500 V";
    let says = ["zero capacitance", "4500 V is out of range"];
    let run = recan(&["read", text]);
    assert_eq!(run.code, 2, "{}", run.stdout);
    assert!(says.iter().all(|says| run.stderr.contains(says)), "{}", run.stderr);
    let document = recan(&["read", text, "--format", "json"]).json();
    assert!(document["says"].as_str().unwrap().ends_with("(and 1 more, see `errors`)"));
    let errors = document["errors"].as_array().unwrap();
    for ((error, says), (start, shown)) in errors.iter().zip(says).zip([(0, "0"), (20, "4500")]) {
        assert!(error["says"].as_str().unwrap().contains(says), "{error}");
        let place = &error["where"];
        assert_eq!(place["start"], start, "{error}");
        assert!(place["text"].as_str().unwrap().starts_with(shown), "{error}");
    }
    // One bad figure of several sections is one mistake.
    let run = recan(&["read", "40-20-20 MFD 4500 V"]);
    assert_eq!(run.stderr.matches("out of range").count(), 1, "{}", run.stderr);
    // In a job file each has its place in the file.
    let folder = tempfile::tempdir().unwrap();
    let job = format!("[[can]]\nstamping = \"{text}\"\n");
    std::fs::write(folder.path().join("job.toml"), job).unwrap();
    let run = recan_with(&["supply", "--format", "json"], "", Some(folder.path()));
    let errors = run.json()["errors"].as_array().unwrap().clone();
    assert_eq!(errors.len(), 2, "{errors:?}");
    for (error, says) in errors.iter().zip(says) {
        assert!(error["says"].as_str().unwrap().contains(says), "{error}");
        assert_eq!(error["where"]["line"], 2, "{error}");
    }
}

/// `can/section` names a section, so a can's name with a slash is wrong before anybody
/// can choose it.
#[test]
fn a_can_with_a_slash_in_its_name() {
    let folder = tempfile::tempdir().unwrap();
    let job = "[[can]]\nname = \"a/b\"\nstamping = \"40 MFD 450 V\"\n\
        [[can]]\nname = \"C\"\nstamping = \"20 MFD 450 V\"\n";
    let file = folder.path().join("job.toml");
    std::fs::write(&file, job).unwrap();
    let commands: [&[&str]; 4] = [
        &["sets"],
        &["check", "--fit", "1=47/450"],
        &["record", "--choose", "1"],
        &["sets", "--can", "a"],
    ];
    for arguments in commands {
        let arguments = [arguments, &["--job", "."]].concat();
        let run = recan_with(&arguments, "", Some(folder.path()));
        assert_eq!(run.code, 2, "{}", run.stdout);
        assert!(run.stderr.contains("the can's name `a/b` holds a slash"), "{}", run.stderr);
        assert!(!run.stderr.contains("--can NAME"), "{}", run.stderr);
    }
    // A question of a stamping is answered once its can is chosen.
    let job = job.replace("a/b", "a").replace("40 MFD 450 V", "2x450");
    std::fs::write(&file, job).unwrap();
    let run = recan_with(&["sets", "--job", "."], "", Some(folder.path()));
    assert!(run.stderr.contains("--can NAME: a, C"), "{}", run.stderr);
}
