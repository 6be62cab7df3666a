//! `recan supply`: its screens, its document, its errors.

use recan::{
    chassis::{Chassis, End},
    job::{self, Job},
    quantity::{in_amperes, in_seconds, in_volts, significant, volts},
};

use super::{Run, recan};

const JOBS: [&str; 8] = [
    "job1",
    "job2",
    "job3",
    "job4",
    "job5",
    "choke-input",
    "half-wave-doubler",
    "full-wave-doubler",
];

fn place(name: &str) -> String {
    format!("data/jobs/{name}")
}

/// A first answer fits a screen of 80 columns and 24 lines.
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
fn every_example_job_fits_a_screen() {
    for name in JOBS {
        let run = recan(&["supply", "--job", &place(name)]);
        assert_eq!(run.code, 0, "{name}: {}", run.stderr);
        // A figure that went wrong, or advice that no meter can back.
        assert!(!run.stdout.contains("NaN") && !run.stdout.contains("inf "), "{}", run.stdout);
        assert!(run.stdout.contains("measure across each section: below 5 V"), "{name}");
        check(&format!("supply_{name}"), &run, 24);
    }
}

#[test]
fn every_example_job_as_json() {
    for name in JOBS {
        let run = recan(&["supply", "--job", &place(name), "--format", "json"]);
        insta::assert_snapshot!(format!("supply_json_{name}"), run.screen());
    }
}

#[test]
fn explained() {
    let run = recan(&["supply", "--job", &place("job1"), "--explain"]);
    check("supply_explained", &run, 110);
}

#[test]
fn what_if_a_section_was_larger_and_silicon_fitted() {
    let run = recan(&[
        "supply",
        "--job",
        &place("job1"),
        "--what-if",
        "square=47uF",
        "--what-if",
        "device=silicon",
    ]);
    check("supply_what_if", &run, 24);
}

#[test]
fn what_if_at_another_line() {
    let run = recan(&[
        "supply",
        "--job",
        &place("job5"),
        "--line",
        "126V",
        "--what-if",
        "plate_resistor=150Ω",
        "--what-if",
        "load:B1=160mA",
    ]);
    check("supply_what_if_at_another_line", &run, 24);
    let json = recan(&[
        "supply",
        "--job",
        &place("job5"),
        "--what-if",
        "plate_resistor=150Ω",
        "--format",
        "json",
    ])
    .json();
    let dc = |block: &serde_json::Value| block["nodes"][0]["dc_v"].as_f64().unwrap();
    assert!(dc(&json) < dc(&json["before"]) - 20.0);
}

#[test]
fn what_if_in_a_doubler_with_two_cans() {
    let place = place("half-wave-doubler");
    let run = |more: &[&str]| recan(&[&["supply", "--job", &place][..], more].concat());
    check("supply_what_if_doubler", &run(&["--what-if", "series/1=300uF"]), 24);
    // Both cans have a first section, so which one is meant must be said.
    let either = run(&["--what-if", "1=100uF"]);
    assert_eq!(either.code, 2);
    insta::assert_snapshot!("supply_which_can", either.screen());
    let json = run(&["--can", "main", "--what-if", "1=100uF", "--format", "json"]).json();
    assert_eq!(json["what_if"][0], "main/red=100 µF");
}

fn job(name: &str) -> Job {
    let text = std::fs::read_to_string(place(name) + "/job.toml").unwrap();
    job::read_safely("job.toml", &text, None).unwrap()
}

/// The document says what the library computes, at the six digits it prints.
#[test]
fn the_document_equals_the_library() {
    for (name, line) in JOBS.iter().zip([None, Some(117.0), None, None, None, None, None, None]) {
        let chassis = Chassis::of(&job(name)).unwrap();
        let at = line.map_or(chassis.line(), volts);
        let solved = chassis.solve(at, &chassis.stamped(), End::Nominal).unwrap();
        let started = solved.started().unwrap();
        let typed = format!("{}V", in_volts(at));
        let run = recan(&["supply", "--job", &place(name), "--line", &typed, "--format", "json"]);
        let json = run.json();
        let same = |found: &serde_json::Value, expected: f64| {
            assert_eq!(found.as_f64(), Some(significant(expected, 6)), "{name}");
        };
        assert_eq!(json["schema"], "recan.supply/1");
        let nodes = json["nodes"].as_array().unwrap();
        assert_eq!(nodes.len(), solved.steady.nodes.len());
        for (j, (found, node)) in nodes.iter().zip(&solved.steady.nodes).enumerate() {
            same(&found["dc_v"], in_volts(node.dc));
            same(&found["ripple_pp_v"], in_volts(node.ripple_pp));
            same(&found["ripple_rms_v"], in_volts(node.ripple_rms));
            same(&found["max_v"], in_volts(node.max));
            same(&found["cold_start_peak_v"], in_volts(started.start.cold_peak(j).unwrap()));
        }
        let capacitors = json["capacitors"].as_array().unwrap();
        assert_eq!(capacitors.len(), solved.steady.cells.len());
        for (found, cell) in capacitors.iter().zip(&solved.steady.cells) {
            same(&found["dc_v"], in_volts(cell.dc));
            same(&found["current_rms_a"], in_amperes(cell.rms));
        }
        let rectifier = &json["rectifier"];
        same(&rectifier["peak_a"], in_amperes(solved.steady.rectifier.peak));
        same(&rectifier["avg_per_plate_a"], in_amperes(solved.steady.rectifier.average));
        same(&rectifier["hot_switch_peak_a"], in_amperes(started.start.hot_switch_peak));
        same(&rectifier["turn_on_i2t_a2s"], started.start.turn_on_i2t.0);
        same(&json["winding_rms_a"], in_amperes(solved.steady.winding_rms));
        for (found, of) in json["discharge"].as_array().unwrap().iter().zip(&started.discharge) {
            assert_eq!(found["bleeds"].as_bool(), Some(of.bleeds));
            match of.to_50_volts {
                Some(time) => same(&found["to_50v_s"], in_seconds(time)),
                None => assert!(found["to_50v_s"].is_null()),
            }
        }
    }
}

/// A job in a folder of its own.
fn written(text: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("job.toml"), text).unwrap();
    folder
}

fn supply(text: &str, more: &[&str]) -> Run {
    let folder = written(text);
    let arguments: Vec<&str> = ["supply"].iter().chain(more).copied().collect();
    super::recan_with(&arguments, "", Some(folder.path()))
}

const SMALL: &str = r#"
[[can]]
stamping = "half-round 40 MFD 450 V\nsquare 20 MFD 450 V"
[mains]
volts = "120 V"
[rectifier]
circuit = "full-wave"
device = "5Y3-GT"
winding = "300 V"
supply_resistance = "140 Ω"
[[node]]
name = "B1"
section = "half-round"
load = "60 mA"
[[node]]
name = "B2"
from = "B1"
resistor = "1 kΩ"
section = "square"
"#;

#[test]
fn a_load_that_is_a_range_shows_both_ends() {
    // One reading tells of a job that was measured, so what B2 draws is open.
    let text = SMALL.replace("load = \"60 mA\"", "load = \"60 mA\"\nvolts = \"300 V\"");
    check("supply_range", &supply(&text, &[]), 24);
    let json = supply(&text, &["--format", "json"]).json();
    let draws = |end: &str| json["loads"][1][end].as_f64().unwrap();
    // The first lug's volts tell the sum: no more than the sheet's 125 mA leave beside
    // 60 mA, and one likeliest state.
    assert!(draws("low_a") >= 0.0 && draws("high_a") <= 0.065);
    assert!(draws("low_a") < draws("high_a"));
}

/// A section that nobody placed draws nothing in the solved supply: every answer says so.
#[test]
fn a_section_without_a_place_is_told() {
    let text = SMALL.replace("square 20 MFD 450 V", "square 20 MFD 450 V\\ntriangle 20 MFD 350 V");
    let folder = written(&text);
    let fit = ["check", "--fit", "half-round=47/500", "--fit", "square=22/500", "--fit"];
    let fit: Vec<&str> = fit.into_iter().chain(["triangle=22/500", "--draws", "0"]).collect();
    let says = "no place in the supply is told for triangle";
    for arguments in [&["supply", "--explain"][..], &["sets"], &fit] {
        let screen = super::recan_with(arguments, "", Some(folder.path())).stdout;
        let screen = screen.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(screen.contains(says), "{screen}");
    }
    let unused = format!("{text}[[other]]\nsection = \"triangle\"\nuse = \"unused\"\n");
    std::fs::write(folder.path().join("job.toml"), unused).unwrap();
    let screen = super::recan_with(&["supply", "--explain"], "", Some(folder.path())).stdout;
    assert!(!screen.contains("no place in the"), "{screen}");
}

/// The table is for what is taken, as `supply` shows it, and says so; the verdicts are
/// for both ends.
#[test]
fn a_check_of_loads_that_are_a_range() {
    let text = SMALL.replace("load = \"60 mA\"", "load = \"60 mA\"\nvolts = \"300 V\"");
    let folder = written(&text);
    let fit = ["check", "--fit", "half-round=47/500", "--fit", "square=22/500", "--draws", "200"];
    let checked = super::recan_with(&fit, "", Some(folder.path()));
    check("check_range", &checked, 24);
    let json = |run: &[&str]| {
        let run: Vec<&str> = run.iter().chain(&["--format", "json"]).copied().collect();
        super::recan_with(&run, "", Some(folder.path())).json()
    };
    let (checked, supply) = (json(&fit), json(&["supply"]));
    let dc = |of: &serde_json::Value| of["nodes"][0]["dc_v"].as_f64().unwrap();
    let off = dc(&checked["supply"]["original"]) - dc(&supply);
    assert!(off.abs() < 1e-3, "{off} V");
}

#[test]
fn readings_that_disagree_are_both_shown() {
    let text = SMALL.replace("load = \"60 mA\"", "load = \"60 mA\"\nvolts = \"300 V\"")
        + "volts = \"270 V\"\nload = \"10 mA\"\nbleeder = \"100 kΩ\"\n";
    check("supply_disagree", &supply(&text, &[]), 24);
}

#[test]
fn readings_with_a_faulty_can_are_upper_bounds() {
    let text = SMALL.to_owned()
        + "[measured]\ncan = \"faulty\"\ndc = { B1 = \"290 V\", B2 = \"272 V\" }\n";
    check("supply_faulty", &supply(&text, &[]), 24);
}

#[test]
fn a_job_that_lacks_much_says_what_to_measure() {
    let text = SMALL
        .replace("supply_resistance = \"140 Ω\"\n", "")
        .replace("device = \"5Y3-GT\"\n", "")
        .replace("load = \"60 mA\"\n", "");
    let run = supply(&text, &[]);
    assert_eq!(run.code, 1);
    check("supply_lacking", &run, 24);
}

#[test]
fn what_cannot_be_worked_out_is_refused_with_advice() {
    let heavy = SMALL.to_owned() + "load = \"900 mA\"\n";
    let bare = SMALL.replace("140 Ω", "0 Ω").replace("5Y3-GT", "silicon");
    let screens = [
        ("supply_cannot_supply", supply(&heavy, &[])),
        ("supply_no_source_resistance", supply(&bare, &[])),
        ("supply_unknown_name", supply(SMALL, &["--what-if", "squar=47uF"])),
        ("supply_unknown_node", supply(SMALL, &["--what-if", "load:B9=47mA"])),
        ("supply_unknown_device", supply(SMALL, &["--what-if", "device=5Y5"])),
        ("supply_bad_value", supply(SMALL, &["--what-if", "square=47 farads"])),
        ("supply_changed_twice", supply(SMALL, &["--what-if", "square=47", "--what-if", "2=22"])),
        ("supply_no_equals", supply(SMALL, &["--what-if", "square"])),
        ("supply_bad_line", supply(SMALL, &["--line", "1260V"])),
        ("supply_no_can", supply(SMALL, &["--can", "B"])),
        ("supply_no_nodes", supply("[mains]\nvolts = \"120 V\"\n", &[])),
    ];
    for (name, run) in screens {
        assert_eq!(run.code, 2, "{name}: {}", run.screen());
        assert_eq!(run.stdout, "", "{name}");
        insta::assert_snapshot!(name, run.screen());
    }
    let folder = tempfile::tempdir().unwrap();
    let none = super::recan_with(&["supply"], "", Some(folder.path()));
    assert_eq!(none.code, 2);
    insta::assert_snapshot!("supply_no_job", none.screen());
    let missing = super::recan_with(&["supply", "--job", "x"], "", Some(folder.path()));
    assert_eq!(missing.code, 3);
}

/// By hand: 126 V of line reach √2 × 126 = 178 V with nothing drawn, more than
/// the 150 V that the can of job2 is stamped for.
#[test]
fn the_caution_names_the_most_volts_that_the_supply_gives() {
    let fit = ["--fit", "red=47/250", "--fit", "blue=33/250", "--fit", "yellow=22/25"];
    let job = place("job2");
    for run in
        [recan(&["sets", "--job", &job]), recan(&[&["check", "--job", &job][..], &fit].concat())]
    {
        assert!(run.stdout.contains("Up to 178 V"), "{}", run.stdout);
    }
}

/// Filaments of 170 Ω behind 1.8 kΩ on the line, invented; the reservoir is stamped
/// far above what the line gives.
const PORTABLE: &str = r#"
[chassis]
construction = "line"
[[can]]
stamping = "RED 40 MFD 450 V  GREEN 200 MFD 25 V"
negative = "B-"
[mains]
volts = "122 V"
frequency = "60 Hz"
[rectifier]
circuit = "half-wave"
device = "selenium"
plate_resistor = "47 Ω"
[[node]]
name = "B1"
section = "red"
load = "12 mA"
[[node]]
name = "A"
from = "B1"
resistor = "1.8 kΩ"
section = "green"
load_resistance = "170 Ω"
cold = true
"#;

fn portable() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("job.toml"), PORTABLE).unwrap();
    folder
}

/// What a load that draws cold holds down has one cold-start figure, here and in sets.
#[test]
fn a_node_that_its_cold_load_holds_down() {
    let folder = portable();
    let run = |arguments: &[&str]| super::recan_with(arguments, "", Some(folder.path()));
    let document = run(&["supply", "--format", "json"]).json();
    let cold = |node: usize| document["nodes"][node]["cold_start_peak_v"].as_f64().unwrap();
    // √2 × 122 V; selenium drops next to nothing where next to nothing is drawn.
    assert!((cold(0) - 172.53).abs() < 0.01, "{}", cold(0));
    // 172.5 V × 170 / 1970 is 14.9 V at most; five plates of selenium take some of it.
    assert!((10.0..14.9).contains(&cold(1)), "{}", cold(1));
    let fits = ["--fit", "red=47/200", "--fit", "green=220/25", "--draws", "0", "--format", "json"];
    let judged = run(&[&["check"], &fits[..]].concat()).json();
    let findings = judged["set"]["sections"][1]["findings"].as_array().unwrap();
    let finding = findings.iter().find(|finding| finding["rule"] == "cold-start").unwrap();
    let drawn = finding["working"].as_str().unwrap();
    let drawn: f64 = drawn.split(' ').next().unwrap().parse().unwrap();
    assert!((drawn - cold(1)).abs() < 0.1, "{finding}: {}", cold(1));
    let screen = run(&["supply"]);
    check("supply_cold_load", &screen, 24);
}

/// A caution names what the supply reaches; what is stamped, where that is not known.
#[test]
fn a_caution_names_what_the_supply_reaches() {
    let folder = portable();
    let run = |arguments: &[&str]| super::recan_with(arguments, "", Some(folder.path()));
    let fits = ["check", "--fit", "red=47/450", "--fit", "green=220/25", "--draws", "0"];
    for arguments in [&["supply"][..], &["sets"], &fits] {
        let screen = run(arguments).stdout;
        // √2 × 126 V, the high line.
        assert!(screen.to_lowercase().contains("up to 178 v"), "{screen}");
        assert!(!screen.contains("450 V,"), "{screen}");
    }
    let cautions = run(&["supply", "--format", "json"]).json()["cautions"].to_string();
    assert!(cautions.contains("up to 178 V"), "{cautions}");
    // 40 µF at 178.2 V and 200 µF at 178.2 V should the filaments open: 3.81 J.
    let cautions = run(&["sets", "--format", "json"]).json()["cautions"].to_string();
    assert!(cautions.contains("178 V, 3.8 J"), "{cautions}");
    let unsolved =
        PORTABLE.replace("load = \"12 mA\"\n", "").replace("device = \"selenium\"\n", "");
    std::fs::write(folder.path().join("job.toml"), unsolved).unwrap();
    let screen = run(&["sets"]).stdout;
    assert!(screen.contains("Up to 450 V"), "{screen}");
    // A section outside the supply, of which nothing is told but what is stamped.
    let beside = PORTABLE.replace("200 MFD 25 V\"", "200 MFD 25 V  BLUE 8 MFD 350 V\"");
    std::fs::write(folder.path().join("job.toml"), beside).unwrap();
    let screen = run(&["supply"]).stdout;
    assert!(screen.contains("Lethal volts: up to 350 V"), "{screen}");
}
