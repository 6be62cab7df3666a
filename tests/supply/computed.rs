//! Idealised normalised rectifier circuits: `data/rectifier-computed.csv`, and
//! the closed form for a capacitor without limit (rules of the reference,
//! section 5, derived): Vdc/Vpk = cos φ, tan φ − φ = π Rs/(n RL).

use std::f64::consts::{PI, SQRT_2};

use recan::quantity::{in_amperes, in_volts};
use recan::supply::{Kind, Steady, steady};

use crate::parts::{capacitor, circuit, first, ideal, loaded};

const LOAD: f64 = 1000.0;

fn solved(name: &str, omega_c_r: f64, percent: f64) -> Steady {
    let uf = 1e6 * omega_c_r / (2.0 * PI * 60.0 * LOAD);
    let (kind, own) = match name {
        "full-wave" => (Kind::FullWave, uf),
        "half-wave" => (Kind::HalfWave, uf),
        _ => {
            let c = capacitor(uf, 0.0);
            (Kind::FullWaveDoubler { upper: c, lower: c }, 0.0)
        }
    };
    let source = (100.0 / SQRT_2, 60.0, LOAD * percent / 100.0);
    steady(&circuit(kind, source, ideal(), vec![loaded(first(own, 0.0), LOAD)])).expect("settles")
}

/// The column `cap_rms_over_Idc` takes the load current as constant although
/// the load is a resistance: it is √(i² − Idc²) of the charging current. With
/// the load's own ripple the capacitor carries √(i² − Idc² (1 + r²)).
fn constant_load(printed: f64, ripple_percent: f64, name: &str) -> f64 {
    if name.contains("doubler") {
        return printed;
    }
    (printed * printed - (ripple_percent / 100.0).powi(2)).sqrt()
}

#[test]
fn agrees_with_computed_circuits() {
    let mut reader =
        csv::Reader::from_reader(include_str!("data/rectifier-computed.csv").as_bytes());
    let mut rows = 0;
    let mut worst = [0.0_f64; 6];
    for row in reader.records() {
        let row = row.expect("a row");
        let number = |k: usize| row[k].parse::<f64>().expect("a number");
        let found = solved(&row[1], number(2), number(3));
        let node = &found.nodes[0];
        let dc = in_volts(node.dc);
        let capacitor = found.cells.first().map_or(node.capacitor_rms, |c| c.rms);
        let average = in_amperes(found.rectifier.average);
        let figures = [
            dc / 100.0,
            100.0 * in_volts(node.ripple_rms) / dc,
            100.0 * in_volts(node.ripple_pp) / dc,
            in_amperes(found.rectifier.peak) / average,
            in_amperes(found.rectifier.rms) / average,
            in_amperes(capacitor) / (dc / LOAD),
        ];
        for (k, figure) in figures.into_iter().enumerate() {
            let printed = number(4 + k);
            // Half a unit of the last printed digit comes on top of 0.5 %.
            let digits = row[4 + k].split('.').nth(1).map_or(0, str::len);
            let last = 0.5 * 10_f64.powi(-i32::try_from(digits).expect("few"));
            let expected =
                if k == 5 { constant_load(printed, number(5), &row[1]) } else { printed };
            let off = (figure - expected).abs();
            worst[k] = worst[k].max(((off - last).max(0.0)) / expected);
            assert!(off <= 0.005 * expected + last, "{} {k}: {figure} for {expected}", &row[0]);
        }
        rows += 1;
    }
    println!("worst of {rows}: {worst:.5?}");
    assert_eq!(rows, 97);
}

/// φ by bisection of tan φ − φ = x.
fn angle(x: f64) -> f64 {
    let (mut low, mut high) = (0.0, PI / 2.0);
    for _ in 0..60 {
        let middle: f64 = 0.5 * (low + high);
        if middle.tan() - middle < x { low = middle } else { high = middle }
    }
    low
}

#[test]
fn approaches_the_closed_form() {
    for (name, n) in [("full-wave", 2.0), ("half-wave", 1.0)] {
        for percent in [0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 30.0] {
            let expected = angle(PI * percent / 100.0 / n).cos();
            let dc = in_volts(solved(name, 3000.0, percent).nodes[0].dc) / 100.0;
            assert!((dc / expected - 1.0).abs() < 0.005, "{name} {percent}: {dc} for {expected}");
        }
    }
}
