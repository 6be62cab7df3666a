use super::*;
use crate::job;

const HEAD: &str = "[[can]]\nstamping = \"1 40 MFD 450 V 2 20 MFD 450 V 3 20 MFD 25 V\"\n\
    [[node]]\nname = \"B1\"\nsection = \"1\"\n";
const TAIL: &str = "[[node]]\nname = \"B2\"\nfrom = \"B1\"\nresistor = \"1 kΩ\"\nsection = \"2\"\n";

fn told(b1: &str, b2: &str, cold: &str) -> Job {
    let text = format!(
        "{HEAD}{b1}{TAIL}{b2}[[bypass]]\nsection = \"3\"\ncathode_resistor = \"150 Ω\"\n\
         [measured]\ncold_ohms = {{ {cold} }}\n"
    );
    job::read_safely("job.toml", &text, None).unwrap_or_else(|e| unreachable!("{e}: {text}"))
}

#[track_caller]
fn check_limit(b1: &str, b2: &str, lug: usize, expected: f64) {
    let job = told(b1, b2, "");
    let of = Lug::Section(SectionOf { can: 0, section: lug });
    let found = in_ohms(limit(&job, of).ohms);
    assert!((found / expected - 1.0).abs() < 1e-9, "{found} {}", limit(&job, of).says);
}

#[track_caller]
fn check_read(cold: &str, expected: &[(&str, ColdState)]) {
    let job = told("", "", cold);
    let found = readings(&job, job.measured.as_ref().unwrap());
    let found: Vec<_> = found.iter().map(|of| (of.name.as_str(), of.standing.clone())).collect();
    assert_eq!(found, expected);
}

/// Ohm's law by hand: what hangs on the lug, halved.
#[test]
fn the_limit_follows_what_hangs_on_the_node() {
    check_limit("", "", 0, 10_000.0);
    check_limit("bleeder = \"100 kΩ\"\n", "", 0, 10_000.0);
    check_limit("bleeder = \"15 kΩ\"\n", "", 0, 7_500.0);
    // A 9 kΩ bleeder behind 1 kΩ is 10 kΩ at the first lug, 9 kΩ at its own.
    check_limit("", "bleeder = \"9 kΩ\"\n", 0, 5_000.0);
    check_limit("", "bleeder = \"9 kΩ\"\n", 1, 4_500.0);
    // 10 kΩ beside 10 kΩ.
    check_limit("bleeder = \"10 kΩ\"\n", "bleeder = \"9 kΩ\"\n", 0, 2_500.0);
    check_limit("load_resistance = \"8 kΩ\"\n", "", 0, 10_000.0);
    check_limit("load_resistance = \"8 kΩ\"\ncold = true\n", "", 0, 4_000.0);
    // 20 mA of a divider at half of 450 V are 11.25 kΩ.
    check_limit("load = \"20 mA\"\ncold = true\n", "", 0, 5_625.0);
    check_limit("load = \"20 mA\"\ncold = true\nvolts = \"300 V\"\n", "", 0, 7_500.0);
    check_limit("", "", 2, 75.0);
}

#[test]
fn a_short_is_told_from_what_reads_through_to_it() {
    use ColdState::{Short, Sound, Through};
    check_read(
        "1 = \"180 kΩ\", 2 = \"open\", 3 = \"148 Ω\"",
        &[("A", Sound), ("B", Sound), ("C", Sound)],
    );
    check_read("1 = \"1.02 kΩ\", 2 = \"20 Ω\"", &[("A", Through("B".into())), ("B", Short)]);
    check_read("1 = \"0 Ω\", 2 = \"1 kΩ\"", &[("A", Short), ("B", Through("A".into()))]);
    // 300 Ω is not 1 kΩ and 20 Ω: both are low by themselves.
    check_read("1 = \"300 Ω\", 2 = \"20 Ω\"", &[("A", Short), ("B", Short)]);
    check_read(
        "1 = \"9.99 kΩ\", 2 = \"10 kΩ\", 3 = \"74 Ω\"",
        &[("A", Short), ("B", Sound), ("C", Short)],
    );
}
