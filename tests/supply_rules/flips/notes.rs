//! Notes: figures that never count, each worked out before and after one fact.

use recan::rules::{Rule, Verdict};

use super::{
    Case,
    Fact::{AsItIs, Job, Parts, Stock},
    about, within,
};
use crate::{
    bench::changed,
    jobs::{BYPASSED, IDEAL, TUBE},
};

use Verdict::{NotJudged, Note};

const BOTH: &[&str] = &["half-round=40/450", "square=40/450"];

pub(super) fn cases() -> Vec<Case> {
    let mut cases = corners();
    cases.extend([surge(), relative_hum(), ripple(), time_constant()]);
    cases.extend([preferred_value(), tolerance(), life(), leakage()]);
    cases
}

/// 1.10 × 450 V, 1.15 × 300 V, or as printed.
fn surge() -> Case {
    Case::new(Rule::Surge, Some(0), IDEAL, &["1=50/450"])
        .step(AsItIs, Note, about(495.0))
        .step(Parts(&["1=50/300"]), Note, about(345.0))
        .step(Parts(&["1=50/450/525"]), Note, about(525.0))
}

/// 20 log10 of 2 is 6.02 dB.
fn relative_hum() -> Case {
    Case::new(Rule::RelativeHum, Some(1), TUBE, BOTH).step(AsItIs, Note, within(0.0, 1e-12)).step(
        Job("■ 40", "■ 80"),
        Note,
        about(6.020_6),
    )
}

/// 100 mA / (120 Hz × 40 µF) is 20.83 V, 60 mA 12.5 V; at 60 Hz twice as much.
fn ripple() -> Case {
    Case { unsolved: true, ..Case::new(Rule::Ripple, Some(0), TUBE, BOTH) }
        .step(AsItIs, Note, about(20.833_33))
        .step(Job("load = \"60 mA\"", "load = \"20 mA\""), Note, about(12.5))
        .step(Job("full-wave", "half-wave"), Note, about(41.666_67))
        .bare(Job("load = \"60 mA\"\n", ""), NotJudged)
}

/// 1 kΩ × 40 µF is 0.04 s.
fn time_constant() -> Case {
    Case::new(Rule::TimeConstant, Some(1), TUBE, BOTH).step(AsItIs, Note, about(0.04)).step(
        Job("resistor = \"1 kΩ\"", "resistor = \"2.2 kΩ\""),
        Note,
        about(0.088),
    )
}

/// A corner goes as 1/C.
fn corners() -> Vec<Case> {
    let decoupling = changed(TUBE, &[("role = \"smoothing\"", "role = \"decoupling\"")]);
    let bypass = &["half-round=40/450", "square=22/35"];
    vec![
        Case::new(Rule::BypassCorner, Some(1), BYPASSED, bypass)
            .step(AsItIs, Note, about(20.0 / 22.0))
            .step(Job("■ 20 MFD", "■ 25 MFD"), Note, about(25.0 / 22.0)),
        Case::new(Rule::DecouplingCorner, Some(1), &decoupling, BOTH)
            .step(AsItIs, Note, about(1.0))
            .step(Job("■ 40", "■ 47"), Note, about(1.175)),
    ]
}

/// 47 is in E3, 40 in no series (IEC 60063).
fn preferred_value() -> Case {
    Case::new(Rule::PreferredValue, Some(0), IDEAL, &["1=47/450"])
        .bare(AsItIs, Note)
        .says("47 µF is in E3")
        .bare(Parts(&["1=40/450"]), Note)
        .says("40 µF is in no series")
}

/// 50 µF ±10 %: 45 to 55 µF; ±20 %: 40 to 60 µF.
fn tolerance() -> Case {
    let ten = "part,style,sections,tolerance\nA,radial,50 µF 450 V,±10 %\n";
    let twenty = "part,style,sections,tolerance\nA,radial,50 µF 450 V,±20 %\n";
    Case { stock: ten, ..Case::new(Rule::Tolerance, Some(0), IDEAL, &["1=A"]) }
        .step(AsItIs, Note, about(50.0))
        .says("45 µF to 55 µF")
        .step(Stock(twenty), Note, about(50.0))
        .says("40 µF to 60 µF")
}

/// 2000 h at 105 °C: 2^5 times as much at 55 °C, 2^4 times at 65 °C.
fn life() -> Case {
    let stock = "part,style,sections,max_temperature_c,life_hours\nA,radial,50 µF 450 V,105,2000\n";
    let job = changed(IDEAL, &[("[chassis]", "[chassis]\nambient = \"55 °C\"")]);
    Case { stock, ..Case::new(Rule::Life, Some(0), &job, &["1=A"]) }
        .step(AsItIs, Note, about(64_000.0))
        .step(Job("55 °C", "65 °C"), Note, about(32_000.0))
        .bare(Job("55 °C", "35 °C"), NotJudged)
}

/// 0.01 × 47 × 450 + 3 is 214.5 µA; 0.01 × 100 × 450 + 3 is 453 µA.
fn leakage() -> Case {
    Case::new(Rule::Leakage, Some(0), IDEAL, &["1=47/450"])
        .step(AsItIs, Note, about(214.5e-6))
        .step(Parts(&["1=100/450"]), Note, about(453e-6))
}
