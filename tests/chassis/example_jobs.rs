//! The five scenarios of the reference as example jobs: DC within 5 % and ripple
//! within 20 %, as they state of themselves (invented; computed by a small
//! transient integration of their own, "COMPOSED").

use recan::{
    chassis::{Chassis, End},
    quantity::{in_amperes, in_volts, ohms, volts},
};

use crate::reading::{chassis, example};

#[track_caller]
fn check(chassis: &Chassis, line: f64, dc: &[f64], ripple: &[f64], reservoir_a: Option<f64>) {
    let solved = chassis.solve(volts(line), &chassis.stamped(), End::Nominal).unwrap();
    let nodes = &solved.steady.nodes;
    for (node, expected) in nodes.iter().zip(dc) {
        let found = in_volts(node.dc);
        assert!((found / expected - 1.0).abs() < 0.05, "{found} V for {expected} V");
    }
    for (node, expected) in nodes.iter().zip(ripple) {
        let found = in_volts(node.ripple_pp);
        assert!((found / expected - 1.0).abs() < 0.20, "{found} V p-p for {expected} V");
    }
    if let Some(expected) = reservoir_a {
        let found = in_amperes(nodes[0].capacitor_rms);
        assert!((found / expected - 1.0).abs() < 0.20, "{found} A for {expected} A");
    }
    assert_eq!(chassis.loads().contradictions(), []);
    assert_eq!(chassis.loads().ends(), [End::Nominal]);
}

#[test]
fn console_with_push_pull_output() {
    let job = chassis(&example("job1"));
    // The third node's ripple is printed as 0.004 V, one digit.
    check(&job, 117.0, &[297.0, 279.0, 219.0], &[20.5, 0.62], Some(0.110));
    check(&job, 122.0, &[313.0, 295.0, 235.0], &[20.5, 0.62], Some(0.110));
}

#[test]
fn table_radio_without_a_transformer() {
    let job = chassis(&example("job2"));
    check(&job, 117.0, &[120.0, 98.0], &[16.3, 1.2], Some(0.131));
    check(&job, 122.0, &[127.0, 105.0], &[16.3, 1.2], Some(0.131));
}

#[test]
fn console_with_a_field_in_the_negative_lead() {
    let job = chassis(&example("job3"));
    check(&job, 115.0, &[347.0, 275.0], &[43.0, 0.72], Some(0.090));
    check(&job, 122.0, &[374.0, 302.0], &[43.0, 0.72], Some(0.090));
}

#[test]
fn european_table_radio() {
    let job = chassis(&example("job4"));
    check(&job, 220.0, &[272.0, 241.0], &[8.6, 0.20], Some(0.096));
    check(&job, 230.0, &[287.0, 256.0], &[8.6, 0.20], Some(0.096));
}

#[test]
fn amplifier_with_silicon_in_place_of_a_tube() {
    let job = chassis(&example("job5"));
    check(&job, 122.0, &[402.0, 368.0, 293.0], &[28.0], Some(0.317));
    // The tube's volts stand in the scenario with the loads that it leaves.
    let with = |loads: [&str; 3]| {
        let [one, two, three] = loads.map(|ma| format!("load = \"{ma} mA\""));
        let text = example("job5").replace("load = \"168 mA\"", &one);
        let text = text.replace("load = \"23 mA\"", &two).replace("load = \"11 mA\"", &three);
        let text = text.replace("volts = \"402 V\"", "").replace("volts = \"368 V\"", "");
        chassis(&text.replace("volts = \"293 V\"", ""))
    };
    let tube = with(["150", "20", "10"]).as_built().unwrap();
    check(&tube, 117.0, &[322.0, 292.0, 224.0], &[21.0], Some(0.227));
    let tube = with(["155", "21", "10"]).as_built().unwrap();
    check(&tube, 122.0, &[338.0, 307.0, 239.0], &[22.0], Some(0.235));
    // The scenario's remedy: 150 Ω in each plate lead.
    let mended = with(["155", "21", "10"]).with_added(ohms(150.0));
    check(&mended, 122.0, &[339.0, 308.0, 240.0], &[], None);
}
