//! Ripple current, hum, watts and what the winding bears.

use recan::{
    judge::Judged,
    rules::{Rule, Verdict},
};

use crate::{
    bench::{Bench, NO_STOCK, changed, check, finding},
    jobs::{IDEAL, TUBE},
};

use Verdict::{Caution, Fail, NotJudged, Pass};

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} for {expected}");
}

fn list(lines: &[&str]) -> String {
    let head = "part,style,sections,ripple_current_a,esr_ohm,max_temperature_c";
    std::iter::once(head).chain(lines.iter().copied()).collect::<Vec<_>>().join("\n")
}

#[track_caller]
fn ripple(changes: &[(&str, &str)], lines: &[&str], parts: &str, expected: Verdict) -> f64 {
    let bench = Bench::new(&changed(IDEAL, changes), &list(lines));
    check(&bench.judge(&[&format!("1={parts}")]), Rule::RippleCurrent, Some(0), expected)
}

/// ω C R = 50, source 1 %: DC 0.9345 × 424.26 V / 2652.6 Ω = 149.47 mA, and 2.067
/// times that in the capacitor: 308.9 mA, at 120 Hz.
#[test]
fn ripple_current_of_one_body() {
    near(ripple(&[], &["A,radial,50 µF 450 V,0.31,,"], "A", Pass), 0.3089, 0.0016);
    ripple(&[], &["A,radial,50 µF 450 V,0.29,,"], "A", Caution);
    // 1.1 × 0.28 A is 308 mA.
    ripple(&[], &["A,radial,50 µF 450 V,0.28,,"], "A", Fail);
    // Not known, and it carries more than half of what such a part takes.
    let untold = Bench::new(IDEAL, &list(&["A,radial,50 µF 450 V,,,"])).judge(&["1=A"]);
    assert_eq!(verdicts(&untold), [NotJudged, Caution]);
}

/// Half-wave, ω C R = 50, source 2 %: 0.8479 × 424.26 V / 2652.6 Ω × 2.419 is
/// 328.0 mA at the line's frequency: 0.82 of the rating at 60 Hz on its base of
/// 120 Hz, 0.86 at 50 Hz on its base of 100 Hz.
#[test]
fn ripple_current_at_the_line_frequency() {
    let half = ("full-wave", "half-wave");
    let source = ("26.526 Ω", "53.052 Ω");
    let found = ripple(&[half, source], &["A,radial,50 µF 450 V,0.39,,"], "A", Caution);
    near(found, 0.3280, 0.0016);
    let line = ("60 Hz", "50 Hz");
    // 60 µF keeps ω C R.
    let fifty = &["A,radial,60 µF 450 V,0.39,,"];
    near(ripple(&[half, source, line], fifty, "A", Pass), 0.3280, 0.0016);
}

/// The verdicts of `ripple-current`.
fn verdicts(judged: &Judged) -> Vec<Verdict> {
    judged.all_findings().filter(|f| f.rule == Rule::RippleCurrent).map(|f| f.verdict).collect()
}

/// 0.15 A at 85 °C is 0.3 A at 55 °C, and at 65 °C, as in a closed can or untold,
/// 0.255 A; at 90 °C such a part has no rating at all.
#[test]
fn ripple_current_by_temperature() {
    let stock = &["A,radial,50 µF 450 V,0.15,,85"];
    let ambient = |t| ("[chassis]", format!("[chassis]\nambient = \"{t}\""));
    let (at, warm) = ambient("55 °C");
    ripple(&[(at, &warm)], stock, "A", Caution);
    ripple(&[], stock, "A", Fail);
    let (at, hot) = ambient("90 °C");
    ripple(&[(at, &hot)], stock, "A", Fail);
    let closed = |rating: &str, expected| {
        let stock = list(&[&format!("A,radial,50 µF 450 V,{rating},,85")]);
        let bench = Bench::restuffed(&changed(IDEAL, &[(at, &warm)]), &stock, true);
        check(&bench.judge(&["1=A"]), Rule::RippleCurrent, Some(0), expected)
    };
    // 0.17 A × 1.7 = 0.289 A; × 2.0 it would be 0.34 A.
    closed("0.17", Caution);
    closed("0.2", Pass);
}

/// 30 and 20 µF share as 0.6 and 0.4: 185.3 and 123.6 mA. One without a rating
/// is named beside the other's verdict.
#[test]
fn ripple_current_of_bodies_side_by_side() {
    let both = |a: &str, b: &str| {
        list(&[&format!("A,radial,30 µF 450 V,{a},,"), &format!("B,radial,20 µF 450 V,{b},,")])
    };
    let judged = |stock: &str| Bench::new(IDEAL, stock).judge(&["1=A + B"]);
    let first = check(&judged(&both("0.19", "0.2")), Rule::RippleCurrent, Some(0), Pass);
    near(first, 0.1853, 0.001);
    let second = check(&judged(&both("0.3", "0.12")), Rule::RippleCurrent, Some(0), Caution);
    near(second, 0.1236, 0.001);
    let half = judged(&both("0.1", ""));
    let found = verdicts(&half);
    assert!(found.contains(&NotJudged) && found.contains(&Fail), "{found:?}");
    // Series resistance turns current away from A: 30 µF is 44.2 Ω at 120 Hz, with
    // 44.2 Ω in series 62.5 Ω, against 66.3 Ω of B.
    let stock = "part,style,sections,ripple_current_a,esr_ohm\nA,radial,30 µF 450 V,0.175,44.2\nB,radial,20 µF 450 V,0.3,0.001\n";
    check(&judged(stock), Rule::RippleCurrent, Some(0), Pass);
    check(&judged(&stock.replace("44.2", "0.001")), Rule::RippleCurrent, Some(0), Caution);
}

/// Its sentence names the remedy.
#[test]
fn bplus_says_what_brings_it_back() {
    let job = changed(TUBE, &[("\"5U4-GB\"", "\"silicon\"\noriginal_device = \"5U4-GB\"")]);
    let judged = Bench::new(&job, NO_STOCK).judge(&["half-round=40/450", "square=40/450"]);
    let says = &finding(&judged, Rule::Bplus, None).says;
    assert!(says.contains("resistance before the rectifier"), "{says}");
}
