//! Snapshots of every screen a user sees.

use super::{Run, recan, recan_with};

/// The screen must fit: 80 columns, and 24 lines where it is a first answer.
#[track_caller]
fn check(name: &str, run: &Run, most_lines: usize) {
    let lines: Vec<&str> = run.stdout.lines().collect();
    assert!(lines.len() <= most_lines, "{} lines:\n{}", lines.len(), run.stdout);
    for line in run.stdout.lines().chain(run.stderr.lines()) {
        let width = unicode_width::UnicodeWidthStr::width(line);
        assert!(width <= 80, "{width} columns: {line}");
    }
    insta::assert_snapshot!(name, run.screen());
}

const FOUR: &str = "40-40-20 MFD 450 WVDC / 20 MFD 25 WVDC";
const CONSOLE: &str = "half-round 40 MFD 450 V\\nsquare 20 MFD 450 V\\ntriangle 20 MFD 450 V\\nplain 20 MFD 25 V\\nCOMMON NEG. TO CAN\\n235-5412";

/// A small stock list, invented.
const SMALL: &str = "part,style,sections,tolerance,price\n\
    BIG,can,40 uF 475 V; 40 uF 475 V; 20 uF 475 V,-10/+50 %,20\n\
    LOW,radial,22 uF 50 V,±20 %,0.20\n\
    HIGH,radial,47 uF 450 V,±20 %,1.10\n\
    WEAK,radial,47 uF 400 V,±20 %,0.90\n";

fn small() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("small.csv"), SMALL).unwrap();
    (folder, "small.csv".to_owned())
}

#[test]
fn sets_first_run() {
    check("sets_first_run", &recan(&["sets", FOUR]), 24);
}

#[test]
fn sets_from_a_small_list() {
    let (folder, file) = small();
    let run = recan_with(&["sets", FOUR, "--stock", &file], "", Some(folder.path()));
    check("sets_from_a_small_list", &run, 24);
}

#[test]
fn sets_with_facts() {
    let run = recan(&[
        "sets",
        CONSOLE,
        "--rectifier",
        "5Y3-GT",
        "--role",
        "square=reservoir",
        "--load",
        "70mA",
        "--volts",
        "square=313 V",
        "--volts",
        "plain=19.8 V",
        "--resistor",
        "half-round=1k",
        "--role",
        "half-round=smoothing",
        "--role",
        "triangle=decoupling",
    ]);
    check("sets_with_facts", &run, 24);
}

#[test]
fn sets_that_assume() {
    check("sets_that_assume", &recan(&["sets", "32/32uF 350/385V", "--frequency", "50Hz"]), 24);
}

#[test]
fn sets_where_nothing_will_do() {
    let (folder, file) = small();
    let run = recan_with(&["sets", "80-40 MFD 475 V", "--stock", &file], "", Some(folder.path()));
    assert_eq!(run.code, 1);
    check("sets_where_nothing_will_do", &run, 24);
}

#[test]
fn sets_where_stock_runs_short() {
    let folder = tempfile::tempdir().unwrap();
    let list = "part,style,sections,quantity\nONE,radial,47 uF 450 V,1\n";
    std::fs::write(folder.path().join("one.csv"), list).unwrap();
    let arguments = ["sets", "40-40 MFD 450 V", "--stock", "one.csv"];
    let run = recan_with(&arguments, "", Some(folder.path()));
    assert_eq!(run.code, 1);
    check("sets_where_stock_runs_short", &run, 24);
}

#[test]
fn sets_all() {
    check("sets_all", &recan(&["sets", "16+16 uF 450V", "--show", "3"]), 60);
}

#[test]
fn sets_to_restuff() {
    check("sets_to_restuff", &recan(&["sets", "16+16 uF 450V", "--restuff"]), 24);
}

#[test]
fn sets_explained() {
    check("sets_explained", &recan(&["sets", "40 MFD 450 V", "--explain"]), 80);
}

#[test]
fn eight_sections_still_fit_a_screen() {
    let run = recan(&["sets", "20-20-20-20-20-20-20-20 MFD 450 V"]);
    check("eight_sections_still_fit_a_screen", &run, 24);
}

#[test]
fn check_that_fails() {
    let run = recan(&[
        "check",
        FOUR,
        "--fit",
        "1=47/400",
        "--fit",
        "2=22/450 + 22/450",
        "--fit",
        "3=2x 47/350 in series",
        "--fit",
        "4=22/50",
    ]);
    assert_eq!(run.code, 1);
    check("check_that_fails", &run, 24);
}

#[test]
fn check_two_side_by_side() {
    let run = recan(&["check", "40 MFD 450 V", "--fit", "1=22/450 + 22/450"]);
    assert_eq!(run.code, 0);
    check("check_two_side_by_side", &run, 24);
}

#[test]
fn check_can_section_with_a_body_across() {
    let run = recan(&[
        "check",
        "half-round 60 MFD 450 V\\nsquare 40 MFD 450 V",
        "--fit",
        "half-round=C40-40-20-475:1 + 22/450",
        "--fit",
        "square=C40-40-20-475:2",
    ]);
    assert_eq!(run.code, 0);
    check("check_can_section_with_a_body_across", &run, 24);
}

#[test]
fn check_series_pair() {
    let run =
        recan(&["check", "8 MFD 475 V", "--role", "1=smoothing", "--fit", "1=2x 22/450 in series"]);
    assert_eq!(run.code, 0);
    check("check_series_pair", &run, 24);
}

#[test]
fn check_explained() {
    let run =
        recan(&["check", "20 MFD 25 V", "--fit", "1=22/25", "--volts", "1=19.8 V", "--explain"]);
    check("check_explained", &run, 80);
}

#[test]
fn read_a_console_can() {
    check("read_a_console_can", &recan(&["read", CONSOLE]), 24);
}

#[test]
fn read_with_an_open_question() {
    check("read_with_an_open_question", &recan(&["read", "50/50 500"]), 24);
}

#[test]
fn read_with_an_answer() {
    let run = recan(&["read", "25/25", "--reading", "1"]);
    assert_eq!(run.code, 0);
    check("read_with_an_answer", &run, 24);
}

#[test]
fn read_that_stops() {
    let run = recan(&["read", "25/25"]);
    assert_eq!(run.code, 2);
    check("read_that_stops", &run, 24);
}

#[test]
fn read_that_is_refused() {
    let run = recan(&["read", "100 µµF 450 V"]);
    assert_eq!(run.code, 2);
    check("read_that_is_refused", &run, 24);
}

#[test]
fn near_forty() {
    check("near_forty", &recan(&["near", "40"]), 24);
}

/// `MF` on an old can is microfarad, which is said.
#[test]
fn near_an_old_unit() {
    let run = recan(&["near", "10MF"]);
    check("near_an_old_unit", &run, 24);
    let notices = recan(&["near", "10MF", "--format", "json"]).json();
    assert_eq!(notices["notices"][0], "old unit: microfarad, never millifarad");
}

#[test]
fn a_question_that_stops_is_put_once() {
    let run = recan(&["sets", "25/25"]);
    assert_eq!((run.code, run.stdout.as_str()), (2, ""));
    assert_eq!(run.stderr.matches("two sections").count(), 2, "{}", run.stderr);
    assert_eq!(run.stderr.matches("is this one section").count(), 1, "{}", run.stderr);
}

#[test]
fn near_a_resistance() {
    check("near_a_resistance", &recan(&["near", "1k15"]), 24);
}

#[test]
fn stock_that_is_good() {
    let (folder, file) = small();
    let run = recan_with(&["stock", &file], "", Some(folder.path()));
    assert_eq!(run.code, 0);
    check("stock_that_is_good", &run, 24);
}

#[test]
fn stock_with_bad_lines() {
    let folder = tempfile::tempdir().unwrap();
    let list = "part;style;sections;prise\nA;radial;47 µF 450 V;1,20\nB;radal;47 µF 450 V;1\n\
        C=1;axial;0 µF 450 V;1\n";
    std::fs::write(folder.path().join("mine.csv"), list).unwrap();
    let run = recan_with(&["stock", "mine.csv"], "", Some(folder.path()));
    assert_eq!(run.code, 1);
    check("stock_with_bad_lines", &run, 24);
}

#[test]
fn rules() {
    check("rules", &recan(&["help", "rules"]), 135);
}

#[test]
fn help_of_every_command() {
    let commands = [
        "read", "sets", "check", "supply", "fault", "stock", "near", "record", "prove", "open",
        "help",
    ];
    insta::assert_snapshot!("help", recan(&["--help"]).screen());
    for command in commands {
        let run = recan(&[command, "--help"]);
        assert_eq!(run.code, 0, "{command}");
        insta::assert_snapshot!(format!("help_{command}"), run.screen());
    }
}
