//! The rectifier against its sheet. Types and their figures: `data/rectifiers.csv`.

use recan::rules::{Rule, Verdict};

use super::{
    ANY, Case,
    Fact::{AsItIs, Job},
    about,
    supply::LAW,
    within,
};
use crate::{
    bench::changed,
    jobs::{IDEAL, TUBE},
};

use Verdict::{Caution, Fail, NotJudged, Note, Pass};

const BOTH: &[&str] = &["half-round=40/450", "square=40/450"];

pub(super) fn cases() -> Vec<Case> {
    let mut cases = vec![peak(), direct(), direct_of_a_tube(), source_resistance()];
    cases.extend(ac_volts());
    cases.extend(inverse());
    cases.push(hot_switch());
    cases
}

/// A type 83 behind an old can of 5 µF.
fn mercury() -> String {
    changed(IDEAL, &[(LAW, "device = \"83\""), ("50 MFD", "5 MFD")])
}

/// A type 83 drops 15 V and may peak at 1 A, with caution at 1.15 A: ω C R = 50,
/// source 1 %, is 13.22 × 0.9345 / 2 of (√2 × winding − 15 V)/2652.6 Ω. The old can
/// of 5 µF asked for 9.53 × 0.8267 / 2, 0.64 of it; one of 50 µF for as much.
fn peak() -> Case {
    let winding = |to| Job("winding = \"300 V\"", to);
    Case::new(Rule::RectifierPeak, None, &mercury(), &["1=50/450"])
        .step(AsItIs, Pass, within(0.953, 0.03))
        .limit(1.0)
        .step(winding("winding = \"340 V\""), Caution, within(1.085, 0.03))
        .limit(1.0)
        .step(winding("winding = \"380 V\""), Fail, within(1.217, 0.04))
}

/// The same: √2 × 300 V − 15 V is 409 V. 0.9345 of it over 2652.6 Ω is 144 mA;
/// over 1550 Ω it is no more than 264 mA and, at 0.87 at the least, no less than
/// 230 mA; over 1250 Ω at least 285 mA. The type gives 225 mA, with caution
/// 258.75 mA, and the 5 µF of the old can held less than 0.8267 of the peak.
fn direct() -> Case {
    let load = |to| Job("2652.6 Ω", to);
    Case::new(Rule::RectifierDc, None, &mercury(), &["1=50/450"])
        .step(AsItIs, Pass, within(0.1442, 0.001))
        .limit(0.225)
        .step(load("1550 Ω"), Caution, (0.225, 1.15 * 0.225))
        .limit(0.225)
        .step(load("1250 Ω"), Fail, (1.15 * 0.225, ANY))
}

/// A 5Y3-GT gives 125 mA to 350 V: 78 + 40 mA; 90 + 40 mA is over, which the set
/// draws with any can: it is said of the chassis.
fn direct_of_a_tube() -> Case {
    let job = changed(TUBE, &[("5U4-GB", "5Y3-GT"), ("60 mA", "78 mA")]);
    Case::new(Rule::RectifierDc, None, &job, BOTH)
        .step(AsItIs, Pass, within(0.118, 1e-4))
        .limit(0.125)
        .step(Job("78 mA", "90 mA"), Note, within(0.130, 1e-4))
        .limit(0.125)
}

/// A 5U4-GB takes 550 V at the nominal line: 540 V passes, of 560 V the chassis is
/// told, and at a plate's 110 V these would be 513 V.
fn ac_volts() -> Vec<Case> {
    let winding = |to| Job("winding = \"540 V\"", to);
    let job = changed(TUBE, &[("winding = \"300 V\"", "winding = \"540 V\"")]);
    let high = changed(TUBE, &[("winding = \"300 V\"", "winding = \"560 V\"")]);
    let plate = Job("volts = \"120 V\"", "volts = \"120 V\"\nnominal = \"110 V\"");
    let on = |job: &str| Case::new(Rule::RectifierAcVolts, None, job, BOTH);
    vec![
        on(&job)
            .step(AsItIs, Pass, about(540.0))
            .limit(550.0)
            .step(winding("winding = \"560 V\""), Note, about(560.0))
            .limit(550.0)
            .bare(Job("5U4-GB", "silicon"), NotJudged),
        on(&high).step(AsItIs, Note, about(560.0)).step(plate, Pass, about(560.0 * 110.0 / 120.0)),
    ]
}

/// An EZ41 asks for 250 Ω at 16 µF and 300 Ω at 32 µF; 15 % under that is 255 Ω. An
/// old can of 32 µF asked for as much as the new one.
fn source_resistance() -> Case {
    let job = changed(
        TUBE,
        &[
            ("5U4-GB", "EZ41"),
            ("300 V", "230 V"),
            ("60 mA", "20 mA"),
            ("40 mA", "10 mA"),
            ("◗ 40 MFD", "◗ 16 MFD"),
            ("100 Ω", "300 Ω"),
        ],
    );
    Case::new(Rule::SourceResistance, None, &job, &["half-round=32/450", "square=40/450"])
        .step(AsItIs, Pass, about(300.0))
        .limit(300.0)
        .step(Job("300 Ω", "260 Ω"), Caution, about(260.0))
        .limit(300.0)
        .step(Job("300 Ω", "250 Ω"), Fail, (0.0, 255.0))
}

/// A switch in the AC leads is closed again on hot plates: the worst phase drives
/// √2 × 315 V through 100 Ω at the most. Without such a switch nothing is said.
fn hot_switch() -> Case {
    let job = changed(TUBE, &[("\"none\"", "\"ac\""), ("\"5U4-GB\"", "\"5Y3-GT\"")]);
    Case::new(Rule::HotSwitch, None, &job, BOTH)
        .step(AsItIs, Note, (1.0, 1.414_22 * 315.0 / 100.0))
        .bare(Job("5Y3-GT", "80"), NotJudged)
}

/// With hardly any load twice the peak at high line: 712.8, 890.96 and 1009.8 V
/// against 0.8 × 1000 V and 1000 V; of diodes that it was made with it is said of the
/// chassis.
fn inverse() -> Vec<Case> {
    let job = changed(
        TUBE,
        &[
            ("60 mA", "0.1 mA"),
            ("40 mA", "0.1 mA"),
            ("\"5U4-GB\"", "\"silicon\"\noriginal_device = \"5U4-GB\""),
            ("winding = \"300 V\"", "winding = \"240 V\""),
        ],
    );
    let high = changed(&job, &[("winding = \"240 V\"", "winding = \"340 V\"")]);
    let winding = |to| Job("winding = \"240 V\"", to);
    let on = |job: &str| Case::new(Rule::PeakInverse, None, job, BOTH);
    vec![
        on(&job)
            .step(AsItIs, Pass, within(712.8, 4.0))
            .limit(800.0)
            .step(winding("winding = \"300 V\""), Caution, within(890.96, 4.0))
            .step(winding("winding = \"340 V\""), Fail, within(1009.8, 4.0)),
        on(&high).step(AsItIs, Fail, within(1009.8, 4.0)).step(
            Job("\noriginal_device = \"5U4-GB\"", ""),
            Note,
            within(1009.8, 4.0),
        ),
    ]
}
