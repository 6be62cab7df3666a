//! Rules about the rectifier, and the bleeder of an input choke.

use recan::rules::{Rule, Verdict};

use crate::{
    bench::{Bench, NO_STOCK, changed, check},
    jobs::{CHOKE_INPUT, IDEAL, TUBE},
};

use Verdict::{Caution, Fail, NotJudged, Pass};

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} for {expected}");
}

#[track_caller]
fn tube(changes: &[(&str, &str)], rule: Rule, expected: Verdict) -> f64 {
    let bench = Bench::new(&changed(TUBE, changes), NO_STOCK);
    check(&bench.judge(&["half-round=40/450", "square=40/450"]), rule, None, expected)
}

/// A type 83 drops 15 V whatever its current and may peak at 1 A. ω C R = 50,
/// source 1 %: 13.22 × 0.9345 / 2 of (peak − 15 V)/2652.6 Ω, about 0.95 A with
/// 300 V. With 340 V it is 1.08 A, with 380 V 1.22 A: over 1.15 A, but for an
/// old can of 50 µF the same, while one of 5 µF asked for 9.53 × 0.8267 / 2.
#[test]
fn rectifier_peak() {
    let mercury = (
        "law = \"straight\"\ndrop = \"0 V\"\nslope_resistance = \"0 Ω\"\ncathode = \"solid-state\"",
        "device = \"83\"",
    );
    let at = |changes: &[(&str, &str)], expected| {
        let changes: Vec<_> = std::iter::once(&mercury).chain(changes).copied().collect();
        let judged = Bench::new(&changed(IDEAL, &changes), NO_STOCK).judge(&["1=50/450"]);
        check(&judged, Rule::RectifierPeak, None, expected)
    };
    near(at(&[], Pass), 0.953, 0.03);
    near(at(&[("300 V", "340 V")], Caution), 1.085, 0.03);
    near(at(&[("300 V", "380 V")], Caution), 1.217, 0.04);
    near(at(&[("300 V", "380 V"), ("50 MFD", "5 MFD")], Fail), 1.217, 0.04);
}

/// A 5Y3-GT gives 125 mA to 350 V; its loads are 60 + 40 mA, with 78 mA at B1
/// 118 mA, with 90 mA 130 mA, which the set draws already.
#[test]
fn rectifier_dc() {
    let type_5y3 = ("5U4-GB", "5Y3-GT");
    near(tube(&[type_5y3, ("60 mA", "78 mA")], Rule::RectifierDc, Pass), 0.118, 1e-4);
    near(tube(&[type_5y3, ("60 mA", "90 mA")], Rule::RectifierDc, Caution), 0.130, 1e-4);
    tube(&[type_5y3, ("60 mA", "150 mA")], Rule::RectifierDc, Caution);
}

/// A 5U4-GB takes 550 V: 520 V at 120 V is 546 V at 126 V, 540 V is 567 V.
#[test]
fn rectifier_ac_volts() {
    near(tube(&[("300 V", "520 V")], Rule::RectifierAcVolts, Pass), 546.0, 1e-6);
    near(tube(&[("300 V", "540 V")], Rule::RectifierAcVolts, Caution), 567.0, 1e-6);
    tube(&[("5U4-GB", "silicon")], Rule::RectifierAcVolts, NotJudged);
}

/// A 5U4-GB asks for 67 Ω a plate at 450 V, which 428.571 V is at 126 V. No can
/// changes that, so less is a caution.
#[test]
fn source_resistance() {
    let volts = ("300 V", "428.571 V");
    tube(&[volts, ("100 Ω", "67.1 Ω")], Rule::SourceResistance, Pass);
    tube(&[volts, ("100 Ω", "60 Ω")], Rule::SourceResistance, Caution);
    tube(&[volts, ("100 Ω", "40 Ω")], Rule::SourceResistance, Caution);
}

/// An EZ41 asks for 250 Ω at 16 µF and 300 Ω at 32 µF; 15 % under that is 255 Ω.
#[test]
fn source_resistance_by_first_capacitor() {
    let at = |stamped: &str, ohm: &str, expected| {
        let job = changed(
            TUBE,
            &[
                ("5U4-GB", "EZ41"),
                ("300 V", "230 V"),
                ("60 mA", "20 mA"),
                ("40 mA", "10 mA"),
                ("◗ 40 MFD", stamped),
                ("100 Ω", ohm),
            ],
        );
        let bench = Bench::new(&job, NO_STOCK);
        let judged = bench.judge(&["half-round=32/450", "square=40/450"]);
        check(&judged, Rule::SourceResistance, None, expected);
    };
    at("◗ 16 MFD", "300 Ω", Pass);
    at("◗ 16 MFD", "260 Ω", Caution);
    at("◗ 16 MFD", "250 Ω", Fail);
    at("◗ 32 MFD", "250 Ω", Caution);
}

/// With hardly any load the inverse voltage is twice the peak at high line:
/// 890.96 V with 300 V, 712.8 V with 240 V, 1009.8 V with 340 V. Silicon 1000 V.
#[test]
fn peak_inverse() {
    let light = [("60 mA", "0.1 mA"), ("40 mA", "0.1 mA"), ("5U4-GB", "silicon")];
    let at = |winding: &str, expected| {
        let changes: Vec<_> =
            light.iter().chain([&("winding = \"300 V\"", winding)]).copied().collect();
        tube(&changes, Rule::PeakInverse, expected)
    };
    near(at("winding = \"240 V\"", Pass), 712.8, 4.0);
    near(at("winding = \"300 V\"", Caution), 890.96, 4.0);
    near(at("winding = \"340 V\"", Fail), 1009.8, 4.0);
}

/// The charge that a reservoir takes rises with its capacitance, and what it
/// heats a plate by rises with it, no faster: 47 for 40 µF at most 1.175 times.
#[test]
fn turn_on() {
    let at = |changes: &[(&str, &str)], parts: &str, expected| {
        let bench = Bench::new(&changed(TUBE, changes), NO_STOCK);
        let judged = bench.judge(&[&format!("half-round={parts}/450"), "square=40/450"]);
        check(&judged, Rule::TurnOn, None, expected)
    };
    let ratio = at(&[], "47", Pass);
    assert!((1.0..=1.175).contains(&ratio), "{ratio}");
    at(&[], "80", Caution);
    at(&[], "120", Fail);
    // At silicon the window of the capacitance stands for it.
    let silicon = changed(TUBE, &[("5U4-GB", "silicon")]);
    let judged = Bench::new(&silicon, NO_STOCK).judge(&["half-round=120/450", "square=40/450"]);
    assert!(judged.all_findings().all(|f| f.rule != Rule::TurnOn));
}

/// V/(6 π f L) at 60 Hz and 10 H is V/11310 Ω, whatever the volts: a bleeder of
/// 10 or 11.3 kΩ holds, one of 11.4 kΩ does not.
#[test]
fn bleed() {
    let at = |changes: &[(&str, &str)], expected| {
        let bench = Bench::new(&changed(CHOKE_INPUT, changes), NO_STOCK);
        check(&bench.judge(&["1=40/450"]), Rule::Bleed, None, expected);
    };
    at(&[], Pass);
    at(&[("10 kΩ", "11.3 kΩ")], Pass);
    at(&[("10 kΩ", "11.4 kΩ")], Fail);
    at(&[("bleeder = \"10 kΩ\"\n", "")], Fail);
    at(&[("10 kΩ", "11.4 kΩ"), ("10 H", "12 H")], Pass);
}
