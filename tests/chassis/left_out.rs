//! What a supply lacks when one fact of it is left out.

use recan::chassis::{Chassis, Lacking};

use crate::reading::{chassis, job};

/// Invented: a described tube as a half-wave doubler, a resistor and a choke behind it.
const FULL: &str = r#"
[[can]]
stamping = "red 40 MFD 200 V\nblue 40 MFD 350 V\ngreen 20 MFD 350 V\nyellow 20 MFD 350 V"
[mains]
volts = "117 V"
[rectifier]
circuit = "half-wave-doubler"
law = "three-halves"
drop = "20 V"
drop_current = "150 mA"
cathode = "indirectly-heated"
transformer = "none"
plate_resistor = "30 Ω"
series = { section = "red" }
[[node]]
name = "B1"
section = "blue"
load = "20 mA"
[[node]]
name = "B2"
from = "B1"
resistor = "1 kΩ"
section = "green"
load = "10 mA"
[[node]]
name = "B3"
from = "B2"
choke = "8 H"
section = "yellow"
load = "5 mA"
"#;

fn of(text: &str) -> Result<Chassis, Vec<Lacking>> {
    Chassis::of(&job(text))
}

/// Without that line of [`FULL`], and what is said to be missing.
#[track_caller]
fn without(line: &str, lacks: &[Lacking]) {
    assert_eq!(FULL.matches(&format!("\n{line}\n")).count(), 1, "{line} stands once");
    let missing = of(&FULL.replace(&format!("\n{line}\n"), "\n")).unwrap_err();
    assert_eq!(missing, lacks, "without {line}");
    assert!(missing.iter().all(|one| !one.how().is_empty()), "without {line}");
}

#[test]
fn one_fact_at_a_time() {
    assert!(of(FULL).is_ok(), "{:?}", of(FULL));
    let node = || "B2".to_owned();
    without("drop = \"20 V\"", &[Lacking::Figure { key: "drop" }]);
    without("drop_current = \"150 mA\"", &[Lacking::Figure { key: "drop_current" }]);
    without("series = { section = \"red\" }", &[Lacking::Cell("series")]);
    without("from = \"B1\"", &[Lacking::Place(node())]);
    let branch = |node: &str, from: &str| Lacking::Branch { node: node.into(), from: from.into() };
    without("resistor = \"1 kΩ\"", &[branch("B2", "B1")]);
    without("choke = \"8 H\"", &[branch("B3", "B2")]);
    without("section = \"blue\"", &[Lacking::Capacitor("B1".into())]);
    without("section = \"green\"", &[Lacking::Capacitor(node())]);
}

/// What only one law or circuit has says which it is, and that is told.
#[test]
fn what_is_taken_is_told() {
    let solved = |line: &str| chassis(&FULL.replace(&format!("\n{line}\n"), "\n"));
    let full = chassis(FULL);
    for (line, told) in [
        ("law = \"three-halves\"", "rectifier.drop_current"),
        ("circuit = \"half-wave-doubler\"", "rectifier.series"),
    ] {
        let of = solved(line);
        assert_eq!(of.connection(), full.connection());
        let says = of.assumed().iter().any(|says| says.contains(told));
        assert!(says, "{:?}", of.assumed());
    }
}
