//! Switching on and off.

use recan::quantity::{in_amperes, in_joules, in_seconds, in_volts, ohms};
use recan::supply::{Circuit, Kind, Node, Place, discharge, start_up, steady, tubes_cold};

use crate::parts::{behind_choke, behind_ohms, capacitor, circuit, first, straight, tube};

fn console(nodes: Vec<Node>) -> Circuit {
    circuit(Kind::FullWave, (300.0, 60.0, 139.0), tube(50.0, 0.125), nodes)
}

/// Scenario 1 of the reference: 424 V at 117 V, on every section.
#[test]
fn cold_tubes_let_every_section_see_the_peak() {
    let supply = console(vec![
        first(20.0, 0.07),
        behind_ohms(0, 1000.0, 40.0, 0.012),
        behind_ohms(1, 1e4, 20.0, 0.006),
    ]);
    let start = start_up(&supply, &steady(&supply).expect("settles")).expect("starts");
    for node in 0..3 {
        assert!((in_volts(start.cold_peak(node).expect("a node")) - 424.3).abs() < 0.5);
    }
    assert!(start.cold_peak(3).is_none());
}

/// At the crest the empty capacitor is a short: V = R i + (i/k)^(2/3).
#[test]
fn turn_on_current_is_set_by_the_source() {
    let mut last = 0.0;
    for uf in [10.0, 40.0, 160.0] {
        let supply = console(vec![first(uf, 0.05)]);
        let start = start_up(&supply, &steady(&supply).expect("settles")).expect("starts");
        let i = in_amperes(start.turn_on_peak);
        let k = 0.125 / 50.0_f64.powf(1.5);
        let volts = 139.0 * i + (i / k).powf(2.0 / 3.0);
        assert!((volts / 424.26 - 1.0).abs() < 0.01, "{uf}: {volts}");
        assert!((in_amperes(start.hot_switch_peak) / i - 1.0).abs() < 0.02);
        // What grows with the capacitor is the heating.
        assert!(start.turn_on_i2t.0 > 1.5 * last, "{uf}: {:?}", start.turn_on_i2t);
        last = start.turn_on_i2t.0;
    }
}

/// Charging C through R alone heats by V²C/(2R) in all: the closed form of an
/// exponential, which a stiff source and a slow charge approach.
#[test]
fn heating_is_that_of_an_exponential() {
    // Bridge, so that the line's own halves follow each other; R C far below a
    // half period: the charge ends on the first rise from the crest.
    let supply =
        circuit(Kind::HalfWave, (100.0, 60.0, 10.0), straight(0.0, 0.0), vec![first(10.0, 0.001)]);
    let start = start_up(&supply, &steady(&supply).expect("settles")).expect("starts");
    let exact = 100.0 * 100.0 * 2.0 * 10e-6 / (2.0 * 10.0);
    assert!(
        (start.turn_on_i2t.0 / exact - 1.0).abs() < 0.03,
        "{:?} for {exact}",
        start.turn_on_i2t
    );
}

/// A choke and a capacitor swing to twice the step where nothing damps them.
#[test]
fn a_choke_overshoots() {
    let nodes = vec![first(8.0, 0.0), behind_choke(0, 10.0, 100.0, 40.0, 0.07)];
    let supply = circuit(Kind::FullWave, (300.0, 60.0, 30.0), straight(1.0, 0.5), nodes);
    let start = start_up(&supply, &steady(&supply).expect("settles")).expect("starts");
    let peak = in_volts(start.cold_peak(1).expect("a node"));
    assert!(peak > 1.05 * 424.3 && peak < 2.0 * 424.3, "{peak}");
}

#[test]
fn a_bleeder_holds_a_choke_input_down() {
    let supply = |bleeder: Option<f64>| {
        let node = behind_choke(0, 10.0, 100.0, 40.0, 0.1);
        console(vec![first(0.0, 0.0), Node { bleeder: bleeder.map(ohms), ..node }])
    };
    let held = supply(Some(10_000.0));
    let state = steady(&held).expect("settles");
    let rest = tubes_cold(&held, &state).expect("settles");
    assert!(in_volts(rest.nodes[1].max) < 300.0, "{:?}", rest.nodes[1]);
    assert!(start_up(&held, &state).expect("starts").choke_input);
    let free = supply(None);
    let rest = tubes_cold(&free, &steady(&free).expect("settles")).expect("settles");
    assert!((in_volts(rest.nodes[1].max) - 424.3).abs() < 0.5);
}

/// W49 and W50 of the worked examples: 40 µF at 450 V holds 4.05 J and takes
/// 8.06 s to 60 V through 100 kΩ.
#[test]
fn a_bleeder_discharges_as_worked() {
    let node = Node { bleeder: Some(ohms(100_000.0)), ..first(40.0, 0.0) };
    let volts = 450.0 / std::f64::consts::SQRT_2;
    let mut supply = circuit(Kind::FullWave, (volts, 60.0, 1.0), straight(0.0, 0.0), vec![node]);
    let state = steady(&supply).expect("settles");
    let found = discharge(&supply, &state).expect("discharges");
    let dc = in_volts(state.nodes[0].dc);
    let exact = |to: f64| 4.0 * (dc / to).ln();
    let seconds = found[0].to_60_volts.map(in_seconds).expect("bleeds");
    assert!((seconds - exact(60.0)).abs() < 1e-6 && (seconds / 8.06 - 1.0).abs() < 0.002);
    assert!((found[0].to_5_volts.map(in_seconds).expect("bleeds") - exact(5.0)).abs() < 1e-6);
    assert!((in_joules(found[0].stored) / 4.05 - 1.0).abs() < 0.005);
    supply.nodes[0].bleeder = None;
    let found = discharge(&supply, &state).expect("discharges");
    assert!(!found[0].bleeds && found[0].to_60_volts.is_none());
}

/// Warm loads do not count; a cold one does, through the whole tree.
#[test]
fn only_cold_loads_discharge() {
    let supply = |cold| {
        let last = Node { cold, ..behind_ohms(0, 1000.0, 20.0, 0.005) };
        console(vec![first(20.0, 0.05), last])
    };
    for cold in [false, true] {
        let circuit = supply(cold);
        let found = discharge(&circuit, &steady(&circuit).expect("settles")).expect("discharges");
        assert!(found.iter().all(|d| d.bleeds == cold && d.to_5_volts.is_some() == cold));
    }
}

#[test]
fn a_series_capacitor_is_never_bled() {
    let node = Node { bleeder: Some(ohms(50_000.0)), ..first(40.0, 0.05) };
    let kind = Kind::HalfWaveDoubler { series: capacitor(60.0, 1.0) };
    let supply = circuit(kind, (117.0, 60.0, 20.0), straight(1.0, 1.0), vec![node]);
    let found = discharge(&supply, &steady(&supply).expect("settles")).expect("discharges");
    assert_eq!(found[0].place, Place::Cell(0));
    assert!(!found[0].bleeds && found[1].bleeds);
}
