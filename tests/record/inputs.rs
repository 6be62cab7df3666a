//! What a record says it rests on: every key of the job, and what was assumed.

use std::fs;

use toml::{Table, Value};

use crate::run::{check_whole, recan, run};

/// The keys of design §6 that the full example can't have beside each other.
const DOUBLER: &str = r#"
[chassis]
name = "Invented doubler set"
construction = "line"
[[can]]
stamping = "100 MFD 200 V; 80 MFD 350 V; 40 MFD 350 V; 20 MFD 50 V"
[mains]
volts = "118 V"
[rectifier]
circuit = "half-wave-doubler"
law = "straight"
drop = "0.8 V"
slope_resistance = "0.5 Ω"
cathode = "solid-state"
supply_resistance = "7.5 Ω"
[rectifier.series]
section = "1"
esr = "0.7 Ω"
[[node]]
name = "top"
section = "2"
esr = "0.9 Ω"
load = "110 mA"
cold = true
[[node]]
name = "far"
from = "top"
choke = "1.5 H"
choke_resistance = "61 Ω"
in_lead = "negative"
section = "3"
load_resistance = "9.1 kΩ"
[[node]]
name = "film"
from = "far"
resistor = "2.2 kΩ"
capacitance = "4 µF"
load = "3 mA"
[after]
supply = "lamp 60 W"
meter = "average 3 %"
line = "119 V"
cold_ohms = { 2 = "52 kΩ", 3 = "open" }
"#;

/// Invented; a short list, since inputs are looked at and not sets.
const STOCK: &str = "part,style,sections\nA,radial,47 uF 450 V\nB,radial,100 uF 450 V\nE,radial,47 uF 500 V\nF,radial,47 uF 350 V\nG,radial,22 uF 350 V\n\
    C,radial,22 uF 450 V\nD,radial,22 uF 63 V\n";

/// Every value of `value`, at whatever depth, as it is written.
fn leaves(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::Table(table) => table.values().for_each(|value| leaves(value, found)),
        Value::Array(list) => list.iter().for_each(|value| leaves(value, found)),
        Value::String(text) => found.push(text.clone()),
        other => found.push(other.to_string()),
    }
}

/// Records a decision on `job` and looks for each of its values among the inputs.
#[track_caller]
fn check(job: &str) -> recan::report::record::documents::RecordDoc {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("job.toml"), job).unwrap();
    fs::write(dir.path().join("stock.csv"), STOCK).unwrap();
    run(recan(["record", "--choose", "1", "--job"]).arg(dir.path()), 0);
    let record = check_whole(dir.path(), 1);
    let mut values = Vec::new();
    leaves(&Value::Table(job.parse::<Table>().unwrap()), &mut values);
    let page = fs::read_to_string(dir.path().join("records/0001/record.md")).unwrap();
    assert!(!page.contains("Nothing was told"), "{page}");
    for value in values {
        let told = record
            .facts
            .iter()
            .any(|f| f.says == value || f.says.starts_with(&format!("{value}: ")));
        assert!(told, "{value} is not among the inputs: {:#?}", record.facts);
    }
    record
}

#[test]
fn every_key_of_the_job_is_among_the_inputs() {
    let record = check(include_str!("../job_files/full.toml"));
    let from = |what: &str| {
        let found = record.facts.iter().find(|f| f.what == what);
        found.unwrap_or_else(|| panic!("{what}")).from.clone()
    };
    assert_eq!(from("mains, AC volts rms on the plate"), "plate");
    assert_eq!(from("rectifier, winding, AC volts rms"), "measured");
    assert_eq!(from("before the repair, hum, AC volts rms at B2"), "measured");
    assert_eq!(from("node B1, load, warm"), "told");
    assert_eq!(from("can A, stamping"), "stamped");
    assert_eq!(from("first capacitor"), "handbook");
}

/// What `open` keeps as a comment, since the section has no place yet, was told too.
#[test]
fn so_is_what_was_noted() {
    let job = format!(
        "{}\n# noted: load.square = \"31 mA\"\n# noted: lugs = \"3\"\n# noted: broken = \"\n",
        include_str!("../job_files/full.toml")
    );
    let record = check(&job);
    let noted: Vec<(&str, &str)> = record
        .facts
        .iter()
        .filter_map(|f| Some((f.what.strip_prefix("noted, in no figure: ")?, f.says.as_str())))
        .collect();
    assert_eq!(noted, [("load of square", "31 mA"), ("lugs", "3")]);
}

#[test]
fn so_is_every_key_of_a_doubler_and_of_parts() {
    let record = check(DOUBLER);
    let assumed: Vec<String> = record
        .facts
        .iter()
        .filter(|f| f.from == "assumed")
        .map(|f| format!("{}: {}", f.what, f.says))
        .collect();
    let says = assumed.join("\n");
    for part in [
        "line frequency: not told: taken as 60 Hz from the line volts",
        "tolerance of the can: not told",
        "standby switch: not told",
        "temperature beside the can: not told",
        "esr that is not told is taken as 0 Ω",
        "the most that the outlet gives: not told: taken as 126 V",
    ] {
        assert!(says.contains(part), "{part}: {says}");
    }
}

/// Two facts of one name would be compared with each other when the record is
/// worked out again.
#[test]
fn no_two_facts_have_one_name() {
    for job in [include_str!("../job_files/full.toml"), DOUBLER] {
        let record = check(job);
        let mut names: Vec<_> = record.facts.iter().map(|f| (&f.what, f.section)).collect();
        let count = names.len();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), count);
    }
}
