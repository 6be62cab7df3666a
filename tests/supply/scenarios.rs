//! The five scenarios of the reference (invented jobs, computed by a small
//! transient integration of their own): volts within 5 %, ripple and capacitor
//! current within 20 %, as they state. Drops are those of `data/rectifiers.csv`.

use recan::quantity::{in_amperes, in_volts};
use recan::rectifiers;
use recan::supply::{Circuit, Kind, Law, Node, Steady, steady};

use crate::parts::{behind_choke, behind_ohms, circuit, first, straight, tube};

fn law(name: &str) -> Law {
    let of = rectifiers::find(name).expect("a type");
    tube(in_volts(of.drop.expect("a drop")), in_amperes(of.drop_current.expect("its current")))
}

#[track_caller]
fn check(circuit: &Circuit, dc: &[f64], ripple: &[f64], capacitor: f64) -> Steady {
    let state = steady(circuit).expect("settles");
    for (node, expected) in state.nodes.iter().zip(dc) {
        let found = in_volts(node.dc);
        assert!((found / expected - 1.0).abs() < 0.05, "{found} V for {expected} V");
    }
    for (node, expected) in state.nodes.iter().zip(ripple) {
        let found = in_volts(node.ripple_pp);
        assert!((found / expected - 1.0).abs() < 0.20, "{found} V p-p for {expected}");
    }
    let found = in_amperes(state.nodes[0].capacitor_rms);
    assert!((found / capacitor - 1.0).abs() < 0.20, "{found} A for {capacitor} A");
    state
}

#[test]
fn console_with_push_pull_output() {
    let nodes = || {
        vec![
            first(20.0, 0.07),
            behind_ohms(0, 1000.0, 40.0, 0.012),
            behind_ohms(1, 1e4, 20.0, 0.006),
        ]
    };
    let at = |line: f64| {
        circuit(Kind::FullWave, (300.0 * line / 117.0, 60.0, 139.0), law("5Y3-GT"), nodes())
    };
    // The third node's ripple is printed as 0.004 V, one digit.
    check(&at(117.0), &[297.0, 279.0, 219.0], &[20.5, 0.62], 0.110);
    check(&at(122.0), &[313.0, 295.0, 235.0], &[20.5, 0.62], 0.110);
}

#[test]
fn table_radio_without_a_transformer() {
    let nodes = || vec![first(50.0, 0.041), behind_ohms(0, 1000.0, 30.0, 0.022)];
    for (line, dc) in [(117.0, [120.0, 98.0]), (122.0, [127.0, 105.0])] {
        let circuit = circuit(Kind::HalfWave, (line, 60.0, 33.0), law("35W4"), nodes());
        check(&circuit, &dc, &[16.3, 1.2], 0.131);
    }
}

#[test]
fn console_with_a_field_in_the_negative_lead() {
    let nodes = || vec![first(8.0, 0.0), behind_choke(0, 12.0, 1000.0, 8.0, 0.072)];
    for (line, dc) in [(115.0, [347.0, 275.0]), (122.0, [374.0, 302.0])] {
        let source = (350.0 * line / 115.0, 60.0, 241.0);
        // The scenario takes the 80 as a 5Y3, whose drop is 50 V.
        check(&circuit(Kind::FullWave, source, law("5Y3-GT"), nodes()), &dc, &[43.0, 0.72], 0.090);
    }
}

#[test]
fn european_table_radio() {
    let nodes = || vec![first(50.0, 0.044), behind_ohms(0, 1200.0, 50.0, 0.026)];
    for (line, dc) in [(220.0, [272.0, 241.0]), (230.0, [287.0, 256.0])] {
        let source = (250.0 * line / 220.0, 50.0, 163.0);
        check(&circuit(Kind::FullWave, source, law("EZ80"), nodes()), &dc, &[8.6, 0.20], 0.096);
    }
}

#[test]
fn amplifier_with_silicon_in_place_of_a_tube() {
    let nodes = |ma: [f64; 3]| -> Vec<Node> {
        vec![
            first(40.0, ma[0] / 1000.0),
            behind_ohms(0, 1000.0, 40.0, ma[1] / 1000.0),
            behind_ohms(1, 6800.0, 30.0, ma[2] / 1000.0),
        ]
    };
    let tube = law("5U4-GB");
    // Any small silicon drop: 1 V and half an ohm.
    let silicon = straight(1.0, 0.5);
    let peak = |state: &Steady| 1000.0 * in_amperes(state.rectifier.peak);
    let at = |line: f64, law, ohm, ma| {
        circuit(Kind::FullWave, (320.0 * line / 117.0, 60.0, ohm), law, nodes(ma))
    };
    let first =
        check(&at(117.0, tube, 76.0, [150.0, 20.0, 10.0]), &[322.0, 292.0, 224.0], &[21.0], 0.227);
    assert!((peak(&first) / 595.0 - 1.0).abs() < 0.2, "{}", peak(&first));
    check(&at(122.0, tube, 76.0, [155.0, 20.0, 10.0]), &[338.0, 307.0, 239.0], &[22.0], 0.235);
    let changed = check(
        &at(122.0, silicon, 76.0, [168.0, 23.0, 11.0]),
        &[402.0, 368.0, 293.0],
        &[28.0],
        0.317,
    );
    assert!((peak(&changed) / 880.0 - 1.0).abs() < 0.2, "{}", peak(&changed));
    // The scenario's remedy: 150 Ω in each plate lead, loads back at the tube's.
    let mended = steady(&at(122.0, silicon, 226.0, [155.0, 20.0, 10.0])).expect("settles");
    for (node, expected) in mended.nodes.iter().zip([339.0, 308.0, 240.0]) {
        assert!((in_volts(node.dc) / expected - 1.0).abs() < 0.05);
    }
}
