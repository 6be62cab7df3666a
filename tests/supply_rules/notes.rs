//! Notes: corners, life, leakage.

use recan::rules::{Rule, Verdict};

use crate::{
    bench::{Bench, NO_STOCK, changed, check, finding},
    jobs::{IDEAL, TUBE},
};

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} for {expected}");
}

/// A corner goes as 1/C: 47 for 40 µF puts it at 0.851 times.
#[test]
fn corners() {
    let job = changed(TUBE, &[("role = \"smoothing\"", "role = \"decoupling\"")]);
    let judged = Bench::new(&job, NO_STOCK).judge(&["half-round=40/450", "square=47/450"]);
    near(check(&judged, Rule::DecouplingCorner, Some(1), Verdict::Note), 0.8511, 1e-4);
    assert!(judged.all_findings().all(|f| f.rule != Rule::BypassCorner));
}

/// 0.01 × 47 × 450 + 3 = 214.5 µA; an old 50 µF 450 V part 0.04 × 50 + 0.3 = 2.3 mA.
#[test]
fn leakage() {
    let judged = Bench::new(IDEAL, NO_STOCK).judge(&["1=47/450"]);
    near(check(&judged, Rule::Leakage, Some(0), Verdict::Note), 214.5e-6, 1e-9);
    let says = &finding(&judged, Rule::Leakage, Some(0)).says;
    assert!(says.contains("2.3 mA"), "{says}");
}

/// 2000 h at 105 °C are 2^5 times as much at 55 °C: 64 000 h without ripple
/// heating, 2^4 in a closed can. Out of 40 to 105 °C it is not judged.
#[test]
fn life() {
    let list = "part,style,sections,max_temperature_c,life_hours,esr_ohm,diameter_mm,length_mm\n\
                A,radial,50 µF 450 V,105,2000,,,\nB,radial,50 µF 450 V,105,2000,2,25,40\n";
    let at = |ambient: &str, restuffed, part: &str, expected| {
        let job = changed(IDEAL, &[("[chassis]", &format!("[chassis]\n{ambient}"))]);
        let judged = Bench::restuffed(&job, list, restuffed).judge(&[&format!("1={part}")]);
        check(&judged, Rule::Life, Some(0), expected)
    };
    near(at("ambient = \"55 °C\"", false, "A", Verdict::Note), 64_000.0, 1.0);
    near(at("ambient = \"55 °C\"", true, "A", Verdict::Note), 32_000.0, 1.0);
    // 0.309² × 2 = 0.19 W: 25 × 40 mm is 36.3 cm², S^0.8 = 17.7, so 4.7 K at the
    // case, 6.6 K in the core: 2^(−6.6/5) = 0.40 of it, 25 760 h; a little more,
    // since 2 Ω beside the source's 26.5 Ω take a little of the current.
    let heated = at("ambient = \"55 °C\"", false, "B", Verdict::Note);
    assert!((25_760.0..27_500.0).contains(&heated), "{heated}");
    at("ambient = \"35 °C\"", false, "A", Verdict::NotJudged);
    at("", false, "A", Verdict::NotJudged);
}
