//! Textbook limits: rules of the reference, section 5, and `worked-examples.csv`
//! (numbers W.. are its rows, with their sources there).

use std::f64::consts::{PI, SQRT_2};

use recan::quantity::{hertz_of, in_volts, ohms};
use recan::supply::{Kind, Node, NodeState, steady};

use crate::parts::{behind_choke, behind_ohms, circuit, first, ideal, loaded};

/// A full-wave supply of 100 V peak with hardly any source resistance.
fn nodes(list: Vec<Node>, ohm: f64) -> Vec<NodeState> {
    steady(&circuit(Kind::FullWave, (100.0 / SQRT_2, 60.0, ohm), ideal(), list))
        .expect("settles")
        .nodes
}

/// "Ripple (electrical)", Wikipedia, seen: I/(2 f C) p-p, I/(4 √3 f C) rms.
#[test]
fn ripple_approaches_the_textbook_formulas() {
    let mut last = [1.0; 2];
    for farad in [1e-3, 1e-2, 1e-1] {
        let node = nodes(vec![loaded(first(1e6 * farad, 0.0), 100.0)], 1e-4)[0];
        let i = in_volts(node.dc) / 100.0;
        let gaps = [
            1.0 - in_volts(node.ripple_pp) / (i / (2.0 * 60.0 * farad)),
            1.0 - in_volts(node.ripple_rms) / (i / (4.0 * 3.0_f64.sqrt() * 60.0 * farad)),
        ];
        for (gap, last) in gaps.iter().zip(&mut last) {
            assert!(*gap > 0.0 && gap < last, "{gap} after {last}");
            *last = *gap;
        }
    }
    assert!(last[0] < 0.05 && last[1] < 0.05, "{last:?}");
}

/// W37 and W38 (Floyd, from memory): 1.18 V p-p and 15.0 V. The formula takes
/// the whole period as discharge, so the circuit's ripple lies under it, and
/// its mean above.
#[test]
fn a_bridge_of_a_textbook() {
    let state = steady(&circuit(
        Kind::Bridge,
        (15.6 / SQRT_2, 60.0, 0.01),
        ideal(),
        vec![loaded(first(50.0, 0.0), 2200.0)],
    ))
    .expect("settles");
    let (pp, dc) = (in_volts(state.nodes[0].ripple_pp), in_volts(state.nodes[0].dc));
    assert!(pp < 1.18 && pp > 0.85 * 1.18, "{pp}");
    assert!((dc / 15.0 - 1.0).abs() < 0.01, "{dc}");
}

/// W48 (Millman and Halkias, from memory): 3300/(C1 C2 L RL) at 60 Hz, µF, H, Ω.
/// It takes the charging current as impulses; the limit is approached from below.
#[test]
fn a_pi_section_attenuates_as_printed() {
    let (reservoir, smoothing, henry, load) = (1000.0, 100.0, 1.0, 2000.0);
    let list =
        vec![first(reservoir, 0.0), loaded(behind_choke(0, henry, 0.1, smoothing, 0.0), load)];
    let end = nodes(list, 1e-3)[1];
    let share = in_volts(end.ripple_rms) / in_volts(end.dc);
    let printed = 3300.0 / (reservoir * smoothing * henry * load);
    assert!((share / printed - 1.0).abs() < 0.03, "{share} for {printed}");
}

/// An RC section behind a reservoir: |Z/(R + Z)| at 120 Hz (derived). Sections
/// in a row leave the fundamental alone, so the second of two is compared.
#[test]
fn an_rc_section_attenuates_the_fundamental() {
    let section = |from| behind_ohms(from, 1000.0, 20.0, 0.0);
    let list = vec![first(100.0, 0.01), section(0), section(1), behind_ohms(2, 1e5, 0.1, 0.0)];
    let found = nodes(list, 1.0);
    let gain = in_volts(found[3].ripple_rms) / in_volts(found[2].ripple_rms);
    let x: f64 = 1.0 / (2.0 * PI * 120.0 * 0.1e-6);
    let expected = x / x.hypot(1e5);
    assert!((gain / expected - 1.0).abs() < 0.01, "{gain} for {expected}");
}

/// An LC section: 1/((2 π f)² L C − 1) (derived, lossless, hardly loaded).
#[test]
fn an_lc_section_attenuates_the_fundamental() {
    let list = vec![
        first(100.0, 0.01),
        behind_ohms(0, 1000.0, 40.0, 0.0),
        behind_ohms(1, 1000.0, 40.0, 0.0),
        loaded(behind_choke(2, 10.0, 1.0, 4.0, 0.0), 1e6),
    ];
    let found = nodes(list, 1.0);
    let gain = in_volts(found[3].ripple_rms) / in_volts(found[2].ripple_rms);
    let expected = 1.0 / ((2.0 * PI * 120.0).powi(2) * 10.0 * 4e-6 - 1.0);
    assert!((gain / expected - 1.0).abs() < 0.01, "{gain} for {expected}");
}

/// W33 (Boylestad and Nashelsky, from memory): 60 V through 120 Ω into 1 kΩ
/// leaves 53.6 V.
#[test]
fn an_rc_section_divides_the_mean() {
    let list = vec![first(1000.0, 0.0), loaded(behind_ohms(0, 120.0, 100.0, 0.0), 1000.0)];
    let found = nodes(list, 5.0);
    let ratio = in_volts(found[1].dc) / in_volts(found[0].dc);
    assert!((ratio / (53.6 / 60.0) - 1.0).abs() < 0.002, "{ratio}");
}

/// W25 and W47: R/(6 π f), 1131 at 60 Hz. Above it the output is the mean of
/// the sine (W27: 0.637); below it rises towards the peak.
#[test]
fn the_output_rises_below_the_critical_inductance() {
    let load = 5000.0;
    let critical = load / (6.0 * PI * 60.0);
    assert!((load / critical - 1131.0).abs() < 1.0);
    let output = |henry: f64| {
        let list = vec![first(0.0, 0.0), loaded(behind_choke(0, henry, 0.01, 500.0, 0.0), load)];
        in_volts(nodes(list, 0.01)[1].dc) / 100.0
    };
    assert!(
        (output(1.1 * critical) / (2.0 / PI) - 1.0).abs() < 0.001,
        "{}",
        output(1.1 * critical)
    );
    let mut last = 2.0 / PI;
    for share in [0.7, 0.4, 0.2, 0.1] {
        let next = output(share * critical);
        assert!(next > last * 1.005 && next < 1.0, "{share}: {next} after {last}");
        last = next;
    }
}

/// An LC section from choke input: ripple factor (√2/3)/(4 ω² L C) (Wikipedia,
/// seen). Higher harmonics add under 1 %.
#[test]
fn a_choke_input_section_attenuates_as_printed() {
    let (henry, farad, load) = (20.0, 20e-6, 2000.0);
    let list = vec![first(0.0, 0.0), loaded(behind_choke(0, henry, 0.01, 20.0, 0.0), load)];
    let node = nodes(list, 0.01)[1];
    let omega = 2.0 * PI * 60.0;
    let printed = SQRT_2 / 3.0 / (4.0 * omega * omega * henry * farad);
    let factor = in_volts(node.ripple_rms) / in_volts(node.dc);
    assert!((factor / printed - 1.0).abs() < 0.01, "{factor} for {printed}");
}

/// W14 and W15 (NEETS Module 6, seen).
#[test]
fn ripple_repeats_at_the_line_or_twice() {
    for (kind, hertz) in [(Kind::HalfWave, 60.0), (Kind::FullWave, 120.0), (Kind::Bridge, 120.0)] {
        let state = steady(&circuit(kind, (100.0, 60.0, 50.0), ideal(), vec![first(20.0, 0.05)]));
        assert_eq!(state.expect("settles").ripple, hertz_of(hertz));
    }
}

/// With nothing drawn a capacitor stands at the peak (W01, W21: √2 × rms).
#[test]
fn no_load_leaves_the_peak() {
    let mut node = first(20.0, 0.0);
    let found = nodes(vec![node.clone()], 10.0);
    assert!((in_volts(found[0].dc) - 100.0).abs() < 1e-9);
    node.bleeder = Some(ohms(1e7));
    let found = nodes(vec![node], 10.0);
    assert!((in_volts(found[0].dc) - 100.0).abs() < 0.1);
}
