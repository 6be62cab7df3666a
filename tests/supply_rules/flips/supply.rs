//! Rules about the solved supply: hum, volts, currents, watts.

use recan::rules::{Rule, Verdict};

use super::{
    ANY, Case,
    Fact::{AsItIs, Job},
    within,
};
use crate::{
    bench::changed,
    jobs::{CHOKE_INPUT, IDEAL, TUBE},
};

use Verdict::{Caution, Fail, NotJudged, Note, Pass};

/// The rectifier of [`IDEAL`].
pub(super) const LAW: &str =
    "law = \"straight\"\ndrop = \"0 V\"\nslope_resistance = \"0 Ω\"\ncathode = \"solid-state\"";

pub(super) fn cases() -> Vec<Case> {
    let mut cases = hum();
    cases.extend([bplus(), ripple_current(), turn_on(), winding_rms(), resistor_watts()]);
    cases.extend(bleed());
    cases
}

/// Hum behind 1 kΩ goes as 1/C: 33 µF for 40, 50 and 60 µF is 1.67, 3.61 and
/// 5.19 dB. Behind 1 MΩ, 16600 times less of some volts are under a millivolt.
fn hum() -> Vec<Case> {
    let fits = &["half-round=40/450", "square=33/450"];
    let light = [("load = \"40 mA\"", "load = \"0.1 mA\""), ("■ 40", "■ 60")];
    vec![
        Case::new(Rule::Hum, Some(1), TUBE, fits)
            .step(AsItIs, Pass, within(1.67, 0.05))
            .limit(2.0)
            .step(Job("■ 40", "■ 50"), Caution, within(3.61, 0.05))
            .limit(2.0)
            .step(Job("■ 40", "■ 60"), Fail, within(5.19, 0.05)),
        Case::new(Rule::Hum, Some(1), &changed(TUBE, &light), fits)
            .step(AsItIs, Fail, within(5.19, 0.05))
            .step(Job("resistor = \"1 kΩ\"", "resistor = \"1 MΩ\""), Caution, within(5.19, 0.05)),
    ]
}

/// A constant drop of 15 V makes way for one of 5 V: √2 × 200 V less either is
/// 3.73 % apart, of 100 V 7.91 %, of 50 V 17.9 %. For one of 24 V it falls by 3.36 %.
fn bplus() -> Case {
    let device = "law = \"straight\"\ndrop = \"5 V\"\nslope_resistance = \"0 Ω\"\n\
        cathode = \"solid-state\"\noriginal_device = \"83\"";
    let job = changed(IDEAL, &[(LAW, device), ("2652.6 Ω", "1 MΩ"), ("\"300 V\"", "\"200 V\"")]);
    Case::new(Rule::Bplus, None, &job, &["1=50/450"])
        .step(AsItIs, Pass, within(3.73, 0.1))
        .limit(5.0)
        .step(Job("\"200 V\"", "\"100 V\""), Caution, within(7.91, 0.1))
        .step(Job("\"200 V\"", "\"50 V\""), Fail, within(17.9, 0.2))
        .step(Job("drop = \"5 V\"", "drop = \"24 V\""), Pass, within(-3.36, 0.1))
        .limit(-5.0)
}

/// 308.9 mA with 300 V, as the volts: 329.5 mA with 320 V, 350.1 mA with 340 V,
/// against 0.31 A and 1.1 times that.
fn ripple_current() -> Case {
    let stock = "part,style,sections,ripple_current_a\nA,radial,50 µF 450 V,0.31\n";
    let winding = |to| Job("winding = \"300 V\"", to);
    Case { stock, ..Case::new(Rule::RippleCurrent, Some(0), IDEAL, &["1=A"]) }
        .step(AsItIs, Pass, within(0.3089, 0.001))
        .limit(0.31)
        .step(winding("winding = \"320 V\""), Caution, (0.31, 0.341))
        .limit(0.31)
        .step(winding("winding = \"340 V\""), Fail, (0.341, 0.353))
}

/// The charge of a reservoir rises with it, its heat no faster: 80 µF for 80 µF is
/// once, for 60 µF at most 1.34 times; for 40 µF no more than twice.
fn turn_on() -> Case {
    let job = changed(TUBE, &[("◗ 40", "◗ 60")]);
    Case::new(Rule::TurnOn, None, &job, &["half-round=80/450", "square=40/450"])
        .step(AsItIs, Pass, (1.0, 1.34))
        .limit(1.5)
        .step(Job("◗ 60", "◗ 80"), Pass, within(1.0, 1e-6))
        .step(Job("◗ 60", "◗ 40"), Caution, (1.5, 2.0))
        .limit(1.5)
        .step(Job("◗ 60", "◗ 25"), Fail, (2.0, 3.2))
}

/// Diode rms over the peak's own current, by ω C R: 2.2106 at 5, 2.9278 at 20,
/// 3.0343 at 50 (`rectifier-computed.csv`, source 1 %).
fn winding_rms() -> Case {
    Case::new(Rule::WindingRms, None, IDEAL, &["1=50/450"])
        .step(AsItIs, Pass, within(0.0, 1e-9))
        .limit(3.0)
        .step(Job("50 MFD", "20 MFD"), Caution, within(3.64, 0.15))
        .limit(3.0)
        .step(Job("50 MFD", "5 MFD"), Fail, within(37.3, 0.3))
}

/// 40 mA through 1 kΩ is 1.6 W, ripple aside; half of 4 W is 2 W. It was so with the
/// old can, so past the limit it is said of the chassis.
fn resistor_watts() -> Case {
    let rating = |to| Job("resistor_rating = \"4 W\"\n", to);
    Case::new(Rule::ResistorWatts, None, TUBE, &["half-round=40/450", "square=40/450"])
        .step(AsItIs, Pass, within(1.6, 0.03))
        .limit(2.0)
        .step(rating("resistor_rating = \"2 W\"\n"), Note, within(1.6, 0.03))
        .limit(1.0)
        .step(rating("resistor_rating = \"1 W\"\n"), Note, within(1.6, 0.03))
        .limit(0.5)
        .bare(rating(""), NotJudged)
}

/// V/(6 π 60 Hz 10 H) is V/11310 Ω: with no load 11.3 kΩ bleeds enough, and with
/// 11.4 kΩ the chassis falls short whatever is fitted. The 80 mA that the tubes draw
/// count. With no bleeder a part rated under √2 × 300 V = 424 V does not last.
fn bleed() -> Vec<Case> {
    let idle = changed(CHOKE_INPUT, &[("10 kΩ", "11.3 kΩ"), ("80 mA", "0 mA")]);
    let less = changed(CHOKE_INPUT, &[("10 kΩ", "11.4 kΩ"), ("80 mA", "0 mA")]);
    let low = changed(CHOKE_INPUT, &[("40 MFD 450 V", "40 MFD 400 V")]);
    let on = |job: &str, fits| Case::new(Rule::Bleed, None, job, fits);
    vec![
        on(&idle, &["1=40/450"]).step(AsItIs, Pass, (0.0, ANY)).step(
            Job("11.3 kΩ", "11.4 kΩ"),
            Note,
            (0.0, ANY),
        ),
        on(&less, &["1=40/450"])
            .step(AsItIs, Note, (0.0, ANY))
            .step(Job("choke = \"10 H\"", "choke = \"12 H\""), Pass, (0.0, ANY))
            .step(Job("load = \"0 mA\"\nbleeder", "load = \"1 mA\"\nbleeder"), Pass, (0.0, ANY)),
        on(&low, &["1=40/400"]).step(AsItIs, Pass, (0.08, ANY)).step(
            Job("bleeder = \"10 kΩ\"\n", ""),
            Fail,
            within(0.08, 1e-9),
        ),
    ]
}
