//! Loads from readings, worked by hand.

use recan::{
    chassis::{Basis, Chassis, End, Lacking},
    quantity::{in_amperes, in_volts, volts},
};

use crate::reading::{chassis, job};

/// A console of two nodes, invented; `B1` and `B2` are what stands in them.
fn console(first: &str, second: &str, rest: &str) -> String {
    format!(
        r#"
        [[can]]
        stamping = "40-40 MFD 450 V"
        [mains]
        volts = "121 V"
        [rectifier]
        circuit = "full-wave"
        device = "5Y3-GT"
        winding = "322 V"
        winding_resistance = "110 Ω"
        primary_resistance = "6 Ω"
        [[node]]
        name = "B1"
        section = "1"
        {first}
        [[node]]
        name = "B2"
        from = "B1"
        resistor = "1 kΩ"
        section = "2"
        {second}
        {rest}
        "#
    )
}

#[track_caller]
fn check(chassis: &Chassis, node: usize, nominal_ma: f64, basis: Basis) {
    let draw = chassis.loads().draws()[node];
    assert_eq!(draw.basis, basis);
    let found = 1000.0 * in_amperes(draw.nominal);
    assert!((found - nominal_ma).abs() < 0.01 * nominal_ma.max(1.0), "{found} mA");
}

/// By hand: (308 − 286) V over 1 kΩ is 22 mA.
#[test]
fn a_drop_between_measured_nodes() {
    let found = chassis(&console("load = \"50 mA\"\nvolts = \"308 V\"", "volts = \"286 V\"", ""));
    check(&found, 1, 22.0, Basis::Drop);
    check(&found, 0, 50.0, Basis::Told);
    assert_eq!(found.loads().ends(), [End::Nominal]);
}

/// By hand: a bleeder of 28.6 kΩ on 286 V takes 10 mA of the 22.
#[test]
fn a_bleeder_takes_its_share() {
    let second = "volts = \"286 V\"\nbleeder = \"28.6 kΩ\"";
    let found = chassis(&console("load = \"50 mA\"\nvolts = \"308 V\"", second, ""));
    check(&found, 1, 12.0, Basis::Drop);
}

/// Readings at another line are brought over in proportion: 22 mA at 110 V are
/// 24.2 mA at 121 V.
#[test]
fn readings_scale_from_their_own_line() {
    let rest = "[measured]\nline = \"110 V\"\ndc = { B1 = \"308 V\", B2 = \"286 V\" }";
    check(&chassis(&console("load = \"50 mA\"", "", rest)), 1, 24.2, Basis::Drop);
}

#[test]
fn a_faulty_can_gives_upper_bounds() {
    let rest = "[measured]\ncan = \"faulty\"\ndc = { B1 = \"308 V\", B2 = \"286 V\" }";
    let found = chassis(&console("load = \"50 mA\"", "", rest));
    check(&found, 1, 22.0, Basis::UpperBound);
    assert!(in_amperes(found.loads().current(1, End::Low)).abs() < 1e-12);
    assert_eq!(found.loads().ends(), [End::Low, End::High]);
}

/// By hand: with 308 V ahead, half of it left, 154 mA at the most.
/// The sheet gives a 5Y3-GT 125 mA, 50 of which are told: no more than 75 are
/// left, though the resistor would pass 154 into half the volts.
#[test]
fn a_missing_reading_leaves_a_range() {
    let found = chassis(&console("load = \"50 mA\"\nvolts = \"308 V\"", "", ""));
    check(&found, 1, 37.5, Basis::Unknown);
    let high = 1000.0 * in_amperes(found.loads().current(1, End::High));
    assert!((high - 75.0).abs() < 0.1, "{high}");
}

/// By hand: (308 − V) over 1 kΩ is 10 mA and (V − 256) over 2 kΩ, so V is 284 V:
/// 24 mA come through the first resistor, 14 through the second.
#[test]
fn a_told_load_between_two_readings() {
    let rest = "[[node]]\nname = \"B3\"\nfrom = \"B2\"\nresistor = \"2 kΩ\"\n\
                capacitance = \"10 µF\"\nvolts = \"256 V\"";
    let first = "load = \"50 mA\"\nvolts = \"308 V\"";
    let found = chassis(&console(first, "load = \"10 mA\"", rest));
    check(&found, 1, 10.0, Basis::Told);
    check(&found, 2, 14.0, Basis::Drop);
    assert_eq!(found.loads().ends(), [End::Nominal]);
}

/// Told 40 mA, but the drop shows 22: both are named.
#[test]
fn two_readings_that_disagree_are_named() {
    let second = "load = \"40 mA\"\nvolts = \"286 V\"";
    let found = chassis(&console("load = \"50 mA\"\nvolts = \"308 V\"", second, ""));
    let [one] = found.loads().contradictions() else { panic!("{:?}", found.loads()) };
    insta::assert_snapshot!(one.one, @"B1 308.0 V to B2 286.0 V through 1 kΩ: 22 mA");
    insta::assert_snapshot!(one.other, @"what is told for B2 and the nodes behind it: 40 mA");
}

/// By hand: 12.5 V over 100 Ω is 125 mA, more than 50 + 22.
#[test]
fn cathodes_that_take_more_than_there_is() {
    let rest = "[[can]]\nname = \"B\"\nstamping = \"20 MFD 25 V\"\n\
                [[bypass]]\nsection = \"B/1\"\ncathode_resistor = \"100 Ω\"\nvolts = \"12.5 V\"";
    let text = console("load = \"50 mA\"\nvolts = \"308 V\"", "volts = \"286 V\"", rest)
        .replace("stamping = \"40-40", "name = \"A\"\nstamping = \"40-40")
        .replace("section = \"1\"", "section = \"A/1\"")
        .replace("section = \"2\"", "section = \"A/2\"");
    let found = chassis(&text);
    let [one] = found.loads().contradictions() else { panic!("{:?}", found.loads()) };
    insta::assert_snapshot!(one.one, @"cathode resistors pass 125 mA");
}

/// What the first node draws is what brings the supply to its volts: solved
/// forwards again it reads what was measured.
#[test]
fn the_reservoirs_own_volts_give_its_load() {
    let found = chassis(&console("volts = \"308 V\"", "volts = \"286 V\"", ""));
    assert_eq!(found.loads().draws()[0].basis, Basis::Rectifier);
    let solved = found.solve(volts(121.0), &found.stamped(), End::Nominal).unwrap();
    approx::assert_relative_eq!(in_volts(solved.steady.nodes[0].dc), 308.0, max_relative = 1e-4);
    assert_eq!(found.loads().ends(), [End::Low, End::High]);
}

#[test]
fn what_is_missing_is_listed() {
    let missing = Chassis::of(&job("[[can]]\nstamping = \"40-40 MFD 450 V\"")).unwrap_err();
    let expected = [Lacking::Line, Lacking::Device, Lacking::Circuit, Lacking::Nodes];
    for one in expected {
        assert!(missing.contains(&one), "{one:?} in {missing:?}");
    }
}
