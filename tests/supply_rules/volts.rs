//! Rules about volts.

use recan::rules::{Rule, Verdict};

use crate::{
    bench::{Bench, NO_STOCK, changed, check, finding},
    jobs::{STACK, TUBE, WITH_CHOKE},
};

use Verdict::{Caution, Fail, Pass};

/// Judges `rule` on both sections of a job like [`TUBE`].
#[track_caller]
fn tube(changes: &[(&str, &str)], parts: &str, rule: Rule, expected: Verdict) -> f64 {
    let bench = Bench::new(&changed(TUBE, changes), NO_STOCK);
    let fits = [format!("half-round={parts}"), format!("square={parts}")];
    let judged = bench.judge(&[&fits[0], &fits[1]]);
    check(&judged, rule, Some(1), expected)
}

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} for {expected}");
}

/// Behind 10 H and 200 Ω, 40 µF rings: √(L/C) = 500 Ω against some 350 Ω in
/// series, so it overshoots, though by less than to twice the peak.
#[test]
fn cold_start_behind_a_choke_overshoots() {
    let silicon = ("device = \"5U4-GB\"", "device = \"silicon\"");
    let value = tube(&[WITH_CHOKE, silicon], "40/450", Rule::ColdStart, Fail);
    assert!((450.0..849.0).contains(&value), "{value}");
    tube(&[silicon], "40/450", Rule::ColdStart, Pass);
}

/// A switch behind the rectifier leaves the reservoir at 445.48 V each use.
#[test]
fn standby() {
    let judge = |changes: &[(&str, &str)], parts: &str| {
        let bench = Bench::new(&changed(TUBE, changes), NO_STOCK);
        bench.judge(&[&format!("half-round={parts}"), &format!("square={parts}")])
    };
    let switch = ("standby = \"none\"", "standby = \"dc\"");
    let judged = judge(&[switch], "40/450");
    near(check(&judged, Rule::Standby, Some(0), Pass), 445.48, 0.01);
    // Only what is ahead of the switch, and only where there is one.
    let has = |judged: &recan::judge::Judged, section| {
        judged.all_findings().any(|f| f.rule == Rule::Standby && f.section == Some(section))
    };
    assert!(has(&judged, 0) && !has(&judged, 1));
    assert!(!has(&judge(&[], "40/425"), 0));
}

/// Each of a full-wave doubler's stack takes √2 × 120 V = 169.71 V, at 126 V
/// 178.19 V; the line charges it once a cycle, so 60 Hz counts for its ripple.
#[test]
fn a_full_wave_doublers_stack() {
    let list = "part,style,sections,ripple_current_a\n\
                A,radial,100 µF 200 V,0.2\nB,radial,100 µF 160 V,\nC,radial,100 µF 175 V,\n";
    let bench = Bench::new(STACK, list);
    let judged = bench.judge(&["red=A", "blue=A"]);
    near(check(&judged, Rule::ColdStart, Some(0), Pass), 178.19, 0.01);
    let allowed = finding(&judged, Rule::RippleCurrent, Some(1)).limit_high.unwrap();
    near(allowed, 0.85 * 0.2, 1e-9);
    let judged = bench.judge(&["red=B", "blue=C"]);
    check(&judged, Rule::ColdStart, Some(0), Fail);
    near(check(&judged, Rule::ColdStart, Some(1), Caution), 178.19, 0.01);
}

/// A reservoir of 0.1 µF can't hold 100 mA over a half cycle: I/(2 f C) is far
/// over the peak. Such a set fails and says so.
#[test]
fn a_set_that_the_supply_cannot_carry() {
    let bench = Bench::new(TUBE, NO_STOCK);
    let judged = bench.judge(&["half-round=0.1/450", "square=0.1/450"]);
    check(&judged, Rule::Bplus, None, Fail);
    assert_eq!(judged.standing.grade, recan::rules::Grade::Fail);
    assert!(judged.supply.is_none());
    let says = &finding(&judged, Rule::Bplus, None).says;
    assert!(says.starts_with("the supply can't be worked out with this set: "), "{says}");
    let lacking = judged.all_findings().filter(|f| f.verdict == Verdict::NotJudged).count();
    assert_eq!(judged.standing.not_judged as usize, lacking);
}
